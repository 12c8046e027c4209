/* What `why` is made of: the values of expressions, noted while a paper is
 * walked once more. Without a trace nothing is noted. */
#ifndef WATERLEAF_RECKONING_TRACE_H
#define WATERLEAF_RECKONING_TRACE_H

#include "reckoning/run.h"

typedef struct TraceNote {
    NodeId node;     /* the expression; 0: an attribute */
    FieldId field;
    uint32_t of;     /* whose attribute */
    uint32_t call;   /* the line of the procedure during which */
    Value value;
} TraceNote;

typedef struct Trace {
    LIST(TraceNote) notes;
    bool full;
} Trace;

enum { TRACE_MOST = 400000 };

void trace_note(Run *run, NodeId node, Value value);
void trace_attribute(Run *run, FieldId field, uint32_t of, Value value);

#endif
