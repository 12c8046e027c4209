/* An editor and the language server. Whatever is typed and asked in whatever order, each question has one answer, all
 * answers are JSON, ranges run forwards, and at the end what is said to be wrong is what a fresh server says of the texts as
 * they then stand, put together here by an editor of this file's own.
 *
 * The bytes: how positions are counted; a script, up to the byte 1E; then what the editor does, each a byte, what it needs
 * (two bytes for a place, one for a length), and where it needs a text that, up to the byte 1F. Two scripts can be open:
 * the second is one that the first may use. */
#include "fuzz.h"

#include "../check.h"
#include "editor/server.h"

#include <jansson.h>

#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

enum { SCRIPTS = 2, TEXT_END = 0x1F, SCRIPT_END = 0x1E, MOST_ACTIONS = 40, JUDGED_ON = 20514 };

typedef struct Script { char uri[4096]; Page text; bool open; } Script;

typedef struct Session {
    const uint8_t *at, *end;
    const char *counting;
    Script scripts[SCRIPTS];
    Page sent;
    int questions;
    bool wild; /* something was sent that this editor does not understand itself */
} Session;

/* ---- the bytes ---- */

static unsigned take_byte(Session *session) { return session->at < session->end ? *session->at++ : 0; }
static unsigned take_two(Session *session) { unsigned high = take_byte(session); return high << 8 | take_byte(session); }

/* The bytes of the sign at AT, or 0 where there is none whole. */
static size_t sign_length(const uint8_t *at, const uint8_t *end)
{
    size_t length = *at < 0x80 ? 1 : *at >= 0xC2 && *at < 0xE0 ? 2 : *at >= 0xE0 && *at < 0xF0 ? 3 : *at >= 0xF0 && *at < 0xF5 ? 4 : 0;
    if (length == 0 || (size_t)(end - at) < length)
        return 0;
    for (size_t i = 1; i < length; i++) {
        if ((at[i] & 0xC0) != 0x80)
            return 0;
    }
    bool fits = !(at[0] == 0xE0 && at[1] < 0xA0) && !(at[0] == 0xED && at[1] > 0x9F) && !(at[0] == 0xF0 && at[1] < 0x90) && !(at[0] == 0xF4 && at[1] > 0x8F);
    return fits ? length : 0;
}

/* A text up to the byte STOP, in which what JSON cannot carry is a question mark. */
static Page take_text(Session *session, uint8_t stop)
{
    Page text = {0};
    page_add(&text, "", 0);
    const uint8_t *end = memchr(session->at, stop, (size_t)(session->end - session->at));
    end = end == NULL ? session->end : end;
    while (session->at < end) {
        size_t length = *session->at == 0 ? 0 : sign_length(session->at, end);
        page_add(&text, length == 0 ? "?" : (const char *)session->at, length == 0 ? 1 : length);
        session->at += length == 0 ? 1 : length;
    }
    session->at += session->at < session->end;
    return text;
}

/* ---- places, as the protocol counts them ---- */

static size_t units_of(const Session *session, const char *at, size_t bytes)
{
    (void)at;
    return strcmp(session->counting, "utf-8") == 0 ? bytes : strcmp(session->counting, "utf-16") == 0 && bytes == 4 ? 2 : 1;
}

static size_t sign_at(const Page *text, size_t at)
{
    return sign_length((const uint8_t *)text->at + at, (const uint8_t *)text->at + text->length);
}

/* The bytes of the line's end at AT; 0: none stands there. */
static size_t end_at(const Page *text, size_t at)
{
    return text->at[at] == '\n' ? 1 : text->at[at] != '\r' ? 0 : text->at[at + 1] == '\n' ? 2 : 1;
}

static json_t *position_at(const Session *session, const Page *text, size_t offset)
{
    size_t line = 0, character = 0;
    for (size_t at = 0; at < offset;) {
        size_t end = end_at(text, at), sign = sign_at(text, at);
        if (end > 0 && at + end <= offset) {
            line++;
            character = 0;
        } else
            character += end > 0 ? 0 : units_of(session, text->at + at, sign);
        at += end > 0 ? end : sign;
    }
    return json_pack("{s:i, s:i}", "line", (int)line, "character", (int)character);
}

/* A place that may lie behind the end of a line or of all: the byte that is meant. */
static size_t offset_of(const Session *session, const Page *text, size_t line, size_t character)
{
    size_t at = 0;
    for (; line > 0 && at < text->length; line--) {
        while (at < text->length && end_at(text, at) == 0)
            at++;
        at += at < text->length ? end_at(text, at) : 0;
        if (at == text->length && line > 1)
            return at;
    }
    if (line > 0)
        return at;
    for (size_t count = 0; at < text->length && end_at(text, at) == 0 && count < character;) {
        size_t sign = sign_at(text, at);
        count += units_of(session, text->at + at, sign);
        at += sign;
    }
    return at;
}

/* A byte of the text at which a sign begins, and no line's end is cut in two. */
static size_t place_in(const Page *text, size_t wish)
{
    size_t at = wish % (text->length + 1);
    while (at > 0 && at < text->length && (((unsigned char)text->at[at] & 0xC0) == 0x80 || (text->at[at] == '\n' && text->at[at - 1] == '\r')))
        at--;
    return at;
}

/* ---- what is sent ---- */

static void put_body(Page *page, const char *body, size_t length)
{
    page_print(page, "Content-Length: %zu\r\n\r\n", length);
    page_add(page, body, length);
}

static void put(Page *page, json_t *message)
{
    char *body = json_dumps(message, JSON_COMPACT);
    fuzz_must(body != NULL, "this editor's own message is no JSON");
    put_body(page, body, strlen(body));
    free(body);
    json_decref(message);
}

static void tell(Page *page, const char *method, json_t *params) { put(page, json_pack("{s:s, s:s, s:o}", "jsonrpc", "2.0", "method", method, "params", params)); }

static void ask(Session *session, const char *method, json_t *params)
{
    put(&session->sent, json_pack("{s:s, s:i, s:s, s:o}", "jsonrpc", "2.0", "id", session->questions++, "method", method, "params", params));
}

static void put_begin(Page *page, const char *counting, int id)
{
    put(page, json_pack("{s:s, s:i, s:s, s:{s:{s:{s:[s]}}}}", "jsonrpc", "2.0", "id", id, "method", "initialize", "params", "capabilities", "general", "positionEncodings", counting));
}

static void put_open(Page *page, const Script *script)
{
    tell(page, "textDocument/didOpen", json_pack("{s:{s:s, s:s, s:i, s:s}}", "textDocument", "uri", script->uri, "languageId", "waterleaf", "version", 1, "text", script->text.at));
}

static json_t *of_script(const Script *script) { return json_pack("{s:{s:s}}", "textDocument", "uri", script->uri); }

/* ---- what the editor does ---- */

static void splice(Page *text, size_t start, size_t end, const Page *put_there)
{
    Page made = {0};
    page_add(&made, text->at, start);
    page_add(&made, put_there->at, put_there->length);
    page_add(&made, text->at + end, text->length - end);
    free(text->at);
    *text = made;
}

static void send_change(Session *session, Script *script, json_t *range, const Page *text)
{
    json_t *change = json_pack("{s:s}", "text", text->at);
    if (range != NULL)
        json_object_set_new(change, "range", range);
    tell(&session->sent, "textDocument/didChange", json_pack("{s:{s:s, s:i}, s:[o]}", "textDocument", "uri", script->uri, "version", 2, "contentChanges", change));
}

static void change(Session *session, Script *script)
{
    size_t start = place_in(&script->text, take_two(session)), end = start + take_byte(session);
    end = end < script->text.length ? place_in(&script->text, end) : script->text.length;
    end = end < start ? start : end;
    Page text = take_text(session, TEXT_END);
    send_change(session, script, json_pack("{s:o, s:o}", "start", position_at(session, &script->text, start), "end", position_at(session, &script->text, end)), &text);
    splice(&script->text, start, end, &text);
    free(text.at);
}

static void change_anywhere(Session *session, Script *script)
{
    unsigned lines[2], characters[2];
    size_t places[2];
    for (int i = 0; i < 2; i++) {
        lines[i] = take_byte(session);
        characters[i] = take_byte(session);
        places[i] = offset_of(session, &script->text, lines[i], characters[i]);
    }
    Page text = take_text(session, TEXT_END);
    send_change(session, script, json_pack("{s:{s:i, s:i}, s:{s:i, s:i}}", "start", "line", (int)lines[0], "character", (int)characters[0], "end", "line", (int)lines[1], "character",
                                           (int)characters[1]), &text);
    splice(&script->text, places[0], places[1] < places[0] ? places[0] : places[1], &text);
    free(text.at);
}

static void change_whole(Session *session, Script *script)
{
    Page text = take_text(session, TEXT_END);
    send_change(session, script, NULL, &text);
    free(script->text.at);
    script->text = text;
}

static void ask_at_place(Session *session, Script *script, const char *method)
{
    json_t *params = of_script(script), *position = position_at(session, &script->text, place_in(&script->text, take_two(session)));
    json_t *other = position_at(session, &script->text, place_in(&script->text, take_two(session)));
    json_object_set_new(params, "positions", json_pack("[O, O]", position, other));
    json_object_set_new(params, "range", json_pack("{s:O, s:o}", "start", position, "end", other));
    json_object_set_new(params, "position", position);
    json_object_set_new(params, "context", json_pack("{s:b, s:[]}", "includeDeclaration", 1, "diagnostics"));
    if (strcmp(method, "textDocument/rename") == 0) {
        Page text = take_text(session, TEXT_END);
        json_object_set_new(params, "newName", json_string(text.at));
        free(text.at);
    }
    ask(session, method, params);
}

static void open_or_close(Session *session, Script *script)
{
    if (script->open)
        tell(&session->sent, "textDocument/didClose", of_script(script));
    else
        put_open(&session->sent, script);
    script->open = !script->open;
}

/* Bytes as a message, whatever they are. */
static void send_bytes(Session *session)
{
    const uint8_t *end = memchr(session->at, TEXT_END, (size_t)(session->end - session->at));
    end = end == NULL ? session->end : end;
    json_t *read = json_loadb((const char *)session->at, (size_t)(end - session->at), 0, NULL);
    session->wild = session->wild || read != NULL;
    json_decref(read);
    put_body(&session->sent, (const char *)session->at, (size_t)(end - session->at));
    session->at = end + (end < session->end);
}

static void ask_symbols(Session *session)
{
    Page text = take_text(session, TEXT_END);
    ask(session, "workspace/symbol", json_pack("{s:s}", "query", text.at));
    free(text.at);
}

static void act(Session *session)
{
    static const char *const at_place[] = {"hover", "definition", "references", "completion", "rename", "selectionRange", "rangeFormatting", "codeAction"};
    static const char *const of_whole[] = {"documentSymbol", "foldingRange", "formatting", "codeLens", "documentLink", "inlayHint", "semanticTokens/full", "diagnostic"};
    unsigned what = take_byte(session), kind = what >> 1 & 31;
    Script *script = &session->scripts[what & 1];
    char method[60];
    if (kind < 8) {
        snprintf(method, sizeof method, "textDocument/%s", at_place[kind]);
        ask_at_place(session, script, method);
    } else if (kind < 16) {
        snprintf(method, sizeof method, "textDocument/%s", of_whole[kind - 8]);
        ask(session, method, of_script(script));
    } else if (kind < 24 && !script->open)
        open_or_close(session, script);
    else if (kind < 22)
        change(session, script);
    else if (kind == 22)
        change_anywhere(session, script);
    else if (kind == 23)
        change_whole(session, script);
    else if (kind == 24)
        open_or_close(session, script);
    else if (kind == 25)
        ask_symbols(session);
    else if (kind == 26)
        tell(&session->sent, "workspace/didChangeConfiguration", json_pack("{s:{s:{s:b}}}", "settings", "waterleaf", "hints", (int)(what & 1)));
    else if (kind == 27)
        tell(&session->sent, "workspace/didChangeWatchedFiles", json_pack("{s:[]}", "changes"));
    else if (kind == 28)
        send_bytes(session);
    else
        ask(session, "textDocument/diagnostic", of_script(script));
}

/* ---- what comes back ---- */

static int file_of(const Page *bytes)
{
    int file = memfd_create("fuzz", 0);
    fuzz_must(file >= 0 && (bytes == NULL || write(file, bytes->at, bytes->length) == (ssize_t)bytes->length) && lseek(file, 0, SEEK_SET) == 0, "no room for a stream");
    return file;
}

/* All that the server says to what is SENT. */
static Page said_to(const Page *sent)
{
    Memory memory = {0};
    int in = file_of(sent), out = file_of(NULL);
    server_run(&memory, &(ServerWish){.version = "0", .day = JUDGED_ON, .in = in, .out = out});
    memory_return_all(&memory);
    off_t length = lseek(out, 0, SEEK_END);
    Page said = {0};
    page_add(&said, "", 0);
    char *bytes = check_resize(NULL, (size_t)length + 1);
    fuzz_must(pread(out, bytes, (size_t)length, 0) == length, "what was said cannot be read");
    page_add(&said, bytes, (size_t)length);
    free(bytes);
    close(in);
    close(out);
    return said;
}

static long key_of(const json_t *position)
{
    return (long)json_integer_value(json_object_get(position, "line")) * 100000 + (long)json_integer_value(json_object_get(position, "character"));
}

static void must_run_forwards(const json_t *any)
{
    const char *key;
    json_t *inside, *start = json_object_get(any, "start"), *end = json_object_get(any, "end");
    size_t i;
    if (json_is_object(start) && json_is_object(end))
        fuzz_must(key_of(start) <= key_of(end), "a range runs backwards, from %ld to %ld", key_of(start), key_of(end));
    if (json_is_object(any))
        json_object_foreach((json_t *)(uintptr_t)any, key, inside) must_run_forwards(inside);
    json_array_foreach(any, i, inside) must_run_forwards(inside);
}

/* The answers by the numbers of their questions, as text. */
static json_t *answers_of(const Page *said)
{
    json_t *answers = json_object();
    const char *at = said->at, *end = said->at + said->length;
    while (at < end) {
        char *body;
        fuzz_must(strncmp(at, "Content-Length: ", 16) == 0, "no head where one should be: %.40s", at);
        unsigned long length = strtoul(at + 16, &body, 10);
        fuzz_must(strncmp(body, "\r\n\r\n", 4) == 0 && length <= (size_t)(end - body - 4), "the head ends wrong");
        json_error_t wrong;
        json_t *message = json_loadb(body + 4, length, 0, &wrong), *id = json_object_get(message, "id");
        fuzz_must(message != NULL, "what is said is no JSON: %s\n%.*s", wrong.text, (int)length, body + 4);
        must_run_forwards(message);
        if (json_is_integer(id)) {
            char number[24];
            snprintf(number, sizeof number, "%lld", (long long)json_integer_value(id));
            fuzz_must(json_object_get(answers, number) == NULL, "question %s has two answers", number);
            fuzz_must((json_object_get(message, "result") == NULL) != (json_object_get(message, "error") == NULL), "an answer with %s result", json_object_get(message, "result") ? "error and" : "no");
            json_object_set(answers, number, message);
        }
        json_decref(message);
        at = body + 4 + length;
    }
    return answers;
}

static json_t *answer_to(const json_t *answers, int question)
{
    char number[24];
    snprintf(number, sizeof number, "%d", question);
    return json_object_get(answers, number);
}

static json_t *items_of(const json_t *answers, int question) { return json_object_get(json_object_get(answer_to(answers, question), "result"), "items"); }

/* Asks, and says good-bye; gives the number of the first of the last questions. */
static int put_end(Session *session)
{
    int first = session->questions;
    for (int i = 0; i < SCRIPTS; i++)
        ask(session, "textDocument/diagnostic", of_script(&session->scripts[i]));
    ask(session, "shutdown", json_null());
    tell(&session->sent, "exit", json_null());
    return first;
}

/* What a fresh server says of the texts as they stand. */
static void compare_fresh(const Session *session, const json_t *answers, int first)
{
    Session fresh = *session;
    fresh.sent = (Page){0};
    fresh.questions = 1;
    put_begin(&fresh.sent, session->counting, 0);
    for (int i = 0; i < SCRIPTS; i++) {
        if (session->scripts[i].open)
            put_open(&fresh.sent, &session->scripts[i]);
    }
    int begins = put_end(&fresh);
    Page said = said_to(&fresh.sent);
    json_t *others = answers_of(&said);
    for (int i = 0; i < SCRIPTS; i++) {
        json_t *one = items_of(answers, first + i), *other = items_of(others, begins + i);
        if ((one != NULL || other != NULL) && !json_equal(one, other)) {
            char *was = json_dumps(one, JSON_COMPACT | JSON_ENCODE_ANY), *is = json_dumps(other, JSON_COMPACT | JSON_ENCODE_ANY);
            fuzz_must(false, "script %d ends with\n%s\nbut a fresh server says\n%s\nof\n%s", i, was, is, session->scripts[i].text.at);
        }
    }
    json_decref(others);
    free(said.at);
    free(fresh.sent.at);
}

static void name_scripts(Session *session)
{
    char folder[4000];
    if (realpath("tests/fuzz/session", folder) == NULL)
        snprintf(folder, sizeof folder, "/nowhere");
    snprintf(session->scripts[0].uri, sizeof session->scripts[0].uri, "file://%s/first.wleaf", folder);
    snprintf(session->scripts[1].uri, sizeof session->scripts[1].uri, "file://%s/part.wleaf", folder);
}

void fuzz_session(const uint8_t *bytes, size_t length)
{
    static const char *const countings[] = {"utf-16", "utf-8", "utf-32"};
    Session session = {.at = bytes, .end = bytes + length, .questions = 1};
    if (length == 0)
        return;
    session.counting = countings[take_byte(&session) % 3];
    name_scripts(&session);
    put_begin(&session.sent, session.counting, 0);
    session.scripts[0].text = take_text(&session, SCRIPT_END);
    page_add(&session.scripts[1].text, "waterleaf 1\n", 12);
    open_or_close(&session, &session.scripts[0]);
    for (int i = 0; i < MOST_ACTIONS && session.at < session.end; i++)
        act(&session);
    int first = put_end(&session);
    Page said = said_to(&session.sent);
    json_t *answers = answers_of(&said);
    for (int i = 0; !session.wild && i < session.questions; i++)
        fuzz_must(answer_to(answers, i) != NULL, "question %d has no answer", i);
    if (!session.wild)
        compare_fresh(&session, answers, first);
    json_decref(answers);
    free(said.at);
    free(session.sent.at);
    for (int i = 0; i < SCRIPTS; i++)
        free(session.scripts[i].text.at);
}
