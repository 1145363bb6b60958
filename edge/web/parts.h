/* What pages are made of besides sentences: tables, charts with their data as a table, the drawing of a tank, links. */
#ifndef EDGE_WEB_PARTS_H
#define EDGE_WEB_PARTS_H

#include "edge/draw/plot.h"
#include "edge/draw/tank_picture.h"

typedef struct page page;

/* ---- a table ---- */

/* `heads` ends with NULL; a head that begins with = stands over figures: "=If done". `about` is its name for who
 * cannot see it, shown above it too when `caption`. It scrolls by itself where the window is narrow. */
void table_begin(text *t, const char *about, bool caption, const char *const *heads);
void table_end(text *t);
void row_begin(text *t);
void row_end(text *t);
/* Cells; the first of a row names it. The .._words forms take what a say_... function wrote into `words` and empty it. */
void cell_head(text *t, const char *s);
void cell(text *t, const char *s);
void cell_words(text *t, text *words);
void cell_figure(text *t, const char *s);
void cell_figure_words(text *t, text *words);
void cell_odds(text *t, double p); /* "90 in 100", never broken over two lines */
/* For links and other markup inside: RAW(t, "<td>") ... RAW(t, "</td>") does as well. */

/* ---- words ---- */

/* A paragraph; what stands between backticks in it is a command. */
void put_sentence(text *t, const char *s); /* between ` what is typed: a command that has a page becomes its link */
void put_paragraph(text *t, const char *s);
void put_paragraph_words(text *t, text *words);
void put_heading(text *t, const char *s); /* h2 */
/* Something that can hurt: stands before whatever it is about. */
void put_caution(text *t, const char *heading, const char *s);
/* Key and value in a list of facts: facts_begin, put_fact ..., facts_end. */
void facts_begin(text *t);
void put_fact(text *t, const char *name, const char *value);
void put_fact_words(text *t, const char *name, text *words);
void facts_end(text *t);
/* More for who asks: details_begin ... details_end. */
void details_begin(text *t, const char *summary);
void details_end(text *t);

/* ---- drawings ---- */

/* A chart with its title below, values to read off, and the same data as a table behind "The figures". */
void put_plot(text *t, const plot *pl);
void put_tank(text *t, const tank_picture *picture);

/* ---- links ---- */

void put_link(text *t, const char *to, const char *words);
/* "/heater?id=3": path, name and number, words. */
void put_id_link(text *t, const char *path, const char *name, long long id, const char *words);
/* A link to "/explain?what=KEY": where this number comes from. */
void put_why_link(text *t, const char *key, const char *words);
/* A document (a row of edge/paper/documents.def) about one heater, house, call ...: name NULL for one about the book. */
void put_document_link(text *t, const char *document, const char *name, long long id, const char *words);

#endif
