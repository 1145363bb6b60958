#include "edge/paper/paper.h"

#include <cairo-pdf.h>
#include <pango/pangocairo.h>
#include <stdlib.h>

#include "core/base/status.h"
#include "edge/draw/cairo.h"
#include "edge/say/day.h"

enum { MARGIN = 46, FOOT = 26, GAP = 5, CELL_PAD = 3, BOX = 9, BOX_WORDS = 17 };

typedef enum face { FACE_TITLE, FACE_HEADING, FACE_BODY, FACE_SMALL, FACE_HEAD_CELL } face;
static const struct {
    double size;
    bool bold;
} FACES[] = {[FACE_TITLE] = {17, true}, [FACE_HEADING] = {12, true}, [FACE_BODY] = {10, false}, [FACE_SMALL] = {8, false},
             [FACE_HEAD_CELL] = {9, true}};

struct paper {
    cairo_surface_t *surface;
    cairo_t *cr;
    double width, height, y;
    char *foot;
    int page;
    paper_write_fn write;
    void *ctx;
};

static cairo_status_t pass_on(void *ctx, const unsigned char *bytes, unsigned n)
{
    paper *p = ctx;
    return p->write(p->ctx, bytes, n) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_WRITE_ERROR;
}

static PangoLayout *lay(paper *p, face f, double width, const char *s)
{
    PangoLayout *l = pango_cairo_create_layout(p->cr);
    pango_cairo_context_set_resolution(pango_layout_get_context(l), 72.0);
    pango_layout_context_changed(l);
    PangoFontDescription *font = pango_font_description_from_string("DejaVu Sans");
    pango_font_description_set_size(font, (int)(FACES[f].size * PANGO_SCALE));
    if (FACES[f].bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
    pango_layout_set_font_description(l, font);
    pango_font_description_free(font);
    pango_layout_set_wrap(l, PANGO_WRAP_WORD);
    pango_layout_set_width(l, (int)(width * PANGO_SCALE));
    pango_layout_set_text(l, s, -1);
    return l;
}

static double height_of(PangoLayout *l)
{
    int w, h;
    pango_layout_get_size(l, &w, &h);
    return (double)h / PANGO_SCALE;
}

static void show(paper *p, PangoLayout *l, double x, double y)
{
    cairo_set_source_rgb(p->cr, 0.0, 0.0, 0.0);
    cairo_move_to(p->cr, x, y);
    pango_cairo_show_layout(p->cr, l);
}

static double room_width(const paper *p) { return p->width - 2.0 * MARGIN; }
static double floor_y(const paper *p) { return p->height - MARGIN - FOOT; }

static void write_foot(paper *p)
{
    char number[32];
    snprintf(number, sizeof number, "page %d", p->page);
    PangoLayout *l = lay(p, FACE_SMALL, room_width(p) - 60.0, p->foot), *n = lay(p, FACE_SMALL, 60.0, number);
    pango_layout_set_alignment(n, PANGO_ALIGN_RIGHT);
    show(p, l, MARGIN, p->height - MARGIN - FOOT + 8.0);
    show(p, n, p->width - MARGIN - 60.0, p->height - MARGIN - FOOT + 8.0);
    g_object_unref(l);
    g_object_unref(n);
}

void paper_new_page(paper *p)
{
    write_foot(p);
    cairo_show_page(p->cr);
    p->page++;
    p->y = MARGIN;
}

/* Goes to the next page unless `h` more points fit on this one. */
static void need(paper *p, double h)
{
    if (p->y + h > floor_y(p) && p->y > MARGIN) paper_new_page(p);
}

tufa_status paper_begin(paper_size size, const char *title, const char *foot, int64_t today, paper_write_fn write,
                        void *ctx, paper **out)
{
    paper *p = calloc(1, sizeof *p);
    if (!p || !(p->foot = g_strdup(foot))) {
        free(p);
        return trouble(TUFA_MEMORY, "paper", NULL);
    }
    p->width = size == PAPER_LETTER ? 612.0 : 595.276; /* 8.5 x 11 in; ISO 216 A4 */
    p->height = size == PAPER_LETTER ? 792.0 : 841.89;
    p->write = write;
    p->ctx = ctx;
    p->page = 1;
    p->y = MARGIN;
    p->surface = cairo_pdf_surface_create_for_stream(pass_on, p, p->width, p->height);
    int year, month, day;
    ymd_from_day(today, &year, &month, &day);
    char made[40];
    snprintf(made, sizeof made, "%04d-%02d-%02dT00:00:00", year, month, day);
    cairo_pdf_surface_set_metadata(p->surface, CAIRO_PDF_METADATA_CREATE_DATE, made);
    cairo_pdf_surface_set_metadata(p->surface, CAIRO_PDF_METADATA_TITLE, title);
    p->cr = cairo_create(p->surface);
    *out = p;
    return OK;
}

tufa_status paper_end(paper *p, int *pages)
{
    write_foot(p);
    if (pages) *pages = p->page;
    cairo_destroy(p->cr);
    cairo_surface_finish(p->surface);
    cairo_status_t st = cairo_surface_status(p->surface);
    cairo_surface_destroy(p->surface);
    g_free(p->foot);
    free(p);
    return st == CAIRO_STATUS_SUCCESS ? OK : trouble(TUFA_IO, "paper", cairo_status_to_string(st));
}

/* Words that may run over pages, line by line. */
static void flow(paper *p, face f, double indent, const char *s)
{
    PangoLayout *l = lay(p, f, room_width(p) - indent, s);
    PangoLayoutIter *it = pango_layout_get_iter(l);
    double last = 0.0, top_of_piece = p->y;
    do {
        PangoRectangle r;
        pango_layout_iter_get_line_extents(it, NULL, &r);
        double y = (double)r.y / PANGO_SCALE, h = (double)r.height / PANGO_SCALE;
        if (top_of_piece + y - last + h > floor_y(p) && p->y > MARGIN) {
            paper_new_page(p);
            top_of_piece = p->y;
            last = y;
        }
        cairo_set_source_rgb(p->cr, 0.0, 0.0, 0.0);
        cairo_move_to(p->cr, MARGIN + indent, top_of_piece + y - last +
                      (double)pango_layout_iter_get_baseline(it) / PANGO_SCALE - y);
        pango_cairo_show_layout_line(p->cr, pango_layout_iter_get_line_readonly(it));
        p->y = top_of_piece + y - last + h;
    } while (pango_layout_iter_next_line(it));
    pango_layout_iter_free(it);
    g_object_unref(l);
    p->y += GAP;
}

void paper_title(paper *p, const char *s) { flow(p, FACE_TITLE, 0.0, s); }

void paper_heading(paper *p, const char *s)
{
    need(p, 4.0 * FACES[FACE_HEADING].size + GAP);
    p->y += GAP;
    flow(p, FACE_HEADING, 0.0, s);
}

void paper_para(paper *p, const char *s) { flow(p, FACE_BODY, 0.0, s); }
void paper_small(paper *p, const char *s) { flow(p, FACE_SMALL, 0.0, s); }
void paper_space(paper *p, double points) { p->y += points; }

void paper_caution(paper *p, const char *heading, const char *s)
{
    double w = room_width(p) - 3.0 * GAP;
    PangoLayout *h = lay(p, FACE_HEAD_CELL, w, heading), *l = lay(p, FACE_BODY, w, s);
    double tall = height_of(h) + height_of(l) + 2.0 * CELL_PAD;
    need(p, tall + GAP);
    cairo_set_source_rgb(p->cr, 0.0, 0.0, 0.0);
    cairo_set_line_width(p->cr, 0.6);
    cairo_rectangle(p->cr, MARGIN, p->y, room_width(p), tall);
    cairo_stroke(p->cr);
    cairo_rectangle(p->cr, MARGIN, p->y, 4.0, tall);
    cairo_fill(p->cr);
    show(p, h, MARGIN + 2.0 * GAP, p->y + CELL_PAD);
    show(p, l, MARGIN + 2.0 * GAP, p->y + CELL_PAD + height_of(h));
    p->y += tall + GAP;
    g_object_unref(h);
    g_object_unref(l);
}

void paper_tick(paper *p, const char *s)
{
    PangoLayout *l = lay(p, FACE_BODY, room_width(p) - BOX_WORDS, s);
    double tall = height_of(l);
    need(p, tall + GAP);
    cairo_set_line_width(p->cr, 0.9);
    cairo_set_source_rgb(p->cr, 0.0, 0.0, 0.0);
    cairo_rectangle(p->cr, MARGIN + 1.0, p->y + 1.5, BOX, BOX);
    cairo_stroke(p->cr);
    show(p, l, MARGIN + BOX_WORDS, p->y);
    p->y += tall + GAP;
    g_object_unref(l);
}

void paper_blank(paper *p, const char *name, double lines)
{
    PangoLayout *l = lay(p, FACE_BODY, room_width(p), name);
    double tall = height_of(l);
    need(p, tall * lines + GAP);
    int w, h;
    pango_layout_get_size(l, &w, &h);
    show(p, l, MARGIN, p->y);
    cairo_set_line_width(p->cr, 0.5);
    for (int i = 0; i < (int)lines; i++) {
        double y = p->y + tall * (i + 1);
        cairo_move_to(p->cr, MARGIN + (i ? 0.0 : (double)w / PANGO_SCALE + GAP), y);
        cairo_line_to(p->cr, p->width - MARGIN, y);
        cairo_stroke(p->cr);
    }
    p->y += tall * lines + GAP;
    g_object_unref(l);
}

/* Lays one row; measures when `draw` is false. Answers its height. */
static double table_row(paper *p, face f, size_t columns, const double *shares, const char *const *cells, bool draw)
{
    double x = MARGIN, tall = 0.0;
    for (size_t c = 0; c < columns; c++) {
        double w = shares[c] * room_width(p);
        PangoLayout *l = lay(p, f, w - 2.0 * CELL_PAD, cells[c] ? cells[c] : "");
        double h = height_of(l) + 2.0 * CELL_PAD;
        if (h > tall) tall = h;
        if (draw) show(p, l, x + CELL_PAD, p->y + CELL_PAD);
        g_object_unref(l);
        x += w;
    }
    return tall;
}

static void rule(paper *p, double width)
{
    cairo_set_source_rgb(p->cr, 0.0, 0.0, 0.0);
    cairo_set_line_width(p->cr, width);
    cairo_move_to(p->cr, MARGIN, p->y);
    cairo_line_to(p->cr, p->width - MARGIN, p->y);
    cairo_stroke(p->cr);
}

void paper_table(paper *p, size_t columns, const char *const *heads, const double *shares, size_t rows,
                 paper_cell_fn cell, void *ctx)
{
    enum { MOST = 12 };
    const char *cells[MOST];
    if (columns == 0 || columns > MOST) return;
    double head = table_row(p, FACE_HEAD_CELL, columns, shares, heads, false);
    need(p, 3.0 * head);
    for (size_t r = 0, head_due = 1; r < rows; r++) {
        for (size_t c = 0; c < columns; c++) cells[c] = cell(ctx, r, c);
        double tall = table_row(p, FACE_BODY, columns, shares, cells, false);
        int page = p->page;
        need(p, tall + (head_due ? head : 0.0));
        if (p->page != page) head_due = 1;
        if (head_due) {
            table_row(p, FACE_HEAD_CELL, columns, shares, heads, true);
            p->y += head;
            rule(p, 1.0);
            head_due = 0;
        }
        table_row(p, FACE_BODY, columns, shares, cells, true);
        p->y += tall;
        rule(p, 0.3);
    }
    p->y += GAP;
}

void paper_drawing(paper *p, double height, paper_draw_fn draw, void *ctx)
{
    need(p, height + GAP);
    cairo_canvas c;
    cairo_canvas_begin(&c, p->cr, MARGIN, p->y);
    draw(ctx, &c.canvas, room_width(p), height);
    cairo_canvas_end(&c);
    p->y += height + GAP;
}
