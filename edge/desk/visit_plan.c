/* The order of a visit to one heater with the figures of its method. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "edge/desk/cleaning.h"
#include "edge/desk/notice.h"
#include "edge/desk/visit_parts.h"
#include "edge/import/words.h"
#include "edge/say/day.h"

enum { MOST_STEPS = 96 };

static bool find_kind(const char *word, tufa_visit_kind *kind)
{
    static const char *const WORDS[TUFA_VISIT_KIND_COUNT] = {"clean", "turnover", "standing"};
    for (int i = 0; i < TUFA_VISIT_KIND_COUNT; i++)
        if (strcmp(word, WORDS[i]) == 0) {
            *kind = (tufa_visit_kind)i;
            return true;
        }
    return false;
}

/* Finds the visit's kind and, for a cleaning, its method; COUNT leaves the choice open. */
tufa_code desk_visit_kind(const char *kind, const char *method, tufa_visit_kind *k, tufa_method_id *m, trouble_note *note)
{
    *k = TUFA_VISIT_CLEAN;
    *m = TUFA_METHOD_COUNT;
    if (kind && !find_kind(kind, k)) {
        note_set(note, TUFA_UNKNOWN, "kind", kind, "clean, turnover, standing", "there is no such visit");
        return TUFA_UNKNOWN;
    }
    if (!method) return TUFA_OK;
    *m = tufa_method_find(method);
    if (*m != TUFA_METHOD_COUNT) return TUFA_OK;
    text all = {0};
    for (int i = 0; i < TUFA_METHOD_COUNT; i++)
        text_addf(&all, "%s%s (%s)", i ? ", " : "", tufa_method_at((tufa_method_id)i)->id, tufa_method_at((tufa_method_id)i)->code);
    note_set(note, TUFA_UNKNOWN, "method", method, text_str(&all), "there is no such method");
    text_free(&all);
    return TUFA_UNKNOWN;
}

static tufa_status with_figures(visit_plan *p)
{
    tufa_clean_answer a;
    RETURN_IF(desk_clean(&p->heater.tank, CLEAN_DRAWS, (uint64_t)p->heater.id, &a));
    if (p->method == TUFA_METHOD_COUNT && a.advice == TUFA_METHOD_COUNT) p->against = a.why;
    if (p->method == TUFA_METHOD_COUNT) p->method = cleaning_method(&a);
    p->figures = a.method[p->method];
    p->has_figures = 1;
    return OK;
}

/* The method's own time and what stands around it; a visit without a method is its steps. */
static void count_minutes(visit_plan *p)
{
    if (p->has_figures) {
        p->work_minutes = p->figures.onsite_s.mid / 60.0;
        p->minutes = cleaning_minutes(&p->figures, p->heater.tank.fuel, p->heater.one_element);
        return;
    }
    tufa_step step[MOST_STEPS];
    size_t n = tufa_visit_steps(p->kind, p->method, p->heater.tank.fuel, p->heater.one_element, MOST_STEPS, step);
    p->work_minutes = p->minutes = 0.0;
    for (size_t i = 0; i < n && i < MOST_STEPS; i++) p->minutes += step[i].minutes;
}

/* ---- what should be read ---- */

static tufa_value only(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }
static tufa_value within(double mid, double lo, double hi) { return (tufa_value){mid, lo, hi, TUFA_BASIS_RANGE}; }

static void expect(visit_plan *p, const char *what, quantity q, tufa_value before, tufa_value after)
{
    if (p->expects < VISIT_EXPECTS && (before.basis != TUFA_BASIS_NONE || after.basis != TUFA_BASIS_NONE))
        p->expect[p->expects++] = (visit_expect){what, q, before, after, false};
}

static void expect_at_most(visit_plan *p, const char *what, quantity q, double most, bool before)
{
    tufa_value v = {0.5 * most, 0.0, most, TUFA_BASIS_RANGE};
    expect(p, what, q, before ? v : (tufa_value){0}, v);
    p->expect[p->expects - 1].at_most = true;
}

#define REST_W 60.0       /* at the house's meter with other breakers off: what its resolution and a clock make of nothing */
#define PLATE_SHARE 0.05  /* a sound element against its plate */
#define COLD_OHM_SHARE 0.1
#define TUB_MOST_K 322.039 /* 120 F */
#define BED_SHUTS_OUT 0.75 /* water that a bed keeps out of its own volume (the proof's refill) */

static tufa_value bed_depth(const clean_heater *h, tufa_value kg)
{
    double floor = 0.25 * 3.14159265358979 * h->tank.across_m.mid * h->tank.across_m.mid;
    return within(kg.mid * h->bed_m3_kg.mid / floor, kg.lo * h->bed_m3_kg.mid / floor, kg.hi * h->bed_m3_kg.mid / floor);
}

static tufa_value refill(const clean_heater *h, tufa_value kg)
{
    double own = isnan(h->clean_refill_m3) ? h->tank.volume_m3.mid : h->clean_refill_m3, slack = isnan(h->clean_refill_m3) ? 0.05 * own : 0.01 * own;
    double m3 = BED_SHUTS_OUT * h->bed_m3_kg.mid;
    return within(fmax(own - m3 * kg.mid, 0.0), fmax(own - m3 * kg.hi - slack, 0.0), own - m3 * kg.lo + slack);
}

static void expect_electric(visit_plan *p)
{
    const clean_heater *h = &p->heater;
    double W = h->element_W, ohm = h->element_V * h->element_V / W;
    expect_at_most(p, "house's meter at rest, other breakers off", Q_POWER, REST_W, true);
    if (!(W > 0.0) || p->kind == TUFA_VISIT_STANDING) return;
    tufa_value works = within(W, W * (1.0 - PLATE_SHARE), W * (1.0 + PLATE_SHARE));
    expect(p, h->one_element ? "house's meter while the element works" : "house's meter while the lower element works", Q_POWER, works, works);
    expect(p, h->one_element ? "element, one wire off (volts squared over watts of its plate)" : "lower element, one wire off (volts squared over watts of its plate)", Q_RESISTANCE, within(ohm, ohm * (1.0 - COLD_OHM_SHARE), ohm * (1.0 + COLD_OHM_SHARE)), (tufa_value){0});
}

static void expect_readings(visit_plan *p)
{
    const clean_heater *h = &p->heater;
    tufa_value nothing = {0};
    bool clean = p->kind == TUFA_VISIT_CLEAN;
    expect_at_most(p, "hottest steady water at the tub", Q_TEMPERATURE, TUB_MOST_K, false);
    if (h->tank.fuel == TUFA_ELECTRIC) expect_electric(p);
    if (!clean) {
        if (p->kind == TUFA_VISIT_TURNOVER && !isnan(h->clean_draw_m3)) expect(p, "hot water until it falls under 105 F, as when clean", Q_VOLUME, only(h->clean_draw_m3), nothing);
        return;
    }
    expect(p, "depth of the bed, mean of the spots", Q_LENGTH, bed_depth(h, h->tank.bed_kg), bed_depth(h, p->figures.left_kg));
    if (tufa_method_at(p->method)->lowers_water) expect(p, "water to refill the drained tank", Q_VOLUME, nothing, refill(h, p->figures.left_kg));
    if (p->figures.hose_m_s.mid > 0.0) expect(p, "flow at the hose end, nothing in the way", Q_FLOW, p->figures.flow_m3_s, p->figures.flow_m3_s);
}

/* ---- who, and when ---- */

static tufa_status setting_or_blank(desk *d, const char *name, char *to, size_t room)
{
    setting_rec r;
    tufa_status st = store_setting_now(d->s, name, &r);
    to[0] = 0;
    if (st.code == TUFA_OK) snprintf(to, room, "%s", r.value);
    return st.code == TUFA_MISSING ? OK : st;
}

/* "9", "9:30", "9 am", "1:30pm", "13:00" as minutes after midnight; -1 when it is none of them. */
static int clock_read(const char *s)
{
    char *end;
    long h = strtol(s, &end, 10), m = 0;
    if (end == s || h < 0 || h > 23) return -1;
    if (*end == ':') {
        const char *at = end + 1;
        m = strtol(at, &end, 10);
        if (end != at + 2 || m < 0 || m > 59) return -1;
    }
    end += strspn(end, " ");
    bool am = name_is_one_of(end, strlen(end), "am|a"), pm = name_is_one_of(end, strlen(end), "pm|p");
    if (*end && !am && !pm) return -1;
    if ((am || pm) && (h < 1 || h > 12)) return -1;
    if (am || pm) h = h % 12 + (pm ? 12 : 0);
    return (int)(60 * h + m);
}

static bool take_clock(const char *field, const char *s, int *minutes, trouble_note *note)
{
    if (!s || !s[0] || strcmp(s, "?") == 0) return true;
    *minutes = clock_read(s);
    if (*minutes < 0) note_set(note, TUFA_PARSE, field, s, "9, 9:30, 9 am, 1:30 pm", "this is no time of day");
    return *minutes >= 0;
}

tufa_code desk_visit_when(desk *d, const char *day, const char *from, const char *until, visit_plan *plan, trouble_note *note)
{
    if (day && day[0] && strcmp(day, "?") != 0) {
        if (!day_parse(day, &plan->day)) {
            note_set(note, TUFA_PARSE, "day", day, "2026-03-12 or 3/12/2026", "this is no day");
            return TUFA_PARSE;
        }
        if (plan->day < d->today) {
            note_set(note, TUFA_RANGE, "day", day, "today or later", "a visit is planned for a day that is still to come");
            return TUFA_RANGE;
        }
    }
    if (!take_clock("from", from, &plan->from_min, note) || !take_clock("until", until, &plan->until_min, note)) return note->code;
    if (plan->from_min >= 0 && plan->until_min < 0) {
        int end = plan->from_min + (int)(30.0 * ceil(plan->minutes / 30.0));
        plan->until_min = end < 24 * 60 ? end : -1;
    }
    if (plan->until_min >= 0 && plan->until_min <= plan->from_min) {
        note_set(note, TUFA_CONFLICT, "until", until ? until : "", "later than the beginning", "the visit ends before it begins");
        return TUFA_CONFLICT;
    }
    return TUFA_OK;
}

static tufa_status own_notice(desk *d, visit_plan *p)
{
    notice_text n;
    p->today = d->today;
    tufa_status st = desk_notice_text(d, &n);
    if (st.code == TUFA_OK && n.own) snprintf(p->notice, sizeof p->notice, "%s", text_str(&n.words));
    text_free(&n.words);
    return st;
}

tufa_code desk_visit_plan(desk *d, const char *heater, const char *kind, const char *method, visit_plan *out, trouble_note *note)
{
    *out = (visit_plan){.from_min = -1, .until_min = -1};
    if (desk_visit_kind(kind, method, &out->kind, &out->method, note) != TUFA_OK) return note->code;
    if (desk_clean_heater(d, heater, &out->heater, note) != TUFA_OK) return note->code;
    if (out->kind == TUFA_VISIT_CLEAN) {
        tufa_status st = with_figures(out);
        if (st.code != TUFA_OK) {
            note_from_status(note, st);
            return st.code;
        }
        if (!cleaning_is_possible(&out->figures)) {
            note_set(note, TUFA_REFUSED, "method", tufa_method_at(out->method)->title, "", out->figures.reason[0]);
            return TUFA_REFUSED;
        }
    }
    count_minutes(out);
    expect_readings(out);
    tufa_status st = setting_or_blank(d, "owner", out->owner, sizeof out->owner);
    if (st.code == TUFA_OK) st = setting_or_blank(d, "phone", out->phone, sizeof out->phone);
    if (st.code == TUFA_OK) st = own_notice(d, out);
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}
