/* What comes to the program that sets pages is read or refused; what is read is carried on and reads as the same. */
#include "fuzz.h"
#include "refused.h"

#include "pages/stop.h"
#include "render/pages.h"

#include <setjmp.h>
#include <string.h>

static jmp_buf refusal; /* the reader knows no other way out than to end its program */
static bool inside;

_Noreturn void pages_stop(const char *format, ...)
{
    fuzz_must(inside, "pages_stop where nothing is read: %s", format);
    longjmp(refusal, 1);
}

bool refused_or_done(void (*work)(void *with), void *with)
{
    inside = true;
    bool done = setjmp(refusal) == 0;
    if (done)
        work(with);
    inside = false;
    return done;
}

typedef struct ToRead { Document *document; Arena *arena; char *bytes; PagesWish *wish; } ToRead;

static void read_it(void *with)
{
    ToRead *reading = with;
    pages_read(reading->document, reading->arena, reading->bytes, reading->wish);
}

bool refused_or_read(Document *document, Arena *arena, char *bytes, PagesWish *wish)
{
    return refused_or_done(read_it, &(ToRead){document, arena, bytes, wish});
}

/* A copy of its own, so that a byte too far is found. */
static char *copy_of(const char *bytes, size_t length)
{
    char *copy = malloc(length + 1);
    fuzz_must(copy != NULL, "no memory");
    memcpy(copy, bytes, length);
    copy[length] = 0;
    return copy;
}

static void carry(Text *out, Memory *memory, const Document *document)
{
    text_open(out, memory);
    render_pages(out, document, "a4", "pdf", NULL);
}

/* What was read once is clean: carried again it must be taken, and be the same bytes ever after. */
static void carry_on(Memory *memory, Arena *arena, const Document *document)
{
    Text once, twice;
    Document again;
    PagesWish wish;
    carry(&once, memory, document);
    char *bytes = copy_of(once.at, once.length);
    fuzz_must(refused_or_read(&again, arena, bytes, &wish), "what was read is refused when it is carried again:\n%s", once.at);
    carry(&twice, memory, &again);
    fuzz_must(once.length == twice.length && memcmp(once.at, twice.at, once.length) == 0, "carried twice it is another:\n%s\n%s", once.at, twice.at);
    free(bytes);
}

void fuzz_carried(const uint8_t *bytes, size_t length)
{
    Memory memory = {0};
    Arena arena;
    Document document;
    PagesWish wish;
    arena_open(&arena, &memory);
    char *copy = copy_of((const char *)bytes, length);
    if (refused_or_read(&document, &arena, copy, &wish))
        carry_on(&memory, &arena, &document);
    free(copy);
    memory_return_all(&memory);
}
