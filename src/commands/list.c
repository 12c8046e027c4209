/* list: what there is: units, kinds, materials, steps, figures, rules, claims, documents, messages. */
#include "commands/command.h"

#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/settle.h"
#include "meaning/unit.h"

#include <stdio.h>
#include <string.h>

typedef struct Listing {
    const Options *options;
    Workshop *workshop;
    const World *world;
    const char *word; /* NULL: all */
    Text text;
    Json json;
    Text comment;
    uint32_t count;
} Listing;

static const char *name_text(const Listing *listing, Name name)
{
    return names_text(&listing->world->names, name);
}

/* The first sentence of the comment above a declaration. */
static const char *about(Listing *listing, NodeId line)
{
    text_clear(&listing->comment);
    if (line != 0) {
        sources_comment_above(&listing->world->sources, listing->world->tree.nodes.at[line].start, &listing->comment);
    }
    if (listing->comment.at == NULL) {
        return "";
    }
    for (char *at = listing->comment.at; *at != 0; at++) {
        if (*at == '\n') {
            *at = ' ';
        }
        if (*at == '.' && (at[1] == 0 || at[1] == '\n' || at[1] == ' ')) {
            at[1] = 0;
            break;
        }
    }
    return listing->comment.at;
}

static bool wanted(const Listing *listing, const char *name, const char *told)
{
    return listing->word == NULL || strcasestr(name, listing->word) != NULL || strcasestr(told, listing->word) != NULL;
}

/* One entry: its name, one more thing to know of it, and what it is. */
static bool entry(Listing *listing, const char *name, const char *more_key, const char *more, const char *told)
{
    if (!wanted(listing, name, told)) {
        return false;
    }
    listing->count++;
    if (listing->options->json) {
        json_put_object(&listing->json, NULL);
        json_put_text(&listing->json, "name", name);
        json_put_text(&listing->json, more_key, more);
        json_put_text(&listing->json, "about", *told == 0 ? NULL : told);
        return true;
    }
    size_t width = utf8_columns(name, strlen(name));
    text_put(&listing->text, name);
    for (size_t i = width; i < 24; i++) {
        text_char(&listing->text, ' ');
    }
    if (more != NULL && *more != 0) {
        text_print(&listing->text, " %-16s", more);
    }
    text_print(&listing->text, " %s\n", told);
    return true;
}

static void ended(Listing *listing)
{
    if (listing->options->json) {
        json_put_end(&listing->json);
    }
}

static void list_units(Listing *listing)
{
    const World *world = listing->world;
    for (UnitId id = 1; id < world->units.count; id++) {
        const Unit *unit = &world->units.at[id];
        if (unit->line == 0 && unit->share == 0) {
            continue; /* put together from others */
        }
        const char *kind = unit->either != 0 ? "ambiguous" : name_text(listing, world->kinds.at[unit->kind].name);
        if (entry(listing, name_text(listing, unit->name), "kind", kind, about(listing, unit->line))) {
            if (listing->options->json) {
                json_put_number(&listing->json, "factor", unit->either != 0 ? 0.0 / 1.0 : unit->factor);
                json_put_number(&listing->json, "from", unit->from);
                json_put_truth(&listing->json, "ambiguous", unit->either != 0);
            }
            ended(listing);
        }
    }
}

static void list_kinds(Listing *listing)
{
    const World *world = listing->world;
    for (KindId id = 1; id < world->kinds.count; id++) {
        const Kind *kind = &world->kinds.at[id];
        if (kind->name == 0) {
            continue;
        }
        const char *shown = kind->shown == 0 ? "" : name_text(listing, world->units.at[kind->shown].name);
        if (entry(listing, name_text(listing, kind->name), "unit", shown, about(listing, kind->line))) {
            ended(listing);
        }
    }
}

static void list_materials(Listing *listing)
{
    const World *world = listing->world;
    ShapeId material = settle_shape(world, KNOWN_material);
    FieldId class = settle_field(world, material, KNOWN_class);
    for (ThingId id = 1; id < world->things.count; id++) {
        const Thing *thing = &world->things.at[id];
        if (thing->shape != material || thing->name == 0) {
            continue;
        }
        const char *of = "";
        for (uint32_t i = thing->first; i != 0; i = world->values.at[i].next) {
            if (world->values.at[i].field == class && world->values.at[i].node != 0) {
                of = name_text(listing, world->tree.nodes.at[world->values.at[i].node].value);
            }
        }
        if (entry(listing, name_text(listing, thing->name), "class", of, about(listing, thing->line))) {
            ended(listing);
        }
    }
}

static void list_steps(Listing *listing)
{
    const World *world = listing->world;
    for (uint32_t id = 1; id < world->steps.count; id++) {
        const Step *step = &world->steps.at[id];
        if (entry(listing, name_text(listing, world->shapes.at[step->shape].name), "role", name_text(listing, step->role),
                  about(listing, step->line))) {
            ended(listing);
        }
    }
}

static void list_figures(Listing *listing)
{
    const World *world = listing->world;
    for (uint32_t id = 1; id < world->figures.count; id++) {
        const Figure *figure = &world->figures.at[id];
        const char *kind = TYPE_SORT(figure->type) == TYPE_NUMBER ? name_text(listing, world->kinds.at[TYPE_INDEX(figure->type)].name) : "";
        if (entry(listing, name_text(listing, figure->name), "kind", kind, about(listing, figure->line))) {
            ended(listing);
        }
    }
    for (uint32_t id = 0; id < world->given.count; id++) {
        Type type = world->given_types.at[id];
        const char *kind = TYPE_SORT(type) == TYPE_NUMBER ? name_text(listing, world->kinds.at[TYPE_INDEX(type)].name) : "";
        if (entry(listing, name_text(listing, world->given.at[id]), "kind", kind, "Given by a step.")) {
            ended(listing);
        }
    }
}

/* The most that a rule can say, or "as its table says" where that stands in a table. */
static const char *severity_of(const Listing *listing, const Rule *rule)
{
    const World *world = listing->world;
    bool warning = false, note = false;
    for (uint32_t i = rule->require; i < rule->require + rule->require_count; i++) {
        NodeId severity = world->requirements.at[i].severity;
        bool word = severity != 0 && world->tree.nodes.at[severity].form == NODE_NAME;
        Name name = word ? world->tree.nodes.at[severity].value : 0;
        if (severity == 0 || name == KNOWN_error) {
            return "error";
        }
        if (!word) {
            return "as told";
        }
        warning = warning || name == KNOWN_warning;
        note = note || name == KNOWN_note;
    }
    return warning ? "warning" : note ? "note" : "error";
}

static void list_rules_or_claims(Listing *listing, bool claims)
{
    const World *world = listing->world;
    for (uint32_t id = 1; id < world->rules.count; id++) {
        const Rule *rule = &world->rules.at[id];
        if ((rule->claim != 0) == claims
            && entry(listing, name_text(listing, rule->name), claims ? "sort" : "severity", claims ? "claim" : severity_of(listing, rule),
                     about(listing, rule->line))) {
            ended(listing);
        }
    }
}

static void list_rules(Listing *listing)
{
    list_rules_or_claims(listing, false);
}

static void list_documents(Listing *listing)
{
    for (uint32_t i = 1; i < listing->world->plans.count; i++) {
        const Plan *plan = &listing->world->plans.at[i];
        if (entry(listing, name_text(listing, plan->name), "sort", plan->section ? "section" : "document", about(listing, plan->line))) {
            ended(listing);
        }
    }
}

static void list_claims(Listing *listing)
{
    list_rules_or_claims(listing, true);
}

static void list_messages(Listing *listing)
{
    static const char *const severities[] = {"note", "warning", "error"};
    for (int id = 0; id < MESSAGE_NAMES; id++) {
        if (entry(listing, message_kinds[id].name, "severity", severities[message_kinds[id].severity], message_kinds[id].says)) {
            ended(listing);
        }
    }
}

int command_list(const Options *options, int count, char **words)
{
    static const struct { const char *what; void (*list)(Listing *listing); } lists[] = {
        {"units", list_units}, {"kinds", list_kinds}, {"materials", list_materials}, {"steps", list_steps},
        {"figures", list_figures}, {"rules", list_rules}, {"claims", list_claims}, {"documents", list_documents}, {"messages", list_messages}};
    void (*chosen)(Listing *listing) = NULL;
    for (size_t i = 0; i < sizeof lists / sizeof lists[0] && count > 0; i++) {
        chosen = strcmp(words[0], lists[i].what) == 0 ? lists[i].list : chosen;
    }
    const char *nearest = NULL;
    for (size_t i = 0; i < sizeof lists / sizeof lists[0] && count > 0 && chosen == NULL; i++) {
        nearest = text_distance(words[0], strlen(words[0]), lists[i].what, strlen(lists[i].what), 2) <= 2 ? lists[i].what : nearest;
    }
    if (nearest != NULL) {
        return command_trouble("There is no list of %s. Did you mean %s?", words[0], nearest);
    }
    if (chosen == NULL || count > 2) {
        return command_trouble("list takes units, kinds, materials, steps, figures, rules, claims, documents or messages, and a WORD to look for.");
    }
    Workshop *workshop = command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    Memory *memory = options->memory;
    Listing listing = {.options = options, .workshop = workshop, .world = workshop_world(workshop), .word = count > 1 ? words[1] : NULL};
    text_open(&listing.text, memory);
    text_open(&listing.comment, memory);
    if (options->json) {
        json_put_open(&listing.json, &listing.text);
        command_json_head(&listing.json, workshop);
        json_put_array(&listing.json, words[0]);
    }
    chosen(&listing);
    if (options->json) {
        json_put_close(&listing.json);
    }
    int answer = command_put(options, &listing.text, true);
    if (answer == COMMAND_FINE && listing.count == 0) {
        answer = command_trouble("None of the %s holds %s.", words[0], listing.word == NULL ? "anything" : listing.word);
    }
    workshop_close(workshop);
    return answer;
}
