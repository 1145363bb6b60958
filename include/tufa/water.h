#ifndef TUFA_WATER_H
#define TUFA_WATER_H

#include "tufa/base.h"

#endif
