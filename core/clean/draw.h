/* One possible tank: every uncertain thing of the case and of the assumptions taken at a place in its range. */
#ifndef CORE_CLEAN_DRAW_H
#define CORE_CLEAN_DRAW_H

#include "core/base/spread.h"
#include "core/clean/assumptions.h"
#include "core/clean/physics.h"

typedef struct tank_draw {
    double volume_m3, across_m, floor_m2;
    double bed_kg, bed_m3, bulk_kg_m3, grain_kg_m3, stone_kg_m3; /* grain: with water in its pores; stone: without water, pores empty */
    double class_kg[TUFA_CLEAN_CLASSES];
    double d85_m, d50_m;                  /* of the loose mass */
    double rho, nu, work_K;
    tufa_line line;                       /* through drain valve and hose */
    tufa_line_flow flow;
    double coupling_m, dip_bore_m, dip_gap_m, dip_gain;
    double acid_m3, soak_s, air_cycles;
    double tube_m, vacuum_kg_s, vacuum_share, clear_s;
    double rev_s, swept, clearance_m, feed_kg_s, port_m, stirrer_m;
    double a[ASSUMPTIONS];
    uint64_t key, index;                  /* for the counts that are chance, not knowledge */
    int median;                           /* a single draw, everything at its median */
} tank_draw;

/* The spreads of a case's quantities by stream, filled while its first draw is made. Begins as zeros, one for each case. */
typedef struct clean_spreads {
    spread of[ASSUMPTIONS + 40];
} clean_spreads;

/* Draw i of n; n 1 answers the medians. */
void clean_draw(const tufa_clean_case *c, uint64_t key, size_t i, size_t n, clean_spreads *known, tank_draw *out);

/* Size that stands for a class: the geometric middle of its edges. */
double clean_class_m(int i);
/* Fall of a class in the tank's water, flakes and all. */
double clean_class_fall(const tank_draw *t, int i);

/* Standard exponential and Poisson counts of the draw; `stream` tells one use from another. A median draw answers the
 * means. */
double clean_exponential(const tank_draw *t, uint64_t stream);
double clean_poisson(const tank_draw *t, uint64_t stream, double mean);

/* What one method makes of one draw. */
typedef struct method_out {
    double class_kg[TUFA_CLEAN_CLASSES];
    double plugs, onsite_s, labour_s, water_m3, flow_m3_s, hose_m_s, deposit_m_s, design_m_s, reach_level_m, reach_rise_m, gas_m3, cycles;
} method_out;

/* What does not change from draw to draw, worked out once. */
typedef struct method_once {
    const tufa_clean_case *c;
    tufa_method_id method;
    double acid_kg_m3, acid_gas_m3_m3;    /* lime and gas for each m3 of acid */
    double drain_s;                       /* by gravity, at the medians */
} method_once;

typedef void (*method_fn)(const method_once *once, const tank_draw *t, method_out *out);
/* Verdict from the case, the draw at the medians and the answer so far; reasons are added, the first carries the verdict.
 * CANNOT and MUST_NOT are known before any draw (out->out_kg.mid is then still 0 and `drawn` 0). */
typedef tufa_verdict (*judge_fn)(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *out);
tufa_verdict judge_flush(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *out);
tufa_verdict judge_acid(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *out);
tufa_verdict judge_air(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *out);
tufa_verdict judge_vacuum(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *out);
tufa_verdict judge_stir(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *out);
tufa_verdict judge_open(const method_once *once, const tank_draw *mid, int drawn, tufa_method_answer *out);
void method_flush(const method_once *once, const tank_draw *t, method_out *out);
void method_acid(const method_once *once, const tank_draw *t, method_out *out);
void method_air(const method_once *once, const tank_draw *t, method_out *out);
void method_vacuum(const method_once *once, const tank_draw *t, method_out *out);
void method_stir(const method_once *once, const tank_draw *t, method_out *out);
void method_open(const method_once *once, const tank_draw *t, method_out *out);

/* M5: the port has the stirrer in it; the rest of the line is the drain's. */
tufa_line clean_stir_line(const tank_draw *t);
/* Hose velocity against deposition and reach, for solids of size d that come with `share` by volume. */
void clean_hose_judge(const tank_draw *t, const tufa_line *line, const tufa_line_flow *flow, double d, tufa_grading grading,
                      method_out *out);
/* Size below which 85 % (share 0.85) of these masses lie; 0 where there is nothing. */
double clean_size_below(const double *class_kg, double share);

#endif
