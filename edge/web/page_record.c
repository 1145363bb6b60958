/* What was found and done, typed in: every field may stay empty or say "?" or "about 6"; all of it is kept, or nothing. */
#include <stdio.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/web/visit_page.h"

typedef enum entry_fuel { ANY, ELECTRIC, GAS } entry_fuel;
typedef struct entry {
    const char *key, *label, *hint_us, *hint_metric;
    entry_fuel fuel; /* of the heaters that have it */
} entry;

static const entry OUT[] = {
    {"dry_weight", "Weighed dry", "pounds: 6.2, about 6, 5..8", "kilograms: 2.8, about 3, 2..4", ANY},
    {"wet_weight", "Weighed drained but wet", "pounds", "kilograms", ANY},
    {"slurry", "Settled in the pail", "gallons, or 3 qt", "liters", ANY},
    {"jar", "Settled in the jar of first water", "percent of the jar", "percent of the jar", ANY},
    {"depth", "Depth of the bed as found", "inches", "centimeters", ANY},
};
static const entry GRAINS[] = {
    {"over_4mm", "Stays on a 4 mm (5/32 in) sieve", "percent of a sample", "percent of a sample", ANY},
    {"over_2mm", "Passes that, stays on 2 mm (5/64 in)", "percent of the sample", "percent of the sample", ANY},
    {"over_1mm", "Passes both, stays on 1 mm (tea strainer)", "percent of the sample", "percent of the sample", ANY},
    {"lumps", "Lumps that do not break between fingers", "percent of the bed", "percent of the bed", ANY},
};
static const entry LEFT[] = {
    {"probe", "Rod at five spots through the element hole, when leaving", "inches, five with commas between: 0.2, 0.3, 0.2, 0.1, 0.2", "centimeters, five with commas between: 0.5, 0.8, 0.5, 0.3, 0.5", ELECTRIC},
    {"probe_line", "Rod along one line through the drain port", "inches", "centimeters", ANY},
    {"refill", "Water to refill the drained tank", "gallons at the meter", "liters at the meter", ANY},
    {"drain_flow", "Flow at the open drain", "gallons a minute", "liters a minute", ANY},
};
static const entry HOT[] = {
    {"first_draw", "Hot water until it falls under 105 F", "gallons, heat off", "liters, heat off", ANY},
    {"heat_kwh", "Heat-up: energy from cold to the stop", "kWh at the house's meter, other breakers off", "kWh at the house's meter, other breakers off", ELECTRIC},
    {"start", "Heat-up: water at the start", "F, or 15 C", "C", ELECTRIC},
    {"end", "Heat-up: water at the end", "F, after a draw of 3 gallons", "C, after a draw of 10 liters", ELECTRIC},
    {"heat_minutes", "Heat-up: how long", "minutes", "minutes", ELECTRIC},
};
static const entry METER[] = {
    {"tub", "Hottest steady water at the tub", "F", "C", ANY},
    {"rest_watts", "House's meter at rest", "watts, other breakers off", "watts, other breakers off", ELECTRIC},
    {"demand_watts", "House's meter while the lower (or only) element works", "watts", "watts", ELECTRIC},
    {"ohm_lower", "Lower (or only) element, one wire off", "ohms", "ohms", ELECTRIC},
    {"ohm_ground", "From its terminals to its sheath", "ohms: over 1000000 where the meter shows nothing", "ohms: over 1000000 where the meter shows nothing", ELECTRIC},
    {"spill", "Smoke drawn in at the draft hood after", "minutes, house closed, fans on", "minutes, house closed, fans on", GAS},
    {"co", "CO meter at head height", "ppm", "ppm", GAS},
    {"anode_left", "Metal left on the anode", "percent", "percent", ANY},
};

static const entry TOLD[] = {
    {"pressure", "Water pressure, nothing running", "psi", "bar", ANY},
    {"flowing", "Pressure while one hose tap runs", "psi", "bar", ANY},
    {"bucket", "Flow of that tap, by a pail and a watch", "gallons a minute", "liters a minute", ANY},
    {"drain_bore", "Clear width inside the drain valve", "inches, by drill shanks: 1/2, 0.55", "centimeters, or 14 mm", ANY},
    {"hose_run", "Hose from the drain to where the water may go", "feet", "meters", ANY},
    {"hose_rise", "Rise of the hose", "feet, minus for downhill", "meters, minus for downhill", ANY},
    {"setpoint", "What the dial stands at now", "F", "C", ANY},
};

static void put_choices(page *p)
{
    static const pick YES_NO[] = {{"", "not looked at"}, {"yes", "yes"}, {"no", "no"}};
    static const pick DRAIN[] = {{"", "not looked at"}, {"globe", "a cock with a bend inside (globe)"}, {"straight", "straight through (gate)"}, {"full port", "full-port ball"}};
    put_select(p, "drain_pattern", "How the drain valve is made", DRAIN, sizeof DRAIN / sizeof DRAIN[0], "", NULL);
    put_select(p, "rusted", "Rust, or does it weep?", YES_NO, 3, "", NULL);
    put_select(p, "relief_works", "Does the relief valve work?", YES_NO, 3, "", NULL);
}

/* What is seldom read is folded away, so that the keyboard passes it by; open once something was typed. */
static void fold_begin(page *p, const char *summary)
{
    if (p->r->post) RAW(p->out, "<details open><summary>");
    else RAW(p->out, "<details><summary>");
    put_html(p->out, summary);
    RAW(p->out, "</summary>");
}

static void put_entries(page *p, tufa_fuel fuel, const char *legend, const entry *e, size_t n)
{
    put_group(p, legend);
    RAW(p->out, "<div class=\"pairs\">");
    for (size_t i = 0; i < n; i++)
        if (e[i].fuel == ANY || (e[i].fuel == ELECTRIC) == (fuel == TUFA_ELECTRIC)) put_input(p, e[i].key, e[i].label, "", p->d->units == UNITS_US ? e[i].hint_us : e[i].hint_metric);
    if (e == TOLD) put_choices(p);
    RAW(p->out, "</div>");
    put_group_end(p);
}
#define PUT_ENTRIES(p, fuel, legend, list) put_entries(p, fuel, legend, list, sizeof(list) / sizeof((list)[0]))

static void put_what_was_done(page *p)
{
    static const pick KINDS[] = {{"clean", "a cleaning"}, {"turnover", "between two households"}, {"standing", "after standing empty"}};
    pick methods[TUFA_METHOD_COUNT + 1] = {{"", "nothing taken out"}};
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) methods[m + 1] = (pick){tufa_method_at((tufa_method_id)m)->id, tufa_method_at((tufa_method_id)m)->title};
    put_group(p, "The visit");
    RAW(p->out, "<div class=\"pairs\">");
    put_input(p, "day", "Day", "", p->d->units == UNITS_US ? "3/2/2026 or 2026-03-02; empty is today" : "2026-03-02; empty is today");
    put_select(p, "kind", "What for", KINDS, sizeof KINDS / sizeof KINDS[0], "clean", NULL);
    put_select(p, "method", "How the bed was taken out", methods, TUFA_METHOD_COUNT + 1, "", NULL);
    put_input(p, "minutes", "Time there", "", "minutes: 95, about 90");
    put_input(p, "cost", "Money laid out", "", "dollars");
    put_input(p, "by", "Who was there", "", "a name");
    RAW(p->out, "</div>");
    put_group_end(p);
}

static void put_baseline(page *p, const clean_heater *h)
{
    text w = {0};
    bool none = h->clean_refill_m3 != h->clean_refill_m3 && h->clean_draw_m3 != h->clean_draw_m3 && h->clean_heated_m3 != h->clean_heated_m3;
    put_group(p, "Clean readings of its own");
    if (none) text_add(&w, "This heater has none yet. Readings of a new or freshly cleaned tank are what every later visit is measured against: filling, first draw, heat-up, drain flow.");
    else {
        text_add(&w, "Its own, when clean:");
        if (h->clean_refill_m3 == h->clean_refill_m3) text_add(&w, " filling "), say_quantity(&w, p->d->units, Q_VOLUME, h->clean_refill_m3), text_add(&w, ";");
        if (h->clean_draw_m3 == h->clean_draw_m3) text_add(&w, " first draw "), say_quantity(&w, p->d->units, Q_VOLUME, h->clean_draw_m3), text_add(&w, ";");
        if (h->clean_heated_m3 == h->clean_heated_m3) text_add(&w, " heated "), say_quantity(&w, p->d->units, Q_VOLUME, h->clean_heated_m3), text_add(&w, ";");
        if (h->clean_flow_m3_s == h->clean_flow_m3_s) text_add(&w, " drain flow "), say_quantity(&w, p->d->units, Q_FLOW, h->clean_flow_m3_s), text_add(&w, ";");
        text_add(&w, " new ones take their place.");
    }
    put_paragraph_words(p->out, &w);
    static const pick YES[] = {{"yes", "Today's readings are those of a clean tank"}};
    put_picks(p, "baseline", "Are they clean ones?", YES, 1, false, NULL);
    put_group_end(p);
    text_free(&w);
}

tufa_status page_record(page *p)
{
    int64_t id;
    char name[24];
    clean_heater h;
    trouble_note note = {0};
    text w = {0};
    page_keep(p);
    RETURN_IF(page_heater_name(p, &id, name));
    RETURN_IF(page_desk(p, desk_clean_heater(p->d, name, &h, &note), &note));
    page_keep(p);
    text_addf(&w, "%s: what was found and done", h.label);
    page_title(p, text_str(&w));
    text_free(&w);
    put_paragraph(p->out, "Write what there is; every field may stay empty. \"?\", \"about 6\" and \"5..8\" are as good as a figure. All of it is kept, or nothing.");
    put_form(p, "/visit/record");
    put_hidden_id(p, "heater", id);
    put_what_was_done(p);
    PUT_ENTRIES(p, h.tank.fuel, "What came out", OUT);
    PUT_ENTRIES(p, h.tank.fuel, "What is left", LEFT);
    PUT_ENTRIES(p, h.tank.fuel, "Meters", METER);
    fold_begin(p, "Grains of a sample, hot water, and what was measured of heater and house");
    PUT_ENTRIES(p, h.tank.fuel, "Grains", GRAINS);
    PUT_ENTRIES(p, h.tank.fuel, "Hot water", HOT);
    PUT_ENTRIES(p, h.tank.fuel, "Heater and house, for good", TOLD);
    details_end(p->out);
    put_baseline(p, &h);
    put_group(p, "Parts, pictures, remarks");
    put_input(p, "ended", "What came to its end, and how", "", "lower element:burnt out, or tank:leaked");
    put_input(p, "miles", "Miles driven", "", NULL);
    put_input(p, "parts", "Parts used from the van", "", "gasket, element:1");
    put_textarea(p, "photo", "Pictures", "", "Where each of them lies, one a line: visits/elm4-plate.jpg");
    put_textarea(p, "note", "Anything worth keeping", "", NULL);
    put_group_end(p);
    put_form_end(p, "Keep it all");
    RAW(p->out, "<p>");
    put_heater_page_link(p, "/visit", id, "The plan of the visit");
    RAW(p->out, " &middot; ");
    put_heater_page_link(p, "/prove", id, "What is left in it");
    RAW(p->out, "</p>");
    return OK;
}

/* ---- taking it ---- */

enum { MOST_WORDS = 80, WORD_ROOM = 400 };
typedef struct words {
    char word[MOST_WORDS][WORD_ROOM];
    int n;
    trouble_note *note;
} words;

static bool add(words *w, const char *key, const char *value)
{
    value += strspn(value, " \t\r\n");
    size_t n = strlen(value);
    while (n && strchr(" \t\r\n", value[n - 1])) n--;
    if (n == 0) return true;
    if (w->n == MOST_WORDS || n + strlen(key) + 2 > WORD_ROOM) {
        note_set(w->note, TUFA_RANGE, key, "", "", "this is too long");
        return false;
    }
    char *to = w->word[w->n++];
    snprintf(to, WORD_ROOM, "%s=%.*s", key, (int)n, value);
    for (char *c = to; *c; c++)
        if (*c == '\r' || *c == '\n') *c = ' ';
    return true;
}

/* One picture a line. */
static bool add_lines(words *w, const char *key, const char *value)
{
    for (const char *p = value; *p;) {
        size_t n = strcspn(p, "\r\n");
        char line[WORD_ROOM];
        if (n >= sizeof line) {
            note_set(w->note, TUFA_RANGE, key, "", "", "this line is too long");
            return false;
        }
        memcpy(line, p, n);
        line[n] = 0;
        if (!add(w, key, line)) return false;
        p += n;
        p += strspn(p, "\r\n");
    }
    return true;
}

static bool add_list(words *w, const page *p, const entry *e, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!add(w, e[i].key, page_field(p, e[i].key))) return false;
    return true;
}
#define ADD_LIST(w, p, list) add_list(w, p, list, sizeof(list) / sizeof((list)[0]))

tufa_status take_record(page *p)
{
    static const char *const PLAIN[] = {"day", "method", "minutes", "cost", "by", "baseline", "parts", "ended", "miles", "note", "drain_pattern", "rusted", "relief_works"};
    int64_t id;
    char name[24], to[64];
    words w = {.note = &p->note};
    RETURN_IF(page_heater_name(p, &id, name));
    bool good = ADD_LIST(&w, p, OUT) && ADD_LIST(&w, p, GRAINS) && ADD_LIST(&w, p, LEFT) && ADD_LIST(&w, p, HOT) && ADD_LIST(&w, p, METER) && ADD_LIST(&w, p, TOLD) && add_lines(&w, "photo", page_field(p, "photo"));
    for (size_t i = 0; good && i < sizeof PLAIN / sizeof PLAIN[0]; i++) good = add(&w, PLAIN[i], page_field(p, PLAIN[i]));
    if (good && w.n == 0) note_set(&p->note, TUFA_MISSING, "day", "", "", "there is nothing to keep yet: say at least how long it took");
    if (!good || w.n == 0) return page_noted(p, p->note.code);
    if (!add(&w, "kind", page_field(p, "kind"))) return page_noted(p, p->note.code);
    const char *list[MOST_WORDS];
    for (int i = 0; i < w.n; i++) list[i] = w.word[i];
    text kept = {0};
    tufa_code code = desk_visit_record(p->d, name, list, w.n, &kept, &p->note);
    if (code == TUFA_OK) {
        const tufa_caution *card = tufa_caution_find("C_CLOSE");
        text_addf(&kept, "%s: %s", card->title, card->words);
        snprintf(to, sizeof to, "/prove?heater=%lld", (long long)id);
        page_go_saying(p, to, text_str(&kept));
    }
    text_free(&kept);
    return page_noted(p, code);
}
