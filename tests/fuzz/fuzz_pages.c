/* What was carried to the program that sets pages becomes a PDF or SVG, or is refused with a sentence; the libraries have nothing to
 * complain of, as nobody could read that. The letters are
 * opened once, as that takes longer than all else; where something is refused half-way, Cairo's own things are lost, which in
 * the program end with it. */
#include "fuzz.h"
#include "refused.h"

#define main pages_main
#include "pages/main.c" /* what it does behind reading */
#undef main

#include <string.h>

/* The libraries that draw letters keep what they have found until the program ends: that is no leak of ours. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) { return "leak:libfontconfig\nleak:libpango\nleak:libcairo\nleak:libglib\nleak:libgobject\nleak:librsvg\n"; }
const char *__lsan_default_options(void);
const char *__lsan_default_options(void) { return "print_suppressions=0"; }

static void set_all(void *with)
{
    Making *making = with;
    set_pages(making);
    const char *head = making->wish.as_svg ? "svg " : "%PDF-1.4\n";
    fuzz_must(making->out.length > 0 || making->sheets.pages == 0, "no pages come");
    fuzz_must(making->out.length == 0 || strncmp(making->out.at, head, strlen(head)) == 0, "what comes begins with %.20s", making->out.at);
}

static Letters *letters(void)
{
    static Memory memory;
    static Arena arena;
    static Letters opened;
    if (memory.requests == 0) {
        g_log_set_always_fatal(G_LOG_FATAL_MASK | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING);
        arena_open(&arena, &memory);
        letters_open(&opened, &arena);
    }
    return &opened;
}

void fuzz_pages(const uint8_t *bytes, size_t length)
{
    Memory memory = {0};
    Making making = {.memory = &memory};
    char *copy = malloc(length + 1);
    fuzz_must(copy != NULL, "no memory");
    memcpy(copy, bytes, length);
    copy[length] = 0;
    arena_open(&making.arena, &memory);
    if (refused_or_read(&making.document, &making.arena, copy, &making.wish)) {
        making.letters = *letters();
        making.letters.arena = &making.arena;
        refused_or_done(set_all, &making);
        letters_back_to(&making.letters, NULL);
        *letters() = making.letters;
    }
    free(copy);
    memory_return_all(&memory);
}
