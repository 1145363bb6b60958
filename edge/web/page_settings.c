/* Settings of the book: units, dates, and the names on sheets and notices. */
#include <ctype.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/set.h"
#include "edge/desk/settings.h"
#include "edge/web/page.h"

enum { VALUES = 8 };

/* "us|metric" as picks; `room` holds the pieces. */
static size_t picks_of(const char *values, char room[VALUES][STORE_ITEM], pick *picks)
{
    size_t n = 0;
    for (; n < VALUES && *values; n++) {
        size_t len = strcspn(values, "|");
        snprintf(room[n], STORE_ITEM, "%.*s", (int)len, values);
        picks[n] = (pick){room[n], room[n]};
        values += len + (values[len] != 0);
    }
    return n;
}

/* Words to pick from, and not a rule for what may be typed. */
static bool is_list(const char *values) { return values[0] && values[0] != '@' && values[0] != '#'; }

/* "work_days" as "Work days". */
static void plain_name(const char *name, char out[STORE_ITEM])
{
    snprintf(out, STORE_ITEM, "%s", name);
    for (char *s = out; *s; s++)
        if (*s == '_') *s = ' ';
    out[0] = (char)toupper((unsigned char)out[0]);
}

static tufa_status now_of(page *p, const setting_item *it, char out[STORE_WORD])
{
    setting_rec r;
    tufa_status st = store_setting_now(p->d->s, it->name, &r);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    snprintf(out, STORE_WORD, "%s", st.code == TUFA_OK ? r.value : it->standard);
    return OK;
}

tufa_status page_settings(page *p)
{
    setting_item it;
    page_keep(p);
    put_form(p, "/settings");
    for (size_t i = 0; setting_item_at(i, &it); i++) {
        char now[STORE_WORD], room[VALUES][STORE_ITEM];
        pick picks[VALUES];
        RETURN_IF(now_of(p, &it, now));
        char label[STORE_ITEM];
        plain_name(it.name, label);
        if (is_list(it.values)) put_select(p, it.name, label, picks, picks_of(it.values, room, picks), now, it.what);
        else put_input(p, it.name, label, now, it.what);
    }
    put_form_end(p, "Keep these");
    return OK;
}

tufa_status take_settings(page *p)
{
    setting_item it;
    text words = {0};
    tufa_status st = OK;
    for (size_t i = 0; st.code == TUFA_OK && setting_item_at(i, &it); i++) {
        char now[STORE_WORD];
        set_answer s;
        const char *value = web_field_get(p->r, it.name);
        st = now_of(p, &it, now);
        if (st.code != TUFA_OK || !value || strcmp(value, now) == 0) continue;
        tufa_code code = desk_set(p->d, "setting", it.name, value, &s, NULL, &p->note);
        if (code != TUFA_OK) {
            text_free(&words);
            return page_noted(p, code);
        }
        text_addf(&words, "%s%s is now %s.", words.len ? " " : "", it.name, value[0] ? value : "empty");
        set_answer_free(&s);
    }
    if (st.code == TUFA_OK) page_go_saying(p, "/settings", words.len ? text_str(&words) : "Nothing was changed.");
    text_free(&words);
    return st;
}
