/* Calls being worked: taken down, read, undone, shown, closed, and ordered for the day. */
#ifndef EDGE_DESK_CALL_H
#define EDGE_DESK_CALL_H

#include "edge/desk/desk.h"
#include "edge/desk/fault.h"
#include "edge/say/trouble.h"
#include "edge/store/call.h"

enum { CALL_ADVICE = 24, CALL_NAMES = 24, CALL_FOUND_MOST = 8 };

typedef struct call_advice {
    int64_t entered; /* seconds since 1970 */
    char words[STORE_CALL_WORDS];
} call_advice;

/* One call with its answer, as the book stands. */
typedef struct call_view {
    call_rec rec;
    char heater[STORE_LABEL], house[STORE_LABEL];
    tufa_fault_heater plate;
    tufa_call call;
    int64_t reading_event[TUFA_MAX_READINGS];
    tufa_fault_answer answer;
    call_advice advice[CALL_ADVICE];
    int advices;
    int found[CALL_FOUND_MOST], founds;
    int at_risk;                      /* -1 not said, 0 no, 1 yes */
    tufa_value restore_s;             /* town's time to restore; basis NONE: not said */
    int64_t restore_day;              /* on which that was said */
    char restore_source[STORE_SOURCE];
    double waiting_hours;             /* since the day of the call began */
    double outage_usd_day;            /* a day of a tenant without hot water, by the book's prices */
    double loss_usd_hour;             /* of waiting: judgement, an order of magnitude */
    double moved[TUFA_MAX_READINGS][TUFA_MAX_FAULTS]; /* by each reading, as tufa_fault_explain tells */
} call_view;

/* What is taken down at once. Names are ids of complaints and of what is known. */
typedef struct call_new {
    const char *heater, *words;
    const char *voiced[CALL_NAMES], *denied[CALL_NAMES], *known[CALL_NAMES];
    int voiced_n, denied_n, known_n;
} call_new;

/* On anything but OK the note says why; `near` gets the labels that come close. */
TUFA_MUST_CHECK tufa_code desk_call_new(desk *d, const call_new *c, int64_t *id, text *near, trouble_note *note);
TUFA_MUST_CHECK tufa_code desk_call_read(desk *d, desk_finder *f, int64_t id, const char *test, const char *said, trouble_note *note);
/* The house's own bills, where the book keeps recent ones of this heater's fuel, as a reading of the call. */
TUFA_MUST_CHECK tufa_code desk_call_take_bills(desk *d, desk_finder *f, int64_t id, bool *taken, trouble_note *note);
TUFA_MUST_CHECK tufa_code desk_call_add(desk *d, int64_t id, call_event_kind kind, const char *name, const char *word, trouble_note *note);
/* Takes the newest thing said, read or found back; `what` tells which. REFUSED when there is none. */
TUFA_MUST_CHECK tufa_code desk_call_undo(desk *d, int64_t id, text *what, trouble_note *note);
TUFA_MUST_CHECK tufa_code desk_call_close(desk *d, int64_t id, const char *const *found, int n, trouble_note *note);
TUFA_MUST_CHECK tufa_code desk_call_view(desk *d, desk_finder *f, int64_t id, call_view *out, trouble_note *note);

/* The newest open call about a heater; 0 when there is none. */
TUFA_MUST_CHECK tufa_status desk_call_open(desk *d, int64_t heater, int64_t *call);

typedef struct call_day {
    call_view *view; /* open calls, the first to go to first */
    size_t n;
} call_day;
TUFA_MUST_CHECK tufa_code desk_call_today(desk *d, desk_finder *f, call_day *out, trouble_note *note);
void call_day_free(call_day *c);

/* 2 leave at once, 1 stop, 0 none; and how soon somebody must be there. */
int call_danger(const call_view *v);
typedef enum call_when { CALL_NOW, CALL_TODAY, CALL_DAYS, CALL_ROUND } call_when;
call_when call_how_soon(const call_view *v);

#endif
