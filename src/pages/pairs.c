/* Pairs and lists as strips: in two columns where there is room for them, or where there is not enough for one. */
#include "pages/strips.h"

enum { MANY_ITEMS = 8 };

static const double ITEM_LEFT = MM(5), COLUMN_GAP = MM(8), PAIR_GAP = MM(5), CLOSE_GAP = MM(3);

/* Where the second column of pairs begins. Within a label there is one only where all go into one line each. */
static double column_of_pairs(Strips *strips, const DocumentNode *node)
{
    bool close = strips->style.close;
    double gap = close ? CLOSE_GAP : PAIR_GAP, widest = 0, longest = 0, most = 0.4 * strips_room(strips);
    for (const DocumentNode *pair = node->first; pair != NULL; pair = pair->next) {
        double width = letters_words(strips->letters, LETTERS_BOLD, strips->style.body, -1, pair->label)->width;
        widest = width > widest ? width : widest;
        width = close ? letters_words(strips->letters, LETTERS_PLAIN, strips->style.body, -1, pair->text)->width : 0;
        longest = width > longest ? width : longest;
    }
    if (strips->style.packed || (close && widest + gap + longest > strips_room(strips)))
        return 0;
    return (widest < most || close ? widest : most) + gap;
}

void strips_begin_pairs(Strips *strips, const DocumentNode *node) { strips->first_column = column_of_pairs(strips, node); }

static Setting *run_on(Strips *strips, const DocumentNode *pair, double room)
{
    letters_put(strips->letters, LETTERS_BOLD, pair->label);
    letters_put(strips->letters, LETTERS_BOLD, ": ");
    letters_put(strips->letters, LETTERS_PLAIN, pair->text);
    return letters_set(strips->letters, LETTERS_PLAIN, strips->style.body, room);
}

/* Two that both go into half a line share it. */
static void add_run(Strips *strips, const DocumentNode *node, double above)
{
    if (strips->second_done) {
        strips->second_done = false;
        return;
    }
    Strip *strip = strips_add(strips, STRIP_RUN, node, above);
    double half = (strip->width - CLOSE_GAP) / 2;
    const DocumentNode *second = strips->style.packed ? node->next : NULL;
    strip->count = 1;
    if (second != NULL && run_on(strips, node, -1)->width <= half && run_on(strips, second, -1)->width <= half) {
        strip->cells[1] = run_on(strips, second, half);
        strip->count = 2;
        strips->second_done = true;
    }
    strip->cells[0] = run_on(strips, node, strip->count == 2 ? half : strip->width);
    strip->blank_x = half + CLOSE_GAP;
    strips_high(strip, 0, 0);
}

void strips_pair(Strips *strips, const DocumentNode *node)
{
    bool first = node == node->parent->first, close = strips->style.close;
    double body = strips->style.body, gap = close ? CLOSE_GAP : PAIR_GAP, above = close ? (first ? 2 : 0) : first ? 6 : 1;
    if (strips->first_column == 0) {
        add_run(strips, node, above);
        return;
    }
    Strip *strip = strips_add(strips, STRIP_PAIR, node, above);
    strip->blank_x = strips->first_column;
    strip->cells[0] = letters_words(strips->letters, LETTERS_BOLD, body, strip->blank_x - gap + 1, node->label);
    strip->cells[1] = letters_words(strips->letters, LETTERS_PLAIN, body, strip->width - strip->blank_x, node->text);
    strip->count = 2;
    strips_high(strip, 0, 0);
    if (strips->aside > 0)
        strip->hold = HOLD_TIGHT;
}

void strips_end_pairs(Strips *strips)
{
    if (!strips->style.close)
        strips_end_aside(strips);
}

/* One item, or two beside each other. */
static void add_items(Strips *strips, const DocumentNode *first, const DocumentNode *second, double size, double room)
{
    Strip *strip = strips_add(strips, STRIP_ITEMS, first, 1);
    strip->blank_x = ITEM_LEFT;
    strip->cells[0] = letters_words(strips->letters, LETTERS_PLAIN, size, room, first->text);
    if (second != NULL)
        strip->cells[1] = letters_words(strips->letters, LETTERS_PLAIN, size, room, second->text);
    strip->count = second == NULL ? 1 : 2;
    strip->may_split = second == NULL;
    strips_high(strip, 0, 0);
}

/* Whether the items may stand in two columns: nearly all go into one line there, and the others into two. */
static bool go_beside(Strips *strips, const DocumentNode *list, double size, double room)
{
    unsigned all = 0, longer = 0;
    for (const DocumentNode *item = list->first; item != NULL; item = item->next, all++) {
        unsigned lines = letters_words(strips->letters, LETTERS_PLAIN, size, room, item->text)->lines;
        if (lines > 2)
            return false;
        longer += lines == 2;
    }
    return all > MANY_ITEMS && longer * 5 <= all;
}

/* Many items are set smaller, and in two columns where there is room. */
void strips_list(Strips *strips, const DocumentNode *list)
{
    double width = strips_room(strips), half = (width - COLUMN_GAP) / 2 - ITEM_LEFT;
    unsigned count = 0;
    for (const DocumentNode *item = list->first; item != NULL; item = item->next)
        count++;
    double size = count > MANY_ITEMS ? strips->style.note : strips->style.body;
    bool beside = go_beside(strips, list, size, half);
    for (const DocumentNode *item = list->first, *second; item != NULL; item = second == NULL ? item->next : second->next) {
        second = beside ? item->next : NULL;
        add_items(strips, item, second, size, beside ? half : width - ITEM_LEFT);
    }
}
