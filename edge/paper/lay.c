/* From what was asked for to pages. */
#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

#include "edge/paper/ops.h"

enum { FOOT = 20 };
static const double GAP = 3.5, CELL_PAD = 2.0, FOOT_SIZE = 8.0, BETWEEN = 12.0; /* columns */
#define NARROW 0.9 /* of the width of its letters: a page holds a tenth more, as in the condensed cut of the same typeface */
static const float LINES = 0.94F; /* of the height that the letters ask for */

/* Size in bodies. */
static const struct {
    double size;
    bool bold;
} FACES[] = {[FACE_TITLE] = {1.5, true}, [FACE_HEADING] = {1.15, true}, [FACE_STRONG] = {1.0, true}, [FACE_BODY] = {1.0, false},
             [FACE_SMALL] = {0.82, false}, [FACE_HEAD_CELL] = {0.9, true}};

typedef struct laying {
    const paper *p;
    cairo_t *cr;
    cairo_font_options_t *exact; /* letters are as wide when measured as on the PDF */
    double body, y;
    double left, wide, top, floor; /* of the page, or of the column that is being filled */
    int page, of;
    bool trial; /* measured, not drawn */
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
    pango_layout_set_line_spacing(l, LINES);
    pango_layout_set_width(l, (int)(width / NARROW * PANGO_SCALE));
    pango_layout_set_text(l, s ? s : "", -1);
    return l;
}

static PangoLayout *lay(laying *a, face f, double width, const char *s)
{
    return lay_size(a, a->body * FACES[f].size, FACES[f].bold, width, s);
}

/* Body type that begins with bold words. */
static PangoLayout *lay_led(laying *a, double width, const char *lead, const char *s)
{
    char *both = g_strdup_printf("%s%s%s", lead ? lead : "", lead && s ? " " : "", s ? s : "");
    PangoLayout *l = lay(a, FACE_BODY, width, both);
    PangoAttrList *attrs = pango_attr_list_copy(pango_layout_get_attributes(l));
    PangoAttribute *bold = pango_attr_weight_new(PANGO_WEIGHT_BOLD);
    bold->start_index = 0;
    bold->end_index = lead ? (guint)strlen(lead) : 0;
    pango_attr_list_insert(attrs, bold);
    pango_layout_set_attributes(l, attrs);
    pango_attr_list_unref(attrs);
    g_free(both);
    return l;
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
    return NARROW * (double)w / PANGO_SCALE;
}

/* Letters of ours from here on, until the state is restored. */
static void begin_letters(laying *a, double x, double y)
{
    cairo_save(a->cr);
    cairo_set_source_rgb(a->cr, 0.0, 0.0, 0.0);
    cairo_translate(a->cr, x, y);
    cairo_scale(a->cr, NARROW, 1.0);
    cairo_move_to(a->cr, 0.0, 0.0);
}

static void show(laying *a, PangoLayout *l, double x, double y)
{
    begin_letters(a, x, y);
    pango_cairo_show_layout(a->cr, l);
    cairo_restore(a->cr);
}

/* One line of a layout, its baseline at y. */
static void show_line(laying *a, PangoLayoutIter *it, double x, double y)
{
    begin_letters(a, x, y);
    pango_cairo_show_layout_line(a->cr, pango_layout_iter_get_line_readonly(it));
    cairo_restore(a->cr);
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

static double page_floor(const paper *p) { return p->height - PAPER_MARGIN - FOOT; }
static double page_width(const paper *p) { return p->width - 2.0 * PAPER_MARGIN; }

static void write_foot(laying *a)
{
    char number[48] = "";
    double numbers = 80.0;
    if (a->of > 1) snprintf(number, sizeof number, "page %d of %d", a->page, a->of);
    PangoLayout *l = lay_size(a, FOOT_SIZE, false, page_width(a->p) - numbers, a->p->foot);
    PangoLayout *n = lay_size(a, FOOT_SIZE, false, numbers, number);
    pango_layout_set_height(l, -2); /* two lines at most */
    pango_layout_set_ellipsize(l, PANGO_ELLIPSIZE_END);
    pango_layout_set_alignment(n, PANGO_ALIGN_RIGHT);
    show(a, l, PAPER_MARGIN, page_floor(a->p) + 6.0);
    show(a, n, a->p->width - PAPER_MARGIN - numbers, page_floor(a->p) + 6.0);
    g_object_unref(l);
    g_object_unref(n);
}

static void next_page(laying *a)
{
    write_foot(a);
    cairo_show_page(a->cr);
    a->page++;
    a->y = a->top = PAPER_MARGIN;
}

/* Goes to the next page unless `h` more points fit on this one. */
static void need(laying *a, double h)
{
    if (a->y + h > a->floor && a->y > a->top) next_page(a);
}

/* ---- things on them ---- */

/* A paragraph of few lines stays whole, and so does the end of a longer one: no line of it stands alone on a page. */
static void keep_lines(laying *a, PangoLayout *l)
{
    enum { FEW = 3 };
    int lines = pango_layout_get_line_count(l);
    double one = height_of(l) / lines, room = a->floor - a->y;
    if (lines <= FEW ? height_of(l) > room : room < 2.0 * one) need(a, 2.0 * one + room);
}

/* Words that may run over pages, line by line. */
static void flow(laying *a, face f, double indent, const char *s)
{
    PangoLayout *l = lay(a, f, a->wide - indent, s);
    keep_lines(a, l);
    int left = pango_layout_get_line_count(l);
    PangoLayoutIter *it = pango_layout_get_iter(l);
    double last = 0.0, top_of_piece = a->y;
    do {
        PangoRectangle r;
        pango_layout_iter_get_line_extents(it, NULL, &r);
        double y = (double)r.y / PANGO_SCALE, h = (double)r.height / PANGO_SCALE;
        bool last_but_one = left == 2 && top_of_piece + y - last + 2.0 * h > a->floor;
        left--;
        if ((top_of_piece + y - last + h > a->floor || last_but_one) && a->y > a->top) {
            next_page(a);
            top_of_piece = a->y;
            last = y;
        }
        show_line(a, it, a->left + indent, top_of_piece + y - last + (double)pango_layout_iter_get_baseline(it) / PANGO_SCALE - y);
        a->y = top_of_piece + y - last + h;
    } while (pango_layout_iter_next_line(it));
    pango_layout_iter_free(it);
    g_object_unref(l);
    a->y += GAP;
}

static void caution(laying *a, const op *o)
{
    double inner = 1.6 * GAP + 4.0;
    PangoLayout *l = lay_led(a, a->wide - inner - GAP, o->words[0], o->words[1]);
    double h = height_of(l) + 2.0 * CELL_PAD;
    if (h > a->floor - a->top) { /* longer than a page: without a frame, but whole */
        flow(a, FACE_STRONG, 0.0, o->words[0]);
        flow(a, FACE_BODY, 0.0, o->words[1]);
    } else {
        need(a, h + GAP);
        stroke_box(a, a->left, a->y, a->wide, h, 0.6);
        cairo_rectangle(a->cr, a->left, a->y, 4.0, h);
        cairo_fill(a->cr);
        show(a, l, a->left + inner, a->y + CELL_PAD);
        a->y += h + GAP;
    }
    g_object_unref(l);
}

static double box_side(const laying *a) { return 0.95 * a->body; }

static void tick_box(laying *a, double x, double y) { stroke_box(a, x + 1.0, y + 0.18 * a->body, box_side(a), box_side(a), 0.9); }

/* Bold words and what belongs to them, behind a box to tick where one is asked for. */
static void led(laying *a, const op *o)
{
    double indent = o->headed ? 1.4 * a->body : 0.0;
    PangoLayout *l = lay_led(a, a->wide - indent, o->words[0], o->words[1]);
    double h = height_of(l);
    if (h > a->floor - a->top) {
        flow(a, FACE_STRONG, 0.0, o->words[0]);
        flow(a, FACE_BODY, 0.0, o->words[1]);
    } else {
        need(a, h);
        if (o->headed) tick_box(a, a->left, a->y);
        show(a, l, a->left + indent, a->y);
        a->y += h + 0.7 * GAP;
    }
    g_object_unref(l);
}

/* Column by column, so that a list is read downwards. */
static void ticks(laying *a, const op *o)
{
    double w = a->wide / (double)o->columns, inner = w - 1.4 * a->body - (o->columns > 1 ? GAP : 0.0);
    size_t rows = (o->n + o->columns - 1) / o->columns;
    for (size_t r = 0; r < rows; r++) {
        double h = 0.0;
        for (size_t i = r; i < o->n; i += rows) {
            double one = tall(a, FACE_BODY, inner, o->words[i]);
            if (one > h) h = one;
        }
        need(a, h + GAP);
        for (size_t i = r, c = 0; i < o->n; i += rows, c++) {
            double x = a->left + (double)c * w;
            tick_box(a, x, a->y);
            put(a, FACE_BODY, x + 1.4 * a->body, a->y, inner, o->words[i]);
        }
        a->y += h + (o->columns > 1 ? 2.0 : 0.7 * GAP);
    }
    if (o->columns > 1) a->y += GAP;
}

/* Of the width, to write in: a figure with its unit, or a word. */
#define WRITE 0.2
#define WRITE_WORD 0.12
static void step(laying *a, const op *o)
{
    double write = o->headed ? fmin(92.0, (o->words[2] ? WRITE : WRITE_WORD) * a->wide) : 0.0, number = 1.6 * a->body, left = a->left + 1.4 * a->body + number;
    double w = a->left + a->wide - left - (write > 0.0 ? write + GAP : 0.0);
    PangoLayout *words = lay_led(a, w, o->words[3], o->words[1]);
    double h = height_of(words), room = 1.6 * a->body;
    if (write > 0.0 && h < room) h = room;
    need(a, h + 0.5 * GAP);
    tick_box(a, a->left, a->y);
    put(a, FACE_STRONG, a->left + 1.4 * a->body, a->y, number, o->words[0]);
    show(a, words, left, a->y);
    g_object_unref(words);
    if (write > 0.0) {
        double x = a->left + a->wide - write;
        stroke_box(a, x, a->y, write, room, 0.6);
        PangoLayout *l = lay(a, FACE_SMALL, write - 4.0, o->words[2]);
        pango_layout_set_alignment(l, PANGO_ALIGN_RIGHT);
        show(a, l, x, a->y + room - a->body * 1.15);
        g_object_unref(l);
    }
    a->y += h + 0.5 * GAP;
}

/* Lines to write on: as many as are asked for, or all that the page still has room for. */
static int blank_lines(const laying *a, const op *o, double line)
{
    enum { MOST = 12 };
    if (o->size > 0.0) return (int)o->size;
    double room = a->trial ? line : page_floor(a->p) - a->y - GAP;
    return room < line ? 1 : room > MOST * line ? MOST : (int)(room / line);
}

static void blank(laying *a, const op *o)
{
    PangoLayout *l = lay(a, FACE_BODY, a->wide, o->words[0]);
    double line = 1.7 * a->body, name = width_of(l), words = height_of(l);
    int lines = blank_lines(a, o, line);
    need(a, line * lines + GAP);
    show(a, l, a->left, a->y + line - words);
    g_object_unref(l);
    for (int i = 0; i < lines; i++)
        stroke_line(a, a->left + (i || name == 0.0 ? 0.0 : name + GAP), a->left + a->wide, a->y + line * (i + 1), 0.5);
    a->y += line * lines + GAP;
}

static void fields(laying *a, const op *o)
{
    double w = a->wide / (double)o->columns, pad = 2.0;
    for (size_t i = 0; i < o->n; i += o->columns) {
        double h = o->size;
        for (size_t c = 0; c < o->columns && i + c < o->n; c++) { /* a long name makes its row taller */
            double one = tall(a, FACE_SMALL, w - 2.0 * pad, o->words[i + c]) + 0.55 * o->size;
            if (one > h) h = one;
        }
        need(a, h);
        for (size_t c = 0; c < o->columns && i + c < o->n; c++) {
            double x = a->left + (double)c * w;
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
    double x = a->left, h = 0.0;
    for (size_t c = 0; c < o->columns; c++) {
        double w = o->share[c] * a->wide, inner = w - 2.0 * CELL_PAD;
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
    stroke_line(a, a->left, a->left + a->wide, a->y, 1.0);
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
        show_line(a, it, x, a->y + CELL_PAD + (double)pango_layout_iter_get_baseline(it) / PANGO_SCALE - top);
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
        l[c] = lay(a, FACE_BODY, o->share[c] * a->wide - 2.0 * CELL_PAD, o->words[first + c]);
        it[c] = pango_layout_get_iter(l[c]);
    }
    for (bool more = true; more;) {
        more = false;
        table_head(a, o, head, due);
        double x = a->left, room = a->floor - a->y - 2.0 * CELL_PAD, used = 0.0;
        for (size_t c = 0; c < o->columns; c++) {
            double h = cell_lines(a, it[c], x + CELL_PAD, room, &done[c]);
            if (h > used) used = h;
            more = more || !done[c];
            x += o->share[c] * a->wide;
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

#define SHORT 0.3 /* of a page: such a table is not cut */

/* Its head and its first `rows`. */
static double table_tall_to(laying *a, const op *o, size_t rows)
{
    double h = 0.0;
    for (size_t first = 0, n = rows + o->headed; first < o->n && n; first += o->columns, n--)
        h += row(a, o, first == 0 && o->headed ? FACE_HEAD_CELL : FACE_BODY, first, false);
    return h;
}

static double table_tall(laying *a, const op *o) { return table_tall_to(a, o, o->n / o->columns); }

static void table(laying *a, const op *o)
{
    double head = o->headed ? row(a, o, FACE_HEAD_CELL, 0, false) : 0.0, most = a->floor - a->top - head;
    bool due = o->headed;
    double whole = table_tall(a, o);
    if (whole < SHORT * most) need(a, whole);
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
        stroke_line(a, a->left, a->left + a->wide, a->y, 0.3);
    }
    a->y += GAP;
}

/* How much of what follows a heading must stand on its page: a table that is not cut, or some lines. */
static double after_heading(laying *a, const op *o)
{
    bool last = o + 1 == a->p->op + a->p->ops;
    double lines = 3.0 * a->body * FACES[FACE_HEADING].size, page = page_floor(a->p) - PAPER_MARGIN;
    if (last || o[1].kind != OP_TABLE) return lines;
    double whole = table_tall(a, o + 1);
    return whole < SHORT * page ? whole : fmax(lines, table_tall_to(a, o + 1, 1));
}

static void heading(laying *a, const op *o)
{
    need(a, 2.0 * a->body * FACES[FACE_HEADING].size + after_heading(a, o));
    if (a->y > a->top) a->y += GAP;
    flow(a, FACE_HEADING, 0.0, o->words[0]);
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
    cairo_set_source_surface(a->cr, o->picture, a->left, a->y);
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
    trial.y = a->top;
    for (size_t i = 1; i <= o->columns; i++) lay_op(&trial, o + i);
    cairo_destroy(trial.cr);
    cairo_surface_destroy(beside);
    bool much_left = a->floor - a->y > MUCH * (a->floor - a->top);
    if (trial.page == a->page && !much_left) need(a, trial.y - a->top);
}

/* ---- two columns ---- */

/* One thing asked for that stays in one column: what is kept together with its group, a heading with what follows. */
typedef struct block {
    size_t first, n;
    double tall;
} block;

static void lay_block(laying *a, const op *o, const block *b)
{
    for (size_t i = b->first; i < b->first + b->n; i++)
        if (o[i].kind != OP_TOGETHER) lay_op(a, &o[i]);
}

/* How tall it is where no page ends. */
static double block_tall(const laying *a, const op *o, const block *b)
{
    cairo_rectangle_t none = {0.0, 0.0, 1.0, 1.0};
    cairo_surface_t *beside = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &none);
    laying trial = *a;
    trial.cr = cairo_create(beside);
    trial.trial = true;
    trial.y = 1.0; /* not at the top, where a heading takes less */
    trial.top = 0.0;
    trial.floor = G_MAXDOUBLE;
    lay_block(&trial, o, b);
    cairo_destroy(trial.cr);
    cairo_surface_destroy(beside);
    return trial.y - 1.0;
}

static bool heads(const op *o) { return o->kind == OP_HEADING || (o->kind == OP_WORDS && o->face == FACE_STRONG); }

static size_t into_blocks(const laying *a, const op *o, block *b)
{
    size_t n = 0;
    for (size_t i = 1; i <= o->columns; n++) {
        b[n] = (block){.first = i, .n = 1};
        while (heads(&o[b[n].first + b[n].n - 1]) && b[n].first + b[n].n <= o->columns) b[n].n++;
        const op *last = &o[b[n].first + b[n].n - 1];
        if (last->kind == OP_TOGETHER) b[n].n += last->columns;
        i += b[n].n;
        b[n].tall = block_tall(a, o, &b[n]);
    }
    return n;
}

/* Where the blocks from `first` on end that two columns of height `room` hold; `second`: the first of the second column. */
static size_t two_hold(const block *b, size_t first, size_t n, double room, size_t *second)
{
    size_t i = first;
    for (int c = 0; c < 2; c++) {
        double used = 0.0;
        if (c == 1) *second = i;
        for (; i < n && (used + b[i].tall <= room || used == 0.0); i++) used += b[i].tall;
    }
    return i;
}

/* The least height at which two columns hold all from `first` on, so that both end alike; `most` where they do not. */
static double even(const block *b, size_t first, size_t n, double most)
{
    size_t second;
    double lo = 0.0, hi = most;
    if (two_hold(b, first, n, most, &second) < n) return most;
    while (hi - lo > 1.0) {
        double mid = 0.5 * (lo + hi);
        if (two_hold(b, first, n, mid, &second) < n) lo = mid;
        else hi = mid;
    }
    return hi;
}

static double one_column(laying *a, const op *o, const block *b, size_t first, size_t end, double top)
{
    a->y = a->top = top;
    for (size_t i = first; i < end; i++) lay_block(a, o, &b[i]);
    return a->y;
}

static void columns(laying *a, const op *o)
{
    double left = a->left, wide = a->wide, least = 8.0 * a->body;
    block *b = g_new0(block, o->columns + 1);
    a->wide = 0.5 * (wide - BETWEEN);
    size_t n = into_blocks(a, o, b);
    for (size_t i = 0, end, second; i < n; i = end) {
        double page_top = a->top, floor = a->floor;
        if (floor - a->y < fmax(least, b[i].tall)) next_page(a);
        double top = a->y, room = even(b, i, n, floor - top);
        end = two_hold(b, i, n, room, &second);
        a->floor = G_MAXDOUBLE; /* a block that no page holds runs on, as it would in a frame */
        double y = one_column(a, o, b, i, second, top);
        a->left = left + a->wide + BETWEEN;
        y = fmax(y, one_column(a, o, b, second, end, top));
        a->left = left;
        a->floor = floor;
        a->top = page_top;
        a->y = y;
        if (end < n) next_page(a);
    }
    a->wide = wide;
    g_free(b);
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
    case OP_LED: led(a, o); break;
    case OP_COLUMNS: break; /* by paper_lay, which knows where they end */
    }
}

int paper_lay(const paper *p, double body, int of, cairo_surface_t *surface)
{
    cairo_rectangle_t sheet = {0.0, 0.0, p->width, p->height};
    cairo_surface_t *own = surface ? NULL : cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &sheet);
    laying a = {.p = p, .cr = cairo_create(surface ? surface : own), .body = body, .y = PAPER_MARGIN, .left = PAPER_MARGIN, .wide = page_width(p),
                .top = PAPER_MARGIN, .floor = page_floor(p), .page = 1, .of = of,
                .exact = cairo_font_options_create()};
    cairo_font_options_set_hint_metrics(a.exact, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(a.exact, CAIRO_HINT_STYLE_NONE);
    for (size_t i = 0; i < p->ops; i++) {
        if (p->op[i].kind == OP_COLUMNS) {
            columns(&a, &p->op[i]);
            i += p->op[i].columns;
        } else {
            lay_op(&a, &p->op[i]);
        }
    }
    write_foot(&a);
    cairo_destroy(a.cr);
    cairo_font_options_destroy(a.exact);
    if (own) cairo_surface_destroy(own);
    return a.page;
}

/* ---- letters that no font has ---- */

static bool plain(const char *s)
{
    while (*s && (unsigned char)*s < 0x80) s++;
    return !*s;
}

const char *paper_unprintable(const paper *p)
{
    cairo_rectangle_t none = {0.0, 0.0, 1.0, 1.0};
    cairo_surface_t *beside = cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, &none);
    laying a = {.p = p, .cr = cairo_create(beside), .exact = cairo_font_options_create()};
    const char *found = NULL;
    for (size_t i = 0; i < p->ops && !found; i++)
        for (size_t w = 0; w < p->op[i].n && !found; w++) {
            const char *s = p->op[i].words[w];
            if (!s || plain(s)) continue;
            PangoLayout *l = lay_size(&a, p->body, false, page_width(p), s);
            if (pango_layout_get_unknown_glyphs_count(l) > 0) found = s;
            g_object_unref(l);
        }
    cairo_destroy(a.cr);
    cairo_surface_destroy(beside);
    cairo_font_options_destroy(a.exact);
    return found;
}
