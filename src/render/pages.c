/* Carrying a document to the program that sets pages. */
#include "render/pages.h"

#include "base/decimal.h"
#include "render/words.h"

enum { EXACT_DIGITS = 17 /* of a double: no two are written alike */ };

typedef struct Carrier {
    Text *out;
    Text clean;
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

static void put_node(Carrier *carrier, const DocumentNode *node)
{
    text_print(carrier->out, "%s\t%u\t%u", document_form_name(node->form), node->level, node->marks);
    put_words(carrier, node->label, true);
    put_words(carrier, node->text, node->form != DOCUMENT_CODE && node->form != DOCUMENT_ROOT);
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
}
