/* What is wrong is put into words, accepted or said; claims are proven or refused. */
#include "rules/judge.h"

#include "rules/verdicts.h"

#include "reckoning/flow.h"
#include "reckoning/solve.h"
#include "reckoning/variant.h"

#include "base/text.h"

#include <string.h>

void judge_open(Judge *judge, World *world, Memory *memory, int32_t day)
{
    *judge = (Judge){.world = world, .memory = memory, .day = day};
}

void judge_close(Judge *judge)
{
    ends_forget(&judge->ends, judge->memory);
    if (judge->trial_open) {
        run_close(&judge->trial);
    }
    memory_return(judge->memory, judge->accepted.at);
    memory_return(judge->memory, judge->claims.at);
    int32_t day = judge->day;
    judge_open(judge, judge->world, judge->memory, day);
}

/* ---- words ---- */

static Value text_value(Run *run, const char *text)
{
    if (text == NULL) {
        return run_absent(0);
    }
    list_push(run->memory, &run->texts, text);
    return (Value){0, run->texts.count - 1, 0};
}

/* The first sentence under HEAD whose condition holds; NO_VALUE: what it says where no value would do. */
static const char *sentence(Run *run, Frame *frame, const Rule *rule, Name head, bool no_value)
{
    for (uint32_t i = rule->sentence; i < rule->sentence + rule->sentence_count; i++) {
        Sentence at = run->world->sentences.at[i];
        if (at.head == head && (at.when == 0 || run_holds(run, frame, at.when))) {
            NodeId text = no_value && at.otherwise != 0 ? at.otherwise : at.text;
            return run_text(run, frame, text);
        }
    }
    return "";
}

static Severity severity_of(Run *run, Frame *frame, const Requirement *requirement)
{
    Value word = requirement->severity == 0 ? run_absent(0) : run_value(run, frame, requirement->severity);
    Name name = run_told(word) ? word.thing : KNOWN_error;
    return name == KNOWN_note ? SEVERITY_NOTE : name == KNOWN_warning ? SEVERITY_WARNING : SEVERITY_ERROR;
}

static const char *origin_text(Run *run, const Rule *rule)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    if (rule->source != 0) {
        return run_text(run, &frame, rule->source);
    }
    return (rule->marks & MARK_MEMORY) != 0 ? "from memory" : (rule->marks & MARK_PRACTICE) != 0 ? "common practice" : NULL;
}

static const char *ref_text(Run *run, uint32_t ref, bool step)
{
    if (REF_SORT(ref) == REF_STEP || (REF_SORT(ref) == REF_ADDITION && step)) {
        uint32_t done = REF_SORT(ref) == REF_STEP ? REF_INDEX(ref) : run->additions.at[REF_INDEX(ref)].step;
        return run_shown(run, NULL, 0, (Value){0, REF(REF_STEP, done), 0}, TYPE(TYPE_STEP, 0));
    }
    return run_shown(run, NULL, 0, (Value){0, ref, 0}, TYPE(TYPE_THING, settle_shape(run->world, KNOWN_content)));
}

/* ---- accepted ---- */

static const Acceptance *acceptance_of(const World *world, uint32_t paper, uint32_t rule)
{
    for (uint32_t i = 0; i < world->acceptances.count; i++) {
        if (world->acceptances.at[i].paper == paper && world->acceptances.at[i].rule == rule) {
            return &world->acceptances.at[i];
        }
    }
    return NULL;
}

static const char *written(Run *run, NodeId node)
{
    Span span = world_span(run->world, node);
    return arena_copy(&run->arena, sources_bytes(&run->world->sources, span.start), span.end - span.start);
}

/* True: nothing more is to be said. */
static bool is_accepted(Judge *judge, Run *run, uint32_t rule, Severity severity, Span at)
{
    World *world = run->world;
    const Acceptance *found = acceptance_of(world, run->paper, rule);
    if (found == NULL) {
        return false;
    }
    Acceptance accepted = *found;
    const char *name = world_word(world, world->rules.at[rule].name), *until = written(run, accepted.until);
    if (severity == SEVERITY_ERROR) {
        Message *message = message_say(world->messages, SAY_accept_of_error, line_span(world, accepted.line), name, NULL);
        message_also(world->messages, message, at, "what is wrong stands here");
        return false;
    }
    if (judge->day != 0 && (int32_t)world_node(world, accepted.until)->value < judge->day) {
        Message *message = message_say(world->messages, SAY_accept_past, line_span(world, accepted.line), name, until, NULL);
        message_also(world->messages, message, at, "it was accepted here");
        return true;
    }
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    const char *text = arena_print(&run->arena, "%s: %s; signed %s, until %s", name, run_text(run, &frame, accepted.because),
                                   run_text(run, &frame, accepted.by), until);
    for (uint32_t i = 0; i < judge->accepted.count; i++) {
        if (strcmp(judge->accepted.at[i], text) == 0) {
            return true;
        }
    }
    list_push(judge->memory, &judge->accepted, text);
    return true;
}

/* ---- saying ---- */

static const char *kept(Messages *messages, const char *text)
{
    return text == NULL ? NULL : arena_copy(&messages->words, text, strlen(text));
}

/* A rule may be a warning in one variant and an error in another: each is said, but no lesser one behind it. */
static uint32_t number_of(uint32_t rule, Severity severity)
{
    return rule * 4 + (uint32_t)severity;
}

static bool was_said(const Messages *messages, uint32_t rule, Severity severity, Span at)
{
    for (uint32_t more = (uint32_t)severity; more <= SEVERITY_ERROR; more++) {
        if (message_is_in_vain(messages, number_of(rule, (Severity)more), at)) {
            return true;
        }
    }
    return false;
}

static void say(Verdicts *verdicts, const Combination *combination, const Verdict *verdict)
{
    Run *run = verdicts->run;
    World *world = run->world;
    Messages *messages = world->messages;
    Frame frame = {.slots = combination->slots};
    Rule rule = world->rules.at[combination->rule];
    Requirement requirement = world->requirements.at[verdict->requirement];
    verdicts_work_out(run, combination);
    Severity severity = severity_of(run, &frame, &requirement);
    MessagePlace places[MESSAGE_PLACES];
    uint32_t count = places_of_combination(run, combination, places);
    if (is_accepted(verdicts->judge, run, combination->rule, severity, places[0].at)
        || was_said(messages, combination->rule, severity, places[0].at)) {
        return;
    }
    Proposal proposal;
    bool would_do = proposals_find(verdicts, combination, verdict, &proposal);
    Value *texts = &frame.slots[rule.texts];
    texts[RULE_FOUND] = text_value(run, verdict->found);
    texts[RULE_LIMIT] = text_value(run, verdict->limit);
    texts[RULE_NEEDED] = text_value(run, proposal.text);
    texts[RULE_NOW] = text_value(run, proposal.now);
    texts[RULE_MATERIAL] = text_value(run, proposal.ref == 0 ? NULL : ref_text(run, proposal.ref, false));
    texts[RULE_STEP] = text_value(run, proposal.ref == 0 ? NULL : ref_text(run, proposal.ref, true));
    MessageOfRule told = {.number = number_of(combination->rule, severity), .name = world_word(world, rule.name), .severity = severity,
                          .says = sentence(run, &frame, &rule, KNOWN_says, false),
                          .mend = sentence(run, &frame, &rule, KNOWN_mend, rule.change != 0 && !would_do),
                          .source = origin_text(run, &rule)};
    Message *message = message_say_rule(messages, &told, places[0].at);
    message->found = kept(messages, verdict->found);
    message->limit = kept(messages, verdict->limit);
    message->needed = kept(messages, proposal.text);
    if (would_do) {
        message->edit = world_span(world, proposal.literal);
        message->edit_text = message->needed;
    }
    for (uint32_t i = 1; i < count; i++) {
        message_also(messages, message, places[i].at, places[i].says);
    }
}

/* ---- claims ---- */

/* What is missing for CLAIM, all of it in one sentence; NULL: nothing. */
static const char *missing_of(Verdicts *verdicts, uint32_t rule)
{
    Run *run = verdicts->run;
    World *world = run->world;
    const char *missing = NULL;
    uint32_t told = 0;
    for (uint32_t i = 0; i < verdicts->combinations.count; i++) {
        const Combination *combination = &verdicts->combinations.at[i];
        if (combination->rule == rule && combination->count == 0) {
            return "nothing is in this recipe that it could be said of";
        }
        for (uint32_t j = 0; combination->rule == rule && j < combination->count && told < 6; j++) {
            const Verdict *verdict = &combination->verdicts[j];
            if (!verdict->asked || verdict->holds) {
                continue;
            }
            verdicts_work_out(run, combination);
            Frame frame = {.slots = combination->slots};
            Value *texts = &frame.slots[world->rules.at[rule].texts];
            texts[RULE_FOUND] = text_value(run, verdict->found);
            texts[RULE_LIMIT] = text_value(run, verdict->limit);
            NodeId otherwise = world->requirements.at[verdict->requirement].otherwise;
            const char *text = otherwise == 0 ? world_written(world, world->requirements.at[verdict->requirement].condition)
                                              : run_text(run, &frame, otherwise);
            if (missing == NULL || strstr(missing, text) == NULL) {
                missing = missing == NULL ? text : arena_print(&run->arena, "%s; %s", missing, text);
                told++;
            }
        }
    }
    return missing;
}

static void judge_claim(Verdicts *verdicts, uint32_t id)
{
    Run *run = verdicts->run;
    World *world = run->world;
    Rule rule = world->rules.at[id];
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    for (uint32_t i = 0; i < rule.slots; i++) {
        slots[i] = run_absent(0);
    }
    const char *missing = missing_of(verdicts, id);
    const char *wording = missing == NULL ? sentence(run, &frame, &rule, KNOWN_wording, false) : NULL;
    const char *because = rule.because == 0 ? NULL : run_text(run, &frame, rule.because);
    list_push(verdicts->judge->memory, &verdicts->judge->claims, (ClaimJudged){rule.claim, wording, missing, because});
    if (missing == NULL) {
        return;
    }
    MessagePlace places[MESSAGE_PLACES];
    Combination none = {.rule = id, .slots = slots};
    places_of_combination(run, &none, places);
    Message *message = message_say(world->messages, SAY_claim_refused, places[0].at, world_word(world, rule.name), missing, NULL);
    message->name = kept(world->messages, world_word(world, rule.name));
    const char *mend = sentence(run, &frame, &rule, KNOWN_mend, false);
    if (*mend != 0) {
        message->mend = kept(world->messages, mend);
    }
    message->source = kept(world->messages, origin_text(run, &rule));
}

/* ---- the whole ---- */

static bool asks_anything(const Verdicts *verdicts)
{
    for (uint32_t i = 0; i < verdicts->combinations.count; i++) {
        if (verdicts_failing(verdicts->run->world, &verdicts->combinations.at[i]) != NULL) {
            return true;
        }
    }
    return false;
}

/* At the usual values again: what is shown of the paper is taken from this. */
static void solve_as_usual(Run *run)
{
    memset(run->about_ends.at, 0, run->about_ends.count);
    solve_quietly(run);
}

static void judge_claims(Verdicts *verdicts)
{
    const World *world = verdicts->run->world;
    for (uint32_t rule = 1; rule < world->rules.count; rule++) {
        if (world->rules.at[rule].claim != 0 && places_claim_is_asked(verdicts->run, world->rules.at[rule].claim)) {
            judge_claim(verdicts, rule);
        }
    }
}

void judge_paper(Judge *judge, Run *run, bool solved)
{
    Verdicts verdicts = {.judge = judge, .run = run};
    judge->accepted.count = judge->claims.count = 0;
    run->call = 0;
    verdicts_add_all(&verdicts);
    bool moved = ends_judge(&verdicts, &judge->ends);
    if (moved && (solved || asks_anything(&verdicts))) {
        solve_as_usual(run);
    }
    judge_claims(&verdicts);
    for (uint32_t i = 0; i < verdicts.combinations.count; i++) {
        Combination combination = verdicts.combinations.at[i];
        const Verdict *verdict = verdicts_failing(run->world, &combination);
        if (verdict != NULL && run->world->rules.at[combination.rule].claim == 0) {
            say(&verdicts, &combination, verdict);
        }
    }
    verdicts_close(&verdicts);
}

void judge_finish(Judge *judge, Run *run, Outcome *outcome)
{
    outcome->claims = arena_take(&run->arena, (judge->claims.count + 1u) * sizeof *outcome->claims);
    for (uint32_t i = 0; i < judge->claims.count; i++) {
        const ClaimJudged *claim = &judge->claims.at[i];
        outcome->claims[outcome->claim_count++] = (ClaimOutcome){
            .name = arena_print(&run->arena, "%s", world_text(run->world, run->world->things.at[claim->claim].name)),
            .wording = claim->wording, .missing = claim->missing, .because = claim->because};
    }
    outcome->accepted = arena_take(&run->arena, (judge->accepted.count + 1u) * sizeof(const char *));
    for (uint32_t i = 0; i < judge->accepted.count; i++) {
        outcome->accepted[outcome->accepted_count++] = judge->accepted.at[i];
    }
}
