/* A contractor's quote: what is known of it and of the heater, and below what to answer. */
#include <stdio.h>
#include <string.h>

#include "edge/desk/letter.h"
#include "edge/desk/quote.h"
#include "edge/desk/words.h"
#include "edge/web/page.h"

enum { LINE_ROOM = 80 };

typedef struct asked {
    quote_ask ask;
    char line[TUFA_LINE_COUNT][LINE_ROOM];
} asked;

/* A link may fill part of the form; it is judged when a price came with it, or the button was pressed. */
static bool is_asked(const page *p) { return page_field(p, "price")[0] || page_field(p, "judge")[0]; }

/* Answers whether the form was filled in enough to be asked. */
static bool read_form(const page *p, asked *a)
{
    *a = (asked){.ask = {.heater = page_field(p, "heater"), .fuel = page_field(p, "fuel"), .age = page_field(p, "age"), .volume = page_field(p, "volume"),
                         .hardness = page_field(p, "hardness"), .price = page_field(p, "price"), .warranty = page_field(p, "warranty"), .work = page_field(p, "for"),
                         .part = page_field(p, "part"), .offered = page_field(p, "offered"),
                         .offered_volume = page_field(p, "offered_volume"), .first_hour = page_field(p, "first_hour"), .leaking = page_field(p, "leaking"), .myself = page_field(p, "myself")}};
    if (page_has(p, "unsafe", "limit")) a->ask.limit = "yes";
    if (page_has(p, "unsafe", "flue")) a->ask.flue = "yes";
    if (a->ask.heater[0]) a->ask.fuel = a->ask.age = a->ask.volume = a->ask.hardness = ""; /* the book says these */
    if (page_field(p, "lines")[0]) a->ask.line[a->ask.lines++] = page_field(p, "lines");
    for (int l = 0; l < TUFA_LINE_COUNT; l++) {
        char name[48];
        const char *key = tufa_quote_line_at((tufa_quote_line)l)->key;
        snprintf(name, sizeof name, "line_%s", key);
        const char *typed = page_field(p, name);
        if (!typed[0]) continue;
        snprintf(a->line[l], sizeof a->line[l], "%s=%s", key, typed);
        a->ask.line[a->ask.lines++] = a->line[l];
    }
    return a->ask.lines > 0 || is_asked(p);
}

/* ---- the form ---- */

/* What nearly everybody knows; the rest is behind it. */
static void put_first_fields(page *p)
{
    static const pick FUELS[] = {{"", "not said"}, {"electric", "electric"}, {"gas", "natural gas"}, {"propane", "propane"}};
    static const pick WORKS[] = {{"replace", "to replace the heater"}, {"repair", "for a repair"}, {"clean", "to clean the tank"}, {"treatment", "for a treatment against scale"}};
    static const pick LEAKS[] = {{"?", "don't know"}, {"no", "no"}, {"yes", "yes"}};
    put_input(p, "price", "What it asks in all, dollars", "", "Empty: the sum of its lines");
    put_select(p, "for", "It is", WORKS, 4, "replace", NULL);
    put_input(p, "heater", "A heater of the book", "", "Its name or number. Empty for one that is not in the book: then say the fuel.");
    put_select(p, "fuel", "What heats the water", FUELS, 4, "", NULL);
    put_input(p, "age", "How old is it", "", "\"about 9\", 2015, between 8 and 12, or ?");
    put_select(p, "leaking", "Does the tank itself leak", LEAKS, 3, "?", "The shell, not a fitting or a valve");
}

static void put_more_fields(page *p)
{
    static const pick KINDS[] = {{"", "a heater like it"}, {"gas", "a gas heater"}, {"electric", "an electric heater"}, {"heat pump", "a heat pump heater"}};
    static const pick SELF[] = {{"", "as usual: yes, but not a new gas heater"}, {"yes", "yes"}, {"no", "no"}};
    put_input(p, "part", "Which part, or what is sold", "", "element, thermostat, anode, gas valve; magnet, electronic, template, phosphate, softener. Empty for a replacement or a cleaning.");
    put_select(p, "offered", "What would stand in its place", KINDS, 4, "", NULL);
    put_input(p, "offered_volume", "Gallons of the heater that is offered", "", "Empty: as many as the old one holds");
    put_input(p, "first_hour", "First-hour rating on its label, gallons", "", NULL);
    put_checkbox(p, "unsafe", "limit", "The limit has failed", page_has(p, "unsafe", "limit"));
    put_checkbox(p, "unsafe", "flue", "The flue is unsafe", page_has(p, "unsafe", "flue"));
    put_select(p, "myself", "Could you do this work yourself", SELF, 3, "", NULL);
    put_input(p, "warranty", "Warranty, years", "", NULL);
    put_input(p, "volume", "Gallons", "", "As the plate says; empty when you don't know");
    put_input(p, "hardness", "How hard is the water", "", "25 gpg, \"very hard\", or empty");
}

static void put_line_fields(page *p)
{
    char name[48], label[80];
    put_group(p, "Its lines, as far as they are given, dollars");
    for (int l = 0; l < TUFA_LINE_COUNT; l++) {
        const tufa_quote_line_row *r = tufa_quote_line_at((tufa_quote_line)l);
        snprintf(name, sizeof name, "line_%s", r->key);
        snprintf(label, sizeof label, "%s", r->what);
        put_input(p, name, label, "", NULL);
    }
    put_group_end(p);
}

static void put_whole_form(page *p)
{
    put_ask_form(p, "/quote");
    put_hidden(p, "judge", "1");
    put_first_fields(p);
    details_begin(p->out, "Dangers, part, warranty, water, and the lines of the quote");
    put_more_fields(p);
    put_line_fields(p);
    details_end(p->out);
    put_form_end(p, "Judge it");
}

/* ---- the answer ---- */

static void put_say(page *p, const quote_answer *a, void (*say)(text *, const quote_answer *))
{
    text w = {0};
    say(&w, a);
    if (w.len) put_paragraph_words(p->out, &w);
    text_free(&w);
}

static void put_danger(page *p, const quote_answer *a)
{
    text w = {0};
    say_quote_danger(&w, a);
    if (w.len) put_caution(p->out, "Before any money", text_str(&w));
    text_free(&w);
}

static void put_lines(page *p, const quote_answer *a)
{
    static const char *const heads[] = {"Line", "=Asked", "=Usual", "It is", "What to make of it", NULL};
    text w = {0};
    if (!(a->q.lines_usd > 0.0)) return;
    put_heading(p->out, "Line by line");
    table_begin(p->out, "The quote line by line", false, heads);
    for (int l = 0; l < TUFA_LINE_COUNT; l++) {
        tufa_quote_line line = (tufa_quote_line)l;
        if (!quote_line_matters(a, line)) continue;
        row_begin(p->out);
        cell_head(p->out, tufa_quote_line_at(line)->what);
        if (a->in.line_usd[l] >= 0.0) say_usd(&w, a->in.line_usd[l]);
        cell_figure_words(p->out, &w);
        say_quote_line_range(&w, a, line);
        cell_figure_words(p->out, &w);
        cell(p->out, a->q.line_mark[l] == TUFA_MARK_NO_RANGE ? "?" : quote_mark_word(a->q.line_mark[l]));
        say_quote_line_note(&w, a, line);
        cell_words(p->out, &w);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

static void put_asks(page *p, const quote_answer *a)
{
    text w = {0};
    if (a->q.asks == 0) return;
    put_heading(p->out, "To ask, or to read yourself");
    RAW(p->out, "<ol>");
    for (size_t k = 0; k < a->q.asks; k++) {
        RAW(p->out, "<li>");
        say_quote_ask(&w, a, k);
        put_html_text(p->out, &w);
        RAW(p->out, "</li>");
    }
    RAW(p->out, "</ol>");
    text_free(&w);
}

static void put_answer(page *p, const quote_answer *a)
{
    text w = {0};
    put_danger(p, a);
    say_quote_first(&w, a);
    put_heading(p->out, text_str(&w));
    text_clear(&w);
    put_say(p, a, say_quote_worth);
    put_say(p, a, say_quote_usual);
    put_say(p, a, say_quote_fits);
    put_say(p, a, say_quote_warranty);
    text kind = {0};
    say_quote_kind(&kind, a);
    if (kind.len) put_caution(p->out, "Another kind of heater", text_str(&kind));
    text_free(&kind);
    put_say(p, a, say_quote_treatment);
    if (a->in.what == TUFA_QUOTE_TREATMENT) put_link(p->out, "/treatments", "What is known of treatments, and what a fair trial could show");
    put_lines(p, a);
    put_asks(p, a);
    put_heading(p->out, "What this rests on");
    put_say(p, a, say_quote_rests_on);
    say_law(&w);
    put_paragraph_words(p->out, &w);
    if (a->heater) put_heater_link(p->out, a->heater, a->label);
    text_free(&w);
}

/* The same question, for the sheet of paper. */
static void put_paper_link(page *p, const asked *a)
{
    const struct {
        const char *name, *value;
    } FIELDS[] = {{"heater", a->ask.heater}, {"fuel", a->ask.fuel}, {"age", a->ask.age}, {"volume", a->ask.volume}, {"hardness", a->ask.hardness},
                  {"price", a->ask.price}, {"for", a->ask.work}, {"part", a->ask.part}, {"offered", a->ask.offered}, {"offered-volume", a->ask.offered_volume}, {"first-hour", a->ask.first_hour}, {"warranty", a->ask.warranty}, {"leaking", a->ask.leaking}, {"myself", a->ask.myself},
                  {"unsafe", a->ask.limit ? "limit" : ""}, {"unsafe", a->ask.flue ? "flue" : ""}};
    text to = {0};
    text_add(&to, "/paper?document=quote%20paper");
    for (size_t i = 0; i < sizeof FIELDS / sizeof FIELDS[0]; i++) {
        if (!FIELDS[i].value[0]) continue;
        text_addf(&to, "&%s=", FIELDS[i].name);
        put_query(&to, FIELDS[i].value);
    }
    for (size_t i = 0; i < a->ask.lines; i++) {
        text_add(&to, i ? "%3B" : "&line=");
        put_query(&to, a->ask.line[i]);
    }
    RAW(p->out, "<p>");
    put_link(p->out, text_str(&to), "This review on one sheet of paper (PDF)");
    RAW(p->out, "</p>");
    text_free(&to);
}

tufa_status page_quote(page *p)
{
    asked a;
    quote_answer answer;
    text near = {0};
    page_keep(p);
    bool ask = read_form(p, &a);
    tufa_code code = TUFA_MISSING;
    if (ask) code = desk_quote(p->d, p->d->today, &a.ask, &answer, &near, &p->note);
    if (ask && code != TUFA_OK) {
        p->a->code = 422;
        text words = {0};
        say_trouble(&words, &p->note);
        RAW(p->out, "<p class=\"error\" role=\"alert\">");
        put_html_text(p->out, &words);
        put_html_text(p->out, &near);
        RAW(p->out, "</p>");
        text_free(&words);
    }
    text_free(&near);
    if (code == TUFA_OK) {
        details_begin(p->out, "What was said of it: change something");
        put_whole_form(p);
        details_end(p->out);
        put_answer(p, &answer);
        put_paper_link(p, &a);
        return (tufa_status){.code = TUFA_OK};
    }
    put_paragraph(p->out, "Take it, ask first, or no, and by how many dollars. The fuel and a price are enough; everything else makes it surer. Nothing is kept.");
    put_whole_form(p);
    RAW(p->out, "<p>");
    put_link(p->out, "/treatments", "Magnets, electronic devices and others: what is known of them");
    RAW(p->out, "</p>");
    return (tufa_status){.code = TUFA_OK};
}
