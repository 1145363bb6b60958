#include "edge/say/day.h"

#include <stdio.h>
#include <string.h>

/* Counted in eras of 400 years with March as first month, so that the leap day comes last. */
int64_t day_from_ymd(int year, int month, int day)
{
    enum { DAYS_AN_ERA = 146097, DAYS_TO_1970 = 719468 };
    int64_t y = month <= 2 ? year - 1 : year;
    int64_t era = (y >= 0 ? y : y - 399) / 400;
    int64_t year_of_era = y - era * 400;
    int64_t day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    return era * DAYS_AN_ERA + year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year - DAYS_TO_1970;
}

void ymd_from_day(int64_t day, int *year, int *month, int *dom)
{
    enum { DAYS_AN_ERA = 146097, DAYS_TO_1970 = 719468 };
    int64_t z = day + DAYS_TO_1970;
    int64_t era = (z >= 0 ? z : z - (DAYS_AN_ERA - 1)) / DAYS_AN_ERA;
    int64_t doe = z - era * DAYS_AN_ERA;
    int64_t yoe = (doe - doe / 1460 + doe / 36524 - doe / (DAYS_AN_ERA - 1)) / 365;
    int64_t doy = doe - (365 * yoe + yoe / 4 - yoe / 100), m = (5 * doy + 2) / 153;
    *dom = (int)(doy - (153 * m + 2) / 5 + 1);
    *month = (int)(m < 10 ? m + 3 : m - 9);
    *year = (int)(yoe + era * 400 + (*month <= 2));
}

bool ymd_exists(int year, int month, int day)
{
    static const int LENGTH[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (year < DAY_YEAR_MIN || year > DAY_YEAR_MAX || month < 1 || month > 12 || day < 1) return false;
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return day <= LENGTH[month - 1] + (month == 2 && leap);
}

bool day_parse(const char *s, int64_t *day)
{
    int y = 0, m = 0, d = 0, used = 0;
    size_t n = strlen(s);
    bool iso = n == 10 && sscanf(s, "%4d-%2d-%2d%n", &y, &m, &d, &used) == 3 && used == 10;
    if (!iso) {
        used = 0;
        if (n > 10 || sscanf(s, "%2d/%2d/%4d%n", &m, &d, &y, &used) != 3 || (size_t)used != n) return false;
    }
    if (strspn(s, "0123456789-/") != n || !ymd_exists(y, m, d)) return false;
    *day = day_from_ymd(y, m, d);
    return true;
}
