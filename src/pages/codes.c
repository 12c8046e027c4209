/* Codes as strips: how large their modules are, what stays free around them, and below them in words what they say. */
#include "pages/strips.h"

static const double ASIDE_LEAST = MM(24), BELOW_BARS = 2, WORDS_SHARE = 0.35;

static bool stands_aside(const Strips *strips, const DocumentNode *node)
{
    if ((node->marks & DOCUMENT_ASIDE) == 0 || node->next == NULL)
        return false;
    return strips->style.close || (node->next->form == DOCUMENT_PAIRS && node->next->first != NULL);
}

static double larger(double one, double other) { return one > other ? one : other; }

/* What must stay free at a side of the code where something is free beside the strips already. */
static double free_beside(const Strips *strips, const Strip *strip)
{
    double quiet = strip->module * (strip->code.rows == 1 ? CODE_QUIET_BARS : CODE_QUIET_SQUARES);
    return larger(0, quiet - strips->style.code_margin);
}

/* How high STRIP's code is with what stays free around it; *WIDTH: how wide. Too wide for a page it is left out: what it says
 * stands there in words. */
static double size_code(const Strips *strips, Strip *strip, double *width)
{
    const StripStyle *style = &strips->style;
    bool bars = strip->code.rows == 1;
    strip->module = bars ? style->bar : style->square;
    strip->bar_high = bars ? style->bar_high : strip->module;
    double quiet = strip->module * (bars ? CODE_QUIET_BARS : CODE_QUIET_SQUARES), beside = free_beside(strips, strip);
    strip->code_x = style->close && !strip->at_right ? beside : quiet;
    strip->code_y = bars ? 0 : style->close && strips->list.count == 1 ? beside : quiet;
    *width = strip->code_x + strip->module * strip->code.columns + beside;
    if (!style->close && *width > strip->width)
        strip->code.rows = 0;
    return strip->code.rows == 0 ? 0 : strip->code_y + strip->bar_high * strip->code.rows + (bars ? BELOW_BARS : quiet);
}

/* What it says is not parted where there is some room for it. */
static void move_right(const Strips *strips, Strip *strip, double width)
{
    double words = letters_longest(strips->letters, LETTERS_BOLD, strips->style.note, strip->node->text);
    width = larger(width, strips->style.close ? 0 : ASIDE_LEAST);
    width = larger(width, words < WORDS_SHARE * strip->width ? words : 0);
    strip->x += strip->width - width;
    strip->width = width;
    strip->code_x = width - free_beside(strips, strip) - strip->module * strip->code.columns;
}

void strips_code(Strips *strips, const DocumentNode *node)
{
    bool bars = (node->marks & DOCUMENT_BARS) != 0, aside = stands_aside(strips, node);
    Code code;
    if (bars ? !code_bars(&code, strips->arena, node->text) : !code_squares(&code, strips->arena, node->text))
        code = (Code){0};
    aside = aside && (code.rows > 0 || !strips->style.close);
    strips_end_aside(strips);
    Strip *strip = strips_add(strips, STRIP_CODE, node, aside ? 0 : strips->style.caution);
    strip->code = code;
    strip->at_right = aside;
    double width = 0, height = code.rows == 0 ? 0 : size_code(strips, strip, &width);
    if (aside)
        move_right(strips, strip, width);
    letters_put(strips->letters, LETTERS_PLAIN, node->label);
    letters_put(strips->letters, LETTERS_PLAIN, " ");
    letters_put(strips->letters, LETTERS_BOLD, node->text);
    strip->cells[0] = letters_set(strips->letters, aside ? LETTERS_RIGHT : LETTERS_PLAIN, strips->style.note, strip->width);
    strip->count = 1;
    strips_high(strip, height, 0);
    if (aside) { /* beside what follows it takes no height of its own */
        strip->hold = HOLD_TIGHT;
        strips->aside = strip->width;
        strips->aside_height = strip->height;
        strips->aside_from = strips->list.count;
        strip->height = 0;
    }
}
