/* What the book's readings of one day say is left in a tank. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/visit_parts.h"

tufa_status desk_prove_in(const tufa_proof_in *in, tufa_proof *out)
{
    tufa_arena scratch = {.size = tufa_clean_prove_bytes()};
    scratch.base = malloc(scratch.size);
    if (!scratch.base) return trouble(TUFA_MEMORY, "proof", NULL);
    tufa_status st = tufa_clean_prove(in, &scratch, out);
    free(scratch.base);
    return st;
}

typedef struct gather {
    int64_t today, day;
    bool taking;
    tufa_proof_in *in;
    double clear_m3_s;
    int spots;
    tufa_proof_reading probe;
} gather;

static bool is_proof(finding_kind k)
{
    return k == FINDING_PROBE || k == FINDING_PROBE_LINE || k == FINDING_REFILL || k == FINDING_HEATED || k == FINDING_FIRST_DRAW || k == FINDING_DRAIN_FLOW ||
           k == FINDING_JAR || k == FINDING_DRY_MASS || k == FINDING_SLURRY;
}

/* The newest reading of a kind on that day counts. */
static tufa_proof_reading *slot(tufa_proof_in *in, tufa_proof_kind kind)
{
    for (size_t i = 0; i < in->n; i++)
        if (in->reading[i].kind == kind) return &in->reading[i];
    if (in->n == TUFA_PROOF_MAX) return &in->reading[TUFA_PROOF_MAX - 1];
    in->reading[in->n] = (tufa_proof_reading){.kind = kind};
    return &in->reading[in->n++];
}

static void take(gather *g, const finding_rec *f)
{
    double x = f->value.mid;
    switch (f->kind) {
    case FINDING_PROBE:
        if (g->spots < 5) g->probe.depth_m[g->spots] = x;
        g->spots++;
        break;
    case FINDING_PROBE_LINE: slot(g->in, TUFA_PROOF_PROBE1)->depth_m[0] = x; break;
    case FINDING_REFILL: slot(g->in, TUFA_PROOF_REFILL)->volume_m3 = x; break;
    case FINDING_FIRST_DRAW: slot(g->in, TUFA_PROOF_DRAW)->volume_m3 = x; break;
    case FINDING_JAR: slot(g->in, TUFA_PROOF_JAR)->settled_share = x; break;
    case FINDING_DRY_MASS: slot(g->in, TUFA_PROOF_MASS)->mass_kg = x; break;
    case FINDING_SLURRY: slot(g->in, TUFA_PROOF_SLURRY)->volume_m3 = x; break;
    case FINDING_DRAIN_FLOW:
        if (!(g->clear_m3_s > 0.0)) break;
        slot(g->in, TUFA_PROOF_FLOW)->flow_m3_s = x;
        slot(g->in, TUFA_PROOF_FLOW)->clear_m3_s = g->clear_m3_s;
        break;
    case FINDING_HEATED: slot(g->in, TUFA_PROOF_HEATUP)->volume_m3 = x; break;
    default: break;
    }
}

static tufa_status look(void *ctx, const finding_rec *f)
{
    gather *g = ctx;
    if (f->day > g->today || !is_proof(f->kind)) return OK;
    if (!g->taking && f->day > g->day) g->day = f->day;
    if (g->taking && f->day == g->day) take(g, f);
    return OK;
}

/* Flow at the drain's hose with nothing in the way: this tank's own, or computed. */
static double clear_flow(const clean_heater *h)
{
    if (!isnan(h->clean_flow_m3_s)) return h->clean_flow_m3_s;
    tufa_clean_answer a;
    if (desk_clean(&h->tank, 1, 1, &a).code != TUFA_OK) return 0.0;
    return a.method[TUFA_METHOD_FLUSH].flow_m3_s.mid;
}

static tufa_value times(tufa_value a, tufa_value b)
{
    if (a.basis == TUFA_BASIS_NONE || !(a.mid > 0.0)) return (tufa_value){0};
    double down = hypot(log(a.mid / fmax(a.lo, 1e-3 * a.mid)), log(b.mid / b.lo)), up = hypot(log(a.hi / a.mid), log(b.hi / b.mid));
    return (tufa_value){a.mid * b.mid, a.mid * b.mid * exp(-down), a.mid * b.mid * exp(up), TUFA_BASIS_RANGE};
}

/* ---- this tank's own clean readings, as they stood before the day of the proof: a reading never proves itself ---- */

static tufa_status clean_before(desk *d, int64_t heater, const char *field, int64_t day, double *value)
{
    fact_rec f;
    tufa_status st = store_fact_on(d->s, THING_HEATER, heater, thing_field(THING_HEATER, field), day - 1, &f);
    *value = st.code == TUFA_OK && f.value.basis != TUFA_BASIS_NONE ? f.value.mid : NAN;
    return st.code == TUFA_MISSING ? OK : st;
}

static tufa_status own_clean_readings(desk *d, int64_t day, clean_heater *h)
{
    RETURN_IF(clean_before(d, h->id, "baseline", day, &h->clean_refill_m3));
    RETURN_IF(clean_before(d, h->id, "baseline_draw", day, &h->clean_draw_m3));
    RETURN_IF(clean_before(d, h->id, "baseline_heated", day, &h->clean_heated_m3));
    return clean_before(d, h->id, "baseline_flow", day, &h->clean_flow_m3_s);
}

tufa_code desk_prove(desk *d, const char *heater, prove_answer *out, trouble_note *note)
{
    *out = (prove_answer){0};
    if (desk_clean_heater(d, heater, &out->heater, note) != TUFA_OK) return note->code;
    gather g = {.today = d->today, .in = &out->in};
    tufa_status st = store_finding_each(d->s, out->heater.id, look, &g);
    if (st.code == TUFA_OK && g.day > 0) { /* the bed before that day's work, as the book stood then */
        desk eve = *d;
        eve.today = g.day - 1;
        if (desk_clean_heater(&eve, heater, &out->heater, note) != TUFA_OK) return note->code;
        st = own_clean_readings(d, g.day, &out->heater);
    }
    if (st.code != TUFA_OK) {
        note_from_status(note, st);
        return st.code;
    }
    const clean_heater *h = &out->heater;
    double volume = h->tank.volume_m3.mid;
    out->in = (tufa_proof_in){.fuel = h->tank.fuel, .volume_m3 = volume, .across_m = h->tank.across_m.mid, .below_element_m3 = h->below_element_m3,
                              .before_m3 = times(h->tank.bed_kg, h->bed_m3_kg), .bed_m3_kg = h->bed_m3_kg, .clean_refill_m3 = h->clean_refill_m3,
                              .clean_heated_m3 = h->clean_heated_m3, .clean_draw_m3 = h->clean_draw_m3};
    if (out->in.before_m3.mid > 0.5 * volume) out->in.before_m3 = (tufa_value){0}; /* a forecast beyond the tank says nothing */
    out->day = g.day;
    g.taking = true;
    g.clear_m3_s = clear_flow(h);
    if (st.code == TUFA_OK) st = store_finding_each(d->s, h->id, look, &g);
    if (g.spots >= 5) {
        tufa_proof_reading *p = slot(&out->in, TUFA_PROOF_PROBE5);
        memcpy(p->depth_m, g.probe.depth_m, sizeof p->depth_m);
    }
    if (st.code == TUFA_OK) st = desk_prove_in(&out->in, &out->proof);
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}
