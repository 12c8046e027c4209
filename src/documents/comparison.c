/* Comparing two papers. What is compared, by `what`:
 *
 *   fact       what the paper tells of itself      mill      where it is made
 *   count      sheets and parcels                  amount    what is weighed out
 *   step       a step that only one has            order     a step that is done at another place
 *   value      a number in a step's sentence       sentence  a sentence that only one has
 *   given      a vessel or word given to a step    reading   what is read, and what it shall be
 *   time       how long a step takes               caution   what stands in front of a step
 *   claim      what the label asks for             note      what the writer says to the hands
 *   rule       a message: what now holds or fails
 */
#include "documents/comparison.h"

#include "documents/document.h"
#include "meaning/kind.h"
#include "meaning/unit.h"

#include <math.h>
#include <string.h>

/* ---- taking down ---- */

typedef struct Taking { Hands *hands; Memory *memory; const World *world; } Taking;

static const char *copy(Hands *hands, const char *text)
{
    return text == NULL ? NULL : arena_copy(&hands->arena, text, strlen(text));
}

static Trait *add(Taking *taking, const char *what, const char *of, const char *shown)
{
    Hands *hands = taking->hands;
    Trait trait = {.what = what, .of = copy(hands, of), .shown = copy(hands, shown)};
    list_push(taking->memory, &hands->traits, trait);
    return &hands->traits.at[hands->traits.count - 1];
}

/* How a number is compared follows from its kind: levels, spans of time, what is counted, and all else. */
static Measure measure_of(const World *world, const Quantity *quantity)
{
    TypeSort sort = TYPE_SORT(quantity->type);
    KindId kind = TYPE_INDEX(quantity->type);
    if (!quantity->told || (sort != TYPE_NUMBER && sort != TYPE_BAND) || kind == 0) {
        return MEASURE_WORDS;
    }
    UnitId day = unit_of_day(world, 0);
    if (unit_of_day(world, kind) != 0) {
        return MEASURE_WORDS; /* a date */
    }
    if (world->kinds.at[kind].rise != 0) {
        return MEASURE_LEVEL;
    }
    if (day != 0 && kind_same(world, kind, world->units.at[day].kind)) {
        return MEASURE_TIME;
    }
    return world->kinds.at[kind].name == KNOWN_count && quantity->value == floor(quantity->value) ? MEASURE_COUNT : MEASURE_AMOUNT;
}

static void measure(Taking *taking, Trait *trait, const Quantity *quantity, bool ranged)
{
    trait->measure = measure_of(taking->world, quantity);
    trait->low = ranged ? quantity->low : quantity->value;
    trait->high = ranged ? quantity->high : quantity->value;
}

static void take_count(Taking *taking, const char *of, double count)
{
    Trait *trait = add(taking, "count", of, arena_print(&taking->hands->arena, "%.0f", count));
    trait->measure = MEASURE_COUNT;
    trait->low = trait->high = count;
}

static const char *claim_name(const Outcome *outcome, uint32_t claim)
{
    return outcome->claims[claim].name;
}

static void take_whole(Taking *taking, const Outcome *outcome)
{
    if (outcome->mill != NULL) {
        add(taking, "mill", "mill", outcome->mill);
    }
    for (uint32_t i = 0; i < outcome->fact_count; i++) {
        add(taking, "fact", outcome->facts[i].name, outcome->facts[i].text);
    }
    take_count(taking, "good sheets", outcome->sheets_good);
    take_count(taking, "sheets to form", outcome->sheets_formed);
    take_count(taking, "parcels", outcome->parcels);
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        const WeighLine *line = &outcome->weigh[i];
        Trait *trait = add(taking, "amount", line->material, line->weigh_out.shown);
        measure(taking, trait, &line->weigh_out, false);
        trait->least = line->scale_step;
    }
    for (uint32_t i = 0; i < outcome->claim_count; i++) {
        add(taking, "claim", claim_name(outcome, i), "asked for");
    }
    for (uint32_t i = 0; i < outcome->note_count; i++) {
        add(taking, "note", outcome->notes[i], outcome->notes[i]);
    }
}

static void take_reading(Taking *taking, const Reading *reading)
{
    const char *expected = reading->expected == NULL ? "to be read" : reading->expected;
    const char *shown = reading->is_signed ? arena_print(&taking->hands->arena, "%s, signed", expected) : expected;
    Trait *trait = add(taking, "reading", reading->what, shown);
    trait->under = copy(taking->hands, reading->written);
    if (reading->window.told && reading->window.has_band) {
        measure(taking, trait, &reading->window, true);
    } else if (reading->window.told) {
        measure(taking, trait, &reading->window, false);
    }
}

static void take_traits_of_step(Taking *taking, const StepOutcome *step)
{
    Hands *hands = taking->hands;
    for (uint32_t i = 0; i < step->tell_count; i++) {
        add(taking, "sentence", "", step->tells[i])->under = copy(hands, step->written[i]);
    }
    for (uint32_t i = 0; i < step->value_count; i++) {
        const ToldValue *told = &step->values[i];
        Trait *trait = add(taking, "value", told->name, told->quantity.shown);
        trait->under = copy(hands, step->written[told->sentence]);
        measure(taking, trait, &told->quantity, told->quantity.has_band);
    }
    for (uint32_t i = 0; i < step->choice_count; i++) {
        add(taking, "given", step->choices[i].name, step->choices[i].text);
    }
    for (uint32_t i = 0; i < step->read_count; i++) {
        take_reading(taking, &step->reads[i]);
    }
    double hours = step->ends - step->begins;
    Trait *time = add(taking, "time", "it takes", document_hours(&hands->arena, hours));
    time->measure = MEASURE_TIME;
    time->low = time->high = hours;
    for (uint32_t i = 0; i < step->caution_count; i++) {
        add(taking, "caution", step->cautions[i].name, step->cautions[i].says);
    }
}

static void take_step(Taking *taking, const StepOutcome *step)
{
    Hands *hands = taking->hands;
    HandsStep taken = {.number = step->number, .traits = hands->traits.count, .says = copy(hands, step->tell_count > 0 ? step->tells[0] : "")};
    taken.name = arena_print(&hands->arena, "%s%s%s", step->step, *step->object != 0 ? " " : "", step->object);
    take_traits_of_step(taking, step);
    taken.trait_count = hands->traits.count - taken.traits;
    list_push(taking->memory, &hands->steps, taken);
}

void comparison_take(Hands *hands, Memory *memory, const World *world, const Outcome *outcome)
{
    *hands = (Hands){0};
    arena_open(&hands->arena, memory);
    hands->paper = copy(hands, outcome->paper);
    hands->title = copy(hands, outcome->title);
    hands->batch = copy(hands, outcome->batch);
    hands->mill = copy(hands, outcome->mill);
    hands->sheets_good = outcome->sheets_good;
    Taking taking = {hands, memory, world};
    take_whole(&taking, outcome);
    hands->whole_count = hands->traits.count;
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        take_step(&taking, &outcome->steps[i]);
    }
}

void comparison_rule(Hands *hands, const char *name, const char *line, size_t length, const char *says)
{
    Trait rule = {.what = "rule", .of = copy(hands, name), .under = arena_copy(&hands->arena, line, length), .shown = copy(hands, says)};
    list_push(hands->arena.memory, &hands->rules, rule);
}

/* ---- holding against each other ---- */

typedef struct Finding {
    Differences *differences;
    Hands *one;
    const Hands *other;
    Memory *memory;
    const HandsStep *step_of_one, *step_of_other; /* at hand; NULL: none */
} Finding;

typedef struct Traits { const Trait *at; uint32_t count; } Traits;

static bool near(const Trait *one, double mine, double theirs)
{
    double off = fabs(mine - theirs), larger = fmax(fabs(mine), fabs(theirs));
    double share = one->measure == MEASURE_AMOUNT ? COMPARISON_AMOUNT : one->measure == MEASURE_TIME ? COMPARISON_TIME : 0;
    double least = one->measure == MEASURE_LEVEL ? COMPARISON_LEVEL : one->measure == MEASURE_AMOUNT ? one->least : 0;
    return off <= fmax(share * larger, least) + 1e-9 * larger;
}

static bool same(const Trait *one, const Trait *other)
{
    /* whole sheets beside sheets that are not whole are counted no more */
    bool counted = (one->measure == MEASURE_COUNT && other->measure == MEASURE_AMOUNT)
        || (one->measure == MEASURE_AMOUNT && other->measure == MEASURE_COUNT);
    if (one->measure == MEASURE_WORDS || (one->measure != other->measure && !counted)) {
        return strcmp(one->shown, other->shown) == 0;
    }
    const Trait *judge = one->measure == MEASURE_COUNT ? other : one;
    return near(judge, one->low, other->low) && near(judge, one->high, other->high);
}

static double change_of(const Trait *one, const Trait *other)
{
    bool number = one->measure != MEASURE_WORDS && one->measure != MEASURE_LEVEL && other->measure != MEASURE_WORDS;
    double mine = (one->low + one->high) / 2, theirs = (other->low + other->high) / 2;
    return number && mine != 0 ? (theirs - mine) / mine : NAN;
}

static void found(Finding *finding, Difference difference)
{
    const HandsStep *one = finding->step_of_one, *other = finding->step_of_other;
    difference.step = one != NULL ? one->name : other != NULL ? other->name : NULL;
    difference.number_in_one = one != NULL ? one->number : 0;
    difference.number_in_other = other != NULL ? other->number : 0;
    list_push(finding->memory, &finding->differences->list, difference);
}

static bool same_text(const char *one, const char *other)
{
    return one == other || (one != NULL && other != NULL && strcmp(one, other) == 0);
}

/* Sentences and readings are known by how they are written, all else by its name. */
static bool is_called(const Trait *one, const Trait *other)
{
    bool by_line = one->under != NULL && other->under != NULL;
    bool named = strcmp(one->what, "value") == 0 || !by_line;
    return strcmp(one->what, other->what) == 0 && (!by_line || strcmp(one->under, other->under) == 0)
        && (!named || strcmp(one->of, other->of) == 0);
}

/* The one among TRAITS that is called as its NTH one at PLACE of MINE: the second of a name is held against the second. */
static const Trait *partner(const Traits *mine, uint32_t place, const Traits *traits)
{
    uint32_t before = 0;
    for (uint32_t i = 0; i < place; i++) {
        before += is_called(&mine->at[i], &mine->at[place]);
    }
    for (uint32_t i = 0; i < traits->count; i++) {
        if (is_called(&traits->at[i], &mine->at[place]) && before-- == 0) {
            return &traits->at[i];
        }
    }
    return NULL;
}

static bool has_sentence(const Traits *traits, const char *written)
{
    for (uint32_t i = 0; i < traits->count; i++) {
        if (strcmp(traits->at[i].what, "sentence") == 0 && same_text(traits->at[i].under, written)) {
            return true;
        }
    }
    return false;
}

/* Whether a difference that was found at these steps tells this one already: the same value in a further sentence, a vessel
 * that a sentence names, the time of a step whose own time is another. */
static bool is_told(const Finding *finding, uint32_t from, const Trait *one, const Trait *other)
{
    for (uint32_t i = from; i < finding->differences->list.count; i++) {
        const Difference *at = &finding->differences->list.at[i];
        bool shown = same_text(at->one, one->shown) && same_text(at->other, other->shown);
        if (strcmp(at->what, "value") == 0 && shown && (strcmp(at->of, one->of) == 0 || strcmp(one->what, "given") == 0)) {
            return true;
        }
        if (strcmp(one->what, "time") == 0 && strcmp(at->what, "time") == 0) {
            return true;
        }
    }
    return false;
}

static void compare_trait(Finding *finding, const Traits *mine, uint32_t place, const Traits *theirs, uint32_t from)
{
    const Trait *one = &mine->at[place], *other = partner(mine, place, theirs);
    bool value = strcmp(one->what, "value") == 0;
    if (other == NULL) {
        if (!value || has_sentence(theirs, one->under)) {
            found(finding, (Difference){.what = one->what, .of = one->of, .one = one->shown, .change = NAN});
        }
        return;
    }
    bool sentence = strcmp(one->what, "sentence") == 0; /* its values are traits of their own */
    if (sentence || same(one, other) || is_told(finding, from, one, other)) {
        return;
    }
    const char *what = value && one->measure == MEASURE_TIME ? "time" : one->what;
    found(finding, (Difference){.what = what, .of = one->of, .one = one->shown, .other = other->shown, .change = change_of(one, other)});
}

static void compare_traits(Finding *finding, const char *what, Traits mine, Traits theirs, uint32_t from)
{
    for (uint32_t i = 0; i < mine.count; i++) {
        if (strcmp(mine.at[i].what, what) == 0) {
            compare_trait(finding, &mine, i, &theirs, from);
        }
    }
    for (uint32_t i = 0; i < theirs.count; i++) {
        const Trait *other = &theirs.at[i];
        bool lone = strcmp(other->what, what) == 0 && partner(&theirs, i, &mine) == NULL;
        if (lone && (strcmp(what, "value") != 0 || has_sentence(&mine, other->under))) {
            found(finding, (Difference){.what = what, .of = other->of, .other = other->shown, .change = NAN});
        }
    }
}

static void compare_whole(Finding *finding, const char *what)
{
    Traits mine = {finding->one->traits.at, finding->one->whole_count}, theirs = {finding->other->traits.at, finding->other->whole_count};
    compare_traits(finding, what, mine, theirs, finding->differences->list.count);
}

static Traits traits_of(const Hands *hands, const HandsStep *step)
{
    return (Traits){step->trait_count == 0 ? NULL : &hands->traits.at[step->traits], step->trait_count};
}

static void compare_step(Finding *finding, const HandsStep *one, const HandsStep *other)
{
    static const char *const kinds[] = {"sentence", "value", "given", "time", "reading", "caution"};
    finding->step_of_one = one;
    finding->step_of_other = other;
    uint32_t from = finding->differences->list.count;
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        compare_traits(finding, kinds[i], traits_of(finding->one, one), traits_of(finding->other, other), from);
    }
    finding->step_of_one = finding->step_of_other = NULL;
}

/* ---- steps in their order ---- */

#define NO_PARTNER 0xFFFFFFFFu

/* Which steps are the same: the longest row of steps that both have in one order, and of what is left those of one name, which
 * then were moved. */
typedef struct Pairs { uint32_t *of_one, *of_other; bool *moved; } Pairs;

static bool same_step(const Finding *finding, uint32_t i, uint32_t j)
{
    return strcmp(finding->one->steps.at[i].name, finding->other->steps.at[j].name) == 0;
}

static void pair_in_order(const Finding *finding, Pairs *pairs)
{
    uint32_t rows = finding->one->steps.count, columns = finding->other->steps.count;
    size_t width = (size_t)columns + 1;
    uint32_t *longest = memory_take(finding->memory, (rows + 1u) * width * sizeof *longest);
    for (uint32_t i = rows; i-- > 0;) {
        for (uint32_t j = columns; j-- > 0;) {
            uint32_t down = longest[(i + 1u) * width + j], across = longest[i * width + j + 1];
            longest[i * width + j] = same_step(finding, i, j) ? 1 + longest[(i + 1u) * width + j + 1] : down > across ? down : across;
        }
    }
    for (uint32_t i = 0, j = 0; i < rows && j < columns;) {
        if (same_step(finding, i, j)) {
            pairs->of_one[i] = j;
            pairs->of_other[j] = i;
            i++, j++;
        } else if (longest[(i + 1u) * width + j] >= longest[i * width + j + 1]) {
            i++;
        } else {
            j++;
        }
    }
    memory_return(finding->memory, longest);
}

static void pair_moved(const Finding *finding, Pairs *pairs)
{
    for (uint32_t i = 0; i < finding->one->steps.count; i++) {
        for (uint32_t j = 0; j < finding->other->steps.count && pairs->of_one[i] == NO_PARTNER; j++) {
            if (pairs->of_other[j] == NO_PARTNER && same_step(finding, i, j)) {
                pairs->of_one[i] = j;
                pairs->of_other[j] = i;
                pairs->moved[i] = true;
            }
        }
    }
}

static Pairs pair_steps(const Finding *finding)
{
    uint32_t rows = finding->one->steps.count, columns = finding->other->steps.count;
    Pairs pairs = {memory_take(finding->memory, (rows + 1u) * sizeof(uint32_t)), memory_take(finding->memory, (columns + 1u) * sizeof(uint32_t)),
                   memory_take(finding->memory, rows + 1u)};
    memset(pairs.of_one, 0xFF, rows * sizeof(uint32_t));
    memset(pairs.of_other, 0xFF, columns * sizeof(uint32_t));
    pair_in_order(finding, &pairs);
    pair_moved(finding, &pairs);
    return pairs;
}

static void lone_step(Finding *finding, const HandsStep *one, const HandsStep *other)
{
    finding->step_of_one = one;
    finding->step_of_other = other;
    found(finding, (Difference){.what = "step", .of = one != NULL ? one->name : other->name, .one = one == NULL ? NULL : one->says,
                                .other = other == NULL ? NULL : other->says, .change = NAN});
    finding->step_of_one = finding->step_of_other = NULL;
}

static const char *place_of(Finding *finding, const Hands *hands, uint32_t place)
{
    return place == 0 ? "first" : arena_print(&finding->one->arena, "after %s", hands->steps.at[place - 1].name);
}

static void moved_step(Finding *finding, uint32_t i, uint32_t j)
{
    finding->step_of_one = &finding->one->steps.at[i];
    finding->step_of_other = &finding->other->steps.at[j];
    found(finding, (Difference){.what = "order", .of = finding->step_of_one->name, .one = place_of(finding, finding->one, i),
                                .other = place_of(finding, finding->other, j), .change = NAN});
}

/* In the order of the one; what only the other has stands where it is done. */
static void compare_steps(Finding *finding)
{
    Pairs pairs = pair_steps(finding);
    const HandsStep *mine = finding->one->steps.at, *theirs = finding->other->steps.at;
    uint32_t rows = finding->one->steps.count, columns = finding->other->steps.count, j = 0;
    for (uint32_t i = 0; i <= rows; i++) {
        uint32_t with = i < rows ? pairs.of_one[i] : columns;
        bool in_order = with != NO_PARTNER && (i == rows || !pairs.moved[i]);
        for (; in_order && j < with; j++) {
            if (pairs.of_other[j] == NO_PARTNER) {
                lone_step(finding, NULL, &theirs[j]);
            }
        }
        if (i == rows) {
            break;
        }
        j = in_order ? with + 1 : j;
        if (with == NO_PARTNER) {
            lone_step(finding, &mine[i], NULL);
            continue;
        }
        if (pairs.moved[i]) {
            moved_step(finding, i, with);
        }
        compare_step(finding, &mine[i], &theirs[with]);
    }
    memory_return(finding->memory, pairs.of_one);
    memory_return(finding->memory, pairs.of_other);
    memory_return(finding->memory, pairs.moved);
}

/* ---- rules ---- */

/* A rule that speaks on both sides is the same, be its line or its numbers others; where it speaks more often on one, what is
 * left over is first sought among those whose line the other does not have. */
static void pair_rules(const Finding *finding, uint32_t *of_one, uint32_t *of_other, bool by_line)
{
    for (uint32_t i = 0; i < finding->one->rules.count; i++) {
        for (uint32_t j = 0; j < finding->other->rules.count && of_one[i] == NO_PARTNER; j++) {
            const Trait *mine = &finding->one->rules.at[i], *theirs = &finding->other->rules.at[j];
            if (of_other[j] == NO_PARTNER && strcmp(mine->of, theirs->of) == 0 && (!by_line || strcmp(mine->under, theirs->under) == 0)) {
                of_one[i] = j;
                of_other[j] = i;
            }
        }
    }
}

static void compare_rules(Finding *finding)
{
    uint32_t rows = finding->one->rules.count, columns = finding->other->rules.count;
    uint32_t *of_one = memory_take(finding->memory, (rows + 1u) * sizeof *of_one);
    uint32_t *of_other = memory_take(finding->memory, (columns + 1u) * sizeof *of_other);
    memset(of_one, 0xFF, rows * sizeof *of_one);
    memset(of_other, 0xFF, columns * sizeof *of_other);
    pair_rules(finding, of_one, of_other, true);
    pair_rules(finding, of_one, of_other, false);
    for (uint32_t i = 0; i < rows; i++) {
        if (of_one[i] == NO_PARTNER) {
            found(finding, (Difference){.what = "rule", .of = finding->one->rules.at[i].of, .one = finding->one->rules.at[i].shown, .change = NAN});
        }
    }
    for (uint32_t j = 0; j < columns; j++) {
        if (of_other[j] == NO_PARTNER) {
            found(finding, (Difference){.what = "rule", .of = finding->other->rules.at[j].of, .other = finding->other->rules.at[j].shown, .change = NAN});
        }
    }
    memory_return(finding->memory, of_one);
    memory_return(finding->memory, of_other);
}

void comparison_find(Differences *differences, Hands *one, const Hands *other)
{
    static const char *const first[] = {"mill", "fact", "count", "amount"}, *const last[] = {"claim", "note"};
    *differences = (Differences){0};
    Finding finding = {.differences = differences, .one = one, .other = other, .memory = one->arena.memory};
    for (size_t i = 0; i < sizeof first / sizeof first[0]; i++) {
        compare_whole(&finding, first[i]);
    }
    compare_steps(&finding);
    for (size_t i = 0; i < sizeof last / sizeof last[0]; i++) {
        compare_whole(&finding, last[i]);
    }
    compare_rules(&finding);
}
