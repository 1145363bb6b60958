/* `tufa learned [HEATER]`: what the findings and records taught, of one heater or of the whole book. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/what_learned.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

static void say_in_paragraph(text *t, size_t indent, text *w)
{
    if (!w->len) return;
    paragraph(t, w, indent);
    text_clear(w);
}

/* ---- one heater ---- */

static void one_finding(text *t, unit_system u, const found_line *l, text *w)
{
    text_add(t, "  ");
    say_day(t, l->day);
    text_addf(w, "%s: ", l->what);
    say_found_said(w, u, l);
    text_add(w, "; expected before this tank was looked into: ");
    say_found_expected(w, u, l);
    text_add(w, ". ");
    text did = {0};
    say_found_did(&did, l);
    text_addf(w, "This %s%s.", l->set_aside ? "is " : "", text_str(&did));
    text_free(&did);
    text_add(t, "\n");
    say_in_paragraph(t, 6, w);
}

static void risks(text *t, const learned_heater *a)
{
    text_add(t, "\nWhat may end first, if nothing is done\n");
    text_add(t, "                                            this year  5 years  10 years  comes first in 10\n");
    for (int r = 0; r < TUFA_RISK_COUNT; r++) {
        const double *p = a->risks.within[r];
        if (p[TUFA_RISK_YEARS] <= 0.0) continue;
        text_addf(t, "  %s", tufa_risk_at((tufa_risk)r)->what);
        text_pad_to(t, 44);
        text_addf(t, "%5.0f %%    %5.0f %%    %5.0f %%    %5.0f %%\n", 100.0 * p[1], 100.0 * p[5], 100.0 * p[10], 100.0 * a->risks.first[r][10]);
    }
}

static void heater_text(text *t, const learned_heater *a)
{
    text w = {0};
    text_addf(t, "%s: what its findings taught\n\n", a->label);
    say_learned_head(&w, a);
    say_in_paragraph(t, 0, &w);
    say_learned_before(&w, a);
    say_in_paragraph(t, 0, &w);
    if (a->lines) text_add(t, "\nEach finding, and what it did\n");
    for (size_t i = 0; i < a->lines; i++) one_finding(t, a->units, &a->line[i], &w);
    say_learned_gas(&w, a);
    if (w.len) text_add(t, "\n");
    say_in_paragraph(t, 0, &w);
    say_learned_lacks(&w, a);
    if (w.len) text_add(t, "\n");
    say_in_paragraph(t, 0, &w);
    risks(t, a);
    text_free(&w);
}

static json_t *value_json(tufa_value v) { return json_pack("{s:f, s:f, s:f}", "p50", v.mid, "p10", v.lo, "p90", v.hi); }

static json_t *found_json(const found_line *l)
{
    text day = {0};
    say_day(&day, l->day);
    json_t *o = json_pack("{s:s, s:s, s:o, s:o, s:f, s:b, s:b, s:f, s:f}", "day", text_str(&day), "what", l->what, "said_si", value_json(l->said), "expected_si",
                          value_json(l->expected), "off_in_errors", l->surprise, "set_aside", l->set_aside, "contradicts", l->contradicts, "times_without",
                          l->ratio_without, "times_with", l->ratio_with);
    text_free(&day);
    return o;
}

static json_t *risks_json(const tufa_risks *r)
{
    json_t *o = json_object();
    for (int k = 0; k < TUFA_RISK_COUNT; k++) {
        json_t *within = json_array(), *first = json_array();
        for (int y = 0; y <= TUFA_RISK_YEARS; y++) json_array_append_new(within, json_real(r->within[k][y])), json_array_append_new(first, json_real(r->first[k][y]));
        json_object_set_new(o, tufa_risk_at((tufa_risk)k)->key, json_pack("{s:o, s:o}", "within_years", within, "first_within_years", first));
    }
    return o;
}

static void print(text *t, json_t *o)
{
    char *s = o ? json_dumps(o, JSON_COMPACT | JSON_REAL_PRECISION(10)) : NULL;
    if (s) text_addf(t, "%s\n", s);
    else t->failed = true;
    free(s);
    json_decref(o);
}

static const char *const RESTS[] = {[TUFA_RESTS_ON_PRIOR] = "prior", [TUFA_RESTS_ON_NEIGHBOURS] = "neighbours", [TUFA_RESTS_ON_FINDINGS] = "findings"};

static void heater_json(text *t, const learned_heater *a)
{
    json_t *found = json_array();
    for (size_t i = 0; i < a->lines; i++) json_array_append_new(found, found_json(&a->line[i]));
    json_t *o = json_pack("{s:s, s:s, s:s, s:s, s:o, s:o, s:o, s:o, s:I, s:I, s:I, s:o, s:o}", "heater", a->label, "fuel", fuel_word(a->fuel), "water", a->water, "rests_on",
                          RESTS[a->rests_on], "usual_share_kept", value_json(a->usual), "times_before", value_json(a->ratio_before), "times", value_json(a->ratio),
                          "share_kept", value_json(a->kept), "neighbours", (json_int_t)a->neighbours, "used", (json_int_t)a->used, "set_aside", (json_int_t)a->aside,
                          "findings", found, "risks", risks_json(&a->risks));
    if (o && a->loss_per_kg.basis != TUFA_BASIS_NONE) {
        json_object_set_new(o, "gas_loss_share_kg", value_json(a->loss_per_kg));
        json_object_set_new(o, "gas_loss_before_share_kg", value_json(a->loss_per_kg_before));
        json_object_set_new(o, "gas_loss_times", json_integer((json_int_t)a->loss_used));
        json_object_set_new(o, "gas_loss_neighbours", json_integer((json_int_t)a->loss_neighbours));
    }
    print(t, o);
}

static int one_heater(cli *c, desk *d)
{
    learned_heater a;
    trouble_note note = {0};
    text name = {0}, near = {0}, t = {0};
    for (int i = 0; i < c->operands; i++) text_addf(&name, "%s%s", i ? " " : "", c->operand[i]);
    tufa_code code = desk_learned_heater(d, text_str(&name), &a, &near, &note);
    text_free(&name);
    desk_close(d);
    if (code != TUFA_OK) {
        int answer = cli_fail(c, &note);
        if (near.len) fprintf(c->err, "%s", text_str(&near));
        text_free(&near);
        return answer;
    }
    text_free(&near);
    if (cli_opt(c, OPT_JSON)) heater_json(&t, &a);
    else heater_text(&t, &a);
    return cli_finish(c, &t, 0);
}

/* ---- the book ---- */

static void one_water(text *t, const learned_water *w)
{
    text_addf(t, "  %s, %s: ", w->label, w->fuel == TUFA_ELECTRIC ? "electric" : "gas and propane");
    say_count(t, w->heaters, "heater", "heaters");
    if (w->found == 0) {
        text_add(t, "; nothing was found in any of them yet\n");
        return;
    }
    text_addf(t, ", %zu with findings\n      the middle of them lays down ", w->found);
    say_times(t, w->ratio);
    text_add(t, " the usual; one of which nothing is known ");
    say_times(t, w->fresh);
    text_add(t, "\n");
    for (size_t i = 0; i < w->found; i++) {
        text_addf(t, "      %s", w->member[i].label);
        text_pad_to(t, 34);
        say_times(t, w->member[i].ratio);
        if (w->member[i].aside) text_addf(t, "; %zu set aside", w->member[i].aside);
        text_add(t, "\n");
    }
}

/* The product-limit curve: a bar for each year, and the fitted life beside it. */
static void curve(text *t, const learned_life *k)
{
    enum { WIDE = 40 };
    if (!k->counted || k->steps == 0) return;
    double last = k->curve[k->steps - 1].years, step = last > 16.0 ? 4.0 : last > 8.0 ? 2.0 : 1.0;
    text_add(t, "      age    still standing, by your records alone        fitted (likely)\n");
    for (double age = step; age < last + step; age += step) {
        double s = 1.0;
        size_t at_risk = 0;
        for (size_t i = 0; i < k->steps && k->curve[i].years <= age; i++) s = k->curve[i].survival, at_risk = k->curve[i].at_risk;
        tufa_value f = tufa_life_survival(k->grid, age);
        text_addf(t, "      %3.0f    ", age);
        for (int i = 0; i < WIDE; i++) text_add(t, i < (int)(s * WIDE + 0.5) ? "#" : ".");
        text_addf(t, " %3.0f %%   %3.0f %% (%.0f to %.0f)", 100.0 * s, 100.0 * f.mid, 100.0 * f.lo, 100.0 * f.hi);
        if (at_risk) text_addf(t, ", %zu watched at the last end", at_risk);
        text_add(t, "\n");
    }
}

/* What each kg of bed costs, gas heater by gas heater. */
static void losses(text *t, const learned_book *a, text *w)
{
    if (a->gas_heaters == 0 && a->losses->n == 0) return;
    text_add(t, "\nGas that a bed costs, over all gas heaters\n");
    say_losses(w, a);
    say_in_paragraph(t, 2, w);
    for (size_t i = 0; i < a->losses->n; i++) {
        text_addf(t, "      %s", a->timed[i].label);
        text_pad_to(t, 34);
        say_per_mass(t, a->units, a->timed[i].share_kg);
        text_add(t, a->units == UNITS_US ? " a pound\n" : " a kilogram\n");
    }
}

static void book_text(text *t, const learned_book *a)
{
    text w = {0};
    text_add(t, "What the book taught\n\nSediment, water by water, against what such heaters usually lay down on that water\n");
    for (size_t i = 0; i < a->waters; i++) one_water(t, &a->water[i]);
    if (a->waters == 0) text_add(t, "  no heater with a named water yet\n");
    if (a->unknown) {
        text_addf(&w, "%zu %s no named water and can learn from no other: `tufa set HOUSE water NAME`.", a->unknown, a->unknown == 1 ? "heater has" : "heaters have");
        say_in_paragraph(t, 2, &w);
    }
    if (a->aside) {
        text_addf(&w, "%zu %s set aside, because %s the rest: `tufa learned HEATER` says which and by how much.", a->aside,
                  a->aside == 1 ? "finding is" : "findings are", a->aside == 1 ? "it contradicts" : "they contradict");
        say_in_paragraph(t, 2, &w);
    }
    losses(t, a, &w);
    text_add(t, "\nLives, from your own records\n");
    for (int k = 0; k < LIFE_KINDS; k++) {
        say_life(&w, a->lives, k);
        say_in_paragraph(t, 2, &w);
        curve(t, &a->lives->kind[k]);
    }
    say_elements(&w, a->lives);
    say_in_paragraph(t, 2, &w);
    text_add(t, "\n");
    say_records_since(&w, a->lives);
    say_in_paragraph(t, 2, &w);
    say_bed_on_life(&w, a->lives);
    say_in_paragraph(t, 2, &w);
    text_free(&w);
}

static json_t *life_json(const learned_life *k)
{
    json_t *steps = json_array();
    for (size_t i = 0; i < k->steps; i++)
        json_array_append_new(steps, json_pack("{s:f, s:f, s:f, s:I, s:I}", "years", k->curve[i].years, "standing", k->curve[i].survival, "sd", k->curve[i].sd,
                                               "watched", (json_int_t)k->curve[i].at_risk, "failed", (json_int_t)k->curve[i].failed));
    return json_pack("{s:b, s:I, s:I, s:I, s:I, s:I, s:I, s:o, s:o, s:o, s:o}", "counted", k->counted, "watched", (json_int_t)k->lives, "failed", (json_int_t)k->failed,
                     "sound", (json_int_t)k->sound, "without_a_word", (json_int_t)k->silent, "before_the_records", (json_int_t)k->before, "of_no_known_age",
                     (json_int_t)k->ageless, "mean_years", value_json(k->life.mean_years), "shape", value_json(k->life.shape), "mean_before_years",
                     value_json(k->prior.mean_years), "product_limit", steps);
}

static json_t *losses_json(const learned_book *a)
{
    json_t *found = json_array();
    for (size_t i = 0; i < a->losses->n; i++)
        json_array_append_new(found, json_pack("{s:s, s:o, s:I}", "heater", a->timed[i].label, "share_kg", value_json(a->timed[i].share_kg), "used", (json_int_t)a->timed[i].used));
    return json_pack("{s:o, s:o, s:o, s:o}", "usual_share_kg", value_json(a->losses->usual), "share_kg", value_json(a->losses->common), "share_kg_unknown_heater",
                     value_json(a->losses->between), "found", found);
}

static void book_json(text *t, const learned_book *a)
{
    static const char *const KEYS[LIFE_KINDS] = {"electric_tanks", "gas_tanks", "thermostats", "gas_controls"};
    json_t *waters = json_array(), *lives = json_object();
    for (size_t i = 0; i < a->waters; i++) {
        const learned_water *w = &a->water[i];
        json_t *members = json_array();
        for (size_t m = 0; m < w->found; m++)
            json_array_append_new(members, json_pack("{s:s, s:o, s:I, s:I}", "heater", w->member[m].label, "times", value_json(w->member[m].ratio), "used",
                                                     (json_int_t)w->member[m].used, "set_aside", (json_int_t)w->member[m].aside));
        json_array_append_new(waters, json_pack("{s:s, s:s, s:I, s:o, s:o, s:o}", "water", w->label, "fuel", w->fuel == TUFA_ELECTRIC ? "electric" : "gas", "heaters",
                                                (json_int_t)w->heaters, "times", value_json(w->ratio), "times_unknown_heater", value_json(w->fresh), "found", members));
    }
    for (int k = 0; k < LIFE_KINDS; k++) json_object_set_new(lives, KEYS[k], life_json(&a->lives->kind[k]));
    print(t, json_pack("{s:o, s:o, s:I, s:o, s:I, s:f, s:o}", "waters", waters, "gas_loss", losses_json(a), "heaters_of_no_named_water", (json_int_t)a->unknown, "lives", lives, "elements_failed",
                       (json_int_t)a->lives->elements_failed, "element_years", a->lives->element_years, "element_failures_year", value_json(a->lives->element_year)));
}

static int whole_book(cli *c, desk *d)
{
    learned_book a;
    text t = {0};
    tufa_status st = desk_learned_book(d, &a);
    if (st.code == TUFA_OK) {
        if (cli_opt(c, OPT_JSON)) book_json(&t, &a);
        else book_text(&t, &a);
        learned_book_free(&a); /* its lives go with the book */
    }
    desk_close(d);
    return st.code == TUFA_OK ? cli_finish(c, &t, 0) : cli_fail_book(c, st);
}

int cmd_learned(cli *c)
{
    desk d;
    int code = cli_open(c, false, &d);
    if (code) return code;
    return c->operands ? one_heater(c, &d) : whole_book(c, &d);
}
