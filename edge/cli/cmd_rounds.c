/* `tufa rounds`: the year's visits on days, with what to bring, what to keep in stock and in hand. */
#include <errno.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/rounds_calendar.h"
#include "edge/desk/rounds_words.h"
#include "edge/desk/visit_words.h"
#include "edge/desk/words.h"

/* ---- words ---- */

static void put_paragraph(text *t, void (*say)(text *, const rounds_answer *), const rounds_answer *a)
{
    text w = {0};
    say(&w, a);
    if (w.len) {
        paragraph(t, &w, 0);
        text_add(t, "\n");
    }
    text_free(&w);
}

static void put_visit(text *t, const rounds_answer *a, const rounds_visit *v)
{
    text w = {0};
    text_add(t, "  ");
    say_round_clock(t, a, v->begin_s);
    text_pad_to(t, 12);
    text_addf(t, "%s ", v->label);
    text_pad_to(t, 38);
    say_round_work(&w, v);
    text_add_wrapped(t, text_str(&w), 96, 38);
    text_add(t, "\n");
    text_clear(&w);
    if (v->why[0] && v->choice != TUFA_CHOICE_LOOK) text_addf(&w, v->call ? "\"%s\"; " : "%s; ", v->why);
    say_round_tell(&w, v);
    if (v->late) text_add(&w, "; it is overdue");
    paragraph(t, &w, 12);
}

static void put_kit_line(text *t, const char *head, const rounds_day *r, bool parts)
{
    text w = {0};
    text_add(&w, head);
    size_t before = w.len;
    say_round_kit(&w, r, parts);
    if (w.len > before) paragraph(t, &w, 2);
    text_free(&w);
}

static void put_round(text *t, const rounds_answer *a, const rounds_day *r)
{
    say_weekday(t, a->units, r->day);
    text_add(t, ": ");
    say_round_head(t, a, r);
    text_add(t, "\n");
    for (size_t i = 0; i < r->n; i++) put_visit(t, a, &a->visit[r->first + i]);
    put_kit_line(t, "Parts: ", r, true);
    put_kit_line(t, "Tools: ", r, false);
    text_add(t, "\n");
}

static void put_outs(text *t, const rounds_answer *a)
{
    if (a->placed == a->visits) return;
    text_add(t, "In no round\n");
    for (size_t i = a->placed; i < a->visits; i++) {
        const rounds_visit *v = &a->visit[i];
        text w = {0};
        text_addf(&w, "%s, ", v->label);
        say_round_work(&w, v);
        text_add(&w, ". ");
        say_round_out(&w, v);
        text_add(&w, ".");
        paragraph(t, &w, 2);
    }
    text_add(t, "\n");
}

enum { STOCK_COLUMN = 43 };

static void put_stock(text *t, const rounds_answer *a)
{
    if (a->stocks == 0) return;
    text_add(t, "Parts for the year: in these rounds, and for elements that burn out all the same\n");
    text_add(t, "  on average  to have  in the van  to buy\n");
    for (size_t i = 0; i < a->stocks; i++) {
        const rounds_item *x = &a->stock[i];
        if (x->need.carry == 0) continue;
        text_addf(t, "  %10.1f  %7zu  ", x->need.mean, x->need.carry);
        if (x->in_van < 0.0) text_add(t, "         ?");
        else text_addf(t, "%10g", x->in_van);
        text_addf(t, "  %6g  ", x->buy);
        text w = {0};
        text_add(&w, x->what);
        if (x->each_usd > 0.0 && x->buy > 0.0) {
            text_add(&w, ", ");
            say_usd(&w, x->buy * x->each_usd);
        }
        text_add_wrapped(t, text_str(&w), 96, STOCK_COLUMN);
        text_add(t, "\n");
        text_free(&w);
    }
    text w = {0};
    text_add(&w, "To have: enough in nine years of ten. ? was never counted; `tufa visit stock gasket=4` counts what is in the van.");
    paragraph(t, &w, 2);
    text_add(t, "\n");
}

static void put_cautions(text *t, const rounds_answer *a)
{
    bool done[TUFA_CHOICE_COUNT][2] = {{false}}, any = false;
    for (size_t i = 0; i < a->placed; i++) {
        const rounds_visit *v = &a->visit[i];
        bool gas = v->fuel != TUFA_ELECTRIC;
        if (v->call || done[v->choice][gas] || !caution_work(v->choice, v->fuel, v->reading)) continue;
        if (!any) text_add(t, "Before the work, in the words that `tufa ahead HEATER` prints in full:\n");
        any = done[v->choice][gas] = true;
        text w = {0};
        text_addf(&w, "%s (%s): ", v->what, gas ? "gas" : "electric");
        caution_titles(&w, v->choice, v->fuel, v->reading);
        text_add(&w, ".");
        paragraph(t, &w, 2);
    }
}

static void rounds_text(text *t, const rounds_answer *a, const char *book)
{
    text_addf(t, "Rounds of %s, planned on ", book);
    say_day(t, a->today);
    text_add(t, "\n\n");
    put_paragraph(t, say_rounds_letter, a);
    for (size_t r = 0; r < a->rounds; r++) put_round(t, a, &a->round[r]);
    put_outs(t, a);
    if (a->visits) put_paragraph(t, say_rounds_costs, a);
    put_paragraph(t, say_rounds_empty, a);
    put_stock(t, a);
    put_paragraph(t, say_rounds_reserve, a);
    if (a->visits) put_paragraph(t, say_rounds_terms, a);
    put_cautions(t, a);
}

/* ---- JSON: one line for each round, each visit, each part, and the sum ---- */

static json_t *day_or_null(int64_t day)
{
    text w = {0};
    if (day) say_day(&w, day);
    json_t *v = day ? json_string(text_str(&w)) : json_null();
    text_free(&w);
    return v;
}

static json_t *cents(double usd) { return json_real(round(100.0 * usd) / 100.0); }
static json_t *rounded(double x) { return json_real(round(1000.0 * x) / 1000.0); }

static json_t *visit_json(const rounds_visit *v)
{
    text w = {0};
    say_round_work(&w, v);
    json_t *o = json_pack("{s:s, s:s, s:s, s:s, s:s, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:b, s:o, s:s, s:s}", "kind", "visit", "heater", v->label,
                          "street", v->street, "work", text_str(&w), "why", v->why, "call", v->call ? json_integer(v->call) : json_null(), "round",
                          v->round < 0 ? json_null() : json_integer(v->round + 1), "day", day_or_null(v->round < 0 ? 0 : v->day), "earliest",
                          day_or_null(v->earliest_day), "latest", day_or_null(v->latest_day), "tell_by", day_or_null(v->tell_day), "begin_min",
                          v->round < 0 ? json_null() : rounded(v->begin_s / 60.0), "work_min", rounded(v->work_s / 60.0), "empty", v->in_empty,
                          "empty_saves_usd", cents(v->empty_saves_usd), "out", v->round < 0 ? rounds_out_key(v->out) : "", "out_why",
                          v->round < 0 ? rounds_out_words(v->out) : "");
    if (o) {
        json_object_set_new(o, "house", json_integer(v->house));
        json_object_set_new(o, "wait_usd_day", rounded(v->wait_usd_day));
        json_object_set_new(o, "entry_usd", cents(v->entry_usd));
        json_object_set_new(o, "spend_usd", cents(v->spend_usd));
        json_object_set_new(o, "overdue", json_boolean(v->late));
    }
    text_free(&w);
    return o;
}

static json_t *item_json(const rounds_item *i, const char *kind)
{
    return json_pack("{s:s, s:s, s:s, s:s, s:b, s:o, s:I, s:o, s:o, s:o, s:o}", "kind", kind, "item", i->id, "what", i->what, "size", i->size, "part",
                     i->part, "mean", rounded(i->need.mean), "carry", (json_int_t)i->need.carry, "short_chance", rounded(i->need.short_chance), "in_van",
                     i->in_van < 0.0 ? json_null() : rounded(i->in_van), "buy", rounded(i->buy), "each_usd", i->each_usd > 0.0 ? cents(i->each_usd) : json_null());
}

static json_t *round_json(const rounds_answer *a, size_t r)
{
    const rounds_day *d = &a->round[r];
    json_t *kit = json_array();
    for (size_t i = 0; i < d->items; i++) json_array_append_new(kit, item_json(&d->item[i], "item"));
    return json_pack("{s:s, s:I, s:o, s:I, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "kind", "round", "round", (json_int_t)r + 1, "day", day_or_null(d->day),
                     "visits", (json_int_t)d->n, "hours", rounded(d->end_s / 3600.0), "work_hours", rounded(d->work_s / 3600.0), "drive_hours",
                     rounded(d->drive_s / 3600.0), "miles", rounded(d->road_m / 1609.344), "drive_usd", cents(d->drive_usd), "spend_usd",
                     cents(d->spend_usd), "wait_usd", cents(d->wait_usd), "gain_usd", cents(d->gain_usd), "kit", kit);
}

static json_t *sum_json(const rounds_answer *a)
{
    return json_pack("{s:s, s:I, s:I, s:I, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:I, s:I, s:I}", "kind", "sum", "visits",
                     (json_int_t)a->visits, "placed", (json_int_t)a->placed, "rounds", (json_int_t)a->rounds, "wait_usd", cents(a->wait_usd), "entry_usd",
                     cents(a->entry_usd), "drive_usd", cents(a->drive_usd), "ready_usd", cents(a->ready_usd), "total_usd", cents(a->total_usd),
                     "bound_usd", cents(a->bound_usd), "gap", rounded(rounds_gap(a)), "work_hours", rounded(a->work_hours), "drive_hours",
                     rounded(a->drive_hours), "miles", rounded(a->miles), "empty_saves_usd", cents(a->saved_usd), "reserve_mean_usd",
                     cents(a->reserve.mean_usd), "reserve_p90_usd", cents(a->reserve.p90_usd), "drives_timed", (json_int_t)a->drives[0],
                     "drives_coordinates", (json_int_t)a->drives[1], "drives_assumed", (json_int_t)a->drives[2]);
}

static void put_json(text *t, json_t *o)
{
    char *s = o ? json_dumps(o, JSON_COMPACT | JSON_REAL_PRECISION(12)) : NULL;
    if (s) text_addf(t, "%s\n", s);
    else t->failed = true;
    free(s);
    json_decref(o);
}

static void rounds_json(text *t, const rounds_answer *a)
{
    for (size_t r = 0; r < a->rounds; r++) {
        put_json(t, round_json(a, r));
        for (size_t i = 0; i < a->round[r].n; i++) put_json(t, visit_json(&a->visit[a->round[r].first + i]));
    }
    for (size_t i = a->placed; i < a->visits; i++) put_json(t, visit_json(&a->visit[i]));
    for (size_t i = 0; i < a->stocks; i++) put_json(t, item_json(&a->stock[i], "stock"));
    put_json(t, sum_json(a));
}

/* ---- CSV: a line for each visit ---- */

static void put_cell(text *t, const char *s, bool last)
{
    bool quoted = strpbrk(s, ",\"\r\n") != NULL;
    if (quoted) text_add(t, "\"");
    for (; *s; s++) text_addn(t, quoted && *s == '"' ? "\"\"" : s, quoted && *s == '"' ? 2 : 1);
    if (quoted) text_add(t, "\"");
    text_add(t, last ? "\n" : ",");
}

static void put_day(text *t, int64_t day)
{
    if (day) say_day(t, day);
    text_add(t, ",");
}

static void rounds_csv(text *t, const rounds_answer *a)
{
    text_add(t, "round,day,begin,heater,street,work,why,work_min,earliest,latest,tell_by,spend_usd,wait_usd_day,empty,in_no_round\n");
    for (size_t i = 0; i < a->visits; i++) {
        const rounds_visit *v = &a->visit[i];
        text w = {0};
        if (v->round >= 0) text_addf(t, "%d", v->round + 1);
        text_add(t, ",");
        put_day(t, v->round < 0 ? 0 : v->day);
        if (v->round >= 0) say_round_clock(t, a, v->begin_s);
        text_add(t, ",");
        put_cell(t, v->label, false);
        put_cell(t, v->street, false);
        say_round_work(&w, v);
        put_cell(t, text_str(&w), false);
        put_cell(t, v->why, false);
        text_addf(t, "%.0f,", v->work_s / 60.0);
        put_day(t, v->earliest_day);
        put_day(t, v->latest_day);
        put_day(t, v->tell_day);
        text_addf(t, "%.2f,%.3f,%s,", v->spend_usd, v->wait_usd_day, v->in_empty ? "yes" : "");
        put_cell(t, v->round < 0 ? rounds_out_key(v->out) : "", true);
        text_free(&w);
    }
}

/* ---- the calendar file: whole or not at all ---- */

static int fail_file(cli *c, const char *path, const char *why)
{
    trouble_note note = {0};
    note_set(&note, TUFA_IO, "--ics", path, "", why);
    return cli_fail(c, &note);
}

static int write_calendar(cli *c, const rounds_answer *a, const char *path)
{
    text t = {0}, beside = {0};
    rounds_calendar(&t, a, cli_book(c));
    if (strcmp(path, "-") == 0) return cli_finish(c, &t, 0);
    text_addf(&beside, "%s.%ld.part", path, (long)getpid());
    FILE *f = fopen(text_str(&beside), "wb");
    bool ok = f && text_print(&t, f);
    if (f && fclose(f) != 0) ok = false;
    const char *why = ok ? NULL : strerror(errno);
    if (ok && rename(text_str(&beside), path) != 0) ok = false, why = strerror(errno);
    int code = ok ? 0 : fail_file(c, path, why);
    if (!ok && f) unlink(text_str(&beside));
    text_free(&t);
    text_free(&beside);
    return code;
}

/* ---- the command ---- */

static void progress(void *ctx, size_t done, size_t all) { cli_progress(ctx, done, all, 500, "planning the rounds"); }

static void progress_end(cli *c)
{
    if (isatty(fileno(c->err))) fprintf(c->err, "\r%30s\r", "");
}

static int take_seconds(cli *c, double *seconds)
{
    const char *given = cli_opt(c, OPT_SECONDS);
    char *end;
    *seconds = 0.0;
    if (!given) return 0;
    *seconds = strtod(given, &end);
    if (end != given && *end == 0 && *seconds >= 0.1 && *seconds <= 3600.0) return 0;
    trouble_note note = {0};
    note_set(&note, TUFA_RANGE, "--seconds", given, "0.1 to 3600", "this is no number of seconds");
    return cli_fail(c, &note);
}

int cmd_rounds(cli *c)
{
    desk d;
    rounds_answer a;
    double seconds;
    if (c->operands) {
        trouble_note note = {0};
        note_set(&note, TUFA_UNKNOWN, "word", c->operand[0], "", "`tufa rounds` takes no words; `tufa year` has the list of all heaters");
        return cli_fail(c, &note);
    }
    int code = take_seconds(c, &seconds);
    if (code == 0) code = cli_open(c, false, &d);
    if (code) return code;
    tufa_status st = desk_rounds(&d, &(rounds_ask){.progress = progress, .ctx = c, .seconds = seconds}, &a);
    desk_close(&d);
    progress_end(c);
    if (st.code != TUFA_OK) return cli_fail_book(c, st);
    const char *ics = cli_opt(c, OPT_ICS);
    if (ics) code = write_calendar(c, &a, ics);
    text t = {0};
    if (code || (ics && strcmp(ics, "-") == 0)) {
        rounds_free(&a);
        return code;
    }
    if (cli_opt(c, OPT_JSON)) rounds_json(&t, &a);
    else if (cli_opt(c, OPT_CSV)) rounds_csv(&t, &a);
    else rounds_text(&t, &a, cli_book(c));
    rounds_free(&a);
    return cli_finish(c, &t, 0);
}
