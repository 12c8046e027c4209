/* Declaring papers and batches: what varies, the furnish, the procedure, and
 * what the writer expects. */
#include "meaning/declare.h"

#include "base/limits.h"
#include "meaning/line.h"
#include "meaning/steps.h"

#include <string.h>

void declare_paper_name(World *world, NodeId line)
{
    Name name = declare_only_name(world, line, "paper");
    if (name == 0) {
        return;
    }
    uint32_t paper = list_add(world->memory, &world->papers);
    ThingId thing = list_add(world->memory, &world->things);
    world->things.at[thing] = (Thing){.name = name, .shape = settle_shape(world, KNOWN_paper), .line = line};
    world->papers.at[paper] = (Paper){.thing = thing, .line = line};
    declare_name(world, SPACE_PAPER, name, paper, world_node(world, line)->first);
}

static NodeId block_first(const World *world, NodeId line)
{
    NodeId block = line_block(world, line);
    return block == 0 ? 0 : world_node(world, block)->first;
}

bool declare_is_paper_line(Name head)
{
    return head == KNOWN_vary || head == KNOWN_let || head == KNOWN_furnish || head == KNOWN_procedure
        || head == KNOWN_expect || head == KNOWN_note || head == KNOWN_accept;
}

/* One name, over, and values with commas between. */
static bool vary_is_a_list(const World *world, NodeId name, NodeId first)
{
    NodeId over = world_node(world, name)->next;
    bool whole = over != 0 && world_node(world, over)->next == first;
    for (NodeId item = world_node(world, first)->next; item != 0 && line_is_argument(world, item);
         item = world_node(world, item)->next) {
        whole = whole && (world_node(world, item)->marks & NODE_BEHIND_COMMA) != 0;
    }
    return whole;
}

/* vary NAME over VALUE, VALUE: quantities of one kind, things, or words. BEFORE: so many stand above it. */
static void read_vary(World *world, NodeId line, uint32_t before)
{
    if (before >= LIMIT_VARY_LINES) {
        message_say(world->messages, SAY_too_many_vary_lines, line_span(world, line), NULL);
        declare_silence_line(world, line);
        return;
    }
    NodeId name = line_first(world, line), first = line_behind(world, line, KNOWN_over);
    if (name == 0 || world_node(world, name)->form != NODE_NAME || first == 0 || line_unreadable(world, line)
        || !vary_is_a_list(world, name, first)) {
        line_say_written_so(world, line, "vary NAME over VALUE, VALUE");
        declare_silence_line(world, line);
        return;
    }
    uint32_t errors = world->messages->errors;
    Vary vary = {.name = world_node(world, name)->value, .line = line, .first = first};
    Field words = {.name = vary.name, .words = world->words.count};
    Scope scope;
    scope_open(&scope, world);
    NodeId item = world_node(world, first)->form == NODE_LIST ? world_node(world, first)->first : first;
    if (world_node(world, first)->form == NODE_LIST) {
        Type list = settle(&scope, first, 0);
        vary.type = TYPE_SORT(list) == TYPE_LIST ? world->element_types.at[TYPE_INDEX(list)] : 0;
        vary.first = item;
    }
    for (; item != 0 && line_is_argument(world, item) && world_node(world, item)->form != NODE_UNIT;
         item = world_node(world, item)->next) {
        const Node *at = world_node(world, item);
        bool thing = at->form == NODE_NAME && BOUND_OF(world_declared(world, SPACE_VALUE, at->value)) == BOUND_THING;
        if (at->form == NODE_NAME && !thing) {
            list_push(world->memory, &world->words, at->value);
            words.word_count++;
            settle_bind(world, item, 0, BIND(BOUND_WORD, at->value));
        } else if (world_node(world, first)->form != NODE_LIST) {
            Type type = settle(&scope, item, vary.type);
            vary.type = vary.type == 0 ? type : vary.type;
        }
        vary.count++;
    }
    if (words.word_count > 0) {
        list_push(world->memory, &world->fields, words);
        vary.type = TYPE(TYPE_WORD, world->fields.count - 1);
        world->fields.at[world->fields.count - 1].type = vary.type;
    }
    if (world->messages->errors != errors) {
        vary.type = 0;
    }
    list_push(world->memory, &world->varies, vary);
}

/* The thing that NAME stands for, where it is a material; else 0. */
static ThingId material_of(const World *world, Name name)
{
    uint32_t binding = name == 0 ? 0 : world_declared(world, SPACE_VALUE, name);
    ThingId thing = BOUND_OF(binding) == BOUND_THING && binding != WORLD_BROKEN ? BOUND_INDEX(binding) : 0;
    bool is_one = thing != 0 && settle_shape_within(world, world->things.at[thing].shape, settle_shape(world, KNOWN_material));
    return is_one ? thing : 0;
}

/* The head of a line of the furnish is no material: what was meant may have a hyphen, or be one that is spelt nearly so. */
static void say_no_material(World *world, NodeId line)
{
    Name head = line_head(world, line);
    Span span = world_span(world, line), edit;
    span.end = span.start + (uint32_t)strlen(world_text(world, head));
    Name meant = line_hyphened(world, line, &edit);
    if (material_of(world, meant) == 0) {
        meant = world_nearest(world, head, SPACE_VALUE);
        meant = material_of(world, meant) == 0 ? 0 : meant;
        edit = span;
    }
    const char *guess = meant == 0 ? "" : arena_print(world->scratch, "Did you mean %s?", world_text(world, meant));
    Message *message = message_say(world->messages, SAY_unknown_name, span, "material", world_word(world, head), guess, NULL);
    world_mend(world, message, edit, meant);
}

/* A line of the furnish: MATERIAL SHARE[, as NAME]. */
static void read_furnish_line(World *world, uint32_t paper, NodeId line)
{
    Name head = line_head(world, line);
    NodeId as = line_behind(world, line, KNOWN_as), share = line_first(world, line);
    uint32_t binding = world_declared(world, SPACE_VALUE, head);
    ThingId thing = material_of(world, head);
    if (thing == 0 && binding != WORLD_BROKEN && head != 0) {
        say_no_material(world, line);
        declare_silence(world, head);
    }
    if (thing == 0 || line_unreadable(world, line)) {
        world->papers.at[paper].furnish_broken = true;
    }
    Name name = as != 0 && world_node(world, as)->form == NODE_NAME ? world_node(world, as)->value : head;
    list_push(world->memory, &world->furnish, (FurnishLine){.material = thing, .name = name, .share = share, .when = line_when(world, line), .line = line});
}

static void read_names(World *world, uint32_t paper)
{
    NodeId line = world->papers.at[paper].line;
    world->papers.at[paper].furnish_broken = !declare_block_is_whole(world, line);
    Paper at = world->papers.at[paper];
    at.vary = world->varies.count;
    at.furnish = world->furnish.count;
    at.lets = world->lets.count;
    for (NodeId inner = block_first(world, line); inner != 0; inner = world_node(world, inner)->next) {
        if (line_head(world, inner) == KNOWN_vary) {
            read_vary(world, inner, world->varies.count - at.vary);
        } else if (line_head(world, inner) == KNOWN_furnish) {
            for (NodeId each = block_first(world, inner); each != 0; each = world_node(world, each)->next) {
                read_furnish_line(world, paper, each);
            }
        } else if (line_head(world, inner) == KNOWN_let) {
            NodeId name = line_first(world, inner);
            uint32_t let = list_add(world->memory, &world->lets);
            world->lets.at[let] = (Let){.name = name == 0 ? 0 : world_node(world, name)->value, .line = inner,
                                        .value = line_bound(world, inner), .settled = name == 0 ? 2 : 0};
            if (name != 0) {
                declare_let(world, let);
            }
        }
    }
    at.vary_count = world->varies.count - at.vary;
    at.furnish_count = world->furnish.count - at.furnish;
    at.let_count = world->lets.count - at.lets;
    at.furnish_broken = world->papers.at[paper].furnish_broken;
    world->papers.at[paper] = at;
}

void declare_paper(World *world, uint32_t paper)
{
    read_names(world, paper);
}

static void paper_scope(Scope *scope, World *world, uint32_t paper)
{
    scope_open(scope, world);
    scope->paper = paper;
}

static void settle_furnish(World *world, uint32_t paper)
{
    Paper at = world->papers.at[paper];
    for (uint32_t i = at.furnish; i < at.furnish + at.furnish_count; i++) {
        FurnishLine line = world->furnish.at[i];
        for (uint32_t j = at.furnish; j < i; j++) {
            if (world->furnish.at[j].name == line.name && line.name != 0) {
                Message *message = message_say(world->messages, SAY_stream_twice, line_span(world, line.line),
                                               world_word(world, line.name), NULL);
                message_also(world->messages, message, line_span(world, world->furnish.at[j].line), "first here");
            }
        }
        if (line.share == 0 || !line_is_argument(world, line.share) || world_node(world, line.share)->form == NODE_PREPOSITION) {
            if (!line_unreadable(world, line.line)) {
                message_say(world->messages, SAY_value_missing, line_span(world, line.line),
                            world_word(world, line_head(world, line.line)), "its share of the fibre, as 25 %", NULL);
            }
            world->furnish.at[i].share = 0;
            continue;
        }
        Scope scope;
        paper_scope(&scope, world, paper);
        settle(&scope, line.share, TYPE(TYPE_NUMBER, KIND_ONE));
        if (line.when != 0) {
            settle_condition(&scope, line.when);
        }
        NodeId next = world_node(world, line.share)->next;
        if (next != 0 && line_is_argument(world, next) && !line_is_word(world, next, KNOWN_as)) {
            message_say(world->messages, SAY_argument_too_many, world_span(world, next),
                        world_word(world, line_head(world, line.line)), world_written(world, next), "as …", NULL);
        }
    }
}

/* The step that a line of a procedure does; a misspelt one is said, and read as the nearest. */
static uint32_t step_of_line(World *world, NodeId line)
{
    Name head = line_head(world, line);
    uint32_t step = world_declared(world, SPACE_STEP, head);
    if (step == WORLD_BROKEN || (step == 0 && line_unreadable(world, line))) {
        return 0;
    }
    if (step == 0) {
        Span span = world_span(world, line);
        span.end = span.start + (uint32_t)strlen(world_text(world, head));
        Name nearest = world_nearest(world, head, SPACE_STEP);
        Message *message = message_say(world->messages, SAY_unknown_name, span, "step", world_word(world, head),
                                       world_guess(world, head, SPACE_STEP), NULL);
        world_mend(world, message, span, nearest);
        step = nearest == 0 ? 0 : world_declared(world, SPACE_STEP, nearest);
        step = step == WORLD_BROKEN ? 0 : step;
    }
    return step;
}

static uint32_t add_branch(World *world, NodeId condition, uint32_t outer, bool otherwise)
{
    list_push(world->memory, &world->branches, (Branch){condition, outer, otherwise});
    return world->branches.count - 1;
}

static void read_procedure(Scope *scope, NodeId first, uint32_t outer)
{
    World *world = scope->world;
    NodeId condition = 0;
    for (NodeId line = first; line != 0; line = world_node(world, line)->next) {
        Name head = line_head(world, line);
        if (head == KNOWN_when) {
            condition = line_when(world, line);
            if (condition != 0) {
                settle_condition(scope, condition);
            }
            read_procedure(scope, block_first(world, line), add_branch(world, condition, outer, false));
        } else if (head == KNOWN_otherwise) {
            if (condition == 0 && !line_unreadable(world, line)) {
                message_say(world->messages, SAY_otherwise_alone, line_span(world, line), NULL);
            }
            read_procedure(scope, block_first(world, line), add_branch(world, condition, outer, true));
            condition = 0;
        } else if (head == KNOWN_note) {
            continue;
        } else {
            uint32_t step = step_of_line(world, line);
            bool mended = step != 0 && world_declared(world, SPACE_STEP, head) == 0;
            bool muted = world->messages->muted;
            world->messages->muted = muted || mended;
            if (step != 0) {
                steps_read_call(scope, step, line, outer);
            }
            world->messages->muted = muted;
        }
    }
}

/* expect FIGURE, within RANGE or a value with its tolerance */
static void read_expect(World *world, uint32_t paper, NodeId line)
{
    Scope scope;
    paper_scope(&scope, world, paper);
    NodeId figure = line_first(world, line);
    NodeId wanted = figure == 0 ? 0 : world_node(world, figure)->next;
    if (line_is_word(world, wanted, KNOWN_within)) {
        wanted = world_node(world, wanted)->next;
    }
    if (figure == 0 || wanted == 0 || !line_is_argument(world, wanted)) {
        line_say_written_so(world, line, "expect FIGURE, within LOW..HIGH");
        return;
    }
    Type type = settle(&scope, figure, 0);
    settle(&scope, wanted, TYPE_SORT(type) == TYPE_NUMBER ? TYPE(TYPE_BAND, TYPE_INDEX(type)) : type);
    list_push(world->memory, &world->checks, (Check){.line = line, .figure = figure, .wanted = wanted, .paper = paper});
}

static void read_note(World *world, uint32_t paper, NodeId line)
{
    NodeId text = line_first(world, line);
    Scope scope;
    paper_scope(&scope, world, paper);
    if (text != 0) {
        settle(&scope, text, TYPE(TYPE_TEXT, 0));
        list_push(world->memory, &world->checks, (Check){.line = line, .figure = text, .paper = paper, .note = true});
    }
}

void declare_settle_paper(World *world, uint32_t paper)
{
    uint32_t errors = world->messages->errors;
    NodeId line = world->papers.at[paper].line;
    for (uint32_t i = 0; i < world->papers.at[paper].let_count; i++) {
        Scope scope;
        paper_scope(&scope, world, paper);
        declare_settle_let(&scope, world->papers.at[paper].lets + i);
    }
    settle_furnish(world, paper);
    Scope scope;
    paper_scope(&scope, world, paper);
    declare_thing_values(&scope, world->papers.at[paper].thing);
    if (world->calls.count == 0) {
        list_add(world->memory, &world->calls);
    }
    uint32_t calls = world->calls.count, checks = world->checks.count;
    bool furnish = false, procedure = false;
    for (NodeId inner = block_first(world, line); inner != 0; inner = world_node(world, inner)->next) {
        if (line_head(world, inner) == KNOWN_procedure) {
            paper_scope(&scope, world, paper);
            read_procedure(&scope, block_first(world, inner), 0);
            procedure = true;
        } else if (line_head(world, inner) == KNOWN_expect) {
            read_expect(world, paper, inner);
        } else if (line_head(world, inner) == KNOWN_note) {
            read_note(world, paper, inner);
        } else if (line_head(world, inner) == KNOWN_accept) {
            declare_acceptance(world, paper, inner);
        }
        furnish = furnish || line_head(world, inner) == KNOWN_furnish;
    }
    Paper *at = &world->papers.at[paper];
    at->calls = calls;
    at->call_count = world->calls.count - calls;
    at->expects = checks;
    at->expect_count = world->checks.count - checks;
    if (!(furnish && procedure) && declare_block_is_whole(world, line) && world->messages->errors == errors) {
        message_say(world->messages, SAY_paper_lacks, line_span(world, line), furnish ? "procedure" : "furnish", NULL);
    }
    at->unfit = world->messages->errors != errors;
}

/* ---- batches ---- */

void declare_batch_name(World *world, NodeId line)
{
    NodeId first = line_first(world, line);
    Name name = 0;
    if (first != 0 && world_node(world, first)->form == NODE_TEXT) {
        NodeId piece = world_node(world, first)->first;
        name = piece == 0 || world_node(world, piece)->form != NODE_PIECE ? 0 : world_node(world, piece)->value;
    } else if (first != 0 && world_node(world, first)->form == NODE_NAME) {
        name = declare_whole_name(world, line, first, world_node(world, first)->value);
    }
    if (name == 0 && !line_unreadable(world, line)) {
        message_say(world->messages, SAY_name_missing, line_span(world, line), "batch", NULL);
    }
    for (uint32_t i = 1; i < world->batches.count; i++) {
        if (world->batches.at[i].name == name && name != 0) {
            Message *message = message_say(world->messages, SAY_name_taken, line_span(world, line), world_word(world, name), NULL);
            message_also(world->messages, message, line_span(world, world->batches.at[i].line), "here");
        }
    }
    uint32_t batch = list_add(world->memory, &world->batches);
    world->batches.at[batch].name = name;
    world->batches.at[batch].line = line;
}

/* paper NAME, with VARY VALUE, VARY VALUE */
static void read_batch_paper(World *world, uint32_t batch, NodeId line)
{
    NodeId name = line_first(world, line);
    if (name == 0 || world_node(world, name)->form != NODE_NAME) {
        return;
    }
    Name word = world_node(world, name)->value;
    uint32_t paper = world_declared(world, SPACE_PAPER, word);
    if (paper == 0 || paper == WORLD_BROKEN) {
        if (paper == 0 && !world->use_broken) {
            message_say(world->messages, SAY_unknown_name, world_span(world, name), "paper", world_word(world, word),
                        world_guess(world, word, SPACE_PAPER), NULL);
        }
        world->tree.nodes.at[line].extra = 1;
        return;
    }
    NodeId behind = world_node(world, name)->next;
    if (behind != 0 && line_is_argument(world, behind) && !line_is_word(world, behind, KNOWN_with)) {
        message_say(world->messages, SAY_not_varied, world_span(world, behind), world_word(world, word),
                    world_written(world, behind), NULL);
        return;
    }
    world->batches.at[batch].paper = paper;
    world->batches.at[batch].paper_line = line;
    uint32_t choices = world->choices.count, vary = world->papers.at[paper].vary, count = world->papers.at[paper].vary_count;
    for (uint32_t i = 0; i < count; i++) {
        list_push(world->memory, &world->choices, 0);
    }
    world->batches.at[batch].choices = choices;
    for (NodeId part = line_behind(world, line, KNOWN_with); part != 0 && line_is_argument(world, part);) {
        NodeId value = world_node(world, part)->next;
        uint32_t i = 0;
        while (i < count && !line_is_word(world, part, world->varies.at[vary + i].name)) {
            i++;
        }
        bool silent = world_node(world, part)->form == NODE_NAME
            && world_declared(world, SPACE_VALUE, world_node(world, part)->value) == WORLD_BROKEN;
        if (i == count || value == 0 || !line_is_argument(world, value)) {
            if (!line_unreadable(world, line) && !silent) {
                message_say(world->messages, SAY_not_varied, world_span(world, part), world_word(world, word),
                            world_written(world, part), NULL);
            }
            return;
        }
        Scope scope;
        scope_open(&scope, world);
        if (world->varies.at[vary + i].type != 0) {
            settle(&scope, value, world->varies.at[vary + i].type);
        }
        world->choices.at[choices + i] = value;
        part = world_node(world, value)->next;
    }
}

static void read_batch_line(World *world, uint32_t batch, NodeId line)
{
    NodeId first = line_first(world, line);
    Scope scope;
    scope_open(&scope, world);
    if (line_unreadable(world, line)) {
        return;
    }
    KindId count = world_declared(world, SPACE_KIND, KNOWN_count);
    uint32_t errors = world->messages->errors;
    switch (line_head(world, line)) {
    case KNOWN_paper:
        read_batch_paper(world, batch, line);
        break;
    case KNOWN_mill: {
        ShapeId mill = settle_shape(world, KNOWN_mill);
        Type type = first == 0 ? 0 : settle(&scope, first, mill == 0 ? 0 : TYPE(TYPE_THING, mill));
        if (type != 0 && BOUND_OF(world->bindings.at[first]) == BOUND_THING) {
            world->batches.at[batch].mill = BOUND_INDEX(world->bindings.at[first]);
        }
        break;
    }
    case KNOWN_sheets:
        if (first != 0) {
            settle(&scope, first, TYPE(TYPE_NUMBER, count != 0 ? count : KIND_ONE));
            world->batches.at[batch].sheets = first;
        }
        world->batches.at[batch].sure = line_behind(world, line, KNOWN_sure);
        if (world->batches.at[batch].sure != 0) {
            settle(&scope, world->batches.at[batch].sure, TYPE(TYPE_NUMBER, KIND_ONE));
        }
        break;
    case KNOWN_start:
        if (first == 0 || world_node(world, first)->form != NODE_DATE) {
            message_say(world->messages, SAY_value_missing, line_span(world, line), "start", "a day, as 2027-03-01", NULL);
        } else {
            world->batches.at[batch].start = first;
        }
        break;
    case KNOWN_note:
        if (first != 0) {
            settle(&scope, first, TYPE(TYPE_TEXT, 0));
            world->batches.at[batch].note = first;
        }
        break;
    case KNOWN_packed: case KNOWN_good: case KNOWN_retree: case KNOWN_measured:
        declare_outcome_of_batch(world, batch, line);
        break;
    default:
        break; /* said when heads were looked at */
    }
    if (world->messages->errors != errors) {
        world->tree.nodes.at[line].extra = 1; /* what it does not tell now is not missing */
    }
}

void declare_batch(World *world, uint32_t batch)
{
    uint32_t errors = world->messages->errors;
    NodeId line = world->batches.at[batch].line;
    for (NodeId inner = block_first(world, line); inner != 0; inner = world_node(world, inner)->next) {
        read_batch_line(world, batch, inner);
    }
    Batch *at = &world->batches.at[batch];
    if (world->messages->errors == errors && declare_block_is_whole(world, line) && (at->paper == 0 || at->sheets == 0)) {
        message_say(world->messages, SAY_batch_lacks, line_span(world, line), at->paper == 0 ? "paper" : "sheets", NULL);
    }
    world->batches.at[batch].unfit = world->messages->errors != errors;
}
