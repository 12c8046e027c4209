/* Putting the tree together. */
#include "syntax/build.h"

#include "base/decimal.h"
#include "base/limits.h"
#include "parser.h"

enum { MOST_DECIMALS = 15 }; /* as many as a double holds for certain */

void build_open(Build *build, Memory *memory, Names *names, Tree *tree, Mistakes *mistakes)
{
    *build = (Build){.memory = memory, .names = names, .tree = tree, .mistakes = mistakes};
    build->decimal = names_of(names, memory, "decimal");
    build->decimals = names_of(names, memory, "decimals");
}

static Node *node_at(Build *build, NodeId id)
{
    return &build->tree->nodes.at[id];
}

NodeId build_node(Build *build, NodeForm form, uint32_t start, uint32_t end, uint32_t value)
{
    list_reserve(build->memory, &build->tree->nodes, 1);
    NodeId id = build->tree->nodes.count++;
    build->tree->nodes.at[id] = (Node){.form = (uint8_t)form, .start = start, .end = end, .value = value};
    return id;
}

/* A node over the nodes from FIRST to LAST, which are its children. */
static NodeId node_over(Build *build, NodeForm form, NodeId first, NodeId last, uint32_t value)
{
    NodeId id = build_node(build, form, node_at(build, first)->start, node_at(build, last)->end, value);
    node_at(build, id)->first = first;
    return id;
}

/* Whether the line has no message yet. */
static bool may_say(const Build *build)
{
    return !build->rehearsing && build->mistakes->line_count == 0;
}

/* Gives up the line at something that the grammar lets pass. */
static void refuse(Build *build, MessageName kind, Span at)
{
    if (may_say(build))
        mistakes_say(build->mistakes, kind, at, mistakes_quote(build->mistakes, at.start, at.end), NULL, NULL, NULL);
    build->failed = true;
}

/* Counts what makes a tree deeper than its brackets do. */
static void count_operator(Build *build, Span at)
{
    if (++build->operators > LIMIT_OPERATORS)
        refuse(build, SAY_expression_too_long, at);
}

/* ---- Lines ------------------------------------------------------------------- */

void build_line(Build *build, Name head, uint32_t start, uint32_t end)
{
    build->line = build_node(build, NODE_LINE, start, end, head);
    build->last = 0;
    build->operators = 0;
    build->failed = build->too_deep = false;
}

void build_child(Build *build, NodeId child)
{
    if (build->last == 0)
        node_at(build, build->line)->first = child;
    else
        node_at(build, build->last)->next = child;
    build->last = child;
}

BuildPlace build_rehearse(Build *build)
{
    Tree *tree = build->tree;
    BuildPlace place = {tree->nodes.count, tree->numbers.count, build->line, build->last};
    build_line(build, 0, 0, 0);
    build->rehearsing = true;
    return place;
}

void build_rehearsed(Build *build, BuildPlace place)
{
    build->tree->nodes.count = place.nodes;
    build->tree->numbers.count = place.numbers;
    build->line = place.line;
    build->last = place.last;
    build->failed = true;
    build->rehearsing = false;
}

void build_argument(Build *build, NodeId argument, uint8_t marks)
{
    node_at(build, argument)->marks |= marks;
    build_child(build, argument);
    build->operators = 0;
}

void build_phrase(Build *build, Token preposition, NodeId argument, uint8_t marks)
{
    NodeId word = build_word(build, NODE_PREPOSITION, preposition);
    node_at(build, word)->marks |= marks;
    build_child(build, word);
    build_child(build, argument);
    build->operators = 0;
}

void build_bind(Build *build, Token token, NodeId value)
{
    NodeId bind = node_over(build, NODE_BIND, value, value, 0);
    node_at(build, bind)->start = token.start;
    build_child(build, bind);
    build->operators = 0;
}

void build_condition(Build *build, NodeId condition)
{
    build_child(build, node_over(build, NODE_WHEN, condition, condition, 0));
}

Chain build_one(NodeId node)
{
    return (Chain){node, node};
}

Chain build_more(Build *build, Chain chain, NodeId node)
{
    node_at(build, chain.last)->next = node;
    return (Chain){chain.first, node};
}

NodeId build_word(Build *build, NodeForm form, Token token)
{
    return build_node(build, form, token.start, token.end, token.value);
}

NodeId build_over(Build *build, NodeForm form, Token token, NodeId child)
{
    NodeId id = build_word(build, form, token);
    node_at(build, id)->first = child;
    if (child != 0)
        node_at(build, id)->end = node_at(build, child)->end;
    return id;
}

/* ---- Expressions --------------------------------------------------------------- */

static Operator operator_of(uint32_t kind)
{
    switch (kind) {
    case TOKEN_PLUS:       return OPERATOR_ADD;
    case TOKEN_MINUS:      return OPERATOR_SUBTRACT;
    case TOKEN_TIMES:      return OPERATOR_TIMES;
    case TOKEN_OVER:       return OPERATOR_OVER;
    case TOKEN_POWER:      return OPERATOR_POWER;
    case TOKEN_EQUAL:      return OPERATOR_EQUAL;
    case TOKEN_UNEQUAL:    return OPERATOR_UNEQUAL;
    case TOKEN_LESS:       return OPERATOR_LESS;
    case TOKEN_LESS_EQUAL: return OPERATOR_LESS_EQUAL;
    case TOKEN_MORE:       return OPERATOR_MORE;
    case TOKEN_MORE_EQUAL: return OPERATOR_MORE_EQUAL;
    case TOKEN_IS:         return OPERATOR_IS;
    case TOKEN_IS_NOT:     return OPERATOR_IS_NOT;
    case TOKEN_AND:        return OPERATOR_AND;
    default:               return OPERATOR_OR;
    }
}

static bool is_bracketed(Build *build, const Node *node)
{
    return build->mistakes->text[node->start - build->mistakes->base] == '(';
}

/* -3 ^ 2: minus nine to some, nine to others. */
static void refuse_sign_and_power(Build *build, NodeId left, NodeId right)
{
    const Node *base = node_at(build, left);
    bool number = base->form == NODE_NUMBER || base->form == NODE_QUANTITY;
    if (!number || is_bracketed(build, base) || !(build->tree->numbers.at[base->value] < 0))
        return;
    Span at = {base->start, node_at(build, right)->end};
    Arena *words = &build->mistakes->words;
    const char *text = mistakes_quote(build->mistakes, base->start, base->end);
    const char *power = mistakes_quote(build->mistakes, node_at(build, right)->start, at.end);
    size_t sign = text[0] == '-' ? 1 : 3;
    if (may_say(build))
        mistakes_say(build->mistakes, SAY_sign_and_power, at, mistakes_quote(build->mistakes, at.start, at.end),
                     arena_print(words, "(%s) ^ %s", text, power), arena_print(words, "0 - %s ^ %s", text + sign, power), NULL);
    build->failed = true;
}

/* `1 + not a` and `1 + about 2`: what holds less, without brackets, where only what holds more can stand. */
static void refuse_loose_right(Build *build, Token sign, NodeId right)
{
    const Node *node = node_at(build, right);
    bool loose = node->form == NODE_NOT || node->form == NODE_ABOUT;
    bool joins = sign.kind == TOKEN_AND || sign.kind == TOKEN_OR;
    if (loose && !joins && !is_bracketed(build, node))
        refuse(build, SAY_brackets_needed, tree_span(build->tree, right));
}

NodeId build_binary(Build *build, NodeId left, Token sign, NodeId right)
{
    count_operator(build, (Span){sign.start, sign.end});
    refuse_loose_right(build, sign, right);
    if (sign.kind == TOKEN_POWER)
        refuse_sign_and_power(build, left, right);
    NodeId id = build_pair(build, NODE_BINARY, left, right);
    node_at(build, id)->extra = (uint16_t)operator_of(sign.kind);
    return id;
}

NodeId build_not(Build *build, Token token, NodeId condition)
{
    count_operator(build, (Span){token.start, token.end});
    return build_over(build, NODE_NOT, token, condition);
}

NodeId build_pair(Build *build, NodeForm form, NodeId left, NodeId right)
{
    node_at(build, left)->next = right;
    return node_over(build, form, left, right, 0);
}

NodeId build_tolerance(Build *build, NodeId aim, NodeId allowed)
{
    node_at(build, allowed)->marks |= NODE_FOR_TOLERANCE;
    return build_pair(build, NODE_TOLERANCE, aim, allowed);
}

/* `about 5..7` */
static void refuse_about_range(Build *build, NodeId typical)
{
    const Node *node = node_at(build, typical);
    if (node->form == NODE_RANGE || node->form == NODE_TOLERANCE)
        refuse(build, SAY_about_range, tree_span(build->tree, typical));
}

NodeId build_about(Build *build, Token token, NodeId typical)
{
    refuse_about_range(build, typical);
    return build_over(build, NODE_ABOUT, token, typical);
}

NodeId build_about_between(Build *build, Token token, NodeId typical, Token between, NodeId range)
{
    const Node *node = node_at(build, range);
    if (node->form != NODE_RANGE)
        refuse(build, SAY_between_without_range, (Span){between.start, node->end});
    refuse_about_range(build, typical);
    NodeId id = build_over(build, NODE_ABOUT, token, typical);
    node_at(build, typical)->next = range;
    node_at(build, id)->end = node_at(build, range)->end;
    return id;
}

NodeId build_part(Build *build, NodeId thing, Token name)
{
    count_operator(build, (Span){name.start, name.end});
    NodeId id = node_over(build, NODE_DOT, thing, thing, name.value);
    node_at(build, id)->end = name.end;
    return id;
}

NodeId build_call(Build *build, Token name, Chain arguments, Token end)
{
    NodeId id = build_node(build, NODE_CALL, name.start, end.end, name.value);
    node_at(build, id)->first = arguments.first;
    return id;
}

/* Brackets leave no node; what they hold spans them. */
NodeId build_bracket(Build *build, Token open, NodeId inner, Token close)
{
    node_at(build, inner)->start = open.start;
    node_at(build, inner)->end = close.end;
    return inner;
}

NodeId build_number(Build *build, Token token)
{
    const char *text = (const char *)build->mistakes->text + (token.start - build->mistakes->base);
    size_t length = token.end - token.start, sign = 0;
    if (!(text[0] >= '0' && text[0] <= '9'))
        sign = text[0] == '-' ? 1 : 3; /* the minus sign of U+2212 */
    unsigned decimals;
    double number = decimal_read(text + sign, length - sign, &decimals);
    NodeId id = build_node(build, NODE_NUMBER, token.start, token.end, build->tree->numbers.count);
    list_push(build->memory, &build->tree->numbers, sign ? -number : number);
    node_at(build, id)->extra = (uint16_t)decimals;
    return id;
}

NodeId build_quantity(Build *build, Token number, Token unit)
{
    NodeId id = build_number(build, number);
    NodeId child = build_word(build, NODE_UNIT, unit);
    Node *node = node_at(build, id);
    node->form = NODE_QUANTITY;
    node->first = child;
    node->end = unit.end;
    return id;
}

NodeId build_bad(Build *build, Token first, Token last)
{
    return build_node(build, NODE_BAD, first.start, last.end, 0);
}

NodeId build_list(Build *build, Token open, Chain items, Token close)
{
    NodeId id = build_node(build, NODE_LIST, open.start, close.end, 0);
    node_at(build, id)->first = items.first;
    return id;
}

NodeId build_list_of_unit(Build *build, Token open, Chain items, Token unit)
{
    return build_list(build, open, build_more(build, items, build_word(build, NODE_UNIT, unit)), unit);
}

NodeId build_each(Build *build, Token each, Token variable, NodeId set, NodeId condition)
{
    NodeId id = build_over(build, NODE_EACH, each, set);
    node_at(build, id)->value = variable.value;
    if (condition != 0) {
        NodeId when = node_over(build, NODE_WHEN, condition, condition, 0);
        node_at(build, set)->next = when;
        node_at(build, id)->end = node_at(build, condition)->end;
    }
    return id;
}

NodeId build_narrow(Build *build, NodeId inner, Token kind)
{
    NodeId id = node_over(build, NODE_NARROW, inner, inner, kind.value);
    node_at(build, id)->end = kind.end;
    return id;
}

NodeId build_convert(Build *build, NodeId inner, Token unit)
{
    return build_pair(build, NODE_CONVERT, inner, build_word(build, NODE_UNIT, unit));
}

/* ---- Texts ------------------------------------------------------------------------ */

/* The piece that a token holds between its quote or braces, or 0. */
static NodeId piece(Build *build, Token token)
{
    return token.value ? build_word(build, NODE_PIECE, token) : 0;
}

NodeId build_text(Build *build, Token token)
{
    NodeId id = build_node(build, NODE_TEXT, token.start, token.end, 0);
    NodeId only = piece(build, token);
    node_at(build, id)->first = only;
    return id;
}

Chain build_text_start(Build *build, Token token, NodeId fill)
{
    NodeId text = build_node(build, NODE_TEXT, token.start, token.end, 0);
    NodeId first = piece(build, token);
    if (first != 0)
        node_at(build, first)->next = fill;
    node_at(build, text)->first = first ? first : fill;
    return (Chain){text, fill};
}

Chain build_text_more(Build *build, Chain pieces, Token token, NodeId fill)
{
    NodeId between = piece(build, token);
    if (between != 0) {
        node_at(build, pieces.last)->next = between;
        pieces.last = between;
    }
    node_at(build, pieces.last)->next = fill;
    return (Chain){pieces.first, fill};
}

NodeId build_text_end(Build *build, Chain pieces, Token token)
{
    NodeId last = piece(build, token);
    node_at(build, pieces.last)->next = last;
    node_at(build, pieces.first)->end = token.end;
    return pieces.first;
}

NodeId build_fill(Build *build, NodeId inner)
{
    return node_over(build, NODE_FILL, inner, inner, 0);
}

NodeId build_fill_decimals(Build *build, NodeId inner, Token number, Token unit)
{
    NodeId id = build_fill(build, inner);
    const unsigned char *text = build->mistakes->text + (number.start - build->mistakes->base);
    uint32_t length = number.end - number.start, decimals = 0;
    bool good = (unit.value == build->decimal || unit.value == build->decimals) && length <= 2;
    for (uint32_t i = 0; good && i < length; i++) {
        good = text[i] >= '0' && text[i] <= '9';
        decimals = decimals * 10 + (uint32_t)(text[i] - '0');
    }
    good = good && decimals <= MOST_DECIMALS;
    if (good) {
        node_at(build, id)->extra = (uint16_t)(decimals + 1);
        return id;
    }
    refuse(build, SAY_fill_form, (Span){number.start, unit.end});
    return id;
}
