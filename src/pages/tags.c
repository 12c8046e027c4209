/* The tags of a document's nodes, begun and ended as its strips are drawn. */
#include "pages/tags.h"

#include "base/text.h"

#include <cairo-pdf.h>
#include <string.h>

static const char *name_of(const DocumentNode *node)
{
    static const char *const headings[] = {"P", "H1", "H2", "H3", "H4", "H5", "H6"};
    static const char *const names[DOCUMENT_FORMS] = {
        [DOCUMENT_ROOT] = "Document", [DOCUMENT_PART] = "Part", [DOCUMENT_KEEP] = "Div", [DOCUMENT_LIST] = "L",
        [DOCUMENT_PAIRS] = "L", [DOCUMENT_TABLE] = "Table", [DOCUMENT_HEAD] = "TR", [DOCUMENT_ROW] = "TR",
        [DOCUMENT_FIELDS] = "L", [DOCUMENT_HOLD] = "Div", [DOCUMENT_PARAGRAPH] = "P", [DOCUMENT_NOTE] = "P",
        [DOCUMENT_ITEM] = "LI", [DOCUMENT_PAIR] = "LI", [DOCUMENT_TICK] = "Div", [DOCUMENT_FIELD] = "LI", [DOCUMENT_CAUTION] = "P",
        [DOCUMENT_CODE] = "Div", [DOCUMENT_LABELS] = "Div", [DOCUMENT_LABEL] = "Sect",
        [DOCUMENT_PICTURE] = "Figure", [DOCUMENT_IMAGE] = "Figure"};
    if (node->form == DOCUMENT_HEADING)
        return headings[node->level <= 6 ? node->level : 6];
    if (node->form == DOCUMENT_FIELD && node->parent->form != DOCUMENT_FIELDS)
        return "P";
    return names[node->form] == NULL ? "P" : names[node->form];
}

/* TEXT as a PDF has it in hexadecimal, in UTF-16; what is read aloud has common blanks. */
static void put_pdf_text(Text *out, const char *text)
{
    for (size_t length = strlen(text), at = 0, taken; at < length; at += taken) {
        uint32_t sign = utf8_decode(text + at, length - at, &taken);
        sign = sign == 0xA0 ? ' ' : sign;
        if (sign > 0xFFFF)
            text_print(out, "%04X%04X", 0xD800 + ((sign - 0x10000) >> 10), 0xDC00 + ((sign - 0x10000) & 0x3FF));
        else
            text_print(out, "%04X", sign);
    }
}

const char *tags_words(Tags *tags, const char *before, const char *text)
{
    Text words;
    text_open(&words, tags->memory);
    text_put(&words, "/Alt <FEFF");
    put_pdf_text(&words, before);
    put_pdf_text(&words, text);
    text_put(&words, ">");
    const char *kept = arena_copy(tags->arena, words.at, words.length);
    text_close(&words);
    return kept;
}

static void begin(Tags *tags, const char *name, const char *added, const DocumentNode *of)
{
    if (tags->off || tags->depth == TAGS_DEEP)
        return;
    cairo_tag_begin(tags->cairo, name, NULL);
    list_push(tags->memory, &tags->made, (Tag){name, added});
    tags->open[tags->depth] = name;
    tags->of[tags->depth++] = of;
}

void tags_begin(Tags *tags, const char *name, const char *added) { begin(tags, name, added, NULL); }

void tags_end(Tags *tags)
{
    if (!tags->off && tags->depth > 0)
        cairo_tag_end(tags->cairo, tags->open[--tags->depth]);
}

static bool is_around(const DocumentNode *outer, const DocumentNode *node)
{
    while (node != NULL && node != outer)
        node = node->parent;
    return node != NULL;
}

void tags_reach(Tags *tags, const DocumentNode *node)
{
    if (tags->off)
        return;
    while (tags->depth > 0 && (tags->of[tags->depth - 1] == NULL || !is_around(tags->of[tags->depth - 1], node)))
        tags_end(tags);
    const DocumentNode *reached = tags->depth == 0 ? NULL : tags->of[tags->depth - 1];
    while (reached != node && tags->depth < TAGS_DEEP) {
        const DocumentNode *next = node;
        while (next->parent != reached)
            next = next->parent;
        bool picture = next->form == DOCUMENT_PICTURE || next->form == DOCUMENT_IMAGE;
        begin(tags, name_of(next), picture ? tags_words(tags, "", next->text) : NULL, next);
        reached = next;
    }
}

void tags_rise(Tags *tags)
{
    while (tags->depth > 0) {
        const DocumentNode *of = tags->of[tags->depth - 1];
        if (of != NULL && document_holds(of->form) && of->form != DOCUMENT_HEAD && of->form != DOCUMENT_ROW && of->form != DOCUMENT_PICTURE)
            return;
        tags_end(tags);
    }
}

void tags_close(Tags *tags)
{
    while (!tags->off && tags->depth > 0)
        tags_end(tags);
}
