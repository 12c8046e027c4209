/* Units: how a number is read into base units, and shown again.
 *
 * Units are declared by scripts (`unit lb = 0.45359237 kg`) or put together
 * from declared ones as they are written (`g/m²`). `%` is an open share: it
 * takes its basis from its place; `% on fibre` brings its own.
 */
#ifndef WATERLEAF_MEANING_UNIT_H
#define WATERLEAF_MEANING_UNIT_H

#include "meaning/world.h"

/* The unit of a spelling; 0 where there is none. Put together where it has parts. */
UnitId unit_of(World *world, Name spelling);

/* The unit of a NODE_UNIT. An unknown or ambiguous one is said, and gives 0. */
UnitId unit_at(World *world, NodeId node);

/* Declares a unit under its name. */
UnitId unit_declare(World *world, Unit unit);

/* VALUE of the unit in base units, and back. Exact in one rounding where the
 * factor is a whole number or one over a whole number. */
double unit_to_base(const Unit *unit, double value);
double unit_from_base(const Unit *unit, double value);

/* The unit in which a kind is shown: its own, its whole's, or one put together. */
UnitId unit_shown(World *world, KindId kind);

/* The kind of spans of time: that of the differences of dates; 0: there are none. */
KindId kind_of_time(const World *world);
/* The kind of a day in the calendar; 0: none is declared. */
KindId kind_of_day(const World *world);

/* The unit that one day of the dates of KIND is (`kind date, levels of duration   shown in d`), whatever it is called; 0 where
 * KIND has no dates: it is no kind of levels, or has a scale of its own, as temperatures have. With KIND 0 those of the
 * first kind that has dates. */
UnitId unit_of_day(const World *world, KindId kind);

/* How the unit is written behind a number. */
const char *unit_text(const World *world, UnitId unit);

#endif
