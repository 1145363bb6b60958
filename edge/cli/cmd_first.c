/* `tufa` with no command. Without a book: four plain questions, a book, one page. With one: the head of its plan. */
#include <stdlib.h>
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/first.h"
#include "edge/desk/letter.h"
#include "edge/desk/words.h"

/* ---- the questions ---- */

enum { LONGEST_ANSWER = 200 };

typedef struct dialogue {
    cli *c;
    int64_t today;
    first_ask ask;
    bool ended;      /* no more input */
    size_t answered;
} dialogue;

typedef tufa_code (*answer_fn)(dialogue *d, const char *s, trouble_note *note);

static tufa_code houses(dialogue *d, const char *s, trouble_note *note) { return first_houses(s, &d->ask, note); }
static tufa_code fuels(dialogue *d, const char *s, trouble_note *note) { return first_fuels(s, &d->ask, note); }
static tufa_code ages(dialogue *d, const char *s, trouble_note *note) { return first_ages(s, d->today, &d->ask, note); }
static tufa_code hardness(dialogue *d, const char *s, trouble_note *note) { return first_hardness(s, &d->ask, note); }

typedef struct question {
    const char *words, *hint;
    answer_fn take;
} question;
static const question QUESTIONS[] = {
    {"How many houses do you look after?", "A number will do: 12, \"about 12\", or ? when you don't know.", houses},
    {"What heats the water in them: electric, gas or propane? With numbers if you have them: \"8 electric, 4 gas\".",
     "One word will do: electric, gas or propane; or how many of each; or ?.", fuels},
    {"How old are the heaters, roughly? One answer for all (\"about 10\", \"between 4 and 16\"), or one for each, with commas.",
     "Years or the year they were put in: \"about 10\", \"2014\", \"between 4 and 16\", \"3, 9, 15, ?\"; or ?.", ages},
    {"How hard is the water? In grains (\"18\"), in mg/L (\"300 mg/L\"), or soft, hard, very hard.",
     "A figure from the water works' report, a test strip, or a word: soft, hard, very hard; or ?.", hardness},
};

/* One line without its end; a line that is too long is read to its end and cut. False at the end of input. */
static bool read_line(FILE *in, char line[LONGEST_ANSWER])
{
    size_t n = 0;
    int ch = fgetc(in);
    if (ch == EOF) return false;
    for (; ch != EOF && ch != '\n'; ch = fgetc(in))
        if (n + 1 < LONGEST_ANSWER && ch != '\r' && ch != 0) line[n++] = (char)ch;
    line[n] = 0;
    return true;
}

static void put_paragraph(FILE *out, const char *s)
{
    text words = {0}, t = {0};
    text_add(&words, s);
    paragraph(&t, &words, 0);
    text_print(&t, out);
    text_free(&t);
}

static void hint(dialogue *d, const question *q, const trouble_note *note)
{
    text t = {0};
    text_add(&t, "  ");
    say_trouble(&t, note);
    text_addf(&t, "  %s\n", q->hint);
    text_print(&t, d->c->out);
    text_free(&t);
}

/* Asks until the answer is understood; the end of input counts as "don't know". */
static int ask(dialogue *d, const question *q)
{
    char line[LONGEST_ANSWER] = "?";
    trouble_note note = {0};
    put_paragraph(d->c->out, q->words);
    for (;;) {
        fputs("> ", d->c->out);
        fflush(d->c->out);
        d->ended = d->ended || !read_line(d->c->in, line);
        if (d->ended) fputs("(no more input: taken as \"don't know\")\n", d->c->out);
        tufa_code code = q->take(d, d->ended ? "?" : line, &note);
        if (code == TUFA_MEMORY) return cli_fail_status(d->c, (tufa_status){.code = code, .field = "answers"});
        if (code == TUFA_OK) break;
        if (d->ended) return cli_fail(d->c, &note);
        hint(d, q, &note);
    }
    d->answered += !d->ended;
    fputs("\n", d->c->out);
    return 0;
}

static int dialogue_run(dialogue *d)
{
    put_paragraph(d->c->out, "There is no book here yet. Four questions make one. \"Don't know\", \"about 10\" and \"between 8 and 12\" "
                             "are good answers to each of them, and each can be corrected later.");
    fputs("\n", d->c->out);
    for (size_t i = 0; i < sizeof QUESTIONS / sizeof QUESTIONS[0]; i++) {
        int code = ask(d, &QUESTIONS[i]);
        if (code) return code;
        if (d->ended && d->answered == 0) {
            trouble_note note = {0};
            note_set(&note, TUFA_MISSING, "answers", "", "", "the input ended before the first answer, so no book was made; `tufa help` lists what can be asked");
            return cli_fail(d->c, &note);
        }
    }
    return 0;
}

/* ---- the page ---- */

/* Heaters for which the same is proposed, on the same fuel, are told together. */
static bool alike(const year_row *a, const year_row *b) { return a->choice == b->choice && a->fuel == b->fuel; }

static void others(text *t, const year_answer *a, const year_row *r)
{
    enum { NAMED = 4 };
    size_t n = 0;
    for (size_t i = 0; i < a->n; i++) {
        if (&a->row[i] == r || !alike(&a->row[i], r)) continue;
        if (n < NAMED) text_addf(t, "%s%s", n ? ", " : " The same for ", a->row[i].label);
        n++;
    }
    if (n > NAMED) text_addf(t, " and %zu more", n - NAMED);
    if (n) text_add(t, ".");
}

static void entry_line(text *t, const char *head, text *words)
{
    text whole = {0};
    text_addf(&whole, "%s%s", head, text_str(words));
    text_free(words);
    paragraph(t, &whole, 4);
}

static void entry(text *t, const year_answer *a, const year_row *r)
{
    text w = {0};
    text_addf(&w, "%s (%s, ", r->label, fuel_word(r->fuel));
    say_age(&w, r);
    text_addf(&w, "): %s, ", tufa_choice_at(r->choice)->key);
    say_due(&w, r, a->today);
    text_add(&w, ".");
    others(&w, a, r);
    paragraph(t, &w, 2);
    text_add(&w, r->why);
    text_add(&w, ".");
    entry_line(t, "Why: ", &w);
    say_plan_why_to_tenant(&w, r);
    entry_line(t, "To the tenant: ", &w);
    text_add(&w, kit_words(r->choice, r->fuel, r->reading));
    text_add(&w, ".");
    entry_line(t, "Bring: ", &w);
    say_usd_band(&w, &r->done_usd);
    text_add(&w, " if done, ");
    say_usd_band(&w, &r->left_usd);
    text_add(&w, " if left, over the coming ten years.");
    entry_line(t, "Money: ", &w);
    text_addf(&w, "%s.", reading_words(r->reading, r->fuel));
    entry_line(t, "What would change this most: ", &w);
    caution_titles(&w, r->choice, r->fuel, r->reading);
    if (w.len == 0) return;
    text_add(&w, ".");
    entry_line(t, "Cautions, in full under `tufa ahead`: ", &w);
}

/* Of the visits that look different from those shown, the one where most is to be saved; NULL when there is none. */
static const year_row *best_of_another_kind(const year_answer *a, const year_row *const *seen, size_t n)
{
    const year_row *best = NULL;
    for (size_t k = 0; k < a->n; k++) {
        const year_row *r = &a->row[k];
        bool again = r->choice == TUFA_CHOICE_LEAVE;
        for (size_t i = 0; i < n; i++) again = again || alike(seen[i], r);
        if (!again && (!best || r->mean_gain_usd > best->mean_gain_usd)) best = r;
    }
    return best;
}

static void first_entries(text *t, const year_answer *a)
{
    enum { MOST = 3 };
    const year_row *seen[MOST] = {NULL};
    size_t n = 0;
    for (const year_row *r; n < MOST && (r = best_of_another_kind(a, seen, n)) != NULL; n++) {
        if (n) text_add(t, "\n");
        entry(t, a, r);
        seen[n] = r;
    }
    if (n == 0) text_add(t, "  Nothing: as far as four answers tell, nothing that could be done this year pays for itself.\n");
}

static void what_next(text *t, const cli *c, const year_answer *a, bool fresh)
{
    const char *label = a->n ? a->row[a->firsts ? a->first[0] : 0].label : "HEATER";
    char book[300] = "";
    if (cli_opt(c, OPT_BOOK)) snprintf(book, sizeof book, " --book %s", cli_book(c));
    text_add(t, "\nTo type next:\n");
    if (fresh) text_addf(t, "  tufa set \"%s\" age \"about 12\"%s\n      what you know better; it says what that changes\n", label, book);
    text_addf(t, "  tufa ahead \"%s\"%s\n      what lies ahead of it, and what that rests on\n", label, book);
    text_addf(t, "  tufa year%s\n      every heater, street by street\n", book);
    if (fresh) text_addf(t, "  tufa book import heaters FILE.csv%s\n      a list of your own; `tufa help book` shows its columns\n", book);
}

static int page(cli *c, bool fresh)
{
    desk d;
    year_answer a;
    int code = cli_open(c, false, &d);
    if (code) return code;
    tufa_status st = desk_year(&d, NULL, &a);
    text ask = {0};
    if (st.code == TUFA_OK && fresh) st = desk_water_ask(&d, &ask);
    desk_close(&d);
    if (st.code != TUFA_OK) {
        text_free(&ask);
        return cli_fail_book(c, st);
    }
    text t = {0}, w = {0};
    if (fresh) {
        text_addf(&w, "%s: ", cli_book(c));
        say_count(&w, a.n, "heater", "heaters");
        text_add(&w, " in it. Everything that you did not say is assumed, and marked so.");
        paragraph(&t, &w, 0);
        text_add(&t, "\nTo see first\n");
        first_entries(&t, &a);
        text_add(&t, "\n");
        if (ask.len) {
            text_addf(&w, "The one figure that would sharpen all of this: call the water works and ask %s", text_str(&ask));
            text_free(&ask);
            paragraph(&t, &w, 0);
        }
        say_law(&w);
        paragraph(&t, &w, 0);
    } else {
        plan_head_text(&t, &a, cli_book(c));
    }
    what_next(&t, c, &a, fresh);
    year_free(&a);
    return cli_finish(c, &t, 0);
}

int cmd_first(cli *c)
{
    dialogue d = {.c = c};
    if (cli_book_exists(c)) return page(c, false);
    int code = cli_today(c, &d.today);
    if (code) return code;
    code = dialogue_run(&d);
    if (code == 0) {
        tufa_status st = desk_first(cli_book(c), d.today, &d.ask);
        if (st.code != TUFA_OK) code = cli_fail_book(c, st);
    }
    first_free(&d.ask);
    return code ? code : page(c, true);
}
