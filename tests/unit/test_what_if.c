/* What each typed number moves, worked out by hand: which numbers are looked at, by how much they are changed, what is held, and what is
 * told of it. All of what-moves.wleaf, paper by paper. */
#include "unit.h"

#include "../check.h"

#include "waterleaf.h"

#include <math.h>

enum { FIGURES = 8, MOST_TOLD = 32 };

/* What a number moves: a tenth more of it, and a tenth less. NaN: not told. */
typedef struct Wanted {
    const char *typed, *line;
    struct { const char *figure; double more, less; } moves[3];
} Wanted;

typedef struct Watch {
    const char *figures[FIGURES + 1]; /* in their order, NULL behind them */
    const Wanted *wanted;
    unsigned wanted_count;
    bool whole;         /* nothing else is told */
    unsigned tells;     /* so many steps tell something */
    unsigned works;     /* so many papers came */
    bool fine;
} Watch;

static bool near(double found, double wanted)
{
    return isnan(wanted) ? isnan(found) : fabs(found - wanted) <= 1e-8;
}

/* The larger of what it moves, either way. */
static double most_of(const Wanted *wanted)
{
    double most = 0;
    for (size_t i = 0; i < 3; i++)
        if (wanted->moves[i].figure != NULL)
            most = fmax(most, fmax(fabs(wanted->moves[i].more), fabs(wanted->moves[i].less)));
    return most;
}

static bool is_told(const Outcome *outcome, const WhatIf *told, const Wanted *wanted)
{
    bool fine = strcmp(told->typed, wanted->typed) == 0 && strcmp(told->line, wanted->line) == 0 && near(told->most, most_of(wanted));
    for (uint32_t j = 0; j < outcome->sensitive_count; j++) {
        double more = NAN, less = NAN;
        for (size_t i = 0; i < 3; i++)
            if (wanted->moves[i].figure != NULL && strcmp(wanted->moves[i].figure, outcome->sensitive[j]) == 0) {
                more = wanted->moves[i].more;
                less = wanted->moves[i].less;
            }
        fine = fine && near(told->moves[j].more, more) && near(told->moves[j].less, less);
    }
    return fine;
}

static void print_told(const Outcome *outcome)
{
    for (uint32_t i = 0; i < outcome->what_if_count; i++) {
        const WhatIf *told = &outcome->what_if[i];
        print_error("%s, in `%s`: %.12g", told->typed, told->line, told->most);
        for (uint32_t j = 0; j < outcome->sensitive_count; j++)
            if (!isnan(told->moves[j].more) || !isnan(told->moves[j].less))
                print_error("; %s %.12g %.12g", outcome->sensitive[j], told->moves[j].more, told->moves[j].less);
        print_error("\n");
    }
}

/* Where the whole is asked for, each stands in its place; else each stands somewhere. */
static bool are_told(const Outcome *outcome, const Watch *at)
{
    bool fine = !at->whole || outcome->what_if_count == at->wanted_count;
    for (uint32_t i = 0; fine && i < at->wanted_count; i++) {
        bool found = false;
        for (uint32_t j = at->whole ? i : 0; !found && j < (at->whole ? i + 1 : outcome->what_if_count); j++)
            found = is_told(outcome, &outcome->what_if[j], &at->wanted[i]);
        if (!found)
            print_error("not told so: %s, in `%s`\n", at->wanted[i].typed, at->wanted[i].line);
        fine = found;
    }
    if (!fine)
        print_told(outcome);
    return fine;
}

static bool watch(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Watch *at = with;
    unsigned figures = 0, tell = 0;
    for (; at->figures[figures] != NULL; figures++)
        at->fine = at->fine && figures < outcome->sensitive_count && strcmp(at->figures[figures], outcome->sensitive[figures]) == 0;
    for (uint32_t i = 0; i < outcome->step_count; i++)
        tell += outcome->steps[i].tell_count > 0;
    at->fine = at->fine && outcome->sensitive_count == figures && tell == at->tells && are_told(outcome, at);
    if (!at->whole && at->wanted_count > 0)
        at->wanted += at->wanted_count; /* of the next variant */
    at->works++;
    return true;
}

/* Takes the lines out of TEXT that begin with HEAD, or end in TAIL. */
static void take_lines(char *text, const char *head, const char *tail)
{
    char *into = text;
    for (char *line = text; *line != '\0';) {
        size_t length = strcspn(line, "\n") + 1;
        bool taken = strncmp(line, head, strlen(head)) == 0 || (length > strlen(tail) && strncmp(line + length - strlen(tail) - 1, tail, strlen(tail)) == 0);
        if (!taken) {
            memmove(into, line, length);
            into += length;
        }
        line += length;
    }
    *into = '\0';
}

/* The text of the script, without the lines that are idle where IDLE is false. */
static char *script_text(bool idle)
{
    char *text = check_read("tests/unit/what-moves.wleaf", NULL);
    assert_non_null(text);
    if (!idle) {
        char *end = strstr(text, "# ---- other");
        assert_non_null(end);
        *end = '\0';
        take_lines(text, "# ----", "# idle");
    }
    return text;
}

/* How many walks it took to tell of the work called NAME in TEXT, which is given back. */
static uint64_t tell_of(char *text, const char *name, Watch *at)
{
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    assert_int_equal(workshop_read_text(workshop, "what-moves.wleaf", text, strlen(text)), WATERLEAF_FINE);
    free(text);
    at->fine = true;
    at->works = 0;
    assert_int_equal(workshop_what_if(workshop, name, 0, watch, at), WATERLEAF_FINE);
    assert_true(at->fine);
    assert_int_equal(workshop_messages(workshop)->list.count, 0); /* what goes wrong in a trial is nobody's mistake */
    uint64_t walks = workshop_walks(workshop);
    workshop_close(workshop);
    return walks;
}

static uint64_t tell(const char *name, Watch *at, bool idle)
{
    return tell_of(script_text(idle), name, at);
}

#define WARMTH "reckon warmth as rise = (bath - 0 °C) * (count.sheets - 9 sheets) / 1 sheets"
#define AT_TIMES "reckon at-times as mass = choose(3 > chosen, 5 kg, choose(3.3 < chosen, none, 2 kg)) * sqrt(under-root - 2.8)"

#define ROOT_OF_2_5 1.58113883008418967
#define ROOT_OF_2_4 1.54919333848296675
#define HEAVY (400 + 1600 / 3.0)

/* Ten sheets of 2 kg. Of the rag twice its share is charged, as half of it is trimmed away; then 40 % is lost, and 95 % of what is left:
 * 20 kg / (60 % of 5 %) = 666.7 kg, of which 400 kg are pulp; and twice 266.7 kg of rag. */
static const Wanted plain[] = {
    /* 5 % is left; of 104.5 % lost there is no stuff, of 85.5 % there is 14.5 %: ten sheets and 19 more, where one makes it as warm again. */
    {"0.95", "let left-behind = 0.95", {{"count.sheets", NAN, 1.9}, {"warmth", NAN, 19}}},
    /* 3 > 2.88: 5 kg in place of 2 kg; 3.3 < 3.52: none. */
    {"3.2", "let chosen = 3.2", {{"at-times", NAN, 1.5}}},
    {"3", AT_TIMES, {{"at-times", 1.5, 0}}}, /* 3.3 > 3.2; 2.7 is no more than 3 was */
    {"2 kg", "let each-holds as mass = choose(thin > 4.2, 0 kg, 2 kg)", {{"count.sheets", 1 / 1.1 - 1, 1 / 0.9 - 1}, {"warmth", 10 / 1.1 - 10, 10 / 0.9 - 10}}},
    {"9 sheets", WARMTH, {{"warmth", -0.9, 0.9}}},
    {"40 %", "lose 40 %", {{"count.sheets", 0.56 / 0.6 - 1, 0.64 / 0.6 - 1}, {"warmth", -0.4 / 0.6, 0.4 / 0.6}}},
    /* 360 kg of pulp are too little to be counted. */
    {"60 %", "pulp 60 %", {{"heavy", 40 / HEAVY, -400 / HEAVY}, {"count.sheets", 0.06, -0.06}, {"warmth", 0.6, -0.6}}},
    {"3", "let under-root = 3", {{"plain", 0.1, -0.1}, {"at-times", ROOT_OF_2_5 - 1, NAN}}}, /* 0.5 in place of 0.2; 2.7 - 2.8 has no root */
    {"2.8", AT_TIMES, {{"at-times", NAN, ROOT_OF_2_4 - 1}}},                                 /* 0.48 in place of 0.2 */
    {"40 %", "rag 40 %", {{"heavy", (HEAVY - 400) / 10 / HEAVY, (400 - HEAVY) / 10 / HEAVY}, {"count.sheets", 0.04, -0.04}, {"warmth", 0.4, -0.4}}},
    {"50 %", "trim rag, 50 %", {{"count.sheets", -0.8 * 0.05, 0.8 * 0.05}, {"warmth", -0.4, 0.4}}},
    {"1 sheets", WARMTH, {{"warmth", 1 / 1.1 - 1, 1 / 0.9 - 1}}},
    {"20 °C", "let bath = 20 °C", {{"warmth", 0.1, -0.1}}}, /* 22 °C, and not a tenth more of 293.15 K */
    {"8 °C", "let cellar = 8 °C", {{"depth", -0.1, 0.1}}},  /* it is less than nought: more cellar makes it less */
    {"3", "let gear = 3", {{"depth", -0.1, NAN}}},          /* at 2.7 other lines of the procedure are done */
    {"95 %", "let most as share = 95 %", {{"kept", NAN, -0.1}}}, /* 104.5 % would be more than all */
    {"100 %", "let all-of-it as share = 100 %", {{"kept", NAN, -0.1}}},
    {"90.90909090909091 %", "let nearly as share = 90.90909090909091 %", {{"kept", 0.1, -0.1}}}, /* all of it is not more than all */
    {"150 %", "let plenty as share = 150 %", {{"kept", 0.1, -0.1}}}, /* it was more than all before */
    {"1", "let one as ratio = 1", {{"plain", 0.1, -0.1}}},
    {"5", "let at-first = 5", {{"depth", -0.1, NAN}}}, /* at 4.5 another line is done first */
    {"6", "let seldom = 6", {{"depth", NAN, 0.1}}},   /* at 6.6 one line more is done */
    {"2 kg", AT_TIMES, {{"at-times", 0.1, -0.1}}},
    {"1.25", "stir for gear * 1.25", {{"depth", -0.1, 0.1}}},
};

static void what_each_number_moves(void **state)
{
    (void)state;
    Watch at = {{"warmth", "depth", "kept", "plain", "nought", "at-times", "heavy", "count.sheets"}, plain, sizeof plain / sizeof *plain, .whole = true};
    uint64_t walks = tell("P", &at, true);
    assert_int_equal(at.works, 1);
    assert_int_equal(tell("P", &at, false), walks); /* what is idle is not walked for */
}

/* Of each variant its own numbers, and how long it is warmed as well as how much. Its steps are told as always. */
static const Wanted varied[] = {
    {"20", "vary warmth-of-it over [20, 30] °C", {{"heat", 0.1, -0.1}}}, {"2", "vary turns-of-it over 2, 5", {{"heat", 0.1, -0.1}}},
    {"20", "vary warmth-of-it over [20, 30] °C", {{"heat", 0.1, -0.1}}}, {"5", "vary turns-of-it over 2, 5", {{"heat", 0.1, -0.1}}},
    {"30", "vary warmth-of-it over [20, 30] °C", {{"heat", 0.1, -0.1}}}, {"2", "vary turns-of-it over 2, 5", {{"heat", 0.1, -0.1}}},
    {"30", "vary warmth-of-it over [20, 30] °C", {{"heat", 0.1, -0.1}}}, {"5", "vary turns-of-it over 2, 5", {{"heat", 0.1, -0.1}}},
};

static void numbers_that_vary(void **state)
{
    (void)state;
    Watch at = {{"warmth", "heat", "kept", "plain", "nought", "at-times", "heavy", "count.sheets"}, varied, .wanted_count = 2, .tells = 1};
    tell("varied", &at, true);
    assert_int_equal(at.works, 4);
}

/* Of 11.4 - 0.14 n = n sheets, ten, each number is followed until the count moves by less than a part in 10^10, within twelve walks:
 * 1.14 sheets × 0.14^11 is less than that, × 0.14^10 is more; and where 18 kg stand for 20, it nears by 0.14 / 0.9 only, and is not there. */
static const Wanted settling[] = {
    {"11.4", "makes sheet from stuff, of all-of-it / (11.4 - 0.14 * sheets-formed / 1 sheets)", {{"count.sheets", 0.1, -0.1}, {"warmth", 1, -1}}},
    {"20 kg", "form-fed of 20 kg", {{"count.sheets", 11.4 / 1.24 / 10 - 1, NAN}, {"warmth", 11.4 / 1.24 - 10, NAN}}}, /* 1.1 n = 11.4 - 0.14 n */
};

static void what_settles_is_told(void **state)
{
    (void)state;
    Watch at = {{"warmth", "kept", "plain", "nought", "at-times", "heavy", "count.sheets", "ninth"}, settling, .wanted_count = 2};
    tell("S", &at, true);
    assert_int_equal(at.works, 1);
}

/* Where no value is watched nothing is told, and nothing is walked for it. */
static void nothing_is_watched(void **state)
{
    (void)state;
    uint64_t walks[2];
    for (size_t i = 0; i < 2; i++) {
        Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
        assert_non_null(workshop);
        char *text = script_text(true);
        take_lines(text, "what-if ", "what-if");
        assert_int_equal(workshop_read_text(workshop, "what-moves.wleaf", text, strlen(text)), WATERLEAF_FINE);
        free(text);
        Watch at = {.fine = true, .whole = true};
        assert_int_equal((i == 0 ? workshop_work_out : workshop_what_if)(workshop, "P", 0, watch, &at), WATERLEAF_FINE);
        assert_true(at.fine && at.works == 1);
        walks[i] = workshop_walks(workshop);
        workshop_close(workshop);
    }
    assert_int_equal(walks[1], walks[0]);
}

/* A single one is enough. */
static const Wanted warmth[] = {
    {"0.95", "let left-behind = 0.95", {{"warmth", NAN, 19}}},
    {"2 kg", "let each-holds as mass = choose(thin > 4.2, 0 kg, 2 kg)", {{"warmth", 10 / 1.1 - 10, 10 / 0.9 - 10}}},
    {"9 sheets", WARMTH, {{"warmth", -0.9, 0.9}}},
    {"40 %", "lose 40 %", {{"warmth", -0.4 / 0.6, 0.4 / 0.6}}},
    {"60 %", "pulp 60 %", {{"warmth", 0.6, -0.6}}},
};

static void one_value_is_watched(void **state)
{
    (void)state;
    char *text = script_text(true);
    take_lines(text, "what-if ", "what-if");
    strcat(text, "what-if warmth, over 50 %\n");
    Watch at = {{"warmth"}, warmth, sizeof warmth / sizeof *warmth, .whole = true};
    tell_of(text, "P", &at);
    assert_int_equal(at.works, 1);
}

/* Each of the first sixty kilograms, added up, moves the sum of 1830 kg by a tenth of its own part: the largest first, and none writes over another. */
static void many_are_told(void **state)
{
    (void)state;
    static char line[1024], typed[60][8];
    static Wanted wanted[60];
    int length = snprintf(line, sizeof line, "reckon many as mass = ");
    for (unsigned i = 0; i < 60; i++) {
        snprintf(typed[i], sizeof typed[i], "%u kg", 60 - i);
        length += snprintf(line + length, sizeof line - (size_t)length, "%s%u kg", i == 0 ? "" : " + ", i + 1);
        wanted[i] = (Wanted){typed[i], line, {{"many", 0.1 * (60 - i) / 1830, -0.1 * (60 - i) / 1830}}};
    }
    Page page = {0};
    char *text = script_text(true);
    take_lines(text, "what-if ", "what-if");
    page_add(&page, text, strlen(text));
    page_print(&page, "%s\nwhat-if many, over 0.001 %%\n", line);
    free(text);
    Watch at = {{"many"}, wanted, 60, .whole = true};
    tell_of(page.at, "other", &at);
    assert_int_equal(at.works, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_each_number_moves),
        cmocka_unit_test(numbers_that_vary),
        cmocka_unit_test(what_settles_is_told),
        cmocka_unit_test(nothing_is_watched),
        cmocka_unit_test(one_value_is_watched),
        cmocka_unit_test(many_are_told),
    };
    return cmocka_run_group_tests_name("what-if-by-hand", tests, NULL, NULL);
}
