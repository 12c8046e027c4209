/* Somebody's own marks, PNG or SVG, ready to be drawn: each only once, however often a document has it. */
#ifndef WATERLEAF_PAGES_IMAGES_H
#define WATERLEAF_PAGES_IMAGES_H

#include "base/arena.h"
#include "base/list.h"
#include "documents/document.h"

#include <cairo.h>

typedef struct Image {
    double width, height;     /* in units of its own: only their ratio matters */
    const char *type, *base64;
    LIST(cairo_surface_t *) dots; /* of a PNG; Cairo writes a faulty PDF where a page has one of them twice: so these are alike */
    uint32_t used;                /* how many of them the page at hand has */
    struct _RsvgHandle *lines;    /* or of an SVG */
    struct Image *next;
} Image;

typedef struct Images {
    Arena *arena;
    Image *first;
} Images;

/* The image of NODE. Stops where it cannot be drawn, with a sentence that says why and what to do. */
Image *images_find(Images *images, const DocumentNode *node);

/* Draws it WIDE and HIGH from X and Y on. */
void images_draw(cairo_t *cairo, Images *images, Image *image, double x, double y, double wide, double high);

/* A page begins. */
void images_turn(Images *images);

void images_close(Images *images);

#endif
