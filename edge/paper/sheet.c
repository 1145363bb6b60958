/* The job sheet: what goes along to one heater. */
#include "edge/paper/sheet.h"

#include <ctype.h>
#include <string.h>

#include "edge/desk/ahead_words.h"
#include "edge/desk/letter.h"

/* A sentence without the label that it begins with: that stands in the title. */
static void put_behind(paper *p, void (*put)(paper *p, const char *s), const char *s, const char *label)
{
    size_t n = strlen(label);
    text w = {0};
    text_add(&w, strncmp(s, label, n) == 0 && strncmp(s + n, ": ", 2) == 0 ? s + n + 2 : s);
    if (w.len) w.s[0] = (char)toupper((unsigned char)w.s[0]);
    paper_words(p, put, &w);
}

void sheet_head(const document_ask *ask, paper *p, const char *title, const ahead_answer *a, const char *what)
{
    static const char *const ROOMS[] = {"Day", "Begun at", "Ended at", "Who", "Notice given on", "by", "answer"};
    text w = {0};
    document_named(ask, p, title, a->c.heater.label);
    paper_title(p, paper_named(p));
    say_heater_line(&w, a);
    put_behind(p, paper_para, text_str(&w), a->c.heater.label);
    text_clear(&w);
    put_behind(p, paper_strong, what, a->c.heater.label);
    paper_fields(p, 7, 25.0, 7, ROOMS);
    say_law(&w);
    paper_words(p, paper_para, &w);
}

void sheet_expect(expected *e, unit_system s, const ahead_answer *a)
{
    text w = {0};
    const desk_hot *h = &a->hot;
    say_temperature(&w, s, h->setpoint_K);
    expect(e, "thermostat set to", &w);
    text_add(&w, "under ");
    say_temperature(&w, s, 322.04); /* 120 F, as on the closing card */
    expect(e, "hottest steady water at the tub", &w);
    say_volume(&w, s, h->first_draw_m3);
    expect(e, "hot water in one draw, from all hot", &w);
    if (h->recovery_s > 0.0) {
        say_quantity(&w, s, Q_TIME, h->recovery_s);
        expect(e, "from all cold until it is hot", &w);
    }
    double watts = a->ahead.heater.field[TUFA_HEATER_ELEMENT_POWER].mid;
    if (a->c.known.fuel == TUFA_ELECTRIC && watts > 0.0) {
        text_addf(&w, "%.0f W, give or take 5 %%", watts);
        expect(e, a->c.known.one_element ? "house's meter, element at work" : "house's meter, lower element at work", &w);
        text_add(&w, "under 20 to 60 W");
        expect(e, "house's meter, heater at rest", &w);
    }
    say_value(&w, s, Q_LENGTH, (tufa_value){a->ahead.now_depth_m.p50, a->ahead.now_depth_m.p10, a->ahead.now_depth_m.p90, TUFA_BASIS_LEARNED});
    expect(e, "depth of the bed", &w);
}

void sheet_foot(paper *p)
{
    paper_closing_card(p);
    paper_together(p);
    paper_led(p, "Found and done", "(into the book: `tufa visit record`, or the heater's page). Photographs: ____");
    paper_rest(p);
    paper_together_end(p);
}

/* ---- which sheet ---- */

static tufa_code find_call(const document_ask *ask, int64_t heater, const char *kind, int64_t *call, trouble_note *note)
{
    *call = 0;
    bool asked = kind && strcmp(kind, "call") == 0;
    if ((kind && !asked) || (!kind && document_option(ask, "method"))) return TUFA_OK;
    tufa_status st = desk_call_open(ask->d, heater, call);
    if (st.code != TUFA_OK) return document_fail(note, st);
    if (!asked || *call) return TUFA_OK;
    note_set(note, TUFA_MISSING, "kind", kind, "clean, turnover, standing", "no call about this heater is open");
    return TUFA_MISSING;
}

tufa_code document_sheet(const document_ask *ask, paper *p, trouble_note *note)
{
    ahead_answer a;
    int64_t call;
    const char *kind = document_option(ask, "kind");
    tufa_code code = desk_ahead(ask->d, ask->name, &a, ask->near, note);
    if (code != TUFA_OK) return code;
    paper_type(p, 10.5, 9.0); /* read by a head-torch */
    code = find_call(ask, a.c.heater.id, kind, &call, note);
    if (code == TUFA_OK && call) code = sheet_of_call(ask, p, &a, call, note);
    else if (code == TUFA_OK) code = sheet_of_visit(ask, p, &a, kind, document_option(ask, "method"), note);
    ahead_free(&a);
    return code;
}
