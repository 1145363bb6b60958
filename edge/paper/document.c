#include "edge/paper/document.h"

#include <ctype.h>
#include <string.h>

#include "edge/desk/settings.h"

static const document_row DOCUMENTS[] = {
#define DOCUMENT(id, word, about, operands, options, asks, title, what, more, make) {word, DOCUMENT_OF_##about, operands, asks, title, what, more, make},
#include "edge/paper/documents.def"
#undef DOCUMENT
};
static const document_option_row ASKS[] = {
#define ASK(name, label, hint) {name, label, hint},
#include "edge/paper/asks.def"
#undef ASK
};

size_t document_count(void) { return sizeof DOCUMENTS / sizeof DOCUMENTS[0]; }
const document_row *document_at(size_t i) { return i < document_count() ? &DOCUMENTS[i] : NULL; }
const document_option_row *document_option_at(size_t i) { return i < sizeof ASKS / sizeof ASKS[0] ? &ASKS[i] : NULL; }

const document_row *document_find(const char *word)
{
    for (size_t i = 0; i < document_count(); i++)
        if (strcmp(DOCUMENTS[i].word, word) == 0) return &DOCUMENTS[i];
    return NULL;
}

bool document_asks(const document_row *row, const char *option)
{
    size_t n = strlen(option);
    for (const char *s = row->asks; *s; s += strspn(s, " ")) {
        size_t len = strcspn(s, " ");
        if (len == n && strncmp(s, option, n) == 0) return true;
        s += len;
    }
    return false;
}

/* ---- for those who write one ---- */

const char *document_option_again(const document_ask *ask, const char *name, int i)
{
    const char *v = ask->option ? ask->option(ask->ctx, name, i) : NULL;
    return v && v[0] ? v : NULL;
}

const char *document_option(const document_ask *ask, const char *name) { return document_option_again(ask, name, 0); }

tufa_code document_fail(trouble_note *note, tufa_status st)
{
    note_from_status(note, st);
    return st.code;
}

void document_setting(const document_ask *ask, const char *name, char out[STORE_WORD])
{
    bool said;
    out[0] = 0;
    if (ask->d->s && setting_now(ask->d->s, name, out, STORE_WORD, &said).code != TUFA_OK) out[0] = 0;
}

void document_named(const document_ask *ask, paper *p, const char *title, const char *about)
{
    char owner[STORE_WORD];
    text whole = {0}, foot = {0};
    text_addf(&whole, "%s%s%s", title, about[0] ? ", " : "", about);
    document_setting(ask, "owner", owner);
    text_addf(&foot, "%s. ", text_str(&whole));
    if (owner[0]) text_addf(&foot, "%s. ", owner);
    text_add(&foot, "Made on ");
    say_day(&foot, ask->d->today);
    text_add(&foot, " by tufa, which does not see the heater.");
    paper_name(p, text_str(&whole), text_str(&foot));
    text_free(&whole);
    text_free(&foot);
}

void paper_words(paper *p, void (*put)(paper *p, const char *s), text *words)
{
    if (words->len) put(p, text_str(words));
    text_free(words);
}

/* ---- one whole document ---- */

static bool take(void *ctx, const unsigned char *bytes, size_t n)
{
    text *t = ctx;
    text_addn(t, (const char *)bytes, n);
    return !t->failed;
}

/* "Job sheet, Mill Lane 3" -> "job-sheet-mill-lane-3.pdf": letters and digits that every system takes. */
static void file_name(const char *title, char out[96])
{
    size_t n = 0;
    for (const char *s = title; *s && n < 80; s++) {
        if (isalnum((unsigned char)*s)) out[n++] = (char)tolower((unsigned char)*s);
        else if (n && out[n - 1] != '-') out[n++] = '-';
    }
    while (n && out[n - 1] == '-') n--;
    snprintf(out + n, 96 - n, ".pdf");
}

tufa_code document_make(const document_row *row, const document_ask *ask, document_file *out, trouble_note *note)
{
    char size[STORE_WORD];
    paper *p = NULL;
    *out = (document_file){0};
    document_setting(ask, "paper", size);
    bool a4 = strcmp(size, "A4") == 0;
    snprintf(out->size, sizeof out->size, "%s", a4 ? "A4" : "Letter");
    tufa_status st = paper_begin(a4 ? PAPER_A4 : PAPER_LETTER, row->title, "", ask->d->today, take, &out->pdf, &p);
    if (st.code != TUFA_OK) return document_fail(note, st);
    tufa_code code = row->make(ask, p, note);
    if (code != TUFA_OK) {
        paper_drop(p);
        return code;
    }
    paper_check_letters(p);
    snprintf(out->title, sizeof out->title, "%s", paper_named(p));
    snprintf(out->remark, sizeof out->remark, "%s", paper_remarked(p));
    file_name(out->title, out->file);
    st = paper_end(p, &out->pages);
    if (st.code == TUFA_OK) return TUFA_OK;
    text_free(&out->pdf);
    return document_fail(note, st);
}
