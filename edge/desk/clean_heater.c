/* A heater of the book as the cleaning stage wants it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/answers.h"
#include "edge/desk/clean_desk.h"
#include "edge/desk/cleaning.h"
#include "edge/desk/find.h"

static void take(tufa_value *to, tufa_value v)
{
    if (v.basis != TUFA_BASIS_NONE) *to = v;
}

static tufa_answer yes_no(int choice) { return choice == YESNO_YES ? TUFA_YES : choice == YESNO_NO ? TUFA_NO : TUFA_UNSAID; }

/* The pail test of the house: what is lost in its pipe. */
static void take_bucket(const house_rec *h, tufa_clean_case *c)
{
    double k;
    if (h->flowing_Pa.basis == TUFA_BASIS_NONE || h->bucket_m3_s.basis == TUFA_BASIS_NONE) return;
    if (tufa_clean_house_k(c->static_Pa.mid, h->flowing_Pa.mid, h->bucket_m3_s.mid, &k).code != TUFA_OK) return;
    double spread = 1.3; /* of a pail and a gauge: judgement */
    c->house_k_Pa_s2_m6 = (tufa_value){k, k / spread, k * spread, TUFA_BASIS_GIVEN};
}

static void take_record(const heater_rec *r, const house_rec *h, tufa_clean_case *c)
{
    static const tufa_drain_pattern PATTERN[] = {[DRAIN_GLOBE] = TUFA_DRAIN_GLOBE, [DRAIN_STRAIGHT] = TUFA_DRAIN_STRAIGHT, [DRAIN_FULL_PORT] = TUFA_DRAIN_FULL_PORT};
    static const tufa_dip_state DIP[] = {[DIP_WHOLE] = TUFA_DIP_WHOLE, [DIP_SHORT] = TUFA_DIP_SHORT, [DIP_CURVED] = TUFA_DIP_CURVED};
    take(&c->drain_bore_m, r->drain_bore_m);
    if (r->drain_pattern >= 0) c->drain_pattern = PATTERN[r->drain_pattern];
    if (r->dip_tube >= 0) c->dip_state = DIP[r->dip_tube];
    c->relief_works = yes_no(r->relief_works);
    c->rusted = yes_no(r->rusted);
    take(&c->static_Pa, h->static_Pa);
    take(&c->hose_length_m, h->hose_run_m);
    take(&c->hose_bore_m, h->hose_bore_m);
    take(&c->rise_m, h->hose_rise_m);
    c->floor_drain = yes_no(h->floor_drain);
    take_bucket(h, c);
}

/* Meshes that were not used are left out: what stayed on them lies with the next finer one. */
static tufa_status take_grains(const desk_case *from, tufa_clean_case *c)
{
    static const double MESH_M[] = {4e-3, 2e-3, 1e-3};
    tufa_sieve sieve = {.lumps_share = from->grains.lumps};
    if (from->grains.day == 0) return OK;
    for (int i = 0; i < 3; i++) {
        if (isnan(from->grains.over[i])) continue;
        sieve.mesh_m[sieve.n] = MESH_M[i];
        sieve.over_share[sieve.n++] = from->grains.over[i];
    }
    if (sieve.n == 0 && isnan(sieve.lumps_share)) return OK;
    return tufa_clean_use_sieve(&sieve, c);
}

tufa_status clean_case_of(const desk_case *from, const tufa_ahead *a, const tool_set *tools, tufa_clean_case *c)
{
    const tufa_value *f = a->heater.field;
    tufa_value age = f[TUFA_HEATER_AGE];
    tufa_clean_case_default(a->heater.fuel, age.basis == TUFA_BASIS_DEFAULT ? NAN : age.mid, c);
    if (age.basis != TUFA_BASIS_DEFAULT) c->age_year = age;
    c->plate_read = from->heater.installed_day.basis == TUFA_BASIS_GIVEN ? TUFA_UNSAID : TUFA_NO;
    take(&c->volume_m3, f[TUFA_HEATER_VOLUME]);
    take(&c->across_m, f[TUFA_HEATER_DIAMETER]);
    c->bed_kg = (tufa_value){a->now_kg.p50, a->now_kg.p10, a->now_kg.p90, TUFA_BASIS_LEARNED};
    take_record(&from->heater, &from->house, c);
    tools_lay(tools, c);
    return take_grains(from, c);
}

double desk_clear_flow(const heater_rec *r, const house_rec *h, const tufa_heater *filled)
{
    tufa_clean_case c;
    tufa_clean_answer a;
    tufa_clean_case_default(filled->fuel, filled->field[TUFA_HEATER_AGE].mid, &c);
    take(&c.volume_m3, filled->field[TUFA_HEATER_VOLUME]);
    take(&c.across_m, filled->field[TUFA_HEATER_DIAMETER]);
    take_record(r, h, &c);
    return desk_clean(&c, 1, 1, &a).code == TUFA_OK ? a.method[TUFA_METHOD_FLUSH].flow_m3_s.mid : 0.0;
}

static double said_or_nan(tufa_value v) { return v.basis == TUFA_BASIS_NONE ? NAN : v.mid; }

static tufa_value bed_per_kg(const tufa_packing *p)
{
    double mid = 1.0 / tufa_packing_bulk_kg_m3(p);
    return (tufa_value){mid, 0.705 * mid, 1.43 * mid, TUFA_BASIS_DEFAULT}; /* 0.74 to 1.5 L for each kg of 1.05 */
}

/* What lies in the tank today, out of the same view ahead as everywhere, looked at for one month: today does not depend on how
 * far it is continued. */
static tufa_status look_now(desk *d, int64_t id, desk_waters *waters, desk_case *c, tufa_arena *arena, tufa_ahead *a)
{
    heater_rec heater;
    RETURN_IF(store_heater_get(d->s, id, &heater));
    RETURN_IF(case_load(d->s, waters, &heater, d->today, c));
    tufa_ahead_in in = case_ahead_in(c, 1, YEAR_DRAWS, false);
    return tufa_ahead_look(&in, arena, a);
}

static tufa_status describe(desk *d, const desk_case *from, const tufa_ahead *a, clean_heater *out)
{
    const tufa_value *f = a->heater.field;
    const heater_rec *r = &from->heater;
    *out = (clean_heater){.id = r->id, .clean_heated_m3 = said_or_nan(r->baseline_heated_m3), .clean_refill_m3 = said_or_nan(r->baseline_m3),
                          .clean_draw_m3 = said_or_nan(r->baseline_draw_m3), .clean_flow_m3_s = said_or_nan(r->baseline_flow_m3_s)};
    memcpy(out->label, r->label, sizeof out->label);
    memcpy(out->house, from->house.label, sizeof out->house);
    tufa_clean_case *c = &out->tank;
    tool_set tools;
    RETURN_IF(tools_read(d, &tools));
    RETURN_IF(clean_case_of(from, a, &tools, c));
    tufa_packing pack = tufa_packing_default();
    out->bed_m3_kg = bed_per_kg(&pack);
    out->setpoint_K = f[TUFA_HEATER_SETPOINT];
    out->loss_W_K = f[TUFA_HEATER_LOSS].mid;
    out->one_element = case_one_element(r);
    out->element_W = f[TUFA_HEATER_ELEMENT_POWER].mid;
    out->element_V = r->volts.basis == TUFA_BASIS_NONE ? 240.0 : r->volts.mid; /* US plates */
    out->air_K = from->site.room_K.basis == TUFA_BASIS_NONE ? 292.85 : from->site.room_K.mid; /* 19.7 C, contract of the project */
    if (a->heater.fuel == TUFA_ELECTRIC) {
        double low = f[TUFA_HEATER_ELEMENT_LOW].mid, across = c->across_m.mid;
        out->below_element_m3 = fmin(low * 0.25 * 3.14159265358979 * across * across, 0.5 * c->volume_m3.mid);
    }
    return OK;
}

static tufa_status gather(desk *d, int64_t id, clean_heater *out)
{
    desk_waters waters;
    tufa_ahead a;
    tufa_arena arena = {.size = tufa_ahead_bytes(1, YEAR_DRAWS, TUFA_AHEAD_MAX_FINDINGS)};
    desk_case *c = malloc(sizeof *c);
    arena.base = malloc(arena.size);
    waters_start(&waters, d->s, YEAR_DRAWS);
    tufa_status st = c && arena.base ? look_now(d, id, &waters, c, &arena, &a) : trouble(TUFA_MEMORY, "view ahead", NULL);
    if (st.code == TUFA_OK) st = describe(d, c, &a, out);
    waters_end(&waters);
    free(arena.base);
    free(c);
    return st;
}

tufa_code desk_clean_heater(desk *d, const char *name, clean_heater *out, trouble_note *note)
{
    int64_t id;
    text near = {0};
    tufa_code code = desk_find(d, THING_HEATER, name, &id, &near, note);
    if (code != TUFA_OK && near.len && !note->allowed[0]) note_set(note, note->code, note->field, note->value, text_str(&near), note->why);
    text_free(&near);
    if (code != TUFA_OK) return code;
    tufa_status st = gather(d, id, out);
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}
