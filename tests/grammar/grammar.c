/* Whether the goldens go every way through the grammar: each token that may come in each state of the parser that Lemon makes
 * (its YYCOVERAGE) comes in one of them. What a line reads as is held elsewhere: `ways.wleaf` was made for this, one line a state,
 * and its tree is held by unit/test_parse, and against a second parser by editor/tree-sitter; what is refused, by golden.
 *
 * `lemon -b -d/tmp grammar/parser.y` writes down which state is which. */
#define YYCOVERAGE 1
#define grammar_expected expected_by_trial
#include "parser.c"
#undef grammar_expected

#include "folder.h"
#include "parse_world.h"

/* To say what would have fitted every token is tried: that is no line of a script, and does not count. */
void grammar_expected(Build *build, const Token *tokens, uint32_t at, bool fits[GRAMMAR_TOKENS])
{
    static unsigned char before[YYNSTATE][YYNTOKEN];
    memcpy(before, yycoverage, sizeof before);
    expected_by_trial(build, tokens, at, fits);
    memcpy(yycoverage, before, sizeof before);
}

static void read_file(Checks *checks, const char *path)
{
    size_t length;
    char *text = check_read(path, &length);
    if (!check(checks, text != NULL, "%s cannot be read", path))
        return;
    Reading reading;
    reading_bytes(&reading, text, length);
    reading_close(&reading);
    free(text);
}

int main(int count, char **folders)
{
    Checks checks = {0};
    Paths scripts = {0};
    for (int i = 1; i < count; i++)
        folder_add(&scripts, folders[i], ".wleaf");
    for (size_t i = 0; i < scripts.count; i++)
        read_file(&checks, scripts.at[i]);
    folder_free(&scripts);
    for (int state = 0; state < YYNSTATE; state++) {
        for (int token = 0; token < YYNTOKEN; token++) {
            if (yy_lookahead[yy_shift_ofst[state] + token] == token)
                check(&checks, yycoverage[state][token] != 0, "in state %d of the parser %s never comes", state, yyTokenName[token]);
        }
    }
    return checks_end(&checks, "grammar");
}
