/* What the files that make documents share. */
#ifndef WATERLEAF_DOCUMENTS_MAKER_H
#define WATERLEAF_DOCUMENTS_MAKER_H

#include "documents/make.h"

typedef struct Maker {
    Run *run;
    World *world;
    Document *document;
    const Outcome *outcome;
    const MakeWish *wish;
    Telling telling;
    Frame *frame;
    DocumentNode *group;   /* pairs, a list or fields that lines of one sort opened by themselves; NULL: none is open */
    unsigned depth;        /* of sections within sections */
    const char *trouble;   /* why it cannot be made; NULL: it can, so far */
} Maker;

typedef void MakeBody(Maker *maker, NodeId line, void *with);

/* Calls BODY for each item that the line's `each` binds, its `when` holding; once, where it has none. */
void maker_each(Maker *maker, NodeId line, MakeBody *body, void *with);

/* The lines of LINE's block, each by BODY; `when`, `otherwise`, `each` and `together` among them are followed here. */
void maker_lines(Maker *maker, NodeId line, MakeBody *body, void *with);

/* What is made of any line, where nothing else is meant by it. */
void maker_line(Maker *maker, NodeId line, void *with);

/* The text of the value of that number of a line; NULL: there is none, or it is not told. */
const char *maker_text(Maker *maker, NodeId line, uint32_t number);
/* The same of a node. */
const char *maker_node_text(Maker *maker, NodeId node);

/* Ends what lines of one sort opened by themselves: before anything else is added. */
void maker_close_group(Maker *maker);
DocumentNode *maker_enter(Maker *maker, DocumentForm form, const char *label, const char *text);
void maker_leave(Maker *maker);

void maker_table(Maker *maker, NodeId line);   /* make_table.c */
void maker_steps(Maker *maker, NodeId line);   /* make_steps.c */
void maker_picture(Maker *maker, NodeId line); /* make_picture.c */
void maker_labels(Maker *maker, NodeId line);  /* make_labels.c */

#endif
