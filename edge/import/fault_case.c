#include "edge/import/fault_case.h"

#include <string.h>

#include "edge/import/reading.h"
#include "edge/import/tank_case.h"

static const char *const KEYS[] = {"id", "fuel", "complaints", "asked_no", "readings", "heater", "bed_l", "age_years",
                                   "known", "people", "month", "nitrate_mg_l", "sulfate_mg_l", "supply_v", "plate_v",
                                   "single_element", "propane", "trained", "made_safe", "own_hour_usd",
                                   "second_trip_usd"};
static const char *const FUELS[] = {"electric", "gas", "propane"}; /* propane is gas with its own pressures */

/* Names of a list into marks; `mark` on a place that already has another is a contradiction. */
static bool read_marks(json_case *c, const char *key, id_at at, unsigned char mark, unsigned char *marks)
{
    const json_t *list = NULL;
    if (!json_case_array(c, key, 80, &list)) return false;
    for (size_t i = 0; list && i < json_array_size(list); i++) {
        const char *name = json_string_value(json_array_get(list, i));
        if (!name) return json_case_refuse(c, TUFA_PARSE, key, NULL, "a list of names", "an entry is not a name");
        trouble_note note = {0};
        int k = place_of(name, at, key, &note);
        if (k < 0) return json_case_refuse(c, TUFA_UNKNOWN, key, name, note.allowed, note.why);
        if (marks[k] && marks[k] != mark)
            return json_case_refuse(c, TUFA_CONFLICT, key, name, "", "it cannot be voiced and denied in one call");
        marks[k] = mark;
    }
    return true;
}

static bool complaint_fits(json_case *c, const fault_case *out)
{
    int gas = out->heater.tank.fuel == TUFA_TANK_GAS;
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        const tufa_complaint *row = tufa_fault_complaint_at(i);
        if (out->call.complaint[i] != 1 || (gas ? row->gas : row->electric)) continue;
        return json_case_refuse(c, TUFA_REFUSED, "complaints", row->id, "",
                                gas ? "this complaint belongs to electric heaters and the heater burns gas"
                                    : "this complaint belongs to gas heaters and the heater is electric");
    }
    return true;
}

static bool read_reading(json_case *c, json_case *r, const fault_case *in, tufa_reading *out)
{
    static const char *const PARTS[] = {"test", "value", "unit"};
    char test[64] = "", unit[32] = "", word[64] = "";
    if (!json_case_only(r, PARTS, 3) || !json_case_needs(r, "test") || !json_case_needs(r, "value")) return false;
    if (!json_case_text(r, "test", test, sizeof test) || !json_case_text(r, "unit", unit, sizeof unit)) return false;
    trouble_note note = {0};
    int t = reading_test(test, &note);
    if (t < 0) return json_case_refuse(r, note.code, "test", test, note.allowed, note.why);
    const json_t *value = json_object_get(r->object, "value");
    bool good;
    if (json_is_string(value)) {
        if (!json_case_text(r, "value", word, sizeof word)) return false;
        good = reading_category(t, word, out, &note);
        if (good && unit[0] && strcmp(unit, "category") != 0 && strcmp(unit, "-") != 0) {
            note_set(&note, TUFA_UNIT, test, unit, "category", "this reading is a word and has no unit");
            good = false;
        }
    } else {
        double x = 0.0;
        if (!json_case_number(r, "value", -1e12, 1e12, &x)) return false;
        good = reading_number(t, x, unit, strlen(unit), out, &note);
    }
    if (!good) return json_case_refuse(r, note.code, note.field, note.value, note.allowed, note.why);
    tufa_status st = tufa_fault_reading_check(&in->heater, out);
    if (st.code != TUFA_OK) return json_case_refuse(r, st.code, "test", test, "", st.why);
    (void)c;
    return true;
}

static bool read_readings(json_case *c, fault_case *out)
{
    const json_t *list = NULL;
    if (!json_case_array(c, "readings", TUFA_MAX_READINGS, &list)) return false;
    for (size_t i = 0; list && i < json_array_size(list); i++) {
        json_case r;
        if (!json_case_element(c, "readings", list, i, &r)) return false;
        if (!read_reading(c, &r, out, &out->call.reading[out->call.readings])) return false;
        out->call.readings++;
    }
    return true;
}

static bool read_value(json_case *c, const char *key, double lo, double hi, tufa_value *v)
{
    if (!json_case_has(c, key)) return c->note->code == TUFA_OK;
    double x = 0.0;
    if (!json_case_number(c, key, lo, hi, &x)) return false;
    *v = (tufa_value){x, x, x, TUFA_BASIS_GIVEN};
    return true;
}

/* The tank as `tufa tank` takes it; its fuel is that of the case. */
static bool read_heater(json_case *c, const char *fuel, fault_case *out)
{
    json_case h;
    if (!json_case_object(c, "heater", &h)) return false;
    if (!h.object) return true;
    const char *said = json_string_value(json_object_get(h.object, "fuel"));
    if (said && strcmp(said, fuel) != 0)
        return json_case_refuse(&h, TUFA_CONFLICT, "fuel", said, fuel, "the case says another fuel than its heater");
    json_t *whole = json_copy((json_t *)h.object);
    if (!whole) return json_case_refuse(c, TUFA_MEMORY, "heater", NULL, "", "there is not enough memory");
    json_object_set_new(whole, "fuel", json_string(fuel));
    h.object = whole;
    bool good = tank_case_heater(&h, &out->heater.tank);
    json_decref(whole);
    if (good && out->heater.tank.fuel == TUFA_TANK_ELECTRIC && out->heater.tank.upper_W <= 0.0) out->heater.single_element = 1;
    return good;
}

static bool read_flag(json_case *c, const char *key, int *out)
{
    bool b = *out != 0;
    if (!json_case_bool(c, key, &b)) return false;
    *out = b;
    return true;
}

static bool inlet_given(const json_case *c)
{
    const json_t *h = json_object_get(c->object, "heater"), *inlet = h ? json_object_get(h, "inlet_c") : NULL;
    return inlet && !json_is_null(inlet);
}

bool fault_case_read(json_case *c, fault_case *out)
{
    *out = (fault_case){0};
    size_t fuel = 0;
    long long month = 0;
    double bed_l = 0.0;
    if (!json_case_only(c, KEYS, sizeof KEYS / sizeof KEYS[0]) || !json_case_text(c, "id", out->id, sizeof out->id) ||
        !json_case_needs(c, "fuel") || !json_case_choice(c, "fuel", FUELS, 3, &fuel))
        return false;
    out->heater = tufa_fault_heater_default(fuel ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
    out->heater.propane = fuel == 2;
    if (!read_heater(c, FUELS[fuel ? 1 : 0], out) || !json_case_number(c, "bed_l", 0.0, 1000.0, &bed_l) ||
        !json_case_number(c, "supply_v", 100.0, 260.0, &out->heater.supply_V) ||
        !json_case_number(c, "plate_v", 100.0, 260.0, &out->heater.plate_V) ||
        !read_flag(c, "single_element", &out->heater.single_element) || !read_flag(c, "propane", &out->heater.propane))
        return false;
    if (bed_l > 0.0) out->heater.tank.bed_m3 = bed_l * 1e-3;
    if (!read_marks(c, "complaints", complaint_id_at, 1, out->call.complaint) ||
        !read_marks(c, "asked_no", complaint_id_at, 2, out->call.complaint) || !complaint_fits(c, out) ||
        !read_marks(c, "known", known_id_at, 1, out->call.known) ||
        !read_value(c, "age_years", 0.0, 100.0, &out->call.age_years) ||
        !read_value(c, "people", 0.0, 60.0, &out->call.people) ||
        !read_value(c, "nitrate_mg_l", 0.0, 1000.0, &out->call.nitrate_mg_l) ||
        !read_value(c, "sulfate_mg_l", 0.0, 10000.0, &out->call.sulfate_mg_l) ||
        !json_case_int(c, "month", 1, 12, &month) || !read_flag(c, "trained", &out->call.trained) ||
        !read_flag(c, "made_safe", &out->call.made_safe))
        return false;
    out->call.month = (int)month;
    if (!json_case_number(c, "own_hour_usd", 0.01, 10000.0, &out->call.own_hour_usd) ||
        !json_case_number(c, "second_trip_usd", 0.01, 100000.0, &out->call.second_trip_usd))
        return false;
    if (month && !inlet_given(c)) { /* the middle of that month */
        static const double DAYS_A_MONTH = 365.0 / 12.0;
        tufa_tank_season season = tufa_tank_season_default();
        out->heater.tank.inlet_K = tufa_tank_season_inlet_K(&season, ((double)month - 0.5) * DAYS_A_MONTH);
    }
    return read_readings(c, out);
}
