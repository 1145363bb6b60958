#include "edge/desk/letter.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "edge/desk/allows.h"
#include "edge/desk/words.h"

const char *label_on_street(const year_row *r)
{
    size_t n = strlen(r->street);
    if (n == 0 || strncmp(r->label, r->street, n) != 0 || r->label[n] != ' ') return r->label;
    return r->label + n + 1;
}

static size_t streets_with_visits(const year_answer *a)
{
    size_t n = 0;
    for (size_t i = 0; i < a->streets; i++) n += a->street[i].visits > 0;
    return n;
}

static void about_hours(text *t, double hours)
{
    text_add(t, "about ");
    say_number(t, hours < 10.0 ? round(2.0 * hours) / 2.0 : round(hours), 3);
    text_add(t, hours >= 0.75 && hours < 1.25 ? " hour" : " hours");
}

static void who_first(text *t, const year_answer *a)
{
    const year_row *r = &a->row[a->first[0]];
    text_addf(t, " See %s first (%s, ", r->label, fuel_word(r->fuel));
    say_age(t, r);
    text_addf(t, "; %s): %s.", tufa_choice_at(r->choice)->key, r->why);
}

static void say_hundreds(text *t, double usd) { say_usd(t, fabs(usd) < 1000.0 ? 10.0 * round(usd / 10.0) : 100.0 * round(usd / 100.0)); }

static void what_it_takes(text *t, const year_answer *a)
{
    text_add(t, " All of it takes ");
    about_hours(t, a->hours.p50);
    text_add(t, " of your own, ");
    about_hours(t, a->drive_hours);
    text_add(t, " of driving and ");
    say_usd(t, a->spend_usd.p50);
    text_add(t, " for parts, heaters and miles. Against leaving everything alone it saves about ");
    say_hundreds(t, a->mean_gain_usd);
    text_add(t, " over the coming ten years, ");
    say_hundreds(t, a->gain_usd.p10);
    text_add(t, " if all of it turns out badly, ");
    say_hundreds(t, a->gain_usd.p90);
    text_add(t, " if all of it turns out well.");
}

void say_year_letter(text *t, const year_answer *a)
{
    size_t visits = a->visits - a->count[TUFA_CHOICE_LOOK], looks = a->count[TUFA_CHOICE_LOOK];
    if (a->n == 0) {
        text_add(t, "There is no heater in this book yet. `tufa book import` takes a list of them; `tufa help book` shows how.");
        return;
    }
    text_add(t, "You have ");
    say_count(t, a->n, "water heater", "water heaters");
    text_add(t, ". ");
    if (a->visits == 0) {
        text_add(t, "None of them needs you in the coming twelve months, as far as the book knows: nothing that could be done pays for itself.");
    } else {
        if (a->n == 1) text_add(t, visits ? "It is" : "It is not yet");
        else if (visits) say_count(t, visits, "of them is", "of them are");
        else text_add(t, "None of them is");
        text_add(t, " worth work in the coming twelve months");
        if (looks) {
            text_add(t, ", for ");
            text_addf(t, "%zu one reading comes before any decision", looks);
        }
        if (a->count[TUFA_CHOICE_LEAVE]) text_addf(t, ", and %zu can be left alone", a->count[TUFA_CHOICE_LEAVE]);
        text_add(t, ".");
        who_first(t, a);
        size_t streets = streets_with_visits(a);
        if (streets > 1) text_addf(t, " The visits lie on %zu streets; take those of one street on one drive.", streets);
        what_it_takes(t, a);
    }
    text_add(t, " A leak, a smell of gas, steam at a relief pipe or water too hot to touch never waits for a plan.");
}

void say_how_counted(text *t, const year_answer *a)
{
    text_add(t, "Costs are what can be expected over the coming ten years, in today's dollars: parts, contractors, burnt-out "
                "elements, leaks and their damage, days without hot water, fuel lost, and an hour of your own at ");
    say_usd(t, a->own_hour_usd);
    text_add(t, a->own_hour_default ? " (our assumption; `tufa set price own_hour 45` corrects it)" : "");
    text_add(t, ". The first figure is what comes out on average over everything that is not known; eight times in ten the truth lies in the range behind it.");
}

void say_what_is_missing(text *t, const year_answer *a)
{
    if (a->unknown_age) {
        text_add(t, "The age of ");
        say_count(t, a->unknown_age, "heater is", "heaters is");
        text_add(t, " not known: the date on the rating plate settles it. ");
    }
    if (a->no_sheet_waters) {
        say_count(t, a->no_sheet_waters, "water has", "waters have");
        text_add(t, " no lab sheet, so that published analyses of like waters stand in.");
    }
}

void say_houses_to_ask(text *t, const year_answer *a)
{
    for (tufa_choice k = TUFA_CHOICE_TO_GAS; k <= TUFA_CHOICE_TO_HEAT_PUMP; k++) {
        size_t n = 0;
        const year_row *most = NULL;
        for (size_t i = 0; i < a->n; i++) {
            if (a->row[i].other != k) continue;
            n++;
            if (!most || a->row[i].other_usd_year > most->other_usd_year) most = &a->row[i];
        }
        if (!most) continue;
        text_addf(t, "%sWhether %s could stand there is not known of ", t->len ? " " : "", kind_word(k));
        say_count(t, n, "heater that is", "heaters that are");
        text_add(t, " replaced or near it: up to ");
        say_usd(t, most->other_usd_year);
        text_addf(t, " a year (%s). What to find out: %s `tufa set \"%s\" %s yes`, or no; it is then weighed and, where it pays, proposed.", most->label,
                  most->other_ask, most->label, most->other_field);
    }
}

void say_not_considered(text *t)
{
    text_add(t, "Not considered: open complaints and bills; `tufa rounds` puts this work and open calls on days, with notice, working days and "
                "houses that are entered together. No one has published how much sediment shortens the life of a tank, "
                "so that part is an assumption with a wide range.");
}

void say_law(text *t)
{
    text_add(t, "Local codes and licensed practice come first: ask the code office what an owner may do himself in a "
                "rental. Gas piping, controls, vents, service panels and often the whole heater are kept for licensed trades.");
}
