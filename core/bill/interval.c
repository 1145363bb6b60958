/* Interval readings, one after the other, in bounded memory: energy by day and hour, the load that never rests, and
 * a heater's element where its coming and going can be seen. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "tufa/bill.h"

enum {
    LEVELS = 40,       /* element sizes that are followed at once when the plate is not known */
    BINS = 4096,
    LOWEST = 3,        /* lowest readings of a day that are kept; the last of them counts, against drop-outs */
    MINUTES = 1440,
    DAYS_BEFORE = 1024 /* how far readings may go back behind the first one */
};

static const double DAY_S = 86400.0, MINUTE_S = 60.0, BIN_W = 10.0;
static const double LEVEL_LO_W = 500.0, LEVEL_STEP = 1.075;    /* 500 W to 8.4 kW: elements as sold, and at 120 or 208 V */
static const double LEVEL_TOLERANCE = 0.06, PLATE_TOLERANCE = 0.12; /* plate +5/-10 % (common practice), and the volts of the day */
static const double LONGEST_ON_S = 10.0 * 3600.0;
static const double SEPARABLE_S = 300.0; /* longer readings blur an element's coming and going */

/* One element size: is it on, since when, and what it has used. */
typedef struct level {
    double W, tolerance;
    int on, since_edge;
    double on_s, since_s, up_sum, longest_s;
    double hour_s[24];
    size_t up, closed;
} level;

struct tufa_bill_stream {
    tufa_bill_interval_options opt;
    size_t readings, left_out;
    long origin_day;
    int started;
    double first_s, last_s, covered_s, energy_J, peak_W;
    double length_s;
    size_t length_seen;
    double pending_t, pending_s, pending_J; /* readings shorter than a minute */
    double power[3], power_end, run_s;      /* the last three powers, newest first, and where they end */
    int run;
    double bin_s[BINS], over_s;
    double hour_J[24], hour_s[24], day_J[TUFA_BILL_MAX_DAYS];
    float day_s[TUFA_BILL_MAX_DAYS], low_W[TUFA_BILL_MAX_DAYS][LOWEST];
    int levels;
    level level[LEVELS];
    unsigned char seen[TUFA_BILL_MAX_DAYS][MINUTES / 8];
};

size_t tufa_bill_stream_bytes(void) { return sizeof(tufa_bill_stream); }

static void add_level(tufa_bill_stream *s, double W, double tolerance)
{
    s->level[s->levels++] = (level){.W = W, .tolerance = tolerance * W};
}

tufa_status tufa_bill_interval_start(void *memory, size_t size, const tufa_bill_interval_options *opt, tufa_bill_stream **stream)
{
    if (size < sizeof(tufa_bill_stream)) return trouble(TUFA_MEMORY, "memory", NULL);
    if (opt) RETURN_IF(in_range("plate_W", opt->plate_W, 0.0, 50e3));
    tufa_bill_stream *s = memory;
    memset(s, 0, sizeof *s);
    for (size_t d = 0; d < TUFA_BILL_MAX_DAYS; d++)
        for (int i = 0; i < LOWEST; i++) s->low_W[d][i] = HUGE_VALF;
    if (opt) s->opt = *opt;
    if (s->opt.plate_W > 0.0) {
        add_level(s, s->opt.plate_W, PLATE_TOLERANCE);
    } else {
        double W = LEVEL_LO_W;
        for (int i = 0; i < LEVELS; i++, W *= LEVEL_STEP) add_level(s, W, LEVEL_TOLERANCE);
    }
    *stream = s;
    return OK;
}

/* ---- an element's coming and going ---- */

static int edge(const level *l, const tufa_bill_stream *s, double sign)
{
    double one = sign * (s->power[0] - s->power[1]), two = sign * (s->power[0] - s->power[2]);
    if (fabs(one - l->W) <= l->tolerance) return 1;
    /* the change fell within the reading before this one */
    return s->run > 2 && fabs(two - l->W) <= l->tolerance && one > 0.1 * l->W && one < 0.9 * l->W;
}

static void close_level(level *l, double end_s, int counts)
{
    double on = end_s - l->since_s;
    l->on = 0;
    if (!counts || on > LONGEST_ON_S) return;
    l->closed++;
    l->on_s += on;
    l->longest_s = fmax(l->longest_s, on);
    for (double t = l->since_s; t < end_s;) { /* shared out to the hours of the day */
        double next = fmin((floor(t / 3600.0) + 1.0) * 3600.0, end_s);
        l->hour_s[(long)floor(t / 3600.0) % 24] += next - t;
        t = next;
    }
}

static void follow_levels(tufa_bill_stream *s, double start_s, double length_s)
{
    for (int i = 0; i < s->levels; i++) {
        level *l = &s->level[i];
        l->since_edge++;
        if (s->run < 2 || l->since_edge < 2) continue;
        if (edge(l, s, 1.0)) { /* up while on: the end of that run was missed, so it is not counted */
            l->on = 1;
            l->since_edge = 0;
            l->since_s = start_s;
            l->up++;
            l->up_sum += fabs(s->power[0] - s->power[1] - l->W) <= l->tolerance ? s->power[0] - s->power[1] : s->power[0] - s->power[2];
        } else if (l->on && edge(l, s, -1.0)) {
            l->since_edge = 0;
            close_level(l, start_s, 1);
        } else if (l->on && start_s + length_s - l->since_s > LONGEST_ON_S) {
            close_level(l, start_s, 0);
        }
    }
}

static void follow(tufa_bill_stream *s, double t_s, double length_s, double W)
{
    if (s->run == 0 || fabs(t_s - s->power_end) > 1.0) { /* a gap: what was on is not known to be on still */
        for (int i = 0; i < s->levels; i++) {
            if (s->level[i].on) close_level(&s->level[i], s->power_end, 0);
            s->level[i].since_edge = 2;
        }
        s->run = 0;
    }
    s->power[2] = s->power[1];
    s->power[1] = s->power[0];
    s->power[0] = W;
    s->power_end = t_s + length_s;
    s->run = s->run < 3 ? s->run + 1 : 3;
    if (length_s <= SEPARABLE_S) follow_levels(s, t_s, length_s);
}

/* ---- one reading ---- */

/* Marks the minutes whose middle lies within a reading as covered; 0 when half of them were already. */
static int cover(tufa_bill_stream *s, double from_s, double length_s)
{
    long first = (long)ceil((from_s - 0.5 * MINUTE_S) / MINUTE_S), last = (long)ceil((from_s + length_s - 0.5 * MINUTE_S) / MINUTE_S);
    long old = 0, last_minute = (long)TUFA_BILL_MAX_DAYS * MINUTES;
    if (first < 0) first = 0;
    if (last > last_minute) last = last_minute;
    for (long m = first; m < last; m++) old += s->seen[m / MINUTES][m % MINUTES / 8] >> (m % 8) & 1;
    if (first < last && 2 * old >= last - first) return 0;
    for (long m = first; m < last; m++) {
        unsigned char *byte = &s->seen[m / MINUTES][m % MINUTES / 8];
        *byte = (unsigned char)(*byte | 1u << (m % 8));
    }
    return 1;
}

static void keep_low(tufa_bill_stream *s, size_t d, double W)
{
    float w = (float)W, *low = s->low_W[d];
    for (int i = 0; i < LOWEST; i++)
        if (w < low[i]) {
            float t = low[i];
            low[i] = w;
            w = t;
        }
}

/* Shared out to days and hours. */
static void book(tufa_bill_stream *s, double from_s, double length_s, double W)
{
    keep_low(s, (size_t)(from_s / DAY_S), W);
    for (double t = from_s, end = from_s + length_s; t < end;) {
        double next = fmin((floor(t / 3600.0) + 1.0) * 3600.0, end), part = next - t;
        size_t d = (size_t)(t / DAY_S);
        if (part <= 0.0 || d >= TUFA_BILL_MAX_DAYS) break;
        size_t h = (size_t)(t / 3600.0) % 24;
        s->hour_J[h] += W * part;
        s->hour_s[h] += part;
        s->day_J[d] += W * part;
        s->day_s[d] += (float)part;
        t = next;
    }
}

static tufa_status take(tufa_bill_stream *s, double t_s, double length_s, double energy_J)
{
    double W = energy_J / length_s, origin_s = (double)s->origin_day * DAY_S, from = t_s - origin_s;
    RETURN_IF(in_range("time", t_s, origin_s, origin_s + TUFA_BILL_MAX_DAYS * DAY_S - length_s));
    if (!cover(s, from, length_s)) {
        s->left_out++;
        return OK;
    }
    if (s->covered_s == 0.0 || t_s < s->first_s) s->first_s = t_s;
    if (s->covered_s == 0.0 || t_s + length_s > s->last_s) s->last_s = t_s + length_s;
    s->covered_s += length_s;
    s->energy_J += energy_J;
    s->peak_W = fmax(s->peak_W, W);
    size_t bin = (size_t)(W / BIN_W);
    if (bin < BINS) s->bin_s[bin] += length_s;
    else s->over_s += length_s;
    book(s, from, length_s, W);
    if (length_s == s->length_s) s->length_seen++;
    else if (s->length_seen == 0) s->length_s = length_s, s->length_seen = 1; /* majority vote of Boyer and Moore */
    else s->length_seen--;
    follow(s, t_s, length_s, W);
    return OK;
}

static tufa_status flush(tufa_bill_stream *s)
{
    double t = s->pending_t, length = s->pending_s, J = s->pending_J;
    s->pending_s = s->pending_J = 0.0;
    return length > 0.0 ? take(s, t, length, J) : OK;
}

tufa_status tufa_bill_interval_add(tufa_bill_stream *s, double t_s, double length_s, double energy_J)
{
    const double LONGEST_S = 90000.0, MOST_W = 1e6; /* a day of 25 hours; no house draws a megawatt */
    RETURN_IF(in_range("length", length_s, 1e-3, LONGEST_S));
    RETURN_IF(in_range("time", t_s, -1e10, 1e11));
    RETURN_IF(in_range("power_W", energy_J / length_s, 0.0, MOST_W));
    if (!s->started) {
        s->started = 1;
        s->origin_day = (long)floor(t_s / DAY_S) - DAYS_BEFORE;
    }
    s->readings++;
    if (length_s >= MINUTE_S - 0.5) {
        RETURN_IF(flush(s));
        return take(s, t_s, length_s, energy_J);
    }
    if (s->pending_s > 0.0 && (floor(t_s / MINUTE_S) != floor(s->pending_t / MINUTE_S) || t_s < s->pending_t)) RETURN_IF(flush(s));
    if (s->pending_s == 0.0) s->pending_t = t_s;
    s->pending_s += length_s;
    s->pending_J += energy_J;
    return OK;
}

/* ---- the answer ---- */

/* Power that the meter is below for a share p of the time, within a bin by proportion. */
static double power_quantile(const tufa_bill_stream *s, double p)
{
    double want = p * s->covered_s, sum = 0.0;
    for (size_t b = 0; b < BINS; b++) {
        if (sum + s->bin_s[b] >= want && s->bin_s[b] > 0.0)
            return BIN_W * ((double)b + (want - sum) / s->bin_s[b]);
        sum += s->bin_s[b];
    }
    return s->peak_W;
}

/* A meter with one appliance: nearly all of the time near nothing or near one power. */
static int one_power(const tufa_bill_stream *s, double *W, double *duty)
{
    const double LEAST_W = 300.0, NEAR = 0.20, MOSTLY = 0.95, RESTING = 0.03;
    double top_s = 0.0, top_J = 0.0, half = 0.5 * power_quantile(s, 0.995), rest_s = 0.0, near_s = 0.0;
    if (2.0 * half < LEAST_W) return 0;
    for (size_t b = (size_t)(half / BIN_W); b < BINS; b++) {
        top_s += s->bin_s[b];
        top_J += s->bin_s[b] * BIN_W * ((double)b + 0.5);
    }
    if (top_s <= 0.0) return 0;
    *W = top_J / top_s;
    for (size_t b = 0; b < BINS; b++) {
        double power = BIN_W * ((double)b + 0.5);
        if (power < RESTING * *W) rest_s += s->bin_s[b];
        else if (fabs(power - *W) < NEAR * *W) near_s += s->bin_s[b];
    }
    *duty = top_s / s->covered_s;
    return rest_s > 0.05 * s->covered_s && near_s > 0.01 * s->covered_s && rest_s + near_s > MOSTLY * s->covered_s;
}

/* The element size that explains most: energy of the runs that ended, if most of those that began did end. */
static const level *best_level(const tufa_bill_stream *s)
{
    const double MOSTLY = 0.6;
    const size_t LEAST_RUNS = 4;
    const level *best = NULL;
    for (int i = 0; i < s->levels; i++) {
        const level *l = &s->level[i];
        if (l->closed < LEAST_RUNS || (double)l->closed < MOSTLY * (double)l->up) continue;
        if (!best || l->on_s * l->W > best->on_s * best->W) best = l;
    }
    return best;
}

static void find_heater(const tufa_bill_stream *s, tufa_bill_interval_result *r)
{
    const level *l = best_level(s);
    double W = 0.0, duty = 0.0;
    int alone = s->length_s <= SEPARABLE_S && one_power(s, &W, &duty);
    if (!alone && !l) return;
    r->heater_seen = 1;
    r->heater_alone = alone;
    if (l) {
        r->heater_starts = l->closed;
        r->longest_on_s = l->longest_s;
        for (int h = 0; h < 24; h++) r->heater_hour_duty[h] = s->hour_s[h] > 0.0 ? l->hour_s[h] / s->hour_s[h] : 0.0;
    }
    r->heater_W = alone ? W : l->up_sum / (double)l->up;
    r->heater_duty = alone ? duty : l->on_s / s->covered_s;
    r->heater_J_per_day = alone ? s->energy_J / s->covered_s * DAY_S : r->heater_W * r->heater_duty * DAY_S;
    if (alone)
        for (int h = 0; h < 24; h++) r->heater_hour_duty[h] = s->hour_s[h] > 0.0 ? s->hour_J[h] / s->hour_s[h] / W : 0.0;
}

tufa_status tufa_bill_interval_finish(tufa_bill_stream *s, tufa_bill_interval_result *out)
{
    RETURN_IF(flush(s));
    if (!(s->covered_s > 0.0)) return trouble(TUFA_MISSING, "readings", "there is no interval reading");
    tufa_bill_interval_result r = {.readings = s->readings,
                                   .left_out = s->left_out,
                                   .first_s = s->first_s,
                                   .last_s = s->last_s,
                                   .covered_s = s->covered_s,
                                   .missing_s = fmax(s->last_s - s->first_s - s->covered_s, 0.0),
                                   .length_s = s->length_s,
                                   .energy_J = s->energy_J,
                                   .mean_W = s->energy_J / s->covered_s,
                                   .peak_W = s->peak_W,
                                   .base_W = power_quantile(s, 0.01)};
    for (int h = 0; h < 24; h++) r.hour_W[h] = s->hour_s[h] > 0.0 ? s->hour_J[h] / s->hour_s[h] : 0.0;
    find_heater(s, &r);
    *out = r;
    return OK;
}

tufa_status tufa_bill_interval_periods(const tufa_bill_stream *s, int base_only, int each_days, size_t room,
                                       tufa_bill_period *out, size_t *n_out)
{
    const double WHOLE = 0.9;
    size_t whole = 0, n = 0;
    for (size_t d = 0; d < TUFA_BILL_MAX_DAYS; d++) whole += s->day_s[d] > WHOLE * DAY_S;
    size_t each = each_days > 0 ? (size_t)each_days : room > 0 ? (whole + room - 1) / room : 1;
    if (each < 1) each = 1;
    for (size_t d = 0; d < TUFA_BILL_MAX_DAYS && n < room; d += each) {
        double days = 0.0, use = 0.0;
        for (size_t i = d; i < d + each && i < TUFA_BILL_MAX_DAYS; i++) {
            if (!(s->day_s[i] > WHOLE * DAY_S)) continue;
            if (base_only && !isfinite(s->low_W[i][LOWEST - 1])) continue; /* fewer readings than are kept */
            days += 1.0;
            use += base_only ? (double)s->low_W[i][LOWEST - 1] * DAY_S : s->day_J[i] * DAY_S / (double)s->day_s[i];
        }
        if (days < 0.5 * (double)each) continue;
        out[n++] = (tufa_bill_period){.start_day = (double)(s->origin_day + (long)d), .days = (double)each,
                                      .use = use * (double)each / days};
    }
    *n_out = n;
    return OK;
}
