/* Everything that is a number in what was worked out, flat and under one key
 * each, so that two ways of writing a paper can be held against each other.
 * Numbers are in base units. */
#ifndef WATERLEAF_TESTS_AMOUNTS_H
#define WATERLEAF_TESTS_AMOUNTS_H

#include "check.h"
#include "waterleaf.h"

#include <math.h>

typedef struct Amount { char *key; bool told; double value, low, high; } Amount;

typedef struct Amounts { Amount *at; size_t count, room; } Amounts;

static inline void amounts_add(Amounts *amounts, const char *key, bool told, double value, double low, double high)
{
    if (amounts->count == amounts->room)
        amounts->at = check_resize(amounts->at, (amounts->room = 2 * amounts->room + 64) * sizeof *amounts->at);
    amounts->at[amounts->count++] = (Amount){check_copy(key, strlen(key)), told, value, low, high};
}

static inline void amounts_clear(Amounts *amounts)
{
    for (size_t i = 0; i < amounts->count; i++)
        free(amounts->at[i].key);
    free(amounts->at);
    *amounts = (Amounts){0};
}

static inline void amounts_quantity(Amounts *amounts, const char *work, const char *place, const NamedQuantity *named)
{
    char key[1024];
    snprintf(key, sizeof key, "%s | %s | %s | %s", work, place, named->name, named->of ? named->of : "");
    const Quantity *quantity = &named->quantity;
    amounts_add(amounts, key, quantity->told, quantity->value, quantity->low, quantity->high);
}

static inline void amounts_number(Amounts *amounts, const char *work, const char *what, double value)
{
    char key[1024];
    snprintf(key, sizeof key, "%s | %s", work, what);
    amounts_add(amounts, key, true, value, value, value);
}

static inline void amounts_weighed(Amounts *amounts, const char *work, const WeighLine *line)
{
    const struct { const char *what; const Quantity *quantity; } columns[] = {
        {"share", &line->share},   {"moisture", &line->moisture},           {"dry", &line->dry},
        {"weigh", &line->weigh_out}, {"dry of parcel", &line->dry_of_parcel}, {"weigh of parcel", &line->weigh_out_of_parcel},
    };
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++) {
        char key[1024];
        const Quantity *quantity = columns[i].quantity;
        snprintf(key, sizeof key, "%s | weigh | %s | %s", work, line->material, columns[i].what);
        amounts_add(amounts, key, quantity->told, quantity->value, quantity->low, quantity->high);
    }
}

/* A WaterleafShow: adds all of OUTCOME to the Amounts WITH. */
static inline bool amounts_of(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Amounts *amounts = with;
    char work[512];
    int length = snprintf(work, sizeof work, "%s %s", outcome->paper, outcome->batch ? outcome->batch : "");
    for (uint32_t i = 0; outcome->batch == NULL && i < outcome->choice_count && length > 0 && (size_t)length < sizeof work; i++)
        length += snprintf(work + length, sizeof work - (size_t)length, " %s=%s", outcome->choices[i].name,
                           outcome->choices[i].value);
    amounts_number(amounts, work, "good", outcome->sheets_good);
    amounts_number(amounts, work, "formed", outcome->sheets_formed);
    amounts_number(amounts, work, "parcels", outcome->parcels);
    for (uint32_t i = 0; i < outcome->figure_count; i++)
        amounts_quantity(amounts, work, "figure", &outcome->figures[i]);
    for (uint32_t i = 0; i < outcome->weigh_count; i++)
        amounts_weighed(amounts, work, &outcome->weigh[i]);
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        const StepOutcome *step = &outcome->steps[i];
        char place[256];
        snprintf(place, sizeof place, "%u %s", step->number, step->step);
        amounts_number(amounts, work, place, step->ends - step->begins);
        for (uint32_t f = 0; f < step->figure_count; f++)
            amounts_quantity(amounts, work, place, &step->figures[f]);
    }
    return true;
}

/* Equal to within SHARE of the larger; differences of a billionth of a billionth are rounding of nothing. */
static inline bool amounts_near(double one, double other, double share)
{
    double off = fabs(one - other), larger = fmax(fabs(one), fabs(other));
    return one == other || off <= share * larger || off < 1e-18;
}

static inline const Amount *amounts_find(const Amounts *amounts, const char *key)
{
    for (size_t i = 0; i < amounts->count; i++)
        if (strcmp(amounts->at[i].key, key) == 0)
            return &amounts->at[i];
    return NULL;
}

static inline bool amount_same(const Amount *one, const Amount *other, double share)
{
    return one->told == other->told && (!one->told || (amounts_near(one->value, other->value, share) &&
           amounts_near(one->low, other->low, share) && amounts_near(one->high, other->high, share)));
}

/* Counts one check of the two being the same, and says how the first amounts that differ do. */
static inline bool amounts_compare(Checks *checks, const char *what, const Amounts *one, const Amounts *other, double share)
{
    size_t differ = 0;
    if (one->count == 0 || one->count != other->count)
        return check(checks, false, "%s: %zu amounts, and %zu", what, one->count, other->count);
    for (size_t i = 0; i < one->count; i++) {
        const Amount *mine = &one->at[i];
        const Amount *theirs = strcmp(mine->key, other->at[i].key) == 0 ? &other->at[i] : amounts_find(other, mine->key);
        if (theirs != NULL && amount_same(mine, theirs, share))
            continue;
        if (differ++ < 3)
            printf("  %s: %s: %.15g [%.15g, %.15g], and %.15g [%.15g, %.15g]\n", what, mine->key, mine->value, mine->low, mine->high,
                   theirs ? theirs->value : NAN, theirs ? theirs->low : NAN, theirs ? theirs->high : NAN);
    }
    return check(checks, differ == 0, "%s: %zu of %zu amounts differ", what, differ, one->count);
}

/* Works out all of TEXT, which must be free of messages. */
static inline bool amounts_of_text(Checks *checks, Workshop *workshop, const char *name, const char *text, size_t length, Amounts *amounts)
{
    if (!check(checks, workshop_clear(workshop) == WATERLEAF_FINE && workshop_read_text(workshop, name, text, length) == WATERLEAF_FINE,
               "%s: cannot be read: %s", name, workshop_trouble(workshop)))
        return false;
    WaterleafAnswer answer = workshop_work_out(workshop, NULL, 0, amounts_of, amounts);
    const Messages *messages = workshop_messages(workshop);
    const char *says = messages->list.count > 0 ? messages->list.at[0].says : workshop_trouble(workshop);
    return check(checks, answer == WATERLEAF_FINE && messages->errors == 0, "%s: %s", name, says);
}

#endif
