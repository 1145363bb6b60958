#include "edge/paper/parts.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/units.h"
#include "edge/say/fault.h"

/* ---- cautions ---- */

void works_add(works *w, const char *id)
{
    if (!id || !id[0] || w->n == PARTS_WORKS) return;
    for (size_t i = 0; i < w->n; i++)
        if (strcmp(w->id[i], id) == 0) return;
    w->id[w->n++] = id;
}

bool works_have(const works *w, const tufa_caution *c, tufa_fuel fuel)
{
    tufa_caution_fuel f = fuel == TUFA_ELECTRIC ? TUFA_CAUTION_ELECTRIC : TUFA_CAUTION_GAS;
    if (strcmp(c->id, "C_CLOSE") == 0) return false;
    for (size_t i = 0; i < w->n; i++)
        if (tufa_caution_applies(c, w->id[i], f)) return true;
    return tufa_caution_applies(c, "all", f);
}

void paper_cautions(paper *p, const works *w, tufa_fuel fuel)
{
    static const char *const LEVEL[] = {"LEAVE: ", "STOP: ", "Licensed: ", ""};
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (!works_have(w, c, fuel)) continue;
        text head = {0};
        text_addf(&head, "%s%s.", LEVEL[c->level], c->title);
        (c->level < TUFA_CAUTION_LICENSED ? paper_caution : paper_led)(p, text_str(&head), c->brief);
        text_free(&head);
    }
}

/* The card numbers its lines: "1 The tank is full ... 2 Every dial ...". Each becomes a box. */
void paper_closing_card(paper *p)
{
    const tufa_caution *c = tufa_caution_find("C_CLOSE");
    char words[2000];
    snprintf(words, sizeof words, "%s", c->words);
    paper_together(p);
    paper_heading(p, "Closing card, before anybody leaves");
    char *line = words;
    for (int next = 2; line; next++) {
        char mark[16];
        snprintf(mark, sizeof mark, ". %d ", next);
        char *end = strstr(line, mark);
        if (end) end[1] = 0;
        while (isdigit((unsigned char)*line) || *line == ' ') line++;
        paper_tick(p, line);
        line = end ? end + 2 : NULL;
    }
    paper_together_end(p);
}

/* ---- readings ---- */

void say_reading_unit(text *t, unit_system s, const tufa_test *test)
{
    static const struct {
        const char *unit;
        quantity q;
    } SAID[] = {{"C", Q_TEMPERATURE}, {"K", Q_WARMTH}, {"L", Q_VOLUME}, {"L_min", Q_FLOW}, {"psi", Q_PRESSURE}, {"mm", Q_LENGTH}, {"kBtu_h", Q_BURNER}};
    if (test->categories[0]) return;
    for (size_t i = 0; i < sizeof SAID / sizeof SAID[0]; i++)
        if (strcmp(test->unit, SAID[i].unit) == 0) {
            const char *print = unit_said(SAID[i].q, s)->print;
            text_add(t, print + strspn(print, " "));
            return;
        }
    if (strcmp(test->unit, "L_h") == 0) text_add(t, s == UNITS_US ? "gal an hour" : "L an hour");
    else if (strcmp(test->unit, "inH2O") == 0) text_add(t, "in of water");
    else if (strcmp(test->unit, "mL_L") == 0) text_add(t, "mL in a litre");
    else if (strcmp(test->unit, "1") != 0) text_add(t, test->unit);
}

size_t paper_steps(paper *p, unit_system s, const tufa_step *step, size_t n, size_t from, bool (*keep)(const tufa_step *))
{
    int phase = -1;
    for (size_t i = 0; i < n; i++) {
        if (step[i].phase == TUFA_STEP_CARD || (keep && !keep(&step[i]))) continue; /* the card is printed */
        text lead = {0};
        if ((int)step[i].phase != phase) {
            text_addf(&lead, "%s.", tufa_step_phase_words(step[i].phase));
            lead.s[0] = (char)toupper((unsigned char)lead.s[0]);
        }
        phase = (int)step[i].phase;
        char number[8];
        snprintf(number, sizeof number, "%zu", from++);
        int test = step[i].reading[0] ? tufa_fault_test_find(step[i].reading) : -1;
        text unit = {0};
        if (test >= 0) say_reading_unit(&unit, s, tufa_fault_test_at((size_t)test));
        paper_step(p, number, lead.len ? text_str(&lead) : NULL, step[i].words, step[i].reading[0] ? text_str(&unit) : NULL);
        text_free(&lead);
        text_free(&unit);
    }
    return from;
}

static void branch_choices(paper *p, unit_system s, const branch *b, int number)
{
    static const double WORTH_A_LINE = 0.005;
    text shows = {0}, then = {0};
    for (int i = 0; i < b->next.outcomes; i++) {
        if (b->next.outcome[i].probability < WORTH_A_LINE) continue;
        text_clear(&shows);
        text_clear(&then);
        say_outcome(&shows, s, b->next.test, &b->next.outcome[i]);
        text_add(&then, "(");
        say_odds(&then, b->next.outcome[i].probability);
        text_add(&then, "): ");
        say_branch_end(&then, b, i, number);
        paper_led_tick(p, text_str(&shows), text_str(&then));
    }
    text_free(&shows);
    text_free(&then);
}

static void one_branch(paper *p, unit_system s, const branch *b, int number)
{
    const tufa_test *test = tufa_fault_test_for((size_t)b->next.test, b->next.single_element);
    text head = {0}, w = {0};
    text_addf(&head, "Reading %d: %s (%.0f min).", number, test->title, b->next.minutes);
    text_add(&w, test->how);
    if (test->isolation[0]) text_addf(&w, " First: %s.", test->isolation);
    if (test->hazard[0]) text_addf(&w, " Mind: %s.", test->hazard);
    if (test->stops[0]) text_addf(&w, " Stop at: %s.", test->stops);
    paper_together(p);
    paper_led(p, text_str(&head), text_str(&w));
    branch_choices(p, s, b, number);
    text_clear(&w);
    text_clear(&head);
    say_reading_unit(&head, s, test);
    text_addf(&w, "As read%s%s%s, and the time", head.len ? " (" : "", text_str(&head), head.len ? ")" : "");
    paper_blank(p, text_str(&w), 1.0);
    paper_together_end(p);
    text_free(&head);
    text_free(&w);
}

void paper_branches(paper *p, unit_system s, const branch *b, int n)
{
    for (int i = 0; i < n; i++) one_branch(p, s, &b[i], i + 1);
    if (n) paper_para(p, "Anything else: enter it or telephone it in, what comes next follows from it.");
}

/* ---- kit and expected values ---- */

void paper_kit(paper *p, tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel)
{
    tufa_kit_item kit[PARTS_STEPS];
    size_t n = tufa_visit_kit(kind, method, fuel, PARTS_STEPS, kit);
    text w = {0};
    if (n > PARTS_STEPS) n = PARTS_STEPS;
    for (size_t i = 0; i < n; i++)
        text_addf(&w, "%s\xE2\x98\x90\xC2\xA0%s%s%s", i ? "  " : "", kit[i].what, kit[i].size[0] ? ": " : "", kit[i].size);
    paper_led(p, "In the van:", text_str(&w));
    text_free(&w);
}

void expect(expected *e, const char *what, text *value)
{
    if (value->len && e->n < sizeof e->row / sizeof e->row[0]) {
        snprintf(e->row[e->n++].what, sizeof e->row[0].what, "%s: %s", what, text_str(value));
    }
    text_free(value);
}

static const char *expected_cell(void *ctx, size_t r, size_t c)
{
    const expected *e = ctx;
    return c == 0 ? e->row[r].what : "";
}

void paper_expected(paper *p, expected *e)
{
    static const char *const HEADS[] = {"What is expected here", "Before", "After"};
    static const double SHARES[] = {0.72, 0.14, 0.14};
    if (e->n) paper_table(p, 3, HEADS, SHARES, e->n, expected_cell, e);
}

/* ---- words of the tables ---- */

/* Ids of readings in a sentence of a table become what they are called; one that only stands in brackets goes. */
void say_without_ids(text *t, const char *s)
{
    static const char LETTERS[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_";
    while (*s) {
        size_t gap = strncmp(s, " (", 2) == 0 ? 2 : 0, n = strspn(s + gap, LETTERS);
        char id[48];
        snprintf(id, sizeof id, "%.*s", n < sizeof id ? (int)n : 0, s + gap);
        int test = strchr(id, '_') ? tufa_fault_test_find(id) : -1;
        if (gap && test >= 0 && s[gap + n] == ')') {
            s += gap + n + 1;
            continue;
        }
        if (test >= 0) text_addf(t, "%.*s%s", (int)gap, s, tufa_fault_test_at((size_t)test)->title);
        else text_addn(t, s, n + gap ? n + gap : 1);
        s += n + gap ? n + gap : 1;
    }
}
