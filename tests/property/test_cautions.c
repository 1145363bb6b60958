/* The cautions table: every row answers for itself, and the work that must carry a warning carries it. */
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "tests/check.h"

static void every_caution_has_words_a_source_and_work_it_goes_with(void **state)
{
    (void)state;
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        CHECK_TRUE(strlen(c->words) > 20 && c->title[0] && c->applies_to[0], i);
        CHECK_TRUE(tufa_source_at(c->source) != NULL, i);
        CHECK_TRUE(tufa_caution_find(c->id) == c, i);
        CHECK_TRUE(i == 0 || tufa_caution_at(i - 1)->level <= c->level, i);
        CHECK_TRUE(strstr(c->words, " safe.") == NULL && strstr(c->words, "is safe") == NULL, i);
    }
    assert_null(tufa_caution_at(tufa_caution_count()));
    assert_null(tufa_caution_find("C_NONE"));
}

/* Every run of digits in `brief` is one in `words`, unit and all: no figure is made in shortening. */
static bool figures_are_in(const char *brief, const char *words)
{
    static const char DIGITS[] = "0123456789";
    for (const char *at = brief; (at = strpbrk(at, DIGITS)) != NULL;) {
        char figure[16];
        size_t n = strspn(at, DIGITS);
        snprintf(figure, sizeof figure, "%.*s", (int)n, at);
        const char *in = words;
        bool found = false;
        while (!found && (in = strstr(in, figure)) != NULL) {
            found = (in == words || !strchr(DIGITS, in[-1])) && (in[n] == 0 || !strchr(DIGITS, in[n]));
            in += n;
        }
        if (!found) return false;
        at += n;
    }
    return true;
}

static void in_brief_a_caution_is_shorter_and_has_no_figure_of_its_own(void **state)
{
    (void)state;
    assert_true(figures_are_in("140 F", "at 140 F") && !figures_are_in("40 F", "at 140 F") && !figures_are_in("140 F", "at 1400 F"));
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        CHECK_TRUE(strlen(c->brief) > 20 && strlen(c->brief) < strlen(c->words), i);
        CHECK_TRUE(figures_are_in(c->brief, c->words), i);
        CHECK_TRUE(strstr(c->brief, " safe") == NULL, i);
    }
}

static int carries(const char *work, tufa_caution_fuel fuel, const char *caution)
{
    return tufa_caution_applies(tufa_caution_find(caution), work, fuel);
}

static void work_on_a_heater_carries_its_cautions(void **state)
{
    (void)state;
    static const char *const methods[] = {"M1", "M2", "M3", "M4", "M5", "M6"};
    for (size_t i = 0; i < 6; i++) {
        CHECK_TRUE(carries(methods[i], TUFA_CAUTION_ELECTRIC, "C_ISO"), i);
        CHECK_TRUE(!carries(methods[i], TUFA_CAUTION_ELECTRIC, "C_GASCLEAN"), i);
        CHECK_TRUE(carries(methods[i], TUFA_CAUTION_GAS, "C_GASCLEAN"), i);
        CHECK_TRUE(carries(methods[i], TUFA_CAUTION_ANY, "C_DRYFIRE"), i);
        CHECK_TRUE(carries(methods[i], TUFA_CAUTION_ANY, "C_SCALD_DRAW"), i);
    }
    assert_true(carries("M3", TUFA_CAUTION_ANY, "C_AIR") && carries("M2", TUFA_CAUTION_ANY, "C_ACID"));
    assert_true(carries("M4", TUFA_CAUTION_ANY, "C_VACUUM") && carries("M5", TUFA_CAUTION_ANY, "C_STIR"));
    assert_true(carries("all", TUFA_CAUTION_ANY, "C_CLOSE") && !carries("M1", TUFA_CAUTION_ANY, "C_CLOSE"));
}

static void a_heater_of_another_kind_carries_what_is_new_about_it(void **state)
{
    (void)state;
    for (int f = TUFA_CAUTION_ANY; f <= TUFA_CAUTION_GAS; f++) {
        CHECK_TRUE(carries("to_gas", (tufa_caution_fuel)f, "C_NEW_GAS") && !carries("to_gas", (tufa_caution_fuel)f, "C_NEW_CIRCUIT"), f);
        CHECK_TRUE(carries("to_electric", (tufa_caution_fuel)f, "C_NEW_CIRCUIT"), f);
        CHECK_TRUE(carries("to_heat_pump", (tufa_caution_fuel)f, "C_NEW_CIRCUIT") && carries("to_heat_pump", (tufa_caution_fuel)f, "C_HEAT_PUMP"), f);
        CHECK_TRUE(carries("to_electric", (tufa_caution_fuel)f, "C_OLD_GAS") == (f != TUFA_CAUTION_ELECTRIC), f);
    }
}

static void an_id_is_matched_as_a_whole_word(void **state)
{
    (void)state;
    assert_false(carries("M", TUFA_CAUTION_ANY, "C_ISO"));
    assert_false(carries("ohm", TUFA_CAUTION_ANY, "C_ISO"));
    assert_false(carries("", TUFA_CAUTION_ANY, "C_ISO"));
    assert_true(carries("ohm_lower", TUFA_CAUTION_ANY, "C_ISO"));
}

RUN(cmocka_unit_test(every_caution_has_words_a_source_and_work_it_goes_with),
    cmocka_unit_test(in_brief_a_caution_is_shorter_and_has_no_figure_of_its_own),
    cmocka_unit_test(work_on_a_heater_carries_its_cautions), cmocka_unit_test(a_heater_of_another_kind_carries_what_is_new_about_it), cmocka_unit_test(an_id_is_matched_as_a_whole_word))
