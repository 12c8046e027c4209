/* Text that grows, UTF-8, and how far words are apart. */
#include "unit.h"

#include "base/text.h"

#include <string.h>

static void text_grows(void **state)
{
    (void)state;
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    assert_null(text.at);
    text_add(&text, NULL, 0);
    assert_string_equal(text.at, "");
    for (int i = 0; i < 1000; i++) {
        text_put(&text, "pulp");
        text_char(&text, ' ');
        text_print(&text, "%d%c", i % 10, ';');
    }
    assert_int_equal(text.length, 7000);
    assert_int_equal(strlen(text.at), 7000);
    assert_memory_equal(text.at + 6993, "pulp 9;", 8);
    text_clear(&text);
    assert_string_equal(text.at, "");
    text_print(&text, "%70s", "x");
    assert_int_equal(strlen(text.at), 70);
    text_close(&text);
    assert_int_equal(memory.held, 0);
    text_print(&text, "%500s", "again");
    assert_int_equal(strlen(text.at), 500);
    text_close(&text);
}

static uint32_t decode(const char *bytes, size_t *taken) { return utf8_decode(bytes, strlen(bytes), taken); }

static void code_points_are_read(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        uint32_t code_point;
        size_t taken;
    } cases[] = {
        {"a", 'a', 1},
        {"\x7F", 0x7F, 1},
        {"\xC2\x80", 0x80, 2},
        {"\xC3\xA9x", 0xE9, 2},
        {"\xE0\xA0\x80", 0x800, 3},
        {"\xEF\xBF\xBF", 0xFFFF, 3},
        {"\xF0\x90\x80\x80", 0x10000, 4},
        {"\xF4\x8F\xBF\xBF", 0x10FFFF, 4},
        /* no sequences: alone, cut short, too long, surrogates, too large */
        {"\x80", 0xFFFD, 1},
        {"\xC3", 0xFFFD, 1},
        {"\xC3(", 0xFFFD, 1},
        {"\xE2\x82", 0xFFFD, 1},
        {"\xC0\x80", 0xFFFD, 1},
        {"\xC1\xBF", 0xFFFD, 1},
        {"\xE0\x9F\xBF", 0xFFFD, 1},
        {"\xF0\x8F\xBF\xBF", 0xFFFD, 1},
        {"\xED\xA0\x80", 0xFFFD, 1},
        {"\xF4\x90\x80\x80", 0xFFFD, 1},
        {"\xF5\x80\x80\x80", 0xFFFD, 1},
        {"\xFF", 0xFFFD, 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        size_t taken = 99;
        assert_int_equal(decode(cases[i].bytes, &taken), cases[i].code_point);
        assert_int_equal(taken, cases[i].taken);
    }
    assert_int_equal(utf8_count("f\xC3\xA4rbe", 6), 5);
    assert_int_equal(utf8_count("\xFF\xFE\xC3", 3), 3);
    assert_int_equal(utf8_count("", 0), 0);
}

static void widths_are_those_of_a_terminal(void **state)
{
    (void)state;
    assert_int_equal(utf8_width('a'), 1);
    assert_int_equal(utf8_width(0xE9), 1);
    assert_int_equal(utf8_width(0x2FF), 1);
    assert_int_equal(utf8_width(0x300), 0);  /* grave accent, combining */
    assert_int_equal(utf8_width(0x36F), 0);
    assert_int_equal(utf8_width(0x370), 1);
    assert_int_equal(utf8_width(0x200B), 0); /* a space without width */
    assert_int_equal(utf8_width(0xFE0F), 0);
    assert_int_equal(utf8_width(0xFEFF), 0);
    assert_int_equal(utf8_width(0x1100), 2);
    assert_int_equal(utf8_width(0x1161), 0);
    assert_int_equal(utf8_width(0x7D19), 2); /* the sign for paper */
    assert_int_equal(utf8_width(0xFF21), 2); /* a wide A */
    assert_int_equal(utf8_width(0xFF71), 1); /* a half-wide kana */
    assert_int_equal(utf8_width(0x1F4DC), 2);
    assert_int_equal(utf8_width(0xE0100), 0);
    assert_int_equal(utf8_width(0x10FFFF), 1);
    assert_int_equal(utf8_columns("e\xCC\x81\xE7\xB4\x99", 6), 3);
    assert_int_equal(utf8_columns("\xFFz", 2), 2);
}

static unsigned apart(const char *one, const char *other, unsigned most)
{
    unsigned there = text_distance(one, strlen(one), other, strlen(other), most);
    assert_int_equal(text_distance(other, strlen(other), one, strlen(one), most), there);
    return there;
}

static void distances_are_counted(void **state)
{
    (void)state;
    assert_int_equal(apart("", "", 3), 0);
    assert_int_equal(apart("", "abc", 3), 3);
    assert_int_equal(apart("linter", "linters", 3), 1);
    assert_int_equal(apart("cotton-lint", "cotton-linters", 3), 3);
    assert_int_equal(apart("aback", "abaca", 3), 1);
    assert_int_equal(apart("gampi", "gapmi", 3), 1); /* swapped */
    assert_int_equal(apart("swap", "wsap", 3), 1);
    assert_int_equal(apart("kozo", "ozko", 3), 2);
    assert_int_equal(apart("kitten", "sitting", 5), 3);
    assert_int_equal(apart("MITSUMATA", "mitsumata", 3), 0);
    assert_int_equal(apart("B\xC3\x84UME", "b\xC3\xA4ume", 3), 0);
    assert_int_equal(apart("\xD0\x91\xD1\x83\xD0\xBC", "\xD0\xB1\xD0\xA3\xD0\xBC", 3), 0);
    assert_int_equal(apart("b\xC3\xA4ume", "baume", 3), 1); /* one letter, though two bytes */
}

static void distances_stop_at_the_most(void **state)
{
    (void)state;
    assert_int_equal(apart("kitten", "sitting", 2), 3);
    assert_int_equal(apart("kitten", "sitting", 0), 1);
    assert_int_equal(apart("abcdefgh", "stuvwxyz", 2), 3);
    assert_int_equal(apart("a", "abcdefgh", 2), 3);
    char one[500], other[500];
    memset(one, 'a', sizeof one);
    memset(other, 'a', sizeof other);
    assert_int_equal(text_distance(one, 500, other, 500, 2), 0);
    assert_int_equal(text_distance(one, 500, other, 499, 2), 3); /* longer than words are */
    assert_int_equal(text_distance(one, 128, other, 127, 2), 1);
}

/* The textbook's recursion, slow but plain, must agree. */
static unsigned plainly_apart(const char *one, const char *other)
{
    if (!*one || !*other)
        return (unsigned)(strlen(one) + strlen(other));
    unsigned best = plainly_apart(one + 1, other + 1) + (*one == *other ? 0 : 1);
    unsigned without_one = plainly_apart(one + 1, other) + 1;
    unsigned without_other = plainly_apart(one, other + 1) + 1;
    best = without_one < best ? without_one : best;
    best = without_other < best ? without_other : best;
    if (one[1] && other[1] && one[0] == other[1] && one[1] == other[0]) {
        unsigned swapped = plainly_apart(one + 2, other + 2) + 1;
        best = swapped < best ? swapped : best;
    }
    return best;
}

static void distances_agree_with_the_textbook(void **state)
{
    (void)state;
    uint32_t chance = 7;
    for (int i = 0; i < 3000; i++) {
        char words[2][7] = {{0}};
        for (int word = 0; word < 2; word++) {
            chance = chance * 1664525 + 1013904223;
            for (unsigned letter = 0; letter < (chance >> 29) % 7; letter++)
                words[word][letter] = (char)('a' + (chance >> (2 * letter + 8)) % 3);
        }
        unsigned plain = plainly_apart(words[0], words[1]);
        for (unsigned most = 0; most < 7; most++)
            assert_int_equal(apart(words[0], words[1], most), plain < most ? plain : plain > most ? most + 1 : most);
    }
}

static void write_some(Memory *memory)
{
    Text text;
    text_open(&text, memory);
    for (int i = 0; i < 3000; i++)
        text_print(&text, "%d ", i);
    text_close(&text);
}

static void faults_leave_nothing_behind(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(write_some) > 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(text_grows),
        cmocka_unit_test(code_points_are_read),
        cmocka_unit_test(widths_are_those_of_a_terminal),
        cmocka_unit_test(distances_are_counted),
        cmocka_unit_test(distances_stop_at_the_most),
        cmocka_unit_test(distances_agree_with_the_textbook),
        cmocka_unit_test(faults_leave_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
