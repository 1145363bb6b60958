/* `tufa quote`: take it, ask first, or no; for a heater of the book or from a few plain answers. */
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/letter.h"
#include "edge/desk/quote.h"
#include "edge/desk/words.h"

/* ---- words ---- */

static void put(text *t, const quote_answer *a, void (*say)(text *, const quote_answer *))
{
    text w = {0};
    say(&w, a);
    if (w.len) paragraph(t, &w, 0);
    text_free(&w);
}

static void lines(text *t, const quote_answer *a)
{
    enum { WHAT = 2, AMOUNT = 59, MARK = 67, RANGE = 76 };
    if (!(a->q.lines_usd > 0.0)) return;
    text_add(t, "\nLine by line\n");
    for (int l = 0; l < TUFA_LINE_COUNT; l++) {
        tufa_quote_line line = (tufa_quote_line)l;
        if (!quote_line_matters(a, line)) continue;
        text_pad_to(t, WHAT);
        text_addf(t, "%s ", tufa_quote_line_at(line)->what);
        text_pad_to(t, AMOUNT);
        if (a->in.line_usd[l] >= 0.0) say_usd(t, a->in.line_usd[l]);
        else text_add(t, "-");
        text_pad_to(t, MARK);
        text_addf(t, "%s ", a->q.line_mark[l] == TUFA_MARK_NO_RANGE ? "?" : quote_mark_word(a->q.line_mark[l]));
        text_pad_to(t, RANGE);
        say_quote_line_range(t, a, line);
        text note = {0};
        say_quote_line_note(&note, a, line);
        if (note.len) {
            text_add(t, "\n");
            text_pad_to(t, WHAT + 2);
            text_add(t, text_str(&note));
        }
        text_free(&note);
        text_add(t, "\n");
    }
}

static void questions(text *t, const quote_answer *a)
{
    if (a->q.asks == 0) return;
    text_add(t, "\nTo ask, or to read yourself\n");
    for (size_t k = 0; k < a->q.asks; k++) {
        text w = {0};
        text_addf(&w, "%zu. ", k + 1);
        say_quote_ask(&w, a, k);
        paragraph(t, &w, 2);
        text_free(&w);
    }
}

static void words(text *t, const quote_answer *a)
{
    put(t, a, say_quote_danger);
    put(t, a, say_quote_first);
    text_add(t, "\n");
    put(t, a, say_quote_worth);
    put(t, a, say_quote_usual);
    put(t, a, say_quote_fits);
    put(t, a, say_quote_warranty);
    put(t, a, say_quote_kind);
    put(t, a, say_quote_treatment);
    lines(t, a);
    questions(t, a);
    text_add(t, "\n");
    put(t, a, say_quote_rests_on);
    text w = {0};
    say_law(&w);
    paragraph(t, &w, 0);
    text_free(&w);
}

/* ---- JSON ---- */

static json_t *band(const tufa_band *b) { return json_pack("[f,f,f]", b->p10, b->p50, b->p90); }

static json_t *lines_json(const quote_answer *a)
{
    json_t *all = json_array();
    for (int l = 0; l < TUFA_LINE_COUNT; l++) {
        double usd[3];
        if (!quote_line_matters(a, (tufa_quote_line)l)) continue;
        quote_line_usual(a, (tufa_quote_line)l, usd);
        json_t *j = json_pack("{s:s,s:s}", "line", tufa_quote_line_at((tufa_quote_line)l)->key, "mark",
                              a->q.line_mark[l] == TUFA_MARK_NO_RANGE ? "no range" : quote_mark_word(a->q.line_mark[l]));
        json_object_set_new(j, "usd", a->in.line_usd[l] >= 0.0 ? json_real(a->in.line_usd[l]) : json_null());
        json_object_set_new(j, "usual_usd", usd[2] > 0.0 ? json_pack("[f,f,f]", usd[0], usd[1], usd[2]) : json_null());
        json_array_append_new(all, j);
    }
    return all;
}

static json_t *asks_json(const quote_answer *a)
{
    json_t *all = json_array();
    for (size_t k = 0; k < a->q.asks; k++) {
        text w = {0};
        say_quote_ask(&w, a, k);
        json_t *j = json_pack("{s:s,s:s,s:f}", "ask", tufa_quote_ask_key(a->q.ask[k].ask), "words", text_str(&w), "worth_usd", a->q.ask[k].worth_usd);
        if (a->q.ask[k].line < TUFA_LINE_COUNT) json_object_set_new(j, "line", json_string(tufa_quote_line_at(a->q.ask[k].line)->key));
        json_array_append_new(all, j);
        text_free(&w);
    }
    return all;
}

static void print_json(text *t, const quote_answer *a)
{
    static const char *const SAYS[] = {"take", "ask first", "no"};
    static const char *const FOR[] = {"replace", "repair", "clean", "treatment"};
    const tufa_quote *q = &a->q;
    text first = {0}, danger = {0};
    say_quote_first(&first, a);
    say_quote_danger(&danger, a);
    json_t *j = json_pack("{s:s,s:f,s:s,s:s,s:b,s:b}", "says", SAYS[q->says], "by_usd", q->gain_usd, "words", text_str(&first), "danger", text_str(&danger),
                          "must_replace", q->must_replace, "must_refer", q->must_refer);
    json_object_set_new(j, "heater", a->from_book ? json_string(a->label) : json_null());
    json_object_set_new(j, "for", json_string(FOR[a->in.what]));
    json_object_set_new(j, "fuel", json_string(fuel_word(a->fuel)));
    json_object_set_new(j, "price_usd", json_real(q->price_usd));
    json_object_set_new(j, "break_even_usd", json_real(q->break_even_usd));
    json_object_set_new(j, "break_even_range_usd", band(&q->break_even_range_usd));
    json_object_set_new(j, "gain_range_usd", band(&q->gain_range_usd));
    json_object_set_new(j, "better_share", json_real(q->better_share));
    json_object_set_new(j, "instead", json_string(q->instead_same ? "same" : tufa_choice_at(q->instead)->key));
    json_object_set_new(j, "quote_cost_usd", json_real(q->quote_usd));
    json_object_set_new(j, "instead_cost_usd", json_real(q->instead_usd));
    json_object_set_new(j, "usual_usd", json_pack("[f,f,f]", q->usual_usd[0], q->usual_usd[1], q->usual_usd[2]));
    json_object_set_new(j, "mark", json_string(quote_mark_word(q->mark)));
    json_object_set_new(j, "warranty_usd", json_real(q->warranty_usd));
    json_object_set_new(j, "absent_usd", json_real(q->absent_usd));
    json_object_set_new(j, "treats_all_usd", json_real(q->treats_all_usd));
    json_object_set_new(j, "offered", a->in.what == TUFA_QUOTE_REPLACE ? json_string(tufa_choice_at(a->in.kind)->key) : json_null());
    json_object_set_new(j, "house_allows", a->in.kind_allowed == 1 ? json_true() : a->in.kind_allowed == 0 ? json_false() : json_null());
    json_object_set_new(j, "size", a->fits.kind == TUFA_CHOICE_LEAVE ? json_null() : json_pack("{s:s,s:f,s:f,s:f}", "says", enough_key(a->fits.size.says),
                        "first_hour_l", 1e3 * a->fits.size.gives_m3.mid, "busiest_hour_l", 1e3 * a->fits.size.wants_m3.mid, "short_l", 1e3 * a->fits.size.short_m3));
    json_object_set_new(j, "lines", lines_json(a));
    json_object_set_new(j, "asks", asks_json(a));
    char *s = json_dumps(j, JSON_COMPACT);
    if (s) text_addf(t, "%s\n", s);
    free(s);
    json_decref(j);
    text_free(&first);
    text_free(&danger);
}

/* ---- the command ---- */

static int read_ask(cli *c, quote_ask *ask)
{
    *ask = (quote_ask){.heater = c->operands ? c->operand[0] : NULL, .fuel = cli_opt(c, OPT_FUEL), .age = cli_opt(c, OPT_AGE),
                       .volume = cli_opt(c, OPT_VOLUME), .hardness = cli_opt(c, OPT_HARDNESS), .price = cli_opt(c, OPT_PRICE),
                       .warranty = cli_opt(c, OPT_WARRANTY), .work = cli_opt(c, OPT_FOR), .part = cli_opt(c, OPT_PART),
                       .offered = cli_opt(c, OPT_OFFERED), .offered_volume = cli_opt(c, OPT_OFFERED_VOLUME), .first_hour = cli_opt(c, OPT_FIRST_HOUR),
                       .leaking = cli_opt(c, OPT_LEAKING), .myself = cli_opt(c, OPT_MYSELF)};
    for (int i = 0; cli_opt_at(c, OPT_LINE, i); i++) {
        if (ask->lines == QUOTE_MOST_LINES) {
            trouble_note note = {0};
            note_set(&note, TUFA_RANGE, "--line", "", "at most 24", "there are too many lines");
            return cli_fail(c, &note);
        }
        ask->line[ask->lines++] = cli_opt_at(c, OPT_LINE, i);
    }
    for (int i = 0; cli_opt_at(c, OPT_UNSAFE, i); i++) {
        const char *what = cli_opt_at(c, OPT_UNSAFE, i);
        if (strcmp(what, "limit") == 0) ask->limit = "yes";
        else if (strcmp(what, "flue") == 0) ask->flue = "yes";
        else {
            trouble_note note = {0};
            note_set(&note, TUFA_UNKNOWN, "--unsafe", what, "limit, flue", "this was not understood");
            return cli_fail(c, &note);
        }
    }
    return 0;
}

int cmd_quote(cli *c)
{
    quote_ask ask;
    quote_answer a;
    desk d = {0};
    text near = {0};
    trouble_note note = {0};
    int64_t today;
    int code = read_ask(c, &ask);
    if (code == 0) code = cli_today(c, &today);
    bool book = code == 0 && (ask.heater || cli_opt(c, OPT_BOOK) || cli_book_exists(c));
    if (book) code = cli_open(c, false, &d);
    if (code) return code;
    tufa_code said = desk_quote(book ? &d : NULL, today, &ask, &a, &near, &note);
    if (book) desk_close(&d);
    if (said != TUFA_OK) {
        code = cli_fail(c, &note);
        text_print(&near, c->err);
        text_free(&near);
        return code;
    }
    text_free(&near);
    text t = {0};
    if (cli_opt(c, OPT_JSON)) print_json(&t, &a);
    else words(&t, &a);
    return cli_finish(c, &t, 0);
}
