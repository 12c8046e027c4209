/* SARIF 2.1.0 (OASIS): what is wrong, for programs that collect such reports. */
#include "commands/command.h"

#include <string.h>

static void region(Json *json, Workshop *workshop, Span at)
{
    const Sources *sources = &workshop_world(workshop)->sources;
    uint32_t line, column, end_line, end_column;
    sources_line(sources, at.start, &line, &column);
    sources_line(sources, at.end, &end_line, &end_column);
    json_put_object(json, "region");
    json_put_number(json, "startLine", line);
    json_put_number(json, "startColumn", column);
    json_put_number(json, "endLine", end_line);
    json_put_number(json, "endColumn", end_column);
    json_put_end(json);
}

/* An address as RFC 3986 has it: a path relative to the root. */
static void artifact(Json *json, Workshop *workshop, uint32_t place, Memory *memory)
{
    const char *path = command_path(workshop, sources_at(&workshop_world(workshop)->sources, place));
    Text uri;
    text_open(&uri, memory);
    for (const unsigned char *at = (const unsigned char *)path; *at != 0; at++) {
        bool plain = (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || (*at >= '0' && *at <= '9') || strchr("-._~/", *at) != NULL;
        text_print(&uri, plain ? "%c" : "%%%02X", *at);
    }
    json_put_object(json, "artifactLocation");
    json_put_text(json, "uri", uri.at == NULL ? "" : uri.at);
    json_put_end(json);
    text_close(&uri);
}

static void location(Json *json, Workshop *workshop, Span at, const char *says, Memory *memory)
{
    json_put_object(json, NULL);
    json_put_object(json, "physicalLocation");
    artifact(json, workshop, at.start, memory);
    region(json, workshop, at);
    json_put_end(json);
    if (says != NULL) {
        json_put_object(json, "message");
        json_put_text(json, "text", says);
        json_put_end(json);
    }
    json_put_end(json);
}

static void fix(Json *json, Workshop *workshop, const Message *message, Memory *memory)
{
    json_put_array(json, "fixes");
    json_put_object(json, NULL);
    json_put_array(json, "artifactChanges");
    json_put_object(json, NULL);
    artifact(json, workshop, message->edit.start, memory);
    json_put_array(json, "replacements");
    json_put_object(json, NULL);
    const Sources *sources = &workshop_world(workshop)->sources;
    uint32_t line, column, end_line, end_column;
    sources_line(sources, message->edit.start, &line, &column);
    sources_line(sources, message->edit.end, &end_line, &end_column);
    json_put_object(json, "deletedRegion");
    json_put_number(json, "startLine", line);
    json_put_number(json, "startColumn", column);
    json_put_number(json, "endLine", end_line);
    json_put_number(json, "endColumn", end_column);
    json_put_end(json);
    json_put_object(json, "insertedContent");
    json_put_text(json, "text", message->edit_text);
    for (int i = 0; i < 7; i++) {
        json_put_end(json);
    }
}

void sarif_begin(Json *json)
{
    json_put_object(json, NULL);
    json_put_text(json, "$schema", "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json");
    json_put_text(json, "version", "2.1.0");
    json_put_array(json, "runs");
    json_put_object(json, NULL);
    json_put_object(json, "tool");
    json_put_object(json, "driver");
    json_put_text(json, "name", "waterleaf");
    json_put_text(json, "version", COMMAND_VERSION);
    json_put_end(json);
    json_put_end(json);
    json_put_text(json, "columnKind", "unicodeCodePoints");
    json_put_array(json, "results");
}

void sarif_result(Json *json, Workshop *workshop, const Message *message, Memory *memory)
{
    static const char *const levels[] = {"note", "warning", "error"};
    Text says;
    text_open(&says, memory);
    text_print(&says, "%s%s%s", message->says, *message->mend == 0 ? "" : " ", message->mend);
    json_put_object(json, NULL);
    json_put_text(json, "ruleId", message->name);
    json_put_text(json, "level", levels[message->severity]);
    json_put_object(json, "message");
    json_put_text(json, "text", says.at);
    json_put_end(json);
    json_put_array(json, "locations");
    location(json, workshop, message->at, NULL, memory);
    json_put_end(json);
    json_put_array(json, "relatedLocations");
    for (uint32_t i = 0; i < message->other_count; i++) {
        location(json, workshop, message->others[i].at, message->others[i].says, memory);
    }
    json_put_end(json);
    if (message->edit.start != 0 && message->edit_text != NULL) {
        fix(json, workshop, message, memory);
    }
    json_put_end(json);
    text_close(&says);
}
