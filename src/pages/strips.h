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
#include "pages/images.h"
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
#define BELOW_FIELDS MM(1)

enum { STRIPS_COLUMNS = 12 };

/* How strips are set: sizes of letters, and what is left free above. */
typedef struct StripStyle {
    bool close;                /* within a label, in which nothing is to spare */
    bool packed;               /* even less: short pairs stand two beside each other */
    double body, note;
    double table, least_table; /* of the words of a table, and how much smaller they may become */
    double heading[3], heading_above[3], heading_behind[3]; /* by level; 0: those below the second */
    double paragraph, caution, step; /* above */
    double kept_left;          /* where words begin in what is kept together */
    double write_pitch;        /* from one line to write on to the next */
    double square, bar, bar_high; /* modules of codes */
    double code_margin;        /* what is free at the right already, and counts as a part of a code's quiet zone */
} StripStyle;

extern const StripStyle strips_of_pages, strips_of_labels;

typedef enum StripForm {
    STRIP_WORDS,     /* paragraph, note, heading, caption, words of a caution or a hold */
    STRIP_ITEMS,     /* one or two items of a list */
    STRIP_PAIR,
    STRIP_RUN,       /* one or two pairs, each running on from what it is to what is said of it */
    STRIP_ROW,
    STRIP_TICK,
    STRIP_FIELD,
    STRIP_FIELDS,    /* fields side by side */
    STRIP_CODE,
    STRIP_PICTURE,
    STRIP_IMAGE,
    STRIP_LABEL      /* a label, on a page of its own or with others */
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
    double pitch;
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
    double module, bar_high, code_x, code_y; /* of the code; where it begins within the strip */
    struct Label *label;
    Image *image;
    double scale;                   /* of a picture points for a millimetre, of an image for a unit of its own */
    double blank_x;                 /* of a field or a pair: where its second column begins */
};

typedef LIST(Strip) StripList;

typedef struct Strips {
    Letters *letters;
    Images *images;
    Memory *memory;
    Arena *arena;
    StripList list;
    double width, height; /* of the page between its margins */
    StripStyle style;
    /* where we are */
    const DocumentNode *part, *frame;
    double left, right; /* how far what is inside something begins and ends within the margins */
    bool part_begins, rule_next, after_heading, is_trial; /* is_trial: only to see how many pages it takes */
    double aside, aside_height; /* how wide and high a code is at the right of what follows */
    uint32_t aside_from;        /* the first strip beside it */
    double mark, mark_height;   /* the same of a mark at the left, beside which the next strip stands, in a label */
    unsigned kept; /* how many KEEPs we are in */
    double first_column; /* of the pairs or fields at hand, where the second begins; 0: there is none, they run on */
    bool second_done; /* whether the pair at hand stands beside the one before it already */
} Strips;

/* Makes strips of ROOT and all in it. */
void strips_make(Strips *strips, const DocumentNode *root);

/* How wide a strip may be where we are. */
double strips_room(const Strips *strips);

/* Adds a strip where we are. */
Strip *strips_add(Strips *strips, StripForm form, const DocumentNode *node, double above);

/* Makes a strip as high as COUNT lines of LEADING and what is around them. */
void strips_high(Strip *strip, double before, double behind);

/* Pairs, from where they are entered to where they are left, and a list (pairs.c). */
void strips_begin_pairs(Strips *strips, const DocumentNode *node);
void strips_pair(Strips *strips, const DocumentNode *node);
void strips_end_pairs(Strips *strips);
void strips_list(Strips *strips, const DocumentNode *list);

/* A picture and its caption (pictures.c). */
void strips_picture(Strips *strips, const DocumentNode *node);

/* Somebody's own mark, within the width and height that are told for it (pictures.c). */
void strips_image(Strips *strips, const DocumentNode *node);

/* A code and what it says (codes.c). */
void strips_code(Strips *strips, const DocumentNode *node);

/* What follows begins below the code that is at the right. */
void strips_end_aside(Strips *strips);

/* A table, as strips (table.c). */
void strips_table(Strips *strips, const DocumentNode *node);

/* Fields side by side, as many in a line as there is room for in WIDTH (fields.c); how high they are in *HEIGHT. */
Blanks *strips_blanks(Strips *strips, const DocumentNode *fields, double size, double width, unsigned *lines, double *height);

/* Fields one below the other (fields.c). */
void strips_fields(Strips *strips, const DocumentNode *fields);

#endif
