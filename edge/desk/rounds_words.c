#include "edge/desk/rounds_words.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "edge/desk/visit_words.h"
#include "edge/desk/words.h"

static const double HOUR_S = 3600.0;

void say_round_clock(text *t, const rounds_answer *a, double s)
{
    int minutes = (int)(60.0 * a->terms.start_hour + 5.0 * round(s / 300.0)) % 1440; /* to five minutes: no plan is better */
    say_time_of_day(t, a->units, minutes);
}

static void say_hours(text *t, double hours)
{
    say_number(t, hours < 10.0 ? round(10.0 * hours) / 10.0 : round(hours), 3);
    text_add(t, hours >= 0.95 && hours < 1.05 ? " hour" : " hours");
}

static void say_miles(text *t, const rounds_answer *a, double miles) { say_quantity(t, a->units, Q_ROAD, miles * 1609.344); }

void say_round_head(text *t, const rounds_answer *a, const rounds_day *r)
{
    say_count(t, r->n, "visit", "visits");
    text_add(t, ", ");
    say_hours(t, r->end_s / HOUR_S);
    text_add(t, ", ");
    say_miles(t, a, r->road_m / 1609.344);
    text_add(t, "; begin at ");
    say_round_clock(t, a, 0.0);
    text_add(t, ", back about ");
    say_round_clock(t, a, r->end_s);
}

void say_round_work(text *t, const rounds_visit *v)
{
    if (v->call) {
        text_addf(t, "open call %lld", (long long)v->call);
        return;
    }
    text_add(t, v->what);
    if (choice_is_cleaning(v->choice) && v->method < TUFA_METHOD_COUNT) text_addf(t, ", %s", tufa_method_at(v->method)->title);
    if (v->choice == TUFA_CHOICE_LOOK && v->reading < TUFA_SHARPEN_COUNT) text_addf(t, ": %s", reading_words(v->reading, v->fuel));
}

void say_round_tell(text *t, const rounds_visit *v)
{
    if (v->in_empty) {
        text_add(t, "nobody lives there that day");
        if (v->empty_saves_usd >= 1.0) {
            text_add(t, ", which saves ");
            say_usd(t, v->empty_saves_usd);
        }
    } else if (v->tell_day) {
        text_add(t, "tell the tenants by ");
        say_day(t, v->tell_day);
    } else if (v->call) {
        text_add(t, "agree on the day with who called");
    } else {
        text_add(t, "no notice needed, as the book has it");
    }
}

void say_round_item(text *t, const rounds_item *i)
{
    if (i->need.carry > 1) text_addf(t, "%zu x ", i->need.carry);
    text_add(t, i->what);
    if (!i->part) return; /* he knows his tools */
    if (i->size[0]) text_addf(t, " (%s)", i->size);
    if (i->need.mean >= (double)i->need.carry - 1e-9) return;
    text_add(t, ", used ");
    if (i->need.mean < 1.0) say_chance(t, i->need.mean);
    else say_number(t, i->need.mean, 2);
    text_add(t, i->need.mean < 1.0 ? " times" : " on average");
}

void say_round_kit(text *t, const rounds_day *r, bool parts)
{
    bool first = true;
    for (size_t i = 0; i < r->items; i++) {
        const rounds_item *x = &r->item[i];
        if (x->part != parts || x->need.carry == 0) continue;
        if (!first) text_add(t, "; ");
        first = false;
        say_round_item(t, x);
    }
}

void say_round_out(text *t, const rounds_visit *v)
{
    text_addf(t, "%s: %s", rounds_out_key(v->out), rounds_out_words(v->out));
    bool window = v->out == ROUNDS_TRADE || v->out == ROUNDS_WINDOW || v->out == ROUNDS_ROOM;
    if (!window) return;
    text_add(t, ", ");
    say_day(t, v->earliest_day);
    text_add(t, " to ");
    say_day(t, v->latest_day);
}

/* ---- the whole ---- */

void say_rounds_proof(text *t, const rounds_answer *a)
{
    double gap = rounds_gap(a);
    if (a->rounds == 0) return;
    if (gap <= 0.0) {
        text_add(t, "No plan for these visits can cost less; that is proven.");
    } else {
        text_add(t, "Better plans may exist, but none for these visits can save more than ");
        say_usd(t, a->total_usd - a->bound_usd);
        text_addf(t, " of that (%.0f %%); so much is proven.", ceil(100.0 * gap));
    }
}

void say_rounds_costs(text *t, const rounds_answer *a)
{
    text_add(t, "Waiting costs ");
    say_usd(t, a->wait_usd);
    text_add(t, ", driving ");
    say_usd(t, a->drive_usd);
    text_add(t, ", getting ready and clearing up ");
    say_usd(t, a->ready_usd);
    text_add(t, ", notices and hours without hot water ");
    say_usd(t, a->entry_usd);
    text_add(t, ": together ");
    say_usd(t, a->total_usd);
    text_add(t, ". An hour of your own counts ");
    say_usd(t, a->own_hour_usd);
    text_add(t, a->own_hour_default ? " (our assumption; `tufa set price own_hour 45` corrects it). " : ". ");
    say_rounds_proof(t, a);
}

void say_rounds_empty(text *t, const rounds_answer *a)
{
    if (a->pulled == 0) return;
    say_count(t, a->pulled, "visit lies", "visits lie");
    text_add(t, " in days on which the house stands empty: no notice, nobody without hot water");
    if (a->saved_usd >= 1.0) {
        text_add(t, ", which saves ");
        say_usd(t, a->saved_usd);
        text_add(t, " against the first other day");
    }
    text_add(t, ".");
}

void say_rounds_letter(text *t, const rounds_answer *a)
{
    if (a->heaters == 0) {
        text_add(t, "There is no heater in this book yet. `tufa book import` takes a list of them; `tufa help book` shows how.");
        return;
    }
    if (a->visits == 0) {
        text_add(t, "Nothing is due in the coming twelve months and no call is open: there is no round to plan.");
        return;
    }
    say_count(t, a->visits, "visit is", "visits are");
    text_add(t, " due in the coming twelve months. ");
    if (a->placed) {
        say_count(t, a->placed, "of them fits", "of them fit");
        text_add(t, " into ");
        say_count(t, a->rounds, "round", "rounds");
        text_add(t, a->rounds == 1 ? " on " : " from ");
        say_day(t, a->round[0].day);
        if (a->rounds > 1) {
            text_add(t, " to ");
            say_day(t, a->round[a->rounds - 1].day);
        }
        text_add(t, ": ");
        say_hours(t, a->work_hours);
        text_add(t, " of work, ");
        say_hours(t, a->drive_hours);
        text_add(t, " and ");
        say_miles(t, a, a->miles);
        text_add(t, " of driving, ");
        say_usd(t, a->spend_usd);
        text_add(t, " for parts, heaters and miles.");
    }
    if (a->visits > a->placed) {
        text_add(t, a->placed ? " " : "");
        say_count(t, a->visits - a->placed, "is in no round, for a reason that stands", "are in no round, each for a reason that stands");
        text_add(t, " below.");
    }
    text_add(t, " A leak, a smell of gas, steam at a relief pipe or water too hot to touch never waits for a round.");
}

static const char *assumed(bool said) { return said ? "" : " (assumed)"; }

void say_rounds_terms(text *t, const rounds_answer *a)
{
    const rounds_terms *x = &a->terms;
    text_addf(t, "Planned for rounds on %s%s of %g hours%s from leaving to being back, %g on one day%s; %g minutes to load and clear the van%s, %g "
                 "at each house before and after the work%s; tenants are told %g days beforehand%s where the house says nothing else: "
                 "what the law or the lease asks comes first. `tufa set work_days \"mon-fri\"` corrects one; so do work_hours, crews, notice_days, "
                 "ready_minutes, arrive_minutes, start_hour, licensed. ",
              x->weekdays_words, assumed(x->weekdays_said), x->hours, assumed(x->hours_said), x->crews, assumed(x->crews_said),
              x->ready_minutes, assumed(x->ready_said), x->arrive_minutes, assumed(x->arrive_said), x->notice_days, assumed(x->notice_said));
    size_t all = a->drives[0] + a->drives[1] + a->drives[2];
    if (all == 0) return;
    text_addf(t, "Of the %zu drives between stops %zu timed in the book, %zu reckoned from coordinates, %zu assumed", all, a->drives[0], a->drives[1],
              a->drives[2]);
    if (a->drives[2])
        text_add(t, ": 3 minutes along one street, 10 from street to street, and from home half of the price item trip_miles at 25 miles an hour. "
                    "A table of drives (`tufa book import travel FILE.csv`) or lat and lon of houses and `tufa set home \"LAT, LON\"` put "
                    "your own in their place");
    text_add(t, ".");
}

void say_rounds_reserve(text *t, const rounds_answer *a)
{
    if (a->at_risk == 0) return;
    text_add(t, "Some heaters will fail in spite of the plan. Keep about ");
    say_usd(t, a->reserve.mean_usd);
    text_add(t, " for tanks that leak, elements that burn out and thermostats and gas controls that fail within the year, and ");
    say_usd(t, a->reserve.p90_usd);
    text_add(t, " to have enough in nine years of ten. What tenants break is not in it.");
}
