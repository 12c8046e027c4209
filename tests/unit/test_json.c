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
    json_put_open(&json, &text);
    write(&json);
    json_put_close(&json);
    assert_string_equal(text.at, wanted);
    memory_return_all(&memory);
}

static void write_values(Json *json)
{
    json_put_object(json, NULL);
    json_put_text(json, "a", "x");
    json_put_text(json, "b", NULL);
    json_put_truth(json, "c", true);
    json_put_truth(json, "d", false);
    json_put_null(json, "e");
    json_put_object(json, "f");
    json_put_end(json);
    json_put_array(json, "g");
    json_put_end(json);
    json_put_raw(json, "h", "[1, 2]");
}

static void values_and_commas(void **state)
{
    (void)state;
    holds(write_values, "{\"a\": \"x\", \"b\": null, \"c\": true, \"d\": false, \"e\": null, \"f\": {}, \"g\": [], \"h\": [1, 2]}\n");
}

static void write_numbers(Json *json)
{
    static const double numbers[] = {0, -0.0, 1, -1.5, 0.606814, 1.0 / 3, 123456789012.0, 1e300, -2.5e-12, 19466.1620000000003};
    json_put_array(json, NULL);
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
        json_put_number(json, NULL, numbers[i]);
    json_put_number(json, NULL, NAN);
    json_put_number(json, NULL, INFINITY);
    json_put_number(json, NULL, -INFINITY);
}

static void numbers_have_twelve_digits(void **state)
{
    (void)state;
    setlocale(LC_ALL, "de_DE.UTF-8"); /* where there is one, it changes nothing */
    holds(write_numbers, "[0, 0, 1, -1.5, 0.606814, 0.333333333333, 123456789012, 1e300, -2.5e-12, 19466.162, null, null, null]\n");
}

static void write_strange_text(Json *json)
{
    json_put_array(json, NULL);
    json_put_text(json, NULL, "\" \\ / \n \t \x01 \x7F");
    json_put_text(json, NULL, "g/m² 紙 😀");
    json_put_text(json, NULL, "a\xFF\xC3");       /* no UTF-8 */
    json_put_text(json, NULL, "\xED\xA0\x80");    /* half a pair */
}

static void text_is_quoted(void **state)
{
    (void)state;
    holds(write_strange_text, "[\"\\\" \\\\ / \\n \\u0009 \\u0001 \\u007f\", \"g/m² 紙 😀\", \"a\xEF\xBF\xBD\xEF\xBF\xBD\", "
                              "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\"]\n");
}

static void write_list(Json *json)
{
    json_put_object(json, NULL);
    json_put_number(json, "waterleaf", 1);
    json_put_array(json, "problems");
    for (int i = 1; i < 3; i++) {
        json_put_object(json, NULL);
        json_put_number(json, "n", i);
        json_put_array(json, "places");
        json_put_number(json, NULL, 1);
        json_put_number(json, NULL, 2);
        json_put_end(json);
        json_put_end(json);
    }
    json_put_end(json);
    json_put_array(json, "none");
}

static void members_of_outer_arrays_have_lines(void **state)
{
    (void)state;
    holds(write_list, "{\"waterleaf\": 1, \"problems\": [\n{\"n\": 1, \"places\": [1, 2]},\n{\"n\": 2, \"places\": [1, 2]}\n], \"none\": []}\n");
}

static void write_deep(Json *json)
{
    for (unsigned i = 0; i < JSON_DEPTH; i++)
        json_put_array(json, NULL);
    for (unsigned i = 0; i < JSON_DEPTH + 5; i++)
        json_put_end(json);
}

static void all_is_ended_once(void **state)
{
    (void)state;
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    Json json;
    json_put_open(&json, &text);
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
    json_put_open(&json, &text);
    write_list(&json);
    json_put_close(&json);
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
