/* A course that is kept to, costed with the draws and the luck of the choice, so that two courses can be held side by side. */
#include "core/base/status.h"
#include "core/money/solve.h"

#include <math.h>

static int due(double every_years, int step) { return every_years > 0.0 && step > 0 && fmod(STEP_YEARS * step, every_years) < 0.5 * STEP_YEARS; }

static tufa_choice act_of(const tufa_money_course *want, int step)
{
    int clean = due(want->clean_years, step), anode = due(want->anode_years, step);
    if (clean && anode) return TUFA_CHOICE_CLEAN_ANODE;
    if (clean) return TUFA_CHOICE_CLEAN;
    if (anode) return TUFA_CHOICE_ANODE;
    return due(want->flush_years, step) ? TUFA_CHOICE_FLUSH : TUFA_CHOICE_LEAVE;
}

static course lay_course(const tufa_money_course *want, const stand *s)
{
    course c;
    double age = 0.0;
    int gone = 0;
    for (size_t i = 0; i < s->n && !s->fresh; i++) age += s->ws->w[i].age / (double)s->n;
    for (int k = 0; k < STEPS; k++) {
        int old = want->replace_age_years > 0.0 && age + STEP_YEARS * k >= want->replace_age_years;
        c.act[k] = gone ? TUFA_CHOICE_LEAVE : old ? TUFA_CHOICE_REPLACE : (unsigned char)act_of(want, k);
        gone = gone || old;
    }
    return c;
}

static tufa_status take(size_t n, tufa_arena *arena, double **v)
{
    *v = tufa_arena_take(arena, n, sizeof(double));
    return *v ? OK : trouble(TUFA_MEMORY, "arena", NULL);
}

static tufa_status answer(worlds *ws, const tufa_money_course *want, tufa_arena *arena, tufa_money_followed *out)
{
    size_t n = ws->n;
    stand fresh, now;
    double *a, *b, *step_usd, *step_fails, *price, *next, *within, *usd, *slope, *years, *lucky, *scratch, *lucky_all;
    RETURN_IF(draw_worlds(ws, arena));
    size_t steps = (size_t)ws->luck_steps;
    double **columns[] = {&a, &b, &price, &next, &usd, &slope, &years, &lucky, &scratch, &lucky_all};
    for (size_t k = 0; k < sizeof columns / sizeof columns[0]; k++) RETURN_IF(take(n, arena, columns[k]));
    RETURN_IF(take(n * steps, arena, &step_usd));
    RETURN_IF(take(n * steps, arena, &step_fails));
    RETURN_IF(take(n * (steps + 1), arena, &within));
    RETURN_IF(make_stand(ws, TUFA_CHOICE_COUNT, 1, arena, &fresh));
    RETURN_IF(make_stand(ws, TUFA_CHOICE_COUNT, 0, arena, &now));
    course c = lay_course(want, &fresh);
    RETURN_IF(walk_course(&fresh, &c, &(walk){.usd = a, .slope = b, .step_usd = step_usd, .step_fails = step_fails, .steps = (int)steps}, arena));
    for (size_t i = 0; i < n; i++) {
        price[i] = ws->w[i].spend[TUFA_CHOICE_REPLACE];
        next[i] = (price[i] + a[i]) / (1.0 - b[i]);
    }
    renew_within(n, (int)steps, step_usd, step_fails, price, within);
    c = lay_course(want, &now);
    RETURN_IF(walk_course(&now, &c, &(walk){.usd = usd, .slope = slope, .next_usd = next, .within = within, .years_usd = years, .lucky_usd = lucky_all, .lucky_years_usd = lucky}, arena));
    for (size_t i = 0; i < n; i++) out->present_usd += (usd[i] + slope[i] * next[i]) / (double)n;
    out->mean_years_usd = mean_of(n, years);
    out->years_usd = band_at(n, lucky, scratch);
    out->rolled_usd = mean_of(n, lucky);
    double apart = 0.0;
    for (size_t i = 0; i < n; i++) apart += pow(lucky[i] - years[i], 2.0);
    out->rolled_error_usd = sqrt(apart) / (double)n;
    return OK;
}

tufa_status tufa_money_follow(const tufa_money_in *in, const tufa_money_course *want, tufa_arena *arena, tufa_money_followed *out)
{
    RETURN_IF(check_money(in));
    const struct {
        const char *field;
        double years;
    } EVERY[] = {{"flush_years", want->flush_years}, {"clean_years", want->clean_years}, {"anode_years", want->anode_years},
                 {"replace_age_years", want->replace_age_years}};
    for (size_t k = 0; k < sizeof EVERY / sizeof EVERY[0]; k++) RETURN_IF(in_range(EVERY[k].field, EVERY[k].years, 0.0, 100.0));
    size_t used = arena->used;
    worlds ws = {.in = in, .n = in->ahead->draws};
    tufa_money_followed f = {0};
    tufa_status st = answer(&ws, want, arena, &f);
    arena->used = used;
    if (st.code == TUFA_OK) *out = f;
    return st;
}
