#include "edge/desk/case_inner.h"

#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/clean_desk.h"
#include "edge/desk/visit_desk.h"

static case_day *day_of(gathering *g, int64_t day)
{
    for (size_t i = 0; i < g->days; i++)
        if (g->day[i].day == day) return &g->day[i];
    if (g->days == CASE_DAYS) { /* the newest matter most; they come by day */
        g->c->unused += g->day[0].n;
        memmove(g->day, g->day + 1, (CASE_DAYS - 1) * sizeof g->day[0]);
        g->days--;
    }
    case_day *d = &g->day[g->days++];
    *d = (case_day){.day = day};
    return d;
}

/* The newest reading of a kind on that day counts. */
static tufa_proof_reading *slot(case_day *d, tufa_proof_kind kind, int64_t id)
{
    size_t i = 0;
    while (i < d->n && d->reading[i].kind != kind) i++;
    if (i == TUFA_PROOF_MAX) i = TUFA_PROOF_MAX - 1;
    if (i == d->n) d->reading[d->n++] = (tufa_proof_reading){.kind = kind};
    d->id[i] = id;
    return &d->reading[i];
}

void case_read(gathering *g, const finding_rec *r)
{
    case_day *d = day_of(g, r->day);
    double x = r->value.mid;
    switch (r->kind) {
    case FINDING_PROBE:
        if (d->spots < 5) slot(d, TUFA_PROOF_PROBE5, r->id)->depth_m[d->spots++] = x;
        break;
    case FINDING_PROBE_LINE: slot(d, TUFA_PROOF_PROBE1, r->id)->depth_m[0] = x; break;
    case FINDING_REFILL: slot(d, TUFA_PROOF_REFILL, r->id)->volume_m3 = x; break;
    case FINDING_FIRST_DRAW: slot(d, TUFA_PROOF_DRAW, r->id)->volume_m3 = x; break;
    case FINDING_JAR: slot(d, TUFA_PROOF_JAR, r->id)->settled_share = x; break;
    case FINDING_DRAIN_FLOW: slot(d, TUFA_PROOF_FLOW, r->id)->flow_m3_s = x; break;
    case FINDING_HEATED: slot(d, TUFA_PROOF_HEATUP, r->id)->volume_m3 = x; break;
    case FINDING_HEAT_UP: d->heat_up = *r; break;
    default: break;
    }
}

static double or_nan(tufa_value v) { return v.basis == TUFA_BASIS_NONE ? NAN : v.mid; }

/* The tank as the proof wants it. */
static void describe(const desk_case *c, const tufa_heater *h, tufa_proof_in *in)
{
    static const double PI_4 = 0.78539816339744831;
    double V = h->field[TUFA_HEATER_VOLUME].mid, across = h->field[TUFA_HEATER_DIAMETER].mid;
    *in = (tufa_proof_in){.fuel = h->fuel, .volume_m3 = V, .across_m = across, .clean_refill_m3 = or_nan(c->heater.baseline_m3),
                          .clean_heated_m3 = or_nan(c->heater.baseline_heated_m3), .clean_draw_m3 = or_nan(c->heater.baseline_draw_m3)};
    if (h->fuel == TUFA_ELECTRIC) in->below_element_m3 = fmin(h->field[TUFA_HEATER_ELEMENT_LOW].mid * PI_4 * across * across, 0.5 * V);
}

/* ---- minutes from cold to the thermostat's stop ---- */

static const double WATER_J_M3_K = 4.13e6;  /* between 50 and 130 F */
static const double MINUTES_SHARE = 0.12;   /* of a volume out of minutes alone: setpoint, inlet and power by their plates; judgement */
static const double CLEAN_MINUTES_SHARE = 0.05; /* against this tank's own clean minutes: the inlet differs by the month; judgement */
static const double COLD_SHARE = 0.75;      /* of the volume below the element, not heated */

static double rise_K(const desk_case *c, const tufa_heater *h, int64_t day)
{
    tufa_site d = tufa_site_default();
    tufa_value mean = c->site.inlet_mean_K.basis ? c->site.inlet_mean_K : d.inlet_mean_K, swing = c->site.inlet_swing_K.basis ? c->site.inlet_swing_K : d.inlet_swing_K;
    int month = (int)fmod(fmod((double)day / 30.4369, 12.0) + 12.0, 12.0);
    return fmax(10.0, h->field[TUFA_HEATER_SETPOINT].mid - tufa_inlet_K(mean.mid, swing.mid, month));
}

/* Electric: the volume that was warmed. */
static void minutes_as_volume(const desk_case *c, const tufa_heater *h, case_day *d, tufa_proof_in *in)
{
    double s = d->heat_up.value.mid, own = or_nan(c->heater.baseline_heat_s), clean = in->volume_m3 - COLD_SHARE * in->below_element_m3;
    for (size_t i = 0; i < d->n; i++)
        if (d->reading[i].kind == TUFA_PROOF_HEATUP) return; /* energy and temperatures say it better */
    tufa_proof_reading *r = slot(d, TUFA_PROOF_HEATUP, d->heat_up.id);
    r->volume_m3 = isnan(own) ? h->field[TUFA_HEATER_ELEMENT_POWER].mid * s / (WATER_J_M3_K * rise_K(c, h, d->day)) : clean * s / own;
    r->error_m3 = (isnan(own) ? MINUTES_SHARE : CLEAN_MINUTES_SHARE) * in->volume_m3;
    if (isnan(in->clean_heated_m3) || !isnan(own)) in->clean_heated_m3 = clean;
}

/* Gas: minutes over those of the clean tank. */
static void minutes_as_ratio(desk_case *c, const tufa_heater *h, const case_day *d)
{
    double own = or_nan(c->heater.baseline_heat_s), W = h->field[TUFA_HEATER_BURNER].mid * h->field[TUFA_HEATER_RECOVERY].mid;
    double clean_s = isnan(own) ? WATER_J_M3_K * h->field[TUFA_HEATER_VOLUME].mid * rise_K(c, h, d->day) / W : own;
    tufa_finding *f = finding_on(c, d->day, true);
    if (!f) return;
    f->kind = TUFA_FOUND_RECOVERY;
    f->value = fmin(10.0, fmax(0.1, d->heat_up.value.mid / clean_s));
    f->log_sd = isnan(own) ? 0.15 : CLEAN_MINUTES_SHARE;
    f->id = d->heat_up.id;
}

/* ---- a day ---- */

static bool was_cleaned(const desk_case *c, int64_t day)
{
    for (size_t i = 0; i < c->findings; i++) {
        const tufa_finding *f = &c->found[i];
        if (f->day == day && (f->cleaned || f->kind == TUFA_FOUND_CLEANED || f->kind == TUFA_FOUND_WEIGHED || f->kind == TUFA_FOUND_SLURRY)) return true;
    }
    return false;
}

static void add_told(desk_case *c, const tufa_proof_in *in, const case_day *d, size_t i)
{
    tufa_told told;
    tufa_status st = tufa_clean_told(in, &d->reading[i], &told);
    if (st.code != TUFA_OK) {
        c->blind++;
        return;
    }
    tufa_finding *f = c->tolds < CASE_TOLDS ? finding_on(c, d->day, true) : NULL;
    if (!f) {
        c->unused++;
        return;
    }
    f->kind = TUFA_FOUND_TOLD;
    f->told = c->tolds;
    f->id = d->id[i];
    f->value = fmax(0.0, exp(told.mid_log) - TUFA_TOLD_FLOOR_M3);
    c->told[c->tolds++] = told;
}

/* What stayed, by all readings of that day together. */
static tufa_status add_left(desk_case *c, tufa_proof_in *in, const case_day *d)
{
    tufa_proof proof;
    memcpy(in->reading, d->reading, sizeof in->reading);
    in->n = d->n;
    RETURN_IF(desk_prove_in(in, &proof));
    for (size_t i = 0; i < c->findings; i++) {
        if (c->found[i].day != d->day) continue;
        c->found[i].cleaned = 1;
        c->found[i].left_kg = proof.left_kg;
        if (c->found[i].kind == TUFA_FOUND_CLEANED) c->found[i].id = d->id[0];
    }
    return OK;
}

/* A draw or jar without a bed in sight is no reading of what stayed; five spots that were not all probed neither. */
static void drop_useless(const desk_case *c, case_day *d, const tufa_heater *h)
{
    size_t n = 0;
    for (size_t i = 0; i < d->n; i++) {
        tufa_proof_reading *r = &d->reading[i];
        if (r->kind == TUFA_PROOF_PROBE5 && d->spots < 5) { /* fewer spots are worth one line */
            double sum = 0.0;
            for (int k = 0; k < d->spots; k++) sum += r->depth_m[k];
            r->kind = TUFA_PROOF_PROBE1;
            r->depth_m[0] = sum / d->spots;
        }
        if (r->kind == TUFA_PROOF_FLOW) r->clear_m3_s = or_nan(c->heater.baseline_flow_m3_s);
        if (r->kind == TUFA_PROOF_FLOW && isnan(r->clear_m3_s)) r->clear_m3_s = desk_clear_flow(&c->heater, &c->house, h);
        if (r->kind == TUFA_PROOF_FLOW && !(r->clear_m3_s > 0.0)) continue;
        d->id[n] = d->id[i];
        d->reading[n++] = *r;
    }
    d->n = n;
}

tufa_status case_settle_days(gathering *g)
{
    desk_case *c = g->c;
    tufa_heater h = c->known;
    tufa_proof_in in;
    if (g->days == 0) return OK;
    tufa_status st = tufa_heater_fill(&h);
    if (st.code != TUFA_OK) return st;
    for (size_t k = 0; k < g->days; k++) {
        case_day *d = &g->day[k];
        describe(c, &h, &in);
        if (d->heat_up.id && h.fuel == TUFA_ELECTRIC) minutes_as_volume(c, &h, d, &in);
        drop_useless(c, d, &h);
        bool cleaned = was_cleaned(c, d->day);
        if (d->heat_up.id && h.fuel != TUFA_ELECTRIC && !cleaned) minutes_as_ratio(c, &h, d);
        if (cleaned && d->n) RETURN_IF(add_left(c, &in, d));
        for (size_t i = 0; i < d->n && !cleaned; i++) add_told(c, &in, d, i);
    }
    return OK;
}
