/* The year's rounds: which visits on which day in which order, what to bring, what to keep in stock and in hand. */
#ifndef EDGE_DESK_ROUNDS_H
#define EDGE_DESK_ROUNDS_H

#include "edge/desk/answers.h"

/* Why a visit is in no round. */
typedef enum rounds_out {
#define X(id, key, words) ROUNDS_##id,
#include "edge/desk/rounds_out.def"
#undef X
    ROUNDS_OUT_COUNT
} rounds_out;
const char *rounds_out_key(rounds_out o);
const char *rounds_out_words(rounds_out o);

typedef struct rounds_visit {
    int64_t heater, house, call;      /* call 0: from the year plan */
    char label[STORE_LABEL], street[STORE_LABEL], why[200];
    const char *what;                 /* what is done: "clean", "open call" */
    tufa_fuel fuel;
    tufa_choice choice;               /* COUNT for a call */
    tufa_sharpen reading;
    tufa_method_id method;            /* of a cleaning; COUNT else */
    double work_s, wait_usd_day, entry_usd, spend_usd, gain_usd, p_element, p_anode;
    int64_t earliest_day, latest_day; /* of the window; latest_day is kept, or the visit is in no round */
    int64_t due_day;                  /* as the decision gives it; 0: within the year */
    bool late;                        /* it was due before its tenant could be told: as soon as can be */
    double notice_days;
    bool notice_said;                 /* the house says how many; else the setting */
    int64_t empty_from, empty_to;     /* empty_to 0: always lived in */
    bool in_empty;                    /* on a day when nobody lives there */
    double empty_saves_usd;           /* by coming then, against the first other day */
    int stop;                         /* visits with one number are entered together */
    int round, at;                    /* round -1: in none */
    rounds_out out;
    int64_t day, tell_day;            /* tell_day: tenants hear of it at the latest; 0: nobody to be told */
    double begin_s;                   /* arrival, from the day's beginning */
    double drive_s;                   /* from the stop before */
} rounds_visit;

typedef struct rounds_item {
    char id[STORE_ITEM], what[120], size[80];
    bool part;                        /* used up, counts down the stock; else a tool */
    tufa_plan_count need;             /* of a part; a tool is carried `need.carry` times */
    double in_van;                    /* pieces counted into the stock; -1: not counted */
    double buy;                       /* of the year's list: what is short of `need.carry` */
    double each_usd;                  /* 0: no price in the book */
} rounds_item;

typedef struct rounds_day {
    int64_t day;
    size_t first, n;                  /* rounds_answer.visit */
    double drive_s, road_m, work_s, end_s, drive_usd, spend_usd, wait_usd, gain_usd; /* gain: against leaving all of it undone, over ten years */
    rounds_item *item;
    size_t items;
} rounds_day;

typedef struct rounds_terms {
    unsigned weekdays;
    char weekdays_words[40], home[48];
    double hours, crews, notice_days, ready_minutes, arrive_minutes, start_hour;
    bool weekdays_said, hours_said, crews_said, notice_said, ready_said, arrive_said, home_said;
    int licensed;                     /* 0 gas, 1 all, 2 none */
} rounds_terms;

typedef struct rounds_answer {
    int64_t today;
    unit_system units;
    rounds_terms terms;
    rounds_visit *visit;              /* by round and place in it; those in none last */
    size_t visits, placed;
    rounds_day *round;                /* by day */
    size_t rounds;
    double wait_usd, entry_usd, drive_usd, ready_usd, total_usd, bound_usd; /* total: of the four before it */
    size_t drives[3];                 /* pairs of stops: timed, from coordinates, assumed */
    rounds_item *stock;               /* parts of the whole year */
    size_t stocks;
    tufa_plan_money reserve;
    size_t at_risk;                   /* heaters in the reserve */
    double saved_usd;                 /* by empty days */
    size_t pulled;                    /* visits in them */
    double miles, drive_hours, work_hours, spend_usd;
    bool own_hour_default;
    double own_hour_usd;
    size_t heaters;
} rounds_answer;

typedef struct rounds_ask {
    const year_answer *year;          /* as worked out already; NULL: worked out here */
    double seconds;                   /* for the solver; 0: the usual */
    int more_crews;                   /* besides those of the book */
    void (*progress)(void *ctx, size_t done, size_t all);
    bool (*cancelled)(void *ctx);
    void *ctx;
} rounds_ask;

TUFA_MUST_CHECK tufa_status desk_rounds(desk *d, const rounds_ask *ask, rounds_answer *out);
void rounds_free(rounds_answer *a);

/* How far the plan may be from the best there is, as a share of its cost; 0: proven. */
double rounds_gap(const rounds_answer *a);

#endif
