/* Carrying a document to the program that sets pages. */
#include "render/pages.h"

#include "base/decimal.h"
#include "base/list.h"
#include "render/words.h"

#include <string.h>

enum { EXACT_DIGITS = 17 /* of a double: no two are written alike */ };

typedef struct Carrier {
    Text *out;
    Text clean;
    LIST(const char *) images; /* the bytes of those that were carried already */
} Carrier;

/* GLUED: whether it is set in lines, in which a number stays beside what it counts. */
static void put_words(Carrier *carrier, const char *words, bool glued)
{
    text_char(carrier->out, '\t');
    text_clear(&carrier->clean);
    words_clean(&carrier->clean, words == NULL ? "" : words);
    for (size_t at = 0; at < carrier->clean.length; at++) {
        if (glued && words_glued(carrier->clean.at, at))
            text_put(carrier->out, "\xC2\xA0");
        else
            text_char(carrier->out, carrier->clean.at[at]);
    }
}

static void put_numbers(Carrier *carrier, const DocumentNode *node)
{
    text_char(carrier->out, '\t');
    for (unsigned i = 0; i < node->number_count; i++) {
        if (i > 0)
            text_char(carrier->out, ' ');
        decimal_put_digits(carrier->out, node->numbers[i], EXACT_DIGITS);
    }
}

/* The bytes of an image that many labels bear are carried once; later its number stands in their place. */
static void put_image(Carrier *carrier, const char *bytes)
{
    bytes = bytes == NULL ? "" : bytes;
    for (uint32_t i = 0; *bytes != 0 && i < carrier->images.count; i++) {
        if (strcmp(carrier->images.at[i], bytes) == 0) {
            text_print(carrier->out, "\t=%u", (unsigned)i);
            return;
        }
    }
    if (*bytes != 0)
        list_push(carrier->out->memory, &carrier->images, bytes);
    put_words(carrier, bytes, false);
}

static void put_node(Carrier *carrier, const DocumentNode *node)
{
    text_print(carrier->out, "%s\t%u\t%u", document_form_name(node->form), node->level, node->marks);
    put_words(carrier, node->label, true);
    put_words(carrier, node->text, node->form != DOCUMENT_CODE && node->form != DOCUMENT_ROOT);
    if (node->form == DOCUMENT_IMAGE)
        put_image(carrier, node->hint);
    else
        put_words(carrier, node->hint, true);
    put_numbers(carrier, node);
    text_char(carrier->out, '\n');
}

void render_pages(Text *out, const Document *document, const char *size, const char *as, const char *date)
{
    Carrier carrier = {.out = out};
    text_open(&carrier.clean, out->memory);
    text_print(out, "waterleaf-pages 2\nas %s\npage %s\n", as, size);
    if (date != NULL)
        text_print(out, "date %s\n", date);
    for (DocumentWalk walk = {.root = document->root}; document_next(&walk);) {
        if (walk.entering)
            put_node(&carrier, walk.node);
        else
            text_put(out, "end\n");
    }
    text_close(&carrier.clean);
    memory_return(out->memory, carrier.images.at);
}
