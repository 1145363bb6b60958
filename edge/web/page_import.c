/* A table into the book: first what would be taken, row by row, then the taking. */
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/book.h"
#include "edge/web/site_inner.h"

enum { MOST_LINES = 2000 };

static void put_what_is_taken(page *p)
{
    static const char *const heads[] = {"Table", "A row is", "An empty form", NULL};
    text w = {0};
    put_heading(p->out, "Which tables are taken");
    put_paragraph(p->out, "One table a file, its columns named in its first line; comma, semicolon or tab. Units stand in the header (volume_gal, "
                          "setpoint_f) or in the cell; any figure may be \"about 10\", \"8..12\" or \"?\". The file's name or its columns tell which table it is.");
    table_begin(p->out, "Tables", false, heads);
    for (size_t i = 0; i < kind_count(); i++) {
        const kind_row *k = kind_at(i);
        row_begin(p->out);
        cell_head(p->out, kind_name(k));
        cell(p->out, kind_what(k));
        kind_blank(k, p->d->units, &w);
        RAW(p->out, "<td><code>");
        put_html_text(p->out, &w);
        RAW(p->out, "</code></td>");
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

static void put_send_form(page *p)
{
    enum { MOST = 16 };
    pick picks[MOST];
    size_t n = 0;
    picks[n++] = (pick){"", "as its name or its columns tell"};
    for (size_t i = 0; i < kind_count() && n < MOST; i++, n++) picks[n] = (pick){kind_name(kind_at(i)), kind_name(kind_at(i))};
    put_paragraph(p->out, "Nothing is kept before you have seen, row by row, what would be taken.");
    put_form(p, "/import");
    put_file(p, "file", "A table as a file", ".csv,.tsv,.txt,text/csv", "CSV, as any spreadsheet saves it");
    put_textarea(p, "rows", "Or its rows, pasted", "", "With the line of column names on top");
    put_select(p, "kind", "Which table it is", picks, n, "", NULL);
    put_form_end(p, "See what would be taken");
}

static void put_line(page *p, const import_line *l, text *w)
{
    row_begin(p->out);
    text_addf(w, "%zu", l->line);
    cell_figure_words(p->out, w);
    cell_head(p->out, l->name);
    cell(p->out, import_word(l->outcome));
    if (l->note) {
        trouble_note n = *l->note;
        n.where[0] = 0; /* the line has its own column */
        say_trouble(w, &n);
    } else {
        text_add(w, l->what);
    }
    cell_words(p->out, w);
    row_end(p->out);
}

static void put_report(page *p, const import_report *r)
{
    static const char *const heads[] = {"=Line", "About", "Outcome", "What", NULL};
    text w = {0};
    text_addf(&w, "%s: %zu new, %zu changed, %zu as before, %zu refused.", r->file[0].path, r->count[ROW_NEW], r->count[ROW_CHANGED],
              r->count[ROW_SAME], r->count[ROW_REFUSED]);
    if (r->file[0].kind) text_addf(&w, " Taken as a table of %s.", kind_name(r->file[0].kind));
    if (r->file[0].ignored.len) text_addf(&w, " Columns that are not taken: %s.", text_str(&r->file[0].ignored));
    put_paragraph_words(p->out, &w);
    table_begin(p->out, "Row by row", true, heads);
    for (size_t i = 0; i < r->lines && i < MOST_LINES; i++)
        if (r->line[i].outcome == ROW_REFUSED) put_line(p, &r->line[i], &w);
    for (size_t i = 0, shown = 0; i < r->lines && shown < MOST_LINES; i++)
        if (r->line[i].outcome != ROW_REFUSED) put_line(p, &r->line[i], &w), shown++;
    table_end(p->out);
    if (r->lines > MOST_LINES) put_paragraph(p->out, "Further rows are not shown.");
    text_free(&w);
}

/* The table that waits to be taken: shown anew, as it would be taken now. */
static void put_waiting(page *p, const pending *q)
{
    import_report r = {.files = 1};
    trouble_note note = {0};
    r.file[0] = (import_file){.path = q->name, .text = q->text, .len = q->len, .kind = q->kind[0] ? kind_find(q->kind) : NULL};
    tufa_code code = desk_book_import(p->d, &r, NULL, true, &note);
    put_heading(p->out, "What would be taken");
    if (r.lines == 0 && code != TUFA_OK) {
        put_trouble(p, &note);
    } else {
        put_report(p, &r);
        if (r.count[ROW_REFUSED]) {
            put_paragraph(p->out, "As long as a row is refused nothing of the table is taken. Mend those rows and send it again.");
        } else {
            put_form(p, "/import");
            put_hidden_id(p, "waiting", q->number);
            put_form_end(p, "Take it into the book");
        }
    }
    import_report_free(&r);
}

tufa_status page_import(page *p)
{
    site *s = p->site;
    long n = page_number(p, "waiting", 1, 1000000000, 0);
    if (n && s->waiting.text && s->waiting.number == (unsigned)n) put_waiting(p, &s->waiting);
    else if (n) put_paragraph(p->out, "That table is not here any more. Send it again.");
    if (n) put_heading(p->out, "Another table");
    put_send_form(p);
    put_what_is_taken(p);
    return OK;
}

static const web_field *sent_table(const page *p)
{
    const web_field *rows = NULL;
    for (int i = 0; i < p->r->fields; i++) {
        const web_field *f = &p->r->field[i];
        if (strcmp(f->name, "file") == 0 && f->file && f->len) return f;
        if (strcmp(f->name, "rows") == 0 && f->len) rows = f;
    }
    return rows;
}

static tufa_status hold(page *p)
{
    site *s = p->site;
    const web_field *f = sent_table(p);
    char to[64];
    if (!f) {
        note_set(&p->note, TUFA_MISSING, "file", "", "", "choose a file, or paste rows below");
        return page_noted(p, TUFA_MISSING);
    }
    char *copy = malloc(f->len + 1);
    if (!copy) return trouble(TUFA_MEMORY, "table", NULL);
    memcpy(copy, f->value, f->len + 1);
    free(s->waiting.text);
    s->waiting = (pending){.number = ++s->said, .text = copy, .len = f->len};
    const char *slash = f->file ? strrchr(f->file, '/') : NULL;
    snprintf(s->waiting.name, sizeof s->waiting.name, "%s", slash ? slash + 1 : f->file ? f->file : "pasted rows");
    snprintf(s->waiting.kind, sizeof s->waiting.kind, "%s", kind_find(page_field(p, "kind")) ? page_field(p, "kind") : "");
    snprintf(to, sizeof to, "/import?waiting=%u", s->waiting.number);
    page_go(p, to);
    return OK;
}

tufa_status take_table(page *p)
{
    site *s = p->site;
    long n = page_number(p, "waiting", 1, 1000000000, 0);
    if (n == 0) return hold(p);
    if (!s->waiting.text || s->waiting.number != (unsigned)n) {
        note_set(&p->note, TUFA_MISSING, "table", "", "", "that table is not here any more; send it again");
        return page_noted(p, TUFA_MISSING);
    }
    import_report r = {.files = 1};
    pending *q = &s->waiting;
    r.file[0] = (import_file){.path = q->name, .text = q->text, .len = q->len, .kind = q->kind[0] ? kind_find(q->kind) : NULL};
    tufa_code code = desk_book_import(p->d, &r, NULL, false, &p->note);
    text words = {0};
    text_addf(&words, "%s: %zu new, %zu changed, %zu as before. All of it is in the book now.", q->name, r.count[ROW_NEW], r.count[ROW_CHANGED],
              r.count[ROW_SAME]);
    import_report_free(&r);
    if (code == TUFA_OK) {
        free(q->text);
        *q = (pending){0};
        page_go_saying(p, "/import", text_str(&words));
    }
    text_free(&words);
    return page_noted(p, code);
}
