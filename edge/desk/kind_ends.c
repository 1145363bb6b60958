/* The table of ends: a heater or a part of it that leaked, burnt out, wore out, or was taken out while it worked. */
#include <stdio.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/ends.h"
#include "edge/desk/kind.h"
#include "edge/desk/thing_facts.h"
#include "edge/store/ended.h"

void ends_columns(column_set *c)
{
    columns_text(c, "heater", "heater|water_heater|unit|tank", true, "the heater");
    columns_text(c, "day", "day|date|on|ended|ended_on|failed_on|replaced_on", true, "day on which it ended");
    columns_text(c, "part", "part|what|of", false, "what ended: tank (the whole heater, unless said), lower element, upper element, thermostat, gas valve, anode, other");
    columns_text(c, "how", "how|why|cause|reason", true, "leaked, burnt out, failed, used up, or sound: taken out while it still worked");
    columns_value(c, "put_in_day", "put_in|installed|new_on|since", Q_INSTALLED, UNIT_DATE, -14610, 84005, false, "day or year on which what ended had been put in; without it, with the heater");
    columns_text(c, "note", "note|notes|remark|remarks|comment", false, "anything worth keeping");
    columns_text(c, "source", "source|from_whom|said_by|who", false, "who said so; without it, the name of the file");
}

typedef struct same_end {
    ended_rec want, found;
    bool any;
} same_end;

static tufa_status find_same(void *ctx, const ended_rec *r)
{
    same_end *s = ctx;
    if (r->day != s->want.day || r->part != s->want.part) return OK;
    s->found = *r;
    s->any = true;
    return OK;
}

static tufa_code words_from(import_row *r, ended_rec *e, trouble_note *note)
{
    text allowed = {0};
    tufa_code code = TUFA_OK;
    int part = row_said(r, "part") ? ended_part_find(row_text(r, "part")) : (int)ENDED_TANK, how = row_said(r, "how") ? ended_how_find(row_text(r, "how")) : -1;
    if (part < 0) {
        ended_part_words(&allowed);
        code = row_refuse(r, TUFA_UNKNOWN, "part", text_str(&allowed), "this part is not known here", note);
    } else if (how < 0) {
        ended_how_words(&allowed);
        code = row_refuse(r, row_said(r, "how") ? TUFA_UNKNOWN : TUFA_MISSING, "how", text_str(&allowed), "say how it ended", note);
    } else {
        e->part = (ended_part)part;
        e->how = (ended_how)how;
    }
    text_free(&allowed);
    return code;
}

tufa_status ends_keep(store *s, const ended_rec *e, int64_t replaces)
{
    heater_rec h;
    RETURN_IF(store_ended_add(s, e, replaces, NULL));
    if (e->part != ENDED_TANK) return OK;
    RETURN_IF(store_heater_get(s, e->heater, &h));
    if (h.out_day.basis != TUFA_BASIS_NONE) return OK;
    fact_rec f = {.thing = e->heater, .field = thing_field(THING_HEATER, "taken_out"), .day = e->day,
                  .value = {(double)e->day, (double)e->day, (double)e->day, TUFA_BASIS_GIVEN}};
    memcpy(f.source, e->source, sizeof f.source);
    fact_rec before;
    bool same;
    return fact_correct(s, THING_HEATER, &f, &before, &same); /* also after a later "not known" */
}

tufa_code ends_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    same_end s = {0};
    ended_rec *e = &s.want;
    text key = {0};
    if (!row_said(r, "heater")) return row_refuse(r, TUFA_MISSING, "heater", "", "every row needs its heater", note);
    if (!row_said(r, "day")) return row_refuse(r, TUFA_MISSING, "day", "", "every row needs its day", note);
    text_addf(r->name, "%s %s", row_text(r, "heater"), row_text(r, "day"));
    tufa_code code = row_thing(r, "heater", THING_HEATER, &e->heater, note);
    if (code == TUFA_OK) code = row_day(r, "day", 0, &e->day, note);
    if (code == TUFA_OK) code = words_from(r, e, note);
    r->as_of = e->day;
    if (code == TUFA_OK) code = row_value(r, "put_in_day", &e->put_in_day, note);
    if (code == TUFA_OK && e->put_in_day.basis && e->put_in_day.lo > (double)e->day)
        code = row_refuse(r, TUFA_CONFLICT, "put_in_day", "a day before it ended", "it cannot have been put in after it ended", note);
    if (code == TUFA_OK) code = row_words(r, "note", STORE_WORD, e->note, note);
    if (code == TUFA_OK) code = row_source(r, e->source, note);
    text_addf(&key, "%lld|%lld|%d", (long long)e->heater, (long long)e->day, (int)e->part);
    if (code == TUFA_OK) code = row_once(r, text_str(&key), "part", note);
    text_free(&key);
    if (code == TUFA_OK) code = row_status(r, store_ended_each(r->d->s, e->heater, find_same, &s), "heater", note);
    if (code) return code;
    bool same = s.any && s.found.how == e->how && value_same(s.found.put_in_day, e->put_in_day) && strcmp(s.found.note, e->note) == 0;
    *outcome = !s.any ? ROW_NEW : same ? ROW_SAME : ROW_CHANGED;
    return same ? TUFA_OK : row_status(r, ends_keep(r->d->s, e, s.any ? s.found.id : 0), "heater", note);
}

static tufa_status give(void *ctx, const ended_rec *r)
{
    export_table *t = ctx;
    char label[STORE_LABEL];
    text part = {0}, how = {0};
    RETURN_IF(store_thing_label(export_desk(t)->s, THING_HEATER, r->heater, label));
    ended_part_word(&part, r->part);
    ended_how_word(&how, r->how);
    export_row(t);
    export_text(t, "heater", label);
    export_day(t, "day", r->day);
    export_text(t, "part", text_str(&part));
    export_text(t, "how", text_str(&how));
    export_value(t, "put_in_day", r->put_in_day);
    export_text(t, "note", r->note);
    export_text(t, "source", r->source);
    text_free(&part);
    text_free(&how);
    return OK;
}

tufa_status ends_give(desk *d, export_table *t) { return store_ended_each(d->s, 0, give, t); }
