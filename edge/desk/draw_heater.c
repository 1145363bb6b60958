/* One heater's tank, drawn to scale as far as it is known. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "edge/desk/words.h"
#include "edge/desk/drawings.h"
#include "edge/say/day.h"

static void us_length(text *t, double m) { say_length(t, UNITS_US, m); }
static void metric_length(text *t, double m) { say_length(t, UNITS_METRIC, m); }
static void us_degrees(text *t, double K) { say_temperature(t, UNITS_US, K); }
static void metric_degrees(text *t, double K) { say_temperature(t, UNITS_METRIC, K); }

static double mid_of(const ahead_answer *a, tufa_heater_field f) { return a->ahead.heater.field[f].mid; }

static void put(char *to, size_t room, text *t)
{
    snprintf(to, room, "%s", text_str(t));
    text_clear(t);
}

static void add_part(heater_picture *h, unit_system u, part_shape shape, double height_m, const char *name)
{
    text t = {0};
    int k = h->picture.parts++;
    text_addf(&t, "%s, ", name);
    say_length(&t, u, height_m);
    text_add(&t, " up");
    put(h->part[k], sizeof h->part[k], &t);
    h->picture.part[k] = (picture_part){shape, height_m, h->part[k]};
    text_free(&t);
}

/* Sensors and inlet stand where the simulated tank has them. */
static void parts(const ahead_answer *a, heater_picture *h)
{
    tufa_tank_season season;
    tufa_tank_ask ask = hot_ask_of(&a->ahead.heater, &a->c.site, mid_of(a, TUFA_HEATER_SETPOINT), 1e-3 * a->ahead.litres_day.p50, &season);
    tufa_tank t = tufa_ahead_as_tank(&ask);
    double scale = h->picture.height_m / t.height_m;
    bool electric = a->ahead.heater.fuel == TUFA_ELECTRIC, one = a->c.known.one_element;
    add_part(h, a->units, PART_TUBE, t.inlet_height_m * scale, "end of the dip tube");
    add_part(h, a->units, PART_PORT, mid_of(a, TUFA_HEATER_DRAIN), "drain port");
    add_part(h, a->units, PART_SENSOR, t.lower_sensor_m * scale, !electric ? "gas control's sensor" : one ? "thermostat" : "lower thermostat");
    if (electric) {
        add_part(h, a->units, PART_ROD, mid_of(a, TUFA_HEATER_ELEMENT_LOW), element_words(one));
        if (!one) add_part(h, a->units, PART_ROD, mid_of(a, TUFA_HEATER_ELEMENT_HIGH), "upper element");
        if (!one) add_part(h, a->units, PART_SENSOR, t.upper_sensor_m * scale, "upper thermostat");
    } else {
        int k = h->picture.parts++;
        snprintf(h->part[k], sizeof h->part[k], "burner, under the floor");
        h->picture.part[k] = (picture_part){PART_BURNER, 0.0, h->part[k]};
    }
}

static void say_bed(text *t, const ahead_answer *a)
{
    const tufa_band *b = &a->ahead.now_depth_m;
    text_add(t, "bed ");
    say_value(t, a->units, Q_LENGTH, (tufa_value){b->p50, b->p10, b->p90, TUFA_BASIS_LEARNED});
}

void draw_heater(const ahead_answer *a, const char *id, heater_picture *h)
{
    *h = (heater_picture){0};
    tank_picture *p = &h->picture;
    text t = {0};
    *p = (tank_picture){.id = id, .height_m = mid_of(a, TUFA_HEATER_HEIGHT), .diameter_m = mid_of(a, TUFA_HEATER_DIAMETER),
                        .bed_lo_m = a->ahead.now_depth_m.p10, .bed_mid_m = a->ahead.now_depth_m.p50,
                        .bed_hi_m = fmin(a->ahead.now_depth_m.p90, mid_of(a, TUFA_HEATER_HEIGHT)),
                        .say_height = a->units == UNITS_US ? us_length : metric_length,
                        .say_temperature = a->units == UNITS_US ? us_degrees : metric_degrees};
    text_addf(&t, "The tank of %s, to scale inside", a->c.heater.label);
    put(h->title, sizeof h->title, &t);
    say_bed(&t, a);
    put(h->bed, sizeof h->bed, &t);
    parts(a, h);
    text_addf(&t, "%s, the paler part as far as it may reach", h->bed);
    for (int i = 0; i < p->parts; i++) text_addf(&t, "; %s", h->part[i]);
    text_add(&t, ".");
    put(h->description, sizeof h->description, &t);
    text_free(&t);
    p->title = h->title;
    p->description = h->description;
    p->bed_words = h->bed;
}

/* ---- a day ---- */

static tufa_status take_hour(const tufa_tank_model *m, const tank_case *c, const tufa_tank_state *morning, int hour, heater_hours *out)
{
    tufa_tank_state s = *morning;
    tufa_tank_run run = {.duration_s = 3600.0 * hour};
    tufa_tank_result r = {0};
    if (hour > 0) {
        tufa_status st = tufa_tank_simulate(m, &c->use, &run, &s, &r);
        if (st.code != TUFA_OK) return st;
    }
    for (int i = 0; i < m->n; i++) out->K[hour][i] = tufa_tank_layer_K(m, &s, i);
    out->drawn_m3[hour] = r.drawn_m3;
    out->on_share[hour] = (r.lower_on_s + r.upper_on_s) / 3600.0;
    return (tufa_status){.code = TUFA_OK};
}

/* Sums up to each hour become those of the hour before. */
static void differences(double *sum)
{
    for (int h = DAY_HOURS; h > 0; h--) sum[h] -= sum[h - 1];
}

tufa_status desk_heater_hours(const ahead_answer *a, heater_hours *out)
{
    tank_case c;
    int year, month, day;
    tufa_tank_model m;
    tufa_tank_state s;
    tufa_tank_result r;
    *out = (heater_hours){0};
    ymd_from_day(a->today, &year, &month, &day);
    desk_hot_case(&a->ahead.heater, &a->c.site, mid_of(a, TUFA_HEATER_SETPOINT), 1e-3 * a->ahead.litres_day.p50,
                  a->ahead.now_bed_m3.p50, month - 1, &c);
    tufa_status st = tufa_tank_build(&c.tank, NULL, 0, &m);
    if (st.code == TUFA_OK) st = tufa_tank_start(&m, c.start_K, &s);
    if (st.code == TUFA_OK) st = tufa_tank_simulate(&m, &c.use, &(tufa_tank_run){.duration_s = 3600.0 * DAY_HOURS}, &s, &r);
    for (int h = 0; h <= DAY_HOURS && st.code == TUFA_OK; h++) st = take_hour(&m, &c, &s, h, out);
    if (st.code != TUFA_OK) return st;
    out->layers = m.n;
    differences(out->drawn_m3);
    differences(out->on_share);
    out->coldest_K = out->hottest_K = out->K[0][0];
    for (int h = 0; h <= DAY_HOURS; h++)
        for (int i = 0; i < m.n; i++) {
            out->coldest_K = fmin(out->coldest_K, out->K[h][i]);
            out->hottest_K = fmax(out->hottest_K, out->K[h][i]);
        }
    return st;
}

void draw_heater_hour(const ahead_answer *a, const heater_hours *h, int hour, const char *id, heater_picture *out)
{
    draw_heater(a, id, out);
    text t = {0};
    memcpy(out->layer_K, h->K[hour], sizeof out->layer_K);
    out->picture.layers = (size_t)h->layers;
    out->picture.layer_K = out->layer_K;
    out->picture.cold_K = h->coldest_K;
    out->picture.hot_K = h->hottest_K + 0.1;
    text_addf(&t, "Layers of %s at %d:00; the fuller the tint, the warmer", a->c.heater.label, hour);
    put(out->title, sizeof out->title, &t);
    text_add(&t, "Bottom ");
    say_temperature(&t, a->units, h->K[hour][0]);
    text_add(&t, ", middle ");
    say_temperature(&t, a->units, h->K[hour][h->layers / 2]);
    text_add(&t, ", top ");
    say_temperature(&t, a->units, h->K[hour][h->layers - 1]);
    put(out->bed, sizeof out->bed, &t);
    snprintf(out->description, sizeof out->description, "%s.", out->bed);
    text_free(&t);
}
