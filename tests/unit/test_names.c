/* Names: equal text, equal number, whatever else was interned between. */
#include "unit.h"

#include "base/names.h"

#include <stdio.h>
#include <string.h>

enum { MANY = 50000 };

static void make_word(char *word, size_t size, unsigned number)
{
    snprintf(word, size, "%.*s-%u", (int)(number % 40), "abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz", number);
}

static void intern_many(Names *names, Memory *memory)
{
    char word[80];
    for (unsigned i = 0; i < MANY; i++) {
        make_word(word, sizeof word, i);
        assert_int_equal(names_of(names, memory, word), i + 1);
    }
}

static void equal_text_gets_the_same_name(void **state)
{
    (void)state;
    Memory memory = {0};
    Names names;
    names_open(&names, &memory);
    intern_many(&names, &memory);
    intern_many(&names, &memory);
    char word[80];
    for (unsigned i = 0; i < MANY; i++) {
        make_word(word, sizeof word, i);
        assert_string_equal(names_text(&names, i + 1), word);
        assert_int_equal(names_find(&names, word, strlen(word)), i + 1);
    }
    assert_int_equal(names.entries.count, MANY + 1);
    memory_return_all(&memory);
}

static void no_name_is_nought(void **state)
{
    (void)state;
    Memory memory = {0};
    Names names;
    names_open(&names, &memory);
    assert_string_equal(names_text(&names, 0), "");
    assert_int_equal(names_find(&names, "nothing", 7), 0);
    assert_int_equal(names_find(&names, "", 0), 0);
    Name empty = names_intern(&names, &memory, "", 0);
    assert_int_equal(empty, 1); /* the empty word is a word */
    assert_int_equal(names_find(&names, "", 0), 1);
    memory_return_all(&memory);
}

static void length_counts_and_nothing_behind_it(void **state)
{
    (void)state;
    Memory memory = {0};
    Names names;
    names_open(&names, &memory);
    Name all[20];
    for (size_t length = 1; length < 20; length++) {
        /* In a buffer of just this length, so that reading on would be found. */
        char *exact = memory_take(&memory, length);
        memcpy(exact, "0123456789abcdefghij", length);
        all[length] = names_intern(&names, &memory, exact, length);
        memory_return(&memory, exact);
    }
    for (size_t length = 1; length < 20; length++)
        assert_int_equal(names_find(&names, "0123456789abcdefghij", length), all[length]);
    assert_int_equal(names_intern(&names, &memory, "a\0b", 3), 20);
    assert_int_equal(names_find(&names, "a\0c", 3), 0);
    memory_return_all(&memory);
}

static void part_of_a_name_can_be_interned(void **state)
{
    (void)state;
    Memory memory = {0};
    Names names;
    names_open(&names, &memory);
    char word[2000];
    memset(word, 'x', sizeof word);
    Name whole = names_intern(&names, &memory, word, sizeof word);
    for (size_t length = 1; length < sizeof word; length++) {
        Name part = names_intern(&names, &memory, names_text(&names, whole), length);
        assert_int_equal(strlen(names_text(&names, part)), length);
        assert_int_equal(strspn(names_text(&names, part), "x"), length);
    }
    memory_return_all(&memory);
}

/* As when names stand in the program's own image. */
static void read_only_names_are_copied_before_they_change(void **state)
{
    (void)state;
    Memory fixed = {0}, memory = {0};
    Names original;
    names_open(&original, &fixed);
    Name old = names_of(&original, &fixed, "old");
    Names names = original;
    names.text.room = names.entries.room = names.buckets.room = 0;
    assert_int_equal(names_of(&names, &memory, "old"), old);
    assert_int_equal(memory.held, 0);
    Name new = names_of(&names, &memory, "new");
    assert_int_equal(names_find(&original, "new", 3), 0);
    assert_int_equal(names_find(&names, "new", 3), new);
    assert_int_equal(names_find(&names, "old", 3), old);
    assert_string_equal(names_text(&names, old), "old");
    memory_return_all(&memory);
    memory_return_all(&fixed);
}

static void intern_some(Memory *memory)
{
    Names names;
    names_open(&names, memory);
    for (unsigned i = 0; i < 1000; i++) {
        char word[80];
        make_word(word, sizeof word, i);
        names_of(&names, memory, word);
    }
}

static void faults_leave_nothing_behind(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(intern_some) > 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(equal_text_gets_the_same_name),
        cmocka_unit_test(no_name_is_nought),
        cmocka_unit_test(length_counts_and_nothing_behind_it),
        cmocka_unit_test(part_of_a_name_can_be_interned),
        cmocka_unit_test(read_only_names_are_copied_before_they_change),
        cmocka_unit_test(faults_leave_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
