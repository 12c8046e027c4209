/* The writer of JSON: what is written is what RFC 8259 allows, whatever the values are. */
#include "unit.h"

#include "render/json.h"

#include <locale.h>
#include <math.h>
#include <string.h>

typedef void Write(Json *json);

static void holds(Write *write, const char *wanted)
{
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    Json json;
    json_open(&json, &text);
    write(&json);
    json_close(&json);
    assert_string_equal(text.at, wanted);
    memory_return_all(&memory);
}

static void write_values(Json *json)
{
    json_object(json, NULL);
    json_text(json, "a", "x");
    json_text(json, "b", NULL);
    json_truth(json, "c", true);
    json_truth(json, "d", false);
    json_null(json, "e");
    json_object(json, "f");
    json_end(json);
    json_array(json, "g");
    json_end(json);
    json_raw(json, "h", "[1, 2]");
}

static void values_and_commas(void **state)
{
    (void)state;
    holds(write_values, "{\"a\": \"x\", \"b\": null, \"c\": true, \"d\": false, \"e\": null, \"f\": {}, \"g\": [], \"h\": [1, 2]}\n");
}

static void write_numbers(Json *json)
{
    static const double numbers[] = {0, -0.0, 1, -1.5, 0.606814, 1.0 / 3, 123456789012.0, 1e300, -2.5e-12, 19466.1620000000003};
    json_array(json, NULL);
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
        json_number(json, NULL, numbers[i]);
    json_number(json, NULL, NAN);
    json_number(json, NULL, INFINITY);
    json_number(json, NULL, -INFINITY);
}

static void numbers_have_twelve_digits(void **state)
{
    (void)state;
    setlocale(LC_ALL, "de_DE.UTF-8"); /* where there is one, it changes nothing */
    holds(write_numbers, "[0, 0, 1, -1.5, 0.606814, 0.333333333333, 123456789012, 1e300, -2.5e-12, 19466.162, null, null, null]\n");
}

static void write_strange_text(Json *json)
{
    json_array(json, NULL);
    json_text(json, NULL, "\" \\ / \n \t \x01 \x7F");
    json_text(json, NULL, "g/m² 紙 😀");
    json_text(json, NULL, "a\xFF\xC3");       /* no UTF-8 */
    json_text(json, NULL, "\xED\xA0\x80");    /* half a pair */
}

static void text_is_quoted(void **state)
{
    (void)state;
    holds(write_strange_text, "[\"\\\" \\\\ / \\n \\u0009 \\u0001 \\u007f\", \"g/m² 紙 😀\", \"a\xEF\xBF\xBD\xEF\xBF\xBD\", "
                              "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\"]\n");
}

static void write_list(Json *json)
{
    json_object(json, NULL);
    json_number(json, "waterleaf", 1);
    json_array(json, "problems");
    for (int i = 1; i < 3; i++) {
        json_object(json, NULL);
        json_number(json, "n", i);
        json_array(json, "places");
        json_number(json, NULL, 1);
        json_number(json, NULL, 2);
        json_end(json);
        json_end(json);
    }
    json_end(json);
    json_array(json, "none");
}

static void members_of_outer_arrays_have_lines(void **state)
{
    (void)state;
    holds(write_list, "{\"waterleaf\": 1, \"problems\": [\n{\"n\": 1, \"places\": [1, 2]},\n{\"n\": 2, \"places\": [1, 2]}\n], \"none\": []}\n");
}

static void write_deep(Json *json)
{
    for (unsigned i = 0; i < JSON_DEPTH; i++)
        json_array(json, NULL);
    for (unsigned i = 0; i < JSON_DEPTH + 5; i++)
        json_end(json);
}

static void all_is_ended_once(void **state)
{
    (void)state;
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    Json json;
    json_open(&json, &text);
    write_deep(&json);
    int open = 0, close = 0;
    for (const char *at = text.at; *at != 0; at++) {
        open += *at == '[';
        close += *at == ']';
    }
    assert_int_equal(open, JSON_DEPTH);
    assert_int_equal(close, JSON_DEPTH);
    memory_return_all(&memory);
}

static void work(Memory *memory)
{
    Text text;
    text_open(&text, memory);
    Json json;
    json_open(&json, &text);
    write_list(&json);
    json_close(&json);
}

static void memory_may_fail(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(work) > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_and_commas), cmocka_unit_test(numbers_have_twelve_digits),
        cmocka_unit_test(text_is_quoted),    cmocka_unit_test(members_of_outer_arrays_have_lines),
        cmocka_unit_test(all_is_ended_once), cmocka_unit_test(memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
