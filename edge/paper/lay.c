/* From what was asked for to pages. */
#include <pango/pangocairo.h>
#include <string.h>

#include "edge/paper/ops.h"

enum { FOOT = 22 };
static const double GAP = 5.0, CELL_PAD = 3.0, FOOT_SIZE = 8.0;

/* Size in bodies. */
static const struct {
    double size;
    bool bold;
} FACES[] = {[FACE_TITLE] = {1.7, true}, [FACE_HEADING] = {1.2, true}, [FACE_STRONG] = {1.0, true}, [FACE_BODY] = {1.0, false},
             [FACE_SMALL] = {0.82, false}, [FACE_HEAD_CELL] = {0.9, true}};

typedef struct laying {
    const paper *p;
    cairo_t *cr;
    cairo_font_options_t *exact; /* letters are as wide when measured as on the PDF */
    double body, y;
    int page, of;
} laying;

static PangoLayout *lay_size(laying *a, double size, bool bold, double width, const char *s)
{
    PangoLayout *l = pango_cairo_create_layout(a->cr);
    pango_cairo_context_set_resolution(pango_layout_get_context(l), 72.0); /* a PDF counts points */
    pango_cairo_context_set_font_options(pango_layout_get_context(l), a->exact);
    pango_layout_context_changed(l);
    PangoFontDescription *font = pango_font_description_from_string("DejaVu Sans");
    pango_font_description_set_size(font, (int)(size * PANGO_SCALE));
    if (bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
    pango_layout_set_font_description(l, font);
    pango_font_description_free(font);
    PangoAttrList *plain = pango_attr_list_new(); /* without kerning and ligatures, so that readers of PDFs find whole words */
    pango_attr_list_insert(plain, pango_attr_font_features_new("kern=0, liga=0"));
    pango_layout_set_attributes(l, plain);
    pango_attr_list_unref(plain);
    pango_layout_set_wrap(l, PANGO_WRAP_WORD_CHAR); /* only a word wider than the line is broken within */
    pango_layout_set_width(l, (int)(width * PANGO_SCALE));
    pango_layout_set_text(l, s ? s : "", -1);
    return l;
}

static PangoLayout *lay(laying *a, face f, double width, const char *s)
{
    return lay_size(a, a->body * FACES[f].size, FACES[f].bold, width, s);
}

static double height_of(PangoLayout *l)
{
    int w, h;
    pango_layout_get_size(l, &w, &h);
    return (double)h / PANGO_SCALE;
}

static double width_of(PangoLayout *l)
{
    int w, h;
    pango_layout_get_size(l, &w, &h);
    return (double)w / PANGO_SCALE;
}

static void show(laying *a, PangoLayout *l, double x, double y)
{
    cairo_set_source_rgb(a->cr, 0.0, 0.0, 0.0);
    cairo_move_to(a->cr, x, y);
    pango_cairo_show_layout(a->cr, l);
}

/* Shows and frees; answers how tall it was. */
static double put(laying *a, face f, double x, double y, double width, const char *s)
{
    PangoLayout *l = lay(a, f, width, s);
    double tall = height_of(l);
    show(a, l, x, y);
    g_object_unref(l);
    return tall;
}

static double tall(laying *a, face f, double width, const char *s)
{
    PangoLayout *l = lay(a, f, width, s);
    double h = height_of(l);
    g_object_unref(l);
    return h;
}

static void stroke_box(laying *a, double x, double y, double w, double h, double line)
{
    cairo_set_source_rgb(a->cr, 0.0, 0.0, 0.0);
    cairo_set_line_width(a->cr, line);
    cairo_rectangle(a->cr, x, y, w, h);
    cairo_stroke(a->cr);
}

static void stroke_line(laying *a, double x0, double x1, double y, double line)
{
    cairo_set_source_rgb(a->cr, 0.0, 0.0, 0.0);
    cairo_set_line_width(a->cr, line);
    cairo_move_to(a->cr, x0, y);
    cairo_line_to(a->cr, x1, y);
    cairo_stroke(a->cr);
}

/* ---- pages ---- */

static double room_width(const laying *a) { return a->p->width - 2.0 * PAPER_MARGIN; }
static double floor_y(const laying *a) { return a->p->height - PAPER_MARGIN - FOOT; }

static void write_foot(laying *a)
{
    char number[48] = "";
    double numbers = 80.0;
    if (a->of > 1) snprintf(number, sizeof number, "page %d of %d", a->page, a->of);
    PangoLayout *l = lay_size(a, FOOT_SIZE, false, room_width(a) - numbers, a->p->foot);
    PangoLayout *n = lay_size(a, FOOT_SIZE, false, numbers, number);
    pango_layout_set_height(l, -2); /* two lines at most */
    pango_layout_set_ellipsize(l, PANGO_ELLIPSIZE_END);
    pango_layout_set_alignment(n, PANGO_ALIGN_RIGHT);
    show(a, l, PAPER_MARGIN, floor_y(a) + 6.0);
    show(a, n, a->p->width - PAPER_MARGIN - numbers, floor_y(a) + 6.0);
    g_object_unref(l);
    g_object_unref(n);
}

static void next_page(laying *a)
{
    write_foot(a);
    cairo_show_page(a->cr);
    a->page++;
    a->y = PAPER_MARGIN;
}

/* Goes to the next page unless `h` more points fit on this one. */
static void need(laying *a, double h)
{
    if (a->y + h > floor_y(a) && a->y > PAPER_MARGIN) next_page(a);
}

/* ---- things on them ---- */

/* Words that may run over pages, line by line. */
static void flow(laying *a, face f, double indent, const char *s)
{
    PangoLayout *l = lay(a, f, room_width(a) - indent, s);
    PangoLayoutIter *it = pango_layout_get_iter(l);
    double last = 0.0, top_of_piece = a->y;
    do {
        PangoRectangle r;
        pango_layout_iter_get_line_extents(it, NULL, &r);
        double y = (double)r.y / PANGO_SCALE, h = (double)r.height / PANGO_SCALE;
        if (top_of_piece + y - last + h > floor_y(a) && a->y > PAPER_MARGIN) {
            next_page(a);
            top_of_piece = a->y;
            last = y;
        }
        cairo_set_source_rgb(a->cr, 0.0, 0.0, 0.0);
        cairo_move_to(a->cr, PAPER_MARGIN + indent, top_of_piece + y - last + (double)pango_layout_iter_get_baseline(it) / PANGO_SCALE - y);
        pango_cairo_show_layout_line(a->cr, pango_layout_iter_get_line_readonly(it));
        a->y = top_of_piece + y - last + h;
    } while (pango_layout_iter_next_line(it));
    pango_layout_iter_free(it);
    g_object_unref(l);
    a->y += GAP;
}

static void heading(laying *a, const op *o)
{
    need(a, 5.0 * a->body * FACES[FACE_HEADING].size);
    a->y += GAP;
    flow(a, FACE_HEADING, 0.0, o->words[0]);
}

static void caution(laying *a, const op *o)
{
    double w = room_width(a) - 3.0 * GAP;
    double head = tall(a, FACE_STRONG, w, o->words[0]), words = tall(a, FACE_BODY, w, o->words[1]), h = head + words + 2.0 * CELL_PAD;
    if (h > floor_y(a) - PAPER_MARGIN) { /* longer than a page: without a frame, but whole */
        flow(a, FACE_STRONG, 0.0, o->words[0]);
        flow(a, FACE_BODY, 0.0, o->words[1]);
        return;
    }
    need(a, h + GAP);
    stroke_box(a, PAPER_MARGIN, a->y, room_width(a), h, 0.6);
    cairo_rectangle(a->cr, PAPER_MARGIN, a->y, 4.0, h);
    cairo_fill(a->cr);
    put(a, FACE_STRONG, PAPER_MARGIN + 2.0 * GAP, a->y + CELL_PAD, w, o->words[0]);
    put(a, FACE_BODY, PAPER_MARGIN + 2.0 * GAP, a->y + CELL_PAD + head, w, o->words[1]);
    a->y += h + GAP;
}

static double box_side(const laying *a) { return 0.95 * a->body; }

static void tick_box(laying *a, double x, double y) { stroke_box(a, x + 1.0, y + 0.18 * a->body, box_side(a), box_side(a), 0.9); }

/* Column by column, so that a list is read downwards. */
static void ticks(laying *a, const op *o)
{
    double w = room_width(a) / (double)o->columns, inner = w - 1.8 * a->body - GAP;
    size_t rows = (o->n + o->columns - 1) / o->columns;
    for (size_t r = 0; r < rows; r++) {
        double h = 0.0;
        for (size_t i = r; i < o->n; i += rows) {
            double one = tall(a, FACE_BODY, inner, o->words[i]);
            if (one > h) h = one;
        }
        need(a, h + GAP);
        for (size_t i = r, c = 0; i < o->n; i += rows, c++) {
            double x = PAPER_MARGIN + (double)c * w;
            tick_box(a, x, a->y);
            put(a, FACE_BODY, x + 1.8 * a->body, a->y, inner, o->words[i]);
        }
        a->y += h + (o->columns > 1 ? 2.0 : GAP);
    }
    if (o->columns > 1) a->y += GAP;
}

static void step(laying *a, const op *o)
{
    double write = o->headed ? 92.0 : 0.0, number = 2.1 * a->body, left = PAPER_MARGIN + 1.7 * a->body + number;
    double w = a->p->width - PAPER_MARGIN - left - (write > 0.0 ? write + GAP : 0.0);
    double h = tall(a, FACE_BODY, w, o->words[1]), room = 1.7 * a->body;
    if (write > 0.0 && h < room) h = room;
    need(a, h + GAP);
    tick_box(a, PAPER_MARGIN, a->y);
    put(a, FACE_STRONG, PAPER_MARGIN + 1.7 * a->body, a->y, number, o->words[0]);
    put(a, FACE_BODY, left, a->y, w, o->words[1]);
    if (write > 0.0) {
        double x = a->p->width - PAPER_MARGIN - write;
        stroke_box(a, x, a->y, write, room, 0.6);
        PangoLayout *l = lay(a, FACE_SMALL, write - 4.0, o->words[2]);
        pango_layout_set_alignment(l, PANGO_ALIGN_RIGHT);
        show(a, l, x, a->y + room - a->body * 1.15);
        g_object_unref(l);
    }
    a->y += h + 0.6 * GAP;
}

static void blank(laying *a, const op *o)
{
    PangoLayout *l = lay(a, FACE_BODY, room_width(a), o->words[0]);
    double line = 1.7 * a->body, name = width_of(l), words = height_of(l);
    need(a, line * o->size + GAP);
    show(a, l, PAPER_MARGIN, a->y + line - words);
    g_object_unref(l);
    for (int i = 0; i < (int)o->size; i++)
        stroke_line(a, PAPER_MARGIN + (i || name == 0.0 ? 0.0 : name + GAP), a->p->width - PAPER_MARGIN, a->y + line * (i + 1), 0.5);
    a->y += line * o->size + GAP;
}

static void fields(laying *a, const op *o)
{
    double w = room_width(a) / (double)o->columns, pad = 2.0;
    for (size_t i = 0; i < o->n; i += o->columns) {
        double h = o->size;
        for (size_t c = 0; c < o->columns && i + c < o->n; c++) { /* a long name makes its row taller */
            double one = tall(a, FACE_SMALL, w - 2.0 * pad, o->words[i + c]) + 0.55 * o->size;
            if (one > h) h = one;
        }
        need(a, h);
        for (size_t c = 0; c < o->columns && i + c < o->n; c++) {
            double x = PAPER_MARGIN + (double)c * w;
            stroke_box(a, x, a->y, w, h, 0.5);
            put(a, FACE_SMALL, x + pad, a->y + 1.0, w - 2.0 * pad, o->words[i + c]);
        }
        a->y += h;
    }
    a->y += GAP;
}

/* One row; draws when `draw`. Answers its height. */
static double row(laying *a, const op *o, face f, size_t first, bool draw)
{
    double x = PAPER_MARGIN, h = 0.0;
    for (size_t c = 0; c < o->columns; c++) {
        double w = o->share[c] * room_width(a), inner = w - 2.0 * CELL_PAD;
        double one = (draw ? put(a, f, x + CELL_PAD, a->y + CELL_PAD, inner, o->words[first + c]) : tall(a, f, inner, o->words[first + c])) + 2.0 * CELL_PAD;
        if (one > h) h = one;
        x += w;
    }
    return h;
}

/* The head of a table on this page, where it is due. */
static void table_head(laying *a, const op *o, double head, bool *due)
{
    if (!*due) return;
    row(a, o, FACE_HEAD_CELL, 0, true);
    a->y += head;
    stroke_line(a, PAPER_MARGIN, a->p->width - PAPER_MARGIN, a->y, 1.0);
    *due = false;
}

/* As many lines of one cell as fit into `room`, from where `it` stands; answers their height. */
static double cell_lines(laying *a, PangoLayoutIter *it, double x, double room, bool *done)
{
    double top = -1.0, used = 0.0;
    while (!*done) {
        PangoRectangle r;
        pango_layout_iter_get_line_extents(it, NULL, &r);
        double y = (double)r.y / PANGO_SCALE, h = (double)r.height / PANGO_SCALE;
        if (top < 0.0) top = y;
        if (y - top + h > room && y > top) return used;
        cairo_set_source_rgb(a->cr, 0.0, 0.0, 0.0);
        cairo_move_to(a->cr, x, a->y + CELL_PAD + (double)pango_layout_iter_get_baseline(it) / PANGO_SCALE - top);
        pango_cairo_show_layout_line(a->cr, pango_layout_iter_get_line_readonly(it));
        used = y - top + h;
        *done = !pango_layout_iter_next_line(it);
    }
    return used;
}

/* A row that no page can hold goes on from page to page. */
static void tall_row(laying *a, const op *o, size_t first, double head, bool *due)
{
    PangoLayout *l[PAPER_COLUMNS];
    PangoLayoutIter *it[PAPER_COLUMNS];
    bool done[PAPER_COLUMNS] = {false};
    for (size_t c = 0; c < o->columns; c++) {
        l[c] = lay(a, FACE_BODY, o->share[c] * room_width(a) - 2.0 * CELL_PAD, o->words[first + c]);
        it[c] = pango_layout_get_iter(l[c]);
    }
    for (bool more = true; more;) {
        more = false;
        table_head(a, o, head, due);
        double x = PAPER_MARGIN, room = floor_y(a) - a->y - 2.0 * CELL_PAD, used = 0.0;
        for (size_t c = 0; c < o->columns; c++) {
            double h = cell_lines(a, it[c], x + CELL_PAD, room, &done[c]);
            if (h > used) used = h;
            more = more || !done[c];
            x += o->share[c] * room_width(a);
        }
        a->y += used + 2.0 * CELL_PAD;
        if (more) {
            next_page(a);
            *due = o->headed;
        }
    }
    for (size_t c = 0; c < o->columns; c++) {
        pango_layout_iter_free(it[c]);
        g_object_unref(l[c]);
    }
}

static void table(laying *a, const op *o)
{
    double head = o->headed ? row(a, o, FACE_HEAD_CELL, 0, false) : 0.0, most = floor_y(a) - PAPER_MARGIN - head;
    bool due = o->headed;
    for (size_t first = o->headed ? o->columns : 0; first < o->n; first += o->columns) {
        double h = row(a, o, FACE_BODY, first, false);
        int page = a->page;
        if (h <= most) need(a, h + (due ? head : 0.0));
        if (a->page != page) due = o->headed;
        if (h > most) {
            tall_row(a, o, first, head, &due);
        } else {
            table_head(a, o, head, &due);
            row(a, o, FACE_BODY, first, true);
            a->y += h;
        }
        stroke_line(a, PAPER_MARGIN, a->p->width - PAPER_MARGIN, a->y, 0.3);
    }
    a->y += GAP;
}

/* A dashed line to cut along. */
static void cut(laying *a)
{
    static const double DASH = 4.0;
    need(a, 6.0 * a->body);
    a->y += 1.5 * a->body;
    cairo_set_dash(a->cr, &DASH, 1, 0.0);
    stroke_line(a, PAPER_MARGIN / 2.0, a->p->width - PAPER_MARGIN / 2.0, a->y, 0.7);
    cairo_set_dash(a->cr, NULL, 0, 0.0);
    a->y += 0.8 * a->body;
}

static void drawing(laying *a, const op *o)
{
    need(a, o->size + GAP);
    cairo_save(a->cr);
    cairo_set_source_surface(a->cr, o->picture, PAPER_MARGIN, a->y);
    cairo_paint(a->cr);
    cairo_restore(a->cr);
    a->y += o->size + GAP;
}

static void lay_op(laying *a, const op *o);

/* Laid out beside, to see how tall it is. Where much of the page would be left empty it may go over two all the same. */
#define MUCH 0.3
static void together(laying *a, const op *o)
{
    cairo_rectangle_t sheet = {0.0, 0.0, a->p->width, a->p->height};
    cairo_surface_t *beside = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &sheet);
    laying trial = *a;
    trial.cr = cairo_create(beside);
    trial.y = PAPER_MARGIN;
    for (size_t i = 1; i <= o->columns; i++) lay_op(&trial, o + i);
    cairo_destroy(trial.cr);
    cairo_surface_destroy(beside);
    bool much_left = floor_y(a) - a->y > MUCH * (floor_y(a) - PAPER_MARGIN);
    if (trial.page == a->page && !much_left) need(a, trial.y - PAPER_MARGIN);
}

static void lay_op(laying *a, const op *o)
{
    switch (o->kind) {
    case OP_WORDS: flow(a, o->face, 0.0, o->words[0]); break;
    case OP_HEADING: heading(a, o); break;
    case OP_CAUTION: caution(a, o); break;
    case OP_TICKS: ticks(a, o); break;
    case OP_STEP: step(a, o); break;
    case OP_BLANK: blank(a, o); break;
    case OP_FIELDS: fields(a, o); break;
    case OP_SPACE: a->y += o->size; break;
    case OP_PAGE: next_page(a); break;
    case OP_TABLE: table(a, o); break;
    case OP_DRAWING: drawing(a, o); break;
    case OP_CUT: cut(a); break;
    case OP_TOGETHER: together(a, o); break;
    }
}

int paper_lay(const paper *p, double body, int of, cairo_surface_t *surface)
{
    cairo_rectangle_t sheet = {0.0, 0.0, p->width, p->height};
    cairo_surface_t *own = surface ? NULL : cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &sheet);
    laying a = {.p = p, .cr = cairo_create(surface ? surface : own), .body = body, .y = PAPER_MARGIN, .page = 1, .of = of,
                .exact = cairo_font_options_create()};
    cairo_font_options_set_hint_metrics(a.exact, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(a.exact, CAIRO_HINT_STYLE_NONE);
    for (size_t i = 0; i < p->ops; i++) lay_op(&a, &p->op[i]);
    write_foot(&a);
    cairo_destroy(a.cr);
    cairo_font_options_destroy(a.exact);
    if (own) cairo_surface_destroy(own);
    return a.page;
}
