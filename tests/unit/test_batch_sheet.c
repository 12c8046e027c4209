/* The batch sheet of a batch made up by hand: what must stand on it, in which
 * order, and all of it as text and HTML against tests/golden/documents.
 *
 * Runs from the root of the project. WATERLEAF_UPDATE=1 writes the golden files anew. */
#include "unit.h"

#include "base/text.h"
#include "documents/batch_sheet.h"
#include "render/html.h"
#include "render/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define TOLD(words) {.told = true, .shown = (words)}
#define NOT_TOLD {.told = false, .shown = "not told"}

static WeighLine weigh[] = {
    {.material = "flax", .class = "fibre", .is_fibre = true, .by_parcel = true, .share = TOLD("100 %"), .moisture = TOLD("10 %"),
     .dry_of_parcel = TOLD("9.000 kg"), .weigh_out_of_parcel = TOLD("10.00 kg"), .loads = 3, .weigh_out_of_load = TOLD("3.33 kg"),
     .heavier_loads = 1, .weigh_out_of_heavier = TOLD("3.34 kg")},
    {.material = "white <&> powder", .by_parcel = true, .share = TOLD("5 % on fibre"), .moisture = NOT_TOLD,
     .dry_of_parcel = TOLD("450.0 g"), .weigh_out_of_parcel = TOLD("451 g"), .weigh_out_of_load = NOT_TOLD},
    {.material = "glue", .by_parcel = false, .share = NOT_TOLD, .moisture = TOLD("12 %"), .dry_of_parcel = TOLD("100.0 g"),
     .weigh_out_of_parcel = TOLD("113.6 g"), .weigh_out_of_load = NOT_TOLD},
};

static const char *beat_tells[] = {"Beat flax in 2 loads.", "Stop when it drains at 42 °SR."};
static const char *form_tells[] = {"Form 20 sheets on the large mould."};
static const char *size_tells[] = {"Draw each sheet through the bath at 43 °C."};
static Reading beat_reads[] = {{.what = "drainage", .expected = "42 °SR"}, {.what = "pH"}};
static Reading form_reads[] = {{.what = "trial sheet", .expected = "122.3 to 127.3 g", .is_signed = true}};
static Caution roll = {"roll", "danger", "The roll takes what it catches.", "tight sleeves"};
static Caution floor_caution = {"floor", NULL, "Wet floors are slippery.", NULL};
static Caution general[] = {{"sheet-first", "caution", "These cautions are general.", NULL}};

static StepOutcome steps[] = {
    {.number = 1, .step = "beat", .role = "beating", .of_parcel = true, .tells = beat_tells, .tell_count = 2, .reads = beat_reads,
     .read_count = 2, .cautions = &roll, .caution_count = 1, .begins = 0, .ends = 1.3333333},
    {.number = 2, .step = "form", .role = "forming", .of_parcel = true, .tells = form_tells, .tell_count = 1, .reads = form_reads,
     .read_count = 1, .begins = 2, .ends = 12.5},
    {.number = 3, .step = "size", .role = "sizing", .of_parcel = false, .tells = size_tells, .tell_count = 1, .cautions = &floor_caution,
     .caution_count = 1, .begins = 12.5, .ends = 84.5},
    {.number = 4, .step = "rest", .role = "", .of_parcel = false, .begins = 84.5, .ends = 84.5},
};

static NamedQuantity figures[] = {
    {.name = "finished-grammage", .quantity = TOLD("300.0 g/m²")},
    {.name = "reserve", .quantity = {.told = true, .has_band = true, .shown = "0.607 mol/kg", .band_shown = "0.470 to 0.742"}},
    {.name = "untold", .quantity = NOT_TOLD},
    {.name = "none-of-it", .quantity = {.type = TYPE(TYPE_NUMBER, KIND_ONE), .told = true, .shown = "0.000000 g"}},
    {.name = "perhaps-some", .quantity = {.type = TYPE(TYPE_NUMBER, KIND_ONE), .told = true, .has_band = true, .high = 1, .shown = "0.0 g", .band_shown = "0.0 to 1.0"}},
    {.name = "weigh-out", .of = "flax", .set = "material", .quantity = TOLD("20.00 kg")},
};

static Fact facts[] = {{"mould", "large"}, {"grammage", "300 g/m², mean 5 %, sheets 10 %"}};
static ClaimOutcome claims[] = {{"acid-free", "made without acid (pH not tested)", NULL}};
static const char *accepted[] = {"cloudy: wanted for this line; signed the vat foreman, until 2027-12-31"};
static const char *notes[] = {"Watch the drip from the new deckle."};
static const char *replaced[] = {"replace reckon thickness as length = 5 mm"};
static const char *defaults[] = {"size, bath: 43 °C"};
static const char *by_practice[] = {"flax, moisture: common practice"};

static Outcome outcome_of(double parcels)
{
    return (Outcome){
        .paper = "demo", .title = "Demo {rough} 300 g/m²", .batch = "D-1", .mill = "dell", .start = "2027-03-01",
        .sheets_good = 30, .sheets_formed = 20 * parcels, .parcels = parcels, .sheets_of_parcel = 20, .sure = 0.9, .sure_is_practice = true,
        .figures = figures, .figure_count = sizeof figures / sizeof figures[0], .facts = facts, .fact_count = 2, .weigh = weigh, .weigh_count = 3, .steps = steps,
        .step_count = 4, .claims = claims, .claim_count = 1, .accepted = accepted, .accepted_count = 1, .notes = notes, .note_count = 1, .replaced = replaced, .replaced_count = 1,
        .defaults = defaults, .default_count = 1, .by_practice = by_practice, .practice_count = 1, .general = general, .general_count = 1};
}

typedef struct Made {
    Memory memory;
    Arena arena;
    Document document;
    Text text, html;
} Made;

static void make_in(Memory *memory, Made *made, double parcels)
{
    arena_open(&made->arena, memory);
    text_open(&made->text, memory);
    text_open(&made->html, memory);
    Outcome outcome = outcome_of(parcels);
    BatchSheet sheet = {.outcome = &outcome, .script = "demo.wleaf", .stdlib = "0123456789abcdef"};
    document_open(&made->document, &made->arena, "Batch sheet");
    batch_sheet_add(&made->document, &sheet);
    render_text(&made->text, &made->document);
    render_html(&made->html, &made->document, "a4");
}

static unsigned count_of(const char *text, const char *word)
{
    unsigned count = 0;
    for (const char *at = text; (at = strstr(at, word)) != NULL; at += strlen(word))
        count++;
    return count;
}

static bool is_golden(const char *name, const Text *text)
{
    char path[200];
    snprintf(path, sizeof path, "tests/golden/documents/%s", name);
    bool update = getenv("WATERLEAF_UPDATE") != NULL;
    FILE *file = fopen(path, update ? "wb" : "rb");
    if (file == NULL)
        return false;
    static char old[1 << 18];
    size_t length = update ? fwrite(text->at, 1, text->length, file) : fread(old, 1, sizeof old, file);
    bool same = fclose(file) == 0 && length == text->length && (update || memcmp(old, text->at, length) == 0);
    return same;
}

static void the_sheet_is_as_agreed(void **state)
{
    (void)state;
    Made made = {0};
    make_in(&made.memory, &made, 2);
    assert_true(is_golden("batch-sheet.txt", &made.text));
    assert_true(is_golden("batch-sheet.html", &made.html));
    memory_return_all(&made.memory);
}

/* WORDS stand in TEXT in this order. */
static void in_order(const char *text, const char *const *words, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *at = strstr(text, words[i]);
        if (at == NULL)
            fail_msg("not there, or not in its place: %s", words[i]);
        text = at + strlen(words[i]);
    }
}

static void all_stands_in_its_place(void **state)
{
    (void)state;
    static const char *const words[] = {
        "Batch sheet D-1: parcel 1 of 1", "Demo {rough} 300 g/m²", "dell", "2027-03-01", "30, with an assurance of 90 % (common practice",
        "20", "mould", "demo.wleaf", "0123456789abcdef", "CAUTION: These cautions are general.", "safety data sheet", "is no clearance of it",
        "Watch the drip", "What to weigh", "flax", "10.00 kg", "1 × 3.34 kg, 2 × 3.33 kg", "moisture found", "load 1 weighed", "load 3 weighed", "lot",
        "expiry", "by", "white <&> powder", "÷ (1 − moisture found)",
        "DANGER: The roll takes what it catches. WEAR: tight sleeves.", "[ ] 1. beat. Beat flax in 2 loads.", "1 h 20 min",
        "drainage, expected 42 °SR:", "pH:", "[ ] 2. form.", "10 h 30 min", "*** HOLD", "trial sheet, expected 122.3 to 127.3 g:", "signed",
        "Log of the vat", "\f", "Batch sheet D-1: after forming", "glue", "CAUTION: Wet floors", "[ ] 3. size.", "3 days", "[ ] 4. rest",
        "What came of it", "formed", "20", "retree", "allowed by", "signed", "Figures", "reserve", "0.607 mol/kg", "0.470 to 0.742",
        "Claims", "acid-free: made without acid (pH not tested)", "Accepted exceptions", "signed the vat foreman", "replace reckon thickness", "size, bath: 43 °C", "flax, moisture: common practice"};
    Made made = {0};
    make_in(&made.memory, &made, 1);
    in_order(made.text.at, words, sizeof words / sizeof words[0]);
    assert_null(strstr(made.text.at, "untold"));
    assert_null(strstr(made.text.at, "none-of-it"));
    assert_non_null(strstr(made.text.at, "perhaps-some"));
    assert_non_null(strstr(made.text.at, "Figures that come to nothing are left out."));
    assert_string_equal(made.document.root->text, "Batch sheet D-1: Demo {rough} 300 g/m²");
    memory_return_all(&made.memory);
}

/* What is weighed stays together on its page, and what came of it does: no row and no empty grid stands alone. */
static void tables_stay_together(void **state)
{
    (void)state;
    Made made = {0};
    make_in(&made.memory, &made, 1);
    assert_non_null(strstr(made.html.at, "<div class=\"scroll whole\" tabindex=\"0\" role=\"region\" aria-label=\"Materials to weigh\">"));
    assert_non_null(strstr(made.html.at, "<div class=\"keep\">\n<h2>What came of it</h2>"));
    assert_non_null(strstr(made.html.at, ".whole{break-inside:avoid}"));
    assert_non_null(strstr(made.html.at, "thead{display:table-header-group}tr{break-inside:avoid}tr:nth-last-child(-n+2){break-before:avoid}"));
    memory_return_all(&made.memory);
}

static void each_parcel_has_its_sheet(void **state)
{
    (void)state;
    Made made = {0};
    make_in(&made.memory, &made, 3);
    assert_int_equal(count_of(made.html.at, "<section "), 5);
    assert_int_equal(count_of(made.text.at, "[ ] 1. beat."), 3);
    assert_int_equal(count_of(made.text.at, "[ ] 3. size."), 1);
    assert_non_null(strstr(made.text.at, "parcel 3 of 3"));
    assert_non_null(strstr(made.text.at, "3, each of 20 sheets"));
    memory_return_all(&made.memory);
    Made many = {0};
    make_in(&many.memory, &many, 400);
    assert_int_equal(count_of(many.html.at, "<section "), 3); /* they are alike: one stands for all */
    assert_non_null(strstr(many.text.at, "parcel ___ of 400"));
    memory_return_all(&many.memory);
}

/* Headings go down by one level at most, as a screen reader needs them; and every page names its part. */
static void headings_are_in_order(void **state)
{
    (void)state;
    Made made = {0};
    make_in(&made.memory, &made, 2);
    unsigned level = 0, headings = 0;
    for (DocumentWalk walk = {.root = made.document.root}; document_next(&walk);) {
        bool heads = walk.entering && walk.node->level > 0;
        if (heads && walk.node->level > level + 1)
            fail_msg("level %u behind %u: %s", walk.node->level, level, walk.node->text);
        level = heads ? walk.node->level : level;
        headings += heads;
    }
    assert_true(headings > 10);
    assert_non_null(strstr(made.html.at, "@page part1{@bottom-left{content:\"D-1, parcel 1 of 2\""));
    assert_non_null(strstr(made.html.at, "counter(page) \" of \" counter(pages)"));
    memory_return_all(&made.memory);
}

/* What only some batches have is left out without a trace where it is not told. */
static void little_is_enough(void **state)
{
    (void)state;
    Made made = {0};
    arena_open(&made.arena, &made.memory);
    text_open(&made.text, &made.memory);
    Outcome outcome = {.paper = "p", .title = "P", .sheets_good = 1, .sheets_formed = 1, .parcels = 1, .sheets_of_parcel = 1, .sure = 0.995};
    BatchSheet sheet = {.outcome = &outcome, .script = "", .stdlib = "m"};
    document_open(&made.document, &made.arena, "Batch sheet");
    batch_sheet_add(&made.document, &sheet);
    render_text(&made.text, &made.document);
    assert_non_null(strstr(made.text.at, "without equipment"));
    assert_non_null(strstr(made.text.at, "99.5 %"));
    assert_null(strstr(made.text.at, "What to weigh"));
    assert_null(strstr(made.text.at, "Claims"));
    assert_null(strstr(made.text.at, "(null)"));
    memory_return_all(&made.memory);
}

static void work(Memory *memory)
{
    Made made;
    make_in(memory, &made, 1);
}

static void memory_may_fail(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(work) > 10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_sheet_is_as_agreed),    cmocka_unit_test(all_stands_in_its_place),
        cmocka_unit_test(tables_stay_together), cmocka_unit_test(each_parcel_has_its_sheet), cmocka_unit_test(headings_are_in_order),
        cmocka_unit_test(little_is_enough),          cmocka_unit_test(memory_may_fail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
