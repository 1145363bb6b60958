/* The order of work and the kit of a visit, from their tables. */
#include <string.h>

#include "core/base/sources.h"
#include "tufa/clean.h"

typedef enum fuels { FOR_ANY, FOR_ELECTRIC, FOR_GAS } fuels;

typedef struct step_row {
    tufa_step step;
    fuels fuel;
    const char *visits, *methods;
} step_row;

static const step_row STEPS[] = {
#define X(id, phase, fuel, visits, methods, minutes, reading, source, words) \
    {{#id, words, TUFA_STEP_##phase, minutes, reading, SRC_##source}, FOR_##fuel, visits, methods},
#include "core/clean/steps.def"
#undef X
};

static const struct one_row {
    const char *id, *reading, *words;
} ONE_ELEMENT[] = {
#define X(id, reading, words) {#id, reading, words},
#include "core/clean/steps_one.def"
#undef X
};

typedef struct kit_row {
    tufa_kit_item item;
    fuels fuel;
    const char *visits, *methods;
} kit_row;

static const kit_row KIT[] = {
#define X(id, fuel, visits, methods, part, count, source, what, size) \
    {{#id, what, size, count, part, SRC_##source}, FOR_##fuel, visits, methods},
#include "core/clean/kit.def"
#undef X
};

static int fits(fuels row, const char *visits, const char *methods, tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel)
{
    static const char LETTER[TUFA_VISIT_KIND_COUNT] = {'C', 'T', 'S'};
    if (row == FOR_ELECTRIC && fuel != TUFA_ELECTRIC) return 0;
    if (row == FOR_GAS && fuel == TUFA_ELECTRIC) return 0;
    if (!strchr(visits, LETTER[kind])) return 0;
    if (kind != TUFA_VISIT_CLEAN || methods[0] == '*') return 1;
    const tufa_method_row *m = tufa_method_at(method);
    return m && strstr(methods, m->code);
}

static void as_one_element(tufa_step *s)
{
    for (size_t i = 0; i < sizeof ONE_ELEMENT / sizeof ONE_ELEMENT[0]; i++)
        if (strcmp(ONE_ELEMENT[i].id, s->id) == 0) s->reading = ONE_ELEMENT[i].reading, s->words = ONE_ELEMENT[i].words;
}

size_t tufa_visit_steps(tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel, int one_element, size_t room, tufa_step *out)
{
    size_t n = 0;
    if ((unsigned)kind >= TUFA_VISIT_KIND_COUNT) return 0;
    for (size_t i = 0; i < sizeof STEPS / sizeof STEPS[0]; i++) {
        if (!fits(STEPS[i].fuel, STEPS[i].visits, STEPS[i].methods, kind, method, fuel)) continue;
        if (n < room) {
            out[n] = STEPS[i].step;
            if (one_element) as_one_element(&out[n]);
        }
        n++;
    }
    return n;
}

double tufa_visit_around_s(tufa_method_id method, tufa_fuel fuel, int one_element)
{
    tufa_step step[sizeof STEPS / sizeof STEPS[0]];
    size_t n = tufa_visit_steps(TUFA_VISIT_CLEAN, method, fuel, one_element, sizeof step / sizeof step[0], step);
    double s = 0.0;
    for (size_t i = 0; i < n; i++)
        if (step[i].phase == TUFA_STEP_ARRIVE || step[i].phase >= TUFA_STEP_VERIFY) s += 60.0 * step[i].minutes;
    return s;
}

size_t tufa_visit_kit(tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel, size_t room, tufa_kit_item *out)
{
    size_t n = 0;
    if ((unsigned)kind >= TUFA_VISIT_KIND_COUNT) return 0;
    for (size_t i = 0; i < sizeof KIT / sizeof KIT[0]; i++) {
        if (!fits(KIT[i].fuel, KIT[i].visits, KIT[i].methods, kind, method, fuel)) continue;
        if (n < room) out[n] = KIT[i].item;
        n++;
    }
    return n;
}

const char *tufa_step_phase_words(tufa_step_phase phase)
{
    switch (phase) {
    case TUFA_STEP_ARRIVE: return "on arrival, nothing opened";
    case TUFA_STEP_ISOLATE: return "isolate";
    case TUFA_STEP_PROVE_DEAD: return "prove dead";
    case TUFA_STEP_OPEN: return "open";
    case TUFA_STEP_WORK: return "work";
    case TUFA_STEP_CLOSE: return "close and fill";
    case TUFA_STEP_RESTORE: return "bring back";
    case TUFA_STEP_VERIFY: return "measure";
    case TUFA_STEP_CARD: return "closing card";
    }
    return "";
}
