/* What could have stood somewhere, in words: the groups of grammar/words.def. */
#include "syntax/expected.h"

#include "parser.h"

enum { MOST_EXPECTED = 5 };

typedef struct Group {
    unsigned kind;
    const char *words;
} Group;

static const Group groups[] = {
#define GROUP(kind, words) {TOKEN_##kind, words},
#include "../grammar/words.def"
};

const char *expected_words(Arena *arena, const bool fits[GRAMMAR_TOKENS])
{
    const char *list[MOST_EXPECTED];
    int count = 0, most = fits[0] ? MOST_EXPECTED - 1 : MOST_EXPECTED;
    for (size_t i = 0; i < sizeof groups / sizeof *groups && count < most; i++) {
        bool any_word = groups[i].kind == TOKEN_FROM && fits[TOKEN_PREPOSITION];
        if (fits[groups[i].kind] && !any_word)
            list[count++] = groups[i].words;
    }
    if (fits[0])
        list[count++] = "the end of the line";
    const char *words = count > 0 ? list[0] : "something else";
    for (int i = 1; i < count; i++)
        words = arena_print(arena, "%s%s%s", words, i == count - 1 ? " or " : ", ", list[i]);
    return words;
}
