/* Noting values for `why`. */
#include "reckoning/trace.h"

static void add(Run *run, TraceNote note)
{
    Trace *trace = run->trace;
    if (trace->notes.count >= TRACE_MOST) {
        trace->full = true;
        return;
    }
    list_push(run->memory, &trace->notes, note);
}

void trace_note(Run *run, NodeId node, Value value)
{
    add(run, (TraceNote){.node = node, .call = run->call, .value = value});
}

void trace_attribute(Run *run, FieldId field, uint32_t of, Value value)
{
    if (run->trace != NULL) {
        add(run, (TraceNote){.field = field, .of = of, .call = run->call, .value = value});
    }
}
