/* Messages as text: the layout, the marks, and nothing that steers a terminal. */
#include "unit.h"

#include "source/show.h"

#include <stdio.h>
#include <string.h>

typedef struct World {
    Memory memory;
    Names names;
    Sources sources;
    Text out;
} World;

static void open_world(World *world)
{
    world->memory = (Memory){0};
    names_open(&world->names, &world->memory);
    sources_open(&world->sources, &world->memory);
    text_open(&world->out, &world->memory);
}

static uint32_t add_script(World *world, const char *path, const char *text, size_t length)
{
    Name name = names_of(&world->names, &world->memory, path);
    uint32_t number = sources_add(&world->sources, &world->memory, name, text, length, false);
    return world->sources.list.at[number].base;
}

static Message error_at(uint32_t start, uint32_t end)
{
    return (Message){.kind = SAY_unknown_name,
                     .severity = SEVERITY_ERROR,
                     .at = {start, end},
                     .name = "unknown-name",
                     .says = "There is no material called lint.",
                     .mend = ""};
}

static void show(World *world, const Message *message, ShowHow how)
{
    text_clear(&world->out);
    show_message(&world->out, &world->sources, &world->names, message, how);
}

static void assert_shown(World *world, const Message *message, const char *expected)
{
    show(world, message, (ShowHow){0});
    assert_string_equal(world->out.at, expected);
}

static void the_long_form_has_all_parts(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    uint32_t one = add_script(&world, "papers/one.wleaf", "\n\n\n\n\n\n\n\n\n\n\n    cotton-lint  75 %\n", 33);
    uint32_t two = add_script(&world, "two.wleaf", "here  \nmaterial cotton-linters:", 31);
    Message message = {.kind = SAY_unknown_name,
                       .severity = SEVERITY_ERROR,
                       .at = {one + 15, one + 26},
                       .says = "There is no material called cotton-lint.",
                       .mend = "Did you mean cotton-linters?",
                       .name = "unknown-name",
                       .others = {{{two, two + 4}, "it would stand here"}},
                       .other_count = 1,
                       .found = "75 %",
                       .limit = "at most 50 %",
                       .needed = "20 kg"};
    assert_shown(&world, &message,
                 "error: There is no material called cotton-lint. Did you mean cotton-linters?\n"
                 "  in papers/one.wleaf, line 12, column 5   [unknown-name]\n"
                 "  12 |     cotton-lint  75 %\n"
                 "     |     ^^^^^^^^^^^\n"
                 "  and in two.wleaf, line 1: it would stand here\n"
                 "   1 | here\n"
                 "     | ^^^^\n"
                 "  found     75 %\n"
                 "  wanted    at most 50 %\n"
                 "  would do  20 kg\n");
    memory_return_all(&world.memory);
}

static void parts_that_are_not_there_are_left_out(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    Message message = error_at(0, 0);
    message.severity = SEVERITY_WARNING;
    message.limit = "a file";
    assert_shown(&world, &message, "warning: There is no material called lint.\n  [unknown-name]\n  wanted    a file\n");
    uint32_t one = add_script(&world, "one", "lint", 4);
    message = error_at(one, one + 4);
    message.severity = SEVERITY_NOTE;
    message.others[0] = (MessagePlace){message.at, NULL};
    message.other_count = 1;
    assert_shown(&world, &message,
                 "note: There is no material called lint.\n  in one, line 1, column 1   [unknown-name]\n  1 | lint\n    | ^^^^\n"
                 "  and in one, line 1\n  1 | lint\n    | ^^^^\n");
    memory_return_all(&world.memory);
}

static void the_short_form_is_one_line(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    uint32_t one = add_script(&world, "a b.wleaf", "x\n\tb\xC3\xA4 lint", 10);
    Message message = error_at(one + 7, one + 11);
    message.mend = "Two\nlines?";
    show(&world, &message, (ShowHow){.one_line = true});
    assert_string_equal(world.out.at, "a b.wleaf:2:5: error: There is no material called lint. Two lines? [unknown-name]\n");
    message.at = (Span){0, 0};
    message.mend = "";
    show(&world, &message, (ShowHow){.one_line = true});
    assert_string_equal(world.out.at, "error: There is no material called lint. [unknown-name]\n");
    show(&world, &message, (ShowHow){.one_line = true, .colour = true});
    assert_string_equal(world.out.at, "\033[1merror\033[0m: There is no material called lint. [unknown-name]\n");
    show(&world, &message, (ShowHow){.colour = true});
    assert_string_equal(world.out.at, "\033[1merror\033[0m: There is no material called lint.\n  [unknown-name]\n");
    memory_return_all(&world.memory);
}

/* Shows the bytes FROM to TO of the script marked, and gives the line and the
 * marks below it, without the gutter, as "line|marks". */
static const char *marked(World *world, const char *script, uint32_t from, uint32_t to)
{
    static char both[4000];
    uint32_t base = add_script(world, "s", script, strlen(script));
    Message message = error_at(base + from, base + to);
    show(world, &message, (ShowHow){0});
    char *line = strstr(world->out.at, " |");
    assert_non_null(line);
    char *marks = strstr(line + 2, "\n    | ");
    assert_non_null(marks);
    line += line[2] == ' ' ? 3 : 2;
    snprintf(both, sizeof both, "%.*s|%.*s", (int)(marks - line), line, (int)strcspn(marks + 7, "\n"), marks + 7);
    return both;
}

static void marks_stand_below_what_they_mark(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    assert_string_equal(marked(&world, "lint  75 %", 6, 8), "lint  75 %|      ^^");
    assert_string_equal(marked(&world, "\tlint", 1, 5), "    lint|    ^^^^");
    assert_string_equal(marked(&world, "ab\tlint\tx", 3, 7), "ab  lint    x|    ^^^^");
    assert_string_equal(marked(&world, "ab\tlint", 2, 3), "ab  lint|  ^^");
    assert_string_equal(marked(&world, "b\xC3\xA4r lint", 5, 9), "b\xC3\xA4r lint|    ^^^^");
    assert_string_equal(marked(&world, "ba\xCC\x88r lint", 6, 10), "ba\xCC\x88r lint|    ^^^^");
    assert_string_equal(marked(&world, "ba\xCC\x88r", 2, 4), "ba\xCC\x88r| ^"); /* only a mark above the a */
    assert_string_equal(marked(&world, "\xE7\xB4\x99\xE7\xB4\x99 x", 3, 6), "\xE7\xB4\x99\xE7\xB4\x99 x|  ^^");
    assert_string_equal(marked(&world, "\xE7\xB4\x99 x", 4, 5), "\xE7\xB4\x99 x|   ^");
    assert_string_equal(marked(&world, "b\xC3\xA4r", 2, 3), "b\xC3\xA4r| ^"); /* in the middle of a character */
    assert_string_equal(marked(&world, "\xEF\xBB\xBFlint", 3, 7), "lint|^^^^");
    assert_string_equal(marked(&world, "\xEF\xBB\xBFlint", 0, 1), "lint|^");
    assert_string_equal(marked(&world, "lint\r\nb", 0, 4), "lint|^^^^");
    assert_string_equal(marked(&world, "lint\r\nb", 4, 4), "lint|    ^");
    assert_string_equal(marked(&world, "lint\r\nb", 5, 6), "lint|    ^"); /* the end of the line */
    assert_string_equal(marked(&world, "lint", 4, 4), "lint|    ^");   /* the end of the script */
    assert_string_equal(marked(&world, "", 0, 0), "|^");
    assert_string_equal(marked(&world, "lint 7\nmore", 5, 11), "lint 7|     ^"); /* only the first line */
    assert_string_equal(marked(&world, "lint", 2, 900), "lint|  ^^");
    memory_return_all(&world.memory);
}

static void long_lines_are_shown_in_part(void **state)
{
    (void)state;
    enum { LONG = 10000 };
    World world;
    open_world(&world);
    char line[LONG + 1];
    memset(line, '-', LONG);
    line[LONG] = '\0';
    for (uint32_t from = 0; from < LONG; from += 37) {
        memset(line + from, 'x', from + 4 < LONG ? 4 : LONG - from);
        const char *both = marked(&world, line, from, from + 4);
        const char *marks = strchr(both, '|') + 1;
        size_t place = strspn(marks, " ");
        assert_true(strlen(both) < 2 * 107);
        assert_int_equal(strspn(marks + place, "^"), from + 4 < LONG ? 4 : LONG - from);
        assert_int_equal(strchr(both, 'x') - both, place);
        memset(line + from, '-', from + 4 < LONG ? 4 : LONG - from);
    }
    const char *whole = marked(&world, line, 0, LONG);
    assert_int_equal(strspn(strchr(whole, '|') + 1, "^"), 100);
    line[100] = '\0';
    assert_null(strstr(marked(&world, line, 50, 60), "..."));
    memory_return_all(&world.memory);
}

/* Wide signs and tabs that the edge of the window cuts in two become blanks. */
static void the_edge_of_the_window_cuts_cleanly(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    for (uint32_t shift = 0; shift < 4; shift++) {
        char line[2000] = "";
        memset(line, '-', shift);
        for (int i = 0; i < 150; i++)
            strcat(line, i % 3 == 0 ? "\t" : "\xE7\xB4\x99");
        uint32_t from = (uint32_t)strlen(line);
        strcat(line, "XY");
        for (int i = 0; i < 150; i++)
            strcat(line, i % 3 == 0 ? "\t" : "\xE7\xB4\x99");
        const char *both = marked(&world, line, from, from + 2);
        const char *marks = strchr(both, '|') + 1;
        const char *found = strchr(both, 'X');
        assert_int_equal(utf8_columns(both, (size_t)(found - both)), strspn(marks, " "));
        assert_int_equal(utf8_columns(both, (size_t)(found - both)), 33); /* "..." and 30 before the mark */
        assert_true(utf8_columns(both, (size_t)(marks - 1 - both)) <= 106);
    }
    memory_return_all(&world.memory);
}

static void nothing_steers_the_terminal(void **state)
{
    (void)state;
    World world;
    open_world(&world);
    char script[200] = "";
    size_t length = 0;
    for (int c = 0; c < 32; c++)
        if (c != '\n')
            script[length++] = (char)c;
    static const char more[] = "\x7F\xC2\x9B" "31m\xFF\x9B\xE2\x80\xAE\xE2\x81\xA6\xE2\x80\xA8" "lint\033";
    memcpy(script + length, more, sizeof more - 1);
    length += sizeof more - 1;
    uint32_t base = add_script(&world, "evil\033[2J\r.wleaf", script, length);
    Message message = error_at(base + (uint32_t)length - 5, base + (uint32_t)length - 1);
    message.says = message.mend = message.found = message.limit = message.needed = message.source =
        "a\033[31m\r\x07\xC2\x9B\x7F\xE2\x80\xAE";
    message.others[0] = (MessagePlace){message.at, message.says};
    message.other_count = 1;
    for (int one_line = 0; one_line < 2; one_line++) {
        show(&world, &message, (ShowHow){.one_line = one_line == 1});
        for (size_t i = 0; i < world.out.length;) {
            size_t taken;
            uint32_t c = utf8_decode(world.out.at + i, world.out.length - i, &taken);
            assert_true(c == '\n' || c >= 0x20);
            assert_true(c < 0x7F || c > 0x9F);
            assert_true(c != 0x202E && c != 0x2066 && c != 0x2028);
            assert_true(c != 0xFFFD || taken == 3);
            i += taken;
        }
    }
    show(&world, &message, (ShowHow){0});
    /* What is shown for them takes a column, and the mark knows. */
    const char *line = strstr(world.out.at, "  1 | ") + 6;
    const char *marks = strstr(line, "\n    | ") + 7;
    assert_int_equal(utf8_columns(line, (size_t)(strstr(line, "lint") - line)), strspn(marks, " "));
    memory_return_all(&world.memory);
}

static void show_some(Memory *memory)
{
    World world = {0};
    names_open(&world.names, memory);
    sources_open(&world.sources, memory);
    text_open(&world.out, memory);
    Name path = names_of(&world.names, memory, "one.wleaf");
    sources_add(&world.sources, memory, path, "cotton-lint 75 %", 16, false);
    uint32_t base = world.sources.list.at[1].base;
    Message message = error_at(base, base + 4);
    for (int i = 0; i < 20; i++)
        show_message(&world.out, &world.sources, &world.names, &message, (ShowHow){0});
}

static void faults_leave_nothing_behind(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(show_some) > 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_long_form_has_all_parts),
        cmocka_unit_test(parts_that_are_not_there_are_left_out),
        cmocka_unit_test(the_short_form_is_one_line),
        cmocka_unit_test(marks_stand_below_what_they_mark),
        cmocka_unit_test(long_lines_are_shown_in_part),
        cmocka_unit_test(the_edge_of_the_window_cuts_cleanly),
        cmocka_unit_test(nothing_steers_the_terminal),
        cmocka_unit_test(faults_leave_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
