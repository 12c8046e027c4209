/* Reading marks, by Cairo and librsvg. librsvg is large, and opened only where there is an SVG. It is given bytes without a place
 * that they came from, so that it opens nothing else: no file, no address. */
#include "pages/images.h"

#include "pages/stop.h"
#include "render/mark.h"

#include <dlfcn.h>
#include <librsvg/rsvg.h>
#include <string.h>

static const char library[] = "librsvg-2.so.2";

_Noreturn static void refuse(const DocumentNode *node, const char *what, const char *mend)
{
    pages_stop("The mark \xE2\x80\x9C%.100s\xE2\x80\x9D cannot be drawn: %s. %s.", node->text, what, mend);
}

/* ---- what is asked of librsvg ---- */

typedef struct Functions {
    RsvgHandle *(*from_data)(const guint8 *bytes, gsize length, GError **error);
    gboolean (*size)(RsvgHandle *handle, gdouble *width, gdouble *height);
    void (*dimensions)(RsvgHandle *handle, gboolean *has_width, RsvgLength *width, gboolean *has_height, RsvgLength *height, gboolean *has_box, RsvgRectangle *box);
    gboolean (*render)(RsvgHandle *handle, cairo_t *cairo, const RsvgRectangle *where, GError **error);
} Functions;

static void *function_named(void *opened, const char *name)
{
    void *found = opened == NULL ? NULL : dlsym(opened, name);
    if (found == NULL)
        pages_stop("%s is missing, which draws marks that are SVG. Install Debian's librsvg2-2, or save the mark as PNG.", library);
    return found;
}

static Functions functions(void)
{
    void *opened = dlopen(library, RTLD_NOW | RTLD_LOCAL); /* once open, it stays */
    Functions all;
    *(void **)&all.from_data = function_named(opened, "rsvg_handle_new_from_data");
    *(void **)&all.size = function_named(opened, "rsvg_handle_get_intrinsic_size_in_pixels");
    *(void **)&all.dimensions = function_named(opened, "rsvg_handle_get_intrinsic_dimensions");
    *(void **)&all.render = function_named(opened, "rsvg_handle_render_document");
    return all;
}

/* ---- reading ---- */

typedef struct Bytes {
    const char *at;
    size_t left;
} Bytes;

static cairo_status_t give_bytes(void *with, unsigned char *to, unsigned length)
{
    Bytes *bytes = with;
    if (length > bytes->left)
        return CAIRO_STATUS_READ_ERROR;
    memcpy(to, bytes->at, length);
    bytes->at += length;
    bytes->left -= length;
    return CAIRO_STATUS_SUCCESS;
}

static void read_dots(Images *images, Image *image, const DocumentNode *node, const Text *text)
{
    Bytes bytes = {text->at, text->length};
    cairo_surface_t *dots = cairo_image_surface_create_from_png_stream(give_bytes, &bytes);
    if (cairo_surface_status(dots) != CAIRO_STATUS_SUCCESS)
        refuse(node, "it is broken, or cut off", "Save it once more");
    list_push(images->arena->memory, &image->dots, dots);
    image->width = cairo_image_surface_get_width(dots);
    image->height = cairo_image_surface_get_height(dots);
}

static void read_lines(Image *image, const DocumentNode *node, const Text *text)
{
    Functions rsvg = functions();
    image->lines = rsvg.from_data((const guint8 *)text->at, text->length, NULL);
    if (image->lines == NULL)
        refuse(node, "it is no well-formed SVG", "Save it once more");
    gboolean has_width, has_height, has_box;
    RsvgLength width, height;
    RsvgRectangle box;
    if (rsvg.size(image->lines, &image->width, &image->height) && image->width > 0 && image->height > 0)
        return;
    rsvg.dimensions(image->lines, &has_width, &width, &has_height, &height, &has_box, &box);
    if (!has_box || !(box.width > 0 && box.height > 0))
        refuse(node, "it does not say how wide and high it is", "Give it a width and a height, or a viewBox");
    image->width = box.width;
    image->height = box.height;
}

Image *images_find(Images *images, const DocumentNode *node)
{
    const char *base64 = node->hint == NULL ? "" : node->hint;
    for (Image *image = images->first; image != NULL; image = image->next) {
        if (strcmp(image->type, node->label) == 0 && strcmp(image->base64, base64) == 0)
            return image;
    }
    MarkTrouble trouble;
    if (!mark_sound(images->arena->memory, node, &trouble))
        refuse(node, trouble.what, trouble.mend);
    Text bytes;
    text_open(&bytes, images->arena->memory);
    mark_bytes(&bytes, base64);
    Image *image = arena_take(images->arena, sizeof *image);
    *image = (Image){.type = node->label, .base64 = base64, .next = images->first};
    if (strcmp(node->label, "image/png") == 0)
        read_dots(images, image, node, &bytes);
    else
        read_lines(image, node, &bytes);
    text_close(&bytes);
    images->first = image;
    return image;
}

/* ---- drawing ---- */

/* The next of the PNGs that are alike. */
static cairo_surface_t *dots_of(Images *images, Image *image)
{
    if (image->used == image->dots.count) {
        cairo_surface_t *first = image->dots.at[0];
        int stride = cairo_image_surface_get_stride(first), rows = cairo_image_surface_get_height(first);
        cairo_surface_t *copy = cairo_image_surface_create(cairo_image_surface_get_format(first), cairo_image_surface_get_width(first), rows);
        if (cairo_surface_status(copy) != CAIRO_STATUS_SUCCESS || cairo_image_surface_get_stride(copy) != stride)
            memory_throw(images->arena->memory, FAILURE_MEMORY);
        memcpy(cairo_image_surface_get_data(copy), cairo_image_surface_get_data(first), (size_t)stride * (size_t)rows);
        cairo_surface_mark_dirty(copy);
        list_push(images->arena->memory, &image->dots, copy);
    }
    return image->dots.at[image->used++];
}

void images_draw(cairo_t *cairo, Images *images, Image *image, double x, double y, double wide, double high)
{
    cairo_save(cairo);
    /* never a paint without bounds: as the first of a page Cairo takes it for a new beginning, and forgets the tags that are open */
    cairo_rectangle(cairo, x, y, wide, high);
    cairo_clip(cairo);
    if (image->lines != NULL) {
        RsvgRectangle where = {x, y, wide, high};
        if (!functions().render(image->lines, cairo, &where, NULL))
            pages_stop("A mark that is an SVG could not be drawn: there is too much in it. Simplify it, or save it as PNG.");
    } else {
        cairo_translate(cairo, x, y);
        cairo_scale(cairo, wide / image->width, high / image->height);
        cairo_set_source_surface(cairo, dots_of(images, image), 0, 0);
        cairo_rectangle(cairo, 0, 0, image->width, image->height);
        cairo_fill(cairo);
    }
    cairo_restore(cairo);
}

void images_turn(Images *images)
{
    for (Image *image = images->first; image != NULL; image = image->next)
        image->used = 0;
}

void images_close(Images *images)
{
    for (Image *image = images->first; image != NULL; image = image->next) {
        for (uint32_t i = 0; i < image->dots.count; i++)
            cairo_surface_destroy(image->dots.at[i]);
        if (image->lines != NULL)
            g_object_unref(image->lines);
    }
}
