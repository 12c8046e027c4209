/* Units: how they are spelled, what they are put together of, and numbers in them and back. */
#include "unit.h"

#include "meaning/kind.h"
#include "meaning/unit.h"
#include "syntax/unit_spelling.h"
#include "waterleaf.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void is_spelled(const char *typed, const char *wanted)
{
    Memory memory = {0};
    Names names;
    UnitSpellings spellings = {0};
    names_open(&names, &memory);
    Name name = unit_spelling(&spellings, &names, &memory, typed, strlen(typed));
    assert_string_equal(names_text(&names, name), wanted);
    assert_int_equal(unit_spelling(&spellings, &names, &memory, typed, strlen(typed)), name);
    memory_return_all(&memory);
}

static void exponents_are_raised(void **state)
{
    (void)state;
    is_spelled("m^-2", "m⁻²");
    is_spelled("m^1234567890", "m¹²³⁴⁵⁶⁷⁸⁹⁰");
    is_spelled("m^²", "m²");
    is_spelled("m^x", "mx");
    is_spelled("m^+2", "m+²");
    is_spelled("m3", "m³");
    is_spelled("m4", "m4");    /* a name, as far as anyone knows */
    is_spelled("2", "2");
    is_spelled("a1b2", "a1b2");
    is_spelled("a~2", "a~²");
    is_spelled("a!2", "a!²");
    is_spelled("gal-US2", "gal-US2");
    is_spelled("g/m2*s-1", "g/m²·s-1");
}

static void signs_have_one_spelling(void **state)
{
    (void)state;
    is_spelled("degC", "°C");
    is_spelled("DegF", "°F");
    is_spelled("degK", "degK");
    is_spelled("de", "de");
    is_spelled("℃", "°C");
    is_spelled("℉", "°F");
    is_spelled("ºC", "°C");
    is_spelled("˚C", "°C");
    is_spelled("SR", "°SR");
    is_spelled("ug", "µg");
    is_spelled("uPa", "µPa");
    is_spelled("unit", "unit");
    is_spelled("μm", "µm");
    is_spelled("N·m⋅s*A/V", "N·m·s·A/V");
    is_spelled("/m", "/m");
    is_spelled("m//s", "m//s");
    /* cut off within a sign, or what only begins as one does */
    is_spelled("m\xC2", "m\xC2");
    is_spelled("m\xE2\x8B", "m\xE2\x8B");
    is_spelled("m\xE2\x82\xAC", "m€");
}

static void shares_take_their_basis(void **state)
{
    (void)state;
    is_spelled("%", "%");
    is_spelled("%/h", "%/h");
    is_spelled("%*h", "%·h");
    is_spelled("%·h", "%·h");
    is_spelled("%⋅h", "%·h");
    is_spelled("%w/v", "% w/v");
    is_spelled("%  (w/v)\tdry ", "% w/v dry");
    is_spelled("% on fibre", "% on fibre");
    /* blanks that are more than one byte, and signs beside them that are none */
    is_spelled("%\u00A0on\u1680the\u2000wet\u200Bsheet", "% on the wet sheet");
    is_spelled("%\u202Fon\u205Fa\u3000b\uFEFFc", "% on a b c");
    is_spelled("% on\x01x\x7Fy", "% on x\x7Fy");
    is_spelled("% of papier-mâché", "% of papier-mâché");
    is_spelled("% of \u200Ca\u1681b\u1FFFc\u202Ed\u2030e\u205Ef\u2060g\u2FFFh紙i\uFEFEj", "% of \u200Ca\u1681b\u1FFFc\u202Ed\u2030e\u205Ef\u2060g\u2FFFh紙i\uFEFEj");
    is_spelled("% of £", "% of £");
}

static void there_and_back(Unit unit, double value, double base)
{
    assert_true(unit_to_base(&unit, value) == base);
    assert_true(fabs(unit_from_base(&unit, base) - value) <= 1e-15 * fabs(value));
}

static void numbers_go_to_base_units_and_back(void **state)
{
    (void)state;
    there_and_back((Unit){.factor = 1000}, 3, 3000);
    there_and_back((Unit){.factor = 0.001}, 3, 0.003);             /* divided once: the nearest double */
    there_and_back((Unit){.factor = 0.001}, 2.54, 0.00254);
    there_and_back((Unit){.factor = 0.45359237}, 2, 0.90718474);   /* one over no whole number */
    there_and_back((Unit){.factor = 1e-16}, 2, 2e-16);             /* past what whole numbers are kept for */
    there_and_back((Unit){.factor = -2}, 3, -6);
    there_and_back((Unit){.factor = 1, .from = 273.15}, 20, 293.15);
    /* where it would matter: 0.001 is not quite a thousandth */
    assert_true(unit_to_base(&(Unit){.factor = 0.001}, 0.9) == 0.0009);
    assert_true(unit_from_base(&(Unit){.factor = 0.001}, 0.0009) == 0.9);
}

/* A world in which SCRIPT was read, with stdlib or, where that is none, without anything. */
static World *world_of(Workshop *workshop, const char *script)
{
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    workshop_read_text(workshop, "units.wleaf", script, strlen(script));
    return (World *)(uintptr_t)workshop_world(workshop);
}

static UnitId known(World *world, const char *spelling)
{
    return unit_of(world, names_of(&world->names, world->memory, spelling));
}

static void units_are_put_together(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    assert_non_null(workshop);
    World *world = world_of(workshop, "waterleaf 1\n");
    static const struct { const char *spelling; double factor; } whole[] = {
        {"g/m²", 0.001}, {"g/m^2", 0.001}, {"kg/m3", 1}, {"m⁴", 1}, {"cm⁵", 1e-10}, {"m5", 1}, {"m9", 1}, {"cm³", 1e-6}, {"1/h", 1 / 3600.0}, {"g·m/s²", 0.001},
        {"kg·m²/s²·g", 0.001}, /* what stands behind a point is on top again */
    };
    for (size_t i = 0; i < sizeof whole / sizeof *whole; i++) {
        UnitId unit = known(world, whole[i].spelling);
        assert_int_not_equal(unit, 0);
        assert_true(fabs(world->units.at[unit].factor - whole[i].factor) <= 1e-15 * whole[i].factor);
        assert_int_equal(known(world, whole[i].spelling), unit);
    }
    static const char *const none[] = {"g/jug", "jug", "g/°C", "g/oz", "g/% on fibre", "% on jug", "% on mould", "% at fibre", "g/1", "m1", "m0", "1", "²",
                                       "g/^2", "%·g"};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        if (known(world, none[i]) != 0)
            fail_msg("%s is a unit", none[i]);
    }
    UnitId on_fibre = known(world, "% on fibre");
    assert_true(world->units.at[on_fibre].factor == 0.01);
    workshop_close(workshop);
}

static const char *shown(World *world, KindId kind)
{
    UnitId unit = unit_shown(world, kind);
    return unit == 0 ? "" : unit_text(world, unit);
}

static KindId kind_called(World *world, const char *name) { return kind_named(world, names_of(&world->names, world->memory, name)); }

static KindId kind_in(World *world, const char *spelling)
{
    UnitId unit = known(world, spelling);
    return world->units.at[unit].kind;
}

static void kinds_are_shown_in_units(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "tests/unit/bare"});
    assert_non_null(workshop);
    World *world = world_of(workshop, "waterleaf 1\nkind glow\nkind part-glow within glow\nkind pace\nkind blank\nkind ember, levels of glow\n"
                                      "kind told shown in pip\nunit lux of glow\nunit foot of pace\nunit pip of told\nunit °E of glow, from 3 lux\n");
    assert_int_equal(workshop_messages(workshop)->errors, 0);
    assert_string_equal(shown(world, 0), "");
    assert_string_equal(shown(world, KIND_ONE), "");
    assert_string_equal(shown(world, kind_called(world, "glow")), "lux");
    assert_string_equal(shown(world, kind_called(world, "ember")), "°E");
    assert_string_equal(shown(world, kind_called(world, "told")), "pip");
    assert_string_equal(shown(world, kind_called(world, "blank")), "");
    KindId glow = kind_called(world, "glow"), pace = kind_called(world, "pace"), blank = kind_called(world, "blank");
    assert_string_equal(shown(world, kind_product(world, glow, pace, 1)), "lux·foot");
    assert_string_equal(shown(world, kind_product(world, kind_power(world, glow, 2), kind_power(world, pace, 3), -1)), "lux²/foot³");
    assert_string_equal(shown(world, kind_power(world, glow, 4)), "lux⁴");
    assert_string_equal(shown(world, kind_power(world, glow, 9)), "lux⁹");
    assert_string_equal(shown(world, kind_power(world, glow, 10)), "");
    assert_string_equal(shown(world, kind_product(world, kind_power(world, pace, 2), glow, 1)), "lux·foot²");
    assert_string_equal(shown(world, kind_product(world, KIND_ONE, pace, -1)), "1/foot");
    assert_string_equal(shown(world, kind_product(world, blank, pace, -1)), "");
    assert_string_equal(shown(world, kind_in(world, "foot·lux")), "lux·foot");
    /* no calendar */
    assert_int_equal(kind_of_time(world), 0);
    assert_int_equal(kind_of_day(world), 0);
    assert_int_equal(unit_of_day(world, 0), 0);
    assert_int_equal(unit_of_day(world, kind_called(world, "ember")), 0);
    /* nor a share */
    UnitId percent = known(world, "%");
    assert_true(world->units.at[percent].factor == 0.01 && world->units.at[percent].share == 1);
    assert_int_equal(known(world, "% on glow"), 0);
    workshop_close(workshop);
}

/* What the message NAME says of SCRIPT and what it advises. */
static const char *said(Workshop *workshop, const char *script, const char *name)
{
    static char both[1024];
    world_of(workshop, script);
    const Messages *messages = workshop_messages(workshop);
    both[0] = '\0';
    for (uint32_t i = 0; i < messages->list.count; i++) {
        if (strcmp(messages->list.at[i].name, name) == 0)
            snprintf(both, sizeof both, "%s %s", messages->list.at[i].says, messages->list.at[i].mend);
    }
    return both;
}

static void near_units_are_proposed(void **state)
{
    (void)state;
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    assert_non_null(workshop);
    assert_non_null(strstr(said(workshop, "waterleaf 1\nlet a = 3 KG\n", "unknown-unit"), "Did you mean kg?"));
    assert_non_null(strstr(said(workshop, "waterleaf 1\nlet a = 3 litrs\n", "unknown-unit"), "Did you mean litre?"));
    assert_null(strstr(said(workshop, "waterleaf 1\nlet a = 3 firkinsful\n", "unknown-unit"), "Did you mean"));
    assert_non_null(strstr(said(workshop, "waterleaf 1\nlet a = 3 oz\n", "two-readings-of-unit"), "oz-avoirdupois or oz-troy"));
    assert_non_null(strstr(said(workshop, "waterleaf 1\nunit bob, either 3, oz-troy\nlet a = 2 bob\n", "two-readings-of-unit"), "oz-troy"));
    workshop_close(workshop);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exponents_are_raised),
        cmocka_unit_test(signs_have_one_spelling),
        cmocka_unit_test(shares_take_their_basis),
        cmocka_unit_test(numbers_go_to_base_units_and_back),
        cmocka_unit_test(units_are_put_together),
        cmocka_unit_test(kinds_are_shown_in_units),
        cmocka_unit_test(near_units_are_proposed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
