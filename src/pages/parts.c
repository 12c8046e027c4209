/* How large the letters of a part are. */
#include "pages/parts.h"

#include "pages/sheets.h"

static const double SIZES[] = {11.25, 10.5, 10, 9.5, 9};
enum { SIZE_COUNT = sizeof SIZES / sizeof SIZES[0] };

/* Whether nothing in PART is ticked, signed or written into. */
static bool is_only_read(const DocumentNode *part)
{
    for (DocumentWalk walk = {.root = part}; document_next(&walk);) {
        switch (walk.node->form) {
        case DOCUMENT_TICK: case DOCUMENT_FIELD: case DOCUMENT_HOLD: case DOCUMENT_LABELS: return false;
        case DOCUMENT_CELL:
            if ((walk.node->marks & (DOCUMENT_BLANK | DOCUMENT_TICK_BOX)) != 0)
                return false;
            break;
        default: break;
        }
    }
    return true;
}

/* What is free shrinks faster than the letters. */
static StripStyle style_of(double size, bool packed)
{
    StripStyle style = strips_of_pages;
    style.packed = packed;
    double share = size / style.body, less = share * share;
    double *letters[] = {&style.body, &style.note, &style.table, &style.heading[0], &style.heading[1], &style.heading[2]};
    double *gaps[] = {&style.heading_above[0], &style.heading_above[2], &style.paragraph, &style.caution, &style.step};
    for (size_t i = 0; i < sizeof letters / sizeof letters[0]; i++)
        *letters[i] *= share;
    for (size_t i = 0; i < sizeof gaps / sizeof gaps[0]; i++)
        *gaps[i] *= less;
    return style;
}

/* How many pages PART takes in STYLE; nothing of it is kept. */
static uint32_t pages_in(const Strips *strips, const DocumentNode *part, const StripStyle *style)
{
    Setting *made = strips->letters->settings;
    ArenaMark mark = arena_mark(strips->arena);
    Strips inner = {.letters = strips->letters, .images = strips->images, .memory = strips->memory, .arena = strips->arena,
                    .width = strips->width, .height = strips->height, .style = *style, .is_trial = true};
    strips_make(&inner, part);
    Sheets sheets = {.memory = strips->memory, .bottom = strips->height};
    sheets_fill(&sheets, &inner);
    memory_return(strips->memory, sheets.placed.at);
    memory_return(strips->memory, sheets.list.at);
    memory_return(strips->memory, inner.list.at);
    letters_back_to(strips->letters, made);
    arena_back_to(strips->arena, mark);
    return sheets.pages;
}

void parts_begin(Strips *strips, const DocumentNode *part)
{
    if (strips->is_trial || strips->style.close)
        return;
    strips->style = strips_of_pages;
    if (!is_only_read(part) || pages_in(strips, part, &strips_of_pages) != 2)
        return;
    for (int i = 0; i < 2 * SIZE_COUNT; i++) {
        StripStyle style = style_of(SIZES[i / 2], i % 2 == 1);
        if (pages_in(strips, part, &style) == 1) {
            strips->style = style;
            return;
        }
    }
}
