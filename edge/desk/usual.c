#include "edge/desk/usual.h"

#include <math.h>

#include "core/base/status.h"
#include "edge/say/day.h"

typedef struct usual_def {
    const char *key, *what;
    quantity q;
    unit_id unit;
    int fuel, field;
    double lo, hi;
} usual_def;

static const usual_def DEFS[USUAL_COUNT] = {
#define U_HEATER(id, fuel, field, key, q, unit, what) {key, what, Q_##q, UNIT_##unit, TUFA_##fuel, TUFA_HEATER_##field, 0.0, 0.0},
#define U_OTHER(id, key, q, unit, lo, hi, what) {key, what, Q_##q, UNIT_##unit, -1, -1, lo, hi},
#include "edge/desk/usual.def"
#undef U_HEATER
#undef U_OTHER
};

static const double LITRE_A_DAY = 1e-3 / 86400.0; /* in m3/s */

/* The core counts an age in years; all else in SI. */
static double si_of(const usual_def *d) { return d->field == TUFA_HEATER_AGE ? units[UNIT_YEAR].one : 1.0; }

static tufa_value times(tufa_value v, double by) { return (tufa_value){v.mid * by, v.lo * by, v.hi * by, v.basis}; }

/* Of the usual number of people, with the spread of what people draw. */
static tufa_value usual_hot_water(void)
{
    static const double TEN_NINETY = 1.2815515655446004; /* of a normal deviate */
    double mid = LITRE_A_DAY * tufa_hot_litres_day(tufa_people_default().mid), spread = exp(TEN_NINETY * TUFA_HOT_LITRES_LOG_SD);
    return (tufa_value){mid, mid / spread, mid * spread, TUFA_BASIS_DEFAULT};
}

static tufa_value of_house(usual_id u)
{
    tufa_site site = tufa_site_default();
    switch (u) {
    case USUAL_COLD_WATER: return site.inlet_mean_K;
    case USUAL_COLD_SWING: return site.inlet_swing_K;
    case USUAL_ROOM: return site.room_K;
    case USUAL_PRESSURE: return site.pressure_Pa;
    case USUAL_PEOPLE: return tufa_people_default();
    default: return usual_hot_water();
    }
}

usual_row usual_at(usual_id u)
{
    static const char JUDGED[] = "the judgement of this project";
    const usual_def *d = &DEFS[u];
    usual_row r = {.key = d->key, .what = d->what, .q = d->q, .unit = d->unit, .fuel = d->fuel, .field = d->field, .why = ""};
    if (d->field < 0) {
        r.lo = unit_to_si(&units[d->unit], d->lo);
        r.hi = unit_to_si(&units[d->unit], d->hi);
        r.builtin = of_house(u);
        r.source = JUDGED;
    } else {
        const tufa_heater_field_row *f = tufa_heater_field_at((tufa_heater_field)d->field);
        double one = si_of(d);
        r.lo = f->least * one;
        r.hi = f->most * one;
        r.builtin = times(d->fuel == TUFA_ELECTRIC ? f->electric : f->gas, one);
        r.source = tufa_source_at((size_t)f->source)->what;
        r.why = f->why;
    }
    r.builtin.basis = TUFA_BASIS_DEFAULT;
    return r;
}

tufa_status usual_read(store *s, usual_set *out)
{
    *out = (usual_set){0};
    for (int i = 0; i < USUAL_COUNT; i++) {
        const usual_def *d = &DEFS[i];
        const unit_row *u = &units[d->unit];
        price_rec r;
        tufa_status st = store_price_now(s, d->key, &r);
        if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
        if (st.code == TUFA_MISSING || r.value.basis == TUFA_BASIS_DEFAULT) continue; /* never said, or set back */
        double one = si_of(d);
        out->said[i] = (tufa_value){unit_to_si(u, r.value.mid) / one, unit_to_si(u, r.value.lo) / one, unit_to_si(u, r.value.hi) / one, TUFA_BASIS_DEFAULT};
    }
    return OK;
}

int usual_of_field(tufa_fuel fuel, tufa_heater_field f)
{
    int burns = fuel == TUFA_ELECTRIC ? TUFA_ELECTRIC : TUFA_GAS;
    for (int i = 0; i < USUAL_COUNT; i++)
        if (DEFS[i].field == (int)f && DEFS[i].fuel == burns) return i;
    return -1;
}

static void lay(tufa_value *to, tufa_value said)
{
    if (to->basis == TUFA_BASIS_NONE) *to = said;
}

void usual_lay_heater(const usual_set *u, tufa_heater *known)
{
    bool measured = known->field[TUFA_HEATER_HEIGHT].basis != TUFA_BASIS_NONE && known->field[TUFA_HEATER_DIAMETER].basis != TUFA_BASIS_NONE;
    for (int f = 0; f < TUFA_HEATER_FIELD_COUNT; f++) {
        int i = usual_of_field(known->fuel, (tufa_heater_field)f);
        if (i >= 0 && !(f == TUFA_HEATER_VOLUME && measured)) lay(&known->field[f], u->said[i]);
    }
}

void usual_lay_site(const usual_set *u, tufa_site *site)
{
    lay(&site->inlet_mean_K, u->said[USUAL_COLD_WATER]);
    lay(&site->inlet_swing_K, u->said[USUAL_COLD_SWING]);
    lay(&site->room_K, u->said[USUAL_ROOM]);
    lay(&site->pressure_Pa, u->said[USUAL_PRESSURE]);
}

bool usual_lay_use(const usual_set *u, tufa_use *first)
{
    bool says = u->said[USUAL_PEOPLE].basis != TUFA_BASIS_NONE || u->said[USUAL_HOT_WATER].basis != TUFA_BASIS_NONE;
    if (first->people.basis != TUFA_BASIS_NONE || first->litres_day.basis != TUFA_BASIS_NONE) return false;
    first->people = u->said[USUAL_PEOPLE];
    if (u->said[USUAL_HOT_WATER].basis != TUFA_BASIS_NONE) first->litres_day = times(u->said[USUAL_HOT_WATER], 1.0 / LITRE_A_DAY);
    return says;
}

tufa_status usual_from(store *s, usual_id u, text *out)
{
    price_rec r;
    tufa_status st = store_price_now(s, DEFS[u].key, &r);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    if (st.code == TUFA_MISSING || r.value.basis == TUFA_BASIS_DEFAULT) return OK;
    text_addf(out, "your own default, %s, ", r.source);
    say_day(out, r.day);
    return OK;
}
