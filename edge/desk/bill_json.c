#include <math.h>

#include "core/base/units.h"
#include "edge/desk/bill_words.h"
#include "edge/say/units.h"

static void put_number(json_t *o, const char *key, double x, int digits)
{
    double scale = x != 0.0 ? pow(10.0, digits - 1 - floor(log10(fabs(x)))) : 1.0;
    json_object_set_new(o, key, isfinite(x) ? json_real(round(x * scale) / scale) : json_null());
}

static void put_day(json_t *o, const char *key, double day)
{
    text t = {0};
    write_day(&t, (int64_t)floor(day));
    json_object_set_new(o, key, json_string(text_str(&t)));
    text_free(&t);
}

static void put_share(json_t *o, const char *key, double p) { json_object_set_new(o, key, json_real(round(1e4 * p) / 1e4)); }

static json_t *change_json(const tufa_bill_result *r)
{
    json_t *o = json_object(), *all = json_object();
    bool any = r->kind != TUFA_BILL_NONE, two = any && r->kind != TUFA_BILL_STEP;
    json_object_set_new(o, "kind", json_string(tufa_bill_kind_name(r->kind)));
    put_share(o, "probability", r->probability[r->kind]);
    static const char *const DATES[] = {"date", "date_low", "date_high"}, *const ENDS[] = {"end_date", "end_date_low", "end_date_high"};
    const double day[] = {r->day.mid, r->day.lo, r->day.hi}, end[] = {r->end_day.mid, r->end_day.lo, r->end_day.hi};
    for (int i = 0; i < 3; i++) {
        if (any) put_day(o, DATES[i], day[i] + (i == 2 ? 0.999 : 0.0));
        else json_object_set_new(o, DATES[i], json_null());
        if (two) put_day(o, ENDS[i], end[i] + (i == 2 ? 0.999 : 0.0));
    }
    put_number(o, "per_day", r->per_day.mid, 5);
    put_number(o, "per_day_low", r->per_day.lo, 5);
    put_number(o, "per_day_high", r->per_day.hi, 5);
    json_object_set_new(o, "interval_percent", json_integer(95));
    for (int k = 0; k < TUFA_BILL_KIND_COUNT; k++) put_share(all, tufa_bill_kind_name((tufa_bill_change_kind)k), r->probability[k]);
    json_object_set_new(o, "probabilities", all);
    return o;
}

static json_t *causes_json(const bill_part *b)
{
    json_t *list = json_array();
    double use = 86400.0 / bill_units[b->unit].joules;
    for (size_t i = 0; b->has_causes && i < b->causes.n; i++) {
        const tufa_bill_cause_fit *f = &b->causes.at[i];
        json_t *o = json_object();
        json_object_set_new(o, "cause", json_string(f->cause->id));
        json_object_set_new(o, "title", json_string(f->cause->title));
        put_share(o, "fits", f->fits);
        put_number(o, "bound_per_day", f->bound_W * use, 4);
        put_number(o, "least_per_day", f->least_W * use, 4);
        put_share(o, "share", f->share);
        json_object_set_new(o, "of_heater", json_boolean(f->cause->of_heater));
        json_object_set_new(o, "look", json_string(f->cause->look));
        if (f->cause->cautions) json_object_set_new(o, "cautions", json_string(f->cause->cautions));
        json_array_append_new(list, o);
    }
    return list;
}

static void put_model(json_t *o, const tufa_bill_result *r)
{
    json_object_set_new(o, "model", json_string(tufa_bill_form_name(r->form)));
    put_number(o, "base_per_day", r->base_per_day, 6);
    put_number(o, "base_se", r->base_se, 4);
    /* the slope goes with balance_c: per degree C; the same per degree F beside it */
    put_number(o, "heating_slope", r->heating_per_day_K, 6);
    put_number(o, "heating_slope_per_c", r->heating_per_day_K, 6);
    put_number(o, "heating_slope_per_f", r->heating_per_day_K / 1.8, 6);
    put_number(o, "heating_slope_se", r->heating_se, 4);
    put_number(o, "cooling_slope", r->cooling_per_day_K, 6);
    put_number(o, "cooling_slope_per_f", r->cooling_per_day_K / 1.8, 6);
    bool has = r->balance_K.mid > 0.0;
    double first = has ? r->balance_K.mid : 0.0;
    json_object_set_new(o, "balance_c", has ? json_real(round(100.0 * C_from_K(first)) / 100.0) : json_null());
    json_object_set_new(o, "balance_f", has ? json_real(round(100.0 * F_from_K(first)) / 100.0) : json_null());
    json_object_set_new(o, "balance_low_c", has ? json_real(round(100.0 * C_from_K(r->balance_K.lo)) / 100.0) : json_null());
    json_object_set_new(o, "balance_high_c", has ? json_real(round(100.0 * C_from_K(r->balance_K.hi)) / 100.0) : json_null());
    json_object_set_new(o, "cooling_balance_c",
                        r->cooling_balance_K > 0.0 ? json_real(round(100.0 * C_from_K(r->cooling_balance_K)) / 100.0) : json_null());
    put_number(o, "r2", r->r2, 5);
    put_number(o, "residual_sd_per_day", r->residual_sd, 5);
    put_number(o, "mean_per_day", r->mean_per_day, 6);
    json_object_set_new(o, "readings_used", json_integer((json_int_t)r->n_used));
}

static json_t *remark_json(const bill_answer *a, const tufa_bill_remark *m)
{
    json_t *o = json_object();
    json_object_set_new(o, "kind", json_string(tufa_bill_remark_name(m->kind)));
    put_day(o, "date", bill_remark_day(a, m));
    json_object_set_new(o, "words", json_string(tufa_bill_remark_words(m->kind)));
    put_number(o, "value", m->value, 5);
    if (m->expected != 0.0) put_number(o, "expected", m->expected, 5);
    return o;
}

static void put_remarks(json_t *o, const bill_answer *a, const tufa_bill_remarks *r)
{
    json_t *notes = json_array(), *wild = json_array();
    for (size_t i = 0; i < r->n; i++) {
        tufa_bill_remark_kind k = r->at[i].kind;
        json_array_append_new(notes, remark_json(a, &r->at[i]));
        if (k != TUFA_BILL_REMARK_WILD && k != TUFA_BILL_REMARK_LAST_ODD && k != TUFA_BILL_REMARK_CATCH_UP) continue;
        json_t *w = json_object();
        put_day(w, "date", bill_remark_day(a, &r->at[i]));
        put_number(w, "per_day", r->at[i].value, 5);
        put_number(w, "expected_per_day", r->at[i].expected, 5);
        json_array_append_new(wild, w);
    }
    json_object_set_new(o, "notes", notes);
    json_object_set_new(o, "wild_readings", wild);
}

static json_t *part_json(const bill_answer *a, const bill_part *b)
{
    json_t *o = json_object();
    const tufa_bill_result *r = &b->result;
    json_object_set_new(o, "fuel", json_string(bill_units[b->unit].gas ? "gas" : "electric"));
    json_object_set_new(o, "unit", json_string(bill_units[b->unit].name));
    json_object_set_new(o, "readings", json_integer((json_int_t)b->n));
    if (!b->ok) {
        json_object_set_new(o, "model", json_null());
        json_object_set_new(o, "why", json_string(b->trouble.why ? b->trouble.why : tufa_code_words(b->trouble.code)));
        return o;
    }
    put_model(o, r);
    put_day(o, "first_date", r->first_day);
    put_day(o, "last_date", r->last_day);
    json_object_set_new(o, "change", change_json(r));
    json_object_set_new(o, "causes", causes_json(b));
    put_number(o, "smallest_step_seen_per_day", r->smallest_seen_per_day, 4);
    json_object_set_new(o, "could_be_heater", b->has_causes ? json_boolean(b->causes.heater_fits >= 0.05) : json_null());
    put_share(o, "heater_share", b->has_causes ? b->causes.heater_share : 0.0);
    put_number(o, "heater_per_day", b->causes.heater_W * 86400.0 / bill_units[b->unit].joules, 4);
    put_number(o, "drip_l_h", b->has_causes ? b->causes.drip_L_h : 0.0, 4);
    put_remarks(o, a, &r->remarks);
    return o;
}

static json_t *interval_json(const bill_answer *a)
{
    const tufa_bill_interval_result *r = &a->interval;
    json_t *o = json_object(), *hours = json_array(), *heater = json_object(), *duty = json_array();
    json_object_set_new(o, "readings", json_integer((json_int_t)r->readings));
    json_object_set_new(o, "left_out", json_integer((json_int_t)r->left_out));
    json_object_set_new(o, "empty", json_integer((json_int_t)a->interval_file.empty));
    json_object_set_new(o, "estimated", json_integer((json_int_t)a->interval_file.estimated));
    put_number(o, "interval_s", r->length_s, 6);
    put_number(o, "energy_kwh", kWh_from_J(r->energy_J), 9);
    put_number(o, "energy_wh", r->energy_J / 3600.0, 9);
    put_number(o, "covered_h", r->covered_s / 3600.0, 8);
    put_number(o, "missing_h", r->missing_s / 3600.0, 6);
    put_number(o, "mean_w", r->mean_W, 5);
    put_number(o, "peak_w", r->peak_W, 5);
    put_number(o, "base_w", r->base_W, 4);
    for (int h = 0; h < 24; h++) {
        json_array_append_new(hours, json_real(round(10.0 * r->hour_W[h]) / 10.0));
        json_array_append_new(duty, json_real(round(1e4 * r->heater_hour_duty[h]) / 1e4));
    }
    json_object_set_new(o, "hour_w", hours);
    json_object_set_new(heater, "seen", json_boolean(r->heater_seen));
    json_object_set_new(heater, "alone", json_boolean(r->heater_alone));
    put_number(heater, "w", r->heater_W, 5);
    put_share(heater, "on_share", r->heater_duty);
    put_number(heater, "kwh_per_day", kWh_from_J(r->heater_J_per_day), 5);
    json_object_set_new(heater, "starts", json_integer((json_int_t)r->heater_starts));
    json_object_set_new(heater, "hour_on_share", duty);
    json_object_set_new(o, "heater", heater);
    if (a->interval_file.column[0]) json_object_set_new(o, "column", json_string(a->interval_file.column));
    return o;
}

json_t *bill_json(const bill_answer *a, const bill_home *home)
{
    json_t *o = a->parts ? part_json(a, &a->part[a->first]) : json_object();
    if (home && home->known) {
        json_object_set_new(o, "heater", json_string(home->label));
        if (a->parts) json_object_set_new(o, "smaller_than_heater", json_boolean(bill_size_doubt(&a->part[a->first], home)));
    }
    if (a->has_interval) {
        json_object_set_new(o, "interval", interval_json(a));
        json_object_set_new(o, "resting", part_json(a, &a->resting));
    }
    if (a->parts > 1) {
        json_t *others = json_array();
        for (size_t i = 0; i < a->parts; i++)
            if (i != a->first) json_array_append_new(others, part_json(a, &a->part[i]));
        json_object_set_new(o, "other_fuels", others);
        put_share(o, "same_date", a->same_date);
    }
    if (a->file.unused.len) json_object_set_new(o, "columns_not_used", json_string(text_str(&a->file.unused)));
    return o;
}
