#ifndef TUFA_PLAN_H
#define TUFA_PLAN_H

#include "tufa/base.h"

#endif
