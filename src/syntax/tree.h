/* The tree of a script: what stands where, and nothing of what it means.
 *
 * One list of nodes for all scripts, children linked by places in that list.
 * A node is 24 bytes and holds no pointer, so that stdlib's tree can be built
 * into the program. A line of the script is a NODE_LINE whose children are its
 * parts in the order written (see nodes.def).
 */
#ifndef WATERLEAF_SYNTAX_TREE_H
#define WATERLEAF_SYNTAX_TREE_H

#include "base/list.h"
#include "base/names.h"
#include "source/source.h"

typedef uint32_t NodeId; /* 0: none */

typedef enum NodeForm {
#define NODE(id, name) NODE_##id,
#include "syntax/nodes.def"
#undef NODE
    NODE_FORMS
} NodeForm;

enum {
    NODE_BEHIND_COMMA = 1, /* a comma stands in front of this part of a line */
    NODE_FOR_TOLERANCE = 2,
    NODE_LINE_HAS_BLOCK = 4
};

typedef enum Operator {
    OPERATOR_ADD, OPERATOR_SUBTRACT, OPERATOR_TIMES, OPERATOR_OVER, OPERATOR_POWER,
    OPERATOR_EQUAL, OPERATOR_UNEQUAL, OPERATOR_LESS, OPERATOR_LESS_EQUAL, OPERATOR_MORE, OPERATOR_MORE_EQUAL,
    OPERATOR_IS, OPERATOR_IS_NOT, OPERATOR_AND, OPERATOR_OR
} Operator;

typedef struct Node {
    uint8_t form;
    uint8_t marks;
    uint16_t extra;
    uint32_t start; /* places in the space of all sources */
    uint32_t end;
    NodeId first;
    NodeId next;
    uint32_t value;
} Node;

typedef struct Tree {
    LIST(Node) nodes;       /* [0] is a blank */
    LIST(double) numbers;   /* of NODE_NUMBER and NODE_QUANTITY */
    LIST(Span) comments;    /* in order */
    LIST(NodeId) scripts;   /* the NODE_SCRIPT of each source, by the source's number */
} Tree;

void tree_open(Tree *tree, Memory *memory);

static inline const Node *tree_node(const Tree *tree, NodeId id) { return &tree->nodes.at[id]; }
static inline Span tree_span(const Tree *tree, NodeId id)
{
    const Node *node = &tree->nodes.at[id];
    return (Span){node->start, node->end};
}

#endif
