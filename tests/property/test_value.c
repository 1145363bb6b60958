/* What a person says about a number is read as documented in edge/import/value.h, and written back the same. */
#include "edge/import/value.h"
#include "edge/import/weekdays.h"
#include "edge/say/day.h"
#include "tests/check.h"

#include <string.h>

#include "core/base/units.h"

static value_rule rule(quantity q, unit_id u, double lo, double hi)
{
    return (value_rule){.field = "x", .q = q, .unit = &units[u], .lo = unit_to_si(&units[u], lo), .hi = unit_to_si(&units[u], hi),
                        .today = day_from_ymd(2026, 6, 15)};
}

static void amounts_with_words_and_units_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *said;
        double lo, mid, hi; /* gallons */
        tufa_basis basis;
    } ROWS[] = {
        {"12", 12, 12, 12, TUFA_BASIS_GIVEN},
        {" 12 gal ", 12, 12, 12, TUFA_BASIS_GIVEN},
        {"1,200", 1200, 1200, 1200, TUFA_BASIS_GIVEN},
        {"4 qt", 1, 1, 1, TUFA_BASIS_GIVEN},
        {"3/4", 0.75, 0.75, 0.75, TUFA_BASIS_GIVEN},
        {"1 1/2", 1.5, 1.5, 1.5, TUFA_BASIS_GIVEN},
        {"1-1/2", 1.5, 1.5, 1.5, TUFA_BASIS_GIVEN},
        {"1\xC2\xBD gallons", 1.5, 1.5, 1.5, TUFA_BASIS_GIVEN},
        {"1.5e1", 15, 15, 15, TUFA_BASIS_GIVEN},
        {"about 10", 8, 10, 12, TUFA_BASIS_ABOUT},
        {"About 10 gal", 8, 10, 12, TUFA_BASIS_ABOUT},
        {"~10", 8, 10, 12, TUFA_BASIS_ABOUT},
        {"10ish", 8, 10, 12, TUFA_BASIS_ABOUT},
        {"10 or so", 8, 10, 12, TUFA_BASIS_ABOUT},
        {"8..14", 8, 11, 14, TUFA_BASIS_RANGE},
        {"8-14", 8, 11, 14, TUFA_BASIS_RANGE},
        {"8 - 14 gal", 8, 11, 14, TUFA_BASIS_RANGE},
        {"8 \xE2\x80\x93 14", 8, 11, 14, TUFA_BASIS_RANGE},
        {"8 to 14", 8, 11, 14, TUFA_BASIS_RANGE},
        {"between 8 and 12", 8, 10, 12, TUFA_BASIS_RANGE},
        {"4 qt .. 2 gal", 1, 1.5, 2, TUFA_BASIS_RANGE},
        {"10 +- 2", 8, 10, 12, TUFA_BASIS_RANGE},
        {"10\xC2\xB1""2 gal", 8, 10, 12, TUFA_BASIS_RANGE},
        {"8..9..14", 8, 9, 14, TUFA_BASIS_RANGE},
        {"about 8..14", 8, 11, 14, TUFA_BASIS_ABOUT},
        {"over 8", 8, 11.313708498984761, 16, TUFA_BASIS_RANGE},
        {"under 8", 2, 4, 8, TUFA_BASIS_RANGE},
        {"<8", 2, 4, 8, TUFA_BASIS_RANGE},
        {"?", 0, 0, 0, TUFA_BASIS_NONE},
        {"", 0, 0, 0, TUFA_BASIS_NONE},
        {"don't know", 0, 0, 0, TUFA_BASIS_NONE},
        {"Don\xE2\x80\x99t know", 0, 0, 0, TUFA_BASIS_NONE},
    };
    value_rule r = rule(Q_VOLUME, UNIT_GAL, 0.0, 5000.0);
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        tufa_value v;
        trouble_note note = {0};
        if (value_parse(ROWS[i].said, &r, &v, &note)) fail_msg("\"%s\": %s", ROWS[i].said, note.why);
        CHECK_NEAR(gal_from_m3(v.lo), ROWS[i].lo, 1e-9, i);
        CHECK_NEAR(gal_from_m3(v.mid), ROWS[i].mid, 1e-9, i);
        CHECK_NEAR(gal_from_m3(v.hi), ROWS[i].hi, 1e-9, i);
        CHECK_TRUE(v.basis == ROWS[i].basis, i);
    }
}

static void what_cannot_be_an_amount_is_refused_with_the_field(void **state)
{
    (void)state;
    static const struct {
        const char *said;
        tufa_code code;
    } ROWS[] = {
        {"nan", TUFA_PARSE},       {"inf", TUFA_PARSE},    {"-inf", TUFA_PARSE},  {"1e999", TUFA_RANGE},   {"-3", TUFA_RANGE},
        {"1000000", TUFA_RANGE},   {"12 psi", TUFA_UNIT},  {"0,8", TUFA_PARSE},   {"12 14", TUFA_UNIT},    {"14..8", TUFA_CONFLICT},
        {"1..2..3..4", TUFA_UNIT}, {"0x10", TUFA_UNIT},   {"1,20", TUFA_PARSE},  {"hot", TUFA_PARSE},     {"..", TUFA_PARSE},
        {"about", TUFA_PARSE},     {"over 8..9", TUFA_PARSE}, {"5--3", TUFA_CONFLICT}, {"1/0", TUFA_UNIT}, {"--", TUFA_OK},
        {"about about 3", TUFA_PARSE}, {"9999999999999999999999999999999999999999999999", TUFA_PARSE},
    };
    value_rule r = rule(Q_VOLUME, UNIT_GAL, 0.0, 5000.0);
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        tufa_value v;
        trouble_note note = {0};
        tufa_code code = value_parse(ROWS[i].said, &r, &v, &note);
        if (code != ROWS[i].code) fail_msg("\"%s\" answered %s (%s)", ROWS[i].said, tufa_code_words(code), note.why);
        CHECK_TRUE(code == TUFA_OK || (strcmp(note.field, "x") == 0 && note.why[0] && note.allowed[0] && note.code == code), i);
    }
}

static void days_and_ages_are_read(void **state)
{
    (void)state;
    int64_t today = day_from_ymd(2026, 6, 15);
    static const struct {
        const char *said;
        int lo[3], mid[3], hi[3];
        tufa_basis basis;
    } ROWS[] = {
        {"2019-06-30", {2019, 6, 30}, {2019, 6, 30}, {2019, 6, 30}, TUFA_BASIS_GIVEN},
        {"6/30/2019", {2019, 6, 30}, {2019, 6, 30}, {2019, 6, 30}, TUFA_BASIS_GIVEN},
        {"June 30, 2019", {2019, 6, 30}, {2019, 6, 30}, {2019, 6, 30}, TUFA_BASIS_GIVEN},
        {"30 jun 2019", {2019, 6, 30}, {2019, 6, 30}, {2019, 6, 30}, TUFA_BASIS_GIVEN},
        {"2019", {2019, 2, 6}, {2019, 7, 2}, {2019, 11, 25}, TUFA_BASIS_GIVEN},
        {"June 2019", {2019, 6, 3}, {2019, 6, 15}, {2019, 6, 28}, TUFA_BASIS_GIVEN},
        {"2019-06", {2019, 6, 3}, {2019, 6, 15}, {2019, 6, 28}, TUFA_BASIS_GIVEN},
        {"about 2019", {2018, 7, 2}, {2019, 7, 2}, {2020, 7, 1}, TUFA_BASIS_ABOUT},
        {"2015..2019", {2015, 1, 1}, {2017, 7, 1}, {2019, 12, 31}, TUFA_BASIS_RANGE},
        {"2015-2019", {2015, 1, 1}, {2017, 7, 1}, {2019, 12, 31}, TUFA_BASIS_RANGE},
        {"10", {2016, 6, 15}, {2016, 6, 15}, {2016, 6, 15}, TUFA_BASIS_GIVEN},
        {"10 years old", {2016, 6, 15}, {2016, 6, 15}, {2016, 6, 15}, TUFA_BASIS_GIVEN},
        {"about 10", {2014, 6, 16}, {2016, 6, 15}, {2018, 6, 15}, TUFA_BASIS_ABOUT},
        {"between 8 and 12", {2014, 6, 15}, {2016, 6, 14}, {2018, 6, 15}, TUFA_BASIS_RANGE},
        {"8-12 years", {2014, 6, 15}, {2016, 6, 14}, {2018, 6, 15}, TUFA_BASIS_RANGE},
        {"0", {2026, 6, 15}, {2026, 6, 15}, {2026, 6, 15}, TUFA_BASIS_GIVEN},
    };
    value_rule r = rule(Q_INSTALLED, UNIT_DATE, (double)day_from_ymd(1930, 1, 1), (double)day_from_ymd(2199, 12, 31));
    r.today = today;
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        tufa_value v;
        trouble_note note = {0};
        if (value_parse(ROWS[i].said, &r, &v, &note)) fail_msg("\"%s\": %s", ROWS[i].said, note.why);
        text t = {0};
        say_day(&t, (int64_t)v.lo), text_add(&t, " "), say_day(&t, (int64_t)v.mid), text_add(&t, " "), say_day(&t, (int64_t)v.hi);
        char want[80];
        snprintf(want, sizeof want, "%04d-%02d-%02d %04d-%02d-%02d %04d-%02d-%02d", ROWS[i].lo[0], ROWS[i].lo[1], ROWS[i].lo[2],
                 ROWS[i].mid[0], ROWS[i].mid[1], ROWS[i].mid[2], ROWS[i].hi[0], ROWS[i].hi[1], ROWS[i].hi[2]);
        if (strcmp(want, text_str(&t)) != 0) fail_msg("\"%s\": %s, wanted %s", ROWS[i].said, text_str(&t), want);
        text_free(&t);
        CHECK_TRUE(v.basis == ROWS[i].basis, i);
    }
    static const char *const BAD[] = {"2019-02-30", "2019-13-01", "2/29/2019", "2027", "31 june 2019", "1850", "yesterday", "2019-2015",
                                      "2019-06-30-01", "250", "19-06-30", "june", "12 gal", "-5"};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        tufa_value v;
        trouble_note note = {0};
        if (!value_parse(BAD[i], &r, &v, &note)) fail_msg("\"%s\" was taken", BAD[i]);
        CHECK_TRUE(note.why[0] != 0, i);
    }
}

static void weekdays_are_read_as_people_write_them(void **state)
{
    (void)state;
    static const struct {
        const char *said;
        unsigned days;
        const char *written;
    } GOOD[] = {{"tue thu", 0x0A, "tue thu"}, {"Mon-Fri", 0x1F, "mon tue wed thu fri"}, {"Saturdays", 0x20, "sat"}, {"fri-mon", 0x71, "mon fri sat sun"},
                {"Tuesday and Thursday, Sat", 0x2A, "tue thu sat"}, {"tues & thurs", 0x0A, "tue thu"}, {"sun - sun", 0x40, "sun"}};
    for (size_t i = 0; i < sizeof GOOD / sizeof GOOD[0]; i++) {
        unsigned days = 0, back = 0;
        char written[40];
        CHECK_TRUE(weekdays_parse(GOOD[i].said, &days) && days == GOOD[i].days, i);
        weekdays_write(days, written, sizeof written);
        CHECK_TRUE(strcmp(written, GOOD[i].written) == 0 && weekdays_parse(written, &back) && back == days, i);
    }
    static const char *const BAD[] = {"", "someday", "-fri", "mon-", "mon/tue", "t", "days", "13", "mon-\xff"};
    for (size_t i = 0; i < sizeof BAD / sizeof BAD[0]; i++) {
        unsigned days = 0;
        CHECK_TRUE(!weekdays_parse(BAD[i], &days), i);
    }
}

static void a_value_written_reads_back_the_same(void **state)
{
    (void)state;
    static const struct {
        quantity q;
        unit_id u;
        double lo, hi;
    } KINDS[] = {{Q_VOLUME, UNIT_GAL, 0, 5000}, {Q_TEMPERATURE, UNIT_F, -100, 400}, {Q_TEMPERATURE, UNIT_C, -50, 200},
                 {Q_MONEY, UNIT_DOLLAR, -1e6, 1e6}, {Q_BURNER, UNIT_BTU_H, 0, 1e6}, {Q_SHARE, UNIT_PERCENT, 0, 100}};
    for (uint64_t i = 0; i < 3000; i++) {
        value_rule r = rule(KINDS[i % 6].q, KINDS[i % 6].u, KINDS[i % 6].lo, KINDS[i % 6].hi);
        double a = tufa_uniform(7, 1, i), b = tufa_uniform(7, 2, i), c = tufa_uniform(7, 3, i);
        double lo = fmin(a, fmin(b, c)), hi = fmax(a, fmax(b, c)), mid = a + b + c - lo - hi;
        double from = KINDS[i % 6].lo, width = KINDS[i % 6].hi - from;
        tufa_value v = {unit_to_si(r.unit, from + width * mid), unit_to_si(r.unit, from + width * lo), unit_to_si(r.unit, from + width * hi),
                        i % 7 == 0 ? TUFA_BASIS_ABOUT : TUFA_BASIS_RANGE}, back;
        if (i % 3 == 0) v = (tufa_value){v.mid, v.mid, v.mid, TUFA_BASIS_GIVEN};
        text t = {0};
        value_write(&t, &r, v);
        trouble_note note = {0};
        if (value_parse(text_str(&t), &r, &back, &note)) fail_msg("case %llu: \"%s\": %s", (unsigned long long)i, text_str(&t), note.why);
        CHECK_REL(back.lo, v.lo, 1e-11, i);
        CHECK_REL(back.mid, v.mid, 1e-11, i);
        CHECK_REL(back.hi, v.hi, 1e-11, i);
        CHECK_TRUE(back.basis == v.basis, i);
        text_free(&t);
    }
    value_rule money = rule(Q_MONEY, UNIT_DOLLAR, -1e6, 1e6); /* the ends alone would lose the digits of a small middle */
    for (int i = 0; i < 40; i++) {
        double mid = 100.0 * tufa_uniform(7, 4, (uint64_t)i), half = 4e7 * tufa_uniform(7, 5, (uint64_t)i);
        tufa_value v = {mid, mid - half, mid + half, TUFA_BASIS_RANGE}, back;
        trouble_note note = {0};
        text t = {0};
        value_write(&t, &money, v);
        CHECK_TRUE(value_parse(text_str(&t), &money, &back, &note) == TUFA_OK, i);
        CHECK_REL(back.mid, v.mid, 1e-9, i);
        text_free(&t);
    }
    static const char *const SAME[] = {"2019", "2019-06", "2019-06-30", "about 2019-07-02", "2015-01-01..2019-12-31", "about 2014-06-15..2016-06-14..2018-06-20",
                                       "2019-01-01..2019-01-03..2019-01-04"}; /* half way is the 2nd */
    value_rule r = rule(Q_INSTALLED, UNIT_DATE, -14610.0, 84005.0);
    for (size_t i = 0; i < sizeof SAME / sizeof SAME[0]; i++) {
        tufa_value v;
        trouble_note note = {0};
        if (value_parse(SAME[i], &r, &v, &note)) fail_msg("\"%s\": %s", SAME[i], note.why);
        text t = {0};
        value_write(&t, &r, v);
        assert_string_equal(text_str(&t), SAME[i]);
        text_free(&t);
    }
}

static void every_day_has_one_date_and_back(void **state)
{
    (void)state;
    for (int64_t day = day_from_ymd(1900, 1, 1); day <= day_from_ymd(2199, 12, 31); day++) {
        int y, m, d;
        ymd_from_day(day, &y, &m, &d);
        CHECK_TRUE(ymd_exists(y, m, d) && day_from_ymd(y, m, d) == day, day);
    }
    CHECK_TRUE(day_from_ymd(1970, 1, 1) == 0 && day_from_ymd(2000, 3, 1) == 11017, 0);
}

static const char *said(quantity q, unit_system s, tufa_value v)
{
    static char out[200];
    text t = {0};
    say_value(&t, s, q, v);
    snprintf(out, sizeof out, "%s", text_str(&t));
    text_free(&t);
    return out;
}

static void numbers_are_told_in_the_units_of_the_setting(void **state)
{
    (void)state;
    tufa_value mass = {kg_from_lb(0.83), kg_from_lb(0.4123), kg_from_lb(1.6432), TUFA_BASIS_LEARNED};
    assert_string_equal(said(Q_MASS, UNITS_US, mass), "0.8 lb (likely 0.4 to 1.6)");
    assert_string_equal(said(Q_MASS, UNITS_METRIC, mass), "0.38 kg (likely 0.19 to 0.75)");
    assert_string_equal(said(Q_TEMPERATURE, UNITS_US, (tufa_value){K_from_F(120), K_from_F(120), K_from_F(120), TUFA_BASIS_GIVEN}), "120 F");
    assert_string_equal(said(Q_TEMPERATURE, UNITS_METRIC, (tufa_value){K_from_C(50), K_from_C(50), K_from_C(50), TUFA_BASIS_GIVEN}), "50 C");
    assert_string_equal(said(Q_VOLUME, UNITS_US, (tufa_value){m3_from_gal(50), m3_from_gal(40), m3_from_gal(60), TUFA_BASIS_ABOUT}), "50 gal (likely 40 to 60)");
    assert_string_equal(said(Q_MONEY, UNITS_US, (tufa_value){123456, 98765, 245678, TUFA_BASIS_LEARNED}), "$1,200 (likely $1,000 to $2,500)");
    assert_string_equal(said(Q_MONEY, UNITS_US, (tufa_value){1240, 1240, 1240, TUFA_BASIS_GIVEN}), "$12.40");
    assert_string_equal(said(Q_HARDNESS, UNITS_US, (tufa_value){25 * 17.1181, 25 * 17.1181, 25 * 17.1181, TUFA_BASIS_GIVEN}), "25 grains");
    assert_string_equal(said(Q_NUMBER, UNITS_US, (tufa_value){0}), "not known");
    assert_string_equal(said(Q_INSTALLED, UNITS_US, (tufa_value){16000, 15000, 17000, TUFA_BASIS_RANGE}), "2013 (likely 2011 to 2016)");
    assert_string_equal(said(Q_POWER, UNITS_US, (tufa_value){4500, 4500, 4500, TUFA_BASIS_GIVEN}), "4500 W");
    assert_string_equal(said(Q_TIME, UNITS_US, (tufa_value){5400, 3600, 7200, TUFA_BASIS_RANGE}), "1.5 h (likely 1 to 2)");
}

static void a_time_that_burns_is_told_no_finer_than_it_is_known(void **state)
{
    (void)state;
    static const struct {
        double s;
        const char *told;
    } times[] = {{0.2, "1 second"}, {1.2, "1 second"}, {2.89, "3 seconds"}, {9.4, "9 seconds"}, {44.7, "45 seconds"}, {119.0, "119 seconds"},
                 {121.0, "2 minutes"}, {299.0, "5 minutes"}, {1800.0, "30 minutes"}};
    text t = {0};
    for (size_t i = 0; i < sizeof times / sizeof times[0]; i++) {
        text_clear(&t);
        say_short_time(&t, times[i].s);
        CHECK_TRUE(strcmp(text_str(&t), times[i].told) == 0, i);
    }
    text_free(&t);
}

RUN(cmocka_unit_test(weekdays_are_read_as_people_write_them), cmocka_unit_test(amounts_with_words_and_units_are_read), cmocka_unit_test(what_cannot_be_an_amount_is_refused_with_the_field),
    cmocka_unit_test(days_and_ages_are_read), cmocka_unit_test(a_value_written_reads_back_the_same),
    cmocka_unit_test(every_day_has_one_date_and_back), cmocka_unit_test(numbers_are_told_in_the_units_of_the_setting),
    cmocka_unit_test(a_time_that_burns_is_told_no_finer_than_it_is_known))
