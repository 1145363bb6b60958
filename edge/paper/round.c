/* One day's round. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/desk/rounds_words.h"
#include "edge/desk/visit_words.h"
#include "edge/desk/words.h"
#include "edge/paper/parts.h"
#include "edge/say/day.h"

enum { COLUMNS = 5 };
#define ROUGHLY_S 900.0 /* no plan of a day is better than a quarter of an hour */

typedef struct stop_cells {
    const rounds_answer *a;
    const rounds_day *r;
    text cell;
} stop_cells;

static const char *cell(void *ctx, size_t r, size_t c)
{
    stop_cells *x = ctx;
    const rounds_visit *v = &x->a->visit[x->r->first + r];
    text *t = &x->cell;
    text_clear(t);
    switch (c) {
    case 0: say_round_clock(t, x->a, v->begin_s); break;
    case 1:
        text_add(t, v->label);
        if (strncmp(v->label, v->street, strlen(v->street)) != 0) text_addf(t, "\n%s", v->street);
        break;
    case 2:
        say_round_work(t, v);
        text_add(t, ", about ");
        say_quantity(t, x->a->units, Q_TIME, ROUGHLY_S * ceil(v->work_s / ROUGHLY_S));
        if (v->why[0]) text_addf(t, v->call ? "\n\"%s\"" : "\n%s", v->why);
        break;
    case 3: say_round_tell(t, v); break;
    default: text_add(t, "\xE2\x98\x90 told\n\xE2\x98\x90 done"); break;
    }
    return text_str(t);
}

static void load(paper *p, const rounds_day *r, bool parts)
{
    text line[64] = {{0}};
    const char *words[64];
    size_t n = 0;
    for (size_t i = 0; i < r->items && n < 64; i++) {
        if (r->item[i].part != parts) continue;
        say_round_item(&line[n], &r->item[i]);
        words[n] = text_str(&line[n]);
        n++;
    }
    if (n) {
        paper_heading(p, parts ? "Parts to load" : "Tools to load");
        paper_ticks(p, 2, n, words);
    }
    for (size_t i = 0; i < n; i++) text_free(&line[i]);
}

/* Cautions of all the work of the day, for electric and gas heaters apart. */
static void cautions(paper *p, const rounds_answer *a, const rounds_day *r)
{
    static const char *const HEADS[] = {"Before work on an electric heater", "Before work on a gas heater"};
    for (int gas = 0; gas < 2; gas++) {
        works w = {0};
        bool any = false;
        for (size_t i = 0; i < r->n; i++) {
            const rounds_visit *v = &a->visit[r->first + i];
            if ((v->fuel != TUFA_ELECTRIC) != (gas == 1)) continue;
            any = true;
            if (v->call) continue; /* its own sheet has them, by its readings */
            works_add(&w, caution_work(v->choice, v->fuel, v->reading));
            works_add(&w, caution_kind(v->choice));
            if (v->method < TUFA_METHOD_COUNT) works_add(&w, tufa_method_at(v->method)->code);
        }
        if (!any) continue;
        paper_columns(p);
        paper_heading(p, HEADS[gas]);
        paper_cautions(p, &w, gas ? TUFA_GAS : TUFA_ELECTRIC);
        paper_columns_end(p);
    }
}

/* The day that is meant: the one that is said, else the next that has a round; 0: there is none. */
static int64_t pick(const rounds_answer *a, int64_t day)
{
    for (size_t i = 0; i < a->rounds; i++)
        if (day == 0 ? a->round[i].day >= a->today : a->round[i].day == day) return a->round[i].day;
    return 0;
}

static tufa_code no_round(const rounds_answer *a, const char *day, trouble_note *note)
{
    text days = {0};
    for (size_t i = 0; i < a->rounds && i < 8; i++) {
        text_add(&days, i ? ", " : "");
        say_day(&days, a->round[i].day);
    }
    note_set(note, TUFA_MISSING, "day", day ? day : "", text_str(&days), a->rounds ? "no round is planned for this day" : "no round is planned: nothing of this year's plan needs one");
    text_free(&days);
    return TUFA_MISSING;
}

static void one_round(paper *p, const rounds_answer *a, const rounds_day *r)
{
    static const char *const HEADS[COLUMNS] = {"At", "Heater", "Work", "Tenant", ""};
    static const double SHARES[COLUMNS] = {0.10, 0.20, 0.36, 0.23, 0.11};
    stop_cells x = {.a = a, .r = r};
    text w = {0};
    text_add(&w, "Round of ");
    say_weekday(&w, a->units, r->day);
    paper_words(p, paper_title, &w);
    say_round_head(&w, a, r);
    text_add(&w, ". Every stop has its own job sheet: `tufa sheet HEATER`.");
    paper_words(p, paper_para, &w);
    paper_table(p, COLUMNS, HEADS, SHARES, r->n, cell, &x);
    text_free(&x.cell);
    load(p, r, true);
    load(p, r, false);
    cautions(p, a, r);
    paper_heading(p, "Along the way");
    paper_blank(p, "Left at, back at, miles", 1.0);
    paper_blank(p, "", 2.0);
}

/* Where several crews go out on one day each has its own leaf. */
static void whole(const document_ask *ask, paper *p, const rounds_answer *a, int64_t day)
{
    text w = {0};
    bool first = true;
    say_day(&w, day);
    document_named(ask, p, "Round", text_str(&w));
    text_free(&w);
    paper_type(p, 10.0, 9.0);
    for (size_t i = 0; i < a->rounds; i++) {
        if (a->round[i].day != day) continue;
        if (!first) paper_new_page(p);
        first = false;
        one_round(p, a, &a->round[i]);
    }
}

static tufa_code seconds_of(const document_ask *ask, double *seconds, trouble_note *note)
{
    const char *said = document_option(ask, "seconds");
    char *end = NULL;
    if (!said) return TUFA_OK;
    *seconds = strtod(said, &end);
    if (end != said && !*end && *seconds > 0.0 && *seconds <= 3600.0) return TUFA_OK;
    note_set(note, TUFA_RANGE, "seconds", said, "0.1 to 3600", "this is no time to look for");
    return TUFA_RANGE;
}

tufa_code document_round(const document_ask *ask, paper *p, trouble_note *note)
{
    const char *said = document_option(ask, "day");
    int64_t day = 0;
    rounds_answer own;
    const rounds_answer *a = &own;
    rounds_ask how = {0};
    if (said && !day_parse(said, &day)) {
        note_set(note, TUFA_PARSE, "day", said, "2026-03-12 or 3/12/2026", "this is no day");
        return TUFA_PARSE;
    }
    if (seconds_of(ask, &how.seconds, note) != TUFA_OK) return note->code;
    bool kept = ask->rounds && ask->rounds(ask->ctx, &a).code == TUFA_OK;
    if (!kept) {
        a = &own;
        if (ask->year && ask->year(ask->ctx, &how.year).code != TUFA_OK) how.year = NULL;
        tufa_status st = desk_rounds(ask->d, &how, &own);
        if (st.code != TUFA_OK) return document_fail(note, st);
    }
    day = pick(a, day);
    tufa_code code = day ? TUFA_OK : no_round(a, said, note);
    if (day) whole(ask, p, a, day);
    if (!kept) rounds_free(&own);
    return code;
}
