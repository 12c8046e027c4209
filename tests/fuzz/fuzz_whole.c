/* All that is asked of a script: it is checked, what is wrong is told as text, JSON and SARIF, its papers are worked out,
 * weighed, explained, compared, and made into documents for every back end. The JSON must be JSON, and what is carried to
 * the program that sets pages must be taken by it; now and then that is set as PDF or SVG, too. */
#include "fuzz.h"
#include "refused.h"

#include "commands/weigh.c" /* its tables and its JSON, without the reading and printing around them */
#include "documents/comparison.h"
#include "render/html.h"
#include "render/pages.h"
#include "render/text.h"
#include "source/show.h"

#include <jansson.h>

enum { MOST_PAPERS = 6, MOST_NAME = 200, SELDOM = 16, DEEP = 3, JUDGED_ON = 20514 };

/* What is kept of the papers while they are shown one by one. */
typedef struct Seen {
    Memory memory;
    uint32_t papers, dice;
    Text table, json_text;
    Json json;
    Hands hands[2];
    char figure[MOST_NAME], paper[MOST_NAME];
} Seen;

static void must_be_json(const Text *text, const char *what)
{
    json_error_t wrong;
    json_t *read = json_loadb(text->at == NULL ? "" : text->at, text->length, JSON_ALLOW_NUL, &wrong);
    fuzz_must(read != NULL, "%s is no JSON: %s, at byte %d\n%s", what, wrong.text, wrong.position, text->at);
    json_decref(read);
}

/* ---- what is wrong ---- */

static void tell_messages(Workshop *workshop)
{
    Memory memory = {0};
    Text text, json_text, sarif_text;
    Json json, sarif;
    const Messages *messages = workshop_messages(workshop);
    const World *world = workshop_world(workshop);
    text_open(&text, &memory);
    text_open(&json_text, &memory);
    text_open(&sarif_text, &memory);
    json_put_open(&json, &json_text);
    command_json_head(&json, workshop);
    command_json_problems(&json, "problems", workshop);
    json_put_close(&json);
    json_put_open(&sarif, &sarif_text);
    sarif_begin(&sarif);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        show_message(&text, &world->sources, &world->names, &messages->list.at[i], (ShowHow){0});
        show_message(&text, &world->sources, &world->names, &messages->list.at[i], (ShowHow){.one_line = true, .colour = true});
        sarif_result(&sarif, workshop, &messages->list.at[i], &memory);
    }
    json_put_close(&sarif);
    must_be_json(&json_text, "what is wrong");
    must_be_json(&sarif_text, "SARIF");
    memory_return_all(&memory);
}

/* ---- papers ---- */

static void keep_name(char *to, const char *from) { snprintf(to, MOST_NAME, "%s", from); }

static bool see(void *with, Workshop *workshop, const Outcome *outcome)
{
    Seen *seen = with;
    as_text(&seen->table, workshop, outcome);
    as_json(&seen->json, workshop, outcome);
    if (seen->papers < 2)
        comparison_take(&seen->hands[seen->papers], &seen->memory, workshop_world(workshop), outcome);
    if (outcome->figure_count > 0) {
        keep_name(seen->figure, outcome->figures[seen->dice % outcome->figure_count].name);
        keep_name(seen->paper, outcome->batch != NULL ? outcome->batch : outcome->paper);
    }
    return ++seen->papers < MOST_PAPERS;
}

static void work_out(Workshop *workshop, Seen *seen)
{
    text_open(&seen->table, &seen->memory);
    text_open(&seen->json_text, &seen->memory);
    json_put_open(&seen->json, &seen->json_text);
    command_json_head(&seen->json, workshop);
    json_put_array(&seen->json, "papers");
    if (seen->dice % SELDOM == 0) /* takes some dozen times as long */
        workshop_what_if(workshop, NULL, 0, see, seen);
    else
        workshop_work_out(workshop, NULL, seen->dice % SELDOM == 1 ? 7 : 0, see, seen);
    json_put_close(&seen->json);
    must_be_json(&seen->json_text, "what is weighed");
}

static void compare_and_explain(Workshop *workshop, Seen *seen)
{
    Differences differences = {0};
    const char *why;
    if (seen->papers >= 2)
        comparison_find(&differences, &seen->hands[0], &seen->hands[1]);
    if (seen->papers == 1) {
        comparison_find(&differences, &seen->hands[0], &seen->hands[0]);
        fuzz_must(differences.list.count == 0, "a paper differs from itself: %u times", (unsigned)differences.list.count);
    }
    if (seen->figure[0] != 0)
        workshop_why(workshop, seen->paper, seen->figure, seen->dice % DEEP, &why);
}

/* ---- documents ---- */

static void render(const Document *document, uint32_t dice)
{
    Memory memory = {0};
    Arena arena;
    Text text, html, carried;
    Document arrived;
    PagesWish wish;
    text_open(&text, &memory);
    text_open(&html, &memory);
    text_open(&carried, &memory);
    arena_open(&arena, &memory);
    const char *size = dice % 2 == 0 ? "a4" : "letter";
    render_text(&text, document);
    render_html(&html, document, size);
    render_pages(&carried, document, size, dice % 3 == 0 ? "svg" : "pdf", "1767225600");
    if (dice / SELDOM % SELDOM == 0) /* takes longer than all other forms together */
        fuzz_pages((const uint8_t *)carried.at, carried.length);
    fuzz_must(refused_or_read(&arrived, &arena, carried.at, &wish), "a document is refused where it is carried to");
    memory_return_all(&memory);
}

/* One of stdlib's documents, another one each time, and all that the script declares itself. */
static void make_documents(Workshop *workshop, uint32_t dice)
{
    const World *world = workshop_world(workshop);
    for (uint32_t i = 1; i < world->plans.count; i++) {
        bool own = !sources_at(&world->sources, world->tree.nodes.at[world->plans.at[i].line].start)->library;
        if (world->plans.at[i].section || (!own && i != 1 + dice % (world->plans.count - 1) && strcmp(names_text(&world->names, world->plans.at[i].name), "batch-sheet") != 0))
            continue;
        char asked[MOST_NAME];
        Memory memory = {0};
        Arena arena;
        Document document;
        uint32_t count;
        keep_name(asked, names_text(&world->names, world->plans.at[i].name));
        arena_open(&arena, &memory);
        document_open(&document, &arena, "");
        if (workshop_document(workshop, &(WaterleafDocument){.document = asked, .first_label = dice % 3}, &document, &count) == WATERLEAF_FINE)
            render(&document, dice);
        memory_return_all(&memory);
    }
}

void fuzz_whole(const uint8_t *bytes, size_t length)
{
    static Workshop *workshop; /* opened once: what is left over from one script to the next is tried as well */
    if (workshop != NULL && workshop_clear(workshop) != WATERLEAF_FINE) { /* the last script passed a limit */
        workshop_close(workshop);
        workshop = NULL;
    }
    if (workshop == NULL)
        workshop = workshop_open(&(WorkshopWish){.memory_limit = (size_t)1 << 30, .day = JUDGED_ON});
    fuzz_must(workshop != NULL, "no workshop can be opened");
    if (workshop_read_text(workshop, "fuzzed.wleaf", (const char *)bytes, length) != WATERLEAF_FINE || workshop_check(workshop) != WATERLEAF_FINE)
        return;
    Seen seen = {.dice = fuzz_dice(bytes, length)};
    tell_messages(workshop);
    work_out(workshop, &seen);
    compare_and_explain(workshop, &seen);
    make_documents(workshop, seen.dice);
    tell_messages(workshop);
    memory_return_all(&seen.memory);
}
