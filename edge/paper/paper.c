#include "edge/paper/paper.h"

#include <cairo-pdf.h>
#include <glib.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/draw/cairo.h"
#include "edge/paper/ops.h"
#include "edge/say/day.h"

static const double BODY = 10.0, LEAST = 9.0, STEP = 0.5;

/* ---- what is asked for ---- */

static op *add(paper *p, op_kind kind, face f, size_t n)
{
    if (p->ops == p->room) {
        p->room = p->room ? 2 * p->room : 64;
        p->op = g_realloc(p->op, p->room * sizeof *p->op);
    }
    op *o = &p->op[p->ops++];
    *o = (op){.kind = kind, .face = f, .n = n};
    if (n) o->words = g_new0(char *, n);
    return o;
}

static char *keep(const char *s) { return s && s[0] ? g_utf8_make_valid(s, -1) : NULL; }

static op *add_words(paper *p, op_kind kind, face f, const char *s)
{
    op *o = add(p, kind, f, 1);
    o->words[0] = keep(s);
    return o;
}

void paper_title(paper *p, const char *s) { add_words(p, OP_WORDS, FACE_TITLE, s); }
void paper_heading(paper *p, const char *s) { add_words(p, OP_HEADING, FACE_HEADING, s); }
void paper_para(paper *p, const char *s) { add_words(p, OP_WORDS, FACE_BODY, s); }
void paper_strong(paper *p, const char *s) { add_words(p, OP_WORDS, FACE_STRONG, s); }
void paper_small(paper *p, const char *s) { add_words(p, OP_WORDS, FACE_SMALL, s); }
void paper_space(paper *p, double points) { add(p, OP_SPACE, FACE_BODY, 0)->size = points; }
void paper_together(paper *p)
{
    p->group = p->ops;
    add(p, OP_TOGETHER, FACE_BODY, 0);
}
void paper_together_end(paper *p) { p->op[p->group].columns = p->ops - p->group - 1; }

void paper_columns(paper *p)
{
    p->side = p->ops;
    add(p, OP_COLUMNS, FACE_BODY, 0);
}
void paper_columns_end(paper *p) { p->op[p->side].columns = p->ops - p->side - 1; }

void paper_cut(paper *p) { add(p, OP_CUT, FACE_BODY, 0); }
void paper_new_page(paper *p) { add(p, OP_PAGE, FACE_BODY, 0); }
void paper_tick(paper *p, const char *s) { paper_ticks(p, 1, 1, &s); }
void paper_blank(paper *p, const char *name, double lines) { add_words(p, OP_BLANK, FACE_BODY, name)->size = lines; }

void paper_rest(paper *p) { paper_blank(p, "", 0.0); }

void paper_caution(paper *p, const char *heading, const char *s)
{
    op *o = add(p, OP_CAUTION, FACE_BODY, 2);
    o->words[0] = keep(heading);
    o->words[1] = keep(s);
}

void paper_led(paper *p, const char *lead, const char *s)
{
    op *o = add(p, OP_LED, FACE_BODY, 2);
    o->words[0] = keep(lead);
    o->words[1] = keep(s);
}

void paper_led_tick(paper *p, const char *lead, const char *s)
{
    paper_led(p, lead, s);
    p->op[p->ops - 1].headed = true;
}

void paper_step(paper *p, const char *number, const char *lead, const char *s, const char *write)
{
    op *o = add(p, OP_STEP, FACE_BODY, 4);
    o->words[0] = keep(number);
    o->words[1] = keep(s);
    o->words[2] = keep(write);
    o->words[3] = keep(lead);
    o->headed = write != NULL;
}

static op *add_many(paper *p, op_kind kind, size_t columns, size_t n, const char *const *words)
{
    op *o = add(p, kind, FACE_BODY, n);
    o->columns = columns < 1 ? 1 : columns > PAPER_COLUMNS ? PAPER_COLUMNS : columns;
    for (size_t i = 0; i < n; i++) o->words[i] = keep(words[i]);
    return o;
}

void paper_ticks(paper *p, size_t columns, size_t n, const char *const *words) { add_many(p, OP_TICKS, columns, n, words); }

void paper_fields(paper *p, size_t columns, double height, size_t n, const char *const *names)
{
    add_many(p, OP_FIELDS, columns, n, names)->size = height;
}

void paper_table(paper *p, size_t columns, const char *const *heads, const double *shares, size_t rows, paper_cell_fn cell,
                 void *ctx)
{
    if (columns == 0 || columns > PAPER_COLUMNS) return;
    size_t head = heads ? columns : 0;
    op *o = add(p, OP_TABLE, FACE_BODY, head + rows * columns);
    o->columns = columns;
    o->headed = heads != NULL;
    for (size_t c = 0; c < columns; c++) o->share[c] = shares[c];
    for (size_t c = 0; c < head; c++) o->words[c] = keep(heads[c]);
    for (size_t r = 0; r < rows; r++)
        for (size_t c = 0; c < columns; c++) o->words[head + r * columns + c] = keep(cell(ctx, r, c));
}

void paper_drawing(paper *p, double height, paper_draw_fn draw, void *ctx)
{
    op *o = add(p, OP_DRAWING, FACE_BODY, 0);
    double w = p->width - 2.0 * PAPER_MARGIN;
    cairo_rectangle_t room = {0.0, 0.0, w, height};
    o->size = height;
    o->picture = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &room);
    cairo_t *cr = cairo_create(o->picture);
    cairo_canvas c;
    cairo_canvas_begin(&c, cr, 0.0, 0.0);
    draw(ctx, &c.canvas, w, height);
    cairo_canvas_end(&c);
    cairo_destroy(cr);
}

/* ---- beginning and end ---- */

void paper_name(paper *p, const char *title, const char *foot)
{
    char *own_title = g_utf8_make_valid(title, -1), *own_foot = g_utf8_make_valid(foot, -1); /* they may be those of `p` */
    g_free(p->title);
    g_free(p->foot);
    p->title = own_title;
    p->foot = own_foot;
}

const char *paper_named(const paper *p) { return p->title; }
const char *paper_remarked(const paper *p) { return p->remark ? p->remark : ""; }

void paper_remark(paper *p, const char *s)
{
    char *both = g_strdup_printf("%s%s%s", paper_remarked(p), p->remark ? "\n" : "", s);
    g_free(p->remark);
    p->remark = keep(both);
    g_free(both);
}

void paper_check_letters(paper *p)
{
    enum { SHOWN = 60 };
    const char *found = paper_unprintable(p);
    if (!found) return;
    size_t n = strlen(found) < SHOWN ? strlen(found) : (size_t)(g_utf8_find_prev_char(found, found + SHOWN) - found);
    char *said = g_strdup_printf("No font on this computer has every letter of \"%.*s\": boxes stand for them. More fonts mend it "
                                 "(on Debian: apt install fonts-noto-core fonts-droid-fallback).", (int)n, found);
    char *foot = g_strdup_printf("%s %s", p->foot, said);
    paper_remark(p, said);
    paper_name(p, p->title, foot);
    g_free(foot);
    g_free(said);
}

void paper_type(paper *p, double body, double least)
{
    p->body = body;
    p->least = least;
}

tufa_status paper_begin(paper_size size, const char *title, const char *foot, int64_t today, paper_write_fn write,
                        void *ctx, paper **out)
{
    paper *p = calloc(1, sizeof *p);
    if (!p) return trouble(TUFA_MEMORY, "paper", NULL);
    p->width = size == PAPER_LETTER ? 612.0 : 595.276; /* 8.5 x 11 in; ISO 216 A4 */
    p->height = size == PAPER_LETTER ? 792.0 : 841.89;
    p->write = write;
    p->ctx = ctx;
    p->today = today;
    paper_type(p, BODY, LEAST);
    paper_name(p, title, foot);
    *out = p;
    return OK;
}

void paper_drop(paper *p)
{
    if (!p) return;
    for (size_t i = 0; i < p->ops; i++) {
        for (size_t w = 0; w < p->op[i].n; w++) g_free(p->op[i].words[w]);
        g_free(p->op[i].words);
        if (p->op[i].picture) cairo_surface_destroy(p->op[i].picture);
    }
    g_free(p->op);
    g_free(p->title);
    g_free(p->foot);
    g_free(p->remark);
    free(p);
}

static cairo_status_t pass_on(void *ctx, const unsigned char *bytes, unsigned n)
{
    paper *p = ctx;
    return p->write(p->ctx, bytes, n) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

/* The largest type that takes no more pages than the least one would; what runs to many pages keeps its size. */
static double fitting(const paper *p, int *pages)
{
    enum { FEW = 6 };
    double body = p->body, best = p->body;
    *pages = paper_lay(p, body, 0, NULL);
    if (*pages > FEW) return best;
    while (*pages > 1 && body - STEP >= p->least - 1e-9) {
        body -= STEP;
        int n = paper_lay(p, body, 0, NULL);
        if (n < *pages) {
            *pages = n;
            best = body;
        }
    }
    return best;
}

tufa_status paper_end(paper *p, int *pages)
{
    int n;
    double body = fitting(p, &n);
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(pass_on, p, p->width, p->height);
    int year, month, day;
    ymd_from_day(p->today, &year, &month, &day);
    char made[40];
    snprintf(made, sizeof made, "%04d-%02d-%02dT00:00:00", year, month, day);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, made);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, p->title);
    paper_lay(p, body, n, surface);
    cairo_surface_finish(surface);
    cairo_status_t st = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    paper_drop(p);
    if (pages) *pages = n;
    return st == CAIRO_STATUS_SUCCESS ? OK : trouble(TUFA_IO, "paper", cairo_status_to_string(st));
}
