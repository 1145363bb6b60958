/* What a sheet is made of before it is laid out: one row for each thing asked for. */
#ifndef EDGE_PAPER_OPS_H
#define EDGE_PAPER_OPS_H

#include <cairo.h>

#include "edge/paper/paper.h"

typedef enum face { FACE_TITLE, FACE_HEADING, FACE_STRONG, FACE_BODY, FACE_SMALL, FACE_HEAD_CELL } face;
typedef enum op_kind { OP_WORDS, OP_HEADING, OP_CAUTION, OP_TICKS, OP_STEP, OP_BLANK, OP_FIELDS, OP_SPACE, OP_PAGE, OP_TABLE, OP_DRAWING, OP_CUT, OP_TOGETHER, OP_LED, OP_COLUMNS } op_kind;

enum { PAPER_COLUMNS = 12 };

/* `words`: the one text, or heading and text, or all cells, row by row; NULL is blank. */
typedef struct op {
    op_kind kind;
    face face;
    size_t columns, n; /* n: of words; columns of OP_TOGETHER, OP_COLUMNS: how many of the next belong to it */
    char **words;
    bool headed;       /* a table: the first row is its head; a step: room to write; bold words: a box to tick */
    double size;       /* lines, points or height */
    double share[PAPER_COLUMNS];
    cairo_surface_t *picture;
} op;

struct paper {
    double width, height, body, least;
    char *title, *foot, *remark;
    int64_t today;
    op *op;
    size_t ops, room, group, side; /* group, side: the open OP_TOGETHER and OP_COLUMNS */
    paper_write_fn write;
    void *ctx;
};

enum { PAPER_MARGIN = 30 };

/* Lays all of it out in type of size `body` and says how many pages that takes; `surface` NULL draws nowhere. `of`: what is
 * written behind "page n of". */
int paper_lay(const paper *p, double body, int of, cairo_surface_t *surface);
/* The first text with a letter that no font of this computer has, so that a box would stand for it; NULL: there is none. */
const char *paper_unprintable(const paper *p);

#endif
