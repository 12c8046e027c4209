/* Strips put on pages. */
#ifndef WATERLEAF_PAGES_SHEETS_H
#define WATERLEAF_PAGES_SHEETS_H

#include "pages/labels.h"
#include "pages/strips.h"

/* A strip, or some of its lines, where it stands. */
typedef struct Placed {
    const Strip *strip;
    unsigned first, lines;
    double y, height;
    bool begins, ends;      /* whether the strip begins, ends here */
    bool continues;         /* the head of its table is repeated above it */
    uint32_t page;
} Placed;

typedef LIST(Placed) PlacedList;

typedef struct Sheet {
    const Stock *stock; /* of labels; NULL: a page like any other */
    uint32_t number;    /* of those, from 1 */
} Sheet;

typedef struct Sheets {
    Memory *memory;
    PlacedList placed;   /* page by page */
    LIST(Sheet) list;
    uint32_t pages, numbered; /* how many there are, and how many with a number at their foot */
    double top, bottom;  /* what is between them is for strips */
    /* where we are */
    double y;
    bool fresh; /* nothing stands on the page yet */
} Sheets;

void sheets_fill(Sheets *sheets, const Strips *strips);

#endif
