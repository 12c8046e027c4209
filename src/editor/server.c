/* Taking an editor's messages one by one, and sending each to whoever answers it. */
#include "editor/serving.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOST_WAITING = 256 }; /* messages that are read before the first of them is taken */
enum { QUIET = 120, PARENT_ASKED = 2000 }; /* milliseconds: until what was typed is checked; between two looks for the editor */

/* Codes of the protocol. */
enum { NO_SUCH_METHOD = -32601, BROKEN_INSIDE = -32603, WRONG_WORDS = -32602, NOT_JSON = -32700, NOT_BEGUN = -32002, REFUSED = -32803, CANCELLED = -32800 };

void serving_send(Server *server, json_t *message)
{
    char *text = message == NULL ? NULL : json_dumps(message, JSON_COMPACT);
    if (text == NULL || !wire_write(&server->wire, text, strlen(text))) {
        server->failed = text == NULL || errno != EPIPE; /* an editor that goes away needs no word */
        server->ended = true;
    }
    free(text);
    json_decref(message);
}

static void answer(Server *server, const json_t *id, json_t *result)
{
    serving_send(server, json_pack("{s:s, s:O, s:o}", "jsonrpc", "2.0", "id", id, "result", result == NULL ? json_null() : result));
}

static void refuse(Server *server, const json_t *id, int code, const char *says)
{
    serving_send(server, json_pack("{s:s, s:O, s:{s:i, s:s}}", "jsonrpc", "2.0", "id", id, "error", "code", code, "message", says));
}

/* ---- what the workshop holds ---- */

static const char *at_hand(void *with, const char *path, size_t *length)
{
    Server *server = with;
    OpenText *open = texts_at(&server->texts, path);
    if (open == NULL) {
        return NULL;
    }
    *length = open->length;
    return open->text;
}

static bool open_workshop(Server *server)
{
    if (server->workshop == NULL) {
        WorkshopWish wish = {.stdlib = server->wish->stdlib, .day = server->wish->day, .at_hand = at_hand, .with = server};
        server->workshop = workshop_open(&wish);
    }
    return server->workshop != NULL;
}

/* A workshop that failed (a limit, memory) is put away, and the next question opens another. */
static void drop_workshop(Server *server)
{
    workshop_close(server->workshop);
    server->workshop = NULL;
}

bool serving_read_text(Server *server, const char *path, const char *text, size_t length)
{
    if (server->read != NULL && strcmp(server->read, path) == 0) {
        return true;
    }
    memory_return(server->memory, server->read);
    server->read = NULL;
    if (!open_workshop(server)) {
        server->unread = true;
        return false;
    }
    if (workshop_clear(server->workshop) != WATERLEAF_FINE || workshop_read_text(server->workshop, path, text, length) != WATERLEAF_FINE) {
        drop_workshop(server);
        server->unread = true;
        return false;
    }
    server->read = memory_take(server->memory, strlen(path) + 1);
    strcpy(server->read, path);
    return true;
}

bool serving_read(Server *server, OpenText *open) { return serving_read_text(server, open->path, open->text, open->length); }

static json_t *position(const Server *server, const Source *source, uint32_t place)
{
    const World *world = workshop_world(server->workshop);
    Position at = position_of(sources_text(&world->sources, source), source->length, place - source->base, server->counting);
    return json_pack("{s:i, s:i}", "line", (int)at.line, "character", (int)at.character);
}

json_t *serving_range(const Server *server, Span span)
{
    const World *world = workshop_world(server->workshop);
    const Source *source = sources_at(&world->sources, span.start);
    uint32_t end = span.end < source->base + source->length ? span.end : source->base + source->length;
    return json_pack("{s:o, s:o}", "start", position(server, source, span.start), "end", position(server, source, end));
}

json_t *serving_uri(const Server *server, uint32_t place)
{
    const World *world = workshop_world(server->workshop);
    const Source *source = sources_at(&world->sources, place);
    if (source->library) {
        return NULL;
    }
    char *uri = texts_uri(server->memory, world_text(world, source->path));
    OpenText *open = texts_at((OpenTexts *)(uintptr_t)&server->texts, world_text(world, source->path));
    json_t *made = json_string(open != NULL ? open->uri : uri);
    memory_return(server->memory, uri);
    return made;
}

size_t serving_offset(const Server *server, const OpenText *open, const json_t *position_told)
{
    Position at = {(uint32_t)json_integer_value(json_object_get(position_told, "line")), (uint32_t)json_integer_value(json_object_get(position_told, "character"))};
    return position_offset(open->text, open->length, at, server->counting);
}

uint32_t serving_place(const Server *server, const OpenText *open, const json_t *params)
{
    const World *world = workshop_world(server->workshop);
    uint32_t source = places_source(world, open->path);
    return source == 0 ? 0 : world->sources.list.at[source].base + (uint32_t)serving_offset(server, open, json_object_get(params, "position"));
}

/* ---- beginning ---- */

static void choose_counting(Server *server, const json_t *params)
{
    size_t i;
    json_t *one;
    json_array_foreach(json_object_get(json_object_get(json_object_get(params, "capabilities"), "general"), "positionEncodings"), i, one) {
        const char *name = json_string_value(one);
        if (name != NULL && (strcmp(name, "utf-8") == 0 || strcmp(name, "utf-32") == 0)) {
            server->counting = strcmp(name, "utf-8") == 0 ? COUNTING_UTF8 : COUNTING_UTF32;
            return;
        }
        if (name != NULL && strcmp(name, "utf-16") == 0) {
            return;
        }
    }
}

/* The folders that the editor works in, of the protocol's several ways to say them. */
static void take_folders(Server *server, const json_t *params)
{
    json_t *folders = json_object_get(params, "workspaceFolders"), *folder;
    size_t i;
    const char *root = json_string_value(json_object_get(params, "rootUri"));
    json_array_foreach(folders, i, folder) {
        const char *uri = json_string_value(json_object_get(folder, "uri"));
        char *path = uri == NULL ? NULL : texts_path(server->memory, uri);
        json_array_append_new(server->folders, json_string(path));
        memory_return(server->memory, path);
    }
    if (json_array_size(folders) == 0 && root != NULL) {
        char *path = texts_path(server->memory, root);
        json_array_append_new(server->folders, json_string(path));
        memory_return(server->memory, path);
    }
}

static json_t *token_types(void)
{
    json_t *types = json_array();
    for (const char *const *type = answer_token_types(); *type != NULL; type++) {
        json_array_append_new(types, json_string(*type));
    }
    return types;
}

static json_t *begin(Server *server, const json_t *params)
{
    static const char *const countings[] = {"utf-16", "utf-8", "utf-32"};
    choose_counting(server, params);
    take_folders(server, params);
    json_t *hints = json_object_get(json_object_get(params, "initializationOptions"), "hints");
    server->hints = hints == NULL || json_is_true(hints);
    json_t *able = json_pack(
        "{s:s, s:{s:b, s:i, s:b}, s:{s:[s]}, s:b, s:b, s:{s:b, s:b}, s:b, s:b, s:b, s:b, s:b, s:b, s:b, s:b, s:b, s:{s:b}, s:{s:b}, s:{s:[s,s,s]}, s:{s:{s:o, s:[]}, s:b}, s:{s:[s]}}",
        "positionEncoding", countings[server->counting], "textDocumentSync", "openClose", 1, "change", 2, "save", 0, "codeActionProvider",
        "codeActionKinds", "quickfix", "selectionRangeProvider", 1, "documentRangeFormattingProvider", 1, "diagnosticProvider", "interFileDependencies", 1, "workspaceDiagnostics", 0,
        "hoverProvider", 1, "definitionProvider", 1, "referencesProvider", 1, "documentSymbolProvider", 1,
        "foldingRangeProvider", 1, "documentFormattingProvider", 1, "workspaceSymbolProvider", 1, "inlayHintProvider", 1, "renameProvider", 1, "codeLensProvider",
        "resolveProvider", 0, "documentLinkProvider", "resolveProvider", 0, "completionProvider", "triggerCharacters", " ", "%", ".", "semanticTokensProvider", "legend",
        "tokenTypes", token_types(), "tokenModifiers", "full", 1, "executeCommandProvider", "commands", "waterleaf.writeBatchSheet");
    return json_pack("{s:o, s:{s:s, s:s}}", "capabilities", able, "serverInfo", "name", "waterleaf", "version", server->wish->version);
}

/* ---- texts ---- */

static const char *uri_of(const json_t *params)
{
    return json_string_value(json_object_get(json_object_get(params, "textDocument"), "uri"));
}

/* What uses the script of that path may say something else now. */
static void changed(Server *server, const char *path)
{
    memory_return(server->memory, server->read);
    server->read = NULL;
    Text line;
    text_open(&line, server->memory);
    text_print(&line, "\n%s\n", path);
    for (uint32_t i = 0; i < server->texts.list.count; i++) {
        OpenText *open = &server->texts.list.at[i];
        if (open->uses == NULL || strcmp(open->path, path) == 0 || strstr(open->uses, line.at) != NULL) {
            open->unread = open->unchecked = true;
        }
    }
    text_close(&line);
}

/* The same for all: nobody says which script changed on the disk. */
static void all_changed(Server *server)
{
    for (uint32_t i = 0; i < server->texts.list.count; i++) {
        server->texts.list.at[i].unread = server->texts.list.at[i].unchecked = true;
    }
    memory_return(server->memory, server->read);
    server->read = NULL;
}

static void take_change(Server *server, const json_t *params)
{
    const char *uri = uri_of(params);
    OpenText *open = uri == NULL ? NULL : texts_of(&server->texts, uri);
    size_t i;
    json_t *change;
    if (open == NULL) {
        return;
    }
    json_array_foreach(json_object_get(params, "contentChanges"), i, change) {
        json_t *range = json_object_get(change, "range"), *text = json_object_get(change, "text");
        size_t start = range == NULL ? 0 : serving_offset(server, open, json_object_get(range, "start"));
        size_t end = range == NULL ? open->length : serving_offset(server, open, json_object_get(range, "end"));
        texts_replace(&server->texts, open, start, end, json_is_string(text) ? json_string_value(text) : "", json_string_length(text));
    }
    open->version = json_integer_value(json_object_get(json_object_get(params, "textDocument"), "version"));
    changed(server, open->path);
}

static bool take_notice(Server *server, const char *method, const json_t *params)
{
    const char *uri = uri_of(params);
    if (strcmp(method, "textDocument/didOpen") == 0) {
        json_t *document = json_object_get(params, "textDocument"), *text = json_object_get(document, "text");
        if (uri != NULL && json_is_string(text)) {
            texts_put(&server->texts, uri, json_integer_value(json_object_get(document, "version")), json_string_value(text), json_string_length(text));
            changed(server, texts_of(&server->texts, uri)->path);
        }
    } else if (strcmp(method, "textDocument/didChange") == 0) {
        take_change(server, params);
    } else if (strcmp(method, "textDocument/didClose") == 0) {
        if (uri != NULL) {
            texts_drop(&server->texts, uri);
            all_changed(server);
        }
    } else if (strcmp(method, "workspace/didChangeWatchedFiles") == 0) {
        all_changed(server);
    } else if (strcmp(method, "workspace/didChangeConfiguration") == 0) {
        json_t *hints = json_object_get(json_object_get(json_object_get(params, "settings"), "waterleaf"), "hints");
        server->hints = hints == NULL ? server->hints : json_is_true(hints);
    } else {
        return false;
    }
    return true;
}

/* ---- questions ---- */

typedef json_t *Answer(Server *server, OpenText *open, const json_t *params);

static json_t *outline(Server *server, OpenText *open, const json_t *params) { return (void)params, answer_outline(server, open); }
static json_t *folding(Server *server, OpenText *open, const json_t *params) { return (void)params, answer_folding(server, open); }
static json_t *formatting(Server *server, OpenText *open, const json_t *params) { return (void)params, answer_formatting(server, open); }
static json_t *lenses(Server *server, OpenText *open, const json_t *params) { return (void)params, answer_lenses(server, open); }
static json_t *links(Server *server, OpenText *open, const json_t *params) { return (void)params, answer_links(server, open); }
static json_t *hints(Server *server, OpenText *open, const json_t *params) { return (void)params, server->hints ? answer_hints(server, open) : json_array(); }
static json_t *tokens(Server *server, OpenText *open, const json_t *params) { return (void)params, answer_tokens(server, open); }
static json_t *pulled(Server *server, OpenText *open, const json_t *params) { return (void)params, diagnostics_asked(server, open); }
static json_t *actions(Server *server, OpenText *open, const json_t *params) { return diagnostics_actions(server, open, params); }

static const struct { const char *method; Answer *answer; } questions[] = {
    {"textDocument/hover", answer_hover}, {"textDocument/definition", answer_definition}, {"textDocument/references", answer_references},
    {"textDocument/documentSymbol", outline}, {"textDocument/foldingRange", folding}, {"textDocument/formatting", formatting},
    {"textDocument/codeLens", lenses}, {"textDocument/documentLink", links}, {"textDocument/completion", answer_completion},
    {"textDocument/inlayHint", hints}, {"textDocument/semanticTokens/full", tokens}, {"textDocument/codeAction", actions},
    {"textDocument/diagnostic", pulled}, {"textDocument/selectionRange", answer_selections}, {"textDocument/rangeFormatting", answer_range_formatting}};

/* What could not be looked at is no answer of nothing. */
static void answer_or_refuse(Server *server, const json_t *id, json_t *result)
{
    if (server->workshop != NULL && workshop_failed(server->workshop)) {
        drop_workshop(server);
        memory_return(server->memory, server->read);
        server->read = NULL;
        server->unread = true;
    }
    if (server->unread) {
        json_decref(result);
        refuse(server, id, BROKEN_INSIDE, "Not all that this asks for could be read: a file cannot be, there is not enough memory, or a limit was passed.");
    } else {
        answer(server, id, result);
    }
}

static void rename_all(Server *server, const json_t *id, OpenText *open, const json_t *params)
{
    const char *refused = NULL;
    server->unread = false;
    json_t *edit = answer_rename(server, open, params, &refused);
    if (refused != NULL && !server->unread) {
        refuse(server, id, REFUSED, refused);
    } else {
        answer_or_refuse(server, id, edit);
    }
}

static void take_question(Server *server, const json_t *id, const char *method, const json_t *params)
{
    const char *uri = uri_of(params);
    OpenText *open = uri == NULL ? NULL : texts_of(&server->texts, uri);
    if (strcmp(method, "shutdown") == 0) {
        server->shut = true;
        answer(server, id, NULL);
        return;
    }
    if (strcmp(method, "workspace/symbol") == 0) {
        server->unread = false;
        answer_or_refuse(server, id, answer_symbols(server, json_string_value(json_object_get(params, "query"))));
        return;
    }
    if (strcmp(method, "workspace/executeCommand") == 0) {
        answer(server, id, NULL); /* the editor's own extension runs it, where there is a place to show pages */
        return;
    }
    if (strcmp(method, "textDocument/rename") == 0) {
        if (open == NULL) {
            refuse(server, id, WRONG_WORDS, "This script is not open.");
        } else {
            rename_all(server, id, open, params);
        }
        return;
    }
    for (size_t i = 0; i < sizeof questions / sizeof questions[0]; i++) {
        if (strcmp(method, questions[i].method) == 0) {
            if (open == NULL) {
                refuse(server, id, WRONG_WORDS, "This script is not open.");
            } else {
                open->unread = open->unread || open->failed;
                open->unchecked = open->unchecked || open->failed;
                diagnostics_publish(server, questions[i].answer == pulled ? TO_THE_END : NAMES_AND_KINDS); /* an answer and what is shown beside it are of one version */
                open = texts_of(&server->texts, uri);
                server->unread = false;
                answer_or_refuse(server, id, open == NULL ? NULL : questions[i].answer(server, open, params));
            }
            return;
        }
    }
    refuse(server, id, NO_SUCH_METHOD, "This server does not know that question.");
}

/* Whether the editor takes back, in what waits behind it, the question of that number. */
static bool is_cancelled(const Server *server, const json_t *id)
{
    size_t i;
    json_t *later;
    json_array_foreach(server->waiting, i, later) {
        const char *method = json_string_value(json_object_get(later, "method"));
        if (method != NULL && strcmp(method, "$/cancelRequest") == 0 && json_equal(json_object_get(json_object_get(later, "params"), "id"), id)) {
            return true;
        }
    }
    return false;
}

static void take_message(Server *server, const json_t *message, bool *begun)
{
    const json_t *id = json_object_get(message, "id"), *params = json_object_get(message, "params");
    const char *method = json_string_value(json_object_get(message, "method"));
    if (json_is_null(message)) {
        refuse(server, json_null(), NOT_JSON, "This is no JSON.");
    } else if (method == NULL) {
        /* an answer to something that was told; nothing is asked here */
    } else if (strcmp(method, "exit") == 0) {
        server->ended = true;
    } else if (strcmp(method, "initialize") == 0 && id != NULL) {
        *begun = true;
        answer(server, id, begin(server, params));
    } else if (!*begun && id != NULL) {
        refuse(server, id, NOT_BEGUN, "The editor has to say initialize first.");
    } else if (id != NULL && is_cancelled(server, id)) {
        refuse(server, id, CANCELLED, "This question was taken back.");
    } else if (id != NULL) {
        take_question(server, id, method, params);
    } else if (*begun) {
        take_notice(server, method, params);
    }
}

/* Whether something is to be read, or else to be worked out. */
static bool any(const Server *server, bool reading)
{
    for (uint32_t i = 0; i < server->texts.list.count; i++) {
        if (reading ? server->texts.list.at[i].unread : server->texts.list.at[i].unchecked) {
            return true;
        }
    }
    return false;
}

enum { TROUBLE = 2 };

/* JSON is made in a hundred places; where there is no memory for it none of them could go on. */
static void *take(size_t size)
{
    void *block = malloc(size);
    if (block == NULL) {
        fputs("There is not enough memory for this.\n", stderr);
        exit(TROUBLE);
    }
    return block;
}

/* One more message among what waits; MILLISECONDS: how long for. */
static WireAnswer hear(Server *server, int milliseconds)
{
    const char *body;
    size_t length;
    WireAnswer heard = wire_read(&server->wire, milliseconds, &body, &length);
    if (heard == WIRE_MESSAGE) {
        json_t *message = json_loadb(body, length, 0, NULL);
        json_array_append_new(server->waiting, message == NULL ? json_null() : message);
    }
    return heard;
}

/* Takes the first message, with all that came behind it at hand. False: none came in time. */
static bool take_next(Server *server, int milliseconds, bool *begun)
{
    WireAnswer heard = json_array_size(server->waiting) > 0 ? WIRE_MESSAGE : hear(server, milliseconds);
    if (heard == WIRE_FAILED) {
        server->failed = true;
    }
    if (heard != WIRE_MESSAGE) {
        server->ended = heard != WIRE_NOTHING;
        return heard != WIRE_NOTHING;
    }
    while (json_array_size(server->waiting) < MOST_WAITING && wire_waiting(&server->wire) && hear(server, 0) == WIRE_MESSAGE) {
        /* what ended or broke meanwhile is met again when all before it is taken */
    }
    json_t *message = json_incref(json_array_get(server->waiting, 0));
    json_array_remove(server->waiting, 0);
    take_message(server, message, begun);
    json_decref(message);
    return true;
}

int server_run(Memory *memory, const ServerWish *wish)
{
    json_set_alloc_funcs(take, free);
    Server server = {.memory = memory, .wish = wish, .published = json_object(), .fixes = json_object(), .folders = json_array(), .waiting = json_array(), .hints = true};
    bool begun = false;
    pid_t parent = getppid();
    wire_open(&server.wire, memory, wish->in, wish->out);
    texts_open(&server.texts, memory);
    while (!server.ended) {
        /* names and kinds at once, when all that was typed is taken; papers when it has been quiet for a while */
        bool reading = any(&server, true);
        if (!take_next(&server, reading ? 0 : any(&server, false) ? QUIET : PARENT_ASKED, &begun)) {
            diagnostics_publish(&server, reading ? NAMES_AND_KINDS : WHILE_QUIET);
            server.ended = server.ended || getppid() != parent; /* whoever started it is gone */
        }
    }
    drop_workshop(&server);
    json_decref(server.published);
    json_decref(server.fixes);
    json_decref(server.folders);
    json_decref(server.waiting);
    wire_close(&server.wire);
    if (server.failed) {
        fputs("The editor cannot be spoken to any more: what it says cannot be read, or what it is told cannot be written.\n", stderr);
        return TROUBLE;
    }
    return server.shut ? 0 : 1;
}
