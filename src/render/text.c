/* The plain text back end: wrapping, tables, boxes to tick, blanks to write into. */
#include "render/text.h"

#include "render/words.h"

#include <string.h>

enum { WIDTH = 96, COLUMNS = 12, BLANK = 14 };

typedef struct Plain {
    Text *out;
    Text clean; /* the words at hand */
    unsigned indent;
} Plain;

static const char *cleaned(Plain *plain, const char *text)
{
    text_clear(&plain->clean);
    words_clean(&plain->clean, text == NULL ? "" : text);
    return plain->clean.at == NULL ? "" : plain->clean.at;
}

static void spaces(Text *out, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        text_char(out, ' ');
    }
}

static void rule(Plain *plain, char sign)
{
    for (unsigned i = 0; i < WIDTH; i++) {
        text_char(plain->out, sign);
    }
    text_char(plain->out, '\n');
}

/* Words between margins: the first line goes on behind what stands there, USED columns wide. */
static void wrapped(Plain *plain, const char *text, size_t left, size_t used)
{
    size_t column = used;
    bool first = true;
    while (*text != 0) {
        size_t length = 0;
        while (text[length] != 0 && (text[length] != ' ' || words_glued(text, length))) {
            length++;
        }
        size_t width = utf8_columns(text, length);
        if (!first && column + 1 + width > WIDTH) {
            text_char(plain->out, '\n');
            spaces(plain->out, left);
            column = left;
        } else if (!first) {
            text_char(plain->out, ' ');
            column++;
        }
        text_add(plain->out, text, length);
        column += width;
        first = false;
        text += length;
        while (*text == ' ') {
            text++;
        }
    }
    text_char(plain->out, '\n');
}

static void paragraph(Plain *plain, const char *lead, const char *text)
{
    size_t left = plain->indent + utf8_columns(lead, strlen(lead));
    spaces(plain->out, plain->indent);
    text_put(plain->out, lead);
    wrapped(plain, cleaned(plain, text), left, left);
}

static void heading(Plain *plain, const DocumentNode *node)
{
    text_char(plain->out, '\n');
    const char *text = cleaned(plain, node->text);
    size_t width = utf8_columns(text, strlen(text));
    text_put(plain->out, text);
    text_char(plain->out, '\n');
    for (size_t i = 0; i < (width < WIDTH ? width : WIDTH); i++) {
        text_char(plain->out, node->level == 1 ? '=' : '-');
    }
    text_char(plain->out, '\n');
}

static void field(Plain *plain, const DocumentNode *node)
{
    spaces(plain->out, plain->indent);
    Text line;
    text_open(&line, plain->out->memory);
    text_put(&line, cleaned(plain, node->label));
    if (node->text != NULL && *node->text != 0) {
        text_put(&line, ", expected ");
        text_put(&line, cleaned(plain, node->text));
    }
    text_put(&line, ":");
    size_t width = utf8_columns(line.at, line.length), at = plain->indent + width;
    text_put(plain->out, line.at);
    text_close(&line);
    size_t blank = (node->marks & DOCUMENT_LONG) != 0 ? 40 : BLANK;
    if (at + 1 + blank > WIDTH) {
        text_char(plain->out, '\n');
        spaces(plain->out, plain->indent + 2);
    }
    text_char(plain->out, ' ');
    for (size_t i = 0; i < blank; i++) {
        text_char(plain->out, '_');
    }
    text_char(plain->out, '\n');
}

/* Fields in one line, below a row of a table. */
static void fields_in_line(Plain *plain, const DocumentNode *fields)
{
    spaces(plain->out, 8);
    for (const DocumentNode *node = fields->first; node != NULL; node = node->next) {
        text_put(plain->out, cleaned(plain, node->label));
        text_put(plain->out, " ________");
        text_put(plain->out, node->next != NULL ? "  " : "\n");
    }
}

static const char *cell_text(Plain *plain, const DocumentNode *cell)
{
    if ((cell->marks & DOCUMENT_TICK_BOX) != 0) {
        return "[ ]";
    }
    if ((cell->marks & DOCUMENT_BLANK) != 0) {
        return "__________";
    }
    return cleaned(plain, cell->text);
}

static void table(Plain *plain, const DocumentNode *table_node)
{
    size_t widths[COLUMNS] = {0};
    for (const DocumentNode *row = table_node->first; row != NULL; row = row->next) {
        size_t column = 0;
        for (const DocumentNode *cell = row->first; cell != NULL && column < COLUMNS; cell = cell->next) {
            if (cell->form == DOCUMENT_CELL) {
                const char *text = cell_text(plain, cell);
                size_t width = utf8_columns(text, strlen(text));
                widths[column] = width > widths[column] ? width : widths[column];
                column++;
            }
        }
    }
    for (const DocumentNode *row = table_node->first; row != NULL; row = row->next) {
        size_t column = 0, used = 2;
        text_put(plain->out, "  ");
        for (const DocumentNode *cell = row->first; cell != NULL && column < COLUMNS; cell = cell->next) {
            if (cell->form != DOCUMENT_CELL) {
                continue;
            }
            const char *text = cell_text(plain, cell);
            size_t width = utf8_columns(text, strlen(text)), fill = widths[column] - width;
            bool right = (cell->marks & DOCUMENT_NUMBER) != 0, last = cell->next == NULL || cell->next->form != DOCUMENT_CELL;
            spaces(plain->out, right ? fill : 0);
            text_put(plain->out, text);
            spaces(plain->out, right || last ? 0 : fill);
            text_put(plain->out, last ? "" : "  ");
            used += widths[column] + 2;
            column++;
        }
        text_char(plain->out, '\n');
        if (row->form == DOCUMENT_HEAD) {
            text_put(plain->out, "  ");
            for (size_t i = 2; i + 2 < used && i < WIDTH; i++) {
                text_char(plain->out, '-');
            }
            text_char(plain->out, '\n');
        }
        for (const DocumentNode *inner = row->first; inner != NULL; inner = inner->next) {
            if (inner->form == DOCUMENT_FIELDS) {
                fields_in_line(plain, inner);
            }
        }
    }
}

static void caution(Plain *plain, const DocumentNode *node)
{
    Text lead;
    text_open(&lead, plain->out->memory);
    text_put(&lead, "! ");
    for (const char *at = cleaned(plain, node->label); *at != 0; at++) {
        text_char(&lead, *at >= 'a' && *at <= 'z' ? (char)(*at - 32) : *at);
    }
    text_put(&lead, ": ");
    Text words;
    text_open(&words, plain->out->memory);
    text_put(&words, node->text);
    if (node->hint != NULL && *node->hint != 0) {
        text_put(&words, " Wear: ");
        text_put(&words, node->hint);
    }
    paragraph(plain, lead.at, words.at);
    text_close(&lead);
    text_close(&words);
}

static void enter(Plain *plain, const DocumentNode *node)
{
    switch (node->form) {
    case DOCUMENT_PART:
        rule(plain, '=');
        break;
    case DOCUMENT_KEEP:
        text_char(plain->out, '\n');
        break;
    case DOCUMENT_FIELDS:
        plain->indent += 6;
        break;
    case DOCUMENT_HOLD:
        plain->indent += 6;
        paragraph(plain, "*** ", node->label);
        paragraph(plain, "    ", node->text);
        break;
    case DOCUMENT_TABLE:
        text_char(plain->out, '\n');
        table(plain, node);
        break;
    case DOCUMENT_HEADING:
        heading(plain, node);
        break;
    case DOCUMENT_PARAGRAPH:
        paragraph(plain, "      ", node->text);
        break;
    case DOCUMENT_NOTE:
        paragraph(plain, "      ", node->text);
        break;
    case DOCUMENT_ITEM:
        paragraph(plain, "  - ", node->text);
        break;
    case DOCUMENT_PAIR: {
        Text lead;
        text_open(&lead, plain->out->memory);
        text_print(&lead, "  %s", cleaned(plain, node->label));
        spaces(&lead, lead.length < 26 ? 26 - lead.length : 1);
        paragraph(plain, lead.at, node->text);
        text_close(&lead);
        break;
    }
    case DOCUMENT_TICK: {
        Text lead;
        text_open(&lead, plain->out->memory);
        text_print(&lead, "[ ] %s. ", node->label);
        paragraph(plain, lead.at, node->text);
        text_close(&lead);
        break;
    }
    case DOCUMENT_FIELD:
        field(plain, node);
        break;
    case DOCUMENT_CAUTION:
        caution(plain, node);
        break;
    default:
        break;
    }
}

static void leave(Plain *plain, const DocumentNode *node)
{
    if (node->form == DOCUMENT_FIELDS || node->form == DOCUMENT_HOLD) {
        plain->indent -= 6;
    } else if (node->form == DOCUMENT_PART) {
        text_char(plain->out, '\n');
    }
}

void render_text(Text *out, const Document *document)
{
    Plain plain = {.out = out};
    text_open(&plain.clean, out->memory);
    DocumentWalk walk = {.root = document->root};
    const DocumentNode *table_at = NULL;
    while (document_next(&walk)) {
        if (table_at != NULL) { /* a table is written whole, when it is entered */
            table_at = walk.node == table_at && !walk.entering ? NULL : table_at;
            continue;
        }
        if (!walk.entering) {
            leave(&plain, walk.node);
            continue;
        }
        enter(&plain, walk.node);
        table_at = walk.node->form == DOCUMENT_TABLE ? walk.node : NULL;
    }
    text_close(&plain.clean);
}
