#include "edge/web/visit_page.h"

#include "core/base/status.h"
#include "edge/say/clean.h"

tufa_status page_heater_name(page *p, int64_t *id, char name[24])
{
    RETURN_IF(page_id(p, "heater", id));
    snprintf(name, 24, "#%lld", (long long)*id);
    return OK;
}

tufa_status page_desk(page *p, tufa_code code, const trouble_note *note)
{
    if (code == TUFA_OK) return OK;
    if (p->note.code == TUFA_OK) p->note = *note;
    return (tufa_status){.code = code == TUFA_UNKNOWN ? TUFA_MISSING : code};
}

void put_one_caution(page *p, const tufa_caution *c)
{
    text head = {0};
    text_addf(&head, "%s: %s", say_caution_level(c->level), c->title);
    put_caution(p->out, text_str(&head), c->words);
    text_free(&head);
}

void put_work_cautions(page *p, const char *const *works, tufa_fuel fuel, bool visit)
{
    const tufa_caution *c[MOST_CAUTIONS];
    size_t n = work_cautions(works, fuel, visit, MOST_CAUTIONS, c);
    for (size_t i = 0; i < n; i++) put_one_caution(p, c[i]);
}

void put_reasons(text *t, const tufa_method_answer *m)
{
    if (m->reasons) RAW(t, "<ul>");
    for (size_t i = 0; i < m->reasons; i++) {
        RAW(t, "<li>");
        put_html(t, m->reason[i]);
        RAW(t, "</li>");
    }
    if (m->reasons) RAW(t, "</ul>");
}

void put_heater_page_link(page *p, const char *path, int64_t heater, const char *words) { put_id_link(p->out, path, "heater", heater, words); }
