/* Kinds: what a quantity is of, and which quantities may meet.
 *
 * A kind is a product of base kinds (mass, length) and of parts of them
 * (fibre-mass within mass) with whole powers: a dose is added-mass per
 * fibre-mass. Equal factors cancel; a part never cancels silently against
 * another part. What a place accepts is decided by kind_fits.
 */
#ifndef WATERLEAF_MEANING_KIND_H
#define WATERLEAF_MEANING_KIND_H

#include "meaning/world.h"

void kind_open(World *world);

/* A base kind, or with WHOLE a part of it. */
KindId kind_add_base(World *world, Name name, KindId whole, NodeId line);

/* A named kind of the same expansion as OF. */
KindId kind_add_named(World *world, Name name, KindId of, NodeId line);

KindId kind_named(const World *world, Name name);

/* ONE * OTHER with sign 1, ONE / OTHER with sign -1. Too many factors give 0. */
KindId kind_product(World *world, KindId one, KindId other, int sign);

/* KIND to a whole power. */
KindId kind_power(World *world, KindId kind, int power);

/* The square root; 0 where a power is odd. */
KindId kind_root(World *world, KindId kind);

bool kind_same(const World *world, KindId one, KindId other);

/* Whether a value of VALUE may stand where PLACE is asked for: each part can be
 * read as itself or as a whole of it, what is left over cancels part against
 * whole; a place that is one mass or volume also takes a whole. */
bool kind_fits(const World *world, KindId value, KindId place);

/* The kind of a sum: 0 where the two do not add. */
KindId kind_sum(World *world, KindId one, KindId other);

/* The kind with every part replaced by its whole: the dimension. */
KindId kind_dimension(World *world, KindId kind);

/* Whether two kinds differ in basis only. */
bool kind_same_dimension(World *world, KindId one, KindId other);

/* A share: its dimension is one. */
bool kind_is_share(World *world, KindId kind);

/* Whether it is one factor to the power 1 (a mass, a volume, a part of them). */
bool kind_is_single(const World *world, KindId kind);

/* Whether PART is WHOLE or within it. */
bool kind_within(const World *world, KindId part, KindId whole);

/* "grammage", or "mass / area" where it has no name. Copied. */
const char *kind_text(World *world, KindId kind);

#endif
