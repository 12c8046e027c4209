/* Scripts one behind the other, and lines and columns in them. */
#include "unit.h"

#include "base/text.h"
#include "source/source.h"

#include <string.h>

static uint32_t add(Sources *sources, Memory *memory, const char *text)
{
    return sources_add(sources, memory, 1, text, strlen(text), false);
}

static void places_lead_to_their_script(void **state)
{
    (void)state;
    Memory memory = {0};
    Sources sources;
    sources_open(&sources, &memory);
    assert_ptr_equal(sources_at(&sources, 0), &sources.list.at[0]);
    assert_int_equal(add(&sources, &memory, "first"), 1);
    assert_int_equal(sources_add(&sources, &memory, 7, NULL, 0, true), 2);
    assert_int_equal(add(&sources, &memory, "third\n"), 3);
    assert_ptr_equal(sources_at(&sources, 0), &sources.list.at[0]);
    for (uint32_t number = 1; number <= 3; number++) {
        const Source *source = &sources.list.at[number];
        assert_true(source->base > 0);
        for (uint32_t byte = 0; byte <= source->length; byte++)
            assert_ptr_equal(sources_at(&sources, source->base + byte), source);
        assert_memory_equal(sources_text(&sources, source) + source->length, "\0\0\0\0\0\0\0", 8);
    }
    assert_string_equal(sources_text(&sources, &sources.list.at[1]), "first");
    assert_string_equal(sources_bytes(&sources, sources.list.at[3].base + 2), "ird\n");
    assert_true(sources.list.at[2].library);
    assert_int_equal(sources.list.at[2].path, 7);
    assert_int_equal(sources.list.at[2].length, 0);
    assert_string_equal(sources_text(&sources, &sources.list.at[0]), "");
    memory_return_all(&memory);
}

static void assert_place(const Sources *sources, uint32_t place, uint32_t expected_line, uint32_t expected_column)
{
    uint32_t line, column;
    sources_line(sources, place, &line, &column);
    assert_int_equal(line, expected_line);
    assert_int_equal(column, expected_column);
}

static void lines_and_columns_are_counted(void **state)
{
    (void)state;
    Memory memory = {0};
    Sources sources;
    sources_open(&sources, &memory);
    add(&sources, &memory, "another\nscript\n");
    uint32_t base_script = add(&sources, &memory, "ab\r\n\n\tb\xC3\xA4r\xFFx\nend"), base = sources.list.at[base_script].base;
    assert_place(&sources, base, 1, 1);
    assert_place(&sources, base + 1, 1, 2);
    assert_place(&sources, base + 3, 1, 4); /* the end of the line belongs to it */
    assert_place(&sources, base + 4, 2, 1);
    assert_place(&sources, base + 5, 3, 1);
    assert_place(&sources, base + 7, 3, 3);
    assert_place(&sources, base + 9, 3, 4); /* characters, not bytes */
    assert_place(&sources, base + 11, 3, 6);
    assert_place(&sources, base + 13, 4, 1);
    assert_place(&sources, base + 16, 4, 4);
    uint32_t marked_script = add(&sources, &memory, "\xEF\xBB\xBFuse\nx"), marked = sources.list.at[marked_script].base;
    assert_place(&sources, marked, 1, 1);
    assert_place(&sources, marked + 3, 1, 1);
    assert_place(&sources, marked + 5, 1, 3);
    assert_place(&sources, marked + 7, 2, 1);
    assert_place(&sources, 0, 1, 1);
    memory_return_all(&memory);
}

static void assert_comment(const char *script, const char *line, const char *expected)
{
    Memory memory = {0};
    Sources sources;
    Text text;
    text_open(&text, &memory);
    sources_open(&sources, &memory);
    add(&sources, &memory, "# not this\n");
    uint32_t base_script = add(&sources, &memory, script), base = sources.list.at[base_script].base;
    text_put(&text, "");
    sources_comment_above(&sources, base + (uint32_t)(strstr(script, line) - script), &text);
    assert_string_equal(text.at, expected);
    memory_return_all(&memory);
}

static void comments_above_are_found(void **state)
{
    (void)state;
    assert_comment("# One\n#  two \r\n\t#three\nmaterial x:\n", "material", "One\n two\nthree");
    assert_comment("# One\n    material x:\n", "x:", "One");
    assert_comment("# One\n\nmaterial x:\n", "x:", "");
    assert_comment("end # One\nmaterial x:\n", "x:", "");
    assert_comment("# above\nend\n#\n# One\nx", "x", "\nOne");
    assert_comment("material x:\n# below\n", "x:", "");
    assert_comment("#\nx", "x", "");
}

static void add_some(Memory *memory)
{
    Sources sources;
    sources_open(&sources, memory);
    for (int i = 0; i < 100; i++)
        add(&sources, memory, "beat linen-rag for 4 h\n");
}

static void faults_leave_nothing_behind(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(add_some) > 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(places_lead_to_their_script),
        cmocka_unit_test(lines_and_columns_are_counted),
        cmocka_unit_test(comments_above_are_found),
        cmocka_unit_test(faults_leave_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
