/* The years after a deed: what failures, calls and lost fuel cost, and the rent of the next tank once it stands there.
 * A replacement is paid as an even yearly sum over the next tank's life, so that a short horizon does not punish it. */
#include "core/money/inner.h"

#include <math.h>

/* Of the harm of a spent anode, what a new one cannot undo; judgement. */
static const double HARM_STAYS = 0.5;

static double planned_replacement_usd(const world *w)
{
    return w->unit + w->hours[TUFA_CHOICE_REPLACE] * w->own_hour + w->trip;
}

static double leak_usd(const world *w)
{
    return w->leak_days * w->outage_day + w->leak_hours * w->own_hour + w->damage_chance * w->damage + w->trip;
}

static double element_usd(const world *w)
{
    return w->element + w->element_hours * w->own_hour + w->element_days * w->outage_day + w->trip;
}

static double call_usd(const world *w) { return w->call_hours * w->own_hour + w->call_days * w->outage_day + w->trip; }

/* Its planned price and, at its end, its own leak, as an even yearly sum. */
double next_tank_year(const world *w)
{
    double r = w->discount, L = w->new_life, end = pow(1.0 + r, -L);
    return (planned_replacement_usd(w) + leak_usd(w) * end) * r / (1.0 - end);
}

/* Hazard over that of published lives, which hold tanks with and without anode as they usually are at that age. */
static double anode_factor(const worlds *ws, const world *w, const deed *d, int year)
{
    double m = w->anode_on_life, usual = 1.0 + ws->spent_usual[year] * (m - 1.0);
    if (!d->new_anode || year < d->when) return (w->anode_age + year > w->anode_life ? m : 1.0) / usual;
    double scar = w->anode_age + d->when > w->anode_life ? 1.0 + HARM_STAYS * (m - 1.0) : 1.0;
    return (year - d->when > w->anode_life ? m : scar) / usual;
}

/* Share of the year in which the bed is at the element, or the floor boils. */
static double share_in_trouble(const world *w, double kg_start)
{
    double kg_end = kg_start + w->kg_year;
    if (kg_start >= w->trouble_kg) return 1.0;
    if (kg_end <= w->trouble_kg || !(w->kg_year > 0.0)) return 0.0;
    return (kg_end - w->trouble_kg) / w->kg_year;
}

static double bed_kg(const world *w, const deed *d, int year)
{
    if (year < d->when) return w->kg + w->kg_year * year;
    return (w->kg + w->kg_year * d->when) * d->left_share + w->kg_year * (year - d->when);
}

first_year run_path(const worlds *ws, const world *w, const deed *d, double *stop_usd)
{
    first_year first = {0};
    double leak = leak_usd(w), element = element_usd(w), call = call_usd(w);
    double as_is = tufa_element_failures_year(w->base_year, w->per_10K, w->rise_K);
    double changed = tufa_element_failures_year(w->base_year, w->per_10K, d->rise_K);
    double next = next_tank_year(w) + as_is * element;
    double back = 1.0 / (1.0 + w->discount), half = sqrt(back), at = 1.0, alive = 1.0, kept_usd = 0.0, rent_usd = 0.0;
    for (int y = 0; y < ws->years; y++, at *= back) {
        double kg = bed_kg(w, d, y), troubled = share_in_trouble(w, kg), worth = at * half;
        double factor = anode_factor(ws, w, d, y) * (1.0 + (w->bed_on_life - 1.0) * troubled);
        double p = -expm1(-factor * w->hazard[y]);
        double elements = (y < d->when ? as_is : changed) * (1.0 + (w->buried - 1.0) * troubled);
        double lost = w->loss_per_kg > 0.0 ? -expm1(-w->loss_per_kg * (kg + 0.5 * w->kg_year)) : 0.0;
        double year_usd = elements * element + troubled * w->calls_year * call + lost * w->fuel_year;
        double there = alive * (1.0 - 0.5 * p);
        stop_usd[y] = kept_usd - rent_usd; /* the rent of all years is added below */
        if (y == d->when) kept_usd += at * alive * d->spend_usd;
        kept_usd += worth * (there * year_usd + alive * p * leak + (1.0 - there) * next);
        rent_usd += worth * next;
        if (y == 0) first = (first_year){p, -expm1(-elements)};
        alive *= 1.0 - p;
    }
    stop_usd[ws->years] = kept_usd - rent_usd;
    for (int y = 0; y <= ws->years; y++) stop_usd[y] += rent_usd;
    return first;
}
