#include "edge/say/clean.h"

#include <math.h>
#include <string.h>

#include "core/base/units.h"

enum { WIDTH = 96, MOST_WORKS = 16 };

void say_speed(text *t, unit_system s, double m_s)
{
    say_number(t, s == UNITS_US ? ft_from_m(m_s) : m_s, 2);
    text_add(t, s == UNITS_US ? " ft/s" : " m/s");
}

const char *say_verdict(tufa_verdict v)
{
    static const char *const WORDS[] = {"works", "takes little", "cannot work here", "must not be done here"};
    return WORDS[v];
}

const char *verdict_key(tufa_verdict v)
{
    static const char *const KEYS[] = {"works", "little", "cannot", "must_not"};
    return KEYS[v];
}

const char *say_size_class(int i)
{
    static const char *const WORDS[TUFA_CLEAN_CLASSES] = {"under 0.063 mm", "0.063 to 0.25 mm", "0.25 to 0.5 mm", "0.5 to 1 mm", "1 to 2 mm",
                                                          "2 to 4 mm",      "4 to 8 mm",        "8 to 16 mm",     "16 to 32 mm", "cake"};
    return WORDS[i];
}

static void line(text *t, const char *words, size_t indent)
{
    text_pad_to(t, indent);
    text_add_wrapped(t, words, WIDTH, indent);
    text_add(t, "\n");
}

/* ---- cautions ---- */

static tufa_caution_fuel caution_fuel(tufa_fuel f) { return f == TUFA_ELECTRIC ? TUFA_CAUTION_ELECTRIC : TUFA_CAUTION_GAS; }

size_t work_cautions(const char *const *works, tufa_fuel fuel, bool visit, size_t room, const tufa_caution **out)
{
    size_t n = 0;
    for (size_t i = 0; i < tufa_caution_count() && n < room; i++) {
        const tufa_caution *c = tufa_caution_at(i);
        bool goes = visit && tufa_caution_applies(c, "all", TUFA_CAUTION_ANY);
        for (const char *const *w = works; *w && !goes; w++) goes = tufa_caution_applies(c, *w, caution_fuel(fuel));
        if (goes) out[n++] = c;
    }
    return n;
}

const char *say_caution_level(tufa_caution_level level)
{
    static const char *const WORDS[] = {"LEAVE", "STOP", "LICENSED WORK IN MOST PLACES", "CARE"};
    return WORDS[level];
}

void say_work_cautions(text *t, const char *const *works, tufa_fuel fuel, bool visit)
{
    const tufa_caution *c[MOST_CAUTIONS];
    size_t n = work_cautions(works, fuel, visit, MOST_CAUTIONS, c);
    if (n) text_add(t, "\nCautions. Local codes and licensed practice come first.\n");
    for (size_t i = 0; i < n; i++) {
        text x = {0};
        text_addf(&x, "%s, %s: %s", say_caution_level(c[i]->level), c[i]->title, c[i]->words);
        line(t, text_str(&x), 2);
        text_free(&x);
    }
}

/* ---- methods ---- */

static void say_amounts(text *t, unit_system s, const tufa_method_answer *m)
{
    text_add(t, "  takes ");
    say_value(t, s, Q_MASS, m->out_kg);
    text_add(t, ", leaves ");
    say_value(t, s, Q_MASS, m->left_kg);
    text_add(t, "\n  ");
    say_value(t, s, Q_TIME, m->onsite_s);
    text_add(t, " for it, readings before and after not counted");
    if (m->labour_s.mid < 0.9 * m->onsite_s.mid) {
        text_add(t, ", of which work ");
        say_quantity(t, s, Q_TIME, m->labour_s.mid);
    }
    text_add(t, "; water ");
    say_quantity(t, s, Q_VOLUME, m->water_m3.mid);
    text_addf(t, "; solids %.2g %% of the slurry", 100.0 * m->waste_share.mid);
    if (m->plugs.hi >= 0.5) text_addf(t, "; plugs or arches to clear: %.0f (likely %.0f to %.0f)", m->plugs.mid, m->plugs.lo, m->plugs.hi);
    text_add(t, "\n");
}

/* Two figures: what a model of this kind can bear. */
void say_about(text *t, unit_system s, quantity q, double si)
{
    const unit_row *u = unit_said(q, s);
    double x = unit_from_si(u, si), step = x > 0.0 ? pow(10.0, floor(log10(x)) - 1.0) : 1.0;
    say_number(t, round(x / step) * step, 2);
    text_add(t, u->print);
}

void say_hose_words(text *t, unit_system s, const tufa_clean_case *c, const tufa_method_answer *m)
{
    if (!(m->hose_m_s.mid > 0.0)) return;
    text_add(t, "hose: ");
    say_speed(t, s, m->hose_m_s.mid);
    text_add(t, " at ");
    say_quantity(t, s, Q_FLOW, m->flow_m3_s.mid);
    text_add(t, "; solids settle under ");
    say_speed(t, s, m->deposit_m_s.mid);
    text_add(t, ", plan for ");
    say_speed(t, s, m->design_m_s.mid);
    text_add(t, "; carries ");
    say_about(t, s, Q_DISTANCE, m->reach_level_m.mid);
    text_add(t, " on the level");
    if (c->rise_m.mid > 0.0) {
        text_add(t, ", ");
        say_about(t, s, Q_DISTANCE, m->reach_rise_m.mid);
        text_add(t, " with a rise of ");
        say_quantity(t, s, Q_DISTANCE, c->rise_m.mid);
    }
    if (m->better_bore_m > 0.0) {
        text_add(t, "; a hose of ");
        say_quantity(t, UNITS_US, Q_LENGTH, m->better_bore_m);
        text_add(t, " bore would do better");
    }
}

static void say_hose(text *t, unit_system s, const tufa_clean_case *c, const tufa_method_answer *m)
{
    text x = {0};
    say_hose_words(&x, s, c, m);
    if (x.len) text_addf(t, "  %s\n", text_str(&x));
    text_free(&x);
}

enum { MOST_KIT = 48 };

static bool in_kit(const tufa_kit_item *kit, size_t n, const char *id)
{
    for (size_t i = 0; i < n && i < MOST_KIT; i++)
        if (strcmp(kit[i].id, id) == 0) return true;
    return false;
}

/* 1 where every method that may be done here needs the item. */
static bool needed_by_all(const tufa_clean_case *c, const tufa_clean_answer *a, const char *id)
{
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
        tufa_kit_item kit[MOST_KIT];
        if (a->method[m].verdict > TUFA_VERDICT_LITTLE) continue;
        size_t n = tufa_visit_kit(TUFA_VISIT_CLEAN, (tufa_method_id)m, c->fuel, MOST_KIT, kit);
        if (!in_kit(kit, n, id)) return false;
    }
    return true;
}

/* What one method needs beside what all of them need; or, with `all`, what all of them need. */
static void say_kit(text *t, const tufa_clean_case *c, const tufa_clean_answer *a, tufa_method_id method, bool all)
{
    tufa_kit_item kit[MOST_KIT];
    size_t n = tufa_visit_kit(TUFA_VISIT_CLEAN, method, c->fuel, MOST_KIT, kit), said = 0;
    text x = {0};
    text_add(&x, all ? "Kit for any of them: " : "kit besides: ");
    for (size_t i = 0; i < n && i < MOST_KIT; i++)
        if (needed_by_all(c, a, kit[i].id) == all) text_addf(&x, "%s%s", said++ ? "; " : "", kit[i].what);
    if (said) line(t, text_str(&x), all ? 0 : 2);
    text_free(&x);
}

/* Beside a soak that cannot: how far so much acid goes at best. */
void say_acid_reach(text *t, unit_system s, const tufa_clean_case *c, const tufa_method_answer *m)
{
    const tufa_method_row *row = tufa_method_at(m->method);
    tufa_acid_capacity cap;
    if (strcmp(row->code, "M2") != 0) return;
    if (tufa_clean_acid_capacity(row->acid, c->acid_percent.mid, c->work_K.mid, 1.0, c->acid_m3.mid, &cap).code != TUFA_OK) return;
    say_about(t, s, Q_VOLUME, c->acid_m3.mid);
    text_addf(t, " at %.3g %% dissolve at most ", c->acid_percent.mid);
    say_about(t, s, Q_MASS, cap.caco3_kg);
    text_add(t, "; all of this bed would take ");
    say_about(t, s, Q_VOLUME, c->bed_kg.mid / cap.caco3_kg_m3);
}

static void say_method(text *t, unit_system s, const tufa_clean_case *c, const tufa_clean_answer *a, const tufa_method_answer *m)
{
    const tufa_method_row *row = tufa_method_at(m->method);
    text_addf(t, "\n%s (%s): %s\n", row->title, row->code, say_verdict(m->verdict));
    if (m->verdict <= TUFA_VERDICT_LITTLE) {
        say_amounts(t, s, m);
        say_hose(t, s, c, m);
        if (m->gas_m3.mid > 0.0) {
            text_add(t, "  gives off ");
            say_quantity(t, s, Q_VOLUME, m->gas_m3.mid);
            text_add(t, " of carbon dioxide\n");
        }
        text w = {0};
        text_addf(&w, "waste: %s", row->waste_to);
        line(t, text_str(&w), 2);
        text_free(&w);
        say_kit(t, c, a, m->method, false);
    }
    text acid = {0};
    say_acid_reach(&acid, s, c, m);
    if (acid.len) line(t, text_str(&acid), 2);
    text_free(&acid);
    for (size_t i = 0; i < m->reasons; i++) {
        text_add(t, "  - ");
        text_add_wrapped(t, m->reason[i], WIDTH, 4);
        text_add(t, "\n");
    }
}

void say_clean_why(text *t, const tufa_clean_answer *a)
{
    text_add(t, a->why);
    if (a->with_a_stirrer == TUFA_METHOD_STIR) text_add(t, " A rotating stirrer, if you have one, would take more out for the same hours.");
}

void say_clean_answer(text *t, unit_system s, const tufa_clean_case *c, const tufa_clean_answer *a)
{
    text_add(t, "In the tank: ");
    say_value(t, s, Q_MASS, c->bed_kg);
    text_addf(t, " of sediment, %.0f %% of it cake (likely %.0f to %.0f)\n", 100.0 * c->cemented_share.mid, 100.0 * c->cemented_share.lo,
              100.0 * c->cemented_share.hi);
    const char *works[MOST_WORKS] = {0};
    size_t n = 0;
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
        say_method(t, s, c, a, &a->method[m]);
        if (a->method[m].verdict <= TUFA_VERDICT_LITTLE && n + 1 < MOST_WORKS) works[n++] = tufa_method_at((tufa_method_id)m)->code;
    }
    if (n) {
        text_add(t, "\n");
        say_kit(t, c, a, tufa_method_find(works[0]), true);
    }
    text_add(t, "\nFirst choice: ");
    text_addf(t, "%s. ", a->advice == TUFA_METHOD_COUNT ? "none of them" : tufa_method_at(a->advice)->title);
    text x = {0};
    say_clean_why(&x, a);
    text_add_wrapped(t, text_str(&x), WIDTH, 0);
    text_free(&x);
    text_add(t, "\nEvery job on a heater begins with its breaker locked off and proved dead, or its gas cock shut; `tufa visit plan` has the order.\n");
    say_work_cautions(t, works, c->fuel, true);
}

/* ---- proof ---- */

void say_proof_sentence(text *t, unit_system s, const tufa_proof_in *in, const tufa_proof *p)
{
    double weighed_kg = 0.0;
    for (size_t i = 0; i < in->n; i++)
        if (in->reading[i].kind == TUFA_PROOF_MASS) weighed_kg = in->reading[i].mass_kg;
    if (p->clean) {
        text_add(t, "Clean, by ");
        text_add(t, p->rule);
        text_add(t, ". ");
    }
    if (p->removed_kg.basis != TUFA_BASIS_NONE) {
        say_quantity(t, s, Q_MASS, weighed_kg > 0.0 ? weighed_kg : p->removed_kg.mid);
        text_add(t, p->clean ? " removed; " : " removed, rest unknown by the rule; ");
    } else if (!p->clean) {
        text_add(t, "Nothing weighed; ");
    }
    text_add(t, "left by all readings together ");
    say_value(t, s, Q_VOLUME, p->left_m3);
    text_add(t, " of bed, ");
    say_value(t, s, Q_MASS, p->left_kg);
    text_add(t, " dry.");
}

static void say_part(text *t, unit_system s, const tufa_proof_part *part)
{
    const tufa_proof_row *row = tufa_proof_at(part->kind);
    text x = {0};
    text_addf(&x, "%s: ", row->title);
    if (!part->sees) text_add(&x, "says nothing about this bed");
    else if (isnan(part->says_m3)) text_add(&x, "does not name a volume, but counts");
    else {
        text_add(&x, "says ");
        say_quantity(&x, s, Q_VOLUME, part->says_m3);
        text_add(&x, ", give or take ");
        say_quantity(&x, s, Q_VOLUME, part->error_m3);
    }
    text_addf(&x, ". Does not see: %s.", row->blind);
    text_add(t, "  ");
    text_add_wrapped(t, text_str(&x), WIDTH, 4);
    text_add(t, "\n");
    text_free(&x);
}

void say_proof(text *t, unit_system s, const tufa_proof_in *in, const tufa_proof *p)
{
    text_add(t, "Left in the tank: ");
    say_value(t, s, Q_VOLUME, p->left_m3);
    text_add(t, " of bed, ");
    say_value(t, s, Q_MASS, p->left_kg);
    text_add(t, " dry\n");
    for (size_t i = 0; i < p->parts; i++) say_part(t, s, &p->part[i]);
    if (p->sharpen != TUFA_PROOF_COUNT) {
        text_addf(t, "Would sharpen it most: %s (%.0f min): the range from ", tufa_proof_at(p->sharpen)->title, tufa_proof_at(p->sharpen)->minutes);
        say_quantity(t, s, Q_VOLUME, p->width_m3);
        text_add(t, " to ");
        say_quantity(t, s, Q_VOLUME, p->width_after_m3);
        text_add(t, " wide.\n");
    } else {
        text_add(t, "No further reading would sharpen it much.\n");
    }
    text_addf(t, "By the rule: %s.\n", p->rule);
    text_add(t, "For the record: ");
    text x = {0};
    say_proof_sentence(&x, s, in, p);
    text_add_wrapped(t, text_str(&x), WIDTH, 0);
    text_add(t, "\n");
    text_free(&x);
    const char *works[MOST_WORKS] = {0};
    size_t n = 0;
    for (size_t i = 0; i < p->parts && n + 2 < MOST_WORKS; i++) works[n++] = tufa_proof_at(p->part[i].kind)->test;
    if (p->sharpen != TUFA_PROOF_COUNT) works[n++] = tufa_proof_at(p->sharpen)->test;
    say_work_cautions(t, works, in->fuel, true);
}
