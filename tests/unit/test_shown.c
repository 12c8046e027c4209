/* Values as people read them: numbers, days, ranges; and what stands in the sentences of steps, in its own unit and decimals. */
#include "unit.h"

#include "base/text.h"
#include "reckoning/variant.h"
#include "render/text.h"
#include "waterleaf.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

/* A run of no paper, only to show numbers with what stdlib tells of kinds and units. */
typedef struct Shown {
    Workshop *workshop;
    World *world;
    Memory memory;
    Run run;
} Shown;

static void open_shown(Shown *shown)
{
    static const char script[] = "waterleaf 1\n";
    *shown = (Shown){.workshop = workshop_open(&(WorkshopWish){0})};
    assert_non_null(shown->workshop);
    assert_int_equal(workshop_read_text(shown->workshop, "shown.wleaf", script, sizeof script - 1), WATERLEAF_FINE);
    shown->world = (World *)(uintptr_t)workshop_world(shown->workshop);
    run_open(&shown->run, shown->world, &shown->memory);
}

static void close_shown(Shown *shown)
{
    run_close(&shown->run);
    memory_return_all(&shown->memory);
    workshop_close(shown->workshop);
}

static Type number_of(Shown *shown, const char *kind)
{
    return TYPE(TYPE_NUMBER, kind_named(shown->world, names_of(&shown->world->names, shown->world->memory, kind)));
}

static UnitId unit_called(Shown *shown, const char *spelling)
{
    return unit_of(shown->world, names_of(&shown->world->names, shown->world->memory, spelling));
}

/* So many decimals that so many digits are told, from the first that is not nought; at the most twelve. */
static void digits_are_counted(void **state)
{
    (void)state;
    static const struct { double number; int digits, decimals; } counted[] = {
        {1, 4, 3}, {10, 4, 2}, {9.99, 4, 3}, {1234, 4, 0}, {999, 4, 1}, {0.5, 4, 4}, {0.05, 4, 5}, {0.1, 1, 1}, {0.1, 2, 2}, {-0.05, 4, 5}, {-250, 4, 1},
        {5e-9, 4, 12}, {5e-10, 4, 12}, {5e-8, 4, 11}, {5e-20, 4, 12}, {1e300, 4, 0}, {12345, 2, 0}, {123, 3, 0}, {123, 4, 1}, {0, 4, 0}, {0, 12, 0},
        {NAN, 4, 0}, {INFINITY, 4, 0}, {-INFINITY, 4, 0},
    };
    for (size_t i = 0; i < sizeof counted / sizeof *counted; i++) {
        int found = run_decimals(counted[i].number, counted[i].digits);
        if (found != counted[i].decimals)
            fail_msg("%d digits of %.17g: %d decimals, not %d", counted[i].digits, counted[i].number, found, counted[i].decimals);
    }
}

/* A number alone: four digits, and no noughts that tell nothing; a whole number whole. */
static void numbers_stand_alone(void **state)
{
    (void)state;
    static const struct { double number; int decimals; const char *text; } alone[] = {
        {3, -1, "3"}, {0, -1, "0"}, {-3, -1, "-3"}, {1234567, -1, "1234567"}, {12.5, -1, "12.5"}, {0.25, -1, "0.25"}, {1234.5678, -1, "1235"}, {123.45, -1, "123.5"},
        {2.0004, -1, "2"}, {99.999, -1, "100"}, {199.999, -1, "200"}, {3.14159, -1, "3.142"}, {0.00012345, -1, "0.0001235"}, {-0.5, -1, "-0.5"}, {100.04, -1, "100"},
        {3 + 1e-12, -1, "3"}, {2.9999999999999, -1, "3"}, {12345678901.5, -1, "12345678902"}, {1000000001, -1, "1000000001"},
        {3, 2, "3.00"}, {3, 0, "3"}, {2.5, 0, "3"}, {1234.5678, 3, "1234.568"}, {0, 3, "0.000"}, {0.5, 1, "0.5"}, {2.0004, 3, "2.000"},
        {INFINITY, -1, "infinite"}, {-INFINITY, -1, "-infinite"}, {INFINITY, 2, "infinite"},
    };
    Shown shown;
    open_shown(&shown);
    for (size_t i = 0; i < sizeof alone / sizeof *alone; i++)
        assert_string_equal(run_plain_number(&shown.run, alone[i].number, alone[i].decimals), alone[i].text);
    close_shown(&shown);
}

/* In the unit that is asked for, or in that of its kind; what has none stands alone. In base units: kilograms, metres, seconds, kelvins. */
static void numbers_have_units(void **state)
{
    (void)state;
    static const struct { double in_base; const char *kind, *unit; int decimals; const char *text; } cases[] = {
        {0.0125, "mass", "", -1, "12.5 g"}, {0.0125, "mass", "kg", -1, "0.0125 kg"}, {0.0125, "mass", "kg", 1, "0.0 kg"}, {2, "mass", "kg", 2, "2.00 kg"},
        {0.21, "length", "", -1, "210 mm"}, {293.15, "temperature", "", -1, "20 °C"}, {3, "ratio", "", -1, "3"}, {0.05, "share", "", -1, "5 %"},
        {7.25, "ph", "", -1, "7.25"}, {12, "count", "", -1, "12 sheets"}, {0.3, "grammage", "", -1, "300 g/m²"}, {7200, "duration", "", -1, "2 h"},
        {7200, "duration", "min", 0, "120 min"},
    };
    Shown shown;
    open_shown(&shown);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        UnitId unit = cases[i].unit[0] == '\0' ? 0 : unit_called(&shown, cases[i].unit);
        Type type = number_of(&shown, cases[i].kind), band = TYPE(TYPE_BAND, TYPE_INDEX(type));
        assert_string_equal(run_number_text(&shown.run, cases[i].in_base, type, unit, cases[i].decimals), cases[i].text);
        assert_string_equal(run_number_text(&shown.run, cases[i].in_base, band, unit, cases[i].decimals), cases[i].text);
        /* a word or a size has a number for its place, which is no kind */
        if (unit == 0)
            assert_string_equal(run_number_text(&shown.run, 2, TYPE(TYPE_WORD, TYPE_INDEX(type)), 0, -1), "2");
    }
    assert_string_equal(run_number_text(&shown.run, 2.5, 0, 0, -1), "2.5");
    assert_string_equal(run_number_text(&shown.run, 86400, 0, 0, -1), "86400");
    close_shown(&shown);
}

static const char *day_text(Shown *shown, Type date, double days) { return run_number_text(&shown->run, days * 86400, date, 0, -1); }

/* How many days after 1970-01-01 a day is: by `date -u -d DAY +%s` of GNU coreutils 9.1, divided by 86400, and the same by Python's datetime. */
static const struct { const char *day; double days; } days[] = {
    {"0001-01-01", -719162}, {"0004-02-29", -718008}, {"0100-03-01", -682944}, {"0400-02-29", -573372}, {"1582-10-15", -141427}, {"1600-02-29", -135081},
    {"1600-03-01", -135080}, {"1700-02-28", -98557}, {"1700-03-01", -98556}, {"1752-09-14", -79366}, {"1800-02-28", -62033}, {"1800-03-01", -62032},
    {"1899-12-31", -25568}, {"1900-01-01", -25567}, {"1900-02-28", -25509}, {"1900-03-01", -25508}, {"1969-12-31", -1}, {"1970-01-01", 0}, {"1972-02-29", 789},
    {"1999-12-31", 10956}, {"2000-01-01", 10957}, {"2000-02-29", 11016}, {"2000-03-01", 11017}, {"2000-12-31", 11322}, {"2024-02-29", 19782},
    {"2026-11-26", 20783}, {"2027-03-01", 20878}, {"2100-02-28", 47540}, {"2100-03-01", 47541}, {"2400-02-29", 157113}, {"2400-03-01", 157114},
    {"9999-12-31", 2932896},
};

static void days_are_those_of_the_calendar(void **state)
{
    (void)state;
    Shown shown;
    open_shown(&shown);
    Type date = number_of(&shown, "date");
    for (size_t i = 0; i < sizeof days / sizeof *days; i++) {
        assert_string_equal(day_text(&shown, date, days[i].days), days[i].day);
        /* the day lasts until its last second; a second that doubles have made a hair less than the next day is of that one */
        assert_string_equal(day_text(&shown, date, days[i].days + 86399.0 / 86400), days[i].day);
        assert_string_equal(day_text(&shown, date, days[i].days - 1e-10), days[i].day);
    }
    assert_string_equal(run_number_text(&shown.run, 0, TYPE(TYPE_BAND, TYPE_INDEX(date)), 0, -1), "1970-01-01");
    close_shown(&shown);
}

/* Whether DAY is shown as the C library's gmtime_r has it. */
static void is_as_in_the_library(Shown *shown, Type date, long day)
{
    time_t seconds = (time_t)day * 86400;
    struct tm there;
    assert_non_null(gmtime_r(&seconds, &there));
    char text[64];
    snprintf(text, sizeof text, "%04d-%02d-%02d", there.tm_year + 1900, there.tm_mon + 1, there.tm_mday);
    const char *found = day_text(shown, date, (double)day);
    if (strcmp(found, text) != 0)
        fail_msg("%ld days after 1970-01-01 is %s, not %s", day, text, found);
}

/* All days of 1600 to 2400, and some of the ten thousand years from 2000 before our era on; of those around March, where the leap days are,
 * of each year. The other opinion is the C library's. */
static void days_are_those_of_the_library(void **state)
{
    (void)state;
    Shown shown;
    open_shown(&shown);
    Type date = number_of(&shown, "date");
    for (long day = -135140; day < 157420; day++) {
        is_as_in_the_library(&shown, date, day);
        if (day % 10000 == 0)
            arena_reset(&shown.run.arena);
    }
    for (long day = -1450000; day < 2932897; day += 37) {
        is_as_in_the_library(&shown, date, day);
        if (day % 10000 == 0)
            arena_reset(&shown.run.arena);
    }
    for (long year = -2000; year < 10000; year++) {
        struct tm march = {.tm_year = (int)(year - 1900), .tm_mon = 2, .tm_mday = 1};
        long first = (long)(timegm(&march) / 86400);
        for (long day = first - 2; day <= first; day++)
            is_as_in_the_library(&shown, date, day);
    }
    close_shown(&shown);
}

/* A range, from low to high: whole where both ends are, else with enough decimals to tell them apart, and no more than four digits for that. */
static void ranges_are_told_apart(void **state)
{
    (void)state;
    static const struct { double low, high; const char *kind, *unit, *text; } cases[] = {
        {5, 5, "ratio", "", "5"}, {0.0055, 0.0055, "mass", "", "5.5 g"}, {1, 2, "ratio", "", "1 to 2"}, {-2, 5, "ratio", "", "-2 to 5"},
        {0.005, 0.010, "mass", "", "5 to 10 g"}, {0.0055, 0.010, "mass", "", "5.5 to 10.0 g"}, {0.005, 0.0105, "mass", "", "5.0 to 10.5 g"},
        {0.005, 0.010, "mass", "kg", "0.0050 to 0.0100 kg"}, {313.15, 318.15, "temperature", "", "40 to 45 °C"}, {0.3, 0.5, "share", "", "30 to 50 %"},
        {20.12, 20.16, "ratio", "", "20.12 to 20.16"}, {9.98, 10.02, "ratio", "", "9.98 to 10.02"}, {-10.02, -9.98, "ratio", "", "-10.02 to -9.98"},
        /* four digits of them would be the same */
        {20.122, 20.124, "ratio", "", "20.122 to 20.124"}, {12345, 12345.5, "ratio", "", "12345.0 to 12345.5"}, {1.00012, 1.00015, "ratio", "", "1.00012 to 1.00015"},
        {3.25, INFINITY, "ratio", "", "3 to infinite"}, {-INFINITY, INFINITY, "mass", "", "-infinite to infinite g"},
        /* 2027-02-27, and two days later: no leap year */
        {20876 * 86400.0, 20878 * 86400.0, "date", "", "2027-02-27 to 2027-03-01"}, {0, 0, "date", "", "1970-01-01"},
    };
    Shown shown;
    open_shown(&shown);
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        UnitId unit = cases[i].unit[0] == '\0' ? 0 : unit_called(&shown, cases[i].unit);
        Type type = number_of(&shown, cases[i].kind);
        assert_string_equal(run_band_text(&shown.run, (Band){.low = cases[i].low, .high = cases[i].high}, type, unit), cases[i].text);
        assert_string_equal(run_band_text(&shown.run, (Band){.low = cases[i].low, .high = cases[i].high}, TYPE(TYPE_BAND, TYPE_INDEX(type)), unit), cases[i].text);
    }
    close_shown(&shown);
}

/* ---- in the sentences of steps ---- */

typedef struct Sentences { const char *const *wanted; unsigned count, seen; } Sentences;

/* What is told by our own steps, one sentence after the other. */
static bool see_sentences(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Sentences *sentences = with;
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        const StepOutcome *step = &outcome->steps[i];
        for (uint32_t j = 0; j < step->tell_count && strncmp(step->step, "show-", 5) == 0; j++) {
            assert_in_range(sentences->seen, 0, sentences->count - 1);
            assert_string_equal(step->tells[j], sentences->wanted[sentences->seen]);
            sentences->seen++;
        }
    }
    return true;
}

static void are_told_by(const char *stdlib, const char *text, const char *const *wanted, unsigned count)
{
    Sentences sentences = {wanted, count, 0};
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = stdlib, .unjudged = true});
    assert_non_null(workshop);
    assert_int_equal(workshop_read_text(workshop, "shown.wleaf", text, strlen(text)), WATERLEAF_FINE);
    WaterleafAnswer answer = workshop_work_out(workshop, NULL, 0, see_sentences, &sentences);
    const Messages *messages = workshop_messages(workshop);
    if (messages->list.count > 0)
        fail_msg("%s %s", messages->list.at[0].says, messages->list.at[0].mend);
    assert_int_equal(answer, WATERLEAF_FINE);
    assert_int_equal(sentences.seen, sentences.count);
    workshop_close(workshop);
}

/* A paper with LINES behind its forming tells what is wanted in the sentences of our STEPS. */
static void are_told(const char *steps, const char *lines, const char *const *wanted, unsigned count)
{
    char text[8192];
    int length = snprintf(text, sizeof text,
        "waterleaf 1\n%s"
        "paper plain:\n  title \"Plain\"\n  mould imperial\n  grammage 100 g/m²\n  furnish:\n    cotton-linters 100 %%\n  end\n  procedure:\n"
        "    beat cotton-linters at 2.5 %%, for 1 h\n    blend\n    charge-vat to 1 %%\n    form into posts of 25, surplus to chest\n"
        "    press at 700 kPa, for 20 min\n%s    loft-dry for 3 d\n  end\nend\nbatch \"D-1\":\n  paper plain\n  sheets 30, sure 90 %%\nend\n", steps, lines);
    assert_in_range(length, 1, sizeof text - 1);
    are_told_by(NULL, text, wanted, count);
}
#define ARE_TOLD(steps, lines, ...)                                                                  \
    do {                                                                                             \
        static const char *const wanted[] = {__VA_ARGS__};                                           \
        are_told(steps, lines, wanted, sizeof wanted / sizeof *wanted);                              \
    } while (0)

/* What was typed is told as it was typed, from the line of the procedure through steps within steps, by default, and by another name. */
static void what_was_typed_stays_so(void **state)
{
    (void)state;
    ARE_TOLD("step show-typed:\n  takes dose as mass\n  takes for first as mass = 1.50 kg\n  takes to second as mass = 0.0400 kg\n"
             "  let same as mass = second\n  let again as mass = same\n  let more as mass = second + dose\n"
             "  tells \"{dose}, {first}, {second}\"\n  tells \"{same}, {again}, {more}\"\nend\n"
             "step show-fixed:\n  let fixed as mass = 5.0 kg\n  tells \"{fixed}\"\nend\n" /* not what stands in that place in the step before it */
             "step show-within:\n  takes dose as mass\n  takes for rest as mass\n  takes to last as mass\n  show-typed dose, for rest, to last\n  tells \"{last}\"\nend\n"
             "step show-loosely:\n  takes for share as share\n  takes to ph as ph\n  takes at plain as ratio\n  takes over heat as temperature\n"
             "  tells \"{share}, {ph}, {plain}, {heat}\"\nend\n",
             "    show-typed 2.0 oz-troy\n    show-fixed\n    show-within 30.00 g, for 1.0 lb, to 500 g\n"
             "    show-typed about 7.0 g, between 6..8 g\n    show-loosely for 2.50 %, to 7.0, at 0.50, over 68.0 °F\n"
             "    show-loosely for 0, to 7, at 3, over 20 °C\n",
             "2.0 oz-troy, 1.50 kg, 0.0400 kg", "0.0400 kg, 0.0400 kg, 102.2 g", /* 40 g and two times 31.1034768 g */
             "5.0 kg",
             "30.00 g, 1.0 lb, 500 g", "500 g, 500 g, 530 g", "500 g",
             "7.0 g, 1.50 kg, 0.0400 kg", "0.0400 kg, 0.0400 kg, 47 g",
             "2.50 %, 7.0, 0.50, 68.0 °F", "0 %, 7, 3, 20 °C");
}

/* A default that names another parameter means that of its own step, and not one of the step around it that is called the same. */
static void defaults_stay_in_their_step(void **state)
{
    (void)state;
    ARE_TOLD("step show-inner:\n  takes dose as mass\n  takes for rest as mass = dose\n  tells \"{dose}, {rest}\"\nend\n"
             "step show-outer:\n  takes dose as mass\n  show-inner dose * 2\n  tells \"{dose}\"\nend\n",
             "    show-outer 2.50 kg\n    show-inner 1.20 kg\n",
             "5000 g, 5000 g", "2.50 kg", "1.20 kg, 1.20 kg");
}

/* On no stdlib the first line that does a step is one of ours. What a function is given was typed elsewhere: it is told in the unit of its kind. */
static void functions_know_only_values(void **state)
{
    (void)state;
    static const char script[] =
        "waterleaf 1\nkind mass shown in kg\nkind length shown in m\nkind count shown in sheets\nunit kg of mass\nunit m of length\nunit sheets of count\n"
        "fields content:\n  has material as material\n  has mass as mass\nend\nfields material:\n  has class one-of fibre, other = fibre\nend\n"
        "fields stream:\nend\nfields stuff within stream:\n  gives dry as mass = sum(m.mass, each m from contents)\nend\n"
        "fields sheet:\nend\nfields mould:\nend\nfields mill:\nend\nfields paper:\n  has title as text\nend\n"
        "step show-inner:\n  takes dose as mass\n  tells \"inner {dose}\"\nend\n"
        "step show-outer:\n  takes dose as mass\n  show-inner dose\n  show-inner 4.00 kg\n  tells \"{call-it(dose)}, {call-it(7.000 kg)}\"\nend\n"
        "let call-it(much as mass) as text = \"called {much}\"\n"
        "step join:\n  joins streams into stuff\nend\nstep form:\n  makes sheet from stuff, of 2 kg\nend\nmaterial pulp:\nend\n"
        "paper plain:\n  title \"Plain\"\n  furnish:\n    pulp 100 %\n  end\n  procedure:\n    join\n    show-outer 2.50 kg\n    form\n  end\nend\n"
        "batch \"P\":\n  paper plain\n  sheets 10 sheets\nend\n";
    static const char *const wanted[] = {"inner 2.50 kg", "inner 4.00 kg", "called 2.5 kg, called 7 kg"};
    are_told_by("tests/unit/bare", script, wanted, 3);
}

/* What a line says of how its value is shown holds in its own step, in those behind it, and where a step within a step gave it. */
static void lines_tell_how_they_are_shown(void **state)
{
    (void)state;
    ARE_TOLD("reckon seen as mass = 1.5 kg   shown in kg, 3 decimals\nreckon decimals-only as mass = 1.5 kg   shown in g, 2 decimals\n"
             "reckon of-each(each m from bill) as mass = 1234 g   shown in kg, 1 decimal\n"
             "step show-inner:\n  takes dose as mass\n  gives doubled as mass = dose * 2   shown in kg, 3 decimals\n  gives tripled as mass = dose * 3\n"
             "  gives given-on as mass = dose\n  tells \"{dose}, {doubled}, {tripled}, {given-on}\"\nend\n"
             "step show-outer:\n  takes dose as mass\n  show-inner dose\n  tells \"{doubled}, {tripled}, {given-on}\"\nend\n"
             "step show-later:\n  takes name as material\n  tells \"{doubled}, {tripled}, {given-on}\"\n  tells \"{seen}, {decimals-only}, {seen * 2}\"\n"
             "  tells \"{seen in g}, {seen, 1 decimal}, {seen in lb, 2 decimals}, {doubled in g}, {doubled, 0 decimals}\"\nend\n"
             "step show-items:\n  takes name as material\n  tells \"{sum(of-each(m), each m from bill) in g}\"\nend\n",
             "    show-outer 2.50 kg\n    show-later chalk\n",
             "2.50 kg, 5.000 kg, 7500 g, 2.50 kg", "5.000 kg, 7500 g, 2500 g",
             "5.000 kg, 7500 g, 2500 g", "1.500 kg, 1500.00 g, 3000 g",
             /* a pound is 0.45359237 kg */
             "1500 g, 1500.0 g, 3.31 lb, 5000 g, 5000 g");
}

/* ---- in documents ---- */

#define PAPER \
    "paper plain:\n  title \"Plain\"\n  mould imperial\n  grammage 100 g/m²\n  furnish:\n    cotton-linters 75 %\n    hemp 25 %\n  end\n  procedure:\n" \
    "    beat cotton-linters at 2.5 %, for 1 h\n    beat hemp at 2.5 %, for 1 h\n    blend into chest\n    add chalk 5 % on fibre, as slurry of 20 % w/w\n" \
    "    charge-vat to 1 %\n    form into posts of 25, surplus to chest\n    press at 700 kPa, for 20 min\n    loft-dry for 3 d\n  end\nend\n" \
    "mill dell:\n  beater old of 200 L\n  chest of 900 L\n  vat of 300 L\n  parcel 20 sheets\nend\n" \
    "batch \"D-1\":\n  paper plain\n  mill dell\n  sheets 50, sure 90 %\nend\n"

/* The items of a document of NAME with LINES, one below the other, are WANTED. */
static void items_are(const char *name, const char *lines, const char *wanted)
{
    char script[8192];
    int length = snprintf(script, sizeof script, "waterleaf 1\n%s%s", PAPER, lines);
    assert_in_range(length, 1, sizeof script - 1);
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    assert_non_null(workshop);
    assert_int_equal(workshop_read_text(workshop, "shown.wleaf", script, (size_t)length), WATERLEAF_FINE);
    Memory memory = {0};
    Arena arena;
    Document document;
    Text text;
    uint32_t count;
    arena_open(&arena, &memory);
    text_open(&text, &memory);
    document_open(&document, &arena, "slip");
    WaterleafDocument asked = {.document = "slip", .name = name};
    WaterleafAnswer answer = workshop_document(workshop, &asked, &document, &count);
    const Messages *messages = workshop_messages(workshop);
    if (messages->list.count > 0)
        fail_msg("%s %s", messages->list.at[0].says, messages->list.at[0].mend);
    assert_int_equal(answer, WATERLEAF_FINE);
    render_text(&text, &document);
    char found[4096] = "";
    size_t used = 0;
    for (const char *at = strstr(text.at, "\n- "); at != NULL; at = strstr(at + 1, "\n- ")) {
        int line = (int)strcspn(at + 3, "\n");
        used += (size_t)snprintf(found + used, sizeof found - used, "%.*s\n", line, at + 3);
        assert_in_range(used, 1, sizeof found - 1);
    }
    assert_string_equal(found, wanted);
    memory_return_all(&memory);
    workshop_close(workshop);
}

#define SLIP "document slip:\n  title \"Slip\"\n  page \"first\":\n"

static void things_are_called(void **state)
{
    (void)state;
    items_are("D-1", "reckon our-word as text = \"a word\"\nreckon our-size as size of length = 30 in by 22 in\n"
              "reckon our-text as text = \"in {our-word}\"\n" SLIP
              "    item \"{mould}, {vat}, {old}, {mill}, {stuff}, {sheet}\"\n"
              "    each s from streams:\n      item \"stream {s}\"\n    end\n"
              "    each c from contents(sheet):\n      item \"in it {c}\"\n    end\n"
              "    each b from bill:\n      item \"bill {b}\"\n    end\n"
              "    each a from additions:\n      item \"added {a} by {a.step}\"\n    end\n"
              "    each p from parcels:\n      item \"parcel {p} of {parcels as ratio}\"\n    end\n"
              "    each n from numbers(2 sheets):\n      item \"number {n}\"\n    end\n"
              "    each w from weighing:\n      item \"line {w}\"\n    end\n"
              "    each s from steps(beating):\n      item \"step {s}\"\n    end\n"
              "    item \"{choose(1 > 2, 30..40 °SR, 35 °SR)}\"\n"
              "    item \"{our-text}, {2 > 1}, {1 > 2}, {our-size}, {30..40 °SR}, {paper.surface}, {mill.address}\"\n"
              "    each e from ledger when e.way is charged:\n      item \"{e.way} {e}\"\n    end\n"
              "  end\nend\n",
              "imperial, the vat, old, dell, stuff, sheet\nstream cotton-linters\nstream hemp\nin it cotton-linters\nin it hemp\nin it chalk\n"
              "bill cotton-linters\nbill hemp\nbill chalk\nadded chalk by add\nparcel 1 of 3\nparcel 2 of 3\nparcel 3 of 3\nnumber 1\nnumber 2\n"
              "line weighing-line 1\nline weighing-line 2\nline weighing-line 3\nstep beat\nstep beat\n35 °SR\n"
              "in a word, yes, no, 762 mm by 558.8 mm, 30 to 40 °SR, rough, ____\n" /* an inch is 25.4 mm */
              "charged cotton-linters\ncharged water\ncharged hemp\ncharged water\n");
}

/* What is asked of a thing is told in the unit in which it was typed, unless the text says otherwise; what nobody told is left to be written in. */
static void parts_keep_their_units(void **state)
{
    (void)state;
    items_are("D-2", "step stirring-of-ours:\n  role stirring\n  takes for time as duration\n  takes to late as duration = none\n  takes over again as ratio\nend\n"
              "paper other:\n  title \"Other {our-lap} {our-lap, 1 decimal}\"\n  mould imperial\n  grammage 100 g/m²\n  furnish:\n    hemp 100 %\n  end\n  procedure:\n"
              "    stirring-of-ours for 90.0 min, over 2.50\n    beat hemp at 2.5 %, for 1 h\n    blend\n    charge-vat to 1 %\n"
              "    form into posts of 25, surplus to beater\n    press at 700 kPa, for 20 min\n    loft-dry for 3 d\n  end\nend\n"
              "let our-lap as duration = 4.50 min\n"
              "batch \"D-2\":\n  paper other\n  sheets 50, sure 90 %\nend\n" SLIP
              "    item \"{paper.title}\"\n"
              "    each s from steps(stirring-of-ours):\n      item \"{s.time}, {s.time in h}, {s.time, 2 decimals}, {s.time, 0 decimals}, {s.late}, {s.late in h}, {s.again}, {s.again, 3 decimals}\"\n    end\n"
              "    item \"{our-lap}, {our-lap in min}, {our-lap in min, 0 decimals}\"\n    item \"\"\n"
              "  end\nend\n", "Other 0.075 h 0.1 h\n90 min, 1.5 h, 1.50 h, 2 h, ____, ____, 2.5, 2.500\n0.075 h, 4.5 min, 5 min\n\n");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(digits_are_counted),
        cmocka_unit_test(numbers_stand_alone),
        cmocka_unit_test(numbers_have_units),
        cmocka_unit_test(days_are_those_of_the_calendar),
        cmocka_unit_test(days_are_those_of_the_library),
        cmocka_unit_test(ranges_are_told_apart),
        cmocka_unit_test(what_was_typed_stays_so),
        cmocka_unit_test(defaults_stay_in_their_step),
        cmocka_unit_test(functions_know_only_values),
        cmocka_unit_test(lines_tell_how_they_are_shown),
        cmocka_unit_test(things_are_called),
        cmocka_unit_test(parts_keep_their_units),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
