/* The words of a working: how each part is told, and where a line that is too long is broken. The parts are made here; that a
 * working has those that it should, tests/commands/why.sh sees. */
#include "unit.h"

#include "meaning/line.h"
#include "reckoning/why.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* TEMPLATE with so many W in place of each {50}. */
static const char *spelled(char *into, size_t room, const char *template)
{
    size_t used = 0;
    for (const char *at = template; *at != '\0'; at++) {
        char *end = NULL;
        size_t count = *at == '{' ? strtoul(at + 1, &end, 10) : 1;
        assert_true(used + count < room);
        memset(into + used, *at == '{' ? 'W' : *at, count);
        used += count;
        at = end != NULL ? end : at;
    }
    into[used] = '\0';
    return into;
}

/* PARTS in words. */
static void check_parts(const World *world, Memory *memory, const WhyPart *parts, const char *wanted)
{
    char wanted_text[2000];
    Text out;
    text_open(&out, memory);
    why_text(world, parts, &out);
    assert_string_equal(out.at, spelled(wanted_text, sizeof wanted_text, wanted));
    text_close(&out);
}

/* Gives the place of the script's first line. */
static uint32_t open_world(World *world, Memory *memory)
{
    static const char script[] = "waterleaf 1\npaper plain:\nend\n";
    *world = (World){.memory = memory};
    names_open(&world->names, memory);
    sources_open(&world->sources, memory);
    Name path = names_of(&world->names, memory, "mill.wleaf");
    uint32_t number = sources_add(&world->sources, memory, path, script, strlen(script), false);
    return world->sources.list.at[number].base;
}

/* ---- lines ---- */

/* The line "x is SHOWN.", of which 110 columns fit: SHOWN begins in the sixth column. */
static void check_line(const char *shown, const char *wanted)
{
    Memory memory = {0};
    World world;
    open_world(&world, &memory);
    char text[1000];
    WhyPart part = {.figure = "x", .shown = spelled(text, sizeof text, shown)};
    check_parts(&world, &memory, &part, wanted);
    memory_return_all(&memory);
}

/* The lines "x is y:" and "  = FORMULA". */
static void check_formula(const char *formula, const char *wanted)
{
    Memory memory = {0};
    World world;
    open_world(&world, &memory);
    char text[1000];
    WhyPart part = {.figure = "x", .shown = "y", .formula = spelled(text, sizeof text, formula)};
    check_parts(&world, &memory, &part, wanted);
    memory_return_all(&memory);
}

static void what_fits_stays_in_one_line(void **state)
{
    (void)state;
    check_line("{104}", "x is {104}.\n");
    check_line("{52} {51}", "x is {52} {51}.\n");           /* 5 + 52 + 1 + 51 + 1 = 110 */
    check_line("{52} {52}", "x is {52}\n    {52}.\n");      /* 111 */
    check_line("{52} {50}é", "x is {52} {50}é.\n");         /* 110 columns, 111 bytes */
    check_line("{52} {51}é", "x is {52}\n    {51}é.\n");
    check_line("{52} {49}紙", "x is {52} {49}紙.\n");       /* a wide sign takes two columns: 5 + 52 + 1 + 49 + 2 + 1 = 110 */
    check_line("{52} {50}紙", "x is {52}\n    {50}紙.\n");
    check_line("{52} {50}e\u0301", "x is {52} {50}e\u0301.\n"); /* an accent that is laid over a letter none */
}

static void it_is_broken_at_the_last_blank_that_can_be(void **state)
{
    (void)state;
    check_line("{20} {20} {20} {20} {40}", "x is {20} {20} {20} {20}\n    {40}.\n");
    check_line("{105} {20}", "x is {105}\n    {20}.\n");              /* the blank is column 111 */
    check_line("{106} {20}", "x is\n    {106}\n    {20}.\n");         /* 112; in the next line, 4 + 106, again 111 */
    check_line("{90} {90} {90}", "x is {90}\n    {90}\n    {90}.\n");
}

static void what_has_no_place_to_break_goes_over_the_edge(void **state)
{
    (void)state;
    check_line("{120}", "x is\n    {120}.\n");
    check_line("{120} {20} {80}", "x is\n    {120}\n    {20} {80}.\n"); /* what is behind it stands in lines again */
    check_line("{105}  {107}", "x is {105}\n     {107}.\n");            /* a blank at which a line begins is none at which it breaks */
}

static void it_is_broken_where_it_reads_well(void **state)
{
    (void)state;
    check_line("{68} ({20} {20}", "x is {68}\n    ({20} {20}.\n"); /* the blank is column 74, behind two thirds of 110 */
    check_line("{67} ({20} {20}", "x is {67} ({20}\n    {20}.\n"); /* 73: too early */
    check_line("{70} * {18} {20}", "x is {70}\n    * {18} {20}.\n");
    check_line("{70} + {18} {20}", "x is {70}\n    + {18} {20}.\n");
    check_line("{70}: {20} {20}", "x is {70}:\n    {20} {20}.\n");
    check_line("{70}, {20} {20}", "x is {70},\n    {20} {20}.\n");
    check_line("{70}, line {9} {20}", "x is {70}, line {9}\n    {20}.\n"); /* a path and its line stay together */
    check_line("{70} ({9}) ({9} {20}", "x is {70} ({9})\n    ({9} {20}.\n"); /* the last of several */
}

static void a_number_and_its_unit_stay_together(void **state)
{
    (void)state;
    check_line("{95} 120 {40}", "x is {95}\n    120 {40}.\n");
    check_line("{95} 129 {40}", "x is {95}\n    129 {40}.\n");
    check_line("{93} 12 - {40}", "x is {93} 12\n    - {40}.\n"); /* what is behind it is no unit */
    check_line("{95} 12/ {40}", "x is {95} 12/\n    {40}.\n");
    check_line("{90} line 21 {30}", "x is {90}\n    line 21 {30}.\n");
    check_line("{90} a 0{30}", "x is {90}\n    a 0{30}.\n");
    check_line("{90} z 9{30}", "x is {90}\n    z 9{30}.\n");
    check_line("{90} Q 5{30}", "x is {90} Q\n    5{30}.\n"); /* no word */
    check_line("{90} ab ({30}", "x is {90} ab\n    ({30}.\n"); /* no number */
}

static void it_is_broken_in_front_of_an_operator(void **state)
{
    (void)state;
    check_line("{80} - {30}", "x is {80}\n    - {30}.\n");
    check_line("{85}- {30}", "x is {85}-\n    {30}.\n"); /* none stands alone there */
    check_formula("{60} * {60}", "x is y:\n  = {60}\n      * {60}\n");
    check_formula("{120}", "x is y:\n  = {120}\n"); /* nor behind the sign at its head */
    check_formula("{120} / {90}", "x is y:\n  = {120}\n      / {90}\n");
}

/* ---- parts ---- */

static void each_part_is_told_by_how_it_ends(void **state)
{
    (void)state;
    Memory memory = {0};
    World world;
    uint32_t second = open_world(&world, &memory) + (uint32_t)strlen("waterleaf 1\n");
    WhyPart typed = {.figure = "dose", .shown = "5 %", .end = WHY_TYPED, .says = "typed", .place = second};
    check_parts(&world, &memory, &typed, "dose is 5 %, typed (mill.wleaf, line 2).\n");
    WhyPart sourced = {.figure = "dose", .shown = "5 %", .end = WHY_DEFAULT, .place = second, .source = "a table",
                       .marks = MARK_PRACTICE | MARK_MEMORY | MARK_SUPPLIER | MARK_MEASURED};
    check_parts(&world, &memory, &sourced,
                "dose is 5 % (mill.wleaf, line 2; source: a table; common practice; from memory; told by the supplier;\n"
                "    measured).\n");
    WhyPart unplaced = {.figure = "dose", .shown = "5 %", .source = "a table", .marks = MARK_MEMORY};
    check_parts(&world, &memory, &unplaced, "dose is 5 %.\n");
    WhyPart answer = {.figure = "dose > 4 %", .shown = "yes", .end = WHY_ANSWER};
    check_parts(&world, &memory, &answer, "dose > 4 %: yes.\n");
    WhyPart untold = {.figure = "dose", .shown = "not told", .end = WHY_NOT_TOLD, .says = "nobody tells it"};
    check_parts(&world, &memory, &untold, "dose is not told: nobody tells it.\n");
    WhyPart above = {.figure = "fibre", .shown = "3 g", .end = WHY_ABOVE, .says = "solved", .place = second};
    check_parts(&world, &memory, &above, "fibre is 3 g, as above.\n");
    above.formula = "charge * kept";
    check_parts(&world, &memory, &above, "fibre is 3 g, as above.\n");
    above.with_numbers = "6 g * 50 %";
    check_parts(&world, &memory, &above, "fibre is 3 g = 6 g * 50 %, as above.\n");
    memory_return_all(&memory);
}

/* Two roots; the first of a formula, and of a part that has a formula and parts itself. */
static void make_tree(WhyPart tree[5], uint32_t place)
{
    tree[0] = (WhyPart){.figure = "fibre", .shown = "3 g", .formula = "charge * kept", .with_numbers = "6 g * 50 %", .place = place,
                        .first = &tree[1], .next = &tree[4]};
    tree[1] = (WhyPart){.figure = "charge", .shown = "6 g", .formula = "3 * part", .first = &tree[2], .next = &tree[3]};
    tree[2] = (WhyPart){.figure = "part", .shown = "2 g", .with_numbers = "1 g + 1 g"};
    tree[3] = (WhyPart){.figure = "kept", .shown = "50 %", .end = WHY_TYPED, .says = "typed", .first = &tree[2]};
    tree[4] = (WhyPart){.figure = "sheets", .shown = "4", .end = WHY_ORDERED, .says = "ordered"};
}

static void parts_stand_two_blanks_deeper(void **state)
{
    (void)state;
    Memory memory = {0};
    World world;
    WhyPart tree[5];
    make_tree(tree, open_world(&world, &memory));
    check_parts(&world, &memory, tree,
                "fibre is 3 g:\n"
                "  = charge * kept (mill.wleaf, line 1)\n"
                "  = 6 g * 50 %\n"
                "  charge is 6 g:\n"
                "    = 3 * part\n"
                "    part is 2 g.\n"
                "      = 1 g + 1 g\n"
                "  kept is 50 %, typed:\n"
                "    part is 2 g.\n"
                "      = 1 g + 1 g\n"
                "sheets is 4, ordered.\n");
    memory_return_all(&memory);
}

/* A line that is deep has less room, and goes on four blanks deeper still. */
static void a_deep_line_is_broken_sooner(void **state)
{
    (void)state;
    Memory memory = {0};
    World world;
    char text[300];
    open_world(&world, &memory);
    WhyPart inner = {.figure = "x", .shown = spelled(text, sizeof text, "{52} {50}")};
    WhyPart part = {.figure = "a", .shown = "b", .first = &inner};
    check_parts(&world, &memory, &part, "a is b:\n  x is {52}\n      {50}.\n"); /* 2 + 5 + 52 + 1 + 50 + 1 = 111 */
    inner.shown = spelled(text, sizeof text, "{52} {49}");
    check_parts(&world, &memory, &part, "a is b:\n  x is {52} {49}.\n");
    memory_return_all(&memory);
}

static void work(Memory *memory)
{
    World world;
    WhyPart tree[5];
    Text out;
    make_tree(tree, open_world(&world, memory));
    text_open(&out, memory);
    why_text(&world, tree, &out);
}

static void memory_may_fail(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(work) > 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_fits_stays_in_one_line),
        cmocka_unit_test(it_is_broken_at_the_last_blank_that_can_be),
        cmocka_unit_test(what_has_no_place_to_break_goes_over_the_edge),
        cmocka_unit_test(it_is_broken_where_it_reads_well),
        cmocka_unit_test(a_number_and_its_unit_stay_together),
        cmocka_unit_test(it_is_broken_in_front_of_an_operator),
        cmocka_unit_test(each_part_is_told_by_how_it_ends),
        cmocka_unit_test(parts_stand_two_blanks_deeper),
        cmocka_unit_test(a_deep_line_is_broken_sooner),
        cmocka_unit_test(memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
