/* What was learned, in sentences. */
#include <math.h>

#include "edge/desk/what_learned.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

void say_times(text *t, tufa_value r)
{
    say_number(t, r.mid, 2);
    text_add(t, " times");
    if (!(r.hi > r.lo)) return;
    text_add(t, " (likely ");
    say_number(t, r.lo, 2);
    text_add(t, " to ");
    say_number(t, r.hi, 2);
    text_add(t, ")");
}

static const char *family_words(tufa_fuel fuel) { return fuel == TUFA_ELECTRIC ? "electric heaters" : "gas heaters"; }

void say_learned_head(text *t, const learned_heater *a)
{
    text_add(t, "On the same water it lays down ");
    say_times(t, a->ratio);
    text_addf(t, " what %s usually do: ", family_words(a->fuel));
    text_addf(t, "%.0f %% (%.0f to %.0f) of the scale that the water can drop stays in this tank. That makes ", 100.0 * a->kept.mid, 100.0 * a->kept.lo,
              100.0 * a->kept.hi);
    say_value(t, a->units, Q_MASS, (tufa_value){a->kg_year.p50, a->kg_year.p10, a->kg_year.p90, TUFA_BASIS_LEARNED});
    text_add(t, " a year, and ");
    say_value(t, a->units, Q_MASS, (tufa_value){a->kg.p50, a->kg.p10, a->kg.p90, TUFA_BASIS_LEARNED});
    text_addf(t, " today. It rests on %s.", rests_on_words(a->rests_on));
}

void say_learned_before(text *t, const learned_heater *a)
{
    if (a->neighbours) {
        text_addf(t, "%zu other %s on %s, with findings of %s own, %s to ", a->neighbours, a->neighbours == 1 ? "heater" : "heaters", a->water,
                  a->neighbours == 1 ? "its" : "their", a->neighbours == 1 ? "leads" : "lead");
        say_times(t, a->ratio_before);
        text_add(t, " for this one; without that it would be 1 time");
    } else {
        text_addf(t, "%s taught anything yet, so that it began at 1 time", a->water_id ? "No other heater on its water has" : "Nobody said which water it has, so that no other heater");
    }
    text_addf(t, " (likely %.2g to %.2g), from published studies.", a->usual.lo / a->usual.mid, a->usual.hi / a->usual.mid);
}

void say_found_said(text *t, unit_system u, const found_line *l)
{
    if (l->law == TUFA_LAW_RECOVERY) text_addf(t, "%.2f times its clean time", l->said.mid);
    else say_value(t, u, l->q, l->said);
}

void say_found_expected(text *t, unit_system u, const found_line *l)
{
    switch (l->law) {
    case TUFA_LAW_ELEMENT: text_addf(t, "%.0f %% of it in the bed", 100.0 * l->expected.mid); return;
    case TUFA_LAW_RECOVERY: text_addf(t, "%.2f times (likely %.2f to %.2f)", l->expected.mid, l->expected.lo, l->expected.hi); return;
    case TUFA_LAW_TOLD:
        text_add(t, "a bed of ");
        say_value(t, u, Q_VOLUME, l->expected);
        return;
    case TUFA_LAW_MASS:
    case TUFA_LAW_HEIGHT:
    case TUFA_LAW_DONE: break;
    }
    say_value(t, u, l->q, l->expected);
}

void say_found_did(text *t, const found_line *l)
{
    if (l->set_aside) {
        text_addf(t, "set aside: it lies %.1f times its usual error off what all the rest says. A slip of the pen, or another tank? It counts for nothing until "
                     "something bears it out", l->surprise);
        return;
    }
    if (fabs(log(l->ratio_with / l->ratio_without)) < 0.05) text_addf(t, "bears out the rest: %.2g times with it or without", l->ratio_with);
    else text_addf(t, "moves it from %.2g to %.2g times", l->ratio_without, l->ratio_with);
    if (l->contradicts) text_addf(t, "; a surprise, %.1f times its usual error off, and alone so far: read it once more", l->surprise);
}

void say_per_mass(text *t, unit_system u, tufa_value share_kg)
{
    double by = 100.0 * (u == UNITS_US ? 0.45359237 : 1.0);
    text_addf(t, "%.2g %% (likely %.2g to %.2g)", by * share_kg.mid, by * share_kg.lo, by * share_kg.hi);
}

static const char *mass_word(unit_system u) { return u == UNITS_US ? "pound" : "kilogram"; }

void say_learned_gas(text *t, const learned_heater *a)
{
    if (a->loss_per_kg.basis == TUFA_BASIS_NONE) return;
    text_addf(t, "Each %s of bed costs ", mass_word(a->units));
    say_per_mass(t, a->units, a->loss_per_kg);
    text_add(t, " of the gas");
    if (a->loss_used) {
        text_add(t, ", by its own heat-up times; before them ");
        say_per_mass(t, a->units, a->loss_per_kg_before);
    }
    if (a->loss_neighbours) {
        text_add(t, a->loss_used ? ", to which the times of " : ", to which the heat-up times of ");
        say_count(t, a->loss_neighbours, "other gas heater", "other gas heaters");
        text_add(t, " lead");
    }
    if (!a->loss_used && !a->loss_neighbours) text_add(t, ": published figures differ twentyfold");
    text_add(t, ".");
    if (!a->loss_used) text_add(t, " Minutes from cold to the burner's stop, now and when the tank is clean, with the input clocked at the meter, would tell.");
}

void say_losses(text *t, const learned_book *a)
{
    const learned_losses *l = a->losses;
    if (l->n == 0) {
        text_addf(t, "Each %s of bed costs a gas heater ", mass_word(a->units));
        say_per_mass(t, a->units, l->usual);
        text_add(t, " of its gas; published figures differ twentyfold, and nobody timed a burner from cold to its stop yet.");
        return;
    }
    say_count(t, l->n, "gas heater was", "gas heaters were");
    text_addf(t, " timed from cold to the burner's stop. In the middle of them each %s of bed costs ", mass_word(a->units));
    say_per_mass(t, a->units, l->common);
    text_add(t, " of the gas; from published studies ");
    say_per_mass(t, a->units, l->usual);
    text_add(t, ". A gas heater of which nothing is known begins at ");
    say_per_mass(t, a->units, l->between);
    text_add(t, ".");
}

void say_learned_lacks(text *t, const learned_heater *a)
{
    if (a->cleanings) {
        say_count(t, a->cleanings, "cleaning", "cleanings");
        text_addf(t, " %s reckoned with what %s left. ", a->cleanings == 1 ? "is" : "are", a->cleanings == 1 ? "it" : "they");
    }
    if (a->skipped) text_addf(t, "%zu older than the heater %s left out. ", a->skipped, a->skipped == 1 ? "is" : "are");
    if (a->blind) text_addf(t, "%zu more %s nothing of a bed (a clear jar, a full flow, a tub's temperature). ", a->blind, a->blind == 1 ? "says" : "say");
    if (a->used == 0) text_add(t, "Nothing was measured in it yet: a weight at a cleaning teaches most, then the bed's depth at five spots, then a refill against its clean one. ");
}

/* ---- lives ---- */

static void say_years(text *t, tufa_value v)
{
    say_number(t, v.mid, 2);
    text_add(t, " years (likely ");
    say_number(t, v.lo, 2);
    text_add(t, " to ");
    say_number(t, v.hi, 2);
    text_add(t, ")");
}

void say_life(text *t, const learned_lives *l, int kind)
{
    const learned_life *k = &l->kind[kind];
    text_add(t, "Of your ");
    text_add(t, learned_life_words(kind));
    if (!k->counted) {
        text_add(t, " no end is written down, so that ");
        say_years(t, k->life.mean_years);
        text_add(t, kind < LIFE_CONTROL_ELECTRIC ? " on average stands, as published or as you said." : " on average stands: common practice, no source.");
        return;
    }
    text_addf(t, " %zu %s watched and %zu failed", k->lives, k->lives == 1 ? "was" : "were", k->failed);
    if (k->sound) text_addf(t, "; %zu taken out while they worked", k->sound);
    text_add(t, ". They last ");
    say_years(t, k->life.mean_years);
    text_add(t, " on average; before your records ");
    say_years(t, k->prior.mean_years);
    text_add(t, ".");
    if (k->silent) text_addf(t, " %zu went without a word why and %s as sound; `tufa set HEATER taken_out_why leak` corrects one.", k->silent, k->silent == 1 ? "counts" : "count");
    if (k->before) text_addf(t, " %zu ended before your records begin and %s not counted.", k->before, k->before == 1 ? "is" : "are");
    if (k->ageless) text_addf(t, " %zu %s no known age.", k->ageless, k->ageless == 1 ? "has" : "have");
}

void say_elements(text *t, const learned_lives *l)
{
    if (!l->elements_counted) text_add(t, "No burnt element is written down in the years watched: ");
    else text_addf(t, "%zu lower %s burnt out in %.0f years of watched heaters: ", l->elements_failed, l->elements_failed == 1 ? "element" : "elements", l->element_years);
    text_add(t, "under usual scale one in ");
    say_years(t, (tufa_value){1.0 / l->element_year.mid, 1.0 / l->element_year.hi, 1.0 / l->element_year.lo, l->element_year.basis});
    text_add(t, ".");
}

void say_records_since(text *t, const learned_lives *l)
{
    if (l->since_day) {
        text_add(t, "Your records are whole since ");
        say_day(t, l->since_day);
        text_add(t, ": heaters already old then count from the age they had, those that go on as far as they have come.");
        return;
    }
    text_add(t, "Each heater counts from the day it came into the book, at the age it had; what was gone before is not in it, and nobody knows what was forgotten. "
                "If the book holds every heater since an earlier day, those that are gone among them, say so: `tufa set setting records_since 2015`.");
}

void say_bed_on_life(text *t, const learned_lives *l)
{
    text_add(t, "What a bed does to a tank's life is not published anywhere that we found: assumed are 1.0 to 1.5 times the danger of a leak over a boiling gas floor, "
                "1.0 to 1.2 with a buried element, 1.5 to 3 without an anode.");
    for (int kind = LIFE_ELECTRIC; kind <= LIFE_BURNER; kind++) {
        tufa_value v = l->kind[kind].bed_on_life;
        if (v.basis == TUFA_BASIS_NONE) continue;
        text_addf(t, " Of your %s the leaks say ", learned_life_words(kind));
        say_times(t, v);
        text_add(t, ".");
    }
}
