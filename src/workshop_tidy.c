/* Tidying a script that is at hand as a text. */
#include "workshop_parts.h"

#include "syntax/tidy.h"

typedef struct ToTidy { const char *name, *text; size_t length; Text *out; } ToTidy;

/* The words of all `takes` lines that are known. */
static bool is_argument_word(void *with, Name name)
{
    const World *world = with;
    for (FieldId id = 1; id < world->fields.count; id++) {
        const Field *field = &world->fields.at[id];
        for (uint32_t i = 0; field->sort == FIELD_TAKES && i < field->phrase_count; i++) {
            if (world->words.at[field->phrase + i] == name) {
                return true;
            }
        }
    }
    return false;
}

static WaterleafAnswer tidy_stage(Workshop *workshop, void *with)
{
    const ToTidy *wish = with;
    World *world = &workshop->world;
    workshop->messages.reading = true;
    uint32_t source = workshop_parse_text(workshop, wish->name, wish->text, wish->length);
    workshop->messages.reading = false;
    if (workshop->messages.errors > 0) {
        workshop_say_trouble(workshop, "This script cannot be read whole, so it is left as it is.");
        return WATERLEAF_ERRORS;
    }
    ParseWorld parsing = {world->memory, &world->names, &world->sources, &world->tree, world->messages};
    tidy_script(&parsing, source, is_argument_word, world, wish->out);
    return WATERLEAF_FINE;
}

WaterleafAnswer workshop_tidy(Workshop *workshop, const char *name, const char *text, size_t length, Text *out)
{
    ToTidy wish = {name, text, length, out};
    WaterleafAnswer cleared = workshop_clear(workshop);
    return cleared != WATERLEAF_FINE ? cleared : workshop_guarded(workshop, tidy_stage, &wish);
}
