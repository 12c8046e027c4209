/* Pages and labels: their foot, frames and rules, and strips of words. (Rows and fields: draw_rows.c.) */
#include "pages/draw.h"

#include <string.h>

static const double HAIR = 0.4, RULE = 0.7, HEAVY = 1.6;
static const double FOOT_SIZE = 9, FOOT_SMALL = 7.5, FOOT_GAP = MM(5), FOOT_PAGE = MM(32);

void draw_line(Drawing *drawing, double wide, double x1, double y1, double x2, double y2)
{
    cairo_set_line_width(drawing->cairo, wide);
    cairo_move_to(drawing->cairo, x1, y1);
    cairo_line_to(drawing->cairo, x2, y2);
    cairo_stroke(drawing->cairo);
}

void draw_box(Drawing *drawing, double x, double y)
{
    tags_begin(&drawing->tags, "Figure", "/Alt (to tick)");
    cairo_set_line_width(drawing->cairo, 1);
    cairo_rectangle(drawing->cairo, x + 0.5, y + 0.5, TICK_SIDE, TICK_SIDE);
    cairo_stroke(drawing->cairo);
    tags_end(&drawing->tags);
}

/* ---- what belongs to every page ---- */

static void draw_foot(Drawing *drawing, const DocumentNode *part, uint32_t number)
{
    cairo_t *cairo = drawing->cairo;
    double y = drawing->bottom + FOOT_GAP, x = drawing->left;
    char page[64];
    snprintf(page, sizeof page, "page %u of %u", drawing->sheets->list.at[number].number, drawing->sheets->numbered);
    draw_line(drawing, HAIR, x, y, x + drawing->width, y);
    Setting *of = letters_words(drawing->letters, LETTERS_BOLD | LETTERS_RIGHT, FOOT_SIZE, FOOT_PAGE, page);
    letters_draw(cairo, of, 0, 1, x + drawing->width - FOOT_PAGE, y + 2);
    if (part == NULL)
        return;
    Setting *says = letters_words(drawing->letters, LETTERS_BOLD | LETTERS_ONE_LINE, FOOT_SIZE, drawing->width - FOOT_PAGE, part->text);
    letters_draw(cairo, says, 0, 1, x, y + 2);
    if (part->hint != NULL) {
        Setting *small = letters_words(drawing->letters, LETTERS_ONE_LINE, FOOT_SMALL, drawing->width, part->hint);
        letters_draw(cairo, small, 0, 1, x, y + 2 + says->leading);
    }
}

/* What a caution or a hold is framed with, from Y to END. */
static void draw_frame(Drawing *drawing, const Strip *strip, double y, double end)
{
    cairo_t *cairo = drawing->cairo;
    bool caution = strip->frame->form == DOCUMENT_CAUTION;
    double side = FRAME_SIDE + (caution ? CAUTION_BAR : 0), x = drawing->left + strip->x - side;
    double width = strip->width + side + FRAME_SIDE, wide = caution ? RULE : HEAVY;
    cairo_set_line_width(cairo, wide);
    cairo_rectangle(cairo, x + wide / 2, y + wide / 2, width - wide, end - y - wide + (caution ? wide : 0));
    cairo_stroke(cairo);
    if (caution) {
        cairo_rectangle(cairo, x, y, CAUTION_BAR, end - y + wide / 2);
        cairo_fill(cairo);
    }
}

static void draw_frames(Drawing *drawing, const Placed *placed, uint32_t count)
{
    for (uint32_t i = 0, end; i < count; i = end) {
        const Placed *first = &placed[i];
        end = i + 1;
        if (first->strip->frame == NULL)
            continue;
        while (end < count && placed[end].strip->frame == first->strip->frame)
            end++;
        const Placed *last = &placed[end - 1];
        draw_frame(drawing, first->strip, first->y, last->y + last->height);
    }
}

static void draw_rules(Drawing *drawing, const Placed *placed, uint32_t count)
{
    double right = drawing->left + drawing->width;
    for (uint32_t i = 0; i < count; i++, placed++) {
        const Strip *strip = placed->strip;
        if (strip->rule_above && placed->begins && i > 0)
            draw_line(drawing, HAIR, drawing->left, placed->y - strip->above / 2, right, placed->y - strip->above / 2);
        if (strip->node->form == DOCUMENT_HEADING && strip->node->level < 3 && placed->ends) {
            double wide = strip->node->level == 1 ? HEAVY : RULE, y = placed->y + placed->height - strip->behind / 2;
            draw_line(drawing, wide, drawing->left, y, right, y);
        }
    }
}

/* ---- strips ---- */

static void draw_words(Drawing *drawing, const Placed *placed, double x, double y)
{
    const Strip *strip = placed->strip;
    const char *within = strip->is_caption ? "Caption" : strip->node->form == DOCUMENT_TICK || strip->node->form == DOCUMENT_HOLD ? "P" : NULL;
    if (within != NULL)
        tags_begin(&drawing->tags, within, NULL);
    letters_draw(drawing->cairo, strip->cells[0], placed->first, placed->lines, x, y);
    if (within != NULL)
        tags_end(&drawing->tags);
}

static void draw_items(Drawing *drawing, const Placed *placed, double x, double y)
{
    const Strip *strip = placed->strip;
    const DocumentNode *node = strip->node;
    for (unsigned i = 0; i < strip->count; i++, node = node->next) {
        double left = x + i * (strip->width / 2 + MM(4));
        const Setting *words = strip->cells[i];
        if (placed->begins) {
            tags_rise(&drawing->tags);
            cairo_new_path(drawing->cairo);
            cairo_arc(drawing->cairo, left + strip->blank_x / 2, y + letters_ascent(words) - 0.28 * words->size, 1.4, 0, 2 * 3.14159265358979);
            cairo_fill(drawing->cairo);
        }
        tags_reach(&drawing->tags, node);
        tags_begin(&drawing->tags, "LBody", NULL);
        letters_draw(drawing->cairo, words, placed->first, placed->lines, left + strip->blank_x, y);
        tags_end(&drawing->tags);
    }
}

static void draw_pair(Drawing *drawing, const Placed *placed, double x, double y)
{
    static const char *const names[] = {"Lbl", "LBody"};
    for (unsigned i = 0; i < 2; i++) {
        tags_begin(&drawing->tags, names[i], NULL);
        letters_draw(drawing->cairo, placed->strip->cells[i], placed->first, placed->lines, x + i * placed->strip->blank_x, y);
        tags_end(&drawing->tags);
    }
}

static void draw_run(Drawing *drawing, const Placed *placed, double x, double y)
{
    const DocumentNode *node = placed->strip->node;
    for (unsigned i = 0; i < placed->strip->count; i++, node = node->next) {
        tags_reach(&drawing->tags, node);
        tags_begin(&drawing->tags, "LBody", NULL);
        letters_draw(drawing->cairo, placed->strip->cells[i], placed->first, placed->lines, x + i * placed->strip->blank_x, y);
        tags_end(&drawing->tags);
    }
}

static void draw_tick(Drawing *drawing, const Placed *placed, double x, double y)
{
    const Strip *strip = placed->strip;
    static const char *const headings[] = {"P", "H1", "H2", "H3", "H4", "H5", "H6"};
    unsigned level = strip->node->level;
    if (placed->begins)
        draw_box(drawing, x, y + 1);
    tags_begin(&drawing->tags, headings[level <= 6 ? level : 6], NULL);
    if (placed->begins)
        letters_draw(drawing->cairo, strip->cells[1], 0, 1, x + strip->blank_x - MM(2) - strip->cells[1]->width, y);
    letters_draw(drawing->cairo, strip->cells[0], placed->first, placed->lines, x + strip->blank_x, y);
    tags_end(&drawing->tags);
}

static void draw_strip(Drawing *drawing, const Placed *placed)
{
    const Strip *strip = placed->strip;
    double x = drawing->left + strip->x, y = placed->y + (placed->begins ? strip->before : 0);
    if (placed->continues)
        draw_head_again(drawing, strip->table, x, placed->y - strip->table->again);
    if (strip->form == STRIP_ITEMS) {
        draw_items(drawing, placed, x, y);
        return;
    }
    tags_reach(&drawing->tags, strip->node);
    switch (strip->form) {
    case STRIP_PAIR: draw_pair(drawing, placed, x, y); break;
    case STRIP_RUN: draw_run(drawing, placed, x, y); break;
    case STRIP_ROW: draw_row(drawing, placed, x); break;
    case STRIP_TICK: draw_tick(drawing, placed, x, y); break;
    case STRIP_FIELD: draw_field(drawing, placed, x); break;
    case STRIP_CODE: draw_code(drawing, placed, x); break;
    case STRIP_PICTURE: draw_picture(drawing, placed, x); break;
    case STRIP_IMAGE:
        images_draw(drawing->cairo, drawing->images, strip->image, x, placed->y, strip->image->width * strip->scale, strip->image->height * strip->scale);
        break;
    case STRIP_FIELDS: draw_blanks(drawing, strip->blanks, strip->blank_lines, x, placed->y); break;
    default: draw_words(drawing, placed, x, y); break;
    }
}

static void draw_strips(Drawing *drawing, const Placed *placed, uint32_t count)
{
    draw_frames(drawing, placed, count);
    for (uint32_t i = 0; i < count; i++)
        draw_strip(drawing, &placed[i]);
}

/* ---- labels ---- */

/* What is in a label stands one below the other; it was made sure that it fits. */
static void draw_label(Drawing *drawing, const Label *label)
{
    const Stock *stock = label->stock;
    Placed *placed = arena_take(drawing->letters->arena, (label->strips.count + 1u) * sizeof *placed);
    double y = 0;
    for (uint32_t i = 0; i < label->strips.count; i++) {
        const Strip *strip = &label->strips.at[i];
        y += i > 0 ? strip->above : 0;
        placed[i] = (Placed){.strip = strip, .lines = strip->lines, .y = y, .height = strip->height, .begins = true, .ends = true};
        y += strip->height;
    }
    Drawing inner = *drawing;
    inner.left = 0;
    cairo_save(drawing->cairo);
    cairo_translate(drawing->cairo, label->x + stock->margin, label->y + stock->margin);
    cairo_scale(drawing->cairo, label->scale, label->scale);
    draw_strips(&inner, placed, label->strips.count);
    cairo_restore(drawing->cairo);
    drawing->tags = inner.tags;
}

void draw_page(Drawing *drawing, uint32_t number)
{
    const Sheets *sheets = drawing->sheets;
    uint32_t first = 0, count = 0;
    while (first < sheets->placed.count && sheets->placed.at[first].page != number)
        first++;
    while (first + count < sheets->placed.count && sheets->placed.at[first + count].page == number)
        count++;
    const Placed *placed = count == 0 ? NULL : &sheets->placed.at[first];
    tags_rise(&drawing->tags);
    images_turn(drawing->images);
    cairo_set_source_rgb(drawing->cairo, 0, 0, 0);
    if (sheets->list.at[number].stock != NULL) {
        for (uint32_t i = 0; i < count; i++)
            draw_label(drawing, placed[i].strip->label);
        return;
    }
    draw_foot(drawing, placed == NULL ? NULL : placed->strip->part, number);
    draw_rules(drawing, placed, count);
    draw_strips(drawing, placed, count);
}
