/* One call: danger, what it may be, the next reading, what each reading did; readings entered as they come; closed with what
 * was found. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/call_words.h"
#include "edge/import/reading.h"
#include "edge/say/call.h"
#include "edge/say/day.h"
#include "edge/web/page.h"

enum { SHOWN_MOST = 128 };

/* ---- what was said ---- */

static void put_said(page *p, const call_view *v)
{
    text *t = p->out, w = {0};
    RAW(t, "<p>");
    put_heater_link(t, v->rec.heater, v->heater);
    RAW(t, ", ");
    say_day(&w, v->rec.day);
    put_html_text(t, &w);
    if (v->rec.closed) RAW(t, ", closed");
    RAW(t, ": \"");
    put_html(t, v->rec.words);
    RAW(t, "\"</p>");
    facts_begin(t);
    for (int mark = 1; mark <= 2; mark++) {
        for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
            if (v->call.complaint[i] == mark) text_addf(&w, "%s%s", w.len ? "; " : "", tufa_fault_complaint_at(i)->title);
        if (w.len) put_fact_words(t, mark == 1 ? "Says" : "Asked, no", &w);
    }
    for (int i = 0; i < v->advices; i++) {
        char head[64];
        say_clock(&w, v->advice[i].entered);
        snprintf(head, sizeof head, "Told at %s", text_str(&w));
        text_clear(&w);
        put_fact(t, head, v->advice[i].words);
    }
    for (int i = 0; i < v->founds; i++) put_fact(t, "Found", tufa_fault_for((size_t)v->found[i], v->plate.single_element)->title);
    facts_end(t);
    text_free(&w);
}

/* ---- what it may be ---- */

static void put_odds(page *p, const call_view *v)
{
    static const char *const heads[] = {"It may be", "=Odds", "Who mends it", NULL};
    static const double WORTH_TELLING = 0.02;
    enum { MOST = 8 };
    text w = {0};
    put_heading(p->out, "What it may be");
    table_begin(p->out, "What it may be", false, heads);
    for (int i = 0; i < v->answer.faults && i < MOST && (i < 3 || v->answer.odds[i].probability >= WORTH_TELLING); i++) {
        const tufa_fault_row *row = tufa_fault_for((size_t)v->answer.odds[i].fault, v->plate.single_element);
        row_begin(p->out);
        cell_head(p->out, row->title);
        cell_odds(p->out, v->answer.odds[i].probability);
        cell(p->out, row->who);
        row_end(p->out);
    }
    table_end(p->out);
    for (int i = 0; i < v->answer.conflicts; i++) {
        const tufa_reading *x = &v->call.reading[v->answer.conflict[i][0]], *y = &v->call.reading[v->answer.conflict[i][1]];
        text_addf(&w, "These two contradict each other; both are kept: %s, ", tufa_fault_test_for((size_t)x->test, v->plate.single_element)->title);
        say_reading(&w, p->d->units, x);
        text_addf(&w, "; and %s, ", tufa_fault_test_for((size_t)y->test, v->plate.single_element)->title);
        say_reading(&w, p->d->units, y);
        text_add(&w, ". Take one of them again.");
        put_paragraph_words(p->out, &w);
    }
    text_free(&w);
}

static void put_moved(page *p, const call_view *v)
{
    static const char *const heads[] = {"Reading", "It showed", "What that did", NULL};
    text w = {0};
    if (v->call.readings == 0) return;
    put_heading(p->out, "What each reading did");
    table_begin(p->out, "What each reading did", false, heads);
    for (int i = 0; i < v->call.readings; i++) {
        row_begin(p->out);
        cell_head(p->out, tufa_fault_test_for((size_t)v->call.reading[i].test, v->plate.single_element)->title);
        say_reading(&w, p->d->units, &v->call.reading[i]);
        cell_words(p->out, &w);
        say_moves(&w, v->moved[i], &v->answer);
        cell_words(p->out, &w);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

/* ---- the reading to take ---- */

/* Cautions of a reading or a repair in one place before it; one that stands on the page already is not said again. */
typedef struct shown {
    unsigned char caution[SHOWN_MOST];
} shown;

static void put_cautions(page *p, const call_view *v, const char *about, shown *s)
{
    tufa_caution_fuel fuel = v->plate.tank.fuel == TUFA_TANK_GAS ? TUFA_CAUTION_GAS : TUFA_CAUTION_ELECTRIC;
    int begun = 0;
    for (size_t i = 0; i < tufa_caution_count() && i < SHOWN_MOST; i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (s->caution[i] || !tufa_caution_applies(c, about, fuel)) continue;
        if (!begun++) RAW(p->out, "<div class=\"caution\">");
        RAW(p->out, "<p><strong>");
        put_html(p->out, c->title);
        RAW(p->out, ".</strong> ");
        put_html(p->out, c->words);
        RAW(p->out, "</p>");
        s->caution[i] = 1;
    }
    if (begun) RAW(p->out, "</div>");
}

static void put_outcomes(page *p, const tufa_next *next)
{
    static const char *const heads[] = {"When it shows", "=Likely", "Then it may be", NULL};
    text w = {0};
    table_begin(p->out, "What its results would mean", false, heads);
    for (int i = 0; i < next->outcomes; i++) {
        const tufa_outcome *o = &next->outcome[i];
        row_begin(p->out);
        say_outcome(&w, p->d->units, next->test, o);
        cell_head(p->out, text_str(&w));
        text_clear(&w);
        cell_odds(p->out, o->probability);
        text_addf(&w, "%s, ", tufa_fault_for((size_t)o->then.fault, next->single_element)->title);
        say_odds(&w, o->then.probability);
        cell_words(p->out, &w);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

static void put_how(page *p, const call_view *v, int test, bool next, shown *s)
{
    const tufa_test *row = tufa_fault_test_for((size_t)test, v->plate.single_element);
    text w = {0};
    RAW(p->out, "<h2 id=\"reading\">");
    put_html(p->out, next ? "Next reading: " : "Reading: ");
    put_html(p->out, row->title);
    RAW(p->out, "</h2>");
    put_paragraph(p->out, row->how);
    facts_begin(p->out);
    text_addf(&w, "%.0f", next ? v->answer.next.minutes : row->minutes);
    put_fact_words(p->out, "Minutes", &w);
    if (row->tool[0]) put_fact(p->out, "With", row->tool);
    if (row->isolation[0]) put_fact(p->out, "First", row->isolation);
    if (row->hazard[0]) put_fact(p->out, "Mind", row->hazard);
    if (row->stops[0]) put_fact(p->out, "Stop at", row->stops);
    if (next) {
        text_addf(&w, "$%.0f of expected loss, for $%.0f of time and hazard", v->answer.next.gain_usd, v->answer.next.cost_usd);
        put_fact_words(p->out, "Worth", &w);
        say_sake(&w, &v->answer.next);
        if (w.len) put_fact_words(p->out, "Because of", &w);
    }
    facts_end(p->out);
    text_free(&w);
    put_cautions(p, v, row->id, s);
    if (next) put_outcomes(p, &v->answer.next);
}

/* Units as a person reads them; the rest read as they are. */
static const char *unit_words(const char *name)
{
    static const pick WORDS[] = {{"c", "C"}, {"f", "F"}, {"k", "C warmer"}, {"l", "liters"}, {"l_min", "liters a minute"}, {"gpm", "gallons a minute"},
        {"l_h", "liters an hour"}, {"gal_h", "gallons an hour"}, {"gal", "gallons"}, {"qt", "quarts"}, {"w", "watts"}, {"kw", "kW"}, {"v", "volts"}, {"a", "amps"},
        {"ma", "mA"}, {"ohm", "ohms"}, {"kohm", "thousand ohms"}, {"mohm", "million ohms"}, {"in", "inches"}, {"ml_l", "mL in a liter"}, {"min", "minutes"},
        {"s", "seconds"}, {"h", "hours"}, {"kbtu_h", "thousand Btu an hour"}, {"btu_h", "Btu an hour"}, {"inh2o", "inches of water"}, {"mv", "millivolts"},
        {"1", "as a share"}, {"%", "percent"}, {"kpa", "kPa"}};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        if (strcmp(WORDS[i].value, name) == 0) return WORDS[i].words;
    return name;
}

/* A number and its unit, or one of the words that this reading has. */
static void put_value(page *p, int test)
{
    enum { MOST = 8 };
    static const char *const US[] = {"f", "gal", "gpm", "gal_h", "in", "btu_h"};
    const tufa_test *row = tufa_fault_test_at((size_t)test);
    pick picks[MOST + TUFA_MAX_CATEGORIES];
    char names[MOST][16];
    size_t n = 0;
    if (row->categories[0]) {
        for (; n < TUFA_MAX_CATEGORIES && row->categories[n]; n++) picks[n] = (pick){row->categories[n], row->category_words[n]};
        put_picks(p, "value", "What it shows", picks, n, true, NULL);
        return;
    }
    const char *usual = NULL;
    for (; n < MOST && reading_unit_at(test, n, names[n], sizeof names[n]); n++) {
        picks[n] = (pick){names[n], unit_words(names[n])};
        for (size_t k = 0; k < sizeof US / sizeof US[0] && p->d->units == UNITS_US; k++)
            if (!usual && strcmp(names[n], US[k]) == 0) usual = names[n];
    }
    put_input(p, "value", "What it shows", "", strcmp(row->unit, "ohm") == 0 ? "A number; OL where the meter shows no reading" : "A number, or \"about 12\"");
    put_select(p, "unit", "Unit", picks, n, usual ? usual : names[0], NULL);
}

static void put_entry(page *p, const call_view *v, int test)
{
    put_form(p, "/call");
    put_hidden_id(p, "id", (long long)v->rec.id);
    put_hidden(p, "do", "read");
    put_hidden(p, "test", tufa_fault_test_at((size_t)test)->id);
    put_value(p, test);
    put_form_end(p, "Enter it");
}

static void put_choice_of_reading(page *p, const call_view *v, int test)
{
    pick picks[TUFA_MAX_TESTS];
    size_t n = 0;
    int gas = v->plate.tank.fuel == TUFA_TANK_GAS;
    for (size_t i = 0; i < tufa_fault_test_count(); i++) {
        const tufa_test *row = tufa_fault_test_at(i);
        if (gas ? row->gas : row->electric) picks[n++] = (pick){row->id, row->title};
    }
    put_ask_form(p, "/call#reading");
    put_hidden_id(p, "id", (long long)v->rec.id);
    RAW(p->out, "<div class=\"field\"><label for=\"other\">Another reading</label><select id=\"other\" name=\"test\">");
    for (size_t i = 0; i < n; i++) {
        RAW(p->out, "<option value=\"");
        put_html(p->out, picks[i].value);
        if (test >= 0 && strcmp(picks[i].value, tufa_fault_test_at((size_t)test)->id) == 0) RAW(p->out, "\" selected>");
        else RAW(p->out, "\">");
        put_html(p->out, picks[i].words);
        RAW(p->out, "</option>");
    }
    RAW(p->out, "</select></div>");
    put_form_end(p, "Show it");
}

static void put_reading(page *p, const call_view *v, shown *s)
{
    int asked = tufa_fault_test_find(page_field(p, "test")), next = v->answer.next.test, test = asked >= 0 ? asked : next;
    if (test >= 0) {
        put_how(p, v, test, test == next, s);
        put_entry(p, v, test);
    } else {
        put_heading(p->out, "No further reading is worth its minutes");
    }
    put_choice_of_reading(p, v, test);
}

/* ---- what to do, what to bring, tonight ---- */

static void put_actions(page *p, const call_view *v, shown *s)
{
    static const double LIKELY = 0.5;
    const tufa_fault_answer *a = &v->answer;
    int more = a->next.test >= 0, told = 0;
    text w = {0};
    for (int i = 0; i < a->actions; i++) {
        const tufa_action *act = &a->action[i];
        const tufa_repair *r = act->repair >= 0 ? tufa_fault_repair_for((size_t)act->repair, v->plate.single_element) : NULL;
        if (more && act->probability < LIKELY) continue;
        if (told++ == 0) put_heading(p->out, more ? "Already likely enough to be mended" : "What to do");
        text_addf(&w, "%s, for: %s (", r ? r->title : "Ask somebody who knows this work", tufa_fault_for((size_t)act->fault, v->plate.single_element)->title);
        say_odds(&w, act->probability);
        text_addf(&w, "; %s).", r ? r->who : tufa_fault_at((size_t)act->fault)->who);
        if (r) text_addf(&w, " Afterwards check: %s.", r->verify);
        put_paragraph_words(p->out, &w);
        if (r) put_cautions(p, v, r->id, s);
    }
    if (!more && !told) put_paragraph(p->out, "Nothing is likely enough to be mended. Close it with what was found, or look at another reading above.");
    text_free(&w);
}

static void put_parts(page *p, const call_view *v)
{
    static const char *const heads[] = {"Bring", "To", "=Needed in", "=Saves of a second trip", NULL};
    text w = {0};
    if (v->answer.parts == 0) return;
    put_heading(p->out, "What to bring");
    table_begin(p->out, "What to bring", false, heads);
    for (int i = 0; i < v->answer.parts; i++) {
        row_begin(p->out);
        cell_head(p->out, tufa_fault_repair_for((size_t)v->answer.part[i].repair, v->plate.single_element)->parts);
        cell(p->out, tufa_fault_repair_for((size_t)v->answer.part[i].repair, v->plate.single_element)->title);
        cell_odds(p->out, v->answer.part[i].probability);
        text_addf(&w, "$%.0f", v->answer.part[i].saved_usd);
        cell_figure_words(p->out, &w);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

static void put_tonight(page *p, desk_finder *f, const call_view *v)
{
    tufa_tonight n;
    text w = {0};
    if (v->answer.faults == 0 || desk_finder_for(f, &v->plate).code != TUFA_OK) return;
    int fault = v->answer.odds[0].fault;
    if (tufa_fault_tonight(f->finder, fault, &n).code != TUFA_OK) return;
    RAW(p->out, "<details><summary>Hot water tonight, should it be: ");
    put_html(p->out, tufa_fault_for((size_t)fault, v->plate.single_element)->title);
    RAW(p->out, "</summary>");
    put_paragraph(p->out, n.what);
    say_tonight_gives(&w, p->d->units, &n, p->d->today);
    put_paragraph_words(p->out, &w);
    text_addf(&w, "Never: %s", n.never);
    put_paragraph_words(p->out, &w);
    put_paragraph(p->out, "All of this is judgement, for the owner and not for the tenant; in doubt the answer is off.");
    details_end(p->out);
    text_free(&w);
}

static void put_visit(page *p, const call_view *v)
{
    put_heading(p->out, "The visit");
    RAW(p->out, "<p>");
    if (!v->rec.closed) {
        put_id_link(p->out, "/call/visit", "id", (long long)v->rec.id, "The order of work");
        RAW(p->out, ": cautions first, the next three readings with what each result leads to, the mending, the closing steps. ");
        put_document_link(p->out, "sheet", "heater", (long long)v->rec.heater, "The same as a sheet to take along");
        RAW(p->out, ". ");
    }
    put_id_link(p->out, "/visit/record", "heater", (long long)v->rec.heater, "Write down what was done");
    RAW(p->out, ".</p>");
}

/* ---- the other forms ---- */

static void begin(page *p, const call_view *v, const char *what)
{
    put_form(p, "/call");
    put_hidden_id(p, "id", (long long)v->rec.id);
    put_hidden(p, "do", what);
}

static void put_undo(page *p, const call_view *v)
{
    begin(p, v, "undo");
    put_button(p, "newest", "1", "Take the newest entry back");
    put_form_end(p, NULL);
}

static void put_more_said(page *p, const call_view *v)
{
    static const pick HOW[] = {{"says", "the tenant says so"}, {"no", "asked, and the answer was no"}};
    pick picks[TUFA_MAX_COMPLAINTS];
    size_t n = 0;
    int gas = v->plate.tank.fuel == TUFA_TANK_GAS;
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        const tufa_complaint *c = tufa_fault_complaint_at(i);
        if ((gas ? c->gas : c->electric) && !v->call.complaint[i]) picks[n++] = (pick){c->id, c->title};
    }
    details_begin(p->out, "The tenant says more");
    begin(p, v, "say");
    put_select(p, "complaint", "What", picks, n, NULL, NULL);
    put_picks(p, "how", "Said, or asked", HOW, 2, true, "says");
    put_form_end(p, "Add it");
    details_end(p->out);
}

static void put_more_known(page *p, const call_view *v)
{
    pick picks[TUFA_MAX_KNOWN];
    size_t n = 0;
    for (size_t i = 0; i < tufa_fault_known_count(); i++)
        if (!v->call.known[i]) picks[n++] = (pick){tufa_fault_known_at(i)->id, tufa_fault_known_at(i)->title};
    details_begin(p->out, "More is known of house or heater");
    begin(p, v, "know");
    put_select(p, "known", "What", picks, n, NULL, NULL);
    put_form_end(p, "Add it");
    details_end(p->out);
}

static void put_questions(page *p, const call_view *v)
{
    details_begin(p->out, "What to ask by telephone");
    facts_begin(p->out);
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
        if (v->call.complaint[i] == 1) put_fact(p->out, tufa_fault_complaint_at(i)->title, tufa_fault_complaint_at(i)->ask);
    facts_end(p->out);
    details_end(p->out);
}

/* The likeliest stand first; whoever was sent for a ghost finds "none of these" in the list. */
static void put_close(page *p, const call_view *v)
{
    enum { LIKELY = 5 };
    pick likely[LIKELY], all[TUFA_MAX_FAULTS + 1];
    size_t n = 0, m = 0;
    int gas = v->plate.tank.fuel == TUFA_TANK_GAS;
    for (int i = 0; i < v->answer.faults && n < LIKELY; i++) {
        const tufa_fault_row *row = tufa_fault_for((size_t)v->answer.odds[i].fault, v->plate.single_element);
        likely[n++] = (pick){row->id, row->title};
    }
    all[m++] = (pick){"", "nothing else"};
    for (size_t i = 0; i < tufa_fault_count(); i++) {
        const tufa_fault_row *row = tufa_fault_at(i);
        if ((gas ? row->share_gas : row->share_electric) > 0.0) all[m++] = (pick){row->id, row->title};
    }
    details_begin(p->out, "It is mended: close the call");
    begin(p, v, "close");
    if (n) put_picks(p, "found", "What was found", likely, n, false, NULL);
    put_select(p, n ? "more" : "found", n ? "Or something else" : "What was found", all, m, NULL, "What was found counts in your own odds from now on");
    put_form_end(p, "Close it");
    details_end(p->out);
}

static void put_made_safe(page *p, const call_view *v)
{
    if (v->call.made_safe) return;
    begin(p, v, "safe");
    put_input(p, "who", "The danger is over: who has seen to it, when and how", "", "Such as: fire service, 14:20, gas off");
    put_form_end(p, "Write it down and go on");
}

/* What to tell the tenant now, to be said on the telephone and kept with its time. */
static void put_told(page *p, const call_view *v)
{
    text w = {0};
    say_call_tell(&w, v, 0);
    details_begin(p->out, "Tell the tenant, and keep what was said with its time");
    begin(p, v, "told");
    put_textarea(p, "told", "What the tenant is told", text_str(&w), "Change it to what is really said");
    put_form_end(p, "It was said");
    details_end(p->out);
    text_free(&w);
}

/* ---- the page ---- */

static void put_stop(page *p, const call_view *v)
{
    const tufa_stop *stop = &v->answer.stop;
    if (stop->id) put_caution(p->out, strcmp(stop->level, "leave") == 0 ? "Leave the house" : "Stop", stop->words);
}

static void put_work(page *p, desk_finder *f, const call_view *v)
{
    shown s = {{0}};
    put_odds(p, v);
    put_reading(p, v, &s);
    put_moved(p, v);
    put_actions(p, v, &s);
    put_parts(p, v);
    put_visit(p, v);
    put_tonight(p, f, v);
    put_questions(p, v);
    put_more_known(p, v);
}

static void put_call(page *p, desk_finder *f, const call_view *v)
{
    char title[STORE_LABEL + 16];
    snprintf(title, sizeof title, "%s: a call", v->heater);
    page_title(p, title);
    if (!v->rec.closed) put_stop(p, v);
    put_said(p, v);
    if (v->rec.closed) {
        put_moved(p, v);
        put_visit(p, v);
        return;
    }
    if (v->answer.stop.silent) put_made_safe(p, v);
    else put_work(p, f, v);
    if (!v->answer.stop.silent) put_more_said(p, v);
    put_told(p, v);
    put_close(p, v);
    put_undo(p, v);
    if (!v->answer.stop.silent)
        put_paragraph(p->out, "The odds rest on judgement in tables and on what was read; local codes and licensed practice come first.");
}

tufa_status page_call(page *p)
{
    int64_t id;
    RETURN_IF(page_id(p, "id", &id));
    desk_finder f = {0};
    trouble_note note = {0};
    call_view *v = malloc(sizeof *v);
    if (!v) return trouble(TUFA_MEMORY, "call", NULL);
    tufa_code code = desk_call_view(p->d, &f, id, v, &note);
    if (code == TUFA_OK) {
        page_keep(p);
        put_call(p, &f, v);
    } else if (p->note.code == TUFA_OK) {
        p->note = note;
    }
    free(v);
    desk_finder_free(&f);
    return code == TUFA_OK ? OK : (tufa_status){.code = code};
}

/* ---- what is sent ---- */

static tufa_code take_reading(page *p, desk_finder *f, int64_t id)
{
    const char *value = page_field(p, "value"), *unit = page_field(p, "unit"), *test = page_field(p, "test");
    char said[128];
    if (!value[0]) {
        note_set(&p->note, TUFA_MISSING, "value", "", "", "say what it shows; a reading that cannot be taken is left out");
        return TUFA_MISSING;
    }
    size_t n = strlen(value);
    while (n && value[n - 1] == ' ') n--;
    bool bare = n && (value[n - 1] == '.' || (value[n - 1] >= '0' && value[n - 1] <= '9'));
    snprintf(said, sizeof said, "%.*s%s%s", (int)(n < 80 ? n : 80), value, bare ? " " : "", bare ? unit : "");
    tufa_code code = desk_call_read(p->d, f, id, test, said, &p->note);
    if (code != TUFA_OK) snprintf(p->note.field, sizeof p->note.field, "value");
    return code;
}

static tufa_code take_safe(page *p, int64_t id)
{
    if (page_field(p, "who")[0]) return desk_call_add(p->d, id, CALL_MADE_SAFE, "made safe", page_field(p, "who"), &p->note);
    note_set(&p->note, TUFA_MISSING, "who", "", "", "say who has seen to it, and how");
    return TUFA_MISSING;
}

static tufa_code take_told(page *p, int64_t id)
{
    if (page_field(p, "told")[0]) return desk_call_add(p->d, id, CALL_ADVISED, "told", page_field(p, "told"), &p->note);
    note_set(&p->note, TUFA_MISSING, "told", "", "", "write what the tenant was told");
    return TUFA_MISSING;
}

static tufa_code take_close(page *p, int64_t id)
{
    const char *found[CALL_FOUND_MOST];
    size_t n = page_values(p, "found", found, CALL_FOUND_MOST - 1);
    const char *more = page_field(p, "more");
    for (size_t i = 0; i < n; i++)
        if (strcmp(found[i], more) == 0) more = "";
    if (more[0]) found[n++] = more;
    tufa_code code = desk_call_close(p->d, id, found, (int)n, &p->note);
    if (code != TUFA_OK) snprintf(p->note.field, sizeof p->note.field, "found");
    return code;
}

tufa_status take_call_work(page *p)
{
    int64_t id;
    RETURN_IF(page_id(p, "id", &id));
    const char *what = page_field(p, "do");
    text words = {0};
    desk_finder f = {0};
    tufa_code code = TUFA_UNKNOWN;
    if (strcmp(what, "read") == 0) code = take_reading(p, &f, id);
    else if (strcmp(what, "undo") == 0) {
        text_add(&words, "Taken back: ");
        code = desk_call_undo(p->d, id, &words, &p->note);
    } else if (strcmp(what, "say") == 0)
        code = desk_call_add(p->d, id, strcmp(page_field(p, "how"), "no") == 0 ? CALL_DENIED : CALL_VOICED, page_field(p, "complaint"), NULL, &p->note);
    else if (strcmp(what, "know") == 0) code = desk_call_add(p->d, id, CALL_KNOWN, page_field(p, "known"), NULL, &p->note);
    else if (strcmp(what, "safe") == 0) code = take_safe(p, id);
    else if (strcmp(what, "told") == 0) code = take_told(p, id);
    else if (strcmp(what, "close") == 0) code = take_close(p, id);
    else note_set(&p->note, TUFA_UNKNOWN, "do", what, "", "this form asks for nothing that is known");
    desk_finder_free(&f);
    if (code == TUFA_OK) {
        char to[64];
        snprintf(to, sizeof to, "/call?id=%lld", (long long)id);
        page_go_saying(p, to, words.len ? text_str(&words) : strcmp(what, "close") == 0 ? "Closed." : "Taken down.");
    }
    text_free(&words);
    return page_noted(p, code);
}
