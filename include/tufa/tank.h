#ifndef TUFA_TANK_H
#define TUFA_TANK_H

#include "tufa/base.h"

#endif
