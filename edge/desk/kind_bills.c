/* The table of bill readings: one row for a house and a day, a column for each unit that the utility bills in. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"
#include "edge/import/bills.h"
#include "edge/say/day.h"

static const struct {
    const char *id, *names, *what;
    unsigned flag;
} FLAGS[] = {{"estimated", "estimated|estimate|est", "whether the utility only guessed this reading", TUFA_BILL_ESTIMATED},
             {"new_meter", "new_meter|meter_change|meter_changed", "whether the meter was changed in this period", TUFA_BILL_METER_CHANGED},
             {"vacant", "vacant|empty|vacancy", "whether the house stood empty", TUFA_BILL_VACANT},
             {"new_household", "new_household|new_tenant|new_tenants|moved_in", "whether other people came to live there in this period", TUFA_BILL_NEW_HOUSEHOLD}};
enum { FLAGS_N = sizeof FLAGS / sizeof FLAGS[0] };

static void column_yes_no(column_set *c, const char *id, const char *names, const char *what)
{
    columns_text(c, id, names, false, what);
    c->row[c->n - 1].type = CELL_CHOICE;
    c->row[c->n - 1].choices = CHOICES_YESNO;
}

void bills_columns(column_set *c)
{
    columns_text(c, "house", "house|address|property", true, "the house");
    columns_text(c, "date", "date|read_date|reading_date|bill_date|read_on", true, "day of the reading: the period ends with it");
    columns_value(c, "days", "days|billing_days|days_billed|period_days", Q_NUMBER, UNIT_ONE, 0.5, 400, false, "length of the period; without it, since the reading before");
    for (int u = 0; u < BILL_UNIT_COUNT; u++)
        columns_value(c, bill_units[u].name, bill_units[u].names, Q_NUMBER, UNIT_ONE, 0, 1e7, false, "what was used in the period");
    columns_value(c, "mean_temp", "mean_temp|avg_temp|average_temp|outdoor_temp|temp", Q_TEMPERATURE, UNIT_F, -80, 130, false, "mean outdoor temperature of the period");
    columns_value(c, "cost_cents", "cost|bill|amount|charge|dollars", Q_MONEY, UNIT_DOLLAR, -100000, 100000, false, "what the period cost");
    for (size_t i = 0; i < FLAGS_N; i++) column_yes_no(c, FLAGS[i].id, FLAGS[i].names, FLAGS[i].what);
    columns_text(c, "note", "note|notes|remark|remarks|comment", false, "anything worth keeping");
    columns_text(c, "source", "source|from_whom|said_by|who", false, "who said so; without it, the name of the file");
}

typedef struct same_bill {
    bill_rec want, found;
    bool any;
} same_bill;

static tufa_status find_bill(void *ctx, const bill_rec *r)
{
    same_bill *s = ctx;
    if (r->day != s->want.day || strcmp(r->unit, s->want.unit) != 0) return OK;
    s->found = *r;
    s->any = true;
    return OK;
}

static tufa_code flags_from(import_row *r, unsigned *flags, trouble_note *note)
{
    for (size_t i = 0; i < FLAGS_N; i++) {
        int yes = YESNO_NO;
        tufa_code code = row_said(r, FLAGS[i].id) ? row_choice(r, FLAGS[i].id, &yes, note) : TUFA_OK;
        if (code) return code;
        if (yes == YESNO_YES) *flags |= FLAGS[i].flag;
    }
    return TUFA_OK;
}

static tufa_code bill_from(import_row *r, bill_rec *b, trouble_note *note)
{
    tufa_value days = {0}, mean = {0}, cost = {0};
    if (!row_said(r, "house")) return row_refuse(r, TUFA_MISSING, "house", "", "every bill reading needs its house", note);
    if (!row_said(r, "date")) return row_refuse(r, TUFA_MISSING, "date", "", "every bill reading needs its day", note);
    tufa_code code = row_thing(r, "house", THING_HOUSE, &b->house, note);
    if (code == TUFA_OK) code = row_day(r, "date", 0, &b->day, note);
    if (code == TUFA_OK) code = row_value(r, "days", &days, note);
    if (code == TUFA_OK) code = row_value(r, "mean_temp", &mean, note);
    if (code == TUFA_OK) code = row_value(r, "cost_cents", &cost, note);
    if (code == TUFA_OK) code = flags_from(r, &b->flags, note);
    if (code == TUFA_OK) code = row_words(r, "note", STORE_WORD, b->note, note);
    if (code == TUFA_OK) code = row_source(r, b->source, note);
    b->days = days.mid;
    b->mean_K = mean.basis == TUFA_BASIS_NONE ? 0.0 : mean.mid;
    b->has_cost = cost.basis != TUFA_BASIS_NONE;
    b->cost_cents = cost.mid;
    return code;
}

static bool bills_alike(const bill_rec *a, const bill_rec *b)
{
    return fabs(a->used - b->used) <= 1e-9 * fabs(b->used) && fabs(a->days - b->days) < 1e-6 && fabs(a->mean_K - b->mean_K) < 1e-6 &&
           a->has_cost == b->has_cost && fabs(a->cost_cents - b->cost_cents) < 1e-6 && a->flags == b->flags && strcmp(a->note, b->note) == 0;
}

static tufa_code take_unit(import_row *r, const bill_rec *given, const char *unit, double used, import_outcome *outcome, trouble_note *note)
{
    same_bill s = {.want = *given};
    snprintf(s.want.unit, sizeof s.want.unit, "%s", unit);
    s.want.used = used;
    text key = {0};
    text_addf(&key, "%lld|%lld|%s", (long long)given->house, (long long)given->day, unit);
    tufa_code code = row_once(r, text_str(&key), "date", note);
    text_free(&key);
    if (code == TUFA_OK) code = row_status(r, store_bill_each(r->d->s, given->house, find_bill, &s), unit, note);
    if (code) return code;
    if (s.any && bills_alike(&s.found, &s.want)) return TUFA_OK;
    if (s.any) *outcome = ROW_CHANGED;
    else if (*outcome == ROW_SAME) *outcome = ROW_NEW;
    int64_t id;
    return row_status(r, store_bill_add(r->d->s, &s.want, s.any ? s.found.id : 0, &id), unit, note);
}

tufa_code bills_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    bill_rec b = {0};
    int said = 0;
    tufa_code code = bill_from(r, &b, note);
    text_addf(r->name, "%s %s", row_text(r, "house"), row_text(r, "date"));
    *outcome = ROW_SAME;
    for (int u = 0; code == TUFA_OK && u < BILL_UNIT_COUNT; u++) {
        tufa_value used;
        code = row_value(r, bill_units[u].name, &used, note);
        if (code || used.basis == TUFA_BASIS_NONE) continue;
        said++;
        code = take_unit(r, &b, bill_units[u].name, used.mid, outcome, note);
    }
    if (code == TUFA_OK && said == 0) return row_refuse(r, TUFA_MISSING, "date", "kwh, therm, ccf, m3", "nothing was used in this row: no figure stands in it", note);
    return code;
}

static tufa_value exactly(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

static tufa_status give_bill(void *ctx, const bill_rec *r)
{
    export_table *t = ctx;
    char label[STORE_LABEL];
    RETURN_IF(store_thing_label(export_desk(t)->s, THING_HOUSE, r->house, label));
    export_row(t);
    export_text(t, "house", label);
    export_day(t, "date", r->day);
    if (r->days > 0.0) export_value(t, "days", exactly(r->days));
    export_value(t, r->unit, exactly(r->used));
    if (r->mean_K > 0.0) export_value(t, "mean_temp", exactly(r->mean_K));
    if (r->has_cost) export_value(t, "cost_cents", exactly(r->cost_cents));
    for (size_t i = 0; i < FLAGS_N; i++)
        if (r->flags & FLAGS[i].flag) export_text(t, FLAGS[i].id, "yes");
    export_text(t, "note", r->note);
    export_text(t, "source", r->source);
    return OK;
}

tufa_status bills_give(desk *d, export_table *t) { return store_bill_each(d->s, 0, give_bill, t); }
