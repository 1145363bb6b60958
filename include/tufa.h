/* tufa: the contract of the core, in the order of the journey. Each stage has a page of its own below
 * include/tufa/; a stage's code includes its own page and those above it here, nothing else, so that
 * a call against the stream shows up as an include. */
#ifndef TUFA_H
#define TUFA_H

#include "tufa/base.h"
#include "tufa/water.h"
#include "tufa/deposit.h"
#include "tufa/tank.h"
#include "tufa/ahead.h"
#include "tufa/clean.h"
#include "tufa/fault.h"
#include "tufa/bill.h"
#include "tufa/learn.h"
#include "tufa/money.h"
#include "tufa/plan.h"

#endif
