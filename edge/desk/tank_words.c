#include "edge/desk/tank_words.h"

#include <math.h>
#include <string.h>

enum { WIDTH = 96 };

static void paragraph_of(text *t, text *w)
{
    text_add_wrapped(t, text_str(w), WIDTH, 0);
    text_add(t, "\n");
    text_clear(w);
}

static void say_hours(text *w, double s)
{
    if (s < 5400.0) text_addf(w, "%.0f min", s / 60.0);
    else text_addf(w, "%.1f h", s / 3600.0);
}

static void say_part_of_day(text *w, double s, double whole_s)
{
    if (s >= 0.995 * whole_s) text_add(w, "all of the time");
    else if (s < 60.0) text_add(w, "none of the time");
    else say_hours(w, s);
}

/* ---- what it is ---- */

static void what_it_is(text *t, text *w, unit_system u, const tank_case *c, const tank_answer *a)
{
    const tufa_tank *k = &a->model.tank;
    text_addf(w, "%s: %s, ", c->id[0] ? c->id : "Tank", k->fuel == TUFA_TANK_GAS ? "gas" : "electric");
    say_quantity(w, u, Q_VOLUME, k->volume_m3);
    if (k->fuel == TUFA_TANK_GAS) {
        text_add(w, ", burner ");
        say_quantity(w, u, Q_BURNER, k->burner_W);
    } else if (k->upper_W <= 0.0) {
        text_addf(w, ", one element of %.0f W", k->lower_W);
    } else {
        text_addf(w, ", elements %.0f W below and %.0f W above", k->lower_W, k->upper_W);
    }
    text_add(w, ", held at ");
    say_temperature(w, u, k->setpoint_K);
    text_addf(w, ", cold water ");
    say_temperature(w, u, k->inlet_K);
    text_addf(w, "; %g hours, ", c->hours);
    say_volume(w, u, a->result.drawn_m3);
    text_addf(w, " drawn.");
    paragraph_of(t, w);
    const char *lead = "What is wrong with it: ";
    for (size_t i = 0; i < c->changes; i++) {
        const tufa_tank_change_row *row = tufa_tank_change_at(c->change[i].id);
        bool kept = !(a->model.without_effect >> c->change[i].id & 1u);
        text_addf(w, "%s%s", i ? "; " : lead, row->title);
        if (row->unit[0]) text_addf(w, " (%.4g %s)", c->change[i].size / row->si_per_said, row->said);
        if (!kept) text_addf(w, " (has no meaning for a %s heater)", k->fuel == TUFA_TANK_GAS ? "gas" : "electric");
    }
    if (c->changes) text_add(w, "."), paragraph_of(t, w);
}

/* ---- energy ---- */

static void energy(text *t, text *w, const tank_answer *a)
{
    const tufa_tank_result *r = &a->result;
    const double kWh = 3.6e6;
    text_addf(w, "Energy: %.2f kWh in; %.2f kWh came out of the tap as warmth, %.2f kWh were lost, %.2f kWh %s in the tank than at the start.",
              r->in_J / kWh, r->delivered_J / kWh, r->lost_J / kWh, fabs(r->stored_J) / kWh, r->stored_J < 0.0 ? "less are" : "more are");
    if (r->flue_J > 0.0) text_addf(w, " Up the flue while burning: %.2f kWh.", r->flue_J / kWh);
    if (r->drip_J > 0.0) text_addf(w, " Ran off hot: %.2f kWh.", r->drip_J / kWh);
    if (r->relief_J > 0.0) text_addf(w, " Out of the relief valve: %.2f kWh.", r->relief_J / kWh);
    if (r->leak_J > 0.0)
        text_addf(w, " %.2f kWh came in while nothing wanted heat (a grounded element); it warms the water, so the thermostats "
                     "run less, and only what a hotter tank loses, or what is drawn hotter or let out, is extra on the bill.", r->leak_J / kWh);
    paragraph_of(t, w);
    const char *what = a->model.tank.fuel == TUFA_TANK_GAS ? "Burner" : a->model.tank.upper_W > 0.0 ? "Lower element" : "Element";
    text_addf(w, "%s on for ", what);
    say_hours(w, r->lower_on_s);
    text_addf(w, " in %d start%s", r->lower_starts, r->lower_starts == 1 ? "" : "s");
    if (a->model.tank.fuel == TUFA_TANK_ELECTRIC && a->model.tank.upper_W > 0.0) text_add(w, ", upper element "), say_hours(w, r->upper_on_s);
    text_add(w, ".");
    if (r->first_full_cutout_s >= 0.0) {
        text_add(w, " Everything was hot for the first time after ");
        say_hours(w, r->first_full_cutout_s);
        text_add(w, ".");
    }
    paragraph_of(t, w);
}

/* ---- at the tap ---- */

static void say_burn(text *w, const char *who, const tufa_tank_burn *b)
{
    if (b->below_table) {
        text_addf(w, " %s: cooler than the tables of burns begin; that does not make it harmless.", who);
        return;
    }
    text_addf(w, " %s: a %s burn in %s", who, strcmp(b->degree, "severe") == 0 ? "severe" : strcmp(b->degree, "third") == 0 ? "third-degree" : "second-degree",
              b->above_table ? "less than " : "about ");
    say_short_time(w, b->time_s);
    text_addf(w, " (%s).", b->source);
}

static void at_the_tap(text *t, text *w, unit_system u, const tank_answer *a)
{
    const tufa_tank_result *r = &a->result;
    if (r->drawn_m3 <= 0.0) return;
    text_add(w, "At the tap: ");
    say_temperature(w, u, r->mean_outlet_K);
    text_add(w, " on the whole, ");
    say_temperature(w, u, r->min_outlet_K);
    text_add(w, " at the coldest, ");
    say_temperature(w, u, r->max_outlet_K);
    text_add(w, " at the hottest; ");
    say_volume(w, u, r->above_40_m3);
    text_add(w, " came at ");
    say_temperature(w, u, 313.15);
    text_add(w, " or more.");
    paragraph_of(t, w);
    text_add(w, "Burns at the hottest, by the shortest time in any table.");
    say_burn(w, "An adult", &a->adult);
    say_burn(w, "An infant", &a->infant);
    text_add(w, " Measure at the tub; local codes want a mixing valve there, a heater's thermostat does not count as one.");
    if (r->max_outlet_K > 333.15 && r->max_outlet_K > a->model.tank.setpoint_K + 8.0)
        text_add(w, " Far hotter than set: stop using it until the cause is found.");
    paragraph_of(t, w);
}

/* ---- bacteria ---- */

static double coldest_kill(const tank_answer *a, const double *kill)
{
    double least = kill[0];
    for (int i = 1; i < a->model.n; i++) least = fmin(least, kill[i]);
    return least;
}

static void bacteria(text *t, text *w, unit_system u, const tank_case *c, const tank_answer *a)
{
    const tufa_tank_result *r = &a->result;
    int n = a->model.n;
    double all = 3600.0 * c->hours, days = fmax(c->hours / 24.0, 1e-9);
    text_add(w, "Legionella grows between ");
    say_temperature(w, u, 298.15);
    text_add(w, " and ");
    say_temperature(w, u, 318.15);
    text_add(w, ": the bottom of the tank stood there ");
    say_part_of_day(w, r->growth_s[0], all);
    text_add(w, ", the middle ");
    say_part_of_day(w, r->growth_s[n / 2], all);
    text_add(w, ", the top ");
    say_part_of_day(w, r->growth_s[n - 1], all);
    double mid = coldest_kill(a, r->kill_log10) / days;
    if (mid < 0.05) text_add(w, ". Where the tank is coldest nothing kills it. ");
    else
        text_addf(w, ". Where the tank is coldest, heat brings it down tenfold about %.2g times a day (%.2g to %.2g by the studies). ", mid,
                  coldest_kill(a, r->kill_lo) / days, coldest_kill(a, r->kill_hi) / days);
    text_add(w, "Public guidance is to store at ");
    say_temperature(w, u, 333.15);
    text_add(w, " or more and to mix down at the tap; a bed of sediment shelters it.");
    paragraph_of(t, w);
}

/* ---- metal and noise, events ---- */

static void skin(text *t, text *w, unit_system u, const tank_answer *a)
{
    const tufa_tank_result *r = &a->result;
    if (r->skin_K <= 0.0) return;
    bool gas = a->model.tank.fuel == TUFA_TANK_GAS;
    text_add(w, gas ? "Bottom plate while burning: " : a->model.tank.upper_W > 0.0 ? "Skin of the lower element while on: " : "Skin of the element while on: ");
    say_temperature(w, u, r->skin_K);
    if (gas && r->plate_K > r->skin_K + 1.0) {
        text_add(w, " while the bed stays wet, up to ");
        say_temperature(w, u, r->plate_K);
        text_add(w, " where it dries");
    }
    text_add(w, "; water at this pressure boils at ");
    say_temperature(w, u, tufa_tank_boiling_K(a->model.tank.line_Pa));
    text_add(w, r->noise_margin_K > 0.0 ? ": it boils there, and is heard." : ": no boiling, no noise from it.");
    if (!gas && a->model.bed_cover > 0.0)
        text_addf(w, " %.0f %% of the element's height lies in the bed: it burns out sooner.", 100.0 * a->model.bed_cover);
    paragraph_of(t, w);
}

static void events(text *t, text *w, unit_system u, const tank_answer *a)
{
    const tufa_tank_result *r = &a->result;
    if (r->limit_trip_s >= 0.0) {
        text_add(w, "The limit tripped after ");
        say_hours(w, r->limit_trip_s);
        text_add(w, ": no heat until its reset button is pressed, and a reason to look for before it is. ");
    }
    if (r->breaker_trip_s >= 0.0) {
        text_add(w, "The breaker opened after ");
        say_hours(w, r->breaker_trip_s);
        text_add(w, ". ");
    }
    if (r->relief_open_s >= 0.0) {
        text_add(w, "The relief valve opened after ");
        say_hours(w, r->relief_open_s);
        text_add(w, " and let out ");
        say_volume(w, u, r->relief_m3);
        text_add(w, " of scalding water. Never plug or cap it. ");
    }
    if (a->model.tank.closed_system) {
        text_add(w, "Pressure reached ");
        say_quantity(w, u, Q_PRESSURE, r->max_pressure_Pa);
        text_add(w, " since the water cannot expand into the street. ");
    }
    if (w->len) paragraph_of(t, w);
}

static void rating(text *t, text *w, unit_system u, const tank_answer *a)
{
    const tufa_tank_rating *r = &a->rating;
    if (!a->rated) return;
    text_add(w, "Able to give: ");
    say_volume(w, u, r->first_draw_m3);
    text_add(w, " in one draw, ");
    say_volume(w, u, r->first_hour_m3);
    text_add(w, " in the first hour (first-hour rating); from all cold it is hot ");
    if (r->recovery_s >= 0.0) text_add(w, "after "), say_hours(w, r->recovery_s);
    else text_add(w, "not within a day");
    text_add(w, ".");
    paragraph_of(t, w);
}

/* ---- picture ---- */

enum { ROWS = 20, SHELL = 10 };

static char fill_of(double T_K)
{
    static const struct {
        double below_C;
        char sign;
    } FILL[] = {{25.0, ' '}, {45.0, '.'}, {60.0, 'o'}};
    for (size_t i = 0; i < sizeof FILL / sizeof FILL[0]; i++)
        if (T_K - 273.15 < FILL[i].below_C) return FILL[i].sign;
    return '#';
}

typedef struct rows {
    double row_m;
    int row; /* being drawn */
    bool any;
} rows;

static void mark(text *t, rows *r, double height_m, const char *what)
{
    int at = (int)floor(height_m / r->row_m + 1e-9);
    if ((at >= ROWS ? ROWS - 1 : at) != r->row) return;
    text_addf(t, "%s%s", r->any ? ", " : "  <- ", what);
    r->any = true;
}

static void marks(text *t, rows *r, const tank_case *c, const tank_answer *a)
{
    const tufa_tank *k = &c->tank;
    bool gas = k->fuel == TUFA_TANK_GAS, upper = !gas && k->upper_W > 0.0;
    r->any = false;
    if (upper) mark(t, r, k->upper_height_m, "upper element");
    if (!gas && k->lower_W > 0.0) mark(t, r, k->lower_height_m, upper ? "lower element" : "element");
    if (upper) mark(t, r, k->upper_sensor_m, "upper thermostat");
    mark(t, r, k->lower_sensor_m, gas ? "gas valve's sensor" : upper ? "lower thermostat" : "thermostat");
    mark(t, r, fmax(a->model.tank.inlet_height_m, a->model.bed_depth_m), "cold water comes in");
}

void say_tank_picture(text *t, unit_system u, const tank_case *c, const tank_answer *a)
{
    const tufa_tank_model *m = &a->model;
    const tufa_tank *k = &c->tank;
    rows r = {.row_m = k->height_m / ROWS};
    text_add(t, "\n         .----------.\n");
    for (r.row = ROWS - 1; r.row >= 0; r.row--) {
        double mid = (r.row + 0.5) * r.row_m;
        bool in_bed = mid < m->bed_depth_m;
        int layer = (int)((mid - m->bed_depth_m) / m->dz_m);
        layer = layer < 0 ? 0 : layer >= m->n ? m->n - 1 : layer;
        char sign = in_bed ? '%' : fill_of(a->layer_K[layer]);
        text tail = {0};
        if (in_bed) text_add(&tail, "bed");
        else say_temperature(&tail, u, a->layer_K[layer]);
        text_addf(t, "%8s |", text_str(&tail));
        text_free(&tail);
        for (int i = 0; i < SHELL; i++) text_addn(t, &sign, 1);
        text_add(t, "|");
        marks(t, &r, c, a);
        text_add(t, "\n");
    }
    text_addf(t, "         '----------'%s\n", k->fuel == TUFA_TANK_GAS ? "  <- burner" : "");
    text w = {0};
    text_add(&w, "At the end. Signs: # ");
    say_temperature(&w, u, 333.15);
    text_add(&w, " and more, o hot, . between ");
    say_temperature(&w, u, 298.15);
    text_add(&w, " and ");
    say_temperature(&w, u, 318.15);
    text_add(&w, " where bacteria grow, blank cold, % sediment.");
    paragraph_of(t, &w);
    text_free(&w);
}

void say_tank(text *t, unit_system u, const tank_case *c, const tank_answer *a)
{
    text w = {0};
    what_it_is(t, &w, u, c, a);
    energy(t, &w, a);
    at_the_tap(t, &w, u, a);
    rating(t, &w, u, a);
    bacteria(t, &w, u, c, a);
    skin(t, &w, u, a);
    events(t, &w, u, a);
    say_tank_picture(t, u, c, a);
    text_free(&w);
}
