#include "edge/desk/notice.h"

#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/settings.h"
#include "edge/desk/visit_words.h"

#define NAME "notice"
#define BLANK "________________"
#define HEAT_AGAIN_MIN 60.0 /* until there is hot water again: judgement */

const char notice_usual[] =
    "To the household at {house}.\n\n"
    "On {day} between {from} and {until} I come to {work}. Hot water is off for about {hours}, and {shut}.\n\n"
    "Please keep children and animals out of the room and leave the way to the heater and the electricity meter free. Cold water may "
    "run cloudy for a minute afterwards. I measure the water at the tub before I leave; until then try it with your hand before "
    "anybody bathes. A smell of gas, a CO alarm, steam or a scald: leave the house and call the fire service from outside at once.\n\n"
    "Questions, or if another day suits you better: {owner}, {phone}.";

static const notice_place PLACES[] = {
    {"house", "the house, as the book names it"},
    {"heater", "the heater, as the book names it"},
    {"day", "day of the visit"},
    {"from", "when the work begins"},
    {"until", "when it ends"},
    {"work", "what is done: \"clean the water heater (plain flush)\""},
    {"hours", "how long hot water is off"},
    {"shut", "\"the heater's breaker is locked off\", or its gas"},
    {"owner", "setting owner"},
    {"phone", "setting phone"},
    {"today", "the day on which the notice is made"},
};
enum { PLACES_N = sizeof PLACES / sizeof PLACES[0] };

const notice_place *notice_place_at(size_t i) { return i < PLACES_N ? &PLACES[i] : NULL; }

/* The place whose "{name}" stands at s, or -1. */
static int place_here(const char *s, size_t *len)
{
    for (int i = 0; i < PLACES_N; i++) {
        size_t n = strlen(PLACES[i].name);
        if (s[0] == '{' && strncmp(s + 1, PLACES[i].name, n) == 0 && s[1 + n] == '}') {
            *len = n + 2;
            return i;
        }
    }
    return -1;
}

tufa_code notice_check(const char *words, trouble_note *note)
{
    size_t len;
    if (strlen(words) > NOTICE_LONGEST) {
        note_set(note, TUFA_RANGE, NAME, "", "at most 6000 bytes, about two pages", "this text is too long");
        return TUFA_RANGE;
    }
    for (const char *s = words; (s = strpbrk(s, "{}")) != NULL; s += len) {
        if (place_here(s, &len) >= 0) continue;
        char found[40];
        text all = {0};
        size_t n = strcspn(s + 1, "{} \n");
        snprintf(found, sizeof found, "%.*s", (int)(n < 30 ? n + 2 : 30), s);
        for (int i = 0; i < PLACES_N; i++) text_addf(&all, "%s{%s}", i ? ", " : "", PLACES[i].name);
        note_set(note, TUFA_UNKNOWN, NAME, found, text_str(&all), "nothing fills this place");
        text_free(&all);
        return TUFA_UNKNOWN;
    }
    return TUFA_OK;
}

tufa_status desk_notice_text(desk *d, notice_text *out)
{
    *out = (notice_text){0};
    tufa_status st = store_wording_now(d->s, NAME, &out->words, &out->day, out->source);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    out->own = out->words.len > 0;
    if (!out->own) text_add(&out->words, notice_usual);
    return OK;
}

tufa_code desk_notice_keep(desk *d, const char *words, const char *source, trouble_note *note)
{
    if (notice_check(words, note) != TUFA_OK) return note->code;
    size_t n = strlen(words);
    while (n && strchr(" \t\r\n", words[n - 1])) n--; /* white space alone is empty */
    text trimmed = {0};
    text_addn(&trimmed, words, n);
    tufa_status st = store_wording_add(d->s, NAME, text_str(&trimmed), d->today, source);
    text_free(&trimmed);
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}

static void blank_or(text *t, const char *s) { text_add(t, s[0] ? s : BLANK); }

static void fill(text *t, unit_system s, const visit_plan *p, int64_t today, int place)
{
    bool window = p->work[0] && p->from_min >= 0 && p->until_min >= 0; /* own words have no plan: the hours said are all there is */
    double minutes = window ? p->until_min - p->from_min : p->minutes;
    double hours = fmax(1.0, round((minutes + HEAT_AGAIN_MIN) / 60.0));
    const char *name = PLACES[place].name;
    if (strcmp(name, "house") == 0) text_add(t, p->heater.house);
    else if (strcmp(name, "heater") == 0) text_add(t, p->heater.label);
    else if (strcmp(name, "day") == 0) say_weekday(t, s, p->day);
    else if (strcmp(name, "from") == 0) say_time_of_day(t, s, p->from_min);
    else if (strcmp(name, "until") == 0) say_time_of_day(t, s, p->until_min);
    else if (strcmp(name, "work") == 0) say_visit_work(t, p);
    else if (strcmp(name, "hours") == 0) text_addf(t, "%.0f hour%s", hours, hours > 1.0 ? "s" : "");
    else if (strcmp(name, "shut") == 0) text_add(t, p->heater.tank.fuel == TUFA_ELECTRIC ? "the heater's breaker is locked off" : "the heater's gas is shut");
    else if (strcmp(name, "owner") == 0) blank_or(t, p->owner);
    else if (strcmp(name, "phone") == 0) blank_or(t, p->phone);
    else say_weekday(t, s, today);
}

void notice_fill(text *t, unit_system s, const visit_plan *p, int64_t today, const char *words)
{
    for (size_t len; *words; words += len) {
        int place = place_here(words, &len);
        if (place >= 0) fill(t, s, p, today, place);
        else text_addn(t, words, len = 1 + strcspn(words + 1, "{"));
    }
}

tufa_status desk_notice_days(desk *d, int64_t heater, double *days, bool *said)
{
    static const double DAY_S = 86400.0;
    heater_rec h;
    house_rec house;
    RETURN_IF(store_heater_get(d->s, heater, &h));
    RETURN_IF(store_house_get(d->s, h.house, &house));
    *said = house.notice_s.basis != TUFA_BASIS_NONE;
    *days = house.notice_s.mid / DAY_S;
    return *said ? OK : setting_number(d->s, "notice_days", days, said);
}
