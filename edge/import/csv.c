#include "edge/import/csv.h"

#include <stdlib.h>
#include <string.h>

typedef unsigned char byte;

void csv_where(trouble_note *note, const char *name, size_t line)
{
    if (line) snprintf(note->where, sizeof note->where, "%.60s line %zu", name, line);
    else snprintf(note->where, sizeof note->where, "%.60s", name);
}

static bool fail(trouble_note *note, const char *name, size_t line, tufa_code code, const char *value, const char *allowed,
                 const char *why)
{
    note_set(note, code, "", value, allowed, why);
    csv_where(note, name, line);
    return false;
}

/* Length of the UTF-8 character at s, of which n bytes are there; 0 when it is none (overlong, surrogate, cut). */
static size_t utf8_length(const byte *s, size_t n)
{
    byte c = s[0];
    if (c < 0x80) return 1;
    size_t len = c >= 0xF0 ? 4 : c >= 0xE0 ? 3 : 2;
    if (c < 0xC2 || c > 0xF4 || n < len) return 0;
    for (size_t i = 1; i < len; i++)
        if ((s[i] & 0xC0) != 0x80) return 0;
    if (c == 0xE0 && s[1] < 0xA0) return 0;
    if (c == 0xED && s[1] > 0x9F) return 0;
    if (c == 0xF0 && s[1] < 0x90) return 0;
    if (c == 0xF4 && s[1] > 0x8F) return 0;
    return len;
}

/* UTF-8 throughout, no zero bytes, no line too long. */
static bool bytes_are_text(const char *s, size_t n, const char *name, trouble_note *note)
{
    const byte *b = (const byte *)s;
    if (n >= 2 && ((b[0] == 0xFF && b[1] == 0xFE) || (b[0] == 0xFE && b[1] == 0xFF)))
        return fail(note, name, 0, TUFA_PARSE, "", "", "this file is UTF-16; save it as CSV in UTF-8");
    size_t line = 1, start = 0;
    for (size_t i = 0; i < n;) {
        size_t len = utf8_length(b + i, n - i);
        if (len == 0) return fail(note, name, line, TUFA_PARSE, "", "", "this is not UTF-8 text; save the file as CSV in UTF-8");
        if (b[i] == 0) return fail(note, name, line, TUFA_PARSE, "", "", "there is a zero byte; this is no text file");
        if (b[i] == '\n' || (b[i] == '\r' && (i + 1 == n || b[i + 1] != '\n'))) {
            line++;
            start = i + 1;
        }
        if (i + len > start + CSV_LONGEST_LINE)
            return fail(note, name, line, TUFA_RANGE, "", "at most 1,000,000 bytes", "this line is too long");
        i += len;
    }
    return true;
}

/* The separator that the header line holds most of, outside quotes; 0 when another sign was used, ',' for one column. */
static char find_delimiter(const char *s)
{
    static const char CANDIDATES[] = ",;\t|";
    size_t count[4] = {0}, best = 0;
    bool quoted = false;
    for (; *s && (quoted || (*s != '\n' && *s != '\r')); s++) {
        if (*s == '"') quoted = !quoted;
        const char *at = quoted ? NULL : strchr(CANDIDATES, *s);
        if (at) count[at - CANDIDATES]++;
    }
    for (size_t i = 1; i < 4; i++)
        if (count[i] > count[best]) best = i;
    if (best == 3) return 0;
    return CANDIDATES[best];
}

typedef struct reader {
    char *at; /* next byte to read */
    size_t line, record_line;
    char delimiter;
    const char *name;
    trouble_note *note;
} reader;

static bool at_line_end(char c) { return c == '\n' || c == '\r' || c == 0; }

/* Past one line end; CRLF counts once. */
static void skip_line_end(reader *r)
{
    if (*r->at == 0) return;
    if (r->at[0] == '\r' && r->at[1] == '\n') r->at++;
    r->at++;
    r->line++;
}

/* A field within quotes, unpacked in place; the caller stands on the first quote. */
static bool take_quoted(reader *r, char **field, char *end_sign)
{
    char *to = ++r->at, *from = r->at;
    *field = to;
    size_t start_line = r->line;
    for (;; from++) {
        if (*from == 0) return fail(r->note, r->name, start_line, TUFA_PARSE, "", "", "a quotation mark is opened here and never closed");
        if (*from == '\n') r->line++;
        if (*from == '"' && from[1] != '"') break;
        if (*from == '"') from++;
        *to++ = *from;
    }
    from++;
    while (*from == ' ') from++;
    if (*from != r->delimiter && !at_line_end(*from))
        return fail(r->note, r->name, r->line, TUFA_PARSE, "", "", "there is text behind a closing quotation mark");
    *end_sign = *from; /* read before the terminator may overwrite it */
    r->at = from;
    *to = 0;
    return true;
}

static bool take_bare(reader *r, char **field, char *end_sign)
{
    char *start = r->at, *end;
    for (end = start; *end != r->delimiter && !at_line_end(*end); end++)
        if (*end == '"')
            return fail(r->note, r->name, r->line, TUFA_PARSE, "", "", "a quotation mark stands inside a field that does not begin with one");
    *end_sign = *end;
    r->at = end;
    while (end > start && (end[-1] == ' ' || end[-1] == '\t')) end--;
    if (end < r->at) *end = 0;
    *field = start;
    return true;
}

/* One record: its fields into `fields`, which has room for CSV_MOST_COLUMNS. n = 0 for a blank line. */
static bool take_record(reader *r, char **fields, size_t *n)
{
    *n = 0;
    r->record_line = r->line;
    bool any = false;
    for (;;) {
        while (*r->at == ' ') r->at++;
        if (*n == CSV_MOST_COLUMNS) return fail(r->note, r->name, r->line, TUFA_RANGE, "", "at most 400", "there are too many columns");
        char end_sign, *where;
        if (!(*r->at == '"' ? take_quoted(r, &fields[*n], &end_sign) : take_bare(r, &fields[*n], &end_sign))) return false;
        where = r->at;
        if (end_sign != r->delimiter) {
            skip_line_end(r);
            *where = 0;
            any = any || *fields[*n];
            (*n)++;
            break;
        }
        *where = 0;
        r->at++;
        any = any || *fields[*n];
        (*n)++;
    }
    if (!any) *n = 0;
    return true;
}

static bool reserve(csv *t, size_t *room, const char *name, trouble_note *note)
{
    if (t->rows < *room) return true;
    if (t->rows >= CSV_MOST_ROWS) return fail(note, name, 0, TUFA_RANGE, "", "at most 1,000,000", "there are too many rows");
    size_t more = *room ? *room * 2 : 64;
    char **cell = realloc(t->cell, more * t->columns * sizeof *cell);
    if (cell) t->cell = cell;
    size_t *line = cell ? realloc(t->line, more * sizeof *line) : NULL;
    if (line) t->line = line;
    if (!line) return fail(note, name, 0, TUFA_MEMORY, "", "", "");
    *room = more;
    return true;
}

static bool take_header(reader *r, csv *t, char **fields)
{
    size_t n = 0;
    while (n == 0 && *r->at)
        if (!take_record(r, fields, &n)) return false;
    if (n == 0) return fail(r->note, r->name, 0, TUFA_MISSING, "", "", "the file is empty; its first line must name the columns");
    while (n > 1 && fields[n - 1][0] == 0) n--; /* spreadsheets add empty columns at the end */
    t->columns = n;
    t->header = malloc(n * sizeof *t->header);
    if (!t->header) return fail(r->note, r->name, 0, TUFA_MEMORY, "", "", "");
    memcpy(t->header, fields, n * sizeof *t->header);
    return true;
}

static bool take_rows(reader *r, csv *t, char **fields)
{
    size_t room = 0, n;
    while (*r->at) {
        if (!take_record(r, fields, &n)) return false;
        if (n == 0) continue;
        while (n > t->columns && fields[n - 1][0] == 0) n--;
        if (n != t->columns) {
            char why[120];
            snprintf(why, sizeof why, "this line has %zu fields, the header has %zu", n, t->columns);
            return fail(r->note, r->name, r->record_line, TUFA_PARSE, "", "", why);
        }
        if (!reserve(t, &room, r->name, r->note)) return false;
        memcpy(t->cell + t->rows * t->columns, fields, n * sizeof *fields);
        t->line[t->rows++] = r->record_line;
    }
    return true;
}

/* `bytes` is owned from here on and ends with a zero byte. */
static bool parse_owned(char *bytes, size_t len, const char *name, csv *out, trouble_note *note)
{
    csv t = {.text = bytes};
    char **fields = malloc(CSV_MOST_COLUMNS * sizeof *fields);
    bool ok = fields != NULL || fail(note, name, 0, TUFA_MEMORY, "", "", "");
    ok = ok && bytes_are_text(bytes, len, name, note);
    reader r = {.at = bytes, .line = 1, .name = name, .note = note};
    if (ok && len >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) r.at += 3;
    if (ok) {
        r.at += strspn(r.at, "\r\n \t"); /* blank lines above the header do not count for the separator */
        for (const char *p = bytes; p < r.at; p++) r.line += *p == '\n';
        r.delimiter = t.delimiter = find_delimiter(r.at);
        if (r.delimiter == 0)
            ok = fail(note, name, r.line, TUFA_PARSE, "|", "comma, semicolon or tab", "the columns seem to be separated by a sign that is not taken");
    }
    ok = ok && take_header(&r, &t, fields) && take_rows(&r, &t, fields);
    free(fields);
    if (!ok) csv_free(&t);
    else *out = t;
    return ok;
}

bool csv_parse(const char *given, size_t len, const char *name, csv *out, trouble_note *note)
{
    char *bytes = len < CSV_MOST_BYTES ? malloc(len + 1) : NULL;
    if (!bytes) return fail(note, name, 0, TUFA_MEMORY, "", "", "the file is too large");
    if (len) memcpy(bytes, given, len);
    bytes[len] = 0;
    return parse_owned(bytes, len, name, out, note);
}

bool csv_read(FILE *f, const char *name, csv *out, trouble_note *note)
{
    size_t room = 65536, len = 0;
    char *bytes = malloc(room);
    for (size_t got = 1; bytes && got; len += got) {
        if (len + 1 >= room) {
            if (room >= CSV_MOST_BYTES) {
                free(bytes);
                return fail(note, name, 0, TUFA_RANGE, "", "at most 256 MB", "the file is too large");
            }
            char *more = realloc(bytes, room *= 2);
            if (!more) free(bytes);
            bytes = more;
            if (!bytes) break;
        }
        got = fread(bytes + len, 1, room - len - 1, f);
    }
    if (!bytes) return fail(note, name, 0, TUFA_MEMORY, "", "", "");
    if (ferror(f)) {
        free(bytes);
        return fail(note, name, 0, TUFA_IO, "", "", "the file could not be read");
    }
    bytes[len] = 0;
    return parse_owned(bytes, len, name, out, note);
}

void csv_free(csv *t)
{
    free(t->text);
    free(t->header);
    free(t->cell);
    free(t->line);
    *t = (csv){0};
}

static void put(char *out, size_t room, size_t *n, char c)
{
    if (*n + 1 < room) out[(*n)++] = c;
}

void csv_plain_name(const char *header, char *out, size_t room)
{
    size_t n = 0;
    bool gap = false;
    for (const char *p = header; *p; p++) {
        const char *instead = NULL;
        char c = *p;
        if (strncmp(p, "\xC2\xB0", 2) == 0) instead = "deg";                                          /* degree sign */
        if (strncmp(p, "\xC2\xB5", 2) == 0 || strncmp(p, "\xCE\xBC", 2) == 0) instead = "u";          /* micro signs */
        if (c >= 'A' && c <= 'Z') c = (char)(c - 'A' + 'a');
        bool word = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
        if (!word && !instead) {
            if (!((byte)c & 0x80)) gap = true;
            continue;
        }
        if (gap && n) put(out, room, &n, '_');
        gap = false;
        if (instead) {
            while (*instead) put(out, room, &n, *instead++);
            p++;
        } else put(out, room, &n, c);
    }
    if (room) out[n] = 0;
}
