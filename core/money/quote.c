/* A contractor's quote against everything else that could be done. Its cost is its price and what follows from the work; the price
 * at which that equals the best of everything else is the break-even. */
#include "core/base/sources.h"
#include "core/base/spread.h"
#include "core/base/status.h"
#include "tufa/fault.h"
#include "tufa/money.h"

#include <math.h>
#include <string.h>

static const double BEING_THERE_HOURS = 1.0;                  /* to order it, let them in and look at it; judgement */
static const double USUAL_WARRANTY_YEARS = 6.0;               /* on a tank; common practice, no source */
static const double WARRANTY_PAYS = 0.5;                      /* share of a new tank that a claim brings: papers, pro rata, no work; judgement */
static const double SAME_PART_A_YEAR = 0.1;                   /* a part that was changed fails again; judgement */
static const double MARGIN_USD = 25.0, MARGIN_SHARE = 0.02;   /* nearer than this is a draw; judgement */
static const double SURE_SHARE = 0.6, ASK_WORTH_USD = 40.0;   /* judgement */
static const double AGE_IS_KNOWN_YEARS = 1.5;
static const double MOST_USD = 1e6, MOST_WARRANTY_YEARS = 50.0;
enum { POINTS = 80, GROUPS = 4, STREAM_POINT = 2600, WEIGHED = TUFA_ASK_OWN_PRICE + 1, SAME = TUFA_CHOICE_COUNT };

tufa_quote_in tufa_quote_defaults(const tufa_ahead *ahead, tufa_quote_for what)
{
    tufa_quote_in in = {.money = tufa_money_defaults(ahead), .what = what, .kind = TUFA_CHOICE_REPLACE, .kind_allowed = 1, .repair = -1, .treatment = TUFA_TREATMENT_COUNT,
                        .price_usd = -1.0, .warranty_years = -1.0, .leaking = -1,
                        .by_himself = what != TUFA_QUOTE_REPLACE || ahead->heater.fuel == TUFA_ELECTRIC};
    for (int l = 0; l < TUFA_LINE_COUNT; l++) in.line_usd[l] = -1.0;
    return in;
}

static double sum_of_lines(const tufa_quote_in *in)
{
    double sum = 0.0;
    for (int l = 0; l < TUFA_LINE_COUNT; l++) sum += fmax(0.0, in->line_usd[l]);
    return sum;
}

static int has_lines(const tufa_quote_in *in)
{
    for (int l = 0; l < TUFA_LINE_COUNT; l++)
        if (in->line_usd[l] >= 0.0) return 1;
    return 0;
}

static tufa_status check(const tufa_quote_in *in)
{
    if (!in->money.ahead) return trouble(TUFA_MISSING, "ahead", "the view ahead of the heater");
    if ((unsigned)in->what >= TUFA_QUOTE_FOR_COUNT) return trouble(TUFA_UNKNOWN, "for", "replace, repair, clean or treatment");
    if (in->kind != TUFA_CHOICE_REPLACE && (in->kind < TUFA_CHOICE_TO_GAS || in->kind > TUFA_CHOICE_TO_HEAT_PUMP || !in->money.other[in->kind].ahead))
        return trouble(TUFA_MISSING, "kind", "the view ahead of the kind of heater that is quoted");
    if (in->price_usd < 0.0 && !has_lines(in)) return trouble(TUFA_MISSING, "price", "a price, or the lines of the quote");
    for (int l = 0; l < TUFA_LINE_COUNT; l++) RETURN_IF(in_range(tufa_quote_line_at((tufa_quote_line)l)->key, in->line_usd[l], -MOST_USD, MOST_USD));
    RETURN_IF(in_range("warranty_years", in->warranty_years, -1.0, MOST_WARRANTY_YEARS));
    RETURN_IF(in_range("price", in->price_usd, -MOST_USD, MOST_USD));
    if (in->repair >= (int)tufa_fault_repair_count()) return trouble(TUFA_UNKNOWN, "part", "a row of the table of repairs");
    return OK;
}

/* ---- one set of prices and lives ---- */

/* What everything costs when prices, life and this heater are taken as one point; or the expectation over all of them. */
typedef struct point {
    tufa_money_in money;
    tufa_money_year year;
    double treats_usd;      /* TREATMENT: what it would save if no more scale came */
    double overhead_usd;    /* own time and drive for a job that others do */
    double base_usd;        /* cost of taking the quote, its price left out */
    double same_usd;        /* price of the same work by himself or at the usual rate; below 0: not known */
    double warranty_usd;
} point;

static tufa_price unit_price(tufa_fuel fuel) { return fuel == TUFA_ELECTRIC ? TUFA_PRICE_UNIT_ELECTRIC : TUFA_PRICE_UNIT_GAS; }
static tufa_price installed_price(tufa_fuel fuel) { return fuel == TUFA_ELECTRIC ? TUFA_PRICE_INSTALLED_ELECTRIC : TUFA_PRICE_INSTALLED_GAS; }
static tufa_fuel fuel_of(const tufa_quote_in *in) { return in->money.ahead->heater.fuel; }

static int is_other(const tufa_quote_in *in) { return in->what == TUFA_QUOTE_REPLACE && in->kind != TUFA_CHOICE_REPLACE; }

/* What the heater that is quoted burns. */
static tufa_fuel quoted_fuel(const tufa_quote_in *in)
{
    if (!is_other(in)) return fuel_of(in);
    return in->kind == TUFA_CHOICE_TO_GAS ? TUFA_GAS : TUFA_ELECTRIC;
}

static tufa_price quoted_unit(const tufa_quote_in *in)
{
    return is_other(in) && in->kind == TUFA_CHOICE_TO_HEAT_PUMP ? TUFA_PRICE_UNIT_HEAT_PUMP : unit_price(quoted_fuel(in));
}

static double side(tufa_value v, int k) { return k == 0 ? v.lo : k == 1 ? v.mid : v.hi; }

/* Another kind installed: as its fuel usually is, a heat pump by so much more as it costs at the counter, and line or circuit. */
static double other_installed_usd(const tufa_quote_in *in, const tufa_prices *p, int k)
{
    const tufa_value *usd = p->usd;
    int gas = in->kind == TUFA_CHOICE_TO_GAS, circuit = !gas && fuel_of(in) != TUFA_ELECTRIC;
    double more = in->kind == TUFA_CHOICE_TO_HEAT_PUMP ? side(usd[TUFA_PRICE_UNIT_HEAT_PUMP], k) - side(usd[TUFA_PRICE_UNIT_ELECTRIC], k) : 0.0;
    return side(usd[gas ? TUFA_PRICE_INSTALLED_GAS : TUFA_PRICE_INSTALLED_ELECTRIC], k) + more + (gas ? side(usd[TUFA_PRICE_TO_GAS], k) : 0.0) +
           (circuit ? side(usd[TUFA_PRICE_TO_ELECTRIC], k) : 0.0);
}

static tufa_value exactly(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

/* The money stage charges a replacement with the unit and own hours: for an owner who has it done, both become the usual price. */
static void price_replacement(const tufa_quote_in *in, tufa_money_in *m)
{
    tufa_value *unit = &m->prices.usd[unit_price(fuel_of(in))], usual = m->prices.usd[installed_price(fuel_of(in))];
    double hours = tufa_choice_at(TUFA_CHOICE_REPLACE)->hours.mid - BEING_THERE_HOURS, own = hours * m->prices.usd[TUFA_PRICE_OWN_HOUR].mid;
    int like = in->what == TUFA_QUOTE_REPLACE && !is_other(in);
    if (like && in->by_himself) return;
    if (!like && fuel_of(in) == TUFA_ELECTRIC) return; /* replacing is not what is quoted: his own way */
    *unit = exactly(fmax(1.0, usual.mid - own));
}

static double trip_usd(const tufa_money_in *m)
{
    double share = m->trip_share.basis == TUFA_BASIS_NONE ? 1.0 : m->trip_share.mid;
    return share * m->prices.usd[TUFA_PRICE_MILE].mid * m->prices.usd[TUFA_PRICE_TRIP].mid;
}

/* Another heater is set: by its like, or by one of another kind. */
static int is_replacement(int c)
{
    return c == TUFA_CHOICE_REPLACE || c == TUFA_CHOICE_TO_GAS || c == TUFA_CHOICE_TO_ELECTRIC || c == TUFA_CHOICE_TO_HEAT_PUMP;
}

static double cost_of(const tufa_money_year *y, int c)
{
    const tufa_money_option *o = &y->option[c];
    return o->mean_done_usd + (is_replacement(c) ? 0.0 : fmin(0.0, o->waiting_usd));
}

/* The cheapest course, `but` left out, and never LOOK: it is no course of its own. */
static double least_usd(const tufa_money_year *y, int but, int also_but, int *which)
{
    double least = HUGE_VAL;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (!y->option[c].possible || !y->option[c].allowed || c == TUFA_CHOICE_LOOK || c == but || c == also_but || cost_of(y, c) >= least) continue;
        least = cost_of(y, c);
        if (which) *which = c;
    }
    return least;
}

/* The cheapest course that sets another heater, or that keeps this one; `but` left out. */
static double least_of_kind(const tufa_money_year *y, int replacement, int but, int *which)
{
    double least = HUGE_VAL;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (!y->option[c].possible || !y->option[c].allowed || c == TUFA_CHOICE_LOOK || c == but || is_replacement(c) != replacement || cost_of(y, c) >= least) continue;
        least = cost_of(y, c);
        *which = c;
    }
    return least;
}

static const tufa_repair *repair_of(const tufa_quote_in *in) { return in->repair >= 0 ? tufa_fault_repair_at((size_t)in->repair) : NULL; }

/* The course of the money stage that the quoted work is; COUNT: none, the heater does not work without it. */
static tufa_choice chosen(const tufa_quote_in *in)
{
    const tufa_repair *r = repair_of(in);
    if (in->what == TUFA_QUOTE_REPLACE) return in->kind;
    if (in->what == TUFA_QUOTE_CLEAN) return TUFA_CHOICE_CLEAN;
    return in->what == TUFA_QUOTE_REPAIR && r && strcmp(r->id, "anode") == 0 ? TUFA_CHOICE_ANODE : TUFA_CHOICE_COUNT;
}

static double repair_hours(const tufa_quote_in *in)
{
    const tufa_repair *r = repair_of(in);
    if (in->what == TUFA_QUOTE_CLEAN) return tufa_choice_at(TUFA_CHOICE_CLEAN)->hours.mid;
    return r ? r->minutes / 60.0 : 1.0;
}

/* By somebody else: the first hour is the service call, further hours are charged alike; a part at about twice its price over the
 * counter (common practice, no source). */
static void usual_usd(const tufa_quote_in *in, const tufa_prices *p, double usd[3])
{
    tufa_value call = p->usd[TUFA_PRICE_SERVICE_CALL], whole = p->usd[installed_price(fuel_of(in))];
    const tufa_repair *r = repair_of(in);
    double hours = fmax(1.0, repair_hours(in)), part[3] = {0.0, 0.0, 0.0};
    memset(usd, 0, 3 * sizeof *usd);
    if (in->what == TUFA_QUOTE_TREATMENT) return;
    if (in->what == TUFA_QUOTE_REPLACE) {
        double sized[3], plain[3];
        tufa_quote_usual(TUFA_LINE_HEATER, quoted_fuel(in), in->money.ahead->heater.field[TUFA_HEATER_VOLUME].mid, sized);
        tufa_quote_usual(TUFA_LINE_HEATER, quoted_fuel(in), 0.0, plain);
        for (int k = 0; k < 3; k++) usd[k] = (is_other(in) ? other_installed_usd(in, p, k) : side(whole, k)) + sized[k] - plain[k];
        return;
    }
    if (in->what == TUFA_QUOTE_REPAIR && r) part[0] = r->part_usd_lo, part[1] = r->part_usd_lo + r->part_usd_hi, part[2] = 2.0 * r->part_usd_hi;
    else if (in->what == TUFA_QUOTE_REPAIR) tufa_quote_usual(TUFA_LINE_PART, fuel_of(in), 0.0, part);
    usd[0] = call.lo + part[0];
    usd[1] = call.mid * hours + part[1];
    usd[2] = call.hi * hours + part[2];
}

/* Present worth of `years` of warranty: on a tank, of the leaks that fall into it; on a part, of its next failures. */
static tufa_status warranty_usd(const tufa_quote_in *in, const tufa_money_in *m, double years, double *usd)
{
    double r = fmax(1e-4, m->prices.usd[TUFA_PRICE_DISCOUNT].mid), worth = 0.0;
    tufa_weibull life;
    RETURN_IF(tufa_weibull_from_mean(m->life.mean_years.mid, m->life.shape.mid, &life));
    double pays = in->what == TUFA_QUOTE_REPLACE ? WARRANTY_PAYS * m->prices.usd[quoted_unit(in)].mid
                                                 : m->prices.usd[TUFA_PRICE_SERVICE_CALL].mid;
    for (double t = 0.0; t < years; t += 1.0) {
        double step = fmin(1.0, years - t);
        double fails = in->what == TUFA_QUOTE_REPLACE ? tufa_weibull_survival(&life, t) - tufa_weibull_survival(&life, t + step)
                                                      : SAME_PART_A_YEAR * step;
        worth += fails * pays * pow(1.0 + r, -(t + 0.5 * step));
    }
    *usd = in->what == TUFA_QUOTE_REPLACE || in->what == TUFA_QUOTE_REPAIR ? worth : 0.0;
    return OK;
}

static tufa_status price_warranty(const tufa_quote_in *in, point *p)
{
    double usual = 0.0, own = 0.0;
    p->warranty_usd = 0.0;
    if (in->warranty_years < 0.0) return OK;
    RETURN_IF(warranty_usd(in, &p->money, in->warranty_years, &own));
    if (in->what == TUFA_QUOTE_REPLACE) RETURN_IF(warranty_usd(in, &p->money, USUAL_WARRANTY_YEARS, &usual));
    p->warranty_usd = own - usual;
    return OK;
}

/* The price of the same work done otherwise. */
static double same_usd(const tufa_quote_in *in, const point *p, tufa_choice c)
{
    double usd[3];
    const tufa_repair *r = repair_of(in);
    if (in->what == TUFA_QUOTE_TREATMENT) return -1.0;
    if (in->what == TUFA_QUOTE_REPLACE && (in->by_himself || !is_other(in))) return p->year.option[c].spend_now_usd - p->overhead_usd;
    if (in->by_himself && c != TUFA_CHOICE_COUNT) return p->year.option[c].spend_now_usd - p->overhead_usd;
    if (in->by_himself && r) return 0.5 * (r->part_usd_lo + r->part_usd_hi) + (r->minutes / 60.0 - BEING_THERE_HOURS) * p->money.prices.usd[TUFA_PRICE_OWN_HOUR].mid;
    usual_usd(in, &p->money.prices, usd);
    return usd[1];
}

static tufa_status price_point(const tufa_quote_in *in, point *p)
{
    tufa_choice c = chosen(in);
    int kept;
    const tufa_money_year *y = &p->year;
    p->overhead_usd = BEING_THERE_HOURS * p->money.prices.usd[TUFA_PRICE_OWN_HOUR].mid + trip_usd(&p->money);
    RETURN_IF(price_warranty(in, p));
    p->same_usd = same_usd(in, p, c);
    if (in->leaking == 1 && in->what != TUFA_QUOTE_REPLACE) p->base_usd = cost_of(y, TUFA_CHOICE_REPLACE); /* it is lost with the tank */
    else if (in->what == TUFA_QUOTE_TREATMENT) {
        const tufa_treatment_row *t = tufa_treatment_at(in->treatment);
        double keeps = t && t->evidence == TUFA_EVIDENCE_MEASURED ? t->removes : 0.0, least = least_usd(y, -1, -1, NULL);
        p->base_usd = least - keeps * p->treats_usd;
    } else if (c != TUFA_CHOICE_COUNT)
        p->base_usd = y->option[c].mean_done_usd - y->option[c].spend_now_usd + p->overhead_usd - p->warranty_usd;
    else p->base_usd = least_of_kind(y, 0, -1, &kept) + p->overhead_usd - p->warranty_usd;
    return OK;
}

/* Cost of one alternative: a course of the money stage, or SAME. */
static double instead_usd(const tufa_quote_in *in, const point *p, int alternative)
{
    if (alternative != SAME) return cost_of(&p->year, alternative);
    double now = p->base_usd + p->warranty_usd + p->same_usd;
    tufa_choice c = chosen(in);
    return c != TUFA_CHOICE_COUNT && !is_replacement((int)c) ? now + fmin(0.0, p->year.option[c].waiting_usd) : now;
}

static int best_instead(const tufa_quote_in *in, const point *p)
{
    tufa_choice c = chosen(in);
    int best = TUFA_CHOICE_REPLACE;
    if (in->leaking == 1 && in->what != TUFA_QUOTE_REPLACE) return TUFA_CHOICE_REPLACE;
    if (in->leaking == 1) return least_of_kind(&p->year, 1, (int)c, &best) < instead_usd(in, p, SAME) ? best : SAME;
    if (in->what == TUFA_QUOTE_REPAIR && c == TUFA_CHOICE_COUNT) { /* without it there is no hot water */
        double other = least_of_kind(&p->year, 1, -1, &best);
        return p->same_usd >= 0.0 && instead_usd(in, p, SAME) <= other ? SAME : best;
    }
    double least = least_usd(&p->year, in->what == TUFA_QUOTE_TREATMENT ? -1 : (int)c, -1, &best);
    return in->what != TUFA_QUOTE_TREATMENT && p->same_usd >= 0.0 && instead_usd(in, p, SAME) <= least ? SAME : best;
}

/* ---- many points: the range ---- */

/* What it would save if no more scale came. Both problems are solved without end; of an even yearly saving without end, money.years
 * are this share. What the years hold by themselves cannot be compared: what stands at their end differs. */
static tufa_status look_without_scale(const tufa_money_in *m, double with_usd, tufa_arena *arena, double *treats_usd)
{
    size_t used = arena->used;
    tufa_ahead still = *m->ahead;
    tufa_money_in in = *m;
    tufa_money_year y;
    still.draw_kg_year = tufa_arena_take(arena, still.draws, sizeof(double));
    still.draw_scale_rise_K = tufa_arena_take(arena, still.draws, sizeof(double));
    if (!still.draw_kg_year || !still.draw_scale_rise_K) return trouble(TUFA_MEMORY, "arena", NULL);
    in.ahead = &still;
    tufa_status st = tufa_money_look(&in, arena, &y);
    arena->used = used;
    double share = -expm1(-m->years * log1p(fmax(1e-4, m->prices.usd[TUFA_PRICE_DISCOUNT].mid)));
    if (st.code == TUFA_OK) *treats_usd = fmax(0.0, with_usd - y.best_present_usd) * share;
    return st;
}

static tufa_status look_at(const tufa_quote_in *in, tufa_arena *arena, point *p)
{
    price_replacement(in, &p->money);
    RETURN_IF(tufa_money_look(&p->money, arena, &p->year));
    if (in->what == TUFA_QUOTE_TREATMENT) RETURN_IF(look_without_scale(&p->money, p->year.best_present_usd, arena, &p->treats_usd));
    return price_point(in, p);
}

typedef struct cloud {
    size_t n;
    double even[POINTS], signal[WEIGHED][POINTS];
} cloud;

/* The year, and each choice in every draw: a policy that knows no more than the owner, paid by what each draw holds. */
typedef struct drawn {
    tufa_money_year year;
    double *usd[TUFA_CHOICE_COUNT], *spend[TUFA_CHOICE_COUNT];
} drawn;

static tufa_status look_drawn(const tufa_money_in *m, tufa_arena *arena, drawn *d)
{
    tufa_money_in in = *m;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        in.draw_usd[c] = d->usd[c] = tufa_arena_take(arena, m->ahead->draws, sizeof(double));
        in.draw_spend_usd[c] = d->spend[c] = tufa_arena_take(arena, m->ahead->draws, sizeof(double));
        if (!d->usd[c] || !d->spend[c]) return trouble(TUFA_MEMORY, "arena", NULL);
    }
    return tufa_money_look(&in, arena, &d->year);
}

static tufa_money_year year_of_draw(const drawn *d, size_t i)
{
    tufa_money_year y = d->year;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (!y.option[c].possible || c == TUFA_CHOICE_LOOK) continue;
        y.option[c].mean_done_usd = d->usd[c][i];
        y.option[c].spend_now_usd = d->spend[c][i];
    }
    return y;
}

/* As price_replacement, with the spread that the usual price has. */
static void price_replacement_widely(const tufa_quote_in *in, tufa_money_in *m)
{
    tufa_value *unit = &m->prices.usd[unit_price(fuel_of(in))], usual = m->prices.usd[installed_price(fuel_of(in))];
    double before = unit->mid;
    price_replacement(in, m);
    if (unit->mid == before) return;
    double own = usual.mid - unit->mid;
    *unit = (tufa_value){unit->mid, fmax(1.0, usual.lo - own), fmax(unit->mid, usual.hi - own), usual.basis};
    if (unit->lo > unit->mid) unit->lo = unit->mid;
}

static void signals(const tufa_quote_in *in, const point *p, size_t i, size_t k, cloud *c)
{
    const tufa_ahead *a = in->money.ahead;
    double bed = log(fmax(1e-3, a->draw_kg[i]) / fmax(1e-3, a->draw_trouble_kg[i]));
    double error = tufa_sharpen_at(TUFA_SHARPEN_HEIGHT)->log_sd * tufa_normal(in->money.key, STREAM_POINT + 910, k);
    c->signal[TUFA_ASK_AGE][k] = log(fmax(0.1, a->draw_age_years[i]));
    c->signal[TUFA_ASK_BED][k] = bed + error;
    c->signal[TUFA_ASK_WHERE][k] = tufa_money_damage_draw(&in->money, i);
    c->signal[TUFA_ASK_OWN_PRICE][k] = in->by_himself ? p->money.prices.usd[quoted_unit(in)].mid : 0.0;
}

/* Scale makes the more trouble the more of it comes: what stopping it saves is taken in proportion to it. */
static double share_of_scale(const tufa_ahead *a, size_t i)
{
    double sum = 0.0;
    for (unsigned k = 0; k < a->draws; k++) sum += fmax(0.0, a->draw_kg_year[k]) / a->draws;
    return sum > 0.0 ? fmax(0.0, a->draw_kg_year[i]) / sum : 0.0;
}

static tufa_status scatter(const tufa_quote_in *in, int alternative, double treats_usd, tufa_arena *arena, cloud *c)
{
    unsigned all = in->money.ahead->draws;
    size_t used = arena->used;
    tufa_money_in m = in->money;
    drawn now;
    price_replacement_widely(in, &m);
    RETURN_IF(look_drawn(&m, arena, &now));
    c->n = all < POINTS ? all : POINTS;
    for (size_t k = 0; k < c->n; k++) {
        size_t i = k * (all / c->n);
        point p = {.money = m, .year = year_of_draw(&now, i), .treats_usd = treats_usd * share_of_scale(in->money.ahead, i)};
        for (int price = 0; price < TUFA_PRICE_COUNT; price++) p.money.prices.usd[price] = exactly(fmax(0.0, tufa_money_price_draw(&m, (tufa_price)price, i)));
        RETURN_IF(price_point(in, &p));
        c->even[k] = instead_usd(in, &p, alternative) - p.base_usd;
        signals(in, &p, i, k, c);
    }
    arena->used = used;
    return OK;
}

/* ---- the answer ---- */

static tufa_band band(size_t n, const double *v, double mean)
{
    double sorted[POINTS];
    memcpy(sorted, v, n * sizeof *v);
    tufa_band b = {.p10 = tufa_quantile(n, sorted, 0.1), .p50 = mean};
    b.p90 = tufa_quantile(n, sorted, 0.9);
    b.p10 = fmin(b.p10, mean);
    b.p90 = fmax(b.p90, mean);
    return b;
}

/* Worth of knowing a signal before saying yes or no: in groups by what it shows, the better answer of each; less the better answer
 * without it. The points are moved so that their mean is the break-even. */
static double worth_of(const cloud *c, const double *signal, double even, double price)
{
    size_t order[POINTS], n = c->n;
    double mean = 0.0, with = 0.0;
    for (size_t k = 0; k < n; k++) {
        size_t at = k;
        for (; at > 0 && signal[order[at - 1]] > signal[k]; at--) order[at] = order[at - 1];
        order[at] = k;
        mean += c->even[k] / (double)n;
    }
    if (n < 2 * GROUPS || signal[order[0]] >= signal[order[n - 1]]) return 0.0;
    for (size_t g = 0; g < GROUPS; g++) {
        size_t from = g * n / GROUPS, to = (g + 1) * n / GROUPS;
        double sum = 0.0;
        for (size_t k = from; k < to; k++) sum += c->even[order[k]] - mean + even - price;
        with += fmax(0.0, sum) / (double)n;
    }
    return with - fmax(0.0, even - price);
}

static void add_ask(tufa_quote *q, tufa_quote_ask a, tufa_quote_line l, double worth)
{
    if (q->asks == TUFA_QUOTE_ASKS) return;
    q->ask[q->asks].ask = a;
    q->ask[q->asks].line = l;
    q->ask[q->asks++].worth_usd = worth;
}

static int answers_itself(const tufa_quote_in *in, tufa_quote_ask a)
{
    tufa_value age = in->money.ahead->heater.field[TUFA_HEATER_AGE];
    if (a == TUFA_ASK_AGE) return age.hi - age.lo < AGE_IS_KNOWN_YEARS;
    if (a == TUFA_ASK_WHERE) return in->money.leak_damage_chance.basis != TUFA_BASIS_NONE;
    return a == TUFA_ASK_OWN_PRICE && (in->what != TUFA_QUOTE_REPLACE || !in->by_himself);
}

static double ask_weighed(const tufa_quote_in *in, const cloud *c, tufa_quote *q)
{
    static const double WORTH_SAYING_USD = 10.0;
    double worth[WEIGHED], most = 0.0;
    for (int a = 0; a < WEIGHED; a++)
        worth[a] = answers_itself(in, (tufa_quote_ask)a) || in->leaking == 1 ? 0.0 : worth_of(c, c->signal[a], q->break_even_usd, q->price_usd);
    for (int rank = 0; rank < WEIGHED; rank++) {
        int best = 0;
        for (int a = 1; a < WEIGHED; a++)
            if (worth[a] > worth[best]) best = a;
        if (worth[best] < WORTH_SAYING_USD) break;
        most = fmax(most, worth[best]);
        add_ask(q, (tufa_quote_ask)best, TUFA_LINE_COUNT, worth[best]);
        worth[best] = 0.0;
    }
    return most;
}

/* What a line usually costs for the heater that is quoted; a heat pump by its price at the counter. */
static void usual_line(const tufa_quote_in *in, tufa_quote_line l, double usd[3])
{
    tufa_quote_usual(l, quoted_fuel(in), in->money.ahead->heater.field[TUFA_HEATER_VOLUME].mid, usd);
    if (l != TUFA_LINE_HEATER || quoted_unit(in) != TUFA_PRICE_UNIT_HEAT_PUMP) return;
    for (int k = 0; k < 3; k++) usd[k] = side(in->money.prices.usd[TUFA_PRICE_UNIT_HEAT_PUMP], k);
}

static void ask_lines(const tufa_quote_in *in, tufa_quote *q)
{
    for (int need = TUFA_LINE_ALWAYS; need >= TUFA_LINE_MAYBE; need--)
        for (int l = 0; l < TUFA_LINE_COUNT; l++) {
            double usd[3];
            const tufa_quote_line_row *r = tufa_quote_line_at((tufa_quote_line)l);
            usual_line(in, (tufa_quote_line)l, usd);
            if ((int)r->need[in->what] != need || in->line_usd[l] >= 0.0 || !(usd[2] > 0.0)) continue;
            if (q->lines_usd > 0.0 || has_lines(in)) {
                add_ask(q, TUFA_ASK_LINE, (tufa_quote_line)l, 0.0);
                if (need == TUFA_LINE_ALWAYS) q->absent_usd += usd[1];
            }
        }
}

static void ask_rest(const tufa_quote_in *in, tufa_quote *q)
{
    int lines = has_lines(in);
    const tufa_treatment_row *t = tufa_treatment_at(in->treatment);
    if (in->what == TUFA_QUOTE_TREATMENT && !(t && t->evidence == TUFA_EVIDENCE_MEASURED)) add_ask(q, TUFA_ASK_PROOF, TUFA_LINE_COUNT, 0.0);
    if ((in->what == TUFA_QUOTE_REPLACE && in->leaking != 1) || in->what == TUFA_QUOTE_REPAIR) add_ask(q, TUFA_ASK_READING, TUFA_LINE_COUNT, 0.0);
    if (in->what == TUFA_QUOTE_REPLACE && in->leaking != 1) add_ask(q, TUFA_ASK_REPAIR, TUFA_LINE_COUNT, 0.0);
    if (in->what == TUFA_QUOTE_REPAIR && in->repair < 0) add_ask(q, TUFA_ASK_PART, TUFA_LINE_COUNT, 0.0);
    if (in->what == TUFA_QUOTE_REPLACE && !lines) add_ask(q, TUFA_ASK_INCLUDED, TUFA_LINE_COUNT, 0.0);
    if (lines) ask_lines(in, q);
    if (in->line_usd[TUFA_LINE_CODE] > 0.0) add_ask(q, TUFA_ASK_CLAUSE, TUFA_LINE_CODE, 0.0);
    if (lines && fabs(q->price_usd - q->lines_usd) >= 1.0) add_ask(q, TUFA_ASK_UNEXPLAINED, TUFA_LINE_COUNT, 0.0);
    if (in->what == TUFA_QUOTE_REPLACE && (in->warranty_years < 0.0 || in->warranty_years > USUAL_WARRANTY_YEARS))
        add_ask(q, TUFA_ASK_WARRANTY, TUFA_LINE_COUNT, 0.0);
}

static tufa_quote_mark mark(double usd, const double usual[3])
{
    if (!(usual[2] > 0.0)) return TUFA_MARK_NO_RANGE;
    return usd < usual[0] ? TUFA_MARK_LOW : usd > usual[2] ? TUFA_MARK_HIGH : TUFA_MARK_USUAL;
}

static void mark_all(const tufa_quote_in *in, tufa_quote *q)
{
    const tufa_repair *r = repair_of(in);
    usual_usd(in, &in->money.prices, q->usual_usd);
    q->mark = mark(q->price_usd, q->usual_usd);
    for (int l = 0; l < TUFA_LINE_COUNT; l++) {
        double usd[3];
        usual_line(in, (tufa_quote_line)l, usd);
        if (l == TUFA_LINE_PART && r) usd[0] = r->part_usd_lo, usd[2] = 2.0 * r->part_usd_hi;
        q->line_mark[l] = in->line_usd[l] < 0.0 ? TUFA_MARK_ABSENT : mark(in->line_usd[l], usd);
    }
}

static tufa_quote_says by_money(const tufa_quote *q, double worth)
{
    double margin = fmax(MARGIN_USD, MARGIN_SHARE * q->price_usd);
    if (worth < ASK_WORTH_USD && q->gain_usd >= margin && q->better_share >= SURE_SHARE) return TUFA_QUOTE_TAKE;
    if (worth < ASK_WORTH_USD && q->gain_usd <= -margin && q->better_share <= 1.0 - SURE_SHARE) return TUFA_QUOTE_NO;
    return TUFA_QUOTE_ASK_FIRST;
}

static void say_money(tufa_quote *q, double worth)
{
    q->says = by_money(q, worth);
    q->reason = q->says == TUFA_QUOTE_TAKE ? TUFA_QUOTE_REASON_CHEAPEST : q->says == TUFA_QUOTE_NO ? TUFA_QUOTE_REASON_DEARER : TUFA_QUOTE_REASON_CLOSE;
    if (q->says != TUFA_QUOTE_TAKE || q->gain_usd - q->absent_usd > 0.0) return;
    q->says = TUFA_QUOTE_ASK_FIRST;
    q->reason = TUFA_QUOTE_REASON_LINES_MISSING;
}

static void say_treatment(const tufa_quote_in *in, tufa_quote *q)
{
    const tufa_treatment_row *t = tufa_treatment_at(in->treatment);
    tufa_evidence evidence = t ? t->evidence : TUFA_EVIDENCE_NONE;
    if (evidence == TUFA_EVIDENCE_MEASURED) { /* what it uses up is not in the price */
        if (q->says == TUFA_QUOTE_TAKE) q->says = TUFA_QUOTE_ASK_FIRST;
        return;
    }
    int too_dear = q->price_usd > q->treats_all_usd;
    q->says = evidence == TUFA_EVIDENCE_MIXED && !too_dear ? TUFA_QUOTE_ASK_FIRST : TUFA_QUOTE_NO;
    q->reason = evidence == TUFA_EVIDENCE_NONE ? TUFA_QUOTE_REASON_NO_EVIDENCE
                : too_dear ? TUFA_QUOTE_REASON_TREATS_TOO_DEAR : TUFA_QUOTE_REASON_SOME_EVIDENCE;
}

/* 1 where the quoted repair is what mends the danger. */
static int mends_danger(const tufa_quote_in *in)
{
    const tufa_repair *r = repair_of(in);
    if (in->what != TUFA_QUOTE_REPAIR || !r) return 0;
    return (in->limit_failed == 1 && strcmp(r->id, "tstat_upper") == 0) || (in->flue_unsafe == 1 && strcmp(r->id, "flue") == 0);
}

/* Whatever the money says. */
static void say_must(const tufa_quote_in *in, tufa_quote *q)
{
    q->must_refer = in->limit_failed == 1 || in->flue_unsafe == 1;
    q->must_replace = in->leaking == 1;
    if (q->must_refer) {
        q->reason = TUFA_QUOTE_REASON_REFER_FIRST;
        if (mends_danger(in) ? q->says == TUFA_QUOTE_NO : q->says == TUFA_QUOTE_TAKE) q->says = TUFA_QUOTE_ASK_FIRST;
    }
    if (q->must_replace && in->what == TUFA_QUOTE_REPLACE) {
        q->reason = TUFA_QUOTE_REASON_MUST_REPLACE;
        if (q->says == TUFA_QUOTE_NO) q->says = TUFA_QUOTE_ASK_FIRST;
    } else if (q->must_replace) {
        q->reason = TUFA_QUOTE_REASON_WASTED_ON_LEAK;
        q->says = TUFA_QUOTE_NO;
    }
    if (in->leaking == -1 && in->what == TUFA_QUOTE_REPLACE && q->says == TUFA_QUOTE_NO) {
        q->says = TUFA_QUOTE_ASK_FIRST;
        q->reason = TUFA_QUOTE_REASON_LEAK_UNKNOWN;
    }
}

/* A heater that the house does not allow, or is not known to allow. */
static void say_house(const tufa_quote_in *in, tufa_quote *q)
{
    if (!is_other(in) || in->kind_allowed == 1) return;
    if (in->kind_allowed == 0) {
        q->says = q->must_replace ? TUFA_QUOTE_ASK_FIRST : TUFA_QUOTE_NO;
        q->reason = TUFA_QUOTE_REASON_NOT_ALLOWED;
    } else if (q->says == TUFA_QUOTE_TAKE) {
        q->says = TUFA_QUOTE_ASK_FIRST;
        q->reason = TUFA_QUOTE_REASON_HOUSE_UNKNOWN;
    }
}

static void fill(const tufa_quote_in *in, const point *p, int alternative, const cloud *c, tufa_quote *q)
{
    q->lines_usd = sum_of_lines(in);
    q->price_usd = in->price_usd >= 0.0 ? in->price_usd : q->lines_usd;
    q->instead_same = alternative == SAME;
    q->instead = alternative == SAME ? chosen(in) : (tufa_choice)alternative;
    q->instead_usd = instead_usd(in, p, alternative);
    q->quote_usd = p->base_usd + q->price_usd;
    q->break_even_usd = q->instead_usd - p->base_usd;
    q->gain_usd = q->break_even_usd - q->price_usd;
    q->same_usd = p->same_usd;
    q->warranty_usd = p->warranty_usd;
    q->break_even_range_usd = band(c->n, c->even, q->break_even_usd);
    q->gain_range_usd = (tufa_band){q->break_even_range_usd.p10 - q->price_usd, q->gain_usd, q->break_even_range_usd.p90 - q->price_usd};
    for (size_t k = 0; k < c->n; k++) q->better_share += (c->even[k] >= q->price_usd) / (double)c->n;
    if (in->what == TUFA_QUOTE_TREATMENT) q->treats_all_usd = p->treats_usd;
    mark_all(in, q);
    if (in->leaking == -1 && in->what != TUFA_QUOTE_TREATMENT) add_ask(q, TUFA_ASK_LEAKING, TUFA_LINE_COUNT, 0.0);
    if (is_other(in) && in->kind_allowed == -1) add_ask(q, TUFA_ASK_HOUSE, TUFA_LINE_COUNT, 0.0);
    double worth = ask_weighed(in, c, q);
    ask_rest(in, q);
    say_money(q, worth);
    if (in->what == TUFA_QUOTE_TREATMENT) say_treatment(in, q);
    say_must(in, q);
    say_house(in, q);
}

/* The middle: prices that the owner would see on the day are taken at their middles, the rest stays as wide as it is. */
static void middle_prices(tufa_money_in *m)
{
    static const tufa_price SEEN[] = {TUFA_PRICE_UNIT_ELECTRIC, TUFA_PRICE_UNIT_GAS, TUFA_PRICE_OWN_HOUR, TUFA_PRICE_MILE, TUFA_PRICE_TRIP,
                                      TUFA_PRICE_ANODE, TUFA_PRICE_SERVICE_CALL, TUFA_PRICE_INSTALLED_ELECTRIC, TUFA_PRICE_INSTALLED_GAS};
    for (size_t k = 0; k < sizeof SEEN / sizeof SEEN[0]; k++) m->prices.usd[SEEN[k]] = exactly(m->prices.usd[SEEN[k]].mid);
}

size_t tufa_quote_bytes(unsigned draws) { return tufa_money_bytes(draws) + sizeof(cloud) + (4 * TUFA_CHOICE_COUNT + 6) * (8 * (size_t)draws + 128) + 256; }

tufa_status tufa_quote_look(const tufa_quote_in *in, tufa_arena *arena, tufa_quote *out)
{
    RETURN_IF(check(in));
    size_t used = arena->used;
    point p = {.money = in->money};
    tufa_quote q = {0};
    cloud *c = tufa_arena_take(arena, 1, sizeof *c);
    if (!c) return trouble(TUFA_MEMORY, "arena", NULL);
    middle_prices(&p.money);
    tufa_status st = look_at(in, arena, &p);
    int alternative = st.code == TUFA_OK ? best_instead(in, &p) : SAME;
    if (st.code == TUFA_OK) st = scatter(in, alternative, p.treats_usd, arena, c);
    if (st.code == TUFA_OK) {
        fill(in, &p, alternative, c, &q);
        *out = q;
    }
    arena->used = used;
    return st;
}
