/* One hard water and one heater for the tests of ahead, learn and money. */
#ifndef TESTS_AHEAD_CASE_H
#define TESTS_AHEAD_CASE_H

#include <stdlib.h>

#include "tests/check.h"
#include "tufa/ahead.h"

enum { TODAY = 20000, ROOM_BYTES = 24 << 20 };

/* About the course of a hard municipal water: 65 and 75 mg/L at 50 and 60 deg C. */
static const double CASE_T_K[] = {303.15, 318.15, 323.15, 333.15, 348.15, 363.15};
static const double CASE_MG_L[] = {47.0, 60.0, 65.0, 75.0, 92.0, 111.0};

static inline tufa_value given(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }
static inline tufa_value between(double mid, double lo, double hi) { return (tufa_value){mid, lo, hi, TUFA_BASIS_RANGE}; }

static inline tufa_ahead_in case_in(tufa_fuel fuel, double age_years)
{
    tufa_ahead_in in = tufa_ahead_defaults(fuel);
    in.ccpp = (tufa_ccpp){.draws = 1, .temps = 6, .T_K = CASE_T_K, .mg_L = CASE_MG_L};
    in.today_day = TODAY;
    in.draws = 200;
    in.key = 77;
    in.heater.field[TUFA_HEATER_AGE] = given(age_years);
    return in;
}

static unsigned char *case_room[4];

/* Answers lie in one of four rooms, so that four can be compared. */
static inline void look_in(int room, const tufa_ahead_in *in, tufa_ahead *out)
{
    if (!case_room[room]) case_room[room] = malloc(ROOM_BYTES);
    tufa_arena arena = {.base = case_room[room], .size = ROOM_BYTES};
    assert_true(tufa_ahead_bytes(in->months, in->draws, in->findings) <= ROOM_BYTES);
    arena.size = tufa_ahead_bytes(in->months, in->draws, in->findings); /* the promised room is enough */
    CHECK_OK(tufa_ahead_look(in, &arena, out), room);
}

static inline void free_rooms(void)
{
    for (int k = 0; k < 4; k++) {
        free(case_room[k]);
        case_room[k] = NULL;
    }
}

#endif
