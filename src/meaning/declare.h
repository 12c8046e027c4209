/* Declaring: what the lines of scripts add to the world.
 *
 * All scripts that belong together are declared in one go, pass by pass, so
 * that the order of lines and of scripts does not matter: first names, then
 * kinds and units, then what may be held, then things, and at last every
 * expression is settled.
 */
#ifndef WATERLEAF_MEANING_DECLARE_H
#define WATERLEAF_MEANING_DECLARE_H

#include "meaning/settle.h"

/* What was there before this lot of scripts: the rest is theirs. */
typedef struct Lot {
    World *world;
    uint32_t first_source;
    uint32_t kinds, units, shapes, fields, things, lets, figures, tables, steps, papers, batches, rows, rules, plans;
} Lot;

/* Declares and settles all scripts from number FIRST_SOURCE on. What is wrong
 * is said; the world is whole afterwards, and papers with a mistake are marked unfit. */
void declare_scripts(World *world, uint32_t first_source);

/* Calls VISIT for each line at the top of each script of the lot. */
void declare_each_line(Lot *lot, void (*visit)(Lot *lot, NodeId line));

/* Declares NAME in SPACE as WHAT; a name that is taken is said, with the other place. */
void declare_name(World *world, Space space, Name name, uint32_t what, NodeId at);

/* The NAME that is the first part of LINE; 0, and a message, where there is none. */
Name declare_first_name(World *world, NodeId line, const char *noun);

/* The same where behind the name stands nothing, or a word such as `of`, or a comma: a name or number there is said, as the second
 * half of a name in two words; names are read as joined by hyphens. */
Name declare_only_name(World *world, NodeId line, const char *noun);

/* Says what stands behind the FIRST part of LINE, as declare_only_name does; the name that was meant. */
Name declare_whole_name(World *world, NodeId line, NodeId first, Name name);

/* The type behind `as` or `one-of`: PART is the part behind it. *LIMITED: the class asked for. */
Type declare_type(World *world, NodeId part, Name *limited);

/* NAME is silent from now on: what rests on it was said already. Of a line: its head and its names. */
void declare_silence(World *world, Name name);
void declare_silence_line(World *world, NodeId line);

/* Whether every line of the block at LINE could be read: else nothing is missing for certain. */
bool declare_block_is_whole(const World *world, NodeId line);

/* ---- by subject ---- */
void declare_mend_top(Lot *lot, NodeId line);           /* mend_heads.c */
void declare_mend_blocks(Lot *lot, NodeId line);
void declare_kind_name(World *world, NodeId line);      /* declare_kinds.c */
void declare_kind(World *world, KindId kind);
void declare_shown(World *world, KindId kind);
void declare_basis(World *world, NodeId line);
void declare_unit_name(Lot *lot, NodeId line);
void declare_unit(World *world, UnitId unit);

void declare_shape_name(World *world, NodeId line);     /* declare_shapes.c */
void declare_shape_parent(World *world, NodeId line);
void declare_fields(World *world, NodeId line);
void declare_take(World *world, ShapeId shape, NodeId line);
void declare_settle_fields(Lot *lot);
FieldId declare_add_field(World *world, ShapeId shape, Field field);

void declare_thing(World *world, NodeId line, ShapeId shape); /* declare_things.c */
void declare_held(World *world, ThingId holder);
void declare_settle_things(Lot *lot);
void declare_thing_values(Scope *scope, ThingId thing);

void declare_let_name(World *world, NodeId line);       /* declare_figures.c */
void declare_figure_name(World *world, NodeId line);
void declare_solve(World *world, NodeId line);
void declare_table_name(World *world, NodeId line);
/* `shown in UNIT, N decimals`: -1 decimals where they are not told. */
void declare_read_shown(World *world, NodeId line, UnitId *unit, int16_t *decimals);
void declare_let(World *world, uint32_t let);
void declare_figure(World *world, uint32_t figure);
void declare_table(World *world, uint32_t table);
void declare_settle_figures(Lot *lot);
void declare_settle_let(Scope *scope, uint32_t let);

void declare_step_name(World *world, NodeId line);      /* steps.c */
void declare_step(World *world, uint32_t step);
void declare_settle_steps(Lot *lot);
void declare_mark_needed(World *world);                 /* needed.c */
void declare_ages_of_step(World *world, uint32_t step);   /* ages.c */
void declare_ages_of_paper(World *world, uint32_t paper);
void declare_rings(Lot *lot);                           /* rings.c */

void declare_paper_name(World *world, NodeId line);     /* papers.c */
void declare_paper(World *world, uint32_t paper);
void declare_batch_name(World *world, NodeId line);
void declare_batch(World *world, uint32_t batch);
void declare_settle_paper(World *world, uint32_t paper);
/* A line of a batch that tells what came of it: packed, good, retree, measured. */
void declare_outcome_of_batch(World *world, uint32_t batch, NodeId line); /* measured.c */

/* Whether HEAD is a line that a paper has of itself: all others are its attributes. */
bool declare_is_paper_line(Name head);

void declare_rule_name(World *world, NodeId line);      /* declare_rules.c */
void declare_settle_rules(Lot *lot);
void declare_acceptance(World *world, uint32_t paper, NodeId line);
/* Reads LINE, a rule's declaration or what replaces it, into the rule of that number. */
void declare_rule(World *world, uint32_t rule, NodeId line);

void declare_plan_name(World *world, NodeId line);      /* declare_documents.c */
void declare_settle_documents(Lot *lot);
/* Whether LINE is `document NAME from stdlib:`, whose lines change another document. */
bool declare_changes_document(const World *world, NodeId line);

void declare_replacements(Lot *lot);
void declare_rule_replacements(Lot *lot);                    /* replace.c */

#endif
