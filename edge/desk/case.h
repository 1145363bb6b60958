/* One heater as the core wants it, gathered from the book: what it is, who draws from it, what was found and done. */
#ifndef EDGE_DESK_CASE_H
#define EDGE_DESK_CASE_H

#include "edge/desk/waters.h"
#include "edge/store/store.h"
#include "tufa.h"

typedef struct desk_case {
    int64_t today;
    heater_rec heater;
    house_rec house;
    char street[STORE_WORD];
    const desk_water *water;
    tufa_heater known;               /* for the core; what nobody said has basis NONE */
    tufa_site site;
    tufa_use use[TUFA_AHEAD_MAX_USES];
    size_t uses;
    tufa_finding found[TUFA_AHEAD_MAX_FINDINGS];
    size_t findings, unused;         /* unused: kept in the book, not yet weighed by the forecast */
    int64_t cleaned_day, element_day, anode_day, looked_day, last_found_day; /* newest; 0: never */
    double elements_failed, element_years; /* what the house says of its elements: failures, and years they ran */
    bool leaking;
} desk_case;

TUFA_MUST_CHECK tufa_status case_load(store *s, desk_waters *w, const heater_rec *heater, int64_t today, desk_case *out);

/* The question to the view ahead; arrays stay those of the case. */
tufa_ahead_in case_ahead_in(const desk_case *c, unsigned months, unsigned draws, bool by_year);
tufa_money_in case_money_in(const desk_case *c, const tufa_ahead *ahead, const tufa_prices *prices, tufa_life life,
                            double trip_share);

/* The street that one drive serves: as said, else the house's name without its number. */
void case_street(const house_rec *house, char street[STORE_WORD]);
bool case_in_service(const heater_rec *h, int64_t today);
/* Share of a drive that one visit pays: half where the street has another heater in service, all of it elsewhere. */
double case_trip_share(bool street_has_another);
TUFA_MUST_CHECK tufa_status case_street_has_another(store *s, const desk_case *c, bool *has);

#endif
