/* What the owner says is usual in his houses: it stands between what is known of one heater and what this program assumes.
 * Kept with the prices (settings.h), each with its day and source. */
#ifndef EDGE_DESK_USUAL_H
#define EDGE_DESK_USUAL_H

#include "edge/say/text.h"
#include "edge/say/units.h"
#include "edge/store/store.h"
#include "tufa.h"

typedef enum usual_id {
#define U_HEATER(id, ...) USUAL_##id,
#define U_OTHER(id, ...) USUAL_##id,
#include "edge/desk/usual.def"
#undef U_HEATER
#undef U_OTHER
    USUAL_COUNT
} usual_id;

typedef struct usual_row {
    const char *key, *what;
    quantity q;
    unit_id unit;
    int fuel, field;    /* of a heater; field -1: of a house or its household */
    double lo, hi;      /* allowed, in SI */
    tufa_value builtin; /* in SI; basis DEFAULT */
    const char *source; /* of it */
    const char *why;    /* "" where the source says it */
} usual_row;
usual_row usual_at(usual_id u);

/* As the owner says; basis NONE where he says nothing. In SI, an age in years. */
typedef struct usual_set {
    tufa_value said[USUAL_COUNT];
} usual_set;
TUFA_MUST_CHECK tufa_status usual_read(store *s, usual_set *out);

/* -1: nothing of that field may be said for all heaters of that fuel at once. */
int usual_of_field(tufa_fuel fuel, tufa_heater_field f);
/* Fills what nobody said. A volume goes by the heater's own height and width where both are known. */
void usual_lay_heater(const usual_set *u, tufa_heater *known);
void usual_lay_site(const usual_set *u, tufa_site *site);
/* Of whom nothing is said: so many people, so much hot water. Answers whether it says anything of them. */
bool usual_lay_use(const usual_set *u, tufa_use *first);

/* "your own default, tufa set, 2026-11-25"; nothing where the owner says nothing. */
TUFA_MUST_CHECK tufa_status usual_from(store *s, usual_id u, text *out);

#endif
