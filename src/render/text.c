/* The plain text back end: wrapping, boxes to tick, blanks to write into. (Tables: table.c.) */
#include "render/text.h"

#include "render/table.h"
#include "render/words.h"

#include <string.h>

enum { WIDTH = 96, INDENT = 6, PAIR = 26, BLANK = 14, SHORT_BLANK = 8, LONG_BLANK = 40 };

typedef struct Plain {
    Text *out;
    Text lead; /* what a paragraph begins with */
    Text clean; /* the words at hand */
    size_t indent;
    unsigned parts;
    DocumentForm before; /* what was written last */
} Plain;

static const char *cleaned(Plain *plain, const char *text)
{
    text_clear(&plain->clean);
    words_clean(&plain->clean, text == NULL ? "" : text);
    return plain->clean.at == NULL ? "" : plain->clean.at;
}

static void put_many(Text *out, char sign, size_t count)
{
    for (size_t i = 0; i < count; i++)
        text_char(out, sign);
}

/* One empty line, never two. */
static void part_lines(Plain *plain)
{
    const Text *out = plain->out;
    if (out->length > 1 && !(out->at[out->length - 1] == '\n' && out->at[out->length - 2] == '\n'))
        text_char(plain->out, '\n');
}

/* TEXT behind LEAD; further lines begin LEFT columns from the left. */
static void put_wrapped(Plain *plain, const char *lead, const char *text, size_t left)
{
    put_many(plain->out, ' ', plain->indent);
    text_put(plain->out, lead);
    size_t column = plain->indent + utf8_columns(lead, strlen(lead));
    if (*lead != 0 && column < left) {
        put_many(plain->out, ' ', left - column);
        column = left;
    }
    if (column + INDENT > WIDTH) {
        text_char(plain->out, '\n');
        put_many(plain->out, ' ', left);
        column = left;
    }
    for (const char *at = cleaned(plain, text); *at != 0;) {
        size_t length = words_line(at, WIDTH - column);
        text_add(plain->out, at, length);
        at += length;
        while (*at == ' ')
            at++;
        if (*at != 0) {
            text_char(plain->out, '\n');
            put_many(plain->out, ' ', left);
            column = left;
        }
    }
    text_char(plain->out, '\n');
}

static void put_paragraph(Plain *plain, const char *lead, const char *text)
{
    put_wrapped(plain, lead, text, plain->indent + utf8_columns(lead, strlen(lead)));
}

static void put_heading(Plain *plain, const DocumentNode *node)
{
    part_lines(plain);
    size_t start = plain->out->length;
    put_wrapped(plain, "", node->text, 0);
    size_t width = utf8_columns(plain->out->at + start, plain->out->length - start - 1);
    put_many(plain->out, node->level == 1 ? '=' : '-', width < WIDTH ? width : WIDTH);
    text_char(plain->out, '\n');
}

/* What a field asks for, in plain->lead. */
static void name_field(Plain *plain, const DocumentNode *node)
{
    text_clear(&plain->lead);
    words_clean(&plain->lead, node->label);
    if (node->text != NULL && *node->text != 0) {
        text_put(&plain->lead, ", expected ");
        words_clean(&plain->lead, node->text);
    }
    text_char(&plain->lead, ':');
}

static void put_field(Plain *plain, const DocumentNode *node)
{
    name_field(plain, node);
    size_t blank = (node->marks & DOCUMENT_LONG) != 0 ? LONG_BLANK : BLANK;
    text_char(&plain->lead, ' ');
    put_many(&plain->lead, '_', blank);
    put_wrapped(plain, "", plain->lead.at, plain->indent + 2);
}

/* Fields side by side, as many as go into a line. */
static void put_fields_in_line(Plain *plain, const DocumentNode *fields, size_t indent)
{
    size_t column = 0;
    for (const DocumentNode *node = fields->first; node != NULL; node = node->next) {
        name_field(plain, node);
        plain->lead.at[--plain->lead.length] = '\0';
        size_t width = utf8_columns(plain->lead.at, plain->lead.length) + 1 + SHORT_BLANK;
        bool begins = column == 0 || column + 2 + width > WIDTH;
        if (begins && column > 0)
            text_char(plain->out, '\n');
        put_many(plain->out, ' ', begins ? indent : 2);
        text_print(plain->out, "%s ", plain->lead.at);
        put_many(plain->out, '_', SHORT_BLANK);
        column = (begins ? indent : column + 2) + width;
    }
    text_char(plain->out, '\n');
}

static void put_table(Plain *plain, const DocumentNode *table)
{
    part_lines(plain);
    if (plain->before != DOCUMENT_HEADING)
        put_paragraph(plain, "", table->text);
    TableShape shape = table_shape(plain->out->memory, table, WIDTH - 2);
    for (const DocumentNode *row = table->first; row != NULL; row = row->next) {
        table_row(plain->out, row, &shape, 2);
        if (row->form == DOCUMENT_HEAD) {
            text_put(plain->out, "  ");
            put_many(plain->out, '-', shape.whole);
            text_char(plain->out, '\n');
        }
        for (const DocumentNode *inner = row->first; inner != NULL; inner = inner->next) {
            if (inner->form == DOCUMENT_FIELDS)
                put_fields_in_line(plain, inner, 8);
        }
    }
}

static void put_caution(Plain *plain, const DocumentNode *node)
{
    if (node->parent != NULL && node->parent->form != DOCUMENT_KEEP && plain->before != DOCUMENT_CAUTION)
        part_lines(plain);
    text_clear(&plain->lead);
    text_put(&plain->lead, "! ");
    for (const char *at = cleaned(plain, node->label); *at != 0; at++)
        text_char(&plain->lead, *at >= 'a' && *at <= 'z' ? (char)(*at - 'a' + 'A') : *at);
    text_put(&plain->lead, ": ");
    Text words;
    text_open(&words, plain->out->memory);
    text_put(&words, node->text);
    if (node->hint != NULL && *node->hint != 0)
        text_print(&words, " WEAR: %s.", node->hint);
    put_wrapped(plain, plain->lead.at, words.at, plain->indent + 2);
    text_close(&words);
}

static void put_tick(Plain *plain, const DocumentNode *node)
{
    text_clear(&plain->lead);
    text_print(&plain->lead, "[ ] %s. ", cleaned(plain, node->label));
    Text words;
    text_open(&words, plain->out->memory);
    text_print(&words, "%s%s%s", node->text, node->hint == NULL ? "" : ". ", node->hint == NULL ? "" : node->hint);
    put_wrapped(plain, plain->lead.at, words.at, plain->indent + INDENT);
    text_close(&words);
}

static void put_pair(Plain *plain, const DocumentNode *node)
{
    text_clear(&plain->lead);
    words_clean(&plain->lead, node->label);
    text_put(&plain->lead, "  ");
    put_wrapped(plain, plain->lead.at, node->text, PAIR);
}

static void enter_part(Plain *plain)
{
    if (plain->parts++ > 0)
        text_put(plain->out, "\n\f"); /* a printer begins a new page here */
    put_many(plain->out, '=', WIDTH);
    text_char(plain->out, '\n');
}

static void enter_hold(Plain *plain, const DocumentNode *node)
{
    plain->indent += INDENT;
    text_clear(&plain->lead);
    text_print(&plain->lead, "*** %s: ", cleaned(plain, node->label));
    put_wrapped(plain, plain->lead.at, node->text, plain->indent + 4);
    plain->indent += 4;
}

/* Paragraphs inside what is kept together stand below its first words; others begin at the left. */
static void put_plain_paragraph(Plain *plain, const DocumentNode *node)
{
    bool kept = node->parent != NULL && node->parent->form == DOCUMENT_KEEP;
    if (!kept && plain->before != DOCUMENT_HEADING)
        part_lines(plain);
    put_paragraph(plain, kept ? "      " : "", node->text);
}

static void put_picture(Plain *plain, const DocumentNode *node)
{
    part_lines(plain);
    if (node->label != NULL && *node->label != 0)
        put_paragraph(plain, "", node->label);
    put_paragraph(plain, node->label != NULL && *node->label != 0 ? "  " : "", node->text);
}

/* Labels stand one below the other, with a line between. */
static void enter_label(Plain *plain, const DocumentNode *node)
{
    part_lines(plain);
    if (node != node->parent->first) {
        put_many(plain->out, '-', WIDTH);
        text_put(plain->out, "\n\n");
    }
}

static void enter(Plain *plain, const DocumentNode *node)
{
    switch (node->form) { /* never 2: what stands in tables and pictures is put with them, and not walked */
    case DOCUMENT_PART: enter_part(plain); break;
    case DOCUMENT_KEEP: part_lines(plain); break;
    case DOCUMENT_FIELDS: plain->indent += INDENT; break;
    case DOCUMENT_HOLD: enter_hold(plain, node); break;
    case DOCUMENT_TABLE: put_table(plain, node); break;
    case DOCUMENT_HEADING: put_heading(plain, node); break;
    case DOCUMENT_PICTURE: put_picture(plain, node); break;
    case DOCUMENT_LABEL: enter_label(plain, node); break;
    case DOCUMENT_PARAGRAPH: case DOCUMENT_NOTE: case DOCUMENT_IMAGE: put_plain_paragraph(plain, node); break;
    case DOCUMENT_ITEM: put_paragraph(plain, "- ", node->text); break;
    case DOCUMENT_PAIR: case DOCUMENT_CODE: put_pair(plain, node); break; /* a code is what it says */
    case DOCUMENT_TICK: put_tick(plain, node); break;
    case DOCUMENT_FIELD: put_field(plain, node); break;
    case DOCUMENT_CAUTION: put_caution(plain, node); break;
    case DOCUMENT_ROOT: case DOCUMENT_LIST: case DOCUMENT_PAIRS: case DOCUMENT_LABELS: break; /* only what is in them is put */
    case DOCUMENT_HEAD: case DOCUMENT_ROW: case DOCUMENT_CELL: case DOCUMENT_SHAPE: break;      /* put with what holds them */
    }
    plain->before = node->form;
}

static void leave(Plain *plain, const DocumentNode *node)
{
    if (node->form == DOCUMENT_FIELDS)
        plain->indent -= INDENT;
    else if (node->form == DOCUMENT_HOLD)
        plain->indent -= INDENT + 4;
}

/* Whether all of NODE is written when it is entered. */
static bool is_written_whole(Plain *plain, const DocumentNode *node)
{
    if (node->form == DOCUMENT_FIELDS && (node->marks & DOCUMENT_IN_LINE) != 0) {
        put_fields_in_line(plain, node, plain->indent + INDENT);
        return true;
    }
    return false;
}

void render_text(Text *out, const Document *document)
{
    Plain plain = {.out = out};
    text_open(&plain.clean, out->memory);
    text_open(&plain.lead, out->memory);
    const DocumentNode *whole = NULL; /* what was written already */
    for (DocumentWalk walk = {.root = document->root}; document_next(&walk);) {
        if (whole != NULL) {
            whole = walk.node == whole && !walk.entering ? NULL : whole;
        } else if (!walk.entering) {
            leave(&plain, walk.node);
        } else if (is_written_whole(&plain, walk.node)) {
            whole = walk.node;
        } else {
            enter(&plain, walk.node);
            whole = walk.node->form == DOCUMENT_TABLE || walk.node->form == DOCUMENT_PICTURE ? walk.node : NULL;
        }
    }
    text_close(&plain.clean);
    text_close(&plain.lead);
}
