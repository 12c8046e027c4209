/* The lexer: what a lexeme means where it stands. */
#include "unit.h"

#include <stdio.h>

#include "parse_world.h"
#include "parser.h"
#include "syntax/lexer.h"

static const char *kind_name(uint32_t kind)
{
    switch (kind) {
    case TOKEN_NAME: return "name";
    case TOKEN_CALL: return "call";
    case TOKEN_NUMBER: return "number";
    case TOKEN_UNIT: return "unit";
    case TOKEN_UNIT_NAME: return "unit-name";
    case TOKEN_BAD: return "bad";
    case TOKEN_DATE: return "date";
    case TOKEN_CLOCK: return "clock";
    case TOKEN_TEXT: return "text";
    case TOKEN_TEXT_OPEN: return "text-open";
    case TOKEN_TEXT_MIDDLE: return "text-middle";
    case TOKEN_TEXT_CLOSE: return "text-close";
    case TOKEN_PREPOSITION: return "preposition";
    case TOKEN_FROM: return "from";
    case TOKEN_CONVERT: return "convert";
    case TOKEN_NARROW: return "narrow";
    case TOKEN_BIND: return "bind";
    case TOKEN_EQUAL: return "equal";
    case TOKEN_IS: return "is";
    case TOKEN_IS_NOT: return "is-not";
    case TOKEN_ABOUT: return "about";
    case TOKEN_ABOUT_BETWEEN: return "about-between";
    case TOKEN_BETWEEN: return "between";
    case TOKEN_ORIGIN: return "origin";
    case TOKEN_WHEN: return "when";
    default: return "sign";
    }
}

/* The tokens of the first line as "kind:text kind:text"; signs bare. */
static const char *tokens_of(Reading *reading, const char *text)
{
    *reading = (Reading){0};
    reading_prepare(reading, text, strlen(text));
    const Source *source = &reading->sources.list.at[reading->source];
    const unsigned char *bytes = (const unsigned char *)sources_text(&reading->sources, source);
    Mistakes mistakes;
    UnitSpellings units = {0};
    Lexer lexer;
    mistakes_open(&mistakes, &reading->memory, &reading->messages, bytes, source->base);
    lexer_open(&lexer, &reading->memory, &reading->names, &reading->tree, &mistakes, &units, bytes, source->length, source->base);
    assert_true(lexer_line(&lexer));
    text_put(&reading->out, names_text(&reading->names, lexer.line.word));
    for (uint32_t i = 0; i < lexer.tokens.count; i++) {
        Token token = lexer.tokens.at[i];
        bool named = token.kind == TOKEN_UNIT || token.kind == TOKEN_UNIT_NAME || token.kind == TOKEN_TEXT;
        const char *kind = kind_name(token.kind);
        text_print(&reading->out, strcmp(kind, "sign") == 0 ? " " : " %s:", kind);
        if (named)
            text_put(&reading->out, names_text(&reading->names, token.value));
        else
            text_add(&reading->out, (const char *)lexer_at(&lexer, token.start), token.end - token.start);
    }
    text_put(&reading->out, lexer.line.opens ? " OPENS" : "");
    return reading->out.at;
}

static void check(const char *line, const char *tokens)
{
    Reading reading;
    assert_string_equal(tokens_of(&reading, line), tokens);
    assert_string_equal(reading_said(&reading), "");
    reading_close(&reading);
}

/* What is typed behind a number, and the unit it is. */
static void check_unit(const char *typed, const char *unit)
{
    Reading reading;
    char line[200], tokens[200];
    snprintf(line, sizeof line, "at 5%s, x", typed);
    snprintf(tokens, sizeof tokens, "at number:5 unit:%s , name:x", unit);
    assert_string_equal(tokens_of(&reading, line), tokens);
    reading_close(&reading);
}

static void test_words(void **state)
{
    (void)state;
    check("soak cotton-linters for 12 h", "soak name:cotton-linters preposition:for number:12 unit:h");
    check("x papier-mâché бумага 紙 a2b", "x name:papier-mâché name:бумага name:紙 name:a2b");
    check("x not-tested is not none", "x name:not-tested is-not:is not none");
    check("x a is not-tested", "x name:a is:is name:not-tested");
    check("x each.when m.source", "x each . name:when name:m . name:source");
    check("x f(a) g (b)", "x call:f name:a ) name:g ( name:b )");
    check("needs not(a)", "needs not ( name:a )");
    check("for in at", "for preposition:in preposition:at");
    check("one, other", "one , name:other");
    check("kind x practice", "kind name:x origin:practice");
}

static void test_numbers(void **state)
{
    (void)state;
    check("x 12_000 1.25 2027-03-01 08:30 8:30", "x number:12_000 number:1.25 date:2027-03-01 clock:08:30 clock:8:30");
    check("x 30..40 °SR", "x number:30 .. number:40 unit:°SR");
    check("x 1.5…2", "x number:1.5 … number:2");
    check("x [-1, 2] kg", "x [ number:-1 , number:2 ] unit:kg");
    check("x -5 °C", "x number:-5 unit:°C");
    check("x a - 5", "x name:a - number:5");
    check("x 3 * -2", "x number:3 * number:-2");
    check("x a − 5", "x name:a − number:5");
    check("x at\u00A05\u00A0kg", "x preposition:at number:5 unit:kg");
}

static void test_units(void **state)
{
    (void)state;
    check_unit(" g/m²", "g/m²");
    check_unit(" g/m2", "g/m²");
    check_unit(" g/m^2", "g/m²");
    check_unit("g/m2", "g/m²");
    check_unit(" kg/m^3", "kg/m³");
    check_unit(" in2", "in²");
    check_unit(" in²", "in²");
    check_unit(" in^2", "in²");
    check_unit(" ºC", "°C");
    check_unit(" º1", "º1");
    check_unit(" º", "º");
    check_unit(" s^-1", "s⁻¹");
    check_unit(" mol/kg", "mol/kg");
    check_unit(" sheets/h", "sheets/h");
    check_unit(" N·m", "N·m");
    check_unit(" N*m", "N·m");
    check_unit(" N⋅m", "N·m");
    check_unit(" degC", "°C");
    check_unit(" °C", "°C");
    check_unit(" º" "C", "°C");
    check_unit(" ℃", "°C");
    check_unit(" SR", "°SR");
    check_unit(" um", "µm");
    check_unit(" μm", "µm");
    check_unit(" µg/L", "µg/L");
    check_unit(" units", "units");
    check_unit(" gal-US", "gal-US");
    check_unit(" sheet-as-it-is2", "sheet-as-it-is2");
    check_unit(" €/kg", "€/kg");
    check_unit(" in", "in");
    check_unit(" %", "%");
    check_unit("%", "%");
    check_unit(" % on fibre", "% on fibre");
    check_unit(" %  of\tsheet-as-it-is", "% of sheet-as-it-is");
    check_unit(" %on fibre", "% on fibre");
    check_unit(" %of\tsheet-as-it-is", "% of sheet-as-it-is");
    check_unit(" % w/v dry", "% w/v dry");
    check_unit(" %w/v  as-weighed", "% w/v as-weighed");
    check_unit(" % (w/v) dry", "% w/v dry");
    check_unit(" % w/w", "% w/w");
    check_unit(" %/h", "%/h");
    check_unit(" ‰", "‰");
}

static void test_where_units_stand(void **state)
{
    (void)state;
    check("x 5 for 3 h", "x number:5 preposition:for number:3 unit:h");
    check("x 5 % from y", "x number:5 unit:% from:from name:y");
    check("x 5 % of m.mass", "x number:5 unit:% preposition:of name:m . name:mass");
    check("x 5 % w/w dry", "x number:5 unit:% w/w name:dry");
    check("x 5 % w/v drying", "x number:5 unit:% w/v name:drying");
    check("x 5 g/f(y)", "x number:5 unit:g / call:f name:y )");
    check("x 5 f(y)", "x number:5 call:f name:y )");
    check("x 5 g / m", "x number:5 unit:g / name:m");
    check("x 22 in by 30 in", "x number:22 unit:in by number:30 unit:in");
    check("x a in b", "x name:a preposition:in name:b");
    check("x (a in lb)", "x ( name:a convert:in unit:lb )");
    check("x (a in in)", "x ( name:a convert:in unit:in )");
    check("x f(a in g/m2)", "x call:f name:a convert:in unit:g/m² )");
    check("x [a, b] in c", "x [ name:a , name:b ] preposition:in name:c");
    check("x [1, 2] in", "x [ number:1 , number:2 ] unit:in");
    check("x (a as b) as c", "x ( name:a narrow:as name:b ) preposition:as name:c");
    check("kind x shown in % on fibre", "kind name:x shown convert:in unit:% on fibre");
    check("unit m2 = 1 x", "unit unit-name:m² bind:= number:1 unit:x");
    check("unit % w/v dry of s", "unit unit-name:% w/v dry preposition:of name:s");
    check("unit % of s", "unit unit-name:% preposition:of name:s");
    check("unit in = 25.4 mm", "unit unit-name:in bind:= number:25.4 unit:mm");
    check("unit x also °C", "unit unit-name:x name:also unit-name:°C");
}

static void test_what_binds(void **state)
{
    (void)state;
    check("let a = b = c", "let name:a bind:= name:b equal:= name:c");
    check("takes a as b = c", "takes name:a preposition:as name:b bind:= name:c");
    check("require a = b", "require name:a equal:= name:b");
    check("let f(a = b) = c", "let call:f name:a equal:= name:b ) bind:= name:c");
    check("sets a is b when c = d", "sets name:a is:is name:b when:when name:c equal:= name:d");
}

static void test_about(void **state)
{
    (void)state;
    check("x about 5 %, between 1 %..9 %, between y",
          "x about:about number:5 unit:% about-between:between number:1 unit:% .. number:9 unit:% , between:between name:y");
    check("x about f(a, b), between c", "x about:about call:f name:a , name:b ) about-between:between name:c");
    check("x about 5, 6, between 7", "x about:about number:5 , number:6 , between:between number:7");
    check("table x, between linear", "table name:x , between:between name:linear");
}

static void test_texts(void **state)
{
    (void)state;
    check("x \"a\" \"\"", "x text:a text:");
    check("x \"{{a}} \\\"b\\\" \\\\ \\c }\"", "x text:{a} \"b\" \\ \\c }");
    check("x \"{a}{b in g} c\"", "x text-open:\"{ name:a text-middle:}{ name:b convert:in unit:g text-close:} c\"");
    check("x \"{f(\"b\")}\"", "x text-open:\"{ call:f text:b ) text-close:}\"");
    check("x “a” „b“ “c\"", "x text:a text:b text:c");
    check("x \"a “b” c\"", "x text:a “b” c");
}

static void test_lines(void **state)
{
    (void)state;
    check("paper x: # note", "paper name:x OPENS");
    check("x a,\n  # why\n\n  b", "x name:a , name:b");
    check("\xEF\xBB\xBFx a\r\ny", "x name:a");
    check("\n\t  \r\n# c\nx", "x");
    check("when a:", "when when:when name:a OPENS");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_words),      cmocka_unit_test(test_numbers), cmocka_unit_test(test_units),
        cmocka_unit_test(test_where_units_stand), cmocka_unit_test(test_what_binds), cmocka_unit_test(test_about),
        cmocka_unit_test(test_texts),      cmocka_unit_test(test_lines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
