/* What several sheets hold: cautions, steps of work, kit, readings as branches, the closing card. */
#ifndef EDGE_PAPER_PARTS_H
#define EDGE_PAPER_PARTS_H

#include "edge/desk/branches.h"
#include "edge/desk/visit_desk.h"
#include "edge/paper/document.h"

enum { PARTS_WORKS = 128, PARTS_STEPS = 96 };

/* Works that cautions are asked for, each once. */
typedef struct works {
    const char *id[PARTS_WORKS + 1]; /* ends with NULL */
    size_t n;
} works;
void works_add(works *w, const char *id);

/* Whether paper_cautions prints this one for these works. */
bool works_have(const works *w, const tufa_caution *c, tufa_fuel fuel);
/* Every caution of these works, in brief, worst first: what makes one leave or stop in frames. The closing card is
 * left to paper_closing_card. */
void paper_cautions(paper *p, const works *w, tufa_fuel fuel);
/* Steps as boxes with a room for each reading, each phase named where it begins; `from` is the number of the first. Answers the number
 * behind the last. `keep` NULL: all. */
size_t paper_steps(paper *p, unit_system s, const tufa_step *step, size_t n, size_t from, bool (*keep)(const tufa_step *));
void paper_kit(paper *p, tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel);
void paper_closing_card(paper *p);
/* Readings with a box for each result and what it leads to. */
void paper_branches(paper *p, unit_system s, const branch *b, int n);
/* The unit in which a reading is written down: "F", "ohm", "" for a word. */
void say_reading_unit(text *t, unit_system s, const tufa_test *test);

/* A table of "what: expected", and room for what is found before and after. */
typedef struct expected {
    struct {
        char what[220];
    } row[24];
    size_t n;
} expected;
void expect(expected *e, const char *what, text *value); /* empties `value`; nothing where it is empty */
void paper_expected(paper *p, expected *e);

void say_without_ids(text *t, const char *s); /* a sentence of the fault tables, without ids in it */

#endif
