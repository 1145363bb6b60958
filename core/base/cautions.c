/* The cautions table and what work each row goes with. */
#include <string.h>

#include "core/base/sources.h"
#include "tufa/base.h"

static const tufa_caution CAUTIONS[] = {
#define X(id, level, fuel, source, title, words, brief, applies_to) \
    {#id, title, words, brief, applies_to, TUFA_CAUTION_##level, TUFA_CAUTION_##fuel, SRC_##source},
#include "core/base/cautions.def"
#undef X
};
enum { CAUTION_COUNT = sizeof CAUTIONS / sizeof CAUTIONS[0] };

size_t tufa_caution_count(void) { return CAUTION_COUNT; }

const tufa_caution *tufa_caution_at(size_t i) { return i < CAUTION_COUNT ? &CAUTIONS[i] : NULL; }

const tufa_caution *tufa_caution_find(const char *id)
{
    for (size_t i = 0; id && i < CAUTION_COUNT; i++)
        if (strcmp(CAUTIONS[i].id, id) == 0) return &CAUTIONS[i];
    return NULL;
}

const char *tufa_caution_level_words(tufa_caution_level level)
{
    switch (level) {
    case TUFA_CAUTION_LEAVE: return "leave";
    case TUFA_CAUTION_STOP: return "stop";
    case TUFA_CAUTION_LICENSED: return "licensed";
    case TUFA_CAUTION_CAREFUL: return "careful";
    }
    return "careful";
}

int tufa_caution_applies(const tufa_caution *c, const char *id, tufa_caution_fuel fuel)
{
    if (fuel != TUFA_CAUTION_ANY && c->fuel != TUFA_CAUTION_ANY && c->fuel != fuel) return 0;
    size_t n = strlen(id);
    for (const char *at = c->applies_to; n && (at = strstr(at, id)); at += n)
        if ((at == c->applies_to || at[-1] == ' ') && (at[n] == 0 || at[n] == ' ')) return 1;
    return 0;
}
