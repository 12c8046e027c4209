/* The tree of a document: what stands where, and the walk through it. */
#include "unit.h"

#include "base/text.h"
#include "documents/document.h"

#include <string.h>

static void make_small(Document *document, Arena *arena)
{
    document_open(document, arena, "Title");
    document_enter(document, DOCUMENT_PART, NULL, "one");
    document_heading(document, 2, "Steps");
    document_enter(document, DOCUMENT_TABLE, NULL, "amounts");
    document_enter(document, DOCUMENT_HEAD, NULL, NULL);
    document_cell(document, DOCUMENT_NUMBER, "mass");
    document_leave(document);
    document_leave(document);
    document_enter(document, DOCUMENT_LIST, NULL, NULL); /* stays empty */
    document_leave(document);
    document_pair(document, "mill", "wren");
    document_field(document, DOCUMENT_LONG, "seen", NULL);
    document_leave(document);
}

/* Each node on the way: its form, "<" when left. */
static void put_walk(Text *out, const Document *document)
{
    for (DocumentWalk walk = {.root = document->root}; document_next(&walk);)
        text_print(out, "%s%d ", walk.entering ? "" : "<", (int)walk.node->form);
}

static void nodes_are_entered_and_left(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    Document document;
    make_small(&document, &arena);
    Text way, wanted;
    text_open(&way, &memory);
    text_open(&wanted, &memory);
    put_walk(&way, &document);
    text_print(&wanted, "%d %d %d %d %d %d <%d <%d %d <%d %d %d <%d <%d ", DOCUMENT_ROOT, DOCUMENT_PART, DOCUMENT_HEADING, DOCUMENT_TABLE,
               DOCUMENT_HEAD, DOCUMENT_CELL, DOCUMENT_HEAD, DOCUMENT_TABLE, DOCUMENT_LIST, DOCUMENT_LIST, DOCUMENT_PAIR, DOCUMENT_FIELD,
               DOCUMENT_PART, DOCUMENT_ROOT);
    assert_string_equal(way.at, wanted.at);
    memory_return_all(&memory);
}

static void a_part_can_be_walked_alone(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    Document document;
    make_small(&document, &arena);
    unsigned entered = 0, left = 0;
    const DocumentNode *table = document.root->first->first->next;
    assert_int_equal(table->form, DOCUMENT_TABLE);
    for (DocumentWalk walk = {.root = table}; document_next(&walk);) {
        entered += walk.entering;
        left += !walk.entering;
    }
    assert_int_equal(entered, 3);
    assert_int_equal(left, 2);
    DocumentWalk leaf = {.root = document.root->first->first};
    assert_true(document_next(&leaf));
    assert_false(document_next(&leaf));
    DocumentWalk nothing = {.root = NULL};
    assert_false(document_next(&nothing));
    memory_return_all(&memory);
}

static void words_are_copied(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    Document document;
    char words[] = "chest";
    document_open(&document, &arena, words);
    DocumentNode *node = document_add(&document, DOCUMENT_FIELD, words, words);
    memset(words, 'x', sizeof words - 1);
    assert_string_equal(document.root->text, "chest");
    assert_string_equal(node->label, "chest");
    assert_string_equal(node->text, "chest");
    assert_null(document_add(&document, DOCUMENT_FIELD, "a", NULL)->text);
    document_cell(&document, 0, NULL);
    assert_string_equal(document.root->last->text, "");
    memory_return_all(&memory);
}

static void leaving_too_often_stays_at_the_root(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    Document document;
    document_open(&document, &arena, "t");
    document_leave(&document);
    document_enter(&document, DOCUMENT_PART, NULL, "p");
    document_leave(&document);
    document_leave(&document);
    assert_ptr_equal(document.inside, document.root);
    assert_ptr_equal(document_add(&document, DOCUMENT_NOTE, NULL, "n")->parent, document.root);
    memory_return_all(&memory);
}

static void work(Memory *memory)
{
    Arena arena;
    arena_open(&arena, memory);
    Document document;
    make_small(&document, &arena);
}

static void memory_may_fail(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(work) > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nodes_are_entered_and_left), cmocka_unit_test(a_part_can_be_walked_alone),
        cmocka_unit_test(words_are_copied),           cmocka_unit_test(leaving_too_often_stays_at_the_root),
        cmocka_unit_test(memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
