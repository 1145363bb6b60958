#include "edge/desk/choose.h"

#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

size_t choose_bytes(unsigned months, unsigned draws)
{
    return tufa_ahead_bytes(months, draws, TUFA_AHEAD_MAX_FINDINGS) + tufa_money_bytes(draws) + 64;
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

static void describe(const desk_case *c, const tufa_ahead *a, year_row *r)
{
    tufa_value age = a->heater.field[TUFA_HEATER_AGE];
    r->heater = c->heater.id;
    cut(r->label, sizeof r->label, c->heater.label);
    cut(r->street, sizeof r->street, c->street);
    r->fuel = c->known.fuel;
    r->age_years = (float)age.mid;
    r->age_lo_years = (float)age.lo;
    r->age_hi_years = (float)age.hi;
    r->age_basis = c->known.field[TUFA_HEATER_AGE].basis;
    r->rests_on = a->rests_on;
    r->reading = a->best;
    r->depth_m = a->now_depth_m;
    r->kg = a->now_kg;
    r->trouble = r->fuel == TUFA_ELECTRIC ? a->element_reached : a->gas_rumbles;
}

static void decide(const tufa_money_year *m, int64_t today, unsigned months, year_row *r)
{
    const tufa_money_option *o = &m->option[m->propose];
    bool leave = m->propose == TUFA_CHOICE_LEAVE;
    r->choice = m->propose;
    if (m->propose == TUFA_CHOICE_LOOK) r->reading = m->reading; /* the one worth most to the choice */
    r->reason = m->reason;
    r->date_sure = m->date_sure != 0;
    r->done_usd = leave ? m->left_usd : o->done_usd;
    r->left_usd = m->left_usd;
    r->gain_usd = leave ? (tufa_band){0} : o->gain_usd;
    r->hours = leave ? (tufa_band){0} : o->hours;
    r->spend_usd = leave ? 0.0 : o->spend_now_usd;
    r->mean_gain_usd = leave ? 0.0 : o->mean_gain_usd;
    r->reading = m->reading < TUFA_SHARPEN_COUNT ? m->reading : r->reading;
    r->best_share = o->best_share;
    r->p_tank = m->p_tank;
    r->p_element = m->p_element;
    if (m->due_latest_years < months / 12.0)
        r->due_day = today + (int64_t)floor(fmax(m->due_latest_years, 0.0) * DAYS_A_YEAR);
}

tufa_status choose(const desk_case *c, const desk_rates *rates, unit_system said, unsigned months, unsigned draws,
                   double trip_share, tufa_arena *arena, tufa_ahead *ahead, tufa_money_year *money,
                   year_row *out)
{
    tufa_ahead a;
    tufa_money_year m;
    tufa_ahead_in in = case_ahead_in(c, months, draws);
    if (!ahead) in.band_step = months; /* the year plan shows today alone: bands of the months between are not worked out */
    RETURN_IF(tufa_ahead_look(&in, arena, &a));
    tufa_money_in mi = case_money_in(c, &a, &rates->prices, rates->life[c->known.fuel], trip_share);
    RETURN_IF(tufa_money_look(&mi, arena, &m));
    year_row r = {0};
    describe(c, &a, &r);
    decide(&m, c->today, months, &r);
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
