/* `tufa year`: what to do about every heater this year. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

/* ---- JSON and CSV: one line a heater, the same figures ---- */

typedef enum cell_type { CELL_TEXT, CELL_NUMBER, CELL_NONE } cell_type;
typedef struct cell {
    const char *key;
    cell_type type;
    const char *words;
    double number;
} cell;
enum { CELLS = 56 };
typedef struct line {
    cell cell[CELLS];
    size_t n;
    char due[16];
} line;

static void put_text(line *l, const char *key, const char *words)
{
    l->cell[l->n++] = (cell){.key = key, .type = words ? CELL_TEXT : CELL_NONE, .words = words};
}

static void put_number(line *l, const char *key, double x, int digits)
{
    double scale = x != 0.0 ? pow(10.0, digits - 1 - floor(log10(fabs(x)))) : 1.0;
    l->cell[l->n++] = (cell){.key = key, .type = isfinite(x) ? CELL_NUMBER : CELL_NONE, .number = round(x * scale) / scale};
}

static void put_usd(line *l, const char *key, double usd)
{
    l->cell[l->n++] = (cell){.key = key, .type = CELL_NUMBER, .number = round(usd * 100.0) / 100.0};
}

/* The same names as in `tufa ahead`. */
static void hot_cells(const hot_row *h, line *l)
{
    put_number(l, "setpoint_c", (double)h->setpoint_K - 273.15, 4);
    put_number(l, "first_draw_l", 1e3 * (double)h->first_draw_m3, 3);
    put_number(l, "first_draw_lost_l", round(1e4 * (double)h->first_draw_lost_m3) / 10.0, 3);
    if (h->recovery_s > 0.0F) put_number(l, "recovery_h", (double)h->recovery_s / 3600.0, 3);
    else put_text(l, "recovery_h", NULL);
    put_number(l, "in_j_year", (double)h->in_J_year, 4);
    put_number(l, "in_clean_j_year", (double)h->in_J_year_clean, 4);
    put_number(l, "hottest_c", (double)h->hottest_K - 273.15, 3);
    if (h->scald_adult_s >= 0.0F) put_number(l, "scald_adult_s", (double)h->scald_adult_s, 3);
    else put_text(l, "scald_adult_s", NULL);
    put_number(l, "growth_bottom_h_day", (double)h->growth_bottom_s / 3600.0, 3);
    put_number(l, "growth_mean_h_day", (double)h->growth_mean_s / 3600.0, 3);
}

/* Of a heater that is replaced now or next: is the new one large enough; and a kind of which the house was not asked. */
static void new_heater_cells(const year_row *r, line *l)
{
    bool set = r->fits.kind != TUFA_CHOICE_LEAVE, ask = r->other != TUFA_CHOICE_LEAVE;
    put_text(l, "size", set ? enough_key(r->fits.size.says) : NULL);
    if (set) put_number(l, "size_short_l", 1e3 * r->fits.size.short_m3, 3);
    else put_text(l, "size_short_l", NULL);
    put_text(l, "other_kind", ask ? tufa_choice_at(r->other)->key : NULL);
    if (ask) put_usd(l, "other_kind_saves_usd_year", r->other_usd_year);
    else put_text(l, "other_kind_saves_usd_year", NULL);
    put_text(l, "other_kind_ask", ask ? r->other_ask : NULL);
}

static void heater_line(const year_row *r, line *l)
{
    static const char *const RESTS[] = {"prior", "neighbours", "findings"};
    static const char *const WHEN[] = {"trouble_years_p10", "trouble_years_p50", "trouble_years_p90"};
    l->n = 0;
    put_text(l, "kind", "heater");
    put_text(l, "heater", r->label);
    put_text(l, "street", r->street);
    put_text(l, "fuel", fuel_word(r->fuel));
    put_number(l, "age_years", (double)r->age_years, 3);
    put_text(l, "action", tufa_choice_at(r->choice)->key);
    put_text(l, "why", r->why);
    text due = {0};
    if (r->due_day) write_day(&due, r->due_day);
    strncpy(l->due, text_str(&due), sizeof l->due - 1);
    text_free(&due);
    put_text(l, "due_latest", r->due_day && r->date_sure ? l->due : NULL);
    put_usd(l, "cost_done_usd", r->done_usd.p50);
    put_usd(l, "cost_done_p10_usd", r->done_usd.p10);
    put_usd(l, "cost_done_p90_usd", r->done_usd.p90);
    put_usd(l, "cost_left_usd", r->left_usd.p50);
    put_usd(l, "cost_left_p10_usd", r->left_usd.p10);
    put_usd(l, "cost_left_p90_usd", r->left_usd.p90);
    put_usd(l, "gain_usd", r->mean_gain_usd);
    put_usd(l, "gain_p10_usd", r->gain_usd.p10);
    put_usd(l, "gain_p90_usd", r->gain_usd.p90);
    put_number(l, "best_share", r->best_share, 3);
    put_usd(l, "spend_now_usd", r->spend_usd);
    put_number(l, "hours", r->hours.p50, 3);
    put_number(l, "bed_kg", r->kg.p50, 3);
    put_number(l, "bed_kg_p10", r->kg.p10, 3);
    put_number(l, "bed_kg_p90", r->kg.p90, 3);
    put_number(l, "bed_depth_m", r->depth_m.p50, 3);
    put_number(l, "p_tank_leaks_year", r->p_tank.p50, 3);
    put_number(l, "p_element_fails_year", r->p_element.p50, 3);
    for (int i = 0; i < 3; i++) {
        if (r->trouble.known[i]) put_number(l, WHEN[i], r->trouble.years[i], 3);
        else put_text(l, WHEN[i], NULL);
    }
    put_text(l, "reading", r->reading < TUFA_SHARPEN_COUNT ? tufa_sharpen_at(r->reading)->key : NULL);
    put_text(l, "rests_on", RESTS[r->rests_on]);
    hot_cells(&r->hot, l);
    new_heater_cells(r, l);
}

static void sum_line(const year_answer *a, line *l)
{
    l->n = 0;
    put_text(l, "kind", "sum");
    put_number(l, "heaters", (double)a->n, 9);
    put_number(l, "visits", (double)a->visits, 9);
    put_number(l, "hours", a->hours.p50, 3);
    put_number(l, "hours_p10", a->hours.p10, 3);
    put_number(l, "hours_p90", a->hours.p90, 3);
    put_number(l, "drive_hours", a->drive_hours, 3);
    put_usd(l, "spend_now_usd", a->spend_usd.p50);
    put_usd(l, "gain_usd", a->mean_gain_usd);
    put_usd(l, "gain_p10_usd", a->gain_usd.p10);
    put_usd(l, "gain_p90_usd", a->gain_usd.p90);
    put_usd(l, "cost_left_usd", a->left_usd.p50);
}

static bool add_json(text *t, const line *l)
{
    json_t *o = json_object();
    bool ok = o != NULL;
    for (size_t i = 0; ok && i < l->n; i++) {
        const cell *c = &l->cell[i];
        json_t *v = c->type == CELL_NUMBER ? json_real(c->number) : c->type == CELL_TEXT ? json_string(c->words) : json_null();
        ok = json_object_set_new(o, c->key, v) == 0;
    }
    char *s = ok ? json_dumps(o, JSON_COMPACT | JSON_REAL_PRECISION(12)) : NULL;
    json_decref(o);
    if (!s) return false;
    text_addf(t, "%s\n", s);
    free(s);
    return true;
}

static void add_csv_words(text *t, const char *s)
{
    if (!strpbrk(s, ",\"\r\n")) {
        text_add(t, s);
        return;
    }
    text_add(t, "\"");
    for (; *s; s++) text_addn(t, *s == '"' ? "\"\"" : s, *s == '"' ? 2 : 1);
    text_add(t, "\"");
}

static void add_csv(text *t, const line *l, bool header)
{
    for (size_t i = 1; i < l->n; i++) { /* without `kind` */
        const cell *c = &l->cell[i];
        if (i > 1) text_add(t, ",");
        if (header) text_add(t, c->key);
        else if (c->type == CELL_TEXT) add_csv_words(t, c->words);
        else if (c->type == CELL_NUMBER) text_addf(t, "%.10g", c->number);
    }
    text_add(t, "\n");
}

static bool machine_lines(text *t, const year_answer *a, bool json)
{
    line l;
    for (size_t k = 0; k < a->streets; k++) {
        const year_street *s = &a->street[k];
        for (size_t i = s->first; i < s->first + s->n; i++) {
            heater_line(&a->row[i], &l);
            if (!json && t->len == 0) add_csv(t, &l, true);
            if (json && !add_json(t, &l)) return false;
            if (!json) add_csv(t, &l, false);
        }
    }
    sum_line(a, &l);
    return !json || add_json(t, &l);
}

/* ---- progress on a terminal ---- */

static void progress(void *ctx, size_t done, size_t all) { cli_progress(ctx, done, all, 500, ""); }

int cmd_year(cli *c)
{
    desk d;
    year_answer a;
    if (c->operands) {
        trouble_note note = {0};
        note_set(&note, TUFA_UNKNOWN, "word", c->operand[0], "", "`tufa year` takes no words; `tufa ahead HEATER` asks about one heater");
        return cli_fail(c, &note);
    }
    int code = cli_open(c, false, &d);
    if (code) return code;
    tufa_status st = desk_year(&d, &(year_ask){.progress = progress, .ctx = c}, &a);
    desk_close(&d);
    if (st.code != TUFA_OK) return cli_fail_book(c, st);
    text t = {0};
    bool ok = true;
    if (cli_opt(c, OPT_JSON) || cli_opt(c, OPT_CSV)) ok = machine_lines(&t, &a, cli_opt(c, OPT_JSON) != NULL);
    else plan_text(&t, &a, cli_book(c));
    year_free(&a);
    if (!ok) {
        text_free(&t);
        return cli_fail_status(c, (tufa_status){.code = TUFA_MEMORY, .field = "year plan"});
    }
    return cli_finish(c, &t, 0);
}
