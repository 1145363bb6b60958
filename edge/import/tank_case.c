#include "edge/import/tank_case.h"

#include <math.h>
#include <string.h>

#include "core/base/units.h"

/* ---- plain numbers of the tank: key, member, range as said, and what one unit said is in SI ---- */

typedef enum said_as { AS_IS, LITRES, CELSIUS, CELSIUS_OR_NONE, KILO, PER_CM2 } said_as;

typedef struct number_key {
    const char *key;
    size_t member;
    double lo, hi;
    said_as said;
} number_key;

#define AT(member) offsetof(tufa_tank, member)
static const number_key NUMBERS[] = {
    {"volume_l", AT(volume_m3), 5.0, 10000.0, LITRES},
    {"height_m", AT(height_m), 0.1, 10.0, AS_IS},
    {"loss_w_per_k", AT(loss_W_K), 0.0, 1000.0, AS_IS},
    {"loss_top_share", AT(loss_top_share), 0.0, 1.0, AS_IS},
    {"conductivity_w_per_m_k", AT(conductivity_W_m_K), 0.0, 100.0, AS_IS},
    {"ambient_c", AT(ambient_K), -50.0, 70.0, CELSIUS},
    {"inlet_c", AT(inlet_K), 0.0, 90.0, CELSIUS},
    {"lower_w", AT(lower_W), 0.0, 50e3, AS_IS},
    {"upper_w", AT(upper_W), 0.0, 50e3, AS_IS},
    {"lower_height_m", AT(lower_height_m), 0.0, 10.0, AS_IS},
    {"upper_height_m", AT(upper_height_m), 0.0, 10.0, AS_IS},
    {"lower_sensor_m", AT(lower_sensor_m), 0.0, 10.0, AS_IS},
    {"upper_sensor_m", AT(upper_sensor_m), 0.0, 10.0, AS_IS},
    {"element_w_per_cm2", AT(element_W_m2), 0.1, 100.0, PER_CM2},
    {"setpoint_c", AT(setpoint_K), 10.0, 99.0, CELSIUS},
    {"differential_k", AT(differential_K), 0.1, 60.0, AS_IS},
    {"sensor_lag_s", AT(sensor_lag_s), 0.0, 3600.0, AS_IS},
    {"limit_c", AT(limit_K), 20.0, 200.0, CELSIUS_OR_NONE},
    {"relief_c", AT(relief_K), 70.0, 150.0, CELSIUS_OR_NONE},
    {"inlet_height_m", AT(inlet_height_m), 0.0, 10.0, AS_IS},
    {"mixing_l", AT(mixing_m3), 0.0, 10000.0, LITRES},
    {"burner_w", AT(burner_W), 0.0, 200e3, AS_IS},
    {"recovery_efficiency", AT(recovery_efficiency), 0.1, 1.0, AS_IS},
    {"pilot_w", AT(pilot_W), 0.0, 2000.0, AS_IS},
    {"bed_l", AT(bed_m3), 0.0, 7000.0, LITRES},
    {"bed_w_per_m_k", AT(bed_W_m_K), 0.1, 10.0, AS_IS},
    {"scale_w_per_m_k", AT(scale_W_m_K), 0.05, 10.0, AS_IS},
    {"expansion_l", AT(expansion_m3), 0.0, 1000.0, LITRES},
    {"line_kpa", AT(line_Pa), 0.0, 2000.0, KILO},
    {"breaker_a", AT(breaker_A), 1.0, 200.0, AS_IS},
    {"leak_w", AT(leak_W), 0.0, 20e3, AS_IS},
    {"leak_height_m", AT(leak_height_m), 0.0, 10.0, AS_IS},
    {"density_kg_m3", AT(density_kg_m3), 100.0, 2000.0, AS_IS},
    {"heat_capacity_j_kg_k", AT(heat_capacity_J_kg_K), 500.0, 10e3, AS_IS},
};
enum { LEAST_LAYERS = 100 }; /* a case is one day or so: fine layers cost it nothing */
enum { NUMBER_COUNT = sizeof NUMBERS / sizeof NUMBERS[0] };

const char *const tank_case_keys[] = {
    "id", "fuel", "volume_l", "height_m", "loss_w_per_k", "loss_top_share", "conductivity_w_per_m_k", "ambient_c", "inlet_c",
    "start_c", "hours", "lower_w", "upper_w", "lower_height_m", "upper_height_m", "lower_sensor_m", "upper_sensor_m",
    "element_w_per_cm2", "setpoint_c", "differential_k", "sensor_lag_s", "limit_c", "relief_c", "inlet_height_m", "mixing_l",
    "burner_w", "recovery_efficiency", "pilot_w", "bed_l", "bed_w_per_m_k", "scale_mm", "scale_w_per_m_k", "closed_system",
    "expansion_l", "line_kpa", "breaker_a", "leak_w", "leak_height_m", "density_kg_m3", "heat_capacity_j_kg_k", "layers",
    "draws", "pattern", "daily_l", "tempered_c", "repeat_daily", "changes"};
const size_t tank_case_key_count = sizeof tank_case_keys / sizeof tank_case_keys[0];

static double *member_of(tufa_tank *t, const number_key *k) { return (double *)(void *)((char *)t + k->member); }

static double to_si(const number_key *k, double said)
{
    switch (k->said) {
    case LITRES: return m3_from_L(said);
    case CELSIUS:
    case CELSIUS_OR_NONE: return K_from_C(said);
    case KILO: return 1e3 * said;
    case PER_CM2: return 1e4 * said;
    case AS_IS: break;
    }
    return said;
}

static bool is_null(const json_case *c, const char *key) { return json_is_null(json_object_get(c->object, key)); }

static bool read_numbers(json_case *c, tufa_tank *t)
{
    for (size_t i = 0; i < NUMBER_COUNT; i++) {
        const number_key *k = &NUMBERS[i];
        double said = 0.0;
        if (k->said == CELSIUS_OR_NONE && is_null(c, k->key)) *member_of(t, k) = 0.0;
        if (!json_case_has(c, k->key)) continue;
        if (!json_case_number(c, k->key, k->lo, k->hi, &said)) return false;
        *member_of(t, k) = to_si(k, said);
    }
    return true;
}

static const char *const FUELS[] = {"electric", "gas"};

/* The size decides the default heights, so it is read first. */
static tufa_tank like_case(json_case *c, tufa_tank_fuel fuel)
{
    double volume_l = 0.0, height_m = 0.0;
    json_case_number(c, "volume_l", 5.0, 10000.0, &volume_l);
    json_case_number(c, "height_m", 0.1, 10.0, &height_m);
    tufa_tank t = tufa_tank_like(fuel, m3_from_L(volume_l), 0.0, 0.0);
    if (height_m <= 0.0) return t;
    double scale = height_m / t.height_m;
    t.height_m = height_m;
    t.lower_height_m *= scale, t.upper_height_m *= scale, t.lower_sensor_m *= scale, t.upper_sensor_m *= scale;
    return t;
}

static bool check_heights(json_case *c, const tufa_tank *t)
{
    for (size_t i = 0; i < NUMBER_COUNT; i++) {
        const char *key = NUMBERS[i].key;
        if (!strstr(key, "_height_m") && !strstr(key, "_sensor_m")) continue;
        double at = *member_of((tufa_tank *)t, &NUMBERS[i]);
        if (at <= t->height_m) continue;
        char value[32], allowed[48];
        snprintf(value, sizeof value, "%g", at);
        snprintf(allowed, sizeof allowed, "0 to %g, the tank's height", t->height_m);
        return json_case_refuse(c, TUFA_RANGE, key, value, allowed, "this lies above the top of the tank");
    }
    return true;
}

bool tank_case_heater(json_case *c, tufa_tank *out)
{
    size_t fuel = TUFA_TANK_ELECTRIC;
    long long layers = 0;
    double scale_mm = 0.0;
    if (!json_case_choice(c, "fuel", FUELS, 2, &fuel)) return false;
    tufa_tank t = like_case(c, (tufa_tank_fuel)fuel);
    if (!read_numbers(c, &t)) return false;
    if (json_case_has(c, "mixing_l")) t.mixing_flow_m3_s = 0.0; /* as given, at any flow */
    if (json_case_has(c, "lower_height_m") && !json_case_has(c, "leak_height_m")) t.leak_height_m = t.lower_height_m;
    if (json_case_has(c, "density_kg_m3") != json_case_has(c, "heat_capacity_j_kg_k"))
        return json_case_refuse(c, TUFA_CONFLICT, json_case_has(c, "density_kg_m3") ? "density_kg_m3" : "heat_capacity_j_kg_k", NULL, "",
                                "density and heat capacity are given together, or neither");
    if (t.density_kg_m3 > 0.0) { /* an ideal liquid that never boils: limit and relief valve only where they are asked for */
        if (!json_case_has(c, "limit_c")) t.limit_K = 0.0;
        if (!json_case_has(c, "relief_c")) t.relief_K = 0.0;
    }
    json_case_number(c, "scale_mm", 0.0, 30.0, &scale_mm);
    t.scale_m = 1e-3 * scale_mm;
    json_case_bool(c, "closed_system", &t.closed_system);
    json_case_int(c, "layers", TUFA_TANK_MIN_LAYERS, TUFA_TANK_MAX_LAYERS, &layers);
    if (!check_heights(c, &t)) return false;
    t.layers = layers > 0 ? (int)layers : tufa_tank_layers_for(&t, LEAST_LAYERS, TUFA_TANK_MAX_LAYERS);
    *out = t;
    return c->note->code == TUFA_OK;
}

/* ---- changes ---- */

static const char *CHANGE_KEYS[] = {"id", "size", "fault_ohm", "broken", "broken_before"};

static bool change_named(json_case *c, const char *key, const char *name, tufa_tank_change *out)
{
    if (tufa_tank_change_named(name, out).code == TUFA_OK) return true;
    const char *names[TUFA_CHANGE_COUNT];
    for (int i = 0; i < TUFA_CHANGE_COUNT; i++) names[i] = tufa_tank_change_at((tufa_tank_change_id)i)->name;
    const char *near = nearest_name(name, names, TUFA_CHANGE_COUNT);
    char why[120];
    snprintf(why, sizeof why, "there is no such change to a tank%s%s%s", near ? "; did you mean \"" : "", near ? near : "", near ? "\"?" : "");
    return json_case_refuse(c, TUFA_UNKNOWN, key, name, "", why);
}

static bool change_object(json_case *c, tufa_tank_change *out)
{
    char name[64] = "";
    if (!json_case_only(c, CHANGE_KEYS, sizeof CHANGE_KEYS / sizeof CHANGE_KEYS[0])) return false;
    if (!json_case_needs(c, "id") || !json_case_text(c, "id", name, sizeof name) || !change_named(c, "id", name, out)) return false;
    const tufa_tank_change_row *row = tufa_tank_change_at(out->id);
    if (!row->unit[0] && json_case_has(c, "size"))
        return json_case_refuse(c, TUFA_CONFLICT, "size", NULL, "", "this change has no size");
    double said = out->size / row->si_per_said;
    json_case_number(c, "size", row->lo / row->si_per_said, row->hi / row->si_per_said, &said);
    out->size = said * row->si_per_said;
    json_case_number(c, "fault_ohm", 0.0, 1e9, &out->fault_ohm);
    json_case_bool(c, "broken", &out->broken);
    return json_case_bool(c, "broken_before", &out->broken_before);
}

bool tank_case_changes(json_case *c, const char *key, tufa_tank_change *out, size_t *n)
{
    const json_t *list;
    *n = 0;
    if (!json_case_array(c, key, TUFA_TANK_MAX_CHANGES, &list)) return false;
    for (size_t i = 0; list && i < json_array_size(list); i++) {
        const json_t *v = json_array_get(list, i);
        json_case one;
        bool good = json_is_string(v) ? change_named(c, key, json_string_value(v), &out[i])
                                      : json_case_element(c, key, list, i, &one) && change_object(&one, &out[i]);
        if (!good) return false;
        *n = i + 1;
    }
    return true;
}

/* ---- draws ---- */

static const char *DRAW_KEYS[] = {"start_min", "litres", "l_per_min"};

static bool read_draw(json_case *c, tufa_tank_draw *out)
{
    double start = 0.0, litres = 0.0, flow = 6.0; /* a shower's flow where none is given; common practice, no source */
    if (!json_case_only(c, DRAW_KEYS, 3) || !json_case_needs(c, "start_min") || !json_case_needs(c, "litres")) return false;
    json_case_number(c, "start_min", 0.0, 6e6, &start);
    json_case_number(c, "litres", 0.0, 10000.0, &litres);
    if (!json_case_number(c, "l_per_min", 0.01, 200.0, &flow)) return false;
    *out = (tufa_tank_draw){.start_s = 60.0 * start, .volume_m3 = m3_from_L(litres), .flow_m3_s = m3_s_from_L_min(flow)};
    return true;
}

/* Few, and nearly in order as a rule. */
static void sort_draws(tufa_tank_draw *d, size_t n)
{
    for (size_t i = 1; i < n; i++)
        for (size_t j = i; j > 0 && d[j].start_s < d[j - 1].start_s; j--) {
            tufa_tank_draw swap = d[j];
            d[j] = d[j - 1];
            d[j - 1] = swap;
        }
}

static bool read_draws(json_case *c, tank_case *out)
{
    const json_t *list;
    if (!json_case_array(c, "draws", TUFA_TANK_MAX_DRAWS, &list)) return false;
    for (size_t i = 0; list && i < json_array_size(list); i++) {
        json_case one;
        if (!json_case_element(c, "draws", list, i, &one) || !read_draw(&one, &out->draw[i])) return false;
        out->use.n = i + 1;
    }
    sort_draws(out->draw, out->use.n);
    return true;
}

static bool read_use(json_case *c, tank_case *out)
{
    const char *names[TUFA_PATTERN_COUNT];
    size_t pattern = TUFA_PATTERN_COUNT;
    double daily_l = -1.0, tempered_c = 0.0;
    bool repeat = !json_case_has(c, "draws"); /* a list tells what happens when; a pattern, how every day goes */
    for (int p = 0; p < TUFA_PATTERN_COUNT; p++) names[p] = tufa_tank_pattern_name((tufa_tank_pattern)p);
    if (!json_case_choice(c, "pattern", names, TUFA_PATTERN_COUNT, &pattern)) return false;
    if (!json_case_number(c, "daily_l", 0.0, 5000.0, &daily_l)) return false;
    if (json_case_has(c, "draws") + json_case_has(c, "pattern") + json_case_has(c, "daily_l") > 1)
        return json_case_refuse(c, TUFA_CONFLICT, "draws", NULL, "", "give draws, a pattern or litres a day, only one of them");
    if (!read_draws(c, out)) return false;
    if (pattern < TUFA_PATTERN_COUNT) out->use.n = tufa_tank_pattern_draws((tufa_tank_pattern)pattern, out->draw);
    if (daily_l > 0.0) out->use.n = tufa_tank_draws_for(m3_from_L(daily_l), out->draw);
    if (!json_case_bool(c, "repeat_daily", &repeat)) return false;
    out->use.once = !repeat;
    if (repeat && out->use.n > 0 && out->draw[out->use.n - 1].start_s >= 86400.0)
        return json_case_refuse(c, TUFA_RANGE, "draws", NULL, "0 to 1440", "a draw of a day that repeats begins within 1440 minutes");
    if (json_case_has(c, "tempered_c") && json_case_number(c, "tempered_c", 10.0, 99.0, &tempered_c)) out->use.tempered_K = K_from_C(tempered_c);
    return c->note->code == TUFA_OK;
}

void tank_case_moved(tank_case *c) { c->use.draws = c->draw; }

bool tank_case_read(json_case *c, tank_case *out)
{
    double start_c, hours = 24.0;
    *out = (tank_case){0};
    if (!json_case_only(c, tank_case_keys, tank_case_key_count)) return false;
    if (json_is_integer(json_object_get(c->object, "id")))
        snprintf(out->id, sizeof out->id, "%lld", (long long)json_integer_value(json_object_get(c->object, "id")));
    else if (!json_case_text(c, "id", out->id, sizeof out->id)) return false;
    if (!tank_case_heater(c, &out->tank) || !tank_case_changes(c, "changes", out->change, &out->changes)) return false;
    if (!read_use(c, out)) return false;
    start_c = C_from_K(out->tank.setpoint_K);
    json_case_number(c, "start_c", 0.0, 100.0, &start_c);
    json_case_number(c, "hours", 0.0, 24.0 * 366.0 * 30.0, &hours);
    out->start_K = K_from_C(start_c);
    out->hours = hours;
    tank_case_moved(out);
    return c->note->code == TUFA_OK;
}
