#include "edge/desk/ahead_words.h"

#include <math.h>

#include "edge/desk/allows.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

void say_heater_line(text *w, const ahead_answer *a)
{
    const tufa_value *volume = &a->ahead.heater.field[TUFA_HEATER_VOLUME];
    text_addf(w, "%s: %s, ", a->c.heater.label, fuel_word(a->c.known.fuel));
    say_quantity(w, a->units, Q_VOLUME, volume->mid);
    text_add(w, ", ");
    say_age(w, &a->plan);
    if (a->c.heater.place[0]) text_addf(w, ", %s", a->c.heater.place);
    text_addf(w, "; water: %s", a->c.water->label[0] ? a->c.water->label : "not said which");
    if (a->c.water->softened.basis != TUFA_BASIS_NONE) text_add(w, ", softened");
    text_add(w, ".");
}

static void say_band(text *w, unit_system u, quantity q, const tufa_band *b)
{
    say_value(w, u, q, (tufa_value){b->p50, b->p10, b->p90, TUFA_BASIS_LEARNED});
}

void say_bed_now(text *w, const ahead_answer *a)
{
    const tufa_ahead *v = &a->ahead;
    text_add(w, "Today the bed is about ");
    say_band(w, a->units, Q_LENGTH, &v->now_depth_m);
    text_add(w, " deep: ");
    say_band(w, a->units, Q_MASS, &v->now_kg);
    text_add(w, ", in ");
    say_band(w, a->units, Q_VOLUME, &v->now_bed_m3);
    text_addf(w, ", %.0f %% of the tank. It grows by ", 100.0 * v->lost_share.p50);
    say_band(w, a->units, Q_MASS, &v->rate_kg_year);
    text_add(w, " a year. ");
    if (a->c.known.fuel == TUFA_ELECTRIC) {
        text_addf(w, "It reaches the %s ", element_words(a->c.known.one_element));
        say_when(w, &v->element_reached, a->today);
    } else {
        text_add(w, "Deep enough to boil and rumble over the burner: ");
        say_when(w, &v->gas_rumbles, a->today);
    }
    text_add(w, ". It covers the drain port ");
    say_when(w, &v->drain_covered, a->today);
    text_add(w, ".");
}

void say_chances(text *w, const ahead_answer *a)
{
    text_add(w, "Within a year the tank leaks in ");
    say_chance(w, a->money.p_tank.p50);
    text_add(w, " of heaters like it");
    if (a->c.known.fuel == TUFA_ELECTRIC) {
        text_addf(w, ", and the %s burns out in ", element_words(a->c.known.one_element));
        say_chance(w, a->money.p_element.p50);
    }
    text_add(w, ". A tank of this age has about ");
    say_number(w, a->money.remaining_years.p50, 2);
    text_add(w, " years left on average (");
    say_number(w, a->money.remaining_years.p10, 2);
    text_add(w, " to ");
    say_number(w, a->money.remaining_years.p90, 2);
    text_add(w, ").");
}

void say_energy_year(text *w, const ahead_answer *a)
{
    const tufa_ahead *v = &a->ahead;
    text_add(w, "In the coming year it draws ");
    if (a->c.known.fuel == TUFA_ELECTRIC) {
        say_band(w, a->units, Q_ENERGY, &v->energy_J_year);
        text_add(w, " of electricity; scale on an electric element costs element life, not energy.");
    } else {
        say_band(w, a->units, Q_HEAT, &v->energy_J_year);
        text_addf(w, " of %s; the bed wastes %.0f to %.0f %% of it (published figures differ twentyfold).",
                  fuel_word(a->c.known.fuel), 100.0 * v->gas_loss_share.p10, 100.0 * v->gas_loss_share.p90);
    }
}

/* What the simulated tank says of the heater as it stands. */
static void say_burns_in(text *w, const tufa_tank_burn *b)
{
    text_add(w, b->above_table ? ", burns an adult in less than " : ", burns an adult in about ");
    say_short_time(w, b->time_s);
}

void say_what_it_gives(text *w, const ahead_answer *a)
{
    const desk_hot *h = &a->hot;
    double lost = h->first_draw_clean_m3 - h->first_draw_m3;
    text_add(w, "Set to ");
    say_temperature(w, a->units, h->setpoint_K);
    text_add(w, " it gives ");
    say_volume(w, a->units, h->first_draw_m3);
    text_add(w, " of hot water in one draw");
    if (lost > 1e-3) text_add(w, "; the bed takes "), say_volume(w, a->units, lost), text_add(w, " of it");
    if (h->recovery_s > 0.0) text_addf(w, "; from all cold it is hot after %.1f hours", h->recovery_s / 3600.0);
    text_add(w, ". Its hottest water, ");
    say_temperature(w, a->units, h->hottest_K);
    if (h->adult.below_table) text_add(w, ", is cooler than the tables of burns begin");
    else say_burns_in(w, &h->adult), text_addf(w, " (%s)", h->adult.source);
    text_addf(w, ". The bottom of the tank stands %.0f hours a day where Legionella grows, the whole tank %.0f on average.",
              h->growth_bottom_s / 3600.0, h->growth_mean_s / 3600.0);
    if (h->noise_margin_K > 0.0) text_add(w, " Water boils under the deposit while it heats: that is heard.");
}

void say_proposal(text *w, const ahead_answer *a)
{
    const year_row *r = &a->plan;
    text_addf(w, "This year: %s, ", tufa_choice_at(r->choice)->key);
    say_due(w, r, a->today);
    text_addf(w, ". Why: %s. ", r->why);
    if (r->choice == TUFA_CHOICE_LEAVE) {
        text_add(w, "Left alone it costs ");
        say_usd_band(w, &r->left_usd);
    } else {
        say_usd_band(w, &r->done_usd);
        text_add(w, " if done, ");
        say_usd_band(w, &r->left_usd);
        text_add(w, " if left,");
    }
    text_add(w, " over the coming ten years.");
    if (r->choice != TUFA_CHOICE_LEAVE && r->choice != TUFA_CHOICE_LOOK) {
        text_add(w, " It saves about ");
        say_usd(w, r->mean_gain_usd);
        text_addf(w, " on average, and is the cheapest course in %.0f of 10 runs%s.", round(10.0 * r->best_share),
                  r->best_share < 0.5 ? ", so that not much hangs on it" : "");
    }
}

static const double FLAT_USD = 50.0;

/* The years between which a planned replacement costs within FLAT_USD of the least. */
static void say_flat(text *w, const ahead_answer *a)
{
    const double *usd = a->money.replace_usd;
    int best = 0, lo, hi, year, month, day;
    for (int k = 1; k <= TUFA_MONEY_REPLACE_YEARS; k++)
        if (usd[k] < usd[best]) best = k;
    for (lo = best; lo > 0 && usd[lo - 1] < usd[best] + FLAT_USD; lo--) {}
    for (hi = best; hi < TUFA_MONEY_REPLACE_YEARS && usd[hi + 1] < usd[best] + FLAT_USD; hi++) {}
    ymd_from_day(a->today, &year, &month, &day);
    text_addf(w, "If nothing else is done, a planned replacement costs least in %d", year + best);
    if (lo == hi) text_add(w, "; a year sooner or later costs more by over ");
    else if (hi == TUFA_MONEY_REPLACE_YEARS) text_addf(w, "; any year from %d on, or when it leaks, costs within ", year + lo);
    else text_addf(w, "; any year from %d to %d costs within ", year + lo, year + hi);
    say_usd(w, FLAT_USD);
    text_add(w, lo == hi ? "." : " of that.");
}

size_t readings_weighed(const tufa_money_year *m, tufa_sharpen order[TUFA_SHARPEN_COUNT])
{
    size_t n = 0;
    for (int s = 0; s < TUFA_SHARPEN_COUNT; s++) {
        const tufa_money_reading *r = &m->of_reading[s];
        if (!r->applies) continue;
        size_t k = n++;
        for (; k > 0 && m->of_reading[order[k - 1]].worth_usd < r->worth_usd; k--) order[k] = order[k - 1];
        order[k] = (tufa_sharpen)s;
    }
    return n;
}

void say_reading_value(text *w, const tufa_money_reading *r)
{
    if (r->worth_usd <= 0.0) text_add(w, "nothing");
    else say_usd(w, r->worth_usd);
}

void say_perfect(text *w, const tufa_money_year *m)
{
    if (m->perfect_worth_usd < 1.0) {
        text_add(w, "Nothing that could be known would change what is done this year.");
        return;
    }
    text_add(w, "Knowing everything beforehand would be worth ");
    say_usd(w, m->perfect_worth_usd);
    text_add(w, "; no reading can be worth more, and one that changes nothing that is done this year is worth nothing.");
    if (m->of_reading[TUFA_SHARPEN_LAB].worth_usd > 0.0) text_add(w, " A lab sheet serves every heater on the same water; here it is weighed for this one alone.");
}

static void say_reading_worth(text *w, const ahead_answer *a)
{
    const tufa_money_year *m = &a->money;
    if (m->reading == TUFA_SHARPEN_COUNT) {
        text_add(w, " No single reading would change the choice by more than it costs.");
        return;
    }
    text_addf(w, " The reading that would change it: %s. In %.0f of 10 cases the choice would be another; it saves ",
              reading_words(m->reading, a->plan.fuel), round(10.0 * m->reading_changes_share));
    say_usd(w, m->reading_worth_usd);
    text_add(w, " on average and costs ");
    say_usd(w, m->option[TUFA_CHOICE_LOOK].spend_now_usd);
    text_add(w, ".");
}

void say_timing(text *w, const ahead_answer *a)
{
    say_flat(w, a);
    say_reading_worth(w, a);
    text_add(w, " All in all, with the next heater where this one ends, expect ");
    say_usd_band(w, &(tufa_band){a->money.years_usd.p10, a->money.mean_years_usd, a->money.years_usd.p90});
    text_add(w, " in the coming ten years, luck included.");
}

void say_other_setpoint(text *w, const ahead_answer *a)
{
    const desk_hot *h = &a->setpoint;
    if (!a->money.option[TUFA_CHOICE_SETPOINT].possible) return;
    text_add(w, "Set to ");
    say_temperature(w, a->units, h->setpoint_K);
    text_add(w, " its hottest water, ");
    say_temperature(w, a->units, h->hottest_K);
    if (h->adult.below_table) text_add(w, ", is cooler than the tables of burns begin");
    else say_burns_in(w, &h->adult);
    text_addf(w, ", and the bottom of the tank stands %.0f hours a day where Legionella grows instead of %.0f. A setting that gives up the one "
              "for the other is not proposed, whatever it saves.", h->growth_bottom_s / 3600.0, a->hot.growth_bottom_s / 3600.0);
}

static void say_against_its_like(text *w, const ahead_answer *a, tufa_choice k)
{
    double more = a->money.option[k].gain_usd_year - a->money.option[TUFA_CHOICE_REPLACE].gain_usd_year;
    text_add(w, more >= 0.0 ? "would save about " : "would cost about ");
    say_usd(w, fabs(more));
    text_add(w, more >= 0.0 ? " a year more than a heater like this one" : " a year more to have than a heater like this one");
}

void say_other_kinds(text *w, const ahead_answer *a)
{
    tufa_fuel now = a->c.known.fuel;
    for (tufa_choice k = TUFA_CHOICE_TO_GAS; k <= TUFA_CHOICE_TO_HEAT_PUMP; k++) {
        const char *field = NULL, *refused = allows_refused(&a->c.house, now, k), *ask = allows_ask(&a->c.house, now, k, &field);
        if (!kind_fits(now, k)) continue;
        if (refused) {
            text_addf(w, "%sTo %s: ruled out, the book says that %s.", w->len ? " " : "", tufa_choice_at(k)->key, refused);
        } else if (ask && a->money.option[k].possible) {
            text_addf(w, "%sTo %s ", w->len ? " " : "", tufa_choice_at(k)->key);
            say_against_its_like(w, a, k);
            text_addf(w, "; before it is proposed: %s `tufa set \"%s\" %s yes`, or no.", ask, a->c.heater.label, field);
        }
    }
}

void say_sizes(text *w, const ahead_answer *a)
{
    text kinds = {0};
    const enough *first = NULL;
    for (int k = 0; k < TUFA_CHOICE_COUNT; k++) {
        if (a->fits[k].kind == TUFA_CHOICE_LEAVE) continue;
        if (first) text_add(&kinds, "; ");
        else first = &a->fits[k];
        say_enough(&kinds, a->units, &a->fits[k]);
    }
    if (first) {
        text_add(w, "Whoever lives there wants ");
        say_busiest_hour(w, a->units, first);
        text_addf(w, ". Of new ones as large as this: %s.", text_str(&kinds));
    }
    text_free(&kinds);
}

static void say_how(text *w, const tufa_money_how *h)
{
    text_addf(w, "%.1f hours of your own (likely %.1f to %.1f) and leaves %.0f %% of the bed (likely %.0f to %.0f)", h->hours.mid, h->hours.lo, h->hours.hi,
              100.0 * h->left_share.mid, 100.0 * h->left_share.lo, 100.0 * h->left_share.hi);
}

void say_cleaning(text *w, const ahead_answer *a)
{
    const cleaning *c = &a->cleaning;
    if (c->why_not) {
        text_addf(w, "Cleaning is not counted for this tank. %s", c->why_not);
        return;
    }
    if (c->method == TUFA_METHOD_COUNT) return;
    text_add(w, "Cleaning here, readings before and after counted in");
    if (c->of_kg > 0.0) text_add(w, ", once the bed weighs "), say_quantity(w, a->units, Q_MASS, c->of_kg);
    text_addf(w, ": %s takes ", tufa_method_at(c->method)->title);
    say_how(w, &c->deep);
    text_add(w, c->flush.refused ? "; a plain flush cannot be done" : "; a plain flush takes ");
    if (!c->flush.refused) say_how(w, &c->flush);
    text_addf(w, ". `tufa clean --heater \"%s\"` compares the methods", a->c.heater.label);
    text_add(w, c->stirrer_first ? "; if you have a stirrer, it goes better: `tufa set setting stirrer yes`." : ".");
}

void say_bring(text *w, const ahead_answer *a)
{
    const char *kit = kit_words(a->plan.choice, a->plan.fuel, a->plan.reading);
    if (kit[0]) text_addf(w, "Bring: %s.", kit);
}

void say_rests_on(text *w, const ahead_answer *a)
{
    const tufa_ahead *v = &a->ahead;
    text_addf(w, "It rests on %s. ", rests_on_words(v->rests_on));
    if (a->c.neighbours && v->rests_on != TUFA_RESTS_ON_PRIOR)
        text_addf(w, "%zu other %s on the same water %s; `tufa learned` says what each finding did. ", a->c.neighbours,
                  a->c.neighbours == 1 ? "heater" : "heaters", a->c.neighbours == 1 ? "lends its findings" : "lend their findings");
    size_t aside = 0;
    for (size_t k = 0; k < a->c.findings; k++) aside += a->c.found[k].set_aside != 0;
    if (aside) text_addf(w, "%zu %s set aside, because %s the rest. ", aside, aside == 1 ? "finding is" : "findings are", aside == 1 ? "it contradicts" : "they contradict");
    else if (v->found_surprise > 2.0 && v->found_surprise_index >= 0)
        text_add(w, "One finding fits badly with the rest: look whether its figure or its day was mistyped. ");
    if (a->plan.reading < TUFA_SHARPEN_COUNT) {
        text_addf(w, "What would sharpen it most: %s", reading_words(a->plan.reading, a->plan.fuel));
        if (v->spread_now > 1.0 && v->spread_after[a->plan.reading] > 0.0)
            text_addf(w, "; the high end, now %.1f times the low end, comes down to %.1f times", v->spread_now, v->spread_after[a->plan.reading]);
        text_add(w, ".");
    }
}
