#include "edge/desk/account.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "edge/say/day.h"

static const double TENTH_MILE_M = 160.9344;

/* ---- rows ---- */

static tufa_status add_row(account_answer *a, const account_row *r)
{
    if (a->rows == a->room) {
        size_t room = a->room ? 2 * a->room : 64;
        account_row *more = realloc(a->row, room * sizeof *more);
        if (!more) return trouble(TUFA_MEMORY, "account", NULL);
        a->row = more;
        a->room = room;
    }
    a->row[a->rows++] = *r;
    return OK;
}

typedef struct gather {
    desk *d;
    account_answer *a;
    int64_t from, to;
} gather;

static tufa_status label_of(store *s, thing_kind kind, int64_t id, char out[STORE_LABEL])
{
    out[0] = 0;
    return id ? store_thing_label(s, kind, id, out) : OK;
}

/* Takes the words over; memory that ran out is an error, not a shorter account. */
static tufa_status keep_words(text *what, text *receipt, account_row *r)
{
    if (what->failed || receipt->failed) return trouble(TUFA_MEMORY, "account", NULL);
    r->what = strdup(text_str(what));
    r->receipt = strdup(text_str(receipt));
    if (r->what && r->receipt) return OK;
    free(r->what);
    free(r->receipt);
    return trouble(TUFA_MEMORY, "account", NULL);
}

static void part(text *t, const char *s)
{
    if (s[0]) text_addf(t, "%s%s", t->len ? "; " : "", s);
}

static tufa_status add_photo(void *ctx, const char *file)
{
    part(ctx, file);
    return OK;
}

static tufa_status add_used(void *ctx, const stock_rec *r)
{
    text *t = ctx;
    text_addf(t, "%s%s %g", t->len ? ", " : "", r->item, r->pieces);
    return OK;
}

static tufa_status visit_words(store *s, const visit_rec *v, text *what, text *receipt)
{
    text parts = {0};
    work_word(what, v->work);
    tufa_status st = store_stock_used(s, v->id, add_used, &parts);
    if (parts.len) text_addf(what, "; from the van: %s", text_str(&parts));
    part(what, v->note);
    if (st.code == TUFA_OK) st = store_photo_each(s, v->id, add_photo, receipt);
    text_free(&parts);
    return st;
}

static tufa_status add_visit(void *ctx, const visit_rec *v)
{
    gather *g = ctx;
    if (v->day < g->from || v->day > g->to) return OK;
    heater_rec heater;
    RETURN_IF(store_heater_get(g->d->s, v->heater, &heater));
    account_row r = {.day = v->day, .house = heater.house, .heater = v->heater, .id = v->id, .visit = true, .kind = EXPENSE_PARTS,
                     .mark = work_mark(v->work), .has_cents = v->cost_cents.basis != TUFA_BASIS_NONE, .has_time = v->spent_s.basis != TUFA_BASIS_NONE,
                     .about = v->cost_cents.hi > v->cost_cents.lo, .cents = llround(v->cost_cents.mid), .minutes = llround(v->spent_s.mid / 60.0)};
    if (!r.has_cents) r.kind = EXPENSE_OWN;
    memcpy(r.heater_label, heater.label, sizeof r.heater_label);
    RETURN_IF(label_of(g->d->s, THING_HOUSE, heater.house, r.label));
    text what = {0}, receipt = {0};
    tufa_status st = visit_words(g->d->s, v, &what, &receipt);
    if (st.code == TUFA_OK) st = keep_words(&what, &receipt, &r);
    text_free(&what);
    text_free(&receipt);
    return st.code == TUFA_OK ? add_row(g->a, &r) : st;
}

static tufa_status add_expense(void *ctx, const expense_rec *e)
{
    gather *g = ctx;
    account_row r = {.day = e->day, .house = e->house, .heater = e->heater, .id = e->id, .kind = e->kind, .mark = e->mark, .has_cents = e->has_cents,
                     .has_time = e->has_time, .has_road = e->has_road, .cents = e->cents, .minutes = llround(e->spent_s / 60.0),
                     .tenth_miles = llround(e->road_m / TENTH_MILE_M)};
    RETURN_IF(label_of(g->d->s, THING_HOUSE, e->house, r.label));
    RETURN_IF(label_of(g->d->s, THING_HEATER, e->heater, r.heater_label));
    memcpy(r.who, e->who, sizeof r.who);
    text what = {0}, receipt = {0};
    text_add(&what, e->what);
    part(&what, e->note);
    text_add(&receipt, e->receipt);
    tufa_status st = keep_words(&what, &receipt, &r);
    text_free(&what);
    text_free(&receipt);
    return st.code == TUFA_OK ? add_row(g->a, &r) : st;
}

/* ---- order and sums ---- */

static int by_house_and_day(const void *a, const void *b)
{
    const account_row *x = a, *y = b;
    if ((x->house == 0) != (y->house == 0)) return x->house == 0 ? 1 : -1; /* what is for all houses comes last */
    int c = strcmp(x->label, y->label);
    if (c != 0) return c;
    if (x->day != y->day) return x->day < y->day ? -1 : 1;
    if (x->visit != y->visit) return x->visit ? -1 : 1;
    return x->id < y->id ? -1 : x->id > y->id;
}

static void add_up(account_sum *s, const account_row *r)
{
    s->rows++;
    if (r->has_time) s->minutes += r->minutes;
    if (r->has_road) s->tenth_miles += r->tenth_miles;
    if (!r->has_cents) return;
    s->cents += r->cents;
    s->kind_cents[r->kind] += r->cents;
    s->mark_cents[r->mark] += r->cents;
}

static tufa_status sum_up(account_answer *a)
{
    if (a->rows) qsort(a->row, a->rows, sizeof *a->row, by_house_and_day);
    a->house = calloc(a->rows + 1, sizeof *a->house);
    if (!a->house) return trouble(TUFA_MEMORY, "account", NULL);
    for (size_t i = 0; i < a->rows; i++) {
        const account_row *r = &a->row[i];
        if (i == 0 || r->house != a->row[i - 1].house) {
            account_house *h = &a->house[a->houses++];
            *h = (account_house){.house = r->house, .first = i};
            memcpy(h->label, r->label, sizeof h->label);
        }
        account_house *h = &a->house[a->houses - 1];
        h->n++;
        add_up(&h->sum, r);
        add_up(&a->sum, r);
        a->without_receipt += r->has_cents && r->cents != 0 && !r->receipt[0];
    }
    return OK;
}

static bool read_year(const char *s, int *year)
{
    char *end;
    long y = strtol(s, &end, 10);
    *year = (int)y;
    return *s && *end == 0 && y >= 1990 && y <= 2200 && strlen(s) == 4;
}

tufa_code desk_account(desk *d, const char *year, account_answer *out, trouble_note *note)
{
    *out = (account_answer){.units = d->units};
    if (!read_year(year, &out->year)) {
        note_set(note, TUFA_PARSE, "year", year, "four digits, as in 2026", "this is no year");
        return TUFA_PARSE;
    }
    gather g = {.d = d, .a = out, .from = day_from_ymd(out->year, 1, 1), .to = day_from_ymd(out->year, 12, 31)};
    tufa_status st = store_visit_each(d->s, 0, add_visit, &g);
    if (st.code == TUFA_OK) st = store_expense_each(d->s, g.from, g.to, add_expense, &g);
    if (st.code == TUFA_OK) st = sum_up(out);
    if (st.code == TUFA_OK) return TUFA_OK;
    account_free(out);
    note_from_status(note, st);
    return st.code;
}

void account_free(account_answer *a)
{
    for (size_t i = 0; i < a->rows; i++) {
        free(a->row[i].what);
        free(a->row[i].receipt);
    }
    free(a->row);
    free(a->house);
    *a = (account_answer){0};
}

/* ---- words ---- */

void say_cents(text *t, int64_t cents)
{
    char digits[32];
    unsigned long long c = (unsigned long long)llabs(cents);
    int n = snprintf(digits, sizeof digits, "%llu", c / 100u);
    text_add(t, cents < 0 ? "-$" : "$");
    for (int i = 0; i < n; i++) {
        if (i > 0 && (n - i) % 3 == 0) text_add(t, ",");
        text_addn(t, &digits[i], 1);
    }
    text_addf(t, ".%02llu", c % 100u);
}

void say_hours_minutes(text *t, int64_t minutes) { text_addf(t, "%lld:%02lld", (long long)(minutes / 60), (long long)(minutes % 60)); }

void say_tenth_miles(text *t, int64_t tenths) { text_addf(t, "%lld.%lld", (long long)(tenths / 10), (long long)(tenths % 10)); }

/* RFC 4180; a cell that a spreadsheet would take for a formula gets an apostrophe before it. */
static void cell(text *t, const char *s)
{
    bool formula = s[0] && strchr("=+-@\t\r", s[0]);
    bool quoted = formula || strpbrk(s, ",\"\r\n") != NULL;
    if (quoted) text_add(t, "\"");
    if (formula) text_add(t, "'");
    for (; *s; s++) {
        if (*s == '"') text_add(t, "\"");
        text_addn(t, s, 1);
    }
    if (quoted) text_add(t, "\"");
}

void account_csv(text *t, const account_answer *a)
{
    text_add(t, "house,heater,day,kind,mark,what,paid_to,amount_usd,minutes,miles,receipt,row\r\n");
    for (size_t i = 0; i < a->rows; i++) {
        const account_row *r = &a->row[i];
        cell(t, r->house ? r->label : "all houses");
        text_add(t, ",");
        cell(t, r->heater_label);
        text_add(t, ",");
        say_day(t, r->day);
        text_addf(t, ",%s,%s,", expense_kind_id(r->kind), expense_mark_id(r->mark));
        cell(t, r->what);
        text_add(t, ",");
        cell(t, r->who);
        text_add(t, ",");
        if (r->has_cents) text_addf(t, "%s%lld.%02lld", r->cents < 0 ? "-" : "", llabs(r->cents) / 100, llabs(r->cents) % 100);
        text_add(t, ",");
        if (r->has_time) text_addf(t, "%lld", (long long)r->minutes);
        text_add(t, ",");
        if (r->has_road) say_tenth_miles(t, r->tenth_miles);
        text_add(t, ",");
        cell(t, r->receipt);
        text_addf(t, ",%s %lld\r\n", r->visit ? "visit" : "row", (long long)r->id);
    }
}

void say_account_remarks(text *t, const account_answer *a)
{
    size_t about = 0;
    for (size_t i = 0; i < a->rows; i++) about += a->row[i].has_cents && a->row[i].about;
    if (a->without_receipt) {
        say_count(t, a->without_receipt, "payment has", "payments have");
        text_add(t, " neither receipt nor picture. ");
    }
    if (about) {
        say_count(t, about, "amount was", "amounts were");
        text_add(t, " said only roughly; the middle is taken.");
    }
}

void say_account_foot(text *t)
{
    text_add(t, "Upkeep, repaired and replaced are marked for whoever does the taxes; this is the book as it was kept and no tax advice. Parts taken from the van stand "
                "with their visit; what they cost stands where they were bought.");
}
