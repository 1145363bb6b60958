/* What was found and done on a visit, into the book: all of it or nothing. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "edge/desk/ends.h"
#include "edge/desk/thing_facts.h"
#include "edge/desk/visit_parts.h"
#include "edge/desk/visit_words.h"
#include "edge/import/value.h"
#include "edge/say/day.h"

enum { MOST_TOLD = 24, MOST_FOUND = 48, MOST_PARTS = 24, MOST_PHOTOS = 24, MOST_ENDS = 6, PROBE_SPOTS = 5 };

_Static_assert((int)MOST_FOUND <= (int)VISIT_PAST_FOUND, "what was kept can be told");

typedef struct found {
    finding_kind kind;
    tufa_value value;
} found;

/* Something measured that belongs to the heater or its house: bore of the drain, pressure, dial. */
typedef struct told {
    thing_kind kind;
    fact_rec fact;
    fact_met met; /* once it is kept */
} told;

typedef struct record {
    int64_t today, day; /* of the visit: today, or an earlier one that is said */
    tufa_visit_kind kind;
    tufa_method_id method;
    tufa_value spent_s, cost_cents;
    found found[MOST_FOUND];
    int n;
    stock_rec part[MOST_PARTS];
    int parts;
    char photo[MOST_PHOTOS][STORE_WORD];
    int photos;
    ended_rec ended[MOST_ENDS];
    int ends;
    told told[MOST_TOLD];
    int tolds;
    char note[STORE_WORD], by[STORE_SOURCE];
    expense_rec spent; /* miles, and a bill with its receipt */
    bool baseline, kind_said, method_said;
    tufa_value heat_kwh, start_K, end_K, heat_s;
    trouble_note *trouble;
} record;

static bool bad(record *r, tufa_code code, const char *key, const char *value, const char *allowed, const char *why)
{
    note_set(r->trouble, code, key, value, allowed, why);
    return false;
}

static bool number(record *r, const char *key, const char *value, quantity q, unit_id unit, double lo, double hi, tufa_value *out)
{
    value_rule rule = {.field = key, .q = q, .unit = &units[unit], .lo = unit_to_si(&units[unit], lo), .hi = unit_to_si(&units[unit], hi), .today = r->today};
    return value_parse(value, &rule, out, r->trouble) == TUFA_OK;
}

static bool add_found(record *r, const char *key, const char *value, finding_kind kind)
{
    const finding_row *row = &finding_rows[kind];
    tufa_value v;
    if (!number(r, key, value, row->q, row->unit, row->lo, row->hi, &v)) return false;
    if (v.basis == TUFA_BASIS_NONE) return true; /* not known: nothing to keep */
    if (r->n == MOST_FOUND) return bad(r, TUFA_RANGE, key, value, "at most 48 findings", "there are too many findings");
    r->found[r->n++] = (found){kind, v};
    return true;
}

/* Pieces of text parted by commas. */
static bool next_piece(const char **p, char *out, size_t room)
{
    *p += strspn(*p, ", ");
    size_t n = strcspn(*p, ",");
    if (n == 0 || n >= room) return false;
    memcpy(out, *p, n);
    out[n] = 0;
    *p += n;
    return true;
}

static bool add_probe(record *r, const char *value)
{
    char piece[64];
    int spots = 0;
    for (const char *p = value; next_piece(&p, piece, sizeof piece);) {
        if (!add_found(r, "probe", piece, FINDING_PROBE)) return false;
        spots++;
    }
    return spots == PROBE_SPOTS || bad(r, TUFA_RANGE, "probe", value, "five depths parted by commas", "a probe is read at five spots; one line is probe_line");
}

static bool add_parts(record *r, const char *value)
{
    char piece[64];
    for (const char *p = value; next_piece(&p, piece, sizeof piece);) {
        if (r->parts == MOST_PARTS) return bad(r, TUFA_RANGE, "parts", value, "at most 24", "there are too many parts");
        char *colon = strchr(piece, ':'), *end = NULL;
        double pieces = colon ? strtod(colon + 1, &end) : 1.0;
        if (colon && (*end || end == colon + 1 || !(pieces > 0.0) || pieces > 1000.0))
            return bad(r, TUFA_PARSE, "parts", piece, "gasket, or gasket:2", "this is no number of pieces");
        if (colon) *colon = 0;
        if (strlen(piece) >= STORE_ITEM) return bad(r, TUFA_RANGE, "parts", piece, "at most 47 letters", "the name of this part is too long");
        stock_rec *s = &r->part[r->parts++];
        *s = (stock_rec){.pieces = -pieces};
        memcpy(s->item, piece, strlen(piece) + 1);
    }
    return r->parts > 0 || bad(r, TUFA_PARSE, "parts", value, "gasket:1, element:1", "no part is named here");
}

static bool copy_word(record *r, const char *key, const char *value, char *to, size_t room)
{
    if (strlen(value) >= room) return bad(r, TUFA_RANGE, key, value, "", "this text is too long");
    memcpy(to, value, strlen(value) + 1);
    return true;
}

static bool take_method(record *r, const char *kind, const char *method)
{
    tufa_visit_kind k;
    tufa_method_id m;
    if (desk_visit_kind(kind, method, &k, &m, r->trouble) != TUFA_OK) return false;
    if (kind) r->kind = k;
    if (method) r->method = m;
    return true;
}

/* What a visit measures of the heater and the house for good. */
static const struct {
    thing_kind kind;
    const char *member;
} MEASURED[] = {{THING_HEATER, "drain_bore_m"}, {THING_HEATER, "drain_pattern"}, {THING_HEATER, "dip_tube"},  {THING_HEATER, "relief_works"}, {THING_HEATER, "rusted"},
                {THING_HEATER, "leaking"},      {THING_HEATER, "setpoint_K"},    {THING_HOUSE, "static_Pa"},  {THING_HOUSE, "flowing_Pa"},    {THING_HOUSE, "bucket_m3_s"},
                {THING_HOUSE, "hose_run_m"},    {THING_HOUSE, "hose_rise_m"},    {THING_HOUSE, "hose_bore_m"}, {THING_HOUSE, "floor_drain"}};

static const field_row *measured_field(const char *key, thing_kind *kind)
{
    for (size_t i = 0; i < sizeof MEASURED / sizeof MEASURED[0]; i++) {
        const field_row *f = thing_field(MEASURED[i].kind, key);
        if (!f || strcmp(f->member, MEASURED[i].member) != 0) continue;
        *kind = MEASURED[i].kind;
        return f;
    }
    return NULL;
}

static bool take_told(record *r, const char *key, const char *value, thing_kind kind, const field_row *f)
{
    told t = {.kind = kind, .fact = {.field = f, .choice = -1}};
    if (strcmp(value, "?") == 0 || !value[0]) return true;
    if (f->type == FIELD_CHOICE) {
        text all = {0};
        choice_words(&all, f->choices);
        t.fact.choice = choice_find(f->choices, value);
        bool good = t.fact.choice >= 0 || bad(r, TUFA_UNKNOWN, key, value, text_str(&all), f->what);
        text_free(&all);
        if (!good) return false;
    } else {
        if (!number(r, key, value, f->q, f->unit, f->lo, f->hi, &t.fact.value)) return false;
        if (t.fact.value.basis == TUFA_BASIS_NONE) return true;
    }
    if (r->tolds == MOST_TOLD) return bad(r, TUFA_RANGE, key, value, "at most 24", "there is too much of this");
    r->told[r->tolds++] = t;
    return true;
}

static bool take_day(record *r, const char *value)
{
    if (!value[0] || strcmp(value, "?") == 0) return true; /* today */
    if (!day_parse(value, &r->day)) return bad(r, TUFA_PARSE, "day", value, "2026-03-02 or 3/2/2026", "this is no day");
    return r->day <= r->today || bad(r, TUFA_RANGE, "day", value, "today or earlier", "what was done is recorded, not what is planned");
}

/* Miles driven for it, and what was paid to somebody else: rows of the account. */
static bool take_spent(record *r, const char *key, const char *value)
{
    tufa_value v = {0};
    bool miles = key[0] == 'm';
    if (!(miles ? number(r, key, value, Q_ROAD, UNIT_MI, 0, 5000, &v) : number(r, key, value, Q_MONEY, UNIT_DOLLAR, 0, 1000000, &v))) return false;
    if (v.hi > v.lo) return bad(r, TUFA_PARSE, key, value, "one figure", "the account of the year wants it exactly");
    if (miles) r->spent.road_m = v.mid, r->spent.has_road = v.basis != TUFA_BASIS_NONE;
    else r->spent.cents = llround(v.mid), r->spent.has_cents = v.basis != TUFA_BASIS_NONE;
    return true;
}

/* "lower element:burnt out, thermostat:failed" */
static bool add_ended(record *r, const char *value)
{
    char piece[64];
    for (const char *p = value; next_piece(&p, piece, sizeof piece);) {
        char *colon = strchr(piece, ':');
        if (!colon) return bad(r, TUFA_PARSE, "ended", piece, "tank:leaked, or lower element:burnt out", "say what ended, a colon, and how");
        *colon = 0;
        int part = ended_part_find(piece), how = ended_how_find(colon + 1);
        text words = {0};
        if (part < 0) ended_part_words(&words);
        else ended_how_words(&words);
        bool good = part >= 0 && how >= 0;
        if (!good) bad(r, TUFA_UNKNOWN, "ended", part < 0 ? piece : colon + 1, text_str(&words), part < 0 ? "this part is not known here" : "say how it ended");
        text_free(&words);
        if (!good) return false;
        if (r->ends == MOST_ENDS) return bad(r, TUFA_RANGE, "ended", value, "at most 6", "there are too many ends");
        r->ended[r->ends++] = (ended_rec){.part = (ended_part)part, .how = (ended_how)how};
    }
    return r->ends > 0 || bad(r, TUFA_PARSE, "ended", value, "tank:leaked, or lower element:burnt out", "nothing ended here");
}

static bool take(record *r, const char *key, const char *value)
{
    if (strcmp(key, "kind") == 0) return r->kind_said = true, take_method(r, value, NULL);
    if (strcmp(key, "method") == 0) return r->method_said = true, take_method(r, NULL, value);
    if (strcmp(key, "day") == 0) return take_day(r, value);
    if (strcmp(key, "minutes") == 0) return number(r, key, value, Q_TIME, UNIT_MINUTE, 0, 1440, &r->spent_s);
    if (strcmp(key, "cost") == 0) return number(r, key, value, Q_MONEY, UNIT_DOLLAR, 0, 100000, &r->cost_cents);
    if (strcmp(key, "miles") == 0 || strcmp(key, "paid") == 0) return take_spent(r, key, value);
    if (strcmp(key, "to") == 0) return copy_word(r, key, value, r->spent.who, sizeof r->spent.who);
    if (strcmp(key, "receipt") == 0) return copy_word(r, key, value, r->spent.receipt, sizeof r->spent.receipt);
    if (strcmp(key, "heat_kwh") == 0) return number(r, key, value, Q_ENERGY, UNIT_KWH, 0.1, 200, &r->heat_kwh);
    if (strcmp(key, "start") == 0) return number(r, key, value, Q_TEMPERATURE, UNIT_F, 33, 200, &r->start_K);
    if (strcmp(key, "end") == 0) return number(r, key, value, Q_TEMPERATURE, UNIT_F, 33, 210, &r->end_K);
    if (strcmp(key, "heat_minutes") == 0) return number(r, key, value, Q_TIME, UNIT_MINUTE, 1, 1440, &r->heat_s);
    if (strcmp(key, "parts") == 0 || strcmp(key, "part") == 0) return add_parts(r, value);
    if (strcmp(key, "note") == 0) return copy_word(r, key, value, r->note, sizeof r->note);
    if (strcmp(key, "by") == 0) return copy_word(r, key, value, r->by, sizeof r->by);
    if (strcmp(key, "probe") == 0) return add_probe(r, value);
    if (strcmp(key, "baseline") == 0) {
        int yes = choice_find(CHOICES_YESNO, value);
        r->baseline = yes == YESNO_YES;
        return yes >= 0 || bad(r, TUFA_UNKNOWN, key, value, "yes, no", "are these readings those of a clean tank?");
    }
    if (strcmp(key, "photo") == 0) {
        if (r->photos == MOST_PHOTOS) return bad(r, TUFA_RANGE, key, value, "at most 24", "there are too many pictures");
        return copy_word(r, key, value, r->photo[r->photos++], STORE_WORD);
    }
    if (strcmp(key, "ended") == 0) return add_ended(r, value);
    int kind = finding_find(key);
    if (kind >= 0) return add_found(r, key, value, (finding_kind)kind);
    thing_kind of;
    const field_row *field = measured_field(key, &of);
    if (field) return take_told(r, key, value, of, field);
    static const char *const KEYS[] = {"ohm_lower", "ohm_ground", "spill", "co", "pressure", "flowing", "bucket", "drain_bore", "drain_pattern", "dip_tube",
                                       "relief_works", "rusted", "leaking", "setpoint", "hose_run", "hose_rise", "hose_bore", "floor_drain", "kind", "method", "day", "minutes", "cost", "heat_kwh", "start", "end", "heat_minutes", "parts", "note", "by",
                                       "miles", "paid", "to", "receipt", "probe", "baseline", "photo", "dry_weight", "wet_weight", "slurry", "depth", "depth_left", "probe_line", "jar", "over_4mm", "over_2mm", "over_1mm", "lumps",
                                       "heated", "tub", "rest_watts", "demand_watts", "refill", "heat_up", "first_draw", "drain_flow", "share_out",
                                       "anode_left", "element_life", "ended"};
    const char *near = nearest_name(key, KEYS, sizeof KEYS / sizeof KEYS[0]);
    char why[120];
    snprintf(why, sizeof why, "this is nothing that a visit records%s%s%s", near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    return bad(r, TUFA_UNKNOWN, key, value, "", why);
}

/* Energy and temperatures become the volume that was warmed. */
static bool use_heat(record *r, const clean_heater *h)
{
    int said = (r->heat_kwh.basis != 0) + (r->start_K.basis != 0) + (r->end_K.basis != 0);
    if (said == 0) return true;
    if (said < 3) return bad(r, TUFA_MISSING, "heat_kwh", "", "heat_kwh, start and end together", "a heat-up needs its energy and both temperatures");
    tufa_proof_reading p = {.energy_J = r->heat_kwh.mid, .start_K = r->start_K.mid, .end_K = r->end_K.mid, .duration_s = r->heat_s.mid, .air_K = h->air_K,
                            .loss_W_K = h->loss_W_K, .energy_by_meter = 1};
    double V, error;
    tufa_status st = tufa_clean_heated_volume(&p, &V, &error);
    if (st.code != TUFA_OK) {
        note_from_status(r->trouble, st);
        return false;
    }
    double z = 1.2816 * error;
    if (r->n < MOST_FOUND) r->found[r->n++] = (found){FINDING_HEATED, {V, V - z, V + z, TUFA_BASIS_RANGE}};
    return true;
}

static work_kind work_of(const record *r)
{
    if (r->kind != TUFA_VISIT_CLEAN || !r->method_said) return WORK_LOOK;
    if (r->method == TUFA_METHOD_FLUSH) return WORK_FLUSH;
    return r->method == TUFA_METHOD_ACETIC || r->method == TUFA_METHOD_CITRIC ? WORK_SOAK : WORK_CLEAN;
}

/* Clean readings that later visits are measured against. */
static tufa_status keep_baseline(desk *d, int64_t heater, const record *r)
{
    static const struct {
        finding_kind kind;
        const char *field;
    } KEPT[] = {{FINDING_REFILL, "baseline"}, {FINDING_FIRST_DRAW, "baseline_draw"}, {FINDING_HEATED, "baseline_heated"}, {FINDING_DRAIN_FLOW, "baseline_flow"}, {FINDING_HEAT_UP, "baseline_heat_up"}};
    for (int i = 0; r->baseline && i < r->n; i++)
        for (size_t k = 0; k < sizeof KEPT / sizeof KEPT[0]; k++) {
            if (KEPT[k].kind != r->found[i].kind) continue;
            fact_rec f = {.thing = heater, .field = thing_field(THING_HEATER, KEPT[k].field), .value = r->found[i].value, .day = r->day};
            memcpy(f.source, r->by, sizeof f.source);
            RETURN_IF(store_fact_add(d->s, THING_HEATER, &f));
        }
    return OK;
}

/* A receipt without a bill of its own goes with the pictures of the visit. */
static tufa_status keep_spent(desk *d, int64_t heater, int64_t visit, const record *r, work_kind work)
{
    expense_rec e = r->spent;
    heater_rec h;
    text what = {0};
    if (!e.has_cents && e.receipt[0]) RETURN_IF(store_photo_add(d->s, visit, e.receipt));
    if (!e.has_cents && !e.has_road) return OK;
    if (!e.has_cents) e.receipt[0] = 0;
    RETURN_IF(store_heater_get(d->s, heater, &h));
    work_word(&what, work);
    snprintf(e.what, sizeof e.what, "visit: %s", text_str(&what));
    text_free(&what);
    e.house = h.house;
    e.heater = heater;
    e.day = r->day;
    e.kind = !e.has_cents ? EXPENSE_OWN : e.who[0] ? EXPENSE_CONTRACTOR : EXPENSE_PARTS;
    e.mark = work_mark(work);
    memcpy(e.source, r->by, sizeof e.source);
    return store_expense_add(d->s, &e, 0, NULL);
}

static tufa_status keep_told(desk *d, const clean_heater *h, record *r)
{
    heater_rec heater;
    RETURN_IF(store_heater_get(d->s, h->id, &heater));
    for (int i = 0; i < r->tolds; i++) {
        fact_rec f = r->told[i].fact;
        f.thing = r->told[i].kind == THING_HOUSE ? heater.house : heater.id;
        f.day = r->day;
        memcpy(f.source, r->by, sizeof f.source);
        RETURN_IF(fact_keep(d->s, r->told[i].kind, &f, false, true, &r->told[i].met));
    }
    return OK;
}

static tufa_status keep(desk *d, const clean_heater *h, record *r)
{
    visit_rec v = {.heater = h->id, .day = r->day, .work = work_of(r), .spent_s = r->spent_s, .cost_cents = r->cost_cents};
    int64_t visit;
    memcpy(v.note, r->note, sizeof v.note);
    memcpy(v.source, r->by, sizeof v.source);
    RETURN_IF(store_visit_add(d->s, &v, 0, &visit));
    for (int i = 0; i < r->n; i++) {
        finding_rec f = {.heater = h->id, .day = r->day, .kind = r->found[i].kind, .value = r->found[i].value};
        memcpy(f.source, r->by, sizeof f.source);
        RETURN_IF(store_finding_add(d->s, &f, 0, NULL));
    }
    for (int i = 0; i < r->parts; i++) {
        r->part[i].visit = visit;
        r->part[i].day = r->day;
        memcpy(r->part[i].source, r->by, sizeof r->part[i].source);
        RETURN_IF(store_stock_move(d->s, &r->part[i]));
    }
    for (int i = 0; i < r->photos; i++) RETURN_IF(store_photo_add(d->s, visit, r->photo[i]));
    RETURN_IF(keep_spent(d, h->id, visit, r, v.work));
    for (int i = 0; i < r->ends; i++) {
        r->ended[i].heater = h->id;
        r->ended[i].day = r->day;
        memcpy(r->ended[i].source, r->by, sizeof r->ended[i].source);
        RETURN_IF(ends_keep(d->s, &r->ended[i], 0));
    }
    RETURN_IF(keep_told(d, h, r));
    return keep_baseline(d, h->id, r);
}

#define CLEAN_M 0.015 /* the rule of the proof: under 15 mm at every spot */

/* Clean readings are refused where the rod says otherwise. */
static bool baseline_holds(record *r)
{
    for (int i = 0; r->baseline && i < r->n; i++)
        if ((r->found[i].kind == FINDING_PROBE || r->found[i].kind == FINDING_PROBE_LINE) && r->found[i].value.mid >= CLEAN_M)
            return bad(r, TUFA_CONFLICT, "baseline", "yes", "under 15 mm (5/8 in) by the rod", "the rod still finds bed: these are not the readings of a clean tank");
    int readings = 0;
    for (int i = 0; i < r->n; i++)
        readings += r->found[i].kind == FINDING_REFILL || r->found[i].kind == FINDING_FIRST_DRAW || r->found[i].kind == FINDING_HEATED || r->found[i].kind == FINDING_DRAIN_FLOW;
    if (r->baseline && readings == 0)
        return bad(r, TUFA_MISSING, "baseline", "yes", "refill, first_draw, drain_flow, or heat_kwh with start and end", "there is no reading here that a later one could be measured against");
    return true;
}

/* What stays on the sieves of one sample is no more than the sample. */
static bool sieves_hold(record *r)
{
    double sum = 0.0;
    for (int i = 0; i < r->n; i++)
        if (r->found[i].kind == FINDING_OVER_4MM || r->found[i].kind == FINDING_OVER_2MM || r->found[i].kind == FINDING_OVER_1MM) sum += r->found[i].value.mid;
    return sum <= 1.0 + 1e-9 || bad(r, TUFA_CONFLICT, "over_1mm", "", "100 % together", "what stays on the sieves is more than the sample");
}

static bool lacks_clean_readings(const clean_heater *h)
{
    return isnan(h->clean_refill_m3) && isnan(h->clean_draw_m3) && isnan(h->clean_heated_m3) && isnan(h->clean_flow_m3_s);
}

/* A line each; the spots of a probe share one. */
static void say_found_all(text *t, unit_system s, const record *r)
{
    visit_past v = {.founds = r->n};
    for (int i = 0; i < r->n; i++) v.found[i] = (finding_rec){.kind = r->found[i].kind, .value = r->found[i].value};
    for (int i = 0; i < r->n;) {
        text_add(t, "  ");
        i += say_found(t, s, &v, i);
        text_add(t, "\n");
    }
}

static void say_told(text *t, unit_system s, const fact_rec *f)
{
    if (f->field->type == FIELD_CHOICE) choice_word(t, f->field->choices, f->choice);
    else say_value(t, s, f->field->q, f->value);
}

static void say_kept(text *t, unit_system s, const clean_heater *h, const record *r)
{
    text_addf(t, "Kept for %s on ", h->label);
    say_day(t, r->day);
    text_add(t, ":\n");
    say_found_all(t, s, r);
    for (int i = 0; i < r->tolds; i++) {
        const told *one = &r->told[i];
        text_addf(t, "  %s: ", one->fact.field->what);
        say_told(t, s, &one->fact);
        if (one->met.past) {
            text_add(t, " then; what counts is what was said on ");
            say_day(t, one->met.now.day);
            text_add(t, ": ");
            say_told(t, s, &one->met.now);
        }
        text_add(t, "\n");
    }
    for (int i = 0; i < r->parts; i++) text_addf(t, "  used from the van: %s, %g\n", r->part[i].item, -r->part[i].pieces);
    for (int i = 0; i < r->ends; i++) {
        text_add(t, "  ended: ");
        ended_part_word(t, r->ended[i].part);
        text_add(t, ", ");
        ended_how_word(t, r->ended[i].how);
        text_add(t, r->ended[i].part == ENDED_TANK ? "; the heater is out of service from this day\n" : "\n");
    }
    for (int i = 0; i < r->photos; i++) text_addf(t, "  picture: %s\n", r->photo[i]);
    if (r->spent.has_road) text_addf(t, "  for the account of the year: %.1f miles\n", r->spent.road_m / 1609.344);
    if (r->spent.has_cents) text_addf(t, "  for the account of the year: $%.2f%s%s\n", (double)r->spent.cents / 100.0, r->spent.who[0] ? " to " : "", r->spent.who);
    if (r->spent.receipt[0]) text_addf(t, "  receipt: %s\n", r->spent.receipt);
    if (r->baseline) text_add(t, "  these readings are kept as those of a clean tank\n");
    else if (lacks_clean_readings(h))
        text_add(t, "This tank has no clean readings of its own yet. Once it is clean, keep its filling, first draw, heat-up and drain flow with baseline=yes: later\n"
                    "visits are measured against them.\n");
}

static bool read_words(record *r, const char *const *words, int n)
{
    for (int i = 0; i < n; i++) {
        const char *eq = strchr(words[i], '=');
        char key[48];
        if (!eq || eq == words[i] || (size_t)(eq - words[i]) >= sizeof key)
            return bad(r, TUFA_PARSE, "word", words[i], "name=value, as in dry_weight=6.2", "this cannot be read");
        memcpy(key, words[i], (size_t)(eq - words[i]));
        key[eq - words[i]] = 0;
        if (!take(r, key, eq + 1)) return false;
    }
    return n > 0 || bad(r, TUFA_MISSING, "words", "", "dry_weight=6.2 probe=0.2,0.3,0.2,0.1,0.2 minutes=95", "say what was found and done");
}

tufa_code desk_visit_record(desk *d, const char *heater, const char *const *words, int n, text *kept, trouble_note *note)
{
    clean_heater h;
    record r = {.today = d->today, .day = d->today, .method = TUFA_METHOD_COUNT, .by = "visit", .trouble = note};
    if (desk_clean_heater(d, heater, &h, note) != TUFA_OK) return note->code;
    if (!read_words(&r, words, n) || !use_heat(&r, &h) || !baseline_holds(&r) || !sieves_hold(&r)) return note->code;
    tufa_status st = store_begin(d->s);
    if (st.code == TUFA_OK) st = keep(d, &h, &r);
    if (st.code == TUFA_OK) st = store_commit(d->s);
    else store_rollback(d->s);
    if (st.code != TUFA_OK) {
        note_from_status(note, st);
        return st.code;
    }
    say_kept(kept, d->units, &h, &r);
    return TUFA_OK;
}

/* ---- stock ---- */

typedef struct stock_list {
    text *out;
    bool json;
    int n;
    const char *item;
    double there;
} stock_list;

static tufa_status add_line(void *ctx, const stock_rec *r)
{
    stock_list *l = ctx;
    if (l->item) {
        if (strcmp(l->item, r->item) == 0) l->there = r->pieces;
        return OK;
    }
    if (l->json) text_addf(l->out, "%s\"%s\": %g", l->n++ ? ", " : "", r->item, r->pieces);
    else text_addf(l->out, "  %s: %g%s\n", r->item, r->pieces, r->pieces < 0.0 ? " (more used than was ever counted in)" : ""), l->n++;
    return OK;
}

static tufa_code set_stock(desk *d, const char *word, trouble_note *note)
{
    const char *eq = strchr(word, '=');
    char *end = NULL;
    double wanted = eq ? strtod(eq + 1, &end) : 0.0;
    stock_rec r = {.day = d->today, .source = "counted"};
    bool name = eq && eq > word && (size_t)(eq - word) < sizeof r.item && strcspn(word, "\"\\") >= (size_t)(eq - word);
    if (!name || end == eq + 1 || *end || !(wanted >= 0.0) || wanted > 1e6) {
        note_set(note, TUFA_PARSE, "stock", word, "item=count, as in gasket=4", "this cannot be read");
        return TUFA_PARSE;
    }
    memcpy(r.item, word, (size_t)(eq - word));
    stock_list now = {.item = r.item};
    tufa_status st = store_stock_each(d->s, add_line, &now);
    r.pieces = wanted - now.there;
    if (st.code == TUFA_OK) st = store_stock_move(d->s, &r);
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}

tufa_code desk_stock(desk *d, const char *const *words, int n, text *out, bool json, trouble_note *note)
{
    for (int i = 0; i < n; i++)
        if (set_stock(d, words[i], note) != TUFA_OK) return note->code;
    stock_list l = {.out = out, .json = json};
    text_add(out, json ? "{" : "In the van:\n");
    tufa_status st = store_stock_each(d->s, add_line, &l);
    if (json) text_add(out, "}\n");
    else if (l.n == 0) text_add(out, "  nothing counted yet: `tufa visit stock gasket=4 element=2`\n");
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}
