/* The cautions table: every row answers for itself, and the work that must carry a warning carries it. */
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

static void an_id_is_matched_as_a_whole_word(void **state)
{
    (void)state;
    assert_false(carries("M", TUFA_CAUTION_ANY, "C_ISO"));
    assert_false(carries("ohm", TUFA_CAUTION_ANY, "C_ISO"));
    assert_false(carries("", TUFA_CAUTION_ANY, "C_ISO"));
    assert_true(carries("ohm_lower", TUFA_CAUTION_ANY, "C_ISO"));
}

RUN(cmocka_unit_test(every_caution_has_words_a_source_and_work_it_goes_with),
    cmocka_unit_test(work_on_a_heater_carries_its_cautions), cmocka_unit_test(an_id_is_matched_as_a_whole_word))
