#include "edge/desk/words.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>

#include "core/base/units.h"
#include "edge/desk/allows.h"
#include "edge/say/day.h"

/* ---- small words ---- */

void say_chance(text *t, double p)
{
    if (p < 0.01) text_add(t, "less than 1 in 100");
    else if (p < 0.4) text_addf(t, "about 1 in %.0f", round(1.0 / p));
    else if (p < 0.95) text_addf(t, "about %.0f in 10", round(10.0 * p));
    else text_add(t, "nearly certain");
}

void say_usd(text *t, double usd) { say_money(t, 100.0 * round(usd)); }

void say_usd_band(text *t, const tufa_band *usd)
{
    text range = {0};
    double spread = usd->p90 - usd->p10, step = spread > 200.0 ? 10.0 : 1.0;
    if (spread > 2000.0) step = 100.0;
    say_usd(t, step * round(usd->p50 / step));
    say_money_range(&range, 100.0 * usd->p10, 100.0 * usd->p90);
    text_addf(t, " (%s)", text_str(&range));
    text_free(&range);
}

static int year_of(int64_t day)
{
    int y, m, d;
    ymd_from_day(day, &y, &m, &d);
    return y;
}

static int year_ahead(int64_t today, double years) { return year_of(today + (int64_t)llround(years * DAYS_A_YEAR)); }

void say_when(text *t, const tufa_when *w, int64_t today)
{
    int lo = year_ahead(today, w->years[0]), mid = year_ahead(today, w->years[1]), hi = year_ahead(today, w->years[2]);
    if (!w->known[0]) text_addf(t, "not before %d", lo);
    else if (!w->known[1]) text_addf(t, "in %d at the earliest", lo);
    else if (w->years[2] <= 0.0 && w->known[2]) text_add(t, "already");
    else if (w->years[1] <= 0.0) text_addf(t, "likely already, else by %d", hi);
    else if (!w->known[2] && w->years[0] <= 0.0) text_addf(t, "in about %d, perhaps already", mid);
    else if (!w->known[2]) text_addf(t, "in about %d (likely %d or later)", mid, lo);
    else if (w->years[0] <= 0.0) text_addf(t, "in about %d, perhaps already (likely by %d)", mid, hi);
    else if (lo == hi) text_addf(t, "in %d", mid);
    else text_addf(t, "in about %d (likely %d to %d)", mid, lo, hi);
}

void say_due(text *t, const year_row *r, int64_t today)
{
    static const int YEAR = 365;
    if (r->choice == TUFA_CHOICE_LEAVE) {
        if (r->due_day == 0) text_addf(t, "nothing before %d", year_of(today) + YEAR_HORIZON);
        else if (r->due_day <= today + YEAR) text_add(t, "look again next year");
        else text_addf(t, "look again %d", year_of(r->due_day));
    } else if (r->choice == TUFA_CHOICE_LOOK) {
        text_add(t, "before any date is set");
    } else if (r->due_day == 0 || r->due_day <= today + 31) {
        text_add(t, "this year");
    } else {
        text_add(t, "by ");
        say_month(t, r->due_day <= today + YEAR ? r->due_day : today + YEAR);
    }
}

void say_age(text *t, const year_row *r)
{
    double spread = (double)(r->age_hi_years - r->age_lo_years);
    if (r->age_basis == TUFA_BASIS_NONE || r->age_basis == TUFA_BASIS_DEFAULT) text_add(t, "age not known");
    else if (spread <= 1.5) text_addf(t, "%.0f years old", round((double)r->age_years));
    else if (r->age_basis == TUFA_BASIS_ABOUT) text_addf(t, "about %.0f years old", round((double)r->age_years));
    else text_addf(t, "%.0f to %.0f years old", round((double)r->age_lo_years), round((double)r->age_hi_years));
}

const char *fuel_word(tufa_fuel fuel)
{
    static const char *const WORDS[] = {[TUFA_ELECTRIC] = "electric", [TUFA_GAS] = "gas", [TUFA_PROPANE] = "propane"};
    return WORDS[fuel];
}

const char *rests_on_words(tufa_rests_on r)
{
    static const char *const WORDS[] = {
        [TUFA_RESTS_ON_PRIOR] = "the water and published studies; nothing was measured in this tank yet",
        [TUFA_RESTS_ON_NEIGHBOURS] = "what was found in other tanks on the same water",
        [TUFA_RESTS_ON_FINDINGS] = "what was found in this tank",
    };
    return WORDS[r];
}

/* ---- why ---- */

static void bed_now(text *t, const tufa_ahead *a, unit_system u)
{
    const unit_row *unit = unit_said(Q_LENGTH, u);
    text_add(t, "about ");
    say_number(t, unit_from_si(unit, a->now_depth_m.p50), 2);
    text_addf(t, "%s of bed", unit->print);
}

static void odds_of(text *t, double p, const char *what)
{
    say_chance(t, p);
    text_addf(t, " %s", what);
}

const char *element_words(bool one) { return one ? "element" : "lower element"; }

static void say_trouble_of(text *t, const year_row *r)
{
    if (r->fuel == TUFA_ELECTRIC) text_addf(t, "; it reaches the %s ", element_words(r->one_element));
    else text_add(t, "; it is deep enough to rumble over the burner ");
}

/* Why a heater is left alone. */
static void say_why_wait(text *t, const year_row *r, const tufa_ahead *a, int64_t today, unit_system u)
{
    if (r->next == TUFA_CHOICE_REPLACE && r->flat) {
        odds_of(t, r->p_tank.p50, "to leak within a year; replacing it now or when it leaks costs about the same");
        return;
    }
    bed_now(t, a, u);
    if (r->trouble.known[1] && r->trouble.years[1] <= 0.0) {
        if (r->fuel == TUFA_ELECTRIC) text_addf(t, ", likely at the %s", element_words(r->one_element));
        else text_add(t, ", enough to rumble");
        text_add(t, "; taking it out costs more than it saves");
        return;
    }
    say_trouble_of(t, r);
    say_when(t, &r->trouble, today);
    if (r->next != TUFA_CHOICE_LEAVE && !r->flat) {
        text_addf(t, "; %s by %d", tufa_choice_at(r->next)->key, year_of(r->due_day));
    }
}

void say_plan_why(text *t, const year_row *r, const tufa_ahead *a, int64_t today, unit_system u)
{
    switch (r->reason) {
    case TUFA_REASON_NOTHING_PAYS: say_why_wait(t, r, a, today, u); break;
    case TUFA_REASON_BED_AT_ELEMENT:
        bed_now(t, a, u);
        text_addf(t, ", likely at the %s already; buried elements burn out sooner", element_words(r->one_element));
        break;
    case TUFA_REASON_BED_NEARS_ELEMENT:
    case TUFA_REASON_GAS_FLOOR_NEARS:
        bed_now(t, a, u);
        say_trouble_of(t, r);
        say_when(t, &r->trouble, today);
        break;
    case TUFA_REASON_GAS_FLOOR_BOILS:
        bed_now(t, a, u);
        text_add(t, " over the burner; water boils in it and the tank rumbles");
        break;
    case TUFA_REASON_BED_YOUNG:
        bed_now(t, a, u);
        text_add(t, ", still thin and loose: a short flush now moves much of it");
        break;
    case TUFA_REASON_ELEMENT_HOT:
        text_add(t, "the element runs hot under scale: ");
        odds_of(t, r->p_element.p50, "to burn out within a year; a low-density one lasts longer");
        break;
    case TUFA_REASON_ANODE_SPENT:
        text_add(t, "its anode is likely spent, and the tank young enough to gain by a new one");
        break;
    case TUFA_REASON_ANODE_MAY_BE:
        text_add(t, "its anode may be worn by now; a look settles it while the tank is young enough to gain");
        break;
    case TUFA_REASON_REPLACE_IS_FLAT:
        say_age(t, r);
        text_add(t, ": ");
        odds_of(t, r->p_tank.p50, "to leak within a year; replacing it now and waiting cost about the same");
        break;
    case TUFA_REASON_TANK_OLD:
        odds_of(t, r->p_tank.p50, "to leak within a year; a planned day costs less than a flood");
        break;
    case TUFA_REASON_TANK_LEAKS:
        text_add(t, "water was seen at its shell: a tank that leaks is replaced, whatever the money says");
        break;
    case TUFA_REASON_NO_SURE_DATE:
        text_addf(t, "no sure date yet: %s", reading_words(r->reading, r->fuel));
        break;
    case TUFA_REASON_CONTROL_OLD:
        text_addf(t, "%s; new ones on a day of your choosing cost less than the call when they fail",
                  r->fuel == TUFA_ELECTRIC ? r->one_element ? "its thermostat is old" : "its thermostats are old" : "its gas control is old");
        break;
    case TUFA_REASON_SETPOINT_GAINS:
    case TUFA_REASON_SOFT_WATER_PAYS:
    case TUFA_REASON_OTHER_HEAT_PAYS: text_add(t, tufa_reason_words(r->reason)); break;
    case TUFA_REASON_COUNT: break;
    }
}

void say_plan_why_to_tenant(text *t, const year_row *r)
{
    static const char *const WORDS[TUFA_CHOICE_COUNT] = {
        [TUFA_CHOICE_LEAVE] = "Nothing needs doing at your water heater this year.",
        [TUFA_CHOICE_FLUSH] = "Lime from the water settles in your water heater. While it is still loose we rinse it out, so that the hot water lasts as long as it should.",
        [TUFA_CHOICE_CLEAN] = "Lime from the water has settled in your water heater. We take it out before it costs you hot water.",
        [TUFA_CHOICE_ELEMENTS] = "Lime has settled around the part that heats your water. We clean the tank and put in new heating parts, before you stand under a cold shower.",
        [TUFA_CHOICE_ANODE] = "A rod inside your water heater keeps the tank from rusting and wears away doing so. We look at it, and change it if it is worn.",
        [TUFA_CHOICE_CLEAN_ANODE] = "Lime from the water has settled in your water heater, and the rod that keeps its tank from rusting wears away. We take the one out and change the other.",
        [TUFA_CHOICE_CONTROL] = "The part that switches your water heater on and off is old. We change it before it leaves you without hot water.",
        [TUFA_CHOICE_SETPOINT] = "We would like to set your water heater to another temperature. You will be told which.",
        [TUFA_CHOICE_SOFTEN] = "We put a softener before your water heater, so that lime no longer settles in it.",
        [TUFA_CHOICE_REPLACE] = "Your water heater has come to the age at which tanks begin to leak. We would rather change it on a day that suits you than after a flood.",
        [TUFA_CHOICE_TO_GAS] = "We put in another kind of water heater, which burns gas, on a day that suits you.",
        [TUFA_CHOICE_TO_ELECTRIC] = "We put in another kind of water heater, an electric one, on a day that suits you.",
        [TUFA_CHOICE_TO_HEAT_PUMP] = "We put in another kind of water heater, which takes most of its heat from the air of the room, on a day that suits you.",
        [TUFA_CHOICE_LOOK] = "We would like to look at your water heater and take one reading, to know whether anything needs doing.",
    };
    text_add(t, WORDS[r->choice]);
}

/* ---- the new heater ---- */

static void with_capital(text *t, const char *s) { text_addf(t, "%c%s", toupper((unsigned char)s[0]), s + 1); }

void say_other_kind(text *t, const year_row *r)
{
    if (r->other == TUFA_CHOICE_LEAVE || !sets_a_heater(r->choice)) return;
    with_capital(t, kind_word(r->other));
    text_add(t, " might save about ");
    say_usd(t, r->other_usd_year);
    text_add(t, " a year more; whether the house allows it is not known.");
}

bool fits_to_say(const year_row *r)
{
    return r->fits.kind != TUFA_CHOICE_LEAVE && (sets_a_heater(r->choice) || r->fits.size.says != TUFA_ENOUGH_YES);
}

void say_fits(text *t, const year_row *r, unit_system u)
{
    text words = {0};
    if (!fits_to_say(r)) return;
    say_enough(&words, u, &r->fits);
    text_add(t, "Wanted there: ");
    say_busiest_hour(t, u, &r->fits);
    text_add(t, ". ");
    with_capital(t, text_str(&words));
    text_add(t, ".");
    text_free(&words);
}

/* ---- tables ---- */

const char *reading_words(tufa_sharpen reading, tufa_fuel fuel)
{
    if (reading == TUFA_SHARPEN_HEIGHT && fuel != TUFA_ELECTRIC) return "measure the bed with a probe through the drain port";
    const tufa_sharpen_row *row = reading < TUFA_SHARPEN_COUNT ? tufa_sharpen_at(reading) : NULL;
    return row ? row->what : "no single reading would change it";
}

typedef enum kit_fuel { KIT_ANY, KIT_ELECTRIC, KIT_GAS } kit_fuel;
static const struct {
    tufa_choice choice;
    kit_fuel fuel;
    const char *words;
} KIT[] = {
#define X(choice, fuel, words) {TUFA_CHOICE_##choice, KIT_##fuel, words},
#include "edge/desk/kit.def"
#undef X
};

static const struct {
    const char *kit, *work;
} READING[TUFA_SHARPEN_COUNT] = {
#define X(id, kit, work) [TUFA_SHARPEN_##id] = {kit, work},
#include "edge/desk/readings.def"
#undef X
};

const char *kit_words(tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading)
{
    if (choice == TUFA_CHOICE_LOOK && reading < TUFA_SHARPEN_COUNT) return READING[reading].kit;
    kit_fuel f = fuel == TUFA_ELECTRIC ? KIT_ELECTRIC : KIT_GAS;
    for (size_t i = 0; i < sizeof KIT / sizeof KIT[0]; i++)
        if (KIT[i].choice == choice && (KIT[i].fuel == KIT_ANY || KIT[i].fuel == f)) return KIT[i].words;
    return "";
}

const char *caution_work(tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading)
{
    static const char *const WORK[TUFA_CHOICE_COUNT] = {
        [TUFA_CHOICE_FLUSH] = "M1", [TUFA_CHOICE_CLEAN] = "M4", [TUFA_CHOICE_ELEMENTS] = "element_lower",
        [TUFA_CHOICE_ANODE] = "anode", [TUFA_CHOICE_REPLACE] = "replace", [TUFA_CHOICE_CLEAN_ANODE] = "M4",
        [TUFA_CHOICE_SETPOINT] = "setpoint", [TUFA_CHOICE_TO_GAS] = "replace", [TUFA_CHOICE_TO_ELECTRIC] = "replace",
        [TUFA_CHOICE_TO_HEAT_PUMP] = "replace",
    };
    if (choice == TUFA_CHOICE_LOOK) return reading < TUFA_SHARPEN_COUNT ? READING[reading].work : NULL;
    if (choice == TUFA_CHOICE_CLEAN && fuel != TUFA_ELECTRIC) return "drain_valve"; /* there is no element hole to work through */
    if (choice == TUFA_CHOICE_CONTROL) return fuel == TUFA_ELECTRIC ? "tstat_lower" : "gas_control";
    return WORK[choice];
}

const char *caution_kind(tufa_choice choice)
{
    switch (choice) {
    case TUFA_CHOICE_TO_GAS: return "to_gas";
    case TUFA_CHOICE_TO_ELECTRIC: return "to_electric";
    case TUFA_CHOICE_TO_HEAT_PUMP: return "to_heat_pump";
    default: return NULL;
    }
}

static tufa_caution_fuel caution_fuel_of(tufa_fuel f) { return f == TUFA_ELECTRIC ? TUFA_CAUTION_ELECTRIC : TUFA_CAUTION_GAS; }

bool caution_goes(const tufa_caution *c, tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading)
{
    const char *work = caution_work(choice, fuel, reading), *kind = caution_kind(choice);
    if (!work) return false;
    if (tufa_caution_applies(c, work, caution_fuel_of(fuel))) return true;
    return kind && (tufa_caution_applies(c, work, caution_fuel_of(fuel_after(fuel, choice))) || tufa_caution_applies(c, kind, caution_fuel_of(fuel)));
}

int label_order(const char *a, const char *b)
{
    while (*a && *b) {
        if (isdigit((unsigned char)*a) && isdigit((unsigned char)*b)) {
            char *ea, *eb;
            unsigned long x = strtoul(a, &ea, 10), y = strtoul(b, &eb, 10);
            if (x != y) return x < y ? -1 : 1;
            a = ea;
            b = eb;
        } else {
            int x = tolower((unsigned char)*a++), y = tolower((unsigned char)*b++);
            if (x != y) return x - y;
        }
    }
    return (*a != 0) - (*b != 0);
}
