#include "edge/desk/choose.h"

#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/others.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

size_t choose_bytes(unsigned months, unsigned draws)
{
    return tufa_ahead_bytes(months, draws, TUFA_AHEAD_MAX_FINDINGS) + tufa_money_bytes(draws) + cleaning_bytes() + 64;
}

static void cut(char *to, size_t room, const char *from)
{
    size_t n = strlen(from);
    if (n >= room) { /* at a whole character */
        n = room - 1;
        while (n > 0 && ((unsigned char)from[n] & 0xC0) == 0x80) n--;
    }
    memcpy(to, from, n);
    to[n] = 0;
}

/* The reading that narrows the forecast most; a plate that was read needs no second look. */
static bool plate_is_read(const tufa_ahead *a)
{
    static const double PLATE_READ_YEARS = 1.5;
    tufa_value age = a->heater.field[TUFA_HEATER_AGE];
    return age.hi - age.lo < PLATE_READ_YEARS;
}

static tufa_sharpen best_reading(const tufa_ahead *a)
{
    tufa_sharpen best = TUFA_SHARPEN_COUNT;
    for (int s = 0; s < TUFA_SHARPEN_COUNT; s++) {
        double after = a->spread_after[s];
        if (s == TUFA_SHARPEN_AGE && plate_is_read(a)) continue;
        if (after <= 0.0 || after >= a->spread_now) continue;
        if (best == TUFA_SHARPEN_COUNT || after < a->spread_after[best]) best = (tufa_sharpen)s;
    }
    return best;
}

static void describe(const desk_case *c, const tufa_ahead *a, year_row *r)
{
    tufa_value age = a->heater.field[TUFA_HEATER_AGE];
    r->heater = c->heater.id;
    cut(r->label, sizeof r->label, c->heater.label);
    cut(r->street, sizeof r->street, c->street);
    r->fuel = c->known.fuel;
    r->one_element = c->known.one_element;
    r->age_years = (float)age.mid;
    r->age_lo_years = (float)age.lo;
    r->age_hi_years = (float)age.hi;
    r->age_basis = c->known.field[TUFA_HEATER_AGE].basis;
    r->rests_on = a->rests_on;
    r->reading = best_reading(a);
    r->loss_W_K = (float)a->heater.field[TUFA_HEATER_LOSS].mid;
    r->litres_day = (float)a->litres_day.p50;
    r->depth_m = a->now_depth_m;
    r->kg = a->now_kg;
    r->trouble = r->fuel == TUFA_ELECTRIC ? a->element_reached : a->gas_rumbles;
}

bool choice_is_cleaning(tufa_choice c) { return c == TUFA_CHOICE_CLEAN || c == TUFA_CHOICE_ELEMENTS || c == TUFA_CHOICE_CLEAN_ANODE; }

static const double THIS_YEAR = 1.0;

static int64_t day_in(int64_t today, double years) { return today + (int64_t)floor(fmax(years, 0.0) * DAYS_A_YEAR); }

/* Something that waits on a bed has the date of the trouble; everything else the date that the money gives. */
static void set_due(const tufa_money_year *m, int64_t today, year_row *r)
{
    const tufa_when *w = &r->trouble;
    bool by_money = r->choice == m->propose_without_look && r->choice != TUFA_CHOICE_LEAVE;
    double years = by_money ? m->due_latest_years : w->years[0];
    bool within = by_money ? years < YEAR_HORIZON : w->known[0] != 0;
    r->date_sure = !by_money || m->date_sure;
    r->due_day = within ? day_in(today, years) : 0;
}

/* Work on a bed pays on average, but whether trouble is near is anybody's guess: one look comes first. Judgement. */
static bool date_open(const year_row *r)
{
    static const double LIKELY_THIS_YEAR = 0.3;
    bool bed = r->choice == TUFA_CHOICE_CLEAN || r->choice == TUFA_CHOICE_ELEMENTS;
    return bed && !r->date_sure && r->trouble.p_this_year < LIKELY_THIS_YEAR && r->reading < TUFA_SHARPEN_COUNT;
}

/* The cheapest way to set a heater that the house is known to allow. */
static tufa_choice best_heater(const tufa_money_year *m)
{
    tufa_choice best = TUFA_CHOICE_REPLACE;
    for (tufa_choice k = TUFA_CHOICE_TO_GAS; k <= TUFA_CHOICE_TO_HEAT_PUMP; k++)
        if (m->option[k].possible && m->option[k].allowed && m->option[k].present_usd < m->option[best].present_usd) best = k;
    return best;
}

static void wait_for(year_row *r, tufa_choice next, bool flat)
{
    r->next = next;
    r->flat = flat;
    r->choice = TUFA_CHOICE_LEAVE;
}

/* The course that the money stage proposes (it weighs each against waiting a year and leaves what saves next to nothing),
 * unless it is not due within the year (it waits), or nobody can say when it is due (one look first). */
static void settle(const tufa_money_year *m, const desk_case *c, tufa_choice propose, year_row *r)
{
    r->choice = propose;
    r->reason = m->reason;
    r->next = TUFA_CHOICE_LEAVE;
    set_due(m, c->today, r);
    if (c->leaking || propose == TUFA_CHOICE_LOOK) return;
    if (m->reason == TUFA_REASON_REPLACE_IS_FLAT) {
        wait_for(r, best_heater(m), true);
    } else if (r->choice != TUFA_CHOICE_LEAVE && r->due_day > day_in(c->today, THIS_YEAR)) {
        wait_for(r, r->choice, false);
    } else if (date_open(r)) {
        r->next = r->choice;
        r->choice = TUFA_CHOICE_LOOK;
    }
    r->reason = r->choice == TUFA_CHOICE_LEAVE ? TUFA_REASON_NOTHING_PAYS
                : r->choice == TUFA_CHOICE_LOOK ? TUFA_REASON_NO_SURE_DATE : m->option[r->choice].reason;
}

/* Choices are made by what can be expected, so that is what is said, with the range beside it. */
static tufa_band expected(tufa_band b, double mean_usd)
{
    b.p50 = mean_usd;
    return b;
}

static void decide(const tufa_money_year *m, const desk_case *c, const desk_rates *rates, year_row *r)
{
    if (m->reading < TUFA_SHARPEN_COUNT) r->reading = m->reading;
    r->policy_usd = expected(m->years_usd, m->mean_years_usd);
    r->endless_usd = m->best_present_usd;
    r->p_tank = m->p_tank;
    r->p_element = m->p_element;
    r->mean_p_tank = (float)m->mean_p_tank;
    r->mean_p_element = (float)m->mean_p_element;
    r->mean_p_control = (float)m->mean_p_control;
    r->left_usd = expected(m->left_usd, m->option[TUFA_CHOICE_LEAVE].mean_done_usd);
    settle(m, c, m->propose, r);
    if (r->choice == TUFA_CHOICE_LEAVE) {
        r->done_usd = r->left_usd;
        r->best_share = m->option[TUFA_CHOICE_LEAVE].best_share;
        return;
    }
    const tufa_money_option *o = &m->option[r->choice];
    r->done_usd = expected(o->done_usd, o->mean_done_usd);
    r->gain_usd = expected(o->gain_usd, o->mean_gain_usd);
    r->mean_gain_usd = o->mean_gain_usd;
    r->hours = o->hours;
    r->spend_usd = fmax(0.0, o->spend_now_usd - o->hours.p50 * rates->prices.usd[TUFA_PRICE_OWN_HOUR].mid);
    r->wait_usd_year = fmax(0.0, o->waiting_usd);
    r->best_share = o->best_share;
    if (r->choice == TUFA_CHOICE_LOOK) r->due_day = 0;
}

/* ---- other kinds of heater ---- */

static bool near_a_new_one(const tufa_money_year *m)
{
    return sets_a_heater(m->propose_without_look) || sets_a_heater(m->second) || m->reason == TUFA_REASON_REPLACE_IS_FLAT;
}

/* Among kinds that nobody ruled out or in: the one that would save most over whatever is known to be allowed, and what to ask. They are
 * weighed where a new heater is near alone, since each takes a view ahead of its own; they change no other figure. */
static tufa_status ask_for_other(const desk_case *c, const tufa_ahead_in *in, const tufa_money_year *m, tufa_money_in *mi, tufa_arena *arena,
                                 year_row *r)
{
    static const double WORTH_ASKING_USD_YEAR = 10.0; /* judgement */
    double gain[TUFA_CHOICE_COUNT], least = WORTH_ASKING_USD_YEAR;
    size_t n;
    if (!near_a_new_one(m)) return OK;
    for (tufa_choice k = TUFA_CHOICE_TO_GAS; k <= TUFA_CHOICE_TO_HEAT_PUMP; k++) mi->other[k].ahead = NULL;
    RETURN_IF(others_kinds(c, in, ALLOWS_NOT_KNOWN, arena, mi, &n));
    if (n == 0) return OK;
    RETURN_IF(tufa_money_kinds(mi, m->option[best_heater(m)].present_usd, arena, gain));
    for (tufa_choice k = TUFA_CHOICE_TO_GAS; k <= TUFA_CHOICE_TO_HEAT_PUMP; k++) {
        if (gain[k] < least) continue;
        least = r->other_usd_year = gain[k];
        r->other = k;
        r->other_ask = allows_ask(&c->house, c->known.fuel, k, &r->other_field);
    }
    return OK;
}

static tufa_status fit(const desk_case *c, const tufa_ahead *a, year_row *r)
{
    tufa_choice k = sets_a_heater(r->choice) ? r->choice : sets_a_heater(r->next) ? r->next : TUFA_CHOICE_LEAVE;
    return k == TUFA_CHOICE_LEAVE ? OK : enough_look(c, &a->heater, &(new_heater){.kind = k}, &r->fits);
}

tufa_status choose(const desk_case *c, const desk_rates *rates, unit_system said, unsigned months, unsigned draws,
                   double trip_share, tufa_arena *arena, hot_table *hot, tufa_ahead *ahead, tufa_money_year *money,
                   desk_hot *setpoint, year_row *out)
{
    tufa_ahead a;
    tufa_money_year m;
    tufa_ahead_in in = case_ahead_in(c, months, draws, ahead != NULL);
    if (!ahead) in.band_step = months; /* the year plan shows today alone: bands of the months between are not worked out */
    RETURN_IF(tufa_ahead_look(&in, arena, &a));
    tufa_money_in mi = case_money_in(c, &a, &rates->prices, rates->life[c->known.fuel], trip_share);
    cleaning clean;
    RETURN_IF(cleaning_look(c, &a, &rates->tools, arena, &clean));
    mi.flush = clean.flush;
    mi.clean = clean.deep;
    mi.taken[TUFA_SHARPEN_AGE] = plate_is_read(&a); /* no second look at it */
    size_t kinds;
    if (setpoint) RETURN_IF(others_look(c, &in, &a, arena, &mi, setpoint));
    else RETURN_IF(others_kinds(c, &in, ALLOWS_YES, arena, &mi, &kinds));
    RETURN_IF(tufa_money_look(&mi, arena, &m));
    year_row r = {0};
    describe(c, &a, &r);
    decide(&m, c, rates, &r);
    RETURN_IF(ask_for_other(c, &in, &m, &mi, arena, &r));
    RETURN_IF(fit(c, &a, &r));
    r.cleaning.method = TUFA_METHOD_COUNT;
    if (!ahead && choice_is_cleaning(r.choice)) RETURN_IF(cleaning_visit_of(c, &a, &rates->tools, arena, &r.cleaning));
    if (hot)
        RETURN_IF(desk_hot_shared(hot, &a.heater, &c->site, a.heater.field[TUFA_HEATER_SETPOINT].mid, 1e-3 * a.litres_day.p50,
                                  a.now_bed_m3.p50, &r.hot));
    text why = {0};
    say_plan_why(&why, &r, &a, c->today, said);
    cut(r.why, sizeof r.why, text_str(&why));
    bool failed = why.failed;
    text_free(&why);
    if (failed) return trouble(TUFA_MEMORY, "year plan", NULL);
    if (ahead) *ahead = a;
    if (money) *money = m;
    *out = r;
    return OK;
}
