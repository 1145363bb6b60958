#include "edge/web/page.h"

#include <string.h>

static bool is_wrong(const page *p, const char *name)
{
    return p->note.code != TUFA_OK && strcmp(p->note.field, name) == 0;
}

static void put_attribute(text *t, const char *name, const char *value)
{
    text_addf(t, " %s=\"", name);
    put_html(t, value);
    RAW(t, "\"");
}

/* Opens a form; the method is a literal of ours. */
void put_form(page *p, const char *path)
{
    RAW(p->out, "<form method=\"post\" enctype=\"multipart/form-data\"");
    put_attribute(p->out, "action", path);
    RAW(p->out, ">");
    put_hidden(p, "token", p->token);
}

void put_ask_form(page *p, const char *path)
{
    RAW(p->out, "<form method=\"get\"");
    put_attribute(p->out, "action", path);
    RAW(p->out, ">");
}

void put_form_end(page *p, const char *button)
{
    if (button) put_submit(p, button);
    RAW(p->out, "</form>");
}

void put_submit(page *p, const char *words)
{
    RAW(p->out, "<button>");
    put_html(p->out, words);
    RAW(p->out, "</button>");
}

void put_button(page *p, const char *name, const char *value, const char *words)
{
    RAW(p->out, "<button class=\"plain\"");
    put_attribute(p->out, "name", name);
    put_attribute(p->out, "value", value);
    RAW(p->out, ">");
    put_html(p->out, words);
    RAW(p->out, "</button>");
}

void put_hidden(page *p, const char *name, const char *value)
{
    RAW(p->out, "<input type=\"hidden\"");
    put_attribute(p->out, "name", name);
    put_attribute(p->out, "value", value);
    RAW(p->out, ">");
}

void put_hidden_id(page *p, const char *name, long long id)
{
    char s[24];
    snprintf(s, sizeof s, "%lld", id);
    put_hidden(p, name, s);
}

static void put_label(page *p, const char *name, const char *label, const char *hint)
{
    RAW(p->out, "<div class=\"field\"><label");
    put_attribute(p->out, "for", name);
    RAW(p->out, ">");
    put_html(p->out, label);
    RAW(p->out, "</label>");
    if (!hint) return;
    RAW(p->out, "<p class=\"hint\" id=\"hint-");
    put_html(p->out, name);
    RAW(p->out, "\">");
    put_html(p->out, hint);
    RAW(p->out, "</p>");
}

/* id, name, and what describes the field. */
static void put_identity(page *p, const char *name, const char *hint)
{
    bool wrong = is_wrong(p, name);
    put_attribute(p->out, "id", name);
    put_attribute(p->out, "name", name);
    if (hint || wrong) {
        RAW(p->out, " aria-describedby=\"");
        if (hint) {
            RAW(p->out, "hint-");
            put_html(p->out, name);
        }
        if (wrong) {
            if (hint) RAW(p->out, " ");
            RAW(p->out, "wrong-");
            put_html(p->out, name);
        }
        RAW(p->out, "\"");
    }
    if (wrong) RAW(p->out, " aria-invalid=\"true\"");
}

/* The message of the field, and the end of what put_label began. */
static void put_message(page *p, const char *name)
{
    if (is_wrong(p, name)) {
        text words = {0};
        say_trouble(&words, &p->note);
        RAW(p->out, "<p class=\"error\" id=\"wrong-");
        put_html(p->out, name);
        RAW(p->out, "\">");
        put_html_text(p->out, &words);
        RAW(p->out, "</p>");
        text_free(&words);
        p->beside = true;
    }
    RAW(p->out, "</div>");
}

static const char *kept(const page *p, const char *name, const char *value)
{
    const char *typed = web_field_get(p->r, name);
    return typed ? typed : value ? value : "";
}

void put_input_of(page *p, const char *type, const char *name, const char *label, const char *value, const char *hint)
{
    put_label(p, name, label, hint);
    RAW(p->out, "<input");
    put_attribute(p->out, "type", type);
    put_identity(p, name, hint);
    if (strcmp(type, "password") != 0) put_attribute(p->out, "value", kept(p, name, value));
    RAW(p->out, ">");
    put_message(p, name);
}

void put_input(page *p, const char *name, const char *label, const char *value, const char *hint)
{
    put_input_of(p, "text", name, label, value, hint);
}

void put_textarea(page *p, const char *name, const char *label, const char *value, const char *hint)
{
    put_label(p, name, label, hint);
    RAW(p->out, "<textarea");
    put_identity(p, name, hint);
    RAW(p->out, ">\n");
    put_html(p->out, kept(p, name, value));
    RAW(p->out, "</textarea>");
    put_message(p, name);
}

void put_select(page *p, const char *name, const char *label, const pick *picks, size_t n, const char *value, const char *hint)
{
    const char *now = kept(p, name, value);
    put_label(p, name, label, hint);
    RAW(p->out, "<select");
    put_identity(p, name, hint);
    RAW(p->out, ">");
    for (size_t i = 0; i < n; i++) {
        RAW(p->out, "<option");
        put_attribute(p->out, "value", picks[i].value);
        if (strcmp(now, picks[i].value) == 0) RAW(p->out, " selected");
        RAW(p->out, ">");
        put_html(p->out, picks[i].words);
        RAW(p->out, "</option>");
    }
    RAW(p->out, "</select>");
    put_message(p, name);
}

static void put_box(page *p, const char *type, const char *name, const char *value, const char *words, bool ticked)
{
    bool asked = p->r->post || web_field_get(p->r, name);
    RAW(p->out, "<label class=\"pick\"><input");
    put_attribute(p->out, "type", type);
    put_attribute(p->out, "name", name);
    put_attribute(p->out, "value", value);
    if (asked ? page_has(p, name, value) : ticked) RAW(p->out, " checked");
    RAW(p->out, "> <span>");
    put_html(p->out, words);
    RAW(p->out, "</span></label>");
}

void put_checkbox(page *p, const char *name, const char *value, const char *words, bool ticked)
{
    put_box(p, "checkbox", name, value, words, ticked);
}

void put_picks(page *p, const char *name, const char *legend, const pick *picks, size_t n, bool one, const char *value)
{
    RAW(p->out, "<div class=\"field\">");
    put_group(p, legend);
    for (size_t i = 0; i < n; i++)
        put_box(p, one ? "radio" : "checkbox", name, picks[i].value, picks[i].words, value && strcmp(value, picks[i].value) == 0);
    put_group_end(p);
    put_message(p, name);
}

void put_group(page *p, const char *legend)
{
    RAW(p->out, "<fieldset><legend>");
    put_html(p->out, legend);
    RAW(p->out, "</legend>");
}

void put_group_end(page *p) { RAW(p->out, "</fieldset>"); }

void put_file(page *p, const char *name, const char *label, const char *accept, const char *hint)
{
    put_label(p, name, label, hint);
    RAW(p->out, "<input type=\"file\"");
    put_identity(p, name, hint);
    if (accept) put_attribute(p->out, "accept", accept);
    RAW(p->out, ">");
    put_message(p, name);
}
