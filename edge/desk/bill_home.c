/* The house of a heater as the bill stage wants it, and the bills that the book keeps of it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/bill.h"
#include "edge/desk/usual.h"

static const double PERSON_M3 = 0.048, FIRST_M3 = 0.045; /* hot water a day: 45 + 48 x people litres, as in the view ahead */
static const double DAY_S = 86400.0;

static double middle(tufa_value v) { return v.basis == TUFA_BASIS_NONE ? 0.0 : v.mid; }

/* As said of this heater, else as is usual in the owner's houses; 0: neither. */
static double heater_middle(const heater_rec *h, tufa_value said, const usual_set *usual, tufa_heater_field f)
{
    bool gas = h->fuel == FUEL_GAS || h->fuel == FUEL_PROPANE;
    int u = usual_of_field(gas ? TUFA_GAS : TUFA_ELECTRIC, f);
    return said.basis != TUFA_BASIS_NONE || u < 0 ? middle(said) : middle(usual->said[u]);
}

static tufa_tank tank_of(const heater_rec *h, const usual_set *usual)
{
    bool gas = h->fuel == FUEL_GAS || h->fuel == FUEL_PROPANE;
    tufa_tank_fuel fuel = gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC;
    double volume = heater_middle(h, h->volume_m3, usual, TUFA_HEATER_VOLUME), setpoint = heater_middle(h, h->setpoint_K, usual, TUFA_HEATER_SETPOINT);
    double heat = gas ? heater_middle(h, h->burner_W, usual, TUFA_HEATER_BURNER) : heater_middle(h, h->lower_W, usual, TUFA_HEATER_ELEMENT_POWER);
    double loss = heater_middle(h, h->loss_W_K, usual, TUFA_HEATER_LOSS), efficiency = heater_middle(h, h->efficiency, usual, TUFA_HEATER_RECOVERY);
    double volts = middle(h->volts);
    tufa_tank t = tufa_tank_like(fuel, volume, heat, setpoint);
    const double PLATE_V = 240.0;
    if (loss > 0.0) t.loss_W_K = loss;
    if (gas && efficiency > 0.0) t.recovery_efficiency = efficiency;
    if (!gas && volts > 0.0 && volts < 230.0) { /* the plate is for 240 V */
        t.lower_W *= volts * volts / (PLATE_V * PLATE_V);
        t.upper_W *= volts * volts / (PLATE_V * PLATE_V);
    }
    return t;
}

typedef struct arriving {
    bill_home *home;
    int64_t heater;
} arriving;

static tufa_status note_arrival(void *ctx, const household_rec *r)
{
    arriving *a = ctx;
    if ((r->heater && r->heater != a->heater) || a->home->arrivals == BILL_MOST_ARRIVALS) return OK;
    a->home->arrival_day[a->home->arrivals++] = (double)r->from_day;
    return OK;
}

static tufa_status people_of(desk *d, const heater_rec *h, const usual_set *usual, bill_home *home)
{
    household_rec now;
    arriving a = {.home = home, .heater = h->id};
    tufa_value litres = usual->said[USUAL_HOT_WATER], people = usual->said[USUAL_PEOPLE];
    tufa_status st = store_household_on(d->s, h->house, h->id, d->today, &now);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    if (st.code == TUFA_MISSING) {
        if (litres.basis != TUFA_BASIS_NONE) home->daily_m3 = litres.mid * DAY_S;
        else if (people.basis != TUFA_BASIS_NONE) home->daily_m3 = FIRST_M3 + PERSON_M3 * people.mid;
        return OK;
    }
    if (now.hot_m3_s.basis != TUFA_BASIS_NONE) home->daily_m3 = now.hot_m3_s.mid * DAY_S;
    else if (now.people.basis != TUFA_BASIS_NONE) home->daily_m3 = FIRST_M3 + PERSON_M3 * now.people.mid;
    return store_household_each(d->s, h->house, note_arrival, &a);
}

/* ---- bills of the book ---- */

typedef struct gathering {
    bill_file *file;
    size_t room[BILLS_MOST_FUELS], note_room;
    double last_day; /* of the unit at hand */
    bool full;       /* memory ran out */
} gathering;

static bill_fuel *fuel_of(gathering *g, const char *unit)
{
    bill_file *f = g->file;
    if (f->fuels && strcmp(bill_units[f->fuel[f->fuels - 1].unit].name, unit) == 0) return &f->fuel[f->fuels - 1];
    for (int u = 0; u < BILL_UNIT_COUNT && f->fuels < BILLS_MOST_FUELS; u++) {
        if (strcmp(bill_units[u].name, unit) != 0) continue;
        f->fuel[f->fuels].unit = (bill_unit)u;
        g->last_day = 0.0;
        return &f->fuel[f->fuels++];
    }
    return NULL;
}

static bool room_for(gathering *g, bill_fuel *f)
{
    size_t *room = &g->room[f - g->file->fuel];
    if (f->n < *room) return true;
    size_t more = *room ? 2 * *room : 64;
    tufa_bill_period *p = realloc(f->p, more * sizeof *p);
    if (!p) return false;
    f->p = p;
    *room = more;
    return true;
}

static void keep_note(gathering *g, const bill_rec *r)
{
    bill_file *f = g->file;
    if (!r->note[0] || (f->notes && f->note[f->notes - 1].end_day == (double)r->day)) return;
    if (f->notes == g->note_room) {
        size_t more = g->note_room ? 2 * g->note_room : 16;
        void *p = realloc(f->note, more * sizeof *f->note);
        if (!p) return; /* a remark less; the figures stay */
        f->note = p;
        g->note_room = more;
    }
    f->note[f->notes].end_day = (double)r->day;
    snprintf(f->note[f->notes++].words, BILLS_NOTE, "%.*s", BILLS_NOTE - 1, r->note);
}

/* Rows come by unit and day. One without days lasts since the reading before; the first such only begins a period. */
static tufa_status gather(void *ctx, const bill_rec *r)
{
    gathering *g = ctx;
    bill_fuel *f = fuel_of(g, r->unit);
    if (!f) return OK;
    double days = r->days > 0.0 ? r->days : (double)r->day - g->last_day;
    bool first = r->days <= 0.0 && g->last_day == 0.0;
    g->last_day = (double)r->day;
    keep_note(g, r);
    if (first || days > 400.0) {
        f->empty++;
        return OK;
    }
    if (!room_for(g, f)) return trouble(TUFA_MEMORY, "bill", NULL);
    tufa_bill_period *p = &f->p[f->n++];
    *p = (tufa_bill_period){.start_day = (double)r->day - days, .days = days, .use = r->used, .mean_K = r->mean_K, .cost = r->cost_cents / 100.0};
    p->flags = r->flags | (r->mean_K > 0.0 ? TUFA_BILL_HAS_MEAN : 0u) | (r->has_cost ? TUFA_BILL_HAS_COST : 0u);
    if (r->mean_K > 0.0) g->file->weather = true;
    return OK;
}

tufa_status desk_bill_home(desk *d, const char *heater, text *near, bill_home *home, bill_file *file)
{
    int64_t id;
    int found = 0;
    heater_rec h;
    *home = (bill_home){0};
    tufa_status st = store_thing_find(d->s, THING_HEATER, heater, &id);
    if (st.code == TUFA_MISSING) RETURN_IF(store_thing_like(d->s, THING_HEATER, heater, 5, near, &found));
    RETURN_IF(st);
    RETURN_IF(store_heater_get(d->s, id, &h));
    home->known = true;
    memcpy(home->label, h.label, sizeof home->label);
    usual_set usual;
    RETURN_IF(usual_read(d->s, &usual));
    home->tank = tank_of(&h, &usual);
    RETURN_IF(people_of(d, &h, &usual, home));
    if (!file) return OK;
    gathering g = {.file = file};
    *file = (bill_file){.fahrenheit = d->units == UNITS_US};
    st = store_bill_each(d->s, h.house, gather, &g);
    if (st.code == TUFA_OK && file->fuels == 0) st = trouble(TUFA_MISSING, "bills", "the book keeps no bill readings of this house; `tufa book import bills FILE.csv`");
    if (st.code != TUFA_OK) bills_free(file);
    return st;
}
