/* One thing corrected: what was said before stays in the book with its day. */
#ifndef EDGE_DESK_SET_H
#define EDGE_DESK_SET_H

#include "edge/desk/desk.h"
#include "edge/say/trouble.h"

typedef struct set_answer {
    char thing[24], label[STORE_LABEL]; /* "heater", "Linden Row 14"; "setting", "units" */
    char field[48];                     /* as the book calls it */
    text before, after;                 /* in words; "" where nothing was known */
    int64_t before_day;
    char before_source[STORE_SOURCE];
    bool same;                          /* the book said so already */
} set_answer;

/* `name`: a heater, its house, a house or a water, by label or number; then one of their fields, `people` and
 * `hot_water` of a household, or a column of a water's lab sheet (`hardness`). `name` "price": one of the prices;
 * "setting": one of the settings. `near` gets names that come close. */
TUFA_MUST_CHECK tufa_code desk_set(desk *d, const char *name, const char *field, const char *value, set_answer *out, text *near,
                                   trouble_note *note);
/* The same for a house by its number, which a heater of the same name does not come before. */
TUFA_MUST_CHECK tufa_code desk_set_house(desk *d, int64_t id, const char *field, const char *value, set_answer *out, trouble_note *note);
void set_answer_free(set_answer *a);

/* Whose forecast a correction may change: one heater's, that of all (a price, a water), or none. */
typedef struct set_scope {
    int64_t heater;
    bool all;
} set_scope;
set_scope desk_set_scope(desk *d, const char *name, const char *field);

#endif
