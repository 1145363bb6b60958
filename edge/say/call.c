#include "edge/say/call.h"

#include <math.h>
#include <time.h>

#include "core/base/units.h"

enum { WIDTH = 96 };

void say_clock(text *t, int64_t seconds)
{
    time_t at = (time_t)seconds;
    struct tm here;
    if (localtime_r(&at, &here)) text_addf(t, "%04d-%02d-%02d %02d:%02d", here.tm_year + 1900, here.tm_mon + 1, here.tm_mday, here.tm_hour, here.tm_min);
}

/* exp of the shift as a person says it. */
static void say_times(text *t, double shift)
{
    double times = exp(fabs(shift));
    if (times > 1000.0) text_add(t, "over 1000 times");
    else if (times >= 10.0) text_addf(t, "%.0f times", times);
    else text_addf(t, "%.1f times", times);
    text_add(t, shift > 0.0 ? " likelier" : " less likely");
}

void say_moves(text *t, const double shift[TUFA_MAX_FAULTS], const tufa_fault_answer *a)
{
    static const double WORTH_TELLING = 0.2; /* a fifth either way */
    enum { MOST = 3 };
    int told = 0;
    for (int i = 0; i < a->faults && i < 6 && told < MOST; i++) {
        double x = shift[a->odds[i].fault];
        if (fabs(x) < WORTH_TELLING) continue;
        text_addf(t, "%s%s ", told++ ? ", " : "", tufa_fault_for((size_t)a->odds[i].fault, a->single_element)->title);
        say_times(t, x);
    }
    if (!told) text_add(t, "changes little");
}

void say_moved(text *t, unit_system s, const tufa_reading *r, const double shift[TUFA_MAX_FAULTS], const tufa_fault_answer *a)
{
    text_addf(t, "    %s: ", tufa_fault_test_for((size_t)r->test, a->single_element)->title);
    say_reading(t, s, r);
    text_add(t, " -> ");
    say_moves(t, shift, a);
    text_add(t, "\n");
}

void say_tonight_gives(text *t, unit_system s, const tufa_tonight *n, int64_t today)
{
    static const double WORSE = 1.3;
    if (!n->possible) return;
    text_add(t, "That gives about ");
    say_volume(t, s, m3_from_L(n->litres));
    text_add(t, " of hot water, ");
    say_volume(t, s, m3_from_L(n->shower_litres));
    text_addf(t, " mixed for a shower, again after about %.0f minutes. Put right by ", n->minutes_again);
    say_day(t, today + n->days);
    text_add(t, ".");
    if (n->growth_s > WORSE * n->growth_sound_s) {
        text_addf(t, " So long the water stands about %.0f hours a day between ", n->growth_s / 3600.0);
        say_temperature(t, s, K_from_C(25.0));
        text_add(t, " and ");
        say_temperature(t, s, K_from_C(45.0));
        text_addf(t, ", where bacteria grow (%.0f as it should be).", n->growth_sound_s / 3600.0);
    }
}

void say_tonight(text *t, unit_system s, int fault, const tufa_tonight *n, int64_t today)
{
    text_addf(t, "  Hot water tonight, should it be this: %s\n    ", tufa_fault_for((size_t)fault, n->single_element)->title);
    text_add_wrapped(t, n->what, WIDTH, 4);
    text_add(t, "\n");
    if (n->possible) {
        text w = {0};
        say_tonight_gives(&w, s, n, today);
        text_add(t, "    ");
        text_add_wrapped(t, text_str(&w), WIDTH, 4);
        text_add(t, "\n");
        text_free(&w);
    }
    text_add(t, "    Never: ");
    text_add_wrapped(t, n->never, WIDTH, 4);
    text_add(t, "\n    All of this is judgement, for the owner and not for the tenant; in doubt the answer is off.\n");
}
