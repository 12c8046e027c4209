/* Decimal numbers: read to the nearest double, written as a person would round. */
#include "unit.h"

#include "base/decimal.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double value_of(const char *text)
{
    unsigned decimals;
    return decimal_read(text, strlen(text), &decimals);
}

static void numbers_are_read(void **state)
{
    (void)state;
    unsigned decimals = 99;
    assert_true(decimal_read("1_200.25", 8, &decimals) == 1200.25);
    assert_int_equal(decimals, 2);
    assert_true(decimal_read("7", 1, &decimals) == 7.0);
    assert_int_equal(decimals, 0);
    assert_true(decimal_read("0.500", 5, &decimals) == 0.5);
    assert_int_equal(decimals, 3);
    assert_true(decimal_read("12345", 2, &decimals) == 12.0); /* only so many bytes */
    assert_true(value_of("000.000") == 0.0);
    assert_true(value_of("0.1") == 0.1);
    assert_true(value_of("123456789012345678901234567890") == 123456789012345678901234567890.0);
    assert_true(value_of("0.000000000000000000000000000001") == 1e-30);
    assert_true(value_of("9007199254740993") == 9007199254740992.0);          /* a tie goes to even */
    assert_true(value_of("9007199254740993.0000000000000001") == 9007199254740994.0);
}

static void all_numbers_are_read_as_the_library_does(void **state)
{
    (void)state;
    uint64_t chance = 88172645463325252;
    for (int i = 0; i < 20000; i++) {
        chance ^= chance << 13;
        chance ^= chance >> 7;
        chance ^= chance << 17;
        char text[64];
        int places = (int)(chance % 30);
        snprintf(text, sizeof text, "%.*f", places, (double)(chance >> (chance % 60)) / 1e9);
        assert_true(value_of(text) == strtod(text, NULL));
    }
}

/* 1 + 2^-53, written out, lies half way between 1 and the next double: only a
 * digit far behind tells where it goes. */
static void ties_are_told_by_the_last_digit(void **state)
{
    (void)state;
    char text[1100];
    snprintf(text, sizeof text, "%.1000f", 0x1p-53);
    text[0] = '1';
    assert_true(value_of(text) == 1.0);
    text[strlen(text) - 1] = '1';
    assert_true(value_of(text) == 1.0 + 0x1p-52);
    /* The same between the two smallest doubles, where a tie is longest. */
    snprintf(text, sizeof text, "%.1075f", 0x1p-1074);
    assert_true(value_of(text) == 0x1p-1074);
}

static void a_million_digits_are_read(void **state)
{
    (void)state;
    enum { LENGTH = 1000000 };
    char *text = malloc(LENGTH);
    assert_non_null(text);
    unsigned decimals;
    memset(text, '3', LENGTH);
    text[1] = '.';
    assert_true(decimal_read(text, LENGTH, &decimals) == 10.0 / 3);
    assert_int_equal(decimals, LENGTH - 2);
    memset(text, '0', LENGTH);
    text[1] = '.';
    text[LENGTH - 1] = '7';
    assert_true(decimal_read(text, LENGTH, &decimals) == 0.0);
    text[1] = '0';
    assert_true(decimal_read(text, LENGTH, &decimals) == 7.0);
    text[0] = '1';
    assert_true(isinf(decimal_read(text, LENGTH, &decimals)));
    free(text);
}

static void put_is(double value, unsigned decimals, const char *expected)
{
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    decimal_put(&text, value, decimals);
    assert_string_equal(text.at, expected);
    memory_return_all(&memory);
}

static void halves_go_away_from_nought(void **state)
{
    (void)state;
    put_is(0.125, 2, "0.13");
    put_is(2.675, 2, "2.68");
    put_is(1.005, 2, "1.01");
    put_is(-0.125, 2, "-0.13");
    put_is(0.5, 0, "1");
    put_is(1.5, 0, "2");
    put_is(2.5, 0, "3");
    put_is(0.49999, 0, "0");
    put_is(0.1 + 0.2, 1, "0.3");
    put_is(0.1 * 3 * 100 + 0.5, 0, "31");
    put_is(0.15, 1, "0.2");
    put_is(0.006, 2, "0.01");
    put_is(0.004, 2, "0.00");
    put_is(0.0006, 2, "0.00");
    put_is(9.996, 2, "10.00");
    put_is(99999.5, 0, "100000");
    put_is(0.995, 2, "1.00");
}

static void decimals_are_kept(void **state)
{
    (void)state;
    put_is(0, 0, "0");
    put_is(0, 3, "0.000");
    put_is(-0.0, 1, "0.0");
    put_is(-0.04, 1, "0.0");
    put_is(-1e-300, 15, "0.000000000000000");
    put_is(1200, 2, "1200.00");
    put_is(1e15, 0, "1000000000000000");
    put_is(1.5e20, 1, "150000000000000000000.0");
    put_is(0.1, 15, "0.100000000000000");
    put_is(1.0 / 3, 15, "0.333333333333333");
    put_is(1e-15, 15, "0.000000000000001");
    put_is((double)INFINITY, 2, "infinite");
    put_is((double)-INFINITY, 2, "-infinite");
    put_is((double)NAN, 2, "no number");
}

static void put_digits_is(double value, unsigned digits, const char *expected)
{
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    decimal_put_digits(&text, value, digits);
    assert_string_equal(text.at, expected);
    memory_return_all(&memory);
}

static void significant_digits_are_put(void **state)
{
    (void)state;
    put_digits_is(0, 3, "0");
    put_digits_is(-0.0, 3, "0");
    put_digits_is(1, 3, "1");
    put_digits_is(1234.5, 3, "1230");
    put_digits_is(1235, 3, "1240");
    put_digits_is(0.125, 2, "0.13");
    put_digits_is(0.30000000000000004, 15, "0.3");
    put_digits_is(0.1, 17, "0.10000000000000001");
    put_digits_is(999.6, 3, "1000");
    put_digits_is(-0.00012345, 3, "-0.000123");
    put_digits_is(1e-9, 3, "0.000000001");
    put_digits_is(1.5e-9, 1, "0.000000002");
    put_digits_is(1e15, 3, "1000000000000000");
    put_digits_is(1.5e-10, 3, "1.5e-10");
    put_digits_is(1.5e15, 3, "1.5e15");
    put_digits_is(-2e300, 3, "-2e300");
    put_digits_is(5e-324, 2, "4.9e-324");
    put_digits_is(25, 0, "30");                          /* one at least, */
    put_digits_is(0.1, 40, "0.10000000000000001");       /* and not more than a double has */
    put_digits_is((double)INFINITY, 3, "infinite");
    put_digits_is((double)NAN, 3, "no number");
}

static void what_is_put_is_read_again(void **state)
{
    (void)state;
    uint64_t chance = 1;
    for (int i = 0; i < 5000; i++) {
        chance = chance * 6364136223846793005u + 1442695040888963407u;
        double value = (double)(chance >> 11) * pow(10, (double)(chance % 20) - 22);
        Memory memory = {0};
        Text text;
        text_open(&text, &memory);
        decimal_put_digits(&text, value, 17);
        if (!strchr(text.at, 'e'))
            assert_true(value_of(text.at) == value);
        memory_return_all(&memory);
    }
}

static void the_locale_does_not_matter(void **state)
{
    (void)state;
    static const char *const with_commas[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "de_DE.utf8", "nl_NL.UTF-8"};
    bool is_set = false;
    for (size_t i = 0; !is_set && i < sizeof with_commas / sizeof *with_commas; i++)
        is_set = setlocale(LC_ALL, with_commas[i]) != NULL;
    if (!is_set)
        skip(); /* the machine has no locale that writes a comma */
    assert_true(value_of("0.12345678901234567890123") == 0.12345678901234567890123);
    assert_true(value_of("2.5") == 2.5);
    put_is(1234.5, 2, "1234.50");
    put_digits_is(0.25, 15, "0.25");
    setlocale(LC_ALL, "C");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_read),
        cmocka_unit_test(all_numbers_are_read_as_the_library_does),
        cmocka_unit_test(ties_are_told_by_the_last_digit),
        cmocka_unit_test(a_million_digits_are_read),
        cmocka_unit_test(halves_go_away_from_nought),
        cmocka_unit_test(decimals_are_kept),
        cmocka_unit_test(significant_digits_are_put),
        cmocka_unit_test(what_is_put_is_read_again),
        cmocka_unit_test(the_locale_does_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
