#include "edge/import/proof_case.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "edge/import/clean_case.h"
#include "edge/import/unit_key.h"

typedef struct said {
    tufa_value volume, across, below, before, removed, bed_per_kg, clean_refill, clean_heated, clean_draw;
    tufa_value probe_line, refill, energy, start, end, duration, air, loss, heated, draw, flow, clear, jar, mass, slurry;
} said;

static const struct {
    size_t offset;
    const char *kind, *names;
} FIELDS[] = {
#define F(member, kind, names) {offsetof(said, member), kind, names}
    F(volume, "volume", "volume tank_volume"), F(across, "length", "diameter across"), F(below, "volume", "below_element"), F(before, "volume", "before bed_before"),
    F(removed, "volume", "removed"), F(clean_refill, "volume", "clean_refill baseline_refill"), F(clean_heated, "volume", "clean_heated baseline_heated"),
    F(clean_draw, "volume", "clean_draw baseline_draw"), F(probe_line, "length", "probe_line"), F(refill, "volume", "refill"), F(energy, "energy", "heat energy"),
    F(start, "temperature", "start"), F(end, "temperature", "end"), F(duration, "time", "heat duration"), F(air, "temperature", "air"), F(loss, "heat_loss", "loss"),
    F(heated, "volume", "heated"), F(draw, "volume", "draw first_draw"), F(flow, "flow", "flow drain_flow"), F(clear, "flow", "clear clear_flow"),
    F(jar, "share", "jar"), F(mass, "mass", "mass dry_mass"), F(slurry, "volume", "slurry")
#undef F
};
enum { FIELD_ROWS = sizeof FIELDS / sizeof FIELDS[0], WORD = 48, NAMES = 240 };

static bool unknown(json_case *c, const char *key)
{
    char room[NAMES][WORD];
    const char *names[NAMES];
    size_t n = 0;
    for (size_t i = 0; i < FIELD_ROWS; i++)
        for (size_t u = 0; n < NAMES && unit_key_at(FIELDS[i].names, FIELDS[i].kind, u, room[n], WORD); u++) {
            names[n] = room[n];
            n++;
        }
    const char *near = nearest_name(key, names, n);
    char why[160];
    snprintf(why, sizeof why, "this key is not known here%s%s%s", near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    return json_case_refuse(c, TUFA_UNKNOWN, key, NULL, "", why);
}

static bool take(json_case *c, const char *key, const json_t *j, said *s)
{
    for (size_t i = 0; i < FIELD_ROWS; i++) {
        const unit_key *unit;
        if (!unit_key_is(FIELDS[i].names, FIELDS[i].kind, key, strlen(key), &unit)) continue;
        return case_value(c, key, j, unit ? unit->one : 1.0, unit ? unit->zero : 0.0, (tufa_value *)((char *)s + FIELDS[i].offset));
    }
    return unknown(c, key);
}

static bool take_probe(json_case *c, const char *key, const json_t *j, proof_case *out)
{
    const unit_key *unit;
    tufa_proof_reading r = {.kind = TUFA_PROOF_PROBE5};
    if (!unit_key_is("probe", "length", key, strlen(key), &unit) || !json_is_array(j) || json_array_size(j) != 5)
        return json_case_refuse(c, TUFA_RANGE, key, NULL, "five depths", "a probe is read at five spots; one line is probe_line");
    for (size_t i = 0; i < 5; i++) {
        tufa_value v = {0};
        if (!case_value(c, key, json_array_get(j, i), unit ? unit->one : 1.0, 0.0, &v)) return false;
        r.depth_m[i] = v.mid;
    }
    out->in.reading[out->in.n++] = r;
    return true;
}

static bool given(tufa_value v) { return v.basis != TUFA_BASIS_NONE; }

static tufa_proof_reading *add(tufa_proof_in *in, tufa_proof_kind kind)
{
    in->reading[in->n] = (tufa_proof_reading){.kind = kind};
    return &in->reading[in->n++];
}

#define AIR_K 292.85        /* 19.7 C: what is assumed of a room in this program */
#define LOSS_ELECTRIC 1.37  /* W/K of the usual electric tank: the default of the heaters' table */

static void readings(const said *s, tufa_proof_in *in)
{
    if (given(s->probe_line)) add(in, TUFA_PROOF_PROBE1)->depth_m[0] = s->probe_line.mid;
    if (given(s->refill)) add(in, TUFA_PROOF_REFILL)->volume_m3 = s->refill.mid;
    if (given(s->draw)) add(in, TUFA_PROOF_DRAW)->volume_m3 = s->draw.mid;
    if (given(s->jar)) add(in, TUFA_PROOF_JAR)->settled_share = s->jar.mid;
    if (given(s->mass)) add(in, TUFA_PROOF_MASS)->mass_kg = s->mass.mid;
    if (given(s->slurry)) add(in, TUFA_PROOF_SLURRY)->volume_m3 = s->slurry.mid;
    if (given(s->heated)) add(in, TUFA_PROOF_HEATUP)->volume_m3 = s->heated.mid;
    if (given(s->energy)) {
        tufa_proof_reading *r = given(s->heated) ? &in->reading[in->n - 1] : add(in, TUFA_PROOF_HEATUP);
        *r = (tufa_proof_reading){.kind = TUFA_PROOF_HEATUP, .energy_J = s->energy.mid, .start_K = s->start.mid, .end_K = s->end.mid, .duration_s = s->duration.mid,
                                  .air_K = given(s->air) ? s->air.mid : AIR_K, .loss_W_K = given(s->loss) ? s->loss.mid : LOSS_ELECTRIC, .energy_by_meter = 1};
    }
    if (given(s->flow)) {
        tufa_proof_reading *r = add(in, TUFA_PROOF_FLOW);
        r->flow_m3_s = s->flow.mid;
        r->clear_m3_s = s->clear.mid;
    }
}

static double or_nan(tufa_value v) { return given(v) ? v.mid : NAN; }

bool proof_case_read(json_case *c, proof_case *out)
{
    static const char *const FUELS[] = {"electric", "gas", "propane"};
    *out = (proof_case){0};
    said s = {0};
    size_t fuel = 0;
    if (!json_case_text(c, "id", out->id, sizeof out->id) || !json_case_choice(c, "fuel", FUELS, 3, &fuel)) return false;
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)c->object, key, value) {
        if (json_is_null(value) || strcmp(key, "id") == 0 || strcmp(key, "fuel") == 0) continue;
        if (strncmp(key, "probe", 5) == 0 && strncmp(key, "probe_line", 10) != 0) {
            if (!take_probe(c, key, value, out)) return false;
        } else if (!take(c, key, value, &s)) {
            return false;
        }
    }
    tufa_clean_case usual;
    tufa_clean_case_default((tufa_fuel)fuel, NAN, &usual);
    tufa_proof_in *in = &out->in;
    in->fuel = (tufa_fuel)fuel;
    in->volume_m3 = given(s.volume) ? s.volume.mid : usual.volume_m3.mid;
    in->across_m = given(s.across) ? s.across.mid : usual.across_m.mid;
    in->below_element_m3 = given(s.below) ? s.below.mid : fuel == 0 ? 0.1 * in->volume_m3 : 0.0; /* a tenth of the height */
    in->before_m3 = s.before;
    in->removed_m3 = s.removed;
    in->clean_refill_m3 = or_nan(s.clean_refill);
    in->clean_heated_m3 = or_nan(s.clean_heated);
    in->clean_draw_m3 = or_nan(s.clean_draw);
    readings(&s, in);
    return true;
}
