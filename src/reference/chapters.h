/* The chapters of the reference, and what they share. Each asks the world of stdlib, or the lists that the program itself is made of. */
#ifndef WATERLEAF_REFERENCE_CHAPTERS_H
#define WATERLEAF_REFERENCE_CHAPTERS_H

#include "reference/book.h"
#include "waterleaf.h"

typedef struct Reference {
    Book book;
    Memory *memory;
    const World *world;
    const char *root;        /* the folder of the sources: what is not in the program is read from there */
    const char *grammar;     /* the file that grammar/readable.awk made */
    const Source *file;      /* the script of stdlib whose section was begun last */
} Reference;

void chapter_language(Reference *reference);
void chapter_quantities(Reference *reference);
void chapter_things(Reference *reference);
void chapter_steps(Reference *reference);
void chapter_figures(Reference *reference);
void chapter_rules(Reference *reference);
void chapter_documents(Reference *reference);
void chapter_messages(Reference *reference);
void chapter_commands(Reference *reference);
void chapter_formats(Reference *reference);

/* The README of a folder as sections of the chapter, from its first `## ` on to the one called UNTIL. */
void readme_put(Reference *reference, const char *folder, const char *until);

/* ---- what they share: parts.c ---- */

/* A file, and one of the sources; NULL where there is none. */
const char *part_read(Reference *reference, const char *path);
const char *part_file(Reference *reference, const char *folder, const char *name, const char *ending);

const char *part_name(const Reference *reference, Name name);
/* A printed text, which lasts. */
const char *part_print(const Reference *reference, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* NAME as a link to its entry. */
const char *part_link(const Reference *reference, const char *group, const char *name);
/* How NODE, or LINE with its block, is written. */
const char *part_written(const Reference *reference, NodeId node);
const char *part_line(const Reference *reference, NodeId line);
/* Of what type a value is, with a link to its kind or to the fields of its thing; of a choice its words. */
const char *part_type(const Reference *reference, Type type);
/* The text in quotes that NODE is; NULL: it is none. */
const char *part_text(const Reference *reference, NodeId node);

/* The comment above LINE, as paragraphs; and where its value comes from. */
void part_comment(Reference *reference, NodeId line);
void part_origin(Reference *reference, NodeId line);
/* The same in one line, for a table. */
const char *part_remark(const Reference *reference, NodeId line);
/* A section for each script of stdlib, with what stands at its head, where LINE is the first of it. */
void part_section(Reference *reference, NodeId line);

#endif
