/* One heater as the core wants it, gathered from the book: what it is, who draws from it, what was found and done. */
#ifndef EDGE_DESK_CASE_H
#define EDGE_DESK_CASE_H

#include "edge/desk/waters.h"
#include "edge/store/store.h"
#include "tufa.h"

enum { CASE_TOLDS = 12 };

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
    tufa_told told[CASE_TOLDS];      /* what readings of the bed tell */
    size_t findings, tolds, unused;  /* unused: more than a case holds */
    size_t blind;                    /* kept in the book, and saying nothing of a bed: a full flow, a tub's temperature */
    tufa_eps prior;                  /* what is held of this heater before its own findings: the prior, or what its water's others teach */
    size_t neighbours;               /* of them, those with findings */
    tufa_loss loss;                  /* gas: what each kg of bed costs, before its own findings; all 0: the prior */
    size_t loss_neighbours;          /* other gas heaters whose heat-up times taught it */
    int64_t cleaned_day, element_day, anode_day, looked_day, last_found_day; /* newest; 0: never */
    int64_t control_day;             /* newest thermostat or gas valve; 0: with the heater */
    int64_t anode_left_day;          /* when the anode was last seen, and how much of it was left */
    tufa_value anode_left;
    tufa_element_life element;       /* with this book's and this heater's failures */
    tufa_life control;
    tufa_value bed_on_life;          /* what the fleet's leaks say of beds; NONE: our assumption */
    struct {
        int64_t day;                 /* newest sample of grains; 0: none */
        double over[3], lumps;       /* shares over 4, 2, 1 mm, and of lumps; NaN: not looked at */
    } grains;
    bool leaking;
    bool no_cleaning;                /* nothing is flushed or cleaned, now or later */
    tufa_value planned_softener;     /* share that a softener put in today would take away; NONE: none is thought of */
} desk_case;

TUFA_MUST_CHECK tufa_status case_load(store *s, desk_waters *w, const heater_rec *heater, int64_t today, desk_case *out);

/* The same without what the rest of the book teaches: for those who teach it. */
TUFA_MUST_CHECK tufa_status case_load_alone(store *s, desk_waters *w, const heater_rec *heater, int64_t today, desk_case *out);
size_t case_readings(const desk_case *c); /* findings that read the bed */

/* The question to the view ahead; arrays stay those of the case. */
tufa_ahead_in case_ahead_in(const desk_case *c, unsigned months, unsigned draws, bool by_year);
tufa_money_in case_money_in(const desk_case *c, const tufa_ahead *ahead, const tufa_prices *prices, tufa_life life,
                            double trip_share);

/* One element and one thermostat: as said; else by its size, where no upper element was spoken of. */
bool case_one_element(const heater_rec *h);
/* The street that one drive serves: as said, else the house's name without its number. */
void case_street(const house_rec *house, char street[STORE_WORD]);
bool case_in_service(const heater_rec *h, int64_t today);
/* Share of a drive that one visit pays: half where the street has another heater in service, all of it elsewhere. */
double case_trip_share(bool street_has_another);
TUFA_MUST_CHECK tufa_status case_street_has_another(store *s, const desk_case *c, bool *has);

#endif
