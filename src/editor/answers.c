/* Answers about the places of a script: what stands there, where it is from, where else it is. */
#include "editor/serving.h"

#include "meaning/line.h"

#include <string.h>

Standing serving_standing(Server *server, OpenText *open, const json_t *params)
{
    uint32_t place = serving_read(server, open) ? serving_place(server, open, params) : 0;
    return place == 0 ? (Standing){0} : places_at(workshop_world(server->workshop), place);
}

json_t *answer_hover(Server *server, OpenText *open, const json_t *params)
{
    Standing standing = serving_standing(server, open, params);
    if (standing.name == 0) {
        return NULL;
    }
    Text told;
    text_open(&told, server->memory);
    places_tell(server->workshop, &standing, &told);
    const World *world = workshop_world(server->workshop);
    uint32_t value = world_declared(world, SPACE_VALUE, standing.name);
    bool figure = value != WORLD_BROKEN && BOUND_OF(value) == BOUND_FIGURE && standing.declared == world->figures.at[BOUND_INDEX(value)].line;
    json_t *range = serving_range(server, standing.at), *made = NULL;
    if (figure) { /* its value in the first paper or batch, with the formula: the words of `why` */
        const char *why = "";
        char name[200];
        snprintf(name, sizeof name, "%s", world_text(world, standing.name));
        if (workshop_why(server->workshop, NULL, name, 1, &why) == WATERLEAF_FINE) {
            text_print(&told, "\n%s", why);
        }
    }
    if (told.length > 0) {
        made = json_pack("{s:{s:s, s:s}, s:O}", "contents", "kind", "plaintext", "value", told.at, "range", range);
    }
    json_decref(range);
    text_close(&told);
    return made;
}

json_t *answer_definition(Server *server, OpenText *open, const json_t *params)
{
    Standing standing = serving_standing(server, open, params);
    if (standing.declared == 0 || standing.library) {
        return NULL;
    }
    const World *world = workshop_world(server->workshop);
    Span name = places_first_name(world, standing.declared), head = places_head(world, standing.declared);
    Span at = name.start == 0 || (name.end - name.start != strlen(world_text(world, standing.name))) ? head : name;
    return json_pack("{s:o, s:o}", "uri", serving_uri(server, at.start), "range", serving_range(server, at));
}

/* ---- the shape of a script ---- */

static NodeId first_line(Server *server, OpenText *open)
{
    const World *world = serving_read(server, open) ? workshop_world(server->workshop) : NULL;
    uint32_t source = world == NULL ? 0 : places_source(world, open->path);
    return source == 0 || source >= world->tree.scripts.count ? 0 : world_node(world, world->tree.scripts.at[source])->first;
}

enum { SYMBOL_MODULE = 2, SYMBOL_CLASS = 5, SYMBOL_PROPERTY = 7, SYMBOL_FUNCTION = 12, SYMBOL_EVENT = 24, SYMBOL_STRUCT = 23, SYMBOL_NUMBER = 16 };

static int symbol_of(Name head)
{
    switch (head) {
    case KNOWN_paper: return SYMBOL_CLASS;
    case KNOWN_batch: return SYMBOL_EVENT;
    case KNOWN_step: case KNOWN_let: case KNOWN_rule: return SYMBOL_FUNCTION;
    case KNOWN_reckon: return SYMBOL_NUMBER;
    case KNOWN_document: case KNOWN_section: return SYMBOL_MODULE;
    default: return SYMBOL_STRUCT;
    }
}

/* A line as it stands in an outline: all at the top, and blocks within them. */
static json_t *symbol(Server *server, NodeId line, unsigned depth)
{
    const World *world = workshop_world(server->workshop);
    Span whole = line_whole(world, line), head = line_span(world, line);
    json_t *children = json_array();
    NodeId block = line_block(world, line);
    for (NodeId at = block == 0 || depth >= 6 ? 0 : world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        if (line_block(world, at) != 0) {
            json_array_append_new(children, symbol(server, at, depth + 1));
        }
    }
    char name[120];
    snprintf(name, sizeof name, "%.*s", (int)(head.end - head.start < 100 ? head.end - head.start : 100), sources_bytes(&world->sources, head.start));
    return json_pack("{s:s, s:i, s:o, s:o, s:o}", "name", name, "kind", depth == 0 ? symbol_of(line_head(world, line)) : SYMBOL_PROPERTY, "range",
                     serving_range(server, whole), "selectionRange", serving_range(server, head), "children", children);
}

json_t *answer_outline(Server *server, OpenText *open)
{
    json_t *list = json_array();
    for (NodeId line = first_line(server, open); line != 0; line = world_node(workshop_world(server->workshop), line)->next) {
        if (line_head(workshop_world(server->workshop), line) != KNOWN_waterleaf) {
            json_array_append_new(list, symbol(server, line, 0));
        }
    }
    return list;
}

static void fold(Server *server, NodeId line, json_t *list)
{
    const World *world = workshop_world(server->workshop);
    for (; line != 0; line = world_node(world, line)->next) {
        NodeId block = line_block(world, line);
        if (block != 0) {
            json_t *range = serving_range(server, line_whole(world, line));
            json_int_t from = json_integer_value(json_object_get(json_object_get(range, "start"), "line"));
            json_int_t to = json_integer_value(json_object_get(json_object_get(range, "end"), "line"));
            if (to > from) {
                json_array_append_new(list, json_pack("{s:I, s:I}", "startLine", from, "endLine", to));
            }
            json_decref(range);
            fold(server, world_node(world, block)->first, list);
        }
    }
}

json_t *answer_folding(Server *server, OpenText *open)
{
    json_t *list = json_array();
    fold(server, first_line(server, open), list);
    return list;
}

json_t *answer_symbols(Server *server, const char *query)
{
    json_t *list = json_array();
    for (uint32_t i = 0; i < server->texts.list.count; i++) {
        OpenText *open = &server->texts.list.at[i];
        for (NodeId line = first_line(server, open); line != 0; line = world_node(workshop_world(server->workshop), line)->next) {
            const World *world = workshop_world(server->workshop);
            Span name = places_first_name(world, line);
            char text[120];
            snprintf(text, sizeof text, "%.*s", (int)(name.end - name.start < 100 ? name.end - name.start : 100), sources_bytes(&world->sources, name.start));
            if (name.start != 0 && line_block(world, line) != 0 && (query == NULL || strcasestr(text, query) != NULL)) {
                json_array_append_new(list, json_pack("{s:s, s:i, s:{s:o, s:o}}", "name", text, "kind", symbol_of(line_head(world, line)), "location", "uri",
                                                      serving_uri(server, name.start), "range", serving_range(server, name)));
            }
        }
    }
    return list;
}

/* ---- what can be done ---- */

json_t *answer_formatting(Server *server, OpenText *open)
{
    Text form;
    text_open(&form, server->memory);
    if (server->workshop == NULL && !serving_read(server, open)) {
        return NULL;
    }
    memory_return(server->memory, server->read); /* tidying forgets what was read */
    server->read = NULL;
    WaterleafAnswer answer = workshop_tidy(server->workshop, open->path, open->text, open->length, &form);
    bool same = answer != WATERLEAF_FINE || (form.length == open->length && (form.length == 0 || memcmp(form.at, open->text, form.length) == 0));
    json_t *edits = json_array();
    if (!same) {
        Position end = position_of(open->text, open->length, open->length, server->counting);
        json_array_append_new(edits, json_pack("{s:{s:{s:i, s:i}, s:{s:i, s:i}}, s:s}", "range", "start", "line", 0, "character", 0, "end", "line", (int)end.line,
                                               "character", (int)end.character, "newText", form.at == NULL ? "" : form.at));
    }
    text_close(&form);
    return edits;
}

static size_t line_end(const char *text, size_t at) { return at + strcspn(text + at, "\n"); }

/* Lines FROM to TO alone, where tidying moves none: their blanks and spellings. */
json_t *answer_range_formatting(Server *server, OpenText *open, const json_t *params)
{
    json_t *range = json_object_get(params, "range"), *edits = json_array();
    json_int_t from = json_integer_value(json_object_get(json_object_get(range, "start"), "line")), to = json_integer_value(json_object_get(json_object_get(range, "end"), "line"));
    json_t *whole = answer_formatting(server, open);
    const char *form = json_string_value(json_object_get(json_array_get(whole, 0), "newText"));
    size_t at = 0, place = 0;
    for (json_int_t line = 0; form != NULL; line++) {
        size_t end = line_end(open->text, at), stop = line_end(form, place);
        bool same = end - at == stop - place && memcmp(open->text + at, form + place, end - at) == 0;
        if (line >= from && line <= to && !same) {
            Position last = position_of(open->text, open->length, end, server->counting);
            json_array_append_new(edits, json_pack("{s:{s:{s:I, s:i}, s:{s:I, s:i}}, s:s%}", "range", "start", "line", line, "character", 0, "end", "line", line, "character",
                                                   (int)last.character, "newText", form + place, (int)(stop - place)));
        }
        bool over = open->text[end] == 0, form_over = form[stop] == 0;
        if (over != form_over) { /* lines come or go: nothing can be said of some of them alone */
            json_array_clear(edits);
        }
        if (over || form_over) {
            break;
        }
        at = end + 1;
        place = stop + 1;
    }
    json_decref(whole);
    return edits;
}

/* ---- from a word outwards ---- */

typedef struct Chain { Server *server; uint32_t place; json_t *inner; } Chain;

static void widen(Chain *chain, Span span)
{
    json_t *range = serving_range(chain->server, span);
    if (chain->inner == NULL || !json_equal(json_object_get(chain->inner, "range"), range)) {
        json_t *outer = json_pack("{s:o}", "range", range);
        if (chain->inner != NULL) {
            json_object_set_new(outer, "parent", chain->inner);
        }
        chain->inner = outer;
    } else {
        json_decref(range);
    }
}

/* From the outermost inwards: each has the one around it as its parent. */
static void narrow(Chain *chain, NodeId node)
{
    const World *world = workshop_world(chain->server->workshop);
    for (; node != 0; node = world_node(world, node)->next) {
        const Node *at = world_node(world, node);
        Span span = at->form == NODE_LINE ? line_whole(world, node) : world_span(world, node);
        if (at->form == NODE_BLOCK) {
            narrow(chain, at->first);
        } else if (chain->place >= span.start && chain->place <= span.end) {
            widen(chain, span);
            if (at->form == NODE_LINE && chain->place <= line_span(world, node).end) {
                widen(chain, line_span(world, node));
            }
            narrow(chain, at->first);
            return;
        }
    }
}

json_t *answer_selections(Server *server, OpenText *open, const json_t *params)
{
    json_t *list = json_array(), *position;
    size_t i;
    NodeId first = first_line(server, open);
    json_array_foreach(json_object_get(params, "positions"), i, position) {
        json_t *asked = json_pack("{s:O}", "position", position);
        Chain chain = {server, first == 0 ? 0 : serving_place(server, open, asked), NULL};
        json_decref(asked);
        if (first != 0) {
            const World *world = workshop_world(server->workshop);
            const Source *source = sources_at(&world->sources, chain.place);
            widen(&chain, (Span){source->base, source->base + source->length});
            narrow(&chain, first);
        }
        json_array_append_new(list, chain.inner != NULL ? chain.inner : json_pack("{s:{s:O, s:O}}", "range", "start", position, "end", position));
    }
    return list;
}

json_t *answer_lenses(Server *server, OpenText *open)
{
    json_t *list = json_array();
    for (NodeId line = first_line(server, open); line != 0; line = world_node(workshop_world(server->workshop), line)->next) {
        const World *world = workshop_world(server->workshop);
        if (line_head(world, line) == KNOWN_batch) {
            NodeId first = line_first(world, line), piece = first == 0 ? 0 : world_node(world, first)->first;
            const char *name = first == 0 ? "" : world_text(world, world_node(world, piece != 0 ? piece : first)->value);
            json_array_append_new(list, json_pack("{s:o, s:{s:s, s:s, s:[s, s]}}", "range", serving_range(server, line_span(world, line)), "command", "title", "Write the batch sheet",
                                                  "command", "waterleaf.writeBatchSheet", "arguments", open->path, name));
        }
    }
    return list;
}

/* The scripts that a script uses; where there is none, the line has its message. */
json_t *answer_links(Server *server, OpenText *open)
{
    json_t *list = json_array();
    for (NodeId line = first_line(server, open); line != 0; line = world_node(workshop_world(server->workshop), line)->next) {
        const World *world = workshop_world(server->workshop);
        NodeId text = line_first(world, line), piece = text == 0 ? 0 : world_node(world, text)->first;
        if (line_head(world, line) != KNOWN_use || piece == 0 || world_node(world, piece)->form != NODE_PIECE) {
            continue;
        }
        const char *name = world_text(world, world_node(world, piece)->value), *slash = strrchr(open->path, '/');
        size_t length = strlen(name);
        Text path;
        text_open(&path, server->memory);
        text_add(&path, open->path, slash == NULL ? 0 : (size_t)(slash - open->path) + 1);
        text_print(&path, "%s%s", name, length > 6 && strcmp(name + length - 6, ".wleaf") == 0 ? "" : ".wleaf");
        char *uri = texts_uri(server->memory, path.at);
        json_array_append_new(list, json_pack("{s:o, s:s}", "range", serving_range(server, world_span(world, text)), "target", uri));
        memory_return(server->memory, uri);
        text_close(&path);
    }
    return list;
}

/* ---- what is worked out, beside the lines ---- */

typedef struct Hinting { Server *server; OpenText *open; json_t *list; } Hinting;

static void hint_line(Hinting *hinting, NodeId line, const Outcome *outcome)
{
    const World *world = workshop_world(hinting->server->workshop);
    for (; line != 0; line = world_node(world, line)->next) {
        NodeId block = line_block(world, line), first = line_first(world, line);
        const char *head = world_text(world, line_head(world, line));
        const char *named = first != 0 && world_node(world, first)->form == NODE_NAME ? world_text(world, world_node(world, first)->value) : "";
        for (uint32_t i = 0; i < outcome->weigh_count && block == 0; i++) {
            const WeighLine *weigh = &outcome->weigh[i];
            bool furnished = strcmp(head, weigh->material) == 0, added = !weigh->is_fibre && strcmp(named, weigh->material) == 0;
            if (furnished || added) {
                Span span = line_span(world, line);
                json_t *range = serving_range(hinting->server, (Span){span.end, span.end});
                char text[120];
                snprintf(text, sizeof text, "%s to weigh%s", weigh->weigh_out_of_parcel.shown, weigh->by_parcel && outcome->parcels > 1 ? " for each parcel" : "");
                json_array_append_new(hinting->list, json_pack("{s:O, s:s, s:b}", "position", json_object_get(range, "start"), "label", text, "paddingLeft", 1));
                json_decref(range);
                break;
            }
        }
        if (block != 0) {
            hint_line(hinting, world_node(world, block)->first, outcome);
        }
    }
}

/* The first batch or paper that is worked out; its amounts stand beside its own lines. */
static bool hint_outcome(void *with, Workshop *workshop, const Outcome *outcome)
{
    Hinting *hinting = with;
    const World *world = workshop_world(workshop);
    for (uint32_t i = 1; i < world->papers.count; i++) {
        NodeId line = world->papers.at[i].line, block = line_block(world, line);
        const char *name = world_text(world, world->things.at[world->papers.at[i].thing].name);
        const Source *source = sources_at(&world->sources, world_node(world, line)->start);
        if (strcmp(name, outcome->paper) == 0 && strcmp(world_text(world, source->path), hinting->open->path) == 0 && block != 0) {
            hint_line(hinting, world_node(world, block)->first, outcome);
        }
    }
    return false;
}

json_t *answer_hints(Server *server, OpenText *open)
{
    Hinting hinting = {server, open, json_array()};
    if (serving_read(server, open)) {
        workshop_work_out(server->workshop, NULL, 0, hint_outcome, &hinting);
    }
    return hinting.list;
}
