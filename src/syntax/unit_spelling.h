/* The one spelling of a unit: m2, m^2 and m² are one, and so are degC and °C. */
#ifndef WATERLEAF_SYNTAX_UNIT_SPELLING_H
#define WATERLEAF_SYNTAX_UNIT_SPELLING_H

#include "base/names.h"

/* For each Name as typed the Name of the one spelling, 0 where not asked yet. */
typedef struct UnitSpellings {
    LIST(Name) of;
} UnitSpellings;

/* The Name of the one spelling of the unit typed as LENGTH bytes at TEXT. */
Name unit_spelling(UnitSpellings *spellings, Names *names, Memory *memory, const char *text, size_t length);

#endif
