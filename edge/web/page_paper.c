/* Documents: a list of what can be printed, and each of them as PDF. */
#include <string.h>

#include "core/base/status.h"
#include "edge/paper/document.h"
#include "edge/web/page.h"
#include "edge/web/papers.h"

static const char *option(const void *ctx, const char *name, int i)
{
    enum { MOST = 32 };
    const char *given[MOST];
    size_t n = page_values(ctx, name, given, MOST);
    return i >= 0 && (size_t)i < n ? given[i] : NULL;
}

/* What stands on paper is of this state of the book: a plan of before the last change does not do. */
static tufa_status year(const void *ctx, const year_answer **out)
{
    page *p = (page *)(uintptr_t)ctx;
    RETURN_IF(page_year(p, out));
    return p->behind ? trouble(TUFA_REFUSED, "year plan", NULL) : OK;
}

static tufa_status rounds(const void *ctx, const rounds_answer **out)
{
    page *p = (page *)(uintptr_t)ctx;
    RETURN_IF(page_rounds_of(p, out));
    return p->behind ? trouble(TUFA_REFUSED, "rounds", NULL) : OK;
}

/* A number that came with a link is that of a heater, whatever a heater may be called. */
static void name_of(const page *p, const document_row *row, char out[STORE_LABEL])
{
    const char *s = page_field(p, "heater");
    if (row->about == DOCUMENT_OF_YEAR) s = page_field(p, "year");
    if (row->about == DOCUMENT_OF_YEAR || row->about == DOCUMENT_OF_BOOK) {
        snprintf(out, STORE_LABEL, "%s", row->about == DOCUMENT_OF_YEAR ? s : "");
        return;
    }
    snprintf(out, STORE_LABEL, "%s%s", s[0] && strspn(s, "0123456789") == strlen(s) ? "#" : "", s);
}

static void put_one(page *p, const document_row *row)
{
    RAW(p->out, "<p>It shows ");
    put_html(p->out, row->what);
    RAW(p->out, ".</p>");
    put_ask_form(p, "/paper");
    put_hidden(p, "document", row->word);
    if (row->about == DOCUMENT_OF_YEAR) put_input(p, "year", "Year", page_field(p, "year"), "As 2026; empty for the present one");
    else if (row->about != DOCUMENT_OF_BOOK) put_input(p, "heater", "Heater", page_field(p, "heater"), row->about == DOCUMENT_OF_HEATER ? "Its name or number" : "Its name or number; empty for a blank form");
    const document_option_row *o;
    for (size_t i = 0; (o = document_option_at(i)) != NULL; i++)
        if (document_asks(row, o->name)) put_input(p, o->name, o->label, page_field(p, o->name), o->hint);
    put_form_end(p, "Make the PDF");
    if (strcmp(row->word, "notice") == 0) {
        RAW(p->out, "<p>");
        put_link(p->out, "/notice", "The text of the notice, to change it");
        RAW(p->out, "</p>");
    }
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
    char heater[STORE_LABEL];
    name_of(p, row, heater);
    document_ask ask = {.d = p->d, .name = heater, .option = option, .ctx = p, .year = year, .rounds = rounds};
    page_title(p, row->title);
    if (row->about == DOCUMENT_OF_HEATER && !ask.name[0]) note_set(&p->note, TUFA_MISSING, "heater", "", "its name or number", "say which heater");
    if (p->note.code == TUFA_OK && document_make(row, &ask, &f, &p->note) == TUFA_OK) page_send(p, "application/pdf", NULL, &f.pdf);
    else put_wrong(p, row);
    return OK;
}

tufa_status page_paper(page *p)
{
    const char *word = page_field(p, "document");
    page_keep(p); /* the list; a document that is sent is not kept */
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
        return OK;
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
    return OK;
}

/* To the form of a document, with its heater filled in. */
static void put_ask_link(text *t, const document_row *row, int64_t heater, const char *words)
{
    RAW(t, "<a href=\"/paper?ask=1&amp;document=");
    put_query(t, row->word);
    text_addf(t, "&amp;heater=%lld\">", (long long)heater);
    put_html(t, words);
    RAW(t, "</a>");
}

void put_papers(text *t, int64_t heater)
{
    const document_row *row;
    RAW(t, "<h2 id=\"paper\">Paper</h2><ul>");
    for (size_t i = 0; (row = document_at(i)) != NULL; i++) {
        if (row->about == DOCUMENT_OF_BOOK || row->about == DOCUMENT_OF_YEAR || document_asks(row, "price")) continue; /* a quote has its own page */
        RAW(t, "<li>");
        put_document_link(t, row->word, "heater", heater, row->title);
        RAW(t, ": ");
        put_html(t, row->what);
        if (row->asks[0]) {
            RAW(t, " (");
            put_ask_link(t, row, heater, "with more said");
            RAW(t, ")");
        }
        RAW(t, "</li>");
    }
    RAW(t, "</ul>");
}
