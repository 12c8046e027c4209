/* The fuzzer's way in: any bytes are read as a script, checked, and worked out;
 * nothing is written. `make fuzz` runs it; replay.c runs it over the corpus. */
#include "render/html.h"
#include "render/text.h"
#include "waterleaf.h"

#include <stdio.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static bool pass_over(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)with;
    (void)workshop;
    return outcome != NULL;
}

/* A batch sheet, and whatever documents the script declares itself. */
static void make_documents(Workshop *workshop)
{
    const World *world = workshop_world(workshop);
    for (uint32_t i = 1; i < world->plans.count; i++) {
        bool own = !sources_at(&world->sources, world->tree.nodes.at[world->plans.at[i].line].start)->library;
        const char *name = names_text(&world->names, world->plans.at[i].name);
        if (world->plans.at[i].section || (!own && strcmp(name, "batch-sheet") != 0))
            continue;
        char asked[200];
        snprintf(asked, sizeof asked, "%s", name);
        Memory memory = {0};
        Arena arena;
        Document document;
        Text text;
        uint32_t count;
        arena_open(&arena, &memory);
        text_open(&text, &memory);
        document_open(&document, &arena, "");
        if (workshop_document(workshop, &(WaterleafDocument){.document = asked}, &document, &count) == WATERLEAF_FINE) {
            render_text(&text, &document);
            render_html(&text, &document, "a4");
        }
        memory_return_all(&memory);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    static Workshop *workshop; /* opened once: what is left over from one script to the next is tried as well */
    if (workshop == NULL)
        workshop = workshop_open(&(WorkshopWish){.memory_limit = (size_t)1 << 30});
    bool fine = workshop != NULL && workshop_clear(workshop) == WATERLEAF_FINE &&
                workshop_read_text(workshop, "fuzzed.wleaf", (const char *)bytes, length) == WATERLEAF_FINE &&
                workshop_check(workshop) == WATERLEAF_FINE;
    if (fine) {
        workshop_work_out(workshop, NULL, 0, pass_over, NULL);
        make_documents(workshop);
    } else if (workshop != NULL) {
        workshop_close(workshop);
        workshop = NULL;
    }
    return 0;
}
