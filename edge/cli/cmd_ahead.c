/* `tufa ahead HEATER`: what lies ahead of one heater, what to do about it, and what that rests on. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/ahead_words.h"
#include "edge/desk/allows.h"
#include "edge/desk/letter.h"
#include "edge/desk/words.h"
#include "edge/say/chart.h"
#include "edge/say/day.h"

/* ---- words ---- */

static void say_paragraph(text *t, const ahead_answer *a, void (*say)(text *, const ahead_answer *))
{
    text w = {0};
    say(&w, a);
    if (w.len) paragraph(t, &w, 0);
}

static bool terminal_is_utf8(void)
{
    static const char *const NAMES[] = {"LC_ALL", "LC_CTYPE", "LANG"};
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
        const char *v = getenv(NAMES[i]);
        if (v && v[0]) return strstr(v, "UTF-8") || strstr(v, "utf8") || strstr(v, "UTF8") || strstr(v, "utf-8");
    }
    return false;
}

static void picture(text *t, const ahead_answer *a)
{
    enum { YEARS = YEAR_HORIZON, COLUMNS = 64, ROWS = 12 };
    double x[YEARS + 1], lo[YEARS + 1], mid[YEARS + 1], hi[YEARS + 1];
    const tufa_heater *h = &a->ahead.heater;
    int y, m, d;
    ymd_from_day(a->today, &y, &m, &d);
    const unit_row *inches = unit_said(Q_LENGTH, a->units);
    for (size_t i = 0; i <= YEARS; i++) {
        const tufa_band *b = &a->ahead.depth_m[12 * i];
        x[i] = y + (m - 1 + (d - 1) / 31.0) / 12.0 + (double)i;
        lo[i] = unit_from_si(inches, b->p10);
        mid[i] = unit_from_si(inches, b->p50);
        hi[i] = unit_from_si(inches, b->p90);
    }
    chart c = {.title = a->units == UNITS_US ? "depth of the bed if left alone, inches" : "depth of the bed if left alone, cm",
               .n = YEARS + 1, .x = x, .lo = lo, .mid = mid, .hi = hi, .columns = COLUMNS, .rows = ROWS,
               .plain = !terminal_is_utf8()};
    if (h->fuel == TUFA_ELECTRIC)
        c.mark[c.marks++] = (chart_mark){unit_from_si(inches, h->field[TUFA_HEATER_ELEMENT_LOW].mid), element_words(a->c.known.one_element)};
    c.mark[c.marks++] = (chart_mark){unit_from_si(inches, h->field[TUFA_HEATER_DRAIN].mid), "drain port"};
    text_add(t, "\n");
    say_chart(t, &c, 2);
}

static void known(text *t, const ahead_answer *a)
{
    enum { WHAT = 2, VALUE = 33, FROM = 60, WIDTH = 96 };
    text_add(t, "\nKnown, and assumed (*)\n");
    for (size_t i = 0; i < a->knowns; i++) {
        const known_line *k = &a->known[i];
        text_pad_to(t, WHAT - 1);
        text_addf(t, "%s%s ", k->assumed ? "*" : " ", k->what);
        text_pad_to(t, VALUE);
        text_addf(t, "%s ", k->value);
        text_pad_to(t, FROM);
        text_add_wrapped(t, k->from, WIDTH, FROM);
        text_add(t, "\n");
    }
    text_addf(t, "  Any of them: %s\n", a->known[0].correct);
}

/* What could be done, side by side; what is not proposed stands in brackets, and by the year: ten years would cut it short. */
static void options(text *t, const ahead_answer *a)
{
    enum { COST = 27, SAVES = 54, BEST = 64, WAIT = 73 };
    static const char *const HEAD[2][5] = {{"Side by side", "cost over ten years", "saves", "best in", "later by 1, 2, 3"},
                                           {"", "(8 times in 10)", "on average", "10 runs", "years costs"}};
    for (int line = 0; line < 2; line++) {
        text_addf(t, "\n%s", HEAD[line][0]);
        for (int k = 1; k < 5; k++) text_pad_to(t, (const size_t[]){0, COST, SAVES, BEST + 1, WAIT}[k]), text_add(t, HEAD[line][k]);
    }
    text_add(t, "\n");
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        const tufa_money_option *o = &a->money.option[c];
        if (!o->possible || c == TUFA_CHOICE_LOOK) continue;
        text_addf(t, o->allowed ? "  %s " : " (%s) ", tufa_choice_at((tufa_choice)c)->key);
        text_pad_to(t, COST);
        if (o->allowed) say_usd_band(t, &(tufa_band){o->done_usd.p10, o->mean_done_usd, o->done_usd.p90});
        else text_add(t, "every year from now on: ");
        text_pad_to(t, SAVES);
        if (!o->allowed) say_usd(t, o->gain_usd_year), text_add(t, " a year");
        else if (c != TUFA_CHOICE_LEAVE) say_usd(t, o->mean_gain_usd);
        if (o->allowed) text_pad_to(t, BEST + 3), text_addf(t, "%.0f", round(10.0 * o->best_share));
        for (int d = 0; d < TUFA_MONEY_WAITS && c != TUFA_CHOICE_LEAVE && o->allowed; d++) {
            if (d == 0) text_pad_to(t, WAIT);
            text_add(t, d ? ", " : "");
            say_usd(t, o->wait_usd[d]);
        }
        text_add(t, "\n");
    }
    text_add(t, "  Saves: against leaving it alone. Later: below 0 it is better to wait.\n");
    if (a->money.option[TUFA_CHOICE_LEAVE].mean_done_usd < 0.0)
        text_add(t, "  Below $0: energy counts as far as it differs from this heater's, and the next one takes less.\n");
    text_add(t, "  In brackets: counted with the price of putting it in, and not proposed: another kind of heater\n"
                "  until the book says that the house allows it, a setting or soft water never.\n");
}

/* What one more reading is worth before choosing. */
static void readings(text *t, const ahead_answer *a)
{
    enum { WORTH = 61, COSTS = 70, MINUTES = 78, CHANGES = 86, WIDTH = 60, INDENT = 4 };
    tufa_sharpen order[TUFA_SHARPEN_COUNT];
    size_t n = readings_weighed(&a->money, order);
    text w = {0};
    text_add(t, "\nOne more reading, before choosing");
    text_pad_to(t, WORTH), text_add(t, "is worth");
    text_pad_to(t, COSTS), text_add(t, "costs");
    text_pad_to(t, MINUTES - 1), text_add(t, "minutes");
    text_pad_to(t, CHANGES), text_add(t, "changes it\n");
    for (size_t k = 0; k < n; k++) {
        const tufa_money_reading *r = &a->money.of_reading[order[k]];
        text_add(t, "  ");
        text_add_wrapped(t, reading_words(order[k], a->plan.fuel), WIDTH, INDENT);
        text_pad_to(t, WORTH), say_reading_value(t, r);
        text_pad_to(t, COSTS), say_usd(t, r->cost_usd);
        text_pad_to(t, MINUTES), text_addf(t, "%.0f", tufa_sharpen_at(order[k])->minutes.mid);
        text_pad_to(t, CHANGES), text_addf(t, "%.0f in 10\n", round(10.0 * r->changes_share));
    }
    say_perfect(&w, &a->money);
    paragraph(t, &w, 2);
    text_add(t, "\n");
    text_free(&w);
}

static void words(text *t, const ahead_answer *a)
{
    say_paragraph(t, a, say_heater_line);
    text_add(t, "\n");
    say_paragraph(t, a, say_bed_now);
    say_paragraph(t, a, say_chances);
    say_paragraph(t, a, say_energy_year);
    say_paragraph(t, a, say_what_it_gives);
    picture(t, a);
    text_add(t, "\n");
    say_paragraph(t, a, say_proposal);
    say_paragraph(t, a, say_bring);
    options(t, a);
    text_add(t, "\n");
    say_paragraph(t, a, say_other_kinds);
    say_paragraph(t, a, say_sizes);
    say_paragraph(t, a, say_cleaning);
    say_paragraph(t, a, say_timing);
    readings(t, a);
    say_paragraph(t, a, say_other_setpoint);
    say_paragraph(t, a, say_rests_on);
    known(t, a);
    if (a->water_ask[0]) {
        text w = {0};
        text_addf(&w, "Worth a call to the water works: %s", a->water_ask);
        text_add(t, "\n");
        paragraph(t, &w, 0);
    }
    const year_row *r = &a->plan;
    text w = {0};
    text_add(t, "\n");
    say_law(&w);
    paragraph(t, &w, 0);
    if (!caution_work(r->choice, r->fuel, r->reading)) return;
    text_add(t, "Before you touch it:\n");
    caution_words(t, r->choice, r->fuel, r->reading);
}

/* ---- JSON ---- */

static json_t *band(const tufa_band *b)
{
    return json_pack("[f,f,f]", b->p10, b->p50, b->p90);
}

static json_t *when(const tufa_when *w)
{
    json_t *years = json_array();
    for (int i = 0; i < 3; i++) json_array_append_new(years, w->known[i] ? json_real(w->years[i]) : json_null());
    return json_pack("{s:o,s:f,s:f,s:f}", "years", years, "p_now", w->p_now, "p_year", w->p_this_year, "p_horizon", w->p_horizon);
}

static json_t *by_year(const tufa_band *b, unsigned months)
{
    json_t *list = json_array();
    for (unsigned i = 0; i <= months; i += 12) json_array_append_new(list, band(&b[i]));
    return list;
}

static json_t *known_json(const ahead_answer *a)
{
    json_t *list = json_array();
    for (size_t i = 0; i < a->knowns; i++) {
        const known_line *k = &a->known[i];
        json_array_append_new(list, json_pack("{s:s,s:s,s:b,s:s,s:s}", "what", k->what, "value", k->value, "assumed",
                                              k->assumed, "from", k->from, "correct", k->correct));
    }
    return list;
}

static json_t *how_json(const tufa_money_how *h)
{
    if (h->refused || h->hours.basis == TUFA_BASIS_NONE) return json_null();
    return json_pack("{s:[f,f,f],s:[f,f,f]}", "hours", h->hours.lo, h->hours.mid, h->hours.hi, "left_share", h->left_share.lo, h->left_share.mid, h->left_share.hi);
}

static json_t *cleaning_json(const cleaning *c)
{
    return json_pack("{s:o,s:s?,s:s?,s:o}", "deep", how_json(&c->deep), "method", c->method < TUFA_METHOD_COUNT ? tufa_method_at(c->method)->id : NULL,
                     "refused", c->why_not, "flush", how_json(&c->flush));
}

static json_t *options_json(const tufa_money_year *m)
{
    json_t *list = json_array();
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        const tufa_money_option *o = &m->option[c];
        if (!o->possible || c == TUFA_CHOICE_LOOK) continue;
        json_t *j = json_pack("{s:s,s:b,s:f,s:f,s:o,s:f,s:f,s:o,s:f,s:f}", "action", tufa_choice_at((tufa_choice)c)->key, "allowed", o->allowed,
                              "present_usd", o->present_usd, "cost_done_mean_usd", o->mean_done_usd, "cost_done_usd", band(&o->done_usd),
                              "gain_usd", o->mean_gain_usd, "gain_usd_year", o->gain_usd_year, "gain_range_usd", band(&o->gain_usd), "best_share", o->best_share,
                              "spend_now_usd", o->spend_now_usd);
        if (o->allowed && c != TUFA_CHOICE_LEAVE)
            json_object_set_new(j, "wait_usd", json_pack("[f,f,f]", o->wait_usd[0], o->wait_usd[1], o->wait_usd[2]));
        json_array_append_new(list, j);
    }
    return list;
}

static json_t *readings_json(const tufa_money_year *m)
{
    tufa_sharpen order[TUFA_SHARPEN_COUNT];
    json_t *list = json_array();
    for (size_t k = 0, n = readings_weighed(m, order); k < n; k++) {
        const tufa_money_reading *r = &m->of_reading[order[k]];
        const tufa_sharpen_row *row = tufa_sharpen_at(order[k]);
        json_array_append_new(list, json_pack("{s:s,s:f,s:f,s:f,s:f}", "reading", row->key, "worth_usd", r->worth_usd, "cost_usd", r->cost_usd, "minutes",
                                              row->minutes.mid, "changes_share", r->changes_share));
    }
    return list;
}

/* What the house says to other kinds of heater. */
static json_t *kinds_json(const ahead_answer *a)
{
    static const char *const SAYS[] = {[ALLOWS_NOT_KNOWN] = "not known", [ALLOWS_NO] = "no", [ALLOWS_YES] = "yes"};
    const house_rec *house = &a->c.house;
    tufa_fuel now = a->c.known.fuel;
    json_t *list = json_array();
    for (tufa_choice k = TUFA_CHOICE_TO_GAS; k <= TUFA_CHOICE_TO_HEAT_PUMP; k++) {
        if (!kind_fits(now, k)) continue;
        const char *refused = allows_refused(house, now, k);
        json_array_append_new(list, json_pack("{s:s,s:s,s:s?,s:s?}", "action", tufa_choice_at(k)->key, "house_allows", SAYS[house_allows(house, now, k)],
                                              "ask", refused ? NULL : allows_ask(house, now, k, NULL), "refused", refused));
    }
    return list;
}

static json_t *sizes_json(const ahead_answer *a)
{
    json_t *list = json_array();
    for (int k = 0; k < TUFA_CHOICE_COUNT; k++) {
        const enough *e = &a->fits[k];
        if (e->kind == TUFA_CHOICE_LEAVE) continue;
        json_array_append_new(list, json_pack("{s:s,s:s,s:f,s:[f,f,f],s:f,s:f,s:b}", "action", tufa_choice_at(e->kind)->key, "says", enough_key(e->size.says),
                                              "first_hour_l", 1e3 * e->size.gives_m3.mid, "busiest_hour_l", 1e3 * e->size.wants_m3.lo, 1e3 * e->size.wants_m3.mid,
                                              1e3 * e->size.wants_m3.hi, "short_l", 1e3 * e->size.short_m3, "short_chance", e->size.short_chance, "by_label", e->by_label));
    }
    return list;
}

static void money_json(json_t *o, const tufa_money_year *m)
{
    json_t *replace = json_array();
    for (int k = 0; k <= TUFA_MONEY_REPLACE_YEARS; k++) json_array_append_new(replace, json_real(m->replace_usd[k]));
    json_object_set_new(o, "options", options_json(m));
    json_object_set_new(o, "replace_in_years_usd", replace);
    json_object_set_new(o, "second", json_string(tufa_choice_at(m->second)->key));
    json_object_set_new(o, "second_costs_more_usd", json_real(m->regret_usd));
    json_object_set_new(o, "policy_present_usd", json_real(m->best_present_usd));
    json_object_set_new(o, "ten_years_mean_usd", json_real(m->mean_years_usd));
    json_object_set_new(o, "ten_years_usd", band(&m->years_usd));
    json_object_set_new(o, "readings", readings_json(m));
    json_object_set_new(o, "perfect_reading_worth_usd", json_real(m->perfect_worth_usd));
    json_object_set_new(o, "deciding_reading", m->reading < TUFA_SHARPEN_COUNT ? json_string(tufa_sharpen_at(m->reading)->key) : json_null());
    json_object_set_new(o, "deciding_reading_worth_usd", json_real(m->reading_worth_usd));
    json_object_set_new(o, "deciding_reading_changes_share", json_real(m->reading_changes_share));
}

static void json_line(text *t, const ahead_answer *a)
{
    static const char *const RESTS[] = {"prior", "neighbours", "findings"};
    const tufa_ahead *v = &a->ahead;
    const year_row *r = &a->plan;
    text due = {0};
    if (r->due_day && r->date_sure) write_day(&due, r->due_day);
    json_t *o = json_object();
    json_object_set_new(o, "heater", json_string(r->label));
    json_object_set_new(o, "fuel", json_string(fuel_word(r->fuel)));
    json_object_set_new(o, "water", json_string(a->c.water->label));
    json_object_set_new(o, "age_years", json_real((double)r->age_years));
    json_object_set_new(o, "bed_kg", band(&v->now_kg));
    json_object_set_new(o, "bed_m3", band(&v->now_bed_m3));
    json_object_set_new(o, "bed_depth_m", band(&v->now_depth_m));
    json_object_set_new(o, "rate_kg_year", band(&v->rate_kg_year));
    json_object_set_new(o, "eps_ref", band(&v->eps_ref));
    json_object_set_new(o, "hot_l_day", band(&v->litres_day));
    json_object_set_new(o, "energy_j_year", band(&v->energy_J_year));
    json_object_set_new(o, "lost_volume_share", band(&v->lost_share));
    json_object_set_new(o, "hot", json_pack("{s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:f,s:f}", "setpoint_c", a->hot.setpoint_K - 273.15,
                                            "first_draw_l", 1e3 * a->hot.first_draw_m3, "first_draw_lost_l",
                                            1e3 * (a->hot.first_draw_clean_m3 - a->hot.first_draw_m3), "recovery_h",
                                            a->hot.recovery_s / 3600.0, "in_j_year", a->hot.in_J_year, "in_clean_j_year",
                                            a->hot.in_J_year_clean, "hottest_c", a->hot.hottest_K - 273.15, "scald_adult_s",
                                            a->hot.adult.time_s, "growth_bottom_h_day", a->hot.growth_bottom_s / 3600.0,
                                            "growth_mean_h_day", a->hot.growth_mean_s / 3600.0));
    json_object_set_new(o, "gas_loss_share", band(&v->gas_loss_share));
    json_object_set_new(o, "bed_kg_by_year", by_year(v->kg, v->months));
    json_object_set_new(o, "bed_depth_m_by_year", by_year(v->depth_m, v->months));
    json_object_set_new(o, "element_covered_share_by_year", by_year(v->covered, v->months));
    json_object_set_new(o, r->fuel == TUFA_ELECTRIC ? "element_reached" : "gas_rumbles",
                        when(r->fuel == TUFA_ELECTRIC ? &v->element_reached : &v->gas_rumbles));
    json_object_set_new(o, "drain_covered", when(&v->drain_covered));
    json_object_set_new(o, "p_tank_leaks_year", band(&a->money.p_tank));
    json_object_set_new(o, "p_element_fails_year", band(&a->money.p_element));
    json_object_set_new(o, "tank_remaining_years", band(&a->money.remaining_years));
    json_object_set_new(o, "action", json_string(tufa_choice_at(r->choice)->key));
    json_object_set_new(o, "why", json_string(r->why));
    json_object_set_new(o, "due_latest", due.len ? json_string(text_str(&due)) : json_null());
    json_object_set_new(o, "cost_done_usd", band(&r->done_usd));
    json_object_set_new(o, "cost_left_usd", band(&r->left_usd));
    json_object_set_new(o, "best_share", json_real(r->best_share));
    money_json(o, &a->money);
    json_object_set_new(o, "other_kinds", kinds_json(a));
    json_object_set_new(o, "sizes", sizes_json(a));
    json_object_set_new(o, "cleaning", cleaning_json(&a->cleaning));
    json_object_set_new(o, "rests_on", json_string(RESTS[v->rests_on]));
    json_object_set_new(o, "reading", r->reading < TUFA_SHARPEN_COUNT ? json_string(tufa_sharpen_at(r->reading)->key) : json_null());
    json_object_set_new(o, "spread_now", json_real(v->spread_now));
    json_object_set_new(o, "known", known_json(a));
    char *s = json_dumps(o, JSON_COMPACT | JSON_REAL_PRECISION(10));
    if (s) text_addf(t, "%s\n", s);
    else t->failed = true;
    free(s);
    json_decref(o);
    text_free(&due);
}

/* ---- the command ---- */

/* A name of several words needs no quotes. */
static void heater_name(const cli *c, text *name)
{
    for (int i = 0; i < c->operands; i++) text_addf(name, "%s%s", i ? " " : "", c->operand[i]);
}

int cmd_ahead(cli *c)
{
    desk d;
    text name = {0}, near = {0}, t = {0};
    heater_name(c, &name);
    if (name.len == 0) {
        trouble_note note = {0};
        note_set(&note, TUFA_MISSING, "heater", "", "", "say which heater, by its name or number; `tufa year` lists them all");
        return cli_fail(c, &note);
    }
    int code = cli_open(c, false, &d);
    if (code) {
        text_free(&name);
        return code;
    }
    ahead_answer *a = malloc(sizeof *a);
    trouble_note note = {0};
    note_set(&note, TUFA_MEMORY, "view ahead", "", "", "");
    tufa_code got = a ? desk_ahead(&d, text_str(&name), a, &near, &note) : TUFA_MEMORY;
    desk_close(&d);
    if (got == TUFA_OK) {
        if (cli_opt(c, OPT_JSON)) json_line(&t, a);
        else words(&t, a);
        ahead_free(a);
        code = cli_finish(c, &t, 0);
    } else {
        code = cli_fail(c, &note);
        text_print(&near, c->err);
    }
    text_free(&near);
    text_free(&name);
    free(a);
    return code;
}
