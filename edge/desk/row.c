#include "edge/desk/row.h"

#include <string.h>

#include "core/base/status.h"
#include "edge/desk/book.h"

static void add_cell(text *t, const char *s)
{
    text_add(t, "\"");
    for (; *s; s++) {
        if (*s == '"') text_add(t, "\"");
        text_addn(t, *s == '\n' || *s == '\r' ? " " : s, 1);
    }
    text_add(t, "\"");
}

tufa_code desk_row_take(desk *d, const char *kind, const row_cell *cells, size_t n, const char *source, trouble_note *note)
{
    text t = {0};
    for (size_t i = 0; i < n; i++) text_addf(&t, "%s%s", i ? "," : "", cells[i].column);
    text_add(&t, "\n");
    for (size_t i = 0; i < n; i++) {
        if (i) text_add(&t, ",");
        add_cell(&t, cells[i].value);
    }
    text_add(&t, "\n");
    import_report r = {.files = 1};
    r.file[0] = (import_file){.path = source, .text = text_str(&t), .len = t.len, .kind = kind_find(kind)};
    tufa_code code = desk_book_import(d, &r, NULL, false, note);
    import_report_free(&r);
    text_free(&t);
    note->where[0] = 0; /* no file stands behind a form */
    return code;
}

tufa_status desk_named(desk *d, thing_kind kind, const char *label, int64_t *id) { return store_thing_labelled(d->s, kind, label, id); }

tufa_status desk_house_label_of(desk *d, int64_t heater, char label[STORE_LABEL])
{
    heater_rec h;
    RETURN_IF(store_heater_get(d->s, heater, &h));
    return store_thing_label(d->s, THING_HOUSE, h.house, label);
}

bool desk_has(desk *d, thing_kind kind, const char *label)
{
    int64_t id;
    return desk_named(d, kind, label, &id).code == TUFA_OK;
}
