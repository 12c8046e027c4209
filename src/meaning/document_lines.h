/* The lines that documents are made of, as a list (document_lines.def). */
#ifndef WATERLEAF_MEANING_DOCUMENT_LINES_H
#define WATERLEAF_MEANING_DOCUMENT_LINES_H

#include "meaning/world.h"

typedef struct DocumentLine {
    KnownName head;
    const char *form;
    uint8_t least, most;
    char block, where;
} DocumentLine;

/* What the list says of HEAD; NULL: it is no line of documents. */
const DocumentLine *document_line(Name head);

/* The heads in order; KNOWN_NAMES behind the last. */
KnownName document_line_head(size_t place);

/* Whether NODE, an argument of a line with HEAD, is a word that says how the line is meant, and no value: right, strong, aside … */
bool document_line_word(const World *world, Name head, NodeId node);

/* The words that such a line may have, where NODE seems to be one of them misspelt; else NULL. */
const char *document_line_misspelt(World *world, Name head, NodeId node);

/* Whether the line has that word. */
bool document_line_has(const World *world, NodeId line, Name word);

/* The value of that number of a line, from 0; 0: there are fewer. Words, prepositions and `each` are no values. */
NodeId document_line_value(const World *world, NodeId line, uint32_t number);

/* The EACH of a line; 0: none. */
NodeId document_line_each(const World *world, NodeId line);

#endif
