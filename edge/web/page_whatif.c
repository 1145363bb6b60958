/* What if: cost over ten years with one thing done otherwise, side by side. */
#include "core/base/status.h"
#include "edge/desk/whatif.h"
#include "edge/desk/words.h"
#include "edge/import/value.h"
#include "edge/web/page.h"

static void put_case(page *p, const whatif_answer *a, whatif_kind k)
{
    const whatif_case *c = &a->of[k];
    text *t = p->out, w = {0};
    row_begin(t);
    say_whatif_case(&w, a, k);
    cell_head(t, text_str(&w));
    text_clear(&w);
    const double usd[] = {c->heaters_usd.p50, c->standby_usd, c->rounds_usd, c->change_usd.p50, c->total_usd};
    for (int i = 0; i < 5; i++) {
        if (c->possible) say_usd(&w, usd[i]);
        cell_figure_words(t, &w);
    }
    say_whatif_verdict(&w, a, k);
    if (c->no_room) {
        text_add(&w, " ");
        say_count(&w, c->no_room, "visit finds no room in the year.", "visits find no room in the year.");
    }
    cell_words(t, &w);
    row_end(t);
    text_free(&w);
}

/* The temperature of the form; 0 where nothing, or nothing possible, is said (then the note tells). */
static double asked_setpoint(page *p)
{
    const double least_K = 310.93, most_K = 361.0;
    value_rule rule = {.field = "setpoint", .q = Q_TEMPERATURE, .unit = unit_said(Q_TEMPERATURE, p->d->units), .lo = least_K, .hi = most_K};
    tufa_value v;
    const char *given = page_field(p, "setpoint");
    if (!given[0] || value_parse(given, &rule, &v, &p->note) != TUFA_OK) return 0.0;
    return v.basis == TUFA_BASIS_NONE ? 0.0 : v.mid;
}

tufa_status page_whatif(page *p)
{
    static const char *const heads[] = {"Case", "=Heaters", "=Standby", "=Rounds", "=The change", "=Together", "What that means", NULL};
    whatif_answer a;
    text near = {0}, w = {0};
    page_keep(p);
    const char *water = page_field(p, "water");
    double setpoint_K = asked_setpoint(p);
    bool noted = p->note.code != TUFA_OK;
    tufa_status wait;
    if (!noted && !page_may_take_long(p, &wait)) return wait;
    put_ask_form(p, "/whatif");
    put_input(p, "water", "Water to soften", water, "by name; without one, that of most heaters");
    put_input(p, "setpoint", "Setpoint of all heaters", page_field(p, "setpoint"), "120 F without one");
    put_form_end(p, "Compare");
    if (noted) return OK;
    tufa_code code = desk_whatif(p->d, &(whatif_ask){.water = water[0] ? water : NULL, .setpoint_K = setpoint_K, .cancelled = p->stopped, .ctx = p->stopped_ctx}, &a, &near, &p->note);
    text_free(&near);
    if (code != TUFA_OK) return trouble(code, "water", "there is no such water to soften; `Houses` names those of the book");
    if (a.heaters == 0) {
        put_paragraph(p->out, "There is no heater in this book yet.");
        return OK;
    }
    table_begin(p->out, "Cost over ten years, case by case", false, heads);
    for (int k = 0; k < WHATIF_COUNT; k++) put_case(p, &a, (whatif_kind)k);
    table_end(p->out);
    say_whatif_basis(&w, &a);
    put_paragraph_words(p->out, &w);
    text_free(&w);
    return OK;
}
