/* The table of drives: from, to, minutes, miles. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"

static const char *const HOME = "home";

void travel_columns(column_set *c)
{
    columns_text(c, "from", "from|from_house|start", true, "house where the drive begins; `home` is where rounds begin");
    columns_text(c, "to", "to|to_house|end", true, "house where it ends, or `home`");
    columns_value(c, "drive_s", "drive|minutes|drive_time|travel_time|time", Q_TIME, UNIT_MINUTE, 0, 600, true, "how long it takes; the way back counts the same where no row says otherwise");
    columns_value(c, "road_m", "road|miles|distance", Q_ROAD, UNIT_MI, 0, 500, false, "how far it is; without it, reckoned from the time");
    columns_text(c, "said_on", "said_on|day|date", false, "day on which this was timed; without it, today");
    columns_text(c, "source", "source|from_whom|said_by|who", false, "who said so; without it, the name of the file");
}

static tufa_code end_of(const import_row *r, const char *id, int64_t *house, trouble_note *note)
{
    *house = 0;
    if (!row_said(r, id)) return row_refuse(r, TUFA_MISSING, id, "the name of a house, or home", "every drive has two ends", note);
    if (name_is_one_of(row_text(r, id), strlen(row_text(r, id)), HOME)) return TUFA_OK;
    return row_thing(r, id, THING_HOUSE, house, note);
}

typedef struct same_drive {
    travel_rec want, found;
    bool any;
} same_drive;

static tufa_status find_drive(void *ctx, const travel_rec *r)
{
    same_drive *s = ctx;
    if (r->from != s->want.from || r->to != s->want.to) return OK;
    s->found = *r;
    s->any = true;
    return OK;
}

static bool drives_alike(const travel_rec *a, const travel_rec *b)
{
    bool road = isnan(a->road_m) ? isnan(b->road_m) : fabs(a->road_m - b->road_m) < 1.0;
    return road && fabs(a->drive_s - b->drive_s) < 1.0;
}

tufa_code travel_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    same_drive s = {0};
    tufa_value drive, road;
    text_addf(r->name, "%s to %s", row_text(r, "from"), row_text(r, "to"));
    tufa_code code = end_of(r, "from", &s.want.from, note);
    if (code == TUFA_OK) code = end_of(r, "to", &s.want.to, note);
    if (code == TUFA_OK && s.want.from == s.want.to) return row_refuse(r, TUFA_CONFLICT, "to", "another house", "a drive has two different ends", note);
    if (code == TUFA_OK) code = row_once(r, text_str(r->name), "to", note);
    if (code == TUFA_OK) code = row_value(r, "drive_s", &drive, note);
    if (code == TUFA_OK) code = row_value(r, "road_m", &road, note);
    if (code == TUFA_OK) code = row_day(r, "said_on", r->d->today, &s.want.day, note);
    if (code == TUFA_OK) code = row_source(r, s.want.source, note);
    if (code) return code;
    *outcome = ROW_SAME;
    if (drive.basis == TUFA_BASIS_NONE) return TUFA_OK; /* nobody knows: the assumption stays */
    s.want.drive_s = drive.mid;
    s.want.road_m = road.basis == TUFA_BASIS_NONE ? NAN : road.mid;
    code = row_status(r, store_travel_each(r->d->s, s.want.day, find_drive, &s), "from", note);
    if (code || (s.any && drives_alike(&s.found, &s.want))) return code;
    *outcome = s.any ? ROW_CHANGED : ROW_NEW;
    if (s.any) row_change(r, "drive_s", (tufa_value){s.found.drive_s, s.found.drive_s, s.found.drive_s, TUFA_BASIS_GIVEN}, drive);
    return row_status(r, store_travel_add(r->d->s, &s.want), "drive_s", note);
}

static tufa_status give_end(export_table *t, const char *id, int64_t house)
{
    char label[STORE_LABEL];
    snprintf(label, sizeof label, "%s", HOME);
    if (house) RETURN_IF(store_thing_label(export_desk(t)->s, THING_HOUSE, house, label));
    export_text(t, id, label);
    return OK;
}

static tufa_status give_drive(void *ctx, const travel_rec *r)
{
    export_table *t = ctx;
    export_row(t);
    RETURN_IF(give_end(t, "from", r->from));
    RETURN_IF(give_end(t, "to", r->to));
    export_value(t, "drive_s", (tufa_value){r->drive_s, r->drive_s, r->drive_s, TUFA_BASIS_GIVEN});
    if (!isnan(r->road_m)) export_value(t, "road_m", (tufa_value){r->road_m, r->road_m, r->road_m, TUFA_BASIS_GIVEN});
    export_day(t, "said_on", r->day);
    export_text(t, "source", r->source);
    return OK;
}

tufa_status travel_give(desk *d, export_table *t) { return store_travel_each(d->s, INT64_MAX, give_drive, t); }
