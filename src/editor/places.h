/* What stands where in a script that was read: questions to its world. */
#ifndef WATERLEAF_EDITOR_PLACES_H
#define WATERLEAF_EDITOR_PLACES_H

#include "base/text.h"
#include "waterleaf.h"

/* A name at a place: the node that is it (a line's head too), and what it stands for. */
typedef struct Standing {
    Name name;      /* 0: nothing with a name stands there */
    Span at;        /* of the name alone */
    NodeId node;    /* NAME, CALL, DOT, UNIT or LINE */
    NodeId declared; /* the line that declares it; 0: none */
    bool library;   /* that line is stdlib's */
} Standing;

/* The source of the script called PATH; 0: it was not read. */
uint32_t places_source(const World *world, const char *path);

/* What stands at PLACE, a place in the space of all sources. */
Standing places_at(const World *world, uint32_t place);

/* What it is, in plain text, in OUT; nothing where nothing is known. */
void places_tell(Workshop *workshop, const Standing *standing, Text *out);

/* Calls VISIT for each place in the user's scripts where the same thing is named. */
typedef void PlacesVisit(void *with, Span at, bool declares);
void places_each(const World *world, const Standing *standing, PlacesVisit *visit, void *with);

/* The span of the head of LINE, and of the first name behind it (0, 0: none). */
Span places_head(const World *world, NodeId line);
Span places_first_name(const World *world, NodeId line);

#endif
