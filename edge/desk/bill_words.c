#include "edge/desk/bill_words.h"

#include <math.h>
#include <string.h>

#include "core/base/units.h"
#include "edge/say/units.h"

enum { WIDTH = 96 };
static const double HARDLY = 0.05; /* a cause that fits worse is said to be out */

static const char *unit_words(const bill_part *b) { return bill_units[b->unit].print; }

static void say_use(text *t, double x) { say_number(t, x, 3); }

static void paragraph(text *t, text *p)
{
    text_add_wrapped(t, text_str(p), WIDTH, 0);
    text_add(t, "\n\n");
    text_free(p);
}

/* ---- what changed ---- */

/* "14 Mar 2024" would be read at once, but the rest of the program says days as 2024-03-14. */
static void say_when_changed(text *t, const tufa_bill_span *d)
{
    say_day(t, (int64_t)floor(d->mid));
    if (d->hi - d->lo < 1.5) return;
    text_add(t, " (between ");
    say_day(t, (int64_t)floor(d->lo));
    text_add(t, " and ");
    say_day(t, (int64_t)ceil(d->hi));
    text_add(t, ")");
}

static void say_size(text *t, const bill_part *b)
{
    const tufa_bill_span *s = &b->result.per_day;
    double sign = s->mid < 0.0 ? -1.0 : 1.0, lo = sign * s->lo, hi = sign * s->hi;
    say_use(t, fabs(s->mid));
    text_addf(t, " %s a day %s (", unit_words(b), s->mid < 0.0 ? "less" : "more");
    say_use(t, fmin(lo, hi));
    text_add(t, " to ");
    say_use(t, fmax(lo, hi));
    text_add(t, ")");
}

static const char *odds_words(double p)
{
    return p >= 0.99 ? "all but certain" : p >= 0.9 ? "very likely" : p >= 0.7 ? "likely" : "more likely than not";
}

static double change_odds(const tufa_bill_result *r) { return 1.0 - r->probability[TUFA_BILL_NONE]; }

void say_bill_change(text *t, const bill_part *b)
{
    const tufa_bill_result *r = &b->result;
    switch (r->kind) {
    case TUFA_BILL_NONE:
        text_addf(t, "No lasting change shows (a change has a chance of %.0f in 100). ", fmax(1.0, round(100.0 * change_odds(r))));
        if (r->smallest_seen_per_day > 0.0) {
            text_add(t, "A step of about ");
            say_use(t, r->smallest_seen_per_day);
            text_addf(t, " %s a day in the middle of these readings would most likely have been noticed.", unit_words(b));
        }
        return;
    case TUFA_BILL_STEP:
        text_add(t, "A step: ");
        say_size(t, b);
        text_add(t, " since ");
        say_when_changed(t, &r->day);
        break;
    case TUFA_BILL_PULSE:
    case TUFA_BILL_STEP_AND_BACK:
        text_add(t, r->kind == TUFA_BILL_PULSE ? "For a while only: " : "A step and back, as by something that was mended or went away: ");
        say_size(t, b);
        text_add(t, " from ");
        say_when_changed(t, &r->day);
        text_add(t, " to ");
        say_when_changed(t, &r->end_day);
        break;
    default:
        text_addf(t, "A slow %s: ", r->per_day.mid < 0.0 ? "fall" : "rise");
        say_size(t, b);
        text_add(t, " by its end, from ");
        say_when_changed(t, &r->day);
        text_add(t, " to ");
        say_when_changed(t, &r->end_day);
    }
    text_addf(t, ". That something changed is %s.", odds_words(change_odds(r)));
    if (r->probability[r->kind] < 0.8 * change_odds(r)) text_addf(t, " Its shape is less sure (%.0f in 10).", round(10.0 * r->probability[r->kind] / change_odds(r)));
}

/* Price of one more unit: money against use over the bills, so that fixed charges do not count; 0 when they do not say. */
static double price_of_one_more(const bill_part *b)
{
    double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0;
    for (size_t i = 0; i < b->n; i++) {
        if (!(b->p[i].flags & TUFA_BILL_HAS_COST)) continue;
        double use = b->p[i].use / b->p[i].days, cost = b->p[i].cost / b->p[i].days;
        n += 1.0;
        x += use;
        y += cost;
        xx += use * use;
        xy += use * cost;
    }
    double spread = n * xx - x * x;
    if (n < 3.0 || y <= 0.0 || spread <= 1e-6 * x * x) return 0.0;
    return fmax((n * xy - x * y) / spread, 0.0);
}

static void say_money_of_change(text *t, const bill_part *b)
{
    double month = fabs(b->result.per_day.mid) * 30.44 * price_of_one_more(b);
    if (month < 0.5) return;
    text_add(t, " At what these bills ask for one more unit, about ");
    say_money(t, 100.0 * round(month));
    text_add(t, " a month.");
}

/* ---- the model ---- */

static void say_slope(text *t, const bill_part *b, double per_K, double balance_K, const char *side, bool fahrenheit)
{
    text_add(t, "Each degree ");
    text_addf(t, "%s %s ", fahrenheit ? "F" : "C", side);
    say_number(t, round(fahrenheit ? F_from_K(balance_K) : C_from_K(balance_K)), 3);
    text_addf(t, " %s adds ", fahrenheit ? "F" : "C");
    say_use(t, fahrenheit ? per_K / 1.8 : per_K);
    text_addf(t, " %s a day. ", unit_words(b));
}

static void say_model(text *t, const bill_part *b, bool fahrenheit)
{
    const tufa_bill_result *r = &b->result;
    bool weather = r->form != TUFA_BILL_1P;
    if (r->form == TUFA_BILL_2P) {
        text_add(t, "Use follows the weather in a straight line: ");
        say_use(t, r->base_per_day);
        text_addf(t, " %s a day at 0 C (32 F), ", unit_words(b));
        double per_K = r->heating_per_day_K > 0.0 ? r->heating_per_day_K : r->cooling_per_day_K;
        say_use(t, fahrenheit ? per_K / 1.8 : per_K);
        text_addf(t, " more for each degree %s %s. ", fahrenheit ? "F" : "C", r->heating_per_day_K > 0.0 ? "colder" : "warmer");
    } else {
        text_addf(t, "%s the house uses ", weather ? "Whatever the weather," : "On average");
        say_use(t, r->base_per_day);
        text_addf(t, " %s a day%s. ", unit_words(b), r->kind == TUFA_BILL_NONE ? "" : ", the change not counted");
    }
    if (r->heating_balance_K > 0.0) say_slope(t, b, r->heating_per_day_K, r->heating_balance_K, "below", fahrenheit);
    if (r->cooling_balance_K > 0.0) say_slope(t, b, r->cooling_per_day_K, r->cooling_balance_K, "above", fahrenheit);
    text_addf(t, "%zu of %zu readings are used; a reading strays from this by ", r->n_used, b->n);
    say_use(t, r->residual_sd);
    text_addf(t, " %s a day", unit_words(b));
    if (weather) text_addf(t, ", and %.0f %% of the differences between them are explained", 100.0 * fmax(r->r2, 0.0));
    text_add(t, ".");
}

static void say_bound(text *t, const bill_part *b, double W)
{
    double use = W * 86400.0 / bill_units[b->unit].joules;
    if (use > 0.0 && use < 0.01) text_add(t, "under 0.01");
    else say_number(t, use, 2);
}

static bool has_heater_fuel(const bill_part *b, const bill_home *home)
{
    bool gas = bill_units[b->unit].gas;
    return !home || !home->known || gas == (home->tank.fuel == TUFA_TANK_GAS);
}

/* Bills that are smaller than the heater's own use are in another unit, or are not the heater's. */
bool bill_size_doubt(const bill_part *b, const bill_home *home)
{
    const double CLEARLY = 1.4; /* people may use a third less hot water than is usual */
    return b->ok && home && home->known && has_heater_fuel(b, home) && b->heater_share_of_use > CLEARLY;
}

static void say_size_doubt(text *t, const bill_part *b, const bill_home *home)
{
    text p = {0};
    if (!bill_size_doubt(b, home)) return;
    text_add(&p, "These bills are smaller than what this heater alone should use (about ");
    say_bound(&p, b, b->causes.heater_W);
    text_addf(&p, " %s a day): is the unit another one than the header says, is the heater on another meter, or is nobody home?", unit_words(b));
    paragraph(t, &p);
}

/* ---- the chart ---- */

static size_t column_of(double x, double top, size_t columns)
{
    double c = top > 0.0 ? x / top * (double)(columns - 1) : 0.0;
    return (size_t)fmin(fmax(round(c), 0.0), (double)(columns - 1));
}

void say_bill_chart(text *t, const bill_part *b, const daily_temps *temps, size_t indent)
{
    enum { MOST = 36, COLUMNS = 54 };
    double top = 0.0;
    size_t from = b->n > MOST ? b->n - MOST : 0;
    for (size_t i = from; i < b->n; i++) top = fmax(top, b->p[i].use / b->p[i].days);
    text_pad_to(t, indent);
    text_addf(t, "%s a day, by the day that each reading ends: o used, | expected from the weather%s\n", unit_words(b),
              b->result.kind == TUFA_BILL_NONE ? "" : " without the change");
    for (size_t i = from; i < b->n; i++) {
        const tufa_bill_period *p = &b->p[i];
        double used = p->use / p->days;
        bool weather = (p->flags & TUFA_BILL_HAS_MEAN) || temps->n || b->result.form == TUFA_BILL_1P;
        double expected = weather ? tufa_bill_expected(&b->result, p, temps->n, temps->first_day, temps->K, 1) : -1.0;
        char line[COLUMNS + 1];
        size_t o = column_of(used, top, COLUMNS), e = column_of(expected, top, COLUMNS), end = weather && e > o ? e : o;
        memset(line, ' ', COLUMNS);
        for (size_t k = 0; k <= end; k++) line[k] = weather && k > (o < e ? o : e) ? '-' : ' ';
        if (weather) line[e] = '|';
        line[o] = 'o';
        line[end + 1 < COLUMNS ? end + 1 : COLUMNS] = 0;
        text_pad_to(t, indent);
        say_day(t, (int64_t)(p->start_day + p->days));
        text_addf(t, " %7.*f  %s\n", used < 10.0 ? 2 : 1, used, line);
    }
    text_add(t, "\n");
}

/* ---- what could it be ---- */

static void say_cause(text *t, const bill_part *b, const tufa_bill_cause_fit *f)
{
    text line = {0};
    text_addf(&line, "%s: %s ", f->cause->title, f->cause->falls ? "takes away" : "adds");
    say_bound(&line, b, f->least_W);
    text_add(&line, " to ");
    say_bound(&line, b, f->bound_W);
    size_t n = strlen(f->cause->look);
    text_addf(&line, " %s a day. Look: %s%s", unit_words(b), f->cause->look, n && f->cause->look[n - 1] == '?' ? "" : ".");
    text_add(t, "  - ");
    text_add_wrapped(t, text_str(&line), WIDTH, 4);
    text_add(t, "\n");
    text_free(&line);
}

static void say_cause_list(text *t, const bill_part *b, const char *head, int of_heater, bool able, size_t most)
{
    size_t shown = 0;
    for (size_t i = 0; i < b->causes.n && shown < most; i++) {
        const tufa_bill_cause_fit *f = &b->causes.at[i];
        if (f->cause->of_heater != of_heater || (f->fits >= HARDLY) != able) continue;
        if (shown++ == 0) text_addf(t, "%s\n", head);
        say_cause(t, b, f);
    }
    if (shown) text_add(t, "\n");
}

/* Whoever goes to look reads these first: the cautions of all causes that are able to do it, each once. */
static void say_bill_cautions(text *t, const bill_part *b)
{
    size_t shown = 0;
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        bool goes = false;
        for (size_t k = 0; k < b->causes.n && !goes; k++) {
            const char *ids = b->causes.at[k].cause->cautions, *at = ids ? strstr(ids, c->id) : NULL;
            size_t n = strlen(c->id);
            goes = b->causes.at[k].fits >= HARDLY && at && (at[n] == 0 || at[n] == ' ');
        }
        if (!goes) continue;
        if (shown++ == 0) text_add(t, "Before anyone goes to look (local codes and licensed practice come first):\n");
        text line = {0};
        text_addf(&line, "%s: %s", c->title, c->words);
        text_add(t, "  ! ");
        text_add_wrapped(t, text_str(&line), WIDTH, 4);
        text_add(t, "\n");
        text_free(&line);
    }
    if (shown) text_add(t, "\n");
}

static void say_causes(text *t, const bill_part *b, const bill_home *home)
{
    text p = {0};
    if (!b->has_causes) return;
    if (!has_heater_fuel(b, home)) {
        text_add(&p, "This cannot be the heater: it is of another fuel than this bill.");
    } else if (b->causes.heater_fits < HARDLY) {
        text_add(&p, "This cannot be the heater: nothing that goes wrong with one changes the bill by so much.");
    } else if (b->result.per_day.mid > 0.0 && b->causes.drip_L_h > 0.0) {
        text_add(&p, "If it were hot water running off, it would be ");
        say_number(&p, gal_from_m3(1e-3 * b->causes.drip_L_h), 2);
        text_add(&p, " gal (");
        say_number(&p, b->causes.drip_L_h, 2);
        text_addf(&p, " L) an hour. %s heater uses about ", home && home->known ? "By what is known of it this" : "A usual");
        say_bound(&p, b, b->causes.heater_W);
        text_addf(&p, " %s a day.", unit_words(b));
    }
    if (p.len) paragraph(t, &p);
    else text_free(&p);
    say_bill_cautions(t, b); /* danger first */
    say_cause_list(t, b, "Able to do this, the heater and its water (the likelier first):", 1, true, 6);
    say_cause_list(t, b, "Able to do this, the rest of the house:", 0, true, 6);
    if (b->causes.heater_fits >= HARDLY) say_cause_list(t, b, "Not able to do this:", 1, false, 8);
}

/* ---- remarks ---- */

static void say_remark_figures(text *t, const bill_part *b, const tufa_bill_remark *m)
{
    switch (m->kind) {
    case TUFA_BILL_REMARK_WILD:
    case TUFA_BILL_REMARK_LAST_ODD:
    case TUFA_BILL_REMARK_CATCH_UP:
        text_add(t, " (");
        say_use(t, m->value);
        text_addf(t, " %s a day where about ", unit_words(b));
        say_use(t, m->expected);
        text_add(t, " is expected)");
        break;
    case TUFA_BILL_REMARK_GAP:
    case TUFA_BILL_REMARK_OVERLAP: text_addf(t, " (%.0f days)", m->value); break;
    case TUFA_BILL_REMARK_PRICE: text_addf(t, " (%+.0f %% a unit)", 100.0 * (m->value - 1.0)); break;
    case TUFA_BILL_REMARK_HIDDEN_COLD:
        text_add(t, " (by up to ");
        say_use(t, m->value);
        text_addf(t, " %s a day in months near the balance point; daily temperatures with --temps avoid it)", unit_words(b));
        break;
    case TUFA_BILL_REMARK_WITH_COLD:
        text_add(t, " (");
        say_use(t, m->value);
        text_addf(t, " %s a day in the coldest reading, ", unit_words(b));
        say_use(t, m->expected);
        text_add(t, " in mild weather)");
        break;
    case TUFA_BILL_REMARK_FEW: text_addf(t, " (%.0f)", m->value); break;
    default: break;
    }
}

static bool has_own_day(tufa_bill_remark_kind k)
{
    return k != TUFA_BILL_REMARK_HIDDEN_COLD && k != TUFA_BILL_REMARK_FEW && k != TUFA_BILL_REMARK_NO_WEATHER && k != TUFA_BILL_REMARK_SEASON_SHORT;
}

double bill_remark_day(const bill_answer *a, const tufa_bill_remark *m)
{
    switch (m->kind) {
    case TUFA_BILL_REMARK_WILD:
    case TUFA_BILL_REMARK_LAST_ODD:
    case TUFA_BILL_REMARK_CATCH_UP:
    case TUFA_BILL_REMARK_ESTIMATED:
    case TUFA_BILL_REMARK_ESTIMATE_LEFT:
    case TUFA_BILL_REMARK_TWICE: return a->file.dates_are_starts ? m->day : m->end_day;
    default: return m->day;
    }
}

static const char *note_at(const bill_file *f, double end_day)
{
    for (size_t i = 0; i < f->notes; i++)
        if (fabs(f->note[i].end_day - end_day) < 0.5) return f->note[i].words;
    return NULL;
}

static void say_remarks(text *t, const bill_answer *a, const bill_part *b)
{
    const tufa_bill_remarks *r = &b->result.remarks;
    for (size_t i = 0; i < r->n; i++) {
        const tufa_bill_remark *m = &r->at[i];
        text line = {0};
        double day = bill_remark_day(a, m);
        if (has_own_day(m->kind)) {
            say_day(&line, (int64_t)floor(day));
            text_add(&line, ": ");
        }
        text_add(&line, tufa_bill_remark_words(m->kind));
        say_remark_figures(&line, b, m);
        const char *own = has_own_day(m->kind) ? note_at(&a->file, m->end_day) : NULL;
        if (own) text_addf(&line, "; noted beside it: \"%s\"", own);
        text_add(&line, ".");
        if (i == 0) text_add(t, "About the readings:\n");
        text_add(t, "  - ");
        text_add_wrapped(t, text_str(&line), WIDTH, 4);
        text_add(t, "\n");
        text_free(&line);
    }
    if (r->n) text_add(t, "\n");
}

static void say_file(text *t, const bill_answer *a)
{
    text p = {0};
    if (a->file.dates_are_starts) text_add(&p, "The dates are taken as the first days of the periods, since so they meet. ");
    if (a->file.unused.len) text_addf(&p, "Columns not used: %s. ", text_str(&a->file.unused));
    if (a->temps.filled) text_addf(&p, "%zu days without a temperature were put between their neighbours. ", a->temps.filled);
    if (p.len) paragraph(t, &p);
    else text_free(&p);
}

/* ---- interval readings ---- */

static void say_hours(text *t, const tufa_bill_interval_result *r)
{
    enum { COLUMNS = 40 };
    double top = 0.0;
    for (int h = 0; h < 24; h++) top = fmax(top, r->hour_W[h]);
    text_addf(t, "  Mean watts by hour of the day%s\n", r->heater_seen ? ", and minutes of it that the element is on" : "");
    for (int h = 0; h < 24; h++) {
        text_addf(t, "  %02d h %6.0f  ", h, r->hour_W[h]);
        for (size_t k = 0; k < column_of(r->hour_W[h], top, COLUMNS); k++) text_add(t, "=");
        if (r->heater_seen) {
            text_pad_to(t, COLUMNS + 16);
            text_addf(t, "%4.0f", 60.0 * r->heater_hour_duty[h]);
        }
        text_add(t, "\n");
    }
    text_add(t, "\n");
}

static void say_heater_seen(text *p, const tufa_bill_interval_result *r)
{
    if (!r->heater_seen) {
        text_add(p, r->length_s > 300.0 ? "Readings so far apart do not show a heater's element coming and going. "
                                        : "No load that comes and goes by one size stands out. ");
        return;
    }
    text_addf(p, "%s of %.0f W comes and goes: on %.0f %% of the time, about ", r->heater_alone ? "One load" : "A load the size of an element",
              round(r->heater_W / 10.0) * 10.0, 100.0 * r->heater_duty);
    say_number(p, kWh_from_J(r->heater_J_per_day), 3);
    text_add(p, " kWh a day");
    text_add(p, r->heater_alone ? ". " : " at least (runs that overlap with other loads are missed; that it is the heater follows from its size alone). ");
}

static void say_interval(text *t, const bill_answer *a)
{
    const tufa_bill_interval_result *r = &a->interval;
    text p = {0};
    text_addf(&p, "%zu readings of %.0f min", r->readings, r->length_s / 60.0);
    text_add(&p, " from ");
    say_day(&p, (int64_t)floor(r->first_s / 86400.0));
    text_addf(&p, ": %.3f kWh, on average %.0f W, at most %.0f W. ", kWh_from_J(r->energy_J), r->mean_W, r->peak_W);
    if (r->length_s <= 3600.5) text_addf(&p, "The load that never rests is about %.0f W. ", r->base_W);
    if (r->left_out) text_addf(&p, "Left out, since their time was covered already: %zu. ", r->left_out);
    if (r->missing_s > 3600.0) text_addf(&p, "%.1f hours are missing. ", r->missing_s / 3600.0);
    else if (r->missing_s > 30.0) text_addf(&p, "%.0f minutes are missing. ", r->missing_s / 60.0);
    if (a->interval_file.estimated) text_addf(&p, "Marked as estimated or doubtful: %zu. ", a->interval_file.estimated);
    if (a->interval_file.others[0]) text_addf(&p, "Read: %s; not read: %s (--column chooses). ", a->interval_file.column, a->interval_file.others);
    if (a->interval_file.other_blocks) text_addf(&p, "Blocks of another kind of reading, passed over: %zu. ", a->interval_file.other_blocks);
    if (r->length_s <= 3600.5 && !a->interval_file.gas) say_heater_seen(&p, r);
    paragraph(t, &p);
    if (r->length_s <= 3600.5) say_hours(t, r);
}

/* ---- the whole ---- */

static void say_part(text *t, const bill_answer *a, const bill_part *b, const bill_home *home, bool with_chart)
{
    text p = {0};
    if (!b->ok) {
        text_addf(&p, "%s: no answer: %s.", unit_words(b), b->trouble.why ? b->trouble.why : tufa_code_words(b->trouble.code));
        paragraph(t, &p);
        return;
    }
    say_bill_change(&p, b);
    if (b->result.kind != TUFA_BILL_NONE) say_money_of_change(&p, b);
    paragraph(t, &p);
    say_model(&p, b, a->file.fahrenheit || !a->file.weather);
    paragraph(t, &p);
    say_size_doubt(t, b, home);
    if (with_chart) say_bill_chart(t, b, &a->temps, 2);
    say_causes(t, b, home);
    say_remarks(t, a, b);
}

void say_bill(text *t, const bill_answer *a, const bill_home *home)
{
    if (home && home->known) text_addf(t, "%s\n\n", home->label);
    if (a->has_interval) say_interval(t, a);
    for (size_t i = 0; i < a->parts; i++) {
        size_t at = i == 0 ? a->first : i <= a->first ? i - 1 : i;
        const bill_part *b = &a->part[at];
        if (a->parts > 1) text_addf(t, "== %s ==\n\n", bill_units[b->unit].gas ? "Gas" : "Electricity");
        if (!a->has_interval || b->ok) say_part(t, a, b, home, b->ok);
    }
    if (a->has_interval && a->resting.ok && a->resting.result.kind != TUFA_BILL_NONE) {
        text_add(t, "== The load that never rests, day by day ==\n\n");
        say_part(t, a, &a->resting, home, true);
    }
    if (a->has_interval && !a->part[0].ok) text_add(t, "Too few whole days for asking whether something changed.\n\n");
    if (a->same_date > 0.5) {
        text p = {0};
        text_add(&p, "All fuels changed at the same time. That points to the people in the house rather than to one appliance.");
        paragraph(t, &p);
    }
    say_file(t, a);
}
