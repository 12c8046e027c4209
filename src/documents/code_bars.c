/* Code 128. Values 0 to 102 are signs in code set B or pairs of digits in code set C; then follow the signs that
 * begin, and the end. */
#include "documents/code.h"

#include <string.h>

enum { START_B = 104, START_C = 105, STOP = 106, TO_C = 99, TO_B = 100, MOST_SIGNS = 60, MOST_VALUES = 2 * MOST_SIGNS + 4, MODULES = 11 };

/* Widths of bar, space, bar, …, of each value: ISO/IEC 15417, table 1. */
static const char *const patterns[] = {
    "212222", "222122", "222221", "121223", "121322", "131222", "122213", "122312", "132212", "221213", "221312", "231212",
    "112232", "122132", "122231", "113222", "123122", "123221", "223211", "221132", "221231", "213212", "223112", "312131",
    "311222", "321122", "321221", "312212", "322112", "322211", "212123", "212321", "232121", "111323", "131123", "131321",
    "112313", "132113", "132311", "211313", "231113", "231311", "112133", "112331", "132131", "113123", "113321", "133121",
    "313121", "211331", "231131", "213113", "213311", "213131", "311123", "311321", "331121", "312113", "312311", "332111",
    "314111", "221411", "431111", "111224", "111422", "121124", "121421", "141122", "141221", "112214", "112412", "122114",
    "122411", "142112", "142211", "241211", "221114", "413111", "241112", "134111", "111242", "121142", "121241", "114212",
    "124112", "124211", "411212", "421112", "421211", "212141", "214121", "412121", "111143", "111341", "131141", "114113",
    "114311", "411113", "411311", "113141", "114131", "311141", "411131", "211412", "211214", "211232", "2331112"};

static size_t digits_at(const char *text)
{
    size_t count = 0;
    while (text[count] >= '0' && text[count] <= '9')
        count++;
    return count;
}

/* Pairs of digits take half the room where there are enough of them: four at an end, six within. */
static size_t pairs_at(const char *text, bool begins)
{
    size_t count = digits_at(text);
    bool at_end = begins || text[count] == 0;
    return count >= (at_end ? 4u : 6u) ? count & ~(size_t)1 : 0;
}

static unsigned values_of(const char *text, unsigned *values)
{
    bool pairs = pairs_at(text, true) > 0;
    unsigned count = 0;
    values[count++] = pairs ? START_C : START_B;
    for (const char *at = text; *at != 0;) {
        size_t digits = pairs_at(at, at == text);
        if (digits > 0 && !pairs)
            values[count++] = TO_C;
        for (size_t i = 0; i < digits; i += 2, at += 2)
            values[count++] = (unsigned)(10 * (at[0] - '0') + at[1] - '0');
        pairs = digits > 0;
        if (pairs && *at != 0) {
            values[count++] = TO_B;
            pairs = false;
        }
        if (*at != 0 && digits == 0)
            values[count++] = (unsigned)(*at++ - ' ');
    }
    unsigned sum = values[0];
    for (unsigned i = 1; i < count; i++)
        sum += i * values[i];
    values[count++] = sum % 103;
    values[count++] = STOP;
    return count;
}

bool code_bars(Code *code, Arena *arena, const char *text)
{
    size_t length = strlen(text);
    for (size_t i = 0; i < length; i++) {
        if (text[i] < ' ' || text[i] > '~')
            return false;
    }
    if (length == 0 || length > MOST_SIGNS)
        return false;
    unsigned values[MOST_VALUES];
    unsigned count = values_of(text, values);
    *code = (Code){.columns = count * MODULES + 2, .rows = 1};
    code->dark = arena_take(arena, code->columns);
    unsigned at = 0;
    for (unsigned i = 0; i < count; i++) {
        bool dark = true;
        for (const char *width = patterns[values[i]]; *width != 0; width++, dark = !dark) {
            memset(code->dark + at, dark, (size_t)(*width - '0'));
            at += (unsigned)(*width - '0');
        }
    }
    return true;
}
