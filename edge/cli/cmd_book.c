/* `tufa book ...`: the record file, tables in and out. */
#include <errno.h>
#include <jansson.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "edge/cli/book_args.h"
#include "edge/desk/book.h"

/* ---- new, backup, check ---- */

static int too_many(cli *c, const char *allowed)
{
    trouble_note note = {0};
    note_set(&note, TUFA_RANGE, "words", c->operands ? c->operand[c->operands - 1] : "", allowed, "these are not the words that this command takes");
    return cli_fail(c, &note);
}

int cmd_book_new(cli *c)
{
    if (c->operands > 1) return too_many(c, "one file name, or none");
    const char *path = c->operands ? c->operand[0] : cli_book(c);
    tufa_status st = desk_book_new(path);
    if (st.code) {
        trouble_note note = {0};
        note_set(&note, st.code, "book", path, "", st.why);
        return cli_fail(c, &note);
    }
    text t = {0};
    text_addf(&t, "Made the book %s. Next: `tufa book import FILE.csv`; `tufa help book` says which tables it takes.\n", path);
    return cli_finish(c, &t, 0);
}

int cmd_book_backup(cli *c)
{
    desk d;
    if (c->operands != 1) return too_many(c, "the name of the copy");
    int code = cli_open(c, false, &d);
    if (code) return code;
    tufa_status st = desk_book_backup(&d, c->operand[0]);
    desk_close(&d);
    if (st.code) {
        trouble_note note = {0};
        note_set(&note, st.code, "copy", c->operand[0], "", st.why);
        return cli_fail(c, &note);
    }
    text t = {0};
    text_addf(&t, "Copied to %s, and checked the copy. It is a book like any other: `tufa year --book %s`.\n", c->operand[0], c->operand[0]);
    return cli_finish(c, &t, 0);
}

static void check_json(text *t, const book_check *b)
{
    json_t *o = json_pack("{s:b, s:i, s:i, s:I, s:I, s:I}", "whole", b->wrong == 0, "wrong", b->wrong, "version", b->version, "waters",
                          (json_int_t)b->waters, "houses", (json_int_t)b->houses, "heaters", (json_int_t)b->heaters);
    char *s = o ? json_dumps(o, JSON_COMPACT) : NULL;
    if (s) text_addf(t, "%s\n", s);
    else t->failed = true;
    free(s);
    json_decref(o);
}

int cmd_book_check(cli *c)
{
    desk d;
    book_check b;
    if (c->operands) return too_many(c, "none");
    int code = cli_open(c, false, &d);
    if (code) return code;
    tufa_status st = desk_book_check(&d, &b);
    desk_close(&d);
    if (st.code) return cli_fail_book(c, st);
    text t = {0};
    if (cli_opt(c, OPT_JSON)) {
        check_json(&t, &b);
    } else if (b.wrong) {
        text_add(&t, text_str(&b.report));
        text_addf(&t, "%d not as they should be. Go back to a copy made by `tufa book backup` where the file is damaged.\n", b.wrong);
    } else {
        text_add(&t, "The book is whole: ");
        say_count(&t, b.waters, "water", "waters");
        text_add(&t, ", ");
        say_count(&t, b.houses, "house", "houses");
        text_add(&t, ", ");
        say_count(&t, b.heaters, "heater", "heaters");
        text_add(&t, ".\n");
    }
    code = b.wrong ? tufa_code_exit(TUFA_STORE) : 0;
    book_check_free(&b);
    return cli_finish(c, &t, code);
}

/* ---- import ---- */

static void json_line(text *t, json_t *o)
{
    char *s = o ? json_dumps(o, JSON_COMPACT) : NULL;
    if (s) text_addf(t, "%s\n", s);
    else t->failed = true;
    free(s);
    json_decref(o);
}

static void report_json(text *t, const import_report *r, bool dry_run)
{
    for (size_t i = 0; i < r->lines; i++) {
        const import_line *l = &r->line[i];
        const import_file *f = &r->file[l->file];
        json_t *o = json_pack("{s:s, s:s, s:I, s:s, s:s, s:s}", "file", f->path, "kind", kind_name(f->kind), "line", (json_int_t)l->line, "name",
                              l->name, "outcome", import_word(l->outcome), "what", l->what);
        if (o && l->note) {
            json_object_set_new(o, "field", json_string(l->note->field));
            json_object_set_new(o, "value", json_string(l->note->value));
            json_object_set_new(o, "allowed", json_string(l->note->allowed));
            json_object_set_new(o, "why", json_string(l->note->why[0] ? l->note->why : tufa_code_words(l->note->code)));
        }
        json_line(t, o);
    }
    json_line(t, json_pack("{s:b, s:b, s:I, s:I, s:I, s:I}", "kept", r->kept, "dry_run", dry_run, "new", (json_int_t)r->count[ROW_NEW], "changed",
                           (json_int_t)r->count[ROW_CHANGED], "as_before", (json_int_t)r->count[ROW_SAME], "refused",
                           (json_int_t)r->count[ROW_REFUSED]));
}

static void say_lines(text *t, const import_report *r, size_t file)
{
    for (size_t i = 0; i < r->lines; i++) {
        const import_line *l = &r->line[i];
        if (l->file != file) continue;
        text_addf(t, "  line %-5zu %-9s  %s", l->line, import_word(l->outcome), l->name);
        if (l->what[0]) text_addf(t, ": %s", l->what);
        if (l->note) {
            trouble_note bare = *l->note;
            bare.where[0] = 0;
            text_add(t, l->name[0] ? ": " : "");
            say_trouble(t, &bare);
        } else {
            text_add(t, "\n");
        }
    }
}

static void report_words(text *t, const import_report *r, bool dry_run)
{
    for (size_t f = 0; f < r->files; f++) {
        if (!r->file[f].kind) continue;
        text_addf(t, "%s (%s)\n", r->file[f].path, kind_name(r->file[f].kind));
        if (r->file[f].ignored.len) text_addf(t, "  columns not taken: %s\n", text_str(&r->file[f].ignored));
        say_lines(t, r, f);
    }
    text_addf(t, "%zu new, %zu changed, %zu as before, %zu refused. ", r->count[ROW_NEW], r->count[ROW_CHANGED], r->count[ROW_SAME],
              r->count[ROW_REFUSED]);
    text_add(t, r->kept                 ? "All of it is in the book now.\n"
                : r->count[ROW_REFUSED] ? "Nothing was kept; the book is as it was.\n"
                : dry_run               ? "A dry run: nothing was kept; the book is as it was.\n"
                                        : "Nothing was kept; the book is as it was.\n");
}

/* A kind in front of the files holds for those behind it. */
static int take_operands(cli *c, import_report *r)
{
    const kind_row *kind = NULL;
    for (int i = 0; i < c->operands; i++) {
        const kind_row *k = kind_find(c->operand[i]);
        struct stat st;
        if (k && stat(c->operand[i], &st) != 0) {
            kind = k;
        } else if (r->files < IMPORT_FILES) {
            r->file[r->files++] = (import_file){.path = c->operand[i], .kind = kind};
        }
    }
    if (r->files) return 0;
    trouble_note note = {0};
    text kinds = {0};
    for (size_t i = 0; i < kind_count(); i++) text_addf(&kinds, "%s%s", i ? ", " : "", kind_name(kind_at(i)));
    note_set(&note, TUFA_MISSING, "file", "", text_str(&kinds), "name the CSV file to import (or - for standard input); a kind may stand in front of it");
    text_free(&kinds);
    return cli_fail(c, &note);
}

int cmd_book_import(cli *c)
{
    desk d;
    import_report r = {0};
    bool dry_run = cli_opt(c, OPT_DRY_RUN) != NULL;
    int code = take_operands(c, &r);
    if (code == 0) code = cli_open(c, true, &d);
    if (code) return code;
    trouble_note note = {0};
    tufa_code trouble = desk_book_import(&d, &r, c->in, dry_run, &note);
    desk_close(&d);
    text t = {0};
    if (r.lines || trouble == TUFA_OK) {
        if (cli_opt(c, OPT_JSON)) report_json(&t, &r, dry_run);
        else report_words(&t, &r, dry_run);
    }
    code = cli_finish(c, &t, trouble ? tufa_code_exit(trouble) : 0);
    import_report_free(&r);
    if (!trouble) return code;
    return cli_fail(c, &note);
}

/* ---- export ---- */

static int write_file(cli *c, const char *path, const text *t)
{
    trouble_note note = {0};
    FILE *f = fopen(path, "wbx");
    bool ok = f && text_print(t, f);
    int error = errno;
    if (f && fclose(f) != 0) ok = false;
    if (ok) return 0;
    if (f) remove(path);
    note_set(&note, TUFA_IO, "file", path, "", error == EEXIST ? "there is something here already; nothing was replaced" : "this file cannot be written");
    return cli_fail(c, &note);
}

static int export_one(cli *c, desk *d, const kind_row *k, const char *path)
{
    text t = {0};
    tufa_status st = desk_book_export(d, k, &t);
    if (st.code) {
        text_free(&t);
        return cli_fail_book(c, st);
    }
    if (!path) return cli_finish(c, &t, 0);
    int code = write_file(c, path, &t);
    text_free(&t);
    return code;
}

static int export_all(cli *c, desk *d, const char *folder)
{
    int code = 0;
    if (mkdir(folder, 0777) != 0 && errno != EEXIST) {
        trouble_note note = {0};
        note_set(&note, TUFA_IO, "folder", folder, "", "this folder cannot be made");
        return cli_fail(c, &note);
    }
    for (size_t i = 0; code == 0 && i < kind_count(); i++) {
        text path = {0};
        text_addf(&path, "%s/%s.csv", folder, kind_name(kind_at(i)));
        code = export_one(c, d, kind_at(i), text_str(&path));
        text_free(&path);
    }
    return code;
}

static int blank_form(cli *c, const kind_row *k)
{
    text t = {0};
    kind_blank(k, UNITS_US, &t);
    return cli_finish(c, &t, 0);
}

int cmd_book_export(cli *c)
{
    desk d;
    const kind_row *k = c->operands ? kind_find(c->operand[0]) : NULL;
    if (c->operands < 1 || c->operands > 2 || (!k && c->operands > 1)) {
        trouble_note note = {0};
        text kinds = {0};
        for (size_t i = 0; i < kind_count(); i++) text_addf(&kinds, "%s%s", i ? ", " : "", kind_name(kind_at(i)));
        note_set(&note, TUFA_MISSING, "kind", c->operands ? c->operand[0] : "", text_str(&kinds),
                 "say which kind of table, and a file where it shall not be printed; or a folder for all of them");
        text_free(&kinds);
        return cli_fail(c, &note);
    }
    if (k && cli_opt(c, OPT_BLANK)) return blank_form(c, k);
    int code = cli_open(c, false, &d);
    if (code) return code;
    code = k ? export_one(c, &d, k, c->operands > 1 ? c->operand[1] : NULL) : export_all(c, &d, c->operand[0]);
    desk_close(&d);
    return code;
}

/* ---- nothing behind it ---- */

int cmd_book(cli *c)
{
    if (c->operands == 0) return cmd_book_check(c);
    static const char *const WORDS[] = {"new", "import", "export", "backup", "check"};
    const char *near = nearest_name(c->operand[0], WORDS, sizeof WORDS / sizeof WORDS[0]);
    trouble_note note = {0};
    char why[120];
    snprintf(why, sizeof why, "there is no such command%s%s%s", near ? "; did you mean `tufa book " : "", near ? near : "", near ? "`?" : "");
    note_set(&note, TUFA_UNKNOWN, "book", c->operand[0], "new, import, export, backup, check", why);
    return cli_fail(c, &note);
}
