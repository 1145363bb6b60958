#ifndef TUFA_LEARN_H
#define TUFA_LEARN_H

#include "tufa/base.h"

#endif
