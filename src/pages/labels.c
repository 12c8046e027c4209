/* Fitting words into labels. */
#include "pages/labels.h"

#include "pages/stop.h"

#include <math.h>

#define DOTS(count) ((count) * 72 / 203.0) /* of printers that have 203 an inch: a module is so many of them */

static const double STEP = 0.25, COMFORTABLE = 9.5, MOST = 14;
static const double MARGIN = MM(3), MARGIN_SHARE = 0.08;
static const double COMMON_AREA = MM(99) * MM(38); /* of a label whose letters are comfortable at 9.5 points */

enum { MOST_ON_SHEET = 10000, NAME_SHOWN = 60 };

/* The sizes of codes: these are tried one after the other. No module of a square is smaller than 0.4 mm; those of the first grow
 * with the label. */
typedef struct CodeSize { double square, bar, bar_high; } CodeSize;
static const CodeSize code_sizes[] = {{DOTS(4), DOTS(3), MM(10)}, {MM(0.42), DOTS(2.5), MM(8)}, {MM(0.4), DOTS(2), MM(6.5)}};
enum { CODE_SIZES = sizeof code_sizes / sizeof code_sizes[0] };

/* ---- stock ---- */

_Noreturn static void refuse_stock(const char *what)
{
    pages_stop("The label stock cannot be as it is described: %s. Measure it again, and put its description right.", what);
}

static unsigned count_of(double number)
{
    if (!(number >= 1 && number <= MOST_ON_SHEET && number == floor(number)))
        refuse_stock("its columns, its rows and its first label are whole numbers from 1 to 10,000");
    return (unsigned)number;
}

static void check(const Stock *stock)
{
    const double give = MM(0.05); /* sizes are told in whole tenths of a millimetre, or in inches */
    if (!(stock->page_width >= MM(10) && stock->page_height >= MM(10) && stock->page_width <= MM(2000) && stock->page_height <= MM(2000)))
        refuse_stock("its page is from 10 mm to 2 m wide and high");
    if (!(stock->width >= MM(8) && stock->height >= MM(8)))
        refuse_stock("a label is at least 8 mm wide and high");
    if ((stock->columns > 1 && stock->across < stock->width - give) || (stock->rows > 1 && stock->down < stock->height - give))
        refuse_stock("its labels lie over each other");
    if (stock->left < -give || stock->top < -give || stock->left + (stock->columns - 1) * stock->across + stock->width > stock->page_width + give
        || stock->top + (stock->rows - 1) * stock->down + stock->height > stock->page_height + give)
        refuse_stock("its labels do not lie within its page");
    if (stock->columns > MOST_ON_SHEET / stock->rows || stock->first >= stock->columns * stock->rows)
        refuse_stock("the first label is one of those on a sheet");
}

static const Stock *read_stock(Arena *arena, const DocumentNode *node)
{
    if (node->number_count < STOCK_NUMBERS)
        refuse_stock("numbers of it are missing");
    const double *at = node->numbers;
    Stock *stock = arena_take(arena, sizeof *stock);
    *stock = (Stock){.page_width = MM(at[STOCK_PAGE_WIDTH]), .page_height = MM(at[STOCK_PAGE_HEIGHT]),
                     .columns = count_of(at[STOCK_COLUMNS]), .rows = count_of(at[STOCK_ROWS]), .first = count_of(at[STOCK_FIRST]) - 1,
                     .left = MM(at[STOCK_LEFT]), .top = MM(at[STOCK_TOP]), .width = MM(at[STOCK_WIDTH]), .height = MM(at[STOCK_HEIGHT]),
                     .across = MM(at[STOCK_ACROSS]), .down = MM(at[STOCK_DOWN]), .least = at[STOCK_LEAST_LETTERS]};
    check(stock);
    double side = stock->width < stock->height ? stock->width : stock->height;
    stock->margin = MARGIN_SHARE * side < MARGIN ? MARGIN_SHARE * side : MARGIN;
    stock->largest = COMFORTABLE * sqrt(stock->width * stock->height / COMMON_AREA);
    stock->largest = stock->largest < COMFORTABLE ? COMFORTABLE : stock->largest > MOST ? MOST : floor(stock->largest / STEP) * STEP;
    if (!(stock->least >= 1))
        refuse_stock("the letters on it are of 1 point at the least");
    stock->largest = stock->largest < stock->least ? stock->least : stock->largest;
    return stock;
}

/* ---- fitting ---- */

typedef struct Fitting {
    Strips *strips; /* of the pages */
    const Stock *stock;
    const DocumentNode *node;
    Label *label;
    double high, wide; /* points that are missing */
    double share;      /* of the height of what was set last: how much of it there is room for */
} Fitting;

static double larger(double one, double other) { return one > other ? one : other; }

/* How far what is in STRIP reaches over its right side. */
static double over_side(const Strip *strip)
{
    double over = strip->form == STRIP_CODE && strip->code.rows > 0 ? strip->code_x + strip->module * strip->code.columns - strip->width : 0;
    for (unsigned i = 0; i < strip->count; i++) {
        const Setting *words = strip->cells[i];
        if (words != NULL)
            over = larger(over, words->room >= 0 ? words->width - words->room : 0);
    }
    for (unsigned line = 0; line < strip->blank_lines; line++) {
        for (unsigned i = 0; i < strip->blanks[line].count; i++) {
            const Blank *blank = &strip->blanks[line].at[i];
            over = larger(over, strip->blank_x + blank->blank + blank->width - strip->width);
        }
    }
    return over;
}

/* One way to set a label. */
typedef struct Trial {
    double size; /* of letters */
    bool packed;
    CodeSize codes;
} Trial;

/* Sets the label as TRIAL has it; whether it fits. */
static bool set_label(Fitting *fitting, const Trial *trial)
{
    const Stock *stock = fitting->stock;
    double scale = trial->size / strips_of_labels.body;
    double width = (stock->width - 2 * stock->margin) / scale, height = (stock->height - 2 * stock->margin) / scale;
    Strips inner = {.letters = fitting->strips->letters, .images = fitting->strips->images, .memory = fitting->strips->memory, .arena = fitting->strips->arena,
                    .width = width, .height = height, .style = strips_of_labels, .part = fitting->strips->part, .list = fitting->label->strips};
    inner.style.packed = trial->packed;
    inner.style.square = trial->codes.square / scale;
    inner.style.bar = trial->codes.bar / scale;
    inner.style.bar_high = trial->codes.bar_high / scale;
    inner.style.code_margin = stock->margin / scale;
    inner.list.count = 0;
    strips_make(&inner, fitting->node);
    double high = 0, wide = 0;
    for (uint32_t i = 0; i < inner.list.count; i++) {
        const Strip *strip = &inner.list.at[i];
        high += (i > 0 ? strip->above : 0) + strip->height;
        wide = larger(wide, over_side(strip));
    }
    fitting->high = (high - height) * scale;
    fitting->wide = wide * scale;
    fitting->share = high > 0 ? height / high : 1;
    fitting->label->strips = inner.list;
    fitting->label->scale = scale;
    return fitting->high <= 0.01 && fitting->wide <= 0.1;
}

/* The same for a trial: what was set is kept only where it fits. */
static bool try_label(Fitting *fitting, const Trial *trial)
{
    Letters *letters = fitting->strips->letters;
    Setting *made = letters->settings;
    ArenaMark mark = arena_mark(fitting->strips->arena);
    if (set_label(fitting, trial))
        return true;
    letters_back_to(letters, made);
    arena_back_to(fitting->strips->arena, mark);
    return false;
}

_Noreturn static void refuse_label(const Fitting *fitting)
{
    const char *name = fitting->node->text;
    size_t length = strlen(name), shown = length;
    if (utf8_count(name, length) > NAME_SHOWN) {
        shown = 0;
        for (size_t count = 0, taken; count < NAME_SHOWN; count++, shown += taken)
            (void)utf8_decode(name + shown, length - shown, &taken);
    }
    double high = ceil(fitting->high * 25.4 / 72), wide = ceil(fitting->wide * 25.4 / 72);
    bool by_width = fitting->wide > 0.1;
    pages_stop("The label \xE2\x80\x9C%.*s%s\xE2\x80\x9D lacks %.0f mm of %s, even in letters of %.3g points, the smallest that its stock allows. "
               "Take a larger label stock, or put fewer words on it.",
               (int)shown, name, shown < length ? "…" : "", by_width ? larger(wide, 1) : larger(high, 1), by_width ? "width" : "height",
               fitting->stock->least);
}

/* All that is tried, in order: in each size the words are packed before they shrink; codes shrink only where even the smallest words
 * leave them no room. */
static unsigned sizes_of(const Stock *stock) { return 1 + (unsigned)ceil((stock->largest - stock->least) / STEP - 0.001); }

static Trial trial_of(const Stock *stock, unsigned number)
{
    unsigned sizes = sizes_of(stock);
    Trial trial = {.size = larger(stock->largest - number / 2 % sizes * STEP, stock->least), .packed = number % 2 == 1, .codes = code_sizes[number / 2 / sizes]};
    if (number / 2 < sizes)
        trial.codes.square = DOTS(floor(4 * stock->largest / COMFORTABLE));
    return trial;
}

/* Letters half as large take a quarter of the height: where far too much was set, what is nearly as large is not tried. */
static unsigned next_trial(const Fitting *fitting, unsigned number)
{
    unsigned next = number + 1, all = 2 * sizes_of(fitting->stock);
    double hopeless = fitting->share < 0.2 ? 1.3 * trial_of(fitting->stock, number).size * sqrt(fitting->share) : MOST;
    while (next % all != 0 && (next + 1) % all != 0 && trial_of(fitting->stock, next).size > hopeless)
        next++;
    return next;
}

static bool has_codes(const DocumentNode *node)
{
    for (DocumentWalk walk = {.root = node}; document_next(&walk);) {
        if (walk.node->form == DOCUMENT_CODE)
            return true;
    }
    return false;
}

static bool fits(Fitting *fitting, unsigned number)
{
    Trial trial = trial_of(fitting->stock, number);
    return try_label(fitting, &trial);
}

/* A label mostly fits as the one before it did, in trial NUMBER. Gives the first in which it fits. */
static unsigned fit_label(Fitting *fitting, unsigned number)
{
    unsigned most = 2 * sizes_of(fitting->stock) * (has_codes(fitting->node) ? CODE_SIZES : 1), better = number;
    while (better > 0 && fits(fitting, better - 1))
        better--;
    if (better < number) {
        Trial trial = trial_of(fitting->stock, better);
        set_label(fitting, &trial);
        return better;
    }
    for (number = number < most ? number : 0; number < most; number = next_trial(fitting, number)) {
        if (fits(fitting, number))
            return number;
    }
    refuse_label(fitting);
}

static void put_in_place(Label *label, const Stock *stock, unsigned number)
{
    unsigned place = stock->first + number, on_sheet = place % (stock->columns * stock->rows);
    label->stock = stock;
    label->begins_sheet = number == 0 || on_sheet == 0;
    label->x = stock->left + on_sheet % stock->columns * stock->across;
    label->y = stock->top + on_sheet / stock->columns * stock->down;
}

void labels_add(Strips *strips, const DocumentNode *node)
{
    Fitting fitting = {.strips = strips, .stock = read_stock(strips->arena, node)};
    unsigned number = 0, trial = 0;
    strips_end_aside(strips);
    for (fitting.node = node->first; fitting.node != NULL; fitting.node = fitting.node->next) {
        if (fitting.node->form != DOCUMENT_LABEL)
            continue;
        fitting.label = arena_take(strips->arena, sizeof *fitting.label);
        trial = fit_label(&fitting, trial);
        put_in_place(fitting.label, fitting.stock, number++);
        strips->part_begins = true;
        Strip *strip = strips_add(strips, STRIP_LABEL, fitting.node, 0);
        strip->label = fitting.label;
        strip->hold = HOLD_NOT;
    }
    strips->part_begins = true; /* what follows does not stand among labels */
}
