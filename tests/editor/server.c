/* The language server, spoken to in real bytes over pipes: framing, positions in three countings, what is wrong and what mends it,
 * answers about places, a thousand random edits that must end in what a fresh server says. Runs from the root of the project. */
#include "check.h"

#include <jansson.h>

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <stdarg.h>
#include <sys/wait.h>
#include <unistd.h>

enum { EDITS = 1000, WAIT = 20000 };

static Checks checks;

typedef struct Editor {
    pid_t server;
    int to, from;
    char *pending;
    size_t length;
    int number;
    json_t *diagnostics; /* by address: the newest params */
} Editor;

/* ---- bytes ---- */

static void start(Editor *editor)
{
    int in[2], out[2];
    *editor = (Editor){.diagnostics = json_object()};
    if (pipe(in) != 0 || pipe(out) != 0) {
        exit(2);
    }
    editor->server = fork();
    if (editor->server == 0) {
        dup2(in[0], STDIN_FILENO);
        dup2(out[1], STDOUT_FILENO);
        close(in[1]);
        close(out[0]);
        const char *built = getenv("WATERLEAF_BUILT");
        char program[512];
        snprintf(program, sizeof program, "%s/tests/waterleaf", built != NULL && built[0] != '\0' ? built : "build");
        execl(program, "waterleaf", "lsp", "--on", "2027-03-01", (char *)NULL);
        _exit(127);
    }
    close(in[0]);
    close(out[1]);
    editor->to = in[1];
    editor->from = out[0];
}

/* Closes the pipes and gives the exit status; -1: it does not end. */
static int stop(Editor *editor)
{
    close(editor->to);
    int status = 0, ended = 0;
    for (int i = 0; i < 200 && ended == 0; i++) {
        ended = waitpid(editor->server, &status, WNOHANG);
        usleep(ended == 0 ? 20000 : 0);
    }
    if (ended == 0) {
        kill(editor->server, SIGKILL);
        waitpid(editor->server, &status, 0);
    }
    close(editor->from);
    free(editor->pending);
    json_decref(editor->diagnostics);
    return ended == 0 || !WIFEXITED(status) ? -1 : WEXITSTATUS(status);
}

static void put_bytes(Editor *editor, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t count = write(editor->to, bytes, length);
        if (count <= 0) {
            return;
        }
        bytes += count;
        length -= (size_t)count;
    }
}

static char *framed(const char *body)
{
    char *text = malloc(strlen(body) + 64);
    sprintf(text, "Content-Length: %zu\r\n\r\n%s", strlen(body), body);
    return text;
}

static void send_json(Editor *editor, json_t *message)
{
    char *body = json_dumps(message, JSON_COMPACT), *text = framed(body);
    put_bytes(editor, text, strlen(text));
    free(body);
    free(text);
    json_decref(message);
}

/* The next message; NULL: none comes. */
static json_t *take(Editor *editor)
{
    for (;;) {
        char *head = editor->pending == NULL ? NULL : strstr(editor->pending, "\r\n\r\n");
        if (head != NULL) {
            size_t told = strtoul(editor->pending + 15, NULL, 10), begins = (size_t)(head - editor->pending) + 4;
            if (editor->length - begins >= told) {
                json_t *message = json_loadb(editor->pending + begins, told, 0, NULL);
                editor->length -= begins + told;
                memmove(editor->pending, editor->pending + begins + told, editor->length + 1);
                return message;
            }
        }
        struct pollfd waiting = {.fd = editor->from, .events = POLLIN};
        char bytes[65536];
        ssize_t count = poll(&waiting, 1, WAIT) > 0 ? read(editor->from, bytes, sizeof bytes) : 0;
        if (count <= 0) {
            return NULL;
        }
        editor->pending = check_resize(editor->pending, editor->length + (size_t)count + 1);
        memcpy(editor->pending + editor->length, bytes, (size_t)count);
        editor->length += (size_t)count;
        editor->pending[editor->length] = 0;
    }
}

/* ---- messages ---- */

static void note_told(Editor *editor, const json_t *message)
{
    const char *method = json_string_value(json_object_get(message, "method"));
    json_t *params = json_object_get(message, "params");
    if (method != NULL && strcmp(method, "textDocument/publishDiagnostics") == 0) {
        json_object_set(editor->diagnostics, json_string_value(json_object_get(params, "uri")), params);
    }
}

/* The whole answer to a question; what is told in between is noted. */
static json_t *ask_whole(Editor *editor, const char *method, json_t *params)
{
    int id = ++editor->number;
    send_json(editor, json_pack("{s:s, s:i, s:s, s:o}", "jsonrpc", "2.0", "id", id, "method", method, "params", params));
    for (;;) {
        json_t *message = take(editor);
        if (message == NULL || json_integer_value(json_object_get(message, "id")) == id) {
            return message;
        }
        note_told(editor, message);
        json_decref(message);
    }
}

static json_t *ask(Editor *editor, const char *method, json_t *params)
{
    json_t *message = ask_whole(editor, method, params), *result = json_incref(json_object_get(message, "result"));
    json_decref(message);
    return result;
}

static void tell(Editor *editor, const char *method, json_t *params)
{
    send_json(editor, json_pack("{s:s, s:s, s:o}", "jsonrpc", "2.0", "method", method, "params", params));
}

static void begin_in(Editor *editor, const char *counting, const char *folder)
{
    start(editor);
    json_t *folders = folder == NULL ? json_null() : json_pack("[{s:s, s:s}]", "uri", folder, "name", "here");
    json_t *result = ask(editor, "initialize", json_pack("{s:{s:{s:[s]}}, s:o}", "capabilities", "general", "positionEncodings", counting, "workspaceFolders", folders));
    const char *chosen = json_string_value(json_object_get(json_object_get(result, "capabilities"), "positionEncoding"));
    check(&checks, chosen != NULL && strcmp(chosen, counting) == 0, "%s is chosen, not %s", chosen == NULL ? "nothing" : chosen, counting);
    json_decref(result);
    tell(editor, "initialized", json_object());
}

static void begin(Editor *editor, const char *counting) { begin_in(editor, counting, NULL); }

static void end(Editor *editor)
{
    json_decref(ask(editor, "shutdown", json_null()));
    tell(editor, "exit", json_null());
    int status = stop(editor);
    check(&checks, status == 0, "it ends with %d", status);
}

static void show(Editor *editor, const char *uri, int version, const char *text)
{
    tell(editor, "textDocument/didOpen", json_pack("{s:{s:s, s:s, s:i, s:s}}", "textDocument", "uri", uri, "languageId", "waterleaf", "version", version, "text", text));
}

static json_t *at_text(const char *uri) { return json_pack("{s:{s:s}}", "textDocument", "uri", uri); }

static json_t *at_place(const char *uri, int line, int character)
{
    return json_pack("{s:{s:s}, s:{s:i, s:i}}", "textDocument", "uri", uri, "position", "line", line, "character", character);
}

/* Where BACK bytes behind the first WORDS of TEXT are, in lines and bytes. */
static json_t *at_words(const char *uri, const char *text, const char *words, int back)
{
    const char *found = strstr(text, words);
    check(&checks, found != NULL, "the test does not find %s", words);
    int line = 0, character = 0;
    for (const char *at = text; found != NULL && at < found + back; at++) {
        line += *at == '\n';
        character = *at == '\n' ? 0 : character + 1;
    }
    return at_place(uri, line, character);
}

static json_t *everywhere(const char *uri)
{
    return json_pack("{s:{s:s}, s:{s:{s:i, s:i}, s:{s:i, s:i}}, s:{s:[]}}", "textDocument", "uri", uri, "range", "start", "line", 0, "character", 0, "end", "line", 9999,
                     "character", 0, "context", "diagnostics");
}

/* Whether WORDS stand in what JSON is written as. */
static bool holds(json_t *json, const char *words)
{
    char *text = json == NULL ? NULL : json_dumps(json, JSON_COMPACT | JSON_ENCODE_ANY);
    bool there = text != NULL && strstr(text, words) != NULL;
    if (!there && text != NULL) {
        printf("  not in it: %s\n  in: %.600s\n", words, text);
    }
    free(text);
    return there;
}

static json_t *told_of(Editor *editor, const char *uri)
{
    json_decref(ask(editor, "textDocument/diagnostic", at_text(uri))); /* what is wrong is told beside the answer, too */
    return json_object_get(json_object_get(editor->diagnostics, uri), "diagnostics");
}

/* ---- framing ---- */

static void framing(void)
{
    Editor editor;
    start(&editor);
    char *first = framed("{\"jsonrpc\":\"2.0\",\"id\":1,\"method\":\"initialize\",\"params\":{}}"), *second = framed("{\"jsonrpc\":\"2.0\",\"id\":2,\"method\":\"shutdown\"}");
    for (size_t i = 0; i < strlen(first); i++) { /* byte by byte */
        put_bytes(&editor, first + i, 1);
        if (i % 16 == 0) {
            usleep(300);
        }
    }
    json_t *message = take(&editor);
    check(&checks, holds(message, "\"capabilities\""), "a message that comes byte by byte is not answered");
    json_decref(message);
    char *both = malloc(2 * strlen(second) + 200);
    sprintf(both, "%s%s", second, second);
    memcpy(strstr(both + strlen(second), "\"id\":2") + 5, "3", 1);
    put_bytes(&editor, both, strlen(both)); /* two at once */
    for (int id = 2; id <= 3; id++) {
        message = take(&editor);
        check(&checks, json_integer_value(json_object_get(message, "id")) == id, "of two at once, number %d is not answered", id);
        json_decref(message);
    }
    /* a question that is taken back at once, and one that is not */
    char *taken = framed("{\"jsonrpc\":\"2.0\",\"id\":\"a\",\"method\":\"workspace/symbol\",\"params\":{\"query\":\"x\"}}"),
         *other = framed("{\"jsonrpc\":\"2.0\",\"id\":9,\"method\":\"workspace/symbol\",\"params\":{\"query\":\"x\"}}"),
         *back = framed("{\"jsonrpc\":\"2.0\",\"method\":\"$/cancelRequest\",\"params\":{\"id\":\"a\"}}");
    char *three = malloc(strlen(taken) + strlen(other) + strlen(back) + 1);
    sprintf(three, "%s%s%s", taken, other, back);
    put_bytes(&editor, three, strlen(three));
    message = take(&editor);
    check(&checks, holds(message, "-32800") && holds(message, "\"id\":\"a\""), "what is taken back is answered");
    json_decref(message);
    message = take(&editor);
    check(&checks, holds(message, "\"id\":9") && json_object_get(message, "result") != NULL, "what is not taken back is not answered");
    json_decref(message);
    free(taken);
    free(other);
    free(back);
    free(three);
    char *wrong = framed("{\"jsonrpc\":");
    put_bytes(&editor, wrong, strlen(wrong));
    message = take(&editor);
    check(&checks, holds(message, "-32700"), "what is no JSON is not refused");
    json_decref(message);
    check(&checks, stop(&editor) == 0, "after shutdown, the end of the pipe is not its end");
    free(first);
    free(second);
    free(both);
    free(wrong);

    static const char *const broken[] = {"Content-Length: x\r\n\r\n{}", "Content-Length: -4\r\n\r\n{}", "Content-Length: 99999999999999999999\r\n\r\n{}", "\r\n\r\n\r\n", "Length: 2\r\n\r\n{}"};
    for (size_t i = 0; i < sizeof broken / sizeof broken[0]; i++) {
        start(&editor);
        put_bytes(&editor, broken[i], strlen(broken[i]));
        check(&checks, stop(&editor) == 1, "broken head %zu is no end", i);
    }
    start(&editor);
    message = ask_whole(&editor, "textDocument/hover", json_object());
    check(&checks, holds(message, "-32002"), "a question before initialize is not refused");
    json_decref(message);
    check(&checks, stop(&editor) == 1, "without shutdown it ends as if all were well");
}

/* ---- positions ---- */

#define ODD "file:///tmp/odd.wleaf"

static void positions(void)
{
    static const struct { const char *counting; int from; } countings[] = {{"utf-8", 17}, {"utf-16", 14}, {"utf-32", 13}};
    for (size_t i = 0; i < 3; i++) {
        Editor editor;
        begin(&editor, countings[i].counting);
        /* in front of the misspelt name: ° of 2 bytes, and a sign of 4 bytes and two 16-bit units */
        show(&editor, ODD, 1, "waterleaf 1\nlet a = \"\xC2\xB0\xF0\x9F\x93\x84\" \nlet b = 1 g/m\xC2\xB2\nlet c = \"\xC2\xB0\xF0\x9F\x93\x84 {wrong}\"\n");
        json_t *told = told_of(&editor, ODD), *range = json_object_get(json_array_get(told, 0), "range");
        int from = (int)json_integer_value(json_object_get(json_object_get(range, "start"), "character"));
        check(&checks, json_array_size(told) >= 1, "%s: nothing is wrong", countings[i].counting);
        int expected = countings[i].from; /* let c = and a quote, the signs, a blank, a brace */
        check(&checks, from == expected, "%s: it begins at %d, not %d", countings[i].counting, from, expected);
        /* a change behind these signs */
        tell(&editor, "textDocument/didChange", json_pack("{s:{s:s, s:i}, s:[{s:{s:{s:i, s:i}, s:{s:i, s:i}}, s:s}]}", "textDocument", "uri", ODD, "version", 2, "contentChanges", "range",
                                                          "start", "line", 3, "character", expected, "end", "line", 3, "character", expected + 5, "text", "b"));
        check(&checks, json_array_size(told_of(&editor, ODD)) == 0, "%s: the change was made elsewhere", countings[i].counting);
        end(&editor);
    }
}

/* ---- answers ---- */

static char *address(const char *path)
{
    char *real = realpath(path, NULL), *uri = malloc(strlen(real) + 8);
    sprintf(uri, "file://%s", real);
    free(real);
    return uri;
}

static void answers(void)
{
    Editor editor;
    begin(&editor, "utf-8");
    char *text = check_read("examples/botanical.wleaf", NULL), *uri = address("examples/botanical.wleaf");
    show(&editor, uri, 1, text);
    check(&checks, json_array_size(told_of(&editor, uri)) == 0, "something is wrong in an example");
    static const struct { const char *method, *words; int back; const char *holds; } questions[] = {
        {"textDocument/hover", "linen-rag  ", 2, "Flax rag, washed and old"},
        {"textDocument/hover", "tub-size", 2, "Each dry sheet is drawn through the tub"},
        {"textDocument/hover", "42 \xC2\xB0SR", 4, "Degrees Schopper-Riegler"},
        {"textDocument/hover", "expect  alkaline-reserve", 12, "alkaline-reserve is 0.607 mol/kg"},
        {"textDocument/definition", "mould     imperial-wove", 12, "mills/wrenfold.wleaf"},
        {"textDocument/definition", "paper   botanical", 10, "\"line\":10,\"character\":6"},
        {"textDocument/completion", "    beat ", 5, "\"loft-dry\""},
        {"textDocument/completion", "surface   finish", 10, "\"cold-pressed\""},
        {"textDocument/completion", "at 750 kPa", 8, "\"kPa\""},
        {"textDocument/completion", "tub-size    with", 12, "\"taking-up\""},
        {"textDocument/completion", "    linen-rag", 4, "\"cotton-linters\""},
        {"textDocument/completion", "  mill    wrenfold", 10, "\"wrenfold\""}};
    for (size_t i = 0; i < sizeof questions / sizeof questions[0]; i++) {
        json_t *result = ask(&editor, questions[i].method, at_words(uri, text, questions[i].words, questions[i].back));
        check(&checks, holds(result, questions[i].holds), "%s at %s", questions[i].method, questions[i].words);
        json_decref(result);
    }
    static const struct { const char *method, *holds; } whole[] = {
        {"textDocument/documentSymbol", "\"paper botanical\""}, {"textDocument/documentSymbol", "\"procedure\""}, {"textDocument/foldingRange", "\"startLine\":10,\"endLine\":56"},
        {"textDocument/codeLens", "waterleaf.writeBatchSheet"}, {"textDocument/documentLink", "mills/wrenfold.wleaf"}, {"textDocument/inlayHint", "15700 g to weigh"},
        {"textDocument/semanticTokens/full", "[0,0,9,0,0,0,10,1,3,0"}, {"textDocument/formatting", "[]"}};
    for (size_t i = 0; i < sizeof whole / sizeof whole[0]; i++) {
        json_t *result = ask(&editor, whole[i].method, at_text(uri));
        check(&checks, holds(result, whole[i].holds), "%s", whole[i].method);
        json_decref(result);
    }
    json_t *selected = at_words(uri, text, "42 \xC2\xB0SR", 1);
    json_object_set_new(selected, "positions", json_pack("[O]", json_object_get(selected, "position")));
    json_t *selections = ask(&editor, "textDocument/selectionRange", selected), *out = json_array_get(selections, 0);
    unsigned widths = 0;
    for (; json_object_get(out, "parent") != NULL; out = json_object_get(out, "parent")) {
        widths++;
    }
    check(&checks, widths >= 4 && holds(json_object_get(out, "range"), "\"line\":0,\"character\":0"), "selections: %u", widths);
    json_decref(selections);
    selections = ask(&editor, "textDocument/diagnostic", at_text(uri));
    check(&checks, holds(selections, "\"items\":[]"), "what is wrong, asked for");
    json_decref(selections);
    json_t *result = ask(&editor, "workspace/symbol", json_pack("{s:s}", "query", "botan"));
    check(&checks, holds(result, "\"botanical\""), "workspace/symbol");
    json_decref(result);
    /* all places of a mould, in two scripts */
    json_t *params = at_words(uri, text, "mould     imperial-wove", 12);
    json_object_set_new(params, "context", json_pack("{s:b}", "includeDeclaration", 1));
    result = ask(&editor, "textDocument/references", params);
    check(&checks, json_array_size(result) == 3 && holds(result, "mills/wrenfold.wleaf"), "references: %zu", json_array_size(result));
    json_decref(result);
    static const struct { const char *words; int back; const char *name, *holds; } renamings[] = {
        {"paper   botanical", 10, "plant-sheet", "\"newText\":\"plant-sheet\""}, {"mould     imperial-wove", 12, "great-mould", "mills/wrenfold.wleaf"},
        {"    linen-rag", 6, "flax-sheet", "stdlib's"}, {"paper   botanical", 10, "9lives", "letters, digits and hyphens"}, {"paper   botanical", 10, "chalk", "stands for something else"},
        {"# Our heavy", 3, "x-y", "No name"}};
    for (size_t i = 0; i < sizeof renamings / sizeof renamings[0]; i++) {
        params = at_words(uri, text, renamings[i].words, renamings[i].back);
        json_object_set_new(params, "newName", json_string(renamings[i].name));
        result = ask_whole(&editor, "textDocument/rename", params);
        check(&checks, holds(result, renamings[i].holds), "rename %s to %s", renamings[i].words, renamings[i].name);
        json_decref(result);
    }
    free(text);
    free(uri);
    end(&editor);
}

/* ---- names in several scripts ---- */

static void lay(const char *folder, const char *name, const char *text)
{
    char path[300];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    check(&checks, file != NULL && fputs(text, file) >= 0 && fclose(file) == 0, "%s cannot be written", path);
}

/* A name is found, and renamed, in scripts that use the one that declares it: open, as they are open, or only lying in the folder. */
static void names(void)
{
    static const char shared[] = "waterleaf 1\nlet our-twice(amount) = amount * 2\nlet our-rest = 4 h\n", one[] = "waterleaf 1\nuse \"shared\"\nlet a = our-twice(3 h) + our-rest\n",
                      other[] = "waterleaf 1\nuse \"shared\"\nlet b = our-rest\nlet c = our-twice(our-twice(b))\n", apart[] = "waterleaf 1\nlet our-rest = 3 d\nlet d = our-rest\n";
    char folder[] = "/tmp/waterleaf-names-XXXXXX", path[300];
    check(&checks, mkdtemp(folder) != NULL, "there is no folder");
    lay(folder, "shared.wleaf", shared);
    lay(folder, "one.wleaf", one);
    lay(folder, "other.wleaf", "waterleaf 1\n"); /* open, with more in it than on the disk */
    lay(folder, "apart.wleaf", apart);
    char *here = address(folder);
    Editor editor;
    begin_in(&editor, "utf-8", here);
    snprintf(path, sizeof path, "%s/shared.wleaf", folder);
    char *uri = address(path);
    snprintf(path, sizeof path, "%s/other.wleaf", folder);
    char *open = address(path);
    show(&editor, uri, 1, shared);
    show(&editor, open, 1, other);
    static const struct { const char *words; int back; size_t places, scripts; } asked[] = {{"let our-twice", 6, 4, 3}, {"let our-rest", 6, 3, 3}};
    for (size_t i = 0; i < 2; i++) {
        json_t *params = at_words(uri, shared, asked[i].words, asked[i].back);
        json_object_set_new(params, "context", json_pack("{s:b}", "includeDeclaration", 1));
        json_t *result = ask(&editor, "textDocument/references", params);
        check(&checks, json_array_size(result) == asked[i].places && holds(result, "one.wleaf"), "%s: %zu places", asked[i].words, json_array_size(result));
        json_decref(result);
        params = at_words(uri, shared, asked[i].words, asked[i].back);
        json_object_set_new(params, "newName", json_string("another"));
        result = ask(&editor, "textDocument/rename", params);
        json_t *changes = json_object_get(result, "changes");
        check(&checks, json_object_size(changes) == asked[i].scripts && json_object_get(changes, open) != NULL, "%s is renamed in %zu scripts", asked[i].words, json_object_size(changes));
        json_decref(result);
    }
    json_t *result = ask(&editor, "textDocument/definition", at_words(open, other, "our-twice(b", 3));
    check(&checks, holds(result, "\"line\":1,\"character\":4"), "where a function is declared");
    json_decref(result);
    end(&editor);
    static const char *const laid[] = {"shared", "one", "other", "apart"};
    for (size_t i = 0; i < 4; i++) {
        snprintf(path, sizeof path, "%s/%s.wleaf", folder, laid[i]);
        unlink(path);
    }
    rmdir(folder);
    free(here);
    free(uri);
    free(open);
}

/* ---- what is wrong, and what mends it ---- */

/* TEXT with the edits of ACTION made, of a text in which lines and bytes are counted. */
static char *mended(const char *text, const char *uri, const json_t *action)
{
    json_t *edit = json_array_get(json_object_get(json_object_get(json_object_get(action, "edit"), "changes"), uri), 0), *range = json_object_get(edit, "range");
    size_t places[2];
    const char *const ends[] = {"start", "end"};
    for (int i = 0; i < 2; i++) {
        json_t *at = json_object_get(range, ends[i]);
        const char *line = text;
        for (json_int_t left = json_integer_value(json_object_get(at, "line")); left > 0; left--) {
            line = strchr(line, '\n') + 1;
        }
        places[i] = (size_t)(line - text) + (size_t)json_integer_value(json_object_get(at, "character"));
    }
    const char *words = json_string_value(json_object_get(edit, "newText"));
    char *made = malloc(strlen(text) + (words == NULL ? 0 : strlen(words)) + 1);
    sprintf(made, "%.*s%s%s", (int)places[0], text, words == NULL ? "" : words, text + places[1]);
    return made;
}

static void change(Editor *editor, const char *uri, int version, const char *text)
{
    tell(editor, "textDocument/didChange", json_pack("{s:{s:s, s:i}, s:[{s:s}]}", "textDocument", "uri", uri, "version", version, "contentChanges", "text", text));
}

static void fixes(void)
{
    Editor editor;
    begin(&editor, "utf-8");
    static const char *const wrong[] = {"waterleaf 1\nlet a = 3\nnote \"{b}{a}\"\nlet bb = .5 g\n", "let a = 3\n", "waterleaf 1\nmateriel x:\n  class fibre\nend\n"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        char *uri = malloc(60), *text = strdup(wrong[i]);
        sprintf(uri, "file:///tmp/wrong-%zu.wleaf", i);
        show(&editor, uri, 1, text);
        size_t before = json_array_size(told_of(&editor, uri));
        check(&checks, before > 0, "nothing is wrong in %s", wrong[i]);
        json_t *actions = ask(&editor, "textDocument/codeAction", everywhere(uri)), *diagnostic = json_array_get(json_object_get(json_array_get(actions, 0), "diagnostics"), 0);
        check(&checks, json_array_size(actions) > 0 && json_object_get(diagnostic, "code") != NULL, "nothing mends %s", wrong[i]);
        char *better = mended(text, uri, json_array_get(actions, 0));
        change(&editor, uri, 2, better);
        json_t *told = told_of(&editor, uri);
        check(&checks, json_array_size(told) < before, "mended it is no better: %s", better);
        check(&checks, json_integer_value(json_object_get(json_object_get(editor.diagnostics, uri), "version")) == 2, "what is told is of another version");
        json_decref(actions);
        free(better);
        free(text);
        tell(&editor, "textDocument/didClose", at_text(uri));
        free(uri);
    }
    /* a script that another uses counts as the editor shows it */
    char *paper = check_read("examples/botanical.wleaf", NULL), *mill = check_read("examples/mills/wrenfold.wleaf", NULL);
    char *paper_uri = address("examples/botanical.wleaf"), *mill_uri = address("examples/mills/wrenfold.wleaf");
    show(&editor, paper_uri, 1, paper);
    show(&editor, mill_uri, 1, mill);
    check(&checks, json_array_size(told_of(&editor, paper_uri)) == 0, "something is wrong before");
    memcpy(strstr(mill, "mould imperial-wove"), "mould imperial-wave", 19);
    change(&editor, mill_uri, 2, mill);
    told_of(&editor, paper_uri);
    check(&checks, holds(editor.diagnostics, "imperial-wave"), "what changed in the mill is not seen in the paper");
    free(paper);
    free(mill);
    free(paper_uri);
    free(mill_uri);
    end(&editor);
}

/* Lines that are asked for alone, and only where no line comes or goes. */
static void ranges(void)
{
    Editor editor;
    begin(&editor, "utf-8");
    show(&editor, ODD, 1, "waterleaf 1\nlet a  = 1\nlet b = 1 g/m2\n");
    json_t *asked = everywhere(ODD);
    json_object_set_new(asked, "range", json_pack("{s:{s:i, s:i}, s:{s:i, s:i}}", "start", "line", 2, "character", 0, "end", "line", 2, "character", 3));
    json_t *edits = ask(&editor, "textDocument/rangeFormatting", asked);
    check(&checks, json_array_size(edits) == 1 && holds(edits, "let  b  = 1 g/m\xC2\xB2") , "one line alone");
    json_decref(edits);
    change(&editor, ODD, 2, "waterleaf 1\n\n\nlet b = 1 g/m2\n");
    edits = ask(&editor, "textDocument/rangeFormatting", everywhere(ODD));
    check(&checks, json_array_size(edits) == 0, "where lines go, some alone are changed");
    json_decref(edits);
    end(&editor);
}

/* ---- a thousand edits ---- */

static uint64_t state = 4101842887655102017u;

static unsigned roll(unsigned most)
{
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return (unsigned)(state >> 33) % most;
}

static void edits(void)
{
    static const char *const pieces[] = {"", " ", "\n", ":", "end\n", "\"", "5 %", "chalk", ",", "(", "}", "# x\n", "\xC2\xB2", "let a = 1\n", "wash "};
    Editor editor;
    begin(&editor, "utf-32");
    char *text = check_read("examples/heath.wleaf", NULL), *uri = address("examples/heath.wleaf");
    show(&editor, uri, 0, text);
    for (int i = 1; i <= EDITS; i++) {
        /* in characters of a line, as this counting has them */
        size_t length = strlen(text), from = roll((unsigned)length), to = from + roll(12);
        to = to > length ? length : to;
        while (from > 0 && ((unsigned char)text[from] & 0xC0) == 0x80) {
            from--;
        }
        while (to < length && ((unsigned char)text[to] & 0xC0) == 0x80) {
            to++;
        }
        const char *piece = pieces[roll(sizeof pieces / sizeof pieces[0])];
        int places[4] = {0, 0, 0, 0};
        for (int which = 0; which < 2; which++) {
            for (size_t at = 0; at < (which == 0 ? from : to); at++) {
                places[2 * which] += text[at] == '\n';
                places[2 * which + 1] = text[at] == '\n' ? 0 : places[2 * which + 1] + (((unsigned char)text[at] & 0xC0) != 0x80);
            }
        }
        tell(&editor, "textDocument/didChange", json_pack("{s:{s:s, s:i}, s:[{s:{s:{s:i, s:i}, s:{s:i, s:i}}, s:s}]}", "textDocument", "uri", uri, "version", i, "contentChanges", "range",
                                                          "start", "line", places[0], "character", places[1], "end", "line", places[2], "character", places[3], "text", piece));
        char *next = malloc(length + strlen(piece) + 1);
        sprintf(next, "%.*s%s%s", (int)from, text, piece, text + to);
        free(text);
        text = next;
        if (i % 50 == 0) { /* now and then the whole again, or it is rubble */
            json_t *told = json_deep_copy(told_of(&editor, uri));
            Editor fresh;
            begin(&fresh, "utf-32");
            show(&fresh, uri, i, text);
            json_t *anew = told_of(&fresh, uri);
            check(&checks, json_equal(told, anew), "after %d edits it says something else than a fresh server", i);
            check(&checks, json_integer_value(json_object_get(json_object_get(editor.diagnostics, uri), "version")) == i, "after %d edits what is told is of another version", i);
            json_decref(told);
            end(&fresh);
        }
        if (i % 100 == 0) {
            free(text);
            text = check_read("examples/heath.wleaf", NULL);
            change(&editor, uri, i, text);
        }
    }
    free(text);
    free(uri);
    end(&editor);
}

/* ---- working papers out gives way ---- */

/* Many variants take seconds; a question that comes meanwhile is answered at once, and nothing is told of half of them. */
static void giving_way(void)
{
    Editor editor;
    begin(&editor, "utf-8");
    char *few = check_read("examples/botanical.wleaf", NULL), *many = malloc(strlen(few) + 4000), *uri = address("examples/botanical.wleaf");
    const char *list = strstr(few, "190 g/m\xC2\xB2, 300 g/m\xC2\xB2"), *behind = strchr(list, '\n');
    size_t length = (size_t)sprintf(many, "%.*s", (int)(list - few), few);
    for (int weight = 150; weight < 350; weight += 2) {
        length += (size_t)sprintf(many + length, "%d g/m\xC2\xB2, ", weight);
    }
    sprintf(many + length, "350 g/m\xC2\xB2%s", behind);
    show(&editor, uri, 1, many);
    usleep(300000); /* the quiet is over, and the work begun */
    json_decref(ask(&editor, "textDocument/hover", at_words(uri, many, "grammage", 2)));
    check(&checks, json_object_get(editor.diagnostics, uri) == NULL, "the question waited until all variants were worked out");
    check(&checks, told_of(&editor, uri) != NULL, "of two hundred variants nothing is told afterwards");
    free(few);
    free(many);
    free(uri);
    end(&editor);
}

/* ---- whoever started it goes away ---- */

static void orphan(void)
{
    Editor editor;
    start(&editor);
    json_decref(ask(&editor, "initialize", json_object()));
    check(&checks, stop(&editor) == 1, "it goes on without an editor");
}

int main(void)
{
    signal(SIGPIPE, SIG_IGN);
    framing();
    positions();
    answers();
    names();
    fixes();
    ranges();
    edits();
    giving_way();
    orphan();
    return checks_end(&checks, "editor/server");
}
