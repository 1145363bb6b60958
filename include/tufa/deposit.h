#ifndef TUFA_DEPOSIT_H
#define TUFA_DEPOSIT_H

#include "tufa/base.h"

#endif
