/* Days since 1970-01-01 and the calendar (Gregorian, also before 1582). No clock here. */
#ifndef EDGE_SAY_DAY_H
#define EDGE_SAY_DAY_H

#include <stdbool.h>
#include <stdint.h>

enum { DAY_YEAR_MIN = 1900, DAY_YEAR_MAX = 2199 };
#define DAYS_A_YEAR 365.2425 /* mean of the Gregorian calendar */

int64_t day_from_ymd(int year, int month, int day);
void ymd_from_day(int64_t day, int *year, int *month, int *dom);
bool ymd_exists(int year, int month, int day); /* also within DAY_YEAR_MIN..DAY_YEAR_MAX */
/* "2026-11-25" or US "11/25/2026"; false when it is no day that exists. */
bool day_parse(const char *s, int64_t *day);

#endif
