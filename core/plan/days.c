/* Days of the year's rounds: which are worked, what each visit costs on each of them, and whether a plan holds. */
#include <math.h>

#include "core/base/status.h"
#include "tufa/plan.h"

enum { WEEK = 7, MOST_DAYS = 3660 };
static const double MOST_USD = 1e6;

/* 1970-01-01 was a Thursday: day 4 is a Monday. */
static int weekday(int64_t day) { return (int)(((day - 4) % WEEK + WEEK) % WEEK); }

static int works(const tufa_plan_terms *t, int64_t day)
{
    return day >= t->first_day && day < t->first_day + t->days && (t->weekdays >> weekday(day) & 1);
}

static int is_empty(const tufa_plan_visit *v, int64_t day) { return day >= v->empty_from && day <= v->empty_to; }

int tufa_plan_allows(const tufa_plan_visit *v, int64_t day)
{
    return day <= v->latest_day && (day >= v->earliest_day || is_empty(v, day));
}

static tufa_status terms_ok(const tufa_plan_terms *t)
{
    RETURN_IF(in_range("days", t->days, 1, MOST_DAYS));
    RETURN_IF(in_range("weekdays", t->weekdays, 1, 127));
    RETURN_IF(in_range("day_s", t->day_s, 1.0, 86400.0));
    return in_range("crews", t->crews, 1, 100);
}

tufa_status tufa_plan_days(const tufa_plan_terms *terms, size_t room, int64_t *day, size_t *days)
{
    RETURN_IF(terms_ok(terms));
    size_t n = 0;
    for (int64_t d = terms->first_day; d < terms->first_day + terms->days; d++) {
        if (!works(terms, d)) continue;
        if (n == room) return in_range("room", (double)room, (double)terms->days, MOST_DAYS);
        day[n++] = d;
    }
    *days = n;
    return OK;
}

tufa_status tufa_plan_wait(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms, size_t days,
                           const int64_t *day, double *wait, size_t *bad)
{
    RETURN_IF(terms_ok(terms));
    for (size_t i = 0; i < n; i++) {
        const tufa_plan_visit *v = &visit[i];
        *bad = i;
        RETURN_IF(in_range("wait_usd_day", v->wait_usd_day, 0.0, MOST_USD));
        RETURN_IF(in_range("entry_usd", v->entry_usd, 0.0, MOST_USD));
        RETURN_IF(in_range("work_s", v->work_s, 0.0, terms->day_s));
        size_t found = 0;
        for (size_t k = 0; k < days; k++) {
            int allows = tufa_plan_allows(v, day[k]);
            double waited = v->wait_usd_day * (double)(day[k] - terms->first_day);
            wait[i * days + k] = allows ? waited + (is_empty(v, day[k]) ? 0.0 : v->entry_usd) : INFINITY;
            found += (size_t)allows;
        }
        if (found == 0)
            return (tufa_status){.code = TUFA_RANGE, .field = "latest_day", .got = (double)v->latest_day,
                                 .lo = (double)v->earliest_day, .hi = (double)(terms->first_day + terms->days - 1),
                                 .why = "no working day of the plan lies between notice and due day"};
    }
    return OK;
}

static int rounds_on(size_t n, const int *round, const int64_t *day, int64_t d)
{
    int count = 0;
    for (size_t i = 0; i < n; i++) {
        int first = round[i] >= 0 && day[i] == d;
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

static tufa_status visit_holds(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *t, const int *round, const int *at,
                               const int64_t *day, size_t i)
{
    if (!tufa_plan_allows(&visit[i], day[i]))
        return (tufa_status){.code = TUFA_RANGE, .field = "day", .got = (double)day[i], .lo = (double)visit[i].earliest_day,
                             .hi = (double)visit[i].latest_day, .why = "outside the window of the visit"};
    if (!works(t, day[i])) return (tufa_status){.code = TUFA_CONFLICT, .field = "day", .got = (double)day[i]};
    size_t seen = 0, mates = 0;
    for (size_t k = 0; k < n; k++) {
        if (round[k] != round[i]) continue;
        if (day[k] != day[i])
            return (tufa_status){.code = TUFA_CONFLICT, .field = "round", .got = round[i], .why = "one round, two days"};
        seen += at[k] == at[i];
        mates++;
    }
    RETURN_IF(in_range("at", at[i], 0, (double)mates - 1.0));
    return in_range("at", (double)seen, 1, 1);
}

tufa_status tufa_plan_check(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms, size_t m,
                            const double *travel_s, const int *round, const int *at, const int64_t *day)
{
    RETURN_IF(terms_ok(terms));
    int last = -1;
    for (size_t i = 0; i < n; i++) {
        if (round[i] < 0) continue;
        RETURN_IF(visit_holds(n, visit, terms, round, at, day, i));
        if (round[i] > last) last = round[i];
    }
    for (int r = 0; r <= last; r++) {
        size_t first = first_of(n, round, r);
        if (first == n) continue;
        RETURN_IF(in_range("rounds on a day", rounds_on(n, round, day, day[first]), 1, terms->crews));
        RETURN_IF(round_hours(n, visit, terms, m, travel_s, round, at, r));
    }
    return OK;
}
