/* A script line by line: the lexer gives a line's tokens, the grammar its parts,
 * and at the end the lines are joined to blocks. */
#include "syntax/parse.h"

#include "parser.h"
#include "syntax/blocks.h"
#include "syntax/expected.h"
#include "syntax/lexer.h"

/* Bytes of script for one node of tree and for one line, in a dense script: room for so many is
 * taken ahead. */
enum { BYTES_A_NODE = 6, BYTES_A_LINE = 32, MOST_BYTES_AHEAD = 64 << 20 };

typedef struct Parse {
    Mistakes mistakes;
    UnitSpellings units;
    Lexer lexer;
    Build build;
    LineRecords lines;
} Parse;

/* ---- One line ------------------------------------------------------------------- */

static const char *word_of_token(Parse *parse, uint32_t at)
{
    if (at >= parse->lexer.tokens.count)
        return "The end of the line";
    Token token = parse->lexer.tokens.at[at];
    return arena_print(&parse->mistakes.words, "\"%s\"", mistakes_quote(&parse->mistakes, token.start, token.end));
}

/* The place of a token in the line; behind its last for the end of the line. */
static Span span_of_token(const Parse *parse, uint32_t at)
{
    if (at < parse->lexer.tokens.count)
        return (Span){parse->lexer.tokens.at[at].start, parse->lexer.tokens.at[at].end};
    uint32_t end = at > 0 ? parse->lexer.tokens.at[at - 1].end : parse->lexer.line.head_end;
    return (Span){end, end};
}

static void say_unexpected(Parse *parse, uint32_t at)
{
    Mistakes *mistakes = &parse->mistakes;
    if (parse->build.too_deep) {
        mistakes_say(mistakes, SAY_expression_too_long, span_of_token(parse, at), NULL, NULL, NULL, NULL);
        return;
    }
    bool fits[GRAMMAR_TOKENS];
    grammar_expected(&parse->build, parse->lexer.tokens.at, at, fits);
    const char *wanted = expected_words(&mistakes->words, fits);
    if (at > 0)
        wanted = arena_print(&mistakes->words, "Behind %s there may stand %s", word_of_token(parse, at - 1), wanted);
    else
        wanted = arena_print(&mistakes->words, "A line goes on with %s", wanted);
    mistakes_say(mistakes, SAY_unexpected, span_of_token(parse, at), word_of_token(parse, at), wanted, NULL, NULL);
}

/* Marks the line as not readable whole, from PLACE on. */
static void mark_bad(Parse *parse, uint32_t place)
{
    Build *build = &parse->build;
    uint32_t end = parse->lexer.line.end > place ? parse->lexer.line.end : place;
    build_child(build, build_node(build, NODE_BAD, place, end, 0));
    parse->build.tree->nodes.at[build->line].extra = 1;
}

static void read_parts(Parse *parse)
{
    const Lexer *lexer = &parse->lexer;
    uint32_t at;
    if (!grammar_read(&parse->build, lexer->tokens.at, lexer->tokens.count, &at)) {
        if (parse->mistakes.line_count == 0)
            say_unexpected(parse, at);
        mark_bad(parse, span_of_token(parse, at).start);
    } else if (lexer->line.spoilt)
        mark_bad(parse, lexer->line.end);
}

static void add_record(Parse *parse, NodeId line, NodeId last, LineRole role)
{
    uint32_t indent = parse->lexer.line.indent;
    list_push(parse->build.memory, &parse->lines,
              (LineRecord){.line = line,
                           .last = last,
                           .indent = (uint16_t)(indent < UINT16_MAX ? indent : UINT16_MAX),
                           .role = (uint8_t)role,
                           .said = parse->mistakes.line_count > 0});
}

static void read_line(Parse *parse)
{
    const Line *line = &parse->lexer.line;
    build_line(&parse->build, line->word, line->start, line->end);
    if (line->head != HEAD_NONE) {
        read_parts(parse);
    } else {
        if (parse->mistakes.line_count == 0)
            mistakes_say(&parse->mistakes, SAY_line_without_word, (Span){line->start, line->end}, NULL, NULL, NULL, NULL);
        mark_bad(parse, line->start);
    }
    add_record(parse, parse->build.line, parse->build.last, line->opens ? LINE_OPENS : LINE_PLAIN);
}

/* ---- The line of an `end` ---------------------------------------------------------- */

static void say_end_form(Parse *parse, Span at)
{
    if (parse->mistakes.line_count == 0)
        mistakes_say(&parse->mistakes, SAY_end_form, at, mistakes_quote(&parse->mistakes, at.start, at.end), NULL, NULL, NULL);
}

static void say_end_twice(Parse *parse, Span at)
{
    if (parse->mistakes.line_count > 0)
        return;
    Message *message = mistakes_say(&parse->mistakes, SAY_end_twice, at, NULL, NULL, NULL, NULL);
    mistakes_edit(&parse->mistakes, message, at, "");
}

static bool is_end_word(const Parse *parse, Token token)
{
    return token.kind == TOKEN_NAME && token.value == parse->lexer.line.word;
}

/* `end`, `end procedure` or `end paper botanical`. */
static void read_end(Parse *parse)
{
    const Line *line = &parse->lexer.line;
    Name closes[2] = {0, 0};
    int count = 0;
    for (uint32_t i = 0; i < parse->lexer.tokens.count; i++) {
        Token token = parse->lexer.tokens.at[i];
        Span at = {token.start, token.end};
        if (is_end_word(parse, token))
            say_end_twice(parse, at);
        else if (count < 2 && token.value != 0 && token.kind != TOKEN_UNIT && token.kind != TOKEN_TEXT)
            closes[count++] = token.value;
        else
            say_end_form(parse, at);
    }
    if (line->opens)
        say_end_form(parse, (Span){line->start, line->end});
    NodeId end = build_node(&parse->build, NODE_NONE, line->start, line->end, closes[0]);
    parse->build.tree->nodes.at[end].first = closes[1];
    add_record(parse, end, 0, LINE_ENDS);
}

/* ---- The script ------------------------------------------------------------------------ */

static void read_lines(Parse *parse)
{
    while (lexer_line(&parse->lexer)) {
        if (parse->lexer.line.head == HEAD_END)
            read_end(parse);
        else
            read_line(parse);
        if (parse->mistakes.line_count > 0) /* their words are copied */
            arena_reset(&parse->mistakes.words);
    }
}

static uint32_t room_ahead(const Source *source, uint32_t bytes_each)
{
    uint32_t bytes = source->length < MOST_BYTES_AHEAD ? source->length : MOST_BYTES_AHEAD;
    return bytes / bytes_each + 16;
}

static NodeId start_script(ParseWorld *world, Build *build, uint32_t number, const Source *source)
{
    while (world->tree->scripts.count <= number)
        list_push(world->memory, &world->tree->scripts, 0);
    list_reserve(world->memory, &world->tree->nodes, room_ahead(source, BYTES_A_NODE));
    NodeId script = build_node(build, NODE_SCRIPT, source->base, source->base + source->length, 0);
    world->tree->scripts.at[number] = script;
    return script;
}

static void parse_open(Parse *parse, ParseWorld *world, Names *names, const Source *source)
{
    const unsigned char *text = (const unsigned char *)sources_text(world->sources, source);
    *parse = (Parse){0};
    list_reserve(world->memory, &parse->lines, room_ahead(source, BYTES_A_LINE));
    mistakes_open(&parse->mistakes, world->memory, world->messages, text, source->base);
    lexer_open(&parse->lexer, world->memory, names, world->tree, &parse->mistakes, &parse->units, text, source->length,
               source->base);
}

static void parse_close(Parse *parse, Memory *memory)
{
    lexer_close(&parse->lexer);
    mistakes_close(&parse->mistakes);
    memory_return(memory, parse->units.of.at);
    memory_return(memory, parse->lines.at);
}

NodeId parse_script(ParseWorld *world, uint32_t number)
{
    Source source = world->sources->list.at[number];
    Parse parse;
    parse_open(&parse, world, world->names, &source);
    build_open(&parse.build, world->memory, world->names, world->tree, &parse.mistakes);
    bool fits = source.length <= LIMIT_SOURCE_BYTES;
    NodeId script = start_script(world, &parse.build, number, fits ? &source : &(Source){.base = source.base});
    if (fits) {
        read_lines(&parse);
        blocks_join(&parse.build, &parse.lines, script);
    } else
        mistakes_say(&parse.mistakes, SAY_script_too_large, (Span){source.base, source.base}, NULL, NULL, NULL, NULL);
    parse_close(&parse, world->memory);
    return script;
}

uint32_t parse_count_tokens(ParseWorld *world, uint32_t number)
{
    Source source = world->sources->list.at[number];
    Parse parse;
    uint32_t count = 0;
    parse_open(&parse, world, NULL, &source);
    while (lexer_line(&parse.lexer))
        count += parse.lexer.tokens.count + 1;
    parse_close(&parse, world->memory);
    return count;
}
