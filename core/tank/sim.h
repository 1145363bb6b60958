/* A run in progress. simulate.c plans it, step.c carries it on. */
#ifndef CORE_TANK_SIM_H
#define CORE_TANK_SIM_H

#include "tufa/tank.h"

enum { LOWER = 0, UPPER = 1, LEAK = 2, HEATERS = 3 };
enum { GROWN, KILLED, FARES = 4 }; /* of bacteria: seconds in which they grow, tenfolds killed (middle, low, high) */

/* What leaves the top of the tank in one step, by where it goes, m3/s at the temperature it leaves with. */
typedef struct outflow {
    double tap_m3_s, relief_m3_s, drip_m3_s;
} outflow;

typedef struct sim {
    const tufa_tank_model *m;
    tufa_tank_state *s;
    tufa_tank_result r;
    double t_s;
    double sum, sum_at_start;     /* of theta over the layers, kept by bookkeeping */
    int alike;                    /* the layers from this one up are at one temperature, to the last bit */
    double inlet_theta, room_theta;
    double inlet_K;
    double conduction_s;          /* time in which the number of explicit conduction grows by 1 */
    double fell_K[2], fell_in_s;  /* by how much the sensors' readings fell in the last step, and its length */
    double put_off_s;             /* conduction and loss not yet applied */
    double health_s, health_every_s;
    double fares[TUFA_TANK_MAX_LAYERS][FARES];      /* of each layer, */
    double fares_from[TUFA_TANK_MAX_LAYERS][FARES]; /* and of this one and all above */
    double dense_step_s;
    double stirring_m3_s, stirred_layers; /* the flow that stirs, and how high */
    bool fed[2];                  /* which heater is on in this step */
    double now_W[HEATERS];        /* and what each draws */
    bool was_heating;
    bool cold, may_turn_over;     /* water below 4 C about; a way for cold to come above warm */
    bool upset;                   /* something stands wrongly near a rod */
    double weep_m3_s;             /* let out by the relief valve in the next step, by pressure */
    double outlet_K;              /* of the last step that drew; at the tap */
    double hot_at_rod;            /* hottest water seen around an element or the bottom while it was on */
} sim;

void sim_begin(sim *x, const tufa_tank_model *m, tufa_tank_state *s);
void sim_season(sim *x, double inlet_K, double ambient_K);
void sim_end(sim *x);
double sum_of(const double *v, int n);

/* One step of at most until - t_s with this much running at the tap; answers the m3 that came out of the tap.
 * tempered_K as in tufa_tank_use. */
double sim_step(sim *x, double tap_m3_s, double tempered_K, double until_s);

#endif
