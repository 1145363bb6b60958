/* What speaks against a method in this tank. Some of it is known before anything is computed and refuses the method;
 * the rest is told beside the figures. */
#include "core/base/units.h"
#include "core/clean/draw.h"

#define FIFTH 0.2          /* below it a method does not clean a bed */
#define OLD_YEARS 10.0     /* as the cautions have it */
#define AIR_MOST_PSI 30.0
#define HOT_K 323.15       /* 50 C (122 F): let it cool first */
#define PLUGS_SOON_S 10.0

static void add(tufa_method_answer *a, const char *words)
{
    if (a->reasons < TUFA_CLEAN_MAX_REASONS) a->reason[a->reasons++] = words;
}

static tufa_verdict refuse(tufa_method_answer *a, tufa_verdict verdict, const char *words)
{
    add(a, words);
    return verdict;
}

static int known_old(const tufa_clean_case *c) { return c->age_year.basis != TUFA_BASIS_NONE && c->age_year.mid > OLD_YEARS; }

/* Beside every method: where it stands, and how old it is. */
static void warn_place(const tufa_clean_case *c, tufa_method_answer *a)
{
    if (c->floor_drain == TUFA_NO) add(a, "No floor drain at the heater: what spills stays, so pan, mats and a wet vacuum at hand.");
    if (known_old(c) || c->rusted == TUFA_YES)
        add(a, "Over about 10 years or with rust, force on a nipple or a valve may open the leak that ends this tank.");
}

static tufa_verdict by_share(tufa_method_answer *a, const char *little)
{
    if (a->out_share.mid >= FIFTH) return TUFA_VERDICT_WORKS;
    add(a, little);
    return TUFA_VERDICT_LITTLE;
}

static void warn_pressure(const tufa_clean_case *c, tufa_method_answer *a)
{
    if (c->static_Pa.mid > Pa_from_psi(TUFA_HOUSE_MOST_PSI)) add(a, "Over 80 psi in the house: the model code asks for a regulator, and valves may not hold.");
    if (c->static_Pa.mid < Pa_from_psi(TUFA_HOUSE_LEAST_PSI)) add(a, "Under 40 psi in the house: little flow for any method.");
}

static void warn_hose(tufa_method_answer *a)
{
    if (a->hose_m_s.mid > 0.0 && a->hose_m_s.mid < a->deposit_m_s.mid)
        add(a, "The water in the hose is too slow for what comes with it: solids will settle there.");
    if (a->better_bore_m > 0.0) add(a, "Another hose bore would keep them moving at this pressure.");
}

tufa_verdict judge_flush(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *a)
{
    if (!(mid->flow.flow_m3_s > 0.0))
        return refuse(a, TUFA_VERDICT_CANNOT, "No water comes out: the pressure does not lift it to where the hose ends.");
    if (!drawn) return TUFA_VERDICT_WORKS;
    tufa_verdict v = by_share(a, "Takes the fines and leaves the coarse: the tank settles them again before they reach the drain.");
    if (a->plugs.mid >= 1.0)
        add(a, "Coarse grains arch over the drain; it then runs clear or thin while the bed stays.");
    if (once->c->dip_state == TUFA_DIP_SHORT) add(a, "With the dip tube gone no jet reaches the bed.");
    warn_hose(a);
    add(a, "Clear water at the hose does not prove a clean tank.");
    warn_pressure(once->c, a);
    warn_place(once->c, a);
    return v;
}

tufa_verdict judge_acid(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *a)
{
    if (once->c->top_open == TUFA_NO)
        return refuse(a, TUFA_VERDICT_MUST_NOT, "Acid in a closed tank: its gas bursts the tank. The top must be open to the air from start to end.");
    if (mid->acid_m3 * once->acid_kg_m3 < FIFTH * mid->bed_kg)
        return refuse(a, TUFA_VERDICT_CANNOT, "This much acid can dissolve less than a fifth of the bed.");
    if (!drawn) return TUFA_VERDICT_WORKS;
    tufa_verdict v = by_share(a, "Foams, then stalls: the acid works on the top of the bed, and into it takes weeks.");
    if (tufa_method_at(once->method)->acid == TUFA_ACID_CITRIC)
        add(a, "Calcium citrate settles out again as sludge unless acid stays in excess.");
    if (once->c->top_open == TUFA_UNSAID) add(a, "Only with the top of the tank open to the air the whole time.");
    add(a, "A bare scaled element is better soaked in a pail outside the tank.");
    warn_place(once->c, a);
    return v;
}

tufa_verdict judge_air(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *a)
{
    const tufa_clean_case *c = once->c;
    if (c->age_year.basis == TUFA_BASIS_NONE) return refuse(a, TUFA_VERDICT_MUST_NOT, "No air into a tank whose age is not known.");
    if (known_old(c)) return refuse(a, TUFA_VERDICT_MUST_NOT, "No air into a tank over about 10 years old.");
    if (c->rusted == TUFA_YES) return refuse(a, TUFA_VERDICT_MUST_NOT, "No air into a tank that rusts or weeps.");
    if (c->plate_read != TUFA_YES) return refuse(a, TUFA_VERDICT_MUST_NOT, "No air into a tank whose plate was not read: its pressure rating is not known.");
    if (c->relief_works != TUFA_YES) return refuse(a, TUFA_VERDICT_MUST_NOT, "No air with a relief valve that is not known to work.");
    if (c->top_open == TUFA_NO) return refuse(a, TUFA_VERDICT_MUST_NOT, "No air into a closed tank: a hot tap must stand open the whole time.");
    if (c->air_Pa.mid > Pa_from_psi(AIR_MOST_PSI) * 1.0001) return refuse(a, TUFA_VERDICT_MUST_NOT, "No air above 30 psi.");
    if (!(mid->flow.flow_m3_s > 0.0)) return refuse(a, TUFA_VERDICT_CANNOT, "No water comes out: the pressure does not lift it to where the hose ends.");
    if (!drawn) return TUFA_VERDICT_WORKS;
    tufa_verdict v = by_share(a, "Blows a crater around the port; what it lifts falls back before the drain has drawn it.");
    if (a->plugs.mid >= 1.0) add(a, "Coarse grains arch over the drain between the bursts.");
    add(a, "Nothing leaves while the air goes in.");
    warn_hose(a);
    return v;
}

tufa_verdict judge_vacuum(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *a)
{
    const tufa_clean_case *c = once->c;
    if (c->fuel != TUFA_ELECTRIC) return refuse(a, TUFA_VERDICT_CANNOT, "A gas tank has no element hole to reach in by.");
    if (c->element_hole == TUFA_NO) return refuse(a, TUFA_VERDICT_CANNOT, "The element at the bottom does not come out, or there is none.");
    if (mid->d50_m >= mid->tube_m) return refuse(a, TUFA_VERDICT_CANNOT, "Most of the bed is coarser than the tube.");
    if (!drawn) return TUFA_VERDICT_WORKS;
    tufa_verdict v = by_share(a, "Takes little of this bed: cake stays, and so do pieces wider than the tube.");
    double grains = clean_arch_grains(mid->tube_m / mid->d85_m, 0.0);
    double between = grains * PI / 6.0 * mid->d85_m * mid->d85_m * mid->d85_m * mid->stone_kg_m3;
    if (between < PLUGS_SOON_S * mid->vacuum_kg_s) add(a, "The tube will plug every few seconds and has to be cleared each time.");
    if (mid->class_kg[TUFA_CLEAN_CAKE] > FIFTH * mid->bed_kg) add(a, "Cake stays unless it is scraped loose.");
    warn_place(c, a);
    return v;
}

static int valve_lets_tool_through(const tufa_clean_case *c)
{
    return c->drain_pattern == TUFA_DRAIN_FULL_PORT || c->drain_pattern == TUFA_DRAIN_UNSAID ||
           (c->fuel == TUFA_ELECTRIC && c->element_hole != TUFA_NO);
}

tufa_verdict judge_stir(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *a)
{
    const tufa_clean_case *c = once->c;
    if (c->stirrer.present == TUFA_NO) return refuse(a, TUFA_VERDICT_CANNOT, "There is no stirrer.");
    if (c->work_K.mid > HOT_K) return refuse(a, TUFA_VERDICT_MUST_NOT, "Over 122 F (50 C): heat off and let it cool before the port is opened.");
    if (!valve_lets_tool_through(c))
        return refuse(a, TUFA_VERDICT_CANNOT, "This drain valve lets no shaft through and there is no other hole: a full-port valve comes first.");
    if (!drawn) return TUFA_VERDICT_WORKS;
    if (!(a->hose_m_s.mid > 0.0)) return refuse(a, TUFA_VERDICT_CANNOT, "No water comes out: the pressure does not lift it to where the hose ends.");
    if (a->hose_m_s.mid < a->deposit_m_s.mid) {
        add(a, "The water in this hose is too slow to carry the slurry: it would settle and block it.");
        add(a, a->better_bore_m > 0.0 ? "A hose of the bore named here would carry it." : "No common hose bore carries it at this pressure: find more pressure, or a shorter or lower way.");
        return TUFA_VERDICT_CANNOT;
    }
    if (mid->line.hose_length_m > a->reach_rise_m.mid) {
        add(a, "The hose is longer than this pressure carries the slurry at the velocity to plan for.");
        if (a->better_bore_m > 0.0) add(a, "A hose of the bore named here would carry it.");
    }
    tufa_verdict v = by_share(a, "This stirrer lifts too little of the bed: too slow, or too small, for the coarse grains.");
    if (c->stirrer.present == TUFA_UNSAID) add(a, "Figures of a middling stirrer are assumed: enter your own.");
    if (c->drain_pattern == TUFA_DRAIN_UNSAID)
        add(a, c->fuel == TUFA_ELECTRIC ? "Needs a full-port valve or an open element hole; which one is here was not said."
                                        : "Needs a full-port drain valve; whether one is here was not said.");
    if (a->plugs.mid >= 1.0) add(a, "Pieces may jam at the hose coupling: have a wider one.");
    add(a, "A jam gives the drive's whole torque to the hands that hold it.");
    warn_pressure(c, a);
    warn_place(c, a);
    return v;
}

tufa_verdict judge_open(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *a)
{
    const tufa_clean_case *c = once->c;
    (void)mid;
    if (c->fuel == TUFA_ELECTRIC && c->element_hole == TUFA_NO)
        return refuse(a, TUFA_VERDICT_CANNOT, "The element at the bottom does not come out, or there is none: no hole to work through.");
    if (!drawn) return TUFA_VERDICT_WORKS;
    tufa_verdict v = by_share(a, "Through the drain hole alone a scraper reaches little of the floor.");
    add(a, "The last resort: hours of hand work, and the lining is easily scratched.");
    warn_place(c, a);
    return v;
}
