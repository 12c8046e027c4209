/* Kinds and units. */
#include "reference/chapters.h"

#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/unit.h"

/* The first kind of the same that has a name: an area is called so, though a square metre was put together from lengths. */
static const char *kind_link(const Reference *reference, KindId of)
{
    const World *world = reference->world;
    for (KindId id = 1; id < world->kinds.count; id++) {
        if (world->kinds.at[id].name != 0 && kind_same(world, id, of)) {
            return part_link(reference, "kind", part_name(reference, world->kinds.at[id].name));
        }
    }
    return part_print(reference, "%s", kind_text((World *)(uintptr_t)world, of));
}

static void put_units_of(Reference *reference, KindId kind)
{
    const World *world = reference->world;
    Text text;
    text_open(&text, reference->memory);
    for (UnitId id = 1; id < world->units.count; id++) {
        const Unit *unit = &world->units.at[id];
        if (unit->line != 0 && unit->either == 0 && kind_same(world, unit->kind, kind)) {
            text_put(&text, text.length > 0 ? ", " : "");
            book_link(&text, "unit", part_name(reference, unit->name));
        }
    }
    if (text.length > 0) {
        book_pair(&reference->book, "Units of it", text.at);
    }
}

static const char *made_of(const Reference *reference, const Kind *kind)
{
    const World *world = reference->world;
    if (kind->whole != 0) {
        return part_print(reference, "a part of %s", part_link(reference, "kind", part_name(reference, world->kinds.at[kind->whole].name)));
    }
    if (kind->rise != 0) {
        return part_print(reference, "points on a scale; two differ by %s", part_link(reference, "kind", part_name(reference, world->kinds.at[kind->rise].name)));
    }
    NodeId of = kind->line == 0 ? 0 : line_behind(world, kind->line, KNOWN_of);
    return of != 0 ? part_print(reference, "%s", part_written(reference, of)) : kind->compares ? "it compares, and does not add" : "";
}

static void put_kinds(Reference *reference)
{
    const World *world = reference->world;
    book_section(&reference->book, "Kinds");
    book_paragraph(&reference->book, "A kind says of what a number is. A part may stand for its whole, never the reverse, and never one part for another.");
    for (KindId id = 1; id < world->kinds.count; id++) {
        const Kind *kind = &world->kinds.at[id];
        if (kind->name == 0) {
            continue;
        }
        book_entry(&reference->book, "kind", part_name(reference, kind->name), made_of(reference, kind));
        part_comment(reference, kind->line);
        if (id == KIND_ONE) {
            book_paragraph(&reference->book, "A plain number, of nothing in particular.");
        }
        if (kind->shown != 0) {
            book_pair(&reference->book, "Shown in", part_name(reference, world->units.at[kind->shown].name));
        }
        put_units_of(reference, id);
    }
    book_section(&reference->book, "What a percentage may be of");
    for (uint32_t i = 0; i < world->bases.count; i++) {
        const Basis *basis = &world->bases.at[i];
        if (basis->name != 0) {
            book_entry(&reference->book, "basis", part_name(reference, basis->name),
                       part_link(reference, "kind", part_name(reference, world->kinds.at[basis->kind].name)));
            part_comment(reference, basis->line);
        }
    }
}

static void put_readings(Reference *reference, const Unit *unit)
{
    book_paragraph(&reference->book, part_print(reference, "This word has named several amounts and is refused; write the one that is meant. `%s`",
                                                part_written(reference, unit->line)));
}

static void put_unit(Reference *reference, const Unit *unit)
{
    book_entry(&reference->book, "unit", part_name(reference, unit->name),
               unit->either != 0 ? "several readings" : kind_link(reference, unit->kind));
    if (unit->either != 0) {
        put_readings(reference, unit);
        return;
    }
    if (unit->line == 0) {
        book_paragraph(&reference->book, unit->share == 1 ? "A hundredth of what its place says." : "A hundredth, and of what it is.");
        return;
    }
    part_comment(reference, unit->line);
    book_pair(&reference->book, "Declared", part_print(reference, "`%s`", part_written(reference, unit->line)));
    book_pair(&reference->book, "In base units", unit->from != 0 ? part_print(reference, "%.12g, from %.12g", unit->factor, unit->from)
                                                                   : part_print(reference, "%.12g", unit->factor));
    part_origin(reference, unit->line);
}

void chapter_quantities(Reference *reference)
{
    static const Chapter chapter = {"quantities", "Kinds and units", "waterleaf-units", "kinds of quantity, bases of percentages, and units"};
    const World *world = reference->world;
    book_chapter(&reference->book, &chapter);
    put_kinds(reference);
    book_section(&reference->book, "Units");
    book_paragraph(&reference->book, "Units that are made of others are read as they are written: `g/m²`, `kg/L`, `mol/kg`, `sheets/h`.");
    for (UnitId id = 1; id < world->units.count; id++) {
        if (world->units.at[id].line != 0 || world->units.at[id].share != 0) {
            put_unit(reference, &world->units.at[id]);
        }
    }
}
