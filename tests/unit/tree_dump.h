/* A tree as compact text, for tests: one line a line, blocks indented by two.
 *
 *     (tub-size with size = 60 % :
 *       ...)
 *
 * Forms are told by their brackets: names bare, prepositions as `with>`, quantities `60[%]`, calls
 * f(..), parts a.b, operations (+ a b), bind `= v`, provenance <source "x">, mistakes !.
 */
#ifndef WATERLEAF_TESTS_TREE_DUMP_H
#define WATERLEAF_TESTS_TREE_DUMP_H

#include "base/decimal.h"
#include "syntax/tree.h"

typedef struct Dump {
    const Tree *tree;
    const Names *names;
    Text *out;
} Dump;

static void dump_node(const Dump *dump, NodeId id, unsigned depth);

static inline void dump_list(const Dump *dump, NodeId id, const char *between)
{
    for (const char *gap = ""; id != 0; id = dump->tree->nodes.at[id].next, gap = between) {
        text_put(dump->out, gap);
        dump_node(dump, id, 0);
    }
}

static inline void dump_around(const Dump *dump, const char *open, NodeId first, const char *close)
{
    text_put(dump->out, open);
    dump_list(dump, first, " ");
    text_put(dump->out, close);
}

static inline void dump_line(const Dump *dump, const Node *line, unsigned depth)
{
    text_print(dump->out, "%*s%s", (int)depth * 2, "", line->value ? names_text(dump->names, line->value) : "?");
    for (NodeId id = line->first; id != 0; id = dump->tree->nodes.at[id].next) {
        const Node *part = &dump->tree->nodes.at[id];
        if (part->form != NODE_BLOCK)
            text_put(dump->out, part->marks & NODE_BEHIND_COMMA ? ", " : " ");
        dump_node(dump, id, depth);
    }
    if (line->extra)
        text_put(dump->out, " !!");
    text_char(dump->out, '\n');
}

static inline void dump_block(const Dump *dump, const Node *block, unsigned depth)
{
    text_put(dump->out, " :");
    for (NodeId id = block->first; id != 0; id = dump->tree->nodes.at[id].next) {
        if (id == block->first)
            text_char(dump->out, '\n');
        dump_line(dump, &dump->tree->nodes.at[id], depth + 1);
    }
    text_print(dump->out, "%*send%s%s", (int)depth * 2, "", block->value ? " " : "", names_text(dump->names, block->value));
}

static inline void dump_node(const Dump *dump, NodeId id, unsigned depth)
{
    static const char *const operators[] = {"+", "-", "*", "/", "^", "=", "<>", "<", "<=", ">", ">=", "is", "is-not", "and", "or"};
    const Node *node = &dump->tree->nodes.at[id];
    const char *name = names_text(dump->names, node->form == NODE_NUMBER || node->form == NODE_QUANTITY || node->form == NODE_DATE ||
                                                       node->form == NODE_CLOCK
                                                   ? 0
                                                   : node->value);
    Text *out = dump->out;
    switch ((NodeForm)node->form) {
    case NODE_SCRIPT:
        for (NodeId line = node->first; line != 0; line = dump->tree->nodes.at[line].next)
            dump_line(dump, &dump->tree->nodes.at[line], 0);
        break;
    case NODE_LINE: dump_line(dump, node, depth); break;
    case NODE_BLOCK: dump_block(dump, node, depth); break;
    case NODE_BIND: dump_around(dump, "= ", node->first, ""); break;
    case NODE_WHEN: dump_around(dump, "when ", node->first, ""); break;
    case NODE_PREPOSITION: text_print(out, "%s>", name); break;
    case NODE_PROVENANCE: text_print(out, "<%s", name); dump_around(dump, node->first ? " " : "", node->first, ">"); break;
    case NODE_SHOWN: dump_around(dump, "shown:", node->first, ""); break;
    case NODE_ELSE: dump_around(dump, "else:", node->first, ""); break;
    case NODE_NAME: text_put(out, name); break;
    case NODE_DOT: dump_list(dump, node->first, " "); text_print(out, ".%s", name); break;
    case NODE_CALL: text_put(out, name); text_char(out, '('); dump_list(dump, node->first, ", "); text_char(out, ')'); break;
    case NODE_NUMBER:
    case NODE_QUANTITY: decimal_put(out, dump->tree->numbers.at[node->value], node->extra); dump_list(dump, node->first, " "); break;
    case NODE_UNIT: text_print(out, "[%s]", name); break;
    case NODE_LIST: dump_around(dump, "list(", node->first, ")"); break;
    case NODE_SIZE: dump_around(dump, "size(", node->first, ")"); break;
    case NODE_RANGE: dump_around(dump, "range(", node->first, ")"); break;
    case NODE_TOLERANCE: dump_around(dump, "tolerance(", node->first, ")"); break;
    case NODE_ABOUT: dump_around(dump, "about(", node->first, ")"); break;
    case NODE_DATE: text_print(out, "day:%d", (int)node->value); break;
    case NODE_CLOCK: text_print(out, "minute:%u", node->value); break;
    case NODE_TEXT: text_char(out, '"'); dump_list(dump, node->first, ""); text_char(out, '"'); break;
    case NODE_PIECE: text_put(out, name); break;
    case NODE_FILL: dump_around(dump, "{", node->first, ""); text_print(out, node->extra ? ", %u}" : "}", node->extra - 1u); break;
    case NODE_BINARY: text_print(out, "(%s ", operators[node->extra]); dump_around(dump, "", node->first, ")"); break;
    case NODE_NOT: dump_around(dump, "(not ", node->first, ")"); break;
    case NODE_ABSENT: text_put(out, "none"); break;
    case NODE_CONVERT: dump_around(dump, "convert(", node->first, ")"); break;
    case NODE_NARROW: dump_around(dump, "(", node->first, ""); text_print(out, " as %s)", name); break;
    case NODE_EACH: text_print(out, "each %s from ", name); dump_list(dump, node->first, " "); break;
    case NODE_BAD: text_put(out, "!"); break;
    case NODE_NONE:
    case NODE_FORMS: text_put(out, "(nothing)"); break;
    }
}

#endif
