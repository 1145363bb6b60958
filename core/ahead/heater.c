/* What is known of a heater, filled up to a whole one. */
#include "core/base/sources.h"
#include "core/base/status.h"
#include "tufa/ahead.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double HEIGHT_OVER_DIAMETER = 2.7;  /* of the reference electric tank: 190 L, 1.2 m; judgement for others */
static const double LOW_SHARE = 0.1, HIGH_SHARE = 0.7; /* heights of the elements of that tank */

#define ABOUT(mid, lo, hi) {mid, lo, hi, TUFA_BASIS_DEFAULT}
static const tufa_heater_field_row ROWS[TUFA_HEATER_FIELD_COUNT] = {
#define X(id, src, ...) [TUFA_HEATER_##id] = {.source = src, __VA_ARGS__},
#include "tufa/heater_fields.def"
#undef X
};

const tufa_heater_field_row *tufa_heater_field_at(tufa_heater_field f)
{
    return (unsigned)f < TUFA_HEATER_FIELD_COUNT ? &ROWS[f] : NULL;
}

/* Basis NONE where the field does not apply to the fuel. */
static tufa_value default_of(const tufa_heater *h, int f)
{
    tufa_value v = h->fuel == TUFA_ELECTRIC ? ROWS[f].electric : ROWS[f].gas;
    v.basis = v.hi > 0.0 ? TUFA_BASIS_DEFAULT : TUFA_BASIS_NONE;
    return v;
}

static tufa_status check_given(const tufa_heater *h)
{
    for (int f = 0; f < TUFA_HEATER_FIELD_COUNT; f++) {
        const tufa_value *v = &h->field[f];
        if (v->basis == TUFA_BASIS_NONE) continue;
        RETURN_IF(in_range(ROWS[f].key, v->mid, ROWS[f].least, ROWS[f].most));
        RETURN_IF(in_range(ROWS[f].key, v->lo, ROWS[f].least, v->mid));
        RETURN_IF(in_range(ROWS[f].key, v->hi, v->mid, ROWS[f].most));
    }
    return OK;
}

static int said(const tufa_heater *h, tufa_heater_field f) { return h->field[f].basis != TUFA_BASIS_NONE; }

/* The default's relative spread around another middle. */
static void fill(tufa_heater *h, tufa_heater_field f, double mid)
{
    tufa_value v = default_of(h, (int)f);
    double scale = mid / v.mid;
    h->field[f] = (tufa_value){.mid = mid, .lo = v.lo * scale, .hi = v.hi * scale, .basis = TUFA_BASIS_DEFAULT};
}

static void fill_shell(tufa_heater *h)
{
    tufa_value *V = &h->field[TUFA_HEATER_VOLUME], *H = &h->field[TUFA_HEATER_HEIGHT], *D = &h->field[TUFA_HEATER_DIAMETER];
    int has_H = said(h, TUFA_HEATER_HEIGHT), has_D = said(h, TUFA_HEATER_DIAMETER);
    if (!said(h, TUFA_HEATER_VOLUME)) {
        if (has_H && has_D) fill(h, TUFA_HEATER_VOLUME, PI / 4.0 * D->mid * D->mid * H->mid);
        else *V = default_of(h, TUFA_HEATER_VOLUME);
    }
    double usual_D = cbrt(4.0 * V->mid / (PI * HEIGHT_OVER_DIAMETER));
    if (!has_H) fill(h, TUFA_HEATER_HEIGHT, has_D ? V->mid / (PI / 4.0 * D->mid * D->mid) : HEIGHT_OVER_DIAMETER * usual_D);
    if (!has_D) fill(h, TUFA_HEATER_DIAMETER, sqrt(4.0 * V->mid / (PI * H->mid)));
}

tufa_status tufa_heater_fill(tufa_heater *h)
{
    if ((unsigned)h->fuel >= TUFA_FUEL_COUNT) return trouble(TUFA_UNKNOWN, "fuel", "electric, gas or propane");
    RETURN_IF(check_given(h));
    tufa_heater full = *h;
    fill_shell(&full);
    double height_m = full.field[TUFA_HEATER_HEIGHT].mid;
    if (full.fuel == TUFA_ELECTRIC) {
        if (!said(&full, TUFA_HEATER_ELEMENT_LOW)) fill(&full, TUFA_HEATER_ELEMENT_LOW, LOW_SHARE * height_m);
        if (!said(&full, TUFA_HEATER_ELEMENT_HIGH)) fill(&full, TUFA_HEATER_ELEMENT_HIGH, HIGH_SHARE * height_m);
        if (full.field[TUFA_HEATER_ELEMENT_LOW].mid > height_m)
            return trouble(TUFA_CONFLICT, "element_low_m", "the lower element stands above the top of the tank");
    }
    for (int f = 0; f < TUFA_HEATER_FIELD_COUNT; f++)
        if (!said(&full, (tufa_heater_field)f)) full.field[f] = default_of(&full, f);
    double diameter_m = full.field[TUFA_HEATER_DIAMETER].mid;
    if (full.field[TUFA_HEATER_ELEMENT_LENGTH].basis == TUFA_BASIS_DEFAULT && full.fuel == TUFA_ELECTRIC &&
        full.field[TUFA_HEATER_ELEMENT_LENGTH].hi > diameter_m) /* a narrow tank takes a shorter element */
        fill(&full, TUFA_HEATER_ELEMENT_LENGTH, 0.75 * diameter_m);
    *h = full;
    return OK;
}
