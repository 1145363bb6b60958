/* The waters of the book: what is known of each, and what heating does to it. */
#include <math.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "edge/desk/water_answer.h"
#include "edge/desk/what_learned.h"
#include "edge/import/sheet.h"
#include "edge/web/page.h"

enum { TEMPS = 5 };
static const double AT_F[TEMPS] = {120.0, 130.0, 140.0, 150.0, 160.0};
static const double MG_L_PER_GRAIN = 17.11806;

typedef struct showing {
    page *p;
    desk_waters waters;
    text w;
    size_t n;
} showing;

static void put_sheet(page *p, const desk_water *water, const sheet_rec *s, text *w)
{
    static const char *const heads[] = {"Column", "As it was given", NULL};
    if (!water->has_sheet) {
        put_paragraph(p->out, "No figures in the book: published analyses of waters like it stand in, and every range is the wider for it.");
        return;
    }
    text_add(w, "The sheet of ");
    say_day(w, s->day);
    text_addf(w, " (%s)", s->source);
    details_begin(p->out, text_str(w));
    text_clear(w);
    text_addf(w, "Lab sheet of %s", water->label);
    table_begin(p->out, text_str(w), false, heads);
    text_clear(w);
    for (int i = 0; i < s->n; i++) {
        if (!s->cells[i].cell[0]) continue;
        row_begin(p->out);
        cell_head(p->out, s->cells[i].column);
        cell(p->out, s->cells[i].cell);
        row_end(p->out);
    }
    table_end(p->out);
    details_end(p->out);
}

static void say_what_it_is(text *w, const water_answer *a)
{
    const tufa_analysis *m = &a->filled.middle;
    double hardness = mg_caco3_from_mol(m->ca_mol_kgw + m->mg_mol_kgw);
    text_addf(w, "%.0f grains hard (%.0f mg/L), alkalinity %.0f mg/L as CaCO3, pH %.1f; conductivity about %.0f uS/cm.", hardness / MG_L_PER_GRAIN, hardness,
              0.5 * mg_caco3_from_mol(m->alkalinity_eq_kgw), m->ph, a->at[0].state.ec25_uS_cm);
    if (a->charge_told && fabs(a->charge_error_pct) > 5.0)
        text_addf(w, " Its charges balance no better than within %.0f %%: a figure is missing or mistyped.", ceil(fabs(a->charge_error_pct)));
}

static void put_heating(page *p, const char *label, const water_answer *a, unit_system u, text *w)
{
    static const char *const heads[] = {"Heated to", "=pH there", "=Scale it can drop, mg/L", "=Likely", NULL};
    text_addf(w, "What heating does to %s", label);
    table_begin(p->out, text_str(w), false, heads);
    text_clear(w);
    for (size_t i = 0; i < a->temps; i++) {
        const water_heated *h = &a->at[i];
        row_begin(p->out);
        say_quantity(w, u, Q_TEMPERATURE, h->state.T_K);
        cell_head(p->out, text_str(w));
        text_clear(w);
        text_addf(w, "%.2f", h->state.ph);
        cell_figure_words(p->out, w);
        text_addf(w, "%.0f", fmax(0.0, h->ccpp_mg_L.mid));
        cell_figure_words(p->out, w);
        text_addf(w, "%.0f to %.0f", fmax(0.0, h->ccpp_mg_L.lo), fmax(0.0, h->ccpp_mg_L.hi));
        cell_figure_words(p->out, w);
        row_end(p->out);
    }
    table_end(p->out);
}

static tufa_status put_chemistry(page *p, const desk_water *water, text *w)
{
    double T_K[TEMPS];
    water_answer a;
    size_t at;
    for (int i = 0; i < TEMPS; i++) T_K[i] = K_from_F(AT_F[i]);
    tufa_status st = desk_water_heated(&water->known, TUFA_CONSTANTS_2025, TEMPS, T_K, &a, &at);
    if (st.code != TUFA_OK) {
        put_paragraph(p->out, "What is known of it contradicts itself; `tufa water` says how.");
        return OK;
    }
    say_what_it_is(w, &a);
    put_paragraph_words(p->out, w);
    put_heating(p, water->label, &a, p->d->units, w);
    if (water->softened.basis != TUFA_BASIS_NONE)
        put_paragraph(p->out, "These are the figures of the water that goes into the softener; a working one takes all but 1 or 2 parts in 100 of that scale away, and "
                              "leaves the water eating anodes faster.");
    text ask = {0};
    if (a.look.ask < TUFA_WATER_FIELD_COUNT) sheet_ask(&ask, a.look.ask);
    if (ask.len) {
        text_addf(w, "One figure would narrow this most (from %.0f mg/L wide to about %.0f). Call the water works and say: %s", a.look.width_mg_L,
                  a.look.width_after_mg_L, text_str(&ask));
        put_paragraph_words(p->out, w);
    }
    text_free(&ask);
    return OK;
}

static tufa_status put_taught(page *p, int64_t water, text *w)
{
    for (int fuel = TUFA_ELECTRIC; fuel <= TUFA_GAS; fuel++) {
        const learned_group *g;
        RETURN_IF(learned_group_of(p->d->s, p->d->today, water, (tufa_fuel)fuel, &g));
        if (g->n == 0) continue;
        tufa_value r = {g->common.mid / g->usual.mid, g->common.lo / g->usual.mid, g->common.hi / g->usual.mid, TUFA_BASIS_LEARNED};
        say_count(w, g->n, "tank", "tanks");
        text_addf(w, " on it %s opened or measured: %s there lay down ", g->n == 1 ? "was" : "were", fuel == TUFA_ELECTRIC ? "electric heaters" : "gas heaters");
        say_times(w, r);
        text_add(w, " what is usual for that scale.");
        put_paragraph_words(p->out, w);
    }
    return OK;
}

static tufa_status put_one(void *ctx, const water_rec *r)
{
    showing *s = ctx;
    const desk_water *water;
    sheet_rec sheet = {0};
    s->n++;
    put_heading(s->p->out, r->label);
    tufa_status st = waters_get(&s->waters, r->id, &water);
    if (st.code != TUFA_OK) {
        text_addf(&s->w, "Its sheet cannot be read: %s.", st.why ? st.why : tufa_code_words(st.code));
        put_paragraph_words(s->p->out, &s->w);
        return OK;
    }
    st = store_sheet_now(s->p->d->s, r->id, &sheet);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    RETURN_IF(put_chemistry(s->p, water, &s->w));
    RETURN_IF(put_taught(s->p, r->id, &s->w));
    put_sheet(s->p, water, &sheet, &s->w);
    return OK;
}

tufa_status page_waters(page *p)
{
    showing s = {.p = p};
    waters_start(&s.waters, p->d->s, LEARN_DRAWS);
    page_keep(p);
    put_paragraph(p->out, "Hardness does not decide. What counts is how much lime the heated water can drop, and how much of that stays in a tank: a few parts in a hundred.");
    tufa_status st = store_water_each(p->d->s, put_one, &s);
    if (st.code == TUFA_OK && s.n == 0) put_paragraph(p->out, "The book has no water yet: take a table of waters in, or say \"very hard\" of a house's water.");
    RAW(p->out, "<p>");
    put_link(p->out, "/learned", "What was learned on each water");
    RAW(p->out, "</p>");
    waters_end(&s.waters);
    text_free(&s.w);
    return st;
}
