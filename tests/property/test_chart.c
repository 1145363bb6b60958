/* The text chart: marks, band and middle stand where their heights say. */
#include <string.h>

#include "edge/say/chart.h"
#include "tests/check.h"

enum { N = 5 };
static const double X[N] = {2025.0, 2030.0, 2035.0, 2040.0, 2045.0};

static size_t widest(const char *s)
{
    size_t most = 0, now = 0;
    for (; *s; s++) {
        if (*s == '\n') now = 0;
        else if (((unsigned char)*s & 0xC0) != 0x80 && ++now > most) most = now;
    }
    return most;
}

static void the_line_rises_from_the_lowest_row_to_its_height(void **state)
{
    (void)state;
    double lo[N] = {0.0, 0.5, 1.0, 1.5, 2.0}, mid[N] = {0.0, 1.0, 2.0, 3.0, 4.0}, hi[N] = {0.0, 2.0, 4.0, 6.0, 8.0};
    chart c = {.title = "inches", .n = N, .x = X, .lo = lo, .mid = mid, .hi = hi, .columns = 41, .rows = 8, .plain = true,
               .mark = {{6.0, "element"}, {30.0, "far above"}}, .marks = 2};
    text t = {0};
    say_chart(&t, &c, 2);
    const char *s = text_str(&t), *row8 = strstr(s, "\n       8 |"), *row4 = strstr(s, "\n       4 |"), *row0 = strstr(s, "\n       0 |");
    assert_non_null(row8);
    assert_non_null(row4);
    assert_non_null(row0);
    CHECK_TRUE(row8[11 + 40] == ':', 8);               /* the band ends at 8 in the last year */
    CHECK_TRUE(row4[11 + 40] == 'o', 4);               /* the line at 4 */
    CHECK_TRUE(row0[11] == 'o', 0);                    /* and both start at 0 */
    CHECK_TRUE(strstr(s, "- element") || strstr(s, ": element"), 6);
    assert_non_null(strstr(s, "(far above: 30, above this chart)"));
    assert_non_null(strstr(s, "2030"));
    CHECK_TRUE(widest(s) <= 2 + 8 + 41 + 8, 41);
    text_free(&t);
}

static void a_flat_nothing_is_drawn_without_trouble(void **state)
{
    (void)state;
    double zero[N] = {0};
    chart c = {.title = "inches", .n = N, .x = X, .lo = zero, .mid = zero, .hi = zero, .columns = 30, .rows = 4};
    text t = {0};
    say_chart(&t, &c, 0);
    CHECK_TRUE(!t.failed && t.len > 0 && t.len < 4000, 0);
    text_free(&t);
}

RUN(cmocka_unit_test(the_line_rises_from_the_lowest_row_to_its_height),
    cmocka_unit_test(a_flat_nothing_is_drawn_without_trouble))
