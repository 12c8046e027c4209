/* why: how a figure came about; what a message means. */
#include "commands/command.h"

#include "meaning/line.h"

#include <stdio.h>
#include <string.h>

/* The lines of a rule's example, one below the other. */
static void put_lines(Text *text, const World *world, NodeId line)
{
    NodeId block = line == 0 ? 0 : line_block(world, line);
    for (NodeId at = block == 0 ? 0 : world->tree.nodes.at[block].first; at != 0; at = world->tree.nodes.at[at].next) {
        line_put_whole(world, at, "    ", text);
    }
}

static void put_plain_text(Text *text, const World *world, const char *label, NodeId node)
{
    NodeId piece = node == 0 ? 0 : world->tree.nodes.at[node].first;
    if (piece != 0 && world->tree.nodes.at[piece].form == NODE_PIECE) {
        text_print(text, "\n%s: %s\n", label, names_text(&world->names, world->tree.nodes.at[piece].value));
    }
}

static void put_rule(Text *text, const World *world, const Rule *rule)
{
    text_print(text, "%s (%s)\n\n", names_text(&world->names, rule->name), rule->claim != 0 ? "a claim" : "a rule");
    sources_comment_above(&world->sources, world->tree.nodes.at[rule->line].start, text);
    text_char(text, '\n');
    put_plain_text(text, world, "Because", rule->because);
    put_plain_text(text, world, "Source", rule->source);
    if ((rule->marks & MARK_PRACTICE) != 0) {
        text_put(text, "\nIts limit is common practice.\n");
    }
    if ((rule->marks & MARK_MEMORY) != 0) {
        text_put(text, "\nIts limit is from memory: look it up before you rely on it.\n");
    }
    if (rule->fails != 0 && rule->mended != 0) {
        text_put(text, rule->claim != 0 ? "\nRefused with these lines, in an invented script:\n\n" : "\nThis gets it, in an invented script:\n\n");
        put_lines(text, world, rule->fails);
        text_put(text, rule->claim != 0 ? "\nGranted with these:\n\n" : "\nThis does not:\n\n");
        put_lines(text, world, rule->mended);
    }
}

/* A rule or claim of stdlib. Whether one is called so: *ANSWER is how telling it ended. SEARCH looks among their names for one
 * that is near. */
static bool why_rule(const Options *options, const char *name, TextNearest *search, int *answer)
{
    Workshop *workshop = command_workshop(options);
    *answer = COMMAND_TROUBLE;
    if (workshop == NULL) {
        return true; /* it has been said */
    }
    const World *world = workshop_world(workshop);
    bool found = false;
    for (uint32_t id = 1; id < world->rules.count && !found; id++) {
        text_nearest(search, names_text(&world->names, world->rules.at[id].name));
        found = strcmp(names_text(&world->names, world->rules.at[id].name), name) == 0;
        if (found) {
            Text text;
            text_open(&text, options->memory);
            put_rule(&text, world, &world->rules.at[id]);
            *answer = command_put(options, &text, true);
        }
    }
    if (search->nearest != NULL) { /* it stands in the workshop */
        char *near = memory_take(options->memory, strlen(search->nearest) + 1);
        strcpy(near, search->nearest);
        search->nearest = near;
    }
    workshop_close(workshop);
    return found;
}

/* What a message says, with … where it names what it found: {1}, {2}. */
static void put_said(Text *text, const char *says)
{
    for (; *says != 0; says++) {
        if (says[0] == '{' && says[1] >= '1' && says[1] <= '9' && says[2] == '}') {
            text_put(text, "…");
            says += 2;
        } else {
            text_char(text, *says);
        }
    }
}

static int why_message(const Options *options, const char *name)
{
    MessageName id = message_named(name);
    TextNearest search = {.to = name};
    int answer;
    if (id == MESSAGE_NAMES && why_rule(options, name, &search, &answer)) {
        return answer;
    }
    if (id == MESSAGE_NAMES) {
        for (int i = 0; i < MESSAGE_NAMES; i++) {
            text_nearest(&search, message_kinds[i].name);
        }
        return search.nearest != NULL ? command_trouble("There is no message, rule or claim called %s. Did you mean %s?", name, search.nearest)
                                      : command_trouble("There is no message called %s. waterleaf list messages lists them.", name);
    }
    const MessageKind *kind = &message_kinds[id];
    static const char *const severities[] = {"note", "warning", "error"};
    Memory *memory = options->memory;
    Text text;
    text_open(&text, memory);
    text_print(&text, "%s (%s)\n\n", kind->name, severities[kind->severity]);
    put_said(&text, kind->says);
    bool advises = *kind->mend != 0 && strcmp(kind->mend, "{3}") != 0 && strcmp(kind->mend, "{2}") != 0; /* a gap alone advises nothing */
    text_put(&text, advises ? " " : "");
    put_said(&text, advises ? kind->mend : "");
    text_char(&text, '\n');
    if (*kind->why != 0) {
        text_print(&text, "\n%s\n", kind->why);
    }
    if (*kind->fails != 0) {
        text_print(&text, "\nThis gets it, in an invented script:\n\n%s\nThis does not:\n\n%s", kind->fails, kind->mended);
    }
    return command_put(options, &text, true);
}

static void json_place(Json *json, Workshop *workshop, uint32_t place)
{
    if (place == 0) {
        json_put_null(json, "file");
        json_put_null(json, "line");
        return;
    }
    const Sources *sources = &workshop_world(workshop)->sources;
    uint32_t line, column;
    sources_line(sources, place, &line, &column);
    json_put_text(json, "file", command_path(workshop, sources_at(sources, place)));
    json_put_number(json, "line", line);
}

static void json_marks(Json *json, uint32_t marks)
{
    static const struct { uint32_t mark; const char *word; } all[] = {
        {MARK_PRACTICE, "practice"}, {MARK_MEMORY, "memory"}, {MARK_SUPPLIER, "supplier"}, {MARK_MEASURED, "measured"}};
    json_put_array(json, "marks");
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if ((marks & all[i].mark) != 0) {
            json_put_text(json, NULL, all[i].word);
        }
    }
    json_put_end(json);
}

/* PARTS and those that they are made of. */
static void json_parts(Json *json, const char *key, Workshop *workshop, const WhyPart *parts)
{
    json_put_array(json, key);
    for (const WhyPart *part = parts; part != NULL; part = part->next) {
        json_put_object(json, NULL);
        json_put_text(json, "figure", part->figure);
        json_put_text(json, "shown", part->shown);
        json_put_number(json, "value", part->value);
        json_put_text(json, "formula", part->formula);
        json_put_text(json, "with-numbers", part->with_numbers);
        json_put_text(json, "says", part->says);
        json_put_text(json, "end", why_end_word(part->end));
        json_place(json, workshop, part->place);
        json_put_text(json, "source", part->source);
        json_marks(json, part->marks);
        json_parts(json, "parts", workshop, part->first);
        json_put_end(json);
    }
    json_put_end(json);
}

static int explain_figure(const Options *options, char **words)
{
    Workshop *workshop = command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    const char *explained = "";
    WaterleafAnswer answer = workshop_read(workshop, words[0]);
    if (answer == WATERLEAF_FINE) {
        answer = workshop_why(workshop, words[1], words[2], options->depth, &explained);
    }
    bool worked = answer == WATERLEAF_FINE || answer == WATERLEAF_ERRORS; /* errors are shown as messages */
    int end = worked ? command_end(options, workshop_messages(workshop)) : command_trouble("%s", workshop_trouble(workshop));
    if (command_show_messages(options, workshop, false) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    Memory *memory = options->memory;
    Text text;
    text_open(&text, memory);
    if (options->json) {
        Json json;
        json_put_open(&json, &text);
        command_json_head(&json, workshop);
        json_put_text(&json, "name", words[1]);
        json_put_text(&json, "figure", words[2]);
        json_put_text(&json, "text", answer == WATERLEAF_FINE ? explained : NULL);
        json_parts(&json, "figures", workshop, workshop_why_parts(workshop));
        command_json_problems(&json, "problems", workshop);
        json_put_close(&json);
    } else {
        text_put(&text, explained);
    }
    if (command_put_end(options, &text, end) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    workshop_close(workshop);
    return end;
}

int command_why(const Options *options, int count, char **words)
{
    if (count == 1) {
        return why_message(options, words[0]);
    }
    if (count == 3) {
        return explain_figure(options, words);
    }
    return command_trouble("why takes a FILE, the NAME of a batch or paper and a FIGURE; or the name of a message.");
}
