/* A document cut into strips: what is set on a page from its left to its right
 * margin, one below the other. Strips know how high they are and which of
 * them should not be parted by the end of a page; how they are put on pages is
 * told in sheets.h, and how they look in draw.c.
 *
 * Lengths are points, 1/72 inch; y runs down the page. */
#ifndef WATERLEAF_PAGES_STRIPS_H
#define WATERLEAF_PAGES_STRIPS_H

#include "base/list.h"
#include "documents/code.h"
#include "documents/document.h"
#include "pages/letters.h"

#define MM(millimetres) ((millimetres) * 72 / 25.4)

/* What somebody with wet hands and a pencil needs. */
#define TICK_SIDE MM(8)
#define WRITE_PITCH MM(9.5) /* from one line to write on to the next */

#define LINE_OF_BLANK 2.5 /* points below where the letters stand, a line to write on */
#define CELL_SIDE MM(1.7)
#define CELL_ABOVE MM(1.2)
#define FRAME_SIDE MM(3)  /* from a frame to what is in it */
#define FRAME_ABOVE MM(1.6)
#define CAUTION_BAR MM(3.2)
#define SQUARE MM(0.7) /* a module of a QR code, and a bar's: so wide that a wet sheet's can be read */
#define BAR MM(0.4)
#define BAR_HIGH MM(13)
#define BELOW_FIELDS MM(1)

enum { STRIPS_COLUMNS = 12 };

typedef enum StripForm {
    STRIP_WORDS,     /* paragraph, note, heading, caption, words of a caution or a hold */
    STRIP_ITEMS,     /* one or two items of a list */
    STRIP_PAIR,
    STRIP_ROW,
    STRIP_TICK,
    STRIP_FIELD,
    STRIP_FIELDS,    /* fields side by side */
    STRIP_CODE
} StripForm;

/* How strongly a strip holds to the next one. */
enum { HOLD_NOT, HOLD_KEPT, HOLD_TIGHT };

/* One of the fields that stand side by side: words, then a line to write on. */
typedef struct Blank {
    const DocumentNode *node;
    Setting *words;
    double x, blank, width; /* from the strip's left side; where the line begins, how long it is */
} Blank;

typedef struct Blanks {
    double y; /* of the line of fields, below the strip's upper side */
    unsigned count;
    Blank at[STRIPS_COLUMNS];
} Blanks;

typedef struct StripTable {
    const DocumentNode *node;
    unsigned columns;
    double x, widths[STRIPS_COLUMNS], width, size, above; /* above: in a row, over and below its words */
    bool grid;                      /* there are blanks in it: lines all round */
    struct Strip *head;
    Setting *continued;             /* what stands over it on a further page */
    double again;                   /* how high that and the head are */
} StripTable;

typedef struct Strip Strip;
struct Strip {
    StripForm form;
    const DocumentNode *node; /* what it is of; the second item is the node behind it */
    const DocumentNode *frame; /* the caution or hold around it */
    const DocumentNode *part;
    StripTable *table;
    Setting *cells[STRIPS_COLUMNS]; /* the words; of a row its cells */
    unsigned count, lines;          /* lines of the highest */
    double x, width, above, height; /* above: what is left free, but not at the head of a page */
    double before, behind;          /* of the height: over the first line and below the last */
    unsigned hold;
    bool rule_above;                /* a line over it: a step begins */
    bool begins_part, is_head, is_caption, may_split, at_right;
    Blanks *blanks;                 /* of a row: lines of fields below it */
    unsigned blank_lines;
    Code code;
    double blank_x;                 /* of a field or a pair: where its second column begins */
};

typedef LIST(Strip) StripList;

typedef struct Strips {
    Letters *letters;
    Memory *memory;
    Arena *arena;
    StripList list;
    double width; /* of the page between its margins */
    /* where we are */
    const DocumentNode *part, *frame;
    double left, right; /* how far what is inside something begins and ends within the margins */
    bool part_begins, rule_next, after_heading;
    double aside, aside_height; /* how wide and high a code is at the right of what follows */
    unsigned kept; /* how many KEEPs we are in */
    double first_column; /* of the pairs or fields at hand, where the second begins */
} Strips;

void strips_make(Strips *strips, const Document *document);

/* Adds a strip where we are. */
Strip *strips_add(Strips *strips, StripForm form, const DocumentNode *node, double above);

/* Makes a strip as high as COUNT lines of LEADING and what is around them. */
void strips_high(Strip *strip, double before, double behind);

/* A table, as strips (table.c). */
void strips_table(Strips *strips, const DocumentNode *node);

/* Fields side by side, as many in a line as there is room for in WIDTH (fields.c); how high they are in *HEIGHT. */
Blanks *strips_blanks(Strips *strips, const DocumentNode *fields, double size, double width, unsigned *lines, double *height);

/* Fields one below the other (fields.c). */
void strips_fields(Strips *strips, const DocumentNode *fields);

#endif
