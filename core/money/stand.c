/* A heater in its place: what stands there now, a new one like it, or what another choice would put there. */
#include "core/base/status.h"
#include "core/money/step.h"

#include <math.h>

static const double AGE_LEAST = 1e-6, NEVER_KG = 1e12;

double flush_leaves(const world *w, double kg)
{
    double moved = fmin((1.0 - w->left_share[TUFA_CHOICE_FLUSH]) * kg, w->flush_kg);
    return kg - moved;
}

/* A new heater has a full-port drain valve: what is cleaned through it goes faster. */
double deed_usd(const stand *s, size_t i, tufa_choice a)
{
    const world *w = &s->ws->w[i];
    int cleans = a == TUFA_CHOICE_FLUSH || a == TUFA_CHOICE_CLEAN || a == TUFA_CHOICE_ELEMENTS || a == TUFA_CHOICE_CLEAN_ANODE;
    tufa_choice how = a == TUFA_CHOICE_FLUSH ? a : TUFA_CHOICE_CLEAN;
    return w->spend[a] - (s->fresh && cleans ? (1.0 - w->full_port) * w->hours[how] * w->own_hour : 0.0);
}

/* Hazard of published lives holds tanks with and without an anode as they usually are at that age; it is taken over that. */
static tufa_status fill_hazard(stand *s, tufa_arena *arena)
{
    size_t n = s->n;
    const world *w = s->ws->w;
    double *before = tufa_arena_take(arena, n, sizeof *before);
    s->hazard = tufa_arena_take(arena, n * STEPS, sizeof *s->hazard);
    if (!before || !s->hazard) return trouble(TUFA_MEMORY, "arena", NULL);
    int alike = 1;
    double usual = 0.0;                                 /* share of tanks whose first anode is spent by then */
    for (size_t i = 1; i < n; i++) alike = alike && w[i].age == w[0].age;
    for (int k = 0; k <= STEPS; k++) {
        double later = STEP_YEARS * k, common = log(fmax(AGE_LEAST, (s->fresh ? 0.0 : w[0].age) + later)), spent = 0.0;
        for (size_t i = 0; i < n; i++) spent += (s->fresh ? 0.0 : w[i].age) + later > w[i].anode_usual;
        spent /= (double)n;
        for (size_t i = 0; i < n; i++) {
            const tufa_weibull *life = s->fresh ? &w[i].fresh : &w[i].tank;
            double log_age = s->fresh || alike ? common : log(fmax(AGE_LEAST, w[i].age + later));
            double now = quick_exp(life->shape * (log_age - w[i].log_scale[s->fresh]));
            if (k > 0) s->hazard[(size_t)(k - 1) * n + i] = (now - before[i]) / (1.0 + usual * (w[i].anode_on_life - 1.0));
            before[i] = now;
        }
        usual = spent;
    }
    return OK;
}

/* Failures of a part that is renewed when it fails: rising with age as its life has it, and in the long run one in a mean life. */
static tufa_status fill_control(const stand *s, int fresh, tufa_arena *arena, double **to)
{
    size_t n = s->n;
    if (!(*to = tufa_arena_take(arena, n * STEPS, sizeof **to))) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < n; i++) {
        const tufa_weibull *w = &s->ws->w[i].control;
        double age = fresh ? 0.0 : s->ws->w[i].control_age, power = w->shape - 1.0, log_scale = log(w->scale_years);
        double rate = STEP_YEARS * w->shape / w->scale_years, most = STEP_YEARS / tufa_weibull_mean(w);
        int settled = 0;
        for (int k = 0; k < STEPS; k++) {
            double at = settled ? most : rate * quick_exp(power * (log(age + STEP_YEARS * (k + 0.5)) - log_scale));
            settled = at >= most && power >= 0.0;
            (*to)[(size_t)k * n + i] = fmin(at, most);
        }
    }
    return OK;
}

static tufa_status take(stand *s, tufa_arena *arena)
{
    double **all[] = {&s->kg, &s->growth, &s->trouble_kg, &s->anode_age, &s->anode_life, &s->loss_per_kg,
                      &s->fuel_year, &s->extra_year, &s->element[0], &s->element[1]};
    for (size_t k = 0; k < sizeof all / sizeof all[0]; k++)
        if (!(*all[k] = tufa_arena_take(arena, s->n, sizeof(double)))) return trouble(TUFA_MEMORY, "arena", NULL);
    return OK;
}

static double energy_usd_J(const world *w, tufa_choice other)
{
    switch (other) {
    case TUFA_CHOICE_TO_GAS: return w->gas_usd_J;
    case TUFA_CHOICE_TO_ELECTRIC: return w->electricity_usd_J;
    case TUFA_CHOICE_TO_HEAT_PUMP: return w->electricity_usd_J / w->heat_pump_cop;
    default: return w->fuel_usd_J;
    }
}

tufa_status make_stand(const worlds *ws, tufa_choice other, int fresh, tufa_arena *arena, stand *s)
{
    const tufa_ahead *base = ws->in->ahead, *a = other == TUFA_CHOICE_COUNT ? base : ws->in->other[other].ahead;
    *s = (stand){.ws = ws, .n = ws->n, .electric = a->heater.fuel == TUFA_ELECTRIC, .fresh = fresh};
    RETURN_IF(take(s, arena));
    double flux = a->heater.field[TUFA_HEATER_ELEMENT_FLUX].mid;
    for (size_t i = 0; i < s->n; i++) {
        const world *w = &ws->w[i];
        s->kg[i] = fresh ? 0.0 : base->draw_kg[i];
        s->growth[i] = fmax(0.0, a->draw_kg_year[i]);
        int out_of_reach = a->draw_trouble_kg[i] <= a->draw_kg[i] && a->draw_trouble_years[i] > 0.0;
        s->trouble_kg[i] = out_of_reach ? NEVER_KG : a->draw_trouble_kg[i];
        s->anode_age[i] = fresh ? 0.0 : w->anode_age;
        s->anode_life[i] = other == TUFA_CHOICE_SOFTEN ? fmin(w->anode_life, w->anode_usual * w->anode_softened) : w->anode_life;
        s->loss_per_kg[i] = a->draw_loss_per_kg[i];
        s->fuel_year[i] = a->draw_energy_J_year[i] * energy_usd_J(w, other);
        s->extra_year[i] = s->fuel_year[i] - base->draw_energy_J_year[i] * w->fuel_usd_J;
        if (other == TUFA_CHOICE_COUNT) s->extra_year[i] = 0.0;
        if (other == TUFA_CHOICE_SOFTEN) s->extra_year[i] = w->softener_year;
        if (!s->electric) continue;
        double rise = a->draw_scale_rise_K[i], low = fmin(1.0, w->low_density_W_m2 / flux);
        s->element[0][i] = tufa_element_failures_year(w->base_year, w->per_10K, rise);
        s->element[1][i] = tufa_element_failures_year(w->base_year, w->per_10K, rise * low);
    }
    RETURN_IF(fill_control(s, 1, arena, &s->new_control));
    s->control = s->new_control;
    if (!fresh) RETURN_IF(fill_control(s, 0, arena, &s->control));
    return fill_hazard(s, arena);
}
