/* Checks for doubles with all that a reader of a failure needs. cmocka's own compare as float. */
#ifndef TESTS_CHECK_H
#define TESTS_CHECK_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "tufa/base.h"

/* |got - want| <= tol; prints the place, both values and an id (the index of a random case, say) on failure. */
#define CHECK_NEAR(got, want, tol, id)                                                                       \
    do {                                                                                                     \
        double got_ = (got), want_ = (want), tol_ = (tol);                                                   \
        if (!(fabs(got_ - want_) <= tol_))                                                                   \
            fail_msg("case %lld: %s = %.17g, wanted %.17g within %.3g", (long long)(id), #got, got_, want_, tol_); \
    } while (0)

#define CHECK_REL(got, want, rel, id) CHECK_NEAR(got, want, (rel) * fabs(want), id)

#define CHECK_TRUE(condition, id)                                                                            \
    do {                                                                                                     \
        if (!(condition)) fail_msg("case %lld: not true: %s", (long long)(id), #condition);                  \
    } while (0)

#define CHECK_OK(call, id)                                                                                   \
    do {                                                                                                     \
        tufa_status st_ = (call);                                                                            \
        if (st_.code != TUFA_OK)                                                                             \
            fail_msg("case %lld: %s answered %s (%s %g, %g to %g)", (long long)(id), #call,                  \
                     tufa_code_words(st_.code), st_.field ? st_.field : "", st_.got, st_.lo, st_.hi);        \
    } while (0)

#define CHECK_CODE(call, wanted, id)                                                                         \
    do {                                                                                                     \
        tufa_status st_ = (call);                                                                            \
        if (st_.code != (wanted))                                                                            \
            fail_msg("case %lld: %s answered %s, not %s", (long long)(id), #call, tufa_code_words(st_.code), \
                     tufa_code_words(wanted));                                                               \
    } while (0)

#define RUN(...)                                                                                             \
    int main(void)                                                                                           \
    {                                                                                                        \
        const struct CMUnitTest tests[] = {__VA_ARGS__};                                                     \
        return cmocka_run_group_tests(tests, NULL, NULL);                                                    \
    }

#endif
