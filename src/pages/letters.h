/* Words set in letters: lines of them, as wide as there is room. Only the fonts
 * that are named here are used, whatever else a machine has, so that a page is
 * the same everywhere. A sign that none of them has ends the program with a sentence. */
#ifndef WATERLEAF_PAGES_LETTERS_H
#define WATERLEAF_PAGES_LETTERS_H

#include "base/arena.h"
#include "base/text.h"

#include <pango/pangocairo.h>

typedef struct Letters {
    Arena *arena;
    PangoFontMap *map;
    PangoContext *context;
    struct Setting *settings; /* all that were made */
    Text text;                /* what is being put together */
    PangoAttrList *styles;
} Letters;

/* Some words set, all in one size and with lines equally far apart. Lengths in points. */
typedef struct Setting Setting;
struct Setting {
    PangoLayout *layout;
    Setting *next;
    double size, leading; /* leading: from line to line */
    double width;         /* of its widest line */
    unsigned lines;
    bool at_right;
    double room;
};

enum { LETTERS_PLAIN, LETTERS_BOLD = 1, LETTERS_ITALIC = 2, LETTERS_RIGHT = 4, LETTERS_ONE_LINE = 8 };

void letters_open(Letters *letters, Arena *arena);
void letters_close(Letters *letters);

/* Gives back all settings that were made since MADE was the newest of letters->settings. */
void letters_back_to(Letters *letters, Setting *made);

/* Puts words together in several styles, and then sets them. ROOM below 0: one line, however wide. */
void letters_put(Letters *letters, unsigned style, const char *words);
Setting *letters_set(Letters *letters, unsigned style, double size, double room);

/* The same for words in one style. */
Setting *letters_words(Letters *letters, unsigned style, double size, double room, const char *words);

/* How wide the widest part of the words is that should not be parted. */
double letters_longest(Letters *letters, unsigned style, double size, const char *words);

/* Draws COUNT lines from FIRST on; X, Y: the upper left corner of where there is room for them. */
void letters_draw(cairo_t *cairo, const Setting *setting, unsigned first, unsigned count, double x, double y);

/* From the upper side of a line to where its letters stand. */
double letters_ascent(const Setting *setting);

/* How wide line NUMBER is. */
double letters_line_width(const Setting *setting, unsigned number);

#endif
