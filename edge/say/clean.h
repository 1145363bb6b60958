/* The cleaning methods, the visit and the proof in words. */
#ifndef EDGE_SAY_CLEAN_H
#define EDGE_SAY_CLEAN_H

#include "edge/say/units.h"
#include "tufa/clean.h"

void say_about(text *t, unit_system s, quantity q, double si); /* to two figures */
void say_speed(text *t, unit_system s, double m_s);     /* "3.1 ft/s" */
const char *say_verdict(tufa_verdict v);                /* "works", "little", "cannot", "must not" */
const char *verdict_key(tufa_verdict v);                /* works, little, cannot, must_not */
const char *say_size_class(int i);                      /* "0.25 to 0.5 mm", "cake" */

/* All methods, the advice, and the cautions of what may be done. */
void say_clean_answer(text *t, unit_system s, const tufa_clean_case *c, const tufa_clean_answer *a);
void say_clean_why(text *t, const tufa_clean_answer *a); /* why this is the first choice, or that none is */
/* How fast it runs in the hose, where solids settle, how far it carries; nothing where there is no hose. */
void say_hose_words(text *t, unit_system s, const tufa_clean_case *c, const tufa_method_answer *m);
/* Beside a soak: how far so much acid goes at best; nothing for other methods. */
void say_acid_reach(text *t, unit_system s, const tufa_clean_case *c, const tufa_method_answer *m);
/* The cautions themselves, worst first. */
enum { MOST_CAUTIONS = 48 };
size_t work_cautions(const char *const *works, tufa_fuel fuel, bool visit, size_t room, const tufa_caution **out);
const char *say_caution_level(tufa_caution_level level); /* "STOP" */
/* Words of every caution that goes with one of these works (ends with NULL) on this fuel, worst first, each once; and with
 * `visit` those of every visit. */
void say_work_cautions(text *t, const char *const *works, tufa_fuel fuel, bool visit);

/* What is left, by which readings, what would sharpen it, and the sentence for the record. */
void say_proof(text *t, unit_system s, const tufa_proof_in *in, const tufa_proof *p);
void say_proof_sentence(text *t, unit_system s, const tufa_proof_in *in, const tufa_proof *p);

#endif
