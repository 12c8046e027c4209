/* Writing a world to bytes, and back. */
#include "meaning/image.h"

#include <string.h>

typedef struct ListPlace { size_t offset, item; } ListPlace;

/* Each list of a world, in the order in which they are written. */
#define LISTS(DO) \
    DO(names.text) DO(names.entries) DO(names.buckets) DO(sources.list) DO(sources.texts) DO(tree.nodes) DO(tree.numbers) DO(tree.comments) \
    DO(tree.scripts) DO(types) DO(bindings) DO(converted) DO(kinds) DO(expansions) DO(expansion_places) DO(nameless) DO(products) DO(bases) \
    DO(units) DO(unit_by_name) DO(shapes) DO(fields) DO(words) DO(things) DO(values) DO(lets) DO(figures) DO(locals) DO(tables) DO(rows) \
    DO(steps) DO(effects) DO(calls) DO(branches) DO(arguments) DO(papers) DO(varies) DO(furnish) DO(checks) DO(batches) DO(choices) DO(plans) \
    DO(plan_changes) DO(measured) DO(replaced) DO(sensitive) DO(abouts) DO(given_needed) DO(rules) DO(eachs) DO(rule_lets) DO(requirements) \
    DO(sentences) DO(marked) DO(acceptances) DO(declared) DO(element_types) DO(given) DO(given_types)

#define PLACE(list) {offsetof(World, list), sizeof *((World *)0)->list.at},

static const ListPlace places[] = {LISTS(PLACE)};
enum { PLACES = sizeof places / sizeof places[0] };

/* What is no list. */
typedef struct Single {
    uint64_t magic;
    uint32_t unknown, solve_line, solved_figure, solve_aim, parcels_at_most, fibre_field, steps_ask_bill, world_size;
    char mark[24];
    uint32_t counts[PLACES];
} Single;

/* The size of a world is part of the mark: a block of another build is not taken. */
#define IMAGE_MAGIC (0x31304C5741544557u ^ (uint64_t)sizeof(World) << 20 ^ KNOWN_NAMES)

static AnyList *list_at(World *world, size_t i)
{
    return (AnyList *)(void *)((char *)world + places[i].offset);
}

static size_t padded(size_t bytes)
{
    return (bytes + 7) & ~(size_t)7;
}

static void mark_of(const World *world, char mark[17])
{
    uint64_t hash = 0xCBF29CE484222325u;
    for (uint32_t i = 1; i < world->sources.list.count; i++) {
        const Source *source = &world->sources.list.at[i];
        if (!source->library) {
            continue;
        }
        for (uint32_t j = 0; j < source->length; j++) {
            hash = (hash ^ (unsigned char)world->sources.texts.at[source->text + j]) * 0x100000001B3u;
        }
    }
    for (int i = 0; i < 16; i++) {
        mark[i] = "0123456789abcdef"[hash >> (60 - 4 * i) & 15];
    }
    mark[16] = 0;
}

/* What lies between the members of an item is whatever was there: nobody reads it, but two images of one library would differ in it. Where
 * the compiler cannot clear it (clang before 20) they may. */
static void clear_between(World *world)
{
#if defined(__has_builtin) && __has_builtin(__builtin_clear_padding)
#define CLEAR(list)                                        \
    for (uint32_t i = 0; i < world->list.count; i++) {     \
        __builtin_clear_padding(&world->list.at[i]);       \
    }
    LISTS(CLEAR)
#undef CLEAR
#else
    (void)world;
#endif
}

char *image_write(World *world, Memory *memory, size_t *length)
{
    clear_between(world);
    Single single = {.magic = IMAGE_MAGIC, .unknown = world->unknown, .solve_line = world->solve_line,
                     .solved_figure = world->solved_figure, .solve_aim = world->solve_aim,
                     .parcels_at_most = world->parcels_at_most, .fibre_field = world->fibre_field,
                     .steps_ask_bill = world->steps_ask_bill, .world_size = sizeof(World)};
    mark_of(world, single.mark);
    size_t bytes = padded(sizeof single);
    for (size_t i = 0; i < PLACES; i++) {
        const AnyList *list = list_at(world, i);
        single.counts[i] = list->count;
        bytes += padded(list->count * places[i].item);
    }
    char *block = memory_take(memory, bytes);
    memset(block, 0, bytes); /* between two lists, too */
    memcpy(block, &single, sizeof single);
    size_t at = padded(sizeof single);
    for (size_t i = 0; i < PLACES; i++) {
        const AnyList *list = list_at(world, i);
        if (list->count > 0) {
            memcpy(block + at, list->at, list->count * places[i].item);
        }
        at += padded(list->count * places[i].item);
    }
    *length = bytes;
    return block;
}

bool image_read(World *world, const char *block, size_t length)
{
    Single single;
    if (length < sizeof single) {
        return false;
    }
    memcpy(&single, block, sizeof single);
    if (single.magic != IMAGE_MAGIC || single.world_size != sizeof(World)) {
        return false;
    }
    size_t at = padded(sizeof single);
    for (size_t i = 0; i < PLACES; i++) {
        AnyList *list = list_at(world, i);
        list->count = 0;
        size_t bytes = single.counts[i] * places[i].item;
        if (at + bytes > length) {
            return false;
        }
        if (list->room < single.counts[i]) { /* with room for a script, which else would move it at once */
            list_grow(world->memory, list, places[i].item, single.counts[i] + single.counts[i] / 4 + 64);
        }
        if (bytes > 0) {
            memory_touch(list->at, bytes);
            memcpy(list->at, block + at, bytes);
        }
        list->count = single.counts[i];
        at += padded(bytes);
    }
    world->unknown = single.unknown;
    world->solve_line = single.solve_line;
    world->solved_figure = single.solved_figure;
    world->solve_aim = single.solve_aim;
    world->parcels_at_most = single.parcels_at_most;
    world->fibre_field = single.fibre_field;
    world->steps_ask_bill = single.steps_ask_bill != 0;
    world->use_broken = false;
    return true;
}


void image_mark(const char *block, char mark[17])
{
    memcpy(mark, block + offsetof(Single, mark), 17);
}
