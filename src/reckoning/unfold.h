/* Unfolding one value into parts; shared by the files that do it. */
#ifndef WATERLEAF_RECKONING_UNFOLD_H
#define WATERLEAF_RECKONING_UNFOLD_H

#include "reckoning/trace.h"
#include "reckoning/why.h"

/* Goes through LIST, each item in turn as ITEM; nothing may be added meanwhile. */
#define LIST_EACH(Type, item, list) for (Type *item = (list)->at; item != (list)->at + (list)->count; item++)

enum { DECIMALS_NEEDED = -1 }; /* as many as four digits ask for */

enum { UNFOLD_DEPTH = 24, UNFOLD_PARTS = 600, UNFOLD_CHOICES = 16 };

/* What was explained already: a formula worked out to a value, or what an event did. */
typedef struct Explained { uint32_t what, of, self; double value; } Explained;

typedef struct Unfold {
    Run *run;
    World *world;
    Trace *trace;
    unsigned depth; /* 0: all the way */
    uint32_t parts;
    LIST(Explained) explained;
    uint32_t choices[UNFOLD_CHOICES]; /* notes of what the vary lines were chosen to be */
} Unfold;

/* What is explained, beside formulas by their nodes: why an event did what it did, where a mass was left by it, an attribute that
 * passed on, all of a material, what the program works out itself. */
enum { TOLD_EVENT = 0x40000000, TOLD_MASS = 0x48000000, TOLD_PASSED = 0x50000000, TOLD_BILL = 0x58000000, TOLD_CORE = 0x60000000,
       TOLD_UNKNOWN = 0x68000000 };

/* What a value was made from. */
typedef struct Made {
    uint32_t note;     /* of the formula, or of what was typed; 0: nothing */
    NodeId line;       /* where it is declared: its source and marks */
    uint32_t marks;
    bool left_out;     /* it is what a script says for the case that nothing is told */
    bool is_declared;  /* a figure, or what a step gives: shown as it says */
    UnitId unit;
    int decimals;
    const Effect *effect; /* that gave or set it */
    uint32_t call;        /* and on which line of the procedure */
} Made;

/* ---- unfold.c: the walk ---- */

static inline const TraceNote *unfold_note(const Unfold *unfold, uint32_t note) { return &unfold->trace->notes.at[note]; }

/* A new part of PARENT. */
WhyPart *unfold_part(Unfold *unfold, WhyPart *parent, const char *figure, const char *shown, double value);

/* NOTE as a part of PARENT, LEVEL parts deep. */
void unfold_value(Unfold *unfold, WhyPart *parent, uint32_t note, unsigned level);

/* The same under another name; what LINE says of it where it stands there itself. NOTE may be 0: then all of it. */
void unfold_named(Unfold *unfold, WhyPart *parent, uint32_t note, const char *name, NodeId line, unsigned level);

/* PART was made by the formula at MADE's note. */
void unfold_formula(Unfold *unfold, WhyPart *part, const Made *made, unsigned level);

/* The parts of the formula at NOTE that have values of their own, as parts of PARENT. */
void unfold_leaves(Unfold *unfold, WhyPart *parent, uint32_t note, unsigned level);

/* Whether parts at LEVEL are too deep, or there are too many. */
bool unfold_ends(const Unfold *unfold, unsigned level);

/* Whether that was explained before; from now on it was. */
bool unfold_told(Unfold *unfold, uint32_t what, uint32_t of, uint32_t self, double value);

/* The same of what is there once, whatever it is worth; or once with each value. */
static inline bool unfold_told_of(Unfold *unfold, uint32_t what, uint32_t of) { return unfold_told(unfold, what, of, 0, 0); }
static inline bool unfold_told_value(Unfold *unfold, uint32_t what, uint32_t of, double value)
{
    return unfold_told(unfold, what, of, 0, value);
}

/* The same of a value at NOTE. */
bool unfold_told_note(Unfold *unfold, uint32_t note);

/* PART stands at NODE; what LINE says of its source, and MARKS. */
void unfold_set_place(Unfold *unfold, WhyPart *part, NodeId node, NodeId line, uint32_t marks);

/* PART was typed at NODE, or left out. */
void unfold_end_typed(Unfold *unfold, WhyPart *part, NodeId node, const Made *made);

/* The note of NODE among FIRST to END, the last; or right under NOTE. 0: none. */
uint32_t unfold_find(const Unfold *unfold, NodeId node, uint32_t first, uint32_t end);
uint32_t unfold_child(const Unfold *unfold, uint32_t note, NodeId node);

/* ---- unfold_ends.c: tables, what is sought, the order ---- */

/* What the program seeks itself, or is told by the order: as a part of PARENT, or into PART. */
void unfold_core(Unfold *unfold, WhyPart *parent, Name core, const char *name, double value, unsigned level);
void unfold_fill_core(Unfold *unfold, WhyPart *part, Name core, uint32_t note, unsigned level);

/* The fibre in a sheet, which is sought so that a figure meets its aim. */
void unfold_solved(Unfold *unfold, WhyPart *part, unsigned level);

/* The row of a table, or the two between which it lies. */
void unfold_table(Unfold *unfold, WhyPart *part, uint32_t note, unsigned level);

/* ---- unfold_words.c: the words ---- */

/* What was written from START to END, in one line. */
const char *unfold_written(Unfold *unfold, uint32_t start, uint32_t end);
const char *unfold_formula_text(Unfold *unfold, NodeId node);

/* The formula with numbers in place of its names. */
const char *unfold_with_numbers(Unfold *unfold, uint32_t note);

/* The value of a note, as it is declared or was typed. */
const char *unfold_shown(Unfold *unfold, uint32_t note);

/* How a value is called: "stuff.fibre", "lignin of MATERIAL". */
const char *unfold_name(Unfold *unfold, uint32_t note);

/* The step of a line of the procedure, and the line: "form in line 35". */
const char *unfold_step(Unfold *unfold, uint32_t call);

/* ---- unfold_made.c: where values come from ---- */

/* What the name, part or call at NOTE was made from. False: nothing that was worked out. */
bool unfold_made(Unfold *unfold, uint32_t note, Made *made);

/* The thing or subject whose part NOTE asks for, and the field; false: it asks for none. */
bool unfold_asked(Unfold *unfold, uint32_t note, uint32_t *ref, FieldId *field);

/* The attribute FIELD of REF, asked for at NOTE. */
bool unfold_attribute(Unfold *unfold, uint32_t note, uint32_t ref, FieldId field, Made *made);

/* The last event in front of NOTE that changed the attribute, and the change. NULL: none. */
const TraceChange *unfold_change(const Unfold *unfold, uint32_t subject, uint32_t slot, uint32_t note, const TraceEvent **event);

bool unfold_is_over_set(const World *world, NodeId call);
bool unfold_is_plain(const World *world, NodeId node);

/* ---- unfold_flow.c: what became of masses and counts on their way ---- */

/* Fills PART with what became of MATERIAL in SUBJECT up to NOTE. */
void unfold_content(Unfold *unfold, WhyPart *part, uint32_t subject, ThingId material, uint32_t note, unsigned level);

/* An attribute of a subject that no formula alone made: shared out, joined, passed on. */
void unfold_passed(Unfold *unfold, WhyPart *part, uint32_t subject, FieldId field, uint32_t note, unsigned level);

/* The sheets that are left at NOTE. */
void unfold_sheets(Unfold *unfold, WhyPart *part, uint32_t note, unsigned level);

/* What EVENT did to MATERIAL, as a part of PARENT; BEFORE: so many streams that began with the same are left out. */
void unfold_event(Unfold *unfold, WhyPart *parent, const TraceEvent *event, ThingId material, uint32_t before, unsigned level);

/* Why it did so: its amount, and what that rests on, once; false: that was told before. */
bool unfold_causes(Unfold *unfold, WhyPart *part, const TraceEvent *event, uint32_t subject, unsigned level);

/* The note of its amount, 0: it is told none; its line in the step; a mass. */
uint32_t unfold_amount(const Unfold *unfold, const TraceEvent *event);
const Effect *unfold_effect(const Unfold *unfold, const TraceEvent *event);
const char *unfold_mass_text(Unfold *unfold, double mass);

/* A value that no line of a script stands for. */
static inline const char *unfold_plain_text(Unfold *unfold, Value value, Type type) { return run_shown(unfold->run, NULL, 0, value, type); }

/* A number of sheets, which need not be whole. */
const char *unfold_count_text(Unfold *unfold, double count);

/* The share of a line of the furnish. */
void unfold_share(Unfold *unfold, WhyPart *part, uint32_t stream, unsigned level);

/* What stays of an addition; of all additions of MATERIAL to what the sheet is made of. */
Made unfold_retention_made(Unfold *unfold, const TraceEvent *event, ThingId material);
void unfold_retentions(Unfold *unfold, WhyPart *part, ThingId material, unsigned level);

/* ---- unfold_ledger.c: the bill, the additions, the ledger ---- */

/* An item of the bill, an addition: its mass, dose, retention. */
void unfold_item(Unfold *unfold, WhyPart *part, uint32_t ref, Name field, unsigned level);

/* The entries of the ledger that the sum at NOTE took, by what they were. */
void unfold_ledger(Unfold *unfold, WhyPart *part, uint32_t note, NodeId expression, unsigned level);

#endif
