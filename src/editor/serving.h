/* What the files of the server share. */
#ifndef WATERLEAF_EDITOR_SERVING_H
#define WATERLEAF_EDITOR_SERVING_H

#include "editor/places.h"
#include "editor/server.h"
#include "editor/texts.h"
#include "editor/wire.h"

#include <jansson.h>

/* How far a script is checked: its papers are worked out and judged as well, until the editor says something, or in any case. */
typedef enum Thoroughness { NAMES_AND_KINDS, WHILE_QUIET, TO_THE_END } Thoroughness;

typedef struct Server {
    Memory *memory;
    const ServerWish *wish;
    Wire wire;
    Counting counting;
    OpenTexts texts;
    Workshop *workshop;
    char *read;          /* the path of the script that stands in the workshop as it is open now; NULL: none does */
    json_t *published;   /* by address: what was told of it last, so that it can be taken back */
    json_t *fixes;       /* by address: edits that mend a message, as code actions */
    json_t *folders;     /* the paths of what the editor works in */
    json_t *waiting;     /* messages that were read and not taken yet; null: one that was no JSON */
    bool shut, ended, hints;
    bool unread;         /* a script could not be read for the question that is being answered */
    bool failed;         /* the system gives nothing to read, or takes nothing */
} Server;

/* Sends a message; what cannot be sent ends the server. Takes over MESSAGE. */
void serving_send(Server *server, json_t *message);

/* Makes the workshop hold the script of OPEN, read but not worked out. False: it cannot be read. */
bool serving_read(Server *server, OpenText *open);
/* The same for the script at PATH, which says TEXT. */
bool serving_read_text(Server *server, const char *path, const char *text, size_t length);

/* A span of the workshop's as a range, and the address of its script; NULL where it is stdlib's, whose text is within the program. */
json_t *serving_range(const Server *server, Span span);
json_t *serving_uri(const Server *server, uint32_t place);

/* The place in the workshop of PARAMS' position in OPEN. */
uint32_t serving_place(const Server *server, const OpenText *open, const json_t *params);
/* The same as a byte of OPEN. */
size_t serving_offset(const Server *server, const OpenText *open, const json_t *position);

/* What stands at PARAMS' position in OPEN. */
Standing serving_standing(Server *server, OpenText *open, const json_t *params);

/* ---- diagnostics.c ---- */
/* Reads what changed, and tells what is wrong in it and in what it uses. */
void diagnostics_publish(Server *server, Thoroughness how);
/* What was told last of a script, where an editor asks for it. */
json_t *diagnostics_asked(Server *server, const OpenText *open);
json_t *diagnostics_actions(Server *server, const OpenText *open, const json_t *params);

/* ---- answers.c, naming.c, completion.c: each an answer, or NULL for null ---- */
json_t *answer_hover(Server *server, OpenText *open, const json_t *params);
json_t *answer_definition(Server *server, OpenText *open, const json_t *params);
json_t *answer_references(Server *server, OpenText *open, const json_t *params);
json_t *answer_rename(Server *server, OpenText *open, const json_t *params, const char **refused);
json_t *answer_outline(Server *server, OpenText *open);
json_t *answer_folding(Server *server, OpenText *open);
json_t *answer_formatting(Server *server, OpenText *open);
json_t *answer_range_formatting(Server *server, OpenText *open, const json_t *params);
json_t *answer_selections(Server *server, OpenText *open, const json_t *params);
json_t *answer_lenses(Server *server, OpenText *open);
json_t *answer_links(Server *server, OpenText *open);
json_t *answer_symbols(Server *server, const char *query);
json_t *answer_completion(Server *server, OpenText *open, const json_t *params);
json_t *answer_hints(Server *server, OpenText *open);
json_t *answer_tokens(Server *server, OpenText *open);
const char *const *answer_token_types(void);

#endif
