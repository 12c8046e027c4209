/* One paper being worked out: its settled values, what its procedure works on,
 * and what the walks bring.
 *
 * A run belongs to one variant of one paper for one mill. Its arena is emptied
 * before the next variant begins, so memory does not grow with their number.
 */
#ifndef WATERLEAF_RECKONING_RUN_H
#define WATERLEAF_RECKONING_RUN_H

#include "base/limits.h"
#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/settle.h"
#include "meaning/unit.h"
#include "meaning/world.h"

/* A value: its kind is known from where it stands. What is not told has no number and the mark. */
typedef struct Value {
    double number;
    uint32_t thing; /* a Ref, a Name of a word, or a place in one of the run's lists */
    uint32_t marks; /* MARK_… and VALUE_ABSENT */
} Value;

#define VALUE_ABSENT 0x80000000u
/* A rounded number is in it (loads, whole sheets): it may reach water, volumes and times, but no material's mass. */
#define VALUE_ROUNDED 0x40000000u

/* What a thing-value points at. */
typedef enum RefSort { REF_THING, REF_SUBJECT, REF_CONTENT, REF_BILL, REF_ADDITION, REF_LEDGER, REF_PARCEL, REF_NUMBER, REF_STEP, REF_MET, REF_TOLD } RefSort;
#define REF(sort, index) ((uint32_t)(sort) << 28 | (uint32_t)(index))
#define REF_SORT(ref) ((RefSort)((ref) >> 28))
#define REF_INDEX(ref) ((ref) & 0x0FFFFFFFu)

enum {
    RUN_STREAMS = 16,    /* furnish lines at the most */
    RUN_CONTENTS = 32,   /* materials in one subject at the most */
    RUN_SLOTS = SCOPE_SLOTS, /* places of one frame at the most */
    RUN_DEPTH = 400,     /* formulas within formulas */
    RUN_NUMBERS = 5000,  /* items of numbers(N) at the most */
    SUBJECT_STUFF = 0, SUBJECT_SHEET = 1, SUBJECT_STREAMS = 2,
    SUBJECTS = SUBJECT_STREAMS + RUN_STREAMS
};

typedef struct Content {
    ThingId material;
    double mass;        /* oven-dry, active; kg */
    double retention;   /* of what was added; 1 for the furnish */
    uint32_t marks;
    uint32_t step;      /* that added last of it, place in run.done; 0: it came with the furnish */
} Content;

typedef struct Subject {
    ShapeId shape;
    ThingId material;   /* of a stream */
    bool live;
    bool joined;        /* a stream that has become stuff */
    uint64_t mark_bits;
    uint32_t count;
    Content contents[RUN_CONTENTS];
    Value *attributes;  /* by slot of its family; of `gives` what was worked out last */
    uint32_t *versions; /* beside it: at which version of the flow that was */
} Subject;

/* Values of one step, function or formula. */
typedef struct Frame {
    Value *slots;
    uint32_t self;      /* a Ref whose attributes stand bare */
    uint32_t call;      /* place in world.calls; 0: no step */
    struct Frame *outer; /* of a step within a step */
} Frame;

typedef struct BillItem { ThingId material; double mass; bool of_parcel; uint32_t marks; } BillItem;
typedef struct Addition {
    ThingId material; double mass; double retention; uint32_t call; NodeId amount; Value dose; Type dose_type;
    uint32_t step;      /* place in run.done */
    Name into;          /* stream, stuff or sheet */
} Addition;
typedef struct LedgerEntry { ThingId material; double mass; Name way; uint32_t call; } LedgerEntry;

/* A step as it was done in the last walk: what rules ask of it. A step made of steps stands in front of those. */
typedef struct StepDone {
    uint32_t call;        /* place in world.calls */
    uint32_t line;        /* the line of the procedure that led to it, place in world.calls */
    uint32_t outer;       /* the step that it is a part of, place in run.done; 0: none */
    double begins, ends;  /* in base units of time; parts have those of the whole */
    ThingId vessel;       /* in which it was done; 0: none is told */
    Value *values;        /* of its frame when it was done: arguments, gives, lets */
    uint32_t met, met_count; /* what its material met, in run.met */
} StepDone;

/* A material that was there before a step began: in what it works on, or left in its vessel. */
typedef struct Met { ThingId material; double mass; uint32_t step; } Met;

/* What a step left in a vessel. */
typedef struct Residue { ThingId vessel, material; double mass; uint32_t step; } Residue;

typedef struct Given { Value value; uint32_t walk; bool twice; uint32_t effect; } Given; /* effect: the line that gave it, place in world.effects */
typedef struct FigureKept { Value value; uint32_t walk; } FigureKept;
typedef struct Band { double aim, low, high; } Band;

/* Of a line of the procedure: its arguments in a fresh frame, and which effects act in a trial walk and in the last. */
typedef struct ArgumentsKept { uint32_t generation; Value *values; uint64_t acting[2][4]; bool chosen[2]; } ArgumentsKept;
/* All things of a shape and of those within it, in run.shaped; looked for once. */
typedef struct ShapeKept { bool known; uint32_t first, count; } ShapeKept;
/* The place in its frame of what a step takes, gives or lets. */
typedef struct PartKept { uint64_t key; int place; } PartKept;
enum { PARTS_KEPT = 512 };
typedef struct HeldKept { uint32_t generation; ThingId thing; } HeldKept;
typedef struct AttributeKept { uint64_t key; Value value; } AttributeKept;
enum { ATTRIBUTES_KEPT = 1024 };

typedef struct StepRecord StepRecord; /* of the last walk, flow.h */
struct Trace;

/* What is left unrounded, in walks that only feel which way an `about` moves a figure. */
typedef enum Even { EVEN_NOTHING, EVEN_SHEETS, EVEN_ALL } Even;

/* What a document that is being made tells beside the numbers of the run. */
typedef struct Telling {
    const struct Outcome *outcome;
    const char *script;   /* its path, as the user knows it */
    const char *stdlib;   /* its mark */
    const char *page;     /* the name of the page at hand */
} Telling;

typedef struct Run {
    World *world;
    Memory *memory;
    Arena arena;          /* emptied for each variant */
    uint32_t paper, batch;
    ThingId mill;
    ThingId only_mill;    /* that of a paper without a batch: the one mill there is, or none */
    Value choices[LIMIT_VARY_LINES]; /* of the paper's vary lines */
    NodeId chosen[LIMIT_VARY_LINES]; /* where each is written */
    uint32_t generation;  /* changes when settled values may */
    uint64_t walks;       /* all walks so far, of all variants */

    double sheets_good, sure, sheets_formed, parcels;
    double fibre_charge;  /* of one parcel, kg */
    double unknown;       /* the fibre in a sheet, kg */
    double measured;      /* the same where the forming step measures it in and nothing is solved */
    NodeId measured_at;   /* where it says so, 0: it does not; on line measured_call of the procedure */
    uint32_t measured_call;
    double measured_times; /* 1; in trials for a measure that would do, another */
    double formable;      /* sheets that the stuff of this walk would give */
    double stream_share[RUN_STREAMS];
    double stream_gain[RUN_STREAMS]; /* what a stream must begin with, to hold its share when it joins */

    LIST(int8_t) about_ends;   /* by place in world.abouts: -1 low, 0 typical, 1 high */
    LIST(uint8_t) about_used;
    uint32_t *abouts_found;    /* those that this paper asks for */
    uint32_t about_count;

    Subject subjects[SUBJECTS];
    uint32_t stream_count;
    double formed, left;       /* the count */
    bool sheet_made;
    uint32_t walk;             /* number of the walk */
    uint32_t version;          /* changes whenever a subject does */
    uint32_t contents_version; /* changes whenever the contents of one do */
    bool last;                 /* the walk whose numbers are shown */
    Even even;
    bool feeling;              /* only numbers are wanted, for bands and the like: no sentence is made */
    struct StepFill **fills;   /* where the next value in a sentence is noted; NULL: it is not */
    bool judging;              /* only messages are wanted: no sentence, no reading, no list is made */
    uint32_t depth;
    uint32_t evaluations;      /* in this variant so far: past LIMIT_EVALUATIONS it fails */
    uint32_t call;             /* the line of the procedure at hand */
    uint32_t call_number;

    LIST(BillItem) bill, bill_before;
    LIST(Addition) additions, additions_before;
    LIST(LedgerEntry) ledger, ledger_before;
    LIST(StepDone) done;       /* [0] is a blank */
    LIST(Met) met;
    LIST(Residue) residues;
    uint32_t step;             /* the one at hand, place in done */
    double clock;              /* when the line at hand began */
    bool of_parcel;            /* the line at hand began before the sheets were formed */
    bool at_end;               /* the walk is over: the lists are whole */
    LIST(Given) given;         /* by place in world.given */
    LIST(FigureKept) figures;  /* by place in world.figures */
    LIST(Band) bands;
    LIST(const char *) texts;
    LIST(Value) items;         /* of lists */
    AttributeKept *kept;
    ArgumentsKept *arguments;  /* of each line of the procedure */
    LIST(HeldKept) held;       /* by shape */
    LIST(ShapeKept) shapes;    /* by shape */
    LIST(ThingId) shaped;
    PartKept *parts;
    LIST(uint8_t) adds_up;     /* by field: 0 not asked yet, 1 no, 2 yes */
    LIST(FieldId) passing;     /* fields of stuff and sheet that have one name, in pairs */
    StepRecord *records;       /* of the last walk */
    uint32_t record_count;
    struct Trace *trace;
    const Telling *telling;    /* NULL: no document is being made */
    bool failed;               /* a mistake was said that makes the numbers worthless */
} Run;

/* ---- evaluate.c: expressions ---- */

Value run_value(Run *run, Frame *frame, NodeId node);

/* Counts one sum or step, at NODE. Past what may be worked out it says so, once, and gives false. */
bool run_goes_on(Run *run, NodeId node);

/* 1, 0, or not told. */
bool run_holds(Run *run, Frame *frame, NodeId condition);      /* told, and true */
bool run_fails(Run *run, Frame *frame, NodeId condition);      /* told, and false */

/* Equal by the one tolerance that there is: a part in 10^12 of the larger. */
bool run_equal(double one, double other);

/* Whether two values of SORT that are told are the same: a number may drag its tolerance along, which does not count; of a range and of a
 * size both ends do; texts are compared by their letters. */
bool run_same(const Run *run, TypeSort sort, Value one, Value other);

/* Up to the next whole number, with that equality. */
double run_round_up(double number);

Value run_absent(uint32_t marks);
static inline bool run_told(Value value) { return (value.marks & VALUE_ABSENT) == 0; }
static inline Value run_number(double number, uint32_t marks)
{
    return number == number ? (Value){number, 0, marks} : run_absent(marks);
}

Value run_call(Run *run, Frame *frame, NodeId node);           /* calls.c */

/* Calls VISIT for each item of the set at NODE; false from it stops. */
typedef bool RunVisit(Run *run, void *with, uint32_t ref);
void run_each(Run *run, Frame *frame, NodeId set, RunVisit *visit, void *with); /* sets.c */

/* ---- told_items.c: what documents are made of ---- */

/* How many items the set called NAME has. */
uint32_t run_told_count(const Run *run, Name set);
/* The Ref of its first item, behind which the others stand, and back: which item of its set one is. SET is one that only documents have. */
uint32_t run_told_first(Name set);
uint32_t run_told_index(uint32_t ref);
/* A part of such an item. */
Value run_told_part(Run *run, uint32_t ref, const Field *field);
/* What is told of the work at hand: written-for, batch-name, … */
Value run_told_text(Run *run, Name name);
/* low-to-high(FIGURE), how-known, readings-of, method: as texts. */
Value run_told_of_figure(Run *run, Name function, uint32_t figure);
/* TEXT as a value; NULL: it is not told. */
Value run_text_value(Run *run, const char *text);
/* Hours as people say them: "40 min", "7 h 10 min", "3 days". */
const char *run_hours_text(Run *run, double hours);

/* ---- attributes.c ---- */
Value run_attribute(Run *run, uint32_t ref, FieldId field);
bool run_has_mark(Run *run, uint32_t ref, FieldId mark);
/* What is asked of a step that was done, or the step of an addition or of what was met. */
Value run_step_part(Run *run, uint32_t ref, Name part);
/* Whether the thing is called WORD, or bears it as a mark or in one of its fields. */
bool run_is_word(Run *run, uint32_t ref, Name word);
/* The material of a thing, content, item of the bill, addition, entry or what was met; 0: none. */
ThingId run_material(Run *run, uint32_t ref);
/* The thing that stands where only a head is written: the paper's own, or the mill's first. 0: none. */
ThingId run_held(Run *run, ShapeId shape);
ThingId run_held_named(Run *run, Name name);
Value run_figure(Run *run, uint32_t figure);
Value run_figure_of(Run *run, uint32_t figure, uint32_t ref);
Value run_let(Run *run, uint32_t let);

/* ---- shown.c ---- */
/* A text with its values filled in, in the run's arena. */
const char *run_text(Run *run, Frame *frame, NodeId text);
/* VALUE of TYPE as people read it, at NODE's own unit or decimals where it tells them. */
const char *run_shown(Run *run, const Frame *frame, NodeId node, Value value, Type type);
const char *run_number_text(Run *run, double in_base, Type type, UnitId unit, int decimals);
/* How many decimals nobody told: four significant digits. */
enum { DECIMALS_OPEN = -1 };
/* A number alone, as it stands in front of its unit. */
const char *run_plain_number(Run *run, double number, int decimals);
const char *run_band_text(Run *run, Band band, Type type, UnitId unit);
/* The `gives` line that gave what world.given has at INDEX, in this walk; NULL: none did. */
const Effect *run_given_by(const Run *run, uint32_t index);
/* Whether a value of TYPE is a day in the calendar, which is no number to whoever reads it. */
bool run_is_day(const World *world, Type type);
/* How many decimals show DIGITS significant digits of NUMBER. */
int run_decimals(double number, int digits);

/* ---- typed.c: as it was typed ---- */
/* The number that somebody typed for what of a step, thing or addition REF is called NAME: its node, 0: nobody did. */
NodeId run_typed_part(Run *run, uint32_t ref, Name name);
/* The same for what NODE, which is told, asks of one; or the number that stands there itself. */
NodeId run_typed(Run *run, Frame *frame, NodeId node);
/* Its unit, where it is one of TYPE's kind; else 0. */
UnitId run_typed_unit(Run *run, Frame *frame, NodeId node, Type type);

/* ---- say.c ---- */
/* Says a message at the line of the procedure at hand, with stdlib's place as the second. */
Message *run_say(Run *run, MessageName name, NodeId at, const char *one, const char *other);

#endif
