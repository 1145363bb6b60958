#ifndef TUFA_BILL_H
#define TUFA_BILL_H

#include "tufa/base.h"

#endif
