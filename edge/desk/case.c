#include "edge/desk/answers.h"

#include <ctype.h>
#include <string.h>

#include <math.h>

#include "core/base/status.h"
#include "edge/desk/case_inner.h"
#include "edge/desk/learned.h"
#include "edge/desk/places.h"
#include "edge/say/day.h"

/* ---- the heater itself ---- */

static void take(tufa_heater *h, tufa_heater_field f, tufa_value v)
{
    if (v.basis != TUFA_BASIS_NONE) h->field[f] = v;
}

static tufa_value age_of(tufa_value installed_day, int64_t today)
{
    if (installed_day.basis == TUFA_BASIS_NONE) return installed_day;
    double now = (double)today;
    tufa_value age = {.mid = (now - installed_day.mid) / DAYS_A_YEAR, .lo = (now - installed_day.hi) / DAYS_A_YEAR,
                      .hi = (now - installed_day.lo) / DAYS_A_YEAR, .basis = installed_day.basis};
    if (age.lo < 0.0) age.lo = 0.0; /* "this year" may end in the future */
    if (age.mid < 0.0) age.mid = 0.0;
    if (age.hi < 0.0) age.hi = 0.0;
    return age;
}

/* The book has heights above the floor at the wall, the core above the lowest point; they differ in a dished floor. */
static tufa_value above_lowest(tufa_value height, tufa_value dome)
{
    if (height.basis == TUFA_BASIS_NONE || dome.basis == TUFA_BASIS_NONE || dome.mid >= 0.0) return height;
    height.lo -= dome.mid;
    height.mid -= dome.mid;
    height.hi -= dome.mid;
    return height;
}

bool case_one_element(const heater_rec *h)
{
    static const double SMALL_M3 = 0.115; /* single elements: usually up to 30 gallons; common practice, no source */
    if (h->fuel == FUEL_GAS || h->fuel == FUEL_PROPANE || h->elements == ELEMENTS_TWO) return false;
    if (h->elements == ELEMENTS_ONE) return true;
    return h->upper_W.basis == TUFA_BASIS_NONE && h->volume_m3.basis != TUFA_BASIS_NONE && h->volume_m3.mid < SMALL_M3;
}

static tufa_heater heater_known(const heater_rec *r, int64_t today)
{
    static const tufa_fuel FUEL[] = {[FUEL_ELECTRIC] = TUFA_ELECTRIC, [FUEL_GAS] = TUFA_GAS, [FUEL_PROPANE] = TUFA_PROPANE};
    tufa_heater h = {.fuel = r->fuel >= 0 ? FUEL[r->fuel] : TUFA_ELECTRIC};
    take(&h, TUFA_HEATER_VOLUME, r->volume_m3);
    take(&h, TUFA_HEATER_HEIGHT, r->height_m);
    take(&h, TUFA_HEATER_DIAMETER, r->diameter_m);
    take(&h, TUFA_HEATER_AGE, age_of(r->installed_day, today));
    take(&h, TUFA_HEATER_SETPOINT, r->setpoint_K);
    take(&h, TUFA_HEATER_DRAIN, above_lowest(r->drain_height_m, r->dome_m));
    take(&h, TUFA_HEATER_DOME, r->dome_m);
    take(&h, TUFA_HEATER_LOSS, r->loss_W_K);
    h.one_element = case_one_element(r);
    if (h.fuel == TUFA_ELECTRIC) {
        take(&h, TUFA_HEATER_ELEMENT_LOW, above_lowest(r->element_height_m, r->dome_m));
        take(&h, TUFA_HEATER_ELEMENT_POWER, r->lower_W);
        take(&h, TUFA_HEATER_ELEMENT_FLUX, r->element_W_m2);
    } else {
        take(&h, TUFA_HEATER_BURNER, r->burner_W);
        take(&h, TUFA_HEATER_RECOVERY, r->efficiency);
    }
    return h;
}

void case_street(const house_rec *house, char street[STORE_WORD])
{
    if (house->street[0]) {
        memcpy(street, house->street, STORE_WORD);
        return;
    }
    size_t n = strlen(house->label), end = n;
    const char *space = strrchr(house->label, ' ');
    if (space && isdigit((unsigned char)space[1])) end = (size_t)(space - house->label);
    memcpy(street, house->label, end);
    street[end] = 0;
}

bool case_in_service(const heater_rec *h, int64_t today)
{
    return h->out_day.basis == TUFA_BASIS_NONE || h->out_day.mid > (double)today;
}

double case_trip_share(bool street_has_another)
{
    static const double SHARED = 0.5; /* a visit is reckoned to share its drive with one other; judgement */
    return street_has_another ? SHARED : 1.0;
}

typedef struct neighbour_ctx {
    store *s;
    const desk_case *c;
    bool found;
} neighbour_ctx;

static tufa_status is_neighbour(void *ctx, const heater_rec *h)
{
    neighbour_ctx *n = ctx;
    house_rec house;
    char street[STORE_WORD];
    if (n->found || h->id == n->c->heater.id || !case_in_service(h, n->c->today)) return OK;
    RETURN_IF(store_house_get(n->s, h->house, &house));
    case_street(&house, street);
    n->found = strcmp(street, n->c->street) == 0;
    return OK;
}

tufa_status case_street_has_another(store *s, const desk_case *c, bool *has)
{
    neighbour_ctx n = {.s = s, .c = c};
    RETURN_IF(store_heater_each(s, is_neighbour, &n));
    *has = n.found;
    return OK;
}

/* ---- people ---- */

static tufa_status add_use(void *ctx, const household_rec *r)
{
    desk_case *c = ctx;
    if (r->heater != 0 && r->heater != c->heater.id) return OK;
    if (c->uses == TUFA_AHEAD_MAX_USES) { /* the newest matter most */
        memmove(c->use, c->use + 1, (TUFA_AHEAD_MAX_USES - 1) * sizeof c->use[0]);
        c->uses--;
    }
    tufa_use *u = &c->use[c->uses++];
    *u = (tufa_use){.day = r->from_day, .people = r->people, .setpoint_K = r->setpoint_K};
    static const double L_DAY = 1e3 * 86400.0;
    if (r->hot_m3_s.basis != TUFA_BASIS_NONE)
        u->litres_day = (tufa_value){r->hot_m3_s.mid * L_DAY, r->hot_m3_s.lo * L_DAY, r->hot_m3_s.hi * L_DAY, r->hot_m3_s.basis};
    return OK;
}

/* ---- what was found and done ---- */

/* The row of this day, made when there is none; rows stay in the order of their days. NULL when the case is full. */
tufa_finding *finding_on(desk_case *c, int64_t day, bool reading)
{
    size_t i = c->findings;
    while (i > 0 && c->found[i - 1].day > day) i--;
    for (size_t k = i; k-- > 0 && c->found[k].day == day;) /* a reading and a cleaning of one day are one row */
        if (!reading || c->found[k].kind == TUFA_FOUND_CLEANED) return &c->found[k];
    if (c->findings == TUFA_AHEAD_MAX_FINDINGS) return NULL;
    memmove(c->found + i + 1, c->found + i, (c->findings - i) * sizeof c->found[0]);
    c->findings++;
    c->found[i] = (tufa_finding){.kind = TUFA_FOUND_CLEANED, .day = day};
    return &c->found[i];
}

/* Nothing found is a finding too: taken as this much, with an error to match. Judgement. */
static const double LEAST_KG = 0.02, LEAST_M3 = 2e-5, LEAST_M = 0.003, LEAST_LOG_SD = 0.8;

static tufa_finding *put(desk_case *c, const finding_rec *r, tufa_finding_kind kind, double value, double log_sd)
{
    tufa_finding *f = finding_on(c, r->day, true);
    if (!f) {
        c->unused++;
        return NULL;
    }
    f->kind = kind;
    f->value = value;
    f->log_sd = log_sd;
    f->id = r->id;
    return f;
}

static void reading(desk_case *c, const finding_rec *r, tufa_finding_kind kind, double value, double log_sd)
{
    double least = kind == TUFA_FOUND_WEIGHED ? LEAST_KG : kind == TUFA_FOUND_SLURRY ? LEAST_M3 : LEAST_M;
    if (value < least) {
        value = least;
        log_sd = LEAST_LOG_SD;
    }
    put(c, r, kind, value, log_sd);
}

static void cleaned(desk_case *c, int64_t day, tufa_value left_share)
{
    tufa_finding *f = finding_on(c, day, false);
    if (!f) {
        c->unused++;
        return;
    }
    f->cleaned = 1;
    if (left_share.basis > f->left_share.basis) f->left_share = left_share;
    if (day > c->cleaned_day) c->cleaned_day = day;
}

static void cleaned_to(desk_case *c, int64_t day, tufa_value left_depth_m)
{
    tufa_finding *f = finding_on(c, day, false);
    if (!f) {
        c->unused++;
        return;
    }
    f->cleaned = 1;
    f->left_depth_m = left_depth_m;
    if (day > c->cleaned_day) c->cleaned_day = day;
}

static void newest(int64_t *day, int64_t other)
{
    if (other > *day) *day = other;
}

/* Drained wet sediment: half of the room between grains has run dry. 0.7 of its weight is dry with the default packing;
 * the error adds what is not known of the draining. Derived; the spread is judgement. */
static const double DRY_SHARE = 0.7, WET_LOG_SD = 0.35;

/* The newest sample of grains counts; of a bed's mass it says nothing. */
static void grain(desk_case *c, const finding_rec *r, int mesh)
{
    c->blind++;
    if (r->day < c->grains.day) return;
    if (r->day > c->grains.day) {
        c->grains.day = r->day;
        c->grains.over[0] = c->grains.over[1] = c->grains.over[2] = c->grains.lumps = NAN;
    }
    if (mesh >= 0) c->grains.over[mesh] = r->value.mid;
    else c->grains.lumps = r->value.mid;
}

static double years_s(double s) { return s / (365.25 * 86400.0); }

static tufa_status add_finding(void *ctx, const finding_rec *r)
{
    gathering *g = ctx;
    desk_case *c = g->c;
    double value = r->value.mid;
    if (r->day > c->today) return OK; /* as the book stood on the day that counts as today */
    newest(&c->last_found_day, r->day);
    switch (r->kind) {
    case FINDING_DRY_MASS: reading(c, r, TUFA_FOUND_WEIGHED, value, 0.0); break;
    case FINDING_WET_MASS: reading(c, r, TUFA_FOUND_WEIGHED, DRY_SHARE * value, WET_LOG_SD); break;
    case FINDING_SLURRY: reading(c, r, TUFA_FOUND_SLURRY, value, 0.0); break;
    case FINDING_DEPTH: reading(c, r, TUFA_FOUND_DEPTH, value, 0.0); break;
    case FINDING_DEPTH_LEFT: cleaned_to(c, r->day, r->value); break;
    case FINDING_OUT_SHARE:
        cleaned(c, r->day, (tufa_value){1.0 - value, 1.0 - r->value.hi, 1.0 - r->value.lo, r->value.basis});
        break;
    case FINDING_ELEMENT_AGE:
        if (c->known.fuel == TUFA_ELECTRIC && years_s(value) > 0.01) put(c, r, TUFA_FOUND_ELEMENT, value, 0.0);
        break;
    case FINDING_ANODE_LEFT:
        c->anode_left = r->value;
        c->anode_left_day = r->day;
        break;
    case FINDING_PROBE:
    case FINDING_PROBE_LINE:
    case FINDING_JAR:
    case FINDING_HEATED:
    case FINDING_REFILL:
    case FINDING_HEAT_UP:
    case FINDING_FIRST_DRAW:
    case FINDING_DRAIN_FLOW: case_read(g, r); break;
    case FINDING_OVER_4MM: grain(c, r, 0); break;
    case FINDING_OVER_2MM: grain(c, r, 1); break;
    case FINDING_OVER_1MM: grain(c, r, 2); break;
    case FINDING_LUMPS: grain(c, r, -1); break;
    case FINDING_TUB:
    case FINDING_OHM_LOWER:
    case FINDING_OHM_GROUND:
    case FINDING_SPILL:
    case FINDING_CO:
    case FINDING_REST_WATTS:
    case FINDING_DEMAND_WATTS:
    case FINDING_COUNT: c->blind++; break;
    }
    return OK;
}

static tufa_value left_by(tufa_choice how)
{
    tufa_value v = tufa_choice_at(how)->left_share;
    v.basis = TUFA_BASIS_DEFAULT;
    return v;
}

static tufa_status add_visit(void *ctx, const visit_rec *r)
{
    desk_case *c = ((gathering *)ctx)->c;
    if (r->day > c->today) return OK;
    switch (r->work) {
    case WORK_FLUSH: cleaned(c, r->day, left_by(TUFA_CHOICE_FLUSH)); break;
    case WORK_CLEAN: cleaned(c, r->day, left_by(TUFA_CHOICE_CLEAN)); break;
    case WORK_SOAK: cleaned(c, r->day, tufa_left_share_default()); break;
    case WORK_LOWER_ELEMENT:
    case WORK_BOTH_ELEMENTS: newest(&c->element_day, r->day); break;
    case WORK_ANODE: newest(&c->anode_day, r->day); break;
    case WORK_LOOK:
    case WORK_ANODE_LOOK: newest(&c->looked_day, r->day); break;
    case WORK_THERMOSTAT: newest(&c->control_day, r->day); break;
    case WORK_UPPER_ELEMENT:
    case WORK_VALVE:
    case WORK_BURNER:
    case WORK_DIP_TUBE:
    case WORK_NEW_HEATER:
    case WORK_SETPOINT:
    case WORK_OTHER:
    case WORK_COUNT: break;
    }
    return OK;
}

tufa_status case_load_alone(store *s, desk_waters *w, const heater_rec *heater, int64_t today, desk_case *out)
{
    *out = (desk_case){.heater = *heater, .today = today, .element = tufa_element_life_default()};
    gathering g = {.c = out};
    RETURN_IF(store_house_get(s, heater->house, &out->house));
    case_street(&out->house, out->street);
    RETURN_IF(waters_get(w, heater->water ? heater->water : out->house.water, &out->water));
    out->known = heater_known(heater, today);
    out->leaking = heater->leaking == YESNO_YES;
    out->site = (tufa_site){.inlet_mean_K = out->house.inlet_K, .inlet_swing_K = out->house.inlet_swing_K,
                            .room_K = out->house.room_K, .pressure_Pa = out->house.static_Pa};
    const usual_set *usual;
    RETURN_IF(waters_usual(w, &usual));
    usual_lay_heater(usual, &out->known);
    usual_lay_site(usual, &out->site);
    RETURN_IF(store_household_each(s, heater->house, add_use, out));
    if (usual_lay_use(usual, &out->use[0]) && out->uses == 0) out->use[out->uses++].day = today;
    if (out->water->softened.basis != TUFA_BASIS_NONE) {
        if (out->uses == 0) out->use[out->uses++] = (tufa_use){.day = today};
        out->use[0].softened = out->water->softened;
    }
    out->prior = tufa_eps_prior(out->known.fuel);
    out->control = tufa_control_life_default(out->known.fuel);
    RETURN_IF(store_finding_each(s, heater->id, add_finding, &g));
    RETURN_IF(store_visit_each(s, heater->id, add_visit, &g));
    if (heater->anode_day.basis != TUFA_BASIS_NONE) newest(&out->anode_day, (int64_t)heater->anode_day.mid);
    return case_settle_days(&g);
}

tufa_status case_load(store *s, desk_waters *w, const heater_rec *heater, int64_t today, desk_case *out)
{
    RETURN_IF(case_load_alone(s, w, heater, today, out));
    return learned_fill(s, out);
}

size_t case_readings(const desk_case *c)
{
    size_t n = 0;
    for (size_t i = 0; i < c->findings; i++) n += tufa_finding_at(c->found[i].kind)->law != TUFA_LAW_DONE;
    return n;
}

/* ---- the questions ---- */

/* One set of draws for all heaters: like heaters get the same answer, and what tells two apart is what is known of them, not chance.
 * A set leans one way in all of them, so it is the one of forty that lies nearest to the mean of all forty over the invented district:
 * costs, beds, leaks and energy within 2 % of it, their 10 and 90 % too (a set taken at random is off by 1 to 6 %). */
enum { SAME_DRAWS = 34 };

tufa_ahead_in case_ahead_in(const desk_case *c, unsigned months, unsigned draws, bool by_year)
{
    tufa_ahead_in in = tufa_ahead_defaults(c->known.fuel);
    in.heater = c->known;
    in.ccpp = waters_ccpp(c->water);
    if (c->water->known.sand_mg_L > 0.0)
        in.sand_mg_L = (tufa_value){c->water->known.sand_mg_L, c->water->known.sand_mg_L, c->water->known.sand_mg_L, TUFA_BASIS_GIVEN};
    if (c->water->known.rust_mg_L > 0.0)
        in.rust_mg_L = (tufa_value){c->water->known.rust_mg_L, c->water->known.rust_mg_L, c->water->known.rust_mg_L, TUFA_BASIS_GIVEN};
    in.site = c->site;
    in.use = c->use;
    in.uses = c->uses;
    in.found = c->found;
    in.findings = c->findings;
    in.told = c->told;
    in.tolds = c->tolds;
    in.eps = c->prior;
    in.loss = c->loss;
    in.today_day = c->today;
    in.band_step = by_year ? 12 : months; /* a row of the plan needs today's alone */
    in.months = months;
    in.draws = draws;
    in.key = SAME_DRAWS;
    return in;
}

static tufa_value exactly(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

/* Seen with so much of its metal left after so many years; a share judged by eye is good to 10 points either way. Judgement. */
static tufa_value case_anode_life(const desk_case *c)
{
    static const double USED_UP = 0.85, EYE = 0.128; /* of its metal; 10 points at 10 and 90 % */
    tufa_value age = c->known.field[TUFA_HEATER_AGE];
    double start = c->anode_day > 0 ? (double)c->anode_day : (double)c->today - age.mid * DAYS_A_YEAR;
    double years = ((double)c->anode_left_day - start) / DAYS_A_YEAR, used = 1.0 - c->anode_left.mid;
    if (c->anode_left.basis == TUFA_BASIS_NONE || years < 0.25) return (tufa_value){0};
    if (c->anode_day == 0 && age.basis == TUFA_BASIS_NONE) return (tufa_value){0};
    double lo = years * USED_UP / fmin(1.0, used + EYE), hi = years * USED_UP / fmax(0.05, used - EYE);
    return (tufa_value){fmin(hi, fmax(lo, years * USED_UP / fmax(0.08, used))), lo, hi, TUFA_BASIS_LEARNED};
}

tufa_money_in case_money_in(const desk_case *c, const tufa_ahead *ahead, const tufa_prices *prices, tufa_life life,
                            double trip_share)
{
    tufa_money_in in = tufa_money_defaults(ahead);
    in.prices = *prices;
    in.life = life;
    in.years = MONEY_YEARS;
    in.key = SAME_DRAWS;
    in.trip_share = (tufa_value){trip_share, trip_share, trip_share, TUFA_BASIS_DEFAULT};
    in.softened_share = c->water->softened.basis != TUFA_BASIS_NONE ? c->water->softened.mid : c->water->known.softened ? 1.0 : 0.0;
    if (c->no_cleaning)
        in.never[TUFA_CHOICE_FLUSH] = in.never[TUFA_CHOICE_CLEAN] = in.never[TUFA_CHOICE_CLEAN_ANODE] = in.never[TUFA_CHOICE_ELEMENTS] = 1;
    if (c->planned_softener.basis != TUFA_BASIS_NONE) in.softened_share = c->planned_softener.mid;
    const place_row *place = place_find(c->heater.place);
    if (place) in.leak_damage_chance = place->damage_chance;
    in.leaking = c->leaking;
    if (c->anode_day > 0 && c->anode_day <= c->today) {
        double years = (double)(c->today - c->anode_day) / DAYS_A_YEAR;
        in.anode_age_years = (tufa_value){years, years, years, TUFA_BASIS_GIVEN};
    }
    in.element = c->element;
    in.control = c->control;
    in.bed_on_life = c->bed_on_life;
    if (c->control_day > 0) in.control_age_years = exactly((double)(c->today - c->control_day) / DAYS_A_YEAR);
    in.anode_life_years = case_anode_life(c);
    in.taken[TUFA_SHARPEN_ANODE] = c->anode_left_day > 0 && (double)(c->today - c->anode_left_day) < DAYS_A_YEAR;
    in.clean_heat_up = c->heater.baseline_heat_s.basis != TUFA_BASIS_NONE;
    if (c->water->S_m.basis != TUFA_BASIS_NONE) in.conductivity_S_m = c->water->S_m;
    return in;
}
