/* A document carried to the program that sets pages: every node as a line, its words cleaned, its numbers exact. */
#include "unit.h"

#include "base/text.h"
#include "render/pages.h"

#include <float.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double odd[] = {0, 1.0 / 3, -0.1, 210, 1e-300, DBL_MAX, DBL_MIN, 5e-324, 123456789.123456789, 1e15, 1e16, 0.1 + 0.2, -297.00000000000006};
enum { ODD = sizeof odd / sizeof odd[0] };

static void put_document(Document *document, Arena *arena)
{
    document_open(document, arena, "Title");
    document_enter(document, DOCUMENT_PART, NULL, "a\tb\nc");
    DocumentNode *picture = document_enter(document, DOCUMENT_PICTURE, "Sheet", "what it shows");
    document_numbers(document, picture, (double[]){120, 80.5}, 2);
    document_shape(document, SHAPE_TORN, SHAPE_CROSSED_FILL | SHAPE_HEAVY, odd, ODD, NULL);
    document_leave(document);
    document_leave(document);
}

/* What is carried of what Text: from the line that begins with FORM on. */
static const char *line_of(const Text *text, const char *form)
{
    const char *at = strstr(text->at, form);
    assert_non_null(at);
    return at;
}

static void numbers_are_exact(void **state)
{
    (void)state;
    /* a locale with a comma, where there is one */
    setlocale(LC_ALL, "de_DE.UTF-8");
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    Document document;
    put_document(&document, &arena);
    Text out;
    text_open(&out, &memory);
    render_pages(&out, &document, "a4", "pdf", NULL);
    setlocale(LC_ALL, "C");
    const char *at = line_of(&out, "shape\t");
    for (int tabs = 0; tabs < 6; at++)
        tabs += *at == '\t';
    for (int i = 0; i < ODD; i++) {
        char *end;
        double value = strtod(at, &end);
        assert_true(value == odd[i]);
        assert_true(*end == (i + 1 < ODD ? ' ' : '\n'));
        at = end + 1;
    }
    memory_return_all(&memory);
}

static void lines_are_as_told(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    Document document;
    put_document(&document, &arena);
    Text out;
    text_open(&out, &memory);
    render_pages(&out, &document, "letter", "svg", "12");
    char wanted[64];
    assert_ptr_equal(strstr(out.at, "waterleaf-pages 2\nas svg\npage letter\ndate 12\nroot\t0\t0\t\tTitle\t\t\n"), out.at);
    line_of(&out, "\npart\t0\t0\t\ta b c\t\t\n");
    line_of(&out, "\npicture\t0\t0\tSheet\twhat it shows\t\t120 80.5\n");
    snprintf(wanted, sizeof wanted, "\nshape\t0\t%u\ttorn\t\t\t", (unsigned)(SHAPE_CROSSED_FILL | SHAPE_HEAVY));
    line_of(&out, wanted);
    memory_return_all(&memory);
}

static void work(Memory *memory)
{
    Arena arena;
    arena_open(&arena, memory);
    Document document;
    put_document(&document, &arena);
    Text out;
    text_open(&out, memory);
    render_pages(&out, &document, "a4", "pdf", NULL);
}

static void memory_may_fail(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(work) > 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_exact),
        cmocka_unit_test(lines_are_as_told),
        cmocka_unit_test(memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
