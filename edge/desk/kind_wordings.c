/* The table of own words. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"
#include "edge/desk/notice.h"

void wordings_columns(column_set *c)
{
    columns_text(c, "name", "name|what|document", true, "what it is for: notice");
    columns_text(c, "words", "words|text|wording", true, "the text; {house}, {day} and other places are filled in, see `tufa notice`; empty goes back to the usual one");
    columns_text(c, "said_on", "said_on|day|date", false, "day from which it counts; without it, today");
    columns_text(c, "source", "source|from_whom|said_by|who", false, "who wrote it; without it, the name of the file");
}

tufa_code wordings_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    char source[STORE_SOURCE], old_source[STORE_SOURCE];
    int64_t day, old_day;
    text old = {0};
    text_add(r->name, row_text(r, "name"));
    if (!name_is_one_of(row_text(r, "name"), strlen(row_text(r, "name")), "notice"))
        return row_refuse(r, TUFA_UNKNOWN, "name", "notice", "there is no such text", note);
    tufa_code code = row_once(r, "notice", "name", note);
    if (code == TUFA_OK) code = row_day(r, "said_on", r->d->today, &day, note);
    if (code == TUFA_OK) code = row_source(r, source, note);
    if (code == TUFA_OK) code = notice_check(row_text(r, "words"), note);
    if (code) return code;
    tufa_status st = store_wording_now(r->d->s, "notice", &old, &old_day, old_source);
    bool is_new = st.code == TUFA_MISSING, same = !is_new && strcmp(text_str(&old), row_text(r, "words")) == 0;
    text_free(&old);
    if (st.code && !is_new) return row_status(r, st, "name", note);
    *outcome = same ? ROW_SAME : is_new ? ROW_NEW : ROW_CHANGED;
    if (*outcome == ROW_CHANGED) text_add(r->what, "another text");
    return same ? TUFA_OK : row_status(r, store_wording_add(r->d->s, "notice", row_text(r, "words"), day, source), "words", note);
}

tufa_status wordings_give(desk *d, export_table *t)
{
    text words = {0};
    int64_t day;
    char source[STORE_SOURCE];
    tufa_status st = store_wording_now(d->s, "notice", &words, &day, source);
    if (st.code == TUFA_OK) {
        export_row(t);
        export_text(t, "name", "notice");
        export_text(t, "words", text_str(&words));
        export_day(t, "said_on", day);
        export_text(t, "source", source);
    }
    text_free(&words);
    return st.code == TUFA_MISSING ? OK : st;
}
