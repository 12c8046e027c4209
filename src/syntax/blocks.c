/* From the flat list of a script's lines to blocks inside each other. */
#include "syntax/blocks.h"

#include "base/limits.h"
#include "base/text.h"

#include <string.h>

/* How many lines are looked at ahead to find a block's own `end`. */
enum { LOOK_AHEAD = 20000 };

typedef struct OpenBlock {
    uint32_t opener;     /* its line's place in the list; of no meaning for the script itself */
    NodeId holder;       /* NODE_BLOCK or NODE_SCRIPT */
    NodeId last;         /* the last line in it so far */
    uint32_t first_line; /* place of the first line in it */
    uint32_t sure_until; /* its `end` stands there, or further on */
} OpenBlock;

typedef struct Joining {
    Build *build;
    const LineRecords *lines;
    OpenBlock open[LIMIT_BLOCKS + 1]; /* [0] is the script */
    uint32_t depth;                   /* of the innermost */
    bool mending;                     /* `:` and `end` do not come out even */
} Joining;

static const LineRecord *record(const Joining *joining, uint32_t place)
{
    return &joining->lines->at[place];
}

static Node *node_at(const Joining *joining, NodeId id)
{
    return &joining->build->tree->nodes.at[id];
}

/* The names behind an `end`, 0 where there is none. */
static Name closing_name(const Joining *joining, const LineRecord *end)
{
    return end->role == LINE_ENDS ? node_at(joining, end->line)->value : 0;
}

static Name second_closing_name(const Joining *joining, const LineRecord *end)
{
    return node_at(joining, end->line)->first;
}

static OpenBlock *innermost(Joining *joining)
{
    return &joining->open[joining->depth];
}

static uint32_t indent_of(const Joining *joining, uint32_t depth)
{
    return record(joining, joining->open[depth].opener)->indent;
}

/* ---- Names behind `end` ---------------------------------------------------------- */

/* The word of a line, and the name behind it: `paper botanical:` may be closed by either. */
static bool is_named(Joining *joining, uint32_t opener, Name name)
{
    const Node *line = node_at(joining, record(joining, opener)->line);
    if (line->value == name)
        return true;
    const Node *part = line->first ? node_at(joining, line->first) : NULL;
    return part && (part->form == NODE_NAME || part->form == NODE_CALL) && part->value == name;
}

static bool closes(Joining *joining, const LineRecord *end, uint32_t opener)
{
    Name second = second_closing_name(joining, end);
    return is_named(joining, opener, closing_name(joining, end)) && (second == 0 || is_named(joining, opener, second));
}

/* ---- Messages ---------------------------------------------------------------------- */

/* The line as a place, and the block's opening words in a message. */
static Span span_of(const Joining *joining, const LineRecord *line)
{
    return tree_span(joining->build->tree, line->line);
}

static const char *words_of(Joining *joining, uint32_t place)
{
    Span at = span_of(joining, record(joining, place));
    return mistakes_quote(joining->build->mistakes, at.start, at.end);
}

static Message *say(Joining *joining, MessageName kind, Span at, const char *one, const char *two)
{
    joining->build->mistakes->line_count = 0;
    return mistakes_say(joining->build->mistakes, kind, at, one, two, NULL, NULL);
}

static void say_end_missing(Joining *joining, uint32_t opener)
{
    if (!record(joining, opener)->said)
        say(joining, SAY_end_missing, span_of(joining, record(joining, opener)), words_of(joining, opener), NULL);
}

static void say_colon_missing(Joining *joining, uint32_t opener, uint32_t end)
{
    const LineRecord *line = record(joining, opener);
    if (line->said)
        return;
    Mistakes *mistakes = joining->build->mistakes;
    Message *message = say(joining, SAY_colon_missing, span_of(joining, line), words_of(joining, opener), NULL);
    mistakes_also(mistakes, message, span_of(joining, record(joining, end)), "this closes it");
    uint32_t behind = span_of(joining, line).end;
    mistakes_edit(mistakes, message, (Span){behind, behind}, ":");
}

static void say_end_surplus(Joining *joining, uint32_t place)
{
    Span at = span_of(joining, record(joining, place));
    mistakes_edit(joining->build->mistakes, say(joining, SAY_end_surplus, at, NULL, NULL), at, "");
}

static void say_wrong_name(Joining *joining, const LineRecord *end, uint32_t opener)
{
    Mistakes *mistakes = joining->build->mistakes;
    const Node *line = node_at(joining, record(joining, opener)->line);
    const char *head = mistakes_quote(mistakes, line->start, line->start + 1);
    if (line->value != 0)
        head = names_text(joining->build->names, line->value);
    Span at = span_of(joining, end);
    Message *message = say(joining, SAY_end_wrong_name, at, mistakes_quote(mistakes, at.start, at.end), head);
    mistakes_also(mistakes, message, span_of(joining, record(joining, opener)), "the block begins here");
}

static void say_end_misspelt(Joining *joining, const LineRecord *line)
{
    Mistakes *mistakes = joining->build->mistakes;
    const Node *node = node_at(joining, line->line);
    Span at = {node->start, node->start + (uint32_t)strlen(names_text(joining->build->names, node->value))};
    Message *message = say(joining, SAY_end_misspelt, at, mistakes_quote(mistakes, at.start, at.end), NULL);
    mistakes_edit(mistakes, message, at, "end");
}

/* ---- Linking ------------------------------------------------------------------------ */

static void link_line(Joining *joining, NodeId line)
{
    OpenBlock *block = innermost(joining);
    if (block->last == 0)
        node_at(joining, block->holder)->first = line;
    else
        node_at(joining, block->last)->next = line;
    block->last = line;
}

/* Makes a block the last child of its line. */
static NodeId add_block(Joining *joining, uint32_t opener)
{
    const LineRecord *line = record(joining, opener);
    uint32_t behind = span_of(joining, line).end;
    NodeId block = build_node(joining->build, NODE_BLOCK, behind, behind, 0);
    Node *node = node_at(joining, line->line);
    node->marks |= NODE_LINE_HAS_BLOCK;
    if (line->last == 0)
        node->first = block;
    else
        node_at(joining, line->last)->next = block;
    return block;
}

static void open_block(Joining *joining, uint32_t place)
{
    NodeId block = add_block(joining, place);
    joining->open[++joining->depth] = (OpenBlock){.opener = place, .holder = block, .first_line = place + 1};
}

/* Closes the innermost block at the line END. */
static void close_block(Joining *joining, const LineRecord *end)
{
    Node *block = node_at(joining, innermost(joining)->holder);
    block->end = span_of(joining, end).end;
    block->value = closing_name(joining, end);
    joining->depth--;
}

/* Closes a block whose `end` is missing. */
static void close_unended(Joining *joining)
{
    OpenBlock *block = innermost(joining);
    say_end_missing(joining, block->opener);
    Node *node = node_at(joining, block->holder);
    if (block->last != 0)
        node->end = node_at(joining, block->last)->end;
    joining->depth--;
}

/* ---- Mending by indentation ------------------------------------------------------------ */

/* Whether the lines of the open block stand deeper than the line that opens it. */
static bool is_indented(Joining *joining, uint32_t depth)
{
    uint32_t first = joining->open[depth].first_line;
    return first < joining->lines->count && record(joining, first)->indent > indent_of(joining, depth);
}

/* Whether a line behind PLACE closes the block opened at DEPTH: an `end` as deep as its opening
 * line, before any line that stands less deep, or opens a further block just as deep. */
static bool has_own_end(Joining *joining, uint32_t depth, uint32_t place)
{
    OpenBlock *block = &joining->open[depth];
    if (block->sure_until > place)
        return true;
    uint32_t indent = indent_of(joining, depth), stop = joining->lines->count;
    if (stop - place > LOOK_AHEAD)
        stop = place + LOOK_AHEAD;
    for (uint32_t i = place; i < stop; i++) {
        const LineRecord *line = record(joining, i);
        if (line->indent < indent || (line->indent == indent && line->role == LINE_OPENS))
            return false;
        if (line->indent == indent && line->role == LINE_ENDS) {
            block->sure_until = i;
            return true;
        }
    }
    return false;
}

/* Closes the blocks out of which the line at PLACE stands. */
static void leave_blocks(Joining *joining, uint32_t place)
{
    uint32_t indent = record(joining, place)->indent;
    while (joining->depth > 0 && indent <= indent_of(joining, joining->depth) && is_indented(joining, joining->depth)) {
        if (innermost(joining)->first_line == place || has_own_end(joining, joining->depth, place))
            return;
        close_unended(joining);
    }
}

/* The line that the `end` at PLACE would close, had it a `:`: the nearest in the innermost block
 * that stands as deep, with deeper lines, and no others, between. */
static bool find_without_colon(Joining *joining, uint32_t place, uint32_t *found)
{
    uint32_t indent = record(joining, place)->indent, first = innermost(joining)->first_line;
    for (uint32_t i = place; i-- > first;) {
        const LineRecord *line = record(joining, i);
        if (line->indent > indent)
            continue;
        *found = i;
        return line->indent == indent && line->role == LINE_PLAIN && i + 1 < place;
    }
    return false;
}

/* Makes the plain line at OPENER the head of a block of all that followed it. */
static void add_late_block(Joining *joining, uint32_t opener, uint32_t end)
{
    say_colon_missing(joining, opener, end);
    NodeId line = record(joining, opener)->line, block = add_block(joining, opener);
    node_at(joining, block)->first = node_at(joining, line)->next;
    node_at(joining, block)->end = span_of(joining, record(joining, end)).end;
    node_at(joining, block)->value = closing_name(joining, record(joining, end));
    node_at(joining, line)->next = 0;
    innermost(joining)->last = line;
}

/* The innermost open block that the named `end` fits, as its depth; 0: none. */
static uint32_t depth_named(Joining *joining, const LineRecord *end)
{
    uint32_t depth = closing_name(joining, end) ? joining->depth : 0;
    while (depth > 0 && !closes(joining, end, joining->open[depth].opener))
        depth--;
    return depth;
}

/* The innermost open block that is opened as deep as the `end` stands; 0: none. */
static uint32_t depth_indented(Joining *joining, const LineRecord *end)
{
    uint32_t depth = joining->depth;
    while (depth > 0 && indent_of(joining, depth) != end->indent)
        depth--;
    return depth;
}

/* Which open block the `end` at PLACE closes; 0: none, and it is dealt with. */
static uint32_t block_to_close(Joining *joining, uint32_t place)
{
    const LineRecord *end = record(joining, place);
    uint32_t depth = depth_indented(joining, end), opener;
    if (depth > 0 && (closing_name(joining, end) == 0 || closes(joining, end, joining->open[depth].opener)))
        return depth;
    if (find_without_colon(joining, place, &opener)) {
        add_late_block(joining, opener, place);
        return 0;
    }
    uint32_t named = depth_named(joining, end);
    if (named > 0)
        return named;
    if (depth > 0)
        return depth;
    bool surplus = joining->depth == 0 ||
                   (end->indent > indent_of(joining, joining->depth) && has_own_end(joining, joining->depth, place + 1));
    if (surplus)
        say_end_surplus(joining, place);
    return surplus ? 0 : joining->depth;
}

static void mend_end(Joining *joining, uint32_t place)
{
    uint32_t depth = block_to_close(joining, place);
    if (depth == 0)
        return;
    while (joining->depth > depth)
        close_unended(joining);
    const LineRecord *end = record(joining, place);
    if (closing_name(joining, end) != 0 && !end->said && !closes(joining, end, innermost(joining)->opener))
        say_wrong_name(joining, end, innermost(joining)->opener);
    close_block(joining, end);
}

/* Whether a plain line as deep as the opening one is an `end` with a slip. */
static bool is_misspelt_end(Joining *joining, uint32_t place)
{
    const LineRecord *line = record(joining, place);
    if (joining->depth == 0 || line->role != LINE_PLAIN || line->indent != indent_of(joining, joining->depth))
        return false;
    const Node *node = node_at(joining, line->line);
    const Node *name = line->last ? node_at(joining, line->last) : NULL;
    if (name && (name->form != NODE_NAME || node->first != line->last ||
                 !is_named(joining, innermost(joining)->opener, name->value)))
        return false;
    const char *word = names_text(joining->build->names, node->value);
    size_t length = strlen(word);
    return length >= 2 && length <= 6 && text_distance(word, length, "end", 3, 2) <= (length == 3 ? 1 : 2);
}

static void mend_line(Joining *joining, uint32_t place)
{
    const LineRecord *line = record(joining, place);
    if (is_misspelt_end(joining, place)) {
        if (!line->said)
            say_end_misspelt(joining, line);
        close_block(joining, line);
        return;
    }
    leave_blocks(joining, place);
    link_line(joining, line->line);
}

/* ---- The walk over the lines --------------------------------------------------------------- */

/* Whether each `:` has its `end`. */
static bool comes_out_even(const LineRecords *lines)
{
    uint32_t depth = 0;
    for (uint32_t i = 0; i < lines->count; i++) {
        if (lines->at[i].role == LINE_OPENS)
            depth++;
        else if (lines->at[i].role == LINE_ENDS && depth-- == 0)
            return false;
    }
    return depth == 0;
}

static void plain_end(Joining *joining, uint32_t place)
{
    const LineRecord *end = record(joining, place);
    uint32_t opener = innermost(joining)->opener;
    if (closing_name(joining, end) != 0 && !end->said && !closes(joining, end, opener))
        say_wrong_name(joining, end, opener);
    close_block(joining, end);
}

static bool join_line(Joining *joining, uint32_t place)
{
    const LineRecord *line = record(joining, place);
    if (line->role == LINE_ENDS) {
        if (joining->mending)
            mend_end(joining, place);
        else
            plain_end(joining, place);
        return true;
    }
    if (joining->mending)
        mend_line(joining, place);
    else
        link_line(joining, line->line);
    if (line->role != LINE_OPENS)
        return true;
    if (joining->depth == LIMIT_BLOCKS) {
        say(joining, SAY_blocks_too_deep, span_of(joining, line), NULL, NULL);
        return false;
    }
    open_block(joining, place);
    return true;
}

/* What is still open at the end: one message, at the innermost. */
static void end_of_script(Joining *joining)
{
    if (joining->depth > 0)
        say_end_missing(joining, innermost(joining)->opener);
}

void blocks_join(Build *build, const LineRecords *lines, NodeId script)
{
    Joining joining = {.build = build, .lines = lines, .mending = !comes_out_even(lines)};
    joining.open[0] = (OpenBlock){.holder = script};
    for (uint32_t place = 0; place < lines->count; place++)
        if (!join_line(&joining, place) || build->mistakes->stopped)
            return;
    end_of_script(&joining);
}
