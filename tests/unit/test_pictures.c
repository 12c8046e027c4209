/* What pictures and marks look like, whoever draws them; and that the back ends write them, and labels, whole. */
#include "unit.h"

#include "base/text.h"
#include "render/html.h"
#include "render/mark.h"
#include "render/shapes.h"
#include "render/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct Made {
    Memory memory;
    Arena arena;
    Document document;
} Made;

static void begin(Made *made)
{
    *made = (Made){0};
    arena_open(&made->arena, &made->memory);
    document_open(&made->document, &made->arena, "Title");
}

static const DocumentNode *add_picture(Document *document)
{
    DocumentNode *picture = document_enter(document, DOCUMENT_PICTURE, "Caption", "What it shows");
    document_numbers(document, picture, (double[]){100, 60}, 2);
    document_shape(document, SHAPE_TORN, SHAPE_LIGHT_FILL, (double[]){10, 10, 50, 30}, 4, NULL);
    document_shape(document, SHAPE_BOX, SHAPE_CROSSED_FILL, (double[]){40, 20, 50, 30}, 4, NULL);
    document_shape(document, SHAPE_BOX, SHAPE_DOTTED_FILL, (double[]){0, 0, 5, 60}, 4, NULL);
    document_shape(document, SHAPE_LINE, SHAPE_DASHED | SHAPE_HEAVY, (double[]){0, 0, 10, 10, 20, 0}, 6, NULL);
    document_shape(document, SHAPE_WORDS, SHAPE_MIDDLE, (double[]){50, 30, 9}, 3, "words <&>");
    document_leave(document);
    return picture;
}

/* ---- torn edges ---- */

static void a_torn_edge_keeps_near_its_box(void **state)
{
    (void)state;
    Made made;
    begin(&made);
    const double boxes[][4] = {{0, 0, 50, 30}, {10, 20, 0.5, 40}, {0, 0, 0, 0}, {-5, -5, 200, 300}};
    for (size_t i = 0; i < sizeof boxes / sizeof boxes[0]; i++) {
        const double *box = boxes[i];
        ShapePoints points = shapes_torn(&made.arena, box);
        assert_true(points.count >= 4);
        double uneven = 0;
        for (unsigned at = 0; at < points.count; at++) {
            double x = points.at[at].x, y = points.at[at].y;
            double left = fabs(x - box[0]), right = fabs(x - box[0] - box[2]), top = fabs(y - box[1]), bottom = fabs(y - box[1] - box[3]);
            double side = fmin(fmin(left, right), fmin(top, bottom));
            assert_true(side < 1.3);
            assert_true(x > box[0] - 1.3 && x < box[0] + box[2] + 1.3 && y > box[1] - 1.3 && y < box[1] + box[3] + 1.3);
            uneven = fmax(uneven, side);
        }
        assert_true(box[2] < 10 || uneven > 0.2);
        ShapePoints again = shapes_torn(&made.arena, box);
        assert_memory_equal(points.at, again.at, points.count * sizeof *points.at);
    }
    /* it is the place along the edge that decides, not where the box is: two sheets of one mould are alike */
    ShapePoints one = shapes_torn(&made.arena, (double[]){0, 0, 50, 30}), other = shapes_torn(&made.arena, (double[]){64, 32, 50, 30});
    for (unsigned at = 0; at < one.count; at++)
        assert_true(fabs(other.at[at].x - one.at[at].x - 64) < 1e-9 && fabs(other.at[at].y - one.at[at].y - 32) < 1e-9);
    memory_return_all(&made.memory);
}

/* ---- what boxes are filled with ---- */

static void hatches_stay_within_box_and_picture(void **state)
{
    (void)state;
    Made made;
    begin(&made);
    const DocumentNode *picture = add_picture(&made.document);
    static const unsigned fills[] = {SHAPE_STRIPED_FILL, SHAPE_CROSSED_FILL, SHAPE_DOTTED_FILL};
    static const double boxes[][4] = {{3, 4, 20, 10}, {80, 50, 60, 60}, {-30, -20, 50, 40}, {-4000, -4000, 8000, 8000}, {10, 10, 0.3, 20}, {200, 10, 5, 5}, {1, 1, 0, 0}};
    for (size_t fill = 0; fill < 3; fill++) {
        for (size_t i = 0; i < sizeof boxes / sizeof boxes[0]; i++) {
            ShapePoints hatch = shapes_hatch(&made.arena, picture, fills[fill], boxes[i]);
            assert_true(i > 0 || hatch.count > 10);
            assert_true(i < 5 || hatch.count == 0);
            for (unsigned at = 0; at < hatch.count; at++) {
                double x = hatch.at[at].x, y = hatch.at[at].y;
                assert_true(x >= fmax(0, boxes[i][0]) - 1e-9 && x <= fmin(100, boxes[i][0] + boxes[i][2]) + 1e-9);
                assert_true(y >= fmax(0, boxes[i][1]) - 1e-9 && y <= fmin(60, boxes[i][1] + boxes[i][3]) + 1e-9);
            }
        }
    }
    assert_int_equal(shapes_hatch(&made.arena, picture, SHAPE_LIGHT_FILL | SHAPE_DARK_FILL, boxes[0]).count, 0);
    memory_return_all(&made.memory);
}

static void words_know_what_they_stand_on(void **state)
{
    (void)state;
    Made made;
    begin(&made);
    const DocumentNode *picture = add_picture(&made.document), *words = picture->last;
    assert_int_equal(shapes_ground(words), SHAPE_CROSSED_FILL);
    document_enter(&made.document, DOCUMENT_PICTURE, NULL, "p");
    document_shape(&made.document, SHAPE_BOX, SHAPE_DARK_FILL, (double[]){0, 0, 10, 10}, 4, NULL);
    document_shape(&made.document, SHAPE_WORDS, 0, (double[]){20, 5, 9}, 3, "beside");
    assert_int_equal(shapes_ground(made.document.inside->last), 0);
    document_shape(&made.document, SHAPE_WORDS, 0, (double[]){5, 5, 9}, 3, "on it");
    assert_int_equal(shapes_ground(made.document.inside->last), SHAPE_DARK_FILL);
    memory_return_all(&made.memory);
}

static void numbers_that_are_no_shape_are_seen(void **state)
{
    (void)state;
    Made made;
    begin(&made);
    document_enter(&made.document, DOCUMENT_PICTURE, NULL, "p");
    static const struct { DocumentShape shape; double at[6]; unsigned count; int kind; } all[] = {
        {SHAPE_LINE, {1, 2, 3, 4}, 4, SHAPE_LINE}, {SHAPE_LINE, {1, 2, 3, 4, 5, 6}, 6, SHAPE_LINE}, {SHAPE_LINE, {1, 2}, 2, -1}, {SHAPE_LINE, {1, 2, 3, 4, 5}, 5, -1},
        {SHAPE_BOX, {1, 2, 3, 4}, 4, SHAPE_BOX}, {SHAPE_BOX, {1, 2, -3, 4}, 4, -1}, {SHAPE_BOX, {1, 2, 3}, 3, -1}, {SHAPE_TORN, {1, 2, 1e300, 4}, 4, -1},
        {SHAPE_TORN, {1, 2, NAN, 4}, 4, -1}, {SHAPE_WORDS, {1, 2, 9}, 3, -1}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        document_shape(&made.document, all[i].shape, 0, all[i].at, all[i].count, NULL);
        assert_int_equal(shapes_kind(made.document.inside->last), all[i].kind);
    }
    assert_int_equal(shapes_kind(made.document.root), -1);
    memory_return_all(&made.memory);
}

/* ---- marks ---- */

static void base64_is_read(void **state)
{
    (void)state;
    static const struct { const char *text, *bytes; } all[] = {{"Zg==", "f"}, {"Zm8=", "fo"}, {"Zm9v", "foo"}, {"Zm9vYmFy", "foobar"}, {"////", "\xFF\xFF\xFF"},
                                                               {"", NULL}, {"Zg=", NULL}, {"Zg", NULL}, {"Z===", NULL}, {"Zm9v====", NULL}, {"Zm 9v", NULL}, {"Zm9-", NULL}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        Memory memory = {0};
        Text out;
        text_open(&out, &memory);
        assert_int_equal(mark_bytes(&out, all[i].text), all[i].bytes != NULL);
        if (all[i].bytes != NULL)
            assert_string_equal(out.at, all[i].bytes);
        memory_return_all(&memory);
    }
}

/* ---- the back ends ---- */

static void add_all(Document *document)
{
    add_picture(document);
    DocumentNode *image = document_add(document, DOCUMENT_IMAGE, "image/svg+xml", "The mark");
    document_hint(document, image, "PHN2ZyB4bWxucz0iaHR0cDovL3d3dy53My5vcmcvMjAwMC9zdmciLz4=");
    document_numbers(document, image, (double[]){40, 20}, 2);
    image = document_add(document, DOCUMENT_IMAGE, "image/png", "Broken");
    document_hint(document, image, "PHN2Zz4=");
    document_numbers(document, image, (double[]){40, 20}, 2);
    DocumentNode *labels = document_enter(document, DOCUMENT_LABELS, NULL, NULL);
    document_numbers(document, labels, (double[]){210, 297, 2, 7, 5, 15, 99, 38, 101, 38, 5, 1}, STOCK_NUMBERS);
    for (int i = 0; i < 2; i++) {
        document_enter(document, DOCUMENT_LABEL, NULL, "Label \"one\"");
        document_heading(document, 1, "On the label");
        document_leave(document);
    }
    document_leave(document);
}

static void work(Memory *memory)
{
    Arena arena;
    arena_open(&arena, memory);
    Document document;
    document_open(&document, &arena, "Title");
    add_all(&document);
    Text html, text;
    text_open(&html, memory);
    text_open(&text, memory);
    render_html(&html, &document, "a4");
    render_text(&text, &document);
}

static void memory_may_fail(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(work) > 10);
}

static unsigned count_of(const char *text, const char *word)
{
    unsigned count = 0;
    for (const char *at = text; (at = strstr(at, word)) != NULL; at += strlen(word))
        count++;
    return count;
}

static void all_is_there(void **state)
{
    (void)state;
    Made made;
    begin(&made);
    add_all(&made.document);
    Text html, text;
    text_open(&html, &made.memory);
    text_open(&text, &made.memory);
    render_html(&html, &made.document, "a4");
    render_text(&text, &made.document);
    assert_non_null(strstr(html.at, "<figcaption id=\"picture1\">Caption</figcaption>"));
    assert_non_null(strstr(html.at, "aria-labelledby=\"picture1 picture1-words\""));
    assert_non_null(strstr(html.at, "<desc id=\"picture1-words\">What it shows</desc>"));
    assert_non_null(strstr(html.at, ">words &lt;&amp;&gt;</text>"));
    assert_non_null(strstr(html.at, "<img src=\"data:image/svg+xml;base64,PHN2ZyB4"));
    assert_non_null(strstr(html.at, "alt=\"The mark\""));
    assert_non_null(strstr(html.at, "<p>Broken</p>"));
    assert_non_null(strstr(html.at, "--wide:99"));
    assert_non_null(strstr(html.at, "<article aria-label=\"Label &quot;one&quot;\">"));
    static const char *const tags[] = {"figure", "svg", "desc", "text", "article", "div", "p", "title"};
    for (size_t i = 0; i < sizeof tags / sizeof tags[0]; i++) {
        char open[20], open_with[20], close[20];
        snprintf(open, sizeof open, "<%s>", tags[i]);
        snprintf(open_with, sizeof open_with, "<%s ", tags[i]);
        snprintf(close, sizeof close, "</%s>", tags[i]);
        assert_int_equal(count_of(html.at, open) + count_of(html.at, open_with), count_of(html.at, close));
    }
    assert_non_null(strstr(text.at, "Caption\n  What it shows\n"));
    assert_non_null(strstr(text.at, "The mark\n"));
    assert_int_equal(count_of(text.at, "------------------------------------------------------------------------------------------------\n"), 1);
    memory_return_all(&made.memory);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_torn_edge_keeps_near_its_box), cmocka_unit_test(hatches_stay_within_box_and_picture),
        cmocka_unit_test(words_know_what_they_stand_on),  cmocka_unit_test(numbers_that_are_no_shape_are_seen),
        cmocka_unit_test(base64_is_read),                 cmocka_unit_test(all_is_there),
        cmocka_unit_test(memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
