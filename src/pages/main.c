/* waterleaf-pages: sets a document, which comes on standard input, on pages, and
 * writes them to standard output: a PDF, or SVG pictures, each behind a line "svg LENGTH".
 *
 * It is a program of its own because what draws letters is large: waterleaf, which must
 * start at once, asks for it only where pages are wanted. */
#include "base/files.h"
#include "pages/draw.h"
#include "pages/finish.h"
#include "pages/read.h"
#include "pages/stop.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <string.h>

enum { MOST_READ = 64 << 20 };

static const double LEFT = MM(22), RIGHT = MM(18), TOP = MM(16), BOTTOM = MM(24);

typedef struct Making {
    Memory *memory;
    Arena arena;
    Document document;
    PagesWish wish;
    Letters letters;
    Images images;
    Arena image_arena; /* these stay when a label is set anew */
    Strips strips;
    Sheets sheets;
    double width, height; /* of a page */
    Text out;
} Making;

static cairo_status_t take_bytes(void *with, const unsigned char *bytes, unsigned length)
{
    text_add(with, (const char *)bytes, length);
    return CAIRO_STATUS_SUCCESS;
}

static void end_surface(cairo_t *cairo, cairo_surface_t *surface)
{
    cairo_status_t status = cairo_status(cairo);
    cairo_destroy(cairo);
    cairo_surface_finish(surface);
    status = status == CAIRO_STATUS_SUCCESS ? cairo_surface_status(surface) : status;
    cairo_surface_destroy(surface);
    if (status != CAIRO_STATUS_SUCCESS)
        pages_stop("The pages could not be drawn: %s.", cairo_status_to_string(status));
}

static double width_of(const Making *making, uint32_t page)
{
    const Stock *stock = making->sheets.list.at[page].stock;
    return stock == NULL ? making->width : stock->page_width;
}

static double height_of(const Making *making, uint32_t page)
{
    const Stock *stock = making->sheets.list.at[page].stock;
    return stock == NULL ? making->height : stock->page_height;
}

static Drawing drawing_of(Making *making, cairo_t *cairo)
{
    return (Drawing){.cairo = cairo, .letters = &making->letters, .images = &making->images, .sheets = &making->sheets, .left = LEFT,
                     .tags = {.cairo = cairo, .memory = making->memory, .arena = &making->arena, .off = making->wish.as_svg},
                     .width = making->strips.width, .bottom = making->sheets.bottom};
}

static void write_pdf(Making *making)
{
    cairo_surface_t *surface = cairo_pdf_surface_create_for_stream(take_bytes, &making->out, making->width, making->height);
    cairo_pdf_surface_restrict_to_version(surface, CAIRO_PDF_VERSION_1_4);
    Text title; /* cleaned words only; those of no text cannot be told from it */
    text_open(&title, making->memory);
    text_put(&title, making->document.root->text);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title.at == NULL ? "" : title.at);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR, "waterleaf");
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, making->wish.date);
    cairo_t *cairo = cairo_create(surface);
    Drawing drawing = drawing_of(making, cairo);
    for (uint32_t page = 0; page < making->sheets.pages; page++) {
        cairo_pdf_surface_set_size(surface, width_of(making, page), height_of(making, page));
        draw_page(&drawing, page);
        tags_rise(&drawing.tags);
        if (page + 1 == making->sheets.pages)
            tags_close(&drawing.tags);
        cairo_show_page(cairo);
    }
    end_surface(cairo, surface);
    text_close(&title);
    finish_pdf(&making->out, &drawing.tags.made);
}

static void write_svg(Making *making)
{
    Text picture;
    text_open(&picture, making->memory);
    for (uint32_t page = 0; page < making->sheets.pages; page++) {
        text_clear(&picture);
        cairo_surface_t *surface = cairo_svg_surface_create_for_stream(take_bytes, &picture, width_of(making, page), height_of(making, page));
        cairo_t *cairo = cairo_create(surface);
        Drawing drawing = drawing_of(making, cairo);
        draw_page(&drawing, page);
        cairo_show_page(cairo);
        end_surface(cairo, surface);
        text_print(&making->out, "svg %zu\n", picture.length);
        text_add(&making->out, picture.at, picture.length);
    }
    text_close(&picture);
}

/* Sets the document that was read, in letters that are open, on pages. */
static void set_pages(Making *making)
{
    making->width = making->wish.letter ? MM(215.9) : MM(210);
    making->height = making->wish.letter ? MM(279.4) : MM(297);
    making->images = (Images){.arena = &making->image_arena};
    arena_open(&making->image_arena, making->memory);
    making->strips = (Strips){.letters = &making->letters, .images = &making->images, .memory = making->memory, .arena = &making->arena,
                              .width = making->width - LEFT - RIGHT, .height = making->height - TOP - BOTTOM, .style = strips_of_pages};
    strips_make(&making->strips, making->document.root);
    making->sheets = (Sheets){.memory = making->memory, .top = TOP, .bottom = making->height - BOTTOM};
    sheets_fill(&making->sheets, &making->strips);
    text_open(&making->out, making->memory);
    if (making->wish.as_svg)
        write_svg(making);
    else
        write_pdf(making);
    images_close(&making->images);
}

static void make(Making *making)
{
    char *bytes;
    size_t length;
    arena_open(&making->arena, making->memory);
    letters_open(&making->letters, &making->arena); /* while the document is still being made */
    if (files_read(making->memory, "-", MOST_READ, &bytes, &length) != FILE_FINE)
        pages_stop("The document could not be read.");
    pages_read(&making->document, &making->arena, bytes, &making->wish);
    set_pages(making);
    letters_close(&making->letters);
}

/* What draws letters goes on where something fails, with another font, with boxes, without a word: no page may come of that. */
static GLogWriterOutput stop_at(GLogLevelFlags level, const GLogField *fields, gsize count, gpointer with)
{
    (void)with;
    const char *says = "";
    for (gsize i = 0; i < count; i++)
        says = strcmp(fields[i].key, "MESSAGE") == 0 ? fields[i].value : says;
    if ((level & (G_LOG_LEVEL_ERROR | G_LOG_LEVEL_CRITICAL | G_LOG_LEVEL_WARNING)) != 0)
        pages_stop("The pages could not be drawn: %s.", says);
    return G_LOG_WRITER_HANDLED;
}

int main(void)
{
    g_log_set_writer_func(stop_at, NULL, NULL);
    Memory memory = {0};
    Making making = {.memory = &memory};
    jmp_buf rescue;
    memory.rescue = &rescue;
    if (setjmp(rescue) != 0)
        pages_stop("There is not enough memory to set these pages.");
    make(&making);
    bool fine = files_put(&memory, stdout, making.out.at, making.out.length);
    memory_return_all(&memory);
    if (!fine)
        pages_stop("The pages could not be written.");
    return 0;
}
