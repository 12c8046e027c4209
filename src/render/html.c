/* The HTML back end. Black on white, legible when photocopied and wet; no step
 * is split over two pages, and a table's head is repeated. */
#include "render/html.h"

#include "documents/code.h"
#include "render/words.h"

#include <stdio.h>
#include <string.h>

enum { MANY = 8, SHORT_TABLE = 16 };

typedef struct Page {
    Text *out;
    Text clean;
    unsigned tables;
} Page;

static void escaped(Page *page, const char *text)
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

static void element(Page *page, const char *open, const char *text, const char *close)
{
    text_put(page->out, open);
    escaped(page, text);
    text_put(page->out, close);
}

static const char style[] =
    "html{font:12pt/1.35 Georgia,'Times New Roman',serif;color:#000;background:#fff}\n"
    "body{margin:0 auto;max-width:48em;padding:0 1em 2em;overflow-wrap:anywhere}\n"
    "h1{font-size:1.35em;margin:.6em 0 .4em;border-bottom:3px solid #000}\n"
    "h2{font-size:1.12em;margin:1em 0 .35em;border-bottom:1px solid #000}\n"
    "h3{font-size:1em;margin:0;display:inline}\n"
    "section.part{border-top:4px double #000;margin-top:2em}\n"
    ".keep{margin:.5em 0;padding:.4em 0 .3em;border-top:1px solid #000;break-inside:avoid}\n"
    ".tick~p,.tick~.fields,.hold{margin-left:3.6em}\n"
    ".keep>p{margin-top:.2em;margin-bottom:.2em}\n"
    ".tick{display:flex;gap:.6em;align-items:baseline;margin:.2em 0}\n"
    ".box{flex:none;width:1.25em;height:1.25em;border:1.5px solid #000;display:inline-block;vertical-align:-.25em;"
    "align-self:flex-start}\n"
    ".number{flex:none;font-weight:bold;min-width:1.4em;text-align:right}\n"
    ".note{font-size:.92em;font-style:italic;margin:.3em 0}\n"
    ".caution{border:2px solid #000;border-left-width:8px;padding:.1em .5em;margin:.2em 0;break-inside:avoid}\n"
    ".caution+.caution{border-top-width:1px;margin-top:-.2em}\n"
    ".caution b{text-transform:uppercase;letter-spacing:.04em}\n"
    ".hold{border:4px double #000;padding:.3em .6em;margin-top:.4em;margin-bottom:.3em;break-inside:avoid}\n"
    ".hold .fields{margin-left:0}\n"
    ".fields{margin:.2em 0;padding:0;list-style:none}\n"
    ".fields li{display:flex;flex-wrap:wrap;gap:0 .5em;align-items:flex-end;min-height:8mm}\n"
    ".blank{flex:1 1 6em;max-width:13em;min-width:4em;border-bottom:1px solid #000;height:1.15em}\n"
    ".long .blank{max-width:none;flex-basis:16em}\n"
    ".line{display:flex;flex-wrap:wrap;gap:0 1em}.line li{flex:1 1 auto;flex-wrap:nowrap}.line .label{white-space:nowrap}\n"
    "dl.pairs{display:grid;grid-template-columns:max-content 1fr;gap:.1em 1em;margin:.4em 0}\n"
    "dl.pairs dt{font-weight:bold}dl.pairs dd{margin:0}\n"
    "ul.many{columns:2 16em;column-gap:2em}ul.many li{break-inside:avoid}\n"
    ".code{margin:.5em 0;break-inside:avoid}.code svg{display:block}.code figcaption{font-size:.92em}\n"
    ".aside{float:right;margin:0 0 .5em 1em}.aside figcaption{text-align:center}\n"
    ".scroll{overflow-x:auto}.whole{break-inside:avoid}\n"
    "table{border-collapse:collapse;width:100%;margin:.4em 0;font-size:.95em;overflow-wrap:normal}\n"
    "caption{text-align:left;font-style:italic;padding-bottom:.2em}\n"
    "th,td{border:1px solid #000;padding:.2em .45em;text-align:left;vertical-align:top}\n"
    "th[scope=row]{font-weight:normal}\n"
    ".n{text-align:right;white-space:nowrap}.s{font-weight:bold;font-size:1.08em}\n"
    ".b{height:8mm;min-width:3em}\n"
    "tr.below td{border-top:none;padding-top:0}tbody.kept{break-inside:avoid}\n"
    "thead{display:table-header-group}tr{break-inside:avoid}tr:nth-last-child(-n+2){break-before:avoid}\n"
    "@media(max-width:36em){.tick~p,.tick~.fields,.hold{margin-left:0}dl.pairs{display:block}.line li{flex-basis:100%}}\n"
    "@media print{html{font-size:11pt;line-height:1.28}body{max-width:none;padding:0}section.part{border-top:none;margin-top:0}"
    "section.part+section.part{break-before:page}.scroll{overflow:visible}h1,h2,caption,p:has(+.scroll){break-after:avoid}"
    "h1{margin-top:0}h2{margin-top:.7em}.keep{margin:.3em 0;padding:.3em 0 .1em}dl.pairs{grid-template-columns:max-content 1fr max-content 1fr}p{margin:.4em 0;orphans:3;widows:3}"
    "td,th{padding-top:.1em;padding-bottom:.1em}.b{height:7mm;padding:0}ul.many{columns:3 12em;font-size:.85em;padding-left:1.4em}}\n";

static void head(Page *page, const Document *document, const char *size)
{
    text_put(page->out, "<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n"
                        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    element(page, "<title>", document->root->text, "</title>\n<style>\n");
    text_put(page->out, style);
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
    escaped(page, node->text);
    text_print(page->out, "</%s>", tag);
}

static void field(Page *page, const DocumentNode *node)
{
    text_put(page->out, (node->marks & DOCUMENT_LONG) != 0 ? "<li class=\"long\">" : "<li>");
    element(page, "<span class=\"label\">", node->label, "</span>");
    if (node->text != NULL && *node->text != 0) {
        element(page, " <span>(", node->text, ")</span>");
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

/* A table that fills no page stays on one; a row with fields below it takes the room of two. Of a longer table it is
 * the rows that stay whole. */
static bool is_short(const DocumentNode *table_node)
{
    unsigned rows = 0;
    for (const DocumentNode *at = table_node->first; at != NULL; at = at->next) {
        rows += has_fields(at) ? 2 : 1;
    }
    return rows <= SHORT_TABLE;
}

/* A row with fields below is a body of its own, which stays on one page. */
static void table(Page *page, const DocumentNode *node)
{
    text_print(page->out, "<div class=\"scroll%s\" tabindex=\"0\" role=\"region\" aria-label=\"", is_short(node) ? " whole" : "");
    escaped(page, node->text);
    text_put(page->out, "\"><table>\n");
    element(page, "<caption>", node->text, "</caption>\n");
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
    element(page, "<div class=\"tick\"><span class=\"box\" role=\"img\" aria-label=\"to tick\"></span><span class=\"number\">",
            node->label, ".</span><div>");
    char tag[16] = "b";
    if (node->level > 0) {
        snprintf(tag, sizeof tag, "h%u", node->level);
    }
    text_print(page->out, "<%s>", tag);
    escaped(page, node->text);
    text_print(page->out, "</%s>", tag);
    if (node->hint != NULL && *node->hint != 0) {
        element(page, ". <span>", node->hint, "</span>");
    }
    text_put(page->out, "</div></div>\n");
}

static void caution(Page *page, const DocumentNode *node)
{
    element(page, "<p class=\"caution\"><b>", node->label, "</b>: ");
    escaped(page, node->text);
    if (node->hint != NULL && *node->hint != 0) {
        element(page, " <b>Wear</b>: ", node->hint, ".");
    }
    text_put(page->out, "</p>\n");
}

/* A module of half a millimetre is read from a sheet that was wet; a bar is read by the row. */
static void put_modules(Page *page, const Code *code, unsigned quiet, unsigned high)
{
    text_print(page->out, " width=\"%.1fmm\" height=\"%.1fmm\" viewBox=\"0 0 %u %u\" shape-rendering=\"crispEdges\"><path d=\"",
               0.5 * (code->columns + 2 * quiet), 0.5 * (code->rows * high + 2 * quiet), code->columns + 2 * quiet, code->rows * high + 2 * quiet);
    for (unsigned row = 0; row < code->rows; row++) {
        const unsigned char *dark = code->dark + row * code->columns;
        for (unsigned column = 0, run; column < code->columns; column += run) {
            for (run = 1; column + run < code->columns && dark[column + run] == dark[column];) {
                run++;
            }
            if (dark[column]) {
                text_print(page->out, "M%u %uh%uv%uh-%uz", column + quiet, row * high + quiet, run, high, run);
            }
        }
    }
    text_put(page->out, "\"/></svg>");
}

/* What is too long for a code stands there in words alone. */
static void code(Page *page, const DocumentNode *node)
{
    enum { BARS_HIGH = 24 };
    bool bars = (node->marks & DOCUMENT_BARS) != 0;
    Arena arena;
    arena_open(&arena, page->out->memory);
    Code made;
    text_put(page->out, (node->marks & DOCUMENT_ASIDE) != 0 ? "<figure class=\"code aside\">" : "<figure class=\"code\">");
    if (bars ? code_bars(&made, &arena, node->text) : code_squares(&made, &arena, node->text)) {
        element(page, "<svg role=\"img\" aria-label=\"code: ", node->text, "\"");
        put_modules(page, &made, bars ? CODE_QUIET_BARS : CODE_QUIET_SQUARES, bars ? BARS_HIGH : 1);
    }
    element(page, "<figcaption>", node->label, " ");
    element(page, "", node->text, "</figcaption></figure>\n");
    arena_close(&arena);
}

static void enter(Page *page, const DocumentNode *node, unsigned *parts)
{
    switch (node->form) {
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
        element(page, "<div class=\"hold\"><b>", node->label, "</b>: ");
        escaped(page, node->text);
        text_put(page->out, "\n<ul class=\"fields\">\n");
        break;
    case DOCUMENT_TABLE: table(page, node); break;
    case DOCUMENT_HEADING:
        text_print(page->out, "<h%u>", node->level);
        escaped(page, node->text);
        text_print(page->out, "</h%u>\n", node->level);
        break;
    case DOCUMENT_PARAGRAPH: element(page, "<p>", node->text, "</p>\n"); break;
    case DOCUMENT_NOTE: element(page, "<p class=\"note\">", node->text, "</p>\n"); break;
    case DOCUMENT_ITEM: element(page, "<li>", node->text, "</li>\n"); break;
    case DOCUMENT_PAIR:
        element(page, "<dt>", node->label, "</dt>");
        element(page, "<dd>", node->text, "</dd>\n");
        break;
    case DOCUMENT_TICK: tick(page, node); break;
    case DOCUMENT_FIELD: field(page, node); break;
    case DOCUMENT_CAUTION: caution(page, node); break;
    case DOCUMENT_CODE: code(page, node); break;
    default: break;
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
    const DocumentNode *table_at = NULL;
    DocumentWalk walk = {.root = document->root};
    while (document_next(&walk)) {
        if (table_at != NULL) { /* a table is written whole, when it is entered */
            table_at = walk.node == table_at && !walk.entering ? NULL : table_at;
            continue;
        }
        if (!walk.entering) {
            leave(&page, walk.node);
            continue;
        }
        enter(&page, walk.node, &parts);
        table_at = walk.node->form == DOCUMENT_TABLE ? walk.node : NULL;
    }
    text_put(out, "</main>\n</body>\n</html>\n");
    text_close(&page.clean);
}
