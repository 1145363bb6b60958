#include "edge/desk/treatments.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"

enum { LOOKED_AT = 60, DRAWS = 80, MONTHS = 12 };
static const double SEASON_LOG_SD = 0.15;         /* one household's use from one half year to the next; judgement, no source */
static const double WEIGHS_WELL_KG = 1.0;         /* beside it what a cleaning leaves behind is small; judgement */
static const double USUAL_KG_YEAR = 0.5;          /* without a book: a year of hard water; only the months hang on it. Judgement */
static const double Z_90 = 1.2815515655446004;    /* standard normal quantile at 0.9 */

/* One heater that may take part. */
typedef struct candidate {
    int64_t water;
    char label[STORE_LABEL];
    tufa_fuel fuel;
    bool learned;
    double log_sd, kg_year;
} candidate;

typedef struct candidates {
    desk *d;
    desk_waters waters;
    tufa_arena arena;
    candidate c[LOOKED_AT];
    size_t n;
    bool with_findings; /* only those in which something was found */
} candidates;

static tufa_status look(candidates *all, const desk_case *c)
{
    tufa_ahead_in in = case_ahead_in(c, MONTHS, DRAWS, false);
    tufa_ahead a;
    all->arena.used = 0;
    RETURN_IF(tufa_ahead_look(&in, &all->arena, &a));
    candidate *k = &all->c[all->n++];
    *k = (candidate){.water = c->water->id, .fuel = c->known.fuel, .learned = a.found_used > 0,
                     .log_sd = log(a.eps_ref.p90 / a.eps_ref.p10) / (2.0 * Z_90), .kg_year = a.rate_kg_year.p50};
    memcpy(k->label, c->heater.label, sizeof k->label);
    return OK;
}

static tufa_status consider(void *ctx, const heater_rec *h)
{
    candidates *all = ctx;
    if (all->n == LOOKED_AT || !case_in_service(h, all->d->today) || h->leaking == YESNO_YES) return OK;
    desk_case *c = malloc(sizeof *c);
    if (!c) return trouble(TUFA_MEMORY, "treatments", NULL);
    tufa_status st = case_load(all->d->s, &all->waters, h, all->d->today, c);
    if (st.code == TUFA_OK && (c->findings > 0) == all->with_findings) st = look(all, c);
    free(c);
    return st;
}

/* The two on one water and fuel whose rates are known best. */
static bool best_pair(const candidates *all, trial_answer *out)
{
    double least = HUGE_VAL;
    for (size_t i = 0; i < all->n; i++)
        for (size_t k = i + 1; k < all->n; k++) {
            const candidate *x = &all->c[i], *y = &all->c[k];
            double both = x->log_sd * x->log_sd + y->log_sd * y->log_sd;
            if (x->water != y->water || x->fuel != y->fuel || both >= least) continue;
            least = both;
            memcpy(out->label[0], x->label, sizeof out->label[0]);
            memcpy(out->label[1], y->label, sizeof out->label[1]);
            out->kg_year[0] = x->kg_year;
            out->kg_year[1] = y->kg_year;
            out->fuel = x->fuel;
            out->learned = x->learned && y->learned;
            /* houses of which nothing was found share what their water lays down: only what lies between heaters is left */
            out->base.log_sd_between = out->learned ? sqrt(both / 2.0) : tufa_learn_water_default(x->fuel).between_log_sd;
        }
    return least < HUGE_VAL;
}

static tufa_status from_book(desk *d, trial_answer *out)
{
    candidates *all = calloc(1, sizeof *all);
    if (!all) return trouble(TUFA_MEMORY, "treatments", NULL);
    *all = (candidates){.d = d, .with_findings = true, .arena = {.size = tufa_ahead_bytes(MONTHS, DRAWS, TUFA_AHEAD_MAX_FINDINGS)}};
    all->arena.base = malloc(all->arena.size);
    waters_start(&all->waters, d->s, DRAWS);
    tufa_status st = all->arena.base ? store_heater_each(d->s, consider, all) : trouble(TUFA_MEMORY, "treatments", NULL);
    if (st.code == TUFA_OK && !(out->from_book = best_pair(all, out))) {
        all->with_findings = false;
        all->n = 0;
        st = store_heater_each(d->s, consider, all);
        out->from_book = st.code == TUFA_OK && best_pair(all, out);
    }
    waters_end(&all->waters);
    free(all->arena.base);
    free(all);
    return st;
}

static int months_for(double kg_year)
{
    static const int TERMS[] = {3, 6, 9, 12, 18, 24, 36};
    size_t k = 0;
    while (k + 1 < sizeof TERMS / sizeof TERMS[0] && kg_year * TERMS[k] / 12.0 < WEIGHS_WELL_KG) k++;
    return TERMS[k];
}

tufa_status desk_trial(desk *d, trial_answer *out)
{
    static const int PAIRS[TRIAL_ROWS] = {1, 1, 2, 2, 4, 4};
    trial_answer a = {.fuel = TUFA_ELECTRIC, .units = d ? d->units : UNITS_US, .kg_year = {USUAL_KG_YEAR, USUAL_KG_YEAR},
                      .base = {.pairs = 1, .log_sd_between = tufa_learn_water_default(TUFA_ELECTRIC).between_log_sd, .log_sd_season = SEASON_LOG_SD,
                               .log_sd_weighed = tufa_finding_at(TUFA_FOUND_WEIGHED)->log_sd}};
    if (d) RETURN_IF(from_book(d, &a));
    a.months = months_for(fmin(a.kg_year[0], a.kg_year[1]));
    for (int i = 0; i < TRIAL_ROWS; i++) {
        tufa_fair_trial t = a.base;
        t.pairs = a.row[i].pairs = PAIRS[i];
        t.swap = a.row[i].swap = i % 2;
        RETURN_IF(tufa_fair_trial_least_seen(&t, &a.row[i].least));
        RETURN_IF(tufa_fair_trial_power(&t, 0.5, &a.row[i].half));
    }
    *out = a;
    return OK;
}

/* ---- words ---- */

const char *evidence_words(tufa_evidence e)
{
    return e == TUFA_EVIDENCE_MEASURED ? "measured" : e == TUFA_EVIDENCE_MIXED ? "some evidence, from laboratories" : "no evidence that it works in a heater";
}

static void which_two(text *t, const trial_answer *a)
{
    if (a->from_book) text_addf(t, "%s and %s (one water, one fuel%s)", a->label[0], a->label[1], a->learned ? ", and their rates are known best" : "");
    else text_add(t, "Two houses on one water with heaters of one fuel");
}

void say_trial_how(text *t, const trial_answer *a)
{
    which_two(t, a);
    text_addf(t, ". Clean both tanks as far as they go and note the day. Toss a coin which gets the treatment; leave everything else in both as it is: setpoint, "
                 "people, softener. After %d months clean both again and weigh what comes out, dry, by somebody who does not know which was treated. Then change sides for "
                 "another %d months and weigh again.", a->months, a->months);
}

void say_trial_spread(text *t, const trial_answer *a)
{
    double apart = exp(Z_90 * sqrt(2.0) * a->base.log_sd_between), again = exp(Z_90 * sqrt(2.0) * hypot(a->base.log_sd_season, a->base.log_sd_weighed));
    text_addf(t, "Why a single look shows nothing: %s", a->learned ? "even reckoned by what was found in them, what these two lay down" : "what two like heaters on one water lay down");
    text_addf(t, " may still differ up to %.1f times either way by itself, and two weighings of one tank up to %.1f times. ", apart, again);
    if (!a->from_book) return;
    text_addf(t, "Expected without treatment: ");
    say_quantity(t, a->units, Q_MASS, a->kg_year[0] * a->months / 12.0);
    text_add(t, " and ");
    say_quantity(t, a->units, Q_MASS, a->kg_year[1] * a->months / 12.0);
    text_addf(t, " in %d months.", a->months);
}

void say_trial_row(text *t, const trial_answer *a, size_t row)
{
    static const char *const PAIRS[] = {"", "one pair of houses", "two pairs", "", "four pairs"};
    text_addf(t, "%s, %s", PAIRS[a->row[row].pairs], a->row[row].swap ? "with the sides changed" : "once");
}

void say_trial_foot(text *t, const trial_answer *a)
{
    (void)a;
    text_add(t, "A treatment that does nothing is taken for one that works in 1 of 40 such trials. The sale can wait for it: whoever is sure of a device can lend it.");
}
