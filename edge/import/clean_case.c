#include "edge/import/clean_case.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "edge/import/unit_key.h"
#include "edge/import/value.h"

typedef struct value_field {
    size_t offset;
    const char *kind, *names;
    double one;
} value_field;

#define V(member, kind, one, names) {offsetof(tufa_clean_case, member), #kind, names, one},
#define C(member, ...)
#define Y(member, names)
static const value_field VALUES[] = {
#include "edge/import/clean_case.def"
};
#undef V
#undef C
#undef Y

#define S(member, kind, one, names) {offsetof(tufa_stirrer, member), #kind, names, one}
static const value_field STIRRER[] = {
    S(rev_per_s, number, 1.0 / 60.0, "rpm"),
    S(rev_per_s, frequency, 1.0, "speed"),
    S(swept_share, share, 1.0, "swept"),
    S(breaking_clearance_m, length, 1.0, "breaking_clearance clearance"),
    S(feed_kg_s, mass_rate, 1.0, "feed"),
    S(port_bore_m, length, 1.0, "port_bore port"),
    S(torque_Nm, torque, 1.0, "torque"),
    S(across_m, length, 1.0, "across diameter")};

typedef struct list_field {
    const char *names, *word[4];
    int words;
} list_field;
enum { LIST_drain_pattern, LIST_dip_state, LISTS };
#define V(member, kind, one, names)
#define C(member, names, ...) [LIST_##member] = {names, {__VA_ARGS__}, sizeof((const char *[]){__VA_ARGS__}) / sizeof(char *)},
#define Y(member, names)
static const list_field LIST[LISTS] = {
#include "edge/import/clean_case.def"
};
#undef V
#undef C
#undef Y

typedef struct answer_field {
    size_t offset;
    const char *names;
} answer_field;
#define V(member, kind, one, names)
#define C(member, ...)
#define Y(member, names) {offsetof(tufa_clean_case, member), names},
static const answer_field ANSWERS[] = {
#include "edge/import/clean_case.def"
};
#undef V
#undef C
#undef Y

enum {
    VALUE_FIELDS = sizeof VALUES / sizeof VALUES[0],
    STIRRER_FIELDS = sizeof STIRRER / sizeof STIRRER[0],
    ANSWER_FIELDS = sizeof ANSWERS / sizeof ANSWERS[0],
    WORD = 48,
    MOST_NAMES = 320
};

/* ---- values ---- */

static tufa_value in_si(tufa_value v, double one, double zero)
{
    return (tufa_value){v.mid * one + zero, v.lo * one + zero, v.hi * one + zero, v.basis};
}

static bool from_array(json_case *c, const char *key, const json_t *j, tufa_value *v)
{
    double x[3];
    size_t n = json_array_size(j);
    if (n != 2 && n != 3) return json_case_refuse(c, TUFA_PARSE, key, NULL, "[10 %, 90 %] or [10 %, median, 90 %]", "a range has two or three numbers");
    for (size_t i = 0; i < n; i++) {
        const json_t *e = json_array_get(j, i);
        if (!json_is_number(e)) return json_case_refuse(c, TUFA_PARSE, key, NULL, "numbers", "a range holds numbers");
        x[i] = json_number_value(e);
        if (i && x[i] < x[i - 1]) return json_case_refuse(c, TUFA_CONFLICT, key, NULL, "rising numbers", "the range runs backwards");
    }
    double lo = x[0], hi = x[n - 1], mid = n == 3 ? x[1] : lo > 0.0 ? sqrt(lo) * sqrt(hi) : 0.5 * (lo + hi);
    *v = (tufa_value){mid, lo, hi, TUFA_BASIS_RANGE};
    return true;
}

bool case_value(json_case *c, const char *key, const json_t *j, double one, double zero, tufa_value *out)
{
    tufa_value v = {0};
    if (c->note->code != TUFA_OK) return false;
    if (json_is_number(j)) {
        double x = json_number_value(j);
        v = (tufa_value){x, x, x, TUFA_BASIS_GIVEN};
    } else if (json_is_array(j)) {
        if (!from_array(c, key, j, &v)) return false;
    } else if (json_is_string(j)) {
        value_rule rule = {.field = key, .q = Q_NUMBER, .unit = &units[UNIT_ONE], .lo = -1e12, .hi = 1e12};
        trouble_note said = {0};
        tufa_code code = value_parse(json_string_value(j), &rule, &v, &said);
        if (code != TUFA_OK) return json_case_refuse(c, code, key, json_string_value(j), said.allowed, said.why);
    } else {
        return json_case_refuse(c, TUFA_PARSE, key, NULL, "a number, [lo, hi], [lo, mid, hi] or text", "this is not a value");
    }
    if (!isfinite(v.lo * one) || !isfinite(v.hi * one)) return json_case_refuse(c, TUFA_RANGE, key, NULL, "", "this number is too large");
    if (v.basis != TUFA_BASIS_NONE) *out = in_si(v, one, zero);
    return true;
}

/* 1 taken, 0 not one of these fields, -1 trouble. */
static int take_value(json_case *c, const value_field *f, size_t n, const char *key, const json_t *j, void *to)
{
    for (size_t i = 0; i < n; i++) {
        const unit_key *unit;
        if (!unit_key_is(f[i].names, f[i].kind, key, strlen(key), &unit)) continue;
        /* "acid" alone would fit two quantities: one without unit is taken only where a number has none */
        tufa_value *v = (tufa_value *)((char *)to + f[i].offset);
        return case_value(c, key, j, unit ? unit->one : f[i].one, unit ? unit->zero : 0.0, v) ? 1 : -1;
    }
    return 0;
}

/* ---- lists and answers ---- */

static int find_word(const char *names, const char *key)
{
    const unit_key *none;
    return unit_key_is(names, "-", key, strlen(key), &none);
}

static bool take_word(json_case *c, const char *key, const list_field *list, int *out)
{
    size_t at = 0;
    if (!json_case_choice(c, key, list->word, (size_t)list->words, &at)) return false;
    *out = (int)at;
    return true;
}

static bool take_answer(json_case *c, const char *key, const json_t *j, tufa_answer *out)
{
    static const char *const WORDS[] = {"?", "no", "yes"};
    size_t at = 0;
    if (json_is_boolean(j)) {
        *out = json_is_true(j) ? TUFA_YES : TUFA_NO;
        return true;
    }
    if (!json_case_choice(c, key, WORDS, 3, &at)) return false;
    *out = (tufa_answer)at;
    return true;
}

/* ---- parts ---- */

static bool refuse_key(json_case *c, const char *key, const value_field *f, size_t fields, const char *const *others, size_t n_others)
{
    char room[MOST_NAMES][WORD];
    const char *names[MOST_NAMES];
    size_t n = 0;
    for (size_t i = 0; i < fields; i++)
        for (size_t u = 0; n < MOST_NAMES && unit_key_at(f[i].names, f[i].kind, u, room[n], WORD); u++) {
            names[n] = room[n];
            n++;
        }
    for (size_t i = 0; i < n_others && n < MOST_NAMES; i++) names[n++] = others[i];
    const char *near = nearest_name(key, names, n);
    char why[200];
    snprintf(why, sizeof why, "this key is not known here%s%s%s", near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    return json_case_refuse(c, TUFA_UNKNOWN, key, NULL, "", why);
}

static bool take_stirrer(json_case *c, const json_t *j, tufa_stirrer *s)
{
    if (json_is_boolean(j)) {
        s->present = json_is_true(j) ? TUFA_YES : TUFA_NO;
        return true;
    }
    if (!json_is_object(j)) return json_case_refuse(c, TUFA_PARSE, "stirrer", NULL, "an object, true or false", "this is not a stirrer");
    s->present = TUFA_YES;
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)j, key, value) {
        if (json_is_null(value)) continue;
        int taken = take_value(c, STIRRER, STIRRER_FIELDS, key, value, s);
        if (taken < 0) return false;
        if (taken == 0) return refuse_key(c, key, STIRRER, STIRRER_FIELDS, NULL, 0);
    }
    return true;
}

static bool take_numbers(json_case *c, const char *key, const json_t *j, size_t most, double *out, size_t *n)
{
    *n = json_array_size(j);
    if (!json_is_array(j) || *n > most) return json_case_refuse(c, TUFA_PARSE, key, NULL, "a list of numbers", "this list does not fit");
    for (size_t i = 0; i < *n; i++) {
        const json_t *e = json_array_get(j, i);
        if (!json_is_number(e)) return json_case_refuse(c, TUFA_PARSE, key, NULL, "a list of numbers", "this list does not fit");
        out[i] = json_number_value(e);
    }
    return true;
}

static bool take_sieve(json_case *c, tufa_clean_case *tank)
{
    static const char *const KEYS[] = {"mesh_mm", "over_share", "lumps_share"};
    json_case in;
    if (!json_case_object(c, "sieve", &in) || !in.object) return c->note->code == TUFA_OK;
    tufa_sieve s = {.lumps_share = NAN};
    size_t meshes = 0, shares = 0;
    const json_t *mesh = json_object_get(in.object, "mesh_mm"), *over = json_object_get(in.object, "over_share");
    if (!json_case_only(&in, KEYS, 3)) return false;
    if (mesh && !take_numbers(&in, "mesh_mm", mesh, 4, s.mesh_m, &meshes)) return false;
    if (over && !take_numbers(&in, "over_share", over, 4, s.over_share, &shares)) return false;
    if (!json_case_number(&in, "lumps_share", 0.0, 1.0, &s.lumps_share) && c->note->code != TUFA_OK) return false;
    if (meshes != shares) return json_case_refuse(&in, TUFA_CONFLICT, "over_share", NULL, "one share for each mesh", "meshes and shares do not go together");
    for (size_t i = 0; i < meshes; i++) s.mesh_m[i] *= 1e-3;
    s.n = meshes;
    tufa_status st = tufa_clean_use_sieve(&s, tank);
    return st.code == TUFA_OK || json_case_refuse_status(&in, st);
}

/* ---- the case ---- */

static const char *const OTHERS[] = {"id", "fuel", "draws", "seed", "stirrer", "sieve", "size_share", "bed_L", "bed_gal", "flowing_psi",
                                     "bucket_L_min", "bucket_gpm", "drain", "dip", "floor_drain", "rusted", "plate_read", "relief_works",
                                     "top_open", "element_hole"};

typedef struct bucket {
    tufa_value flowing_Pa, flow_m3_s, bed_m3;
} bucket;
static const value_field BUCKET[] = {{offsetof(bucket, flowing_Pa), "pressure", "flowing", 1.0},
                                     {offsetof(bucket, flow_m3_s), "flow", "bucket bucket_flow", 1.0},
                                     {offsetof(bucket, bed_m3), "volume", "bed bed_volume", 1.0}};

static bool take_key(json_case *c, const char *key, const json_t *j, clean_case *out, bucket *b)
{
    static const char *const READ_BEFORE[] = {"id", "fuel", "draws", "seed", "sieve"};
    for (size_t i = 0; i < sizeof READ_BEFORE / sizeof READ_BEFORE[0]; i++)
        if (strcmp(key, READ_BEFORE[i]) == 0) return true;
    if (strcmp(key, "stirrer") == 0) return take_stirrer(c, j, &out->tank.stirrer);
    if (strcmp(key, "size_share") == 0) {
        size_t n;
        if (!take_numbers(c, key, j, TUFA_CLEAN_SIZES, out->tank.size_share, &n)) return false;
        return n == TUFA_CLEAN_SIZES || json_case_refuse(c, TUFA_RANGE, key, NULL, "nine numbers, finest first", "there are nine size classes");
    }
    if (find_word(LIST[LIST_drain_pattern].names, key)) {
        int at = 0;
        bool ok = take_word(c, key, &LIST[LIST_drain_pattern], &at);
        out->tank.drain_pattern = (tufa_drain_pattern)at;
        return ok;
    }
    if (find_word(LIST[LIST_dip_state].names, key)) {
        int at = 0;
        bool ok = take_word(c, key, &LIST[LIST_dip_state], &at);
        out->tank.dip_state = (tufa_dip_state)at;
        return ok;
    }
    for (size_t i = 0; i < ANSWER_FIELDS; i++)
        if (find_word(ANSWERS[i].names, key)) return take_answer(c, key, j, (tufa_answer *)((char *)&out->tank + ANSWERS[i].offset));
    int taken = take_value(c, VALUES, VALUE_FIELDS, key, j, &out->tank);
    if (taken == 0) taken = take_value(c, BUCKET, 3, key, j, b);
    if (taken == 0) return refuse_key(c, key, VALUES, VALUE_FIELDS, OTHERS, sizeof OTHERS / sizeof OTHERS[0]);
    return taken > 0;
}

/* One pail test gives the loss in the house's pipe; a bed told in litres becomes kilograms by the packing. */
static bool use_bucket(json_case *c, const bucket *b, tufa_clean_case *tank)
{
    if (b->bed_m3.basis != TUFA_BASIS_NONE) {
        tufa_packing p = tufa_packing_default();
        double kg_m3 = tufa_packing_bulk_kg_m3(&p);
        tank->bed_kg = in_si(b->bed_m3, kg_m3, 0.0);
    }
    if (b->flowing_Pa.basis == TUFA_BASIS_NONE && b->flow_m3_s.basis == TUFA_BASIS_NONE) return true;
    if (b->flowing_Pa.basis == TUFA_BASIS_NONE || b->flow_m3_s.basis == TUFA_BASIS_NONE)
        return json_case_refuse(c, TUFA_MISSING, b->flowing_Pa.basis == TUFA_BASIS_NONE ? "flowing_psi" : "bucket_L_min", NULL, "",
                                "a pail test needs the flow and the pressure while it runs");
    double k = 0.0, spread = 1.3; /* of a pail and a gauge: judgement */
    tufa_status st = tufa_clean_house_k(tank->static_Pa.mid, b->flowing_Pa.mid, b->flow_m3_s.mid, &k);
    if (st.code != TUFA_OK) return json_case_refuse_status(c, st);
    tank->house_k_Pa_s2_m6 = (tufa_value){k, k / spread, k * spread, TUFA_BASIS_GIVEN};
    return true;
}

static bool read_fuel(json_case *c, tufa_fuel *fuel)
{
    static const char *const FUELS[] = {"electric", "gas", "propane"};
    size_t at = (size_t)*fuel;
    bool ok = json_case_choice(c, "fuel", FUELS, 3, &at) || c->note->code == TUFA_OK;
    *fuel = (tufa_fuel)at;
    return ok;
}

static bool read_age(json_case *c, double *age)
{
    static const char *const KEYS[] = {"age_years", "age_year", "age"};
    for (size_t i = 0; i < 3; i++) {
        tufa_value v = {0};
        const json_t *j = json_object_get(c->object, KEYS[i]);
        if (!j || json_is_null(j)) continue;
        if (!case_value(c, KEYS[i], j, 1.0, 0.0, &v)) return false;
        if (v.basis != TUFA_BASIS_NONE) *age = v.mid;
    }
    return !(*age < 0.0) || json_case_refuse(c, TUFA_RANGE, "age_years", NULL, "0 and more", "an age is not negative");
}

bool clean_case_read(json_case *c, const tufa_clean_case *start, clean_case *out)
{
    *out = (clean_case){.draws = CLEAN_CASE_DRAWS, .key = 1};
    tufa_fuel fuel = start ? start->fuel : TUFA_ELECTRIC;
    double age = NAN;
    long long draws = CLEAN_CASE_DRAWS, key = 1;
    bucket b = {0};
    json_case_text(c, "id", out->id, sizeof out->id);
    json_case_int(c, "draws", 1, CLEAN_CASE_MOST_DRAWS, &draws);
    json_case_int(c, "seed", 0, 1000000000LL, &key);
    if (!read_fuel(c, &fuel) || c->note->code != TUFA_OK || !read_age(c, &age)) return false;
    out->draws = (size_t)draws;
    out->key = (unsigned long long)key;
    if (start) out->tank = *start;
    else tufa_clean_case_default(fuel, age, &out->tank);
    const char *name;
    json_t *value;
    json_object_foreach((json_t *)c->object, name, value) {
        if (json_is_null(value)) continue;
        if (!take_key(c, name, value, out, &b)) return false;
    }
    return use_bucket(c, &b, &out->tank) && take_sieve(c, &out->tank);
}
