/* Putting the tree together, one call for each rule of the grammar. */
#ifndef WATERLEAF_SYNTAX_BUILD_H
#define WATERLEAF_SYNTAX_BUILD_H

#include "syntax/mistakes.h"
#include "syntax/token.h"
#include "syntax/tree.h"

/* Nodes linked by `next`. */
typedef struct Chain {
    NodeId first;
    NodeId last;
} Chain;

typedef struct Build {
    Memory *memory;
    Names *names;
    Tree *tree;
    Mistakes *mistakes;
    Name decimal, decimals; /* the words of {x, 1 decimal} */
    NodeId line;            /* takes the parts */
    NodeId last;            /* its last child so far */
    uint32_t operators;     /* of the argument being read */
    bool failed;            /* a token did not fit, or something was refused */
    bool too_deep;          /* more was open at once than the parser's stack holds */
    bool rehearsing;        /* only to find what would have fitted */
} Build;

void build_open(Build *build, Memory *memory, Names *names, Tree *tree, Mistakes *mistakes);

/* Adds a node without children. */
NodeId build_node(Build *build, NodeForm form, uint32_t start, uint32_t end, uint32_t value);

/* Begins a line, and adds a child to it. */
void build_line(Build *build, Name head, uint32_t start, uint32_t end);
void build_child(Build *build, NodeId child);

/* Around a rehearsal: what it builds is taken back. */
typedef struct BuildPlace {
    uint32_t nodes, numbers;
    NodeId line, last;
} BuildPlace;
BuildPlace build_rehearse(Build *build);
void build_rehearsed(Build *build, BuildPlace place);

/* Parts of a line. */
void build_argument(Build *build, NodeId argument, uint8_t marks);
void build_phrase(Build *build, Token preposition, NodeId argument, uint8_t marks);
void build_bind(Build *build, Token token, NodeId value);
void build_condition(Build *build, NodeId condition);
Chain build_one(NodeId node);
Chain build_more(Build *build, Chain chain, NodeId node);
NodeId build_word(Build *build, NodeForm form, Token token);
NodeId build_over(Build *build, NodeForm form, Token token, NodeId child);

/* Expressions. */
NodeId build_binary(Build *build, NodeId left, Token sign, NodeId right);
NodeId build_not(Build *build, Token token, NodeId condition);
NodeId build_pair(Build *build, NodeForm form, NodeId left, NodeId right);
NodeId build_tolerance(Build *build, NodeId aim, NodeId allowed);
NodeId build_about(Build *build, Token token, NodeId typical);
NodeId build_about_between(Build *build, Token token, NodeId typical, Token between, NodeId range);
NodeId build_part(Build *build, NodeId thing, Token name);
NodeId build_call(Build *build, Token name, Chain arguments, Token end);
NodeId build_bracket(Build *build, Token open, NodeId inner, Token close);
NodeId build_number(Build *build, Token token);
NodeId build_quantity(Build *build, Token number, Token unit);
NodeId build_bad(Build *build, Token first, Token last);
NodeId build_list(Build *build, Token open, Chain items, Token close);
NodeId build_list_of_unit(Build *build, Token open, Chain items, Token unit);
NodeId build_each(Build *build, Token each, Token variable, NodeId set, NodeId condition);
NodeId build_narrow(Build *build, NodeId inner, Token kind);
NodeId build_convert(Build *build, NodeId inner, Token unit);

/* Texts. */
NodeId build_text(Build *build, Token token);
Chain build_text_start(Build *build, Token token, NodeId fill);
Chain build_text_more(Build *build, Chain pieces, Token token, NodeId fill);
NodeId build_text_end(Build *build, Chain pieces, Token token);
NodeId build_fill(Build *build, NodeId inner);
NodeId build_fill_decimals(Build *build, NodeId inner, Token number, Token unit);

#endif
