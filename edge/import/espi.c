/* Open ESPI (NAESB REQ.21) XML, read as a stream: what counts is value inside IntervalReading, whose unit stands in the
 * ReadingType that its MeterReading points to. Other elements called `value` belong to summaries. */
#include <expat.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/import/csv.h"
#include "edge/import/interval.h"

enum { HREF = 200, MOST_TYPES = 64, TEXT = 64, CHUNK = 65536, DEEPEST = 64 };

typedef struct type_row {
    char self[HREF];
    int multiplier, uom, flow, accumulation, commodity;
    double interval_s;
} type_row;

typedef struct meter_row {
    char self[HREF], type[HREF];
} meter_row;

typedef struct espi {
    XML_Parser parser;
    const char *name;
    trouble_note *note;
    bool failed;
    int pass;
    interval_fn fn;
    void *ctx;
    interval_file *out;
    type_row type[MOST_TYPES];
    size_t types;
    meter_row meter[MOST_TYPES];
    size_t meters;
    const type_row *chosen;
    double offset_s, dst_s;         /* local standard time less UTC, and what summer time adds */
    unsigned long dst_from, dst_to; /* packed rules; 0: none */
    /* where the parser is */
    int depth, reading_depth;
    bool in_type, in_reading, in_period, in_time, in_block, block_counts;
    char self[HREF], up[HREF], related[HREF], text[TEXT];
    size_t len;
    double start, duration, value;
    bool has_value, has_start;
    int quality;
    type_row now;
} espi;

static void fail(espi *e, tufa_code code, const char *value, const char *why)
{
    if (e->failed) return;
    e->failed = true;
    note_set(e->note, code, "", value, "", why);
    csv_where(e->note, e->name, (size_t)XML_GetCurrentLineNumber(e->parser));
    XML_StopParser(e->parser, XML_FALSE);
}

static const char *local_name(const char *name)
{
    const char *bar = strrchr(name, '|');
    return bar ? bar + 1 : name;
}

/* ---- summer time ---- */

static long day_of(int year, int month, int day)
{
    int y = year - (month <= 2), m = month + (month > 2 ? -3 : 9);
    long era = (y >= 0 ? y : y - 399) / 400, yoe = y - era * 400, doy = (153 * m + 2) / 5 + day - 1;
    return era * 146097 + yoe * 365 + yoe / 4 - yoe / 100 + doy - 719468;
}

/* Local second of the year at which a packed rule falls: from the top month (4 bits), which of the month (3), day of
 * the month (5), weekday (3, 1 is Monday), hour (5), seconds (12); layout from memory, the sample's two rules read
 * as second Sunday of March and first Sunday of November at 2 h. */
static double rule_s(unsigned long rule, int year)
{
    int month = (int)(rule >> 28 & 15), which = (int)(rule >> 25 & 7), dom = (int)(rule >> 20 & 31), weekday = (int)(rule >> 17 & 7),
        hour = (int)(rule >> 12 & 31), second = (int)(rule & 4095);
    if (month < 1 || month > 12) return NAN;
    long day = day_of(year, month, which < 2 && dom > 0 ? dom : 1);
    if (which >= 1 && weekday >= 1) {
        int is = (int)((day + 3) % 7 + 1); /* 1970-01-01 was a Thursday */
        day += (weekday - is + 7) % 7;
        if (which >= 2 && which < 7) day += 7 * (which - 2);
        if (which == 7) {
            long next = day_of(month == 12 ? year + 1 : year, month == 12 ? 1 : month + 1, 1);
            while (day + 7 < next) day += 7;
        }
    }
    return 86400.0 * (double)day + 3600.0 * hour + second;
}

static double local_time(const espi *e, double utc)
{
    double standard = utc + e->offset_s;
    if (e->dst_s == 0.0 || e->dst_from == 0 || e->dst_to == 0) return standard;
    int year = 1970 + (int)floor(standard / (365.2425 * 86400.0));
    double from = rule_s(e->dst_from, year), to = rule_s(e->dst_to, year) - e->dst_s;
    bool summer = from < to ? standard >= from && standard < to : standard >= from || standard < to;
    return standard + (summer ? e->dst_s : 0.0);
}

/* ---- units ---- */

/* Joules of one unit of a reading of `length_s`; 0 for what is no energy. Codes: UnitSymbolKind. */
static double joules(const type_row *t, double length_s)
{
    double scale = pow(10.0, t->multiplier);
    switch (t->uom) {
    case 72: return 3600.0 * scale;
    case 38: return length_s * scale;
    case 169: return 105505585.262 * scale;
    case 132: return 1055.05585262 * scale;
    case 119: return 1037.0 * 1055.05585262 * scale;          /* cubic foot of gas, as in bill_units.def */
    case 42: return 35.3146667 * 1037.0 * 1055.05585262 * scale;
    default: return 0.0;
    }
}

static bool is_use(const type_row *t)
{
    bool delta = t->accumulation == 4 || t->accumulation < 0 || (t->uom == 38 && t->accumulation == 12);
    return joules(t, 1.0) > 0.0 && delta && (t->flow == 1 || t->flow < 0);
}

static const type_row *find_type(const espi *e, const char *self)
{
    for (size_t i = 0; i < e->types; i++)
        if (strcmp(e->type[i].self, self) == 0) return &e->type[i];
    return NULL;
}

/* The type of the block's readings: through the meter reading that its address begins with. */
static const type_row *type_of_block(const espi *e)
{
    const char *address = e->up[0] ? e->up : e->self;
    for (size_t i = 0; i < e->meters && address[0]; i++) {
        size_t n = strlen(e->meter[i].self);
        if (n && strncmp(address, e->meter[i].self, n) == 0 && (address[n] == 0 || address[n] == '/')) return find_type(e, e->meter[i].type);
    }
    return NULL;
}

/* ---- elements ---- */

static void take_link(espi *e, const char **attribute)
{
    const char *rel = "", *href = "";
    for (; *attribute; attribute += 2) {
        if (strcmp(attribute[0], "rel") == 0) rel = attribute[1];
        if (strcmp(attribute[0], "href") == 0) href = attribute[1];
    }
    if (strlen(href) >= HREF) return; /* an address that long cannot be matched */
    if (strcmp(rel, "self") == 0) snprintf(e->self, HREF, "%s", href);
    else if (strcmp(rel, "up") == 0) snprintf(e->up, HREF, "%s", href);
    else if (strcmp(rel, "related") == 0 && strstr(href, "ReadingType")) snprintf(e->related, HREF, "%s", href);
}

static void XMLCALL on_start(void *ctx, const char *full, const char **attribute)
{
    espi *e = ctx;
    const char *name = local_name(full);
    if (++e->depth > DEEPEST) {
        fail(e, TUFA_RANGE, "", "the elements are nested too deep for an ESPI file");
        return;
    }
    e->len = 0;
    if (strcmp(name, "entry") == 0) e->self[0] = e->up[0] = e->related[0] = 0;
    else if (strcmp(name, "link") == 0) take_link(e, attribute);
    else if (strcmp(name, "ReadingType") == 0) {
        e->in_type = true;
        e->now = (type_row){.uom = 72, .flow = -1, .accumulation = -1, .commodity = -1};
        snprintf(e->now.self, HREF, "%s", e->self);
    } else if (strcmp(name, "IntervalBlock") == 0) {
        e->in_block = true;
        const type_row *t = e->pass == 2 ? type_of_block(e) : NULL;
        e->block_counts = !t || !e->chosen || t == e->chosen;
        if (e->pass == 2 && !e->block_counts) e->out->other_blocks++;
    } else if (e->in_block && strcmp(name, "IntervalReading") == 0) {
        e->in_reading = true;
        e->reading_depth = e->depth;
        e->has_value = e->has_start = false;
        e->quality = 0;
        e->duration = 0.0;
    } else if (e->in_reading && strcmp(name, "timePeriod") == 0) e->in_period = true;
    else if (strcmp(name, "LocalTimeParameters") == 0 || strcmp(name, "TimeConfiguration") == 0) e->in_time = true;
}

static void XMLCALL on_text(void *ctx, const char *s, int n)
{
    espi *e = ctx;
    if (!e->in_type && !e->in_reading && !e->in_time) return;
    size_t room = TEXT - 1 - e->len, take = (size_t)n < room ? (size_t)n : room;
    memcpy(e->text + e->len, s, take);
    e->len += take;
}

static double number(espi *e, const char *what)
{
    char *end;
    e->text[e->len] = 0;
    double x = strtod(e->text, &end);
    while (*end == ' ' || *end == '\n' || *end == '\t' || *end == '\r') end++;
    if (*end || end == e->text || !isfinite(x)) {
        fail(e, TUFA_PARSE, e->text, what);
        return 0.0;
    }
    return x;
}

static int whole(espi *e, const char *what)
{
    double x = number(e, what);
    if (fabs(x) < 1e6) return (int)x;
    fail(e, TUFA_RANGE, e->text, what);
    return 0;
}

static void end_in_type(espi *e, const char *name)
{
    const char *why = "this is not a number of a ReadingType";
    if (strcmp(name, "powerOfTenMultiplier") == 0) {
        e->now.multiplier = whole(e, why);
        if (abs(e->now.multiplier) > 12) fail(e, TUFA_RANGE, e->text, "powerOfTenMultiplier lies between -12 and 12");
    } else if (strcmp(name, "uom") == 0) e->now.uom = whole(e, why);
    else if (strcmp(name, "flowDirection") == 0) e->now.flow = whole(e, why);
    else if (strcmp(name, "accumulationBehaviour") == 0) e->now.accumulation = whole(e, why);
    else if (strcmp(name, "commodity") == 0) e->now.commodity = whole(e, why);
    else if (strcmp(name, "intervalLength") == 0) e->now.interval_s = number(e, why);
    else if (strcmp(name, "ReadingType") == 0) {
        e->in_type = false;
        if (e->pass == 1 && e->types < MOST_TYPES) e->type[e->types++] = e->now;
    }
}

static void end_in_time(espi *e, const char *name)
{
    const char *why = "this is not a number of a time configuration";
    if (strcmp(name, "tzOffset") == 0) e->offset_s = number(e, why);
    else if (strcmp(name, "dstOffset") == 0) e->dst_s = number(e, why);
    else if (strcmp(name, "dstStartRule") == 0) e->text[e->len] = 0, e->dst_from = strtoul(e->text, NULL, 16);
    else if (strcmp(name, "dstEndRule") == 0) e->text[e->len] = 0, e->dst_to = strtoul(e->text, NULL, 16);
    else if (strcmp(name, "LocalTimeParameters") == 0 || strcmp(name, "TimeConfiguration") == 0) e->in_time = false;
}

static void hand_on(espi *e)
{
    static const type_row PLAIN = {.uom = 72};
    const type_row *t = e->chosen ? e->chosen : &PLAIN;
    double length = e->duration > 0.0 ? e->duration : t->interval_s;
    if (!e->has_value || !e->has_start || length <= 0.0) {
        e->out->empty++;
        return;
    }
    if (e->value < 0.0) {
        char given[32];
        snprintf(given, sizeof given, "%g", e->value);
        fail(e, TUFA_RANGE, given, "use below nothing: power sold back? tufa takes what the house used");
        return;
    }
    e->out->readings++;
    /* codes of QualityOfReading: estimated, interpolated, doubtful */
    if (e->quality >= 8 && e->quality <= 10) e->out->estimated++;
    tufa_status st = e->fn(e->ctx, local_time(e, e->start), length, e->value * joules(t, length));
    if (st.code == TUFA_OK) return;
    e->failed = true;
    note_from_status(e->note, st);
    csv_where(e->note, e->name, (size_t)XML_GetCurrentLineNumber(e->parser));
    XML_StopParser(e->parser, XML_FALSE);
}

static void end_in_reading(espi *e, const char *name)
{
    const char *why = "this is not a number of an IntervalReading";
    if (e->in_period && strcmp(name, "start") == 0) e->start = number(e, why), e->has_start = true;
    else if (e->in_period && strcmp(name, "duration") == 0) e->duration = number(e, why);
    else if (strcmp(name, "timePeriod") == 0) e->in_period = false;
    else if (strcmp(name, "value") == 0 && e->depth == e->reading_depth + 1) e->value = number(e, why), e->has_value = true;
    else if (strcmp(name, "quality") == 0) e->quality = whole(e, why);
    else if (strcmp(name, "IntervalReading") == 0) {
        e->in_reading = e->in_period = false;
        if (e->pass == 2 && e->block_counts) hand_on(e);
    }
}

static void XMLCALL on_end(void *ctx, const char *full)
{
    espi *e = ctx;
    const char *name = local_name(full);
    if (e->failed) return;
    if (e->in_type) end_in_type(e, name);
    else if (e->in_reading) end_in_reading(e, name);
    else if (e->in_time) end_in_time(e, name);
    else if (strcmp(name, "IntervalBlock") == 0) e->in_block = false;
    else if (strcmp(name, "MeterReading") == 0 && e->pass == 1 && e->meters < MOST_TYPES) {
        snprintf(e->meter[e->meters].self, HREF, "%s", e->self);
        snprintf(e->meter[e->meters++].type, HREF, "%s", e->related);
    } else if (strcmp(name, "entry") == 0 && e->pass == 1 && e->meters && !e->meter[e->meters - 1].type[0] &&
               strcmp(e->meter[e->meters - 1].self, e->self) == 0) {
        snprintf(e->meter[e->meters - 1].type, HREF, "%s", e->related); /* the link stood behind the content */
    }
    e->depth--;
    e->len = 0;
}

/* No document type: nothing of ESPI needs one, and it could make a small file grow without bound. */
static void XMLCALL on_doctype(void *ctx, const char *name, const char *system, const char *public, int internal)
{
    (void)name, (void)system, (void)public, (void)internal;
    fail(ctx, TUFA_REFUSED, "", "a document type declaration has no place in an ESPI file");
}

static bool run_pass(espi *e, FILE *f, int pass)
{
    char chunk[CHUNK];
    e->pass = pass;
    e->depth = 0;
    e->in_type = e->in_reading = e->in_period = e->in_time = e->in_block = false;
    e->parser = XML_ParserCreateNS(NULL, '|');
    if (!e->parser) {
        note_set(e->note, TUFA_MEMORY, "", "", "", "");
        return false;
    }
    XML_SetUserData(e->parser, e);
    XML_SetElementHandler(e->parser, on_start, on_end);
    XML_SetCharacterDataHandler(e->parser, on_text);
    XML_SetStartDoctypeDeclHandler(e->parser, on_doctype);
    for (bool last = false; !last && !e->failed;) {
        size_t n = fread(chunk, 1, sizeof chunk, f);
        last = n < sizeof chunk;
        if (XML_Parse(e->parser, chunk, (int)n, last) == XML_STATUS_ERROR && !e->failed) {
            char why[160];
            snprintf(why, sizeof why, "this is not well-formed XML: %s", XML_ErrorString(XML_GetErrorCode(e->parser)));
            fail(e, TUFA_PARSE, "", why);
        }
    }
    if (ferror(f) && !e->failed) fail(e, TUFA_IO, "", "the file cannot be read to its end");
    XML_ParserFree(e->parser);
    return !e->failed;
}

/* The reading type that says what the house used; false when there are types and none does. */
static bool choose_type(espi *e)
{
    for (size_t i = 0; i < e->meters && !e->chosen; i++) {
        const type_row *t = find_type(e, e->meter[i].type);
        if (t && is_use(t)) e->chosen = t;
    }
    for (size_t i = 0; i < e->types && !e->chosen; i++)
        if (is_use(&e->type[i])) e->chosen = &e->type[i];
    if (e->types && !e->chosen) {
        note_set(e->note, TUFA_UNIT, "", "", "Wh, W, therm, Btu, cubic feet or cubic metres of each interval, delivered to the house",
                 "no reading type of this file is use that can be told from interval to interval");
        csv_where(e->note, e->name, 0);
        return false;
    }
    if (e->chosen) e->out->gas = e->chosen->commodity == 7 || (e->chosen->uom != 72 && e->chosen->uom != 38);
    return true;
}

bool espi_read(FILE *f, const char *name, interval_fn fn, void *ctx, interval_file *out, trouble_note *note)
{
    espi *e = calloc(1, sizeof *e);
    *out = (interval_file){0};
    if (!e) {
        note_set(note, TUFA_MEMORY, "", "", "", "");
        return false;
    }
    *e = (espi){.name = name, .note = note, .fn = fn, .ctx = ctx, .out = out};
    long start = ftell(f);
    bool ok = run_pass(e, f, 1) && choose_type(e);
    if (ok && (start < 0 || fseek(f, start, SEEK_SET) != 0)) {
        note_set(note, TUFA_IO, "", "", "", "this file cannot be read twice");
        csv_where(note, name, 0);
        ok = false;
    }
    ok = ok && run_pass(e, f, 2);
    if (ok && out->readings == 0) {
        note_set(note, TUFA_MISSING, "", "", "", "no IntervalReading with a time and a value is in this file");
        csv_where(note, name, 0);
        ok = false;
    }
    free(e);
    return ok;
}
