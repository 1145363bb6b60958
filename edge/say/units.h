/* The one place where numbers get units: what a person writes into SI, and SI into words. */
#ifndef EDGE_SAY_UNITS_H
#define EDGE_SAY_UNITS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "edge/say/text.h"
#include "tufa/base.h"

typedef enum quantity {
#define X(id, family, word, us, metric) Q_##id,
#include "edge/say/quantities.def"
#undef X
    QUANTITY_COUNT
} quantity;

typedef enum unit_id {
#define X(id, family, one, zero, print, names) UNIT_##id,
#include "edge/say/units.def"
#undef X
    UNIT_COUNT
} unit_id;

typedef enum unit_system { UNITS_US, UNITS_METRIC } unit_system;

typedef struct unit_row {
    quantity family;
    double one, zero;
    const char *print, *names; /* names are divided by '|'; the first stands in headers */
} unit_row;

typedef struct quantity_row {
    quantity family;
    const char *word;
    unit_id unit[2]; /* by unit_system */
} quantity_row;

extern const unit_row units[UNIT_COUNT];
extern const quantity_row quantities[QUANTITY_COUNT];

static inline double unit_to_si(const unit_row *u, double x) { return x * u->one + u->zero; }
static inline double unit_from_si(const unit_row *u, double si) { return (si - u->zero) / u->one; }

/* The unit of quantity q that is called `name` (n bytes; case, spaces, dots, strokes and underscores do not count), or NULL. */
const unit_row *unit_find(quantity q, const char *name, size_t n);
/* The unit in which q is said. */
const unit_row *unit_said(quantity q, unit_system s);
/* First name of a unit, as headers have it: "gal". Static text; *n its length. */
const char *unit_suffix(const unit_row *u, size_t *n);
/* Names of the units of a quantity for a message: "gal, qt, ft3, l, m3". */
void unit_list(text *out, quantity q);

/* ---- SI into words, rounded to what the number can bear, unit behind it ---- */

void say_number(text *out, double x, int digits);                      /* digits significant, no trailing zeros */
void say_quantity(text *out, unit_system s, quantity q, double si);    /* "0.8 lb", "120 F", "$1,240", "2026-11-25" */
void say_range(text *out, unit_system s, quantity q, double lo, double hi); /* "0.4 to 1.6 lb" */
/* Median with its 10 to 90 % range: "0.8 lb (likely 0.4 to 1.6)"; "0.8 lb" when exact; "not known" when nobody said. */
void say_value(text *out, unit_system s, quantity q, tufa_value v);

static inline void say_mass(text *t, unit_system s, double kg) { say_quantity(t, s, Q_MASS, kg); }
static inline void say_volume(text *t, unit_system s, double m3) { say_quantity(t, s, Q_VOLUME, m3); }
static inline void say_length(text *t, unit_system s, double m) { say_quantity(t, s, Q_LENGTH, m); }
static inline void say_temperature(text *t, unit_system s, double K) { say_quantity(t, s, Q_TEMPERATURE, K); }
static inline void say_mass_per_year(text *t, unit_system s, double kg_s) { say_quantity(t, s, Q_MASS_YEAR, kg_s); }
/* Letters alike? Case, spaces, dots, strokes and underscores do not count; names divided by '|' are tried in turn. */
bool name_is_one_of(const char *name, size_t n, const char *names);

void say_money(text *out, double cents);         /* "$1,240", "$12.40", "-$3" */
void say_money_range(text *out, double lo_cents, double hi_cents); /* "$1,100 to $2,400" */
void say_day(text *out, int64_t day);            /* "2026-11-25", or "11/25/2026" after say_days_us(true) */
void say_days_us(bool us);                       /* from then on; the setting `dates` of the book */
void write_day(text *out, int64_t day);          /* "2026-11-25": for programs, tables and labels */
void say_month(text *out, int64_t day);          /* "November 2026" */
void say_year(text *out, int64_t day);           /* "2026" */
void say_short_time(text *out, double s);        /* "3 seconds", "45 seconds", "4 minutes": no finer than such times are known */
void say_count(text *out, size_t n, const char *one, const char *many); /* "1 heater", "12 heaters" */

#endif
