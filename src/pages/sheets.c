/* Putting strips on pages. What holds together goes to the next page together;
 * only what is longer than a page is parted: first where it holds together least,
 * in the end between two lines. */
#include "pages/sheets.h"

enum { LEAST_LINES = 2 }; /* of a paragraph that goes over to another page, on either */

static double line_height(const Strip *strip)
{
    return strip->lines == 0 ? 0 : (strip->height - strip->before - strip->behind) / strip->lines;
}

static bool goes_on(const Sheets *sheets, const Strip *strip)
{
    return sheets->fresh && strip->table != NULL && !strip->is_head && strip->table->head != NULL;
}

/* What stands over STRIP where it is put now: a gap, or at the head of a page what is repeated of its table. */
static double over(const Sheets *sheets, const Strip *strip)
{
    return goes_on(sheets, strip) ? strip->table->again : sheets->fresh ? 0 : strip->above;
}

static void new_page(Sheets *sheets)
{
    if (!sheets->fresh || sheets->pages == 0) {
        sheets->pages++;
        sheets->y = sheets->top;
        list_push(sheets->memory, &sheets->list, (Sheet){.number = ++sheets->numbered});
    }
    sheets->fresh = true;
}

static void place(Sheets *sheets, const Strip *strip, unsigned first, unsigned lines)
{
    Placed placed = {.strip = strip, .first = first, .lines = lines, .page = sheets->pages - 1, .continues = goes_on(sheets, strip)};
    placed.begins = first == 0;
    placed.ends = first + lines >= strip->lines;
    placed.height = placed.begins && placed.ends ? strip->height
        : lines * line_height(strip) + (placed.begins ? strip->before : strip->table != NULL ? CELL_ABOVE : 0)
          + (placed.ends ? strip->behind : strip->table != NULL ? CELL_ABOVE : 0);
    sheets->y += over(sheets, strip);
    placed.y = sheets->y;
    sheets->y += placed.height;
    sheets->fresh = false;
    list_push(sheets->memory, &sheets->placed, placed);
}

/* How high the strips from FIRST up to END are, put here. Of a last one that may be parted only what must stand here. */
static double height_of(const Sheets *sheets, const Strips *strips, uint32_t first, uint32_t end)
{
    const Strip *at = &strips->list.at[first];
    double height = over(sheets, at);
    for (uint32_t i = first; i < end; i++) {
        const Strip *strip = &strips->list.at[i];
        bool part = i + 1 == end && strip->may_split && strip->lines > 2 * LEAST_LINES - 1;
        height += (i > first ? strip->above : 0) + (part ? strip->before + LEAST_LINES * line_height(strip) : strip->height);
    }
    return height;
}

static double room(const Sheets *sheets) { return sheets->bottom - sheets->y + 0.01; }

/* As many lines of STRIP as there is room for, and the rest on further pages. */
static void place_in_parts(Sheets *sheets, const Strip *strip)
{
    double line = line_height(strip);
    unsigned keep = strip->may_split ? LEAST_LINES : 1;
    for (unsigned first = 0; first < strip->lines;) {
        double around = (first == 0 ? strip->before : CELL_ABOVE) + over(sheets, strip) + CELL_ABOVE;
        double left = room(sheets) - around;
        unsigned rest = strip->lines - first, lines = left < line ? 0 : (unsigned)(left / line);
        if (rest * line + over(sheets, strip) + (first == 0 ? strip->before : 0) + strip->behind <= room(sheets))
            lines = rest;
        else if (lines >= rest)
            lines = rest - 1;
        if (lines < rest && rest - lines < keep && rest > keep)
            lines = rest - keep;
        if (lines < keep && lines < rest && !sheets->fresh) {
            new_page(sheets);
            continue;
        }
        lines = lines == 0 ? 1 : lines;
        place(sheets, strip, first, lines);
        first += lines;
        if (first < strip->lines)
            new_page(sheets);
    }
}

static void place_one(Sheets *sheets, const Strip *strip)
{
    bool fits = over(sheets, strip) + strip->height <= room(sheets);
    if (!fits && strip->lines < 2 && !sheets->fresh)
        new_page(sheets);
    if (fits || strip->lines < 2)
        place(sheets, strip, 0, strip->lines);
    else
        place_in_parts(sheets, strip);
}

/* Where the strips that hold together with FIRST at least as strongly as HOLD end. */
static uint32_t end_of(const Strips *strips, uint32_t first, uint32_t most, unsigned hold)
{
    uint32_t end = first + 1;
    while (end < most && strips->list.at[end - 1].hold >= hold)
        end++;
    return end;
}

static void place_group(Sheets *sheets, const Strips *strips, uint32_t first, uint32_t end, unsigned hold)
{
    double height = height_of(sheets, strips, first, end);
    if (height > room(sheets) && !sheets->fresh) {
        Sheets fresh = {.top = sheets->top, .bottom = sheets->bottom, .y = sheets->top, .fresh = true};
        if (height_of(&fresh, strips, first, end) <= room(&fresh) || end == first + 1) {
            if (end > first + 1 || !strips->list.at[first].may_split)
                new_page(sheets);
        }
    }
    if (end == first + 1) {
        place_one(sheets, &strips->list.at[first]);
        return;
    }
    bool fits = height_of(sheets, strips, first, end) <= room(sheets);
    for (uint32_t i = first, next; i < end; i = next) {
        next = fits ? i + 1 : end_of(strips, i, end, hold + 1);
        place_group(sheets, strips, i, next, hold + 1);
    }
}

/* Labels stand where their stock has them. A page that is still empty becomes theirs. */
static void place_label(Sheets *sheets, const Strip *strip)
{
    if (strip->label->begins_sheet) {
        new_page(sheets);
        sheets->numbered--;
        sheets->list.at[sheets->pages - 1] = (Sheet){.stock = strip->label->stock};
    }
    sheets->fresh = false;
    list_push(sheets->memory, &sheets->placed, (Placed){.strip = strip, .page = sheets->pages - 1, .y = strip->label->y});
}

void sheets_fill(Sheets *sheets, const Strips *strips)
{
    new_page(sheets);
    for (uint32_t first = 0, end; first < strips->list.count; first = end) {
        end = first + 1;
        if (strips->list.at[first].form == STRIP_LABEL) {
            place_label(sheets, &strips->list.at[first]);
            continue;
        }
        end = end_of(strips, first, strips->list.count, HOLD_KEPT);
        for (uint32_t i = first + 1; i < end; i++)
            end = strips->list.at[i].begins_part ? i : end;
        if (strips->list.at[first].begins_part && sheets->placed.count > 0)
            new_page(sheets);
        place_group(sheets, strips, first, end, HOLD_KEPT);
    }
}
