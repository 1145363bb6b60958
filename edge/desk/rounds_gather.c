/* What is to be visited: due work of the year plan and open calls, each with its window and what waiting costs. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/allows.h"
#include "edge/desk/call.h"
#include "edge/desk/rounds_parts.h"
#include "edge/desk/settings.h"
#include "edge/desk/words.h"
#include "edge/import/weekdays.h"
#include "edge/say/day.h"

enum { PLAN_DAYS = 366 };
static const double DAY_HOURS = 24.0, HOUR_S = 3600.0;

/* Judgement. A tank that leaks at its shell gives way within about three months; until then each day carries its share of the
 * damage. A notice takes a quarter of an hour to write and hand over. */
static const double LEAST_USD_DAY = 0.01; /* nothing waits for nothing */
static const double GIVES_WAY_DAYS = 90.0, NOTICE_HOURS = 0.25, LEAK_WITHIN_DAYS = 14.0;
/* A call that may wait for a round is answered within two weeks, one that says days within three. */
static const double CALL_ROUND_DAYS = 14.0, CALL_DAYS_DAYS = 3.0;

tufa_status rounds_terms_get(desk *d, rounds_terms *out)
{
    rounds_terms t = {0};
    char licensed[STORE_WORD], words[STORE_WORD];
    bool said;
    RETURN_IF(setting_now(d->s, "work_days", words, sizeof words, &t.weekdays_said));
    if (!weekdays_parse(words, &t.weekdays)) return trouble(TUFA_PARSE, "work_days", "the setting names no weekdays");
    weekdays_write(t.weekdays, t.weekdays_words, sizeof t.weekdays_words);
    RETURN_IF(setting_number(d->s, "work_hours", &t.hours, &t.hours_said));
    RETURN_IF(setting_number(d->s, "crews", &t.crews, &t.crews_said));
    RETURN_IF(setting_number(d->s, "notice_days", &t.notice_days, &t.notice_said));
    RETURN_IF(setting_number(d->s, "ready_minutes", &t.ready_minutes, &t.ready_said));
    RETURN_IF(setting_number(d->s, "arrive_minutes", &t.arrive_minutes, &t.arrive_said));
    RETURN_IF(setting_number(d->s, "start_hour", &t.start_hour, &said));
    RETURN_IF(setting_now(d->s, "home", words, sizeof words, &t.home_said));
    snprintf(t.home, sizeof t.home, "%.47s", words);
    RETURN_IF(setting_now(d->s, "licensed", licensed, sizeof licensed, &said));
    t.licensed = strcmp(licensed, "all") == 0 ? 1 : strcmp(licensed, "none") == 0 ? 2 : 0;
    *out = t;
    return OK;
}

typedef struct gather {
    desk *d;
    const rounds_terms *t;
    const desk_rates *rates;
    rounds_visits *out;
} gather;

static rounds_visit *add(gather *g)
{
    if (g->out->n == g->out->room) {
        size_t room = g->out->room ? 2 * g->out->room : 64;
        rounds_visit *grown = realloc(g->out->v, room * sizeof *grown);
        if (!grown) return NULL;
        g->out->v = grown;
        g->out->room = room;
    }
    rounds_visit *v = &g->out->v[g->out->n++];
    *v = (rounds_visit){.round = -1, .stop = -1, .method = TUFA_METHOD_COUNT, .choice = TUFA_CHOICE_COUNT, .reading = TUFA_SHARPEN_COUNT};
    return v;
}

static double usd(const gather *g, tufa_price p) { return g->rates->prices.usd[p].mid; }

/* At a whole character. */
static void cut(char *to, size_t room, const char *from)
{
    size_t n = strlen(from);
    if (n >= room)
        for (n = room - 1; n > 0 && ((unsigned char)from[n] & 0xC0) == 0x80;) n--;
    memcpy(to, from, n);
    to[n] = 0;
}

/* Notice, empty days and what entry costs, from the house. */
static void read_house(const gather *g, const house_rec *h, bool heat_off, rounds_visit *v)
{
    char street[STORE_WORD];
    case_street(h, street);
    cut(v->street, sizeof v->street, street);
    v->house = h->id;
    v->notice_said = h->notice_s.basis != TUFA_BASIS_NONE;
    v->notice_days = v->notice_said ? h->notice_s.mid / (DAY_HOURS * HOUR_S) : g->t->notice_days;
    if (h->empty_day.basis != TUFA_BASIS_NONE && h->empty_day.hi >= (double)g->d->today) {
        v->empty_from = (int64_t)h->empty_day.lo;
        v->empty_to = (int64_t)h->empty_day.hi;
    }
    v->entry_usd = NOTICE_HOURS * usd(g, TUFA_PRICE_OWN_HOUR);
    if (heat_off) v->entry_usd += v->work_s / HOUR_S / DAY_HOURS * usd(g, TUFA_PRICE_OUTAGE_DAY);
}

static void set_window(const gather *g, rounds_visit *v, int64_t due_day)
{
    int64_t today = g->d->today, last = today + PLAN_DAYS - 1;
    v->wait_usd_day = fmax(v->wait_usd_day, LEAST_USD_DAY);
    v->earliest_day = today + (int64_t)ceil(v->notice_days);
    v->due_day = due_day;
    v->latest_day = due_day > 0 && due_day < last ? due_day : last;
    v->late = v->latest_day < v->earliest_day && !(v->empty_to >= today && v->empty_from <= v->latest_day);
    if (v->late) v->latest_day = last; /* waiting costs see to it that it is soon */
}

/* ---- from the year plan ---- */

static bool is_trade(const gather *g, const year_row *r)
{
    bool gas = r->fuel != TUFA_ELECTRIC, like = r->choice == TUFA_CHOICE_REPLACE;
    if (g->t->licensed == 2) return false;
    return is_other_kind(r->choice) || (like && (gas || g->t->licensed == 1)) || (gas && r->choice == TUFA_CHOICE_CONTROL);
}

/* Method and minutes of a cleaning, as `tufa visit plan` gives them. */
static void take_cleaning(const year_row *r, rounds_visit *v)
{
    v->method = v->fuel == TUFA_ELECTRIC ? TUFA_METHOD_VACUUM : TUFA_METHOD_FLUSH;
    if (r->cleaning.method == TUFA_METHOD_COUNT) return;
    v->method = r->cleaning.method;
    double more_h = tufa_choice_at(v->choice)->hours.mid - tufa_choice_at(TUFA_CHOICE_CLEAN)->hours.mid; /* anode or elements on top */
    v->work_s = fmax(v->work_s, 60.0 * r->cleaning.minutes + HOUR_S * fmax(0.0, more_h));
}

static tufa_status add_row(gather *g, const year_row *r)
{
    heater_rec heater;
    house_rec house;
    rounds_visit *v = add(g);
    if (!v) return trouble(TUFA_MEMORY, "rounds", NULL);
    RETURN_IF(store_heater_get(g->d->s, r->heater, &heater));
    RETURN_IF(store_house_get(g->d->s, heater.house, &house));
    v->heater = r->heater;
    memcpy(v->label, r->label, sizeof v->label);
    memcpy(v->why, r->why, sizeof v->why);
    v->what = tufa_choice_at(r->choice)->key;
    v->fuel = r->fuel;
    v->choice = r->choice;
    v->reading = r->reading;
    v->work_s = HOUR_S * r->hours.p50;
    if (choice_is_cleaning(r->choice)) take_cleaning(r, v);
    if (r->choice == TUFA_CHOICE_FLUSH) v->method = TUFA_METHOD_FLUSH;
    v->wait_usd_day = r->wait_usd_year / DAYS_A_YEAR;
    v->spend_usd = r->spend_usd;
    v->gain_usd = r->mean_gain_usd;
    v->p_element = r->p_element.p50;
    v->p_anode = r->reason == TUFA_REASON_ANODE_SPENT ? 0.8 : 0.4; /* likely, or may be: judgement */
    bool leak = r->reason == TUFA_REASON_TANK_LEAKS;
    if (leak) v->wait_usd_day = fmax(v->wait_usd_day, usd(g, TUFA_PRICE_LEAK_DAMAGE) / GIVES_WAY_DAYS * 0.1);
    read_house(g, &house, r->choice != TUFA_CHOICE_LOOK, v);
    int64_t due = r->date_sure && r->due_day > g->d->today ? r->due_day : 0;
    if (leak) due = g->d->today + (int64_t)(ceil(v->notice_days) + LEAK_WITHIN_DAYS);
    set_window(g, v, due);
    v->out = is_trade(g, r) ? ROUNDS_TRADE
             : r->choice != TUFA_CHOICE_LOOK ? ROUNDS_PLACED
             : r->reading == TUFA_SHARPEN_AGE ? ROUNDS_PHONE : r->reading == TUFA_SHARPEN_LAB ? ROUNDS_SAMPLE : ROUNDS_PLACED;
    return OK;
}

/* ---- from open calls ---- */

static double call_minutes(const call_view *c)
{
    static const double LOOK_MINUTES = 30.0;
    double most = LOOK_MINUTES;
    for (int i = 0; i < c->answer.actions; i++) {
        const tufa_repair *r = c->answer.action[i].repair >= 0 ? tufa_fault_repair_at((size_t)c->answer.action[i].repair) : NULL;
        if (r) most = fmax(most, LOOK_MINUTES + r->minutes);
    }
    return most;
}

static tufa_status add_call(gather *g, const call_view *c)
{
    heater_rec heater;
    house_rec house;
    rounds_visit *v = add(g);
    if (!v) return trouble(TUFA_MEMORY, "rounds", NULL);
    RETURN_IF(store_heater_get(g->d->s, c->rec.heater, &heater));
    RETURN_IF(store_house_get(g->d->s, heater.house, &house));
    v->heater = c->rec.heater;
    v->call = c->rec.id;
    memcpy(v->label, heater.label, sizeof v->label);
    cut(v->why, sizeof v->why, c->rec.words);
    v->what = "open call";
    v->fuel = heater.fuel == FUEL_GAS ? TUFA_GAS : heater.fuel == FUEL_PROPANE ? TUFA_PROPANE : TUFA_ELECTRIC;
    v->work_s = 60.0 * call_minutes(c);
    v->wait_usd_day = DAY_HOURS * c->loss_usd_hour;
    read_house(g, &house, true, v);
    call_when when = call_how_soon(c);
    int64_t since = c->rec.day;
    if (when == CALL_DAYS) v->notice_days = 0.0; /* who calls for help asks to be visited: agree on the day with him */
    set_window(g, v, when == CALL_DAYS ? since + (int64_t)CALL_DAYS_DAYS : since + (int64_t)CALL_ROUND_DAYS);
    v->out = when <= CALL_TODAY ? ROUNDS_NOW : ROUNDS_PLACED;
    return OK;
}

static tufa_status add_calls(gather *g)
{
    desk_finder f = {0};
    call_day calls;
    trouble_note note = {0};
    tufa_code code = desk_call_today(g->d, &f, &calls, &note);
    tufa_status st = code == TUFA_OK ? OK : trouble(code, "calls", "an open call cannot be worked out; `tufa call today` says why");
    for (size_t i = 0; st.code == TUFA_OK && i < calls.n; i++) st = add_call(g, &calls.view[i]);
    if (code == TUFA_OK) call_day_free(&calls);
    desk_finder_free(&f);
    return st;
}

tufa_status rounds_gather(desk *d, const year_answer *y, const rounds_terms *t, const desk_rates *rates, rounds_visits *out)
{
    gather g = {.d = d, .t = t, .rates = rates, .out = out};
    RETURN_IF(add_calls(&g));
    for (size_t i = 0; i < y->n; i++)
        if (y->row[i].choice != TUFA_CHOICE_LEAVE) RETURN_IF(add_row(&g, &y->row[i]));
    return OK;
}
