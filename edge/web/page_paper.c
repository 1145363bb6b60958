/* Documents: a list of what can be printed, and each of them as PDF. */
#include <string.h>

#include "edge/paper/document.h"
#include "edge/web/page.h"

static const char *option(const void *ctx, const char *name) { return page_field(ctx, name); }

/* The page is the site's, and its year plan is kept there. */
static tufa_status year(const void *ctx, const year_answer **out) { return page_year((page *)(uintptr_t)ctx, out); }

static void put_one(page *p, const document_row *row)
{
    put_heading(p->out, row->title);
    RAW(p->out, "<p>It shows ");
    put_html(p->out, row->what);
    RAW(p->out, ".</p>");
    put_ask_form(p, "/paper");
    put_hidden(p, "document", row->word);
    if (row->about != DOCUMENT_OF_BOOK) put_input(p, "heater", "Heater", page_field(p, "heater"), row->about == DOCUMENT_OF_HEATER ? "Its name or number" : "Its name or number; empty for a blank form");
    const document_option_row *o;
    for (size_t i = 0; (o = document_option_at(i)) != NULL; i++)
        if (document_asks(row, o->name)) put_input(p, o->name, o->label, page_field(p, o->name), o->hint);
    put_form_end(p, "Make the PDF");
}

/* The form again, with what was asked and the message on top and beside its field. */
static void put_wrong(page *p, const document_row *row)
{
    text words = {0};
    say_trouble(&words, &p->note);
    p->a->code = p->note.code == TUFA_MISSING ? 404 : 422;
    RAW(p->out, "<p class=\"error\" role=\"alert\">");
    put_html_text(p->out, &words);
    RAW(p->out, "</p>");
    text_free(&words);
    put_one(p, row);
}

static tufa_status send_document(page *p, const document_row *row)
{
    document_file f;
    document_ask ask = {.d = p->d, .name = page_field(p, "heater"), .option = option, .ctx = p, .year = year};
    page_title(p, row->title);
    if (row->about == DOCUMENT_OF_HEATER && !ask.name[0]) note_set(&p->note, TUFA_MISSING, "heater", "", "its name or number", "say which heater");
    if (p->note.code == TUFA_OK && document_make(row, &ask, &f, &p->note) == TUFA_OK) page_send(p, "application/pdf", NULL, &f.pdf);
    else put_wrong(p, row);
    return (tufa_status){.code = TUFA_OK};
}

tufa_status page_paper(page *p)
{
    const char *word = page_field(p, "document");
    const document_row *row = document_find(word);
    bool about = row && row->about != DOCUMENT_OF_HEATER; /* enough is said to make it */
    if (row && (about || page_field(p, "heater")[0]) && !page_field(p, "ask")[0]) return send_document(p, row);
    if (word[0] && !row) {
        note_set(&p->note, TUFA_UNKNOWN, "document", word, "", "there is no such document; the list below has them all");
        return (tufa_status){.code = TUFA_UNKNOWN};
    }
    if (row) {
        page_title(p, row->title);
        put_one(p, row);
        return (tufa_status){.code = TUFA_OK};
    }
    put_paragraph(p->out, "Everything here is one PDF, made from the book as it stands. Size of paper and units are settings of the book.");
    RAW(p->out, "<ul>");
    for (size_t i = 0; (row = document_at(i)) != NULL; i++) {
        RAW(p->out, "<li><a href=\"/paper?ask=1&amp;document=");
        put_query(p->out, row->word);
        RAW(p->out, "\">");
        put_html(p->out, row->title);
        RAW(p->out, "</a>: ");
        put_html(p->out, row->what);
        RAW(p->out, "</li>");
    }
    RAW(p->out, "</ul>");
    return (tufa_status){.code = TUFA_OK};
}
