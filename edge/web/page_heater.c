/* One heater: its tank, what lies ahead of it, what to do, what is known of it and how to correct that. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/ahead_words.h"
#include "edge/desk/allows.h"
#include "edge/desk/drawings.h"
#include "edge/desk/effect.h"
#include "edge/desk/history.h"
#include "edge/desk/letter.h"
#include "edge/desk/words.h"
#include "edge/web/page.h"
#include "edge/web/papers.h"

typedef void (*say_part)(text *w, const ahead_answer *a);

static void put_say(page *p, const ahead_answer *a, say_part say)
{
    text w = {0};
    say(&w, a);
    put_paragraph_words(p->out, &w);
    text_free(&w);
}

static void put_if(page *p, const ahead_answer *a, say_part say)
{
    text w = {0};
    say(&w, a);
    if (w.len) put_paragraph_words(p->out, &w);
    text_free(&w);
}

/* To where a number of this heater comes from. */
static void put_why(page *p, const ahead_answer *a, const char *key, const char *words)
{
    RAW(p->out, "<a href=\"/explain?what=");
    put_query(p->out, key);
    text_addf(p->out, "&amp;id=%lld\">", (long long)a->c.heater.id);
    put_html(p->out, words);
    RAW(p->out, "</a>");
}

static void put_tank_and_words(page *p, const ahead_answer *a)
{
    heater_picture *h = malloc(sizeof *h);
    put_say(p, a, say_heater_line);
    RAW(p->out, "<div class=\"beside\"><div>");
    if (h) {
        draw_heater(a, "tank", h);
        put_tank(p->out, &h->picture);
    }
    free(h);
    RAW(p->out, "</div><div>");
    put_say(p, a, say_bed_now);
    put_say(p, a, say_chances);
    put_say(p, a, say_rests_on);
    RAW(p->out, "<p>");
    put_why(p, a, "bed", "Where these figures come from");
    RAW(p->out, "</p></div></div>");
}

/* ---- this year ---- */

static void put_cautions(page *p, const year_row *r)
{
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (caution_goes(c, r->choice, r->fuel, r->reading)) put_caution(p->out, c->title, c->words);
    }
}

static void put_option(page *p, const ahead_answer *a, tufa_choice k, text *w)
{
    const tufa_money_option *o = &a->money.option[k];
    row_begin(p->out);
    RAW(p->out, "<th scope=\"row\">");
    if (k == a->plan.choice) RAW(p->out, "<strong>");
    put_html(p->out, tufa_choice_at(k)->what);
    if (k == a->plan.choice) RAW(p->out, "</strong> (proposed)");
    if (!o->allowed) put_html(p->out, is_other_kind(k) ? " (not proposed until the book says that the house allows it)" : " (never proposed)");
    RAW(p->out, "</th>");
    if (!o->allowed) text_add(w, "-"); /* it changes every year to come: ten years would cut it short */
    else say_usd_band(w, &(tufa_band){o->done_usd.p10, o->mean_done_usd, o->done_usd.p90});
    cell_figure_words(p->out, w);
    if (k == TUFA_CHOICE_LEAVE) text_add(w, "-");
    else if (!o->allowed) say_usd(w, o->gain_usd_year), text_add(w, " a year");
    else say_usd_band(w, &(tufa_band){o->gain_usd.p10, o->mean_gain_usd, o->gain_usd.p90});
    cell_figure_words(p->out, w);
    if (k == TUFA_CHOICE_LEAVE || !o->allowed) text_add(w, "-");
    else say_usd(w, o->waiting_usd);
    cell_figure_words(p->out, w);
    if (o->allowed) text_addf(w, "%.0f of 10", round(10.0 * o->best_share));
    else text_add(w, "-");
    cell_figure_words(p->out, w);
    row_end(p->out);
}

static void put_options(page *p, const ahead_answer *a)
{
    static const char *const heads[] = {"What can be done this year", "=Costs of ten years", "=Saved against leaving it",
                                        "=Waiting a year costs", "=Cheapest in", NULL};
    text w = {0};
    table_begin(p->out, "What can be done, and what it costs", true, heads);
    for (int k = 0; k < TUFA_CHOICE_COUNT; k++)
        if (k != TUFA_CHOICE_LOOK && (k == TUFA_CHOICE_LEAVE || a->money.option[k].possible)) put_option(p, a, (tufa_choice)k, &w);
    table_end(p->out);
    if (a->money.option[TUFA_CHOICE_LEAVE].mean_done_usd < 0.0)
        text_add(&w, "Costs below $0: energy counts as far as it differs from this heater's, and the next one takes less. ");
    text_add(&w, "The first figure of each is what comes out on average; eight times in ten the truth lies in the range behind it. A minus where waiting "
                 "costs means that it is better to wait. ");
    if (a->money.regret_usd > 0.0) {
        text_add(&w, "The best course beats the next one by ");
        say_usd(&w, a->money.regret_usd);
        text_add(&w, a->money.regret_usd < 50.0 ? " on average: not much hangs on it." : " on average.");
    }
    put_paragraph_words(p->out, &w);
    text_free(&w);
    RAW(p->out, "<p>");
    put_why(p, a, "money", "How costs are counted");
    RAW(p->out, "</p>");
}

static void put_readings(page *p, const ahead_answer *a)
{
    static const char *const heads[] = {"Reading", "=Worth before choosing", "=Costs", "=Minutes", "=Changes the choice, in 10", NULL};
    tufa_sharpen order[TUFA_SHARPEN_COUNT];
    size_t n = readings_weighed(&a->money, order);
    text w = {0};
    RAW(p->out, "<h3>What one more reading is worth</h3>");
    table_begin(p->out, "What one more reading is worth", false, heads);
    for (size_t k = 0; k < n; k++) {
        const tufa_money_reading *r = &a->money.of_reading[order[k]];
        row_begin(p->out);
        cell_head(p->out, reading_words(order[k], a->plan.fuel));
        say_reading_value(&w, r);
        cell_figure_words(p->out, &w);
        say_usd(&w, r->cost_usd);
        cell_figure_words(p->out, &w);
        text_addf(&w, "%.0f", tufa_sharpen_at(order[k])->minutes.mid);
        cell_figure_words(p->out, &w);
        text_addf(&w, "%.0f", round(10.0 * r->changes_share));
        cell_figure_words(p->out, &w);
        row_end(p->out);
    }
    table_end(p->out);
    say_perfect(&w, &a->money);
    put_paragraph_words(p->out, &w);
    text_free(&w);
}

static void put_this_year(page *p, const ahead_answer *a)
{
    put_heading(p->out, "This year");
    put_say(p, a, say_proposal);
    put_options(p, a);
    put_if(p, a, say_other_kinds);
    put_if(p, a, say_sizes);
    put_say(p, a, say_cleaning);
    put_say(p, a, say_timing);
    put_readings(p, a);
    if (a->money.option[TUFA_CHOICE_SETPOINT].possible) put_say(p, a, say_other_setpoint);
    text w = {0};
    say_bring(&w, a);
    if (!w.len && !caution_work(a->plan.choice, a->plan.fuel, a->plan.reading)) {
        text_free(&w);
        return;
    }
    RAW(p->out, "<h3>Before you touch it</h3>");
    put_cautions(p, &a->plan);
    put_paragraph_words(p->out, &w);
    say_law(&w);
    put_paragraph_words(p->out, &w);
    text_free(&w);
}

/* ---- ahead ---- */

static void put_bed_ahead(page *p, const ahead_answer *a)
{
    bed_plot *b = malloc(sizeof *b);
    put_heading(p->out, "The bed ahead");
    if (b) {
        draw_bed_ahead(a, "bed", b);
        put_plot(p->out, &b->plot);
    }
    free(b);
}

/* ---- a day ---- */

static void put_hour_links(page *p, const ahead_answer *a, int hour)
{
    RAW(p->out, "<p class=\"hours\">");
    text_addf(p->out, "<a href=\"/heater?id=%lld&amp;hour=%d#day\" id=\"earlier\">An hour earlier</a> ", (long long)a->c.heater.id,
              (hour + DAY_HOURS - 1) % DAY_HOURS);
    text_addf(p->out, "<strong>%d:00</strong> ", hour);
    text_addf(p->out, "<a href=\"/heater?id=%lld&amp;hour=%d#day\" id=\"later\">An hour later</a></p>", (long long)a->c.heater.id,
              (hour + 1) % DAY_HOURS);
}

static void put_hours_table(page *p, const ahead_answer *a, const heater_hours *h)
{
    static const char *const heads[] = {"Hour", "=Hot water drawn in the hour before", "=Heating, of that hour", "=Bottom", "=Middle", "=Top", NULL};
    text w = {0};
    details_begin(p->out, "The whole day in figures");
    table_begin(p->out, "A day of this tank, hour by hour", true, heads);
    for (int k = 1; k <= DAY_HOURS; k++) {
        const int at[] = {0, h->layers / 2, h->layers - 1};
        row_begin(p->out);
        text_addf(&w, "%d:00", k);
        cell_head(p->out, text_str(&w));
        text_clear(&w);
        say_volume(&w, a->units, h->drawn_m3[k]);
        cell_figure_words(p->out, &w);
        text_addf(&w, "%.0f min", 60.0 * h->on_share[k]);
        cell_figure_words(p->out, &w);
        for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
            say_temperature(&w, a->units, h->K[k][at[i]]);
            cell_figure_words(p->out, &w);
        }
        row_end(p->out);
    }
    table_end(p->out);
    details_end(p->out);
    text_free(&w);
}

static void put_day(page *p, const ahead_answer *a)
{
    enum { USUAL_HOUR = 8 };
    int hour = (int)page_number(p, "hour", 0, DAY_HOURS - 1, USUAL_HOUR);
    heater_hours *h = malloc(sizeof *h);
    heater_picture *pic = malloc(sizeof *pic);
    put_heading(p->out, "A day of this tank");
    put_say(p, a, say_what_it_gives);
    put_say(p, a, say_energy_year);
    if (h && pic && desk_heater_hours(a, h).code == TUFA_OK) {
        RAW(p->out, "<div id=\"day\">");
        put_hour_links(p, a, hour);
        draw_heater_hour(a, h, hour, "layers", pic);
        put_tank(p->out, &pic->picture);
        RAW(p->out, "</div>");
        put_paragraph(p->out, "A simulated day of this month with the household's usual draws and today's bed, not a measurement.");
        put_hours_table(p, a, h);
    } else {
        put_paragraph(p->out, "Its day cannot be simulated with what is known of it.");
    }
    free(h);
    free(pic);
}

/* ---- what is known ---- */

static void put_known(page *p, const ahead_answer *a)
{
    static const char *const heads[] = {"What", "Taken as", "From", "", NULL};
    put_heading(p->out, "What is known of it, and from what");
    RAW(p->out, "<div class=\"slim\">");
    table_begin(p->out, "Known and assumed", false, heads);
    for (size_t i = 0; i < a->knowns; i++) {
        const known_line *k = &a->known[i];
        row_begin(p->out);
        cell_head(p->out, k->what);
        cell(p->out, k->value);
        RAW(p->out, "<td>");
        if (k->assumed) RAW(p->out, "<strong>assumed</strong>: ");
        put_html(p->out, k->from);
        RAW(p->out, "</td><td>");
        if (k->field) {
            text_addf(p->out, "<a href=\"/heater?id=%lld&amp;field=", (long long)a->c.heater.id);
            put_query(p->out, k->field);
            RAW(p->out, "#correct\">correct<span class=\"unseen\"> ");
            put_html(p->out, k->what);
            RAW(p->out, "</span></a>");
        }
        RAW(p->out, "</td>");
        row_end(p->out);
    }
    table_end(p->out);
    RAW(p->out, "</div>");
    if (a->water_ask[0]) {
        RAW(p->out, "<p>Worth a call to the water works: ");
        put_html(p->out, a->water_ask);
        RAW(p->out, "</p>");
    }
}

/* Everything that a heater, its house and its household can be told, by the names of `tufa set`. */
static void put_correct_form(page *p, int64_t id)
{
    enum { MOST = 96 };
    pick picks[MOST];
    char words[MOST][200];
    size_t n = 0, fields;
    static const thing_kind KINDS[] = {THING_HEATER, THING_HOUSE};
    static const struct {
        const char *name, *what;
    } HOUSEHOLD[] = {{"people", "how many people live there, from today on"}, {"hot_water", "hot water drawn a day, where somebody measured it"}};
    for (size_t i = 0; i < sizeof HOUSEHOLD / sizeof HOUSEHOLD[0]; i++, n++) {
        snprintf(words[n], sizeof words[n], "household: %s", HOUSEHOLD[i].what);
        picks[n] = (pick){HOUSEHOLD[i].name, words[n]};
    }
    static char names[MOST][48]; /* the same every time: names of the table of fields */
    for (size_t k = 0; k < sizeof KINDS / sizeof KINDS[0]; k++) {
        const field_row *f = thing_fields(KINDS[k], &fields);
        for (size_t i = 0; i < fields && n < MOST; i++) {
            if (KINDS[k] == THING_HOUSE && thing_field(THING_HEATER, f[i].member) && f[i].type != FIELD_REF) continue;
            snprintf(names[n], sizeof names[n], "%.*s", (int)strcspn(f[i].names, "|"), f[i].names);
            if (KINDS[k] == THING_HEATER && f[i].type == FIELD_REF) continue;
            snprintf(words[n], sizeof words[n], "%s: %s", thing_word(KINDS[k]), f[i].what);
            picks[n] = (pick){names[n], words[n]};
            n++;
        }
    }
    RAW(p->out, "<h3 id=\"correct\">Correct one thing</h3>");
    put_paragraph(p->out, "What was said before stays in the book with its day. \"?\" says that nobody knows; \"about 10\" and \"8..12\" are as good as a figure.");
    put_form(p, "/heater");
    put_hidden_id(p, "id", id);
    put_select(p, "field", "What", picks, n, "people", NULL);
    put_input(p, "value", "As it is", "", p->d->units == UNITS_US ? "With its unit, or without one in US units: 40, 40 gal, 150 L, 1998, yes" : "With its unit, or without one in metric units: 150, 150 L, 40 gal, 1998, yes");
    put_form_end(p, "Keep it");
}

static void put_history(page *p, const history_line *line, size_t n)
{
    static const char *const heads[] = {"Day", "What", "", "From", NULL};
    text w = {0};
    put_heading(p->out, "Found and done so far");
    if (n == 0) put_paragraph(p->out, "Nothing yet, as far as the book knows.");
    if (n == 0) return;
    table_begin(p->out, "Found and done", false, heads);
    for (size_t i = 0; i < n; i++) {
        row_begin(p->out);
        say_day(&w, line[i].day);
        cell_head(p->out, text_str(&w));
        text_clear(&w);
        cell(p->out, line[i].what);
        cell(p->out, line[i].words);
        cell(p->out, line[i].source);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

static void put_way(page *p, const char *path, int64_t id, const char *words)
{
    RAW(p->out, "<li>");
    put_id_link(p->out, path, "heater", id, words);
    RAW(p->out, "</li>");
}

/* Where one goes on from here, in the order in which one does. */
static void put_ways(page *p, int64_t id)
{
    put_heading(p->out, "From here");
    RAW(p->out, "<ul>");
    put_way(p, "/call/new", id, "The tenant called: what is it?");
    put_way(p, "/bill", id, "Is something leaking power, gas or hot water?");
    put_way(p, "/clean", id, "How to get the bed out");
    put_way(p, "/visit", id, "Plan a visit");
    put_way(p, "/visit/record", id, "Write down a visit");
    put_way(p, "/prove", id, "What is left in it, and the visits so far");
    put_way(p, "/quote", id, "A contractor's quote for it: take it, ask first, or no");
    put_way(p, "/learned", id, "What is known of its sediment, and from what; what may end first");
    RAW(p->out, "<li><a href=\"#paper\">Paper to take along or to hand out</a>");
    RAW(p->out, "</li></ul>");
}

static tufa_status put_all(page *p, int64_t id, const ahead_answer *a)
{
    history_line *line = NULL;
    size_t n = 0;
    page_title(p, a->c.heater.label);
    put_tank_and_words(p, a);
    put_this_year(p, a);
    put_ways(p, id);
    put_bed_ahead(p, a);
    put_day(p, a);
    put_known(p, a);
    put_correct_form(p, id);
    RETURN_IF(desk_history(p->d, id, &line, &n));
    put_history(p, line, n);
    free(line);
    put_papers(p->out, id);
    return OK;
}

static void name_of(int64_t id, char out[24]) { snprintf(out, 24, "#%lld", (long long)id); }

tufa_status page_heater(page *p)
{
    int64_t id;
    char name[24];
    trouble_note note = {0};
    RETURN_IF(page_id(p, "id", &id));
    ahead_answer *a = malloc(sizeof *a);
    if (!a) return trouble(TUFA_MEMORY, "view ahead", NULL);
    name_of(id, name);
    tufa_code code = desk_ahead(p->d, name, a, NULL, &note);
    tufa_status st = OK;
    if (code == TUFA_OK) {
        page_keep(p);
        st = put_all(p, id, a);
        ahead_free(a);
    } else if (p->note.code == TUFA_OK) {
        p->note = note;
        st = (tufa_status){.code = code == TUFA_UNKNOWN ? TUFA_MISSING : code};
    }
    free(a);
    return st;
}

/* ---- a correction ---- */

static void say_effect(text *t, const set_answer *s, const set_effect *e)
{
    text_addf(t, "%s of %s: %s", s->field, s->label, s->after.len ? text_str(&s->after) : "not known");
    if (s->same) {
        text_add(t, "; the book said so already.");
        return;
    }
    if (s->before.len) text_addf(t, "; before: %s, which stays in the book", text_str(&s->before));
    text_add(t, ".");
    if (e->compared && e->n == 0) text_add(t, " It changes nothing in the figures as they are told.");
    for (size_t i = 0; i < e->n; i++) text_addf(t, "\n%s: %s (before: %s).", e->line[i].what, e->line[i].after, e->line[i].before);
    if (e->more) text_addf(t, "\nAnd for %zu more heaters.", e->more);
}

tufa_status take_correction(page *p)
{
    int64_t id;
    char name[24], to[64];
    set_answer s;
    set_effect e;
    RETURN_IF(page_id(p, "id", &id));
    name_of(id, name);
    const char *value = page_field(p, "value");
    if (!value[0]) {
        note_set(&p->note, TUFA_MISSING, "value", "", "", "say what it is; ? where nobody knows");
        return page_noted(p, TUFA_MISSING);
    }
    tufa_code code = desk_set_told(p->d, name, page_field(p, "field"), value, &s, &e, NULL, &p->note);
    if (code != TUFA_OK) {
        snprintf(p->note.field, sizeof p->note.field, "value");
        return page_noted(p, code);
    }
    text words = {0};
    say_effect(&words, &s, &e);
    snprintf(to, sizeof to, "/heater?id=%lld", (long long)id);
    page_go_saying(p, to, text_str(&words));
    text_free(&words);
    set_answer_free(&s);
    return OK;
}
