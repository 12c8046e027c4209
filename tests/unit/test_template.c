/* Scripts that ask: the questions that are found, the answers put in place, names made of texts, what no script could hold. */
#include "unit.h"

#include "source/template.h"

#include <string.h>

static const char script[] =
    "waterleaf 1\n"
    "# A thing to begin with. And more.\n"
    "#? who \"Some Body\": Who is it? For the head.\n"
    "#? room 60 L: How much does it hold? By eye.\n"
    "#? wall red|green: Of what colour is it? It is seen.\n"
    "#? in-7-days 2099-12-31\n"
    "#> look {file} {who} --wall {wall} {other}\n"
    "let some-body = 60 L + 160 L - 60 L  #? who room\n"
    "let title = \"Some Body\"  #? who\n"
    "let wall = red-brick  #? wall\n"
    "let until = 2099-12-31  #? in-7-days\n"
    "let text = \"#? who\"\n";

typedef struct Desk { Memory memory; Arena arena; Questions questions; Text out; } Desk;

static Desk *enter(void)
{
    static Desk desk;
    desk = (Desk){0};
    arena_open(&desk.arena, &desk.memory);
    text_open(&desk.out, &desk.memory);
    return &desk;
}

static void questions_are_found(void **state)
{
    (void)state;
    Desk *desk = enter();
    assert_null(template_questions(&desk->arena, script, &desk->questions));
    assert_int_equal(desk->questions.count, 4);
    const Question *who = &desk->questions.at[0], *wall = &desk->questions.at[2];
    assert_string_equal(who->usual, "Some Body");
    assert_true(who->text);
    assert_string_equal(who->asks, "Who is it?");
    assert_string_equal(who->reason, "For the head.");
    assert_string_equal(wall->usual, "red");
    assert_string_equal(wall->choices, "red|green");
    assert_int_equal(desk->questions.at[3].days, 7);
    assert_string_equal(template_about(&desk->arena, script), "A thing to begin with");
    assert_ptr_equal(template_question(&desk->questions, "room"), &desk->questions.at[1]);
    assert_null(template_question(&desk->questions, "roo"));
    memory_return_all(&desk->memory);
}

/* What is not asked is as the template that is read last tells it. */
static void a_later_template_tells_otherwise(void **state)
{
    (void)state;
    Desk *desk = enter();
    assert_null(template_questions(&desk->arena, "#? loss 2 %\nlet loss = 2 %  #? loss\n", &desk->questions));
    assert_true(desk->questions.at[0].unasked);
    assert_null(template_questions(&desk->arena, "#? loss 4 %\n", &desk->questions));
    assert_int_equal(desk->questions.count, 1);
    assert_null(template_fill(&desk->arena, "let loss = 2 %  #? loss\n", &desk->questions, &desk->out));
    assert_string_equal(desk->out.at, "let loss = 4 %  \n");
    assert_non_null(template_questions(&desk->arena, "#? loss 4 %: What is lost?\n", &desk->questions));
    memory_return_all(&desk->memory);
}

static void what_is_no_question_is_told(void **state)
{
    (void)state;
    static const char *const wrong[] = {"#? who\n", "#? who \"open: What?\n", "#? who 60 L: No question.\n", "#?\n", "#? who\n#? who 1\n",
                                        "#? a 1: What?\n#? a 2: What?\n"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        Desk *desk = enter();
        assert_non_null(template_questions(&desk->arena, wrong[i], &desk->questions));
        memory_return_all(&desk->memory);
    }
}

static void answers_take_their_places(void **state)
{
    (void)state;
    Desk *desk = enter();
    assert_null(template_questions(&desk->arena, script, &desk->questions));
    desk->questions.at[3].answer = "2027-01-02";
    assert_null(template_fill(&desk->arena, script, &desk->questions, &desk->out));
    assert_string_equal(desk->out.at,
                        "waterleaf 1\n# A thing to begin with. And more.\n"
                        "let some-body = 60 L + 160 L - 60 L  # example\nlet title = \"Some Body\"  # example\n"
                        "let wall = red-brick  # example\nlet until = 2027-01-02  \nlet text = \"#? who\"\n");
    desk->questions.at[0].answer = "O'Neil \"&\" \\ {Co}";
    desk->questions.at[1].answer = "8 L";
    desk->questions.at[2].answer = "green";
    text_clear(&desk->out);
    assert_null(template_fill(&desk->arena, script, &desk->questions, &desk->out));
    assert_string_equal(desk->out.at,
                        "waterleaf 1\n# A thing to begin with. And more.\n"
                        "let oneil-co = 8 L + 160 L - 8 L  \nlet title = \"O'Neil \\\"&\\\" \\\\ {{Co}}\"  \n"
                        "let wall = green-brick  \nlet until = 2027-01-02  \nlet text = \"#? who\"\n");
    text_clear(&desk->out);
    template_next(&desk->arena, script, &desk->questions, "it's/here", &desk->out);
    assert_string_equal(desk->out.at, "  look 'it'\\''s/here' oneil-co --wall green {other}\n");
    memory_return_all(&desk->memory);
}

static void marks_that_mean_nothing_are_told(void **state)
{
    (void)state;
    static const char *const wrong[] = {"#? a 60 L: What?\nlet b = 61 L  #? a\n", "let b = 61 L  #? a\n", "#? a \"Two\": What?\nlet b = \"Twos\"  #? a\n"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        Desk *desk = enter();
        assert_null(template_questions(&desk->arena, wrong[i], &desk->questions));
        assert_non_null(template_fill(&desk->arena, wrong[i], &desk->questions, &desk->out));
        memory_return_all(&desk->memory);
    }
}

static void texts_become_names(void **state)
{
    (void)state;
    static const struct { const char *text, *name; } made[] = {
        {"Garden Rough", "garden-rough"}, {"  Two --  Signs! ", "two-signs"}, {"300 Rough", "paper-300-rough"}, {"B\xC3\xBCtten", "b\xC3\xBCtten"},
        {"Binders' Laid", "binders-laid"}, {"../../etc/passwd", "etc-passwd"}, {"!?", "paper-1"}, {"\xE7\xB4\x99", "\xE7\xB4\x99"}, {"A\xE2\x80\x94" "B", "a-b"}};
    Desk *desk = enter();
    for (size_t i = 0; i < sizeof made / sizeof made[0]; i++) {
        assert_string_equal(template_name(&desk->arena, made[i].text), made[i].name);
    }
    memory_return_all(&desk->memory);
}

static void what_no_script_could_hold_is_refused(void **state)
{
    (void)state;
    static const struct { int question; const char *answer; bool stands; } answers[] = {
        {0, "Anything: \"#\" {}", true}, {0, "\xD7\xA9\xD7\x9C", true}, {0, "a\nb", false}, {0, "a\x1B[2J", false}, {0, "a\xE2\x80\xAE" "b", false},
        {0, "a\xFF", false}, {0, "  ", false}, {0, "", false}, {1, "80 L", true}, {1, "80 L  # no", false}, {1, "80 L:", false}, {1, "80 L\nend", false},
        {1, "\"80 L\"", false}, {2, "green", true}, {2, "gree", false}, {2, "green|red", false}, {2, "|", false}, {2, "", false}};
    Desk *desk = enter();
    assert_null(template_questions(&desk->arena, script, &desk->questions));
    for (size_t i = 0; i < sizeof answers / sizeof answers[0]; i++) {
        const char *refused = template_refuses(&desk->arena, &desk->questions.at[answers[i].question], answers[i].answer);
        assert_int_equal(refused == NULL, answers[i].stands);
    }
    char *long_one = arena_take(&desk->arena, 200);
    memset(long_one, 'a', 121);
    assert_non_null(template_refuses(&desk->arena, &desk->questions.at[0], long_one));
    long_one[120] = 0;
    assert_null(template_refuses(&desk->arena, &desk->questions.at[0], long_one));
    memory_return_all(&desk->memory);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(questions_are_found),
        cmocka_unit_test(a_later_template_tells_otherwise),
        cmocka_unit_test(what_is_no_question_is_told),
        cmocka_unit_test(answers_take_their_places),
        cmocka_unit_test(marks_that_mean_nothing_are_told),
        cmocka_unit_test(texts_become_names),
        cmocka_unit_test(what_no_script_could_hold_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
