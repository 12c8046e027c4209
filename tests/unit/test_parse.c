/* From bytes to the tree: the shapes of lines, what is said where, what is read all the same,
 * limits, and failing memory. Run from the project's folder. */
#include "unit.h"

#include "base/files.h"
#include "base/limits.h"
#include "parse_world.h"

/* A script, its tree, and what is said about it. */
static void check(const char *script, const char *tree, const char *said)
{
    Reading reading;
    reading_of(&reading, script);
    assert_string_equal(reading_tree(&reading), tree);
    assert_string_equal(reading_said(&reading), said);
    reading_close(&reading);
}

static void check_said(const char *script, const char *said)
{
    Reading reading;
    reading_of(&reading, script);
    assert_string_equal(reading_said(&reading), said);
    reading_close(&reading);
}

/* ---- Good scripts ------------------------------------------------------------ */

static void test_expressions(void **state)
{
    (void)state;
    check("x a or b and not c = d + e * f ^ g ^ h\n", "x (or a (and b (not (= c (+ d (* e (^ f (^ g h))))))))\n", "");
    check("x a + b < c + d and e and f or g or not h > 1 + i\n", "x (or (or (and (and (< (+ a b) (+ c d)) e) f) g) (not (> h (+ 1 i))))\n", "");
    check("x a - b - c / d / e\n", "x (- (- a b) (/ (/ c d) e))\n", "");
    check("x (a + b) * c\n", "x (* (+ a b) c)\n", "");
    check("x 22 in by 30 in ± 1 %\n", "x tolerance(size(22[in] 30[in]) 1[%])\n", "");
    check("x (a as b) (c in lb) (3 - 2 as d)\n", "x (a as b) convert(c [lb]) ((- 3 2) as d)\n", "");
    check("x [], [1, 2..3 g] kg\n", "x list(), list(1 range(2 3[g]) [kg])\n", "");
    check("x about a + 1 %, between 0 %..b\n", "x about((+ a 1[%]) range(0[%] b))\n", "");
    check("x 1_200.50 kg, -3, 2027-03-01, 1969-12-31, 23:59\n", "x 1200.50[kg], -3, day:20878, day:-1, minute:1439\n", "");
    check("x a is not none, b is c\n", "x (is-not a none), (is b c)\n", "");
    check("x f(), g(each a from b when c, d as e, f in g)\n", "x f(), g(each a from b when c, (d as e), convert(f [g]))\n", "");
}

static void test_lines(void **state)
{
    (void)state;
    check("x\n", "x\n", "");
    check("", "", "");
    check("takes a as b = 1 kg, source \"c\" when d\n", "takes a as> b = 1[kg], <source \"c\"> when d\n", "");
    check("when a:\nb\nend\notherwise:\nc\nend\n", "when when a :\n  b\nend\notherwise :\n  c\nend\n", "");
    check("x practice \"a\" memory b\n", "x <practice \"a\"> <memory> b\n", "");
    check("x \"{a in g, 2 decimals} and {b, 0 decimals}\"\n", "x \"{convert(a [g]), 2} and {b, 0}\"\n", "");
    check("x a, when b\n", "x a when b\n", "");
    check("x:\nend\n", "x :end\n", "");
}

static void test_spans(void **state)
{
    (void)state;
    Reading reading;
    reading_of(&reading, "x (a + b) * c\n");
    const Node *line = tree_node(&reading.tree, tree_node(&reading.tree, reading.script)->first);
    const Node *product = tree_node(&reading.tree, line->first), *sum = tree_node(&reading.tree, product->first);
    uint32_t base = reading.sources.list.at[reading.source].base;
    assert_int_equal(line->start, base);
    assert_int_equal(line->end, base + 13);
    assert_int_equal(product->start, base + 2);
    assert_int_equal(sum->end, base + 9); /* the brackets belong to it */
    reading_close(&reading);
}

static void test_comments(void **state)
{
    (void)state;
    Reading reading;
    reading_of(&reading, "# one\nx a, # two\n# three\n b\n#");
    assert_int_equal(reading.tree.comments.count, 4);
    Span two = reading.tree.comments.at[1];
    assert_memory_equal(sources_bytes(&reading.sources, two.start), "# two", 5);
    assert_int_equal(two.end - two.start, 5);
    reading_close(&reading);
}

static char *file_of(Memory *memory, const char *path)
{
    char *bytes;
    size_t length;
    assert_int_equal(files_read(memory, path, 1 << 20, &bytes, &length), FILE_FINE);
    return bytes;
}

static void test_golden(void **state)
{
    (void)state;
    Memory memory = {0};
    check(file_of(&memory, "tests/golden/syntax/forms.wleaf"), file_of(&memory, "tests/golden/syntax/forms.tree"), "");
    check(file_of(&memory, "tests/golden/syntax/ways.wleaf"), file_of(&memory, "tests/golden/syntax/ways.tree"), "");
    memory_return_all(&memory);
}

/* What newcomers type and what is meant by it. */
static void test_read_as_meant(void **state)
{
    (void)state;
    check("\xEF\xBB\xBFx “a”,\u00A0b\u00A0− 2 × c ÷ d\r\ny\te\r\n", "x \"a\", (- b (/ (* 2 c) d))\ny e\n", "");
    check("x a ≤ b\nx a >= b\nx a ≠ b\n", "x (<= a b)\nx (>= a b)\nx (<> a b)\n", "");
    check("x\ry\r", "x\ny\n", "");
}

/* ---- What has two readings ------------------------------------------------------ */

static void test_refused(void **state)
{
    (void)state;
    check("x 1,500 g\ny\n", "x !\ny\n", "comma-in-number 1:3");
    check("x [190,300] g\n", "x list(! [g])\n", "comma-in-number 1:4");
    check("x 1.5,2\n", "x !\n", "comma-in-number 1:3");
    check("x 12-3\n", "x !\n", "minus-unclear 1:3");
    check("x 12–15 °SR\n", "x !\n", "minus-unclear 1:3");
    check_said("x total -1\n", "minus-unclear 1:3");
    check_said("x a -b\nx a- b\nx f(a) -b\nx (a)-3\nx at -b\n",
               "minus-unclear 1:3, minus-unclear 2:3, minus-unclear 3:6, minus-unclear 4:5, minus-unclear 5:6");
    check("x 05/06/27, 5.6.2027, 2027-6-5\n", "x !, !, !\n", "date-unclear 1:3, date-unclear 1:13, date-unclear 1:23");
    check("x 2027-02-29, 2028-02-29\n", "x !, day:21243\n", "no-such-day 1:3");
    check("x 24:00\n", "x !\n", "no-such-time 1:3");
    check("x .5 kg\n", "x !\n", "number-form 1:3");
    check("x 22\" by 30\"\n", "x size(22[in] 30[in])\n", "inch-mark 1:3, inch-mark 1:10");
    check_said("x -3 ^ 2\nx (-3) ^ 2\nx 0 - 3 ^ 2\n", "sign-and-power 1:3");
    check_said("x about 1..2\nx about 1, between 2\n", "about-range 1:9, between-without-range 2:12");
    check_said("x 1 + about 2\nx 1 + (about 2)\n", "brackets-needed 1:7");
}

/* The readings and their spelling stand in the message. */
/* Of one line three mistakes are told. What is quoted of the script is cut between
 * two signs, not within one. */
static void test_mistakes_are_counted(void **state)
{
    (void)state;
    check_said("x .5, .5, .5, .5, .5\ny .5\n", "number-form 1:3, number-form 1:7, number-form 1:11, number-form 2:3");
    check_said("x [.5, .5, .5, (.5)\n", "number-form 1:4, number-form 1:8, number-form 1:12");
    char script[128];
    Reading reading;
    for (int wide = 56; wide <= 60; wide++) { /* a sign of two bytes stands before, on and behind the 60th */
        sprintf(script, "x:\nend ");
        memset(script + strlen("x:\nend "), 'a', (size_t)wide);
        strcpy(script + strlen("x:\nend ") + wide, "\u00E9\u00E9\u00E9\n");
        reading_of(&reading, script);
        assert_int_equal(reading.messages.list.count, 1);
        const char *says = reading.messages.list.at[0].says;
        for (size_t i = 0, taken; says[i] != '\0'; i += taken)
            assert_true(utf8_decode(says + i, strnlen(says + i, 4), &taken) != 0xFFFD);
        assert_non_null(strstr(says, "a"));
        reading_close(&reading);
    }
}

static void test_both_readings(void **state)
{
    (void)state;
    Reading reading;
    reading_of(&reading, "x 1,500\nx [190,300]\nx total -1\nx 05/06/27\n");
    const Message *list = reading.messages.list.at;
    assert_non_null(strstr(list[0].says, "1500"));
    assert_non_null(strstr(list[0].says, "1.500"));
    assert_non_null(strstr(list[1].says, "190, 300"));
    assert_non_null(strstr(list[1].says, "190.300"));
    assert_non_null(strstr(list[2].mend, "total - 1"));
    assert_non_null(strstr(list[2].mend, "total, -1"));
    assert_non_null(strstr(list[3].mend, "2027-06-05 or 2027-05-06"));
    reading_close(&reading);
}

/* ---- One mistake, one message ------------------------------------------------------ */

static void test_recovery(void **state)
{
    (void)state;
    check("x a +\ny b\n", "x ! !!\ny b\n", "unexpected 1:6");
    check("x a b )\ny\n", "x a b ! !!\ny\n", "bracket-surplus 1:7");
    check("x (a + b\ny\n", "x ! !!\ny\n", "bracket-open 1:3");
    check("x (a]\n", "x ! !!\n", "bracket-surplus 1:5");
    check("x a, , b\ny\n", "x a ! !!\ny\n", "unexpected 1:6");
    check("x at\ny\n", "x ! !!\ny\n", "unexpected 1:5");
    check("x a ; b\ny\n", "x a b ! !!\ny\n", "strange-sign 1:5");
    check("x \"a\ny\n", "x \"a\"\ny\n", "text-open 1:3");
    check("x \"a {b\"\ny\n", "x \"a {b}\"\ny\n", "brace-open 1:6");
    check("x \"a {b, 2 digits}\"\n", "x ! !!\n", "fill-form 1:10");
    check("12 kg\ny\n", "? ! !!\ny\n", "line-without-word 1:1");
    check("x a,\nend\n", "x a ! !!\n", "comma-dangling 1:4, end-surplus 2:1");
    check("x a,\n", "x a ! !!\n", "comma-dangling 1:4");
    check("x: a\n", "x ! !!\n", "colon-inside 1:2");
    check("x a + + b ( , 3\ny\n", "x ! !!\ny\n", "bracket-open 1:11");
    check_said("x a \x01\x02\x03 b \x04\n", "unreadable-bytes 1:5");
    check_said("x \"a\xFF\xFE\" # \xED\xA0\x80\n", "unreadable-bytes 1:5");
    check_said("x a ( ( \n", "bracket-open 1:7");
}

static void test_nul(void **state)
{
    (void)state;
    Reading reading;
    reading_bytes(&reading, "x a \0\0 b\ny\0", 11);
    assert_string_equal(reading_tree(&reading), "x a b ! !!\ny ! !!\n");
    assert_string_equal(reading_said(&reading), "unreadable-bytes 1:5, unreadable-bytes 2:2");
    reading_close(&reading);
}

static const char *mend_of(Reading *reading, const char *script)
{
    reading_of(reading, script);
    assert_int_equal(reading->messages.list.count, 1);
    return reading->messages.list.at[0].mend;
}

static void check_mend(const char *script, const char *mend)
{
    Reading reading;
    assert_string_equal(mend_of(&reading, script), mend);
    reading_close(&reading);
}

/* The words come from before the parser made up its mind. */
static void test_expected(void **state)
{
    (void)state;
    check_mend("x f(1, 2 < 3\n", "Put ) where it ends.");
    check_mend("x f(1, 2 kg for)\n", "Behind \"kg\" there may stand \")\", \"in\", a comma, \"..\" or a sign like + or <.");
    check_mend("x a * / b\n", "Behind \"*\" there may stand a name, a quantity, a text in quotes or an opening bracket.");
    check_mend("x (a in lb c)\n", "Behind \"lb\" there may stand \")\".");
    check_mend("x shown in, a\n", "Behind \"in\" there may stand a unit.");
    check_mend("x f(each a of b)\n", "Behind \"a\" there may stand \"from\".");
    check_mend("x a.\n", "Behind \".\" there may stand a name.");
    check_mend("x * a\n", "A line goes on with a name, a quantity, a text in quotes, an opening bracket or the end of the line.");
}

/* ---- Blocks -------------------------------------------------------------------------- */

static void test_blocks(void **state)
{
    (void)state;
    const char *nested = "a:\n  b:\n    c\n  end b\nend\n";
    check(nested, "a :\n  b :\n    c\n  end b\nend\n", "");
    check("a:\nb:\nc\nend\nend\n", "a :\n  b :\n    c\n  end\nend\n", ""); /* indentation means nothing */
    check("paper x:\nend x\npaper y:\nend paper y\n", "paper x :end x\npaper y :end paper\n", "");
    check("a:\n  b\nend c\n", "a :\n  b\nend c\n", "end-wrong-name 3:1");
    check("a:\n  b\nend 3\n", "a :\n  b\nend\n", "end-form 3:5");
    check("a::\n  b\nend\n", "a :\n  b\nend\n", "colon-twice 1:2");
    check("a: :\n  b\nend\n", "a :\n  b\nend\n", "colon-twice 1:2");
    check("a:\n  b\nend end\n", "a :\n  b\nend\n", "end-twice 3:5");
    check("a +:\n  b\nend\nc\n", "a ! :\n  b\nend !!\nc\n", "unexpected 1:3");
}

static void test_missing_end(void **state)
{
    (void)state;
    const char *mended = "a :\n  b :\n    c\n  end\n  d\nend\n";
    check("a:\n  b:\n    c\n  d\nend\n", mended, "end-missing 2:3");
    check("a:\n  b:\n    c\nend\n", "a :\n  b :\n    c\n  end\nend\n", "end-missing 2:3");
    check("a:\n  b:\n    c\n  end\n", "a :\n  b :\n    c\n  end\nend\n", "end-missing 1:1");
    check("a:\n  b:\n    c\n  b:\n    c\n  end\nend\n", "a :\n  b :\n    c\n  end\n  b :\n    c\n  end\nend\n", "end-missing 2:3");
    check("a:\nb:\nc\nend\n", "a :\n  b :\n    c\n  end\nend\n", "end-missing 1:1"); /* no indentation to go by */
    check("a:\n  b:\n    c\n  ende\n  d\nend\n", mended, "end-misspelt 4:3");
    check("a:\n  b:\n    c\n  nd b\n  d\nend\n", mended, "end-misspelt 4:3");
}

static void test_surplus_end(void **state)
{
    (void)state;
    const char *mended = "a :\n  b :\n    c\n  end\n  d\nend\n";
    check("a:\n  b:\n    c\n  end\n  end\n  d\nend\n", mended, "end-surplus 5:3");
    check("a:\n  b\nend\nend\nc\n", "a :\n  b\nend\nc\n", "end-surplus 4:1");
    check("end\n", "", "end-surplus 1:1");
}

static void test_missing_colon(void **state)
{
    (void)state;
    const char *mended = "a :\n  b :\n    c\n  end\n  d\nend\n";
    check("a:\n  b\n    c\n  end\n  d\nend\n", mended, "colon-missing 2:3");
    check("a\n  b:\n    c\n  end\n  d\nend\n", mended, "colon-missing 1:1");
    check("a:\n  b;\n    c\n  end\n  d\nend\n", "a :\n  b ! :\n    c\n  end !!\n  d\nend\n", "strange-sign 2:4");
}

/* A stroke of the pencil over one line of the golden script. */
typedef enum Stroke { STROKE_DELETE, STROKE_DOUBLE, STROKE_MISSPELL, STROKES } Stroke;

static void struck(Text *out, const char *script, size_t at, size_t length, Stroke stroke)
{
    text_clear(out);
    text_add(out, script, at);
    if (stroke == STROKE_DOUBLE)
        text_print(out, "%.*s%s%.*s", (int)length, script + at, length > 1 ? " " : "", (int)length, script + at);
    else if (stroke == STROKE_MISSPELL)
        text_put(out, length > 1 ? "edn" : ";");
    text_put(out, script + at + length);
}

static uint32_t line_of(Reading *reading, uint32_t message)
{
    uint32_t line, column;
    sources_line(&reading->sources, reading->messages.list.at[message].at.start, &line, &column);
    return line;
}

/* Each `end` and each `:` of the golden script in turn, deleted, doubled and misspelt: one
 * message, at the block's first or last line. */
static void test_every_block(void **state)
{
    (void)state;
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    const char *script = file_of(&memory, "tests/golden/syntax/forms.wleaf");
    uint32_t openers[LIMIT_BLOCKS] = {0}, depth = 0, line = 1, struck_blocks = 0;
    for (const char *at = script; *at; at = strchr(at, '\n') + 1, line++) {
        const char *word = at + strspn(at, " "), *stop = strchr(at, '\n') - 1;
        bool opens = *stop == ':' && *word != '#', ends = strncmp(word, "end", 3) == 0 && strchr(" \n", word[3]);
        if (opens)
            openers[depth++] = line;
        if (!opens && !ends)
            continue;
        uint32_t opener = openers[depth - 1];
        depth -= ends;
        for (Stroke stroke = 0; stroke < STROKES; stroke++) {
            Reading reading;
            struck(&text, script, (size_t)((opens ? stop : word) - script), opens ? 1 : 3, stroke);
            reading_of(&reading, text.at);
            if (reading.messages.list.count != 1)
                fail_msg("line %u, stroke %d: %s", line, (int)stroke, reading_said(&reading));
            uint32_t said = line_of(&reading, 0);
            assert_true(said == opener || said == line);
            struck_blocks++;
            reading_close(&reading);
        }
    }
    assert_true(struck_blocks > 100);
    memory_return_all(&memory);
}

/* ---- Limits ----------------------------------------------------------------------------- */

/* PREFIX, PART so many times, SUFFIX: one message, and no more memory than a small multiple. */
static void check_limit(const char *prefix, const char *part, uint32_t times, const char *suffix, const char *said)
{
    Memory memory = {0};
    Text script;
    text_open(&script, &memory);
    text_put(&script, prefix);
    for (uint32_t i = 0; i < times; i++)
        text_put(&script, part);
    text_put(&script, suffix);
    Reading reading;
    reading_bytes(&reading, script.at, script.length);
    assert_string_equal(reading_said(&reading), said);
    assert_true(reading.memory.most_held < script.length * 64 + (4 << 20));
    reading_close(&reading);
    memory_return_all(&memory);
}

static void test_limits(void **state)
{
    (void)state;
    check_limit("", "a:\n", LIMIT_BLOCKS, "", "end-missing 64:1");
    check_limit("", "a:\n", 100000, "", "blocks-too-deep 65:1");
    check_limit("x ", "f(", LIMIT_BRACKETS, "", "bracket-open 1:202");
    check_limit("x ", "(", 100000, "", "brackets-too-deep 1:103");
    check_limit("x ", "9", LIMIT_NUMBER_DIGITS, " kg\n", "");
    check_limit("x ", "9", 1000000, " kg\n", "number-too-long 1:3");
    check_limit("x 1", " + 1", LIMIT_OPERATORS, "\n", "");
    check_limit("x 1", " + 1", 100000, "\ny\n", "expression-too-long 1:1205");
    check_limit("x a", ".a", 100000, "\n", "expression-too-long 1:605");
    check_limit("x ", "not ", 100000, "a\n", "expression-too-long 1:6399");
    check_limit("x ", "a ", LIMIT_LINE_BYTES / 2 - 2, "\n", "");
    check_limit("x ", "a ", 10 * LIMIT_LINE_BYTES, "\ny )\n", "line-too-long 1:1, bracket-surplus 2:3");
    check_limit("x \"", "a", 10 * LIMIT_LINE_BYTES, "\"\ny\n", "line-too-long 1:1");
    check_limit("x", ",\na", 1000, "\n", "unexpected 1:2");
    check_limit("x a", ",\na", LIMIT_LINE_BYTES, "\n", "line-too-long 1:1");
}

static void test_most_brackets(void **state)
{
    (void)state;
    Text script;
    Memory memory = {0};
    text_open(&script, &memory);
    text_put(&script, "x ");
    /* As much of the parser's stack as the limits allow: each operator waits for its right side. */
    for (int i = 0; i < LIMIT_BRACKETS; i++)
        text_put(&script, i * 5 < LIMIT_OPERATORS - 5 ? "f(1, 2 or 3 and 4 = 5 ± 6 by 7 + 8 * " : "f(1, 2 ± ");
    text_put(&script, "1");
    for (int i = 0; i < LIMIT_BRACKETS; i++)
        text_put(&script, ")");
    check_said(script.at, "");
    memory_return_all(&memory);
}

static void test_many_mistakes(void **state)
{
    (void)state;
    Memory memory = {0};
    Text script;
    text_open(&script, &memory);
    for (int i = 0; i < 1000; i++)
        text_put(&script, "a:\nx )\n");
    Reading reading;
    reading_of(&reading, script.at);
    assert_int_equal(reading.messages.list.count, LIMIT_SCRIPT_MESSAGES + 1);
    assert_int_equal(reading.messages.list.at[LIMIT_SCRIPT_MESSAGES].kind, SAY_reading_stopped);
    reading_close(&reading);
    memory_return_all(&memory);
}

/* ---- Memory ---------------------------------------------------------------------------------- */

static void read_all_kinds(Memory *memory)
{
    static const char script[] = "# a\npaper b:\n  x \"c {d in g, 1 decimal}\" 1,5 3 %  of e )\n  y [1, 2] kg +\n  z \"\\\"\"\nende\n";
    Names names;
    Sources sources;
    Tree tree;
    Messages messages;
    names_open(&names, memory);
    sources_open(&sources, memory);
    tree_open(&tree, memory);
    messages_open(&messages, memory);
    ParseWorld world = {memory, &names, &sources, &tree, &messages};
    parse_script(&world, sources_add(&sources, memory, names_of(&names, memory, "a"), script, sizeof script - 1, false));
}

static void test_failing_memory(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(read_all_kinds) > 10);
}

/* What the parser took for itself is given back. */
static void test_nothing_kept(void **state)
{
    (void)state;
    Reading reading;
    reading_of(&reading, "x a\n");
    size_t held = reading.memory.held;
    uint32_t tokens = parse_count_tokens(&reading.world, reading.source);
    assert_int_equal(tokens, 2);
    assert_int_equal(reading.memory.held, held);
    reading_close(&reading);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_expressions),   cmocka_unit_test(test_lines),         cmocka_unit_test(test_spans),
        cmocka_unit_test(test_comments),      cmocka_unit_test(test_golden),        cmocka_unit_test(test_read_as_meant),
        cmocka_unit_test(test_refused),       cmocka_unit_test(test_mistakes_are_counted), cmocka_unit_test(test_both_readings), cmocka_unit_test(test_recovery),
        cmocka_unit_test(test_nul),           cmocka_unit_test(test_expected),      cmocka_unit_test(test_blocks),
        cmocka_unit_test(test_missing_end),   cmocka_unit_test(test_surplus_end),   cmocka_unit_test(test_missing_colon),
        cmocka_unit_test(test_every_block),   cmocka_unit_test(test_limits),        cmocka_unit_test(test_most_brackets),
        cmocka_unit_test(test_many_mistakes), cmocka_unit_test(test_failing_memory), cmocka_unit_test(test_nothing_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
