/* What the workshop answers of scripts that are in order, have errors, or get some when they are worked out. */
#include "unit.h"

#include "waterleaf.h"

#include <string.h>

#define PAPER(amount) \
    "waterleaf 1\nmould m:\n  opening 300 mm by 420 mm\nend\nmill here:\n  chest of 400 L\n  vat of 120 L\n  parcel 50 sheets\nend\n" \
    "paper plain:\n  title \"Plain\"\n  mould m\n  grammage 100 g/m²\n  furnish:\n    linen-rag 100 %\n  end\n" \
    "  procedure:\n    blend\n    form-by-measure losing " amount "\n    press at 300 kPa\n    loft-dry for 1 d\n  end\nend\n" \
    "batch \"P\":\n  paper plain\n  mill here\n  sheets 10\nend\n"

static WaterleafAnswer ask(Workshop *workshop, const char *script, const char *figure, const char **text)
{
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    assert_int_equal(workshop_read_text(workshop, "asked.wleaf", script, strlen(script)), WATERLEAF_FINE);
    return workshop_why(workshop, "P", figure, 0, text);
}

static void why_says_when_there_is_no_answer(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    assert_non_null(workshop);
    const char *text = NULL;
    assert_int_equal(ask(workshop, PAPER("1 %"), "jug", &text), WATERLEAF_FINE);
    assert_non_null(strstr(text, "jug of form-by-measure"));
    assert_string_equal(workshop_trouble(workshop), "");
    /* an error of the script */
    assert_int_equal(ask(workshop, PAPER("1 xyz"), "jug", &text), WATERLEAF_ERRORS);
    assert_string_equal(text, "");
    assert_true(strlen(workshop_trouble(workshop)) > 0);
    assert_true(workshop_messages(workshop)->errors > 0);
    /* one that is found when it is worked out: all is lost, nothing can be charged */
    assert_int_equal(ask(workshop, PAPER("100 %"), "jug", &text), WATERLEAF_ERRORS);
    assert_string_equal(text, "");
    assert_true(workshop_messages(workshop)->errors > 0);
    /* and a name that is none */
    assert_int_equal(ask(workshop, PAPER("1 %"), "no-such-figure", &text), WATERLEAF_NO_NAME);
    assert_string_equal(text, "");
    workshop_close(workshop);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(why_says_when_there_is_no_answer),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
