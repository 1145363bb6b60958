/* Sheets of paper as PDF: headings, paragraphs, boxes to tick, rooms to write in, tables whose rows grow with their
 * words, drawings. What is asked for is kept and laid out at the end: nothing is clipped, what does not fit goes to the
 * next page, and type is made a little smaller where that saves a page. Words are copied. Lengths in points. */
#ifndef EDGE_PAPER_PAPER_H
#define EDGE_PAPER_PAPER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "edge/draw/canvas.h"
#include "tufa/base.h"

typedef enum paper_size { PAPER_LETTER, PAPER_A4 } paper_size;
typedef struct paper paper;

/* Takes the bytes of the PDF as they come; false stops it. */
typedef bool (*paper_write_fn)(void *ctx, const unsigned char *bytes, size_t n);

/* `today` dates the file, so that the same input gives the same bytes. `foot` stands at the foot of every page. */
TUFA_MUST_CHECK tufa_status paper_begin(paper_size size, const char *title, const char *foot, int64_t today,
                                        paper_write_fn write, void *ctx, paper **out);
/* Lays out, writes the file and frees `p`; IO when a write failed. `pages` may be NULL. */
TUFA_MUST_CHECK tufa_status paper_end(paper *p, int *pages);
void paper_drop(paper *p); /* frees `p`; nothing is written */

/* Another title and foot than those of paper_begin. */
void paper_name(paper *p, const char *title, const char *foot);
const char *paper_named(const paper *p); /* its title */
/* Something to tell whoever asked for the sheet; a second one goes on a line of its own. */
void paper_remark(paper *p, const char *s);
const char *paper_remarked(const paper *p); /* "" for nothing */
/* When all is asked for: where a text has letters that no font of this computer has, says so as a remark and at the foot
 * of each page, with the first such text. Other letters come from whatever font has them. */
void paper_check_letters(paper *p);
/* Size of body type, and the least to which it may go to save a page. Without it 10 and 9. */
void paper_type(paper *p, double body, double least);

void paper_title(paper *p, const char *s);
void paper_heading(paper *p, const char *s); /* kept with what follows */
void paper_para(paper *p, const char *s);    /* a line end in it is one on paper */
void paper_strong(paper *p, const char *s);
void paper_small(paper *p, const char *s);
/* Bold words and what belongs to them in one paragraph. */
void paper_led(paper *p, const char *lead, const char *s);
void paper_led_tick(paper *p, const char *lead, const char *s); /* behind a box to tick */
/* The same in a frame with a heavy left edge: what stands before any work. */
void paper_caution(paper *p, const char *heading, const char *s);
void paper_tick(paper *p, const char *s);                   /* a box to tick and its words */
void paper_ticks(paper *p, size_t columns, size_t n, const char *const *words); /* many short ones side by side */
/* A step of work: box, number, words behind a bold lead (NULL: none), and at the right a room to write in where `write` names one ("F", "ohm"); NULL: none. */
void paper_step(paper *p, const char *number, const char *lead, const char *s, const char *write);
void paper_blank(paper *p, const char *name, double lines); /* a name and ruled room to write */
void paper_rest(paper *p); /* ruled room down to the end of the page: what is asked for last */
/* Framed rooms to write in, `columns` side by side and `height` tall, each with its name small in its corner. */
void paper_fields(paper *p, size_t columns, double height, size_t n, const char *const *names);
void paper_space(paper *p, double points);
/* What is asked for between these two stays on one page, unless that would leave much of a page empty. */
void paper_together(paper *p);
void paper_together_end(paper *p);
/* What is asked for between these two stands in two columns, read downwards, both about as tall. Each thing in them stays
 * whole, so none may be longer than a page. */
void paper_columns(paper *p);
void paper_columns_end(paper *p);
void paper_cut(paper *p); /* a dashed line: what follows is cut off and kept */
void paper_new_page(paper *p);

/* A table: widths are shares of the page's width. `cell` answers row r, column c; NULL or "" is blank. `heads` may be NULL.
 * The head is repeated on each page that the table reaches. */
typedef const char *(*paper_cell_fn)(void *ctx, size_t row, size_t column);
void paper_table(paper *p, size_t columns, const char *const *heads, const double *shares, size_t rows,
                 paper_cell_fn cell, void *ctx);

/* Room of the page's width and `height` to draw in; drawn at once, placed at the end. */
typedef void (*paper_draw_fn)(void *ctx, draw_canvas *c, double w, double h);
void paper_drawing(paper *p, double height, paper_draw_fn draw, void *ctx);

#endif
