/* Several round trips at once, for few places: a quick plan, then the trips that pay, the best choice among them, and where time
 * allows a list of all that a better plan could have, so that the best is proven. */
#include <math.h>

#include "core/base/status.h"
#include "edge/solve/grow.h"
#include "edge/solve/insert.h"
#include "edge/solve/master.h"

enum { MOST_PERIODS = 400 };

tufa_status solve_rounds(const solve_rounds_in *in, double seconds, solve_rounds_out *out)
{
    RETURN_IF(in_range("n", in->n, 1, SOLVE_MOST_PLACES));
    RETURN_IF(in_range("periods", in->periods, 1, MOST_PERIODS));
    out->trips = out->unplaced = 0;
    out->total = out->bound = 0.0;
    if (in->n == 1) return OK;
    double until_s = solve_now_s() + seconds;
    const double run_share = 0.7, choose_share = 0.5;
    master m;
    RETURN_IF(insert_rounds(in, out));
    RETURN_IF(master_begin(&m, in, out));
    tufa_status st = master_run(&m, solve_now_s() + run_share * seconds, NULL);
    if (st.code == TUFA_OK) st = master_choose(&m, solve_now_s() + choose_share * (until_s - solve_now_s()), out);
    if (st.code == TUFA_OK) st = master_dive(&m, until_s, out);
    if (st.code == TUFA_OK) st = master_prove(&m, until_s, out);
    out->bound = fmin(out->total, fmax(0.0, m.bound - out->unplaced * m.left_out));
    master_free(&m);
    return st;
}
