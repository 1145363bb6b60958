#include "core/deposit/constants.h"
#include "tufa/deposit.h"

const deposit_constant deposit_constants[D_COUNT] = {
#define X(id, src, mid, lo, hi, what) [D_##id] = {src, mid, lo, hi, what},
    DEPOSIT_CONSTANTS(X)
#undef X
};

static tufa_value as_value(int id)
{
    const deposit_constant *c = &deposit_constants[id];
    return (tufa_value){.mid = c->mid, .lo = c->lo, .hi = c->hi, .basis = TUFA_BASIS_DEFAULT};
}

tufa_value tufa_rate_order_default(void) { return as_value(D_ORDER); }
tufa_value tufa_rate_x_ref_default(void) { return as_value(D_X_REF); }
tufa_value tufa_element_share_default(void) { return as_value(D_ELEMENT_SHARE); }
tufa_value tufa_shed_default(void) { return as_value(D_SHED_M); }
tufa_value tufa_scale_conductivity_default(void) { return as_value(D_SCALE_W_MK); }
tufa_value tufa_grain_porosity_default(void) { return as_value(D_GRAIN_POROSITY); }
tufa_value tufa_voidage_default(void) { return as_value(D_VOIDAGE); }
tufa_value tufa_repose_default(void) { return as_value(D_REPOSE_RAD); }
tufa_value tufa_left_share_default(void) { return as_value(D_LEFT_SHARE); }
tufa_value tufa_people_default(void) { return as_value(D_PEOPLE); }

double tufa_hot_litres_day(double people) { return D(LITRES_DAY) + D(LITRES_DAY_PERSON) * people; }
