/* Variants and orders. */
#include "reckoning/variant.h"

#include "reckoning/done.h"
#include "reckoning/flow.h"

#include "base/decimal.h"

#include <math.h>
#include <string.h>

/* The mill of a paper without a batch: the only one that is declared. */
static ThingId only_mill(const World *world)
{
    ShapeId mill = settle_shape(world, KNOWN_mill);
    ThingId found = 0;
    for (ThingId id = 1; mill != 0 && id < world->things.count; id++) {
        if (world->things.at[id].shape == mill && world->things.at[id].holder == 0) {
            if (found != 0) {
                return 0;
            }
            found = id;
        }
    }
    return found;
}

void run_open(Run *run, World *world, Memory *memory)
{
    memset(run, 0, sizeof *run);
    run->world = world;
    run->memory = memory;
    arena_open(&run->arena, memory);
    run->only_mill = only_mill(world);
    run->kept = memory_take(memory, ATTRIBUTES_KEPT * sizeof *run->kept);
    run->parts = memory_take(memory, PARTS_KEPT * sizeof *run->parts);
}

void run_close(Run *run)
{
    arena_close(&run->arena);
    memory_return(run->memory, run->kept);
    memory_return(run->memory, run->parts);
    memory_return(run->memory, run->shapes.at);
    memory_return(run->memory, run->shaped.at);
}

static uint32_t values_of(const World *world, uint32_t paper, uint32_t vary)
{
    uint32_t count = world->varies.at[world->papers.at[paper].vary + vary].count;
    return count == 0 ? 1 : count;
}

uint32_t variant_count(World *world, uint32_t paper)
{
    double count = 1;
    for (uint32_t i = 0; i < world->papers.at[paper].vary_count; i++) {
        count *= values_of(world, paper, i);
    }
    if (count <= 1000) {
        return (uint32_t)count;
    }
    message_say(world->messages, SAY_too_many_variants, line_span(world, world->papers.at[paper].line),
                arena_print(world->scratch, "%.0f", count), NULL);
    return 0;
}

static void release_records(Run *run)
{
    for (uint32_t i = 0; i < run->record_count; i++) {
        memory_return(run->memory, run->records[i].tells.at);
        memory_return(run->memory, run->records[i].reads.at);
        memory_return(run->memory, run->records[i].cautions.at);
        memory_return(run->memory, run->records[i].figures.at);
    }
    run->record_count = 0;
    run->records = NULL;
}

#define FILL(run, list, wanted)                                                          \
    do {                                                                                 \
        while ((run)->list.count < (wanted)) {                                           \
            list_add((run)->memory, &(run)->list);                                       \
        }                                                                                \
    } while (0)

static void begin_paper(Run *run, uint32_t paper)
{
    World *world = run->world;
    release_records(run);
    arena_reset(&run->arena);
    run->paper = paper;
    run->batch = 0;
    run->evaluations = 0;
    run->generation++;
    run->failed = false;
    run->last = true; /* what goes wrong in a value that is chosen is said, as no walk says it again */
    run->trace = NULL;
    run->call = 0;
    run->texts.count = run->bands.count = run->items.count = 0;
    list_push(run->memory, &run->texts, "");
    list_add(run->memory, &run->bands);
    run->bill.count = run->bill_before.count = 0;
    run->additions.count = run->additions_before.count = 0;
    run->ledger.count = run->ledger_before.count = 0;
    done_clear(run);
    FILL(run, given, world->given.count);
    FILL(run, figures, world->figures.count);
    FILL(run, held, world->shapes.count);
    FILL(run, adds_up, world->fields.count);
    FILL(run, about_ends, world->abouts.count);
    FILL(run, about_used, world->abouts.count);
    memset(run->about_ends.at, 0, run->about_ends.count);
    memset(run->about_used.at, 0, run->about_used.count);
    for (uint32_t i = 0; i < SUBJECTS; i++) {
        run->subjects[i].attributes = NULL;
        run->subjects[i].live = false;
    }
    run->stream_count = world->papers.at[paper].furnish_count;
    if (run->stream_count > RUN_STREAMS) {
        message_say(world->messages, SAY_too_many_streams, line_span(world, world->papers.at[paper].line), NULL);
        run->stream_count = RUN_STREAMS;
        run->failed = true;
    }
    run->records = arena_take(&run->arena, (world->papers.at[paper].call_count + 1u) * sizeof *run->records);
    run->arguments = arena_take(&run->arena, (world->papers.at[paper].call_count + 1u) * sizeof *run->arguments);
    run->sheets_good = 1;
    run->sure = 0.9;
}

static NodeId value_node(const World *world, const Vary *vary, uint32_t number)
{
    NodeId node = vary->first;
    for (; number > 0; number--) {
        node = world_node(world, node)->next;
    }
    return node;
}

static void choose(Run *run, uint32_t vary, NodeId node)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    run->choices[vary] = run_value(run, &frame, node);
    run->chosen[vary] = node;
}

void variant_choose_again(Run *run)
{
    for (uint32_t i = 0; i < run->world->papers.at[run->paper].vary_count; i++) {
        choose(run, i, run->chosen[i]);
    }
}

void variant_begin(Run *run, uint32_t paper, uint32_t number)
{
    begin_paper(run, paper);
    run->mill = run->only_mill;
    const Paper *at = &run->world->papers.at[paper];
    for (uint32_t i = at->vary_count; i-- > 0;) {
        uint32_t count = values_of(run->world, paper, i);
        choose(run, i, value_node(run->world, &run->world->varies.at[at->vary + i], number % count));
        number /= count;
    }
}

bool variant_begin_batch(Run *run, uint32_t batch)
{
    World *world = run->world;
    const Batch *at = &world->batches.at[batch];
    begin_paper(run, at->paper);
    run->batch = batch;
    run->mill = at->mill;
    const Paper *paper = &world->papers.at[at->paper];
    for (uint32_t i = 0; i < paper->vary_count; i++) {
        NodeId node = world->choices.at[at->choices + i];
        if (node == 0 && values_of(world, at->paper, i) > 1) {
            message_say(world->messages, SAY_vary_not_chosen, line_span(world, at->paper_line),
                        world_word(world, world->varies.at[paper->vary + i].name), NULL);
            return false;
        }
        choose(run, i, node != 0 ? node : world->varies.at[paper->vary + i].first);
    }
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    Value sheets = run_value(run, &frame, at->sheets), sure = run_value(run, &frame, at->sure);
    if (!run_told(sheets) || sheets.number < 1 || sheets.number != floor(sheets.number)) {
        message_say(world->messages, SAY_no_order, world_span(world, at->sheets), world_written(world, at->sheets), NULL);
        return false;
    }
    run->sheets_good = sheets.number;
    if (run_told(sure) && (sure.number <= 0 || sure.number >= 1)) {
        message_say(world->messages, SAY_no_assurance, world_span(world, at->sure), world_written(world, at->sure), NULL);
        return false;
    }
    run->sure = run_told(sure) ? sure.number : 0.9;
    return true;
}

void variant_order(Run *run, double sheets)
{
    if (sheets > 0) {
        run->sheets_good = sheets;
    }
}

const char *variant_title(Run *run)
{
    World *world = run->world;
    ThingId thing = world->papers.at[run->paper].thing;
    FieldId title = settle_field(world, world->things.at[thing].shape, KNOWN_title);
    bool is_text = TYPE_SORT(world->fields.at[title].type) == TYPE_TEXT; /* where there is no title field 0 has no type */
    Value value = is_text ? run_attribute(run, REF(REF_THING, thing), title) : run_absent(0);
    if (!run_told(value)) {
        return arena_print(&run->arena, "%s", world_text(world, world->things.at[thing].name));
    }
    return run->texts.at[value.thing];
}

const char *variant_choice_text(Run *run, uint32_t vary)
{
    const Vary *at = &run->world->varies.at[run->world->papers.at[run->paper].vary + vary];
    Value chosen = run->choices[vary];
    NodeId shown = run->chosen[vary];
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    for (uint32_t i = 0; i < at->count; i++) {
        NodeId node = value_node(run->world, at, i);
        Value value = run_value(run, &frame, node);
        if (run_told(value) && run_told(chosen) && run_same(run, TYPE_SORT(at->type), value, chosen)) {
            shown = node;
        }
    }
    return run_shown(run, &frame, shown, chosen, at->type);
}

static const char *difference_text(Run *run, Value found, const Band *band, Type type)
{
    double off = found.number < band->low ? found.number - band->low : found.number - band->high;
    KindId kind = TYPE_INDEX(type);
    Type rise = run->world->kinds.at[kind].rise != 0 ? TYPE(TYPE_NUMBER, run->world->kinds.at[kind].rise) : type;
    return arena_print(&run->arena, "%s%s", off > 0 ? "+" : "", run_number_text(run, off, rise, 0, -1));
}

static void say_otherwise(Run *run, const Check *check, Value found, const Band *band, Type type)
{
    World *world = run->world;
    Span span = line_span(world, check->line);
    Messages *messages = world->messages;
    Message *message = message_say(messages, SAY_expected_otherwise, span, world_written(world, check->figure), NULL);
#define COPY(text) arena_copy(&messages->words, (text), strlen(text))
    const char *expected = run_band_text(run, *band, type, 0), *shown = run_number_text(run, found.number, type, 0, -1);
    const char *off = difference_text(run, found, band, type);
    message->limit = COPY(expected);
    message->found = COPY(shown);
    message->needed = COPY(off);
    message->compares = true;
#undef COPY
}

static void judge(Run *run, const Check *check)
{
    World *world = run->world;
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    Type type = world->types.at[check->figure];
    Value found = run_value(run, &frame, check->figure), wanted = run_value(run, &frame, check->wanted);
    if (!run_told(found) || !run_told(wanted)) {
        message_say(world->messages, SAY_not_told_here, line_span(world, check->line), world_written(world, check->figure), NULL);
        return;
    }
    if (TYPE_SORT(type) != TYPE_NUMBER) {
        if (!run_same(run, TYPE_SORT(type), found, wanted)) {
            message_say(world->messages, SAY_expected_otherwise, line_span(world, check->line),
                        world_written(world, check->figure), NULL);
        }
        return;
    }
    Band band = wanted.thing != 0 ? run->bands.at[wanted.thing] : (Band){wanted.number, wanted.number, wanted.number};
    bool low = found.number >= band.low || run_equal(found.number, band.low);
    bool high = found.number <= band.high || run_equal(found.number, band.high);
    if (!low || !high) {
        say_otherwise(run, check, found, &band, type);
    }
}

/* The writer's own figures are worked out even where nothing asks for them: a mistake in one is found. */
static void try_own_figures(Run *run)
{
    World *world = run->world;
    for (uint32_t i = 1; i < world->figures.count; i++) {
        const Figure *figure = &world->figures.at[i];
        bool own = !sources_at(&world->sources, world_node(world, figure->line)->start)->library;
        if (own && figure->set == 0) {
            run_figure(run, i);
        }
    }
}

void variant_judge(Run *run)
{
    run->call = 0;
    try_own_figures(run);
    const Paper *paper = &run->world->papers.at[run->paper];
    for (uint32_t i = paper->expects; i < paper->expects + paper->expect_count; i++) {
        if (!run->world->checks.at[i].note) {
            judge(run, &run->world->checks.at[i]);
        }
    }
}
