/* `tufa tank [CASE.json|-]`: tanks and their days simulated, as many as are given, on every processor. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/desk/answers.h"
#include "edge/pool/pool.h"
#include "edge/desk/tank_words.h"

/* ---- JSON ---- */

static const double kWh = 3.6e6;

static json_t *number_or_null(bool there, double x) { return there ? json_real(x) : json_null(); }
static json_t *minutes(double s) { return number_or_null(s >= 0.0, s / 60.0); }
static json_t *celsius(double K) { return number_or_null(K > 0.0, K - 273.15); }

static json_t *per_layer(const double *v, int n, double scale)
{
    json_t *list = json_array();
    for (int i = 0; i < n; i++) json_array_append_new(list, json_real(v[i] * scale));
    return list;
}

static json_t *series_json(const tank_answer *a)
{
    json_t *list = json_array();
    for (size_t i = 0; i < a->result.series_count; i++) {
        const tufa_tank_sample *s = &a->series[i];
        json_array_append_new(list, json_pack("{s:f, s:o, s:f, s:f, s:f, s:f, s:f, s:b, s:b}", "min", s->t_s / 60.0, "outlet_c",
                                              celsius(s->outlet_K), "top_c", s->top_K - 273.15, "upper_sensor_c",
                                              s->upper_sensor_K - 273.15, "middle_c", s->middle_K - 273.15, "lower_sensor_c",
                                              s->lower_sensor_K - 273.15, "bottom_c", s->bottom_K - 273.15, "upper_on",
                                              (int)s->upper_on, "lower_on", (int)s->lower_on));
    }
    return list;
}

/* What goes beyond the plain figures. */
static json_t *more_json(const tank_answer *a)
{
    const tufa_tank_result *r = &a->result;
    json_t *o = json_pack("{s:f, s:f, s:f, s:f, s:f, s:i, s:i, s:o, s:o, s:o, s:f, s:f, s:o, s:o, s:f, s:f}", "leak_kwh",
                          r->leak_J / kWh, "jacket_kwh", r->jacket_J / kWh, "flue_kwh", r->flue_J / kWh, "relief_kwh",
                          r->relief_J / kWh, "drip_kwh", r->drip_J / kWh, "lower_starts", r->lower_starts, "upper_starts",
                          r->upper_starts, "last_on_min", minutes(r->last_on_s), "breaker_trip_min", minutes(r->breaker_trip_s),
                          "relief_open_min", minutes(r->relief_open_s), "tank_mean_c", r->mean_K - 273.15, "top_max_c",
                          r->top_max_K - 273.15, "skin_c", celsius(r->skin_K), "plate_c", celsius(r->plate_K), "boiling_margin_k",
                          r->noise_margin_K, "max_pressure_kpa", r->max_pressure_Pa / 1e3);
    json_object_set_new(o, "drawn_l", json_real(1e3 * r->drawn_m3));
    json_object_set_new(o, "litres_above_48_9c", json_real(1e3 * r->above_scald_m3));
    json_object_set_new(o, "scald_s", number_or_null(r->drawn_m3 > 0.0 && !a->adult.below_table, a->adult.time_s));
    json_object_set_new(o, "scald_source", json_string(a->adult.source ? a->adult.source : ""));
    json_object_set_new(o, "scald_infant_s", number_or_null(r->drawn_m3 > 0.0 && !a->infant.below_table, a->infant.time_s));
    json_object_set_new(o, "kill_log10", per_layer(r->kill_log10, a->model.n, 1.0));
    json_object_set_new(o, "kill_log10_low", per_layer(r->kill_lo, a->model.n, 1.0));
    json_object_set_new(o, "kill_log10_high", per_layer(r->kill_hi, a->model.n, 1.0));
    if (a->rated) {
        json_object_set_new(o, "first_hour_l", json_real(1e3 * a->rating.first_hour_m3));
        json_object_set_new(o, "first_draw_l", json_real(1e3 * a->rating.first_draw_m3));
        json_object_set_new(o, "recovery_min", minutes(a->rating.recovery_s));
        json_object_set_new(o, "recovery_l_h_50k", json_real(3.6e6 * a->rating.recovery_m3_s));
        json_object_set_new(o, "recovery_efficiency", json_real(a->rating.recovery_efficiency));
    }
    return o;
}

static void put_json(text *t, const tank_case *c, const tank_answer *a)
{
    const tufa_tank_result *r = &a->result;
    json_t *o = json_pack("{s:s, s:f, s:f, s:f, s:f, s:f, s:o, s:o, s:o, s:f, s:o, s:o, s:f, s:f, s:o, s:f, s:o, s:o}", "id", c->id,
                          "in_kwh", r->in_J / kWh, "delivered_kwh", r->delivered_J / kWh, "lost_kwh", r->lost_J / kWh, "stored_kwh",
                          r->stored_J / kWh, "balance_j", r->balance_J, "min_outlet_c", celsius(r->min_outlet_K), "max_outlet_c",
                          celsius(r->max_outlet_K), "mean_outlet_c", celsius(r->mean_outlet_K), "litres_above_40c",
                          1e3 * r->above_40_m3, "first_cutout_min", minutes(r->first_cutout_s), "first_full_cutout_min",
                          minutes(r->first_full_cutout_s), "lower_on_min", r->lower_on_s / 60.0, "upper_on_min",
                          r->upper_on_s / 60.0, "limit_trip_min", minutes(r->limit_trip_s), "relief_l", 1e3 * r->relief_m3,
                          "growth_hours", per_layer(r->growth_s, a->model.n, 1.0 / 3600.0), "more", more_json(a));
    if (a->series) json_object_set_new(o, "series", series_json(a));
    char *s = json_dumps(o, JSON_REAL_PRECISION(9) | JSON_COMPACT);
    text_add(t, s ? s : "");
    text_add(t, "\n");
    if (!s) t->failed = true;
    free(s);
    json_decref(o);
}

/* ---- many at once ---- */

enum { AT_ONCE = 64 }; /* cases read, simulated side by side and printed in order */

typedef struct job {
    tank_case given;
    trouble_note note; /* of the reading, or of the simulation */
    char where[96];
    text said;
} job;

typedef struct batch {
    job *jobs;
    tank_ask ask;
    bool json;
} batch;

static void simulate_one(void *ctx, size_t worker, size_t i)
{
    (void)worker;
    batch *b = ctx;
    job *j = &b->jobs[i];
    if (j->note.code != TUFA_OK) return;
    tank_answer a;
    tufa_status st = desk_tank(&j->given, b->ask, &a);
    if (st.code != TUFA_OK) {
        note_from_status(&j->note, st);
        snprintf(j->note.where, sizeof j->note.where, "%s", j->where);
    } else if (b->json) {
        put_json(&j->said, &j->given, &a);
    } else {
        say_tank(&j->said, UNITS_US, &j->given, &a);
    }
    tank_free(&a);
}

static size_t fill(json_cases *cases, batch *b, bool *more)
{
    size_t n = 0;
    while (n < AT_ONCE && *more) {
        job *j = &b->jobs[n];
        json_case one;
        json_case_result got = json_cases_next(cases, &one, &j->note);
        *more = got == JSON_CASE_GIVEN || got == JSON_CASE_BAD;
        if (got == JSON_CASE_END) break;
        if (got == JSON_CASE_GIVEN) {
            snprintf(j->where, sizeof j->where, "%s", one.where);
            if (tank_case_read(&one, &j->given)) tank_case_moved(&j->given);
        }
        n++;
    }
    return n;
}

static int put_batch(cli *c, batch *b, size_t n, size_t before, int code)
{
    for (size_t i = 0; i < n; i++) {
        job *j = &b->jobs[i];
        if (j->note.code != TUFA_OK) {
            int failed = cli_fail(c, &j->note);
            if (code == 0) code = failed;
        } else {
            if (!b->json && before + i > 0) fputs("\n", c->out);
            code = cli_finish(c, &j->said, code);
        }
        text_free(&j->said);
    }
    return code;
}

static int all_cases(cli *c, FILE *f, const char *name)
{
    json_cases cases;
    batch b = {.jobs = calloc(AT_ONCE, sizeof(job)), .json = cli_opt(c, OPT_JSON) != NULL};
    b.ask = (tank_ask){.series = cli_opt(c, OPT_SERIES) != NULL && b.json, .rating = cli_opt(c, OPT_RATING) != NULL || !b.json};
    if (!b.jobs) return cli_fail_status(c, (tufa_status){.code = TUFA_MEMORY, .field = "cases"});
    json_cases_open(&cases, f, name);
    int code = 0;
    size_t workers = pool_processors(), done = 0;
    for (bool more = true; more;) {
        size_t n = fill(&cases, &b, &more);
        pool_run(workers, n, simulate_one, &b);
        code = put_batch(c, &b, n, done, code);
        done += n;
    }
    json_cases_close(&cases);
    free(b.jobs);
    if (done == 0) {
        trouble_note note = {0};
        note_set(&note, TUFA_MISSING, "case", "", "", "there is no case in it; {} is a tank with everything at its default");
        return cli_fail(c, &note);
    }
    return code;
}

/* One heater of the book, with the bed that it is thought to have today. */
static int from_book(cli *c, const char *label)
{
    desk d;
    static job j;
    batch b = {.jobs = &j, .json = cli_opt(c, OPT_JSON) != NULL};
    text near = {0};
    int code = cli_open(c, false, &d);
    if (code) return code;
    b.ask = (tank_ask){.series = cli_opt(c, OPT_SERIES) != NULL && b.json, .rating = true};
    if (desk_heater_day(&d, label, &j.given, &near, &j.note) == TUFA_OK) tank_case_moved(&j.given), simulate_one(&b, 0, 0);
    desk_close(&d);
    code = put_batch(c, &b, 1, 0, 0);
    if (near.len) fprintf(c->err, "%s", text_str(&near));
    text_free(&near);
    return code;
}

int cmd_tank(cli *c)
{
    if (cli_opt(c, OPT_HEATER)) return from_book(c, cli_opt(c, OPT_HEATER));
    const char *name = c->operands ? c->operand[0] : "-";
    if (strcmp(name, "-") == 0) return all_cases(c, c->in, "standard input");
    FILE *f = fopen(name, "r");
    if (!f) {
        trouble_note note = {0};
        note_set(&note, TUFA_IO, "file", name, "", "it cannot be opened");
        return cli_fail(c, &note);
    }
    int code = all_cases(c, f, name);
    fclose(f);
    return code;
}
