#include "edge/desk/card.h"

#include <string.h>

#include "core/base/status.h"
#include "edge/desk/find.h"
#include "edge/desk/kind.h"
#include "edge/desk/thing_facts.h"

/* Nobody sees these standing before a heater: worked out, known from elsewhere, or for another day. */
static const char *const NOT_HERE[] = {"said_on", "source", "loss_W_K", "efficiency", "element_W_m2", "out_day", "out_why", "element_radius_m", "element_length_m", "dome_m", "inlet_K", "inlet_swing_K",
                                       "lat_deg", "lon_deg", "latitude", "longitude", "restore_s", "notice_s", "entered_with", "empty", "drive_s"};
/* Of the findings, those that take no cover off and let no water out of the tank. */
static const char *const READ_HERE[] = {"TUB", "REST_WATTS", "DEMAND_WATTS", "FIRST_DRAW"};

static bool among(const char *id, const char *const *list, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(id, list[i]) == 0) return true;
    return false;
}
#define AMONG(id, list) among(id, list, sizeof list / sizeof list[0])

static card_field *add(card_group *g, const column_row *c, unit_system s)
{
    if (g->n == CARD_MOST) return NULL;
    card_field *f = &g->field[g->n++];
    text header = {0}, choices = {0};
    *f = (card_field){.what = c->what};
    column_header(&header, c, s);
    snprintf(f->header, sizeof f->header, "%s", text_str(&header));
    if (c->type == CELL_CHOICE) choice_words(&choices, c->choices);
    snprintf(f->choices, sizeof f->choices, "%s", text_str(&choices));
    text_free(&header);
    text_free(&choices);
    return f;
}

/* What the book says of a field, where it says something. */
static tufa_status known(desk *d, thing_kind kind, int64_t thing, const char *member, card_field *f)
{
    const field_row *field = thing ? thing_field(kind, member) : NULL;
    fact_rec fact;
    if (!field) return OK;
    tufa_status st = store_fact_now(d->s, kind, thing, field, &fact);
    if (st.code != TUFA_OK) return st.code == TUFA_MISSING ? OK : st;
    text w = {0};
    fact_say(d, &fact, field, &w);
    snprintf(f->known, sizeof f->known, "%s", text_str(&w));
    text_free(&w);
    return OK;
}

static tufa_status fill(desk *d, card_group *g, void (*columns)(column_set *out), thing_kind kind, int64_t thing)
{
    column_set set = {0};
    columns(&set);
    for (size_t i = 0; i < set.n; i++) {
        bool again = kind == THING_HEATER && strcmp(set.row[i].id, "house") == 0; /* stands on the card already */
        bool clean = strncmp(set.row[i].id, "baseline", strlen("baseline")) == 0; /* readings of a clean tank */
        if (again || clean || AMONG(set.row[i].id, NOT_HERE)) continue;
        card_field *f = add(g, &set.row[i], d->units);
        if (f && kind < THING_COUNT) RETURN_IF(known(d, kind, thing, set.row[i].id, f));
    }
    return OK;
}

static void keep_only(card_group *g, const column_set *set, const char *const *ids, size_t n, unit_system s)
{
    for (size_t i = 0; i < set->n; i++)
        if (among(set->row[i].id, ids, n)) add(g, &set->row[i], s);
}

static tufa_status answer(desk *d, int64_t heater, card_answer *out)
{
    static const char *const PEOPLE[] = {"people", "from_day", "setpoint_K"};
    column_set set = {0};
    heater_rec h = {0};
    if (heater) RETURN_IF(store_heater_get(d->s, heater, &h));
    RETURN_IF(fill(d, &out->house, houses_columns, THING_HOUSE, h.house));
    RETURN_IF(fill(d, &out->heater, heaters_columns, THING_HEATER, heater));
    households_columns(&set);
    keep_only(&out->household, &set, PEOPLE, sizeof PEOPLE / sizeof PEOPLE[0], d->units);
    set = (column_set){0};
    findings_columns(&set);
    keep_only(&out->finding, &set, READ_HERE, sizeof READ_HERE / sizeof READ_HERE[0], d->units);
    if (!heater) return OK;
    snprintf(out->label, sizeof out->label, "%s", h.label);
    snprintf(out->heater.field[0].known, sizeof out->heater.field[0].known, "%s", h.label); /* names come first in their tables */
    char house[STORE_LABEL];
    RETURN_IF(store_thing_label(d->s, THING_HOUSE, h.house, house));
    snprintf(out->house.field[0].known, sizeof out->house.field[0].known, "%s", house);
    return OK;
}

tufa_code desk_card(desk *d, const char *name, card_answer *out, text *near, trouble_note *note)
{
    int64_t id = 0;
    *out = (card_answer){0};
    if (name[0] && desk_find(d, THING_HEATER, name, &id, near, note) != TUFA_OK) return note->code;
    tufa_status st = answer(d, id, out);
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}
