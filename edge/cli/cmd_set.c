/* `tufa set HEATER FIELD VALUE`: one thing corrected, and what that changed. */
#include <jansson.h>
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/desk/set.h"
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

int cmd_set(cli *c)
{
    desk d;
    set_words w = {0};
    set_answer a;
    text near = {0}, t = {0};
    trouble_note note = {0};
    int code = take_words(c, &w);
    if (code == 0) code = cli_open(c, true, &d);
    if (code) return code;
    tufa_code trouble = desk_set(&d, w.name, w.field, w.value, &a, &near, &note);
    desk_close(&d);
    if (trouble) {
        code = cli_fail(c, &note);
        if (near.len) fprintf(c->err, "%s", text_str(&near));
        text_free(&near);
        return code;
    }
    say_set(&t, &a);
    text_free(&near);
    set_answer_free(&a);
    return cli_finish(c, &t, 0);
}
