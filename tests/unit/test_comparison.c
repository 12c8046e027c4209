/* Two papers held against each other: how far numbers may be apart, which steps are the same, which were moved, and which
 * rules speak. What is compared is made here; that it is taken down from a real paper, tests/commands/compare.sh sees. */
#include "unit.h"

#include "documents/comparison.h"

#include <stdio.h>
#include <string.h>

static void begin(Hands *hands, Memory *memory)
{
    *hands = (Hands){0};
    arena_open(&hands->arena, memory);
}

/* A number of the whole paper. */
static void number(Hands *hands, const char *of, Measure measure, double value, double least)
{
    Trait trait = {.what = "amount", .of = of, .shown = of, .measure = measure, .low = value, .high = value, .least = least};
    list_push(hands->arena.memory, &hands->traits, trait);
    hands->whole_count = hands->traits.count;
}

/* Steps of one letter each. */
static void steps(Hands *hands, const char *letters)
{
    for (const char *at = letters; *at != '\0'; at++) {
        HandsStep step = {.name = arena_copy(&hands->arena, at, 1), .number = (uint32_t)(at - letters) + 1, .says = "",
                          .traits = hands->traits.count};
        list_push(hands->arena.memory, &hands->steps, step);
    }
}

/* "order b, step c": what was found, in its order. */
static void told(Hands *one, const Hands *other, char *into, size_t room)
{
    Differences differences;
    comparison_find(&differences, one, other);
    into[0] = '\0';
    for (uint32_t i = 0; i < differences.list.count; i++) {
        const Difference *at = &differences.list.at[i];
        size_t used = strlen(into);
        snprintf(into + used, room - used, "%s%s %s%s", i > 0 ? ", " : "", at->what, at->of, at->one == NULL ? "+" : at->other == NULL ? "-" : "");
    }
}

static bool differ(Measure measure, double mine, double theirs, double least)
{
    Memory memory = {0};
    Hands one, other;
    char found[200];
    begin(&one, &memory);
    begin(&other, &memory);
    number(&one, "x", measure, mine, least);
    number(&other, "x", measure, theirs, least);
    told(&one, &other, found, sizeof found);
    memory_return_all(&memory);
    return found[0] != '\0';
}

static void numbers_may_be_a_little_apart(void **state)
{
    (void)state;
    assert_false(differ(MEASURE_AMOUNT, 100, 102, 0));
    assert_true(differ(MEASURE_AMOUNT, 100, 102.1, 0));
    assert_true(differ(MEASURE_AMOUNT, 102.1, 100, 0));
    assert_false(differ(MEASURE_AMOUNT, 100, 105, 5)); /* the scale shows no less */
    assert_true(differ(MEASURE_AMOUNT, 100, 105.1, 5));
    assert_true(differ(MEASURE_AMOUNT, 0, 1e-9, 0));
    assert_false(differ(MEASURE_AMOUNT, 0, 0, 0));
    assert_false(differ(MEASURE_TIME, 19, 20, 0));
    assert_true(differ(MEASURE_TIME, 18.9, 20, 0));
    assert_false(differ(MEASURE_LEVEL, 316.15, 317.15, 0));
    assert_true(differ(MEASURE_LEVEL, 316.15, 317.16, 0));
    assert_true(differ(MEASURE_COUNT, 1000, 1001, 0));
    assert_false(differ(MEASURE_COUNT, 1000, 1000, 0));
}

static void check_steps(const char *mine, const char *theirs, const char *wanted)
{
    Memory memory = {0};
    Hands one, other;
    char found[400];
    begin(&one, &memory);
    begin(&other, &memory);
    steps(&one, mine);
    steps(&other, theirs);
    told(&one, &other, found, sizeof found);
    memory_return_all(&memory);
    assert_string_equal(found, wanted);
}

static void steps_are_left_out_and_moved(void **state)
{
    (void)state;
    check_steps("abc", "abc", "");
    check_steps("", "", "");
    check_steps("abc", "ac", "step b-");
    check_steps("ac", "abc", "step b+");
    check_steps("", "a", "step a+");
    check_steps("a", "", "step a-");
    check_steps("abcd", "bcda", "order a");
    check_steps("abcd", "dabc", "order d");
    check_steps("abab", "abb", "step a-"); /* the second a: as much as can be stays where it was */
    check_steps("abc", "axyc", "step b-, step x+, step y+");
    check_steps("abcx", "yabc", "step y+, step x-");
}

static void rule(Hands *hands, const char *name, const char *line)
{
    comparison_rule(hands, name, line, strlen(line), "it says so");
}

static void a_rule_that_speaks_on_both_sides_is_none(void **state)
{
    (void)state;
    Memory memory = {0};
    Hands one, other;
    char found[200];
    begin(&one, &memory);
    begin(&other, &memory);
    rule(&one, "acid", "add alum 2 %");
    rule(&other, "acid", "add alum 3 %");
    told(&one, &other, found, sizeof found);
    assert_string_equal(found, "");
    rule(&other, "acid", "add alum 2 %");
    rule(&one, "lignin", "furnish");
    told(&one, &other, found, sizeof found);
    assert_string_equal(found, "rule lignin-, rule acid+");
    memory_return_all(&memory);
}

static void work(Memory *memory)
{
    Hands one, other;
    Differences differences;
    begin(&one, memory);
    begin(&other, memory);
    number(&one, "x", MEASURE_AMOUNT, 1, 0);
    number(&other, "x", MEASURE_AMOUNT, 2, 0);
    steps(&one, "abcd");
    steps(&other, "bxda");
    rule(&one, "acid", "line");
    comparison_find(&differences, &one, &other);
}

static void memory_may_fail(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(work) > 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_may_be_a_little_apart),
        cmocka_unit_test(steps_are_left_out_and_moved),
        cmocka_unit_test(a_rule_that_speaks_on_both_sides_is_none),
        cmocka_unit_test(memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
