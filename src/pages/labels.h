/* Labels: what is on each is set in letters as large as it has room for, down to a stated size, so that nothing is ever cut off
 * or printed over something else. What does not fit even then ends the program with a sentence. */
#ifndef WATERLEAF_PAGES_LABELS_H
#define WATERLEAF_PAGES_LABELS_H

#include "pages/strips.h"

/* Label stock in points. */
typedef struct Stock {
    double page_width, page_height;
    unsigned columns, rows, first; /* first: the place of the first label that is printed, from 0 */
    double left, top, width, height, across, down;
    double margin;                 /* within a label */
    double least, largest;         /* letters */
} Stock;

typedef struct Label {
    const Stock *stock;
    double x, y;        /* of its upper left corner on the page */
    bool begins_sheet;
    double scale;       /* strips are set in letters of 12 points, and drawn larger or smaller */
    StripList strips;
} Label;

/* Adds a strip for each label of NODE. */
void labels_add(Strips *strips, const DocumentNode *node);

#endif
