/* Reading scripts: the one that was asked for, what it uses, stdlib. */
#include "workshop_parts.h"

#include "base/files.h"
#include "base/limits.h"
#include "meaning/declare.h"
#include "meaning/line.h"

#include <errno.h>
#include <string.h>

static const char *why_not(FileTrouble trouble)
{
    switch (trouble) {
    case FILE_MISSING: return "there is no such file";
    case FILE_FOLDER: return "it is a folder";
    case FILE_DEVICE: return "it is a device, not a file";
    case FILE_TOO_LARGE: return "it is larger than a script can be (256 MiB)";
    case FILE_FORBIDDEN: return "it may not be read";
    default: return strerror(errno);
    }
}

static void check_edition(Workshop *workshop, NodeId script)
{
    World *world = &workshop->world;
    NodeId first = world_node(world, script)->first;
    if (first == 0) {
        return;
    }
    if (line_unreadable(world, first)) {
        return;
    }
    const char *head = world_word(world, line_head(world, first));
    bool misspelt = text_distance(head, strlen(head), "waterleaf", 9, 3) <= 3;
    if (line_head(world, first) != KNOWN_waterleaf && !misspelt) {
        Span span = line_span(world, first);
        Message *message = message_say(world->messages, SAY_edition_missing, span, NULL);
        message->edit = (Span){span.start, span.start};
        message->edit_text = "waterleaf 1\n";
        return;
    }
    if (line_head(world, first) != KNOWN_waterleaf) {
        return; /* it is said with the other heads */
    }
    NodeId number = line_first(world, first);
    bool fine = number != 0 && world_node(world, number)->form == NODE_NUMBER
        && world->tree.numbers.at[world_node(world, number)->value] == 1;
    if (!fine && !line_unreadable(world, first)) {
        message_say(world->messages, SAY_edition_unknown, line_span(world, first),
                    number == 0 ? "without a number" : world_written(world, number), NULL);
    }
}

static uint32_t parse_source(Workshop *workshop, uint32_t source)
{
    World *world = &workshop->world;
    ParseWorld parsing = {world->memory, &world->names, &world->sources, &world->tree, world->messages};
    NodeId script = parse_script(&parsing, source);
    check_edition(workshop, script);
    return source;
}

static uint32_t parse(Workshop *workshop, const char *name, const char *bytes, size_t length, bool library)
{
    World *world = &workshop->world;
    Name path = names_of(&world->names, world->memory, name);
    return parse_source(workshop, sources_add(&world->sources, world->memory, path, bytes, length, library));
}

static const char *folder_of(Workshop *workshop, const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash == NULL ? "." : slash == path ? "/" : arena_copy(&workshop->scratch, path, (size_t)(slash - path));
}

/* The nearest folder upwards that holds waterleaf.root, else the script's own. */
static char *root_for(Workshop *workshop, const char *folder)
{
    char *real = files_real_path(&workshop->memory, folder);
    if (real == NULL) {
        return NULL;
    }
    const char *at = real;
    for (;;) {
        if (files_exist(arena_print(&workshop->scratch, "%s/waterleaf.root", strcmp(at, "/") == 0 ? "" : at))) {
            return files_real_path(&workshop->memory, at);
        }
        if (strcmp(at, "/") == 0) {
            return real;
        }
        at = folder_of(workshop, at);
    }
}

bool workshop_is_below(const char *path, const char *root)
{
    size_t length = strlen(root);
    return strcmp(root, "/") == 0 || (strncmp(path, root, length) == 0 && (path[length] == '/' || path[length] == 0));
}

static void say_ring(Workshop *workshop, NodeId line, const char *real)
{
    const char *names = "";
    bool within = false;
    for (uint32_t i = 0; i < workshop->way.count; i++) {
        within = within || strcmp(workshop->way.at[i], real) == 0;
        if (within) {
            const char *name = strrchr(workshop->way.at[i], '/');
            names = arena_print(&workshop->scratch, "%s%s, ", names, name == NULL ? workshop->way.at[i] : name + 1);
        }
    }
    const char *name = strrchr(real, '/');
    names = arena_print(&workshop->scratch, "%s%s", names, name == NULL ? real : name + 1);
    message_say(&workshop->messages, SAY_use_ring, line_span(&workshop->world, line), names, NULL);
}

static bool is_among(const char **list, uint32_t count, const char *path)
{
    for (uint32_t i = 0; i < count; i++) {
        if (strcmp(list[i], path) == 0) {
            return true;
        }
    }
    return false;
}

static void use_all(Workshop *workshop, uint32_t source, const char *path, const char *real);

/* The real path of FILE, or NULL with WHY, where it is there and the system does not tell it. */
static const char *real_path(Workshop *workshop, const char *file, const char **why)
{
    const char *real = files_real_path(&workshop->memory, file);
    bool missing = errno == ENOENT || errno == ENOTDIR || errno == ENAMETOOLONG || errno == ELOOP;
    *why = real != NULL || missing ? NULL : strerror(errno);
    return real;
}

/* One `use "…"` line. */
static void use_one(Workshop *workshop, NodeId line, const char *path)
{
    World *world = &workshop->world;
    NodeId text = line_first(world, line), piece = text == 0 ? 0 : world_node(world, text)->first;
    Span span = line_span(world, line);
    if (text == 0 || world_node(world, text)->form != NODE_TEXT || piece == 0
        || world_node(world, piece)->form != NODE_PIECE || world_node(world, piece)->next != 0) {
        if (!line_unreadable(world, line)) {
            message_say(world->messages, SAY_use_written_so, span, NULL);
        }
        world->use_broken = true;
        return;
    }
    const char *name = world_word(world, world_node(world, piece)->value);
    size_t length = strlen(name);
    bool ending = length > 6 && strcmp(name + length - 6, ".wleaf") == 0;
    const char *file = arena_print(&workshop->scratch, "%s/%s%s", folder_of(workshop, path), name, ending ? "" : ".wleaf");
    file = strncmp(file, "./", 2) == 0 && path[0] != '.' ? file + 2 : file;
    const char *why;
    const char *real = real_path(workshop, file, &why);
    if (why != NULL) {
        message_say(world->messages, SAY_use_unreadable, span, name, why, NULL);
        world->use_broken = true;
        return;
    }
    if (workshop->root == NULL || name[0] == '/' || (real != NULL && !workshop_is_below(real, workshop->root))) {
        message_say(world->messages, SAY_use_outside, span, name, NULL);
        world->use_broken = true;
        return;
    }
    if (real == NULL) {
        message_say(world->messages, SAY_use_missing, span, name, NULL);
        world->use_broken = true;
        return;
    }
    if (is_among(workshop->way.at, workshop->way.count, real)) {
        say_ring(workshop, line, real);
        return;
    }
    if (is_among(workshop->loaded.at, workshop->loaded.count, real)) {
        return;
    }
    const char *shown = workshop->at_hand == NULL ? NULL : workshop->at_hand(workshop->at_hand_with, real, &length);
    if (shown != NULL) {
        use_all(workshop, parse(workshop, file, shown, length, false), file, real);
        return;
    }
    char *bytes;
    /* a pipe that the reader names may be a script, one that a script names may wait for ever */
    bool plain = files_exist(real) || files_is_folder(real);
    FileTrouble trouble = plain ? files_read(&workshop->memory, file, LIMIT_SOURCE_BYTES, &bytes, &length) : FILE_DEVICE;
    if (trouble != FILE_FINE) {
        message_say(world->messages, SAY_use_unreadable, span, name, why_not(trouble), NULL);
        world->use_broken = true;
        return;
    }
    uint32_t used = parse(workshop, file, bytes, length, false);
    memory_return(&workshop->memory, bytes);
    use_all(workshop, used, file, real);
}

static bool near_use(const World *world, Name head)
{
    const char *text = world_text(world, head);
    return strlen(text) <= 4 && text_distance(text, strlen(text), "use", 3, 1) <= 1;
}

static void use_all(Workshop *workshop, uint32_t source, const char *path, const char *real)
{
    World *world = &workshop->world;
    list_push(world->memory, &workshop->way, real);
    list_push(world->memory, &workshop->loaded, real);
    NodeId script = world->tree.scripts.at[source];
    for (NodeId line = world_node(world, script)->first; line != 0; line = world_node(world, line)->next) {
        if (line_head(world, line) == KNOWN_use) {
            use_one(workshop, line, path);
        } else if (line_head(world, line) == 0 || near_use(world, line_head(world, line))) {
            world->use_broken = true; /* a use line that is misspelt, or lost its first word */
        }
    }
    workshop->way.count--;
}

/* The longest part of PATH that leads to the root. */
static void find_prefix(Workshop *workshop, const char *path)
{
    workshop->root_prefix = NULL;
    for (const char *slash = strrchr(path, '/'); slash != NULL && workshop->root != NULL;) {
        size_t length = (size_t)(slash - path);
        const char *folder = length == 0 ? "/" : arena_copy(&workshop->scratch, path, length);
        const char *real = files_real_path(&workshop->memory, folder);
        if (real != NULL && strcmp(real, workshop->root) == 0) {
            workshop->root_prefix = arena_copy(&workshop->scratch, path, length + 1);
            return;
        }
        while (slash > path && *--slash != '/') {
        }
        slash = *slash == '/' && slash > path ? slash : NULL;
    }
}

void workshop_load_text(Workshop *workshop, const char *name, const char *text, size_t length, uint32_t *source)
{
    workshop->root = root_for(workshop, folder_of(workshop, name));
    find_prefix(workshop, name);
    *source = parse(workshop, name, text, length, false);
    const char *real = files_real_path(&workshop->memory, name);
    use_all(workshop, *source, name, real == NULL ? name : real);
}

uint32_t workshop_parse_text(Workshop *workshop, const char *name, const char *text, size_t length)
{
    return parse(workshop, name, text, length, false);
}

WaterleafAnswer workshop_load(Workshop *workshop, const char *path, uint32_t *source)
{
    char *bytes;
    size_t length;
    World *world = &workshop->world;
    FileTrouble trouble = files_read_behind(&workshop->memory, path, world->sources.texts.count, LIMIT_SOURCE_BYTES, &bytes, &length);
    if (trouble != FILE_FINE) {
        workshop_say_trouble(workshop, "%s cannot be read: %s.", path, why_not(trouble));
        return WATERLEAF_NO_FILE;
    }
    bool input = strcmp(path, "-") == 0;
    const char *place = input ? "./input" : path;
    workshop->root = root_for(workshop, folder_of(workshop, place));
    if (workshop->root == NULL && !input) {
        workshop_say_trouble(workshop, "The folder of %s cannot be read: %s.", path, strerror(errno));
        return WATERLEAF_NO_FILE;
    }
    find_prefix(workshop, place);
    Name name = names_of(&world->names, world->memory, input ? "standard input" : path);
    *source = parse_source(workshop, sources_adopt(&world->sources, world->memory, name, bytes, length));
    const char *real = input ? place : files_real_path(&workshop->memory, path);
    use_all(workshop, *source, place, real == NULL ? place : real);
    return WATERLEAF_FINE;
}

static void read_folder(Workshop *workshop, const char *folder)
{
    char *paths;
    FileTrouble trouble = files_below(&workshop->memory, folder, ".wleaf", 1000, &paths);
    if (trouble != FILE_FINE) {
        workshop_say_trouble(workshop, "The folder %s cannot be read: %s.", folder, why_not(trouble));
        return;
    }
    for (const char *path = paths; *path != 0; path += strlen(path) + 1) {
        char *bytes;
        size_t length;
        trouble = files_read(&workshop->memory, path, LIMIT_SOURCE_BYTES, &bytes, &length);
        if (trouble != FILE_FINE) {
            workshop_say_trouble(workshop, "%s cannot be read: %s.", path, why_not(trouble));
            return;
        }
        const char *below = path + strlen(folder);
        while (*below == '/') {
            below++;
        }
        /* those to start with are scripts that a mill gets; nothing in them is declared for all */
        if (strncmp(below, "start/", 6) == 0) {
            text_add(&workshop->start_read, below + 6, strlen(below) - 6 - strlen(".wleaf"));
            text_char(&workshop->start_read, 0);
            text_add(&workshop->start_read, bytes, strlen(bytes) + 1);
        } else {
            parse(workshop, arena_print(&workshop->scratch, "stdlib/%s", below), bytes, length, true);
        }
        memory_return(&workshop->memory, bytes);
    }
    text_char(&workshop->start_read, 0);
    workshop->start = workshop->start_read.at;
    declare_scripts(&workshop->world, 1);
}

const char *workshop_start_text(const Workshop *workshop, const char *name)
{
    for (const char *at = workshop->start == NULL ? "" : workshop->start; *at != 0;) {
        const char *text = at + strlen(at) + 1;
        if (strcmp(at, name) == 0) {
            return text;
        }
        at = text + strlen(text) + 1;
    }
    return NULL;
}

void workshop_stdlib(Workshop *workshop, const char *folder)
{
    if (folder != NULL) {
        read_folder(workshop, folder);
        workshop->image = image_write(&workshop->world, &workshop->memory, &workshop->image_length);
    } else {
        workshop->image = workshop_built_in(&workshop->image_length);
        workshop->start = workshop_built_in_start();
        if (workshop->image == NULL || !image_read(&workshop->world, workshop->image, workshop->image_length)) {
            workshop_say_trouble(workshop, "No stdlib is built into this program.");
            workshop->image = image_write(&workshop->world, &workshop->memory, &workshop->image_length);
        }
    }
}
