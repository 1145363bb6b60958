#ifndef TUFA_AHEAD_H
#define TUFA_AHEAD_H

#include "tufa/base.h"

#endif
