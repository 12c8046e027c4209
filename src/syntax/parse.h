/* From bytes to the tree. */
#ifndef WATERLEAF_SYNTAX_PARSE_H
#define WATERLEAF_SYNTAX_PARSE_H

#include "source/message.h"
#include "syntax/tree.h"

typedef struct ParseWorld {
    Memory *memory;
    Names *names;
    Sources *sources;
    Tree *tree;
    Messages *messages;
} ParseWorld;

/* Reads the script of number SOURCE into the tree. Always gives a NODE_SCRIPT;
 * what is wrong is said, once each, and reading goes on with the next line. */
NodeId parse_script(ParseWorld *world, uint32_t source);

/* Only the lexer over all of a script, for measuring: the number of tokens. */
uint32_t parse_count_tokens(ParseWorld *world, uint32_t source);

#endif
