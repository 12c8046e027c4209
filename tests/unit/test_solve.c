/* The solves where they have no answer, or come to it by a detour: formulas that jump, fall or are not told. A sheet of a square metre of
 * fibre without water weighs what it holds. */
#include "cases.h"

#include "../check.h"

#include "reckoning/run.h"
#include "waterleaf.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct Case {
    const char *what;
    const char *formula;   /* of finished-grammage; "": as stdlib has it */
    const char *steps;     /* between the stuff and the sheets */
    const char *forming;
    const char *paper;     /* further lines of the paper */
    const char *mill;
    const char *said;      /* the one error; "": none */
    double fibre, charge;  /* in a sheet, and for a parcel, g; 0: whatever it is */
    const char *text;      /* what is said holds this, or what would do is this; NULL: whatever it is */
} Case;

static const char script[] =
    "waterleaf 1\n"
    "material plain-fibre:\n  class fibre\n  moisture 0 %%\nend\n"
    "mould square:\n  opening 1 m by 1 m\nend\n"
    "mill here:\n  vat of 100 L\n%s\nend\n"
    "step lose:\n  takes share as share\n  loses share from stuff\nend\n"
    "step lose-much:\n  loses choose(stuff.fibre > 1.2 kg, 99 %%, 1 %%) from stuff\nend\n"
    "step lose-little:\n  loses choose(stuff.fibre > 1.2 kg, 5 %%, 50 %%) from stuff\nend\n"
    "step lose-some:\n  loses choose(stuff.fibre > 30 kg, 98 %%, 50 %%) from stuff\nend\n"
    "step lose-to:\n  loses (1 - 0.5 kg / stuff.fibre as share) from stuff\nend\n"
    "step lose-below:\n  takes least as fibre-mass\n  loses choose(stuff.fibre > least or stuff.fibre < 2 kg, 0 %%, 100 %%) from stuff\nend\n"
    "step spoil:\n  takes share as share\n  spoils share\nend\n"
    "step measure:\n  role forming\n  takes dry as fibre-mass\n  makes sheet from stuff, of dry\n  sets sheet.length = mould.opening.length\n"
    "  sets sheet.width = mould.opening.width\n  sets sheet.moisture = (0 %% as moisture)\n  sets sheet.as-formed = sheet.dry\nend\n"
    "reckon formed-in as count = sum(s.number, each s from steps(forming))\n"
    "%s\n"
    "paper plain:\n  title \"Plain\"\n%s\n  mould square\n  moisture 0 %%\n  furnish:\n    plain-fibre %s\n  end\n"
    "  procedure:\n    blend\n%s\n    %s\n  end\nend\n"
    "batch \"P\":\n  paper plain\n  mill here\n  sheets 10\nend\n";

#define GRAMMAGE "  grammage 100 g/m²"
#define FORM "form-by-measure losing 0 %"
#define HELD "(sheet.fibre / 1 m² as grammage)"

static const Case cases[] = {
    {"as it is", "", "", FORM, GRAMMAGE, "", "", 100, 1000, NULL},
    {"a straight line from nought", HELD, "", FORM, GRAMMAGE, "", "", 100, 1000, NULL},
    {"a line that does not begin at nought", HELD " * 2 - 50 g/m²", "", FORM, GRAMMAGE, "", "", 75, 750, NULL},
    {"so steep that no fibre weighs it exactly", HELD " * 1_000_000 - 99_999_900 g/m²", "", FORM, GRAMMAGE, "", "", 100, 1000, NULL},
    {"not told", "none", "", FORM, GRAMMAGE, "", "solved-figure-not-told", 0, 0, NULL},
    {"nothing", "0 g/m²", "", FORM, GRAMMAGE, "", "solved-figure-not-told", 0, 0, NULL},
    {"the same whatever is in it", "200 g/m²", "", FORM, GRAMMAGE, "", "no-answer", 0, 0, NULL},
    {"less, the more is in it", "300 g/m² - " HELD, "", FORM, GRAMMAGE, "", "", 200, 2000, NULL},
    {"a jump past the aim", "choose(sheet.fibre > 70 g, 150 g/m², 50 g/m²)", "", FORM, GRAMMAGE, "", "no-answer", 0, 0, NULL},
    {"a jump to and fro about the aim", HELD " + choose(sheet.fibre > 100 g, 5 g/m², (0 - 5) * 1 g/m²)", "", FORM, GRAMMAGE, "", "no-answer", 0, 0, NULL},
    {"measured, and right", "", "", "measure 100 g", GRAMMAGE, "", "", 0, 1000, NULL},
    {"measured, within what the mean may be off", "", "", "measure 104 g", GRAMMAGE, "", "", 104, 1040, NULL},
    {"measured, and too much", "", "", "measure 106 g", GRAMMAGE, "", "grammage-not-met", 0, 0, NULL},
    {"measured, and not told what it weighs", "none", "", "measure 100 g", GRAMMAGE, "", "", 0, 1000, NULL},
    {"measured, and it weighs nothing", "0 g/m²", "", "measure 100 g", GRAMMAGE, "", "", 0, 1000, NULL},
    {"measured, and no measure would do", "choose(sheet.fibre > 70 g, 150 g/m², 50 g/m²)", "", "measure 100 g", GRAMMAGE, "", "grammage-not-met", 0, 0, NULL},
    {"measured, and less would weigh more", "300 g/m² - " HELD, "", "measure 100 g", GRAMMAGE, "", "grammage-not-met", 0, 0, NULL},
    {"measured, and it jumps to and fro", HELD " + choose(sheet.fibre > 100 g, 9 g/m², (0 - 9) * 1 g/m²)", "", "measure 101 g", GRAMMAGE, "",
     "grammage-not-met", 0, 0, NULL},
    {"measured, and no aim is told", "", "", "measure 100 g", "  grammage none", "", "", 0, 1000, NULL},
    {"no aim is told", "", "", FORM, "  grammage none", "", "solved-figure-not-told", 0, 0, NULL},
    {"a tenth is lost", "", "lose 10 %", FORM, GRAMMAGE, "", "", 100, 1000 / 0.9, NULL},
    {"all is lost", "", "lose 100 %", FORM, GRAMMAGE, "", "nothing-left", 0, 0, NULL},
    {"much is lost of what is more than enough", "", "lose-much", FORM, GRAMMAGE, "", "", 100, 100000, NULL},
    {"half is lost of what would be enough, nothing of more", "", "lose-little", FORM, GRAMMAGE, "", "charge-not-found", 0, 0, NULL},
    {"all is lost of what would be enough, and of more", "", "lose-some", FORM, GRAMMAGE, "", "charge-not-found", 0, 0, NULL},
    {"parcels of no sheets are none", "", "", FORM, GRAMMAGE, "  parcel 0 sheets", "", 100, 1000, NULL},
    {"parcels of four", "", "", FORM, GRAMMAGE, "  parcel 4 sheets", "", 100, 400, NULL},
    {"parcels of one", "", "", FORM, GRAMMAGE, "  parcel 1 sheets", "", 100, 100, NULL},
    {"parcels of half a sheet are none", "", "", FORM, GRAMMAGE, "  parcel 0.5 sheets", "", 100, 1000, NULL},
    {"three and a half times what the first walk told", HELD " * 0.03 + 90 g/m²", "", FORM, GRAMMAGE, "", "", 1000.0 / 3, 10000.0 / 3, NULL},
    {"more than four times what the first walk told", HELD " * 0.0204545 + 90 g/m²", "", FORM, GRAMMAGE, "", "no-answer", 0, 0, NULL},
    {"measured, and just within what the mean may be off", "", "", "measure 105 g", GRAMMAGE, "", "", 105, 1050, NULL},
    {"measured, and a tenth too much", "", "", "measure 110 g", GRAMMAGE, "", "grammage-not-met", 110, 1100, "100 g"},
    {"measured, and too little", "", "", "measure 50 g", GRAMMAGE, "", "grammage-not-met", 50, 500, "100 g"},
    {"measured, and the line does not begin at nought", HELD " * 2 - 50 g/m²", "", "measure 100 g", GRAMMAGE, "", "grammage-not-met", 100, 1000, "75 g"},
    {"measured, and no measure would do, whatever it is", "choose(sheet.fibre > 70 g, 150 g/m², 50 g/m²)", "", "measure 100 g", GRAMMAGE, "", "grammage-not-met", 0, 0, ""},
    {"no answer at one end of what is not well known", HELD " + (about 20 g/m², between 10..150 g/m²)", "", FORM, GRAMMAGE, "", "", 80, 800, NULL},
    {"the same is left whatever is charged", "", "lose-to", FORM, GRAMMAGE, "", "charge-not-found", 0, 0, NULL},
    {"all is lost of two kilograms up to a hundred thousand tonnes", "", "lose-below 100_000_000 kg", FORM, GRAMMAGE, "", "", 100, 1000, NULL},
    {"all is lost of two kilograms up to a million tonnes", "", "lose-below 1_000_000_000 kg", FORM, GRAMMAGE, "", "nothing-left", 0, 0, NULL},
    {"what shares come to is told", "", "", FORM, GRAMMAGE, "", "furnish-not-whole", 0, 0, "60 %"},
    {"and told so far that it is not the whole", "", "", FORM, GRAMMAGE, "", "furnish-not-whole", 0, 0, "99.9990 %"},
    {"the same where it is more than the whole", "", "", FORM, GRAMMAGE, "", "furnish-not-whole", 0, 0, "100.050 %"},
    {"and where two decimals are enough", "", "", FORM, GRAMMAGE, "", "furnish-not-whole", 0, 0, "99.7 %"},
    {"what is left is told to a ten-thousandth", "", "", FORM "\n    spoil 99.9999 %", GRAMMAGE, "", "too-few-survive", 0, 0, "0.0001 %"},
    {"measured, and nothing", "", "", "measure 0 g", GRAMMAGE, "", "charge-not-found", 0, 0, NULL},
};

/* Sheets are whole; what misses a whole number by less than doubles can tell of is that number. */
static void counts_are_rounded_up(void **state)
{
    (void)state;
    assert_true(run_round_up(12) == 12);
    assert_true(run_round_up(12 + 1e-12) == 12);
    assert_true(run_round_up(12 - 1e-12) == 12);
    assert_true(run_round_up(12 + 1e-9) == 13);
    assert_true(run_round_up(12.5) == 13 && run_round_up(11.001) == 12);
    assert_true(run_round_up(0) == 0);
    assert_true(run_equal(1, 1 + 1e-13) && run_equal(-1, -1 - 1e-13) && !run_equal(1, 1 + 1e-11) && !run_equal(1, -1) && run_equal(0, 0));
    assert_false(run_equal(3, INFINITY) || run_equal(-INFINITY, 3) || run_equal(INFINITY, -INFINITY));
}

typedef struct Seen { double fibre, charge, weighed, formed_in; unsigned count, steps, told; char shown[96]; } Seen;

static bool see(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Seen *seen = with;
    seen->count++;
    seen->steps += outcome->step_count;
    for (uint32_t i = 0; i < outcome->step_count; i++)
        seen->told += outcome->steps[i].tell_count;
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        const NamedQuantity *figure = &outcome->figures[i];
        const Quantity *quantity = &figure->quantity;
        assert_false(quantity->told && (quantity->low > quantity->value || quantity->high < quantity->value));
        if (strcmp(figure->name, "sheets-good") == 0 || strcmp(figure->name, "parcels") == 0 || strcmp(figure->name, "fibre-charge") == 0)
            snprintf(seen->shown + strlen(seen->shown), sizeof seen->shown - strlen(seen->shown), "%s; ", figure->quantity.shown);
        if (strcmp(figure->name, "fibre-per-sheet") == 0)
            seen->fibre = figure->quantity.value * 1000;
        if (strcmp(figure->name, "dry-mass") == 0)
            seen->weighed += figure->quantity.value * 1000;
        if (strcmp(figure->name, "formed-in") == 0)
            seen->formed_in = figure->quantity.value;
        if (strcmp(figure->name, "fibre-charge") == 0)
            seen->charge = figure->quantity.value * 1000;
    }
    return true;
}

static bool near(double one, double other) { return other == 0 || fabs(one - other) <= 1e-9 * other; }

/* Where there is no answer the second place is the line that tells the aim. */
static bool points_at_aim(const Workshop *workshop, const Message *message)
{
    const char *there = message->other_count == 0 ? "" : sources_bytes(&workshop_world(workshop)->sources, message->others[0].at.start);
    return strcmp(message->name, "no-answer") != 0 || strncmp(there, "grammage", 8) == 0;
}

/* Whether what is told of the failure is what must be told of it. */
static bool says(const Message *message, const char *text)
{
    bool would_do = strcmp(message->name, "grammage-not-met") == 0;
    return text == NULL || (would_do ? strcmp(message->needed == NULL ? "" : message->needed, text) == 0 : strstr(message->says, text) != NULL);
}

static bool is_case(Workshop *workshop, const void *one)
{
    const Case *at = one;
    char formula[512] = "", text[8192];
    if (at->formula[0] != '\0')
        snprintf(formula, sizeof formula, "replace reckon finished-grammage as grammage = %s   shown in g/m², 1 decimal", at->formula);
    const char *share = strcmp(at->said, "furnish-not-whole") == 0 ? at->text : "100 %"; /* told as it was typed */
    int length = snprintf(text, sizeof text, script, at->mill, formula, at->paper, share, at->steps, at->forming);
    Seen seen = {0};
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    workshop_read_text(workshop, "solved.wleaf", text, (size_t)length);
    workshop_work_out(workshop, NULL, 0, see, &seen);
    const char *said = "";
    const Messages *messages = workshop_messages(workshop);
    for (uint32_t i = 0; i < messages->list.count; i++)
        said = messages->list.at[i].severity == SEVERITY_ERROR ? messages->list.at[i].name : said;
    bool fine = strcmp(said, at->said) == 0;
    for (uint32_t i = 0; i < messages->list.count; i++)
        fine = fine && points_at_aim(workshop, &messages->list.at[i]) && says(&messages->list.at[i], at->text);
    /* Where it has no answer nothing is worked out; of what is measured it is told what is wrong with it, and what it comes to. */
    bool none = said[0] != '\0' && strcmp(said, "grammage-not-met") != 0;
    fine = fine && (none ? seen.count == 0 : seen.count == 1 && near(seen.fibre, at->fibre) && near(seen.charge, at->charge));
    fine = fine && (seen.count == 0 || strcmp(at->forming, FORM) != 0 || seen.told > 0); /* a step of stdlib's tells what is done */
    if (strcmp(said, "grammage-not-met") == 0) /* it is told all the same, with its steps and what is weighed */
        fine = fine && near(seen.weighed, at->charge) && seen.formed_in > 0;
    if (at == cases) /* the first is shown as what it is of: sheets, a plain number, a mass to the milligram */
        fine = fine && strcmp(seen.shown, "10 sheets; 1; 1000.000 g; ") == 0;
    if (!fine)
        print_error("%s: said \"%s\"; %u worked out, %.9g g in a sheet, %.9g g charged: %s, %s\n", at->what, said, seen.count, seen.fibre, seen.charge,
                    messages->list.count > 0 ? messages->list.at[0].says : "", messages->list.count > 0 ? messages->list.at[0].needed : "");
    return fine;
}

static void solves_come_to_an_end(void **state)
{
    (void)state;
    cases_hold(true, is_case, cases);
}

/* Without a stdlib there is nothing to solve for but the charge. */
static void a_paper_stands_alone(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    Seen seen = {0};
    assert_int_equal(workshop_read(workshop, "tests/unit/paper-alone.wleaf"), WATERLEAF_FINE);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    assert_int_equal(workshop_work_out(workshop, "P", 0, see, &seen), WATERLEAF_FINE);
    assert_int_equal(workshop_messages(workshop)->list.count, 0);
    assert_int_equal(seen.count, 1);
    assert_true(near(seen.charge, 10000));
    assert_string_equal(seen.shown, "10 sheets; 1; ; "); /* nothing says of what the charge is */
    workshop_close(workshop);
}

/* On no stdlib, with what is solved for told in the script itself. */
typedef struct Alone {
    const char *what, *counts, *solving, *fibre, *said;
    double charge;
    const char *stream, *sheet, *steps, *glue, *paper; /* what else is told: NULL, nothing, or the sheet as SHEET has it */
} Alone;

static const char alone[] =
    "waterleaf 1\nkind mass shown in kg\nkind length shown in m\n%sunit kg of mass\nunit m of length\n"
    "fields content:\n  has material as material\n  has mass as mass\nend\n"
    "fields addition:\n  has material as material\n  has mass as mass\nend\n"
    "fields material:\n  has class one-of fibre, other = fibre\n  has retention as mass = 0.5 kg\nend\nfields stream:\n%send\n"
    "fields stuff within stream:\n  gives dry as mass = sum(m.mass, each m from contents)\nend\n"
    "fields mould:\nend\nfields mill:\nend\nfields paper:\n  has title as text\nend\n%s"
    "step join:\n  joins streams into stuff\nend\nstep form:\n  makes sheet from stuff, of %s\n%send\nmaterial pulp:\nend\n%s"
    "reckon fixed as mass = 4 kg\n%s\n"
    "paper plain:\n  title \"Plain\"\n%s  furnish:\n    pulp 100 %%\n  end\n  procedure:\n    join\n%s    form\n  end\nend\n"
    "batch \"P\":\n  paper plain\n  sheets 10%s\nend\n";

#define COUNTS "kind count shown in sheets\nunit sheets of count\n"

#define SHEET "fields sheet:\n  has wet as mass = none\n  gives dry as mass = sum(m.mass, each m from contents)\nend\nreckon weight as mass = sheet.dry\n"
#define GLUE "step glue:\n  takes with agent as material\n  adds agent to stuff, 1\nend\nmaterial paste:\nend\n"

static const Alone alones[] = {
    {"solved for", COUNTS, "solve part as mass, so-that weight = 3 kg", "part", "", .charge = 30},
    {"solved for nothing", COUNTS, "solve part as mass", "2 kg", "", .charge = 20},
    {"measured, and not what it shall weigh", COUNTS, "solve part as mass, so-that weight = 3 kg", "2 kg", "grammage-not-met", .charge = 0},
    {"measured, as near as it must be", COUNTS, "solve part as mass, within 0.5, so-that weight = 3 kg", "2 kg", "", .charge = 20},
    {"the same whatever is in it, and the aim stands in no line of the paper", COUNTS, "solve part as mass, so-that fixed = 3 kg", "part", "no-answer", .charge = 0},
    {"sheets that are only a number", "", "", "2 kg", "", .charge = 20},
    {"of which no fibre is told", COUNTS, "solve part as mass, so-that weight = 3 kg", "part", "solved-figure-not-told", .charge = 0,
     .stream = "  gives none-told as mass = choose(1 > 2, 1 kg, none)\n"},
    {"with water, which no figure is of the kind of", COUNTS, "", "2 kg", "", .charge = 20, .steps = "  sets sheet.wet = 1 kg\n"},
    {"sheets of which nothing can be asked", COUNTS, "", "2 kg", "", .charge = 20, .sheet = ""},
    {"what a material tells is told of what holds it", COUNTS,
     "reckon kept as mass = sum(c.retention, each c from contents(stuff)) + sum(a.retention, each a from additions)", "2 kg", "", .charge = 10,
     .glue = "    glue with paste\n", .paper = "  expect kept, within 1.5 kg..1.5 kg\n"},
};

static const char *given(const char *text) { return text == NULL ? "" : text; }

static bool is_alone(Workshop *workshop, const Alone *at)
{
    char text[4096];
    int length = snprintf(text, sizeof text, alone, at->counts, given(at->stream), at->sheet == NULL ? SHEET : at->sheet, at->fibre,
                          given(at->steps), at->glue == NULL ? "" : GLUE, at->solving, given(at->paper), given(at->glue), at->counts[0] == '\0' ? "" : " sheets");
    Seen seen = {0};
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    workshop_read_text(workshop, "alone.wleaf", text, (size_t)length);
    workshop_work_out(workshop, NULL, 0, see, &seen);
    const Messages *messages = workshop_messages(workshop);
    const char *said = messages->list.count > 0 ? messages->list.at[0].name : "";
    bool fine = messages->list.count <= 1 && strcmp(said, at->said) == 0 && (said[0] != '\0' || near(seen.charge, at->charge * 1000));
    fine = fine && (strcmp(said, "no-answer") != 0 || messages->list.at[0].other_count == 0);
    if (!fine)
        print_error("%s: said \"%s\"; %.9g g charged\n", at->what, said, seen.charge);
    return fine;
}

static void the_script_tells_what_is_solved(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    bool fine = true;
    for (size_t i = 0; i < sizeof alones / sizeof *alones; i++)
        fine = is_alone(workshop, &alones[i]) && fine;
    assert_true(fine);
    workshop_close(workshop);
}

/* What a step of stdlib measures in is said at the line of the procedure. */
static void a_library_measures(void **state)
{
    (void)state;
    static const char paper[] = "waterleaf 1\nmaterial pulp:\nend\npaper plain:\n  title \"Plain\"\n  furnish:\n    pulp 100 %\n  end\n"
                                "  procedure:\n    join\n    form\n  end\nend\n";
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/measuring"});
    assert_non_null(workshop);
    workshop_read_text(workshop, "measured.wleaf", paper, sizeof paper - 1);
    workshop_check(workshop);
    const Messages *messages = workshop_messages(workshop);
    assert_int_equal(messages->list.count, 1);
    assert_string_equal(messages->list.at[0].name, "grammage-not-met");
    assert_memory_equal(sources_bytes(&workshop_world(workshop)->sources, messages->list.at[0].at.start), "form\n", 5);
    workshop_close(workshop);
}

/* On a stdlib that says only what is sought: a sheet holds what is sought of it, and shall weigh 3 kg, whatever line comes first. Within what
 * the mean may be off is not told: then it may not be off. */
static const char *bare_says(const char *seeks, const char *formula, const char *forming, Seen *seen, unsigned *others)
{
    static char text[4096];
    char *alone = check_read("tests/unit/paper-alone.wleaf", NULL);
    assert_non_null(alone);
    char *form = strstr(alone, "of 2 kg\n");
    assert_non_null(form);
    int length = snprintf(text, sizeof text, "%.*sof %s%s\n", (int)(form - alone), alone, forming, form + strlen("of 2 kg"));
    length += snprintf(text + length, sizeof text - (size_t)length, seeks, formula);
    free(alone);
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    *seen = (Seen){0};
    workshop_read_text(workshop, "bare.wleaf", text, (size_t)length);
    workshop_work_out(workshop, NULL, 0, see, seen);
    const Messages *messages = workshop_messages(workshop);
    const char *said = "";
    static char kept[96];
    for (uint32_t i = 0; i < messages->list.count; i++) {
        said = messages->list.at[i].name;
        *others = messages->list.at[i].other_count;
    }
    snprintf(kept, sizeof kept, "%s", said);
    workshop_close(workshop);
    return kept;
}

static void a_bare_aim_is_met(void **state)
{
    (void)state;
    static const char *const seeks[] = {"reckon weighed as mass = %s\nsolve pulp-of-it as mass, so-that weighed = 3 kg\n",
                                        "solve pulp-of-it as mass, so-that weighed = 3 kg\nreckon weighed as mass = %s\n"};
    Seen seen;
    unsigned others = 0;
    for (size_t i = 0; i < 2; i++) {
        assert_string_equal(bare_says(seeks[i], "sum(m.mass, each m from contents(sheet))", "pulp-of-it", &seen, &others), "");
        assert_true(seen.count == 1 && near(seen.charge, 15000));
        assert_string_equal(bare_says(seeks[i], "2 kg", "pulp-of-it", &seen, &others), "no-answer");
        assert_true(seen.count == 0 && others == 0);
        assert_string_equal(bare_says(seeks[i], "sum(m.mass, each m from contents(sheet))", "3 kg", &seen, &others), "");
        assert_string_equal(bare_says(seeks[i], "sum(m.mass, each m from contents(sheet))", "2 kg", &seen, &others), "grammage-not-met");
        assert_true(seen.count == 1 && seen.steps == 3); /* it is told all the same, with its steps */
    }
}

typedef struct LowAndHigh { const char *figure; double low, value, high; bool seen; } LowAndHigh;

static bool see_band(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    LowAndHigh *band = with;
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        const Quantity *found = &outcome->figures[i].quantity;
        if (strcmp(outcome->figures[i].name, band->figure) == 0)
            band->seen = near(found->low, band->low) && near(found->value, band->value) && near(found->high, band->high);
    }
    return true;
}

/* With one number that is not well known, and with two: stdlib's scripts always ask for more. */
static void few_abouts_are_felt(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    LowAndHigh one = {"pulp-in-it", 0.4, 1, 1.25, false}, two = {"sheets-formed", 69, 70, 71, false}, first = {"low-of-it", 2, 2, 2, false};
    assert_int_equal(workshop_read(workshop, "tests/unit/one-about.wleaf"), WATERLEAF_FINE);
    assert_int_equal(workshop_work_out(workshop, NULL, 0, see_band, &one), WATERLEAF_FINE);
    assert_int_equal(workshop_work_out(workshop, NULL, 0, see_band, &first), WATERLEAF_FINE);
    assert_true(one.seen && first.seen);
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    assert_int_equal(workshop_read(workshop, "tests/unit/two-abouts.wleaf"), WATERLEAF_FINE);
    assert_int_equal(workshop_work_out(workshop, NULL, 0, see_band, &two), WATERLEAF_FINE);
    assert_true(two.seen);
    LowAndHigh together = {"together", 0.25, 1, 4, false}, apart = {"apart", 0.25, 1, 4, false};
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    assert_int_equal(workshop_read(workshop, "tests/unit/two-ways.wleaf"), WATERLEAF_FINE);
    assert_int_equal(workshop_work_out(workshop, NULL, 0, see_band, &together), WATERLEAF_FINE);
    assert_int_equal(workshop_work_out(workshop, NULL, 0, see_band, &apart), WATERLEAF_FINE);
    assert_true(together.seen && apart.seen);
    workshop_close(workshop);
}

/* Formulas within formulas end somewhere, at four hundred, and so does working out. One message says so; what else would be said of it follows
 * from that. Each `let` here stands two deep in the one before it. */
static void what_goes_too_far_ends(void **state)
{
    (void)state;
    static const struct { const char *line; unsigned most; const char *said; } ways[] = {
        {"let deep-%u as ratio = deep-%u + 1\n", 199, ""},
        {"let deep-%u as ratio = deep-%u + 1\n", 200, "too-deep"},
        {"let deep-%u as ratio = deep-%u + deep-%u\n", 40, "too-much-work"},
    };
    for (size_t i = 0; i < sizeof ways / sizeof *ways; i++) {
        Page page = {0};
        page_print(&page, script, "", "", GRAMMAGE, "100 %", "", FORM);
        page_print(&page, "let deep-0 as ratio = 1\n");
        for (unsigned n = 1; n <= ways[i].most; n++)
            page_print(&page, ways[i].line, n, n - 1, n - 1);
        page_print(&page, "reckon far as ratio = deep-%u + 0\n", ways[i].most);
        if (ways[i].said[0] != '\0')
            page_print(&page, "reckon over-nothing as ratio = 1 / (deep-0 - 1)\n");
        Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
        assert_non_null(workshop);
        Seen seen = {0};
        workshop_read_text(workshop, "deep.wleaf", page.at, page.length);
        workshop_work_out(workshop, NULL, 0, see, &seen);
        const Messages *messages = workshop_messages(workshop);
        assert_int_equal(messages->errors, ways[i].said[0] != '\0');
        assert_string_equal(messages->list.count == 0 ? "" : messages->list.at[0].name, ways[i].said);
        workshop_close(workshop);
        free(page.at);
    }
}

/* What `why` works out once more, with each value noted, comes to the same: a plain number has no ends. */
static void why_works_out_the_same(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    const char *text;
    assert_int_equal(workshop_read(workshop, "tests/golden/language/expressions.wleaf"), WATERLEAF_FINE);
    assert_int_equal(workshop_check(workshop), WATERLEAF_FINE);
    assert_int_equal(workshop_why(workshop, "plain", "low-of-plain", 0, &text), WATERLEAF_FINE);
    assert_non_null(strstr(text, "measured-band.low is 5 g"));
    workshop_close(workshop);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(counts_are_rounded_up),
        cmocka_unit_test(solves_come_to_an_end),
        cmocka_unit_test(a_paper_stands_alone),
        cmocka_unit_test(the_script_tells_what_is_solved),
        cmocka_unit_test(a_library_measures),
        cmocka_unit_test(a_bare_aim_is_met),
        cmocka_unit_test(few_abouts_are_felt),
        cmocka_unit_test(what_goes_too_far_ends),
        cmocka_unit_test(why_works_out_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
