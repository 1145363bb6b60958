#include "edge/cli/plan_text.h"

#include <string.h>

#include "edge/desk/letter.h"
#include "edge/desk/words.h"

enum { WIDTH = 96, NAME_COLUMN = 2, ACTION_COLUMN = 24, FUEL_COLUMN = 62, WHY_INDENT = 6 };

void paragraph(text *t, text *words, size_t indent)
{
    text_pad_to(t, indent);
    text_add_wrapped(t, text_str(words), WIDTH, indent);
    text_add(t, "\n");
    text_free(words);
}

/* ---- cautions ---- */

void caution_titles(text *t, tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading)
{
    bool first = true;
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (!caution_goes(c, choice, fuel, reading)) continue;
        text_addf(t, "%s%s", first ? "" : "; ", c->title);
        first = false;
    }
}

void caution_words(text *t, tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading)
{
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (!caution_goes(c, choice, fuel, reading)) continue;
        text words = {0};
        text_addf(&words, "%s. %s", c->title, c->words);
        paragraph(t, &words, 2);
    }
}

/* ---- one heater ---- */

static void costs(text *t, const year_row *r)
{
    text words = {0};
    if (r->choice == TUFA_CHOICE_LEAVE) {
        say_usd_band(&words, &r->left_usd);
        text_add(&words, " over ten years, left alone");
    } else {
        say_usd_band(&words, &r->done_usd);
        text_add(&words, " if done, ");
        say_usd_band(&words, &r->left_usd);
        text_add(&words, " if left; ");
        say_number(&words, r->hours.p50, 2);
        text_add(&words, " h");
    }
    paragraph(t, &words, WHY_INDENT);
}

/* What the heater gives, where it matters: judgement. */
static const double MUCH_LOST_M3 = 0.0114, SOON_S = 5.0, LONG_S = 6.0 * 3600.0; /* 3 gal; as 140 F burns; of the whole tank */

static void hot_line(text *t, const hot_row *h, unit_system u)
{
    text w = {0};
    if ((double)h->first_draw_lost_m3 > MUCH_LOST_M3) {
        text_add(&w, "The bed takes ");
        say_volume(&w, u, (double)h->first_draw_lost_m3);
        text_add(&w, " of its hot water. ");
    }
    if (h->scald_adult_s >= 0.0F && (double)h->scald_adult_s <= SOON_S) {
        text_add(&w, "Its hottest water, ");
        say_temperature(&w, u, (double)h->hottest_K);
        text_add(&w, ", burns an adult in about ");
        say_short_time(&w, (double)h->scald_adult_s);
        text_add(&w, ". ");
    }
    if ((double)h->growth_mean_s > LONG_S)
        text_addf(&w, "The tank stands %.0f hours a day where Legionella grows. ", (double)h->growth_mean_s / 3600.0);
    if (w.len) paragraph(t, &w, WHY_INDENT);
}

static void heater(text *t, const year_row *r, int64_t today, unit_system u)
{
    text words = {0};
    text_pad_to(t, NAME_COLUMN);
    text_add(t, label_on_street(r));
    text_add(t, " ");
    text_pad_to(t, ACTION_COLUMN);
    text_addf(&words, "%s, ", tufa_choice_at(r->choice)->key);
    say_due(&words, r, today);
    text_add(t, text_str(&words));
    text_clear(&words);
    text_add(t, "  ");
    text_pad_to(t, FUEL_COLUMN);
    text_addf(t, "%s, ", fuel_word(r->fuel));
    say_age(t, r);
    text_add(t, "\n");
    text_add(&words, r->why);
    paragraph(t, &words, WHY_INDENT);
    hot_line(t, &r->hot, u);
    say_fits(&words, r, u);
    if (words.len) paragraph(t, &words, WHY_INDENT);
    say_other_kind(&words, r);
    if (words.len) paragraph(t, &words, WHY_INDENT);
    costs(t, r);
}

static void street(text *t, const year_answer *a, const year_street *s)
{
    text_addf(t, "\n%s", s->name[0] ? s->name : "No street given");
    if (s->visits) {
        text_add(t, ": ");
        say_count(t, s->visits, "visit", "visits");
        text_add(t, " on one drive, ");
        say_number(t, s->hours, 2);
        text_add(t, " h of work, ");
        say_usd(t, s->spend_usd);
    }
    text_add(t, "\n");
    for (size_t i = s->first; i < s->first + s->n; i++) heater(t, &a->row[i], a->today, a->units);
}

/* ---- the page ---- */

static void title(text *t, const year_answer *a, const char *book)
{
    text_addf(t, "Year plan of %s, made on ", book);
    say_day(t, a->today);
    text_add(t, "\n\n");
}

static void letter(text *t, const year_answer *a)
{
    text words = {0};
    say_year_letter(&words, a);
    paragraph(t, &words, 0);
}

static void works(text *t, const year_answer *a)
{
    bool done[TUFA_CHOICE_COUNT][2] = {{false}};
    for (size_t i = 0; i < a->n; i++) {
        const year_row *r = &a->row[i];
        bool gas = r->fuel != TUFA_ELECTRIC;
        if (r->choice == TUFA_CHOICE_LEAVE || done[r->choice][gas] || !caution_work(r->choice, r->fuel, r->reading)) continue;
        done[r->choice][gas] = true;
        text words = {0};
        text_addf(&words, "To %s (%s): ", strcmp(tufa_choice_at(r->choice)->key, "anode check") == 0 ? "check the anode" : tufa_choice_at(r->choice)->key,
                  gas ? "gas" : "electric");
        caution_titles(&words, r->choice, r->fuel, r->reading);
        text_add(&words, ".");
        paragraph(t, &words, 2);
    }
}

static void foot(text *t, const year_answer *a)
{
    text words = {0};
    text_add(t, "\n");
    say_how_counted(&words, a);
    paragraph(t, &words, 0);
    say_what_is_missing(&words, a);
    if (words.len) paragraph(t, &words, 0);
    say_houses_to_ask(&words, a);
    if (words.len) paragraph(t, &words, 0);
    say_not_considered(&words);
    paragraph(t, &words, 0);
    say_law(&words);
    paragraph(t, &words, 0);
    if (a->visits) {
        text_add(t, "Before the work, in the words that `tufa ahead HEATER` prints in full:\n");
        works(t, a);
    }
}

void plan_head_text(text *t, const year_answer *a, const char *book)
{
    title(t, a, book);
    letter(t, a);
    for (size_t k = 0; k < a->firsts; k++) {
        if (k == 0) text_add(t, "\n");
        const year_row *r = &a->row[a->first[k]];
        text words = {0};
        text_addf(&words, "%s: %s, ", r->label, tufa_choice_at(r->choice)->key);
        say_due(&words, r, a->today);
        text_addf(&words, ". %c%s.", r->why[0] >= 'a' && r->why[0] <= 'z' ? r->why[0] - 'a' + 'A' : r->why[0], r->why[0] ? r->why + 1 : "");
        paragraph(t, &words, 2);
    }
}

void plan_text(text *t, const year_answer *a, const char *book)
{
    title(t, a, book);
    letter(t, a);
    for (size_t k = 0; k < a->streets; k++) street(t, a, &a->street[k]);
    if (a->n) foot(t, a);
}
