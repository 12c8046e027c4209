/* Messages: filled in, kept once, in order. */
#include "unit.h"

#include "source/message.h"

#include <stdio.h>
#include <string.h>

typedef struct World {
    Memory memory;
    Sources sources;
    Messages messages;
} World;

static void open_world(World *world)
{
    world->memory = (Memory){0};
    sources_open(&world->sources, &world->memory);
    messages_open(&world->messages, &world->memory);
}

static void close_world(World *world)
{
    messages_close(&world->messages);
    memory_return_all(&world->memory);
}

static Span at(uint32_t start) { return (Span){start, start + 3}; }

/* The name of a message of this severity. There is one in the list, or the test
 * cannot be. */
static MessageName a_kind_of(Severity severity)
{
    for (unsigned kind = 0; kind < MESSAGE_NAMES; kind++)
        if (message_kinds[kind].severity == severity)
            return (MessageName)kind;
    return MESSAGE_NAMES;
}

static void kinds_are_found_by_name(void **state)
{
    (void)state;
    for (unsigned kind = 0; kind < MESSAGE_NAMES; kind++)
        assert_int_equal(message_named(message_kinds[kind].name), kind); /* so no name stands there twice */
    assert_int_equal(message_named("unknown-name"), SAY_unknown_name);
    assert_int_equal(message_named("no-such-message"), MESSAGE_NAMES);
    assert_int_equal(message_named(""), MESSAGE_NAMES);
}

static void every_pattern_is_well_formed(void **state)
{
    (void)state;
    for (unsigned kind = 0; kind < MESSAGE_NAMES; kind++) {
        const char *patterns[] = {message_kinds[kind].says, message_kinds[kind].mend};
        for (size_t i = 0; i < 2; i++) {
            for (const char *brace = patterns[i]; (brace = strchr(brace, '{')) != NULL; brace += 2)
                assert_true(brace[1] == '{' || (brace[1] >= '1' && brace[1] <= '4' && brace[2] == '}'));
        }
        assert_true(message_kinds[kind].says[0] != '\0');
    }
}

/* What PATTERN should become, by a plainer way: one word after the other. */
static void expect(char *out, size_t size, const char *pattern, const char *const *words)
{
    snprintf(out, size, "%s", pattern);
    for (int word = 0; word < 4; word++) {
        char mark[4] = {'{', (char)('1' + word), '}', '\0'};
        for (char *found; (found = strstr(out, mark)) != NULL;) {
            char behind[2000];
            snprintf(behind, sizeof behind, "%s", found + 3);
            snprintf(found, size - (size_t)(found - out), "%s%s", words[word], behind);
        }
    }
    for (char *brace = out; (brace = strstr(brace, "{{")) != NULL; brace++)
        memmove(brace, brace + 1, strlen(brace));
}

static void words_are_filled_in(void **state)
{
    (void)state;
    static const char *const words[] = {"material", "lint", "Third.", "fourth"};
    World world;
    open_world(&world);
    world.messages.most = MESSAGE_NAMES;
    for (unsigned kind = 0; kind < MESSAGE_NAMES; kind++) {
        char expected[4000];
        const Message *message =
            message_say(&world.messages, (MessageName)kind, at(9), words[0], words[1], words[2], words[3], NULL);
        expect(expected, sizeof expected, message_kinds[kind].says, words);
        assert_string_equal(message->says, expected);
        expect(expected, sizeof expected, message_kinds[kind].mend, words);
        assert_string_equal(message->mend, expected);
        assert_int_equal(message->at.start, 9);
        assert_int_equal(message->at.end, 12);
        assert_int_equal(message->severity, message_kinds[kind].severity);
        assert_int_equal(message->kind, kind);
    }
    assert_int_equal(world.messages.list.count, MESSAGE_NAMES);
    close_world(&world);
}

static void words_not_given_are_empty_and_long_ones_cut(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    const Message *message = message_say(&world.messages, SAY_unknown_name, at(1), NULL);
    assert_null(strchr(message->says, '{'));
    char word[601];
    memset(word, 'x', 499);
    memcpy(word + 499, "\xC3\xA4 and more", 12);
    message = message_say(&world.messages, SAY_unknown_name, at(2), word, word, word, word, NULL);
    assert_non_null(strstr(message->says, "xxx..."));
    assert_null(strchr(message->says, '\xC3')); /* no half of a character */
    word[500] = '\0';
    word[499] = 'y';
    message = message_say(&world.messages, SAY_unknown_name, at(3), word, word, word, word, NULL);
    assert_non_null(strstr(message->says, "xxy"));
    assert_null(strstr(message->says, "y..."));
    close_world(&world);
}

static void the_same_is_said_once(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    Messages *messages = &world.messages;
    for (int round = 0; round < 3; round++) {
        for (uint32_t place = 1; place <= 100; place++) {
            Message *message = message_say(messages, SAY_unknown_name, at(place), "material", "lint", "", NULL);
            message_also(messages, message, at(7), "here");
            if (round == 0)
                assert_string_equal(messages->list.at[place - 1].others[0].says, "here");
        }
    }
    message_say(messages, SAY_unknown_name, (Span){1, 5}, NULL); /* another end is another place */
    assert_int_equal(messages->list.count, 101);
    assert_int_equal(messages->errors, 101);
    messages->muted = true;
    size_t held = world.memory.held;
    for (uint32_t place = 1000; place < 2000; place++)
        assert_string_equal(message_say(messages, SAY_unknown_name, at(place), "material", NULL)->says, "");
    assert_int_equal(messages->list.count, 101);
    assert_int_equal(messages->errors, 101);
    assert_int_equal(world.memory.held, held);
    messages->muted = false;
    message_say(messages, SAY_unknown_name, at(1500), NULL); /* not said as long as muted */
    assert_int_equal(messages->errors, 102);
    close_world(&world);
}

static void too_many_are_counted(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    Messages *messages = &world.messages;
    assert_int_equal(messages->most, 200);
    for (uint32_t place = 1; place <= 1000; place++)
        assert_non_null(message_say(messages, SAY_unknown_name, at(place), NULL));
    assert_int_equal(messages->list.count, 200);
    assert_int_equal(messages->errors, 1000);
    assert_int_equal(messages->list.at[199].at.start, 200);
    close_world(&world);
}

static void errors_take_the_place_of_lesser_ones(void **state)
{
    (void)state;
    MessageName lesser = a_kind_of(SEVERITY_WARNING) != MESSAGE_NAMES ? a_kind_of(SEVERITY_WARNING) : a_kind_of(SEVERITY_NOTE);
    if (lesser == MESSAGE_NAMES)
        skip(); /* the list has nothing but errors */
    World world;
    open_world(&world);
    Messages *messages = &world.messages;
    messages->most = 3;
    for (uint32_t place = 1; place <= 5; place++)
        message_say(messages, lesser, at(place), NULL);
    message_say(messages, SAY_unknown_name, at(6), NULL);
    assert_int_equal(messages->list.count, 3);
    assert_int_equal(messages->list.at[1].at.start, 2);
    assert_int_equal(messages->list.at[2].kind, SAY_unknown_name);
    assert_int_equal(messages->warnings + messages->notes, 5);
    assert_int_equal(messages->errors, 1);
    close_world(&world);
}

static void messages_are_sorted(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    Messages *messages = &world.messages;
    sources_add(&world.sources, &world.memory, 1, "library library", 15, true);
    sources_add(&world.sources, &world.memory, 2, "first first", 11, false);
    sources_add(&world.sources, &world.memory, 3, "second second", 13, false);
    uint32_t library = world.sources.list.at[1].base;
    uint32_t first = world.sources.list.at[2].base;
    uint32_t second = world.sources.list.at[3].base;
    const uint32_t said[] = {second + 4, library + 2, first + 5, second, library, first + 5, 0, first + 1};
    const uint32_t sorted[] = {0, first + 1, first + 5, first + 5, second, second + 4, library, library + 2};
    enum { COUNT = sizeof said / sizeof *said };
    for (uint32_t i = 0; i < COUNT; i++)
        message_say(messages, SAY_unknown_name, (Span){said[i], said[i] + 9 - i}, NULL);
    messages_sort(messages, &world.sources);
    for (uint32_t i = 0; i < COUNT; i++)
        assert_int_equal(messages->list.at[i].at.start, sorted[i]);
    assert_int_equal(messages->list.at[2].at.end, first + 5 + 7); /* as they came */
    assert_int_equal(messages->list.at[3].at.end, first + 5 + 4);
    close_world(&world);
}

static void say_some(Memory *memory)
{
    Messages messages;
    messages_open(&messages, memory);
    for (uint32_t place = 1; place < 150; place++) {
        Message *message = message_say(&messages, SAY_unknown_name, at(place), "material", "lint", "Did you mean linters?", NULL);
        message_also(&messages, message, at(1), "here");
    }
    messages_close(&messages);
}

static void faults_leave_nothing_behind(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(say_some) > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(kinds_are_found_by_name),
        cmocka_unit_test(every_pattern_is_well_formed),
        cmocka_unit_test(words_are_filled_in),
        cmocka_unit_test(words_not_given_are_empty_and_long_ones_cut),
        cmocka_unit_test(the_same_is_said_once),
        cmocka_unit_test(too_many_are_counted),
        cmocka_unit_test(errors_take_the_place_of_lesser_ones),
        cmocka_unit_test(messages_are_sorted),
        cmocka_unit_test(faults_leave_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
