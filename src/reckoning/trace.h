/* What `why` is made of, noted while a paper is walked once more: the values of
 * expressions with what each was worked out from, and what every effect of a
 * step changed. Without a trace nothing is noted.
 */
#ifndef WATERLEAF_RECKONING_TRACE_H
#define WATERLEAF_RECKONING_TRACE_H

#include "reckoning/run.h"

/* One expression worked out. What it was worked out from stands right in front of it, from `first` on. */
typedef struct TraceNote {
    NodeId node;      /* an EACH: the item of a set that is gone to next */
    uint32_t first;
    uint32_t origin;  /* of a name in a frame: the note of the value that was put there; 0: none was */
    uint32_t self;    /* whose attributes stand bare */
    uint32_t within;  /* the line whose step's frame it was worked out in; 0: no step's */
    Value value;
} TraceNote;

/* One effect done. */
typedef struct TraceEvent {
    uint32_t effect;  /* place in world.effects */
    bool begins;      /* none: the streams began */
    uint32_t call;    /* the line of the procedure, 0 where the streams began */
    uint32_t within;  /* the line whose effect it is: the same, or one of a step made of steps */
    uint32_t first, end;               /* the notes taken during it */
    uint32_t ledger, ledger_end;       /* what it added to the lists */
    uint32_t additions, additions_end;
    uint32_t changes, changes_end;
    double left_before, left;          /* sheets */
    double fibre[SUBJECTS];            /* of each subject before it, where it joins, makes or holds back */
    uint32_t joined;                   /* the streams that became stuff by it, as bits */
} TraceEvent;

/* What an event changed: the mass of a material in a subject, or an attribute of it. */
typedef struct TraceChange {
    uint32_t subject;
    ThingId material; /* 0: an attribute */
    uint32_t slot;    /* the attribute's */
    Value before, after;
} TraceChange;

typedef struct TraceKept { const Value *slot; uint32_t note; } TraceKept;

typedef struct Trace {
    LIST(TraceNote) notes; /* [0] is a blank */
    LIST(TraceEvent) events;
    LIST(TraceChange) changes;
    LIST(TraceKept) kept;  /* which note the value in a place of a frame comes from */
    Subject *before;       /* the subjects as they were before the effect at hand */
    TraceEvent now;
    bool full;
} Trace;

enum { TRACE_MOST = 400000 };

void trace_open(Trace *trace, Run *run);
void trace_close(Trace *trace, Run *run);

/* NODE was worked out in FRAME to VALUE, from the notes since FIRST. */
void trace_note(Run *run, const Frame *frame, NodeId node, uint32_t first, Value value);

/* A set is gone through, and ITEM is next. */
void trace_item(Run *run, NodeId each, uint32_t item);

/* The last value that was worked out was put into SLOT of a frame; or nothing stands in COUNT of them. */
void trace_keep(Run *run, const Value *slot);
void trace_forget(Run *run, const Value *slots, uint32_t count);

/* The streams began; an effect begins, and is done. */
void trace_streams(Run *run);
void trace_before(Run *run, const Effect *effect);
void trace_after(Run *run, const Effect *effect, uint32_t within);

#endif
