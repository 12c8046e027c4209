/* What steps do and say, where no amount of a golden script tells it: what is said of a mistake, and that it is said once; how long lines of a
 * procedure take; their sentences, readings and cautions; what is weighed for each parcel. Worked by hand: twenty sheets of 40 g are two parcels. */
#include "cases.h"

#include "../check.h"

#include "waterleaf.h"

#include <math.h>
#include <string.h>

/* Of an invented mill that forms its sheets by the jug. */
static const char steps[] =
    "waterleaf 1\n"
    "material plain-fibre:\n  class fibre\n  moisture 0 %%\n  shrink 0 %%\nend\n"
    "material chaff:\n  class other\n  moisture 0 %%\nend\n"
    "material lost-salt:\n  class other\n  moisture 0 %%\n  retention -40 %%\nend\n"
    "material soda:\n  class other\n  moisture 0 %%\nend\n"
    "material wax:\n  class other\n  moisture 0 %%\nend\n"
    "caution slippery:\n  signal caution\n  says \"Slippery.\"\nend\n"
    "mould square:\n  opening 1 m by 1 m\nend\n"
    "mill here:\n  vat of 100 L\n  pot of 10 L\n  parcel 10 sheets\nend\n"
    "step lose-share:\n  takes what as stream\n  takes part as share\n  loses part from what\nend\n"
    "step lose-stuff:\n  takes part as share\n  loses part from stuff\nend\n"
    "step lose-sheet:\n  takes part as share\n  loses part from sheet\nend\n"
    "step spoil:\n  takes part as share\n  spoils part\nend\n"
    "step use:\n  takes what as material\n  takes amount as dry-mass\n  uses what, amount\nend\n"
    "step dose:\n  takes with agent as material\n  takes of part as dose = none\n  adds agent to stuff, part\nend\n"
    "step tint:\n  takes with agent as material\n  takes of part as dose = 2 %% on fibre practice\n  adds agent to stuff, part\nend\n"
    "step brush:\n  takes with agent as material\n  adds agent to sheet, (1 g as material-mass)\nend\n"
    "step keep:\n  takes amount as fibre-mass\n  holds-back amount from stuff\nend\n"
    "step see-strained:\n  needs stuff is strained\nend\n"
    "step see-two:\n  needs stuff is strained else \"strain it\"\n  needs stuff is coloured else \"colour it\"\nend\n"
    "step idle:\n  takes how-long as duration = none\n  waits for how-long\nend\n"
    "step turn:\n  occupies vat, for 3 h\n  occupies vat, for 1 h\n  waits for 2 h\nend\n"
    "step turn-slowly:\n  occupies vat, for 1 h\n  waits for 2 h\n  waits for 30 min\nend\n"
    "step stand:\n  takes how-long as duration = none\n  occupies vat, for how-long\nend\n"
    "step at-pace:\n  takes pace as rate\n  occupies vat, at pace\nend\n"
    "step in-parts:\n  idle 1 h\n  idle 2 h\n  turn\n  turn-slowly\nend\n"
    "step watch:\n  takes at bath as temperature = none\n  takes of of-what as caution = none\n  let warm as temperature = bath\n"
    "  let aim as temperature = bath ± 2 K\n  let word as text = \"cold\"\n  reads \"as told\", expecting bath\n  reads \"by its name\", expecting warm\n"
    "  reads \"within\", expecting bath ± 2 K\n  reads \"its aim\", expecting aim\n  reads \"between\", expecting 20..30 °C\n"
    "  reads \"in words\", expecting word, signed\n  reads \"whatever it is\"\n  tells \"It is {bath}, {warm}: {word}.\"\n  cautions of-what\n  cautions stuff\nend\n"
    "step join-all:\n  joins streams into stuff\nend\n"
    "step form-by-jug:\n  role forming\n  takes dry as fibre-mass\n  takes pace as rate = none\n  makes sheet from stuff, of dry\n"
    "  sets sheet.length = mould.opening.length\n  sets sheet.width = mould.opening.width\n  sets sheet.moisture = (0 %% as moisture)\n"
    "  occupies vat, at pace\nend\n"
    "paper plain:\n  title \"Plain\"\n  grammage none\n  mould square\n  moisture 0 %%\n  furnish:\n    plain-fibre 50 %%\n    %s 50 %%, as rest\n  end\n"
    "  procedure:\n%s    join-all\n%s    form-by-jug 40 g, 5 sheets/h\n%s  end\nend\n"
    "batch \"P\":\n  paper plain\n  mill here\n  sheets 20\nend\n";

/* Reads the script with LINES of the procedure in front of the stuff, of the sheets, and behind them, and works it out. */
static void work_out(Workshop *workshop, const char *rest, const char *const lines[3], WaterleafShow *show, void *with)
{
    char text[8192];
    int length = snprintf(text, sizeof text, steps, rest, lines[0], lines[1], lines[2]);
    assert_in_range(length, 1, sizeof text - 1);
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    workshop_read_text(workshop, "steps.wleaf", text, (size_t)length);
    workshop_work_out(workshop, NULL, 0, show, with);
}

/* ---- what is said ---- */

typedef struct Mistake { const char *lines[3], *name, *says; } Mistake;

static const Mistake mistakes[] = {
    {{"", "", ""}, "", ""},
    {{"    lose-share rest, 100 %\n", "", ""}, "nothing-left", "100 % of rest"},
    {{"", "    lose-stuff 100 %\n", ""}, "nothing-left", "100 % of stuff"},
    {{"", "", "    lose-sheet 120 %\n"}, "nothing-left", "120 % of sheet"},
    {{"", "    lose-share rest, 1 %\n", ""}, "no-longer-there", "rest is no longer there: it has become stuff"},
    {{"", "", "    lose-stuff 1 %\n"}, "no-longer-there", "stuff is no longer there: it has become sheets"},
    {{"", "    dose with soda, of -3 %\n", ""}, "less-than-nothing", "-3 % cannot be added"},
    {{"", "    dose with lost-salt, of 10 %\n", ""}, "less-than-nothing", "-40 % cannot be kept in the sheet"},
    {{"", "    use soda, -3 g\n", ""}, "less-than-nothing", "-3 g cannot be used"},
    {{"", "    see-strained\n", ""}, "missing-step", "stuff is strained"},
    /* each of these stands on two lines, or twice in one: what comes behind the first is not looked at */
    {{"    lose-stuff 1 %\n    lose-stuff 1 %\n", "", ""}, "not-there", "stuff is not there"},
    {{"", "    lose-share rest, 1 %\n    lose-share rest, 1 %\n", ""}, "no-longer-there", "rest"},
    {{"", "    spoil 1 %\n    spoil 1 %\n", ""}, "no-sheets-yet", ""},
    {{"", "    see-two\n    see-two\n", ""}, "missing-step", "strain it"},
    {{"", "    use soda, -3 g\n    use soda, -3 g\n", ""}, "less-than-nothing", ""},
    {{"", "    dose with soda\n    dose with soda\n", ""}, "amount-not-told", "part"},
    {{"", "", "    form-by-jug 40 g\n    form-by-jug 40 g\n"}, "formed-twice", ""},
};

static bool count_one(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop, (void)outcome;
    ++*(unsigned *)with;
    return true;
}

static bool is_said(Workshop *workshop, const void *one)
{
    const Mistake *at = one;
    unsigned worked_out = 0;
    work_out(workshop, "plain-fibre", at->lines, count_one, &worked_out);
    const Messages *messages = workshop_messages(workshop);
    bool none = at->name[0] == '\0';
    bool fine = messages->errors == !none && worked_out == none;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        fine = fine && (message->severity != SEVERITY_ERROR || (strcmp(message->name, at->name) == 0 && strstr(message->says, at->says) != NULL));
        if (!fine)
            print_error("%s, wanted is %s: %s\n", message->name, at->name, message->says);
    }
    return fine;
}

static void a_mistake_is_said_once(void **state)
{
    (void)state;
    cases_hold(true, is_said, mistakes);
}

/* Of stuff without fibre nothing is formed, whatever is kept of it. */
static void without_fibre_nothing_is_formed(void **state)
{
    (void)state;
    char text[8192];
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    int length = snprintf(text, sizeof text, steps, "chaff", "", "    keep 0 g\n", "");
    char *first = strstr(text, "    plain-fibre 50");
    assert_non_null(first);
    memcpy(first, "    chaff       50", 18);
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    unsigned worked_out = 0;
    workshop_read_text(workshop, "steps.wleaf", text, (size_t)length);
    workshop_work_out(workshop, NULL, 0, count_one, &worked_out);
    assert_int_equal(worked_out, 0);
    assert_int_equal(workshop_messages(workshop)->errors, 1);
    assert_string_equal(workshop_messages(workshop)->list.at[0].name, "charge-not-found");
    workshop_close(workshop);
}

/* A step has 256 lines that do something, and 96 places for values: one for what nobody asks for, one for what is told, each of 48 lets has one, and
 * what 46 of them count another. On the last let, which is a fifth as was told, the last line rests; in each line between a hundredth is lost. With
 * one line more it is refused. */
static void write_long_step(Page *page, unsigned lines)
{
    page_print(page, "\nstep long:\n  takes at idle as share = none\n  takes of part as share\n  let n-0 as share = part\n");
    for (unsigned i = 1; i < 47; i++)
        page_print(page, "  let n-%u as share = choose(count(each c from contents(stuff)) > 50, 0 %%, n-%u)\n", i, i - 1);
    page_print(page, "  let spare as share = 1 %%\n");
    for (unsigned i = 49; i < lines; i++)
        page_print(page, "  loses 1 %% from stuff\n");
    page_print(page, "  loses n-46 from stuff\nend\n");
}

static bool see_charge(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    for (uint32_t i = 0; i < outcome->figure_count; i++)
        if (strcmp(outcome->figures[i].name, "fibre-charge") == 0)
            *(double *)with = outcome->figures[i].quantity.value;
    return true;
}

static void a_step_may_be_long(void **state)
{
    (void)state;
    for (unsigned lines = 256; lines <= 257; lines++) {
        Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
        assert_non_null(workshop);
        Page page = {0};
        page_print(&page, steps, "plain-fibre", "", "    long of 20 %\n", "");
        write_long_step(&page, lines);
        double charge = 0;
        workshop_read_text(workshop, "steps.wleaf", page.at, page.length);
        workshop_work_out(workshop, NULL, 0, see_charge, &charge);
        const Messages *messages = workshop_messages(workshop);
        assert_string_equal(messages->list.count == 0 ? "" : messages->list.at[0].name, lines == 256 ? "" : "too-deep");
        assert_int_equal(messages->list.count, lines - 256);
        assert_true(lines == 256 ? fabs(charge - 0.4 / (0.8 * pow(0.99, 207))) < 1e-12 : charge == 0);
        free(page.at);
        workshop_close(workshop);
    }
}

/* ---- how long ---- */

typedef struct Hours { const char *step; double begins, ends; bool of_parcel; } Hours;

/* The longest of what occupies a vessel, or all that is waited for. A pace in front of the sheets is of a parcel's ten, behind them of all twenty. */
static const Hours hours[] = {
    {"idle", 0, 0, true}, {"idle", 0, 4, true}, {"turn", 4, 7, true}, {"turn-slowly", 7, 9.5, true}, {"stand", 9.5, 9.5, true}, {"stand", 9.5, 10, true},
    {"at-pace", 10, 12, true}, {"at-pace", 12, 12, true}, {"join-all", 12, 12, true}, {"in-parts", 12, 19.5, true}, {"form-by-jug", 19.5, 21.5, true},
    {"at-pace", 21.5, 25.5, false}, {"at-pace", 25.5, 65.5, false}, {"idle", 65.5, 66.5, false},
};

static bool see_hours(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    bool fine = outcome->step_count == sizeof hours / sizeof *hours;
    for (uint32_t i = 0; fine && i < outcome->step_count; i++) {
        const StepOutcome *step = &outcome->steps[i];
        fine = strcmp(step->step, hours[i].step) == 0 && fabs(step->begins - hours[i].begins) < 1e-9 && fabs(step->ends - hours[i].ends) < 1e-9
            && step->of_parcel == hours[i].of_parcel;
        if (!fine)
            print_error("%s: from %.9g to %.9g h, %s\n", step->step, step->begins, step->ends, step->of_parcel ? "for each parcel" : "once");
    }
    *(bool *)with = fine;
    return true;
}

static void lines_take_their_time(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    const char *lines[3] = {"    idle\n    idle 4 h\n    turn\n    turn-slowly\n    stand\n    stand 30 min\n    at-pace 5 sheets/h\n    at-pace 0 sheets/h\n",
                            "    in-parts\n", "    at-pace 5 sheets/h\n    at-pace 0.5 sheets/h\n    idle 1 h\n"};
    bool fine = false;
    work_out(workshop, "plain-fibre", lines, see_hours, &fine);
    assert_int_equal(workshop_messages(workshop)->list.count, 0);
    assert_true(fine);
    workshop_close(workshop);
}

/* A walk is counted; and what it notes of its lines is given back when the next one begins, so that hardly more is held after two hundred variants
 * than after one hundred: its name, not its fourteen readings. */
typedef struct Held { unsigned count; size_t at; uint64_t walks; } Held;

static bool see_held(void *with, Workshop *workshop, const Outcome *outcome)
{
    Held *held = with;
    uint64_t walks = workshop_walks(workshop);
    assert_in_range(walks - held->walks, 2, 100);
    assert_int_equal(outcome->steps[0].read_count, 7);
    held->walks = walks;
    if (++held->count == 100)
        held->at = workshop_most_held(workshop);
    return true;
}

static void walks_hold_no_more(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    Page page = {0};
    page_print(&page, steps, "plain-fibre", "", "", "");
    page.length = (size_t)(strstr(page.at, "paper plain:") - page.at);
    page_print(&page, "paper many:\n  title \"Many {turning}\"\n  grammage none\n  mould square\n  moisture 0 %%\n  vary turning over 100 min");
    for (unsigned i = 1; i < 200; i++)
        page_print(&page, ", %u min", 100 + i);
    page_print(&page, "\n  furnish:\n    plain-fibre 100 %%\n  end\n  procedure:\n    watch at 40 °C, of slippery\n    watch at 41 °C, of slippery\n"
                      "    idle turning\n    join-all\n    form-by-jug 40 g\n  end\nend\n");
    Held held = {0};
    workshop_read_text(workshop, "steps.wleaf", page.at, page.length);
    workshop_work_out(workshop, NULL, 0, see_held, &held);
    assert_int_equal(workshop_messages(workshop)->list.count, 0);
    assert_int_equal(held.count, 200);
    assert_in_range(workshop_most_held(workshop) - held.at, 0, 100 * 100);
    free(page.at);
    workshop_close(workshop);
}

/* ---- what is told and read ---- */

typedef struct Read { const char *what, *expected; bool is_signed; double low, high; } Read;

static const Read not_told[] = {
    {"as told", NULL, false, 0, 0}, {"by its name", NULL, false, 0, 0}, {"within", NULL, false, 0, 0}, {"its aim", NULL, false, 0, 0},
    {"between", "20 to 30 °C", false, 20, 30}, {"in words", "cold", true, 0, 0}, {"whatever it is", NULL, false, 0, 0},
};
static const Read told[] = {
    {"as told", "40 °C", false, 40, 40}, {"by its name", "40 °C", false, 40, 40}, {"within", "38 to 42 °C", false, 38, 42}, {"its aim", "40 °C", false, 40, 40},
    {"between", "20 to 30 °C", false, 20, 30}, {"in words", "cold", true, 0, 0}, {"whatever it is", NULL, false, 0, 0},
};

static bool reads(const StepOutcome *step, const Read *wanted)
{
    bool fine = step->read_count == 7;
    for (uint32_t i = 0; fine && i < 7; i++) {
        const Reading *reading = &step->reads[i];
        bool window = wanted[i].high != 0;
        fine = strcmp(reading->what, wanted[i].what) == 0 && reading->is_signed == wanted[i].is_signed && reading->window.told == window
            && reading->window.marks == 0 && (wanted[i].expected == NULL) == (reading->expected == NULL)
            && (reading->expected == NULL || strcmp(reading->expected, wanted[i].expected) == 0)
            && (!window || (fabs(reading->window.low - 273.15 - wanted[i].low) < 1e-9 && fabs(reading->window.high - 273.15 - wanted[i].high) < 1e-9));
        if (!fine)
            print_error("%s: %s, from %.9g to %.9g, marks %x\n", reading->what, reading->expected == NULL ? "nothing" : reading->expected,
                        reading->window.low, reading->window.high, reading->window.marks);
    }
    return fine;
}

static bool see_told(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    assert_int_equal(outcome->step_count, 4);
    const StepOutcome *first = &outcome->steps[0], *second = &outcome->steps[1];
    assert_true(reads(first, not_told));
    assert_true(reads(second, told));
    assert_int_equal(first->tell_count, 1);
    assert_int_equal(second->tell_count, 1);
    assert_string_equal(second->tells[0], "It is 40 °C, 40 °C: cold.");
    assert_int_equal(first->caution_count, 0);
    assert_int_equal(second->caution_count, 1);
    assert_string_equal(second->cautions[0].name, "slippery");
    *(bool *)with = true;
    return true;
}

static void steps_tell_what_they_were_told(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    const char *lines[3] = {"    watch\n    watch at 40 °C, of slippery\n", "", ""};
    bool seen = false;
    work_out(workshop, "plain-fibre", lines, see_told, &seen);
    assert_int_equal(workshop_messages(workshop)->list.count, 0);
    assert_true(seen);
    workshop_close(workshop);
}

/* ---- what is weighed ---- */

/* What is used once for all is weighed once, in whatever order, and of what is used for each parcel so much for each. */
static bool see_weighed(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    static const struct { const char *material; double dry; bool by_parcel; } wanted[] = {
        {"plain-fibre", 800, true}, {"chaff", 80, true}, {"soda", 13, false}, {"wax", 20, false}, {"lost-salt", 4, true},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        bool fine = false;
        for (uint32_t j = 0; j < outcome->weigh_count; j++) {
            const WeighLine *line = &outcome->weigh[j];
            fine = fine || (strcmp(line->material, wanted[i].material) == 0 && fabs(line->dry.value * 1000 - wanted[i].dry) < 1e-9
                            && line->by_parcel == wanted[i].by_parcel);
        }
        if (!fine)
            print_error("%s is not weighed so\n", wanted[i].material);
        assert_true(fine);
    }
    *(bool *)with = true;
    return true;
}

static void what_is_weighed_once_is_weighed_once(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    const char *lines[3] = {"", "    dose with chaff, of 10 %\n    use soda, 5 g\n    use lost-salt, 2 g\n", "    use soda, 3 g\n    brush with wax\n"};
    bool seen = false;
    work_out(workshop, "plain-fibre", lines, see_weighed, &seen);
    assert_int_equal(workshop_messages(workshop)->list.count, 0);
    assert_true(seen);
    workshop_close(workshop);
}

/* Why it is so much is told down to what was typed: of a dose, and of one that the step has of itself. */
static void what_was_told_is_told_why(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    const char *lines[3] = {"", "    dose with chaff, of 10 %\n    tint with soda\n", ""}, *text;
    work_out(workshop, "plain-fibre", lines, see_charge, &(double){0});
    assert_int_equal(workshop_why(workshop, "P", "dry-mass of chaff", 0, &text), WATERLEAF_FINE);
    assert_non_null(strstr(text, "part is 10 %, typed"));
    assert_int_equal(workshop_why(workshop, "P", "dry-mass of soda", 0, &text), WATERLEAF_FINE);
    assert_non_null(strstr(text, "part is 2 % on fibre, left out, so the script's own default"));
    workshop_close(workshop);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_mistake_is_said_once),
        cmocka_unit_test(without_fibre_nothing_is_formed),
        cmocka_unit_test(a_step_may_be_long),
        cmocka_unit_test(lines_take_their_time),
        cmocka_unit_test(walks_hold_no_more),
        cmocka_unit_test(steps_tell_what_they_were_told),
        cmocka_unit_test(what_is_weighed_once_is_weighed_once),
        cmocka_unit_test(what_was_told_is_told_why),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
