#include "edge/desk/bill.h"

#include <stdlib.h>
#include <string.h>

#include "core/base/units.h"

enum { HEAD = 4096 };

static void memory_short(trouble_note *note) { note_set(note, TUFA_MEMORY, "", "", "", ""); }

/* ---- one series ---- */

/* Households of the book: other people since then. */
static void mark_arrivals(const bill_home *home, size_t n, tufa_bill_period *p)
{
    for (size_t k = 0; home && k < home->arrivals; k++)
        for (size_t i = 0; i < n; i++)
            if (home->arrival_day[k] >= p[i].start_day && home->arrival_day[k] < p[i].start_day + p[i].days)
                p[i].flags |= TUFA_BILL_NEW_HOUSEHOLD;
}

static tufa_status read_part(bill_part *b, const daily_temps *temps)
{
    size_t bytes = tufa_bill_bytes(b->n);
    tufa_arena arena = {.base = malloc(bytes), .size = bytes};
    if (!arena.base) return (tufa_status){.code = TUFA_MEMORY, .field = "bill"};
    tufa_status st = tufa_bill_read(b->n, b->p, temps->n, temps->first_day, temps->K, NULL, &arena, &b->result);
    free(arena.base);
    return st;
}

static tufa_status find_causes(bill_part *b, const bill_home *home)
{
    const double SECONDS_A_DAY = 86400.0;
    const tufa_bill_result *r = &b->result;
    double W = bill_units[b->unit].joules / SECONDS_A_DAY;
    tufa_bill_house house = {.fuel = bill_units[b->unit].gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC,
                             .tank = home && home->known ? &home->tank : NULL, .daily_m3 = home ? home->daily_m3 : 0.0};
    tufa_bill_span change = {r->per_day.mid * W, r->per_day.lo * W, r->per_day.hi * W};
    tufa_status st = tufa_bill_could_be(&house, &change, &b->causes);
    if (st.code != TUFA_OK) return st;
    if (r->mean_per_day > 0.0) b->heater_share_of_use = b->causes.heater_W / (r->mean_per_day * W);
    b->has_causes = r->kind != TUFA_BILL_NONE;
    return st;
}

static void answer_part(bill_part *b, const bill_home *home, const daily_temps *temps)
{
    b->trouble = read_part(b, temps);
    if (b->trouble.code == TUFA_OK) b->trouble = find_causes(b, home);
    b->ok = b->trouble.code == TUFA_OK;
}

/* Most to tell: a change; else the heater's own fuel; else what the weather explains best. */
static size_t most_to_tell(const bill_answer *a, const bill_home *home)
{
    size_t best = 0;
    double top = -1.0;
    for (size_t i = 0; i < a->parts; i++) {
        const tufa_bill_result *r = &a->part[i].result;
        bool own = home && home->known && bill_units[a->part[i].unit].gas == (home->tank.fuel == TUFA_TANK_GAS);
        double score = !a->part[i].ok ? -0.5 : r->kind != TUFA_BILL_NONE ? 2.0 + r->probability[r->kind] : r->r2;
        score += own ? 1.0 : 0.0;
        if (score > top) top = score, best = i;
    }
    return best;
}

static void compare_parts(bill_answer *a, const bill_home *home)
{
    const tufa_bill_result *all[BILLS_MOST_FUELS];
    size_t n = 0;
    for (size_t i = 0; i < a->parts; i++)
        if (a->part[i].ok) all[n++] = &a->part[i].result;
    if (n < 2 || tufa_bill_together(n, all, &a->same_date).code != TUFA_OK) a->same_date = 0.0;
    a->first = most_to_tell(a, home);
}

/* ---- bill readings ---- */

static bool read_temps(const bill_ask *ask, daily_temps *out, trouble_note *note)
{
    csv t;
    *out = (daily_temps){0};
    if (!ask->temps) return true;
    if (!csv_read(ask->temps, ask->temps_name, &t, note)) return false;
    bool ok = temps_read(&t, ask->temps_name, out, note);
    csv_free(&t);
    return ok;
}

bool desk_bill_file(bill_file *file, const bill_ask *ask, bill_answer *out, trouble_note *note)
{
    *out = (bill_answer){.format = BILL_FORMAT_BILLS, .file = *file, .parts = file->fuels};
    *file = (bill_file){0};
    if (!read_temps(ask, &out->temps, note)) {
        bill_free(out);
        return false;
    }
    for (size_t i = 0; i < out->parts; i++) {
        bill_fuel *f = &out->file.fuel[i];
        mark_arrivals(ask->home, f->n, f->p);
        out->part[i] = (bill_part){.unit = f->unit, .p = f->p, .n = f->n, .empty = f->empty};
        answer_part(&out->part[i], ask->home, &out->temps);
    }
    compare_parts(out, ask->home);
    return true;
}

static bool answer_bills(FILE *f, const char *name, const bill_ask *ask, bill_answer *out, trouble_note *note)
{
    csv t;
    bill_file file;
    if (!csv_read(f, name, &t, note)) return false;
    bool ok = bills_read(&t, name, &file, note);
    csv_free(&t);
    return ok && desk_bill_file(&file, ask, out, note);
}

/* ---- interval readings ---- */

static tufa_status take_reading(void *ctx, double t_s, double length_s, double energy_J)
{
    return tufa_bill_interval_add(ctx, t_s, length_s, energy_J);
}

/* The days of the stream, gathered so that a change is looked for in a hundred periods at most. */
static void answer_days(bill_answer *a, const tufa_bill_stream *s, const bill_ask *ask, bool resting, bill_part *b, tufa_bill_period *p)
{
    enum { MOST = 100 };
    size_t n = 0;
    b->unit = a->interval_file.gas ? BILL_UNIT_THERM : BILL_UNIT_KWH;
    b->trouble = tufa_bill_interval_periods(s, resting, 0, MOST, p, &n);
    for (size_t i = 0; i < n; i++) p[i].use /= bill_units[b->unit].joules;
    b->p = p;
    b->n = n;
    mark_arrivals(ask->home, n, p);
    if (b->trouble.code == TUFA_OK) answer_part(b, ask->home, &a->temps);
}

/* Real watts of one element on its voltage; 0 when nobody named a heater. */
static double plate_of(const bill_home *home)
{
    return home && home->known && home->tank.fuel == TUFA_TANK_ELECTRIC ? home->tank.lower_W : 0.0;
}

static bool read_intervals(FILE *f, const char *name, const bill_ask *ask, tufa_bill_stream *s, bill_answer *out, trouble_note *note)
{
    return out->format == BILL_FORMAT_ESPI ? espi_read(f, name, take_reading, s, &out->interval_file, note)
                                           : interval_csv_read(f, name, ask->column, take_reading, s, &out->interval_file, note);
}

static bool answer_intervals(FILE *f, const char *name, const bill_ask *ask, bill_answer *out, trouble_note *note)
{
    size_t size = tufa_bill_stream_bytes();
    tufa_bill_stream *s = NULL;
    tufa_bill_interval_options opt = {.plate_W = plate_of(ask->home)};
    out->memory = malloc(size);
    out->periods = calloc(2 * TUFA_BILL_MAX_PERIODS, sizeof(tufa_bill_period));
    if (!out->memory || !out->periods || tufa_bill_interval_start(out->memory, size, &opt, &s).code != TUFA_OK) {
        memory_short(note);
        return false;
    }
    if (!read_temps(ask, &out->temps, note) || !read_intervals(f, name, ask, s, out, note)) return false;
    tufa_status st = tufa_bill_interval_finish(s, &out->interval);
    if (st.code != TUFA_OK) {
        note_from_status(note, st);
        return false;
    }
    out->has_interval = true;
    out->parts = 1;
    tufa_bill_period *p = out->periods;
    answer_days(out, s, ask, false, &out->part[0], p);
    answer_days(out, s, ask, true, &out->resting, p + TUFA_BILL_MAX_PERIODS);
    return true;
}

/* ---- which of them ---- */

/* A file that can be read twice and from its head: the file itself, or a copy on disk of what comes through a pipe. */
static FILE *seekable(FILE *f, trouble_note *note)
{
    if (fseek(f, 0, SEEK_CUR) == 0) return f;
    FILE *copy = tmpfile();
    char part[65536];
    bool ok = copy != NULL;
    for (size_t n; ok && (n = fread(part, 1, sizeof part, f)) > 0;) ok = fwrite(part, 1, n, copy) == n;
    ok = ok && !ferror(f) && fseek(copy, 0, SEEK_SET) == 0;
    if (ok) return copy;
    if (copy) fclose(copy);
    note_set(note, TUFA_IO, "", "", "", "the input cannot be kept while it is read");
    return NULL;
}

bool desk_bill(FILE *f, const char *name, const bill_ask *ask, bill_answer *out, trouble_note *note)
{
    char head[HEAD];
    *out = (bill_answer){0};
    FILE *in = seekable(f, note);
    if (!in) return false;
    long start = ftell(in);
    size_t n = fread(head, 1, sizeof head, in);
    bool ok = fseek(in, start, SEEK_SET) == 0;
    if (!ok) note_set(note, TUFA_IO, "", "", "", "the file cannot be read from its beginning");
    bill_format format = bill_format_of(head, n);
    if (ok && format == BILL_FORMAT_NONE) {
        note_set(note, TUFA_MISSING, "", "", "bills as CSV, interval readings as CSV or ESPI XML", "there is nothing in it");
        csv_where(note, name, 0);
        ok = false;
    }
    out->format = format;
    if (ok) ok = format == BILL_FORMAT_BILLS ? answer_bills(in, name, ask, out, note) : answer_intervals(in, name, ask, out, note);
    if (in != f) fclose(in);
    if (!ok) bill_free(out);
    return ok;
}

void bill_free(bill_answer *a)
{
    bills_free(&a->file);
    temps_free(&a->temps);
    free(a->memory);
    free(a->periods);
    *a = (bill_answer){0};
}
