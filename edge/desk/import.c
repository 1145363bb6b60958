/* Tables into the book: all or nothing, with a line for each row. */
#include <dirent.h>
#include <errno.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "core/base/status.h"
#include "edge/desk/import_job.h"

const char *import_word(import_outcome o)
{
    static const char *const WORDS[] = {"new", "changed", "as before", "refused"};
    return WORDS[o];
}

/* ---- the report ---- */

static char *text_take(text *t)
{
    char *s = t->s ? t->s : strdup("");
    *t = (text){0};
    return s;
}

static void add_line(import_report *r, import_line line)
{
    if (r->lines == r->room) {
        size_t room = r->room ? r->room * 2 : 64;
        import_line *more = realloc(r->line, room * sizeof *more);
        if (!more) {
            r->out_of_memory = true;
            free(line.name);
            free(line.what);
            free(line.note);
            return;
        }
        r->line = more;
        r->room = room;
    }
    r->line[r->lines++] = line;
}

void import_report_free(import_report *r)
{
    for (size_t i = 0; i < r->lines; i++) {
        free(r->line[i].name);
        free(r->line[i].what);
        free(r->line[i].note);
    }
    for (size_t i = 0; i < r->files; i++) text_free(&r->file[i].ignored);
    free(r->line);
    *r = (import_report){0};
}

/* ---- one table ---- */

/* Trouble of the book or of memory ends the import; what a row says wrong does not. */
static bool ends_it(tufa_code code) { return code == TUFA_STORE || code == TUFA_MEMORY || code == TUFA_IO; }

static tufa_code take_row(import_row *row, const kind_row *k, const char *path, size_t file, import_report *r, trouble_note *note)
{
    text name = {0}, what = {0};
    trouble_note mine = {0};
    row->name = &name;
    row->what = &what;
    import_outcome outcome = ROW_NEW;
    tufa_code code = k->take(row, &outcome, &mine);
    import_line line = {.file = file, .line = row->table->line[row->at], .outcome = code ? ROW_REFUSED : outcome};
    if (code) {
        mine.code = code;
        csv_where(&mine, path, line.line);
        line.note = malloc(sizeof *line.note);
        if (line.note) *line.note = mine;
        else r->out_of_memory = true;
    }
    r->out_of_memory = r->out_of_memory || name.failed || what.failed;
    line.name = text_take(&name);
    line.what = text_take(&what);
    r->count[line.outcome]++;
    add_line(r, line);
    if (ends_it(code)) *note = mine;
    return ends_it(code) ? code : TUFA_OK;
}

static void name_ignored(const csv *t, const header_map *map, const kind_row *k, text *out)
{
    for (size_t at = 0; at < t->columns; at++) {
        if (!map->other[at] || (k->takes_other && k->takes_other(t->header[at]))) continue;
        if (out->len) text_add(out, ", ");
        text_add(out, t->header[at]);
    }
}

tufa_code import_table(desk *d, const kind_row *k, const csv *t, const char *from, size_t file, import_report *r, trouble_note *note)
{
    column_set columns = {0};
    header_map *map = malloc(sizeof *map);
    k->columns(&columns);
    if (!map) {
        note_set(note, TUFA_MEMORY, "", "", "", "");
        return TUFA_MEMORY;
    }
    tufa_code code = columns_map(&columns, t, d->units, k->takes_other, map, note);
    if (code) csv_where(note, from, 0);
    import_job job = {0};
    if (code == TUFA_OK) name_ignored(t, map, k, &r->file[file].ignored);
    for (size_t at = 0; code == TUFA_OK && at < t->rows; at++) {
        import_row row = {.d = d, .job = &job, .columns = &columns, .map = map, .table = t, .at = at, .from = from, .as_of = d->today};
        code = take_row(&row, k, from, file, r, note);
    }
    seen_free(&job.seen);
    free(map);
    if (code == TUFA_OK && r->out_of_memory) {
        note_set(note, TUFA_MEMORY, "", "", "", "");
        code = TUFA_MEMORY;
    }
    return code;
}

/* ---- files and folders ---- */

static const char *base_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static bool is_folder(const char *path)
{
    struct stat st;
    return strcmp(path, "-") != 0 && stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* The kind that the file's name tells: heaters.csv, my heaters 2025.csv. */
static const kind_row *kind_by_name(const char *path)
{
    const char *base = base_of(path);
    char stem[128];
    snprintf(stem, sizeof stem, "%.*s", (int)strcspn(base, "."), base);
    const kind_row *whole = kind_find(stem);
    for (size_t i = 0; !whole && i < kind_count(); i++)
        if (strstr(stem, kind_name(kind_at(i)))) whole = kind_at(i);
    return whole;
}

static tufa_code file_trouble(const char *path, trouble_note *note)
{
    note_set(note, TUFA_IO, "file", path, "", errno == ENOENT ? "there is no such file" : errno == EISDIR ? "this is a folder" : "this file cannot be read");
    return TUFA_IO;
}

static tufa_code read_one(import_report *r, size_t i, FILE *in, csv *out, trouble_note *note)
{
    import_file *f = &r->file[i];
    bool standard = !f->text && strcmp(f->path, "-") == 0;
    if (f->text && f->len == 0) {
        note_set(note, TUFA_MISSING, "file", base_of(f->path), "", "this file is empty");
        return TUFA_MISSING;
    }
    FILE *from = standard ? in : f->text ? fmemopen((void *)(uintptr_t)f->text, f->len, "rb") : fopen(f->path, "rb");
    if (!from) return file_trouble(f->path, note);
    bool ok = csv_read(from, base_of(f->path), out, note);
    if (!standard) fclose(from);
    if (!ok) return note->code;
    if (!f->kind && !standard) f->kind = kind_by_name(f->path);
    if (!f->kind) f->kind = kind_by_columns(out);
    if (f->kind) return TUFA_OK;
    csv_free(out);
    text names = {0};
    for (size_t k = 0; k < kind_count(); k++) text_addf(&names, "%s%s", k ? ", " : "", kind_name(kind_at(k)));
    note_set(note, TUFA_UNKNOWN, "kind of table", base_of(f->path), text_str(&names),
             "its columns fit no kind of table; say which it is in front of the file, and check what separates the columns");
    text_free(&names);
    return TUFA_UNKNOWN;
}

/* A folder stands for NAME.csv of each kind that is there. `paths` owns the names. */
static tufa_code open_folders(import_report *r, char *paths[IMPORT_FILES], size_t *n, trouble_note *note)
{
    for (size_t i = 0; i < r->files; i++) {
        if (r->file[i].text || !is_folder(r->file[i].path)) continue;
        const char *folder = r->file[i].path;
        size_t found = 0;
        for (size_t k = 0; k < kind_count(); k++) {
            struct stat st;
            text name = {0};
            text_addf(&name, "%s/%s.csv", folder, kind_name(kind_at(k)));
            if (stat(text_str(&name), &st) != 0 || r->files == IMPORT_FILES) {
                text_free(&name);
                continue;
            }
            paths[*n] = text_take(&name);
            import_file f = {.path = paths[(*n)++], .kind = kind_at(k)};
            if (found++ == 0) r->file[i] = f;
            else r->file[r->files++] = f;
        }
        if (found) continue;
        note_set(note, TUFA_MISSING, "folder", folder, "", "none of the tables is in this folder (heaters.csv, houses.csv, ...)");
        return TUFA_MISSING;
    }
    return TUFA_OK;
}

static tufa_code take_all(desk *d, import_report *r, csv *tables, trouble_note *note)
{
    for (size_t k = 0; k < kind_count(); k++)
        for (size_t i = 0; i < r->files; i++) {
            if (r->file[i].kind != kind_at(k)) continue;
            tufa_code code = import_table(d, kind_at(k), &tables[i], base_of(r->file[i].path), i, r, note);
            if (code) return code;
        }
    return TUFA_OK;
}

/* The first refused row speaks for all. */
static tufa_code refused(const import_report *r, trouble_note *note)
{
    for (size_t i = 0; i < r->lines; i++)
        if (r->line[i].outcome == ROW_REFUSED && r->line[i].note) {
            *note = *r->line[i].note;
            return note->code;
        }
    return TUFA_OK;
}

static tufa_code in_one_go(desk *d, import_report *r, csv *tables, bool dry_run, trouble_note *note)
{
    tufa_status st = store_begin(d->s);
    if (st.code) {
        note_from_status(note, st);
        return st.code;
    }
    tufa_code code = take_all(d, r, tables, note);
    if (code == TUFA_OK) code = refused(r, note);
    if (code || dry_run) {
        store_rollback(d->s);
        return code;
    }
    st = store_commit(d->s);
    if (st.code) note_from_status(note, st);
    r->kept = st.code == TUFA_OK;
    return st.code;
}

tufa_code desk_book_import(desk *d, import_report *r, FILE *in, bool dry_run, trouble_note *note)
{
    char *paths[IMPORT_FILES];
    size_t folders = 0, read = 0;
    csv tables[IMPORT_FILES] = {0};
    tufa_code code = open_folders(r, paths, &folders, note);
    for (; code == TUFA_OK && read < r->files; read++) code = read_one(r, read, in, &tables[read], note);
    if (code == TUFA_OK) code = in_one_go(d, r, tables, dry_run, note);
    for (size_t i = 0; i < read; i++) csv_free(&tables[i]);
    for (size_t i = 0; i < r->files; i++)
        for (size_t p = 0; p < folders; p++)
            if (r->file[i].path == paths[p]) r->file[i].path = kind_name(r->file[i].kind); /* the name goes, the kind stays */
    for (size_t p = 0; p < folders; p++) free(paths[p]);
    return code;
}
