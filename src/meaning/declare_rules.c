/* Declaring rules and claims, and what a paper accepts. */
#include "meaning/declare.h"

#include "meaning/line.h"

enum { LETS_OF_RULE = 64 };

void declare_rule_name(World *world, NodeId line)
{
    bool claim = line_head(world, line) == KNOWN_claim;
    Name name = declare_only_name(world, line, claim ? "claim" : "rule");
    if (name == 0) {
        return;
    }
    uint32_t rule = list_add(world->memory, &world->rules);
    world->rules.at[rule] = (Rule){.name = name, .line = line};
    if (!claim) {
        declare_name(world, SPACE_RULE, name, rule, world_node(world, line)->first);
    }
}

Type settle_item(Type of)
{
    if (TYPE_SORT(of) != TYPE_SET || TYPE_INDEX(of) == 0) {
        return 0;
    }
    return TYPE_INDEX(of) == SET_OF_STEPS ? TYPE(TYPE_STEP, 0) : TYPE(TYPE_THING, TYPE_INDEX(of));
}

/* each NAME from SET when COND */
static void read_each(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId name = line_first(world, line), set = line_behind(world, line, KNOWN_from), when = line_when(world, line);
    if (name == 0 || set == 0 || world_node(world, name)->form != NODE_NAME) {
        line_say_written_so(world, line, "each NAME from SET when CONDITION");
        return;
    }
    Type of = settle_set(scope, set), item = settle_item(of);
    if (TYPE_SORT(item) == TYPE_STEP && world_node(world, set)->form == NODE_CALL) {
        item = TYPE(TYPE_STEP, world_node(world, world_node(world, set)->first)->value);
    }
    uint16_t slot = scope_add(scope, world_node(world, name)->value, item, world_span(world, name));
    if (when != 0) {
        settle_condition(scope, when);
    }
    list_push(world->memory, &world->eachs, (Each){set, when, line, slot});
}

/* The lets from number FIRST on that NODE rests on. Each of them is worked out only where one of its rule's requirements asks. */
static uint64_t lets_asked(const World *world, NodeId node, uint32_t first)
{
    uint64_t asked = 0;
    if (node == 0) {
        return 0;
    }
    uint32_t binding = world->bindings.at[node];
    for (uint32_t i = first; i < world->rule_lets.count && world_node(world, node)->form == NODE_NAME; i++) {
        if (BOUND_OF(binding) == BOUND_SLOT && BOUND_INDEX(binding) == world->rule_lets.at[i].slot) {
            asked |= (uint64_t)1 << (i - first) | world->rule_lets.at[i].asks;
        }
    }
    for (NodeId inner = world_node(world, node)->first; inner != 0; inner = world_node(world, inner)->next) {
        asked |= lets_asked(world, inner, first);
    }
    return asked;
}

static void read_let(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId name = line_first(world, line), value = line_bound(world, line);
    if (name == 0 || value == 0 || world_node(world, name)->form != NODE_NAME) {
        line_say_written_so(world, line, "let NAME = …");
        return;
    }
    Name limited;
    Type type = declare_type(world, line_behind(world, line, KNOWN_as), &limited);
    Type settled = settle(scope, value, type);
    uint16_t slot = scope_add(scope, world_node(world, name)->value, type != 0 ? type : settled, world_span(world, name));
    if (world->rule_lets.count - scope->rule_lets >= LETS_OF_RULE) {
        message_say(world->messages, SAY_too_many_names, world_span(world, name), NULL);
        return;
    }
    uint64_t asks = lets_asked(world, value, scope->rule_lets);
    list_push(world->memory, &world->rule_lets, (RuleLet){value, slot, asks});
}

static Judged judged_in(const World *world, NodeId line, Judged otherwise)
{
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (line_is_word(world, part, KNOWN_worst)) {
            return JUDGED_WORST;
        }
        if (line_is_word(world, part, KNOWN_best)) {
            return JUDGED_BEST;
        }
    }
    return otherwise;
}

/* The text of LINE, settled. The words themselves must stand in it: who asks `why` sees them as they are written. 0: they do not, which is said. */
static NodeId read_text(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId text = line_first(world, line);
    if (text == 0 || world_node(world, text)->form != NODE_TEXT) {
        line_say_written_so(world, line, arena_print(world->scratch, "%s \"…\"", world_word(world, line_head(world, line))));
        return 0;
    }
    settle(scope, text, TYPE(TYPE_TEXT, 0));
    return text;
}

static NodeId read_else(Scope *scope, NodeId line)
{
    NodeId text = line_else(scope->world, line);
    if (text != 0) {
        settle(scope, text, TYPE(TYPE_TEXT, 0));
    }
    return text;
}

/* require COND, severity …, judged at …; needs COND else TEXT */
static void read_require(Scope *scope, NodeId line, bool claim)
{
    World *world = scope->world;
    NodeId condition = line_first(world, line), severity = line_behind(world, line, KNOWN_severity);
    if (condition == 0) {
        line_say_written_so(world, line, claim ? "needs CONDITION else \"…\"" : "require CONDITION, severity error");
        return;
    }
    settle_condition(scope, condition);
    if (severity != 0) {
        settle(scope, severity, TYPE(TYPE_WORD, 0));
        Name word = world_node(world, severity)->value;
        bool known = word == KNOWN_error || word == KNOWN_warning || word == KNOWN_note;
        if (world_node(world, severity)->form == NODE_NAME && !known) { /* a name here is always a word */
            message_say(world->messages, SAY_unknown_word, world_span(world, severity), world_word(world, word), "severity",
                        "error, warning, note", NULL);
        }
    }
    NodeId otherwise = read_else(scope, line), when = line_when(world, line);
    if (when != 0) {
        settle_condition(scope, when);
    }
    uint64_t asks = lets_asked(world, condition, scope->rule_lets), when_asks = lets_asked(world, when, scope->rule_lets);
    list_push(world->memory, &world->requirements,
              (Requirement){line, condition, when, severity, otherwise, (uint8_t)judged_in(world, line, JUDGED_TYPICAL), asks, when_asks});
}

static void read_sentence(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId text = read_text(scope, line);
    NodeId otherwise = read_else(scope, line), when = line_when(world, line);
    if (when != 0) {
        settle_condition(scope, when);
    }
    list_push(world->memory, &world->sentences, (Sentence){line_head(world, line), text, otherwise, when});
}

/* change NAME of SET or THING, within LOW..HIGH. The range has the kind of what is changed, which is known only where it is
 * looked for: it is settled by its own units. */
static void read_change(Scope *scope, Rule *rule, NodeId line)
{
    World *world = scope->world;
    NodeId name = line_first(world, line), of = line_behind(world, line, KNOWN_of), within = line_behind(world, line, KNOWN_within);
    if (name == 0 || world_node(world, name)->form != NODE_NAME || of == 0 || within == 0
        || world_node(world, within)->form != NODE_RANGE) {
        line_say_written_so(world, line, "change NAME of SET, within LOW..HIGH");
        return;
    }
    settle(scope, of, 0);
    settle(scope, within, 0);
    rule->change = world_node(world, name)->value;
    rule->change_of = of;
    rule->change_range = within;
}

static void read_marked(Scope *scope, NodeId line)
{
    World *world = scope->world;
    for (NodeId part = line_first(world, line); part != 0 && line_is_argument(world, part); part = world_node(world, part)->next) {
        settle(scope, part, 0);
        list_push(world->memory, &world->marked, part);
    }
}

/* What the message works out itself has names, too: {found}, {limit}, {needed}; {change.now} … stand in settle_names.c. */
static void add_texts(Scope *scope, Rule *rule, Span at)
{
    rule->texts = scope->slots;
    scope_add(scope, KNOWN_found, TYPE(TYPE_TEXT, 0), at);
    scope_add(scope, KNOWN_limit, TYPE(TYPE_TEXT, 0), at);
    scope_add(scope, KNOWN_needed, TYPE(TYPE_TEXT, 0), at);
    scope->slots = (uint16_t)(scope->slots + RULE_TEXTS - 3);
    scope->of_rule = true;
    scope->rule_texts = rule->texts;
}

static void read_line(Scope *scope, Rule *rule, NodeId line)
{
    World *world = scope->world;
    Name head = line_head(world, line);
    switch (head) {
    case KNOWN_each: read_each(scope, line); break;
    case KNOWN_let: read_let(scope, line); break;
    case KNOWN_require: read_require(scope, line, false); break;
    case KNOWN_needs: read_require(scope, line, true); break;
    case KNOWN_says: case KNOWN_mend: case KNOWN_wording: read_sentence(scope, line); break;
    case KNOWN_change: read_change(scope, rule, line); break;
    case KNOWN_marks:
        if (rule->claim == 0) {
            read_marked(scope, line);
        }
        break;
    case KNOWN_because: rule->because = read_text(scope, line); break;
    case KNOWN_source: rule->source = read_text(scope, line); break;
    case KNOWN_practice: rule->marks |= MARK_PRACTICE; break;
    case KNOWN_memory: rule->marks |= MARK_MEMORY; break;
    case KNOWN_fails: rule->fails = line; break;
    case KNOWN_mended: rule->mended = line; break;
    default: break;
    }
}

/* The lines of one head after another, so that the lists of each stand together; sets first, since all others ask for them. */
static void read_block(Scope *scope, Rule *rule, NodeId line)
{
    World *world = scope->world;
    NodeId block = line_block(world, line), first = block == 0 ? 0 : world_node(world, block)->first;
    Judged all = JUDGED_TYPICAL;
    for (NodeId at = first; at != 0; at = world_node(world, at)->next) {
        Name head = line_head(world, at);
        if (head == KNOWN_each || head == KNOWN_let) {
            read_line(scope, rule, at);
        }
        if (head == KNOWN_judged) {
            all = judged_in(world, at, all);
        }
    }
    rule->each_count = world->eachs.count - rule->each;
    rule->let_count = world->rule_lets.count - rule->lets;
    add_texts(scope, rule, line_span(world, line));
    for (NodeId at = first; at != 0; at = world_node(world, at)->next) {
        Name head = line_head(world, at);
        if (head != KNOWN_each && head != KNOWN_let && !line_unreadable(world, at)) {
            read_line(scope, rule, at);
        }
    }
    for (uint32_t i = rule->require; i < world->requirements.count; i++) {
        Requirement *requirement = &world->requirements.at[i];
        requirement->judged = requirement->judged == JUDGED_TYPICAL ? (uint8_t)all : requirement->judged;
    }
}

static bool has_sentence(const World *world, const Rule *rule, Name head)
{
    for (uint32_t i = rule->sentence; i < rule->sentence + rule->sentence_count; i++) {
        if (world->sentences.at[i].head == head) {
            return true;
        }
    }
    return false;
}

void declare_rule(World *world, uint32_t id, NodeId line)
{
    Rule rule = {.name = world->rules.at[id].name, .line = line, .each = world->eachs.count, .lets = world->rule_lets.count,
                 .require = world->requirements.count, .sentence = world->sentences.count, .marked = world->marked.count};
    if (line_head(world, line) == KNOWN_claim) {
        uint32_t binding = world_declared(world, SPACE_VALUE, rule.name);
        rule.claim = BOUND_OF(binding) == BOUND_THING ? BOUND_INDEX(binding) : 0;
    }
    uint32_t errors = world->messages->errors;
    Scope scope;
    scope_open(&scope, world);
    scope.rule_lets = rule.lets;
    read_block(&scope, &rule, line);
    rule.require_count = world->requirements.count - rule.require;
    rule.sentence_count = world->sentences.count - rule.sentence;
    rule.marked_count = world->marked.count - rule.marked;
    rule.slots = scope.slots;
    bool claim = line_head(world, line) == KNOWN_claim;
    if (world->messages->errors == errors && !line_unreadable(world, line) && declare_block_is_whole(world, line)) {
        const char *lacks = rule.require_count == 0 ? (claim ? "needs" : "require")
            : !claim && !has_sentence(world, &rule, KNOWN_says) ? "says" : NULL;
        if (rule.require_count > REQUIREMENTS_OF_RULE || rule.slots > NAMES_OF_RULE) {
            message_say(world->messages, SAY_rule_too_large, line_span(world, line), NULL);
        } else if (lacks != NULL) {
            message_say(world->messages, SAY_rule_lacks, line_span(world, line), lacks, NULL);
        }
    }
    if (world->messages->errors != errors) {
        rule.require_count = 0; /* what rests on a mistake judges nothing */
    }
    world->rules.at[id] = rule;
}

void declare_settle_rules(Lot *lot)
{
    World *world = lot->world;
    for (uint32_t rule = lot->rules; rule < world->rules.count; rule++) {
        declare_rule(world, rule, world->rules.at[rule].line);
    }
}

/* ---- what a paper accepts ---- */

void declare_acceptance(World *world, uint32_t paper, NodeId line)
{
    NodeId name = line_first(world, line), because = line_behind(world, line, KNOWN_because);
    NodeId by = line_behind(world, line, KNOWN_signed), until = line_behind(world, line, KNOWN_until);
    bool whole = name != 0 && world_node(world, name)->form == NODE_NAME && because != 0 && by != 0 && until != 0
        && world_node(world, because)->form == NODE_TEXT && world_node(world, by)->form == NODE_TEXT
        && world_node(world, until)->form == NODE_DATE;
    if (!whole) {
        line_say_written_so(world, line, "accept RULE, because \"…\", signed \"…\", until 2027-12-31");
        return;
    }
    Name word = world_node(world, name)->value;
    uint32_t rule = world_declared(world, SPACE_RULE, word);
    if (rule == WORLD_BROKEN) {
        return;
    }
    if (rule == 0) {
        message_say(world->messages, SAY_unknown_name, world_span(world, name), "rule", world_word(world, word),
                    world_guess(world, word, SPACE_RULE), NULL);
        return;
    }
    list_push(world->memory, &world->acceptances, (Acceptance){rule, paper, line, because, by, until});
}
