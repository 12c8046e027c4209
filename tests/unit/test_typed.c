/* In which unit rules tell what they found: in that in which somebody typed it, wherever that was, and else in that of its kind; and which
 * typed number a rule would change. Each line of the paper is judged by rules of this script alone. */
#include "unit.h"

#include "base/text.h"
#include "waterleaf.h"

#include <string.h>

static const char script[] =
    "waterleaf 1\n"
    "material plain-fibre:\n  class fibre\n  moisture 0 %\nend\n"
    "material stain:\n  class other\n  moisture 0 %\n  retention 100 %\nend\n"
    "mould square:\n  opening 1 m by 1 m\nend\n"
    "mill here:\n  press of 50 lb, on 24 in by 32 in, opening 20 in\n  felt 0.5 in\n  post-moved on-rollers\n  hands 3 times\nend\n"
    "fields mill:\n  has unusual as mass = 2 kg\nend\n"
    "let soak-time as duration = 100 s\n"
    "let as-ever(number as ratio) as duration = 90 s\n"
    "let soak-time-again as duration = soak-time\n"
    "let limit-typed as duration = 3600 s\n"
    /* Its third place is none that it takes. */
    "step turn:\n  role turning\n  takes for long as duration\n  takes over way as length = none\n  takes turning turns as ratio = 1\n  gives twice as duration = long * 2\n"
    "  let thrice as duration = long * 3\nend\n"
    "step turn-within:\n  role pairing\n  takes over way as length\n  takes for long as duration\n"
    "  turn for long, over way\nend\n"
    /* What it works out for itself nobody typed. */
    "step turn-half:\n  role pairing\n  takes over way as length\n  takes for long as duration\n  let half as duration = long / 2\n  turn for half\nend\n"
    "step turn-double:\n  role pairing\n  takes at first as duration\n  turn for first * 2\nend\n"
    /* What it was told outside of all steps somebody did. */
    "step turn-as-ever:\n  role pairing\n  turn for soak-time\nend\n"
    "step turn-within-again:\n  role pairing\n  takes at first as duration\n  turn-within over 1 m, for first\nend\n"
    /* What is found of each step is longer than a minute; the first place of the first step was typed in seconds. */
    "rule our-long:\n  each s from steps(turn)\n  require s.long < 1 min, severity warning\n"
    "  says \"{s.number as ratio}: {found}, {s.long}, {s.long * 1}, {s.twice}, {s.thrice}\"\nend\n"
    "rule our-let:\n  each s from steps(turn) when s.number = 2\n  let way as duration = s.long * 2\n  let other as duration = s.long * 2\n"
    "  require way < 1 min, severity warning\n  says \"{found}\"\nend\n"
    "rule our-ever:\n  require as-ever(1) < 1 min, severity warning\n  says \"{found}\"\nend\n"
    "rule our-end:\n  each s from steps(turn) when s.number = 2\n  require s.long.high < 1 min, severity warning\n  says \"{found}\"\nend\n"
    "rule our-limit:\n  each s from steps(turn) when s.number = 2\n  require s.long > limit-typed, severity warning\n  says \"{limit}\"\nend\n"
    "rule our-press:\n  require press.capacity > 1 t, severity warning\n  says \"{found}, {press.capacity}, {press.opening}, {mill.felt}, {mill.unusual}\"\nend\n"
    "rule our-turns:\n  each s from steps(turn) when s.turns is not none\n  require s.turns < 5, severity warning\n  change turns of s, within 1..9\n"
    "  says \"{found}\"\n  mend \"Turn {change.needed} times.\" else \"Nobody told it.\"\nend\n"
    "paper plain:\n  title \"Plain\"\n  mould square\n  grammage 100 g/m²\n  moisture 0 %\n  furnish:\n    plain-fibre 100 %\n  end\n  procedure:\n"
    "    turn-within over 1 m, for 130 s\n"
    "    blend\n"
    "    turn for 90 s, over 3 m\n"
    "    turn for soak-time-again\n"
    "    turn for about 110 s, between 100 s..120 s, turning 7\n"
    "    turn-within-again at 140 s\n"

    "    turn-half over 1 m, for 150 s\n"
    "    turn for 7 s\n"
    "    turn-double at 160 s\n"
    "    turn-as-ever\n"
    "    form-by-measure losing 0 %\n  end\nend\n"
    "batch \"T\":\n  paper plain\n  mill here\n  sheets 10\nend\n";

/* Hours and grams are the units of their kinds; minutes that of the limit. Steps 2 and 9 were typed outside of them, 11 and 14 were worked out. */
static const char must[] =
    "our-ever 1.5 min \n"
    "our-press 50 lb, 50 lb, 20 in, 0.5 in, 2000 g \n"
    "our-long 2: 130 s, 130 s, 0.03611 h, 0.07222 h, 0.1083 h \n"
    "our-let 4.333 min \n"
    "our-end 2.167 min \n"
    "our-limit 3600 s \n"
    "our-long 4: 90 s, 90 s, 0.025 h, 0.05 h, 0.075 h \n"
    "our-long 5: 100 s, 100 s, 0.02778 h, 0.05556 h, 0.08333 h \n"
    "our-long 6: 110 s, 110 s, 0.03056 h, 0.06111 h, 0.09167 h \n"
    "our-turns 7 Turn 4.9 times.\n"
    "our-long 9: 140 s, 140 s, 0.03889 h, 0.07778 h, 0.1167 h \n"
    "our-long 11: 1.25 min, 0.02083 h, 0.02083 h, 0.04167 h, 0.0625 h \n"
    "our-long 14: 5.333 min, 0.08889 h, 0.08889 h, 0.1778 h, 0.2667 h \n"
    "our-long 16: 100 s, 100 s, 0.02778 h, 0.05556 h, 0.08333 h \n";

static void found_is_told_as_it_was_typed(void **state)
{
    (void)state;
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    assert_non_null(workshop);
    assert_int_equal(workshop_read_text(workshop, "typed.wleaf", script, strlen(script)), WATERLEAF_FINE);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    const Messages *messages = workshop_messages(workshop);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        if (strncmp(message->name, "our-", 4) == 0 || message->severity == SEVERITY_ERROR) {
            text_print(&text, "%s %s %s\n", message->name, message->says, message->mend);
        }
    }
    assert_string_equal(text.at == NULL ? "" : text.at, must);
    workshop_close(workshop);
    memory_return_all(&memory);
}

/* A table tells the number that it does not reach with four digits, in the unit of its kind. */
static void a_table_tells_what_it_does_not_reach(void **state)
{
    (void)state;
    static const char with_table[] =
        "waterleaf 1\ntable own of length as share:\n  row 1 mm 10 %\n  row 3 mm 30 %\nend\nreckon held as share = own(3.25 mm)\n"
        "mould square:\n  opening 1 m by 1 m\nend\n"
        "paper plain:\n  title \"Plain\"\n  mould square\n  grammage 100 g/m²\n  furnish:\n    cotton-linters 100 %\n  end\n"
        "  procedure:\n    blend\n    form-by-measure\n  end\nend\n";
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    assert_non_null(workshop);
    assert_int_equal(workshop_read_text(workshop, "table.wleaf", with_table, strlen(with_table)), WATERLEAF_FINE);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    assert_int_equal(workshop_messages(workshop)->errors, 1);
    assert_string_equal(workshop_messages(workshop)->list.at[0].says, "The table own does not reach to 3.25 mm.");
    workshop_close(workshop);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(found_is_told_as_it_was_typed), cmocka_unit_test(a_table_tells_what_it_does_not_reach)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
