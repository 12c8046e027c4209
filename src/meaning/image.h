/* A checked world as one block of bytes: how stdlib is built into the program,
 * and how a workshop forgets a script and keeps stdlib.
 *
 * The lists of a world hold no pointers, so the block is their bytes one behind
 * the other. It is made and read by the same build of the program only.
 */
#ifndef WATERLEAF_MEANING_IMAGE_H
#define WATERLEAF_MEANING_IMAGE_H

#include "meaning/world.h"

/* The block for WORLD, taken from MEMORY; its bytes in *LENGTH. What lies between the members of its items is cleared. */
char *image_write(World *world, Memory *memory, size_t *length);

/* Makes WORLD, which was opened before, what it was when the block was written. False: the block is
 * not one of this program. */
bool image_read(World *world, const char *block, size_t length);

/* The mark of what the stdlib in BLOCK says: 16 hexadecimal digits of its texts. */
void image_mark(const char *block, char mark[17]);

#endif
