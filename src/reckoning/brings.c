/* Which steps bring something about: named in a message where it is missing, as
 * who does not know the step's name does not know what to put in front.
 */
#include "reckoning/brings.h"

enum { NAMED = 6 };

/* The one effect that is looked for; of a state the word, too. */
typedef struct Sought { EffectSort sort; FieldId field; Name word; } Sought;

static bool has_effect(const World *world, const Step *step, const Sought *sought)
{
    for (uint32_t i = 0; i < step->count; i++) {
        const Effect *effect = &world->effects.at[step->first + i];
        bool state = effect->detail == sought->field && effect->name == sought->word && (effect->flags & EFFECT_SIGNED) == 0;
        if (effect->sort == sought->sort && (sought->field == 0 || state)) {
            return true;
        }
    }
    return false;
}

static const char *brings(World *world, const Sought *sought)
{
    uint32_t found[NAMED], count = 0;
    for (uint32_t step = 1; step < world->steps.count; step++) {
        if (has_effect(world, &world->steps.at[step], sought)) {
            if (count == NAMED) {
                return "";
            }
            found[count++] = step;
        }
    }
    const char *text = "";
    for (uint32_t i = 0; i < count; i++) {
        text = world_one_more(world, text, world_text(world, world->shapes.at[world->steps.at[found[i]].shape].name), i + 1 == count);
    }
    return count == 0 ? "" : arena_print(world->scratch, ": %s", text);
}

const char *brings_state(World *world, FieldId field, Name word)
{
    return brings(world, &(Sought){EFFECT_STATES, field, word});
}

const char *brings_effect(World *world, EffectSort sort)
{
    return brings(world, &(Sought){.sort = sort});
}
