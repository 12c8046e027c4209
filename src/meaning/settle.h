/* Settling an expression: what each name in it stands for, and of what kind
 * each value is. Done once, for every branch of every script, before anything
 * is worked out; the results stand beside the tree (world.types, world.bindings).
 */
#ifndef WATERLEAF_MEANING_SETTLE_H
#define WATERLEAF_MEANING_SETTLE_H

#include "meaning/world.h"

/* Names that are seen, and places of a frame: each `each` of a formula has one, though its name is gone behind it. */
enum { SCOPE_LOCALS = 64, SCOPE_SLOTS = 96 };

/* Where an expression stands, and so which names it sees. */
typedef struct Scope {
    World *world;
    Local locals[SCOPE_LOCALS]; /* parameters, `gives`, `let`, `each`: the last one first */
    uint32_t local_count;
    uint16_t slots;             /* places used in the frame */
    ShapeId self;               /* the shape whose attributes stand bare; 0: none */
    uint32_t paper;             /* its `vary` and `let` are seen; 0: none */
    uint32_t rule_lets;         /* the first `let` of the rule that is read */
    bool of_rule;               /* {change.needed} and its like mean what the rule works out */
    uint16_t rule_texts;        /* their first place in the frame */
} Scope;

void scope_open(Scope *scope, World *world);

/* Adds a local name and gives its place in the frame. A name that hides another is said. */
uint16_t scope_add(Scope *scope, Name name, Type type, Span at);

/* A further place in the frame, for what stands AT; says where there is none left, and then gives place 0. */
uint16_t scope_place(Scope *scope, Span at);

/* Settles NODE where a value of type WANT is asked for (0: any) and gives its
 * type. What does not fit is said, once; then and for anything that rests on a mistake the
 * result is TYPE_UNKNOWN. A literal takes the kind of WANT. */
Type settle(Scope *scope, NodeId node, Type want);

/* The same without a word when it does not fit: whether NODE could stand where WANT is asked for. */
bool settle_could(Scope *scope, NodeId node, Type want);

/* A condition: TYPE_TRUTH is asked for. */
void settle_condition(Scope *scope, NodeId node);

/* Whether TYPE may stand where WANT is asked for. */
bool settle_fits(const World *world, Type type, Type want);

/* Sets what a node stands for. */
void settle_bind(World *world, NodeId node, Type type, uint32_t binding);

/* ---- parts of it, by subject ---- */

Type settle_literal(Scope *scope, NodeId node, Type want);   /* settle_literals.c */
bool settle_is_open(const World *world, NodeId node);        /* a number or % that takes its kind from elsewhere */
Type settle_name(Scope *scope, NodeId node, Type want);      /* settle_names.c */
Type settle_dot(Scope *scope, NodeId node, Type want);
Type settle_is(Scope *scope, NodeId node);
Type settle_call(Scope *scope, NodeId node, Type want);      /* settle_calls.c */

bool settle_change(Scope *scope, NodeId node, NodeId inner, Name part);              /* settle_rules.c */
Type settle_part_of_step(Scope *scope, NodeId node, Name role, Name part);
void settle_is_step(Scope *scope, NodeId node, NodeId right);

/* Settles a `let` of a script before it is used, whatever the order of lines. */
void settle_let_first(World *world, uint32_t let);           /* declare_figures.c */

/* The type of the set that the program knows as NAME; 0: it knows none. */
Type settle_set_type(const World *world, Name name);

/* What an item of a set of type OF is. */
Type settle_item(Type of);
/* What stands behind `from`: a set itself, and nothing that only stands for one. */
Type settle_set(Scope *scope, NodeId node);

/* The field called NAME of SHAPE or of what it is within; 0: none. */
FieldId settle_field(const World *world, ShapeId shape, Name name);

/* The field of SHAPE (states, one-of) that has WORD among its words; 0: none. */
FieldId settle_field_with_word(const World *world, ShapeId shape, Name word);

/* Whether WORD is among the words of FIELD. */
bool settle_has_word(const World *world, FieldId field, Name word);

/* Whether SHAPE is WHOLE or within it. */
bool settle_shape_within(const World *world, ShapeId shape, ShapeId whole);

ShapeId settle_shape(const World *world, Name name);

#endif
