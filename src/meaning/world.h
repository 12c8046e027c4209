/* All that is known of one script and of what it uses, stdlib included.
 *
 * The world is a set of lists whose items name one another by 32-bit places.
 * It is filled in passes (declare, then settle names and kinds), and nothing in
 * it changes once a paper is worked out. stdlib's world, checked, is built into
 * the program (workshop.c); a script's world begins as a copy of it.
 */
#ifndef WATERLEAF_MEANING_WORLD_H
#define WATERLEAF_MEANING_WORLD_H

#include "source/message.h"
#include "base/text.h"
#include "meaning/known.h"
#include "syntax/tree.h"

typedef uint32_t KindId;  /* 0: none; KIND_ONE has no dimension */
typedef uint32_t UnitId;
typedef uint32_t ShapeId; /* what a thing, a subject or a step may hold */
typedef uint32_t FieldId;
typedef uint32_t ThingId;
typedef uint32_t Type;    /* of a value, see type_of() */

enum { KIND_ONE = 1 };

/* ---- kinds ---- */

enum { EXPANSION_FACTORS = 7 };

/* A product of base kinds and parts of them, in the order of their places. */
typedef struct Expansion {
    uint32_t count;
    struct { uint16_t kind; int16_t power; } factors[EXPANSION_FACTORS];
} Expansion; /* 16 bits hold a kind, as there are LIMIT_KINDS at the most */

typedef struct Kind {
    Name name;          /* 0: made by multiplying, not declared */
    uint32_t expansion;
    KindId whole;       /* `within`: the kind of which this is a part */
    KindId rise;        /* `levels of`: the kind of differences */
    UnitId shown;       /* 0: made up of the units of its factors */
    NodeId line;
    bool compares;      /* does not add */
    uint8_t marks;      /* 1: its line is read */
} Kind;

typedef struct KindProduct { uint32_t one, other; int32_t sign; KindId product; } KindProduct;

typedef struct Basis { Name name; KindId kind; NodeId line; } Basis;

/* ---- units ---- */

typedef struct Unit {
    Name name;          /* the spelling that is shown */
    KindId kind;
    double factor;      /* of the unit in base units */
    double from;        /* of a scale: its zero in base units */
    NodeId line;        /* 0: put together from others, as g/m² */
    NodeId either;      /* the line's `either` part: refused, with its readings */
    uint32_t marks;
    uint16_t first_of_kind; /* declared as the kind's own first unit */
    uint8_t share;      /* 1: a bare %, whose basis is that of its place; 2: % on or of a basis */
    uint8_t unused;
    KindId basis;       /* of share 2: the kind of which it is a part */
} Unit;

/* ---- shapes and fields ---- */

typedef enum FieldSort { FIELD_HAS, FIELD_GIVES, FIELD_TAKES, FIELD_STATES, FIELD_MARK } FieldSort;

typedef struct Field {
    Name name;
    Type type;
    uint8_t sort;       /* FieldSort */
    uint8_t optional;   /* `= none` */
    uint8_t of_subject; /* of `gives`: 1, it follows from the subject and from what is settled alone; 2, from its contents */
    uint8_t followed;   /* of `gives`: 1, of_subject is being found; 2, it was */
    uint16_t slot;      /* place among the attributes of its family; of a mark: its bit */
    NodeId value;       /* formula or default; 0: none */
    NodeId line;
    uint32_t phrase;    /* of `takes`: its words, in world.words */
    uint16_t phrase_count;
    uint16_t word_count; /* of one-of and states: its words, in world.words */
    uint32_t words;
    Name limited_to;    /* `material of surface-size`: the word that the thing must be */
    ShapeId owner;
    FieldId next;       /* of the same shape, in order */
    uint32_t marks;     /* where its value comes from */
} Field;

typedef struct Shape {
    Name name;
    ShapeId parent;     /* `within` */
    ShapeId root;
    FieldId first, last;
    NodeId line;
    uint16_t slots;     /* of a root: the attributes of its whole family; of a step: places of its frame */
    uint16_t mark_count;
    bool step;
    bool taught;        /* its fields are read */
} Shape;

/* ---- things ---- */

typedef struct Thing {
    Name name;
    ShapeId shape;
    NodeId line;
    ThingId holder;     /* the mill that holds it */
    uint32_t first;     /* its values */
    ThingId next_held;
    ThingId first_held;
} Thing;

typedef struct ThingValue {
    FieldId field;
    NodeId node;        /* the first part of the value; 0: a thing that it holds */
    ThingId thing;
    NodeId line;
    uint32_t marks;     /* where the value comes from */
    uint32_t next;
} ThingValue;

/* ---- what is worked out ---- */

typedef struct Let {
    Name name;
    Type type;
    NodeId line, value;
    uint32_t parameters; /* in world.locals */
    uint16_t parameter_count;
    uint16_t slots;      /* of its frame */
    bool function;
    uint8_t settled;     /* 1: under way, 2: done */
} Let;

typedef struct Figure {
    Name name;
    Type type;
    NodeId line, value, set; /* `(each m from SET)`: an EACH node, else 0 */
    uint16_t slots;
    int16_t decimals;        /* -1: not told */
    UnitId shown;
    NodeId source;
    bool solved_for;         /* the unknown of a `solve` line */
    bool in_trial;           /* an effect or the solver asks for it */
} Figure;

/* `what-if VALUE, over SHARE`: a value of which it is told what moves it, and the least share that can be measured. */
typedef struct Sensitive { NodeId value; NodeId least; } Sensitive;

typedef struct Local { Name name; Type type; uint16_t slot; } Local;

typedef struct Table {
    Name name;
    NodeId line;
    Type key, result;
    uint32_t columns;   /* in world.locals; count 0: key and value */
    uint16_t column_count;
    bool linear;
    uint32_t first_row, last_row;
    ShapeId row_shape;  /* of a table with columns: its rows are things of this shape */
} Table;

typedef struct Row { NodeId line; uint32_t next; uint32_t marks; } Row;

/* ---- steps ---- */

typedef enum EffectSort {
#define EFFECT(id, word, tells) EFFECT_##id,
#include "meaning/effects.def"
#undef EFFECT
    EFFECT_SORTS
} EffectSort;

typedef struct Effect {
    uint8_t sort;
    uint8_t flags;      /* EFFECT_IN_TRIAL, ... */
    uint16_t slot;      /* of gives and let: the place in the frame; of sets: the attribute's slot */
    NodeId line;
    NodeId target;      /* the subject or thing */
    NodeId one, two, three; /* amounts, texts; three of `gives`: its place in world.given */
    NodeId when;
    uint32_t detail;    /* by sort: field, step, word */
    Name name;
    UnitId shown;       /* of gives */
    uint64_t uses[2];   /* the places of the frame that it asks for, as bits */
    int16_t decimals;   /* -1: not told */
} Effect;

enum { EFFECT_IN_TRIAL = 1, EFFECT_AT_RATE = 2, EFFECT_SIGNED = 4, EFFECT_TO_ALL = 8 };

typedef struct Step {
    ShapeId shape;      /* its `takes` */
    uint32_t first, count; /* its effects */
    Name role;
    NodeId line;
} Step;

/* One line of a procedure or of a step made of steps, its arguments sorted out. */
typedef struct Call {
    uint32_t step;
    NodeId line;
    uint32_t arguments; /* in world.arguments, one for each `takes` in order; 0: left out */
    uint32_t branch;    /* the condition around it, 0: none */
    NodeId when;
} Call;

typedef struct Branch { NodeId condition; uint32_t outer; bool otherwise; } Branch;

/* ---- papers ---- */

typedef struct Vary { Name name; Type type; NodeId line; NodeId first; uint32_t count; } Vary;

typedef struct FurnishLine {
    ThingId material;
    Name name;          /* of its stream */
    NodeId share;
    NodeId when;        /* the condition behind its line; 0: none */
    NodeId line;
    uint32_t branch;
} FurnishLine;

typedef struct Paper {
    ThingId thing;      /* title, grammage … are its values */
    NodeId line;
    uint32_t vary, vary_count;
    uint32_t furnish, furnish_count;
    uint32_t calls, call_count;
    uint32_t lets, let_count;
    uint32_t expects, expect_count; /* in world.checks */
    bool unfit;         /* a mistake in it: it is not walked */
    bool furnish_broken; /* a stream that is not there may be in a line that could not be read */
} Paper;

/* ---- rules and claims ---- */

/* each NAME from SET when COND */
typedef struct Each { NodeId set, when, line; uint16_t slot; } Each;

typedef enum Judged { JUDGED_TYPICAL, JUDGED_WORST, JUDGED_BEST } Judged;

/* require COND, severity …, judged at …; of a claim: needs COND else TEXT */
typedef struct Requirement {
    NodeId line, condition, when;
    NodeId severity;    /* a word; 0: error */
    NodeId otherwise;   /* the text behind `else` */
    uint8_t judged;
    uint64_t asks, when_asks; /* the lets of its rule that its condition, and its `when`, rest on, as bits */
} Requirement;

/* says, mend and wording: of several the first whose condition holds. */
typedef struct Sentence { Name head; NodeId text, otherwise, when; } Sentence;

/* asks: the lets in front of it on which it rests, as bits by their number within the rule */
typedef struct RuleLet { NodeId value; uint16_t slot; uint64_t asks; } RuleLet;

typedef struct Rule {
    Name name;
    NodeId line;
    ThingId claim;      /* the claim that this proves; 0: a rule */
    uint32_t each, each_count;
    uint32_t lets, let_count;
    uint32_t require, require_count;
    uint32_t sentence, sentence_count;
    uint32_t marked, marked_count;  /* in world.marked: what its `marks` name */
    Name change;        /* the parameter that a proposal moves; 0: none */
    NodeId change_of, change_range;
    NodeId because, source; /* texts */
    NodeId fails, mended;   /* lines with blocks */
    uint32_t marks;     /* practice, memory: where its limit comes from */
    uint16_t slots;
    uint16_t texts;     /* the first of the places of the frame for the texts below */
} Rule;

/* More of either is said where the rule is read, so that nothing of it is passed over. */
enum { REQUIREMENTS_OF_RULE = 16, NAMES_OF_RULE = 96 };

enum { RULE_FOUND, RULE_LIMIT, RULE_NEEDED, RULE_NOW, RULE_MATERIAL, RULE_STEP, RULE_TEXTS };

/* accept RULE, because "…", signed "…", until DATE */
typedef struct Acceptance { uint32_t rule, paper; NodeId line, because, by, until; } Acceptance;

/* ---- documents ---- */

/* A document, or a section that stands by itself: its lines are gone through when it is made. */
typedef struct Plan {
    Name name;
    NodeId line;
    uint16_t slots;     /* of its frame */
    bool section;
    bool broken;        /* a mistake in it was said: it is not made */
} Plan;

/* document NAME from stdlib: leave-out SECTION; put SECTION before SECTION */
typedef struct PlanChange {
    uint32_t plan;      /* the document */
    Name section;       /* that is left out, or put elsewhere */
    Name beside;        /* 0: left out */
    bool behind;        /* after it, and not before */
    NodeId line;
} PlanChange;

/* measured FIGURE, VALUES, to "METHOD": what was found on the sheets of a batch. */
typedef struct MeasuredLine { uint32_t batch, figure; NodeId values, method, line; } MeasuredLine;

typedef struct Check { NodeId line; NodeId figure, wanted; uint32_t paper; bool note; } Check;

typedef struct Batch {
    Name name;
    uint32_t paper;
    ThingId mill;
    NodeId sheets, sure, start, note, paper_line;
    NodeId packed, good, retree; /* what came of it */
    bool unfit;
    uint32_t choices;   /* in world.choices: one node for each vary of the paper, 0: not told */
    NodeId line;
} Batch;

/* ---- what a node stands for ---- */

typedef enum Bound {
    BOUND_NOTHING,
    BOUND_SLOT,     /* a place in the frame */
    BOUND_SELF,     /* an attribute of the subject whose formula this is: FieldId */
    BOUND_PART,     /* DOT: FieldId */
    BOUND_THING,    /* ThingId */
    BOUND_WORD,     /* Name */
    BOUND_MARK,     /* FieldId of a mark */
    BOUND_VARY,     /* its place */
    BOUND_LET,
    BOUND_FIGURE,
    BOUND_GIVEN,    /* a name that steps give: Name */
    BOUND_HELD,     /* the paper's own, or the first of the mill's things of a shape */
    BOUND_HELD_NAMED, /* the mill's thing of that Name */
    BOUND_ROOT,     /* paper, mill, batch: ShapeId */
    BOUND_SUBJECT,  /* stuff, sheet, count: ShapeId */
    BOUND_STREAM,   /* a furnish line's Name */
    BOUND_SET,      /* the KNOWN name of a set */
    BOUND_TABLE,
    BOUND_FUNCTION, /* its KNOWN name */
    BOUND_CORE,     /* the KNOWN name of what the program works out itself */
    BOUND_WORD_OF,  /* IS: whether the thing is, in any way, the word that stands on the right */
    BOUND_STEP_PART, /* DOT on a step that was done: the Name of the part; IS: that of the step */
    BOUND_NUMBER_PART /* .aim .low .high .typical .length .width */
} Bound;

#define BIND(bound, index) ((uint32_t)(bound) << 27 | (uint32_t)(index))
#define BOUND_OF(binding) ((Bound)((binding) >> 27))
#define BOUND_INDEX(binding) ((binding) & 0x07FFFFFFu)

typedef struct World {
    Memory *memory;
    Arena *scratch;
    Messages *messages;

    Names names;
    Sources sources;
    Tree tree;
    LIST(Type) types;        /* of each node that is an expression, by NodeId */
    LIST(uint32_t) bindings; /* what it stands for, by NodeId */
    LIST(double) converted;  /* of each number of the tree: its value in base units */

    LIST(Kind) kinds;
    LIST(Expansion) expansions;
    LIST(uint32_t) expansion_places; /* a table by hash, of places in expansions; as many as a power of two */
    LIST(KindId) nameless;           /* of each expansion the kind that nobody declared; 0: none yet */
    LIST(KindProduct) products; /* a table by hash, remembered multiplications */
    LIST(Basis) bases;
    LIST(Unit) units;
    LIST(UnitId) unit_by_name;  /* by Name */

    LIST(Shape) shapes;
    LIST(Field) fields;
    LIST(Name) words;
    LIST(Thing) things;
    LIST(ThingValue) values;
    LIST(Let) lets;
    LIST(Figure) figures;
    LIST(Local) locals;
    LIST(Table) tables;
    LIST(Row) rows;
    LIST(Step) steps;
    LIST(Effect) effects;
    LIST(Call) calls;
    LIST(Branch) branches;
    LIST(NodeId) arguments;
    LIST(Paper) papers;
    LIST(Vary) varies;
    LIST(FurnishLine) furnish;
    LIST(Check) checks;
    LIST(Rule) rules;          /* claims among them */
    LIST(Each) eachs;
    LIST(RuleLet) rule_lets;
    LIST(Requirement) requirements;
    LIST(Sentence) sentences;
    LIST(NodeId) marked;
    LIST(Acceptance) acceptances;
    LIST(Batch) batches;
    LIST(NodeId) choices;
    LIST(Plan) plans;
    LIST(PlanChange) plan_changes;
    LIST(MeasuredLine) measured;
    LIST(NodeId) replaced;     /* `replace` lines and tables that are added to */
    LIST(Sensitive) sensitive; /* a later line of the same value stands for an earlier one */
    LIST(NodeId) abouts;       /* every ABOUT node; its binding is its place here */
    LIST(uint8_t) given_needed; /* by Name: an effect or the solver asks for what steps give */
    LIST(uint32_t) declared;   /* by Name * DECLARED_SPACES + space: what it names there */
    LIST(Type) element_types;
    LIST(Name) given;          /* names that steps give, each once */
    LIST(Type) given_types;    /* beside it */

    uint32_t unknown;          /* Figure that `solve` seeks; 0: none */
    NodeId solve_line;
    uint32_t solved_figure;    /* Figure that must meet solve_aim */
    NodeId solve_aim;
    NodeId parcels_at_most;
    FieldId fibre_field;       /* the attribute of a stream of the unknown's kind */
    bool use_broken;           /* a script that is used could not be read: names may be in it */
    bool steps_ask_bill;       /* a step asks for the bill: it is shown that of the walk before */

} World;

/* ---- spaces of names ---- */

typedef enum Space {
    SPACE_SHAPE,
    SPACE_STEP,   /* place in steps */
    SPACE_KIND,
    SPACE_VALUE,  /* things, lets, figures, tables: a binding */
    SPACE_HELD,   /* the first thing of the name that a mill holds */
    SPACE_PAPER,  /* place in papers */
    SPACE_RULE,   /* place in rules */
    SPACE_DOCUMENT, /* place in plans */
    SPACE_SECTION,  /* place in plans */
    DECLARED_SPACES
} Space;

/* What a name stands for when its own line could not be read: silence. */
#define WORLD_BROKEN 0xFFFFFFFFu

/* What NAME names in SPACE, 0: nothing. */
uint32_t world_declared(const World *world, Space space, Name name);
void world_declare(World *world, Space space, Name name, uint32_t what);

/* ---- types of values ---- */

typedef enum TypeSort {
    TYPE_UNKNOWN, /* rests on a mistake: silence */
    TYPE_NUMBER,  /* KindId */
    TYPE_BAND,    /* a range or a tolerance of a KindId */
    TYPE_THING,   /* ShapeId: a thing, a subject, an item of a set */
    TYPE_WORD,    /* FieldId whose words it may be */
    TYPE_TEXT,
    TYPE_TRUTH,
    TYPE_LIST,    /* place in element_types */
    TYPE_SET,     /* ShapeId of its items */
    TYPE_SIZE,    /* KindId of its sides */
    TYPE_ABSENT,  /* the word none */
    TYPE_STEP     /* a step that was done: the Name of its role or of the step itself; 0: any */
} TypeSort;

/* TYPE_SET's index where its items are steps. */
enum { SET_OF_STEPS = 0x03FFFFFF };

#define TYPE(sort, index) ((Type)(sort) << 26 | (Type)(index))
#define TYPE_SORT(type) ((TypeSort)((type) >> 26))
#define TYPE_INDEX(type) ((type) & 0x03FFFFFFu)

void world_open(World *world, Memory *memory, Arena *scratch, Messages *messages);

static inline const Node *world_node(const World *world, NodeId id) { return &world->tree.nodes.at[id]; }
static inline Span world_span(const World *world, NodeId id) { return tree_span(&world->tree, id); }
static inline const char *world_text(const World *world, Name name) { return names_text(&world->names, name); }

/* NAME's text, copied so that it stays while names are added. */
const char *world_word(World *world, Name name);

/* What the user wrote at NODE, copied. */
const char *world_written(World *world, NodeId node);

/* What a type is called in a message: "a mass", "a material", "a text". */
const char *world_type_text(World *world, Type type);

/* The nearest of COUNT names to NAME for "Did you mean", 0: none is near. */
Name world_nearest(World *world, Name name, Space space);

/* Says that a BLOCK ("paper") has no line with the HEAD that stands AT, and what helps. */
Message *world_say_unknown_line(World *world, Span at, const char *block, const char *head, const char *remedy);

/* LISTED ("", "a", "a, b") and one WORD more; the last is joined by `or`. */
const char *world_one_more(World *world, const char *listed, const char *word, bool last);

/* Puts NEAREST, where there is one, into MESSAGE as what to write at AT. */
void world_mend(World *world, Message *message, Span at, Name nearest);

/* Where an unknown NAME is to be said: at USE; or, where the only near name NEAREST is declared by the user and asked for
 * nowhere, at its declaration, which then is what was misspelt. */
Span world_blame(World *world, Name nearest, NodeId use);

/* "Did you mean X?" or "". */
const char *world_guess(World *world, Name name, Space space);

#endif
