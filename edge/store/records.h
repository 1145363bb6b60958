/* The records of the book as C sees them: SI, unit last in the name. An uncertain quantity is a tufa_value (median and
 * 10 to 90 % range); basis NONE means nobody said. Text ends with 0. Ids count from 1 for each kind; 0 is nobody. */
#ifndef EDGE_STORE_RECORDS_H
#define EDGE_STORE_RECORDS_H

#include <stdbool.h>
#include <stdint.h>

#include "edge/say/text.h"
#include "edge/say/units.h"
#include "tufa/base.h"

enum { STORE_LABEL = 64, STORE_WORD = 160, STORE_SOURCE = 96, STORE_CELL = 64, STORE_ITEM = 48 };

/* ---- what is chosen from a list ---- */

typedef enum choice_list { CHOICES_NONE, CHOICES_FUEL, CHOICES_TAP, CHOICES_YESNO, CHOICES_DRAIN, CHOICES_DIP, CHOICES_ELEMENTS, CHOICES_COUNT } choice_list;
typedef enum fuel_choice { FUEL_ELECTRIC, FUEL_GAS, FUEL_PROPANE } fuel_choice;
typedef enum tap_choice { TAP_MAIN, TAP_WELL, TAP_SOFTENER } tap_choice;

typedef enum yesno_choice { YESNO_NO, YESNO_YES } yesno_choice;
typedef enum drain_choice { DRAIN_GLOBE, DRAIN_STRAIGHT, DRAIN_FULL_PORT } drain_choice;
typedef enum elements_choice { ELEMENTS_ONE, ELEMENTS_TWO } elements_choice;
typedef enum dip_choice { DIP_WHOLE, DIP_SHORT, DIP_CURVED } dip_choice;

/* Number of a word in its list, -1 when it is not there; the word shown for a number; all words, for a message. */
int choice_find(choice_list list, const char *word);
void choice_word(text *out, choice_list list, int choice);
void choice_words(text *out, choice_list list);

/* ---- things: a house, a water, a heater; each is a label and facts about it ---- */

typedef enum thing_kind { THING_WATER, THING_HOUSE, THING_HEATER, THING_COUNT } thing_kind;
typedef enum field_type { FIELD_VALUE, FIELD_CHOICE, FIELD_REF, FIELD_WORD } field_type;

#define STORE_MEMBER_VALUE(m) tufa_value m;
#define STORE_MEMBER_CHOICE(m) int m;
#define STORE_MEMBER_REF(m) int64_t m;
#define STORE_MEMBER_WORD(m) char m[STORE_WORD];
#define F(type, member, names, q, unit, lo, hi, choices, what) STORE_MEMBER_##type(member)

typedef struct water_rec {
    int64_t id;
    char label[STORE_LABEL];
#include "edge/store/water_fields.def"
} water_rec;

typedef struct house_rec {
    int64_t id;
    char label[STORE_LABEL];
#include "edge/store/house_fields.def"
} house_rec;

typedef struct heater_rec {
    int64_t id, house;
    char label[STORE_LABEL];
#include "edge/store/heater_fields.def"
} heater_rec;
#undef F

/* One row of a .._fields.def. */
typedef struct field_row {
    field_type type;
    const char *member, *names; /* names divided by '|' */
    quantity q;
    unit_id unit;
    double lo, hi; /* in `unit` */
    choice_list choices;
    const char *what;
    size_t offset; /* of the member in its record */
} field_row;

/* The fields of a kind of thing; and the one that is called `name` (case, spaces, dots and underscores do not count). */
const field_row *thing_fields(thing_kind kind, size_t *n);
const field_row *thing_field(thing_kind kind, const char *name);
const char *thing_word(thing_kind kind); /* "heater" */

/* One thing said about one field of one thing. What counts is what was said of the latest day; of one day, what was entered last;
 * never what another `replaces`. All the others stay. */
typedef struct fact_rec {
    int64_t id, thing;
    const field_row *field;
    tufa_value value;       /* VALUE */
    int choice;             /* CHOICE */
    int64_t ref;            /* REF: id of a water; 0 not known */
    char word[STORE_WORD];  /* WORD */
    int64_t day;            /* on which it was said or read */
    char source[STORE_SOURCE];
    int64_t replaces;       /* a fact that was wrong, its day too; 0: none */
    bool replaced;          /* as read: another takes its place */
} fact_rec;

/* ---- what happens ---- */

/* A lab sheet, or whatever was told of a water: columns as they were given. */
typedef struct sheet_cell {
    char column[STORE_CELL], cell[STORE_CELL];
} sheet_cell;
enum { SHEET_CELLS = 48 };
typedef struct sheet_rec {
    int64_t id, water, day;
    char source[STORE_SOURCE];
    int n;
    sheet_cell cells[SHEET_CELLS];
} sheet_rec;

/* Who lives behind a heater from a day on; heater 0: every heater of the house. */
typedef struct household_rec {
    int64_t id, house, heater, from_day;
    tufa_value people;
    tufa_value hot_m3_s;   /* hot water drawn, mean, when somebody measured it */
    tufa_value setpoint_K; /* where the dial was turned with them */
    char note[STORE_WORD], source[STORE_SOURCE];
} household_rec;

typedef enum finding_kind {
#define X(id, names, q, unit, lo, hi, what) FINDING_##id,
#include "edge/store/finding_kinds.def"
#undef X
    FINDING_COUNT
} finding_kind;

typedef struct finding_rec {
    int64_t id, heater, day;
    finding_kind kind;
    tufa_value value; /* SI, by kind */
    char note[STORE_WORD], source[STORE_SOURCE];
} finding_rec;

typedef struct finding_row {
    const char *id, *names;
    quantity q;
    unit_id unit;
    double lo, hi;
    const char *what;
} finding_row;
extern const finding_row finding_rows[FINDING_COUNT];
int finding_find(const char *word); /* by id or name; -1 when there is none */

typedef enum work_kind {
#define X(id, names) WORK_##id,
#include "edge/store/works.def"
#undef X
    WORK_COUNT
} work_kind;
int work_find(const char *word); /* by id or name; -1 when there is none */
const char *work_id(work_kind w);
void work_word(text *out, work_kind w);
void work_words(text *out); /* all, for a message */

typedef struct visit_rec {
    int64_t id, heater, day;
    work_kind work;
    tufa_value spent_s, cost_cents; /* his time on site; money laid out */
    char note[STORE_WORD], source[STORE_SOURCE];
} visit_rec;

/* Parts of one kind: a move of so many pieces, or how many are there. */
typedef struct stock_rec {
    char item[STORE_ITEM];
    double pieces;
    int64_t visit, day; /* visit 0: none */
    char source[STORE_SOURCE];
} stock_rec;

/* What was paid, driven or worked for a house (0: for all of them), beside what visits tell. */
typedef enum expense_kind {
#define X(ID, id, names, words) EXPENSE_##ID,
#include "edge/store/expense_kinds.def"
#undef X
    EXPENSE_COUNT
} expense_kind;
typedef enum expense_mark {
#define X(ID, id, names) MARK_##ID,
#include "edge/store/expense_marks.def"
#undef X
    MARK_COUNT
} expense_mark;
int expense_kind_find(const char *word); /* by id or name; -1 when there is none */
int expense_mark_find(const char *word);
const char *expense_kind_id(expense_kind k);
const char *expense_kind_words(expense_kind k); /* "contractor's bill" */
const char *expense_mark_id(expense_mark m);
expense_mark work_mark(work_kind w); /* of what a visit was for */

typedef struct expense_rec {
    int64_t id, house, heater, day;
    expense_kind kind;
    expense_mark mark;
    char what[STORE_WORD], who[STORE_SOURCE], receipt[STORE_WORD], note[STORE_WORD], source[STORE_SOURCE];
    bool has_cents, has_road, has_time;
    int64_t cents;
    double road_m, spent_s;
} expense_rec;

/* What the utility says a house used up to a day, in one unit of its bills. */
typedef struct bill_rec {
    int64_t id, house, day;
    double days;        /* 0: since the reading before */
    char unit[16];      /* "kwh", "therm" ... */
    double used;        /* in that unit */
    double mean_K;      /* outdoors; 0 not said */
    bool has_cost;
    double cost_cents;
    unsigned flags;     /* enum tufa_bill_flag */
    char note[STORE_WORD], source[STORE_SOURCE];
} bill_rec;

/* A drive that somebody timed, one way; house 0 is home. */
typedef struct travel_rec {
    int64_t id, from, to, day;
    double drive_s, road_m; /* road_m NaN: not said */
    char source[STORE_SOURCE];
} travel_rec;

/* A price that replaces a default of tufa_price_at; the one of the latest day counts. `item` is the key of that table; the
 * value is in the unit that the key names (dollars a kWh, a piece, a share). */
typedef struct price_rec {
    int64_t id, day;
    char item[STORE_ITEM];
    tufa_value value;
    char source[STORE_SOURCE];
    int64_t replaces; /* as of a fact */
} price_rec;

/* One setting, as text: units = us or metric, and others. The one of the latest day counts. */
typedef struct setting_rec {
    int64_t id, day, replaces;
    char name[STORE_ITEM], value[STORE_WORD], source[STORE_SOURCE];
} setting_rec;

#endif
