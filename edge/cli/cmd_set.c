/* `tufa set HEATER FIELD VALUE`: one thing corrected, and what that changed. */
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/desk/effect.h"
#include "edge/say/day.h"

typedef struct set_words {
    char name[STORE_LABEL * 2];
    const char *field, *value;
} set_words;

/* The last word is the value, the one before it the field; all in front of them is the name. */
static int take_words(cli *c, set_words *w)
{
    static const char *const SETTING_NAME = "setting";
    size_t n = 0;
    if (c->operands == 2) {
        snprintf(w->name, sizeof w->name, "%s", SETTING_NAME); /* tufa set units metric */
    } else if (c->operands >= 3) {
        for (int i = 0; i + 2 < c->operands && n < sizeof w->name; i++)
            n += (size_t)snprintf(w->name + n, sizeof w->name - n, "%s%s", i ? " " : "", c->operand[i]);
    }
    if (c->operands >= 2 && n < sizeof w->name) {
        w->field = c->operand[c->operands - 2];
        w->value = c->operand[c->operands - 1];
        return 0;
    }
    trouble_note note = {0};
    note_set(&note, TUFA_MISSING, "words", c->operands ? c->operand[0] : "", "HEATER FIELD VALUE",
             "say which heater, what of it, and how it is, such as: tufa set \"Linden Row 14\" age \"about 10\"");
    return cli_fail(c, &note);
}

static void say_set(text *t, const set_answer *a)
{
    text_addf(t, "%s%s%s: ", a->label, a->field[0] ? " " : "", a->field);
    if (a->same) {
        text_addf(t, "the book says so already (%s).\n", text_str(&a->after));
        return;
    }
    text_addf(t, "%s", a->after.len ? text_str(&a->after) : "not known");
    if (a->before.len) {
        text_addf(t, "; before: %s", text_str(&a->before));
        if (a->before_source[0]) text_addf(t, " (%s", a->before_source);
        if (a->before_day) {
            text_add(t, a->before_source[0] ? ", " : " (");
            say_day(t, a->before_day);
        }
        if (a->before_source[0] || a->before_day) text_add(t, ")");
        text_add(t, ", which stays in the book");
    }
    text_add(t, ".\n");
}

static void say_effect(text *t, const set_effect *e, const set_answer *a)
{
    if (!e->compared || a->same) return;
    if (e->n == 0) {
        text_add(t, e->heaters ? "That changes nothing of what is proposed.\n" : "That changes nothing in its forecast as it is told.\n");
        return;
    }
    text_add(t, e->heaters ? "What that changed in the plan:\n" : "What that changed:\n");
    for (size_t i = 0; i < e->n; i++) text_addf(t, "  %s: %s (before: %s)\n", e->line[i].what, e->line[i].after, e->line[i].before);
    if (e->more) text_addf(t, "  and %zu more; `tufa year` has the plan that follows\n", e->more);
}

/* The field itself asks for a caution, wherever it is turned. Figures: C_LEGIONELLA and C_SCALD in core/base/cautions.def. */
static void say_caution(text *t, const set_answer *a)
{
    bool usual = strcmp(a->thing, "price") == 0 && strstr(a->label, "setpoint");
    if (strcmp(a->field, "setpoint") != 0 && !usual) return;
    text_add(t, "A setpoint lies between two dangers: below about 140 F (60 C) Legionella can live in the tank, above about\n"
                "120 F (49 C) the tap scalds. Hot in the tank and mixed down at the tap answers both. Local codes come first.\n");
}

static void set_json(text *t, const set_answer *a, const set_effect *e)
{
    json_t *changed = json_array(), *o;
    for (size_t i = 0; i < e->n; i++)
        json_array_append_new(changed, json_pack("{s:s, s:s, s:s}", "what", e->line[i].what, "before", e->line[i].before, "after", e->line[i].after));
    o = json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:b, s:b, s:o}", "thing", a->thing, "label", a->label, "field", a->field, "before",
                  text_str(&a->before), "before_source", a->before_source, "after", text_str(&a->after), "same", a->same, "compared", e->compared,
                  "changed", changed);
    char *s = o ? json_dumps(o, JSON_COMPACT) : NULL;
    if (s) text_addf(t, "%s\n", s);
    else t->failed = true;
    free(s);
    json_decref(o);
}

int cmd_set(cli *c)
{
    desk d;
    set_words w = {0};
    set_answer a;
    set_effect e;
    text near = {0}, t = {0};
    trouble_note note = {0};
    int code = take_words(c, &w);
    if (code == 0) code = cli_open(c, true, &d);
    if (code) return code;
    tufa_code trouble = desk_set_told(&d, w.name, w.field, w.value, &a, &e, &near, &note);
    desk_close(&d);
    if (trouble) {
        code = cli_fail(c, &note);
        if (near.len) fprintf(c->err, "%s", text_str(&near));
        text_free(&near);
        return code;
    }
    if (cli_opt(c, OPT_JSON)) {
        set_json(&t, &a, &e);
    } else {
        say_set(&t, &a);
        say_effect(&t, &e, &a);
        say_caution(&t, &a);
    }
    text_free(&near);
    set_answer_free(&a);
    return cli_finish(c, &t, 0);
}
