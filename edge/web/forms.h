/* Forms: every field has its label, what was typed is kept, and the message stands beside the field it is about. The
 * name of a field is also its id, and the `field` of the note that a desk function fills. A field that is in the query
 * is filled from there, so that a link can fill a form. */
#ifndef EDGE_WEB_FORMS_H
#define EDGE_WEB_FORMS_H

typedef struct page page;

/* One thing to pick: what is sent, and its words. */
typedef struct pick {
    const char *value, *words;
} pick;

/* Begins a form that is sent to `path`, with its token. */
void put_form(page *p, const char *path);
/* Begins a form that only asks (GET): search, what to show. */
void put_ask_form(page *p, const char *path);
/* `button` NULL: put_submit has written it already. */
void put_form_end(page *p, const char *button);
/* The button that Enter presses: before any put_button. */
void put_submit(page *p, const char *words);
/* A further button; its name and value are sent when it is the one that was pressed. */
void put_button(page *p, const char *name, const char *value, const char *words);
void put_hidden(page *p, const char *name, const char *value);
void put_hidden_id(page *p, const char *name, long long id);

/* `hint` may be NULL. */
void put_input(page *p, const char *name, const char *label, const char *value, const char *hint);
/* As put_input; `type` is search, password, date, tel or text. */
void put_input_of(page *p, const char *type, const char *name, const char *label, const char *value, const char *hint);
void put_textarea(page *p, const char *name, const char *label, const char *value, const char *hint);
void put_select(page *p, const char *name, const char *label, const pick *picks, size_t n, const char *value, const char *hint);
/* A box to tick; several boxes may have one name with different values (page_values). */
void put_checkbox(page *p, const char *name, const char *value, const char *words, bool ticked);
/* Boxes or, with `one`, a choice of one, in a group with a heading. */
void put_picks(page *p, const char *name, const char *legend, const pick *picks, size_t n, bool one, const char *value);
void put_group(page *p, const char *legend); /* a group of fields with a heading */
void put_group_end(page *p);
/* A file to send; in the act its text is page_field(p, name), never longer than WEB_MAX_BODY. */
void put_file(page *p, const char *name, const char *label, const char *accept, const char *hint);

#endif
