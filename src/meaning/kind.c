/* The algebra of kinds. */
#include "meaning/kind.h"

#include <stdlib.h>
#include <string.h>

static const Expansion *expansion_of(const World *world, KindId kind)
{
    return &world->expansions.at[world->kinds.at[kind].expansion];
}

static bool expansions_equal(const Expansion *one, const Expansion *other)
{
    return one->count == other->count
        && memcmp(one->factors, other->factors, one->count * sizeof one->factors[0]) == 0;
}

/* Where an expansion stands in the table, or would. */
static uint32_t bucket_of(const World *world, const Expansion *expansion)
{
    uint32_t hash = 2166136261u, room = world->expansion_places.count;
    for (uint32_t i = 0; i < expansion->count; i++) {
        hash = (hash ^ (expansion->factors[i].kind | (uint32_t)(uint16_t)expansion->factors[i].power << 16)) * 2654435761u;
        hash ^= hash >> 15;
    }
    for (uint32_t bucket = hash & (room - 1);; bucket = (bucket + 1) & (room - 1)) {
        uint32_t place = world->expansion_places.at[bucket];
        if (place == 0 || expansions_equal(&world->expansions.at[place], expansion)) {
            return bucket;
        }
    }
}

/* Room for twice as many: all are entered anew. */
static void grow_table(World *world)
{
    uint32_t room = world->expansion_places.count == 0 ? 256 : 2 * world->expansion_places.count;
    world->expansion_places.count = 0;
    list_reserve(world->memory, &world->expansion_places, room);
    for (uint32_t i = 0; i < room; i++) {
        list_add(world->memory, &world->expansion_places);
    }
    for (uint32_t place = 1; place < world->expansions.count; place++) {
        world->expansion_places.at[bucket_of(world, &world->expansions.at[place])] = place;
    }
}

/* Place 0 is the empty one. */
static uint32_t expansion_place(World *world, const Expansion *expansion)
{
    if (expansion->count == 0) {
        return 0;
    }
    if (2 * world->expansions.count >= world->expansion_places.count) {
        grow_table(world);
    }
    uint32_t bucket = bucket_of(world, expansion);
    if (world->expansion_places.at[bucket] == 0) {
        Expansion whole = {.count = expansion->count};
        memcpy(whole.factors, expansion->factors, expansion->count * sizeof expansion->factors[0]);
        world->expansion_places.at[bucket] = world->expansions.count;
        list_push(world->memory, &world->expansions, whole);
        list_push(world->memory, &world->nameless, 0);
    }
    return world->expansion_places.at[bucket];
}

/* The kind of an expansion that nobody needs a name for. */
static KindId kind_of_expansion(World *world, uint32_t expansion)
{
    if (world->nameless.at[expansion] == 0) {
        uint32_t id = list_add(world->memory, &world->kinds);
        world->kinds.at[id].expansion = expansion;
        world->nameless.at[expansion] = id;
    }
    return world->nameless.at[expansion];
}

void kind_open(World *world)
{
    list_add(world->memory, &world->kinds); /* no kind */
    list_add(world->memory, &world->expansions);
    uint32_t one = list_add(world->memory, &world->kinds); /* KIND_ONE, of the empty expansion 0 */
    list_push(world->memory, &world->nameless, one);
}

KindId kind_add_base(World *world, Name name, KindId whole, NodeId line)
{
    uint32_t id = list_add(world->memory, &world->kinds);
    Expansion expansion = {.count = 1, .factors = {{(uint16_t)id, 1}}};
    uint32_t place = expansion_place(world, &expansion);
    world->kinds.at[id] = (Kind){.name = name, .expansion = place, .whole = whole, .line = line};
    return id;
}

KindId kind_add_named(World *world, Name name, KindId of, NodeId line)
{
    uint32_t id = list_add(world->memory, &world->kinds);
    world->kinds.at[id] = (Kind){.name = name, .expansion = world->kinds.at[of].expansion, .line = line};
    return id;
}

KindId kind_named(const World *world, Name name)
{
    uint32_t kind = world_declared(world, SPACE_KIND, name);
    return kind == WORLD_BROKEN ? 0 : kind;
}

static bool multiply(Expansion *into, uint16_t kind, int power)
{
    uint32_t i = 0;
    while (i < into->count && into->factors[i].kind < kind) {
        i++;
    }
    if (i < into->count && into->factors[i].kind == kind) {
        into->factors[i].power = (int16_t)(into->factors[i].power + power);
        if (into->factors[i].power == 0) {
            memmove(&into->factors[i], &into->factors[i + 1], (into->count - i - 1) * sizeof into->factors[0]);
            into->count--;
        }
        return true;
    }
    if (into->count == EXPANSION_FACTORS || power > 99 || power < -99) {
        return false;
    }
    memmove(&into->factors[i + 1], &into->factors[i], (into->count - i) * sizeof into->factors[0]);
    into->factors[i].kind = kind;
    into->factors[i].power = (int16_t)power;
    into->count++;
    return true;
}

static KindId product_worked_out(World *world, KindId one, KindId other, int sign)
{
    Expansion product = *expansion_of(world, one);
    Expansion by = *expansion_of(world, other);
    for (uint32_t i = 0; i < by.count; i++) {
        if (!multiply(&product, by.factors[i].kind, sign * by.factors[i].power)) {
            return 0;
        }
    }
    if (product.count == 0) {
        return KIND_ONE;
    }
    return kind_of_expansion(world, expansion_place(world, &product));
}

static uint32_t product_bucket(uint32_t room, KindId one, KindId other, int sign)
{
    uint32_t hash = (one * 2654435761u) ^ (other * 40503u + (sign > 0 ? 77u : 0u));
    return (hash ^ hash >> 15) & (room - 1);
}

KindId kind_product(World *world, KindId one, KindId other, int sign)
{
    if (other == KIND_ONE || one == 0 || other == 0) {
        return other == KIND_ONE ? one : 0;
    }
    if (world->products.count == 0) {
        for (int i = 0; i < 512; i++) {
            list_add(world->memory, &world->products);
        }
    }
    KindProduct *kept = &world->products.at[product_bucket(world->products.count, one, other, sign)];
    if (kept->one == one && kept->other == other && kept->sign == sign) {
        return kept->product;
    }
    KindId product = product_worked_out(world, one, other, sign);
    kept = &world->products.at[product_bucket(world->products.count, one, other, sign)];
    *kept = (KindProduct){one, other, sign, product};
    return product;
}

KindId kind_power(World *world, KindId kind, int power)
{
    KindId result = KIND_ONE;
    int times = power < 0 ? -power : power;
    if (times > 20) {
        return 0;
    }
    for (int i = 0; i < times; i++) {
        result = kind_product(world, result, kind, power < 0 ? -1 : 1);
    }
    return result;
}

KindId kind_root(World *world, KindId kind)
{
    Expansion root = *expansion_of(world, kind);
    for (uint32_t i = 0; i < root.count; i++) {
        if (root.factors[i].power % 2 != 0) {
            return 0;
        }
        root.factors[i].power = (int16_t)(root.factors[i].power / 2);
    }
    return root.count == 0 ? KIND_ONE : kind_of_expansion(world, expansion_place(world, &root));
}

bool kind_same(const World *world, KindId one, KindId other)
{
    return world->kinds.at[one].expansion == world->kinds.at[other].expansion;
}

bool kind_within(const World *world, KindId part, KindId whole)
{
    for (; part != 0; part = world->kinds.at[part].whole) {
        if (part == whole) {
            return true;
        }
    }
    return false;
}

bool kind_is_single(const World *world, KindId kind)
{
    const Expansion *expansion = expansion_of(world, kind);
    return expansion->count == 1 && expansion->factors[0].power == 1;
}

/* Takes from LEFT what PLACE asks for: first the same, then parts of it. */
static bool take_factor(const World *world, Expansion *left, uint16_t wanted, int16_t power, bool parts)
{
    for (uint32_t i = 0; i < left->count; i++) {
        uint16_t have = left->factors[i].kind;
        if (left->factors[i].power * power <= 0 || (parts ? !kind_within(world, have, wanted) : have != wanted)) {
            continue;
        }
        int16_t most = (int16_t)(abs(left->factors[i].power) < abs(power) ? abs(left->factors[i].power) : abs(power));
        left->factors[i].power = (int16_t)(left->factors[i].power - (power > 0 ? most : -most));
        power = (int16_t)(power - (power > 0 ? most : -most));
        if (power == 0) {
            return true;
        }
    }
    return power == 0;
}

/* What is left over must cancel, a part against its whole: some pairing of the factors
 * must do it, so each pairing is tried. */
static bool cancels(const World *world, Expansion *left)
{
    uint32_t i = 0;
    while (i < left->count && left->factors[i].power == 0) {
        i++;
    }
    if (i == left->count) {
        return true;
    }
    int step = left->factors[i].power > 0 ? 1 : -1;
    for (uint32_t j = i + 1; j < left->count; j++) {
        uint16_t one = left->factors[i].kind, other = left->factors[j].kind;
        if (left->factors[j].power * step >= 0 || !(kind_within(world, one, other) || kind_within(world, other, one))) {
            continue;
        }
        Expansion rest = *left;
        rest.factors[i].power = (int16_t)(rest.factors[i].power - step);
        rest.factors[j].power = (int16_t)(rest.factors[j].power + step);
        if (cancels(world, &rest)) {
            return true;
        }
    }
    return false;
}

static bool fits_as_told(const World *world, const Expansion *value, const Expansion *place)
{
    Expansion left = *value;
    Expansion open = {0};
    for (uint32_t i = 0; i < place->count; i++) {
        Expansion before = left;
        if (!take_factor(world, &left, place->factors[i].kind, place->factors[i].power, false)) {
            left = before;
            open.factors[open.count++] = place->factors[i];
        }
    }
    for (uint32_t i = 0; i < open.count; i++) {
        if (!take_factor(world, &left, open.factors[i].kind, open.factors[i].power, true)) {
            return false;
        }
    }
    return cancels(world, &left);
}

bool kind_fits(const World *world, KindId value, KindId place)
{
    if (value == 0 || place == 0 || kind_same(world, value, place)) {
        return true;
    }
    const Expansion *place_expansion = expansion_of(world, place);
    if (fits_as_told(world, expansion_of(world, value), place_expansion)) {
        return true;
    }
    /* a place that names a mass or a volume may narrow to it: what fits its whole fits it */
    if (kind_is_single(world, place)) {
        for (KindId whole = world->kinds.at[place_expansion->factors[0].kind].whole; whole != 0;
             whole = world->kinds.at[whole].whole) {
            Expansion wide = {.count = 1, .factors = {{(uint16_t)whole, 1}}};
            const Expansion *have = expansion_of(world, value);
            if (expansions_equal(have, &wide) || (have->count > 1 && fits_as_told(world, have, &wide))) {
                return true;
            }
        }
    }
    return false;
}

static KindId common_whole(const World *world, KindId one, KindId other)
{
    for (KindId whole = one; whole != 0; whole = world->kinds.at[whole].whole) {
        if (kind_within(world, other, whole)) {
            return whole;
        }
    }
    return 0;
}

/* Parts of one whole, over the same basis: the factors differ in one place, above the line. */
static KindId sum_of_parts(World *world, const Expansion *one, const Expansion *other)
{
    Expansion rest = *one, against = *other;
    uint16_t mine = 0, theirs = 0;
    for (uint32_t i = 0; i < one->count; i++) {
        if (!take_factor(world, &against, one->factors[i].kind, one->factors[i].power, false)) {
            if (mine != 0 || one->factors[i].power != 1) {
                return 0;
            }
            mine = one->factors[i].kind;
            against = *other;
            for (uint32_t j = 0; j < i; j++) {
                take_factor(world, &against, one->factors[j].kind, one->factors[j].power, false);
            }
        }
    }
    for (uint32_t i = 0; i < against.count; i++) {
        if (against.factors[i].power != 0) {
            if (theirs != 0 || against.factors[i].power != 1) {
                return 0;
            }
            theirs = against.factors[i].kind;
        }
    }
    KindId whole = mine != 0 && theirs != 0 ? common_whole(world, mine, theirs) : 0;
    if (whole == 0 || !multiply(&rest, mine, -1) || !multiply(&rest, (uint16_t)whole, 1)) {
        return 0;
    }
    return kind_of_expansion(world, expansion_place(world, &rest));
}

KindId kind_sum(World *world, KindId one, KindId other)
{
    if (one == 0 || other == 0) {
        return one != 0 ? one : other;
    }
    if (kind_same(world, one, other)) {
        return world->kinds.at[one].name != 0 ? one : other;
    }
    const Expansion mine = *expansion_of(world, one), theirs = *expansion_of(world, other);
    if (fits_as_told(world, &mine, &theirs)) {
        return other;
    }
    if (fits_as_told(world, &theirs, &mine)) {
        return one;
    }
    return sum_of_parts(world, &mine, &theirs);
}

KindId kind_dimension(World *world, KindId kind)
{
    Expansion expansion = *expansion_of(world, kind), dimension = {0};
    for (uint32_t i = 0; i < expansion.count; i++) {
        KindId base = expansion.factors[i].kind;
        while (world->kinds.at[base].whole != 0) {
            base = world->kinds.at[base].whole;
        }
        multiply(&dimension, (uint16_t)base, expansion.factors[i].power);
    }
    return dimension.count == 0 ? KIND_ONE : kind_of_expansion(world, expansion_place(world, &dimension));
}

bool kind_same_dimension(World *world, KindId one, KindId other)
{
    return kind_same(world, kind_dimension(world, one), kind_dimension(world, other));
}

bool kind_is_share(World *world, KindId kind)
{
    return kind != 0 && kind_same(world, kind_dimension(world, kind), KIND_ONE);
}

static void put_factors(Text *out, const World *world, const Expansion *expansion, int sign, bool *any)
{
    for (uint32_t i = 0; i < expansion->count; i++) {
        int power = expansion->factors[i].power * sign;
        if (power <= 0) {
            continue;
        }
        if (*any) {
            text_put(out, sign > 0 ? " × " : " / ");
        }
        text_put(out, names_text(&world->names, world->kinds.at[expansion->factors[i].kind].name));
        if (power > 1) {
            text_print(out, "^%d", power);
        }
        *any = true;
    }
}

const char *kind_text(World *world, KindId kind)
{
    if (world->kinds.at[kind].name != 0) {
        return world_word(world, world->kinds.at[kind].name);
    }
    for (KindId id = 1; id < world->kinds.count; id++) {
        if (world->kinds.at[id].name != 0 && kind_same(world, id, kind)) {
            return world_word(world, world->kinds.at[id].name);
        }
    }
    Text out;
    text_open(&out, world->memory);
    bool any = false;
    put_factors(&out, world, expansion_of(world, kind), 1, &any);
    if (!any) {
        text_put(&out, kind == KIND_ONE ? "a number" : "1");
        any = true;
    }
    put_factors(&out, world, expansion_of(world, kind), -1, &any);
    const char *text = arena_copy(world->scratch, out.at, out.length);
    text_close(&out);
    return text;
}
