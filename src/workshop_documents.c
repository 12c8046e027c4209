/* Documents, made of what a script declares and a paper comes to. */
#include "workshop_parts.h"

#include "base/files.h"
#include "documents/make.h"

#include <string.h>

enum { MARK_BYTES = 4 * 1024 * 1024 };

typedef struct Making {
    const WaterleafDocument *wish;
    Document *document;
    uint32_t plan, count;
    const char *trouble;
} Making;

/* ---- a mill's own mark ---- */

static const char *base64(Arena *arena, const unsigned char *bytes, size_t length)
{
    static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    char *text = arena_take(arena, (length + 2) / 3 * 4 + 1), *at = text;
    for (size_t i = 0; i < length; i += 3) {
        uint32_t three = (uint32_t)bytes[i] << 16 | (i + 1 < length ? (uint32_t)bytes[i + 1] << 8 : 0) | (i + 2 < length ? bytes[i + 2] : 0);
        *at++ = letters[three >> 18];
        *at++ = letters[three >> 12 & 63];
        *at++ = i + 1 < length ? letters[three >> 6 & 63] : '=';
        *at++ = i + 2 < length ? letters[three & 63] : '=';
    }
    *at = 0;
    return text;
}

/* The file is named from the script in which the mill stands, and lies below the root. */
static const char *read_mark(void *with, const char *name, Arena *arena, const char **trouble)
{
    Workshop *workshop = with;
    const World *world = &workshop->world;
    ThingId mill = workshop->run.mill;
    NodeId line = mill == 0 ? world->papers.at[workshop->run.paper].line : world->things.at[mill].line;
    const char *script = world_text(world, sources_at(&world->sources, world_node(world, line)->start)->path);
    const char *slash = strrchr(script, '/');
    const char *file = arena_print(&workshop->run.arena, "%.*s%s", slash == NULL ? 0 : (int)(slash - script + 1), script, name);
    char *real = files_real_path(&workshop->memory, file), *bytes;
    size_t length;
    if (real == NULL) {
        *trouble = arena_print(&workshop->run.arena, "there is no file %.300s.", file);
        return NULL;
    }
    if (name[0] == '/' || workshop->root == NULL || !workshop_is_below(real, workshop->root)) {
        *trouble = "it lies outside the folder of the scripts.";
        return NULL;
    }
    if (!files_exist(real) || files_read(&workshop->memory, real, MARK_BYTES, &bytes, &length) != FILE_FINE) {
        *trouble = "it cannot be read, or is larger than 4 MiB.";
        return NULL;
    }
    const char *text = base64(arena, (const unsigned char *)bytes, length);
    memory_return(&workshop->memory, bytes);
    return text;
}

/* ---- the document ---- */

static const char *script_of(Workshop *workshop, const Outcome *outcome)
{
    const World *world = &workshop->world;
    if (outcome->step_count == 0) {
        return "";
    }
    const Source *source = sources_at(&world->sources, world->tree.nodes.at[outcome->steps[0].line].start);
    return workshop_path(workshop, world_text(world, source->path));
}

static bool make_one(void *with, Workshop *workshop, const Outcome *outcome)
{
    Making *making = with;
    MakeWish wish = {.plan = making->plan, .script = script_of(workshop, outcome), .stdlib = workshop->mark,
                     .first_label = making->wish->first_label, .read = read_mark, .with = workshop};
    const char *trouble = make_document(&workshop->run, outcome, &wish, making->document);
    if (trouble != NULL) {
        workshop_say_trouble(workshop, "%s", trouble);
        making->trouble = workshop->trouble;
        return false;
    }
    making->count++;
    return true;
}

typedef struct Finding { const char *name; uint32_t plan; } Finding;

static WaterleafAnswer find_stage(Workshop *workshop, void *with)
{
    Finding *finding = with;
    World *world = &workshop->world;
    finding->plan = world_declared(world, SPACE_DOCUMENT, names_of(&world->names, world->memory, finding->name));
    if (finding->plan != 0 && finding->plan != WORLD_BROKEN) {
        return WATERLEAF_FINE;
    }
    TextNearest search = {.to = finding->name};
    const char *known = "";
    for (uint32_t i = 1; i < world->plans.count; i++) {
        if (!world->plans.at[i].section) {
            const char *name = world_text(world, world->plans.at[i].name);
            text_nearest(&search, name);
            known = arena_print(&workshop->scratch, "%s%s%s", known, *known == 0 ? "" : ", ", name);
        }
    }
    if (search.nearest != NULL) {
        workshop_say_trouble(workshop, "There is no document called %.100s. Did you mean %.100s?", finding->name, search.nearest);
    } else {
        workshop_say_trouble(workshop, "There is no document called %.100s. There are: %.300s.", finding->name, known);
    }
    return WATERLEAF_NO_NAME;
}

WaterleafAnswer workshop_document(Workshop *workshop, const WaterleafDocument *wish, Document *document, uint32_t *count)
{
    Finding finding = {.name = wish->document};
    *count = 0;
    WaterleafAnswer answer = workshop_guarded(workshop, find_stage, &finding);
    if (answer != WATERLEAF_FINE) {
        return answer;
    }
    Making making = {.wish = wish, .document = document, .plan = finding.plan};
    answer = workshop_work_out(workshop, wish->name, wish->sheets, make_one, &making);
    if (answer == WATERLEAF_FINE && making.trouble != NULL) {
        workshop->trouble = making.trouble;
        return WATERLEAF_NO_DOCUMENT;
    }
    *count = making.count;
    return answer;
}
