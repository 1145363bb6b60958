#ifndef TUFA_CLEAN_H
#define TUFA_CLEAN_H

#include "tufa/base.h"

#endif
