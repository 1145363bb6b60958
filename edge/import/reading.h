/* One reading as a person or a case file gives it: "litres_to_40 13 gal", "limit reset_holds". */
#ifndef EDGE_IMPORT_READING_H
#define EDGE_IMPORT_READING_H

#include <stdbool.h>

#include "edge/say/trouble.h"
#include "tufa/fault.h"

/* A test by its id; -1 with the nearest ids in `note`. */
int reading_test(const char *id, trouble_note *note);

/* A number in `unit` (its name has `n` bytes) for a test; false with the note when the unit does not fit. */
bool reading_number(int test, double x, const char *unit, size_t n, tufa_reading *out, trouble_note *note);
/* A category for a test. */
bool reading_category(int test, const char *name, tufa_reading *out, trouble_note *note);
/* Either, as written on a command line: "13gal", "about 13 gal", "reset_holds". */
bool reading_parse(int test, const char *said, tufa_reading *out, trouble_note *note);

/* Unit `i` in which a number of this test may be given, by its first name; false past the last. */
bool reading_unit_at(int test, size_t i, char *name, size_t room);
/* "L, gal, qt" for a message. */
void reading_units(text *out, int test);

/* Place of an id in a list of the stage, with the nearest name and the whole list in the note when it is not there. */
typedef const char *(*id_at)(size_t i);
const char *complaint_id_at(size_t i);
const char *fault_id_at(size_t i);
const char *test_id_at(size_t i);
const char *known_id_at(size_t i);
int place_of(const char *id, id_at at, const char *field, trouble_note *note);

#endif
