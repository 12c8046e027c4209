/* Markdown of the sources as sections of the reference. It knows what they are written in: headings, paragraphs, lists, tables, and lines
 * set in by four blanks. */
#include "reference/chapters.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Markdown {
    Reference *reference;
    Text paragraph, lines;
    bool begun;    /* behind the first `## ` */
    bool in_table;
} Markdown;

static void end_paragraph(Markdown *markdown)
{
    if (markdown->paragraph.length > 0) {
        book_paragraph(&markdown->reference->book, markdown->paragraph.at);
        text_clear(&markdown->paragraph);
    }
}

static void end_lines(Markdown *markdown)
{
    if (markdown->lines.length > 0) {
        while (markdown->lines.length > 1 && markdown->lines.at[markdown->lines.length - 2] == '\n') {
            markdown->lines.at[--markdown->lines.length] = 0;
        }
        book_lines(&markdown->reference->book, NULL, markdown->lines.at);
        text_clear(&markdown->lines);
    }
}

static void end_table(Markdown *markdown)
{
    if (markdown->in_table) {
        book_table_end(&markdown->reference->book);
        markdown->in_table = false;
    }
}

/* Parts LINE, "| one | two |", in place; CELLS ends with NULL. */
static void split(char *line, const char *cells[BOOK_COLUMNS + 1])
{
    int count = 0;
    for (char *at = line + 1; count < BOOK_COLUMNS && strchr(at, '|') != NULL;) {
        char *end = strchr(at, '|'), *next = end + 1;
        at += strspn(at, " ");
        while (end > at && end[-1] == ' ') {
            end--;
        }
        *end = 0;
        cells[count++] = at;
        at = next;
    }
    cells[count] = NULL;
}

static void table_line(Markdown *markdown, char *line)
{
    const char *cells[BOOK_COLUMNS + 1];
    if (strncmp(line, "|---", 4) == 0 || strncmp(line, "| ---", 5) == 0) {
        return;
    }
    split(line, cells);
    if (markdown->in_table) {
        book_row(&markdown->reference->book, cells);
    } else if (cells[0] != NULL) {
        book_table(&markdown->reference->book, cells);
        markdown->in_table = true;
    }
}

static void put_line(Markdown *markdown, char *line)
{
    bool set_in = strncmp(line, "    ", 4) == 0;
    if (markdown->begun && (set_in || (*line == 0 && markdown->lines.length > 0))) {
        end_paragraph(markdown);
        text_print(&markdown->lines, "%s\n", set_in ? line + 4 : "");
        return;
    }
    end_lines(markdown);
    if (*line != '|') {
        end_table(markdown);
    }
    if (strncmp(line, "## ", 3) == 0) {
        end_paragraph(markdown);
        book_section(&markdown->reference->book, line + 3);
        markdown->begun = true;
    } else if (!markdown->begun) {
        return;
    } else if (*line == '|') {
        end_paragraph(markdown);
        table_line(markdown, line);
    } else if (*line == 0) {
        end_paragraph(markdown);
    } else {
        text_print(&markdown->paragraph, "%s%s", markdown->paragraph.length > 0 ? " " : "", line);
    }
}

void readme_put(Reference *reference, const char *folder, const char *until)
{
    char *text = (char *)(uintptr_t)part_file(reference, folder, "README", ".md");
    if (text == NULL) {
        fprintf(stderr, "The README of %s cannot be read.\n", folder);
        reference->book.unwritten = true;
        return;
    }
    Markdown markdown = {.reference = reference};
    text_open(&markdown.paragraph, reference->memory);
    text_open(&markdown.lines, reference->memory);
    while (*text != 0) {
        size_t length = strcspn(text, "\n");
        char *next = text + length + (text[length] == '\n');
        text[length] = 0;
        if (strncmp(text, "## ", 3) == 0 && strcmp(text + 3, until) == 0) {
            break;
        }
        put_line(&markdown, text);
        text = next;
    }
    end_paragraph(&markdown);
    end_lines(&markdown);
    end_table(&markdown);
}
