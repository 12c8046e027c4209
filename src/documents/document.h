/* What is printed or shown: headings, tables, things to tick, blanks to write
 * into. One tree in one arena, written by a generator that knows no back end
 * and walked, entering and leaving, by back ends that know nothing of what is told.
 *
 *     document_open(&document, &arena);
 *     document_enter(&document, DOCUMENT_PART, ...);     what follows is inside it
 *     document_add(&document, DOCUMENT_PARAGRAPH, ...);  has nothing inside
 *     document_leave(&document);
 *
 * All text is copied.
 */
#ifndef WATERLEAF_DOCUMENTS_DOCUMENT_H
#define WATERLEAF_DOCUMENTS_DOCUMENT_H

#include "base/arena.h"

typedef enum DocumentForm {
    /* what holds others */
    DOCUMENT_ROOT,
    DOCUMENT_PART,     /* begins a page. text: what each of its pages says; hint: in small letters beside it, or NULL */
    DOCUMENT_KEEP,     /* stays on one page */
    DOCUMENT_LIST,     /* of items */
    DOCUMENT_PAIRS,    /* of pairs */
    DOCUMENT_TABLE,    /* a HEAD, then ROWs, of at most 12 cells. text: its caption */
    DOCUMENT_HEAD,     /* of cells; repeated where the table goes over to another page */
    DOCUMENT_ROW,      /* of cells; then, if there are any, FIELDS that stand below them and stay with them */
    DOCUMENT_FIELDS,   /* of fields. With DOCUMENT_IN_LINE they stand side by side */
    DOCUMENT_HOLD,     /* work stops here until somebody signs. label: the word for it; text: for what; then fields */
    DOCUMENT_PICTURE,  /* of shapes. label: its caption, or NULL; text: what it shows, in words, for who cannot see it; numbers: width, height in mm */
    DOCUMENT_LABELS,   /* of labels, on label stock, in rows. numbers: see DocumentStock, in its order */
    DOCUMENT_LABEL,    /* of whatever else there is: it is set smaller until it fits, and if it does not, that is an error. text: what it is called */
    /* what holds none */
    DOCUMENT_HEADING,  /* text, level from 1 */
    DOCUMENT_PARAGRAPH,
    DOCUMENT_NOTE,     /* a paragraph that may be overlooked */
    DOCUMENT_ITEM,
    DOCUMENT_PAIR,     /* label, text */
    DOCUMENT_CELL,     /* text; marks say what it is */
    DOCUMENT_TICK,     /* something done once and ticked. label: its number; text: its name; hint: what to do, or NULL; level of the name as a heading, or 0 */
    DOCUMENT_FIELD,    /* a blank to write into. label: what; text: what is expected, or NULL */
    DOCUMENT_CAUTION,  /* label: the signal word; text: what to know; hint: what to wear, or NULL */
    DOCUMENT_CODE,     /* to be read by a device. text: what it says; label: what that is. QR, or with DOCUMENT_BARS Code 128 */
    DOCUMENT_SHAPE,    /* a part of a picture, see DocumentShape. label: its name; text: words that stand there, or NULL; numbers: where */
    DOCUMENT_IMAGE     /* somebody's own mark. text: its words, for who cannot see it; label: "image/png" or "image/svg+xml"; hint: base64; numbers: greatest width and height in mm */
} DocumentForm;
#define DOCUMENT_FORMS ((int)DOCUMENT_IMAGE + 1)

/* Shapes of pictures, by name; x runs to the right, y down, in mm from the picture's upper left corner. Drawn in order, black
 * on white; marks say how. */
typedef enum DocumentShape {
    SHAPE_LINE,   /* "line": numbers x1 y1 x2 y2, and so on: a line through all points */
    SHAPE_BOX,    /* "box": x y width height */
    SHAPE_TORN,   /* "torn": the same, with the uneven edge of a sheet formed within a deckle */
    SHAPE_WORDS   /* "words": x y size: text from x on, or with DOCUMENT_NUMBER up to x, or with SHAPE_MIDDLE around x; y is where the letters stand, size in points */
} DocumentShape;

/* Marks of shapes. None: a thin line; of a box its outline. */
enum {
    SHAPE_HEAVY = 1 << 16,
    SHAPE_DASHED = 1 << 17,
    SHAPE_MIDDLE = 1 << 18,
    /* how a box is filled: told apart without colour, in grey, and by who cannot tell colours apart */
    SHAPE_PLAIN_FILL = 1 << 19, /* white, and hides what is below it */
    SHAPE_LIGHT_FILL = 1 << 20, /* the colour of paper, light grey in print */
    SHAPE_STRIPED_FILL = 1 << 21,
    SHAPE_DOTTED_FILL = 1 << 22,
    SHAPE_DARK_FILL = 1 << 23,
    SHAPE_CROSSED_FILL = 1 << 24
};

/* Label stock, in mm: what DOCUMENT_LABELS has as numbers. One label a page: a roll. */
typedef enum DocumentStock {
    STOCK_PAGE_WIDTH, STOCK_PAGE_HEIGHT, STOCK_COLUMNS, STOCK_ROWS,
    STOCK_LEFT, STOCK_TOP,      /* from the page's corner to the first label */
    STOCK_WIDTH, STOCK_HEIGHT,  /* of a label */
    STOCK_ACROSS, STOCK_DOWN,   /* from one label's left or upper side to the next one's */
    STOCK_LEAST_LETTERS,        /* points: below this nothing is set smaller */
    STOCK_FIRST,                /* the first label on the first sheet that is used, from 1: sheets are used up */
    STOCK_NUMBERS
} DocumentStock;

/* Marks of cells, fields, tables, codes. */
enum {
    DOCUMENT_NUMBER = 1,    /* stands at the right */
    DOCUMENT_ROW_HEAD = 2,  /* names its row */
    DOCUMENT_BLANK = 4,     /* to be written into */
    DOCUMENT_TICK_BOX = 8,
    DOCUMENT_STRONG = 16,   /* what the row is read for */
    DOCUMENT_IN_LINE = 32,
    DOCUMENT_LONG = 64,     /* a field for a sentence or a signature */
    DOCUMENT_BARS = 128,
    DOCUMENT_ASIDE = 256    /* a code at the right of the pairs that follow */
};

typedef struct DocumentNode DocumentNode;
struct DocumentNode {
    DocumentForm form;
    unsigned level;
    unsigned marks;
    const char *text, *label, *hint; /* never NULL unless said above */
    const double *numbers;           /* of pictures, shapes, labels, images */
    unsigned number_count;
    DocumentNode *parent, *first, *last, *next;
};

typedef struct Document {
    Arena *arena;
    DocumentNode *root; /* its text is the title */
    DocumentNode *inside; /* what is entered now */
} Document;

void document_open(Document *document, Arena *arena, const char *title);

/* Adds a node where the document stands; LABEL and TEXT may be NULL. */
DocumentNode *document_add(Document *document, DocumentForm form, const char *label, const char *text);

/* Gives NODE its hint; HINT may be NULL. */
void document_hint(Document *document, DocumentNode *node, const char *hint);

/* Gives NODE its numbers. */
void document_numbers(Document *document, DocumentNode *node, const double *numbers, unsigned count);

/* Adds a part of a picture. */
void document_shape(Document *document, DocumentShape shape, unsigned marks, const double *numbers, unsigned count, const char *words);

/* The shape called NAME; -1: none is. */
int document_shape_named(const char *name);

/* As document_add, and what follows is inside it until document_leave. */
DocumentNode *document_enter(Document *document, DocumentForm form, const char *label, const char *text);
void document_leave(Document *document);

/* Short ways for what is said most. */
void document_heading(Document *document, unsigned level, const char *text);
void document_pair(Document *document, const char *label, const char *text);
void document_cell(Document *document, unsigned marks, const char *text);
void document_field(Document *document, unsigned marks, const char *label, const char *expected);

/* Hours as people say them: "40 min", "7 h 10 min", "3 days". */
const char *document_hours(Arena *arena, double hours);

/* Whether nodes of FORM hold others. */
bool document_holds(DocumentForm form);

/* What nodes of FORM are called where a document is carried from one program to another. */
const char *document_form_name(DocumentForm form);

/* A way through all below and including ROOT: each node is entered, and those that
 * hold others are left as well. Begins as {.root = …}. */
typedef struct DocumentWalk {
    const DocumentNode *root;
    const DocumentNode *node;
    bool entering;
} DocumentWalk;

bool document_next(DocumentWalk *walk);

#endif
