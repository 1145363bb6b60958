#include "edge/say/fault.h"

#include <math.h>
#include <string.h>

#include "core/base/units.h"

enum { WIDTH = 96 };
static const double L_H = 1e-3 / 3600.0;
static const double OPEN_OHM = 1.9e7; /* the tables write 2e7 for a meter that shows no reading */

void say_reading(text *t, unit_system s, const tufa_reading *r)
{
    const tufa_test *test = tufa_fault_test_at((size_t)r->test);
    const char *u = test->unit;
    double x = r->value;
    if (r->category >= 0) text_add(t, test->category_words[r->category]);
    else if (strcmp(u, "C") == 0) say_quantity(t, s, Q_TEMPERATURE, K_from_C(x));
    else if (strcmp(u, "K") == 0) say_quantity(t, s, Q_WARMTH, x);
    else if (strcmp(u, "L") == 0) say_quantity(t, s, Q_VOLUME, m3_from_L(x));
    else if (strcmp(u, "L_min") == 0) say_quantity(t, s, Q_FLOW, m3_s_from_L_min(x));
    else if (strcmp(u, "L_h") == 0 && s == UNITS_US) say_number(t, gal_from_m3(x * L_H) * 3600.0, 2), text_add(t, " gal an hour");
    else if (strcmp(u, "L_h") == 0) say_number(t, x, 2), text_add(t, " L an hour");
    else if (strcmp(u, "psi") == 0) say_quantity(t, s, Q_PRESSURE, Pa_from_psi(x));
    else if (strcmp(u, "mm") == 0) say_quantity(t, s, Q_LENGTH, x * 1e-3);
    else if (strcmp(u, "kBtu_h") == 0) say_quantity(t, s, Q_BURNER, W_from_Btu_h(x * 1e3));
    else if (strcmp(u, "ohm") == 0 && x >= OPEN_OHM) text_add(t, "no reading (open)");
    else if (strcmp(u, "ohm") == 0 && x >= 1e6) say_number(t, x / 1e6, 2), text_add(t, " Mohm");
    else {
        say_number(t, x, 3);
        if (strcmp(u, "1") != 0)
            text_addf(t, " %s", strcmp(u, "inH2O") == 0 ? "in of water" : strcmp(u, "mL_L") == 0 ? "mL in a litre" : u);
    }
}

void say_odds(text *t, double p)
{
    if (p < 0.01) text_add(t, "under 1 in 100");
    else if (p > 0.995) text_add(t, "over 99 in 100");
    else text_addf(t, "%.0f in 100", 100.0 * p);
}

/* Where two outcomes part is known no finer than a thermometer in a cup tells. */
static double whole_degrees(unit_system s, double t_C)
{
    return s == UNITS_US ? C_from_K(K_from_F(round(F_from_K(K_from_C(t_C))))) : round(t_C);
}

void say_outcome(text *t, unit_system s, int test, const tufa_outcome *o)
{
    const tufa_test *row = tufa_fault_test_at((size_t)test);
    tufa_reading lo = {test, o->category, o->lo}, hi = {test, o->category, o->hi};
    if (strcmp(row->unit, "C") == 0) lo.value = whole_degrees(s, o->lo), hi.value = whole_degrees(s, o->hi);
    if (o->category >= 0) {
        say_reading(t, s, &lo);
    } else if (o->lo <= row->lo && o->hi >= row->hi) {
        text_add(t, "whatever it shows");
    } else if (o->lo <= row->lo) {
        text_add(t, "under ");
        say_reading(t, s, &hi);
    } else if (o->hi >= row->hi) {
        text_add(t, "over ");
        say_reading(t, s, &lo);
    } else {
        say_reading(t, s, &lo);
        text_add(t, " to ");
        say_reading(t, s, &hi);
    }
}

void say_why(text *t, unit_system s, const tufa_next *next)
{
    for (int i = 0; i < next->outcomes; i++) {
        const tufa_outcome *o = &next->outcome[i];
        if (i) text_add(t, "; ");
        say_outcome(t, s, next->test, o);
        text_add(t, " (");
        say_odds(t, o->probability);
        text_addf(t, "): %s, ", tufa_fault_for((size_t)o->then.fault, next->single_element)->title);
        say_odds(t, o->then.probability);
    }
}

void say_sake(text *t, const tufa_next *next)
{
    static const double LIKELY = 0.5;
    if (next->sake < 0 || next->sake_probability >= LIKELY) return;
    const tufa_fault_row *row = tufa_fault_for((size_t)next->sake, next->single_element);
    if (!row->danger[0]) return;
    text_addf(t, "%s, ", row->title);
    say_odds(t, next->sake_probability);
    text_addf(t, "; if missed: %s", row->if_missed);
}

void say_cautions(text *t, const char *id, const tufa_fault_heater *heater, const char *indent)
{
    tufa_caution_fuel fuel = heater->tank.fuel == TUFA_TANK_GAS ? TUFA_CAUTION_GAS : TUFA_CAUTION_ELECTRIC;
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (!tufa_caution_applies(c, id, fuel)) continue;
        text_addf(t, "%s%s (%s): ", indent, c->title, tufa_caution_level_words(c->level));
        text_add_wrapped(t, c->words, WIDTH, strlen(indent) + 2);
        text_add(t, "\n");
    }
}

static void put_line(text *t, const char *head, const char *body)
{
    text_add(t, head);
    text_add_wrapped(t, body, WIDTH, 6);
    text_add(t, "\n");
}

static void put_odds(text *t, const tufa_fault_answer *a)
{
    static const double WORTH_TELLING = 0.02;
    text_add(t, "  What it may be\n");
    for (int i = 0; i < a->faults && (i < 3 || a->odds[i].probability >= WORTH_TELLING) && i < 8; i++) {
        text_add(t, "    ");
        say_odds(t, a->odds[i].probability);
        text_pad_to(t, 20);
        text_addf(t, "%s\n", tufa_fault_for((size_t)a->odds[i].fault, a->single_element)->title);
    }
}

static void put_next(text *t, unit_system s, const tufa_fault_heater *heater, const tufa_next *next)
{
    const tufa_test *test = tufa_fault_test_for((size_t)next->test, heater->single_element);
    text_addf(t, "  Next reading: %s (%s), %.0f minute%s\n    ", test->title, test->id, next->minutes,
              next->minutes < 1.5 ? "" : "s");
    text_add_wrapped(t, test->how, WIDTH, 4);
    text_add(t, "\n");
    text sake = {0};
    say_sake(&sake, next);
    if (sake.len) text_addf(t, "    Because of: %s\n", text_str(&sake));
    text_free(&sake);
    if (test->isolation[0]) text_addf(t, "    First: %s\n", test->isolation);
    if (test->hazard[0]) text_addf(t, "    Mind: %s\n", test->hazard);
    if (test->stops[0]) text_addf(t, "    Stop at: %s\n", test->stops);
    for (int i = 0; i < next->outcomes; i++) {
        tufa_next one = *next;
        one.outcomes = 1;
        one.outcome[0] = next->outcome[i];
        text_add(t, "    - ");
        say_why(t, s, &one);
        text_add(t, "\n");
    }
    text_addf(t, "    Worth $%.0f of expected loss, costs $%.0f of time and hazard\n", next->gain_usd, next->cost_usd);
    say_cautions(t, test->id, heater, "    ! ");
}

/* While there is something worth reading, only what is likelier than not is named. */
static void put_actions(text *t, const tufa_fault_answer *a)
{
    static const double LIKELY = 0.5;
    int more = a->next.test >= 0, told = 0;
    for (int i = 0; i < a->actions; i++) {
        const tufa_action *act = &a->action[i];
        if (more && act->probability < LIKELY) continue;
        if (told++ == 0)
            text_add(t, more ? "  Already likely enough to be mended\n" : "  No further reading is worth its minutes. Do this\n");
        const tufa_fault_row *fault = tufa_fault_for((size_t)act->fault, a->single_element);
        const tufa_repair *r = act->repair >= 0 ? tufa_fault_repair_for((size_t)act->repair, a->single_element) : NULL;
        text_addf(t, "    %s (for: %s, ", r ? r->title : "Ask somebody who knows this work", fault->title);
        say_odds(t, act->probability);
        text_addf(t, "; who: %s)\n", r ? r->who : fault->who);
        if (r) put_line(t, "      Afterwards check: ", r->verify);
    }
    if (!more && !told) text_add(t, "  No further reading is worth its minutes, and nothing is likely enough to be mended.\n");
}

static void put_parts(text *t, const tufa_fault_answer *a)
{
    for (int i = 0; i < a->parts; i++) {
        const tufa_repair *r = tufa_fault_repair_for((size_t)a->part[i].repair, a->single_element);
        if (i == 0) text_add(t, "  Bring\n");
        text_addf(t, "    %s (needed in ", r->parts);
        say_odds(t, a->part[i].probability);
        text_addf(t, ", $%.0f of a second trip)\n", a->part[i].saved_usd);
    }
}

/* Said where somebody complains of a smell: a fact of this tank, by simulation, for the owner to weigh. */
static void put_growth(text *t, unit_system s, const tufa_call *call, const tufa_fault_answer *a)
{
    int smell = tufa_fault_complaint_find("egg_smell");
    if (smell < 0 || call->complaint[smell] != 1) return;
    text line = {0};
    text_addf(&line, "At its setpoint the water in this tank stands about %.1f hours a day between ", a->growth_s / 3600.0);
    say_quantity(&line, s, Q_TEMPERATURE, K_from_C(25.0));
    text_add(&line, " and ");
    say_quantity(&line, s, Q_TEMPERATURE, K_from_C(45.0));
    text_add(&line, ", where bacteria grow. Hotter is less of that and more scald.");
    put_line(t, "  ", text_str(&line));
    text_free(&line);
}

void say_fault_answer(text *t, unit_system s, const tufa_fault_heater *heater, const tufa_call *call, const tufa_fault_answer *a)
{
    if (a->stop.id) {
        text_addf(t, "  %s: ", strcmp(a->stop.level, "leave") == 0 ? "LEAVE" : "STOP");
        text_add_wrapped(t, a->stop.words, WIDTH, 4);
        text_add(t, "\n");
        if (a->stop.silent) return;
    }
    put_odds(t, a);
    for (int i = 0; i < a->conflicts; i++) {
        const tufa_reading *x = &call->reading[a->conflict[i][0]], *y = &call->reading[a->conflict[i][1]];
        text_addf(t, "  These two contradict each other; both are kept: %s ", tufa_fault_test_for((size_t)x->test, heater->single_element)->title);
        say_reading(t, s, x);
        text_addf(t, ", %s ", tufa_fault_test_for((size_t)y->test, heater->single_element)->title);
        say_reading(t, s, y);
        text_add(t, "\n");
    }
    put_growth(t, s, call, a);
    if (a->next.test >= 0) put_next(t, s, heater, &a->next);
    put_actions(t, a);
    put_parts(t, a);
    text_add(t, "  The odds rest on judgement in tables and on what was read; local codes and licensed practice come first.\n");
}
