/* M4, solids drawn off by vacuum; M6, scraped out by hand. Both with the tank drained and open. */
#include "core/clean/draw.h"

enum { STREAM_PLUGS = 200 };

void method_vacuum(const method_once *once, const tank_draw *t, method_out *out)
{
    double kg = 0.0;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        if (clean_class_m(i) >= t->tube_m) continue;
        out->class_kg[i] = t->class_kg[i] * t->vacuum_share;
        kg += out->class_kg[i];
    }
    double grains = clean_arch_grains(t->tube_m / t->d85_m, 0.0);
    double between = grains * PI / 6.0 * t->d85_m * t->d85_m * t->d85_m * t->stone_kg_m3;
    if (isfinite(between) && between > 0.0) out->plugs = clean_poisson(t, STREAM_PLUGS, kg / between);
    double work = kg / t->vacuum_kg_s + out->plugs * t->clear_s;
    out->onsite_s = t->a[A_VACUUM_OUT] + fmax(0.0, once->drain_s - 1500.0) + work; /* 25 min of draining are in it */
    out->labour_s = out->onsite_s;
    out->water_m3 = t->volume_m3;
    out->flow_m3_s = t->flow.flow_m3_s;
}

void method_open(const method_once *once, const tank_draw *t, method_out *out)
{
    double kg = 0.0, reach = once->c->fuel == TUFA_ELECTRIC ? 1.0 : fmin(1.0, t->a[A_SCRAPE_GAS]);
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) out->class_kg[i] = t->class_kg[i] * reach * fmin(1.0, t->a[A_SCRAPE_LOOSE]);
    out->class_kg[TUFA_CLEAN_CAKE] = t->class_kg[TUFA_CLEAN_CAKE] * reach * fmin(1.0, t->a[A_SCRAPE_CAKE]);
    for (int i = 0; i < TUFA_CLEAN_CLASSES; i++) kg += out->class_kg[i];
    out->onsite_s = t->a[A_VACUUM_OUT] + fmax(0.0, once->drain_s - 1500.0) + kg / t->a[A_SCRAPE_KG_S];
    out->labour_s = out->onsite_s;
    out->water_m3 = 1.5 * t->volume_m3; /* the tank and a rinse: judgement */
    out->flow_m3_s = t->flow.flow_m3_s;
}
