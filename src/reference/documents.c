/* Documents, their sections, and the lines that they are made of. */
#include "reference/chapters.h"

#include "meaning/line.h"

static const struct { const char *head, *form; char where; } lines[] = {
#define DOCUMENT_LINE(head, form, least, most, block, where) {#head, form, where},
#include "meaning/document_lines.def"
#undef DOCUMENT_LINE
};

static const char *where_of(char where)
{
    switch (where) {
    case 'd': return "right in a document";
    case 't': return "in a table";
    case 'p': return "in a picture";
    case 'l': return "in labels";
    case 's': return "in steps";
    default: return "anywhere in a document";
    }
}

void chapter_documents(Reference *reference)
{
    static const Chapter chapter = {"documents", "Documents", "waterleaf-documents", "documents, their sections, and the lines they are made of"};
    const World *world = reference->world;
    Book *book = &reference->book;
    book_chapter(book, &chapter);
    book_section(book, "Lines");
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        book_entry(book, "line", lines[i].head, where_of(lines[i].where));
        book_paragraph(book, part_print(reference, "Written `%s`.", lines[i].form));
    }
    for (uint32_t i = 1; i < world->plans.count; i++) {
        const Plan *plan = &world->plans.at[i];
        part_section(reference, plan->line);
        book_entry(book, plan->section ? "section" : "document", part_name(reference, plan->name), plan->section ? "section" : "document");
        part_comment(reference, plan->line);
        book_lines(book, NULL, part_line(reference, plan->line));
    }
}
