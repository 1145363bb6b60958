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

typedef struct caution_list {
    const tufa_caution *c[64];
    size_t n;
    text words;
} caution_list;

static const char *caution_cell(void *ctx, size_t r, size_t c)
{
    caution_list *l = ctx;
    if (c == 0) return l->c[r]->title;
    if (l->c[r]->level != TUFA_CAUTION_LICENSED) return l->c[r]->words;
    text_clear(&l->words);
    text_addf(&l->words, "Licensed work in most places. %s", l->c[r]->words);
    return text_str(&l->words);
}

void paper_cautions(paper *p, const works *w, tufa_fuel fuel)
{
    static const char *const LEVEL[] = {"LEAVE: ", "STOP: "};
    static const double SHARES[] = {0.19, 0.81};
    caution_list rest = {0};
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (!works_have(w, c, fuel)) continue;
        if (c->level >= TUFA_CAUTION_LICENSED && rest.n < 64) {
            rest.c[rest.n++] = c;
            continue;
        }
        text head = {0};
        text_addf(&head, "%s%s", LEVEL[c->level], c->title);
        paper_caution(p, text_str(&head), c->words);
        text_free(&head);
    }
    if (rest.n) paper_table(p, 2, NULL, SHARES, rest.n, caution_cell, &rest);
    text_free(&rest.words);
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
        if ((int)step[i].phase != phase) {
            text head = {0};
            text_add(&head, tufa_step_phase_words(step[i].phase));
            if (head.len) head.s[0] = (char)toupper((unsigned char)head.s[0]);
            paper_heading(p, text_str(&head));
            text_free(&head);
        }
        phase = (int)step[i].phase;
        char number[8];
        snprintf(number, sizeof number, "%zu", from++);
        int test = step[i].reading[0] ? tufa_fault_test_find(step[i].reading) : -1;
        text unit = {0};
        if (test >= 0) say_reading_unit(&unit, s, tufa_fault_test_at((size_t)test));
        paper_step(p, number, step[i].words, step[i].reading[0] ? text_str(&unit) : NULL);
        text_free(&unit);
    }
    return from;
}

typedef struct branch_cells {
    text cell[TUFA_MAX_OUTCOMES + 1][3];
} branch_cells;

static const char *branch_cell(void *ctx, size_t r, size_t c)
{
    branch_cells *b = ctx;
    return text_str(&b->cell[r][c]);
}

static void one_branch(paper *p, unit_system s, const branch *b, int number)
{
    static const char *const HEADS[] = {"", "It shows", "Then"};
    static const double SHARES[] = {0.06, 0.29, 0.65};
    static const double WORTH_A_LINE = 0.005;
    const tufa_test *test = tufa_fault_test_at((size_t)b->next.test);
    text w = {0};
    paper_together(p);
    text_addf(&w, "Reading %d: %s (%.0f min)", number, test->title, b->next.minutes);
    paper_strong(p, text_str(&w));
    text_clear(&w);
    text_add(&w, test->how);
    if (test->isolation[0]) text_addf(&w, "\nFirst: %s.", test->isolation);
    if (test->hazard[0]) text_addf(&w, "\nMind: %s.", test->hazard);
    if (test->stops[0]) text_addf(&w, "\nStop at: %s.", test->stops);
    paper_words(p, paper_para, &w);
    branch_cells cells = {0};
    size_t rows = 0;
    for (int i = 0; i < b->next.outcomes; i++) {
        if (b->next.outcome[i].probability < WORTH_A_LINE) continue;
        text *row = cells.cell[rows++];
        text_add(&row[0], "\xE2\x98\x90");
        say_outcome(&row[1], s, b->next.test, &b->next.outcome[i]);
        text_add(&row[1], " (");
        say_odds(&row[1], b->next.outcome[i].probability);
        text_add(&row[1], ")");
        say_branch_end(&row[2], b, i, number);
    }
    text *other = cells.cell[rows++];
    text_add(&other[0], "\xE2\x98\x90");
    text_add(&other[1], "anything else");
    text_add(&other[2], "Enter it, or telephone it in: what comes next follows from it.");
    paper_table(p, 3, HEADS, SHARES, rows, branch_cell, &cells);
    for (int i = 0; i <= TUFA_MAX_OUTCOMES; i++)
        for (int c = 0; c < 3; c++) text_free(&cells.cell[i][c]);
    text unit = {0};
    say_reading_unit(&unit, s, test);
    text_addf(&w, "As read%s%s%s, and the time", unit.len ? " (" : "", text_str(&unit), unit.len ? ")" : "");
    paper_blank(p, text_str(&w), 1.0);
    paper_together_end(p);
    text_free(&unit);
    text_free(&w);
}

void paper_branches(paper *p, unit_system s, const branch *b, int n)
{
    for (int i = 0; i < n; i++) one_branch(p, s, &b[i], i + 1);
}

/* ---- kit and expected values ---- */

void paper_kit(paper *p, tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel)
{
    tufa_kit_item kit[PARTS_STEPS];
    text line[PARTS_STEPS] = {{0}};
    const char *words[PARTS_STEPS];
    size_t n = tufa_visit_kit(kind, method, fuel, PARTS_STEPS, kit);
    if (n > PARTS_STEPS) n = PARTS_STEPS;
    for (size_t i = 0; i < n; i++) {
        text_addf(&line[i], "%s%s%s%s", kit[i].what, kit[i].size[0] ? ": " : "", kit[i].size, kit[i].part ? " (used up)" : "");
        words[i] = text_str(&line[i]);
    }
    paper_heading(p, "In the van");
    paper_ticks(p, 2, n, words);
    for (size_t i = 0; i < n; i++) text_free(&line[i]);
}

void expect(expected *e, const char *what, text *value)
{
    if (value->len && e->n < sizeof e->row / sizeof e->row[0]) {
        snprintf(e->row[e->n].what, sizeof e->row[0].what, "%s", what);
        snprintf(e->row[e->n++].value, sizeof e->row[0].value, "%s", text_str(value));
    }
    text_free(value);
}

static const char *expected_cell(void *ctx, size_t r, size_t c)
{
    const expected *e = ctx;
    return c == 0 ? e->row[r].what : c == 1 ? e->row[r].value : "";
}

void paper_expected(paper *p, expected *e)
{
    static const char *const HEADS[] = {"Reading", "Expected here", "Before", "After"};
    static const double SHARES[] = {0.36, 0.34, 0.15, 0.15};
    if (e->n) paper_table(p, 4, HEADS, SHARES, e->n, expected_cell, e);
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
