/* Setting words, by Pango. */
#include "pages/letters.h"

#include "pages/stop.h"

#include <fontconfig/fontconfig.h>
#include <pango/pangofc-fontmap.h>
#include <stdio.h>
#include <string.h>

/* Charis is made to be read small and on poor printers: open, sturdy, with figures of one width. What it
 * has not, arrows or other alphabets, DejaVu has. */
#define FAMILY "Charis SIL,DejaVu Sans"
static const char *const files[] = {
    "charis/CharisSIL-Regular.ttf", "charis/CharisSIL-Bold.ttf", "charis/CharisSIL-Italic.ttf",
    "charis/CharisSIL-BoldItalic.ttf", "dejavu/DejaVuSans.ttf", "dejavu/DejaVuSans-Bold.ttf"};

enum { LONG_WORD = 40 /* signs: what is longer may be parted anywhere */ };
static const double LEADING = 1.26;

void letters_open(Letters *letters, Arena *arena)
{
    *letters = (Letters){.arena = arena};
    FcConfig *config = FcConfigCreate();
    for (size_t i = 0; i < sizeof files / sizeof files[0]; i++) {
        char path[512];
        snprintf(path, sizeof path, "%s/%s", PAGES_FONTS, files[i]);
        if (config == NULL || !FcConfigAppFontAddFile(config, (const FcChar8 *)path))
            pages_stop("The font %s is missing, and pages are set in it. Install Debian's fonts-sil-charis and fonts-dejavu-core.", path);
    }
    /* Else the system's own is read, from a hundred files, each of which may fail, and no font is chosen by it. */
    if (!FcConfigSetCurrent(config))
        pages_stop("There is not enough memory to set these pages.");
    letters->map = pango_cairo_font_map_new_for_font_type(CAIRO_FONT_TYPE_FT);
    pango_cairo_font_map_set_resolution(PANGO_CAIRO_FONT_MAP(letters->map), 72);
    pango_fc_font_map_set_config(PANGO_FC_FONT_MAP(letters->map), config);
    FcConfigDestroy(config); /* the map keeps it */
    letters->context = pango_font_map_create_context(letters->map);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(letters->context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(letters->context, FALSE);
    pango_context_set_language(letters->context, pango_language_from_string("en-GB"));
    text_open(&letters->text, arena->memory);
}

void letters_back_to(Letters *letters, Setting *made)
{
    for (; letters->settings != made; letters->settings = letters->settings->next)
        g_object_unref(letters->settings->layout);
}

void letters_close(Letters *letters)
{
    letters_back_to(letters, NULL);
    if (letters->styles != NULL)
        pango_attr_list_unref(letters->styles);
    text_close(&letters->text);
    g_object_unref(letters->context);
    g_object_unref(letters->map);
}

static void add_style(Letters *letters, PangoAttribute *style, size_t start, size_t end)
{
    style->start_index = (guint)start;
    style->end_index = (guint)end;
    pango_attr_list_insert(letters->styles, style);
}

/* What stands between two blanks stays in one line, unless it is too long for one. A no-break space is
 * none of those blanks; it is set as a blank, so that who copies or searches finds one. */
void letters_put(Letters *letters, unsigned style, const char *words)
{
    if (letters->styles == NULL)
        letters->styles = pango_attr_list_new();
    size_t start = letters->text.length;
    for (const char *at = words; *at != 0;) {
        size_t word = letters->text.length, signs = 0;
        for (; *at != 0 && *at != ' '; signs++) {
            bool glue = strncmp(at, "\xC2\xA0", 2) == 0;
            size_t taken;
            (void)utf8_decode(at, strnlen(at, 4), &taken);
            text_add(&letters->text, glue ? " " : at, glue ? 1 : taken);
            at += taken;
        }
        if (signs > 0 && signs <= LONG_WORD)
            add_style(letters, pango_attr_allow_breaks_new(FALSE), word, letters->text.length);
        for (; *at == ' '; at++)
            text_char(&letters->text, ' ');
    }
    size_t end = letters->text.length;
    if ((style & LETTERS_BOLD) != 0)
        add_style(letters, pango_attr_weight_new(PANGO_WEIGHT_BOLD), start, end);
    if ((style & LETTERS_ITALIC) != 0)
        add_style(letters, pango_attr_style_new(PANGO_STYLE_ITALIC), start, end);
}

/* Every sign must be there in a font. */
static void look_for_missing(PangoLayout *layout)
{
    const char *text = pango_layout_get_text(layout);
    PangoLayoutIter *iter = pango_layout_get_iter(layout);
    do {
        PangoLayoutRun *run = pango_layout_iter_get_run_readonly(iter);
        for (int i = 0; run != NULL && i < run->glyphs->num_glyphs; i++) {
            if ((run->glyphs->glyphs[i].glyph & PANGO_GLYPH_UNKNOWN_FLAG) == 0)
                continue;
            const char *at = text + run->item->offset + run->glyphs->log_clusters[i];
            size_t taken;
            uint32_t sign = utf8_decode(at, strnlen(at, 4), &taken);
            pages_stop("The sign %.*s (U+%04X) is in no font that pages are set in. Write the word in other letters, or ask for html.",
                       (int)taken, at, (unsigned)sign);
        }
    } while (pango_layout_iter_next_run(iter));
    pango_layout_iter_free(iter);
}

static PangoLayout *new_layout(Letters *letters, unsigned style, double size, double room)
{
    PangoLayout *layout = pango_layout_new(letters->context);
    PangoFontDescription *font = pango_font_description_from_string(FAMILY);
    pango_font_description_set_absolute_size(font, size * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);
    pango_layout_set_auto_dir(layout, FALSE);
    pango_layout_set_text(layout, letters->text.at == NULL ? "" : letters->text.at, (int)letters->text.length);
    if (letters->styles != NULL) {
        add_style(letters, pango_attr_insert_hyphens_new(FALSE), 0, letters->text.length);
        pango_layout_set_attributes(layout, letters->styles);
    }
    if (room >= 0) {
        pango_layout_set_width(layout, (int)(room * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    }
    if ((style & LETTERS_ONE_LINE) != 0)
        pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    pango_layout_set_alignment(layout, (style & LETTERS_RIGHT) != 0 ? PANGO_ALIGN_RIGHT : PANGO_ALIGN_LEFT);
    return layout;
}

static double width_of(PangoLayout *layout)
{
    PangoRectangle rectangle;
    pango_layout_get_extents(layout, NULL, &rectangle);
    return (double)rectangle.width / PANGO_SCALE;
}

static gboolean is_about_breaks(PangoAttribute *attribute, gpointer with)
{
    (void)with;
    return attribute->klass->type == PANGO_ATTR_ALLOW_BREAKS;
}

Setting *letters_set(Letters *letters, unsigned style, double size, double room)
{
    PangoLayout *layout = new_layout(letters, style, size, room);
    if (room >= 0 && letters->styles != NULL && width_of(layout) > room + 0.01) { /* some word is wider than there is room: it is parted */
        pango_attr_list_unref(pango_attr_list_filter(letters->styles, is_about_breaks, NULL));
        g_object_unref(layout);
        layout = new_layout(letters, style, size, room);
    }
    look_for_missing(layout);
    Setting *setting = arena_take(letters->arena, sizeof *setting);
    setting->layout = layout;
    setting->next = letters->settings;
    letters->settings = setting;
    setting->size = size;
    setting->leading = size * LEADING;
    setting->width = width_of(layout);
    setting->lines = (unsigned)pango_layout_get_line_count(layout);
    setting->at_right = (style & LETTERS_RIGHT) != 0;
    setting->room = room;
    text_clear(&letters->text);
    if (letters->styles != NULL)
        pango_attr_list_unref(letters->styles);
    letters->styles = NULL;
    return setting;
}

Setting *letters_words(Letters *letters, unsigned style, double size, double room, const char *words)
{
    letters_put(letters, style, words);
    return letters_set(letters, style, size, room);
}

double letters_longest(Letters *letters, unsigned style, double size, const char *words)
{
    letters_put(letters, style, words);
    PangoLayout *layout = new_layout(letters, style, size, 0);
    double width = width_of(layout);
    g_object_unref(layout);
    text_clear(&letters->text);
    if (letters->styles != NULL)
        pango_attr_list_unref(letters->styles);
    letters->styles = NULL;
    return width;
}

double letters_ascent(const Setting *setting)
{
    /* Above the baseline stand about three quarters of a letter's size; the rest of the leading is shared. */
    return (setting->leading - setting->size) / 2 + 0.8 * setting->size;
}

static PangoLayoutLine *line_of(const Setting *setting, unsigned number)
{
    return pango_layout_get_line_readonly(setting->layout, (int)number);
}

double letters_line_width(const Setting *setting, unsigned number)
{
    PangoRectangle rectangle;
    pango_layout_line_get_extents(line_of(setting, number), NULL, &rectangle);
    return (double)rectangle.width / PANGO_SCALE;
}

void letters_draw(cairo_t *cairo, const Setting *setting, unsigned first, unsigned count, double x, double y)
{
    for (unsigned i = first; i < first + count && i < setting->lines; i++) {
        double left = setting->at_right ? setting->room - letters_line_width(setting, i) : 0;
        cairo_move_to(cairo, x + left, y + letters_ascent(setting) + (i - first) * setting->leading);
        pango_cairo_show_layout_line(cairo, line_of(setting, i));
    }
}
