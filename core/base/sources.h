/* Ids of the sources table. A row of a .def names one of these, so that a number without a source cannot compile. */
#ifndef CORE_BASE_SOURCES_H
#define CORE_BASE_SOURCES_H

typedef enum source_id {
#define X(id, what, verified) SRC_##id,
#include "core/base/sources.def"
#undef X
    SOURCE_COUNT
} source_id;

#endif
