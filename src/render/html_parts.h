/* What the files of the HTML back end share. */
#ifndef WATERLEAF_RENDER_HTML_PARTS_H
#define WATERLEAF_RENDER_HTML_PARTS_H

#include "base/text.h"
#include "documents/document.h"

typedef struct Page {
    Text *out;
    Text clean;
    unsigned tables, pictures;
} Page;

/* How it looks: html_style.c. */
void html_style(Page *page);

/* Adds TEXT so that nothing in it is taken for a tag, and no number is parted from what it counts; with OPEN and CLOSE around it. */
void html_escaped(Page *page, const char *text);
void html_element(Page *page, const char *open, const char *text, const char *close);

/* What is drawn: html_pictures.c. */
void html_code(Page *page, const DocumentNode *node);
void html_picture(Page *page, const DocumentNode *node);
void html_image(Page *page, const DocumentNode *node);

/* Begins labels. */
void html_labels(Page *page, const DocumentNode *node);

#endif
