#ifndef TUFA_MONEY_H
#define TUFA_MONEY_H

#include "tufa/base.h"

#endif
