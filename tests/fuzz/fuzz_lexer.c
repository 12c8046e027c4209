/* From bytes to tokens, and to the tree: tokens stand in their order within their line, no byte that means something is
 * passed over without a word about it, and every node and message stands within the script. */
#include "fuzz.h"

#include "../unit/parse_world.h"

#include "parser.h"
#include "syntax/lexer.h"

typedef struct Passing {
    const Reading *reading;
    const Lexer *lexer;
    uint32_t base, limit;
    uint32_t count;       /* as parse_count_tokens counts */
    uint32_t at;          /* up to where all is accounted for */
    uint32_t comment;     /* the next one */
    uint32_t said;        /* so many messages were said before this line */
} Passing;

/* Between AT and PLACE there may only be blanks, line ends and comments, and one each of the SIGNS. */
static void pass_gap(Passing *passing, uint32_t place, const char *signs)
{
    const Tree *tree = &passing->reading->tree;
    while (passing->at < place) {
        unsigned char byte = *lexer_at(passing->lexer, passing->at);
        if (passing->comment < tree->comments.count && tree->comments.at[passing->comment].start == passing->at) {
            fuzz_must(byte == '#', "a comment begins with %c", byte);
            passing->at = tree->comments.at[passing->comment++].end;
            continue;
        }
        bool sign = byte != 0 && *signs == (char)byte;
        fuzz_must(byte <= ' ' || byte >= 0x80 || sign, "byte %u of the script, %c, is passed over", (unsigned)(passing->at - passing->base), byte);
        signs += sign;
        passing->at++;
    }
}

static void pass_token(Passing *passing, const Token *before, const Token *token)
{
    fuzz_must(token->start <= token->end && token->end <= passing->limit, "a token ends behind the script");
    fuzz_must(before == NULL || token->start >= before->end, "tokens overlap");
    pass_gap(passing, token->start, before != NULL && before->kind == TOKEN_CALL ? "(," : token->kind == TOKEN_ABOUT_BETWEEN ? "," : "");
    passing->at = token->end > passing->at ? token->end : passing->at;
}

static void pass_line(Passing *passing)
{
    const Lexer *lexer = passing->lexer;
    const Line *line = &lexer->line;
    fuzz_must(line->start >= passing->at, "a line begins within the one before");
    fuzz_must(line->head_end >= line->start && line->end >= line->head_end && line->end <= passing->limit, "a line from %u to %u, its head to %u", line->start, line->end, line->head_end);
    passing->count += lexer->tokens.count + 1;
    bool whole = !line->spoilt && passing->reading->messages.list.count == passing->said && !lexer->mistakes->stopped;
    if (whole) {
        pass_gap(passing, line->start, "");
        passing->at = line->head_end;
        uint32_t first = line->head == HEAD_WHEN ? 1 : 0; /* this head is a token as well */
        for (uint32_t i = first; i < lexer->tokens.count; i++)
            pass_token(passing, i > first ? &lexer->tokens.at[i - 1] : NULL, &lexer->tokens.at[i]);
        bool call = lexer->tokens.count > first && lexer->tokens.at[lexer->tokens.count - 1].kind == TOKEN_CALL;
        pass_gap(passing, line->end, call ? "(:" : ":");
    } else {
        passing->at = lexer_place(lexer, lexer->cursor);
    }
    passing->at = line->end > passing->at ? line->end : passing->at;
    while (passing->comment < passing->reading->tree.comments.count && passing->reading->tree.comments.at[passing->comment].start < passing->at)
        passing->comment++;
    passing->said = passing->reading->messages.list.count;
}

static void pass_tokens(Reading *reading)
{
    Source source = reading->sources.list.at[reading->source];
    const unsigned char *text = (const unsigned char *)sources_text(&reading->sources, &source);
    Mistakes mistakes;
    UnitSpellings units = {0};
    Lexer lexer;
    mistakes_open(&mistakes, &reading->memory, &reading->messages, text, source.base);
    lexer_open(&lexer, &reading->memory, &reading->names, &reading->tree, &mistakes, &units, text, source.length, source.base);
    Passing passing = {.reading = reading, .lexer = &lexer, .base = source.base, .limit = source.base + source.length, .at = source.base};
    while (lexer_line(&lexer))
        pass_line(&passing);
    bool whole = !mistakes.stopped && reading->messages.list.count == passing.said;
    lexer_close(&lexer);
    mistakes_close(&mistakes);
    if (whole)
        pass_gap(&passing, passing.limit, "");
    Reading again = {0};
    reading_prepare(&again, (const char *)text, source.length);
    uint32_t count = parse_count_tokens(&again.world, again.source);
    fuzz_must(count == passing.count, "%u tokens, and counted alone %u", (unsigned)passing.count, (unsigned)count);
    reading_close(&again);
}

static void must_be_within(const Source *source, Span at, const char *what)
{
    fuzz_must(at.start <= at.end && at.start >= source->base && at.end <= source->base + source->length, "%s from %u to %u", what, at.start - source->base, at.end - source->base);
}

static void pass_tree(Reading *reading)
{
    const Source *source = &reading->sources.list.at[reading->source];
    for (uint32_t i = 1; i < reading->tree.nodes.count; i++) {
        const Node *node = &reading->tree.nodes.at[i];
        must_be_within(source, (Span){node->start, node->end}, "a node");
    }
    for (uint32_t i = 0; i < reading->tree.comments.count; i++)
        must_be_within(source, reading->tree.comments.at[i], "a comment");
    for (uint32_t i = 0; i < reading->messages.list.count; i++) {
        const Message *message = &reading->messages.list.at[i];
        must_be_within(source, message->at, message->name);
        if (message->edit.start != 0)
            must_be_within(source, message->edit, "an edit");
        for (uint32_t j = 0; j < message->other_count; j++)
            must_be_within(source, message->others[j].at, "a further place");
    }
}

void fuzz_lexer(const uint8_t *bytes, size_t length)
{
    Reading reading = {0};
    reading_prepare(&reading, (const char *)bytes, length);
    pass_tokens(&reading);
    reading_close(&reading);
    reading_bytes(&reading, (const char *)bytes, length);
    pass_tree(&reading);
    reading_close(&reading);
}
