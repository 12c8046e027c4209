/* Codes that devices read: the QR code (ISO/IEC 18004) and Code 128 (ISO/IEC
 * 15417), as modules dark or light. How large a module is, and that it is
 * black, is a back end's matter; so is the quiet zone, which must stay free all round. */
#ifndef WATERLEAF_DOCUMENTS_CODE_H
#define WATERLEAF_DOCUMENTS_CODE_H

#include "base/arena.h"

enum { CODE_QUIET_SQUARES = 4, CODE_QUIET_BARS = 10 }; /* modules left free on each side */

typedef struct Code {
    unsigned columns, rows; /* of bars one row */
    unsigned char *dark;    /* row by row, 1 for a dark module */
} Code;

/* TEXT as a QR code of level Q: a quarter of it may be soiled. False where it is empty, or longer than
 * a code of 57 by 57 modules holds: 150 bytes do go in. */
bool code_squares(Code *code, Arena *arena, const char *text);

/* TEXT as bars. False where it holds anything but the signs from blank to tilde, or more than 60 of them, or none. */
bool code_bars(Code *code, Arena *arena, const char *text);

#endif
