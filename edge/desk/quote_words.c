/* A judged quote in sentences. */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "edge/desk/allows.h"
#include "edge/desk/letter.h"
#include "edge/desk/quote.h"
#include "edge/desk/words.h"

/* To the nearest 10 dollars from 100 on: it is no finer than that. */
static double rounded(double usd) { return fabs(usd) >= 100.0 ? 10.0 * round(usd / 10.0) : round(usd); }

static void about_usd(text *t, double usd) { say_usd(t, fabs(rounded(usd))); }

void say_quote_asked(text *t, const quote_answer *a)
{
    if (a->from_book) text_addf(t, "%s, asked: ", a->label);
    else text_add(t, "Asked: ");
    say_usd(t, a->q.price_usd);
    if (a->in.what == TUFA_QUOTE_REPLACE && a->in.kind == TUFA_CHOICE_REPLACE) text_add(t, " to replace the heater. ");
    if (a->in.what == TUFA_QUOTE_REPLACE && a->in.kind != TUFA_CHOICE_REPLACE) text_addf(t, " for %s in its place. ", kind_word(a->in.kind));
    if (a->in.what == TUFA_QUOTE_CLEAN) text_add(t, " to clean the tank. ");
    if (a->in.what == TUFA_QUOTE_REPAIR && a->in.repair < 0) text_add(t, " for a repair. ");
    if (a->in.what == TUFA_QUOTE_REPAIR && a->in.repair >= 0) {
        const char *title = tufa_fault_repair_at((size_t)a->in.repair)->title;
        text_addf(t, " to %c%s. ", tolower((unsigned char)title[0]), title + 1);
    }
    if (a->in.what == TUFA_QUOTE_TREATMENT) {
        const tufa_treatment_row *r = tufa_treatment_at(a->in.treatment);
        text_addf(t, " for %s. ", r ? r->what : "a treatment against scale");
    }
}

static const char *doing(const quote_answer *a)
{
    static const char *const DOING[TUFA_CHOICE_COUNT] = {
        [TUFA_CHOICE_LEAVE] = "leaving it alone until something else pays", [TUFA_CHOICE_FLUSH] = "keeping it and flushing it while the bed is young",
        [TUFA_CHOICE_CLEAN] = "keeping it and cleaning it out yourself", [TUFA_CHOICE_ELEMENTS] = "keeping it, cleaning it out and putting in low-density elements",
        [TUFA_CHOICE_ANODE] = "keeping it and looking at the anode yourself", [TUFA_CHOICE_CLEAN_ANODE] = "keeping it, cleaning it out and putting in a new anode on one drive",
        [TUFA_CHOICE_CONTROL] = "keeping it and changing its thermostats or gas control", [TUFA_CHOICE_SETPOINT] = "keeping it and setting its thermostats otherwise",
        [TUFA_CHOICE_SOFTEN] = "keeping it behind a softener", [TUFA_CHOICE_REPLACE] = "replacing the heater", [TUFA_CHOICE_TO_GAS] = "a gas heater in its place",
        [TUFA_CHOICE_TO_ELECTRIC] = "an electric heater in its place", [TUFA_CHOICE_TO_HEAT_PUMP] = "a heat pump heater in its place"};
    const tufa_quote *q = &a->q;
    if (q->instead_same && a->in.by_himself) return "doing the same yourself";
    if (q->instead_same) return "the same work at the usual price";
    return q->instead < TUFA_CHOICE_COUNT && DOING[q->instead] ? DOING[q->instead] : tufa_choice_at(q->instead)->what;
}

/* ---- dangers ---- */

void say_quote_danger(text *t, const quote_answer *a)
{
    bool electric = a->fuel == TUFA_ELECTRIC;
    const char *off = electric ? "breaker off and locked" : "gas control off";
    if (a->in.flue_unsafe == 1) {
        const tufa_caution *co = tufa_caution_find("C_CO");
        text_addf(t, "The flue is unsafe: heater off now, and it stays off until somebody who is licensed for it has put the flue right and tested it for spillage. %s ", co->words);
    }
    if (a->in.limit_failed == 1)
        text_addf(t, "The limit has failed: %s now, and it stays off until the limit is renewed by somebody trained for it. A limit is never bridged or held in. "
                     "The water may be far hotter than the dial says: nobody draws it before a thermometer was in it. ", off);
    if (a->in.leaking == 1)
        text_addf(t, "The tank itself leaks: %s, cold water shut, and the floor below looked at. A leaking shell cannot be mended; the heater is replaced, whatever the money says. ", off);
}

/* What another kind of heater saves or costs goes on after ten years; between two of a kind it does not. */
static const char *span(const quote_answer *a)
{
    const tufa_quote *q = &a->q;
    bool other = a->in.what == TUFA_QUOTE_REPLACE && a->in.kind != TUFA_CHOICE_REPLACE;
    return (other && !q->instead_same) || (!other && !q->instead_same && is_other_kind(q->instead)) ? "for good, later years discounted" : "over ten years";
}

/* ---- the first line ---- */

static void whole_price(text *t, const quote_answer *a)
{
    if (a->q.price_usd > 0.5) text_add(t, ", by its whole price, "), say_usd(t, a->q.price_usd);
}

static void than_the_next(text *t, const quote_answer *a, const char *better, const char *worse)
{
    about_usd(t, a->q.gain_usd);
    text_addf(t, " %s than %s", a->q.gain_usd >= 0.0 ? better : worse, doing(a));
}

static void say_no(text *t, const quote_answer *a)
{
    switch (a->q.reason) {
    case TUFA_QUOTE_REASON_NO_EVIDENCE:
    case TUFA_QUOTE_REASON_WASTED_ON_LEAK:
        text_add(t, "No");
        whole_price(t, a);
        text_addf(t, ": %s.", tufa_quote_reason_words(a->q.reason));
        return;
    case TUFA_QUOTE_REASON_TREATS_TOO_DEAR:
        text_add(t, "No, by at least ");
        about_usd(t, a->q.price_usd - a->q.treats_all_usd);
        text_addf(t, ": %s.", tufa_quote_reason_words(a->q.reason));
        return;
    case TUFA_QUOTE_REASON_NOT_ALLOWED: text_addf(t, "No: the book says that %s.", a->refused ? a->refused : "the house does not allow it"); return;
    default:
        text_add(t, "No, by about ");
        about_usd(t, a->q.gain_usd);
        if (a->in.what == TUFA_QUOTE_TREATMENT) {
            text_add(t, " for this heater alone: what it keeps out would save that much less than it costs over ten years.");
            return;
        }
        text_addf(t, ": %s costs that much less %s.", doing(a), span(a));
    }
}

static void say_ask_first(text *t, const quote_answer *a)
{
    const tufa_quote *q = &a->q;
    switch (q->reason) {
    case TUFA_QUOTE_REASON_LEAK_UNKNOWN:
        text_add(t, "Ask first whether the tank itself leaks. If it does not: no, by about ");
        about_usd(t, q->gain_usd);
        text_addf(t, "; %s costs that much less %s.", doing(a), span(a));
        return;
    case TUFA_QUOTE_REASON_NOT_ALLOWED:
        text_addf(t, "Ask for another kind first: the tank leaks and is replaced, but the book says that %s.", a->refused ? a->refused : "the house does not allow this one");
        return;
    case TUFA_QUOTE_REASON_HOUSE_UNKNOWN:
        text_add(t, "Ask first whether the house allows it. If it does: take it, about ");
        than_the_next(t, a, "better", "dearer");
        text_addf(t, " %s.", span(a));
        return;
    case TUFA_QUOTE_REASON_LINES_MISSING:
        text_add(t, "Ask first: it is about ");
        than_the_next(t, a, "better", "dearer");
        text_add(t, ", but what is missing from it usually adds about ");
        about_usd(t, q->absent_usd);
        text_add(t, ".");
        return;
    case TUFA_QUOTE_REASON_MUST_REPLACE:
        text_add(t, "Replace it, but ask first: this price is about ");
        than_the_next(t, a, "lower", "dearer");
        if (q->gain_usd >= 0.0 && q->gain_usd < q->absent_usd) {
            text_add(t, ", but what is missing from it usually adds about ");
            about_usd(t, q->absent_usd);
            text_add(t, ".");
        } else text_add(t, q->gain_usd < 0.0 ? "." : ", and the usual price differs too much from place to place to call that.");
        return;
    case TUFA_QUOTE_REASON_REFER_FIRST:
        text_add(t, "Ask first, and have the danger put right before any money is weighed. As to the money: about ");
        than_the_next(t, a, "better", "dearer");
        text_add(t, ".");
        return;
    case TUFA_QUOTE_REASON_SOME_EVIDENCE:
        text_add(t, "Ask first: tests in laboratories are not of one mind. It would be worth at most about ");
        about_usd(t, q->treats_all_usd);
        text_add(t, " to this heater over ten years, if it stopped every grain.");
        return;
    default:
        if (a->in.what == TUFA_QUOTE_TREATMENT) {
            text_add(t, "Ask first: against this price it is about ");
            about_usd(t, q->gain_usd);
            text_addf(t, " %s for this heater over ten years, salt and upkeep not counted.", q->gain_usd >= 0.0 ? "to the good" : "short");
            return;
        }
        text_add(t, "Ask first: it looks about ");
        than_the_next(t, a, "better", "dearer");
        text_add(t, q->asks && q->ask[0].worth_usd > 0.0 ? ", but what you do not know yet may turn that." : ", too close to call.");
    }
}

void say_quote_first(text *t, const quote_answer *a)
{
    if (a->q.says == TUFA_QUOTE_NO) say_no(t, a);
    else if (a->q.says == TUFA_QUOTE_ASK_FIRST) say_ask_first(t, a);
    else {
        text_add(t, "Take it: about ");
        than_the_next(t, a, "better", "dearer");
        if (a->q.must_replace) text_add(t, "; the heater must be replaced in any case.");
        else text_addf(t, " %s.", span(a));
    }
}

/* ---- what it is worth ---- */

void say_quote_worth(text *t, const quote_answer *a)
{
    const tufa_quote *q = &a->q;
    tufa_band even = q->break_even_range_usd;
    say_quote_asked(t, a);
    if (a->in.what == TUFA_QUOTE_TREATMENT) {
        text_add(t, "If it stopped every grain of scale for ten years, that would save this heater about ");
        about_usd(t, q->treats_all_usd);
        text_add(t, ", all told; no treatment can be worth more to it.");
        return;
    }
    if (a->in.leaking == 1 && a->in.what != TUFA_QUOTE_REPLACE) return;
    if (even.p90 <= 0.0) {
        text_addf(t, "Even for nothing %s would cost less: what you do not know does not change that.", doing(a));
        return;
    }
    even.p10 = fmax(0.0, even.p10);
    even.p50 = fmax(0.0, even.p50);
    text_add(t, "It breaks even at ");
    say_usd_band(t, &even);
    text_addf(t, ": at that price it costs the same %s as %s. This price is the better in %.0f of 10 runs over what is not known.", span(a),
              doing(a), round(10.0 * q->better_share));
}

void say_quote_usual(text *t, const quote_answer *a)
{
    const tufa_quote *q = &a->q;
    if (!(q->usual_usd[2] > 0.0)) return;
    text_add(t, "Such a job usually costs ");
    say_usd(t, rounded(q->usual_usd[0]));
    text_add(t, " to ");
    say_usd(t, rounded(q->usual_usd[2]));
    text_addf(t, "; this price is %s.", q->mark == TUFA_MARK_USUAL ? "within that" : q->mark == TUFA_MARK_HIGH ? "above that" : "below that: ask what is left out");
    if (a->in.what == TUFA_QUOTE_REPLACE && a->in.by_himself && q->same_usd > 0.0) {
        text_add(t, " Bought and set by yourself it comes to about ");
        about_usd(t, q->same_usd);
        text_add(t, ", your hours counted.");
    }
}

void say_quote_fits(text *t, const quote_answer *a)
{
    if (a->fits.kind == TUFA_CHOICE_LEAVE) return;
    text_add(t, "Whoever lives there wants ");
    say_busiest_hour(t, a->units, &a->fits);
    text_add(t, "; of the size that is offered, or of the old one where none is said, ");
    say_enough(t, a->units, &a->fits);
    text_add(t, ".");
}

void say_quote_kind(text *t, const quote_answer *a)
{
    const char *kind = a->in.what == TUFA_QUOTE_REPLACE ? caution_kind(a->in.kind) : NULL;
    for (size_t i = 0; kind && i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (tufa_caution_applies(c, kind, a->fuel == TUFA_ELECTRIC ? TUFA_CAUTION_ELECTRIC : TUFA_CAUTION_GAS)) text_addf(t, "%s%s: %s", t->len ? " " : "", c->title, c->words);
    }
}

void say_quote_warranty(text *t, const quote_answer *a)
{
    if (a->in.warranty_years < 0.0 || a->in.what == TUFA_QUOTE_TREATMENT || a->in.what == TUFA_QUOTE_CLEAN) return;
    text_addf(t, "%.3g years of warranty are worth about ", a->in.warranty_years);
    if (a->in.what == TUFA_QUOTE_REPLACE) {
        about_usd(t, a->q.warranty_usd);
        text_addf(t, " %s than the usual 6 on a tank: half of a new tank for each leak that falls into them, no work.", a->q.warranty_usd >= 0.0 ? "more" : "less");
    } else {
        about_usd(t, a->q.warranty_usd);
        text_add(t, ": a service call for each time that the part fails again.");
    }
}

void say_quote_treatment(text *t, const quote_answer *a)
{
    const tufa_treatment_row *r = tufa_treatment_at(a->in.treatment);
    if (a->in.what != TUFA_QUOTE_TREATMENT) return;
    if (!r) text_add(t, "What is it? `tufa treatments` lists what is known of magnets, electronic devices, beads, phosphate and softeners.");
    else text_addf(t, "What is known: %s%s%s `tufa treatments` says what a fair trial in two of your houses could show.", r->known, r->also[0] ? " " : "", r->also);
}

/* ---- lines ---- */

const char *quote_mark_word(tufa_quote_mark m)
{
    static const char *const WORDS[] = {[TUFA_MARK_ABSENT] = "absent", [TUFA_MARK_LOW] = "low", [TUFA_MARK_USUAL] = "usual",
                                        [TUFA_MARK_HIGH] = "high", [TUFA_MARK_NO_RANGE] = "no usual price"};
    return WORDS[m];
}

void quote_line_usual(const quote_answer *a, tufa_quote_line l, double usd[3])
{
    tufa_quote_usual(l, fuel_after(a->fuel, a->in.kind), a->volume_m3.mid, usd);
    if (l == TUFA_LINE_HEATER && a->in.kind == TUFA_CHOICE_TO_HEAT_PUMP) {
        tufa_value pump = a->in.money.prices.usd[TUFA_PRICE_UNIT_HEAT_PUMP];
        usd[0] = pump.lo, usd[1] = pump.mid, usd[2] = pump.hi;
    }
    if (l != TUFA_LINE_PART || a->in.repair < 0 || a->in.what != TUFA_QUOTE_REPAIR) return;
    const tufa_repair *r = tufa_fault_repair_at((size_t)a->in.repair);
    usd[0] = r->part_usd_lo;
    usd[2] = 2.0 * r->part_usd_hi;
}

void say_quote_line_range(text *t, const quote_answer *a, tufa_quote_line l)
{
    double usd[3];
    quote_line_usual(a, l, usd);
    if (!(usd[2] > 0.0)) {
        text_add(t, "no usual price");
        return;
    }
    say_usd(t, rounded(usd[0]));
    text_add(t, " to ");
    say_usd(t, rounded(usd[2]));
}

bool quote_line_matters(const quote_answer *a, tufa_quote_line l)
{
    double usd[3];
    quote_line_usual(a, l, usd);
    return a->in.line_usd[l] >= 0.0 || (tufa_quote_line_at(l)->need[a->in.what] != TUFA_LINE_NEVER && usd[2] > 0.0);
}

void say_quote_line_note(text *t, const quote_answer *a, tufa_quote_line l)
{
    const tufa_quote_line_row *r = tufa_quote_line_at(l);
    tufa_quote_mark m = a->q.line_mark[l];
    if (m == TUFA_MARK_ABSENT) text_add(t, r->need[a->in.what] == TUFA_LINE_ALWAYS ? "a complete job has it" : "some houses want it");
    else if (l == TUFA_LINE_CODE) text_add(t, "ask for the clause");
    else if (m == TUFA_MARK_LOW) text_add(t, "ask what it leaves out");
    else if (m == TUFA_MARK_HIGH) text_add(t, "ask why");
    else if (r->need[a->in.what] == TUFA_LINE_NEVER && l != TUFA_LINE_OTHER) text_add(t, "not usual in such a job: ask what it is for");
}

void say_quote_ask(text *t, const quote_answer *a, size_t k)
{
    tufa_quote_ask id = a->q.ask[k].ask;
    text_add(t, id == TUFA_ASK_LINE ? tufa_quote_line_at(a->q.ask[k].line)->ask : tufa_quote_ask_words(id));
    if (a->q.ask[k].worth_usd <= 0.0) return;
    text_add(t, " (Knowing it is worth about ");
    about_usd(t, a->q.ask[k].worth_usd);
    text_add(t, ": it may turn the answer.)");
}

void say_quote_rests_on(text *t, const quote_answer *a)
{
    text_addf(t, "It rests on: %s, ", fuel_word(a->fuel));
    say_value(t, a->units, Q_VOLUME, a->volume_m3);
    text_add(t, a->volume_m3.basis == TUFA_BASIS_DEFAULT ? ", assumed; " : "; ");
    say_number(t, a->age_years.mid, 2);
    text_addf(t, " years old%s", a->age_years.basis == TUFA_BASIS_DEFAULT ? ", assumed" : "");
    if (a->age_years.hi - a->age_years.lo > 0.5) {
        text_add(t, " (likely ");
        say_number(t, a->age_years.lo, 2);
        text_add(t, " to ");
        say_number(t, a->age_years.hi, 2);
        text_add(t, ")");
    }
    text_addf(t, "; %s; leaking: %s; ", a->water_known ? "its water as said" : "hard water of which no more is known",
              a->in.leaking == 1 ? "yes" : a->in.leaking == 0 ? "no" : "not said");
    text_add(t, a->in.by_himself ? "you can do this work yourself" : "you would have this work done");
    if (!a->himself_said) text_add(t, a->in.by_himself || a->fuel == TUFA_ELECTRIC ? " (assumed)" : " (assumed: gas and vent are kept for the trade in many places)");
    text_add(t, ". Prices are those of the table, each with its date and source, unless your book says otherwise: `tufa set price ITEM VALUE`.");
}
