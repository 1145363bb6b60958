/* Numbers of the yearly choice that no input settles; all judgement unless the words say otherwise. */
#ifndef CORE_MONEY_CONSTANTS_H
#define CORE_MONEY_CONSTANTS_H

/* X(ID, SOURCE, middle, low, high, what): 10 to 90 %. */
#define MONEY_CONSTANTS(X)                                                                                             \
    X(DAMAGE_CHANCE, SRC_JUDGEMENT, 0.1, 0.03, 0.3, "chance that a leaking tank does damage")                          \
    X(LEAK_DAYS, SRC_JUDGEMENT, 2.0, 1.0, 3.0, "days without hot water when a tank leaks unforeseen")                  \
    X(LEAK_HOURS, SRC_JUDGEMENT, 2.5, 1.0, 5.0, "own hours more than for a planned day: the call, the mess, the hurry") \
    X(ELEMENT_HOURS, SRC_JUDGEMENT, 1.5, 1.0, 2.5, "own hours to find and change a burnt element")                     \
    X(ELEMENT_DAYS, SRC_JUDGEMENT, 1.0, 0.5, 2.0, "days without hot water when the lower element burns")               \
    X(BURIED_CALLS, SRC_JUDGEMENT, 0.5, 0.2, 1.0, "calls a year about too little hot water with the element in the bed") \
    X(RUMBLE_CALLS, SRC_JUDGEMENT, 0.15, 0.04, 0.4, "calls a year about noise once the floor boils")                   \
    X(CALL_HOURS, SRC_JUDGEMENT, 1.25, 0.75, 2.0, "own hours for such a call")                                         \
    X(CALL_DAYS, SRC_JUDGEMENT, 0.5, 0.2, 1.0, "days of too little hot water before it is mended")                     \
    X(ANODE_KG, SRC_ANODE_NOTES, 0.5, 0.4, 0.65, "metal of the anode")                                                 \
    X(ANODE_A, SRC_ANODE_NOTES, 0.01, 0.0073, 0.0137, "mean current that a lined tank draws at 600 uS/cm")               \
    X(ANODE_EFFICIENCY, SRC_ANODE_NOTES, 0.5, 0.4, 0.6, "share of its charge that protects")                            \
    X(ANODE_USABLE, SRC_ANODE_NOTES, 0.85, 0.85, 0.85, "share of its metal that is used when it is called used up")     \
    X(ANODE_POWER, SRC_JUDGEMENT, 0.6, 0.3, 1.0, "power of the conductivity in the anode's current")                   \
    X(ANODE_WORN, SRC_JUDGEMENT, 0.6, 0.5, 0.75, "share of its life after which an anode that is seen is changed")       \
    X(ANODE_SOFTENED, SRC_ANODE_NOTES, 0.5, 0.35, 0.75, "the same in softened water, as a share")                      \
    X(ANODE_ON_LIFE, SRC_JUDGEMENT, 2.1, 1.5, 3.0, "hazard of a tank without an anode, over one with")                 \
    X(LOW_DENSITY_W_M2, SRC_PRACTICE, 77500.0, 77500.0, 77500.0, "load of a low-density element, 50 W a square inch")  \
    X(LOW_DENSITY_PRICE, SRC_PRACTICE, 1.7, 1.3, 2.2, "price of a low-density element over the usual one")             \
    X(CONTROL_HOURS, SRC_JUDGEMENT, 1.25, 0.75, 2.0, "own hours to find and change a thermostat or gas control that failed") \
    X(CONTROL_DAYS, SRC_JUDGEMENT, 1.0, 0.5, 2.0, "days without hot water when it fails")                              \
    X(HEAT_PUMP_COP, SRC_JUDGEMENT, 2.4, 1.9, 3.1, "heat of a heat pump heater for each unit of electricity, in a cellar through the year") \
    X(FULL_PORT, SRC_JUDGEMENT, 0.85, 0.7, 1.0, "hours of a cleaning through a full-port drain valve, over those through the usual one") \
    X(FLUSH_KG, SRC_JUDGEMENT, 1.5, 0.8, 3.0, "what a plain flush moves at the most, with coarse grains arching")

enum {
#define X(id, src, mid, lo, hi, what) M_##id,
    MONEY_CONSTANTS(X)
#undef X
    M_COUNT
};

#endif
