/* A lab sheet, or whatever was told of a water: columns with their units in the header -> what is known of it. The one
 * reader for the book, `tufa water` and the first questions. */
#ifndef EDGE_IMPORT_SHEET_H
#define EDGE_IMPORT_SHEET_H

#include "edge/say/trouble.h"
#include "edge/store/records.h"
#include "tufa/water.h"

/* The column that takes one hardness figure: "18" (grains), "300 mg/L", "about 18", "15..20" or a word: soft, medium,
 * hard, very hard. */
#define SHEET_HARDNESS "hardness_gpg"

/* On anything but OK the note names column, value and what is allowed. `remarks` (or NULL) gets a line for each thing
 * noticed: sulfate given as S, two alkalinities, a charge balance that does not close. */
TUFA_MUST_CHECK tufa_code sheet_known(const sheet_rec *sheet, tufa_water_known *out, text *remarks, trouble_note *note);

/* Whether a header is a column of a lab sheet; not those that are read over (place, date, lab ...). */
bool sheet_takes(const char *header);

/* Rows of a table in Markdown: each column with its names and units, for the docs. */
void sheet_columns(text *out);

/* What to ask the water works for, as a sentence to say on the telephone; nothing where nothing is worth asking. */
void sheet_ask(text *out, tufa_water_field ask);

#endif
