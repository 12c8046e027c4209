/* Pictures and marks as strips: as large as they are told, or as there is room for. A picture is not parted, and its caption stays with it. */
#include "pages/strips.h"
#include "render/shapes.h"

static const double ABOVE = 12, BELOW = 8, CAPTION_HIGH = 40, CAPTION_SMALLER = 1;
static const double DEFAULT_WIDE = MM(40), DEFAULT_HIGH = MM(20); /* of a mark */
static const double SHARE_OF_LABEL = 0.14; /* of its height */
static const double BESIDE_MARK = MM(3), BELOW_MARK = 6, ABOVE_RULE = 6, HIGH_WHERE_PACKED = MM(13);

static void add_words(Strips *strips, const DocumentNode *node, unsigned style, const char *words, bool is_caption)
{
    Strip *strip = strips_add(strips, STRIP_WORDS, node, is_caption ? ABOVE : strips->style.paragraph);
    double size = strips->style.body - (is_caption && !strips->style.close ? CAPTION_SMALLER : 0);
    strip->cells[0] = letters_words(strips->letters, style, size, strip->width, words);
    strip->count = 1;
    strip->is_caption = is_caption;
    if (is_caption)
        strip->hold = HOLD_TIGHT;
    strips_high(strip, 0, is_caption ? 2 : 0);
}

void strips_picture(Strips *strips, const DocumentNode *node)
{
    bool after_heading = strips->after_heading, fine = shapes_fine(node);
    if (*node->label != 0)
        add_words(strips, node, LETTERS_ITALIC, node->label, true);
    if (!fine) { /* its words are there in any case */
        add_words(strips, node, LETTERS_PLAIN, node->text, false);
        return;
    }
    Strip *strip = strips_add(strips, STRIP_PICTURE, node, *node->label != 0 || after_heading ? 2 : ABOVE);
    double most = strips->height - CAPTION_HIGH;
    strip->scale = MM(1);
    if (node->numbers[0] * strip->scale > strip->width)
        strip->scale = strip->width / node->numbers[0];
    if (node->numbers[1] * strip->scale > most && most > 0)
        strip->scale = most / node->numbers[1];
    strip->height = node->numbers[1] * strip->scale + (strips->style.close ? 0 : BELOW);
    strip->before = 0;
}

void strips_image(Strips *strips, const DocumentNode *node)
{
    Strip *strip = strips_add(strips, STRIP_IMAGE, node, strips->style.paragraph);
    Image *image = strip->image = images_find(strips->images, node);
    double wide = node->number_count < 2 ? DEFAULT_WIDE : MM(node->numbers[0]), high = node->number_count < 2 ? DEFAULT_HIGH : MM(node->numbers[1]);
    double widest = strip->width * (strips->style.close ? 0.4 : 1);
    wide = wide > 0 && wide < widest ? wide : widest;
    double most = strips->height * (strips->style.close ? SHARE_OF_LABEL : 1);
    most = strips->style.packed && !strips->style.close ? HIGH_WHERE_PACKED : most;
    high = high > 0 && high < most ? high : most;
    strip->scale = wide / image->width < high / image->height ? wide / image->width : high / image->height;
    strip->hold = HOLD_TIGHT; /* it stands with what is its owner's */
    bool beside = (strips->style.close || strips->style.packed) && node->next != NULL && (node->next->form == DOCUMENT_HEADING || node->next->form == DOCUMENT_PARAGRAPH);
    if (beside) {
        strips->mark = image->width * strip->scale + BESIDE_MARK;
        strips->mark_height = image->height * strip->scale + (strips->style.close ? 0 : ABOVE_RULE);
    } else {
        strip->height = strip->behind = image->height * strip->scale + BELOW_MARK;
    }
}
