/* `tufa whatif`: the book's cost over ten years with one thing done otherwise. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <unistd.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/whatif.h"
#include "edge/desk/words.h"
#include "edge/import/value.h"

static void put_usd(text *t, double usd, size_t column)
{
    text w = {0};
    say_usd(&w, usd);
    text_pad_to(t, column - w.len);
    text_add(t, text_str(&w));
    text_free(&w);
}

static void put_case(text *t, const whatif_answer *a, whatif_kind k)
{
    enum { HEATERS = 50, STANDBY = 61, ROUNDS = 72, CHANGE = 83, TOTAL = 95 };
    const whatif_case *c = &a->of[k];
    text w = {0};
    text_add(t, "  ");
    say_whatif_case(&w, a, k);
    text_add(t, text_str(&w));
    if (w.len > 36) text_add(t, "\n"); /* a water with a long name */
    text_clear(&w);
    if (c->possible) {
        put_usd(t, c->heaters_usd.p50, HEATERS);
        put_usd(t, c->standby_usd, STANDBY);
        put_usd(t, c->rounds_usd, ROUNDS);
        put_usd(t, c->change_usd.p50, CHANGE);
        put_usd(t, c->total_usd, TOTAL);
    }
    text_add(t, "\n");
    say_whatif_verdict(&w, a, k);
    if (c->no_room) {
        text_add(&w, w.len ? " " : "");
        say_count(&w, c->no_room, "visit finds no room in the year.", "visits find no room in the year.");
    }
    if (w.len) paragraph(t, &w, 6);
    text_free(&w);
}

static void whatif_text(text *t, const whatif_answer *a, const char *book)
{
    text w = {0};
    text_addf(t, "What if, for %s, ten years from ", book);
    say_day(t, a->today);
    text_add(t, "\n\n");
    if (a->heaters == 0) {
        text_add(t, "There is no heater in this book yet. `tufa book import` takes a list of them.\n");
        return;
    }
    text_add(t, "                                           heaters    standby     rounds the change    together\n");
    for (int k = 0; k < WHATIF_COUNT; k++) put_case(t, a, (whatif_kind)k);
    text_add(t, "\n");
    say_whatif_basis(&w, a);
    paragraph(t, &w, 0);
    text_free(&w);
}

static json_t *cents(double usd) { return json_real(round(100.0 * usd) / 100.0); }

static void whatif_json(text *t, const whatif_answer *a)
{
    for (int k = 0; k < WHATIF_COUNT; k++) {
        const whatif_case *c = &a->of[k];
        json_t *o = json_pack("{s:s, s:b, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:f, s:I, s:I, s:I, s:I, s:s, s:f}", "case", whatif_key((whatif_kind)k), "possible",
                              c->possible, "heaters_usd", cents(c->heaters_usd.p50), "heaters_p10_usd", cents(c->heaters_usd.p10), "heaters_p90_usd",
                              cents(c->heaters_usd.p90), "endless_usd", cents(c->endless_usd), "standby_usd", cents(c->standby_usd), "rounds_usd", cents(c->rounds_usd), "change_usd",
                              cents(c->change_usd.p50), "change_p10_usd", cents(c->change_usd.p10), "change_p90_usd", cents(c->change_usd.p90), "total_usd",
                              cents(c->total_usd), "saves_usd", cents(c->saves_usd), "worth_usd_year", cents(c->worth_usd_year), "crew_hours_year",
                              c->own_hours, "softeners", (json_int_t)c->houses, "visits", (json_int_t)c->visits, "no_room", (json_int_t)c->no_room, "heaters", (json_int_t)c->heaters, "water",
                              k == WHATIF_SOFTENED ? a->water : "", "setpoint_c", k == WHATIF_SETPOINTS ? a->setpoint_K - 273.15 : 0.0);
        char *s = o ? json_dumps(o, JSON_COMPACT | JSON_REAL_PRECISION(12)) : NULL;
        if (s) text_addf(t, "%s\n", s);
        else t->failed = true;
        free(s);
        json_decref(o);
    }
}

/* 0, or an exit code after the trouble was told. */
static int take_setpoint(cli *c, unit_system said, double *setpoint_K)
{
    const char *given = cli_opt(c, OPT_SETPOINT);
    const double least_K = 310.93, most_K = 361.0; /* 100 to 190 F, as a heater's own field */
    value_rule rule = {.field = "--setpoint", .q = Q_TEMPERATURE, .unit = unit_said(Q_TEMPERATURE, said), .lo = least_K, .hi = most_K};
    tufa_value v;
    trouble_note note = {0};
    *setpoint_K = 0.0;
    if (!given) return 0;
    if (value_parse(given, &rule, &v, &note) != TUFA_OK) return cli_fail(c, &note);
    *setpoint_K = v.basis == TUFA_BASIS_NONE ? 0.0 : v.mid;
    return 0;
}

static void progress(void *ctx, size_t done, size_t all) { cli_progress(ctx, done, all, 200, ""); }

int cmd_whatif(cli *c)
{
    desk d;
    whatif_answer a;
    double setpoint_K;
    text near = {0}, t = {0};
    trouble_note note = {0};
    if (c->operands) {
        note_set(&note, TUFA_UNKNOWN, "word", c->operand[0], "", "`tufa whatif` takes no words; --water NAME and --setpoint DEGREES say what is changed");
        return cli_fail(c, &note);
    }
    int code = cli_open(c, false, &d);
    if (code) return code;
    code = take_setpoint(c, d.units, &setpoint_K);
    if (code) {
        desk_close(&d);
        return code;
    }
    whatif_ask ask = {.water = cli_opt(c, OPT_WATER), .setpoint_K = setpoint_K, .progress = progress, .ctx = c};
    tufa_code trouble = desk_whatif(&d, &ask, &a, &near, &note);
    desk_close(&d);
    if (trouble) {
        code = cli_fail(c, &note);
        if (near.len) fprintf(c->err, "%s", text_str(&near));
        text_free(&near);
        return code;
    }
    text_free(&near);
    if (cli_opt(c, OPT_JSON)) whatif_json(&t, &a);
    else whatif_text(&t, &a, cli_book(c));
    return cli_finish(c, &t, 0);
}
