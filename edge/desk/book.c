/* New books, copies and checks. */
#include "edge/desk/book.h"

#include "core/base/status.h"

tufa_status desk_book_new(const char *path)
{
    store *s = NULL;
    RETURN_IF(store_create(path, &s));
    store_close(s);
    return OK;
}

tufa_status desk_book_backup(desk *d, const char *path) { return store_backup(d->s, path); }

tufa_status desk_book_check(desk *d, book_check *out)
{
    *out = (book_check){.version = store_version_newest()};
    tufa_status st = store_check(d->s, &out->report, &out->wrong);
    if (st.code == TUFA_OK && out->wrong == 0) { /* a damaged file is not counted */
        st = store_thing_count(d->s, THING_WATER, &out->waters);
        if (st.code == TUFA_OK) st = store_thing_count(d->s, THING_HOUSE, &out->houses);
        if (st.code == TUFA_OK) st = store_thing_count(d->s, THING_HEATER, &out->heaters);
    }
    if (st.code != TUFA_OK) book_check_free(out);
    return st;
}

void book_check_free(book_check *c) { text_free(&c->report); }
