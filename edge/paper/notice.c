/* The notice to whoever lives behind a heater. */
#include <math.h>
#include <string.h>

#include "edge/desk/notice.h"
#include "edge/paper/document.h"

/* An empty line parts paragraphs. */
static void paragraphs(paper *p, const char *s)
{
    while (*s) {
        const char *end = strstr(s, "\n\n");
        size_t n = end ? (size_t)(end - s) : strlen(s);
        text one = {0};
        text_addn(&one, s, n);
        paper_words(p, paper_para, &one);
        paper_space(p, 4.0);
        s += n;
        s += strspn(s, "\n");
    }
}

/* A call has no plan of its own: what is told is that somebody comes to look. */
static tufa_code plan(const document_ask *ask, visit_plan *v, trouble_note *note)
{
    const char *kind = document_option(ask, "kind"), *work = document_option(ask, "work");
    bool call = kind && strcmp(kind, "call") == 0;
    tufa_code code = desk_visit_plan(ask->d, ask->name, call ? "turnover" : kind, document_option(ask, "method"), v, note);
    if (code == TUFA_OK) code = desk_visit_when(ask->d, document_option(ask, "day"), document_option(ask, "from"), document_option(ask, "until"), v, note);
    if (call && !work) work = "look at the water heater and mend it";
    if (work) snprintf(v->work, sizeof v->work, "%s", work);
    return code;
}

/* By when it must be given, as the owner set it: told to him, not printed. */
static tufa_code remark(const document_ask *ask, paper *p, const visit_plan *v, trouble_note *note)
{
    double days;
    bool said;
    text w = {0};
    tufa_status st = desk_notice_days(ask->d, v->heater.id, &days, &said);
    if (st.code != TUFA_OK) return document_fail(note, st);
    int64_t before = (int64_t)ceil(days);
    if (!said) text_add(&w, "Nobody has said how many days beforehand notice must be given (setting notice_days, or notice_days of the house); ");
    text_addf(&w, "%lld day%s beforehand %s", (long long)before, before == 1 ? "" : "s", said ? "is what the book says" : "is assumed");
    if (v->day) {
        text_add(&w, v->day - before < ask->d->today ? ": too late for this day, it would have to be given by " : ": to be given by ");
        say_day(&w, v->day - before);
    }
    text_add(&w, ".");
    if (w.s && w.s[0] >= '0' && w.s[0] <= '9') {
        text whole = {0};
        text_addf(&whole, "Notice: %s", text_str(&w));
        paper_remark(p, text_str(&whole));
        text_free(&whole);
    } else {
        paper_remark(p, text_str(&w));
    }
    text_free(&w);
    return TUFA_OK;
}

static void strip(paper *p, const visit_plan *v)
{
    static const char *const ROOMS[] = {"Given on", "By", "To whom", "How: by hand, at the door, by post, by message", "Answer", "Agreed day and hour"};
    text w = {0};
    paper_cut(p);
    text_addf(&w, "For the file: notice for %s", v->heater.label);
    paper_words(p, paper_strong, &w);
    paper_fields(p, 3, 34.0, sizeof ROOMS / sizeof ROOMS[0], ROOMS);
}

tufa_code document_notice(const document_ask *ask, paper *p, trouble_note *note)
{
    visit_plan v;
    text w = {0};
    tufa_code code = plan(ask, &v, note);
    if (code == TUFA_OK) code = remark(ask, p, &v, note);
    if (code != TUFA_OK) return code;
    document_named(ask, p, "Notice", v.heater.label);
    paper_name(p, paper_named(p), v.owner); /* no more than that on a tenant's paper */
    paper_type(p, 12.0, 10.0);
    paper_title(p, "Work on your water heater");
    notice_fill(&w, ask->d->units, &v, ask->d->today, v.notice[0] ? v.notice : notice_usual);
    paragraphs(p, text_str(&w));
    text_free(&w);
    strip(p, &v);
    return TUFA_OK;
}
