/* The back ends for text and HTML: nothing that a script holds breaks out of
 * them, lines keep their width, and a number stays beside its unit. */
#include "unit.h"

#include "base/text.h"
#include "render/html.h"
#include "render/table.h"
#include "render/text.h"
#include "render/words.h"

#include <stdio.h>
#include <string.h>

enum { WIDTH = 96 };

static void cleans(const char *text, const char *wanted)
{
    Memory memory = {0};
    Text out;
    text_open(&out, &memory);
    words_clean(&out, text);
    assert_string_equal(out.at == NULL ? "" : out.at, wanted);
    memory_return_all(&memory);
}

static void what_cannot_be_shown_is_replaced(void **state)
{
    (void)state;
    cleans("", "");
    cleans("  a \t b\r\n c  ", "a b c");
    cleans("a\x1B[31mb", "a\xEF\xBF\xBD[31mb");
    cleans("a\xFF" "b", "a\xEF\xBF\xBD" "b");
    cleans("a\xE2\x80\xAE" "b", "a\xEF\xBF\xBD" "b"); /* turns the direction */
    cleans("a\xC2\x85" "b", "a b");
    cleans("a\xEF\xBF\xBE", "a\xEF\xBF\xBD");
    cleans("g/m² 紙", "g/m² 紙");
}

static void lines_end_between_words(void **state)
{
    (void)state;
    assert_int_equal(words_line("one two", 7), 7);
    assert_int_equal(words_line("one two", 6), 3);
    assert_int_equal(words_line("take 12 h now", 7), 4);      /* not behind 12 */
    assert_int_equal(words_line("take 12 h now", 9), 9);
    assert_int_equal(words_line("12 g/m²", 4), 2);            /* unless nothing else would do */
    assert_int_equal(words_line("abcdefgh", 3), 3);
    assert_int_equal(words_line("紙紙紙", 5), 6);              /* two columns each */
    assert_int_equal(words_line("紙", 1), 3);                 /* at least one sign */
    assert_int_equal(words_line("mass ÷ (1 − u)", 8), 4);
    assert_int_equal(words_line("", 5), 0);
    assert_int_equal(words_longest("one three 12 kg"), 5);
    assert_int_equal(words_longest("a 1200 kg b"), 7);
    assert_int_equal(words_longest(""), 0);
}

/* ---- plain text ---- */

static void put_long_document(Document *document, Arena *arena)
{
    document_open(document, arena, "Title <&\">");
    document_enter(document, DOCUMENT_PART, NULL, "part \"one\" \\ </style><b>");
    document_heading(document, 1, "A heading that is so long that it does not go into one line of the text, even though it only names a batch of paper");
    document_enter(document, DOCUMENT_PAIRS, NULL, NULL);
    document_pair(document, "a label that is longer than its column", "text text text text text text text text text text text text text text");
    document_leave(document);
    document_enter(document, DOCUMENT_TABLE, NULL, "a <wide> table");
    document_enter(document, DOCUMENT_HEAD, NULL, NULL);
    for (int i = 0; i < 4; i++)
        document_cell(document, i > 0 ? DOCUMENT_NUMBER : 0, "head");
    document_leave(document);
    document_enter(document, DOCUMENT_ROW, NULL, NULL);
    document_cell(document, DOCUMENT_ROW_HEAD, "a name of several words that is much too long for the column in which it has to stand, so that it is wrapped");
    document_cell(document, DOCUMENT_NUMBER, "12345678901234567890123456789012345678901234567890.5 kg");
    document_cell(document, DOCUMENT_NUMBER | DOCUMENT_STRONG, "2 × 7850 g");
    document_cell(document, DOCUMENT_BLANK, "");
    document_enter(document, DOCUMENT_FIELDS, NULL, NULL)->marks = DOCUMENT_IN_LINE;
    for (int i = 0; i < 7; i++)
        document_field(document, 0, "moisture found", NULL);
    document_leave(document);
    document_leave(document);
    document_leave(document);
    document_enter(document, DOCUMENT_KEEP, NULL, NULL);
    DocumentNode *caution = document_add(document, DOCUMENT_CAUTION, "danger",
        "A caution that is long enough to go on in a second line, because there are many things to be told about it & its <dangers>.");
    caution->hint = "gloves";
    DocumentNode *tick = document_add(document, DOCUMENT_TICK, "12", "stir");
    tick->level = 3;
    tick->hint = "Stir 5 kg of it into the chest, slowly, from the bottom, until nobody can tell any more where it was poured in, for 20 min at least.";
    document_enter(document, DOCUMENT_FIELDS, NULL, NULL);
    document_field(document, 0, "a reading with a very long name, for which the blank does not go into the same line any more", "1 to 2 g/m²");
    document_leave(document);
    document_enter(document, DOCUMENT_HOLD, "HOLD", "Work stops here.");
    document_field(document, DOCUMENT_LONG, "signed", NULL);
    document_leave(document);
    document_leave(document);
    document_leave(document);
    document_enter(document, DOCUMENT_PART, NULL, "two");
    document_add(document, DOCUMENT_NOTE, NULL, "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa");
    document_leave(document);
}

typedef struct Written {
    Memory memory;
    Arena arena;
    Document document;
    Text text, html;
} Written;

static void write_both(Written *written)
{
    *written = (Written){0};
    arena_open(&written->arena, &written->memory);
    text_open(&written->text, &written->memory);
    text_open(&written->html, &written->memory);
    put_long_document(&written->document, &written->arena);
    render_text(&written->text, &written->document);
    render_html(&written->html, &written->document, "a4");
}

static void lines_keep_their_width(void **state)
{
    (void)state;
    Written written;
    write_both(&written);
    unsigned lines = 0;
    for (const char *at = written.text.at; *at != 0; lines++) {
        at += *at == '\f';
        const char *end = strchr(at, '\n');
        assert_non_null(end);
        if (utf8_columns(at, (size_t)(end - at)) > WIDTH)
            fail_msg("too wide: %.*s", (int)(end - at), at);
        assert_true(end == at || end[-1] != ' ');
        at = end + 1;
    }
    assert_true(lines > 25);
    memory_return_all(&written.memory);
}

static void parts_of_text_are_there(void **state)
{
    (void)state;
    Written written;
    write_both(&written);
    const char *text = written.text.at;
    assert_non_null(strstr(text, "[ ] 12. stir. Stir 5 kg of it"));
    assert_non_null(strstr(text, "! DANGER: A caution"));
    assert_non_null(strstr(text, "WEAR: gloves."));
    assert_non_null(strstr(text, "*** HOLD: Work stops here."));
    assert_non_null(strstr(text, "expected 1 to 2 g/m²:"));
    assert_non_null(strstr(text, "\n\f====")); /* a new page */
    assert_true(strstr(text, "DANGER") < strstr(text, "12. stir"));
    memory_return_all(&written.memory);
}

static void a_wide_table_is_wrapped(void **state)
{
    (void)state;
    Written written;
    write_both(&written);
    const DocumentNode *table = written.document.root->first->first;
    while (table->form != DOCUMENT_TABLE)
        table = table->next;
    TableShape wide = table_shape(&written.memory, table, 1000), narrow = table_shape(&written.memory, table, 60);
    assert_int_equal(wide.columns, 4);
    assert_true(wide.whole > 100);
    assert_true(narrow.whole <= 60);
    TableShape poor = table_shape(&written.memory, table, 10); /* less than the columns need: as narrow as they go */
    assert_true(poor.whole < 60);
    size_t whole = 0;
    for (size_t i = 0; i < narrow.columns; i++)
        whole += narrow.widths[i] + (i > 0 ? 2 : 0);
    assert_int_equal(whole, narrow.whole);
    memory_return_all(&written.memory);
}

/* ---- HTML ---- */

static unsigned count_of(const char *text, const char *word)
{
    unsigned count = 0;
    for (const char *at = text; (at = strstr(at, word)) != NULL; at += strlen(word))
        count++;
    return count;
}

static void what_is_told_cannot_break_out(void **state)
{
    (void)state;
    Written written;
    write_both(&written);
    const char *html = written.html.at;
    assert_non_null(strstr(html, "<title>Title &lt;&amp;&quot;&gt;</title>"));
    assert_int_equal(count_of(html, "</style>"), 1);
    assert_non_null(strstr(html, "part \\22 one\\22  \\5c  \\3c /style>"));
    assert_null(strstr(html, "<wide>"));
    assert_null(strstr(html, "<dangers>"));
    assert_non_null(strstr(html, "about it &amp; its &lt;dangers&gt;"));
    memory_return_all(&written.memory);
}

static void tags_are_closed(void **state)
{
    (void)state;
    static const char *const tags[] = {"html", "head", "body", "main", "section", "div", "table", "thead", "tbody", "tr", "td", "ul",
                                       "li", "dl", "dt", "dd", "h1", "h3", "p", "span", "caption", "b"};
    Written written;
    write_both(&written);
    for (size_t i = 0; i < sizeof tags / sizeof tags[0]; i++) {
        char open[20], open_with[20], close[20];
        snprintf(open, sizeof open, "<%s>", tags[i]);
        snprintf(open_with, sizeof open_with, "<%s ", tags[i]);
        snprintf(close, sizeof close, "</%s>", tags[i]);
        unsigned opened = count_of(written.html.at, open) + count_of(written.html.at, open_with);
        assert_true(opened > 0);
        assert_int_equal(opened, count_of(written.html.at, close));
    }
    memory_return_all(&written.memory);
}

static void it_stands_alone_and_can_be_read_aloud(void **state)
{
    (void)state;
    Written written;
    write_both(&written);
    const char *html = written.html.at;
    static const char *const outside[] = {"http", "src=", "href=", "url(", "@import", "<script"};
    for (size_t i = 0; i < sizeof outside / sizeof outside[0]; i++)
        assert_null(strstr(html, outside[i]));
    assert_non_null(strstr(html, "<html lang=\"en-GB\">"));
    assert_int_equal(count_of(html, "<th scope=\"col\""), 4);
    assert_int_equal(count_of(html, "<th scope=\"row\""), 1);
    assert_non_null(strstr(html, "5\xC2\xA0kg"));
    assert_non_null(strstr(html, "@page{size:A4;"));
    Text letter;
    text_open(&letter, &written.memory);
    render_html(&letter, &written.document, "letter");
    assert_non_null(strstr(letter.at, "@page{size:letter;"));
    memory_return_all(&written.memory);
}

static void the_same_gives_the_same_bytes(void **state)
{
    (void)state;
    Written one, other;
    write_both(&one);
    write_both(&other);
    assert_string_equal(one.text.at, other.text.at);
    assert_string_equal(one.html.at, other.html.at);
    memory_return_all(&one.memory);
    memory_return_all(&other.memory);
}

static void work(Memory *memory)
{
    Arena arena;
    arena_open(&arena, memory);
    Document document;
    put_long_document(&document, &arena);
    Text text;
    text_open(&text, memory);
    render_text(&text, &document);
    render_html(&text, &document, "letter");
}

static void memory_may_fail(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(work) > 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_cannot_be_shown_is_replaced), cmocka_unit_test(lines_end_between_words),
        cmocka_unit_test(lines_keep_their_width),           cmocka_unit_test(parts_of_text_are_there),
        cmocka_unit_test(a_wide_table_is_wrapped),          cmocka_unit_test(what_is_told_cannot_break_out),
        cmocka_unit_test(tags_are_closed),                  cmocka_unit_test(it_stands_alone_and_can_be_read_aloud),
        cmocka_unit_test(the_same_gives_the_same_bytes),    cmocka_unit_test(memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
