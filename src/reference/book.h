/* The reference as a book that is written once and comes out in two forms: one HTML page, and for each of its chapters a manual page.
 *
 * Whoever writes a chapter says what stands in it (a section, an entry, a paragraph, a row), never how either form looks.
 * In a text `so` is code, and [so](#anchor) leads to an entry, as book_anchor spells it.
 */
#ifndef WATERLEAF_REFERENCE_BOOK_H
#define WATERLEAF_REFERENCE_BOOK_H

#include "base/text.h"

typedef struct Chapter {
    const char *anchor;  /* "steps" */
    const char *title;   /* "Steps" */
    const char *manual;  /* "waterleaf-steps"; NULL: this chapter has its manual page elsewhere */
    const char *summary; /* what it tells of, in a line */
} Chapter;

typedef struct Book {
    Memory *memory;
    Text page;           /* the HTML page, without its head and foot */
    Text contents;       /* its list of chapters and sections */
    Text manual;         /* the manual page of the chapter at hand */
    const char *folder;  /* where both are written */
    const Chapter *chapter;
    unsigned sections;
    bool in_section, in_entry, in_items;
    bool unwritten;      /* a file could not be written */
} Book;

void book_open(Book *book, Memory *memory, const char *folder);
/* Writes the page; false where it, or a manual page before it, could not be written. */
bool book_close(Book *book);

void book_chapter(Book *book, const Chapter *chapter);
void book_section(Book *book, const char *title);

/* What stands under a name: GROUP keeps names of different sorts apart ("step"), ASIDE is what is told beside it (NULL: nothing). */
void book_entry(Book *book, const char *group, const char *name, const char *aside);
void book_entry_end(Book *book);

void book_paragraph(Book *book, const char *text);
/* "Source: …", "Formula: …" */
void book_pair(Book *book, const char *label, const char *text);
/* Lines as they are typed or printed; LABEL stands above them (NULL: nothing). */
void book_lines(Book *book, const char *label, const char *lines);
void book_item(Book *book, const char *text);

enum { BOOK_COLUMNS = 6 };
/* A table, whose first cell names its row. HEADS and CELLS end with NULL; a table whose first head is "" has none. */
void book_table(Book *book, const char *const *heads);
void book_row(Book *book, const char *const *cells);
void book_table_end(Book *book);

/* Adds to OUT the anchor of an entry: "step-beat"; whatever signs NAME has. */
void book_anchor(Text *out, const char *group, const char *name);
/* Adds NAME as a link to its entry. */
void book_link(Text *out, const char *group, const char *name);

#endif
