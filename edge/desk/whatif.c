#include "edge/desk/whatif.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "edge/desk/find.h"
#include "edge/desk/learned.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

static const double USUAL_K = 322.0388888888889; /* 120 F */
static const double DAYS = 365.0, HOUR_S = 3600.0, YEAR_S = 31557600.0, SOLVER_SECONDS = 1.5;

const char *whatif_key(whatif_kind k)
{
    static const char *const KEYS[] = {"as planned", "second crew", "one water softened", "all setpoints changed", "cleaning stopped"};
    return KEYS[k];
}

typedef struct asker {
    desk *d;
    const whatif_ask *ask;
    whatif_answer *a;
    desk_rates rates;
    year_answer base;
    int64_t water;
} asker;

static double annuity(const asker *w)
{
    double r = w->rates.prices.usd[TUFA_PRICE_DISCOUNT].mid;
    return r > 0.0 ? (1.0 - pow(1.0 + r, -MONEY_YEARS)) / r : MONEY_YEARS;
}

/* ---- which water ---- */

typedef struct tally {
    store *s;
    int64_t today, id[256];
    size_t heaters[256], n;
    int64_t water, *house; /* houses on that water, each once */
    size_t houses, room;
} tally;

static tufa_status water_of(store *s, const heater_rec *h, int64_t *water)
{
    house_rec house;
    RETURN_IF(store_house_get(s, h->house, &house));
    *water = h->water ? h->water : house.water;
    return OK;
}

static bool can_be_softened(store *s, int64_t id)
{
    water_rec r;
    return id && store_water_get(s, id, &r).code == TUFA_OK && r.tap != TAP_SOFTENER;
}

static tufa_status count_water(void *ctx, const heater_rec *h)
{
    tally *t = ctx;
    int64_t water;
    if (!case_in_service(h, t->today)) return OK;
    RETURN_IF(water_of(t->s, h, &water));
    for (size_t i = 0; i < t->n; i++)
        if (t->id[i] == water) {
            t->heaters[i]++;
            return OK;
        }
    if (t->n == sizeof t->id / sizeof t->id[0] || !can_be_softened(t->s, water)) return OK;
    t->id[t->n] = water;
    t->heaters[t->n++] = 1;
    return OK;
}

static tufa_status count_house(void *ctx, const heater_rec *h)
{
    tally *t = ctx;
    int64_t water;
    if (!case_in_service(h, t->today)) return OK;
    RETURN_IF(water_of(t->s, h, &water));
    if (water != t->water) return OK;
    for (size_t i = 0; i < t->houses; i++)
        if (t->house[i] == h->house) return OK;
    if (t->houses == t->room) {
        size_t room = t->room ? 2 * t->room : 64;
        int64_t *grown = realloc(t->house, room * sizeof *grown);
        if (!grown) return trouble(TUFA_MEMORY, "houses", NULL);
        t->house = grown;
        t->room = room;
    }
    t->house[t->houses++] = h->house;
    return OK;
}

static tufa_status count_houses(asker *w)
{
    tally t = {.s = w->d->s, .today = w->d->today, .water = w->water};
    tufa_status st = store_heater_each(w->d->s, count_house, &t);
    w->a->of[WHATIF_SOFTENED].houses = t.houses;
    free(t.house);
    return st;
}

static tufa_code choose_water(asker *w, text *near, trouble_note *note)
{
    tally t = {.s = w->d->s, .today = w->d->today};
    if (w->ask->water) {
        tufa_code code = desk_find(w->d, THING_WATER, w->ask->water, &w->water, near, note);
        if (code != TUFA_OK) return code;
        if (!can_be_softened(w->d->s, w->water)) {
            note_set(note, TUFA_REFUSED, "water", w->ask->water, "", "this one comes out of a softener already");
            return TUFA_REFUSED;
        }
    }
    tufa_status st = store_heater_each(w->d->s, count_water, &t);
    for (size_t i = 0, most = 0; st.code == TUFA_OK && i < t.n; i++) {
        if (w->ask->water ? t.id[i] != w->water : t.heaters[i] <= most) continue;
        w->water = t.id[i];
        most = w->a->of[WHATIF_SOFTENED].heaters = t.heaters[i];
    }
    if (st.code == TUFA_OK && w->water) st = store_thing_label(w->d->s, THING_WATER, w->water, w->a->water);
    if (st.code == TUFA_OK && w->water) st = count_houses(w);
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}

/* ---- one case ---- */

static void add_band(tufa_band *sum, const tufa_band *x)
{
    sum->p10 += x->p10;
    sum->p50 += x->p50;
    sum->p90 += x->p90;
}

/* Hours of the rounds that are not the first of their day. */
static double second_hours(const rounds_answer *r)
{
    double hours = 0.0;
    for (size_t i = 1; i < r->rounds; i++)
        if (r->round[i].day == r->round[i - 1].day) hours += r->round[i].end_s / HOUR_S;
    return hours;
}

static tufa_status cost_of(asker *w, const year_answer *y, int more_crews, whatif_case *c)
{
    rounds_answer r;
    rounds_ask ask = {.year = y, .seconds = SOLVER_SECONDS, .more_crews = more_crews, .cancelled = w->ask->cancelled, .ctx = w->ask->ctx};
    RETURN_IF(desk_rounds(w->d, &ask, &r));
    c->possible = true;
    for (size_t i = 0; i < y->n; i++) add_band(&c->heaters_usd, &y->row[i].policy_usd), c->endless_usd += y->row[i].endless_usd;
    double undone = 0.0;
    for (size_t i = r.placed; i < r.visits; i++) {
        if (r.visit[i].out != ROUNDS_ROOM) continue;
        c->no_room++;
        undone += DAYS * r.visit[i].wait_usd_day;
    }
    c->visits = r.visits;
    c->rounds_usd = annuity(w) * (r.wait_usd + undone) + r.entry_usd + r.ready_usd;
    if (more_crews) c->own_hours = second_hours(&r);
    rounds_free(&r);
    return OK;
}

static tufa_status changed(asker *w, const year_change *change, whatif_case *c)
{
    year_answer y;
    year_ask ask = {.change = change, .progress = w->ask->progress, .cancelled = w->ask->cancelled, .ctx = w->ask->ctx};
    RETURN_IF(desk_year(w->d, &ask, &y));
    tufa_status st = cost_of(w, &y, 0, c);
    year_free(&y);
    return st;
}

/* Heat lost to the room grows with the setpoint, and so does that of what a machine fills itself with; who mixes at the tap draws
 * the same heat. */
static double standby_usd(const asker *w, double setpoint_K)
{
    static const double WATER_J_L_K = 4130.0; /* at 50 deg C */
    double cold_K = tufa_site_default().inlet_mean_K.mid;
    static const double PROPANE_J_GAL = 91500.0 * 1055.05585262, RECOVERY = 0.76; /* as in the money stage; of a gas tank, common practice */
    const tufa_value *p = w->rates.prices.usd;
    double usd_J[TUFA_FUEL_COUNT] = {[TUFA_ELECTRIC] = p[TUFA_PRICE_ELECTRICITY].mid / 3.6e6,
                                     [TUFA_GAS] = p[TUFA_PRICE_GAS].mid / J_from_therm(1.0) / RECOVERY,
                                     [TUFA_PROPANE] = p[TUFA_PRICE_PROPANE].mid / PROPANE_J_GAL / RECOVERY};
    double sum = 0.0;
    for (size_t i = 0; i < w->base.n; i++) {
        const year_row *r = &w->base.row[i];
        double now_K = (double)r->hot.setpoint_K, lost_W = (double)r->loss_W_K * (setpoint_K - now_K);
        double warmer_K = tufa_mixed_litres(now_K, setpoint_K, cold_K) * (setpoint_K - cold_K) - (now_K - cold_K);
        sum += YEAR_S * (lost_W + WATER_J_L_K * (double)r->litres_day / 86400.0 * warmer_K) * usd_J[r->fuel];
    }
    return annuity(w) * sum;
}

/* ---- what the change itself costs ---- */

/* Sums of independent prices: their middles add up, their ranges as squares do (first order). */
typedef struct bill_sum {
    double mid, down2, up2;
} bill_sum;

static void add_price(bill_sum *s, double times, tufa_value x)
{
    s->mid += times * x.mid;
    s->down2 += times * times * (x.mid - x.lo) * (x.mid - x.lo);
    s->up2 += times * times * (x.hi - x.mid) * (x.hi - x.mid);
}

static tufa_band band_of(const bill_sum *s)
{
    return (tufa_band){.p10 = fmax(0.0, s->mid - sqrt(s->down2)), .p50 = s->mid, .p90 = s->mid + sqrt(s->up2)};
}

/* How often a thing of that life is bought within the years, now the first time, in present purchases. */
static double purchases(const asker *w, double life_years)
{
    double n = 0.0, rate = w->rates.prices.usd[TUFA_PRICE_DISCOUNT].mid;
    for (double t = 0.0; t < MONEY_YEARS; t += fmax(1.0, life_years)) n += pow(1.0 + rate, -t);
    return n;
}

/* One softener a house, bought and fitted by himself; salt, upkeep and rinsing water each year. Nothing is credited at the end of the
 * years, as nowhere else. */
static tufa_band softener_cost(const asker *w, size_t houses)
{
    const tufa_value *p = w->rates.prices.usd, life = p[TUFA_PRICE_SOFTENER_YEARS];
    double n = (double)houses, bought = purchases(w, life.mid), hours = tufa_choice_at(TUFA_CHOICE_SOFTEN)->hours.mid;
    bill_sum s = {0};
    add_price(&s, n * bought, p[TUFA_PRICE_SOFTENER]);
    add_price(&s, n * bought * hours, p[TUFA_PRICE_OWN_HOUR]);
    add_price(&s, n * annuity(w), p[TUFA_PRICE_SALT]);
    add_price(&s, n * annuity(w), p[TUFA_PRICE_SOFTENER_WATER]);
    double each = p[TUFA_PRICE_SOFTENER].mid + hours * p[TUFA_PRICE_OWN_HOUR].mid;
    add_price(&s, n, (tufa_value){.mid = 0.0, .lo = -each * fmax(0.0, bought - purchases(w, life.hi)), .hi = each * fmax(0.0, purchases(w, life.lo) - bought)});
    return band_of(&s);
}

/* Paid for the rounds it drives, which then are no own hours, and its van and tools all year. Where it drives none nobody is hired. */
static tufa_band crew_cost(const asker *w, double hours_a_year)
{
    const tufa_value *p = w->rates.prices.usd;
    bill_sum s = {0};
    if (hours_a_year <= 0.0) return (tufa_band){0};
    add_price(&s, annuity(w) * hours_a_year, p[TUFA_PRICE_CREW_HOUR]);
    add_price(&s, -annuity(w) * hours_a_year, p[TUFA_PRICE_OWN_HOUR]);
    add_price(&s, annuity(w), p[TUFA_PRICE_CREW_YEAR]);
    return band_of(&s);
}

static tufa_status all_cases(asker *w)
{
    whatif_case *of = w->a->of;
    RETURN_IF(cost_of(w, &w->base, 0, &of[WHATIF_AS_PLANNED]));
    RETURN_IF(cost_of(w, &w->base, 1, &of[WHATIF_SECOND_CREW]));
    of[WHATIF_SECOND_CREW].change_usd = crew_cost(w, of[WHATIF_SECOND_CREW].own_hours);
    if (w->water) RETURN_IF(changed(w, &(year_change){.soften_water = w->water}, &of[WHATIF_SOFTENED]));
    if (w->water) of[WHATIF_SOFTENED].change_usd = softener_cost(w, of[WHATIF_SOFTENED].houses);
    RETURN_IF(changed(w, &(year_change){.setpoint_K = w->a->setpoint_K}, &of[WHATIF_SETPOINTS]));
    of[WHATIF_SETPOINTS].standby_usd = standby_usd(w, w->a->setpoint_K);
    of[WHATIF_SETPOINTS].heaters = w->base.n;
    for (size_t i = 0; i < w->base.n; i++)
        of[WHATIF_NO_CLEANING].heaters += w->base.row[i].choice == TUFA_CHOICE_FLUSH || choice_is_cleaning(w->base.row[i].choice);
    return changed(w, &(year_change){.no_cleaning = true}, &of[WHATIF_NO_CLEANING]);
}

static void compare(asker *w)
{
    whatif_case *of = w->a->of;
    for (int k = 0; k < WHATIF_COUNT; k++) {
        if (!of[k].possible) continue;
        of[k].total_usd = of[k].heaters_usd.p50 + of[k].standby_usd + of[k].rounds_usd + of[k].change_usd.p50;
        of[k].saves_usd = of[WHATIF_AS_PLANNED].total_usd - of[k].total_usd;
        of[k].worth_usd_year = (of[k].saves_usd + of[k].change_usd.p50) / annuity(w);
    }
}

tufa_code desk_whatif(desk *d, const whatif_ask *ask, whatif_answer *out, text *near, trouble_note *note)
{
    whatif_answer a = {.today = d->today, .units = d->units, .setpoint_K = ask->setpoint_K > 0.0 ? ask->setpoint_K : USUAL_K};
    asker w = {.d = d, .ask = ask, .a = &a};
    tufa_code code = choose_water(&w, near, note);
    if (code != TUFA_OK) return code;
    tufa_status held = learned_hold(d->s), st = held;
    if (st.code == TUFA_OK) st = desk_rates_get(d, &w.rates);
    if (st.code == TUFA_OK) st = desk_year(d, &(year_ask){.progress = ask->progress, .cancelled = ask->cancelled, .ctx = ask->ctx}, &w.base);
    if (st.code == TUFA_OK) {
        a.heaters = w.base.n;
        a.discount = w.rates.prices.usd[TUFA_PRICE_DISCOUNT].mid;
        st = all_cases(&w);
        compare(&w);
        year_free(&w.base);
    }
    if (held.code == TUFA_OK) learned_release(d->s);
    if (st.code != TUFA_OK) note_from_status(note, st);
    else *out = a;
    return st.code;
}

/* ---- in words ---- */

void say_whatif_case(text *t, const whatif_answer *a, whatif_kind k)
{
    switch (k) {
    case WHATIF_AS_PLANNED: text_add(t, "As planned"); break;
    case WHATIF_SECOND_CREW: text_add(t, "One more crew on each working day"); break;
    case WHATIF_SOFTENED:
        text_addf(t, "%s softened", a->water[0] ? a->water : "One water");
        break;
    case WHATIF_SETPOINTS:
        text_add(t, "All dials at ");
        say_temperature(t, a->units, a->setpoint_K);
        break;
    case WHATIF_NO_CLEANING:
        text_add(t, "No flushing and no cleaning any more");
        break;
    case WHATIF_COUNT: break;
    }
}

static void say_round_usd(text *t, double usd) { say_usd(t, fabs(usd) < 1000.0 ? 10.0 * round(usd / 10.0) : 100.0 * round(usd / 100.0)); }

/* What softeners or a crew cost, and up to how much they would pay. */
static void say_own_cost(text *t, const whatif_case *c, whatif_kind k)
{
    const double hardly = 5.0;
    if (k == WHATIF_SECOND_CREW && c->own_hours <= 0.0) {
        text_add(t, " No day has a second round, so nobody is hired.");
        return;
    }
    if (k == WHATIF_SECOND_CREW) text_addf(t, " It would drive rounds of %.0f hours a year; wages above your own hour, van and tools come to ", c->own_hours);
    else text_addf(t, " %zu %s, fitted by yourself, with salt, upkeep and rinsing water: ", c->houses, c->houses == 1 ? "softener" : "softeners, one a house");
    say_round_usd(t, c->change_usd.p50);
    text_add(t, " (likely ");
    say_round_usd(t, c->change_usd.p10);
    text_add(t, " to ");
    say_round_usd(t, c->change_usd.p90);
    text_add(t, ").");
    if (c->worth_usd_year < hardly) {
        text_add(t, " It would not pay if it cost nothing.");
        return;
    }
    text_add(t, k == WHATIF_SOFTENED ? " They may cost up to " : " It may cost up to ");
    say_usd(t, c->worth_usd_year);
    text_add(t, k == WHATIF_SOFTENED ? " a year for all of them together, not more." : " a year, not more.");
}

void say_whatif_verdict(text *t, const whatif_answer *a, whatif_kind k)
{
    const whatif_case *c = &a->of[k];
    const double hardly = 5.0;
    if (k == WHATIF_AS_PLANNED) return;
    if (!c->possible) {
        text_add(t, "There is no water that is not soft already.");
        return;
    }
    if (fabs(c->saves_usd) < hardly) {
        text_add(t, "It comes to the same.");
    } else if (c->saves_usd < 0.0) {
        text_add(t, "It costs ");
        say_round_usd(t, -c->saves_usd);
        text_add(t, " more");
    } else {
        text_add(t, "It saves ");
        say_round_usd(t, c->saves_usd);
    }
    if (fabs(c->saves_usd) >= hardly) text_add(t, " over ten years.");
    if (k == WHATIF_SECOND_CREW || k == WHATIF_SOFTENED) say_own_cost(t, c, k);
    if (k == WHATIF_SOFTENED || k == WHATIF_NO_CLEANING) {
        text_add(t, " ");
        if (k == WHATIF_SOFTENED) say_count(t, c->heaters, "heater has this water.", "heaters have this water.");
        else say_count(t, c->heaters, "cleaning is planned for this year.", "cleanings are planned for this year.");
    }
    if (k == WHATIF_SOFTENED) text_add(t, " Softened water uses anodes up faster; that is counted.");
    if (k == WHATIF_SETPOINTS)
        text_add(t, " A setpoint lies between two dangers: below about 140 F (60 C) Legionella can live in the tank, above about 120 F (49 C) the tap "
                    "scalds. Hot in the tank and mixed down at the tap answers both; no saving here is a reason to give one up for the other.");
}

void say_whatif_basis(text *t, const whatif_answer *a)
{
    text_addf(t, "Present dollars over ten years at a discount of %.0f %%. Heaters: the whole cost of each and of those that follow it, everything done when it pays, as the money stage solves it. Standby: heat lost to "
                 "the room, and in what machines fill themselves with, against as planned; who mixes at the tap draws more of a cooler tank, and the same heat. Rounds: notices, "
                 "hours without hot water and setting out this year; waiting, and work that finds no room, as if each year were like this one. "
                 "Each case is decided anew, as "
                 "if it held from today on. The change: what softeners or a second crew themselves cost; prices of the book (softener_usd, softener_usd_year, "
                 "softener_water_usd_year, softener_years, crew_hour_usd, crew_usd_year) or, where it has none, common practice without a source.",
              100.0 * a->discount);
}
