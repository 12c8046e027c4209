/* The steps of a procedure, as whoever stands there needs them: the danger first, then what
 * to do, what to read, and where work stops until somebody signs. */
#include "documents/maker.h"

#include "meaning/document_lines.h"
#include "meaning/line.h"

static void add_cautions(Maker *maker, const StepOutcome *step)
{
    for (uint32_t i = 0; i < step->caution_count; i++) {
        const Caution *caution = &step->cautions[i];
        DocumentNode *node = document_add(maker->document, DOCUMENT_CAUTION, caution->signal == NULL ? "caution" : caution->signal, caution->says);
        document_hint(maker->document, node, caution->wear);
    }
}

/* What is read, beside what is expected; then what must be signed, each by itself. */
static void add_readings(Maker *maker, NodeId line, const StepOutcome *step)
{
    Document *document = maker->document;
    bool any = false;
    maker_close_group(maker);
    for (uint32_t i = 0; i < step->read_count; i++) {
        if (!step->reads[i].is_signed) {
            if (!any) {
                document_enter(document, DOCUMENT_FIELDS, NULL, NULL);
            }
            any = true;
            document_field(document, 0, step->reads[i].what, step->reads[i].expected);
        }
    }
    if (any) {
        document_leave(document);
    }
    for (uint32_t i = 0; i < step->read_count; i++) {
        if (step->reads[i].is_signed) {
            document_enter(document, DOCUMENT_HOLD, maker_text(maker, line, 0), maker_text(maker, line, 1));
            document_field(document, 0, step->reads[i].what, step->reads[i].expected);
            document_field(document, DOCUMENT_LONG, maker_text(maker, line, 2), NULL);
            document_leave(document);
        }
    }
}

static void line_of_step(Maker *maker, NodeId line, void *with)
{
    if (line_head(maker->world, line) == KNOWN_readings) {
        add_readings(maker, line, with);
    } else {
        maker_line(maker, line, NULL);
    }
}

static void has_readings(Maker *maker, NodeId line, void *with)
{
    bool *has = with;
    *has = *has || line_head(maker->world, line) == KNOWN_readings;
}

static void step_of_item(Maker *maker, NodeId line, void *with)
{
    (void)with;
    Document *document = maker->document;
    NodeId each = document_line_each(maker->world, line);
    Value item = maker->frame->slots[BOUND_INDEX(maker->world->bindings.at[each])];
    uint32_t place = run_told_index(item.thing);
    if (REF_SORT(item.thing) != REF_TOLD || place >= maker->outcome->step_count) {
        return;
    }
    StepOutcome *step = &maker->outcome->steps[place];
    maker_enter(maker, DOCUMENT_KEEP, NULL, NULL);
    add_cautions(maker, step);
    DocumentNode *tick = document_add(document, DOCUMENT_TICK, arena_print(document->arena, "%u", step->number), step->step);
    tick->level = 3;
    document_hint(document, tick, step->tell_count > 0 ? step->tells[0] : NULL);
    for (uint32_t i = 1; i < step->tell_count; i++) {
        document_add(document, DOCUMENT_PARAGRAPH, NULL, step->tells[i]);
    }
    maker_lines(maker, line, line_of_step, step);
    maker_leave(maker);
}

/* Cautions, readings and signatures are no matter of layout: a script cannot leave them out. */
void maker_steps(Maker *maker, NodeId line)
{
    bool readings = false;
    maker_lines(maker, line, has_readings, &readings);
    if (!readings) {
        maker->trouble = "A block steps lacks its line readings: what must be read and signed would be lost. Add one.";
        return;
    }
    maker_each(maker, line, step_of_item, NULL);
}
