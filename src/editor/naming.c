/* Where a thing is named, in all scripts of the folders that an editor has open, and naming it anew. */
#include "editor/serving.h"

#include "base/files.h"
#include "base/names.h"

#include <stdlib.h>
#include <string.h>

enum { MOST_SCRIPTS = 10000, MOST_BYTES = 4 << 20 };

/* A thing as other scripts find it: where its name stands in the script that declares it. */
typedef struct Named {
    char *name, *path;
    uint32_t offset; /* from the beginning of that script */
} Named;

typedef struct Gathering {
    Server *server;
    json_t *places;  /* by address and range, so that none comes twice */
    bool without_declaration;
} Gathering;

static void gather(void *with, Span at, bool declares)
{
    Gathering *gathering = with;
    if (declares && gathering->without_declaration) {
        return;
    }
    json_t *place = json_pack("{s:o, s:o}", "uri", serving_uri(gathering->server, at.start), "range", serving_range(gathering->server, at));
    char *key = json_dumps(place, JSON_COMPACT | JSON_SORT_KEYS);
    if (key == NULL || json_object_set(gathering->places, key, place) != 0) {
        gathering->server->ended = true;
    }
    free(key);
    json_decref(place);
}

static char *kept(Memory *memory, const char *text)
{
    char *copy = memory_take(memory, strlen(text) + 1);
    return strcpy(copy, text);
}

/* In the script that the workshop holds now. */
static void gather_here(const Named *thing, Gathering *gathering)
{
    const World *world = workshop_world(gathering->server->workshop);
    uint32_t source = places_source(world, thing->path);
    if (source == 0) {
        return; /* it does not use the script that declares it */
    }
    Standing standing = places_at(world, world->sources.list.at[source].base + thing->offset);
    if (standing.declared != 0 && strcmp(world_text(world, standing.name), thing->name) == 0) {
        places_each(world, &standing, gather, gathering);
    }
}

/* In the script at PATH, as it is open or else as it lies on the disk, if the name stands in it at all. */
static void gather_in(const Named *thing, const char *path, Gathering *gathering)
{
    Server *server = gathering->server;
    OpenText *open = texts_at(&server->texts, path);
    char *bytes = NULL;
    size_t length = 0;
    FileTrouble trouble = open != NULL ? FILE_FINE : files_read(server->memory, path, MOST_BYTES, &bytes, &length);
    if (trouble != FILE_FINE) {
        server->unread = server->unread || trouble != FILE_MISSING; /* the name may stand there: half a renaming breaks scripts */
        return;
    }
    const char *text = open != NULL ? open->text : bytes;
    bool named = memmem(text, open != NULL ? open->length : length, thing->name, strlen(thing->name)) != NULL;
    if (named && serving_read_text(server, path, text, open != NULL ? open->length : length)) {
        gather_here(thing, gathering);
    }
    memory_return(server->memory, bytes);
}

/* In all that are open, and all that lie below the folders of the editor. */
static void gather_everywhere(const Named *thing, Gathering *gathering)
{
    Server *server = gathering->server;
    for (uint32_t i = 0; i < server->texts.list.count; i++) {
        char *path = kept(server->memory, server->texts.list.at[i].path);
        gather_in(thing, path, gathering);
        memory_return(server->memory, path);
    }
    size_t i;
    json_t *folder;
    json_array_foreach(server->folders, i, folder) {
        char *paths = NULL;
        FileTrouble trouble = files_below(server->memory, json_string_value(folder), ".wleaf", MOST_SCRIPTS, &paths);
        if (trouble != FILE_FINE) {
            server->unread = server->unread || trouble != FILE_MISSING;
            continue;
        }
        for (char *path = paths; *path != '\0'; path += strlen(path) + 1) {
            if (texts_at(&server->texts, path) == NULL) {
                gather_in(thing, path, gathering);
            }
        }
        memory_return(server->memory, paths);
    }
}

/* What stands at the place asked for; each place of it is among the gathered. */
static json_t *gather_all(Server *server, const Standing *standing, bool without_declaration)
{
    const World *world = workshop_world(server->workshop);
    Gathering gathering = {server, json_object(), without_declaration};
    Span first = places_first_name(world, standing->declared);
    const Source *source = sources_at(&world->sources, first.start);
    places_each(world, standing, gather, &gathering);
    if (first.start != 0 && !source->library) {
        Named thing = {kept(server->memory, world_text(world, standing->name)), kept(server->memory, world_text(world, source->path)), first.start - source->base};
        gather_everywhere(&thing, &gathering);
        memory_return(server->memory, thing.name);
        memory_return(server->memory, thing.path);
    }
    json_t *list = json_array(), *place;
    const char *key;
    json_object_foreach(gathering.places, key, place) {
        json_array_append(list, place);
    }
    json_decref(gathering.places);
    return list;
}

json_t *answer_references(Server *server, OpenText *open, const json_t *params)
{
    Standing standing = serving_standing(server, open, params);
    json_t *include = json_object_get(json_object_get(params, "context"), "includeDeclaration");
    return standing.declared == 0 ? json_array() : gather_all(server, &standing, json_is_false(include));
}

/* ---- naming anew ---- */

static bool is_name(const char *text)
{
    size_t length = text == NULL ? 0 : strlen(text);
    if (length == 0 || length > 100 || text[length - 1] == '-' || (text[0] >= '0' && text[0] <= '9') || text[0] == '-') {
        return false;
    }
    for (const unsigned char *at = (const unsigned char *)text; *at != 0; at++) {
        bool fine = (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || (*at >= '0' && *at <= '9') || *at == '-' || *at >= 0x80;
        if (!fine) {
            return false;
        }
    }
    return true;
}

json_t *answer_rename(Server *server, OpenText *open, const json_t *params, const char **refused)
{
    const char *name = json_string_value(json_object_get(params, "newName"));
    Standing standing = serving_standing(server, open, params);
    if (standing.declared == 0) {
        *refused = "No name that a script declares stands here.";
        return NULL;
    }
    const World *world = workshop_world(server->workshop);
    Name wanted = name == NULL ? 0 : names_find(&world->names, name, strlen(name));
    if (standing.library) {
        *refused = "This name is stdlib's, which stays as it is. Declare a name of your own beside it.";
    } else if (!is_name(name)) {
        *refused = "A name has letters, digits and hyphens, a letter first, and no hyphen last.";
    } else if (wanted != 0) {
        for (Space space = 0; space < DECLARED_SPACES; space++) {
            if (world_declared(world, space, wanted) != 0) {
                *refused = "This name stands for something else already. Choose another.";
            }
        }
        if (wanted < KNOWN_NAMES) {
            *refused = "This word is the language's own. Choose another.";
        }
    }
    Span first = places_first_name(world, standing.declared);
    if (*refused == NULL && first.start == 0) {
        *refused = "This cannot be renamed: its line gives it no name.";
    }
    if (*refused != NULL) {
        return NULL;
    }
    json_t *places = gather_all(server, &standing, false), *changes = json_object(), *at;
    size_t i;
    json_array_foreach(places, i, at) {
        const char *uri = json_string_value(json_object_get(at, "uri"));
        if (json_object_get(changes, uri) == NULL) {
            json_object_set_new(changes, uri, json_array());
        }
        json_array_append_new(json_object_get(changes, uri), json_pack("{s:O, s:s}", "range", json_object_get(at, "range"), "newText", name));
    }
    json_decref(places);
    return json_pack("{s:o}", "changes", changes);
}
