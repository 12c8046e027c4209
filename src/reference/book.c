/* Writing the book: each thing goes into the page and into the manual page of its chapter. */
#include "reference/book.h"

#include "base/files.h"
#include "reference/forms.h"

#include <stdio.h>
#include <string.h>

void book_open(Book *book, Memory *memory, const char *folder)
{
    *book = (Book){.memory = memory, .folder = folder};
    text_open(&book->page, memory);
    text_open(&book->contents, memory);
    text_open(&book->manual, memory);
}

static void write_file(Book *book, const char *name, const Text *text)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", book->folder, name);
    if (files_write(book->memory, path, text->at, text->length) != FILE_FINE) {
        fprintf(stderr, "%s cannot be written.\n", path);
        book->unwritten = true;
    }
}

static void end_items(Book *book)
{
    if (book->in_items) {
        text_put(&book->page, "</ul>\n");
        text_put(&book->manual, ".El\n");
        book->in_items = false;
    }
}

void book_entry_end(Book *book)
{
    end_items(book);
    if (book->in_entry) {
        text_put(&book->page, "</section>\n");
        text_put(&book->manual, ".El\n");
        book->in_entry = false;
    }
}

static void end_section(Book *book)
{
    book_entry_end(book);
    if (book->in_section) {
        text_put(&book->page, "</section>\n");
        book->in_section = false;
    }
}

static void end_chapter(Book *book)
{
    end_section(book);
    if (book->chapter == NULL) {
        return;
    }
    if (book->sections > 0) {
        text_put(&book->contents, "</ul>\n");
    }
    text_put(&book->contents, "</li>\n");
    text_put(&book->page, "</section>\n");
    if (book->chapter->manual != NULL) {
        char name[128];
        snprintf(name, sizeof name, "%s.7", book->chapter->manual);
        manual_foot(&book->manual);
        write_file(book, name, &book->manual);
    }
}

bool book_close(Book *book)
{
    end_chapter(book);
    Text whole;
    text_open(&whole, book->memory);
    page_head(&whole);
    text_print(&whole, "<nav aria-label=\"Contents\">\n<ul>\n%s</ul>\n</nav>\n", book->contents.at);
    text_add(&whole, book->page.at, book->page.length);
    page_foot(&whole);
    write_file(book, "reference.html", &whole);
    return !book->unwritten;
}

void book_chapter(Book *book, const Chapter *chapter)
{
    end_chapter(book);
    text_clear(&book->manual);
    manual_head(&book->manual, chapter);
    text_print(&book->contents, "<li><a href=\"#%s\">", chapter->anchor);
    page_words(&book->contents, chapter->title);
    text_put(&book->contents, "</a>");
    text_print(&book->page, "<section class=\"chapter\" id=\"%s\">\n<h2>", chapter->anchor);
    page_words(&book->page, chapter->title);
    text_put(&book->page, "</h2>\n");
    book->chapter = chapter;
    book->sections = 0;
}

void book_section(Book *book, const char *title)
{
    end_section(book);
    Text anchor;
    text_open(&anchor, book->memory);
    text_print(&anchor, "%s-%u", book->chapter->anchor, ++book->sections);
    text_print(&book->contents, "%s<li><a href=\"#%s\">", book->sections == 1 ? "\n<ul>\n" : "", anchor.at);
    page_words(&book->contents, title);
    text_put(&book->contents, "</a></li>\n");
    text_print(&book->page, "<section class=\"part\" id=\"%s\">\n<h3>", anchor.at);
    page_words(&book->page, title);
    text_put(&book->page, "</h3>\n");
    text_put(&book->manual, ".Ss ");
    manual_words(&book->manual, title);
    text_char(&book->manual, '\n');
    book->in_section = true;
}

void book_entry(Book *book, const char *group, const char *name, const char *aside)
{
    book_entry_end(book);
    text_put(&book->page, "<section class=\"entry\" id=\"");
    book_anchor(&book->page, group, name);
    text_print(&book->page, "\">\n<h%d><a href=\"#", book->in_section ? 4 : 3);
    book_anchor(&book->page, group, name);
    text_put(&book->page, "\">");
    page_words(&book->page, name);
    text_put(&book->page, "</a>");
    text_put(&book->manual, ".Bl -tag -width Ds\n.It Sy ");
    manual_argument(&book->manual, name);
    if (aside != NULL && *aside != 0) {
        text_put(&book->page, " <span class=\"aside\">");
        page_text(&book->page, aside);
        text_put(&book->page, "</span>");
        text_put(&book->manual, " Pq ");
        manual_argument(&book->manual, aside);
    }
    text_print(&book->page, "</h%d>\n", book->in_section ? 4 : 3);
    text_char(&book->manual, '\n');
    book->in_entry = true;
}

void book_paragraph(Book *book, const char *text)
{
    end_items(book);
    text_put(&book->page, "<p>");
    page_text(&book->page, text);
    text_put(&book->page, "</p>\n");
    manual_begin(&book->manual);
    manual_text(&book->manual, text);
}

void book_pair(Book *book, const char *label, const char *text)
{
    end_items(book);
    text_print(&book->page, "<p class=\"pair\"><b>%s:</b> ", label);
    page_text(&book->page, text);
    text_put(&book->page, "</p>\n");
    manual_begin(&book->manual);
    text_print(&book->manual, "%s: ", label);
    manual_text(&book->manual, text);
}

void book_lines(Book *book, const char *label, const char *lines)
{
    end_items(book);
    if (label != NULL) {
        text_print(&book->page, "<p class=\"pair\"><b>%s:</b></p>\n", label);
        manual_begin(&book->manual);
        text_print(&book->manual, "%s:\n", label);
    }
    text_put(&book->page, "<pre tabindex=\"0\"><code>");
    page_words(&book->page, lines);
    text_put(&book->page, "</code></pre>\n");
    manual_lines(&book->manual, lines);
}

void book_item(Book *book, const char *text)
{
    if (!book->in_items) {
        text_put(&book->page, "<ul>\n");
        text_put(&book->manual, ".Bl -bullet -compact\n");
        book->in_items = true;
    }
    text_put(&book->page, "<li>");
    page_text(&book->page, text);
    text_put(&book->page, "</li>\n");
    text_put(&book->manual, ".It\n");
    manual_text(&book->manual, text);
}

void book_table(Book *book, const char *const *heads)
{
    end_items(book);
    text_put(&book->page, "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"");
    page_words(&book->page, *heads[0] == 0 ? "table" : heads[0]);
    text_put(&book->page, "\"><table>\n");
    text_put(&book->page, *heads[0] == 0 ? "" : "<thead><tr>");
    for (int i = 0; heads[i] != NULL && *heads[0] != 0; i++) {
        text_put(&book->page, "<th scope=\"col\">");
        page_text(&book->page, heads[i]);
        text_put(&book->page, "</th>");
    }
    text_put(&book->page, *heads[0] == 0 ? "<tbody>\n" : "</tr></thead>\n<tbody>\n");
    text_put(&book->manual, ".Bl -tag -width Ds -compact\n");
}

/* In a manual page the first cell stands in front, and the others below it, one behind the other. */
void book_row(Book *book, const char *const *cells)
{
    text_put(&book->page, "<tr>");
    text_put(&book->manual, ".It ");
    manual_argument(&book->manual, cells[0]);
    text_char(&book->manual, '\n');
    bool more = false;
    for (int i = 0; cells[i] != NULL; i++) {
        text_put(&book->page, i == 0 ? "<th scope=\"row\">" : "<td>");
        page_text(&book->page, cells[i]);
        text_put(&book->page, i == 0 ? "</th>" : "</td>");
        if (i > 0 && cells[i][0] != 0) {
            text_put(&book->manual, more ? "; " : "");
            manual_part(&book->manual, cells[i], !more);
            more = true;
        }
    }
    text_put(&book->page, "</tr>\n");
    text_put(&book->manual, more ? "\n" : "");
}

void book_table_end(Book *book)
{
    text_put(&book->page, "</tbody>\n</table></div>\n");
    text_put(&book->manual, ".El\n");
}

void book_anchor(Text *out, const char *group, const char *name)
{
    text_print(out, "%s-", group);
    for (const unsigned char *at = (const unsigned char *)name; *at != 0; at++) {
        bool plain = (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || (*at >= '0' && *at <= '9') || *at == '-';
        text_print(out, plain ? "%c" : "_%02X", *at);
    }
}

void book_link(Text *out, const char *group, const char *name)
{
    text_print(out, "[%s](#", name);
    book_anchor(out, group, name);
    text_char(out, ')');
}
