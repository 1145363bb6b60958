#include "edge/desk/rounds_calendar.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/desk/rounds_words.h"
#include "edge/say/calendar.h"

/* Entries of two books in one calendar stay apart. */
static unsigned book_mark(const char *book)
{
    uint32_t h = 0x811c9dc5u; /* FNV-1a */
    const char *slash = strrchr(book, '/');
    for (book = slash ? slash + 1 : book; *book; book++) h = (h ^ (unsigned char)*book) * 0x01000193u;
    return h;
}

/* Rounds of one day are told apart by a number from 1. */
static int number_on_day(const rounds_answer *a, size_t r)
{
    int n = 1;
    for (size_t i = r; i-- > 0 && a->round[i].day == a->round[r].day;) n++;
    return n;
}

static void put_round(text *t, const rounds_answer *a, unsigned mark, size_t r)
{
    const rounds_day *day = &a->round[r];
    char uid[80];
    text words = {0}, place = {0}, title = {0};
    snprintf(uid, sizeof uid, "round-%lld-%d-%08x@tufa.invalid", (long long)day->day, number_on_day(a, r), mark);
    for (size_t i = 0; i < day->n; i++) {
        const rounds_visit *v = &a->visit[day->first + i];
        say_round_clock(&words, a, v->begin_s);
        text_addf(&words, " %s: ", v->label);
        say_round_work(&words, v);
        text_add(&words, "; ");
        say_round_tell(&words, v);
        text_add(&words, "\n");
        if (i == 0 || strcmp(v->street, a->visit[day->first + i - 1].street) != 0) text_addf(&place, "%s%s", place.len ? ", " : "", v->street);
    }
    text_add(&words, "Parts: ");
    say_round_kit(&words, day, true);
    text_add(&words, "\nTools: ");
    say_round_kit(&words, day, false);
    text_add(&title, "Round: ");
    say_count(&title, day->n, "visit", "visits");
    text_addf(&title, ", %s", text_str(&place));
    int from = (int)(60.0 * a->terms.start_hour);
    calendar_put(t, &(calendar_entry){.uid = uid, .title = text_str(&title), .place = text_str(&place), .words = text_str(&words), .day = day->day,
                                      .made_day = a->today, .from_minute = from, .to_minute = from + (int)ceil(day->end_s / 60.0)});
    text_free(&words);
    text_free(&place);
    text_free(&title);
}

static int by_tell_day(const void *a, const void *b)
{
    const rounds_visit *const *x = a, *const *y = b;
    if ((*x)->tell_day != (*y)->tell_day) return (*x)->tell_day < (*y)->tell_day ? -1 : 1;
    return (*x)->day != (*y)->day ? ((*x)->day < (*y)->day ? -1 : 1) : (*x)->at - (*y)->at;
}

/* One entry for a day, however many tenants are to be told on it. */
static void put_notices(text *t, const rounds_answer *a, unsigned mark)
{
    const rounds_visit **told = malloc((a->visits + 1) * sizeof *told);
    size_t n = 0;
    if (!told) {
        t->failed = true;
        return;
    }
    for (size_t i = 0; i < a->visits; i++)
        if (a->visit[i].round >= 0 && a->visit[i].tell_day) told[n++] = &a->visit[i];
    qsort(told, n, sizeof(const rounds_visit *), by_tell_day);
    for (size_t i = 0, k; i < n; i = k) {
        char uid[80], title[80];
        text words = {0};
        for (k = i; k < n && told[k]->tell_day == told[i]->tell_day; k++) {
            text_addf(&words, "%s: visit on ", told[k]->label);
            say_day(&words, told[k]->day);
            text_add(&words, " about ");
            say_round_clock(&words, a, told[k]->begin_s);
            text_add(&words, "\n");
        }
        snprintf(uid, sizeof uid, "notice-%lld-%08x@tufa.invalid", (long long)told[i]->tell_day, mark);
        snprintf(title, sizeof title, "Tell tenants at the latest: %zu %s", k - i, k - i == 1 ? "visit" : "visits");
        calendar_put(t, &(calendar_entry){.uid = uid, .title = title, .place = "", .words = text_str(&words), .day = told[i]->tell_day,
                                          .made_day = a->today, .from_minute = -1});
        text_free(&words);
    }
    free(told);
}

static void put_trade(text *t, const rounds_answer *a, unsigned mark, const rounds_visit *v)
{
    char uid[80], title[STORE_LABEL + 40];
    text words = {0};
    snprintf(uid, sizeof uid, "trade-%lld-%08x@tufa.invalid", (long long)v->heater, mark);
    snprintf(title, sizeof title, "Book a licensed trade: %s", v->label);
    say_round_work(&words, v);
    text_addf(&words, ": %s\n", v->why);
    say_round_out(&words, v);
    calendar_put(t, &(calendar_entry){.uid = uid, .title = title, .place = v->label, .words = text_str(&words), .day = a->today,
                                      .made_day = a->today, .from_minute = -1});
    text_free(&words);
}

void rounds_calendar(text *t, const rounds_answer *a, const char *book)
{
    text name = {0};
    text_addf(&name, "Rounds of %s", book);
    calendar_begin(t, text_str(&name));
    text_free(&name);
    for (size_t r = 0; r < a->rounds; r++) put_round(t, a, book_mark(book), r);
    put_notices(t, a, book_mark(book));
    for (size_t i = 0; i < a->visits; i++)
        if (a->visit[i].out == ROUNDS_TRADE) put_trade(t, a, book_mark(book), &a->visit[i]);
    calendar_end(t);
}
