/* The tree of a document: putting it together, and walking it. */
#include "documents/document.h"

#include <math.h>
#include <string.h>

static const char *kept(Document *document, const char *text)
{
    return text ? arena_copy(document->arena, text, strlen(text)) : NULL;
}

void document_open(Document *document, Arena *arena, const char *title)
{
    *document = (Document){.arena = arena};
    document->root = arena_take(arena, sizeof *document->root);
    document->root->text = kept(document, title);
    document->inside = document->root;
}

bool document_holds(DocumentForm form) { return form <= DOCUMENT_LABEL; }

const char *document_form_name(DocumentForm form)
{
    static const char *const names[DOCUMENT_FORMS] = {
        "root", "part", "keep", "list", "pairs", "table", "head", "row", "fields", "hold", "picture", "labels", "label",
        "heading", "paragraph", "note", "item", "pair", "cell", "tick", "field", "caution", "code", "shape", "image"};
    return names[form];
}

DocumentNode *document_add(Document *document, DocumentForm form, const char *label, const char *text)
{
    DocumentNode *node = arena_take(document->arena, sizeof *node);
    node->form = form;
    node->label = kept(document, label);
    node->text = kept(document, text);
    node->parent = document->inside;
    if (document->inside->last)
        document->inside->last->next = node;
    else
        document->inside->first = node;
    document->inside->last = node;
    return node;
}

void document_hint(Document *document, DocumentNode *node, const char *hint)
{
    node->hint = kept(document, hint);
}

void document_numbers(Document *document, DocumentNode *node, const double *numbers, unsigned count)
{
    double *kept_numbers = arena_take(document->arena, (count + 1u) * sizeof *numbers);
    memcpy(kept_numbers, numbers, count * sizeof *numbers);
    node->numbers = kept_numbers;
    node->number_count = count;
}

static const char *const shape_names[] = {"line", "box", "torn", "words"};

void document_shape(Document *document, DocumentShape shape, unsigned marks, const double *numbers, unsigned count, const char *words)
{
    DocumentNode *node = document_add(document, DOCUMENT_SHAPE, shape_names[shape], words);
    node->marks = marks;
    document_numbers(document, node, numbers, count);
}

int document_shape_named(const char *name)
{
    for (size_t i = 0; i < sizeof shape_names / sizeof shape_names[0]; i++) {
        if (strcmp(shape_names[i], name) == 0) {
            return (int)i;
        }
    }
    return -1;
}

DocumentNode *document_enter(Document *document, DocumentForm form, const char *label, const char *text)
{
    return document->inside = document_add(document, form, label, text);
}

void document_leave(Document *document)
{
    if (document->inside->parent)
        document->inside = document->inside->parent;
}

void document_heading(Document *document, unsigned level, const char *text)
{
    document_add(document, DOCUMENT_HEADING, NULL, text)->level = level;
}

void document_pair(Document *document, const char *label, const char *text)
{
    document_add(document, DOCUMENT_PAIR, label, text);
}

void document_cell(Document *document, unsigned marks, const char *text)
{
    document_add(document, DOCUMENT_CELL, NULL, text ? text : "")->marks = marks;
}

void document_field(Document *document, unsigned marks, const char *label, const char *expected)
{
    document_add(document, DOCUMENT_FIELD, label, expected)->marks = marks;
}

bool document_next(DocumentWalk *walk)
{
    const DocumentNode *node = walk->node;
    if (!node) {
        walk->node = walk->root;
        walk->entering = true;
        return walk->node != NULL;
    }
    if (walk->entering && document_holds(node->form)) {
        walk->entering = node->first != NULL;
        walk->node = node->first ? node->first : node;
        return true;
    }
    if (node == walk->root)
        return false;
    walk->entering = node->next != NULL;
    walk->node = node->next ? node->next : node->parent;
    return true;
}

const char *document_hours(Arena *arena, double hours)
{
    if (hours >= 48) {
        return arena_print(arena, "%.3g days", hours / 24);
    }
    double minutes = ceil(hours * 60 - 0.001), whole = floor(minutes / 60);
    minutes -= 60 * whole;
    return whole == 0 ? arena_print(arena, "%.0f min", minutes)
        : minutes == 0 ? arena_print(arena, "%.0f h", whole) : arena_print(arena, "%.0f h %.0f min", whole, minutes);
}
