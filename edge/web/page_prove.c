/* What is left in a tank by the readings of its last visit, the sentence for the record, and the visits so far. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/say/clean.h"
#include "edge/web/visit_page.h"

static void put_part(page *p, const tufa_proof_part *part, text *w)
{
    const tufa_proof_row *row = tufa_proof_at(part->kind);
    unit_system s = p->d->units;
    row_begin(p->out);
    RAW(p->out, "<th scope=\"row\">");
    put_html(p->out, row->title);
    RAW(p->out, "<br><span class=\"soft\">does not see: ");
    put_html(p->out, row->blind);
    RAW(p->out, "</span></th>");
    if (!part->sees) {
        cell(p->out, "says nothing about this bed");
        cell(p->out, "");
        cell(p->out, "");
    } else {
        if (isnan(part->says_m3)) text_add(w, "counts, without naming a volume");
        else say_about(w, s, Q_VOLUME, part->says_m3);
        cell_words(p->out, w);
        if (!isnan(part->says_m3)) say_about(w, s, Q_VOLUME, part->error_m3);
        cell_words(p->out, w);
        if (fabs(part->shift_m3) >= 1e-4) {
            text_add(w, part->shift_m3 > 0.0 ? "up by " : "down by ");
            say_about(w, s, Q_VOLUME, fabs(part->shift_m3));
        }
        cell_words(p->out, w);
    }
    row_end(p->out);
}

static void put_readings(page *p, const prove_answer *a)
{
    static const char *const heads[] = {"Reading", "Bed left, by it alone", "Give or take", "Moves the answer", NULL};
    text w = {0};
    if (a->proof.parts == 0) return;
    table_begin(p->out, "What each reading says", true, heads);
    for (size_t i = 0; i < a->proof.parts; i++) put_part(p, &a->proof.part[i], &w);
    table_end(p->out);
    text_free(&w);
}

static void put_sharper(page *p, const prove_answer *a)
{
    const tufa_proof *f = &a->proof;
    text w = {0};
    put_heading(p->out, "What would sharpen it");
    if (f->sharpen == TUFA_PROOF_COUNT) {
        put_paragraph(p->out, "No further reading would sharpen it much.");
    } else {
        const char *works[] = {tufa_proof_at(f->sharpen)->test, NULL};
        put_work_cautions(p, works, a->in.fuel, false);
        text_addf(&w, "%c%s, about %.0f minutes: the range narrows from ", tufa_proof_at(f->sharpen)->title[0] - 'a' + 'A', tufa_proof_at(f->sharpen)->title + 1,
                  tufa_proof_at(f->sharpen)->minutes);
        say_quantity(&w, p->d->units, Q_VOLUME, f->width_m3);
        text_add(&w, " to ");
        say_quantity(&w, p->d->units, Q_VOLUME, f->width_after_m3);
        text_add(&w, " wide.");
        put_paragraph_words(p->out, &w);
    }
    text_free(&w);
}

static void put_record(page *p, const prove_answer *a)
{
    text w = {0};
    put_heading(p->out, "For the record");
    RAW(p->out, "<blockquote>");
    say_proof_sentence(&w, p->d->units, &a->in, &a->proof);
    put_paragraph_words(p->out, &w);
    RAW(p->out, "</blockquote>");
    text_addf(&w, "By the rule: %s.", a->proof.rule);
    put_paragraph_words(p->out, &w);
    put_paragraph(p->out, "\"Clean\" is written only where a rod finds less than 15 mm (5/8 in) at all five spots, or the refill comes within 2 L (half a gallon) of this tank's own clean "
                          "one, and a dry weight is in the record. Clear water proves nothing: coarse grains stay behind an arch.");
    text_free(&w);
}

static void put_line(page *p, text *w)
{
    RAW(p->out, "<li>");
    put_html_text(p->out, w);
    RAW(p->out, "</li>");
}

static void put_past(page *p, const visit_past *v)
{
    text w = {0};
    RAW(p->out, "<h3>");
    say_visit_past(&w, p->d->units, v);
    put_html_text(p->out, &w);
    RAW(p->out, "</h3>");
    if (v->founds + v->parts + v->photos) RAW(p->out, "<ul>");
    for (int i = 0; i < v->founds;) {
        i += say_found(&w, p->d->units, v, i);
        put_line(p, &w);
    }
    for (int i = 0; i < v->parts; i++) {
        text_add(&w, "used: ");
        say_part_used(&w, &v->part[i]);
        put_line(p, &w);
    }
    for (int i = 0; i < v->photos; i++) {
        text_addf(&w, "picture: %s", v->photo[i]);
        put_line(p, &w);
    }
    if (v->founds + v->parts + v->photos) RAW(p->out, "</ul>");
    text_free(&w);
}

static tufa_status put_visits(page *p, const char *name)
{
    visit_history h;
    trouble_note note = {0};
    RETURN_IF(page_desk(p, desk_visits(p->d, name, &h, &note), &note));
    put_heading(p->out, "Visits so far");
    if (h.n == 0) put_paragraph(p->out, "None that the book knows of.");
    for (int i = 0; i < h.n; i++) put_past(p, &h.visit[i]);
    desk_visits_free(&h);
    return OK;
}

tufa_status page_prove(page *p)
{
    int64_t id;
    char name[24];
    prove_answer a;
    trouble_note note = {0};
    text w = {0};
    RETURN_IF(page_heater_name(p, &id, name));
    RETURN_IF(page_desk(p, desk_prove(p->d, name, &a, &note), &note));
    page_keep(p);
    text_addf(&w, "%s: what is left in it", a.heater.label);
    page_title(p, text_str(&w));
    text_clear(&w);
    if (a.day) {
        text_add(&w, "By the readings of ");
        say_day(&w, a.day);
        text_add(&w, ": ");
    } else {
        text_add(&w, "There is no reading of this tank in the book yet; by the forecast alone: ");
    }
    say_value(&w, p->d->units, Q_VOLUME, a.proof.left_m3);
    text_add(&w, " of bed, ");
    say_value(&w, p->d->units, Q_MASS, a.proof.left_kg);
    text_add(&w, " dry.");
    put_paragraph_words(p->out, &w);
    text_free(&w);
    put_readings(p, &a);
    put_record(p, &a);
    put_sharper(p, &a);
    RAW(p->out, "<p>");
    put_heater_page_link(p, "/visit/record", id, "Write down readings");
    RAW(p->out, " &middot; ");
    put_heater_page_link(p, "/clean", id, "How to get it out");
    RAW(p->out, " &middot; ");
    put_id_link(p->out, "/heater", "id", id, "This heater");
    RAW(p->out, "</p>");
    return put_visits(p, name);
}
