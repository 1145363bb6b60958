#include "edge/desk/visit_words.h"

#include <math.h>
#include <string.h>

#include "edge/desk/notice.h"
#include "edge/say/day.h"

const char *const visit_kind_keys[TUFA_VISIT_KIND_COUNT] = {"clean", "turnover", "standing"};
static const char *const KIND_WORDS[TUFA_VISIT_KIND_COUNT] = {"cleaning", "turnover", "after standing empty"};
/* as somebody who lives there would put it */
static const char *const TOLD_WORDS[TUFA_VISIT_KIND_COUNT] = {"", "look it over between two households", "bring it back after standing unused"};

#define BLANK "________"

const char *visit_kind_words(tufa_visit_kind kind) { return KIND_WORDS[kind]; }

/* To a quarter of an hour, under an hour to five minutes: no plan is better. */
static void say_time_roughly(text *t, unit_system s, double minutes)
{
    double step = minutes > 60.0 ? 15.0 : 5.0;
    say_quantity(t, s, Q_TIME, 60.0 * step * fmax(1.0, round(minutes / step)));
}

void say_visit_head(text *t, unit_system s, const visit_plan *p)
{
    size_t n = strlen(p->heater.house);
    text_add(t, p->heater.label);
    if (strncmp(p->heater.label, p->heater.house, n) != 0) text_addf(t, ", %s", p->heater.house);
    text_addf(t, ": %s%s%s, about ", KIND_WORDS[p->kind], p->has_figures ? ", " : "", p->has_figures ? tufa_method_at(p->method)->title : "");
    say_time_roughly(t, s, p->minutes);
    if (!p->has_figures) return;
    text_add(t, ": ");
    say_time_roughly(t, s, p->work_minutes);
    text_add(t, " for the cleaning, the rest for readings before and after");
}

static void say_expected(text *t, unit_system s, const visit_expect *e, tufa_value v)
{
    if (!e->at_most) {
        say_range(t, s, e->q, v.lo, v.hi);
        return;
    }
    text_add(t, "under ");
    say_quantity(t, s, e->q, v.hi);
}

void say_visit_expect(text *t, unit_system s, const visit_expect *e)
{
    bool before = e->before.basis != TUFA_BASIS_NONE, after = e->after.basis != TUFA_BASIS_NONE;
    bool same = before && after && e->before.mid == e->after.mid && e->before.hi == e->after.hi;
    if (before) say_expected(t, s, e, e->before);
    if (same) return;
    if (before && after) text_add(t, " before, ");
    if (!after) return;
    say_expected(t, s, e, e->after);
    text_add(t, " after the work");
}

void say_time_of_day(text *t, unit_system s, int minutes)
{
    if (minutes < 0) {
        text_add(t, BLANK);
        return;
    }
    int h = minutes / 60, m = minutes % 60;
    if (s == UNITS_METRIC) text_addf(t, "%d:%02d", h, m);
    else text_addf(t, "%d:%02d %s", h % 12 ? h % 12 : 12, m, h % 24 < 12 ? "am" : "pm");
}

void say_weekday(text *t, unit_system s, int64_t day)
{
    static const char *const DAYS[] = {"Thursday", "Friday", "Saturday", "Sunday", "Monday", "Tuesday", "Wednesday"}; /* day 0 was a Thursday */
    static const char *const MONTHS[] = {"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"};
    if (day == 0) {
        text_add(t, BLANK);
        return;
    }
    int year, month, dom;
    ymd_from_day(day, &year, &month, &dom);
    text_addf(t, "%s", DAYS[((day % 7) + 7) % 7]);
    if (s == UNITS_METRIC) text_addf(t, " %04d-%02d-%02d", year, month, dom);
    else text_addf(t, ", %s %d, %d", MONTHS[month - 1], dom, year);
}

void say_visit_work(text *t, const visit_plan *p)
{
    if (p->work[0]) text_add(t, p->work);
    else if (p->kind == TUFA_VISIT_CLEAN) text_addf(t, "clean the water heater (%s)", tufa_method_at(p->method)->title);
    else text_addf(t, "work on the water heater, to %s", TOLD_WORDS[p->kind]);
}

void say_visit_notice(text *t, unit_system s, const visit_plan *p)
{
    text whole = {0};
    notice_fill(&whole, s, p, p->today, p->notice[0] ? p->notice : notice_usual);
    for (const char *c = text_str(&whole); *c; c += *c == '\n' ? strspn(c, "\n") : 1) /* paragraphs become one */
        text_addn(t, *c == '\n' ? " " : c, 1);
    text_free(&whole);
}

void visit_works(const visit_plan *p, const char *works[4])
{
    works[0] = p->kind == TUFA_VISIT_CLEAN ? tufa_method_at(p->method)->code : visit_kind_keys[p->kind];
    works[1] = p->kind == TUFA_VISIT_TURNOVER ? "drain_flow" : p->kind == TUFA_VISIT_STANDING ? "dial_mark" : NULL;
    works[2] = p->kind == TUFA_VISIT_TURNOVER ? "meter_rest_W" : NULL;
    works[3] = NULL;
}

void say_visit_past(text *t, unit_system s, const visit_past *v)
{
    say_day(t, v->visit.day);
    text_add(t, ", ");
    if (v->visit.id) work_word(t, v->visit.work);
    else text_add(t, "found");
    if (v->visit.spent_s.basis != TUFA_BASIS_NONE) {
        text_add(t, ", ");
        say_value(t, s, Q_TIME, v->visit.spent_s);
    }
    if (v->visit.cost_cents.basis != TUFA_BASIS_NONE) {
        text_add(t, ", ");
        say_value(t, s, Q_MONEY, v->visit.cost_cents);
    }
    if (v->visit.note[0]) text_addf(t, ": %s", v->visit.note);
}

int say_found(text *t, unit_system s, const visit_past *v, int i)
{
    const finding_rec *f = &v->found[i];
    const finding_row *row = &finding_rows[f->kind];
    int n = 1;
    while (f->kind == FINDING_PROBE && i + n < v->founds && f[n].kind == FINDING_PROBE) n++;
    if (n == 1) {
        text_addf(t, "%s: ", row->what);
        say_value(t, s, row->q, f->value);
        return 1;
    }
    text_addf(t, "depth of the bed at %d spots when leaving: ", n);
    for (int k = 0; k < n; k++) {
        if (k) text_add(t, ", ");
        say_number(t, unit_from_si(unit_said(row->q, s), f[k].value.mid), 2);
    }
    text_add(t, unit_said(row->q, s)->print);
    return n;
}

void say_part_used(text *t, const stock_rec *part) { text_addf(t, "%g of %s", fabs(part->pieces), part->item); }
