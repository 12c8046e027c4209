/* What is worked on, where stdlib's fields and kinds would hide it: on a script that declares all of its own, whose first material is the
 * first thing and whose first value is the first that is told; and what only a message or `why` shows. */
#include "unit.h"

#include "reckoning/run.h"
#include "waterleaf.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* By hand: ten sheets take 2 kg of what is in the stuff, of which a half is paste: 10 kg of pulp and rag, as one to three. */
static const char own[] =
    "waterleaf 1\nkind mass shown in kg\nkind length shown in m\nkind count shown in sheets\nkind ratio of 1\n"
    "unit kg of mass\nunit m of length\nunit sheets of count\n"
    "fields content:\n  has material as material\n  has mass as mass\nend\n"
    "fields bill-item:\n  has material as material\n  has mass as mass\nend\n"
    "fields material:\n  has class one-of fibre, other = fibre\n  has grade one-of fine, coarse = coarse\n  has hue as ratio = 5\n  marks shiny\nend\n"
    "fields stream:\n  has hue as ratio = none\nend\n"
    "fields stuff within stream:\n  gives dry as mass = sum(m.mass, each m from contents)\nend\n"
    "fields sheet:\n  has wet as mass = none\nend\nfields parcel:\n  has grade one-of fine, coarse = coarse\nend\n"
    "fields mould:\nend\nfields mill:\nend\nfields paper:\n  has title as text\nend\n"
    "material pulp:\n  marks shiny\n  grade fine\nend\nmaterial rag:\nend\nmaterial paste:\n  class other\nend\n"
    "step dye:\n  takes what as stream\n  takes hue hue as ratio\n  sets what.hue = hue\nend\n"
    "step join:\n  joins streams into stuff\nend\n"
    "step look:\n  gives joined-hue as ratio = stuff.hue\nend\n"
    "step glue:\n  takes with agent as material\n  adds agent to stuff, 1\nend\n"
    "step form:\n  makes sheet from stuff, of 2 kg\nend\n"
    "paper plain:\n  title \"Plain\"\n  furnish:\n    pulp 25 %\n    rag 75 %\n  end\n"
    "  procedure:\n    dye pulp, hue 4\n    dye rag, hue 8\n    join\n    look\n    glue with paste\n    form\n  end\nend\n"
    "batch \"P\":\n  paper plain\n  sheets 10 sheets\nend\n"
    "reckon grades as ratio = choose(pulp is fine, 1, 0) + choose(pulp is shiny, 10, 0) + choose(rag is fine, 100, 0) + choose(rag is shiny, 1000, 0)\n"
    "reckon hues as ratio = sum(b.hue, each b from bill when b.material is pulp)\n"
    "reckon fine-parcels as ratio = count(each p from parcels when p is pulp.grade) / 1 sheets\n";

typedef struct Told { const char *name; double value; bool seen; } Told;

static void look(Told *told, const NamedQuantity *figure)
{
    if (strcmp(figure->name, told->name) == 0)
        told->seen = figure->quantity.told && fabs(figure->quantity.value - told->value) <= 1e-9;
}

static bool see(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    for (Told *told = with; told->name != NULL; told++) {
        for (uint32_t i = 0; i < outcome->figure_count; i++)
            look(told, &outcome->figures[i]);
        for (uint32_t i = 0; i < outcome->step_count; i++)
            for (uint32_t j = 0; j < outcome->steps[i].figure_count; j++)
                look(told, &outcome->steps[i].figures[j]);
    }
    return true;
}

static void first_things_are_things(void **state)
{
    (void)state;
    Told told[] = {{"joined-hue", 7, false}, {"grades", 11, false}, {"hues", 5, false}, {"fine-parcels", 0, false}, {"fibre-charge", 10, false}, {NULL, 0, false}};
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    workshop_read_text(workshop, "own.wleaf", own, sizeof own - 1);
    assert_int_equal(workshop_work_out(workshop, NULL, 0, see, told), WATERLEAF_FINE);
    const Messages *messages = workshop_messages(workshop);
    for (uint32_t i = 0; i < messages->list.count; i++)
        print_error("%s\n", messages->list.at[i].says);
    assert_int_equal(messages->list.count, 0);
    for (const Told *at = told; at->name != NULL; at++)
        if (!at->seen)
            print_error("%s is not %g\n", at->name, at->value);
    for (const Told *at = told; at->name != NULL; at++)
        assert_true(at->seen);
    workshop_close(workshop);
}

/* Stuff of which no fibre is told gives a sheet of nothing, and that is no weight to begin with, however it is asked. */
static void no_fibre_makes_nothing(void **state)
{
    (void)state;
    static const char script[] =
        "waterleaf 1\nkind mass shown in kg\nkind length shown in m\nkind count shown in sheets\nunit kg of mass\nunit m of length\n"
        "unit sheets of count\nfields content:\n  has material as material\n  has mass as mass\nend\n"
        "fields material:\n  has class one-of fibre, other = fibre\nend\n"
        "fields stream:\n  gives none-told as mass = choose(1 > 2, 1 kg, none)\nend\nfields stuff within stream:\nend\n"
        "fields sheet:\nend\nfields mould:\nend\nfields mill:\nend\nfields paper:\n  has title as text\nend\nmaterial pulp:\nend\n"
        "step join:\n  joins streams into stuff\nend\nstep form:\n  makes sheet from stuff, of part\nend\n"
        "reckon heaviest as mass = most(c.mass, each c from contents(sheet))\nsolve part as mass, so-that heaviest = 3 kg\n"
        "paper plain:\n  title \"Plain\"\n  furnish:\n    pulp 100 %\n  end\n  procedure:\n    join\n    form\n  end\nend\n";
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    workshop_read_text(workshop, "nothing.wleaf", script, sizeof script - 1);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    const Messages *messages = workshop_messages(workshop);
    assert_int_equal(messages->list.count, 1);
    assert_string_equal(messages->list.at[0].name, "solved-figure-not-told");
    workshop_close(workshop);
}

/* Where there are too many, the line of the procedure is told, and no other place. */
static void too_many_are_told_at_one_place(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    assert_int_equal(workshop_read(workshop, "tests/golden/language/too-full.wleaf"), WATERLEAF_FINE);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    const Messages *messages = workshop_messages(workshop);
    assert_int_equal(messages->list.count, 1);
    assert_int_equal(messages->list.at[0].other_count, 0);
    workshop_close(workshop);
}

/* What is weighed before the sheets are formed is of a parcel. */
static void what_is_of_a_parcel_is_told_so(void **state)
{
    (void)state;
    const char *text;
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    assert_int_equal(workshop_read(workshop, "tests/golden/flow/held.wleaf"), WATERLEAF_FINE);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    assert_int_equal(workshop_why(workshop, "held", "weigh-out of white", 0, &text), WATERLEAF_FINE);
    assert_non_null(strstr(text, "of one parcel * parcels"));
    assert_null(strstr(text, "of one sheet"));
    workshop_close(workshop);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(first_things_are_things),
        cmocka_unit_test(no_fibre_makes_nothing),
        cmocka_unit_test(too_many_are_told_at_one_place),
        cmocka_unit_test(what_is_of_a_parcel_is_told_so),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
