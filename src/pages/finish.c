/* Adding to a PDF: an incremental update, as ISO 32000-1, 7.5.6 has it. Cairo is
 * asked for PDF 1.4, whose objects and table of objects are plain text. */
#include "pages/finish.h"

#include "pages/stop.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Finish {
    Text *pdf;
    size_t old;      /* how long Cairo's part is */
    size_t table;    /* where its table of objects is */
    unsigned objects, root, info;
    Text entries;    /* of the new table */
} Finish;

_Noreturn static void refuse(void)
{
    pages_stop("This version of Cairo writes PDF in a way that is not known here. Ask for html, which can be printed as well.");
}

/* The first WORD from FROM on. */
static const char *find(const Finish *finish, size_t from, const char *word)
{
    if (from >= finish->old)
        refuse();
    const char *found = memmem(finish->pdf->at + from, finish->old - from, word, strlen(word));
    if (found == NULL)
        refuse();
    return found;
}

static unsigned number_behind(const Finish *finish, size_t from, const char *word)
{
    return (unsigned)strtoul(find(finish, from, word) + strlen(word), NULL, 10);
}

static void read_ends(Finish *finish)
{
    size_t most = 200 < finish->old ? finish->old - 200 : 0;
    finish->table = number_behind(finish, most, "startxref\n");
    char begins[32];
    finish->objects = number_behind(finish, finish->table, "xref\n0 ");
    size_t trailer = (size_t)(find(finish, finish->table, "trailer") - finish->pdf->at);
    finish->root = number_behind(finish, trailer, "/Root ");
    finish->info = number_behind(finish, trailer, "/Info ");
    snprintf(begins, sizeof begins, "xref\n0 %u\n", finish->objects);
    /* 20 bytes an object */
    if (find(finish, finish->table, begins) != finish->pdf->at + finish->table || trailer != finish->table + strlen(begins) + 20u * finish->objects)
        refuse();
}

/* Where object NUMBER begins. */
static size_t place_of(const Finish *finish, unsigned number)
{
    char begins[32];
    snprintf(begins, sizeof begins, "xref\n0 %u\n", finish->objects);
    size_t place = strtoul(finish->pdf->at + finish->table + strlen(begins) + 20u * number, NULL, 10);
    if (place >= finish->old)
        refuse();
    return place;
}

/* Writes object NUMBER once more, with ADDED before its end. */
static void write_again(Finish *finish, unsigned number, const char *added)
{
    size_t place = place_of(finish, number);
    const char *end = find(finish, place, "\nendobj");
    size_t length = (size_t)(end - (finish->pdf->at + place));
    while (length > 2 && memcmp(finish->pdf->at + place + length - 2, ">>", 2) != 0)
        length--;
    length -= 2;
    text_print(&finish->entries, "%u 1\n%010zu 00000 n \n", number, finish->pdf->length);
    Text copy;
    text_open(&copy, finish->pdf->memory);
    text_add(&copy, finish->pdf->at + place, length);
    text_print(finish->pdf, "%s %s\n>>\nendobj\n", copy.at, added);
    text_close(&copy);
}

/* Tags are objects in the order in which they were begun. */
static void add_to_tags(Finish *finish, const TagList *tags)
{
    static const char form[] = "<< /Type /StructElem\n   /S /";
    uint32_t tag = 0;
    for (unsigned number = 1; number < finish->objects; number++) {
        const char *object = finish->pdf->at + place_of(finish, number);
        const char *at = strstr(object, "obj\n");
        if (at == NULL || at - object > 16 || strncmp(at + 4, form, sizeof form - 1) != 0)
            continue;
        const char *name = at + 4 + sizeof form - 1;
        if (tag == tags->count)
            refuse();
        const Tag *made = &tags->at[tag++];
        size_t length = strlen(made->name);
        if (strncmp(name, made->name, length) != 0 || name[length] != '\n')
            refuse();
        if (made->added != NULL)
            write_again(finish, number, made->added);
    }
    if (tag != tags->count)
        refuse();
}

/* Two sums over all bytes (FNV-1a, 64 bits, from two beginnings): the same file, the same name. */
static void put_name(Finish *finish)
{
    uint64_t one = 0xCBF29CE484222325u, other = 0x9AE16A3B2F90404Fu;
    for (size_t i = 0; i < finish->pdf->length; i++) {
        one = (one ^ (unsigned char)finish->pdf->at[i]) * 0x100000001B3u;
        other = (other ^ (unsigned char)finish->pdf->at[i]) * 0x100000001B3u;
    }
    char name[40];
    snprintf(name, sizeof name, "%016llx%016llx", (unsigned long long)one, (unsigned long long)other);
    text_print(finish->pdf, "   /ID [ <%s> <%s> ]\n", name, name);
}

void finish_pdf(Text *pdf, const TagList *tags)
{
    Finish finish = {.pdf = pdf, .old = pdf->length};
    text_open(&finish.entries, pdf->memory);
    read_ends(&finish);
    add_to_tags(&finish, tags);
    write_again(&finish, finish.root, "  /Lang (en-GB)\n   /ViewerPreferences << /DisplayDocTitle true >>");
    size_t table = pdf->length;
    text_print(pdf, "xref\n%strailer\n<< /Size %u\n   /Root %u 0 R\n   /Info %u 0 R\n   /Prev %zu\n", finish.entries.at, finish.objects,
               finish.root, finish.info, finish.table);
    put_name(&finish);
    text_print(pdf, ">>\nstartxref\n%zu\n%%%%EOF\n", table);
    text_close(&finish.entries);
}
