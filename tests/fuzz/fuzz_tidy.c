/* The one form of a script. What cannot be read whole is refused, and nothing is put out; what is tidied reads as the same
 * tree, has the same tokens, comments and lines, and stays as it is when it is tidied once more. */
#include "fuzz.h"

#define Reading OutcomeReading /* parse_world.h has a type of that name, too */
#include "waterleaf.h"
#undef Reading

#include "../unit/parse_world.h"

#include "parser.h"
#include "syntax/lexer.h"

/* The tree without the commas: tidy may add some. */
static char *tree_of(Reading *reading)
{
    const char *tree = reading_tree(reading);
    char *kept = malloc(strlen(tree) + 1), *end = kept;
    fuzz_must(kept != NULL, "no memory");
    for (; *tree != 0; tree++) {
        if (*tree != ',')
            *end++ = *tree;
    }
    *end = 0;
    return kept;
}

/* Each token but commas as its kind and what it stands for, whatever its spelling. */
static char *tokens_of(Reading *reading)
{
    const Source *source = &reading->sources.list.at[reading->source];
    const unsigned char *bytes = (const unsigned char *)sources_text(&reading->sources, source);
    Mistakes mistakes;
    UnitSpellings units = {0};
    Lexer lexer;
    Text out;
    text_open(&out, &reading->memory);
    text_put(&out, "");
    mistakes_open(&mistakes, &reading->memory, &reading->messages, bytes, source->base);
    lexer_open(&lexer, &reading->memory, &reading->names, &reading->tree, &mistakes, &units, bytes, source->length, source->base);
    while (lexer_line(&lexer)) {
        text_print(&out, "\n%s%s", names_text(&reading->names, lexer.line.word), lexer.line.opens ? " opens" : "");
        for (uint32_t i = 0; i < lexer.tokens.count; i++) {
            Token token = lexer.tokens.at[i];
            bool named = token.kind == TOKEN_NAME || token.kind == TOKEN_CALL || token.kind == TOKEN_UNIT || token.kind == TOKEN_UNIT_NAME || token.kind == TOKEN_TEXT
                || token.kind == TOKEN_PREPOSITION;
            if (token.kind == TOKEN_COMMA)
                continue;
            text_print(&out, " %u", (unsigned)token.kind);
            if (named)
                text_print(&out, ":%s", names_text(&reading->names, token.value));
            else if (token.kind == TOKEN_NUMBER || token.kind == TOKEN_DATE || token.kind == TOKEN_CLOCK)
                text_print(&out, ":%.*s", (int)(token.end - token.start), (const char *)lexer_at(&lexer, token.start));
        }
    }
    return out.at;
}

static size_t lines_of(const char *text, size_t length)
{
    size_t count = 0;
    bool blank = true;
    for (size_t i = 0; i < length; i++) {
        count += blank && text[i] != '\n' && text[i] != '\r' && text[i] != ' ' && text[i] != '\t';
        blank = text[i] == '\n' || text[i] == '\r' || (blank && (text[i] == ' ' || text[i] == '\t'));
    }
    return count;
}

static bool is_plain(const char *text, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if ((unsigned char)text[i] >= 0x80)
            return false; /* other blanks may make a line blank */
    }
    return true;
}

/* What was printed of a text without mistakes. */
static void compare(Reading *one, const char *text, size_t length, const Text *printed)
{
    const char *at = printed->at == NULL ? "" : printed->at;
    Reading other;
    reading_bytes(&other, at, printed->length);
    fuzz_must(other.messages.errors == 0, "what it printed has mistakes:\n%s", at);
    fuzz_must(other.tree.comments.count == one->tree.comments.count, "a comment is lost:\n%s", at);
    fuzz_must(!is_plain(text, length) || lines_of(text, length) == lines_of(at, printed->length), "a line is lost:\n%s", at);
    char *tree = tree_of(one), *tree_again = tree_of(&other);
    fuzz_must(strcmp(tree, tree_again) == 0, "another tree:\n%s\n%s", tree, tree_again);
    free(tree);
    free(tree_again);
    const char *tokens = tokens_of(one), *tokens_again = tokens_of(&other);
    fuzz_must(strcmp(tokens, tokens_again) == 0, "other tokens:\n%s\n%s", tokens, tokens_again);
    reading_close(&other);
}

void fuzz_tidy(const uint8_t *bytes, size_t length)
{
    static Workshop *workshop; /* opened once: what stdlib's steps take is asked for in it */
    if (workshop == NULL)
        workshop = workshop_open(NULL);
    fuzz_must(workshop != NULL, "no workshop can be opened");
    const char *text = (const char *)bytes;
    Reading reading;
    Text printed, again;
    reading_bytes(&reading, text, length);
    text_open(&printed, &reading.memory);
    text_open(&again, &reading.memory);
    bool readable = reading.messages.errors == 0, fine = false;
    if (readable || fuzz_dice(bytes, length) % 16 == 0) { /* the workshop takes longer than all else: it is asked seldom where it must refuse */
        WaterleafAnswer answer = workshop_tidy(workshop, "fuzzed.wleaf", text, length, &printed);
        fine = answer == WATERLEAF_FINE;
        fuzz_must(fine || (answer == WATERLEAF_ERRORS && workshop_messages(workshop)->errors > 0), "it is refused without a word: %s", workshop_trouble(workshop));
        fuzz_must(fine || printed.length == 0, "something is put out of what is refused");
        fuzz_must(readable || !fine, "with %u mistakes it is tidied", (unsigned)reading.messages.errors);
    }
    if (fine) { /* what reads well may still be refused: another edition's */
        compare(&reading, text, length, &printed);
        WaterleafAnswer answer = workshop_tidy(workshop, "fuzzed.wleaf", printed.at == NULL ? "" : printed.at, printed.length, &again);
        fuzz_must(answer == WATERLEAF_FINE, "the second time it is refused:\n%s", printed.at);
        fuzz_must(again.length == printed.length && (again.length == 0 || memcmp(again.at, printed.at, again.length) == 0), "tidying twice changes something:\n%s\n%s", printed.at,
                  again.at);
    }
    reading_close(&reading);
}
