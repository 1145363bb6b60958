/* Weeks and days of the year's rounds. */
#include <math.h>

#include "core/base/status.h"
#include "tufa/plan.h"

enum { WEEK = 7 };

/* 1970-01-01 was a Thursday: day 4 is a Monday. */
static int weekday(int64_t day) { return (int)(((day - 4) % WEEK + WEEK) % WEEK); }
static int64_t monday_of(int64_t day) { return day - weekday(day); }

static int works(const tufa_plan_terms *t, int64_t day)
{
    return day >= t->first_day && (t->weekdays >> weekday(day) & 1);
}

/* Working days of a week, and those of them that a visit's window holds. */
static void count_days(const tufa_plan_terms *t, const tufa_plan_visit *v, int week, int *worked, int *open)
{
    int64_t monday = monday_of(t->first_day) + (int64_t)WEEK * week;
    *worked = *open = 0;
    for (int64_t d = monday; d < monday + WEEK; d++) {
        if (!works(t, d)) continue;
        ++*worked;
        *open += d >= v->earliest_day && d <= v->latest_day;
    }
}

static tufa_status terms_ok(const tufa_plan_terms *t)
{
    RETURN_IF(in_range("weeks", t->weeks, 1, 400));
    RETURN_IF(in_range("weekdays", t->weekdays, 1, 127));
    RETURN_IF(in_range("day_s", t->day_s, 1.0, 86400.0));
    return in_range("crews", t->crews, 1, 100);
}

static int visit_weeks(const tufa_plan_visit *v, const tufa_plan_terms *t, double *wait)
{
    int64_t monday = monday_of(t->first_day);
    int whole = 0, found = 0;
    for (int w = 0; w < t->weeks; w++) {
        int worked, open;
        count_days(t, v, w, &worked, &open);
        whole += worked > 0 && open == worked;
    }
    for (int w = 0; w < t->weeks; w++) {
        int worked, open;
        count_days(t, v, w, &worked, &open);
        int counts = whole ? worked > 0 && open == worked : open > 0;
        int64_t waited = monday + (int64_t)WEEK * w - t->first_day;
        wait[w] = counts ? v->wait_usd_day * (double)(waited > 0 ? waited : 0) : INFINITY;
        found += counts;
    }
    return found;
}

tufa_status tufa_plan_weeks(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms, double *wait, int *most,
                            size_t *bad)
{
    RETURN_IF(terms_ok(terms));
    for (int w = 0; w < terms->weeks; w++) {
        tufa_plan_visit any = {.earliest_day = INT64_MIN, .latest_day = INT64_MAX};
        int worked, open;
        count_days(terms, &any, w, &worked, &open);
        most[w] = worked * terms->crews;
    }
    for (size_t i = 0; i < n; i++) {
        *bad = i;
        RETURN_IF(in_range("wait_usd_day", visit[i].wait_usd_day, 0.0, 1e6));
        RETURN_IF(in_range("work_s", visit[i].work_s, 0.0, terms->day_s));
        if (visit_weeks(&visit[i], terms, wait + i * (size_t)terms->weeks) == 0)
            return (tufa_status){.code = TUFA_RANGE, .field = "latest_day", .got = (double)visit[i].latest_day,
                                 .lo = (double)visit[i].earliest_day,
                                 .hi = (double)(monday_of(terms->first_day) + (int64_t)WEEK * terms->weeks - 1),
                                 .why = "no working day of the plan lies between notice and due day"};
    }
    return OK;
}

/* The days that every visit of a round allows. */
static int round_allows(size_t n, const tufa_plan_visit *visit, const int *round, int r, int64_t d)
{
    for (size_t i = 0; i < n; i++)
        if (round[i] == r && (d < visit[i].earliest_day || d > visit[i].latest_day)) return 0;
    return 1;
}

static int rounds_on(size_t n, const int *round, const int64_t *day, int64_t d)
{
    int count = 0;
    for (size_t i = 0; i < n; i++) {
        int first = day[i] == d;
        for (size_t k = 0; k < i && first; k++) first = round[k] != round[i];
        count += first;
    }
    return count;
}

static size_t first_of(size_t n, const int *round, int r)
{
    for (size_t i = 0; i < n; i++)
        if (round[i] == r) return i;
    return n;
}

static void set_day(size_t n, const int *round, int r, int64_t d, int64_t *day)
{
    for (size_t i = 0; i < n; i++)
        if (round[i] == r) day[i] = d;
}

/* Days for rounds r, r + 1, ... by trying; a week has few rounds and at most seven days. */
static int place(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *t, const int *week, const int *round, int r,
                 int *tries, int64_t *day)
{
    size_t i = first_of(n, round, r);
    if (i == n) return 1;
    int64_t monday = monday_of(t->first_day) + (int64_t)WEEK * week[i];
    for (int64_t d = monday; d < monday + WEEK; d++) {
        if (!works(t, d) || !round_allows(n, visit, round, r, d) || rounds_on(n, round, day, d) >= t->crews) continue;
        set_day(n, round, r, d, day);
        if (--*tries < 0) return 0;
        if (place(n, visit, t, week, round, r + 1, tries, day)) return 1;
    }
    set_day(n, round, r, -1, day);
    return 0;
}

tufa_status tufa_plan_days(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms, const int *week,
                           const int *round, int64_t *day)
{
    enum { TRIES = 200000 };
    RETURN_IF(terms_ok(terms));
    for (size_t i = 0; i < n; i++) day[i] = -1;
    int tries = TRIES;
    if (place(n, visit, terms, week, round, 0, &tries, day)) return OK;
    int r = 0;
    while (first_of(n, round, r) < n && day[first_of(n, round, r)] >= 0) r++;
    return (tufa_status){.code = TUFA_REFUSED, .field = "round", .got = r, .why = "its visits share no free working day"};
}

static tufa_status round_hours(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *t, size_t m,
                               const double *travel_s, const int *round, const int *at, int r)
{
    double total = 0.0;
    size_t place_now = 0, left = 0;
    for (size_t i = 0; i < n; i++) left += round[i] == r;
    for (int k = 0; left > 0; k++)
        for (size_t i = 0; i < n; i++) {
            if (round[i] != r || at[i] != k) continue;
            RETURN_IF(in_range("place", visit[i].place, 0, (double)m - 1.0));
            total += travel_s[place_now * m + (size_t)visit[i].place] + visit[i].work_s;
            place_now = (size_t)visit[i].place;
            left--;
        }
    return in_range("round_s", total + travel_s[place_now * m], 0.0, t->day_s * (1.0 + 1e-9));
}

tufa_status tufa_plan_check(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms, size_t m,
                            const double *travel_s, const int *round, const int *at, const int64_t *day)
{
    RETURN_IF(terms_ok(terms));
    for (size_t i = 0; i < n; i++) {
        if (round[i] < 0) continue;
        RETURN_IF(in_range("day", (double)day[i], (double)visit[i].earliest_day, (double)visit[i].latest_day));
        if (!works(terms, day[i])) return (tufa_status){.code = TUFA_CONFLICT, .field = "day", .got = (double)day[i]};
        for (size_t k = 0; k < i; k++)
            if (round[k] == round[i] && day[k] != day[i])
                return (tufa_status){.code = TUFA_CONFLICT, .field = "round", .got = round[i], .why = "one round, two days"};
        RETURN_IF(in_range("rounds on a day", rounds_on(n, round, day, day[i]), 1, terms->crews));
        int seen = 0;
        for (size_t k = 0; k < n; k++) seen += round[k] == round[i] && at[k] == at[i];
        RETURN_IF(in_range("at", seen, 1, 1));
    }
    for (int r = 0; first_of(n, round, r) < n; r++) RETURN_IF(round_hours(n, visit, terms, m, travel_s, round, at, r));
    return OK;
}
