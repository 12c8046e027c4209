/* The words that the program knows, as constants: KNOWN_paper is the Name of
 * "paper" in every world. */
#ifndef WATERLEAF_MEANING_KNOWN_H
#define WATERLEAF_MEANING_KNOWN_H

typedef enum KnownName {
    KNOWN_NOTHING,
#define KNOWN(id, text) KNOWN_##id,
#include "meaning/known.def"
#undef KNOWN
    KNOWN_NAMES
} KnownName;

#endif
