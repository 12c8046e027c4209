/* Writing a world to bytes, and back. */
#include "meaning/image.h"

#include <string.h>

typedef struct ListPlace { size_t offset, item; } ListPlace;

#define PLACE(list) {offsetof(World, list), sizeof *((World *)0)->list.at}

static const ListPlace places[] = {
    PLACE(names.text), PLACE(names.entries), PLACE(names.buckets), PLACE(sources.list), PLACE(sources.texts),
    PLACE(tree.nodes), PLACE(tree.numbers), PLACE(tree.comments), PLACE(tree.scripts), PLACE(types), PLACE(bindings),
    PLACE(converted), PLACE(kinds), PLACE(expansions), PLACE(expansion_places), PLACE(nameless), PLACE(products), PLACE(bases), PLACE(units), PLACE(unit_by_name),
    PLACE(shapes), PLACE(fields), PLACE(words), PLACE(things), PLACE(values), PLACE(lets), PLACE(figures), PLACE(locals),
    PLACE(tables), PLACE(rows), PLACE(steps), PLACE(effects), PLACE(calls), PLACE(branches), PLACE(arguments), PLACE(papers),
    PLACE(varies), PLACE(furnish), PLACE(checks), PLACE(batches), PLACE(choices), PLACE(plans), PLACE(plan_changes), PLACE(measured), PLACE(replaced), PLACE(sensitive), PLACE(abouts),
    PLACE(given_needed), PLACE(rules), PLACE(eachs),
    PLACE(rule_lets), PLACE(requirements), PLACE(sentences), PLACE(marked), PLACE(acceptances), PLACE(declared), PLACE(element_types), PLACE(given), PLACE(given_types),
};
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

char *image_write(const World *world, Memory *memory, size_t *length)
{
    Single single = {.magic = IMAGE_MAGIC, .unknown = world->unknown, .solve_line = world->solve_line,
                     .solved_figure = world->solved_figure, .solve_aim = world->solve_aim,
                     .parcels_at_most = world->parcels_at_most, .fibre_field = world->fibre_field,
                     .steps_ask_bill = world->steps_ask_bill, .world_size = sizeof(World)};
    mark_of(world, single.mark);
    size_t bytes = padded(sizeof single);
    for (size_t i = 0; i < PLACES; i++) {
        const AnyList *list = list_at((World *)world, i);
        single.counts[i] = list->count;
        bytes += padded(list->count * places[i].item);
    }
    char *block = memory_take(memory, bytes);
    memcpy(block, &single, sizeof single);
    size_t at = padded(sizeof single);
    for (size_t i = 0; i < PLACES; i++) {
        const AnyList *list = list_at((World *)world, i);
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
