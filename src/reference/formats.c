/* What programs read: exit statuses; the JSON documents, from their schemas; SARIF. */
#include "reference/chapters.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

static const char *const schemas[] = {"common", "check", "weigh", "compare", "why", "tidy", "list"};

/* "text or null", "list of problem" */
static const char *form_of(const Reference *reference, const json_t *schema)
{
    const json_t *type = json_object_get(schema, "type"), *any = json_object_get(schema, "anyOf"), *words = json_object_get(schema, "enum");
    const char *refers = json_string_value(json_object_get(schema, "$ref"));
    Text text;
    text_open(&text, reference->memory);
    size_t number;
    const json_t *one;
    if (refers != NULL) {
        book_link(&text, "json", strrchr(refers, '/') + 1);
    } else if (words != NULL || any != NULL) {
        json_array_foreach(words != NULL ? words : any, number, one) {
            text_print(&text, "%s%s", number > 0 ? words != NULL ? ", " : " or " : "", words != NULL ? json_string_value(one) : form_of(reference, one));
        }
    } else if (json_is_array(type)) {
        json_array_foreach(type, number, one) {
            text_print(&text, "%s%s", number > 0 ? " or " : "", json_string_value(one));
        }
    } else if (json_object_get(schema, "items") != NULL) {
        text_print(&text, "list, each %s", form_of(reference, json_object_get(schema, "items")));
    } else if (json_object_get(schema, "additionalProperties") != NULL) {
        text_print(&text, "by name, each %s", form_of(reference, json_object_get(schema, "additionalProperties")));
    } else if (json_object_get(schema, "const") != NULL) {
        text_print(&text, "always %lld", (long long)json_integer_value(json_object_get(schema, "const")));
    } else {
        text_put(&text, json_string_value(type));
    }
    return text.at == NULL ? "" : text.at;
}

/* The keys of an object, and below each those within it. */
static void put_keys(Reference *reference, const json_t *schema, const char *before)
{
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)(uintptr_t)json_object_get(schema, "properties"), key, value) {
        const char *path = part_print(reference, "%s%s%s", before, *before == 0 ? "" : ".", key), *tells = json_string_value(json_object_get(value, "description"));
        book_row(&reference->book, (const char *const[]){part_print(reference, "`%s`", path), form_of(reference, value), tells == NULL ? "" : tells, NULL});
        const json_t *any = json_object_get(value, "anyOf");
        for (size_t i = 0; i < json_array_size(any); i++) {
            put_keys(reference, json_object_get(json_array_get(any, i), "items"), path);
        }
        put_keys(reference, value, path);
        put_keys(reference, json_object_get(value, "items"), path);
        put_keys(reference, json_object_get(value, "additionalProperties"), part_print(reference, "%s.NAME", path));
    }
}

static void put_entry(Reference *reference, const char *name, const char *title, const json_t *schema)
{
    const char *tells = json_string_value(json_object_get(schema, "description"));
    book_entry(&reference->book, "json", name, title);
    if (tells != NULL) {
        book_paragraph(&reference->book, tells);
    }
    if (json_object_get(schema, "properties") == NULL) {
        book_paragraph(&reference->book, part_print(reference, "It is %s.", form_of(reference, schema)));
        return;
    }
    book_table(&reference->book, (const char *const[]){"key", "what stands there", "of it", NULL});
    put_keys(reference, schema, "");
    book_table_end(&reference->book);
}

static void put_schema(Reference *reference, const char *name)
{
    const char *text = part_file(reference, "grammar/schemas", name, ".json");
    json_t *schema = text == NULL ? NULL : json_loads(text, 0, NULL);
    if (schema == NULL) {
        fprintf(stderr, "The schema %s cannot be read.\n", name);
        reference->book.unwritten = true;
        return;
    }
    if (json_object_get(schema, "properties") != NULL) {
        put_entry(reference, name, json_string_value(json_object_get(schema, "title")), schema);
    }
    const char *key;
    json_t *value;
    json_object_foreach(json_object_get(schema, "$defs"), key, value) {
        put_entry(reference, key, NULL, value);
    }
    json_decref(schema);
}

static void put_statuses(Book *book)
{
    static const struct { const char *status, *tells; } statuses[] = {
        {"0", "Nothing is wrong. There may be warnings, which count only with `--strict`."},
        {"1", "There is a problem in a script."},
        {"2", "There is a problem in the call, a file or the system."}};
    book_section(book, "Exit statuses");
    for (size_t i = 0; i < sizeof statuses / sizeof statuses[0]; i++) {
        book_entry(book, "exit", statuses[i].status, NULL);
        book_paragraph(book, statuses[i].tells);
    }
}

static void put_sarif(Book *book)
{
    static const char *const rows[][3] = {
        {"`$schema`, `version`", "the standard’s schema; 2.1.0", NULL},
        {"`runs[].tool.driver`", "`name` is waterleaf; `version` is that of the program", NULL},
        {"`runs[].columnKind`", "unicodeCodePoints: a column is a letter", NULL},
        {"`results[].ruleId`", "the name of the message, rule or claim", NULL},
        {"`results[].level`", "error, warning or note", NULL},
        {"`results[].message.text`", "what is wrong and what to do", NULL},
        {"`results[].locations[]`", "where: `artifactLocation.uri` is the script, from its root; `region` the lines and columns, from 1", NULL},
        {"`results[].relatedLocations[]`", "further places, each with a `message.text`", NULL},
        {"`results[].fixes[]`", "where the edit is sure: the region that goes, and the text that comes", NULL}};
    book_section(book, "SARIF");
    book_paragraph(book, "`waterleaf check --sarif` writes SARIF 2.1.0, the format of OASIS for reports of checks. These of its properties are written.");
    book_table(book, (const char *const[]){"property", "what stands there", NULL});
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        book_row(book, rows[i]);
    }
    book_table_end(book);
}

void chapter_formats(Reference *reference)
{
    static const Chapter chapter = {"formats", "For programs", "waterleaf-formats", "exit statuses, JSON and SARIF: what programs read"};
    book_chapter(&reference->book, &chapter);
    put_statuses(&reference->book);
    book_section(&reference->book, "JSON");
    book_paragraph(&reference->book, "Within a version keys are only added, and their order is fixed. What is absent is null. Schemas of each document are installed "
                                     "with the program, in `share/waterleaf/schemas`.");
    for (size_t i = 0; i < sizeof schemas / sizeof schemas[0]; i++) {
        put_schema(reference, schemas[i]);
    }
    put_sarif(&reference->book);
}
