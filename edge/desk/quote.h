/* A contractor's quote judged: for a heater of the book, or for one of which a few plain answers are known. */
#ifndef EDGE_DESK_QUOTE_H
#define EDGE_DESK_QUOTE_H

#include "edge/desk/answers.h"
#include "edge/say/trouble.h"

enum { QUOTE_MOST_LINES = 24 };

/* Everything as it was typed; NULL or "" for what was not said. */
typedef struct quote_ask {
    const char *heater;            /* of the book; else fuel, age ... */
    const char *fuel, *age, *volume, *hardness;
    const char *price, *warranty;
    const char *work;              /* "replace", "repair", "clean", "treatment", or a part or treatment by name */
    const char *part;              /* of a repair or treatment, by name */
    const char *offered, *offered_volume, *first_hour; /* of a new heater: its kind, gallons, first-hour rating */
    const char *leaking, *myself;  /* yes, no, ? */
    const char *limit, *flue;      /* yes: failed, unsafe */
    const char *line[QUOTE_MOST_LINES]; /* "heater=900", "permit 120" */
    size_t lines;
} quote_ask;

typedef struct quote_answer {
    int64_t today;
    unit_system units;
    bool from_book;
    int64_t heater;                /* 0 without a book */
    char label[STORE_LABEL];
    tufa_fuel fuel;
    tufa_value age_years, volume_m3;
    bool water_known;
    bool himself_said;
    enough fits;                   /* of a new heater: is it large enough; else kind is LEAVE */
    const char *refused;           /* why the house rules this kind out; NULL */
    tufa_quote_in in;              /* `money.ahead` is gone: do not look at it */
    tufa_quote q;
} quote_answer;

/* `d` NULL: no book at all. Without a heater the prices of the book count all the same. The note names the field as `ask` has it. */
TUFA_MUST_CHECK tufa_code desk_quote(desk *d, int64_t today, const quote_ask *ask, quote_answer *out, text *near, trouble_note *note);

/* ---- words, for command, page and paper ---- */

/* What stands before everything else; empty where nothing is dangerous. */
void say_quote_danger(text *t, const quote_answer *a);
/* "No, by about $1,200: leaving it alone costs less over ten years." */
void say_quote_first(text *t, const quote_answer *a);
/* Why, break-even and ranges, usual price: a paragraph each. */
void say_quote_worth(text *t, const quote_answer *a);
void say_quote_usual(text *t, const quote_answer *a);
void say_quote_fits(text *t, const quote_answer *a);     /* the new heater against the household's busiest hour; empty for other work */
void say_quote_kind(text *t, const quote_answer *a);     /* what another kind of heater takes with it; empty for its like */
void say_quote_warranty(text *t, const quote_answer *a); /* empty without one */
void say_quote_treatment(text *t, const quote_answer *a); /* empty for other work */
const char *quote_mark_word(tufa_quote_mark m);          /* "usual" */
void quote_line_usual(const quote_answer *a, tufa_quote_line l, double usd[3]); /* low, middle, high; all 0: no usual price */
void say_quote_line_range(text *t, const quote_answer *a, tufa_quote_line l); /* "$400 to $1,000", or "no usual price" */
bool quote_line_matters(const quote_answer *a, tufa_quote_line l); /* named in the quote, or a complete job would have it */
void say_quote_line_note(text *t, const quote_answer *a, tufa_quote_line l); /* what to make of it; may be empty */
void say_quote_ask(text *t, const quote_answer *a, size_t k);
void say_quote_rests_on(text *t, const quote_answer *a);
void say_quote_asked(text *t, const quote_answer *a);    /* "Linden Row 14, asked: $1,850 to replace the heater. " */

#endif
