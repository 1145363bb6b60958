#include <stdlib.h>
#include <string.h>

#include "tests/check.h"
#include "tools/bill_houses.h"

#if defined(__SANITIZE_ADDRESS__)
enum { SLOWER = 10 }; /* instrumented runs take fewer cases */
#else
enum { SLOWER = 1 };
#endif

static tufa_status read_bills(size_t n, const tufa_bill_period *p, tufa_bill_result *r)
{
    size_t bytes = tufa_bill_bytes(n);
    tufa_arena a = {.base = malloc(bytes), .size = bytes};
    tufa_status st = tufa_bill_read(n, p, 0, 0.0, NULL, NULL, &a, r);
    free(a.base);
    return st;
}

static const tufa_bill_remark *find_remark(const tufa_bill_result *r, tufa_bill_remark_kind kind)
{
    for (size_t i = 0; i < r->remarks.n; i++)
        if (r->remarks.at[i].kind == kind) return &r->remarks.at[i];
    return NULL;
}

/* At least as many as a share p lets expect of n, less three standard errors. */
static int enough(int count, int n, double p) { return count >= n * p - 3.0 * sqrt(n * p * (1.0 - p)); }

/* ---- false alarms and power ---- */

static void of_a_thousand_steady_houses_at_most_fifty_are_flagged(void **state)
{
    (void)state;
    enum { HOUSES = 1000 / SLOWER };
    int flagged = 0, by_noise[NOISE_COUNT] = {0};
    tufa_bill_result r;
    for (uint64_t i = 0; i < HOUSES; i++) {
        house h = {.key = 7000 + i, .months = i % 5 == 0 ? 12 : i % 5 == 1 ? 36 : 24, .noise = (house_noise)(i % NOISE_COUNT), .cools = i % 3 == 0,
                   .weatherless = i % 11 == 0, .noise_share = 0.03 + 0.07 * tufa_uniform(1, 1, i)};
        house_fill(&h);
        if (i % 7 == 0) h.p[i % 12].use *= i % 2 ? 0.3 : 2.5; /* and one wild reading */
        if (i % 13 == 0) {                                     /* and an estimate that nobody marked */
            double held_back = 0.5 * h.p[4].use;
            h.p[4].use -= held_back;
            h.p[5].use += held_back;
        }
        CHECK_OK(read_bills((size_t)h.months, h.p, &r), i);
        flagged += r.kind != TUFA_BILL_NONE;
        by_noise[h.noise] += r.kind != TUFA_BILL_NONE;
    }
    print_message("# %d of %d flagged: even %d, with level %d, lasting %d, tailed %d\n", flagged, (int)HOUSES, by_noise[0], by_noise[1], by_noise[2], by_noise[3]);
    CHECK_TRUE(flagged * 20 <= HOUSES, flagged);
}

static void a_step_of_four_times_the_noise_is_found_with_its_date_and_size(void **state)
{
    (void)state;
    enum { HOUSES = 120 / SLOWER };
    int found = 0, steps = 0, dated = 0, sized = 0;
    tufa_bill_result r;
    for (uint64_t i = 0; i < HOUSES; i++) {
        house h = {.key = 500 + i, .months = 24, .noise = (house_noise)(i % 2), .noise_share = 0.06, .kind = TUFA_BILL_STEP,
                   .size = i % 3 == 0 ? -4.0 : 4.0, .at = 0.3 + 0.4 * tufa_uniform(2, 1, i), .until = 1.0};
        house_fill(&h);
        CHECK_OK(read_bills(24, h.p, &r), i);
        found += r.kind != TUFA_BILL_NONE;
        if (r.kind != TUFA_BILL_STEP) continue;
        steps++;
        dated += r.day.lo <= h.change_day && h.change_day <= r.day.hi;
        sized += r.per_day.lo <= h.change_per_day && h.change_per_day <= r.per_day.hi;
    }
    print_message("# %d of %d found, %d as a step; date within its interval %d, size %d\n", found, (int)HOUSES, steps, dated, sized);
    CHECK_TRUE(enough(found, HOUSES, 0.97), found);
    CHECK_TRUE(enough(steps, found, 0.95), steps);
    CHECK_TRUE(enough(dated, steps, 0.95), dated); /* the intervals say 95 % */
    CHECK_TRUE(enough(sized, steps, 0.95), sized);
}

static void kinds_of_change_are_told_apart(void **state)
{
    (void)state;
    enum { HOUSES = 20 };
    const struct {
        tufa_bill_change_kind kind;
        double size, at, until;
    } C[] = {{TUFA_BILL_STEP, 8.0, 0.5, 1.0}, {TUFA_BILL_PULSE, -8.0, 0.4, 0.55}, {TUFA_BILL_STEP_AND_BACK, 8.0, 0.35, 0.65}, {TUFA_BILL_RAMP, 12.0, 0.15, 0.9}};
    tufa_bill_result r;
    for (size_t c = 0; c < 4; c++) {
        int right = 0;
        for (uint64_t i = 0; i < HOUSES / (SLOWER > 1 ? 5 : 1); i++) {
            house h = {.key = 900 + i, .months = 24, .noise_share = 0.05, .kind = C[c].kind, .size = C[c].size, .at = C[c].at, .until = C[c].until};
            house_fill(&h);
            CHECK_OK(read_bills(24, h.p, &r), i);
            right += r.kind == C[c].kind;
        }
        CHECK_TRUE(right * 10 >= HOUSES / (SLOWER > 1 ? 5 : 1) * 7, 100 * (int)c + right);
    }
}

/* ---- what must not matter ---- */

static void the_order_of_the_rows_does_not_matter(void **state)
{
    (void)state;
    tufa_bill_result a, b;
    for (uint64_t i = 0; i < 10; i++) {
        house h = {.key = 40 + i, .months = 24, .noise_share = 0.06, .kind = TUFA_BILL_STEP, .size = 5.0, .at = 0.5, .until = 1.0};
        house_fill(&h);
        CHECK_OK(read_bills(24, h.p, &a), i);
        for (size_t k = 0; k < 24; k++) { /* a fixed shuffle */
            size_t other = (size_t)(24.0 * tufa_uniform(3, i, k));
            tufa_bill_period t = h.p[k];
            h.p[k] = h.p[other];
            h.p[other] = t;
        }
        CHECK_OK(read_bills(24, h.p, &b), i);
        CHECK_TRUE(memcmp(&a, &b, sizeof a) == 0, i);
    }
}

static void another_unit_of_use_scales_the_answer_and_nothing_else(void **state)
{
    (void)state;
    const double K = 3.6e6;
    tufa_bill_result a, b;
    for (uint64_t i = 0; i < 10; i++) {
        house h = {.key = 60 + i, .months = 24, .noise_share = 0.06, .kind = TUFA_BILL_STEP, .size = 5.0, .at = 0.5, .until = 1.0};
        house_fill(&h);
        CHECK_OK(read_bills(24, h.p, &a), i);
        for (size_t k = 0; k < 24; k++) h.p[k].use *= K;
        CHECK_OK(read_bills(24, h.p, &b), i);
        CHECK_TRUE(a.kind == b.kind && a.form == b.form, i);
        CHECK_REL(b.base_per_day, K * a.base_per_day, 1e-6, i);
        CHECK_REL(b.per_day.mid, K * a.per_day.mid, 1e-6, i);
        CHECK_NEAR(b.day.mid, a.day.mid, 1.0, i);
        CHECK_NEAR(b.probability[TUFA_BILL_NONE], a.probability[TUFA_BILL_NONE], 1e-6, i);
    }
}

static void with_little_noise_the_model_comes_back(void **state)
{
    (void)state;
    double off = 0.0;
    tufa_bill_result r;
    for (uint64_t i = 0; i < 20; i++) {
        house h = {.key = 80 + i, .months = 24, .noise_share = 0.004, .cools = i % 2 == 0};
        house_fill(&h);
        CHECK_OK(read_bills(24, h.p, &r), i);
        CHECK_TRUE(r.kind == TUFA_BILL_NONE, i);
        for (size_t k = 0; k < 24; k++) { /* what it expects of each month, against the truth */
            double K = h.p[k].mean_K, truth = h.base + h.heating * fmax(h.heating_K - K, 0.0) + h.cooling * fmax(K - h.cooling_K, 0.0);
            off += fabs(tufa_bill_expected(&r, &h.p[k], 0, 0.0, NULL, 0) - truth) / h.mean / 480.0;
        }
        if (h.cools) continue; /* a hot month alone beyond the balance point makes no slope */
        CHECK_TRUE(r.form == TUFA_BILL_3PH, i);
        CHECK_REL(r.base_per_day, h.base, 0.02, i);
        CHECK_REL(r.heating_per_day_K, h.heating, 0.02, i);
        CHECK_NEAR(r.heating_balance_K, h.heating_K, 0.4, i);
    }
    CHECK_TRUE(off < 0.01, (int)(1e4 * off));
}

/* ---- wild readings, estimates, gaps ---- */

static void one_wild_reading_is_named_and_moves_nothing(void **state)
{
    (void)state;
    tufa_bill_result clean, wild;
    for (uint64_t i = 0; i < 24; i++) {
        house h = {.key = 200 + i, .months = 24, .noise_share = 0.04};
        house_fill(&h);
        size_t at = 1 + i % 22;
        CHECK_OK(read_bills(24, h.p, &clean), i);
        h.p[at].use *= i % 2 ? 3.0 : 0.1;
        CHECK_OK(read_bills(24, h.p, &wild), i);
        const tufa_bill_remark *m = find_remark(&wild, TUFA_BILL_REMARK_WILD);
        CHECK_TRUE(m && fabs(m->day - h.p[at].start_day) < 0.5, i);
        CHECK_TRUE(wild.n_wild == 1 && wild.kind == clean.kind, i);
        CHECK_NEAR(wild.base_per_day, clean.base_per_day, 2.0 * clean.base_se, i);
    }
}

static void a_marked_estimate_is_joined_with_its_correction(void **state)
{
    (void)state;
    tufa_bill_result r;
    house h = {.key = 300, .months = 24, .noise_share = 0.04};
    house_fill(&h);
    for (size_t i = 8; i < 10; i++) {
        h.p[i].flags |= TUFA_BILL_ESTIMATED;
        double held_back = 0.6 * h.p[i].use;
        h.p[i].use -= held_back;
        h.p[10].use += held_back;
    }
    h.p[23].flags |= TUFA_BILL_ESTIMATED; /* nothing follows that would correct it */
    CHECK_OK(read_bills(24, h.p, &r), 0);
    const tufa_bill_remark *joined = find_remark(&r, TUFA_BILL_REMARK_ESTIMATED);
    CHECK_TRUE(joined && joined->day == h.p[8].start_day && joined->end_day == h.p[10].start_day + h.p[10].days, 1);
    CHECK_TRUE(find_remark(&r, TUFA_BILL_REMARK_ESTIMATE_LEFT) != NULL, 2);
    CHECK_TRUE(r.n_used == 21 && r.n_wild == 0 && r.kind == TUFA_BILL_NONE, 3);
}

static void an_unmarked_estimate_is_found_and_makes_no_change(void **state)
{
    (void)state;
    int named = 0;
    tufa_bill_result r;
    enum { HOUSES = 20 };
    for (uint64_t i = 0; i < HOUSES; i++) {
        house h = {.key = 330 + i, .months = 24, .noise_share = 0.04};
        house_fill(&h);
        size_t at = 3 + i % 18;
        double held_back = 0.5 * h.p[at].use;
        h.p[at].use -= held_back;
        h.p[at + 1].use += held_back;
        CHECK_OK(read_bills(24, h.p, &r), i);
        const tufa_bill_remark *m = find_remark(&r, TUFA_BILL_REMARK_CATCH_UP);
        named += m && m->day == h.p[at].start_day;
        CHECK_TRUE(r.kind == TUFA_BILL_NONE, i);
    }
    CHECK_TRUE(named >= HOUSES * 8 / 10, named);
}

static void gaps_overlaps_and_doubles_are_named_and_do_not_bend_the_fit(void **state)
{
    (void)state;
    tufa_bill_result whole, r;
    house h = {.key = 400, .months = 24, .noise_share = 0.03};
    house_fill(&h);
    CHECK_OK(read_bills(24, h.p, &whole), 0);
    tufa_bill_period p[26];
    size_t n = 0;
    for (size_t i = 0; i < 24; i++)
        if (i != 7 && i != 8) p[n++] = h.p[i]; /* two months missing */
    p[n++] = h.p[3];                           /* one given twice */
    p[5].start_day -= 10.0;                    /* one that begins ten days too early, with the use of those days */
    p[5].use *= (p[5].days + 10.0) / p[5].days;
    p[5].days += 10.0;
    CHECK_OK(read_bills(n, p, &r), 1);
    const tufa_bill_remark *gap = find_remark(&r, TUFA_BILL_REMARK_GAP), *over = find_remark(&r, TUFA_BILL_REMARK_OVERLAP);
    CHECK_TRUE(gap && gap->value == h.p[7].days + h.p[8].days, 2);
    CHECK_TRUE(over && over->value == 10.0, 3);
    CHECK_TRUE(find_remark(&r, TUFA_BILL_REMARK_TWICE) != NULL, 4);
    CHECK_TRUE(r.n_used == 22 && r.kind == TUFA_BILL_NONE, 5);
    CHECK_NEAR(r.base_per_day, whole.base_per_day, 3.0 * whole.base_se, 6);
}

static void a_new_meter_and_new_people_are_named_at_the_change(void **state)
{
    (void)state;
    tufa_bill_result r;
    house h = {.key = 420, .months = 24, .noise_share = 0.03, .kind = TUFA_BILL_STEP, .size = 8.0, .at = 0.5, .until = 1.0};
    house_fill(&h);
    h.p[12].flags |= TUFA_BILL_METER_CHANGED | TUFA_BILL_NEW_HOUSEHOLD;
    CHECK_OK(read_bills(24, h.p, &r), 0);
    CHECK_TRUE(r.kind == TUFA_BILL_STEP, 1);
    CHECK_TRUE(find_remark(&r, TUFA_BILL_REMARK_METER_AT_STEP) && find_remark(&r, TUFA_BILL_REMARK_PEOPLE_AT_STEP), 2);
}

static void an_empty_house_is_left_out_when_it_is_said(void **state)
{
    (void)state;
    tufa_bill_result r;
    house h = {.key = 430, .months = 24, .noise_share = 0.04, .kind = TUFA_BILL_PULSE, .size = -10.0, .at = 10.0 / 24.0, .until = 13.0 / 24.0};
    house_fill(&h);
    for (size_t i = 9; i < 14; i++) h.p[i].flags |= TUFA_BILL_VACANT;
    CHECK_OK(read_bills(24, h.p, &r), 0);
    CHECK_TRUE(r.kind == TUFA_BILL_NONE && r.n_used == 19 && find_remark(&r, TUFA_BILL_REMARK_VACANT) != NULL, 1);
}

static void a_new_price_is_money_not_use(void **state)
{
    (void)state;
    tufa_bill_result r;
    for (int rises = 0; rises < 2; rises++) {
        house h = {.key = 440, .months = 24, .noise_share = 0.05};
        house_fill(&h);
        for (size_t i = 0; i < 24; i++) {
            h.p[i].cost = 12.0 + (rises && i >= 14 ? 0.19 : 0.15) * h.p[i].use;
            h.p[i].flags |= TUFA_BILL_HAS_COST;
        }
        CHECK_OK(read_bills(24, h.p, &r), rises);
        const tufa_bill_remark *m = find_remark(&r, TUFA_BILL_REMARK_PRICE);
        CHECK_TRUE((m != NULL) == rises && r.kind == TUFA_BILL_NONE, rises);
        if (m) CHECK_NEAR(m->value, 0.19 / 0.15, 0.02, rises);
    }
}

static void nonsense_is_refused(void **state)
{
    (void)state;
    tufa_bill_result r;
    house h = {.key = 450, .months = 24, .noise_share = 0.05};
    house_fill(&h);
    tufa_bill_period p[24];
    const struct {
        double use, days, start, K;
    } BAD[] = {{-1.0, 30.0, 0.0, 280.0}, {NAN, 30.0, 0.0, 280.0}, {1.0, 0.0, 0.0, 280.0}, {1.0, NAN, 0.0, 280.0}, {1.0, 5000.0, 0.0, 280.0},
               {1.0, 30.0, INFINITY, 280.0}, {1.0, 30.0, 0.0, 5.0}, {1.0, 30.0, 0.0, NAN}, {INFINITY, 30.0, 0.0, 280.0}};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        memcpy(p, h.p, sizeof p);
        p[5] = (tufa_bill_period){.use = BAD[i].use, .days = BAD[i].days, .start_day = h.p[5].start_day + BAD[i].start, .mean_K = BAD[i].K,
                                  .flags = TUFA_BILL_HAS_MEAN};
        CHECK_CODE(read_bills(24, p, &r), TUFA_RANGE, i);
    }
    CHECK_CODE(read_bills(0, h.p, &r), TUFA_RANGE, 20);
    CHECK_CODE(read_bills(5, h.p, &r), TUFA_MISSING, 21);
    memcpy(p, h.p, sizeof p);
    for (size_t i = 0; i < 13; i++) p[i] = h.p[0];
    CHECK_CODE(read_bills(13, p, &r), TUFA_CONFLICT, 22);
    for (size_t i = 0; i < 24; i++) p[i].use = 0.0; /* a house that used nothing is odd, not wrong */
    for (size_t i = 0; i < 24; i++) p[i].start_day = 30.0 * (double)i, p[i].days = 30.0;
    tufa_status st = read_bills(24, p, &r);
    CHECK_TRUE(st.code == TUFA_OK || st.code == TUFA_SOLVE, 23);
    unsigned char little[64];
    tufa_arena small = {.base = little, .size = sizeof little};
    CHECK_CODE(tufa_bill_read(24, h.p, 0, 0.0, NULL, NULL, &small, &r), TUFA_MEMORY, 24);
}

static void the_arena_asked_for_is_enough_and_not_idle(void **state)
{
    (void)state;
    static tufa_bill_period p[TUFA_BILL_MAX_PERIODS];
    tufa_bill_result r;
    size_t sizes[] = {6, 7, 24, 100, 300, TUFA_BILL_MAX_PERIODS};
    for (size_t k = 0; k < sizeof sizes / sizeof sizes[0]; k++) {
        size_t n = sizes[k], bytes = tufa_bill_bytes(n);
        for (size_t i = 0; i < n; i++)
            p[i] = (tufa_bill_period){.start_day = 30.0 * (double)i, .days = 30.0, .use = 300.0 + 30.0 * tufa_normal(5, k, i),
                                      .mean_K = house_climate_K(30.0 * (double)i), .flags = TUFA_BILL_HAS_MEAN};
        tufa_arena a = {.base = malloc(bytes), .size = bytes};
        CHECK_OK(tufa_bill_read(n, p, 0, 0.0, NULL, NULL, &a, &r), n);
        CHECK_TRUE(a.used == 0 && a.peak > bytes / 2, n);
        free(a.base);
    }
}

/* ---- daily temperatures ---- */

static void daily_temperatures_take_the_bias_out_of_the_balance_point(void **state)
{
    (void)state;
    enum { DAYS = 760 };
    double day_K[DAYS], with = 0.0, without = 0.0;
    tufa_bill_result r;
    for (uint64_t i = 0; i < 20; i++) {
        house h = {.key = 600 + i, .months = 24, .noise_share = 0.0};
        house_fill(&h);
        double first = h.p[0].start_day;
        for (size_t d = 0; d < DAYS; d++) day_K[d] = house_climate_K(first + (double)d) + 4.5 * tufa_normal(h.key, 9, d);
        for (size_t k = 0; k < 24; k++) {
            double sum = 0.0, mean = 0.0;
            size_t from = (size_t)(h.p[k].start_day - first), days = (size_t)h.p[k].days;
            for (size_t d = from; d < from + days; d++) {
                sum += h.base + h.heating * fmax(h.heating_K - day_K[d], 0.0);
                mean += day_K[d] / (double)days;
            }
            h.p[k].use = sum * (1.0 + 0.01 * tufa_normal(h.key, 10, k));
            h.p[k].mean_K = mean;
        }
        size_t bytes = tufa_bill_bytes(24);
        tufa_arena a = {.base = malloc(bytes), .size = bytes};
        CHECK_OK(tufa_bill_read(24, h.p, DAYS, first, day_K, NULL, &a, &r), i);
        with += fabs(r.base_per_day - h.base) / h.base / 20.0;
        CHECK_NEAR(r.heating_balance_K, h.heating_K, 1.0, i);
        CHECK_OK(tufa_bill_read(24, h.p, 0, 0.0, NULL, NULL, &a, &r), i);
        without += fabs(r.base_per_day - h.base) / h.base / 20.0;
        CHECK_TRUE(find_remark(&r, TUFA_BILL_REMARK_HIDDEN_COLD) || r.heating_balance_K == 0.0, i);
        free(a.base);
    }
    print_message("# error of the base: %.2f %% with daily temperatures, %.2f %% with monthly means\n", 100.0 * with, 100.0 * without);
    CHECK_TRUE(with < 0.03 && with < without, 0);
}

/* ---- causes, through the tank stage ---- */

/* Mean use of one heater, W, with a change to it; taps are mixed to 40 C, so that a hotter tank gives less. */
static double heater_W(const tufa_tank *tank, const tufa_tank_change *change, double daily_m3)
{
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draws, .n = tufa_tank_draws_for(daily_m3, draws), .tempered_K = 313.15};
    tufa_tank_day day;
    CHECK_OK(tufa_tank_typical_day(tank, change, change ? 1 : 0, &use, tank->inlet_K, tank->ambient_K, &day), 0);
    return day.in_J / 86400.0;
}

static const tufa_bill_cause_fit *cause_named(const tufa_bill_causes *c, const char *id)
{
    for (size_t i = 0; i < c->n; i++)
        if (strcmp(c->at[i].cause->id, id) == 0) return &c->at[i];
    return NULL;
}

static void a_simulated_leak_comes_back_as_a_step_that_its_cause_fits(void **state)
{
    (void)state;
    const double W_TO_KWH_DAY = 86400.0 / 3.6e6;
    const struct {
        tufa_tank_change_id id;
        double size;
        const char *cause;
    } LEAKS[] = {{TUFA_CHANGE_HOT_DRIP, 4.0e-3 / 3600.0, "hot_drip"}, {TUFA_CHANGE_HOT_DRIP, 6.0e-3 / 3600.0, "hot_drip"},
                 {TUFA_CHANGE_HOT_DRIP, 10.0e-3 / 3600.0, "hot_drip"}};
    tufa_tank tank = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_bill_result r;
    tufa_bill_causes c;
    for (size_t k = 0; k < sizeof LEAKS / sizeof LEAKS[0]; k++) {
        tufa_tank_change change = tufa_tank_change_usual(LEAKS[k].id);
        change.size = LEAKS[k].size;
        double extra_W = heater_W(&tank, &change, 0.17) - heater_W(&tank, NULL, 0.17), extra = extra_W * W_TO_KWH_DAY;
        house h = {.key = 700 + k, .months = 24, .noise_share = 0.03, .kind = TUFA_BILL_STEP, .at = 0.5, .until = 1.0};
        house_fill(&h);
        for (size_t i = 0; i < 24; i++) h.p[i].use += extra * h.p[i].days * house_changed(&h, &h.p[i]);
        CHECK_OK(read_bills(24, h.p, &r), k);
        CHECK_TRUE(r.kind == TUFA_BILL_STEP && r.per_day.lo <= extra && extra <= r.per_day.hi, k);
        tufa_bill_house home = {.tank = &tank, .fuel = TUFA_TANK_ELECTRIC, .daily_m3 = 0.17};
        tufa_bill_span W = {r.per_day.mid / W_TO_KWH_DAY, r.per_day.lo / W_TO_KWH_DAY, r.per_day.hi / W_TO_KWH_DAY};
        CHECK_OK(tufa_bill_could_be(&home, &W, &c), k);
        const tufa_bill_cause_fit *f = cause_named(&c, LEAKS[k].cause), *kept = cause_named(&c, "earthed_element");
        CHECK_TRUE(f && f->fits > 0.5, k);
        CHECK_TRUE(kept && kept->fits < 0.05, k); /* no sink for so much heat */
        if (LEAKS[k].id == TUFA_CHANGE_HOT_DRIP) CHECK_REL(c.drip_L_h * 1e-3 / 3600.0, LEAKS[k].size, 0.35, k);
    }
}

/* Below the tank's own load an earthed element only makes the thermostat run less. */
static void an_earthed_element_below_the_load_does_not_show_in_the_bill(void **state)
{
    (void)state;
    tufa_tank tank = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_change c = tufa_tank_change_usual(TUFA_CHANGE_LOWER_ELEMENT_EARTHED);
    c.fault_ohm = 60.0; /* about 240 W */
    double extra_W = heater_W(&tank, &c, 0.17) - heater_W(&tank, NULL, 0.17);
    tufa_bill_house home = {.tank = &tank, .fuel = TUFA_TANK_ELECTRIC, .daily_m3 = 0.17};
    tufa_bill_span W = {100.0, 90.0, 110.0};
    tufa_bill_causes causes;
    CHECK_OK(tufa_bill_could_be(&home, &W, &causes), 0);
    const tufa_bill_cause_fit *kept = cause_named(&causes, "earthed_element");
    CHECK_TRUE(kept && extra_W <= kept->bound_W + 5.0, 1);
    CHECK_TRUE(kept->bound_W <= tank.loss_W_K * (tank.limit_K - tank.setpoint_K) + 1.0, 2);
}

static void a_change_too_large_for_it_cannot_be_the_heater(void **state)
{
    (void)state;
    tufa_bill_span huge = {6000.0, 5500.0, 6500.0}, usual = {150.0, 120.0, 180.0};
    tufa_bill_house electric = {.fuel = TUFA_TANK_ELECTRIC};
    tufa_bill_causes c;
    CHECK_OK(tufa_bill_could_be(&electric, &huge, &c), 0);
    CHECK_TRUE(c.heater_fits < 0.05 && c.heater_share < 0.05, 0);
    CHECK_OK(tufa_bill_could_be(&electric, &usual, &c), 1);
    CHECK_TRUE(c.heater_fits > 0.5, 1);
    tufa_tank gas = tufa_tank_default(TUFA_TANK_GAS);
    tufa_bill_house other = {.tank = &gas, .fuel = TUFA_TANK_ELECTRIC};
    CHECK_OK(tufa_bill_could_be(&other, &usual, &c), 2);
    CHECK_TRUE(c.heater_fits == 0.0 && c.heater_share == 0.0, 2);
    double share = 0.0;
    for (size_t i = 0; i < c.n; i++) share += c.at[i].share;
    CHECK_NEAR(share, 1.0, 1e-9, 3);
}

static void every_cause_has_its_words_its_source_and_known_cautions(void **state)
{
    (void)state;
    for (size_t i = 0; i < tufa_bill_cause_count(); i++) {
        const tufa_bill_cause *c = tufa_bill_cause_at(i);
        CHECK_TRUE(c->id && c->title && c->look && c->fuels && c->common > 0.0 && c->lo <= c->hi && tufa_source_at(c->source), i);
        char ids[96];
        snprintf(ids, sizeof ids, "%s", c->cautions ? c->cautions : "");
        for (char *save = NULL, *id = strtok_r(ids, " ", &save); id; id = strtok_r(NULL, " ", &save)) CHECK_TRUE(tufa_caution_find(id) != NULL, i);
    }
    CHECK_TRUE(tufa_bill_cause_at(tufa_bill_cause_count()) == NULL, 0);
}

static void the_answer_reaches_the_fault_stage_as_a_reading(void **state)
{
    (void)state;
    tufa_bill_result r = {.kind = TUFA_BILL_STEP, .per_day = {3.0, 2.0, 4.0}};
    tufa_reading reading;
    CHECK_OK(tufa_bill_as_reading(&r, &reading), 0);
    const tufa_test *t = tufa_fault_test_at((size_t)reading.test);
    CHECK_TRUE(t && strcmp(t->id, "bill_split") == 0 && strcmp(t->categories[reading.category], "use_up") == 0, 0);
    r.kind = TUFA_BILL_NONE;
    CHECK_OK(tufa_bill_as_reading(&r, &reading), 1);
    CHECK_TRUE(strcmp(t->categories[reading.category], "no_change") == 0, 1);
}

/* ---- several fuels ---- */

static void two_fuels_that_change_on_one_day_are_seen_to(void **state)
{
    (void)state;
    tufa_bill_result a = {.kind = TUFA_BILL_STEP, .probability = {0.01, 0.99}, .day = {19300.0, 19285.0, 19315.0}, .first_day = 19000.0, .last_day = 19730.0}, b = a;
    const tufa_bill_result *both[] = {&a, &b};
    double same;
    CHECK_OK(tufa_bill_together(2, both, &same), 0);
    CHECK_TRUE(same > 0.8, 0);
    b.day = (tufa_bill_span){19500.0, 19485.0, 19515.0};
    CHECK_OK(tufa_bill_together(2, both, &same), 1);
    CHECK_TRUE(same < 0.01, 1);
    CHECK_CODE(tufa_bill_together(1, both, &same), TUFA_RANGE, 2);
}

/* ---- interval readings ---- */

typedef struct stream {
    void *memory;
    tufa_bill_stream *s;
} stream;

static stream open_stream(double plate_W)
{
    stream x = {.memory = malloc(tufa_bill_stream_bytes())};
    tufa_bill_interval_options opt = {.plate_W = plate_W};
    CHECK_OK(tufa_bill_interval_start(x.memory, tufa_bill_stream_bytes(), &opt, &x.s), 0);
    return x;
}

static void energy_is_the_same_in_any_order_and_doubles_count_once(void **state)
{
    (void)state;
    enum { N = 2000 };
    tufa_bill_interval_result a, b;
    stream one = open_stream(0.0), two = open_stream(0.0);
    for (uint64_t i = 0; i < N; i++) {
        double J = 900.0 * 1000.0 * tufa_uniform(1, 7, i);
        CHECK_OK(tufa_bill_interval_add(one.s, 1.6e9 + 900.0 * (double)i, 900.0, J), i);
    }
    for (uint64_t k = 0; k < N; k++) {
        uint64_t i = (k * 777) % N; /* every index once: 777 and 2000 share no factor */
        double J = 900.0 * 1000.0 * tufa_uniform(1, 7, i);
        CHECK_OK(tufa_bill_interval_add(two.s, 1.6e9 + 900.0 * (double)i, 900.0, J), i);
        if (k % 5 == 0) CHECK_OK(tufa_bill_interval_add(two.s, 1.6e9 + 900.0 * (double)i, 900.0, J), i);
    }
    CHECK_OK(tufa_bill_interval_finish(one.s, &a), 0);
    CHECK_OK(tufa_bill_interval_finish(two.s, &b), 1);
    CHECK_REL(b.energy_J, a.energy_J, 1e-12, 0);
    CHECK_REL(b.base_W, a.base_W, 1e-12, 0);
    CHECK_TRUE(a.left_out == 0 && b.left_out == N / 5 && a.missing_s == 0.0, 0);
    tufa_bill_period p[100];
    size_t n;
    CHECK_OK(tufa_bill_interval_periods(one.s, 0, 1, 100, p, &n), 0);
    CHECK_TRUE(n == 20 && p[1].start_day == p[0].start_day + 1.0, n);
    free(one.memory);
    free(two.memory);
}

static void seconds_are_gathered_to_minutes(void **state)
{
    (void)state;
    stream x = open_stream(0.0);
    tufa_bill_interval_result r;
    for (int i = 0; i < 7200; i++) CHECK_OK(tufa_bill_interval_add(x.s, 1.6e9 + 10.0 * i, 10.0, 5000.0), i);
    CHECK_OK(tufa_bill_interval_finish(x.s, &r), 0);
    CHECK_REL(r.energy_J, 7200 * 5000.0, 1e-12, 0);
    CHECK_NEAR(r.covered_s, 72000.0, 1e-6, 0);
    CHECK_NEAR(r.mean_W, 500.0, 1e-9, 0);
    free(x.memory);
}

/* A heater by the tank stage, minute by minute, beside a refrigerator, lights and a kettle. */
static void a_heater_is_found_among_other_loads(void **state)
{
    (void)state;
    enum { DAYS = 10, MINUTES = 1440 * DAYS };
    tufa_tank tank = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_model model;
    tufa_tank_state at;
    tufa_tank_result day;
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draws, .n = tufa_tank_draws_for(0.2, draws)};
    CHECK_OK(tufa_tank_build(&tank, NULL, 0, &model), 0);
    CHECK_OK(tufa_tank_start(&model, tank.setpoint_K, &at), 0);
    for (int known = 0; known < 2; known++) {
        stream x = open_stream(known ? 4500.0 : 0.0);
        tufa_tank_sample *series = calloc(MINUTES + 2, sizeof *series);
        tufa_tank_run run = {.duration_s = 86400.0 * DAYS, .series = series, .series_room = MINUTES + 2, .series_every_s = 60.0};
        CHECK_OK(tufa_tank_simulate(&model, &use, &run, &at, &day), known);
        double heater_J = 0.0;
        for (uint64_t i = 0; i < MINUTES; i++) {
            double heater = 4500.0 * (series[i].lower_on + series[i].upper_on), other = 180.0 + (i % 50 < 18 ? 140.0 : 0.0);
            if (i % 1440 > 1050 && i % 1440 < 1380) other += 300.0 + 60.0 * tufa_uniform(4, 4, i);
            if (i % 480 == 100 || i % 480 == 101) other += 1500.0;
            heater_J += 60.0 * heater;
            CHECK_OK(tufa_bill_interval_add(x.s, 1.6e9 + 60.0 * (double)i, 60.0, 60.0 * (heater + other)), i);
        }
        tufa_bill_interval_result r;
        CHECK_OK(tufa_bill_interval_finish(x.s, &r), known);
        CHECK_TRUE(r.heater_seen && !r.heater_alone, known);
        CHECK_REL(r.heater_W, 4500.0, 0.03, known);
        CHECK_REL(r.heater_J_per_day, heater_J / DAYS, 0.10, known);
        CHECK_NEAR(r.base_W, 180.0, 15.0, known);
        free(series);
        free(x.memory);
    }
}

static void a_load_that_begins_to_run_day_and_night_shows_in_what_never_rests(void **state)
{
    (void)state;
    enum { DAYS = 60 };
    stream x = open_stream(0.0);
    for (uint64_t i = 0; i < 96 * DAYS; i++) {
        double W = 220.0 + 15.0 * tufa_normal(8, 8, i / 96) + 600.0 * tufa_uniform(8, 9, i) + (i >= 96 * 35 ? 400.0 : 0.0);
        CHECK_OK(tufa_bill_interval_add(x.s, 1.6e9 + 900.0 * (double)i, 900.0, 900.0 * fmax(W, 0.0)), i);
    }
    tufa_bill_period p[100];
    size_t n;
    tufa_bill_result r;
    CHECK_OK(tufa_bill_interval_periods(x.s, 1, 1, 100, p, &n), 0);
    CHECK_OK(read_bills(n, p, &r), n);
    CHECK_TRUE(r.kind == TUFA_BILL_STEP, r.kind);
    CHECK_NEAR(r.per_day.mid / 86400.0, 400.0, 30.0, 0);
    free(x.memory);
}

static void absurd_interval_readings_are_refused(void **state)
{
    (void)state;
    stream x = open_stream(0.0);
    CHECK_OK(tufa_bill_interval_add(x.s, 1.6e9, 900.0, 1.0), 0);
    const double BAD[][3] = {{1.6e9, 900.0, -1.0}, {1.6e9, 0.0, 1.0}, {1.6e9, -5.0, 1.0}, {NAN, 900.0, 1.0}, {1.6e9, NAN, 1.0}, {1.6e9, 900.0, NAN},
                             {1.6e9, 900.0, 1e12}, {1e15, 900.0, 1.0}, {1.6e9 + 1e9, 900.0, 1.0}, {1.6e9 - 1e9, 900.0, 1.0}, {1.6e9, 1e6, 1.0}};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) CHECK_CODE(tufa_bill_interval_add(x.s, BAD[i][0], BAD[i][1], BAD[i][2]), TUFA_RANGE, i);
    free(x.memory);
    stream y = open_stream(0.0);
    tufa_bill_interval_result r;
    CHECK_CODE(tufa_bill_interval_finish(y.s, &r), TUFA_MISSING, 0);
    free(y.memory);
}

RUN(cmocka_unit_test(of_a_thousand_steady_houses_at_most_fifty_are_flagged),
    cmocka_unit_test(a_step_of_four_times_the_noise_is_found_with_its_date_and_size), cmocka_unit_test(kinds_of_change_are_told_apart),
    cmocka_unit_test(the_order_of_the_rows_does_not_matter), cmocka_unit_test(another_unit_of_use_scales_the_answer_and_nothing_else),
    cmocka_unit_test(with_little_noise_the_model_comes_back), cmocka_unit_test(one_wild_reading_is_named_and_moves_nothing),
    cmocka_unit_test(a_marked_estimate_is_joined_with_its_correction), cmocka_unit_test(an_unmarked_estimate_is_found_and_makes_no_change),
    cmocka_unit_test(gaps_overlaps_and_doubles_are_named_and_do_not_bend_the_fit),
    cmocka_unit_test(a_new_meter_and_new_people_are_named_at_the_change), cmocka_unit_test(an_empty_house_is_left_out_when_it_is_said),
    cmocka_unit_test(a_new_price_is_money_not_use), cmocka_unit_test(nonsense_is_refused),
    cmocka_unit_test(the_arena_asked_for_is_enough_and_not_idle),
    cmocka_unit_test(daily_temperatures_take_the_bias_out_of_the_balance_point),
    cmocka_unit_test(a_simulated_leak_comes_back_as_a_step_that_its_cause_fits),
    cmocka_unit_test(an_earthed_element_below_the_load_does_not_show_in_the_bill), cmocka_unit_test(a_change_too_large_for_it_cannot_be_the_heater),
    cmocka_unit_test(every_cause_has_its_words_its_source_and_known_cautions),
    cmocka_unit_test(the_answer_reaches_the_fault_stage_as_a_reading), cmocka_unit_test(two_fuels_that_change_on_one_day_are_seen_to),
    cmocka_unit_test(energy_is_the_same_in_any_order_and_doubles_count_once), cmocka_unit_test(seconds_are_gathered_to_minutes),
    cmocka_unit_test(a_heater_is_found_among_other_loads),
    cmocka_unit_test(a_load_that_begins_to_run_day_and_night_shows_in_what_never_rests), cmocka_unit_test(absurd_interval_readings_are_refused))
