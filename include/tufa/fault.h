#ifndef TUFA_FAULT_H
#define TUFA_FAULT_H

#include "tufa/base.h"

#endif
