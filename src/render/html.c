/* The HTML back end. Black on white, legible when photocopied and wet; no step
 * is split over two pages, and a table's head is repeated. */
#include "render/html.h"

#include "render/html_parts.h"
#include "render/words.h"

#include <stdio.h>
#include <string.h>

enum { MANY = 8, SHORT_TABLE = 16 };

void html_escaped(Page *page, const char *text)
{
    text_clear(&page->clean);
    words_clean(&page->clean, text == NULL ? "" : text);
    for (const char *at = page->clean.at == NULL ? "" : page->clean.at; *at != 0; at++) {
        switch (*at) {
        case '&': text_put(page->out, "&amp;"); break;
        case '<': text_put(page->out, "&lt;"); break;
        case '>': text_put(page->out, "&gt;"); break;
        case '"': text_put(page->out, "&quot;"); break;
        case ' ':
            text_put(page->out, words_glued(page->clean.at, (size_t)(at - page->clean.at)) ? "\xC2\xA0" : " ");
            break;
        default: text_char(page->out, *at);
        }
    }
}

void html_element(Page *page, const char *open, const char *text, const char *close)
{
    text_put(page->out, open);
    html_escaped(page, text);
    text_put(page->out, close);
}

static void head(Page *page, const Document *document, const char *size)
{
    text_put(page->out, "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n"
                        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    html_element(page, "<title>", document->root->text, "</title>\n<style>\n");
    html_style(page);
    text_print(page->out, "@page{size:%s;margin:12mm 13mm 14mm;"
               "@bottom-right{content:\"page \" counter(page) \" of \" counter(pages);font:9pt Georgia,serif}}\n",
               strcmp(size, "letter") == 0 ? "letter" : "A4");
}

/* Each part is a kind of page of its own, so that every page says which part it is of. */
static void part_styles(Page *page, const Document *document)
{
    unsigned number = 0;
    for (const DocumentNode *part = document->root->first; part != NULL; part = part->next) {
        if (part->form != DOCUMENT_PART) {
            continue;
        }
        text_print(page->out, "@page part%u{@bottom-left{content:\"", ++number);
        text_clear(&page->clean);
        words_clean(&page->clean, part->text);
        for (const char *at = page->clean.at == NULL ? "" : page->clean.at; *at != 0; at++) {
            if (*at == '"' || *at == '\\' || *at == '<') {
                text_print(page->out, "\\%x ", (unsigned)*at);
            } else {
                text_char(page->out, *at);
            }
        }
        text_print(page->out, "\";font:9pt Georgia,serif}}\n#part%u{page:part%u}\n", number, number);
    }
}

static void cell(Page *page, const DocumentNode *node, bool in_head)
{
    bool row_head = (node->marks & DOCUMENT_ROW_HEAD) != 0;
    const char *tag = in_head || row_head ? "th" : "td";
    text_print(page->out, "<%s%s", tag, in_head ? " scope=\"col\"" : row_head ? " scope=\"row\"" : "");
    bool number = (node->marks & DOCUMENT_NUMBER) != 0, strong = (node->marks & DOCUMENT_STRONG) != 0;
    if (number || strong || (node->marks & DOCUMENT_BLANK) != 0) {
        text_print(page->out, " class=\"%s%s%s\"", number ? "n" : "", strong ? " s" : "", (node->marks & DOCUMENT_BLANK) != 0 ? "b" : "");
    }
    text_char(page->out, '>');
    if ((node->marks & DOCUMENT_TICK_BOX) != 0) {
        text_put(page->out, "<span class=\"box\" role=\"img\" aria-label=\"to tick\"></span>");
    }
    html_escaped(page, node->text);
    text_print(page->out, "</%s>", tag);
}

static void field(Page *page, const DocumentNode *node)
{
    text_put(page->out, (node->marks & DOCUMENT_LONG) != 0 ? "<li class=\"long\">" : "<li>");
    html_element(page, "<span class=\"label\">", node->label, "</span>");
    if (node->text != NULL && *node->text != 0) {
        html_element(page, " <span>(", node->text, ")</span>");
    }
    text_put(page->out, " <span class=\"blank\" role=\"img\" aria-label=\"to write in\"></span></li>\n");
}

static unsigned cells_of(const DocumentNode *row)
{
    unsigned count = 0;
    for (const DocumentNode *node = row->first; node != NULL; node = node->next) {
        count += node->form == DOCUMENT_CELL;
    }
    return count;
}

static void row(Page *page, const DocumentNode *node)
{
    bool in_head = node->form == DOCUMENT_HEAD;
    text_put(page->out, "<tr>");
    for (const DocumentNode *inner = node->first; inner != NULL; inner = inner->next) {
        if (inner->form == DOCUMENT_CELL) {
            cell(page, inner, in_head);
        }
    }
    text_put(page->out, "</tr>\n");
    for (const DocumentNode *inner = node->first; inner != NULL; inner = inner->next) {
        if (inner->form != DOCUMENT_FIELDS) {
            continue;
        }
        text_print(page->out, "<tr class=\"below\"><td colspan=\"%u\"><ul class=\"fields line\">\n", cells_of(node));
        for (const DocumentNode *at = inner->first; at != NULL; at = at->next) {
            field(page, at);
        }
        text_put(page->out, "</ul></td></tr>\n");
    }
}

static bool has_fields(const DocumentNode *row_node)
{
    return row_node->last != NULL && row_node->last->form == DOCUMENT_FIELDS;
}

/* A table that fills no page stays on one; of a longer one, and of one that has fields below its rows, it is the rows that stay whole. */
static bool is_short(const DocumentNode *table_node)
{
    unsigned rows = 0;
    for (const DocumentNode *at = table_node->first; at != NULL; at = at->next, rows++) {
        if (has_fields(at)) {
            return false;
        }
    }
    return rows <= SHORT_TABLE;
}

/* A row with fields below is a body of its own, which stays on one page. */
static void table(Page *page, const DocumentNode *node)
{
    text_print(page->out, "<div class=\"scroll%s\" tabindex=\"0\" role=\"region\" aria-label=\"", is_short(node) ? " whole" : "");
    html_escaped(page, node->text);
    text_put(page->out, "\"><table>\n");
    html_element(page, "<caption>", node->text, "</caption>\n");
    bool body = false;
    for (const DocumentNode *at = node->first; at != NULL; at = at->next) {
        bool in_head = at->form == DOCUMENT_HEAD, kept = has_fields(at);
        if (body && (in_head || kept)) {
            text_put(page->out, "</tbody>\n");
        }
        if (in_head || kept || !body) {
            text_put(page->out, in_head ? "<thead>\n" : kept ? "<tbody class=\"kept\">\n" : "<tbody>\n");
        }
        row(page, at);
        if (in_head || kept) {
            text_put(page->out, in_head ? "</thead>\n" : "</tbody>\n");
        }
        body = !in_head && !kept;
    }
    text_put(page->out, body ? "</tbody>\n</table></div>\n" : "</table></div>\n");
}

/* Many items stand in two columns where the page is wide enough. */
static void list(Page *page, const DocumentNode *node)
{
    unsigned count = 0;
    for (const DocumentNode *item = node->first; item != NULL; item = item->next) {
        count++;
    }
    text_put(page->out, count > MANY ? "<ul class=\"many\">\n" : "<ul>\n");
}

static void tick(Page *page, const DocumentNode *node)
{
    html_element(page, "<div class=\"tick\"><span class=\"box\" role=\"img\" aria-label=\"to tick\"></span><span class=\"number\">",
            node->label, ".</span><div>");
    char tag[16] = "b";
    if (node->level > 0) {
        snprintf(tag, sizeof tag, "h%u", node->level);
    }
    text_print(page->out, "<%s>", tag);
    html_escaped(page, node->text);
    text_print(page->out, "</%s>", tag);
    if (node->hint != NULL && *node->hint != 0) {
        html_element(page, ". <span>", node->hint, "</span>");
    }
    text_put(page->out, "</div></div>\n");
}

static void caution(Page *page, const DocumentNode *node)
{
    html_element(page, "<p class=\"caution\"><b>", node->label, "</b>: ");
    html_escaped(page, node->text);
    if (node->hint != NULL && *node->hint != 0) {
        html_element(page, " <b>Wear</b>: ", node->hint, ".");
    }
    text_put(page->out, "</p>\n");
}

static void enter(Page *page, const DocumentNode *node, unsigned *parts)
{
    switch (node->form) { /* never: what stands in tables and pictures is put with them, and not walked */
    case DOCUMENT_PART:
        text_print(page->out, "<section class=\"part\" id=\"part%u\">\n", ++*parts);
        break;
    case DOCUMENT_KEEP: text_put(page->out, "<div class=\"keep\">\n"); break;
    case DOCUMENT_LIST: list(page, node); break;
    case DOCUMENT_PAIRS: text_put(page->out, "<dl class=\"pairs\">\n"); break;
    case DOCUMENT_FIELDS:
        text_put(page->out, (node->marks & DOCUMENT_IN_LINE) != 0 ? "<ul class=\"fields line\">\n" : "<ul class=\"fields\">\n");
        break;
    case DOCUMENT_HOLD:
        html_element(page, "<div class=\"hold\"><b>", node->label, "</b>: ");
        html_escaped(page, node->text);
        text_put(page->out, "\n<ul class=\"fields\">\n");
        break;
    case DOCUMENT_TABLE: table(page, node); break;
    case DOCUMENT_HEADING:
        text_print(page->out, "<h%u>", node->level);
        html_escaped(page, node->text);
        text_print(page->out, "</h%u>\n", node->level);
        break;
    case DOCUMENT_PARAGRAPH: html_element(page, "<p>", node->text, "</p>\n"); break;
    case DOCUMENT_NOTE: html_element(page, "<p class=\"note\">", node->text, "</p>\n"); break;
    case DOCUMENT_ITEM: html_element(page, "<li>", node->text, "</li>\n"); break;
    case DOCUMENT_PAIR:
        html_element(page, "<dt>", node->label, "</dt>");
        html_element(page, "<dd>", node->text, "</dd>\n");
        break;
    case DOCUMENT_TICK: tick(page, node); break;
    case DOCUMENT_FIELD: field(page, node); break;
    case DOCUMENT_CAUTION: caution(page, node); break;
    case DOCUMENT_CODE: html_code(page, node); break;
    case DOCUMENT_PICTURE: html_picture(page, node); break;
    case DOCUMENT_IMAGE: html_image(page, node); break;
    case DOCUMENT_LABELS: html_labels(page, node); break;
    case DOCUMENT_LABEL: html_element(page, "<article aria-label=\"", node->text, "\">\n"); break;
    case DOCUMENT_ROOT: case DOCUMENT_HEAD: case DOCUMENT_ROW: case DOCUMENT_CELL: case DOCUMENT_SHAPE: break; /* the last four are put with what holds them */
    }
}

static void leave(Page *page, const DocumentNode *node)
{
    switch (node->form) {
    case DOCUMENT_PART: text_put(page->out, "</section>\n"); break;
    case DOCUMENT_KEEP: text_put(page->out, "</div>\n"); break;
    case DOCUMENT_LIST: case DOCUMENT_FIELDS: text_put(page->out, "</ul>\n"); break;
    case DOCUMENT_PAIRS: text_put(page->out, "</dl>\n"); break;
    case DOCUMENT_HOLD: text_put(page->out, "</ul></div>\n"); break;
    case DOCUMENT_LABELS: text_put(page->out, "</div>\n"); break;
    case DOCUMENT_LABEL: text_put(page->out, "</article>\n"); break;
    default: break;
    }
}

void render_html(Text *out, const Document *document, const char *size)
{
    Page page = {.out = out};
    text_open(&page.clean, out->memory);
    head(&page, document, size);
    part_styles(&page, document);
    text_put(out, "</style>\n</head>\n<body>\n<main>\n");
    unsigned parts = 0;
    const DocumentNode *whole = NULL; /* what was written when it was entered */
    DocumentWalk walk = {.root = document->root};
    while (document_next(&walk)) {
        if (whole != NULL) {
            whole = walk.node == whole && !walk.entering ? NULL : whole;
            continue;
        }
        if (!walk.entering) {
            leave(&page, walk.node);
            continue;
        }
        enter(&page, walk.node, &parts);
        whole = walk.node->form == DOCUMENT_TABLE || walk.node->form == DOCUMENT_PICTURE ? walk.node : NULL;
    }
    text_put(out, "</main>\n</body>\n</html>\n");
    text_close(&page.clean);
}
