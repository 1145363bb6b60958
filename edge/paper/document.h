/* A document: one question to the desk, set on paper. Commands and pages make them by the same table, documents.def. */
#ifndef EDGE_PAPER_DOCUMENT_H
#define EDGE_PAPER_DOCUMENT_H

#include "edge/desk/answers.h"
#include "edge/desk/rounds.h"
#include "edge/paper/paper.h"
#include "edge/say/text.h"
#include "edge/say/trouble.h"

typedef struct document_ask {
    desk *d;         /* its `s` is NULL where there is no book: a blank form can be had all the same */
    const char *name; /* label or number of what it is about, or a year; "" for nothing */
    const char *(*option)(const void *ctx, const char *name, int i); /* given for the i-th time; NULL or "": not */
    const void *ctx;
    text *near;       /* labels that come close; may be NULL */
    /* The year plan, where somebody keeps one; NULL works it out. */
    tufa_status (*year)(const void *ctx, const year_answer **out);
    tufa_status (*rounds)(const void *ctx, const rounds_answer **out); /* the same for its rounds */
} document_ask;

/* Writes the document with paper_...; names it by paper_name. On anything but OK the note says why. */
typedef tufa_code (*document_fn)(const document_ask *ask, paper *p, trouble_note *note);

typedef enum document_about { DOCUMENT_OF_HEATER, DOCUMENT_OF_BOOK, DOCUMENT_OF_ANY_HEATER, DOCUMENT_OF_YEAR } document_about;

typedef struct document_row {
    const char *word;
    document_about about;
    const char *operands, *asks, *title, *what, *more;
    document_fn make;
} document_row;

size_t document_count(void);
const document_row *document_at(size_t i);
const document_row *document_find(const char *word); /* NULL when there is none */

/* What one option is called on a page; NULL past the end. */
typedef struct document_option_row {
    const char *name, *label, *hint;
} document_option_row;
const document_option_row *document_option_at(size_t i);
bool document_asks(const document_row *row, const char *option);

typedef struct document_file {
    text pdf;
    int pages;
    char title[160], file[96]; /* "Job sheet, Mill Lane 3"; "job-sheet-mill-lane-3.pdf" */
    char size[16];             /* "Letter", "A4" */
    char remark[800];          /* for whoever asked; "" for nothing */
} document_file;
/* The whole document in memory: nothing is written when something is wrong. Free `pdf`. */
TUFA_MUST_CHECK tufa_code document_make(const document_row *row, const document_ask *ask, document_file *out, trouble_note *note);

/* ---- for those who write one ---- */

const char *document_option(const document_ask *ask, const char *name); /* NULL: not given */
const char *document_option_again(const document_ask *ask, const char *name, int i); /* given for the i-th time */
/* "Job sheet, Mill Lane 3" as title; at the foot also who keeps the book and the day. */
void document_named(const document_ask *ask, paper *p, const char *title, const char *about);
/* The text of a setting as the book has it, else its default. */
void document_setting(const document_ask *ask, const char *name, char out[STORE_WORD]);
/* For a tufa_status that is not OK. */
tufa_code document_fail(trouble_note *note, tufa_status st);
/* What a say_... function wrote into `words`, put on paper and emptied; nothing where it is empty. */
void paper_words(paper *p, void (*put)(paper *p, const char *s), text *words);

#define DOCUMENT(id, word, about, operands, options, asks, title, what, more, make) \
    tufa_code make(const document_ask *ask, paper *p, trouble_note *note);
#include "edge/paper/documents.def"
#undef DOCUMENT

#endif
