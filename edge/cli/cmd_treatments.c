/* `tufa treatments`: what is sold against scale, what is known, and what a fair trial could show. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/treatments.h"

static void put(text *t, const trial_answer *a, void (*say)(text *, const trial_answer *))
{
    text w = {0};
    say(&w, a);
    paragraph(t, &w, 0);
    text_free(&w);
}

static void treatments(text *t)
{
    for (int i = 0; i < TUFA_TREATMENT_COUNT; i++) {
        const tufa_treatment_row *r = tufa_treatment_at((tufa_treatment)i);
        text w = {0};
        text_addf(t, "%s: %s\n", r->key, r->what);
        text_addf(&w, "Evidence: %s. %s", evidence_words(r->evidence), r->known);
        paragraph(t, &w, 4);
        if (r->also[0]) {
            text_add(&w, r->also);
            paragraph(t, &w, 4);
        }
        text_addf(&w, "Source: %s (%s).", tufa_source_at((size_t)r->source)->what, tufa_source_at((size_t)r->source)->verified);
        paragraph(t, &w, 4);
        text_add(t, "\n");
        text_free(&w);
    }
}

static void trial(text *t, const trial_answer *a)
{
    enum { LEAST = 46, HALF = 70 };
    text_add(t, a->from_book ? "A fair trial in two of your houses\n" : "A fair trial in two houses\n");
    put(t, a, say_trial_how);
    put(t, a, say_trial_spread);
    text_add(t, "\n");
    text_pad_to(t, LEAST);
    text_add(t, "seen in 8 of 10 trials");
    text_pad_to(t, HALF + 2);
    text_add(t, "half kept out is\n");
    text_pad_to(t, LEAST);
    text_add(t, "from this share on");
    text_pad_to(t, HALF + 2);
    text_add(t, "seen in\n");
    for (size_t i = 0; i < TRIAL_ROWS; i++) {
        text_add(t, "  ");
        say_trial_row(t, a, i);
        text_pad_to(t, LEAST);
        text_addf(t, "%.0f %% kept out", 100.0 * a->row[i].least);
        text_pad_to(t, HALF + 2);
        text_addf(t, "%.0f of 10\n", round(10.0 * a->row[i].half));
    }
    text_add(t, "\n");
    put(t, a, say_trial_foot);
}

static void print_json(text *t, const trial_answer *a)
{
    json_t *all = json_array(), *rows = json_array();
    for (int i = 0; i < TUFA_TREATMENT_COUNT; i++) {
        const tufa_treatment_row *r = tufa_treatment_at((tufa_treatment)i);
        json_array_append_new(all, json_pack("{s:s,s:s,s:s,s:s,s:s}", "treatment", r->key, "what", r->what, "evidence", evidence_words(r->evidence), "known", r->known,
                                             "source", tufa_source_at((size_t)r->source)->what));
    }
    for (size_t i = 0; i < TRIAL_ROWS; i++)
        json_array_append_new(rows, json_pack("{s:i,s:b,s:f,s:f}", "pairs", a->row[i].pairs, "swap", a->row[i].swap, "least_share", a->row[i].least, "half_seen", a->row[i].half));
    json_t *j = json_pack("{s:o,s:o,s:i,s:f,s:f,s:f}", "treatments", all, "trials", rows, "months", a->months, "log_sd_between", a->base.log_sd_between,
                          "log_sd_season", a->base.log_sd_season, "log_sd_weighed", a->base.log_sd_weighed);
    json_object_set_new(j, "houses", a->from_book ? json_pack("[s,s]", a->label[0], a->label[1]) : json_array());
    char *s = json_dumps(j, JSON_COMPACT);
    if (s) text_addf(t, "%s\n", s);
    free(s);
    json_decref(j);
}

int cmd_treatments(cli *c)
{
    desk d;
    trial_answer a;
    bool book = cli_opt(c, OPT_BOOK) || cli_book_exists(c);
    int code = book ? cli_open(c, false, &d) : 0;
    if (code) return code;
    tufa_status st = desk_trial(book ? &d : NULL, &a);
    if (book) desk_close(&d);
    if (st.code != TUFA_OK) return cli_fail_status(c, st);
    text t = {0};
    if (cli_opt(c, OPT_JSON)) {
        print_json(&t, &a);
        return cli_finish(c, &t, 0);
    }
    treatments(&t);
    trial(&t, &a);
    return cli_finish(c, &t, 0);
}
