/* What each word of a script is, for colours: from the tree, and so as the program reads it. */
#include "editor/serving.h"

#include "meaning/line.h"

#include <stdlib.h>
#include <string.h>

enum { TOKEN_IS_KEYWORD, TOKEN_IS_FUNCTION, TOKEN_IS_VARIABLE, TOKEN_IS_NUMBER, TOKEN_IS_TYPE, TOKEN_IS_STRING, TOKEN_IS_COMMENT, TOKEN_IS_PROPERTY };

const char *const *answer_token_types(void)
{
    static const char *const types[] = {"keyword", "function", "variable", "number", "type", "string", "comment", "property", NULL};
    return types;
}

typedef struct Word { uint32_t start, end; int type; } Word;
typedef struct Words { Memory *memory; LIST(Word) list; } Words;

static void put(Words *words, uint32_t start, uint32_t end, int type)
{
    if (end > start) {
        list_push(words->memory, &words->list, (Word){start, end, type});
    }
}

static void gather(const World *world, NodeId node, Words *words)
{
    for (; node != 0; node = world_node(world, node)->next) {
        const Node *at = world_node(world, node);
        bool named = at->form == NODE_LINE || at->form == NODE_CALL || at->form == NODE_DOT || at->form == NODE_PROVENANCE;
        uint32_t length = named ? (uint32_t)strlen(world_text(world, at->value)) : 0;
        switch ((NodeForm)at->form) {
        case NODE_LINE:
            put(words, at->start, at->start + length, world_declared(world, SPACE_STEP, at->value) != 0 ? TOKEN_IS_FUNCTION : TOKEN_IS_KEYWORD);
            break;
        case NODE_NAME: put(words, at->start, at->end, TOKEN_IS_VARIABLE); break;
        case NODE_CALL: put(words, at->start, at->start + length, TOKEN_IS_FUNCTION); break;
        case NODE_DOT: put(words, at->end - length, at->end, TOKEN_IS_PROPERTY); break;
        case NODE_NUMBER: case NODE_DATE: case NODE_CLOCK: put(words, at->start, at->end, TOKEN_IS_NUMBER); break;
        case NODE_QUANTITY: put(words, at->start, world_node(world, at->first)->start, TOKEN_IS_NUMBER); break;
        case NODE_UNIT: put(words, at->start, at->end, TOKEN_IS_TYPE); break;
        case NODE_PREPOSITION: put(words, at->start, at->end, TOKEN_IS_KEYWORD); break;
        case NODE_PROVENANCE: put(words, at->start, at->first == 0 ? at->end : at->start + length, TOKEN_IS_KEYWORD); break;
        case NODE_TEXT:
            if (at->first == 0 || (world_node(world, at->first)->form == NODE_PIECE && world_node(world, at->first)->next == 0)) {
                put(words, at->start, at->end, TOKEN_IS_STRING);
            }
            break;
        default: break;
        }
        gather(world, at->first, words);
    }
}

static int in_order(const void *one, const void *other)
{
    const Word *a = one, *b = other;
    return a->start < b->start ? -1 : a->start > b->start;
}

json_t *answer_tokens(Server *server, OpenText *open)
{
    json_t *data = json_array();
    uint32_t number = serving_read(server, open) ? places_source(workshop_world(server->workshop), open->path) : 0;
    if (number == 0) {
        return json_pack("{s:o}", "data", data);
    }
    const World *world = workshop_world(server->workshop);
    const Source *source = &world->sources.list.at[number];
    Words words = {.memory = server->memory};
    gather(world, world_node(world, world->tree.scripts.at[number])->first, &words);
    for (uint32_t i = 0; i < world->tree.comments.count; i++) {
        Span comment = world->tree.comments.at[i];
        if (comment.start >= source->base && comment.end <= source->base + source->length) {
            put(&words, comment.start, comment.end, TOKEN_IS_COMMENT);
        }
    }
    if (words.list.count > 0) {
        qsort(words.list.at, words.list.count, sizeof *words.list.at, in_order);
    }
    Position before = {0, 0};
    uint32_t end = 0;
    for (uint32_t i = 0; i < words.list.count; i++) {
        Word word = words.list.at[i];
        if (word.start < end) {
            continue; /* within another */
        }
        end = word.end;
        Position from = position_of(open->text, open->length, word.start - source->base, server->counting);
        Position to = position_of(open->text, open->length, word.end - source->base, server->counting);
        if (to.line != from.line) {
            continue;
        }
        json_array_append_new(data, json_integer(from.line - before.line));
        json_array_append_new(data, json_integer(from.line == before.line ? from.character - before.character : from.character));
        json_array_append_new(data, json_integer(to.character - from.character));
        json_array_append_new(data, json_integer(word.type));
        json_array_append_new(data, json_integer(0));
        before = from;
    }
    memory_return(server->memory, words.list.at);
    return json_pack("{s:o}", "data", data);
}
