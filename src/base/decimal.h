/* Decimal numbers in and out, whatever the locale. */
#ifndef WATERLEAF_BASE_DECIMAL_H
#define WATERLEAF_BASE_DECIMAL_H

#include "base/text.h"

/* The double nearest to the digits at TEXT ("1_200.25"; no sign, no exponent,
 * underscores allowed between digits). *DECIMALS: how many digits stand behind
 * the point. Any number of digits is read, in linear time. */
double decimal_read(const char *text, size_t length, unsigned *decimals);

/* VALUE with DECIMALS digits behind the point (0 to 15), rounded half away from
 * zero as the decimal that it prints as with 15 significant digits: 0.125 with
 * 2 decimals gives 0.13, 2.675 gives 2.68. "-0" never appears. */
void decimal_put(Text *out, double value, unsigned decimals);

/* VALUE with DIGITS significant digits (1 to 17), without needless zeros, and
 * without an exponent between 1e-9 and 1e15. */
void decimal_put_digits(Text *out, double value, unsigned digits);

#endif
