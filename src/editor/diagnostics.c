/* What is wrong, as an editor shows it, and the edits that mend it. */
#include "editor/serving.h"

#include <string.h>

static json_t *others_of(Server *server, const Message *message)
{
    json_t *others = json_array();
    for (uint32_t i = 0; i < message->other_count; i++) {
        json_t *uri = serving_uri(server, message->others[i].at.start);
        if (uri != NULL) {
            json_array_append_new(others, json_pack("{s:{s:o, s:o}, s:s}", "location", "uri", uri, "range", serving_range(server, message->others[i].at), "message",
                                                    message->others[i].says));
        }
    }
    return others;
}

static json_t *diagnostic_of(Server *server, const Message *message)
{
    static const int severities[] = {3, 2, 1};
    Text says;
    text_open(&says, server->memory);
    text_print(&says, "%s%s%s", message->says, *message->mend == 0 ? "" : " ", message->mend);
    if (message->found != NULL && message->limit != NULL) {
        text_print(&says, message->compares ? "\nexpected %s, found %s" : "\nfound %s, limit %s", message->compares ? message->limit : message->found,
                   message->compares ? message->found : message->limit);
    }
    json_t *made = json_pack("{s:o, s:i, s:s, s:s, s:s, s:o}", "range", serving_range(server, message->at), "severity", severities[message->severity], "code",
                             message->name, "source", "waterleaf", "message", says.at, "relatedInformation", others_of(server, message));
    text_close(&says);
    return made;
}

static void append(json_t *by_uri, const char *uri, json_t *item)
{
    json_t *list = json_object_get(by_uri, uri);
    if (list == NULL) {
        list = json_array();
        json_object_set_new(by_uri, uri, list);
    }
    json_array_append_new(list, item);
}

static void add_fix(Server *server, const char *uri, const Message *message, json_t *diagnostic)
{
    json_t *edit_uri = message->edit.start == 0 || message->edit_text == NULL ? NULL : serving_uri(server, message->edit.start);
    if (edit_uri == NULL) {
        return;
    }
    Text title;
    text_open(&title, server->memory);
    if (*message->edit_text == 0) {
        text_put(&title, "Take it out");
    } else {
        text_print(&title, "Write %.60s", message->edit_text);
    }
    json_t *edits = json_pack("[{s:o, s:s}]", "range", serving_range(server, message->edit), "newText", message->edit_text);
    json_t *changes = json_object();
    json_object_set_new(changes, json_string_value(edit_uri), edits);
    append(server->fixes, uri, json_pack("{s:s, s:s, s:b, s:[O], s:{s:o}}", "title", title.at, "kind", "quickfix", "isPreferred", 1, "diagnostics", diagnostic, "edit", "changes", changes));
    text_close(&title);
    json_decref(edit_uri);
}

/* What the script used, so that it is read anew when one of these changes. */
static void note_uses(Server *server, OpenText *open)
{
    const World *world = workshop_world(server->workshop);
    Text uses;
    text_open(&uses, server->memory);
    text_char(&uses, '\n');
    for (uint32_t i = 1; i < world->sources.list.count; i++) {
        if (!world->sources.list.at[i].library) {
            text_print(&uses, "%s\n", names_text(&world->names, world->sources.list.at[i].path));
        }
    }
    memory_return(server->memory, open->uses);
    open->uses = uses.at;
}

/* An editor that says something does not want to wait for the rest. */
static bool nothing_waits(void *with) { return !wire_waiting(&((Server *)with)->wire); }

/* All that is said of the script that stands in the workshop and of what it uses, by address. */
static void collect(Server *server, json_t *told)
{
    const Messages *messages = workshop_messages(server->workshop);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        json_t *uri = serving_uri(server, message->at.start);
        if (uri == NULL) {
            continue; /* in stdlib: its place in the user's script is said as well */
        }
        json_t *list = json_object_get(told, json_string_value(uri)), *diagnostic = diagnostic_of(server, message), *other;
        bool again = false; /* what two scripts use is told of once */
        size_t place;
        json_array_foreach(list, place, other) {
            again = again || json_equal(other, diagnostic);
        }
        if (!again) {
            add_fix(server, json_string_value(uri), message, diagnostic);
            append(told, json_string_value(uri), json_incref(diagnostic));
        }
        json_decref(diagnostic);
        json_decref(uri);
    }
}

static void collect_failure(Server *server, const char *uri, json_t *told)
{
    append(told, uri, json_pack("{s:{s:{s:i, s:i}, s:{s:i, s:i}}, s:i, s:s, s:s}", "range", "start", "line", 0, "character", 0, "end", "line", 0, "character", 0, "severity", 1,
                                "source", "waterleaf", "message", server->workshop == NULL ? "This script cannot be read." : workshop_trouble(server->workshop)));
    workshop_close(server->workshop);
    server->workshop = NULL;
    memory_return(server->memory, server->read);
    server->read = NULL;
}

/* False: it is too early to tell, as the editor said something meanwhile, or as names and kinds are in order, as they were
 * before, and all that is to be said is of the papers: it would only vanish and come again. */
static bool check(Server *server, OpenText *open, json_t *told, Thoroughness how)
{
    bool fine = serving_read(server, open), misread = open->misread;
    if (fine) {
        note_uses(server, open);
    }
    open->unread = false;
    if (fine && how == NAMES_AND_KINDS) {
        open->misread = workshop_messages(server->workshop)->errors > 0;
        if (!misread && !open->misread) {
            return false;
        }
    } else if (fine) {
        WaterleafAnswer answer = workshop_check_while(server->workshop, how == WHILE_QUIET ? nothing_waits : NULL, server);
        if (answer == WATERLEAF_STOPPED) {
            memory_return(server->memory, server->read); /* half of what is said stands there */
            server->read = NULL;
            return false;
        }
        open->unchecked = false;
        fine = answer == WATERLEAF_FINE;
    }
    json_object_set_new(server->fixes, open->uri, json_array());
    open->failed = !fine;
    if (fine) {
        collect(server, told);
    } else {
        open->misread = true;
        open->unchecked = open->unchecked && how == NAMES_AND_KINDS; /* one try more when it is quiet */
        collect_failure(server, open->uri, told);
    }
    return true;
}

static void tell(Server *server, const char *uri, json_t *list)
{
    OpenText *open = texts_of(&server->texts, uri);
    json_t *params = json_pack("{s:s, s:O}", "uri", uri, "diagnostics", list);
    if (open != NULL) {
        json_object_set_new(params, "version", json_integer(open->version));
    }
    serving_send(server, json_pack("{s:s, s:s, s:o}", "jsonrpc", "2.0", "method", "textDocument/publishDiagnostics", "params", params));
}

/* What was told of a script that nothing changed in is told on. */
static void keep(const Server *server, const OpenText *open, json_t *told)
{
    json_t *before = json_array_get(json_object_get(server->published, open->uri), 1);
    if (before != NULL && json_object_get(told, open->uri) == NULL) {
        json_object_set(told, open->uri, before);
    }
}

static bool is_due(const OpenText *open, Thoroughness how) { return open->unread || (how != NAMES_AND_KINDS && open->unchecked); }

/* Checks all that changed. False: nothing is to be told now. */
static bool check_all(Server *server, json_t *told, Thoroughness how)
{
    bool ready = true;
    for (uint32_t i = 0; i < server->texts.list.count; i++) {
        if (is_due(&server->texts.list.at[i], how)) {
            json_object_set_new(told, server->texts.list.at[i].uri, json_array());
        }
    }
    for (uint32_t i = 0; i < server->texts.list.count; i++) {
        OpenText *open = &server->texts.list.at[i];
        if (!is_due(open, how)) {
            keep(server, open, told);
            continue;
        }
        if (how != NAMES_AND_KINDS && !open->unread && server->read != NULL && strcmp(server->read, open->path) != 0) {
            memory_return(server->memory, server->read); /* another stands in the workshop */
            server->read = NULL;
        }
        ready = check(server, open, told, how) && ready;
    }
    return ready;
}

/* Tells what is not what was told last, and takes back what is wrong no more. */
static void tell_all(Server *server, json_t *told)
{
    const char *uri;
    json_t *list, *published = json_object();
    json_object_foreach(server->published, uri, list) {
        if (json_object_get(told, uri) == NULL) {
            json_t *none = json_array();
            tell(server, uri, none);
            json_decref(none);
        }
    }
    json_object_foreach(told, uri, list) {
        OpenText *open = texts_of(&server->texts, uri);
        json_t *key = json_pack("[I, O]", (json_int_t)(open == NULL ? 0 : open->version), list);
        if (!json_equal(json_object_get(server->published, uri), key)) {
            tell(server, uri, list);
        }
        json_object_set_new(published, uri, key);
    }
    json_decref(server->published);
    server->published = published;
}

void diagnostics_publish(Server *server, Thoroughness how)
{
    bool any = false;
    for (uint32_t i = 0; i < server->texts.list.count; i++) {
        any = any || is_due(&server->texts.list.at[i], how);
    }
    if (!any && (server->texts.list.count > 0 || json_object_size(server->published) == 0)) {
        return;
    }
    json_t *told = json_object();
    if (check_all(server, told, how)) {
        tell_all(server, told);
    }
    json_decref(told);
}

json_t *diagnostics_asked(Server *server, const OpenText *open)
{
    json_t *told = json_array_get(json_object_get(server->published, open->uri), 1);
    return json_pack("{s:s, s:o}", "kind", "full", "items", told == NULL ? json_array() : json_incref(told));
}

static long key_of(const json_t *position)
{
    return (long)json_integer_value(json_object_get(position, "line")) * 100000 + (long)json_integer_value(json_object_get(position, "character"));
}

json_t *diagnostics_actions(Server *server, const OpenText *open, const json_t *params)
{
    json_t *chosen = json_array(), *fix, *range = json_object_get(params, "range");
    long from = key_of(json_object_get(range, "start")), to = key_of(json_object_get(range, "end"));
    size_t i;
    json_array_foreach(json_object_get(server->fixes, open->uri), i, fix) {
        json_t *at = json_object_get(json_array_get(json_object_get(fix, "diagnostics"), 0), "range");
        if (key_of(json_object_get(at, "start")) <= to && key_of(json_object_get(at, "end")) >= from) {
            json_array_append(chosen, fix);
        }
    }
    return chosen;
}
