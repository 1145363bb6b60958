/* What was learned: of one heater, each finding and what it did; of the book, its waters, lives and elements. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "core/base/status.h"
#include "edge/desk/what_learned.h"
#include "edge/desk/words.h"
#include "edge/web/page.h"

static void put_times(page *p, tufa_value v, text *w)
{
    say_times(w, v);
    cell_words(p->out, w);
}

/* ---- one heater ---- */

static void say_multiple(text *t, double x) { text_addf(t, "%.2g times", x); }

/* What was held of it before its own findings, and what they made of it. */
static void put_shift(page *p, const learned_heater *a)
{
    enum { POINTS = 80 };
    double x[POINTS], before[POINTS], after[POINTS], none[POINTS] = {0}, most = 4.0;
    for (int i = 0; i < POINTS; i++) {
        x[i] = most * (i + 0.5) / POINTS;
        before[i] = learned_density(a->before, a->usual.mid, x[i]);
        after[i] = learned_density(a->after, a->usual.mid, x[i]);
    }
    plot pl = {.id = "shift", .title = !a->used ? "How much of the scale stays in this tank, against such heaters" : a->neighbours ?
                        "How much of the scale stays in this tank, against such heaters: the line is what its neighbours on the same water lead to, the hill is with what was found in it" :
                        "How much of the scale stays in this tank, against such heaters: the line is what studies lead to, the hill is with what was found in it",
               .description = "The higher the line, the likelier. The narrower, the better it is known.", .x_name = "Times what is usual", .y_name = "How likely",
               .y_from_zero = 1, .say_x = say_multiple};
    pl.series[pl.series_count++] = (plot_series){PLOT_LINE, a->neighbours ? "What its neighbours on the same water lead to" : "From published studies", POINTS, x, before, NULL, NULL, NULL};
    if (a->used) pl.series[pl.series_count++] = (plot_series){PLOT_BAND, "With what was found in it", POINTS, x, after, none, after, NULL};
    put_plot(p->out, &pl);
}

static void put_findings(page *p, const learned_heater *a, text *w)
{
    static const char *const heads[] = {"Day", "What was found", "Expected before this tank was looked into", "What it did", NULL};
    if (a->lines == 0) return;
    put_heading(p->out, "Each finding, and what it did");
    table_begin(p->out, "Findings", false, heads);
    for (size_t i = 0; i < a->lines; i++) {
        const found_line *l = &a->line[i];
        row_begin(p->out);
        say_day(w, l->day);
        cell_head(p->out, text_str(w));
        text_clear(w);
        text_addf(w, "%s: ", l->what);
        say_found_said(w, a->units, l);
        cell_words(p->out, w);
        say_found_expected(w, a->units, l);
        cell_words(p->out, w);
        say_found_did(w, l);
        cell_words(p->out, w);
        row_end(p->out);
    }
    table_end(p->out);
}

static void put_risks(page *p, const learned_heater *a, text *w)
{
    static const char *const heads[] = {"What may end", "=Within a year", "=Within 5 years", "=Within 10 years", "=Comes first in 10 years", "Then", NULL};
    put_heading(p->out, "What may end first, if nothing is done");
    table_begin(p->out, "What may end first", false, heads);
    for (int r = 0; r < TUFA_RISK_COUNT; r++) {
        const double at[] = {a->risks.within[r][1], a->risks.within[r][5], a->risks.within[r][10], a->risks.first[r][10]};
        if (at[2] <= 0.0) continue;
        row_begin(p->out);
        cell_head(p->out, tufa_risk_at((tufa_risk)r)->what);
        for (int k = 0; k < 4; k++) {
            text_addf(w, "%.0f %%", 100.0 * at[k]);
            cell_figure_words(p->out, w);
        }
        cell(p->out, tufa_risk_at((tufa_risk)r)->then);
        row_end(p->out);
    }
    table_end(p->out);
    put_paragraph(p->out, "Each as if it were alone; the fifth column shares them out. An anode that is used up already is no longer in the race.");
}

static void put_say(page *p, const learned_heater *a, void (*say)(text *, const learned_heater *), text *w)
{
    say(w, a);
    if (w->len) put_paragraph_words(p->out, w);
}

static tufa_status show_heater(page *p, const char *id)
{
    learned_heater a;
    char name[40];
    snprintf(name, sizeof name, "#%s", id);
    tufa_code code = desk_learned_heater(p->d, name, &a, NULL, &p->note);
    if (code != TUFA_OK) return trouble(code, "heater", "there is no such heater");
    page_keep(p);
    text w = {0};
    text_addf(&w, "%s: what is known, and from what", a.label);
    page_title(p, text_str(&w));
    text_clear(&w);
    RAW(p->out, "<p>");
    put_heater_link(p->out, a.id, a.label);
    RAW(p->out, "</p>");
    put_say(p, &a, say_learned_head, &w);
    put_say(p, &a, say_learned_before, &w);
    put_shift(p, &a);
    put_findings(p, &a, &w);
    put_say(p, &a, say_learned_gas, &w);
    put_say(p, &a, say_learned_lacks, &w);
    put_risks(p, &a, &w);
    RAW(p->out, "<p>");
    put_link(p->out, "/learned", "What the whole book taught");
    RAW(p->out, "</p>");
    text_free(&w);
    return OK;
}

/* ---- the book ---- */

static void put_water(page *p, const learned_water *l, text *w)
{
    static const char *const heads[] = {"Heater", "Lays down, against what is usual", "=Findings", "=Set aside", NULL};
    RAW(p->out, "<h3>");
    put_html(p->out, l->label);
    put_html(p->out, l->fuel == TUFA_ELECTRIC ? ", electric heaters" : ", gas and propane heaters");
    RAW(p->out, "</h3>");
    say_count(w, l->heaters, "heater", "heaters");
    if (l->found == 0) {
        text_add(w, "; nothing was found in any of them yet.");
        put_paragraph_words(p->out, w);
        return;
    }
    text_addf(w, ", %zu with findings. The middle of them lays down ", l->found);
    say_times(w, l->ratio);
    text_add(w, " the usual; one of which nothing is known, ");
    say_times(w, l->fresh);
    text_add(w, ".");
    put_paragraph_words(p->out, w);
    text_addf(w, "%s, %s", l->label, l->fuel == TUFA_ELECTRIC ? "electric heaters" : "gas and propane heaters");
    table_begin(p->out, text_str(w), false, heads);
    text_clear(w);
    for (size_t i = 0; i < l->found; i++) {
        row_begin(p->out);
        RAW(p->out, "<th scope=\"row\">");
        put_id_link(p->out, "/learned", "heater", l->member[i].heater, l->member[i].label);
        RAW(p->out, "</th>");
        put_times(p, l->member[i].ratio, w);
        text_addf(w, "%zu", l->member[i].used);
        cell_figure_words(p->out, w);
        text_addf(w, "%zu", l->member[i].aside);
        cell_figure_words(p->out, w);
        row_end(p->out);
    }
    table_end(p->out);
}

/* What each kg of bed costs, gas heater by gas heater. */
static void put_losses(page *p, const learned_book *a, text *w)
{
    static const char *const heads[] = {"Heater", "Each pound costs, of its gas", "=Times", NULL}, *const metric[] = {"Heater", "Each kilogram costs, of its gas", "=Times", NULL};
    if (a->gas_heaters == 0 && a->losses->n == 0) return;
    put_heading(p->out, "Gas that a bed costs");
    say_losses(w, a);
    put_paragraph_words(p->out, w);
    if (a->losses->n == 0) return;
    table_begin(p->out, "Gas that a bed costs", false, a->units == UNITS_US ? heads : metric);
    for (size_t i = 0; i < a->losses->n; i++) {
        row_begin(p->out);
        RAW(p->out, "<th scope=\"row\">");
        put_id_link(p->out, "/learned", "heater", a->timed[i].heater, a->timed[i].label);
        RAW(p->out, "</th>");
        say_per_mass(w, a->units, a->timed[i].share_kg);
        cell_words(p->out, w);
        text_addf(w, "%zu", a->timed[i].used);
        cell_figure_words(p->out, w);
        row_end(p->out);
    }
    table_end(p->out);
}

static void say_age_years(text *t, double x) { text_addf(t, "%.0f", fabs(x)); }
static void say_share(text *t, double x) { text_addf(t, "%.0f %%", 100.0 * x); }

/* The curve of the records alone, with the fitted life and its range. */
static void put_curve(page *p, int kind, const learned_life *k)
{
    enum { POINTS = 50 };
    if (!k->counted || k->steps == 0) return;
    double x[POINTS], mid[POINTS], lo[POINTS], hi[POINTS], last = fmax(20.0, k->curve[k->steps - 1].years + 2.0);
    double *age = calloc(k->steps + 2, sizeof *age), *left = calloc(k->steps + 2, sizeof *left);
    char id[32];
    if (age && left) {
        left[0] = 1.0;
        for (size_t i = 0; i < k->steps; i++) age[i + 1] = k->curve[i].years, left[i + 1] = k->curve[i].survival;
        for (int i = 0; i < POINTS; i++) {
            tufa_value s = tufa_life_survival(k->grid, x[i] = last * i / (POINTS - 1.0));
            mid[i] = s.mid, lo[i] = s.lo, hi[i] = s.hi;
        }
        snprintf(id, sizeof id, "life-%d", kind);
        plot pl = {.id = id, .title = "Share that still stands at an age", .description = "Steps are your records alone; the line with its range is what they and published lives say together.",
                   .x_name = "Age, years", .y_name = "Still standing", .y_from_zero = 1, .say_x = say_age_years, .say_y = say_share};
        pl.series[pl.series_count++] = (plot_series){PLOT_BAND, "Fitted, likely range", POINTS, x, mid, lo, hi, NULL};
        pl.series[pl.series_count++] = (plot_series){PLOT_STEPS, "Your records alone", k->steps + 1, age, left, NULL, NULL, NULL};
        put_plot(p->out, &pl);
    }
    free(age);
    free(left);
}

static void put_lives(page *p, const learned_lives *l, text *w)
{
    put_heading(p->out, "Lives, from your own records");
    for (int k = 0; k < LIFE_KINDS; k++) {
        say_life(w, l, k);
        put_paragraph_words(p->out, w);
        put_curve(p, k, &l->kind[k]);
    }
    say_elements(w, l);
    put_paragraph_words(p->out, w);
    say_records_since(w, l);
    put_paragraph_words(p->out, w);
    say_bed_on_life(w, l);
    put_paragraph_words(p->out, w);
}

tufa_status page_learned(page *p)
{
    const char *id = page_field(p, "heater");
    if (id[0]) return show_heater(p, id);
    learned_book a;
    text w = {0};
    RETURN_IF(desk_learned_book(p->d, &a));
    page_keep(p);
    put_heading(p->out, "Sediment, water by water");
    put_paragraph(p->out, "Heaters of one fuel on one water have much in common: what was found in some of them says something of all.");
    for (size_t i = 0; i < a.waters; i++) put_water(p, &a.water[i], &w);
    if (a.waters == 0) put_paragraph(p->out, "No heater with a named water yet.");
    if (a.unknown) {
        text_addf(&w, "%zu %s no named water and can learn from no other.", a.unknown, a.unknown == 1 ? "heater has" : "heaters have");
        put_paragraph_words(p->out, &w);
    }
    RAW(p->out, "<p>");
    put_link(p->out, "/waters", "What each water does when it is heated");
    RAW(p->out, "</p>");
    put_losses(p, &a, &w);
    put_lives(p, a.lives, &w);
    learned_book_free(&a);
    text_free(&w);
    return OK;
}
