#include <stdlib.h>
#include <string.h>

#include "tests/check.h"
#include "tufa.h"

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
/* A sanitizer makes them ten times slower: the same code runs for its memory, on too few visits to compare costs by. */
enum { VISITS = 8, ENOUGH_TO_COMPARE = 0, CALLS_TO_TELL = 60 };
#else
enum { VISITS = 40, ENOUGH_TO_COMPARE = 1, CALLS_TO_TELL = 300 };
#endif
enum { KEY = 20261125, ALIGN = 64 };

static tufa_finder *finder_for(const tufa_fault_heater *h)
{
    tufa_finder *f = aligned_alloc(ALIGN, (tufa_fault_finder_bytes() + ALIGN - 1) / ALIGN * ALIGN);
    assert_non_null(f);
    memset(f, 0, tufa_fault_finder_bytes());
    CHECK_OK(tufa_fault_prepare(h, f), 0);
    return f;
}

static tufa_finder *reference(tufa_tank_fuel fuel)
{
    tufa_fault_heater h = tufa_fault_heater_default(fuel);
    return finder_for(&h);
}

static void say(tufa_call *c, const char *complaint, unsigned char mark)
{
    int k = tufa_fault_complaint_find(complaint);
    CHECK_TRUE(k >= 0, 0);
    c->complaint[k] = mark;
}

static void read_number(tufa_call *c, const char *test, double x)
{
    int t = tufa_fault_test_find(test);
    CHECK_TRUE(t >= 0, 0);
    c->reading[c->readings++] = (tufa_reading){t, -1, x};
}

static void read_word(tufa_call *c, const char *test, const char *word)
{
    int t = tufa_fault_test_find(test), k = t >= 0 ? tufa_fault_test_category(tufa_fault_test_at((size_t)t), word) : -1;
    CHECK_TRUE(k >= 0, 0);
    c->reading[c->readings++] = (tufa_reading){t, k, 0.0};
}

static double odds_of(const tufa_fault_answer *a, const char *fault)
{
    for (int i = 0; i < a->faults; i++)
        if (strcmp(tufa_fault_at((size_t)a->odds[i].fault)->id, fault) == 0) return a->odds[i].probability;
    return 0.0;
}

static int is_one_of(const tufa_fault_answer *a, int place, const char *x, const char *y)
{
    const char *id = tufa_fault_at((size_t)a->odds[place].fault)->id;
    return strcmp(id, x) == 0 || (y && strcmp(id, y) == 0);
}

/* ---- the eight invented cases of the field-work notes: the readings as taken, the answer as told there ---- */

static void eight_cases_end_at_their_fault(void **state)
{
    (void)state;
    tufa_finder *electric = reference(TUFA_TANK_ELECTRIC), *gas = reference(TUFA_TANK_GAS);
    tufa_fault_answer a;

    tufa_call d1 = {0};
    say(&d1, "no_hot", 1), say(&d1, "too_hot", 1), say(&d1, "trips", 1);
    read_word(&d1, "limit", "reset_trips_again"), read_number(&d1, "V_supply", 241), read_number(&d1, "V_limit_out", 241);
    read_number(&d1, "ohm_lower", 12.8), read_number(&d1, "A_sat", 10.9), read_number(&d1, "A_net", 10.9);
    read_number(&d1, "V_lower_sat", 119), read_number(&d1, "ohm_lower_earth", 1.8);
    CHECK_OK(tufa_fault_rank(electric, &d1, &a), 1);
    CHECK_TRUE(is_one_of(&a, 0, "lower_earthed", NULL), 1);
    CHECK_TRUE(a.stop.id && strcmp(a.stop.level, "stop") == 0, 1);
    d1.readings = 0; /* the same by the house's own meter, every cover on */
    read_word(&d1, "limit", "reset_trips_again"), read_number(&d1, "ohm_lower", 12.8), read_number(&d1, "meter_rest_W", 1310);
    read_number(&d1, "ohm_lower_earth", 1.8);
    CHECK_OK(tufa_fault_rank(electric, &d1, &a), 11);
    CHECK_TRUE(is_one_of(&a, 0, "lower_earthed", NULL), 11);

    tufa_call d2 = {0};
    say(&d2, "no_hot", 1);
    read_word(&d2, "breaker", "holds"), read_number(&d2, "V_leg_min", 119), read_number(&d2, "V_supply", 1.1);
    read_number(&d2, "V_upper", 0.9), read_number(&d2, "ohm_upper", 15.1), read_number(&d2, "A_upper", 0.0);
    CHECK_OK(tufa_fault_rank(electric, &d2, &a), 2);
    CHECK_TRUE(is_one_of(&a, 0, "leg_lost", NULL), 2);

    tufa_call d3 = {0};
    say(&d3, "runs_out", 1), say(&d3, "slow_recovery", 1);
    read_number(&d3, "early_drop", 0.9), read_number(&d3, "litres_to_40", 50), read_number(&d3, "ohm_lower", 13.1);
    read_number(&d3, "V_lower", 0.4), read_number(&d3, "V_contact_lower", 0.5), read_word(&d3, "terminal_look", "browned");
    CHECK_OK(tufa_fault_rank(electric, &d3, &a), 3);
    CHECK_TRUE(is_one_of(&a, 0, "upper_no_handover", NULL), 3);
    CHECK_TRUE(!a.stop.id, 3);

    tufa_call d4 = {0};
    say(&d4, "noise", 1), say(&d4, "slow_recovery", 1);
    read_word(&d4, "noise_when", "pops_heating"), read_number(&d4, "recover_min", 61), read_number(&d4, "input_kBtu", 30.6);
    read_word(&d4, "burner_flame", "yellow_soot"), read_number(&d4, "spill_min", 0.6), read_number(&d4, "CO_room", 1);
    read_number(&d4, "bed_mm", 42);
    CHECK_OK(tufa_fault_rank(gas, &d4, &a), 4);
    CHECK_TRUE(is_one_of(&a, 0, "bottom_scale", "burner_dirty") && is_one_of(&a, 1, "bottom_scale", "burner_dirty"), 4);
    CHECK_TRUE(a.stop.id && strcmp(a.stop.level, "stop") == 0, 4);

    tufa_call d5 = {0};
    say(&d5, "pilot_out", 1), say(&d5, "co_alarm", 1);
    read_number(&d5, "mV_open", 21), read_word(&d5, "pilot", "out_relights"), read_number(&d5, "CO_room", 38);
    read_number(&d5, "spill_min", 99);
    CHECK_OK(tufa_fault_rank(gas, &d5, &a), 5);
    CHECK_TRUE(is_one_of(&a, 0, "flue_spill", NULL), 5);
    CHECK_TRUE(a.stop.id && strcmp(a.stop.level, "leave") == 0 && a.next.test < 0 && a.parts == 0, 5);

    tufa_call d6 = {0};
    say(&d6, "leak_base", 1), say(&d6, "relief", 1);
    read_word(&d6, "floor_source", "relief_pipe"), read_word(&d6, "relief_pattern", "drips_heating");
    read_number(&d6, "static_psi", 64), read_number(&d6, "peak_psi", 147);
    CHECK_OK(tufa_fault_rank(electric, &d6, &a), 6);
    CHECK_TRUE(is_one_of(&a, 0, "relief_expansion", NULL), 6);

    tufa_call d7 = {0};
    say(&d7, "bill_electric", 1);
    read_word(&d7, "bill_split", "use_up"), read_number(&d7, "A_sat", 0.02), read_number(&d7, "A_net", 0.0);
    read_number(&d7, "idle_W", 430), read_number(&d7, "idle_meter", 9), read_number(&d7, "pipe_warm", 6);
    CHECK_OK(tufa_fault_rank(electric, &d7, &a), 7);
    CHECK_TRUE(is_one_of(&a, 0, "hot_leak", NULL), 7);
    CHECK_TRUE(odds_of(&a, "lower_earthed") < 0.01, 7);

    tufa_call d8 = {0};
    say(&d8, "lukewarm", 1), say(&d8, "cold_runs_warm", 1);
    read_number(&d8, "tap_hot", 42), read_word(&d8, "every_tap", "all_taps"), read_number(&d8, "cross_flow", 3.2);
    read_number(&d8, "cutout_C", 67), read_number(&d8, "A_lower", 18.6), read_number(&d8, "early_drop", 0.5);
    CHECK_OK(tufa_fault_rank(electric, &d8, &a), 8);
    CHECK_TRUE(is_one_of(&a, 0, "crossover", NULL) && is_one_of(&a, 1, "setpoint_high", NULL), 8);
    double before = odds_of(&a, "setpoint_high");
    int n = d8.readings;
    read_number(&d8, "dial_C", 66); /* the dial says what the water is: turned, not drifted */
    CHECK_OK(tufa_fault_rank(electric, &d8, &a), 81);
    CHECK_TRUE(odds_of(&a, "setpoint_high") > 0.97 && odds_of(&a, "crossover") > 0.97, 81);
    CHECK_TRUE(odds_of(&a, "setpoint_high") > before, 81);
    d8.readings = n;
    read_number(&d8, "dial_mark", 1); /* clears the thermostat, does not prove the dial */
    CHECK_OK(tufa_fault_rank(electric, &d8, &a), 82);
    CHECK_TRUE(odds_of(&a, "tstat_drift") < 0.02, 82);
    CHECK_TRUE(is_one_of(&a, 1, "setpoint_high", NULL) && odds_of(&a, "setpoint_high") > before, 82);
    d8.readings = n;
    read_number(&d8, "dial_mark", 13);
    CHECK_OK(tufa_fault_rank(electric, &d8, &a), 83);
    CHECK_TRUE(odds_of(&a, "tstat_drift") > odds_of(&a, "setpoint_high"), 83);
    free(electric);
    free(gas);
}

/* ---- laws that hold for any call ---- */

/* A call drawn at random: any complaint of the fuel, any readings at all. */
static void draw_call(const tufa_finder *f, int gas, uint64_t i, tufa_call *c)
{
    *c = (tufa_call){0};
    for (size_t k = 0; k < tufa_fault_complaint_count(); k++) {
        const tufa_complaint *row = tufa_fault_complaint_at(k);
        double u = tufa_uniform(KEY, 1, i * TUFA_MAX_COMPLAINTS + k);
        if (gas ? row->gas : row->electric) c->complaint[k] = u < 0.08 ? 1 : u < 0.16 ? 2 : 0;
    }
    int n = 1 + (int)(9.0 * tufa_uniform(KEY, 2, i));
    for (int k = 0; k < n; k++) {
        int test = (int)((double)tufa_fault_test_count() * tufa_uniform(KEY, 3, i * 16 + (uint64_t)k));
        int fault = (int)((double)tufa_fault_count() * tufa_uniform(KEY, 4, i * 16 + (uint64_t)k));
        tufa_status st = tufa_fault_draw(f, fault, -1, test, KEY, 100 + i * 16 + (uint64_t)k, &c->reading[c->readings]);
        if (st.code == TUFA_OK) c->readings++;
    }
}

static void probabilities_sum_and_order_does_not_matter(void **state)
{
    (void)state;
    for (int gas = 0; gas < 2; gas++) {
        tufa_finder *f = reference(gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
        for (uint64_t i = 0; i < 100; i++) {
            tufa_call c;
            tufa_fault_answer a, b;
            draw_call(f, gas, i, &c);
            c.made_safe = 1;
            CHECK_OK(tufa_fault_rank(f, &c, &a), i);
            CHECK_NEAR(a.total, 1.0, 1e-12, i);
            double sum = 0.0;
            for (int k = 0; k < a.faults; k++) {
                sum += a.odds[k].probability;
                CHECK_TRUE(a.odds[k].probability >= 0.0 && a.odds[k].probability <= 1.0 + 1e-12, i);
                CHECK_TRUE(k == 0 || a.odds[k].probability <= a.odds[k - 1].probability, i);
            }
            CHECK_TRUE(sum >= 1.0 - 1e-9 && sum <= 2.0 + 1e-9, i); /* singles count once, pairs twice */
            for (int k = 0; k < c.readings / 2; k++) {
                tufa_reading t = c.reading[k];
                c.reading[k] = c.reading[c.readings - 1 - k];
                c.reading[c.readings - 1 - k] = t;
            }
            CHECK_OK(tufa_fault_rank(f, &c, &b), i);
            for (int k = 0; k < a.faults; k++)
                CHECK_NEAR(odds_of(&b, tufa_fault_at((size_t)a.odds[k].fault)->id), a.odds[k].probability, 1e-9, i);
            CHECK_TRUE(a.next.test == b.next.test, i);
        }
        free(f);
    }
}

static void a_reading_never_taken_changes_nothing(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    int limit = tufa_fault_test_find("limit");
    for (uint64_t i = 0; i < 30; i++) {
        tufa_call c;
        tufa_fault_answer a, b;
        draw_call(f, 0, i, &c);
        c.made_safe = 1;
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        c.reading[c.readings] = (tufa_reading){limit, 1, 0.0}; /* beyond the count: not taken */
        CHECK_OK(tufa_fault_rank(f, &c, &b), i);
        for (int k = 0; k < a.faults; k++) CHECK_NEAR(b.odds[k].probability, a.odds[k].probability, 0.0, i);
        double p = a.odds[0].probability, lowest = 1.0, highest = 0.0;
        int n = c.readings, again = 0;
        for (int k = 0; k < n; k++) again |= c.reading[k].test == limit;
        for (int k = 0; k < 4 && !again; k++) { /* no result can raise or lower the odds alone: some do each */
            c.readings = n;
            c.reading[c.readings++] = (tufa_reading){limit, k, 0.0};
            CHECK_OK(tufa_fault_rank(f, &c, &b), i);
            double q = odds_of(&b, tufa_fault_at((size_t)a.odds[0].fault)->id);
            lowest = fmin(lowest, q);
            highest = fmax(highest, q);
        }
        CHECK_TRUE(again || (lowest <= p + 1e-12 && highest >= p - 1e-12), i);
    }
    free(f);
}

static void silence_says_nothing_and_an_asked_no_does(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    tufa_call c = {0};
    tufa_fault_answer silent, no, yes;
    say(&c, "runs_out", 1);
    CHECK_OK(tufa_fault_rank(f, &c, &silent), 0);
    say(&c, "noise", 2);
    CHECK_OK(tufa_fault_rank(f, &c, &no), 1);
    say(&c, "noise", 1);
    CHECK_OK(tufa_fault_rank(f, &c, &yes), 2);
    CHECK_TRUE(odds_of(&no, "bed_buries_lower") < odds_of(&silent, "bed_buries_lower"), 0);
    CHECK_TRUE(odds_of(&yes, "bed_buries_lower") > odds_of(&silent, "bed_buries_lower"), 0);
    free(f);
}

static void a_reading_and_its_twin_count_once(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    tufa_call c = {0};
    tufa_fault_answer once, twice;
    say(&c, "bill_electric", 1);
    read_number(&c, "meter_rest_W", 600);
    CHECK_OK(tufa_fault_rank(f, &c, &once), 0);
    read_number(&c, "meter_rest_W", 600);
    CHECK_OK(tufa_fault_rank(f, &c, &twice), 1);
    for (int k = 0; k < once.faults; k++) CHECK_NEAR(twice.odds[k].probability, once.odds[k].probability, 1e-12, k);
    c.readings = 1;
    read_number(&c, "A_sat", 5.0); /* the same leak by the clamp */
    CHECK_OK(tufa_fault_rank(f, &c, &twice), 2);
    CHECK_NEAR(odds_of(&twice, "lower_earthed"), odds_of(&once, "lower_earthed"), 0.05, 2);
    free(f);
}

static void contradicting_readings_are_named_and_both_kept(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    tufa_call c = {0};
    tufa_fault_answer a, first, second;
    say(&c, "no_hot", 1);
    read_number(&c, "ohm_lower", 12.9);
    CHECK_OK(tufa_fault_rank(f, &c, &first), 0);
    CHECK_TRUE(first.conflicts == 0, 0);
    read_number(&c, "ohm_lower", 2e7);
    CHECK_OK(tufa_fault_rank(f, &c, &a), 1);
    CHECK_TRUE(a.conflicts == 1 && a.conflict[0][0] == 0 && a.conflict[0][1] == 1, 1);
    c.reading[0] = c.reading[1];
    c.readings = 1;
    CHECK_OK(tufa_fault_rank(f, &c, &second), 2);
    double lo = odds_of(&first, "lower_open"), hi = odds_of(&second, "lower_open"), mid = odds_of(&a, "lower_open");
    CHECK_TRUE(lo < mid && mid < hi, 3); /* neither is thrown away */
    free(f);
}

static void danger_is_not_outvoted(void **state)
{
    (void)state;
    static const struct { const char *complaint; int gas; const char *level; } ROWS[] = {
        {"gas_smell", 1, "leave"}, {"co_alarm", 1, "leave"}, {"shock", 0, "leave"}, {"burnt_smell", 0, "leave"},
        {"relief", 0, "stop"}};
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        tufa_finder *f = reference(ROWS[i].gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
        tufa_call c = {0};
        tufa_fault_answer a;
        say(&c, ROWS[i].complaint, 1);
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        CHECK_TRUE(a.stop.id && strcmp(a.stop.level, ROWS[i].level) == 0 && a.stop.silent, i);
        CHECK_TRUE(a.faults == 0 && a.next.test < 0 && a.parts == 0 && a.actions == 0, i); /* nothing else is said */
        read_number(&c, "tap_hot", 50.0);
        read_word(&c, "jar", "clear");
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        CHECK_TRUE(a.stop.id && a.stop.silent && a.next.test < 0, i); /* good readings do not lift it */
        free(f);
    }
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    tufa_call c = {0};
    tufa_fault_answer a;
    say(&c, "lukewarm", 1);
    read_number(&c, "tap_hot", 70.5);
    CHECK_OK(tufa_fault_rank(f, &c, &a), 10);
    CHECK_TRUE(a.stop.id && a.stop.silent && a.next.test < 0, 10);
    c.made_safe = 1; /* heat off and the house warned: the search goes on, without heat */
    CHECK_OK(tufa_fault_rank(f, &c, &a), 11);
    CHECK_TRUE(a.stop.id && !a.stop.silent && a.next.test >= 0, 11);
    CHECK_TRUE(tufa_fault_test_at((size_t)a.next.test)->hazard_class < 3, 11);
    c = (tufa_call){0};
    say(&c, "leak_base", 1);
    read_word(&c, "relief_pattern", "capped");
    CHECK_OK(tufa_fault_rank(f, &c, &a), 12);
    CHECK_TRUE(a.stop.id && strcmp(a.stop.level, "leave") == 0, 12);
    free(f);
}

static void covers_stay_on_before_live_parts(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    static const char *const WORDS[] = {"no_hot", "runs_out", "lukewarm", "slow_recovery", "bill_electric", "trips"};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++) {
        tufa_call c = {0};
        tufa_fault_answer a;
        say(&c, WORDS[i], 1);
        for (int n = 0; n < 3; n++) { /* healthy answers to the first three readings */
            CHECK_OK(tufa_fault_rank(f, &c, &a), i);
            if (a.next.test < 0) break;
            tufa_access access = tufa_fault_test_at((size_t)a.next.test)->access;
            CHECK_TRUE(access != TUFA_ACCESS_LIVE && access != TUFA_ACCESS_CLAMP, i);
            CHECK_OK(tufa_fault_draw(f, -1, -1, a.next.test, KEY, 5000 + i, &c.reading[c.readings]), i);
            c.readings++;
        }
    }
    free(f);
}

/* A tap, a pail, a watch, a breaker's handle or the house's own meter comes before the first screwdriver, whatever is complained of. */
static void the_first_reading_needs_no_cover_off(void **state)
{
    (void)state;
    for (int gas = 0; gas < 2; gas++) {
        tufa_finder *f = reference(gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
        for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
            const tufa_complaint *row = tufa_fault_complaint_at(i);
            tufa_call c = {.made_safe = 1};
            tufa_fault_answer a;
            if (!(gas ? row->gas : row->electric)) continue;
            c.complaint[i] = 1;
            CHECK_OK(tufa_fault_rank(f, &c, &a), i);
            if (a.next.test < 0) continue;
            tufa_access access = tufa_fault_test_at((size_t)a.next.test)->access;
            CHECK_TRUE(access < TUFA_ACCESS_DEAD, i);
        }
        free(f);
    }
}

/* What has to burn to be measured is not asked for while nothing burns; and a cold tap clears no pilot. */
static void a_heater_that_does_not_burn_is_not_measured_by_its_flame(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_GAS);
    static const char *const OUT[] = {"no_hot", "pilot_out"};
    for (int i = 0; i < 2; i++) {
        tufa_call c = {0};
        tufa_fault_answer a;
        say(&c, OUT[i], 1);
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        CHECK_TRUE(a.next.test >= 0 && strcmp(tufa_fault_test_at((size_t)a.next.test)->id, "spill_min") != 0, i);
        double before = odds_of(&a, "pilot_sensor") / odds_of(&a, "gas_valve_dead");
        read_number(&c, "tap_hot", 19.0);
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        CHECK_TRUE(odds_of(&a, "pilot_sensor") / odds_of(&a, "gas_valve_dead") > 0.5 * before, i);
        read_word(&c, "pilot", "will_not_stay");
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        CHECK_TRUE(a.next.test < 0 || strcmp(tufa_fault_test_at((size_t)a.next.test)->id, "input_kBtu") != 0, i);
    }
    free(f);
    CHECK_TRUE(tufa_fault_test_category(tufa_fault_test_at((size_t)tufa_fault_test_find("pilot")), "will_not_stay") == 3, 9);
    CHECK_TRUE(tufa_fault_test_category(tufa_fault_test_at((size_t)tufa_fault_test_find("burner_flame")), "none") == 3, 10);
}

static void impossible_readings_are_refused(void **state)
{
    (void)state;
    tufa_fault_heater electric = tufa_fault_heater_default(TUFA_TANK_ELECTRIC), gas = tufa_fault_heater_default(TUFA_TANK_GAS);
    tufa_reading hot = {tufa_fault_test_find("tap_hot"), -1, 140.0}, mv = {tufa_fault_test_find("mV_open"), -1, 20.0};
    tufa_reading word = {tufa_fault_test_find("limit"), 7, 0.0}, watts = {tufa_fault_test_find("meter_rest_W"), -1, 10.0};
    tufa_reading nothing = {tufa_fault_test_find("tap_hot"), -1, NAN};
    CHECK_CODE(tufa_fault_reading_check(&electric, &hot), TUFA_RANGE, 0);
    CHECK_CODE(tufa_fault_reading_check(&electric, &nothing), TUFA_RANGE, 1);
    CHECK_CODE(tufa_fault_reading_check(&electric, &mv), TUFA_REFUSED, 2);
    CHECK_CODE(tufa_fault_reading_check(&gas, &watts), TUFA_REFUSED, 3);
    CHECK_CODE(tufa_fault_reading_check(&electric, &word), TUFA_UNKNOWN, 4);
    CHECK_CODE(tufa_fault_reading_check(&electric, &(tufa_reading){-1, -1, 0.0}), TUFA_UNKNOWN, 5);
    CHECK_OK(tufa_fault_reading_check(&gas, &mv), 6);
}

static void house_knowledge_moves_the_odds(void **state)
{
    (void)state;
    static const struct { const char *known, *fault, *complaint; int gas; } ROWS[] = {
        {"tap_changed", "crossover", "lukewarm", 0}, {"closed_system", "relief_expansion", "leak_base", 0},
        {"bed_at_element", "lower_open", "runs_out", 0}, {"worked_on", "wrong_part", "slow_recovery", 0},
        {"dusty", "intake_blocked", "pilot_out", 1}, {"flushed", "drain_leak", "leak_base", 1}};
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        tufa_finder *f = reference(ROWS[i].gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
        tufa_call c = {0};
        tufa_fault_answer a, b;
        say(&c, ROWS[i].complaint, 1);
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        c.known[tufa_fault_known_find(ROWS[i].known)] = 1;
        CHECK_OK(tufa_fault_rank(f, &c, &b), i);
        CHECK_TRUE(odds_of(&b, ROWS[i].fault) > odds_of(&a, ROWS[i].fault), i);
        free(f);
    }
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    tufa_call c = {0};
    tufa_fault_answer a, b;
    say(&c, "leak_base", 1);
    CHECK_OK(tufa_fault_rank(f, &c, &a), 0);
    c.age_years = (tufa_value){14.0, 13.0, 15.0, TUFA_BASIS_ABOUT};
    CHECK_OK(tufa_fault_rank(f, &c, &b), 1);
    CHECK_TRUE(odds_of(&b, "tank_leak") > odds_of(&a, "tank_leak"), 2);
    free(f);
}

/* Thirty closed calls weigh as much as the table: a Dirichlet with thirty pseudo-calls. */
static void own_calls_replace_the_table(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    tufa_call c = {0};
    tufa_fault_answer a, b;
    say(&c, "runs_out", 1);
    CHECK_OK(tufa_fault_rank(f, &c, &a), 0);
    c.found[tufa_fault_find("lower_tstat_open")] = 12.0;
    c.found[tufa_fault_find("lower_open")] = 1.0;
    CHECK_OK(tufa_fault_rank(f, &c, &b), 1);
    CHECK_TRUE(odds_of(&a, "lower_open") > odds_of(&a, "lower_tstat_open"), 0);
    CHECK_TRUE(odds_of(&b, "lower_tstat_open") > odds_of(&b, "lower_open"), 1);
    free(f);
}

/* The shift of each fault by a reading, all others kept, adds up to what leaving it out undoes. */
static void the_explanation_names_the_reading_that_moved_a_fault(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    tufa_call c = {0};
    double shift[TUFA_MAX_FAULTS];
    say(&c, "runs_out", 1);
    read_number(&c, "litres_to_40", 50.0);
    read_number(&c, "ohm_lower", 2e7);
    int lower_open = tufa_fault_find("lower_open"), dip = tufa_fault_find("dip_tube"), drift = tufa_fault_find("undersized");
    CHECK_OK(tufa_fault_explain(f, &c, 1, shift), 0);
    CHECK_TRUE(shift[lower_open] > 1.0 && shift[dip] < -1.0, 0);
    CHECK_OK(tufa_fault_explain(f, &c, 0, shift), 1);
    CHECK_TRUE(shift[drift] < 0.0, 1);
    tufa_fault_answer with, without;
    CHECK_OK(tufa_fault_rank(f, &c, &with), 2);
    c.readings = 1;
    CHECK_OK(tufa_fault_rank(f, &c, &without), 3);
    c.readings = 2;
    CHECK_OK(tufa_fault_explain(f, &c, 1, shift), 4);
    double p = odds_of(&with, "lower_open"), q = odds_of(&without, "lower_open");
    CHECK_NEAR(shift[lower_open], log(p / (1.0 - p)) - log(q / (1.0 - q)), 1e-9, 4);
    CHECK_CODE(tufa_fault_explain(f, &c, 2, shift), TUFA_RANGE, 5);
    free(f);
}

/* A jar full of sediment explains the noise of a gas heater and says nothing of its flue: how the hood draws is still asked, for the
 * sake of a rare fault that kills, and is not asked again once it was read. The worth is checked by hand from the table's figures. */
static void a_danger_that_nothing_read_speaks_of_is_still_asked_for(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_GAS);
    tufa_call c = {.trained = 1};
    tufa_fault_answer a, before;
    say(&c, "noise", 1);
    CHECK_OK(tufa_fault_rank(f, &c, &before), 0);
    c.reading[c.readings++] = (tufa_reading){tufa_fault_test_find("jar_solids"), -1, 200.0};
    CHECK_OK(tufa_fault_rank(f, &c, &a), 1);
    double p = odds_of(&a, "flue_spill"), missed = tufa_fault_at((size_t)tufa_fault_find("flue_spill"))->missed_usd;
    CHECK_TRUE(a.next.test == tufa_fault_test_find("spill_min") && a.next.sake == tufa_fault_find("flue_spill"), 1);
    CHECK_NEAR(a.next.sake_probability, p, 1e-9, 1);
    CHECK_TRUE(odds_of(&a, "bottom_scale") > 0.8 && p < 0.01 && p < odds_of(&before, "flue_spill"), 1); /* the jar takes some of it away, not all */
    CHECK_TRUE(a.next.gain_usd < p * missed && a.next.gain_usd > 0.25 * p * missed, 2); /* of a share of 0.7 % at $100,000 */
    c.reading[c.readings++] = (tufa_reading){tufa_fault_test_find("spill_min"), -1, 0.5};
    CHECK_OK(tufa_fault_rank(f, &c, &a), 3);
    CHECK_TRUE(odds_of(&a, "flue_spill") < 0.3 * p && a.next.test != tufa_fault_test_find("spill_min"), 3);
    free(f);
}

static void names_no_other(const char *words, size_t i)
{
    CHECK_TRUE(!strstr(words, "ower element") && !strstr(words, " upper") && !strstr(words, "Upper") && !strstr(words, "ower thermostat") && !strstr(words, "oth thermostats"), i);
}

/* One element, one thermostat: what needs two is neither asked nor weighed, the words name no other, and a burnt-out element leaves
 * no hot water at all. */
static void a_heater_with_one_element_is_asked_what_it_has(void **state)
{
    (void)state;
    static const char *const UPPER[] = {"upper_open", "upper_earthed", "upper_stuck_on", "upper_no_handover", "upper_no_call"};
    static const char *const ASKS_TWO[] = {"V_upper", "A_upper", "ohm_upper", "ohm_upper_earth", "meter_lower_W"};
    tufa_fault_heater one = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
    one.tank = tufa_tank_like(TUFA_TANK_ELECTRIC, 0.105, 1500.0, one.tank.setpoint_K);
    one.single_element = 1;
    one.tank.upper_W = 0.0;
    tufa_finder *f = finder_for(&one);
    const char *const VOICE[] = {"no_hot", "runs_out", "lukewarm", "trips", "noise", "slow_recovery", "too_hot"};
    for (size_t i = 0; i < sizeof VOICE / sizeof VOICE[0]; i++) { /* each call walked to its end by its likeliest outcomes */
        tufa_call c = {.trained = 1};
        tufa_fault_answer a;
        say(&c, VOICE[i], 1);
        for (int step = 0; step < 12; step++) {
            CHECK_OK(tufa_fault_rank(f, &c, &a), i);
            CHECK_TRUE(a.single_element, i);
            for (size_t k = 0; k < 5; k++) CHECK_TRUE(odds_of(&a, UPPER[k]) == 0.0, i);
            for (int k = 0; k < a.faults; k++) names_no_other(tufa_fault_for((size_t)a.odds[k].fault, 1)->title, i);
            for (int k = 0; k < a.parts; k++) {
                const tufa_repair *r = tufa_fault_repair_for((size_t)a.part[k].repair, 1);
                names_no_other(r->title, i), names_no_other(r->steps, i), names_no_other(r->verify, i), names_no_other(r->drain, i);
            }
            if (a.next.test < 0) break;
            const tufa_test *t = tufa_fault_test_for((size_t)a.next.test, 1);
            for (size_t k = 0; k < 5; k++) CHECK_TRUE(strcmp(t->id, ASKS_TWO[k]) != 0, i);
            names_no_other(t->title, i), names_no_other(t->how, i);
            const tufa_outcome *o = &a.next.outcome[0];
            for (int k = 1; k < a.next.outcomes; k++)
                if (a.next.outcome[k].probability > o->probability) o = &a.next.outcome[k];
            c.reading[c.readings++] = (tufa_reading){a.next.test, o->category, o->category >= 0 ? 0.0 : t->log_scale ? sqrt(fmax(o->lo, t->least) * o->hi) : 0.5 * (o->lo + o->hi)};
        }
    }
    tufa_call c = {0};
    tufa_fault_answer a;
    say(&c, "no_hot", 1);
    CHECK_OK(tufa_fault_rank(f, &c, &a), 20);
    CHECK_TRUE(odds_of(&a, "lower_open") > odds_of(&a, "supply_lost"), 20); /* its only element is the part that wears most */
    c = (tufa_call){0};
    say(&c, "runs_out", 1);
    CHECK_OK(tufa_fault_rank(f, &c, &a), 21);
    CHECK_TRUE(odds_of(&a, "lower_open") < odds_of(&a, "bed_buries_lower"), 21); /* who has some hot water has a whole element */
    free(f);
}

/* Every text that a one-element heater may be shown, asked or not. */
static void the_words_of_one_element_name_no_other(void **state)
{
    (void)state;
    static const char *const NOT_ITS[] = {"V_upper", "A_upper", "ohm_upper", "ohm_upper_earth", "meter_lower_W", "element_upper"};
    for (size_t i = 0; i < tufa_fault_test_count(); i++) {
        const tufa_test *t = tufa_fault_test_for(i, 1), *two = tufa_fault_test_at(i);
        bool its = t->electric;
        for (size_t k = 0; k < 5; k++) its = its && strcmp(t->id, NOT_ITS[k]) != 0;
        if (its) names_no_other(t->title, i), names_no_other(t->how, i), names_no_other(t->stops, i);
        CHECK_TRUE(strcmp(t->id, two->id) == 0 && t->minutes == two->minutes && t->lo == two->lo && t->hi == two->hi, i); /* the words alone differ */
    }
    for (size_t i = 0; i < tufa_fault_repair_count(); i++) {
        const tufa_repair *r = tufa_fault_repair_for(i, 1);
        if (r->electric && strcmp(r->id, NOT_ITS[5]) != 0)
            names_no_other(r->title, i), names_no_other(r->steps, i), names_no_other(r->verify, i), names_no_other(r->tools, i), names_no_other(r->drain, i);
    }
}

static void other_heaters_are_heaters_too(void **state)
{
    (void)state;
    tufa_fault_heater one = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
    one.single_element = 1;
    one.tank.lower_W = 1500.0;
    one.tank.upper_W = 0.0;
    one.supply_V = one.plate_V = 120.0;
    tufa_finder *f = finder_for(&one);
    tufa_call c = {0};
    tufa_fault_answer a;
    say(&c, "no_hot", 1);
    CHECK_OK(tufa_fault_rank(f, &c, &a), 0);
    CHECK_TRUE(odds_of(&a, "upper_open") == 0.0 && odds_of(&a, "upper_no_handover") == 0.0, 0);
    tufa_value v;
    CHECK_OK(tufa_fault_expect(f, -1, -1, tufa_fault_test_find("A_lower"), 0, &v), 1);
    CHECK_NEAR(v.mid, 12.5 * 18.4 / 18.75, 0.1, 1);
    CHECK_OK(tufa_fault_expect(f, tufa_fault_find("lower_earthed"), -1, tufa_fault_test_find("A_sat"), 0, &v), 2);
    CHECK_TRUE(v.mid < 0.1, 2); /* the thermostat in the hot wire hides a grounded coil */
    CHECK_CODE(tufa_fault_expect(f, -1, -1, tufa_fault_test_find("V_upper"), 0, &v), TUFA_REFUSED, 3);
    free(f);
    tufa_fault_heater low = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
    low.supply_V = 208.0;
    f = finder_for(&low);
    CHECK_OK(tufa_fault_expect(f, -1, -1, tufa_fault_test_find("meter_lower_W"), 0, &v), 4);
    CHECK_REL(v.mid, 0.751 * 4416.0, 0.01, 4);
    CHECK_OK(tufa_fault_expect(f, -1, -1, tufa_fault_test_find("V_supply"), 0, &v), 5);
    CHECK_NEAR(v.mid, 208.0, 2.0, 5);
    tufa_value leak, leak240;
    CHECK_OK(tufa_fault_expect(f, tufa_fault_find("lower_earthed"), -1, tufa_fault_test_find("meter_rest_W"), 0, &leak), 6);
    free(f);
    f = reference(TUFA_TANK_ELECTRIC);
    CHECK_OK(tufa_fault_expect(f, tufa_fault_find("lower_earthed"), -1, tufa_fault_test_find("meter_rest_W"), 0, &leak240), 7);
    CHECK_REL(leak.mid, leak240.mid, 0.02, 7); /* a leg is 120 V to ground on both services */
    free(f);
    tufa_fault_heater propane = tufa_fault_heater_default(TUFA_TANK_GAS);
    propane.propane = 1;
    f = finder_for(&propane);
    CHECK_OK(tufa_fault_expect(f, -1, -1, tufa_fault_test_find("inlet_wc"), 0, &v), 8);
    CHECK_NEAR(v.mid, 11.0, 0.3, 8);
    free(f);
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* The spread of a grounded element holds every leak there may be: the same drawn one by one and solved as a network. */
static void a_grounded_element_reads_as_all_its_leaks_do(void **state)
{
    (void)state;
    enum { LEAKS = 2000 };
    static double amps[LEAKS];
    tufa_fault_heater h = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
    for (uint64_t i = 0; i < LEAKS; i++) {
        double coil = tufa_uniform(KEY, 71, i);
        tufa_circuit_cut cut = {.lower_leak_at = tufa_uniform(KEY, 72, i), .lower_leak_ohm = 0.1 * pow(1e4, tufa_uniform(KEY, 73, i)),
                                .lower_coil_open = coil > 0.6};
        tufa_circuit_read r;
        CHECK_OK(tufa_fault_circuit(&h, &cut, TUFA_ALL_HOT, &r), i);
        amps[i] = coil > 1.0 - 0.4 / 3.0 || r.leg_A > 1.35 * 30.0 ? 0.0 : r.leg_A; /* the other half alone; the breaker opens */
    }
    qsort(amps, LEAKS, sizeof *amps, by_size);
    tufa_finder *f = finder_for(&h);
    tufa_value v;
    CHECK_OK(tufa_fault_expect(f, tufa_fault_find("lower_earthed"), -1, tufa_fault_test_find("A_sat"), 0, &v), 0);
    CHECK_TRUE(v.lo < 0.1, 1); /* one in ten shows nothing: broken on the live side, or the breaker is out */
    CHECK_NEAR(log(v.mid), log(amps[LEAKS / 2]), 0.25, 2);
    CHECK_NEAR(log(v.hi), log(amps[9 * LEAKS / 10]), 0.25, 3);
    free(f);
}

/* Scale on the sheath or a bed over it make it hotter by simulation, and a hot element is the likelier one to have burnt out. */
static void a_hot_sheath_raises_the_odds_of_its_element(void **state)
{
    (void)state;
    static const struct { double bed_share, scale_m, flux_W_m2; } ROWS[] = {{0.0, 0.0, 77500.0}, {0.0, 0.0, 116250.0}, {0.0, 0.0, 232500.0},
                                                                           {0.0, 0.001, 232500.0}, {1.4, 0.001, 232500.0}};
    double last_K = 0.0, last_odds = 0.0;
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        tufa_fault_heater h = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
        h.tank.element_W_m2 = ROWS[i].flux_W_m2;
        h.tank.scale_m = ROWS[i].scale_m;
        h.tank.bed_m3 = ROWS[i].bed_share * h.tank.volume_m3 * h.tank.lower_height_m / h.tank.height_m;
        tufa_finder *f = finder_for(&h);
        tufa_call c = {0};
        tufa_fault_answer a;
        say(&c, "runs_out", 1);
        read_number(&c, "bed_mm", 100.0); /* so that the bed itself explains nothing more */
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        CHECK_TRUE(a.sheath_K > last_K, i);
        double odds = odds_of(&a, "lower_open") / odds_of(&a, "upper_open"); /* the upper one has none of it */
        CHECK_TRUE(odds >= last_odds, i);
        last_K = a.sheath_K, last_odds = odds;
        free(f);
    }
    CHECK_TRUE(last_K > 273.15 + 150.0, 9);
}

static void a_tepid_tank_raises_the_odds_of_a_smell(void **state)
{
    (void)state;
    double last_odds = 0.0, last_s = 0.0;
    for (int i = 0; i < 3; i++) {
        tufa_fault_heater h = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
        h.tank.setpoint_K = 273.15 + 60.0 - 8.0 * i;
        tufa_finder *f = finder_for(&h);
        tufa_call c = {0};
        tufa_fault_answer a;
        tufa_tank_day sound, low;
        say(&c, "lukewarm", 1), say(&c, "egg_smell", 1);
        CHECK_OK(tufa_fault_rank(f, &c, &a), i);
        CHECK_TRUE(a.growth_s > last_s, i);
        CHECK_TRUE(odds_of(&a, "srb_smell") > last_odds, i);
        CHECK_OK(tufa_fault_day(f, -1, -1, 0.0, &sound), i);
        CHECK_NEAR(sound.growth_mean_s, a.growth_s, 1e-9, i);
        CHECK_OK(tufa_fault_day(f, tufa_fault_find("setpoint_low"), -1, 0.0, &low), i);
        CHECK_TRUE(i == 2 || low.growth_mean_s > sound.growth_mean_s, i); /* at 44 C nearly all day already */
        CHECK_CODE(tufa_fault_day(f, tufa_fault_find("setpoint_low"), -1, -1.0, &low), TUFA_RANGE, i);
        last_odds = odds_of(&a, "srb_smell"), last_s = a.growth_s;
        free(f);
    }
}

static void a_meter_held_across_a_broken_coil_at_rest_shows_nothing(void **state)
{
    (void)state;
    tufa_fault_heater h = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
    tufa_circuit_read r;
    tufa_circuit_cut open = {.lower_coil_open = 1};
    CHECK_OK(tufa_fault_circuit(&h, &open, TUFA_ALL_HOT, &r), 0);
    CHECK_TRUE(r.lower_V < 5.0, 0); /* else the rule on volts at rest would stop the work for a plain burn-out */
    CHECK_OK(tufa_fault_circuit(&h, &open, TUFA_BOTTOM_COLD, &r), 1);
    CHECK_NEAR(r.lower_V, 240.0, 0.5, 1);
}

/* A lower pressure and a longer hose let less water through a sound drain valve. */
static void the_drain_flow_is_that_of_this_house(void **state)
{
    (void)state;
    tufa_fault_heater h = tufa_fault_heater_default(TUFA_TANK_GAS);
    int test = tufa_fault_test_find("drain_flow");
    tufa_value usual, weak;
    tufa_finder *f = finder_for(&h);
    CHECK_OK(tufa_fault_expect(f, -1, -1, test, 0, &usual), 0);
    CHECK_NEAR(usual.mid, 35.0, 0.5, 0);
    free(f);
    h.tank.line_Pa *= 0.5;
    h.hose_length_m = 30.0;
    f = finder_for(&h);
    CHECK_OK(tufa_fault_expect(f, -1, -1, test, 0, &weak), 1);
    CHECK_TRUE(weak.mid < 0.75 * usual.mid, 1);
    free(f);
}

/* A dead supply leaves no volts on anything, whatever else is broken: the pair is solved, not mixed. */
static void two_electrical_faults_are_solved_together(void **state)
{
    (void)state;
    tufa_finder *f = reference(TUFA_TANK_ELECTRIC);
    static const char *const OTHER[] = {"lower_earthed", "upper_stuck_on", "lower_tstat_closed", "lower_open", "leg_lost"};
    static const char *const TEST[] = {"A_sat", "meter_rest_W", "V_lower", "A_upper", "meter_upper_W"};
    static const double NOTHING[] = {0.1, 40.0, 3.0, 0.1, 40.0};
    for (size_t i = 0; i < 5; i++)
        for (size_t k = 0; k < 5; k++) {
            tufa_value v;
            CHECK_OK(tufa_fault_expect(f, tufa_fault_find("supply_lost"), tufa_fault_find(OTHER[i]), tufa_fault_test_find(TEST[k]), 0, &v), i * 10 + k);
            CHECK_TRUE(v.mid < NOTHING[k], i * 10 + k);
        }
    free(f);
}

/* ---- simulated visits ---- */

static void the_rule_beats_a_list_and_pure_information_in_cost(void **state)
{
    (void)state;
    for (int gas = 0; gas < 2; gas++) {
        tufa_finder *f = reference(gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
        for (int disturbed = 0; disturbed < 2; disturbed++) {
            tufa_trial ours, information, list;
            double wider = disturbed ? 1.5 : 1.0;
            CHECK_OK(tufa_fault_trial(f, -1, -1, TUFA_RULE_LOSS, wider, KEY, VISITS, &ours), 0);
            CHECK_OK(tufa_fault_trial(f, -1, -1, TUFA_RULE_INFORMATION, wider, KEY, VISITS, &information), 1);
            CHECK_OK(tufa_fault_trial(f, -1, -1, TUFA_RULE_FIXED, wider, KEY, VISITS, &list), 2);
            double a = ours.reading_usd + ours.lost_usd, b = information.reading_usd + information.lost_usd, c = list.reading_usd + list.lost_usd;
            if (ENOUGH_TO_COMPARE && !(a < 0.8 * b && a < 0.8 * c))
                fail_msg("gas %d disturbed %d: ours %.0f, information %.0f, list %.0f", gas, disturbed, a, b, c);
        }
        free(f);
    }
}

static void odds_hold_what_they_say_in_simulation(void **state)
{
    (void)state;
    double said = 0.0, right = 0.0, n = 0.0;
    for (int gas = 0; gas < 2; gas++) {
        tufa_finder *f = reference(gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
        tufa_trial t;
        CHECK_OK(tufa_fault_trial(f, -1, -1, TUFA_RULE_LOSS, 1.0, KEY + 1, CALLS_TO_TELL, &t), gas);
        for (int k = 0; k < 10; k++) {
            said += t.sure_sum[k];
            right += t.right[k];
            n += t.sure[k];
            if (t.sure[k] < 40) continue; /* four standard errors of a share */
            double p = t.sure_sum[k] / t.sure[k];
            CHECK_NEAR((double)t.right[k] / t.sure[k], p, 4.0 * sqrt(p * (1.0 - p) / t.sure[k]) + 0.01, k);
        }
        free(f);
    }
    CHECK_NEAR(right / n, said / n, 4.0 * sqrt(0.25 / n), 0);
}

RUN(cmocka_unit_test(eight_cases_end_at_their_fault), cmocka_unit_test(probabilities_sum_and_order_does_not_matter),
    cmocka_unit_test(a_reading_never_taken_changes_nothing), cmocka_unit_test(silence_says_nothing_and_an_asked_no_does),
    cmocka_unit_test(a_reading_and_its_twin_count_once), cmocka_unit_test(contradicting_readings_are_named_and_both_kept),
    cmocka_unit_test(danger_is_not_outvoted), cmocka_unit_test(covers_stay_on_before_live_parts), cmocka_unit_test(the_first_reading_needs_no_cover_off),
    cmocka_unit_test(a_heater_that_does_not_burn_is_not_measured_by_its_flame),
    cmocka_unit_test(impossible_readings_are_refused), cmocka_unit_test(house_knowledge_moves_the_odds),
    cmocka_unit_test(own_calls_replace_the_table), cmocka_unit_test(the_explanation_names_the_reading_that_moved_a_fault),
    cmocka_unit_test(a_danger_that_nothing_read_speaks_of_is_still_asked_for),
    cmocka_unit_test(a_heater_with_one_element_is_asked_what_it_has),
    cmocka_unit_test(the_words_of_one_element_name_no_other), cmocka_unit_test(other_heaters_are_heaters_too), cmocka_unit_test(the_drain_flow_is_that_of_this_house),
    cmocka_unit_test(two_electrical_faults_are_solved_together),
    cmocka_unit_test(a_grounded_element_reads_as_all_its_leaks_do), cmocka_unit_test(a_hot_sheath_raises_the_odds_of_its_element),
    cmocka_unit_test(a_tepid_tank_raises_the_odds_of_a_smell), cmocka_unit_test(a_meter_held_across_a_broken_coil_at_rest_shows_nothing),
    cmocka_unit_test(the_rule_beats_a_list_and_pure_information_in_cost), cmocka_unit_test(odds_hold_what_they_say_in_simulation))
