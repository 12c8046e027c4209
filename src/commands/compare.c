/* compare: what the hands do differently between two papers, variants or batches, as text for people or as JSON. */
#include "commands/columns.h"
#include "commands/command.h"

#include "documents/comparison.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* One of the two: each has a workshop of its own, so that neither's messages are taken for the other's. */
typedef struct Side {
    const char *file, *name;
    Workshop *workshop;
    Memory *memory;
    Hands hands;
    unsigned found;
} Side;

/* ---- taking a side down ---- */

/* The name of the rule or message. */
static const char *rule_name(const Message *message)
{
    return message->name;
}

static void take_rules(Side *side)
{
    const Messages *messages = workshop_messages(side->workshop);
    const Sources *sources = &workshop_world(side->workshop)->sources;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        const char *at = message->at.start == 0 ? "" : sources_bytes(sources, message->at.start);
        const char *begin = message->at.start == 0 ? at : sources_text(sources, sources_at(sources, message->at.start));
        const char *first = at;
        while (first > begin && first[-1] != '\n') {
            first--;
        }
        first += strspn(first, " \t");
        comparison_rule(&side->hands, rule_name(message), first, strcspn(first, "\r\n"), message->says);
    }
}

static bool take(void *with, Workshop *workshop, const Outcome *outcome)
{
    Side *side = with;
    if (side->found++ == 0) {
        comparison_take(&side->hands, side->memory, workshop_world(workshop), outcome);
    }
    return side->found < 2;
}

/* The script of a workshop that read it from where it cannot be read again. */
static WaterleafAnswer read_again(Side *side, const Side *other)
{
    const Sources *sources = &workshop_world(other->workshop)->sources;
    for (uint32_t i = 1; i < sources->list.count; i++) {
        const Source *source = &sources->list.at[i];
        if (!source->library) {
            return workshop_read_text(side->workshop, "./input", sources_text(sources, source), source->length);
        }
    }
    return WATERLEAF_NO_FILE;
}

/* Reads a side's script and works it out. COMMAND_FINE where it can be compared. */
static int take_side(const Options *options, Side *side, const Side *before)
{
    side->memory = options->memory;
    side->workshop = command_workshop(options);
    if (side->workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    bool again = before != NULL && strcmp(side->file, "-") == 0 && strcmp(before->file, "-") == 0;
    WaterleafAnswer answer = again ? read_again(side, before) : workshop_read(side->workshop, side->file);
    if (answer == WATERLEAF_FINE) {
        answer = workshop_work_out(side->workshop, side->name, options->sheets, take, side);
    }
    if (answer != WATERLEAF_FINE) {
        return command_trouble("%s", workshop_trouble(side->workshop));
    }
    if (side->found > 1) {
        return command_trouble("%s names more than one variant in %s. Name one of them, by its title or as \"%s NAME=VALUE\".", side->name,
                               side->file, side->hands.paper);
    }
    if (side->found == 0) {
        return command_unread(workshop_messages(side->workshop)) ? COMMAND_TROUBLE : COMMAND_PROBLEM;
    }
    take_rules(side);
    return command_end(options, workshop_messages(side->workshop));
}

/* ---- for people ---- */

static void head(Text *out, const char *which, const Hands *hands)
{
    text_print(out, "%-8s%s%s%s, %.0f good sheet%s%s%s\n", which, hands->batch == NULL ? "" : hands->batch, hands->batch == NULL ? "" : ": ",
               hands->title, hands->sheets_good, hands->sheets_good == 1 ? "" : "s", hands->mill == NULL ? ", without equipment" : ", at ", hands->mill == NULL ? "" : hands->mill);
}

/* Under which heading a difference stands. */
static const char *heading_of(const Difference *difference)
{
    static const struct { const char *what, *heading; } headings[] = {
        {"mill", "The paper"}, {"fact", "The paper"}, {"count", "The paper"}, {"amount", "To weigh, for the whole batch"},
        {"claim", "Claims"}, {"note", "Notes"}, {"rule", "Rules that speak against one of them alone"}};
    for (size_t i = 0; i < sizeof headings / sizeof headings[0]; i++) {
        if (strcmp(headings[i].what, difference->what) == 0) {
            return headings[i].heading;
        }
    }
    return "";
}

static bool same_heading(const Difference *one, const Difference *other)
{
    return strcmp(heading_of(one), heading_of(other)) == 0 && one->step == other->step && one->number_in_one == other->number_in_one
        && one->number_in_other == other->number_in_other;
}

static void put_heading(Text *out, const Difference *difference)
{
    uint32_t one = difference->number_in_one, other = difference->number_in_other;
    if (difference->step == NULL) {
        text_print(out, "\n%s\n", heading_of(difference));
    } else if (one == 0 || other == 0) {
        text_print(out, "\n%u. %s: only in the %s\n", one != 0 ? one : other, difference->step, one != 0 ? "first" : "second");
    } else if (one == other) {
        text_print(out, "\n%u. %s\n", one, difference->step);
    } else {
        text_print(out, "\n%u. %s (%u. in the second)\n", one, difference->step, other);
    }
}

/* What is told by a sentence of its own, below the numbers. */
static bool is_words(const Difference *difference)
{
    static const char *const words[] = {"step", "sentence", "caution", "note", "rule"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i], difference->what) == 0) {
            return true;
        }
    }
    return false;
}

static void put_words(Text *out, const Difference *difference)
{
    const char *says = difference->one != NULL ? difference->one : difference->other;
    bool named = strcmp(difference->what, "rule") == 0 || strcmp(difference->what, "caution") == 0;
    if (strcmp(difference->what, "step") == 0) {
        text_print(out, "%s%s%s", *says != 0 ? "  " : "", says, *says != 0 ? "\n" : "");
    } else {
        text_print(out, "  only in the %s: %s%s%s\n", difference->one != NULL ? "first" : "second", says, named ? "   " : "",
                   named ? difference->of : "");
    }
}

static const char *change_text(Memory *memory, double change)
{
    Text text;
    text_open(&text, memory);
    if (change == change) {
        text_print(&text, "%+.*f %%", fabs(change) < 0.0995 ? 1 : 0, 100 * change);
    }
    return text.at == NULL ? "" : text.at;
}

static void put_group(Text *out, const Difference *differences, uint32_t count)
{
    Cells *rows = memory_take(out->memory, (count + 1u) * sizeof *rows);
    uint32_t used = 0;
    put_heading(out, differences);
    for (uint32_t i = 0; i < count; i++) {
        const Difference *at = &differences[i];
        if (!is_words(at)) {
            rows[used++] = (Cells){{strcmp(at->what, "order") == 0 ? "done" : at->of, at->one == NULL ? "-" : at->one,
                                    at->other == NULL ? "-" : at->other, change_text(out->memory, at->change)}};
        }
    }
    columns_put(out, rows, used, 4, 3);
    for (uint32_t i = 0; i < count; i++) {
        if (is_words(&differences[i])) {
            put_words(out, &differences[i]);
        }
    }
}

static void as_text(Text *out, const Side sides[2], const Differences *differences)
{
    head(out, "first", &sides[0].hands);
    head(out, "second", &sides[1].hands);
    if (differences->list.count == 0) {
        text_put(out, "\nThe hands do the same.\n");
    }
    for (uint32_t i = 0, next; i < differences->list.count; i = next) {
        for (next = i + 1; next < differences->list.count && same_heading(&differences->list.at[i], &differences->list.at[next]); next++) {
        }
        put_group(out, &differences->list.at[i], next - i);
    }
}

/* ---- JSON ---- */

static void json_side(Json *json, const char *key, Side *side)
{
    bool found = side->found > 0;
    json_put_object(json, key);
    json_put_text(json, "file", side->file);
    json_put_text(json, "name", side->name);
    json_put_text(json, "paper", found ? side->hands.paper : NULL);
    json_put_text(json, "title", found ? side->hands.title : NULL);
    json_put_text(json, "batch", side->hands.batch);
    json_put_text(json, "mill", side->hands.mill);
    json_put_number(json, "sheets", found ? side->hands.sheets_good : NAN);
    if (side->workshop != NULL) {
        command_json_problems(json, "problems", side->workshop);
    } else {
        json_put_array(json, "problems");
        json_put_end(json);
    }
    json_put_end(json);
}

static void json_step(Json *json, const char *key, uint32_t number)
{
    if (number != 0) {
        json_put_number(json, key, number);
    } else {
        json_put_null(json, key);
    }
}

static void as_json(Json *json, Side sides[2], const Differences *differences)
{
    json_side(json, "one", &sides[0]);
    json_side(json, "other", &sides[1]);
    json_put_array(json, "differences");
    for (uint32_t i = 0; i < differences->list.count; i++) {
        const Difference *at = &differences->list.at[i];
        json_put_object(json, NULL);
        json_put_text(json, "what", at->what);
        json_put_text(json, "of", *at->of == 0 ? NULL : at->of);
        json_put_text(json, "step", at->step);
        json_step(json, "step-in-one", at->number_in_one);
        json_step(json, "step-in-other", at->number_in_other);
        json_put_text(json, "one", at->one);
        json_put_text(json, "other", at->other);
        json_put_number(json, "change", at->change);
        json_put_end(json);
    }
    json_put_end(json);
}

/* In one script the first has said already what was wrong with it. */
static bool one_script(const Side sides[2])
{
    return strcmp(sides[0].file, sides[1].file) == 0;
}

static int show_messages(const Options *options, const Side sides[2])
{
    int end = COMMAND_FINE;
    for (int i = 0; i < 2; i++) {
        bool shown = sides[i].workshop != NULL && (!one_script(sides) || (sides[1].workshop != NULL && sides[1].found == 0) == (i == 1));
        if (shown && command_show_messages(options, sides[i].workshop, false) != COMMAND_FINE) {
            end = COMMAND_TROUBLE;
        }
    }
    return end;
}

static int compare(const Options *options, Side sides[2])
{
    Text text;
    Json json;
    Differences differences = {0};
    int end = take_side(options, &sides[0], NULL);
    if (end != COMMAND_TROUBLE && (sides[0].found > 0 || !one_script(sides))) {
        int other = take_side(options, &sides[1], &sides[0]);
        end = other > end ? other : end;
    }
    bool both = sides[0].found == 1 && sides[1].found == 1;
    text_open(&text, options->memory);
    if (both) {
        comparison_find(&differences, &sides[0].hands, &sides[1].hands);
    }
    if (options->json && sides[0].workshop != NULL) {
        json_put_open(&json, &text);
        command_json_head(&json, sides[0].workshop);
        as_json(&json, sides, &differences);
        json_put_close(&json);
    } else if (both) {
        as_text(&text, sides, &differences);
    }
    if (!command_tells_messages(options, end) && show_messages(options, sides) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    return command_put_end(options, &text, end) != COMMAND_FINE ? COMMAND_TROUBLE : end;
}

int command_compare(const Options *options, int count, char **words)
{
    if (count != 3 && count != 4) {
        return command_trouble("compare takes a FILE and two NAMEs of batches, papers or variants in it; or a FILE and a NAME, twice.");
    }
    Side sides[2] = {{.file = words[0], .name = words[1]}, {.file = words[count == 4 ? 2 : 0], .name = words[count - 1]}};
    int end = compare(options, sides);
    workshop_close(sides[0].workshop);
    workshop_close(sides[1].workshop);
    return end;
}
