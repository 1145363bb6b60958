/* `tufa call ...`: calls of tenants taken down, worked, closed, and ordered for the day. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "edge/cli/book_args.h"
#include "edge/cli/call_json.h"
#include "edge/desk/call_words.h"
#include "edge/say/call.h"

enum { WIDTH = 96, LINE = 400 };

static int fail_note(cli *c, const trouble_note *note, text *near)
{
    int code = cli_fail(c, note);
    if (near && near->len) fprintf(c->err, "These come close:\n%s", text_str(near));
    if (near) text_free(near);
    return code;
}

static bool call_number(const char *s, int64_t *id)
{
    char *end;
    long long n = strtoll(s, &end, 10);
    *id = n;
    return end != s && *end == 0 && n > 0;
}

/* Operand `at` as the number of a call; opens the book. 0 or an exit code. */
static int open_call(cli *c, int at, bool write, desk *d, int64_t *id)
{
    trouble_note note = {0};
    if (c->operands <= at) {
        note_set(&note, TUFA_MISSING, "call", "", "", "say the number of the call; `tufa call today` lists the open ones");
        return cli_fail(c, &note);
    }
    if (!call_number(c->operand[at], id)) {
        note_set(&note, TUFA_PARSE, "call", c->operand[at], "a number", "a call is named by its number; `tufa call today` lists the open ones");
        return cli_fail(c, &note);
    }
    return cli_open(c, write, d);
}

static int collect(const cli *c, option_id id, const char **out)
{
    int n = 0;
    for (const char *v; n < CALL_NAMES && (v = cli_opt_at(c, id, n)) != NULL; n++) out[n] = v;
    return n;
}

/* ---- one call in words ---- */

static void put_head(text *t, const call_view *v)
{
    text_addf(t, "Call %lld, %s", (long long)v->rec.id, v->heater);
    if (strcmp(v->heater, v->house) != 0) text_addf(t, " (%s)", v->house);
    text_add(t, ", ");
    say_day(t, v->rec.day);
    text_addf(t, "%s\n  \"", v->rec.closed ? ", closed" : "");
    text_add_wrapped(t, v->rec.words, WIDTH, 3);
    text_add(t, "\"\n");
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
        if (v->call.complaint[i])
            text_addf(t, "  %s: %s\n", v->call.complaint[i] == 1 ? "says" : "asked, no", tufa_fault_complaint_at(i)->title);
}

/* What the tenant may look at by telephone: questions only, nothing to touch. */
static void put_questions(text *t, const call_view *v)
{
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        if (v->call.complaint[i] != 1) continue;
        text_add(t, "  Ask: ");
        text_add_wrapped(t, tufa_fault_complaint_at(i)->ask, WIDTH, 4);
        text_add(t, "\n");
    }
}

static void put_advice(text *t, const call_view *v)
{
    for (int i = 0; i < v->advices; i++) {
        text_add(t, "  Told the tenant ");
        say_clock(t, v->advice[i].entered);
        text_add(t, ": ");
        text_add_wrapped(t, v->advice[i].words, WIDTH, 4);
        text_add(t, "\n");
    }
}

static void put_tonight(text *t, desk_finder *f, const call_view *v, const desk *d)
{
    tufa_tonight n;
    if (v->answer.faults == 0 || v->answer.stop.silent || desk_finder_for(f, &v->plate).code != TUFA_OK) return;
    int fault = v->answer.odds[0].fault;
    if (tufa_fault_tonight(f->finder, fault, &n).code == TUFA_OK) say_tonight(t, d->units, fault, &n, d->today);
}

static void put_view(text *t, desk_finder *f, const call_view *v, const desk *d)
{
    put_head(t, v);
    put_advice(t, v);
    for (int i = 0; i < v->founds; i++) text_addf(t, "  Found: %s\n", tufa_fault_for((size_t)v->found[i], v->plate.single_element)->title);
    if (v->rec.closed) return;
    if (v->answer.stop.silent) {
        say_fault_answer(t, d->units, &v->plate, &v->call, &v->answer);
        return;
    }
    if (v->call.readings) text_add(t, "  What each reading did\n");
    for (int i = 0; i < v->call.readings; i++) say_moved(t, d->units, &v->call.reading[i], v->moved[i], &v->answer);
    say_fault_answer(t, d->units, &v->plate, &v->call, &v->answer);
    put_questions(t, v);
    put_tonight(t, f, v, d);
}

static int show(cli *c, desk *d, desk_finder *f, int64_t id)
{
    trouble_note note = {0};
    call_view *v = malloc(sizeof *v);
    text t = {0};
    tufa_code code = v ? desk_call_view(d, f, id, v, &note) : TUFA_MEMORY;
    if (code == TUFA_OK) {
        if (cli_opt(c, OPT_JSON)) call_json(&t, v);
        else put_view(&t, f, v, d);
    }
    free(v);
    return code == TUFA_OK ? cli_finish(c, &t, 0) : cli_fail(c, &note);
}

/* ---- the commands ---- */

int cmd_call_new(cli *c)
{
    trouble_note note = {0};
    if (c->operands < 2) {
        note_set(&note, TUFA_MISSING, c->operands ? "words" : "HEATER", "", "", "say the heater and the tenant's words, then --complaint for each complaint");
        return cli_fail(c, &note);
    }
    call_new n = {.heater = c->operand[0], .words = c->operand[1]};
    n.voiced_n = collect(c, OPT_COMPLAINT, n.voiced);
    n.denied_n = collect(c, OPT_NO, n.denied);
    n.known_n = collect(c, OPT_KNOWN, n.known);
    desk d;
    int code = cli_open(c, true, &d);
    if (code) return code;
    int64_t id = 0;
    text near = {0};
    desk_finder f = {0};
    if (desk_call_new(&d, &n, &id, &near, &note) != TUFA_OK) {
        code = fail_note(c, &note, &near);
    } else {
        text_free(&near);
        bool bills;
        code = desk_call_take_bills(&d, &f, id, &bills, &note) == TUFA_OK ? show(c, &d, &f, id) : cli_fail(c, &note);
    }
    desk_finder_free(&f);
    desk_close(&d);
    return code;
}

int cmd_call_read(cli *c)
{
    desk d;
    int64_t id = 0;
    trouble_note note = {0};
    if (c->operands < 3) {
        note_set(&note, TUFA_MISSING, "reading", "", "CALL TEST VALUE", "say the number of the call, the test and what it showed, with its unit: 13gal, 124F, reset_holds, ?");
        return cli_fail(c, &note);
    }
    int code = open_call(c, 0, true, &d, &id);
    if (code) return code;
    desk_finder f = {0};
    text said = {0}; /* "13 gal" may come as two words */
    for (int i = 2; i < c->operands; i++) text_addf(&said, "%s%s", i > 2 ? " " : "", c->operand[i]);
    code = desk_call_read(&d, &f, id, c->operand[1], text_str(&said), &note) == TUFA_OK ? show(c, &d, &f, id) : cli_fail(c, &note);
    text_free(&said);
    desk_finder_free(&f);
    desk_close(&d);
    return code;
}

int cmd_call_show(cli *c)
{
    desk d;
    int64_t id = 0;
    int code = open_call(c, 0, false, &d, &id);
    if (code) return code;
    desk_finder f = {0};
    code = show(c, &d, &f, id);
    desk_finder_free(&f);
    desk_close(&d);
    return code;
}

static int said_done(cli *c, const char *words, const char *what)
{
    text t = {0};
    text_addf(&t, words, what);
    return cli_finish(c, &t, 0);
}

int cmd_call_undo(cli *c)
{
    desk d;
    int64_t id = 0;
    trouble_note note = {0};
    int code = open_call(c, 0, true, &d, &id);
    if (code) return code;
    text what = {0};
    code = desk_call_undo(&d, id, &what, &note) == TUFA_OK ? said_done(c, "Taken back: %s.\n", text_str(&what)) : cli_fail(c, &note);
    text_free(&what);
    desk_close(&d);
    return code;
}

int cmd_call_safe(cli *c)
{
    desk d;
    int64_t id = 0;
    trouble_note note = {0};
    if (c->operands < 2) {
        note_set(&note, TUFA_MISSING, "who", "", "", "say who has made it safe and how: \"fire service, 14:20, gas off\"");
        return cli_fail(c, &note);
    }
    int code = open_call(c, 0, true, &d, &id);
    if (code) return code;
    code = desk_call_add(&d, id, CALL_MADE_SAFE, "made safe", c->operand[1], &note) == TUFA_OK
               ? said_done(c, "Written down: %s. Readings go on with heat and power off.\n", c->operand[1])
               : cli_fail(c, &note);
    desk_close(&d);
    return code;
}

int cmd_call_told(cli *c)
{
    desk d;
    int64_t id = 0;
    trouble_note note = {0};
    if (c->operands < 2 || !c->operand[1][0]) {
        note_set(&note, TUFA_MISSING, "words", "", "", "say what the tenant was told; `tufa call today` proposes words");
        return cli_fail(c, &note);
    }
    int code = open_call(c, 0, true, &d, &id);
    if (code) return code;
    code = desk_call_add(&d, id, CALL_ADVISED, "told", c->operand[1], &note) == TUFA_OK
               ? said_done(c, "Kept with its time: the tenant was told \"%s\".\n", c->operand[1])
               : cli_fail(c, &note);
    desk_close(&d);
    return code;
}

int cmd_call_close(cli *c)
{
    desk d;
    int64_t id = 0;
    trouble_note note = {0};
    const char *found[CALL_NAMES];
    int n = collect(c, OPT_FOUND, found);
    int code = open_call(c, 0, true, &d, &id);
    if (code) return code;
    code = desk_call_close(&d, id, found, n, &note) == TUFA_OK ? said_done(c, "Call %s is closed; what was found counts in your own odds from now on.\n", c->operand[0])
                                                               : cli_fail(c, &note);
    desk_close(&d);
    return code;
}

/* ---- the day ---- */

static void put_tell(text *t, const call_view *v, size_t place)
{
    text w = {0};
    say_call_tell(&w, v, place);
    text_add(t, "  Tell the tenant: ");
    text_add_wrapped(t, text_str(&w), WIDTH, 4);
    text_add(t, "\n");
    text_free(&w);
}

static void put_bring(text *t, const call_view *v)
{
    for (int i = 0; i < v->answer.parts && i < 4; i++) {
        text_addf(t, "  Bring: %s (", tufa_fault_repair_for((size_t)v->answer.part[i].repair, v->plate.single_element)->parts);
        say_odds(t, v->answer.part[i].probability);
        text_add(t, ")\n");
    }
}

static void put_day(text *t, const call_day *day, const desk *d)
{
    enum { BRING_FOR = 2 };
    if (day->n == 0) text_add(t, "No call is open.\n");
    for (size_t i = 0; i < day->n; i++) {
        const call_view *v = &day->view[i];
        text_addf(t, "%zu. ", i + 1);
        put_head(t, v);
        text_add(t, "  ");
        say_call_when(t, v, d->today);
        text_add(t, "\n");
        if (v->answer.faults) {
            text_addf(t, "  Likeliest: %s, ", tufa_fault_for((size_t)v->answer.odds[0].fault, v->plate.single_element)->title);
            say_odds(t, v->answer.odds[0].probability);
            text_add(t, "\n");
        }
        if (v->answer.next.test >= 0) text_addf(t, "  First reading: %s (%s)\n", tufa_fault_test_for((size_t)v->answer.next.test, v->plate.single_element)->title, tufa_fault_test_at((size_t)v->answer.next.test)->id);
        if (!v->answer.stop.silent) put_questions(t, v);
        put_tell(t, v, i);
        if (i < BRING_FOR) put_bring(t, v);
    }
}

int cmd_call_today(cli *c)
{
    desk d;
    trouble_note note = {0};
    int code = cli_open(c, false, &d);
    if (code) return code;
    desk_finder f = {0};
    call_day day;
    text t = {0};
    if (desk_call_today(&d, &f, &day, &note) != TUFA_OK) {
        code = cli_fail(c, &note);
    } else {
        if (cli_opt(c, OPT_JSON))
            for (size_t i = 0; i < day.n; i++) call_json(&t, &day.view[i]);
        else put_day(&t, &day, &d);
        code = cli_finish(c, &t, 0);
        call_day_free(&day);
    }
    desk_finder_free(&f);
    desk_close(&d);
    return code;
}

/* ---- the dialogue ---- */

static bool answer_line(cli *c, const char *question, char line[LINE])
{
    fprintf(c->out, "%s ", question);
    fflush(c->out);
    if (!fgets(line, LINE, c->in)) return false;
    line[strcspn(line, "\r\n")] = 0;
    return true;
}

/* Complaints by number or id; a minus before one is an asked no. */
static int ask_new(cli *c, desk *d, int64_t *id)
{
    static char heater[LINE], words[LINE], picks[LINE], names[CALL_NAMES][48];
    trouble_note note = {0};
    if (c->operands) snprintf(heater, sizeof heater, "%s", c->operand[0]);
    else if (!answer_line(c, "Which heater?", heater)) return 1;
    if (!answer_line(c, "What does the tenant say?", words)) return 1;
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
        fprintf(c->out, "  %2zu %s\n", i + 1, tufa_fault_complaint_at(i)->title);
    for (;;) {
        if (!answer_line(c, "Which of these, by number? (-8 for an asked no, ? for none known)", picks)) return 1;
        call_new n = {.heater = heater, .words = words};
        int used = 0;
        for (char *p = strtok(picks, " ,;"); p && used < CALL_NAMES; p = strtok(NULL, " ,;")) {
            const char *bare = p[0] == '-' ? p + 1 : p;
            char *end;
            long k = strtol(bare, &end, 10);
            const tufa_complaint *row = *end == 0 && k > 0 ? tufa_fault_complaint_at((size_t)k - 1) : NULL;
            snprintf(names[used], sizeof names[used], "%s", row ? row->id : bare);
            if (p[0] == '-') n.denied[n.denied_n++] = names[used++];
            else n.voiced[n.voiced_n++] = names[used++];
        }
        text near = {0};
        tufa_code code = desk_call_new(d, &n, id, &near, &note);
        if (code == TUFA_OK) {
            text_free(&near);
            return 0;
        }
        int exit_code = fail_note(c, &note, &near);
        if (code == TUFA_STORE || strcmp(note.field, "heater") == 0) return exit_code;
    }
}

int cmd_call_ask(cli *c)
{
    desk d;
    int64_t id = 0;
    int code = cli_open(c, true, &d);
    if (code) return code;
    desk_finder f = {0};
    if (!(c->operands && call_number(c->operand[0], &id))) code = ask_new(c, &d, &id);
    while (!code) {
        static char line[LINE];
        trouble_note note = {0};
        code = show(c, &d, &f, id);
        if (code || !answer_line(c, "Reading (TEST VALUE), undo, or done:", line) || strcmp(line, "done") == 0 || !line[0]) break;
        text what = {0};
        char *value = strchr(line, ' ');
        if (value) *value++ = 0;
        if (strcmp(line, "undo") == 0) {
            if (desk_call_undo(&d, id, &what, &note) != TUFA_OK) cli_fail(c, &note);
            else fprintf(c->out, "Taken back: %s.\n", text_str(&what));
        } else if (desk_call_read(&d, &f, id, line, value ? value : "?", &note) != TUFA_OK) {
            cli_fail(c, &note);
        }
        text_free(&what);
    }
    desk_finder_free(&f);
    desk_close(&d);
    return code;
}
