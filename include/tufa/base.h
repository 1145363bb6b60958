/* base: what lies under every stage. Status, values with a spread, memory, random numbers, roots. */
#ifndef TUFA_BASE_H
#define TUFA_BASE_H

#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define TUFA_MUST_CHECK __attribute__((warn_unused_result))
#else
#define TUFA_MUST_CHECK
#endif

/* ---- status ---- */

typedef enum tufa_code {
#define X(id, exit_code, words) TUFA_##id,
#include "tufa/errors.def"
#undef X
    TUFA_CODE_COUNT
} tufa_code;

/* What a call answers. `field` is static text: the name of the offending input as the header spells it.
 * `got`, `lo`, `hi` are in the unit that the field's name ends with. `why` is static text or NULL. Every
 * public function that answers one is declared TUFA_MUST_CHECK. */
typedef struct tufa_status {
    tufa_code code;
    const char *field;
    double got, lo, hi;
    const char *why;
} tufa_status;

/* Words and process exit code of a status code; never NULL. */
const char *tufa_code_words(tufa_code code);
int tufa_code_exit(tufa_code code);

/* ---- sources ---- */

/* Where a number comes from. `verified`: how far it was checked, in plain words. */
typedef struct tufa_source {
    const char *id, *what, *verified;
} tufa_source;

size_t tufa_source_count(void);
const tufa_source *tufa_source_at(size_t i);

/* ---- cautions ---- */

typedef enum tufa_caution_level {
    TUFA_CAUTION_LEAVE,
    TUFA_CAUTION_STOP,
    TUFA_CAUTION_LICENSED,
    TUFA_CAUTION_CAREFUL
} tufa_caution_level;

typedef enum tufa_caution_fuel { TUFA_CAUTION_ANY, TUFA_CAUTION_ELECTRIC, TUFA_CAUTION_GAS } tufa_caution_fuel;

/* A warning that goes with some work (core/base/cautions.def). `applies_to`: ids of complaints, faults, tests, repairs,
 * cleaning methods (M1 to M6) and visits, parted by spaces; `all` goes with every visit. `brief`: `words` in brief, for a
 * sheet of paper held before a tank. `source` is an index for tufa_source_at. */
typedef struct tufa_caution {
    const char *id, *title, *words, *brief, *applies_to;
    tufa_caution_level level;
    tufa_caution_fuel fuel;
    size_t source;
} tufa_caution;

/* The table, worst level first; NULL past its end or for an id that is not there. */
size_t tufa_caution_count(void);
const tufa_caution *tufa_caution_at(size_t i);
const tufa_caution *tufa_caution_find(const char *id);
/* "leave", "stop", "licensed", "careful" */
const char *tufa_caution_level_words(tufa_caution_level level);
/* 1 where the caution goes with the work `id` ("M4", "drain_flow") on a heater of that fuel (TUFA_CAUTION_ANY: of any fuel).
 * Rows for `all` belong to visits and are not answered for single works: ask with the id "all". */
int tufa_caution_applies(const tufa_caution *c, const char *id, tufa_caution_fuel fuel);

/* ---- a value and how well it is known ---- */

typedef enum tufa_basis {
    TUFA_BASIS_NONE,     /* nobody said anything */
    TUFA_BASIS_DEFAULT,  /* our assumption, with its spread */
    TUFA_BASIS_ABOUT,    /* "about 10" */
    TUFA_BASIS_RANGE,    /* "between 8 and 12" */
    TUFA_BASIS_GIVEN,    /* "10", or a reading */
    TUFA_BASIS_LEARNED   /* worked out from findings */
} tufa_basis;

/* Median and the 10 to 90 % range; lo <= mid <= hi. An exact value has lo == mid == hi. */
typedef struct tufa_value {
    double mid, lo, hi;
    tufa_basis basis;
} tufa_value;

/* The value at probability u in (0, 1): split log-normal where lo > 0, split normal otherwise; for equal
 * bounds the value itself. Exact at u = 0.1, 0.5, 0.9. */
double tufa_value_at(tufa_value v, double u);

/* ---- fuels ---- */

typedef enum tufa_fuel { TUFA_ELECTRIC, TUFA_GAS, TUFA_PROPANE, TUFA_FUEL_COUNT } tufa_fuel;

/* ---- prices: what money the decisions rest on ---- */

/* Rows of core/base/prices.def: each with its unit, date and source, to be overwritten from the book. */
typedef enum tufa_price {
#define X(id, ...) TUFA_PRICE_##id,
#include "tufa/prices.def"
#undef X
    TUFA_PRICE_COUNT
} tufa_price;

/* One row of the table of defaults. `key` is the name used in the book and in JSON; it carries the unit. */
typedef struct tufa_price_row {
    const char *key, *what, *date;
    double mid, lo, hi; /* median and 10 to 90 % range, US dollars for the unit that the key names */
    int source;         /* index for tufa_source_at */
} tufa_price_row;

typedef struct tufa_prices {
    tufa_value usd[TUFA_PRICE_COUNT]; /* `discount_share_year` is a share a year, no dollars */
} tufa_prices;

const tufa_price_row *tufa_price_at(tufa_price id); /* NULL beyond the table */
tufa_prices tufa_prices_default(void);              /* every basis DEFAULT */

/* ---- memory ---- */

/* Scratch handed in by the caller. Core never asks the system for memory. */
typedef struct tufa_arena {
    unsigned char *base;
    size_t size, used, peak;
} tufa_arena;

/* `n` objects of `size` bytes, aligned to 64, zeroed; NULL when the arena is full. */
void *tufa_arena_take(tufa_arena *a, size_t n, size_t size);

/* ---- random numbers: a function of (key, stream, index) ---- */

/* Philox 4x32-10 (Salmon, Moraes, Dror, Shaw 2011). Four words for each index; the same everywhere. */
void tufa_philox(uint64_t key, uint64_t stream, uint64_t index, uint32_t out[4]);
/* Uniform in (0, 1), never 0 or 1: 52 bits, centred, from the first two words of tufa_philox. */
double tufa_uniform(uint64_t key, uint64_t stream, uint64_t index);
/* Standard normal: the inverse distribution at tufa_uniform. */
double tufa_normal(uint64_t key, uint64_t stream, uint64_t index);

/* ---- normal distribution ---- */

/* Standard normal distribution function. Accuracy: that of erfc of the C library. */
double tufa_normal_cdf(double z);
/* Its inverse, 0 < p < 1; relative error below 1.2e-9 before one Newton-like refinement step, then near 1e-15
 * (rational approximation of P. J. Acklam, coefficients from memory, checked against tufa_normal_cdf). */
double tufa_normal_quantile(double p);
/* The same without the refinement: for draws by the thousand. */
double tufa_normal_quick(double p);

/* ---- roots and tables ---- */

typedef double (*tufa_fn)(double x, void *ctx);

/* Root of f in [lo, hi], where f changes sign (Brent 1973: bisection, secant, inverse quadratic).
 * Stops when the bracket is below x_tol; SOLVE when `cap` steps do not reach it, RANGE without a sign change. */
TUFA_MUST_CHECK tufa_status tufa_root(tufa_fn f, void *ctx, double lo, double hi, double x_tol, int cap, double *x);

/* Piecewise linear in a table with rising x; held constant beyond its ends. n >= 1. */
double tufa_interp(size_t n, const double *x, const double *y, double at);

/* p-quantile (0..1) of n values by linear interpolation between order statistics (type 7 of Hyndman and Fan
 * 1996); sorts `v` in place. n >= 1. */
double tufa_quantile(size_t n, double *v, double p);

#ifdef __cplusplus
}
#endif
#endif
