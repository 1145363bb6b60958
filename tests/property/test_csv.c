#include "edge/import/csv.h"
#include "tests/check.h"

#include <stdlib.h>
#include <string.h>

static bool parse(const char *s, csv *t, trouble_note *note) { return csv_parse(s, strlen(s), "sheet.csv", t, note); }

static void fields_land_under_their_header(void **state)
{
    (void)state;
    const char *same[] = {"a,b\n1,2\n", "\xEF\xBB\xBF\r\na,b\r\n1,2\r\n", "a;b\n 1 ; 2 \n", "a\tb\n1\t2", "\"a\",\"b\"\n\"1\",\"2\"\n",
                          "a,b,,\n1,2,,\n", "a,b\r1,2\r", "a,b\n\n,\n1,2\n"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++) {
        csv t;
        trouble_note note = {0};
        CHECK_TRUE(parse(same[i], &t, &note), i);
        CHECK_TRUE(t.columns == 2 && t.rows == 1, i);
        assert_string_equal(t.header[1], "b");
        assert_string_equal(csv_at(&t, 0, 0), "1");
        assert_string_equal(csv_at(&t, 0, 1), "2");
        csv_free(&t);
    }
}

static void quotes_hold_separators_quotes_and_line_ends(void **state)
{
    (void)state;
    csv t;
    trouble_note note = {0};
    CHECK_TRUE(parse("id,note\n7,\"a, \"\"b\"\"\nc\"\n8,d\n", &t, &note), 0);
    assert_string_equal(csv_at(&t, 0, 1), "a, \"b\"\nc");
    assert_string_equal(csv_at(&t, 1, 0), "8");
    CHECK_TRUE(t.line[1] == 4, 1);
    csv_free(&t);
}

static void what_is_no_table_is_refused_with_its_line(void **state)
{
    (void)state;
    const struct {
        const char *text, *where, *why;
    } bad[] = {{"", "sheet.csv", "empty"},
               {"\n \n", "sheet.csv", "empty"},
               {"a,b\n1\n", "sheet.csv line 2", "1 fields"},
               {"a,b\n1,2,3\n", "sheet.csv line 2", "3 fields"},
               {"a|b\n1|2\n", "sheet.csv line 1", "separated"},
               {"a,b\n1,\xFF\n", "sheet.csv line 2", "UTF-8"},
               {"a,b\n1,\xC0\xAF\n", "sheet.csv line 2", "UTF-8"},
               {"\xFF\xFE\x61", "sheet.csv", "UTF-16"},
               {"a,b\n\"1,2\n", "sheet.csv line 2", "never closed"},
               {"a,b\n\"1\"x,2\n", "sheet.csv line 2", "behind a closing"},
               {"a,b\n1\"x,2\n", "sheet.csv line 2", "inside a field"}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        csv t;
        trouble_note note = {0};
        CHECK_TRUE(!parse(bad[i].text, &t, &note), i);
        assert_string_equal(note.where, bad[i].where);
        CHECK_TRUE(strstr(note.why, bad[i].why) != NULL, i);
    }
    csv t;
    trouble_note note = {0};
    CHECK_TRUE(!csv_parse("a,b\n1,\0\n", 9, "x", &t, &note) && strstr(note.why, "zero byte"), 0);
    size_t n = 10000000;
    char *line = malloc(n);
    memset(line, 'x', n);
    CHECK_TRUE(!csv_parse(line, n, "x", &t, &note) && strstr(note.why, "too long"), 1);
    free(line);
}

static void a_header_becomes_a_plain_name(void **state)
{
    (void)state;
    const char *pairs[][2] = {{"Ca (mg/L)", "ca_mg_l"}, {" pH ", "ph"}, {"Temp \xC2\xB0" "C", "temp_degc"}, {"EC (\xC2\xB5S/cm)", "ec_us_cm"},
                              {"__a--b__", "a_b"}, {"", ""}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++) {
        char name[32];
        csv_plain_name(pairs[i][0], name, sizeof name);
        assert_string_equal(name, pairs[i][1]);
    }
    char small[4];
    csv_plain_name("abcdefgh", small, sizeof small);
    assert_string_equal(small, "abc");
}

RUN(cmocka_unit_test(fields_land_under_their_header), cmocka_unit_test(quotes_hold_separators_quotes_and_line_ends),
    cmocka_unit_test(what_is_no_table_is_refused_with_its_line), cmocka_unit_test(a_header_becomes_a_plain_name))
