/* Labels on stock whose sheets, rows and columns a script declares. */
#include "documents/maker.h"

#include "meaning/document_lines.h"
#include "meaning/line.h"
#include "meaning/settle.h"
#include "meaning/unit.h"

static double plain(Maker *maker, ThingId stock, Name name, double otherwise)
{
    FieldId field = settle_field(maker->world, maker->world->things.at[stock].shape, name);
    Value value = field == 0 ? run_absent(0) : run_attribute(maker->run, REF(REF_THING, stock), field);
    return run_told(value) ? value.number : otherwise;
}

static double in_mm(const Maker *maker, double length)
{
    UnitId mm = unit_of(maker->world, KNOWN_mm);
    return mm == 0 ? length * 1000 : unit_from_base(&maker->world->units.at[mm], length);
}

/* Of a size its two sides, in mm. */
static void sides(Maker *maker, ThingId stock, Name name, double *width, double *height)
{
    FieldId field = settle_field(maker->world, maker->world->things.at[stock].shape, name);
    Value value = field == 0 ? run_absent(0) : run_attribute(maker->run, REF(REF_THING, stock), field);
    if (run_told(value) && value.thing != 0) {
        Band size = maker->run->bands.at[value.thing];
        *width = in_mm(maker, size.low);
        *height = in_mm(maker, size.high);
    }
}

/* False, and a trouble: the labels would not lie on their sheet. */
static bool read_stock(Maker *maker, ThingId stock, double numbers[STOCK_NUMBERS])
{
    sides(maker, stock, KNOWN_page, &numbers[STOCK_PAGE_WIDTH], &numbers[STOCK_PAGE_HEIGHT]);
    sides(maker, stock, KNOWN_label, &numbers[STOCK_WIDTH], &numbers[STOCK_HEIGHT]);
    numbers[STOCK_COLUMNS] = plain(maker, stock, KNOWN_columns, 1);
    numbers[STOCK_ROWS] = plain(maker, stock, KNOWN_rows, 1);
    numbers[STOCK_LEFT] = in_mm(maker, plain(maker, stock, KNOWN_left, 0));
    numbers[STOCK_TOP] = in_mm(maker, plain(maker, stock, KNOWN_top, 0));
    numbers[STOCK_ACROSS] = numbers[STOCK_WIDTH] + in_mm(maker, plain(maker, stock, KNOWN_gap_across, 0));
    numbers[STOCK_DOWN] = numbers[STOCK_HEIGHT] + in_mm(maker, plain(maker, stock, KNOWN_gap_down, 0));
    numbers[STOCK_LEAST_LETTERS] = in_mm(maker, plain(maker, stock, KNOWN_least_letters, 0)) * 72 / 25.4;
    numbers[STOCK_FIRST] = maker->wish->first_label > 0 ? maker->wish->first_label : 1;
    double right = numbers[STOCK_LEFT] + (numbers[STOCK_COLUMNS] - 1) * numbers[STOCK_ACROSS] + numbers[STOCK_WIDTH];
    double bottom = numbers[STOCK_TOP] + (numbers[STOCK_ROWS] - 1) * numbers[STOCK_DOWN] + numbers[STOCK_HEIGHT];
    const char *name = world_text(maker->world, maker->world->things.at[stock].name);
    if (!(numbers[STOCK_PAGE_WIDTH] > 0 && numbers[STOCK_WIDTH] > 0 && numbers[STOCK_COLUMNS] >= 1 && numbers[STOCK_ROWS] >= 1)
        || right > numbers[STOCK_PAGE_WIDTH] + 0.01 || bottom > numbers[STOCK_PAGE_HEIGHT] + 0.01) {
        maker->trouble = arena_print(&maker->run->arena, "The labels of %s do not lie on its sheet: they reach %.1f mm by %.1f mm, and the sheet is %.1f mm by %.1f mm. "
                                     "Measure it again.", name, right, bottom, numbers[STOCK_PAGE_WIDTH], numbers[STOCK_PAGE_HEIGHT]);
        return false;
    }
    if (numbers[STOCK_FIRST] > numbers[STOCK_COLUMNS] * numbers[STOCK_ROWS]) {
        maker->trouble = arena_print(&maker->run->arena, "A sheet of %s has %.0f labels, so the first cannot be number %.0f.", name,
                                     numbers[STOCK_COLUMNS] * numbers[STOCK_ROWS], numbers[STOCK_FIRST]);
        return false;
    }
    return true;
}

static void label_of_item(Maker *maker, NodeId line, void *with)
{
    (void)with;
    maker_enter(maker, DOCUMENT_LABEL, NULL, maker_text(maker, line, 0));
    maker_lines(maker, line, maker_line, NULL);
    maker_leave(maker);
}

static void line_of_labels(Maker *maker, NodeId line, void *with)
{
    if (line_head(maker->world, line) == KNOWN_label) {
        maker_each(maker, line, label_of_item, with);
    } else {
        maker_line(maker, line, with);
    }
}

void maker_labels(Maker *maker, NodeId line)
{
    double numbers[STOCK_NUMBERS] = {0};
    Value stock = run_value(maker->run, maker->frame, document_line_value(maker->world, line, 0));
    if (!run_told(stock) || REF_SORT(stock.thing) != REF_THING) {
        maker->trouble = "Nothing says on which label stock the labels are printed. Write it in the mill: stock, and its name.";
        return;
    }
    if (!read_stock(maker, REF_INDEX(stock.thing), numbers)) {
        return;
    }
    DocumentNode *labels = maker_enter(maker, DOCUMENT_LABELS, NULL, NULL);
    document_numbers(maker->document, labels, numbers, STOCK_NUMBERS);
    maker_lines(maker, line, line_of_labels, NULL);
    maker_leave(maker);
}
