/* The image of stdlib and the scripts to start with, taken into the program as they stand. */
#include "workshop_parts.h"

__asm__(".section .rodata\n"
        ".balign 16\n"
        "waterleaf_stdlib_image:\n"
        ".incbin \"build/gen/stdlib.image\"\n"
        "waterleaf_stdlib_image_end:\n"
        ".byte 0\n"
        ".previous\n");

__asm__(".section .rodata\n"
        "waterleaf_start_texts:\n"
        ".incbin \"build/gen/start.texts\"\n"
        ".byte 0\n"
        ".previous\n");

extern const char waterleaf_start_texts[];
extern const char waterleaf_stdlib_image[];
extern const char waterleaf_stdlib_image_end[];

const char *workshop_built_in(size_t *length)
{
    *length = (size_t)(waterleaf_stdlib_image_end - waterleaf_stdlib_image);
    return waterleaf_stdlib_image;
}

const char *workshop_built_in_start(void) { return waterleaf_start_texts; }
