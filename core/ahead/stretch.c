/* Stretches of like use, and how fast the bed grows in each. */
#include "core/ahead/inner.h"
#include "core/base/spread.h"
#include "core/base/status.h"

#include <math.h>

static const double LITRES_LEAST = 1.0, LITRES_MOST = 20000.0;
static const double MOST_PEOPLE = 100.0;

static tufa_status check_value(const char *field, const tufa_value *v, double lo, double hi)
{
    if (v->basis == TUFA_BASIS_NONE) return OK;
    RETURN_IF(in_range(field, v->mid, lo, hi));
    RETURN_IF(in_range(field, v->lo, lo, v->mid));
    return in_range(field, v->hi, v->mid, hi);
}

static tufa_status check_use(const tufa_use *u)
{
    RETURN_IF(check_value("people", &u->people, 0.0, MOST_PEOPLE));
    RETURN_IF(check_value("litres_day", &u->litres_day, 0.0, LITRES_MOST));
    RETURN_IF(check_value("setpoint_K", &u->setpoint_K, 303.15, 363.15));
    return check_value("softened", &u->softened, 0.0, 1.0);
}

static int said(tufa_value v) { return v.basis != TUFA_BASIS_NONE; }

/* Shower, bath, basin and washers that mix for themselves, against what fills hot alone or leaks: judgement. Warmth at the tap, 105 F: common practice, no source. */
static const double MIXED_SHARE = 0.9, TAP_K = 313.706;

double tufa_mixed_litres(double from_K, double to_K, double cold_K)
{
    double tap = fmax(TAP_K, cold_K + 1.0);
    return 1.0 - MIXED_SHARE + MIXED_SHARE * (fmax(tap, from_K) - cold_K) / (fmax(tap, to_K) - cold_K);
}

/* `at`: which stretch this is. */
static void take_over(stretch *s, const tufa_use *u, size_t at)
{
    s->day = u->day;
    int says = said(u->people) || said(u->litres_day) || said(u->setpoint_K);
    if (at == 0 || (says && !u->mixed_as_before)) s->litres_of = at;
    if (said(u->people)) s->people = u->people;
    if (said(u->litres_day)) s->litres_day = u->litres_day;
    if (said(u->litres_day)) s->from_people = 0;
    else if (said(u->people)) s->from_people = 1;
    if (said(u->setpoint_K)) s->setpoint_K = u->setpoint_K;
    if (said(u->softened)) s->softened = u->softened;
    s->litres_mid = s->from_people ? tufa_hot_litres_day(s->people.mid) : s->litres_day.mid;
    s->litres_mid = fmin(LITRES_MOST, fmax(LITRES_LEAST, s->litres_mid));
}

tufa_status ask_year(const question *q, const stretch *s, double bed_m3, tufa_tank_month month[12])
{
    tufa_tank_month_fn tank = q->in->tank ? q->in->tank : tufa_ahead_plain_tank;
    for (int m = 0; m < 12; m++) {
        tufa_tank_ask ask = {.heater = &q->heater, .month = m, .bed_m3 = bed_m3, .setpoint_K = s->setpoint_K.mid,
                             .draw_m3_day = 1e-3 * s->litres_mid, .room_K = q->site.room_K.mid,
                             .inlet_K = tufa_inlet_K(q->site.inlet_mean_K.mid, q->site.inlet_swing_K.mid, m)};
        RETURN_IF(tank(q->in->tank_ctx, &ask, &month[m]));
        RETURN_IF(in_range("mean_K", month[m].mean_K, 273.15, 373.15));
        RETURN_IF(in_range("skin_K", month[m].skin_K, 273.15, 900.0));
    }
    return OK;
}

static double drawn_mid(const question *q, const stretch *s)
{
    double from_K = q->stretch[s->litres_of].setpoint_K.mid;
    return fmin(LITRES_MOST, s->litres_mid * tufa_mixed_litres(from_K, s->setpoint_K.mid, q->site.inlet_mean_K.mid));
}

tufa_status lay_out_stretches(question *q)
{
    const tufa_ahead_in *in = q->in;
    q->stretches = in->uses ? in->uses : 1;
    if (!(q->stretch = TAKE(q, q->stretches, stretch))) return trouble(TUFA_MEMORY, "arena", NULL);
    static const tufa_use nothing_said = {0};
    stretch now = {.people = tufa_people_default(), .setpoint_K = q->heater.field[TUFA_HEATER_SETPOINT], .from_people = 1,
                   .softened = {.basis = TUFA_BASIS_DEFAULT}};
    for (size_t s = 0; s < q->stretches; s++) {
        const tufa_use *u = in->uses ? &in->use[s] : &nothing_said;
        RETURN_IF(check_use(u));
        if (s > 0 && u->day < in->use[s - 1].day) return trouble(TUFA_CONFLICT, "use", "days must rise");
        take_over(&now, u, s);
        q->stretch[s] = now;
        q->stretch[s].litres_mid = drawn_mid(q, &now);
        RETURN_IF(ask_year(q, &q->stretch[s], 0.0, q->stretch[s].tank));
    }
    return OK;
}

size_t stretch_on(const question *q, double day)
{
    size_t s = 0;
    while (s + 1 < q->stretches && (double)q->stretch[s + 1].day <= day) s++;
    return s;
}

/* Litres as said, or what they become at this setpoint. */
static void draw_litres(const question *q, stretch *s)
{
    const stretch *said_at = &q->stretch[s->litres_of];
    double cold_K = q->site.inlet_mean_K.mid;
    spread people = spread_of(s->people), litres_day = spread_of(s->litres_day);
    for (size_t i = 0; i < q->n; i++) {
        double litres = s->from_people ? tufa_hot_litres_day(fmax(0.0, spread_at(&people, q->x.people_u[i]))) *
                                             exp(TUFA_HOT_LITRES_LOG_SD * tufa_normal_quick(q->x.litres_u[i]))
                                       : spread_at(&litres_day, q->x.litres_u[i]);
        if (said_at != s) litres *= tufa_mixed_litres(said_at->set_K[i], s->set_K[i], cold_K);
        s->m3_day[i] = 1e-3 * fmin(LITRES_MOST, fmax(LITRES_LEAST, litres));
    }
}

static void draw_heat(const question *q, stretch *s)
{
    spread setpoint = spread_of(s->setpoint_K), softened = spread_of(s->softened);
    for (size_t i = 0; i < q->n; i++) {
        s->set_K[i] = spread_at(&setpoint, q->x.setpoint_u[i]);
        s->passed[i] = 1.0 - fmin(1.0, fmax(0.0, spread_at(&softened, q->x.softened_u[i])));
    }
}

/* One month of one stretch: kg a day at eps 1, and the most that the water can drop. */
static void rate_month(const question *q, const stretch *s, double mean_K, double *kg_day, double *most_kg_day, double *growth)
{
    const unknowns *x = &q->x;
    double activation_J_mol = tufa_rate_law_default().activation_J_mol;
    for (size_t i = 0; i < q->n; i++) {
        double T_K = mean_K + s->set_K[i] - s->setpoint_K.mid;
        double C = fmax(0.0, tufa_ccpp_at(&q->in->ccpp, (size_t)x->ccpp[i], T_K)) * s->passed[i];
        tufa_rate_law law = {.order = x->order[i], .x_ref = x->x_ref[i], .activation_J_mol = activation_J_mol};
        double share = tufa_deposit_conversion(&law, C, T_K, 86400.0 * x->volume_m3[i] / s->m3_day[i]);
        most_kg_day[i] = KG_PER_MG_L_M3 * C * s->m3_day[i];
        kg_day[i] = most_kg_day[i] * share / law.x_ref;
        growth[i] = 1.0 - share;
    }
}

static tufa_status take_arrays(question *q, stretch *s, int lies_ahead)
{
    double **by_draw[] = {&s->m3_day, &s->kg_day, &s->most_kg_day, &s->growth_share, &s->set_K, &s->passed};
    for (size_t a = 0; a < sizeof by_draw / sizeof by_draw[0]; a++)
        if (!(*by_draw[a] = TAKE(q, q->n, double))) return trouble(TUFA_MEMORY, "arena", NULL);
    if (!lies_ahead) return OK;
    s->month_kg_day = TAKE(q, 12 * q->n, double);
    s->month_most_kg_day = TAKE(q, 12 * q->n, double);
    return s->month_kg_day && s->month_most_kg_day ? OK : trouble(TUFA_MEMORY, "arena", NULL);
}

static int same_as_before(const stretch *s, int m) { return m > 0 && s->tank[m].mean_K == s->tank[m - 1].mean_K; }

tufa_status rate_stretches(question *q)
{
    double *month = TAKE(q, q->n, double), *most = TAKE(q, q->n, double);
    if (!month || !most) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t k = 0; k < q->stretches; k++) {
        stretch *s = &q->stretch[k];
        int lies_ahead = k + 1 == q->stretches || q->stretch[k + 1].day > q->in->today_day;
        RETURN_IF(take_arrays(q, s, lies_ahead));
        draw_heat(q, s);
        draw_litres(q, s);
        for (int m = 0; m < 12; m++) {
            if (!same_as_before(s, m)) rate_month(q, s, s->tank[m].mean_K, month, most, s->growth_share);
            for (size_t i = 0; i < q->n; i++) {
                s->kg_day[i] += month[i] / 12.0;
                s->most_kg_day[i] += most[i] / 12.0;
                if (!lies_ahead) continue;
                s->month_kg_day[(size_t)m * q->n + i] = month[i];
                s->month_most_kg_day[(size_t)m * q->n + i] = most[i];
            }
        }
    }
    return OK;
}
