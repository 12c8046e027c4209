/* Which paper a run is about: its mill, its order, its variants and what they are called; what becomes of an `expect` line. Each script here is
 * paper-alone.wleaf, on no stdlib at all, with some of its lines changed: ten sheets, each with a kilogram of pulp. */
#include "unit.h"

#include "../check.h"

#include "waterleaf.h"

#include <stdio.h>

/* What was seen of the outcomes, one a line: "Plain at here, 10 of 10: a 12 in". */
typedef struct Seen { Page page; unsigned count, most; } Seen;

static bool see(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Seen *seen = with;
    page_print(&seen->page, "%s at %s, %g of %g", outcome->title, outcome->mill == NULL ? "none" : outcome->mill, outcome->sheets_good, outcome->sheets_formed);
    for (uint32_t i = 0; i < outcome->choice_count; i++)
        page_print(&seen->page, "%s %s %s", i == 0 ? ":" : ",", outcome->choices[i].name, outcome->choices[i].value);
    page_print(&seen->page, "\n");
    return ++seen->count != seen->most;
}

typedef struct Edit { const char *from, *to; } Edit;

/* The script with each of EDITS made, which end with one from NULL. */
static char *edited(const Edit *edits)
{
    char *text = check_read("tests/unit/paper-alone.wleaf", NULL);
    assert_non_null(text);
    for (; edits->from != NULL; edits++) {
        Page page = {0};
        const char *at = strstr(text, edits->from);
        assert_non_null(at);
        page_add(&page, text, (size_t)(at - text));
        page_add(&page, edits->to, strlen(edits->to));
        page_add(&page, at + strlen(edits->from), strlen(at + strlen(edits->from)));
        free(text);
        text = page.at;
    }
    return text;
}

static Workshop *workshop_with(const Edit *edits)
{
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    char *text = edited(edits);
    assert_int_equal(workshop_read_text(workshop, "edited.wleaf", text, strlen(text)), WATERLEAF_FINE);
    free(text);
    return workshop;
}

#define UNCHANGED ((const Edit[]){{NULL, NULL}})
#define EDITS(...) ((const Edit[]){__VA_ARGS__, {NULL, NULL}})
#define NO_BATCH {"batch \"P\":\n  paper plain\n  sheets 10 sheets\nend\n", ""}
#define NO_MILL {"fields mill:\nend\n", ""}
#define NO_PAPER {"fields paper:\n  has title as text\nend\n", ""}
#define GRAMS {"unit kg of mass\n", "unit kg of mass\nunit g = 0.001 kg\n"}
#define VARIED "  vary a over 12 kg, 3000 g\n  vary b over 0.3 kg, 4 kg\n  vary c over 5 kg\n"
#define VARY(lines) {"  title \"Plain\"\n", "  title \"Plain\"\n" lines}

/* What is seen of the work called NAME, or of all, where SHEETS are ordered. */
static void sees(const Edit *edits, const char *name, double sheets, const char *wanted)
{
    Workshop *workshop = workshop_with(edits);
    Seen seen = {{0}, 0, 0};
    workshop_work_out(workshop, name, sheets, see, &seen);
    const Messages *messages = workshop_messages(workshop);
    if (messages->list.count > 0)
        print_error("%s\n", messages->list.at[0].says);
    assert_int_equal(messages->list.count, 0);
    assert_string_equal(seen.page.at == NULL ? "" : seen.page.at, wanted);
    free(seen.page.at);
    workshop_close(workshop);
}

/* A paper without a batch is made at the only mill there is, wherever that stands. */
static void the_only_mill(void **state)
{
    (void)state;
    sees(EDITS(NO_BATCH), NULL, 0, "Plain at none, 1 of 1\n");
    sees(EDITS(NO_BATCH, {"material pulp:", "mill here:\nend\nmaterial pulp:"}), NULL, 0, "Plain at here, 1 of 1\n");
    sees(EDITS(NO_BATCH, {"paper plain:", "mill here:\nend\nmill there:\nend\npaper plain:"}), NULL, 0, "Plain at none, 1 of 1\n");
    /* the first thing that is declared, of the shape that is declared first */
    sees(EDITS(NO_BATCH, NO_MILL, {"fields content:", "fields mill:\nend\nmill here:\nend\nfields content:"}), NULL, 0, "Plain at here, 1 of 1\n");
    sees(EDITS(NO_MILL), NULL, 0, "Plain at none, 10 of 10\n");
    sees(EDITS(NO_BATCH, NO_MILL, NO_PAPER, {"  title \"Plain\"\n", ""}), NULL, 0, "plain at none, 1 of 1\n"); /* neither has a shape */
}

static void the_title(void **state)
{
    (void)state;
    sees(EDITS({"  title \"Plain\"\n", ""}, {"title as text", "title as text = none"}), NULL, 0, "plain at none, 10 of 10\n");
    sees(EDITS({"  title \"Plain\"\n", ""}, {"  has title as text\n", ""}), NULL, 0, "plain at none, 10 of 10\n");
    sees(EDITS({"title \"Plain\"", "title 3 kg"}, {"title as text", "title as mass"}), NULL, 0, "plain at none, 10 of 10\n");
    sees(EDITS({"title \"Plain\"", "title pulp"}, {"title as text", "title as material"}), NULL, 0, "plain at none, 10 of 10\n");
}

static void the_order(void **state)
{
    (void)state;
    sees(EDITS(NO_BATCH), NULL, 3, "Plain at none, 3 of 3\n");
    sees(UNCHANGED, NULL, 0, "Plain at none, 10 of 10\n");
    sees(UNCHANGED, NULL, 1, "Plain at none, 1 of 1\n");
    sees(UNCHANGED, NULL, 12, "Plain at none, 12 of 12\n");
    sees(EDITS({"sheets 10", "sheets 1"}), NULL, 0, "Plain at none, 1 of 1\n");
}

/* Every value of one vary line with every value of the others, the last changing fastest; each as it was written. */
static void the_variants(void **state)
{
    (void)state;
    sees(EDITS(NO_BATCH, VARY("  vary a over 12 kg, 3000 g\n  vary b over rough, smooth\n"), GRAMS), NULL, 0,
         "Plain at none, 1 of 1: a 12 kg, b rough\nPlain at none, 1 of 1: a 12 kg, b smooth\n"
         "Plain at none, 1 of 1: a 3000 g, b rough\nPlain at none, 1 of 1: a 3000 g, b smooth\n");
    sees(EDITS(NO_BATCH, VARY("  vary a over \"x\", \"y\"\n"), {"Plain", "Plain {a}"}), NULL, 0, "Plain x at none, 1 of 1: a x\nPlain y at none, 1 of 1: a y\n");
    sees(EDITS(NO_BATCH, VARY("  vary a over paste, pulp\n  vary b over 4, none\n")), NULL, 0,
         "Plain at none, 1 of 1: a paste, b 4\nPlain at none, 1 of 1: a paste, b not told\n"
         "Plain at none, 1 of 1: a pulp, b 4\nPlain at none, 1 of 1: a pulp, b not told\n");
    sees(EDITS(NO_BATCH, VARY("  vary a over []\n")), NULL, 0, "Plain at none, 1 of 1: a not told\n"); /* nothing is one variant, too */
}

/* A batch chooses; where there is but one value it need not. What it chooses is told as the vary line has it, or else as the batch has it. */
static void the_choices(void **state)
{
    (void)state;
    sees(EDITS(VARY(VARIED), GRAMS, {"  paper plain\n", "  paper plain, with b 300 g, a 12 kg\n"}), NULL, 0, "Plain at none, 10 of 10: a 12 kg, b 0.3 kg, c 5 kg\n");
    sees(EDITS(VARY(VARIED), GRAMS, {"  paper plain\n", "  paper plain, with a 3 kg, b 250.0 g\n"}), NULL, 0, "Plain at none, 10 of 10: a 3000 g, b 250.0 g, c 5 kg\n");
}

/* All that is said of the script. */
static void says(const Edit *edits, const char *wanted)
{
    Workshop *workshop = workshop_with(edits);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    const Messages *messages = workshop_messages(workshop);
    Page page = {0};
    page_add(&page, "", 0);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *one = &messages->list.at[i];
        page_print(&page, "%s: %s", one->name, one->says);
        if (one->limit != NULL || one->found != NULL || one->needed != NULL)
            page_print(&page, " expected %s, found %s, difference %s%s", one->limit, one->found, one->needed, one->compares ? "" : " (not compared)");
        page_print(&page, "\n");
    }
    assert_string_equal(page.at, wanted);
    free(page.at);
    workshop_close(workshop);
}

#define KINDS {"unit kg of mass\n", "unit kg of mass\nkind rise shown in K\nkind temperature, levels of rise shown in °C\nunit K of rise\nunit °C = 1 K, from 273.15 K\n"}
#define EXPECT(line) {"  furnish:\n", "  expect " line "\n  furnish:\n"}
#define LET(line) {"paper plain:", "let " line "\npaper plain:"}

/* A number may be what is expected, lie between its ends, or miss them by what doubles cannot tell; text, words, sizes and what is true are the same
 * or they are not. */
static void what_is_expected(void **state)
{
    (void)state;
    says(EDITS(EXPECT("weight, within 1 kg..9 kg"), LET("weight = 2 kg")), "");
    says(EDITS(EXPECT("weight, within 1 kg..2 kg"), LET("weight = 2 kg")), "");
    says(EDITS(EXPECT("weight, within 2 kg..9 kg"), LET("weight = 2 kg")), "");
    says(EDITS(EXPECT("weight, 0.3 kg"), LET("weight = 0.1 kg + 0.2 kg")), "");
    says(EDITS(EXPECT("0.3 kg, weight"), LET("weight = 0.1 kg + 0.2 kg")), "");
    says(EDITS(EXPECT("weight, within 1 kg..2 kg"), LET("weight = 2.25 kg")),
         "expected-otherwise: weight is not as expected. expected 1 to 2 kg, found 2.25 kg, difference +0.25 kg\n");
    says(EDITS(EXPECT("weight, within 2.5 kg..3 kg"), LET("weight = 2.25 kg")),
         "expected-otherwise: weight is not as expected. expected 2.50 to 3.00 kg, found 2.25 kg, difference -0.25 kg\n");
    says(EDITS(KINDS, EXPECT("bath, within 40 °C..45 °C"), LET("bath = 47.25 °C")), /* temperatures differ by a rise */
         "expected-otherwise: bath is not as expected. expected 40 to 45 °C, found 47.25 °C, difference +2.25 K\n");
    says(EDITS(EXPECT("word, \"a\""), LET("word = \"a\"")), "");
    says(EDITS(EXPECT("word, \"b\""), LET("word = \"a\"")), "expected-otherwise: word is not as expected.\n");
    says(EDITS(EXPECT("size, 2 m by 3 m"), LET("size = 2 m by 3 m")), "");
    says(EDITS(EXPECT("size, 2 m by 4 m"), LET("size = 2 m by 3 m")), "expected-otherwise: size is not as expected.\n");
    says(EDITS(EXPECT("(1 < 2), 3 < 4")), "");
    says(EDITS(EXPECT("(1 < 2), 4 < 3")), "expected-otherwise: (1 < 2) is not as expected.\n");
    says(EDITS(EXPECT("what, pulp"), LET("what = pulp")), "");
    says(EDITS(EXPECT("what, pulp"), LET("what = paste")), "expected-otherwise: what is not as expected.\n");
    says(EDITS(EXPECT("weight, 2 kg"), LET("weight as mass = none")), "not-told-here: weight is not told here, so it cannot be compared.\n");
    says(EDITS(EXPECT("2 kg, weight"), LET("weight as mass = none")), "not-told-here: 2 kg is not told here, so it cannot be compared.\n");
}

static void what_is_not_chosen(void **state)
{
    (void)state;
    says(EDITS(VARY(VARIED), GRAMS, {"\"Plain\"", "\"Plain {a} {b}\""}, {"  paper plain\n", "  paper plain, with b 4 kg\n"}), "vary-not-chosen: This batch does not say which a.\n");
    says(EDITS(VARY(VARIED), GRAMS, {"\"Plain\"", "\"Plain {a} {b}\""}, {"  paper plain\n", "  paper plain, with a 12 kg\n"}), "vary-not-chosen: This batch does not say which b.\n");
}

/* The writer's own figures are worked out even where nothing asks for them, the first of them too; those of each thing, where there is one. */
static void own_figures_are_tried(void **state)
{
    (void)state;
    says(EDITS({"paper plain:", "reckon first as mass = 1 kg / (2 - 2)\nreckon other as mass = 1 kg / (3 - 3)\npaper plain:"}),
         "division-by-nothing: 1 kg / (2 - 2) divides by nothing.\ndivision-by-nothing: 1 kg / (3 - 3) divides by nothing.\n");
    says(EDITS({"fields content:", "fields bill-item:\n  has mass as mass\nend\nfields content:"},
               {"paper plain:", "reckon each-of(each b from bill when b.mass > 100 kg) as mass = 1 kg / (2 - 2)\npaper plain:"}), "");
}

/* What cannot be worked out is no work: a batch of no sheets, or one that nothing makes sure. */
static void what_is_no_work(void **state)
{
    (void)state;
    static const struct { Edit edit; uint32_t works; bool begins; } ways[] = {
        {{"sheets 10 sheets", "sheets 10 sheets"}, 2, true},
        {{"sheets 10 sheets", "sheets 1 sheets"}, 2, true},
        {{"sheets 10 sheets", "sheets 0.5 sheets"}, 2, false},
        {{"sheets 10 sheets", "sheets 10 sheets, sure 1"}, 2, false},
    };
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        Workshop *workshop = workshop_with(EDITS(ways[i].edit));
        WaterleafWork work;
        assert_int_equal(workshop_work_count(workshop), ways[i].works);
        assert_int_equal(workshop_work(workshop, 0, &work), ways[i].begins ? WATERLEAF_FINE : WATERLEAF_NO_NAME);
        workshop_close(workshop);
    }
}

/* Of thirty-two times thirty-two variants none is worked out; the batch is, which is of one of them. */
static void too_many_variants_are_no_work(void **state)
{
    (void)state;
    Page lines = {0};
    page_print(&lines, "  title \"Plain {a} {b}\"\n");
    for (unsigned line = 0; line < 2; line++) {
        page_print(&lines, "  vary %s over 1", line == 0 ? "a" : "b");
        for (unsigned i = 2; i <= 32; i++)
            page_print(&lines, ", %u", i);
        page_print(&lines, "\n");
    }
    Workshop *workshop = workshop_with(EDITS({"  title \"Plain\"\n", lines.at}, {"  paper plain\n", "  paper plain, with a 3, b 4\n"}));
    assert_int_equal(workshop_work_count(workshop), 1);
    workshop_close(workshop);
    free(lines.at);
}

/* Whatever their number, variants take no more memory than one after the other; their steps' sentences are given back. */
static void variants_leave_nothing(void **state)
{
    (void)state;
    size_t held[2];
    for (unsigned i = 0; i < 2; i++) {
        Workshop *workshop = workshop_with(EDITS(NO_BATCH, {"  joins streams into stuff\n", "  joins streams into stuff\n  tells \"Join them.\"\n"},
                                                 {"of 2 kg\n", "of 2 kg\n  tells \"Form them.\"\n"},
                                                 VARY("  vary a over 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 29\n")));
        Seen seen = {{0}, 0, i == 0 ? 2 : 20};
        assert_int_equal(workshop_work_out(workshop, NULL, 0, see, &seen), WATERLEAF_FINE);
        assert_int_equal(seen.count, seen.most);
        free(seen.page.at);
        held[i] = workshop_most_held(workshop);
        workshop_close(workshop);
    }
    assert_int_equal(held[1], held[0]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_only_mill),
        cmocka_unit_test(the_title),
        cmocka_unit_test(the_order),
        cmocka_unit_test(the_variants),
        cmocka_unit_test(the_choices),
        cmocka_unit_test(what_is_expected),
        cmocka_unit_test(what_is_not_chosen),
        cmocka_unit_test(own_figures_are_tried),
        cmocka_unit_test(what_is_no_work),
        cmocka_unit_test(too_many_variants_are_no_work),
        cmocka_unit_test(variants_leave_nothing),
    };
    return cmocka_run_group_tests_name("variant", tests, NULL, NULL);
}
