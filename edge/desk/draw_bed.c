/* The bed that lies ahead of one heater, and what was found and done in it so far. */
#include <math.h>
#include <stdio.h>

#include "edge/desk/words.h"
#include "edge/desk/drawings.h"
#include "edge/say/day.h"

static void say_year_of(text *t, double year) { text_addf(t, "%.0f", floor(year + 1e-6)); }
static void say_inches(text *t, double in) { text_addf(t, "%.3g in", in); }
static void say_cm(text *t, double cm) { text_addf(t, "%.3g cm", cm); }

/* A day as a year with its part: 2026.9. */
static double year_of(int64_t day)
{
    int y, m, d;
    ymd_from_day(day, &y, &m, &d);
    return y + (double)(day - day_from_ymd(y, 1, 1)) / DAYS_A_YEAR;
}

static double mid_of(const ahead_answer *a, tufa_heater_field f) { return a->ahead.heater.field[f].mid; }

/* Depth at the middle of a bed of so much, lying level in this tank. */
static double level_m(const ahead_answer *a, double bed_m3)
{
    tufa_floor f = {.radius_m = 0.5 * mid_of(a, TUFA_HEATER_DIAMETER), .dome_m = mid_of(a, TUFA_HEATER_DOME),
                    .flue_radius_m = 0.5 * mid_of(a, TUFA_HEATER_FLUE), .repose_rad = tufa_repose_default().mid};
    double m = 0.0;
    return tufa_floor_level_m(&f, fmax(bed_m3, 0.0), &m).code == TUFA_OK ? m : 0.0;
}

static double m3_of_kg(const ahead_answer *a, double kg)
{
    return a->ahead.now_kg.p50 > 0.0 ? kg * a->ahead.now_bed_m3.p50 / a->ahead.now_kg.p50 : 0.0;
}

static double depth_of(const ahead_answer *a, tufa_finding_kind kind, double value)
{
    switch (kind) {
    case TUFA_FOUND_WEIGHED: return level_m(a, m3_of_kg(a, value));
    case TUFA_FOUND_SLURRY: return level_m(a, value);
    case TUFA_FOUND_DEPTH:
    case TUFA_FOUND_HEIGHT: return value;
    default: return 0.0;
    }
}

static quantity quantity_of(tufa_finding_kind kind)
{
    return kind == TUFA_FOUND_WEIGHED ? Q_MASS : kind == TUFA_FOUND_SLURRY || kind == TUFA_FOUND_REFILL ? Q_VOLUME : Q_LENGTH;
}

static const double TENTH = 1.2816; /* standard deviations from the middle to the 10 and 90 % ends */

static void add_found(const ahead_answer *a, const tufa_finding *f, const unit_row *u, size_t k, bed_plot *b)
{
    double sd = f->log_sd > 0.0 ? f->log_sd : tufa_finding_at(f->kind)->log_sd, e = exp(TENTH * sd);
    text t = {0};
    b->found_x[k] = year_of(f->day);
    b->found_y[k] = unit_from_si(u, depth_of(a, f->kind, f->value));
    b->found_lo[k] = unit_from_si(u, depth_of(a, f->kind, f->value / e));
    b->found_hi[k] = unit_from_si(u, depth_of(a, f->kind, f->value * e));
    say_day(&t, f->day);
    text_addf(&t, ": %s, ", tufa_finding_at(f->kind)->what);
    say_quantity(&t, a->units, quantity_of(f->kind), f->value);
    if (quantity_of(f->kind) != Q_LENGTH) {
        text_add(&t, ", in this tank about ");
        say_length(&t, a->units, depth_of(a, f->kind, f->value));
    }
    snprintf(b->found_words[k], sizeof b->found_words[k], "%s", text_str(&t));
    b->found_said[k] = b->found_words[k];
    text_free(&t);
}

/* What stayed after a cleaning, as a depth: as said, or from the share that came out and what it weighed; -1: nobody said. */
static double left_depth(const ahead_answer *a, const tufa_finding *f)
{
    const double ALL_BUT_NOTHING = 0.98;
    if (f->left_depth_m.basis != TUFA_BASIS_NONE) return f->left_depth_m.mid;
    if (f->left_kg.basis != TUFA_BASIS_NONE) return level_m(a, m3_of_kg(a, f->left_kg.mid));
    double left = f->left_share.mid;
    if (f->left_share.basis == TUFA_BASIS_NONE || f->kind != TUFA_FOUND_WEIGHED || left > ALL_BUT_NOTHING) return -1.0;
    return level_m(a, m3_of_kg(a, f->value * left / (1.0 - left)));
}

static void add_cleaned(const ahead_answer *a, const tufa_finding *f, const unit_row *u, size_t k, bed_plot *b)
{
    double left_m = left_depth(a, f);
    text t = {0};
    b->cleaned_x[k] = year_of(f->day);
    b->cleaned_y[k] = unit_from_si(u, fmax(left_m, 0.0));
    say_day(&t, f->day);
    text_add(&t, ": cleaned; ");
    if (left_m >= 0.0) say_length(&t, a->units, left_m);
    text_add(&t, left_m >= 0.0 ? " was left" : "nobody said how much was left");
    snprintf(b->cleaned_words[k], sizeof b->cleaned_words[k], "%s", text_str(&t));
    b->cleaned_said[k] = b->cleaned_words[k];
    text_free(&t);
}

static void add_past(const ahead_answer *a, const unit_row *u, bed_plot *b)
{
    size_t found = 0, cleaned = 0;
    for (size_t i = 0; i < a->c.findings; i++) {
        const tufa_finding *f = &a->c.found[i];
        if (f->kind != TUFA_FOUND_CLEANED && depth_of(a, f->kind, f->value) > 0.0) add_found(a, f, u, found++, b);
        if (f->cleaned || f->kind == TUFA_FOUND_CLEANED) add_cleaned(a, f, u, cleaned++, b);
    }
    plot *p = &b->plot;
    if (found || cleaned) { /* from the beginning of the first year in which something was found */
        double first = found ? b->found_x[0] : b->cleaned_x[0];
        if (cleaned) first = fmin(first, b->cleaned_x[0]);
        p->x_lo = floor(first);
        p->x_hi = b->x[BED_POINTS - 1];
    }
    if (found)
        p->series[p->series_count++] = (plot_series){PLOT_POINTS, "Found", found, b->found_x, b->found_y, b->found_lo, b->found_hi, b->found_said};
    if (cleaned)
        p->series[p->series_count++] = (plot_series){PLOT_POINTS, "Cleaned", cleaned, b->cleaned_x, b->cleaned_y, NULL, NULL, b->cleaned_said};
}

void draw_bed_ahead(const ahead_answer *a, const char *id, bed_plot *b)
{
    const unit_row *u = unit_said(Q_LENGTH, a->units);
    const tufa_ahead *v = &a->ahead;
    *b = (bed_plot){0};
    for (size_t i = 0; i < BED_POINTS; i++) {
        const tufa_band *d = &v->depth_m[12 * i];
        b->x[i] = year_of(a->today) + (double)i;
        b->lo[i] = unit_from_si(u, d->p10);
        b->mid[i] = unit_from_si(u, d->p50);
        b->hi[i] = unit_from_si(u, d->p90);
    }
    snprintf(b->title, sizeof b->title, "Depth of the bed of %s if left alone", a->c.heater.label);
    snprintf(b->description, sizeof b->description,
             "The line is the middle of what is likely, the shaded band holds 8 of 10 cases. Points are what was found and cleaned.");
    plot *p = &b->plot;
    *p = (plot){.id = id, .title = b->title, .description = b->description, .x_name = "Year",
                .y_name = a->units == UNITS_US ? "inches" : "cm", .y_from_zero = 1, .say_x = say_year_of,
                .say_y = a->units == UNITS_US ? say_inches : say_cm};
    p->series[p->series_count++] = (plot_series){PLOT_BAND, "If left alone", BED_POINTS, b->x, b->mid, b->lo, b->hi, NULL};
    if (v->heater.fuel == TUFA_ELECTRIC)
        p->level[p->level_count++] = (plot_level){unit_from_si(u, mid_of(a, TUFA_HEATER_ELEMENT_LOW)), element_words(a->c.known.one_element)};
    p->level[p->level_count++] = (plot_level){unit_from_si(u, mid_of(a, TUFA_HEATER_DRAIN)), "drain port"};
    add_past(a, u, b);
}
