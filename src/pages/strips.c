/* Cutting a document into strips, but for pairs and lists (pairs.c), tables (table.c), fields (fields.c), codes (codes.c), pictures
 * (pictures.c) and labels (labels.c). */
#include "pages/labels.h"
#include "pages/parts.h"
#include "pages/strips.h"

#define STEP_LEFT MM(21)

/* A module of a code is so wide that a wet sheet's can be read. */
const StripStyle strips_of_pages = {
    .body = 12, .note = 11, .table = 12, .least_table = 8,
    .heading = {12, 17, 13.5}, .heading_above = {10, 0, 18}, .heading_behind = {0, 4, 3},
    .paragraph = 7, .caution = 6, .step = 13, .kept_left = STEP_LEFT, .write_pitch = WRITE_PITCH,
    .square = MM(0.7), .bar = MM(0.4), .bar_high = MM(13), .code_margin = MM(18)};

/* All words of a label but its headings are of one size, which is the smallest on it: see labels.c. */
const StripStyle strips_of_labels = {
    .close = true, .body = 12, .note = 12, .table = 12, .least_table = 12,
    .heading = {12, 16, 13}, .heading_above = {3, 3, 4}, .heading_behind = {0, 1.5, 0.5},
    .paragraph = 2.5, .caution = 4, .step = 5, .write_pitch = MM(7.5)};

double strips_room(const Strips *strips) { return strips->width - strips->left - strips->right - strips->aside - strips->mark; }

/* Whether what was set since a code was put at the right is as high as it. */
static bool is_past_aside(const Strips *strips)
{
    double height = 0;
    for (uint32_t i = strips->aside_from; i < strips->list.count; i++)
        height += strips->list.at[i].above + strips->list.at[i].height;
    return height >= strips->aside_height;
}

void strips_end_aside(Strips *strips)
{
    if (strips->aside > 0 && strips->list.count > 0) {
        double height = strips->aside_height;
        for (uint32_t i = strips->aside_from; i < strips->list.count; i++)
            height -= strips->list.at[i].above + strips->list.at[i].height;
        Strip *last = &strips->list.at[strips->list.count - 1];
        last->height += height > 0 ? height : 0;
        last->behind += height > 0 ? height : 0;
        last->hold = strips->kept > 0 ? HOLD_KEPT : HOLD_NOT;
    }
    strips->aside = 0;
}

/* What stands beside a mark is as high as that, and in its middle. */
static void end_mark(Strips *strips)
{
    Strip *last = strips->list.count == 0 ? NULL : &strips->list.at[strips->list.count - 1];
    if (last == NULL || strips->mark_height == 0 || strips->mark > 0)
        return;
    double less = strips->mark_height - last->height;
    if (less > 0) {
        last->before += less / 2;
        last->height += less;
    }
    strips->mark_height = 0;
}

Strip *strips_add(Strips *strips, StripForm form, const DocumentNode *node, double above)
{
    if (strips->rule_next && above < strips->style.step)
        above = strips->style.step;
    if (strips->style.close && strips->aside > 0 && is_past_aside(strips))
        strips->aside = 0;
    end_mark(strips);
    list_push(strips->memory, &strips->list, (Strip){.form = form, .node = node, .frame = strips->frame, .part = strips->part,
                                                     .x = strips->left + strips->mark, .width = strips_room(strips),
                                                     .above = above, .begins_part = strips->part_begins,
                                                     .rule_above = strips->rule_next,
                                                     .hold = strips->kept > 0 ? HOLD_KEPT : HOLD_NOT});
    strips->mark = 0;
    strips->part_begins = strips->rule_next = strips->after_heading = false;
    return &strips->list.at[strips->list.count - 1];
}

void strips_high(Strip *strip, double before, double behind)
{
    strip->lines = 0;
    double leading = 0;
    for (unsigned i = 0; i < strip->count; i++) {
        if (strip->cells[i] == NULL)
            continue;
        strip->lines = strip->cells[i]->lines > strip->lines ? strip->cells[i]->lines : strip->lines;
        leading = strip->cells[i]->leading > leading ? strip->cells[i]->leading : leading;
    }
    strip->before = before;
    strip->behind = behind;
    strip->height = before + strip->lines * leading + behind;
}

/* The words of one paragraph, which were put together already. */
static Strip *add_words(Strips *strips, const DocumentNode *node, double above, unsigned style, double size)
{
    Strip *strip = strips_add(strips, STRIP_WORDS, node, above);
    strip->cells[0] = letters_set(strips->letters, style, size, strip->width);
    strip->count = 1;
    strip->may_split = strips->kept == 0 && strips->frame == NULL;
    strips_high(strip, 0, 0);
    return strip;
}

static void add_heading(Strips *strips, const DocumentNode *node)
{
    const StripStyle *style = &strips->style;
    unsigned level = node->level < 3 ? node->level : 0;
    letters_put(strips->letters, LETTERS_BOLD, node->text);
    Strip *strip = add_words(strips, node, style->heading_above[level], LETTERS_BOLD, style->heading[level]);
    strip->hold = HOLD_TIGHT;
    strips_high(strip, 0, style->heading_behind[level]);
    strips->after_heading = true;
}

static void add_paragraph(Strips *strips, const DocumentNode *node)
{
    bool note = node->form == DOCUMENT_NOTE;
    double left = strips->left;
    if (strips->kept > 0 && strips->frame == NULL)
        strips->left += strips->style.kept_left;
    letters_put(strips->letters, note ? LETTERS_ITALIC : LETTERS_PLAIN, node->text);
    Strip *strip = add_words(strips, node, strips->kept > 0 ? 2 : strips->style.paragraph, LETTERS_PLAIN, note ? strips->style.note : strips->style.body);
    /* what is said about a table stays with it */
    if (node->next != NULL && node->next->form == DOCUMENT_TABLE && strip->hold == HOLD_NOT)
        strip->hold = HOLD_KEPT;
    strips->left = left;
}

/* The name beside its box, and below it what to do. */
static void add_tick(Strips *strips, const DocumentNode *node)
{
    Letters *letters = strips->letters;
    Strip *strip = strips_add(strips, STRIP_TICK, node, 6);
    letters_put(letters, LETTERS_BOLD, node->label);
    letters_put(letters, LETTERS_BOLD, ".");
    strip->cells[1] = letters_set(letters, LETTERS_PLAIN, strips->style.body, -1);
    strip->cells[0] = letters_words(letters, LETTERS_BOLD, strips->style.body, strip->width - STEP_LEFT, node->text);
    strip->blank_x = STEP_LEFT;
    strip->count = 2;
    strip->hold = HOLD_TIGHT;
    strips_high(strip, 0, 0);
    if (node->hint == NULL && strip->height < TICK_SIDE + 4) {
        strip->behind = TICK_SIDE + 4 - strip->height;
        strip->height += strip->behind;
    }
    if (node->hint != NULL) {
        double left = strips->left;
        strips->left += STEP_LEFT;
        letters_put(letters, LETTERS_PLAIN, node->hint);
        add_words(strips, node, 0, LETTERS_PLAIN, strips->style.body);
        strips->left = left;
    }
}

static void put_signal(Strips *strips, const char *word)
{
    const char *text = word;
    char capital[64] = "";
    for (size_t i = 0; word[i] != 0 && i + 1 < sizeof capital; i++)
        capital[i] = word[i] >= 'a' && word[i] <= 'z' ? (char)(word[i] - 'a' + 'A') : word[i];
    if (strlen(word) + 1 < sizeof capital)
        text = capital;
    letters_put(strips->letters, LETTERS_BOLD, text);
    letters_put(strips->letters, LETTERS_BOLD, ":\xC2\xA0");
}

static bool follows(const Strips *strips, DocumentForm form)
{
    const Strip *before = strips->list.count == 0 ? NULL : &strips->list.at[strips->list.count - 1];
    return before != NULL && before->part == strips->part && before->node->form == form;
}

static void add_caution(Strips *strips, const DocumentNode *node)
{
    double left = strips->left, right = strips->right;
    bool joined = follows(strips, DOCUMENT_CAUTION) && !strips->rule_next;
    strips->frame = node;
    strips->left += CAUTION_BAR + FRAME_SIDE;
    strips->right += FRAME_SIDE;
    put_signal(strips, node->label);
    letters_put(strips->letters, LETTERS_PLAIN, node->text);
    if (node->hint != NULL) {
        letters_put(strips->letters, LETTERS_BOLD, " Wear: ");
        letters_put(strips->letters, LETTERS_PLAIN, node->hint);
        letters_put(strips->letters, LETTERS_PLAIN, ".");
    }
    Strip *strip = add_words(strips, node, joined ? 0 : strips->style.caution, LETTERS_PLAIN, strips->style.body);
    strips_high(strip, FRAME_ABOVE, FRAME_ABOVE);
    if (strips->kept > 0) /* the danger is told in front of what is done, on the same page */
        strip->hold = HOLD_TIGHT;
    strips->frame = NULL;
    strips->left = left;
    strips->right = right;
}

/* ---- what holds others ---- */

static void begin_hold(Strips *strips, const DocumentNode *node)
{
    strips->left += (strips->kept > 0 ? strips->style.kept_left : 0) + FRAME_SIDE;
    strips->right += FRAME_SIDE;
    strips->frame = node;
    letters_put(strips->letters, LETTERS_BOLD, node->label);
    letters_put(strips->letters, LETTERS_BOLD, ":\xC2\xA0");
    letters_put(strips->letters, LETTERS_BOLD, node->text);
    Strip *strip = add_words(strips, node, 10, LETTERS_PLAIN, strips->style.body);
    strips_high(strip, FRAME_ABOVE + 1, 3);
    strip->hold = HOLD_TIGHT;
}

static void end_hold(Strips *strips)
{
    Strip *last = &strips->list.at[strips->list.count - 1];
    last->behind += FRAME_ABOVE + 2;
    last->height += FRAME_ABOVE + 2;
    strips->left -= (strips->kept > 0 ? strips->style.kept_left : 0) + FRAME_SIDE;
    strips->right -= FRAME_SIDE;
    strips->frame = NULL;
}

static void add_hold(Strips *strips, const DocumentNode *node)
{
    begin_hold(strips, node);
    strips_fields(strips, node);
    for (const DocumentNode *fields = node->first; fields != NULL; fields = fields->next) {
        if (fields->form == DOCUMENT_FIELDS)
            strips_fields(strips, fields);
    }
    end_hold(strips);
}

static void leave_keep(Strips *strips)
{
    strips->kept--;
    strips->rule_next = false;
    if (strips->kept == 0 && strips->list.count > 0)
        strips->list.at[strips->list.count - 1].hold = HOLD_NOT;
}

static void enter_fields(Strips *strips, const DocumentNode *node)
{
    bool inside_step = strips->kept > 0 && strips->frame == NULL;
    strips->left += inside_step ? strips->style.kept_left : 0;
    strips_fields(strips, node);
    strips->left -= inside_step ? strips->style.kept_left : 0;
}

static void enter(Strips *strips, const DocumentNode *node)
{
    switch (node->form) { /* never: what stands in tables and pictures is put with them, and not walked */
    case DOCUMENT_PART:
        strips->part = node;
        strips->part_begins = true;
        parts_begin(strips, node);
        break;
    case DOCUMENT_KEEP:
        strips->rule_next = strips->kept == 0 && !strips->after_heading && !strips->style.close;
        strips->kept++;
        break;
    case DOCUMENT_LIST: strips_list(strips, node); break;
    case DOCUMENT_PAIRS: strips_begin_pairs(strips, node); break;
    case DOCUMENT_TABLE: strips_table(strips, node); break;
    case DOCUMENT_FIELDS: enter_fields(strips, node); break;
    case DOCUMENT_HOLD: add_hold(strips, node); break;
    case DOCUMENT_HEADING: add_heading(strips, node); break;
    case DOCUMENT_PARAGRAPH: case DOCUMENT_NOTE: add_paragraph(strips, node); break;
    case DOCUMENT_PAIR: strips_pair(strips, node); break;
    case DOCUMENT_TICK: add_tick(strips, node); break;
    case DOCUMENT_CAUTION: add_caution(strips, node); break;
    case DOCUMENT_CODE: strips_code(strips, node); break;
    case DOCUMENT_PICTURE: strips_picture(strips, node); break;
    case DOCUMENT_IMAGE: strips_image(strips, node); break;
    case DOCUMENT_LABELS: labels_add(strips, node); break;
    case DOCUMENT_ROOT: break;
    case DOCUMENT_HEAD: case DOCUMENT_ROW: case DOCUMENT_CELL: case DOCUMENT_ITEM: case DOCUMENT_FIELD: case DOCUMENT_LABEL: case DOCUMENT_SHAPE:
        break; /* set with what holds them */
    }
}

static bool is_made_whole(DocumentForm form)
{
    return form == DOCUMENT_TABLE || form == DOCUMENT_FIELDS || form == DOCUMENT_LIST || form == DOCUMENT_HOLD
           || form == DOCUMENT_PICTURE || form == DOCUMENT_LABELS;
}

void strips_make(Strips *strips, const DocumentNode *root)
{
    const DocumentNode *whole = NULL; /* what was made when it was entered */
    for (DocumentWalk walk = {.root = root}; document_next(&walk);) {
        if (whole != NULL) {
            whole = walk.node == whole && !walk.entering ? NULL : whole;
        } else if (walk.entering) {
            enter(strips, walk.node);
            whole = is_made_whole(walk.node->form) ? walk.node : NULL;
        } else if (walk.node->form == DOCUMENT_KEEP) {
            leave_keep(strips);
        } else if (walk.node->form == DOCUMENT_PAIRS) {
            strips_end_pairs(strips);
        }
    }
    end_mark(strips);
    strips_end_aside(strips);
}
