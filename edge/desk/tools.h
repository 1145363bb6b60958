/* The owner's own tools, as settings of the book. */
#ifndef EDGE_DESK_TOOLS_H
#define EDGE_DESK_TOOLS_H

#include "edge/desk/desk.h"
#include "edge/say/trouble.h"
#include "tufa/clean.h"

typedef enum tool_id {
#define T(id, ...) TOOL_##id,
#include "edge/desk/tools.def"
#undef T
    TOOL_COUNT
} tool_id;

typedef struct tool_row {
    const char *name, *what;
    quantity q;
    unit_id unit;
    double lo, hi; /* in `unit` */
    size_t offset; /* of its value in tufa_clean_case */
    double one;
} tool_row;
extern const tool_row tool_rows[TOOL_COUNT];

int tool_find(const char *setting); /* -1: this setting is no tool */
TUFA_MUST_CHECK tufa_code tool_value(const tool_row *row, const char *s, tufa_value *out, trouble_note *note);
/* What the settings say of tools, read once and laid over as many cases as wanted. */
typedef struct tool_set {
    tufa_answer stirrer;
    tufa_value said[TOOL_COUNT]; /* as the case holds it; NONE: not said */
} tool_set;
TUFA_MUST_CHECK tufa_status tools_read(desk *d, tool_set *out);
void tools_lay(const tool_set *t, tufa_clean_case *c);
/* Both at once. */
TUFA_MUST_CHECK tufa_status tools_take(desk *d, tufa_clean_case *c);

#endif
