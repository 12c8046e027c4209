/* Codes: their form, as the standards have it. That devices read them is tried in tests/pages. */
#include "unit.h"

#include "documents/code.h"

#include <string.h>

static const char *row_of(const Code *code, char *row)
{
    for (unsigned i = 0; i < code->columns; i++)
        row[i] = code->dark[i] ? '1' : '0';
    row[code->columns] = '\0';
    return row;
}

/* The values of an "A" are start B (104), 33, the check (104 + 33) mod 103 = 34, stop: ISO/IEC 15417, table 1. */
static void bars_are_those_of_the_standard(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    Code code;
    char row[2000];
    assert_true(code_bars(&code, &arena, "A"));
    assert_int_equal(code.rows, 1);
    assert_string_equal(row_of(&code, row), "11010010000" "10100011000" "10001011000" "1100011101011");
    /* start C, 12, 34, the check (105 + 12 + 2 * 34) mod 103 = 82, stop */
    assert_true(code_bars(&code, &arena, "1234"));
    assert_string_equal(row_of(&code, row), "11010011100" "10110011100" "10001011000" "10010011110" "1100011101011");
    assert_false(code_bars(&code, &arena, ""));
    assert_false(code_bars(&code, &arena, "t\xC3\xA4glich"));
    assert_false(code_bars(&code, &arena, "two\nlines"));
    memset(row, '7', 61);
    row[61] = '\0';
    assert_false(code_bars(&code, &arena, row));
    row[60] = '\0';
    assert_true(code_bars(&code, &arena, row));
    for (size_t i = 0; i < 60; i++)
        row[i] = i % 2 == 0 ? 'x' : '1';
    assert_true(code_bars(&code, &arena, row));
    assert_int_equal(code.columns, 63 * 11 + 2);
    arena_close(&arena);
}

static bool finder_at(const Code *code, unsigned row, unsigned column)
{
    static const char *const finder[] = {"1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111"};
    for (unsigned y = 0; y < 7; y++) {
        for (unsigned x = 0; x < 7; x++) {
            if (code->dark[(row + y) * code->columns + column + x] != (finder[y][x] == '1'))
                return false;
        }
    }
    return true;
}

/* Each length of text in the smallest code that holds it (ISO/IEC 18004, table 7, level Q, bytes), with what devices find it by. */
static void squares_are_as_large_as_needed(void **state)
{
    (void)state;
    static const unsigned most[] = {11, 20, 32, 46, 60, 74, 86, 108, 130, 151};
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    char text[200];
    unsigned version = 0;
    for (unsigned length = 1; length <= 151; length++) {
        memset(text, 'k', length);
        text[length] = '\0';
        version += length > most[version];
        Code code;
        assert_true(code_squares(&code, &arena, text));
        assert_int_equal(code.columns, 21 + 4 * version);
        assert_int_equal(code.rows, code.columns);
        unsigned far = code.columns - 7;
        assert_true(finder_at(&code, 0, 0) && finder_at(&code, 0, far) && finder_at(&code, far, 0));
        for (unsigned i = 8; i < far; i++)
            assert_true(code.dark[6 * code.columns + i] == (i % 2 == 0) && code.dark[i * code.columns + 6] == (i % 2 == 0));
        assert_int_equal(code.dark[(far - 1) * code.columns + 8], 1);
        arena_reset(&arena);
    }
    Code code;
    memset(text, 'k', 152);
    text[152] = '\0';
    assert_false(code_squares(&code, &arena, text));
    assert_false(code_squares(&code, &arena, ""));
    arena_close(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(bars_are_those_of_the_standard), cmocka_unit_test(squares_are_as_large_as_needed)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
