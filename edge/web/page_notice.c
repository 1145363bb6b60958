/* The text of the notice, to change it. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/notice.h"
#include "edge/web/page.h"

tufa_status page_notice(page *p)
{
    notice_text n;
    text w = {0};
    page_keep(p);
    RETURN_IF(desk_notice_text(p->d, &n));
    if (n.own) {
        text_addf(&w, "This is your own text (%s, ", n.source);
        say_day(&w, n.day);
        text_add(&w, "). What was kept before stays in the book.");
    } else {
        text_add(&w, "This is the usual text. Change it to your own words; it makes no claim about what a law asks, and neither should yours unless you have looked.");
    }
    put_paragraph_words(p->out, &w);
    put_form(p, "/notice");
    put_textarea(p, "notice", "Text of the notice", text_str(&n.words), "An empty line begins a new paragraph. Places in braces are filled in.");
    put_form_end(p, "Keep this text");
    if (n.own) {
        put_form(p, "/notice");
        put_hidden(p, "usual", "1");
        put_form_end(p, "Back to the usual text");
    }
    put_heading(p->out, "What is filled in");
    facts_begin(p->out);
    for (size_t i = 0; notice_place_at(i); i++) {
        text_addf(&w, "{%s}", notice_place_at(i)->name);
        put_fact(p->out, text_str(&w), notice_place_at(i)->what);
        text_clear(&w);
    }
    facts_end(p->out);
    RAW(p->out, "<p>");
    put_link(p->out, "/paper?ask=1&document=notice", "Make a notice");
    RAW(p->out, "</p>");
    text_free(&w);
    text_free(&n.words);
    return OK;
}

tufa_status take_notice(page *p)
{
    bool usual = page_field(p, "usual")[0] != 0;
    const char *words = usual ? "" : page_field(p, "notice");
    if (!usual && words[strspn(words, " \t\r\n")] == 0) {
        note_set(&p->note, TUFA_MISSING, "notice", "", "", "the text is empty");
        return page_noted(p, TUFA_MISSING);
    }
    text plain = {0};
    for (const char *s = words; *s; s++) /* a form's line ends are CR LF */
        if (*s != '\r') text_addn(&plain, s, 1);
    tufa_code code = desk_notice_keep(p->d, text_str(&plain), "entered", &p->note);
    text_free(&plain);
    if (code != TUFA_OK) return page_noted(p, code);
    page_go_saying(p, "/notice", usual ? "Notices have the usual text again." : "Kept: notices have this text from now on.");
    return OK;
}
