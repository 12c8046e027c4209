/* Documents as scripts declare them: the lines of which they are made, what a mill
 * leaves out and puts elsewhere, and that every amount of the model stands on them.
 *
 * Runs from the root of the project. WATERLEAF_UPDATE=1 writes the golden files anew. */
#include "unit.h"

#include "base/text.h"
#include "render/html.h"
#include "render/text.h"
#include "waterleaf.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Made {
    Memory memory;
    Arena arena;
    Document document;
    Workshop *workshop;
    WaterleafAnswer answer;
    uint32_t count;
    Text text, html;
} Made;

static void render(Made *made)
{
    render_text(&made->text, &made->document);
    render_html(&made->html, &made->document, "a4");
}

/* SCRIPT is a text, or where NAME is told a file; on the STDLIB in that folder. */
static void make_on(const char *stdlib, Made *made, const char *file, const char *script, const char *document, const char *name)
{
    *made = (Made){0};
    WorkshopWish wish = {.stdlib = stdlib};
    made->workshop = workshop_open(&wish);
    assert_non_null(made->workshop);
    arena_open(&made->arena, &made->memory);
    text_open(&made->text, &made->memory);
    text_open(&made->html, &made->memory);
    document_open(&made->document, &made->arena, document);
    WaterleafAnswer read = script == NULL ? workshop_read(made->workshop, file) : workshop_read_text(made->workshop, file, script, strlen(script));
    assert_int_equal(read, WATERLEAF_FINE);
    WaterleafDocument asked = {.document = document, .name = name};
    made->answer = workshop_document(made->workshop, &asked, &made->document, &made->count);
    render(made);
}

static void make(Made *made, const char *file, const char *script, const char *document, const char *name)
{
    make_on(NULL, made, file, script, document, name);
}

static void unmake(Made *made)
{
    workshop_close(made->workshop);
    memory_return_all(&made->memory);
}

/* ---- a paper of four lines, and documents of our own ---- */

#define PAPER PAPER_WITH("")
/* The same, claiming what the script declares. */
#define CLAIMING PAPER_WITH("  claims sheer\n")
#define PAPER_WITH(more) \
    "waterleaf 1\n" \
    "paper plain:\n  title \"Plain\"\n  mould imperial\n  grammage 100 g/m²\n" more \
    "  furnish:\n    cotton-linters 100 %\n  end\n" \
    "  procedure:\n    soak cotton-linters for 12 h\n    beat cotton-linters at 2.5 %, for 1 h, to 30 °SR\n    blend into chest\n    charge-vat to 1 %\n" \
    "    form into posts of 25, surplus to chest\n    press at 700 kPa, for 20 min\n    loft-dry for 3 d\n    sort keeping 75 %\n  end\nend\n" \
    "mill dell:\n  beater old of 200 L\n  chest of 900 L\n  vat of 300 L\n  press of 40 t, on 24 in by 32 in, opening 500 mm\n  loft of 200 sheets\n  felts 60\n" \
    "  deckle 40 mm\n  forms 20 sheets/h\n  post-moved on-rollers\n  extraction yes\nend\n" \
    "batch \"D-1\":\n  paper plain\n  mill dell\n  sheets 30, sure 90 %\nend\n"

static const char *text_of(Made *made) { return made->text.at == NULL ? "" : made->text.at; }

static void has(Made *made, const char *words)
{
    if (strstr(text_of(made), words) == NULL) {
        fail_msg("not there: %s\nin:\n%s\n%s", words, text_of(made), workshop_trouble(made->workshop));
    }
}

static void has_not(Made *made, const char *words)
{
    if (strstr(text_of(made), words) != NULL) {
        fail_msg("there, and should not be: %s\nin:\n%s", words, text_of(made));
    }
}

/* WORDS stand in the text in this order. */
static void in_order(Made *made, const char *const *words, size_t count)
{
    const char *text = text_of(made);
    for (size_t i = 0; i < count; i++) {
        const char *at = strstr(text, words[i]);
        if (at == NULL) {
            fail_msg("not there, or not in its place: %s\nin:\n%s", words[i], text_of(made));
        }
        text = at + strlen(words[i]);
    }
}

static void lines_become_what_they_say(void **state)
{
    (void)state;
    Made made;
    make(&made, "demo.wleaf", PAPER
         "let more = 3 sheets\n"
         "document slip:\n"
         "  title \"Slip {written-for}\"\n"
         "  page \"first page\", \"small\":\n"
         "    headline \"Head {page-name}\"\n"
         "    fact \"told\", \"{sheets-good as ratio}\"\n"
         "    fact \"not told\", mill.address\n"
         "    when more > 2 sheets:\n      text \"held\"\n    end\n"
         "    otherwise:\n      text \"not held\"\n    end\n"
         "    each n from numbers(more):\n      item \"item {n.number as ratio}\"\n    end\n"
         "    table \"Counted\", each n from numbers(2 sheets):\n"
         "      column \"done\", tick\n      column \"number\", \"no. {n.number as ratio}\", right\n      column \"empty\", mill.address\n      column \"by\"\n"
         "      blank \"below {n.number as ratio}\"\n    end\n"
         "    table \"Told\":\n      column \"what\", names-row\n      column \"value\", right\n      column \"seen\", blank\n"
         "      row \"one\", \"1\"\n      row \"none\", mill.address\n      row \"written\"\n    end\n"
         "    table \"Nothing\", each n from numbers(0 sheets):\n      column \"x\"\n    end\n"
         "    field \"drainage\", expecting 30..40 °SR\n    blank \"by\"\n    signature \"signed\"\n"
         "    tick \"Open the sluice\"\n    caution \"warning\", \"It is cold.\", \"boots\"\n"
         "    hold \"HOLD\", \"Wait.\":\n      signature \"seen\"\n    end\n"
         "    note \"Small words.\"\n"
         "    heading \"Bare\"\n"
         "    section empty:\n      heading \"Nothing under it\"\n      each n from numbers(0 sheets):\n        item \"never\"\n      end\n    end\n"
         "  end\nend\n", "slip", NULL);
    assert_int_equal(made.answer, WATERLEAF_FINE);
    assert_int_equal(made.count, 1);
    assert_string_equal(made.document.root->text, "Slip D-1");
    static const char *const words[] = {"Head first page", "told", "30", "held", "- item 1", "- item 2", "- item 3", "Counted", "done", "number", "by", "[ ]", "no. 1",
                                        "below 1 ____", "no. 2", "Told", "one", "1", "____", "written", "____", "drainage, expected 30 to 40 °SR: ____", "by ____", "signed: ____",
                                        "[ ]", "Open the sluice", "! WARNING: It is cold. WEAR: boots.", "HOLD", "Wait.", "seen: ____", "Small words.", "Bare"};
    in_order(&made, words, sizeof words / sizeof words[0]);
    static const char *const absent[] = {"not told", "not held", "empty", "none  ", "Nothing", "never", "(null)"};
    for (size_t i = 0; i < sizeof absent / sizeof absent[0]; i++) {
        has_not(&made, absent[i]);
    }
    unmake(&made);
}

#define SHEER "claim sheer:\n  needs 1 < 2, else \"never\"\n  wording \"Sheer paper\"\n  because \"of this test\"\n  practice\nend\n"

/* Every part of what documents are made of, with a field of our own on each that is the same for all. */
static void items_tell_their_parts(void **state)
{
    (void)state;
    Made made;
    make(&made, "demo.wleaf", CLAIMING SHEER
         "fields weighing-line:\n  has ours as text = \"ours of weighing\"\nend\n"
         "fields instruction:\n  has ours as text = \"ours of instructions\"\nend\n"
         "fields fact-line:\n  has ours as text = \"ours of facts\"\nend\n"
         "fields proof:\n  has ours as text = \"ours of proofs\"\nend\n"
         "fields figure-line:\n  has ours as text = \"ours of figures\"\nend\n"
         "fields standing-caution:\n  has ours as text = \"ours of cautions\"\n  has unsaid as text = none\nend\n"
         "fields told-line:\n  has ours as text = \"ours of lines\"\nend\n"
         "caution our-stairs:\n  says \"The stairs are wet.\"\n  marks on-every-sheet\nend\n"
         "caution our-silence:\n  says \"Hush.\"\n  signal none\n  marks on-every-sheet\nend\n"
         "reckon our-motto as text = \"a motto\"\n"
         "reckon our-balance as mass = (about 4 g, between 3 g..6 g) - 4 g   shown in g, 1 decimal\n"
         "reckon our-nothing as mass = 0 g\n"
         "document slip:\n  title \"Slip\"\n  page \"first\":\n"
         "    item \"names {batch-name}, {mill-name}, {paper-name}, {script-name}\"\n    item \"mark {stdlib-mark}\"\n    item \"start {starts-on}\"\n"
         "    each w from weighing:\n      item \"weighed {w.material} of {w.class}: {w.share}, {w.number}, {w.oven-dry} and {w.stored}: {w.weigh-out}, {w.how-often}\"\n"
         "      item w.ours\n      item \"in loads {w.by-load}\"\n    end\n"
         "    each s from instructions:\n      item \"step {s.number as ratio} {s.name} is {s.role}, {s.how-often}, {s.time}, from {s.begins in h} to {s.ends in h}\"\n"
         "      item s.ours\n    end\n"
         "    each f from facts:\n      item \"fact {f.name}: {f.text}\"\n      item f.ours\n    end\n"
         "    each p from proofs:\n      item \"proof {p.name}: {p.wording}, {p.because}\"\n      item p.ours\n    end\n"
         "    each g from figures:\n      item \"figure {g.name}: {g.worked-out}\"\n      item \"band of {g.name}: {g.low-to-high}\"\n      item g.ours\n    end\n"
         "    each c from standing-cautions:\n      item \"signal {c.signal}: {c.says}\"\n      item c.ours\n      item \"unsaid {c.unsaid}\"\n    end\n"
         "    each d from defaults:\n      item \"default {d.text}\"\n      item d.ours\n    end\n"
         "    item \"how {how-known(finished-grammage)} {worked-out(finished-grammage)}\"\n"
         "    item \"each {worked-out(dry-mass)}\"\n    item \"each {low-to-high(dry-mass)}\"\n    item \"method {method(finished-grammage)}\"\n"
         "  end\nend\n", "slip", NULL);
    assert_int_equal(made.answer, WATERLEAF_FINE);
    static const char *const words[] = {"names D-1, dell, plain, ", "mark ", "start ____", "weighed cotton-linters of fibre: 100 %, 100 %, ", "by-parcel", "ours of weighing", "in loads ____", "step 1 soak is soaking, ",
                                        "by-parcel, 12 h, from 0 h to 12 h", "ours of instructions", "fact ", "ours of facts", "proof sheer: Sheer paper, of this test", "ours of proofs",
                                        "figure ", "ours of figures", "figure our-motto: a motto", "figure our-balance: 0 g", "band of our-balance: -1.0 to 2.0", "signal caution: The stairs are wet.", "signal caution: Hush.",
                                        "ours of cautions", "default ", "ours of lines", "how designed 100", "each ____", "each ____", "method ____"};
    in_order(&made, words, sizeof words / sizeof words[0]);
    static const char *const absent[] = {"our-nothing: ", "(null)"};
    for (size_t i = 0; i < sizeof absent / sizeof absent[0]; i++) {
        has_not(&made, absent[i]);
    }
    unmake(&made);
}

/* On no stdlib a time is in seconds, as no unit is a day; and what is only used is a share of nothing. */
static void items_stand_alone(void **state)
{
    (void)state;
    Made made;
    make_on("tests/unit/bare", &made, "alone.wleaf",
            "waterleaf 1\nkind mass shown in kg\nkind length shown in m\nkind count shown in sheets\nkind time shown in s\n"
            "unit kg of mass\nunit m of length\nunit sheets of count\nunit s of time\n"
            "fields content:\n  has material as material\n  has mass as mass\nend\n"
            "fields material:\n  has class one-of fibre, other = other\nend\nfields stream:\nend\n"
            "fields stuff within stream:\n  gives dry as mass = sum(m.mass, each m from contents)\nend\n"
            "fields sheet:\nend\nfields mould:\nend\nfields mill:\nend\nfields paper:\n  has title as text\nend\n"
            "fields weighing-line:\n  has material as text\n  has number as time\nend\n"
            "fields instruction:\n  has name as text\n  has begins as time\nend\n"
            "step join:\n  joins streams into stuff\n  waits for 1800 s\nend\n"
            "step drain:\n  takes what as material\n  uses what, 1 kg\nend\nstep form:\n  makes sheet from stuff, of 2 kg\nend\n"
            "material pulp:\n  class fibre\nend\nmaterial paste:\nend\n"
            "paper plain:\n  title \"Plain\"\n  furnish:\n    pulp 100 %\n  end\n  procedure:\n    join\n    drain paste\n    form\n  end\nend\n"
            "batch \"P\":\n  paper plain\n  sheets 10 sheets\nend\n"
            "document slip:\n  title \"Slip\"\n  page \"first\":\n"
            "    each w from weighing:\n      item \"weighed {w.material}, {w.number}\"\n    end\n"
            "    each s from instructions:\n      item \"step {s.name} from {s.begins}\"\n    end\n  end\nend\n", "slip", NULL);
    assert_int_equal(made.answer, WATERLEAF_FINE);
    static const char *const words[] = {"weighed pulp, 1 s", "weighed paste, ____", "step join from 0 s", "step drain from 1800 s", "step form from 1800 s"};
    in_order(&made, words, sizeof words / sizeof words[0]);
    unmake(&made);
}

static void a_mill_changes_documents(void **state)
{
    (void)state;
    Made made;
    make(&made, "demo.wleaf", PAPER
         "document batch-sheet from stdlib:\n  leave-out figures\n  put ours before head\n  put rests-on after rests-head\n  put last after ours-too\nend\n"
         "section ours:\n  text \"Ours, before the head.\"\nend\nsection last:\n  text \"x\"\nend\n", "batch-sheet", NULL);
    assert_int_equal(workshop_messages(made.workshop)->errors, 1); /* ours-too is nowhere */
    unmake(&made);
    make(&made, "demo.wleaf", PAPER
         "document batch-sheet from stdlib:\n  leave-out figures\n  put ours before head\n  put also-ours before head\n  put rests-on after rests-head\nend\n"
         "section ours:\n  text \"Ours, before the head.\"\nend\nsection also-ours:\n  text \"Also ours.\"\nend\n", "batch-sheet", NULL);
    assert_int_equal(made.answer, WATERLEAF_FINE);
    static const char *const words[] = {"Ours, before the head.", "Also ours.", "Batch sheet D-1, parcel 1 of 1", "Ours, before the head.", "Batch sheet D-1, after forming",
                                        "Batch sheet D-1, what it rests on", "Taken from stdlib", "Common practice", "Changed from stdlib by the script", "leave-out figures",
                                        "put ours before head"};
    in_order(&made, words, sizeof words / sizeof words[0]);
    has_not(&made, "Figures of the paper");
    assert_null(strstr(strstr(text_of(&made), "Taken from stdlib") + 4, "Taken from stdlib")); /* moved, and not doubled */
    unmake(&made);
}

static void each_parcel_has_its_page(void **state)
{
    (void)state;
    Made made;
    make(&made, "demo.wleaf", PAPER "replace material chalk:\n  moisture 1 %\nend\n", "batch-sheet", NULL);
    has(&made, "parcel 1 of 1");
    has_not(&made, "Log of the vat\n--------------\nA trial sheet before the run and every hour.\n\n\n\n");
    unmake(&made);
    make(&made, "demo.wleaf", PAPER, "batch-sheet", "plain");
    has(&made, "Plain, parcel 1 of 1");
    unmake(&made);
}

static unsigned count_of(const char *text, const char *word)
{
    unsigned count = 0;
    for (const char *at = text; (at = strstr(at, word)) != NULL; at += strlen(word)) {
        count++;
    }
    return count;
}

/* What was counted is packed; each pack has its label, and the last holds the rest. */
static void labels_are_counted(void **state)
{
    (void)state;
    Made made;
    make(&made, "examples/botanical.wleaf", NULL, "labels", "BR-047");
    assert_int_equal(made.answer, WATERLEAF_FINE);
    unsigned packs = count_of(text_of(&made), "sheets, pack ");
    assert_true(packs >= 1);
    unmake(&made);
    make(&made, "demo.wleaf", PAPER "batch \"D-2\":\n  paper plain\n  mill dell\n  sheets 30, sure 90 %\n  good 57 sheets\n  retree 9 sheets\n  packed 2027-05-01\nend\n"
         "", "labels", "D-2");
    assert_int_equal(count_of(text_of(&made), "57 sheets, pack 1 of 1"), 1);
    assert_int_equal(count_of(text_of(&made), "9 sheets with one small fault each"), 1);
    has(&made, "2027-05-01");
    unmake(&made);
    static const char paper[] = PAPER;
    char packed[sizeof paper + 400];
    const char *at = strstr(paper, "  grammage");
    snprintf(packed, sizeof packed, "%.*s  pack 1 quires-25\n%sbatch \"D-2\":\n  paper plain\n  mill dell\n  sheets 30, sure 90 %%\n  good 57 sheets\nend\n", (int)(at - paper), paper, at);
    make(&made, "demo.wleaf", packed, "labels", "D-2");
    assert_int_equal(count_of(text_of(&made), "25 sheets, pack"), 2);
    assert_int_equal(count_of(text_of(&made), "7 sheets, pack 3 of 3"), 1);
    unmake(&made);
}

/* A caution that is marked so stands on every page that is worked from, whatever is done there; and a chemical of which nobody has
 * a sheet is told of, where there is no mill that could be asked for its record. */
static void cautions_that_stand_on_every_sheet(void **state)
{
    (void)state;
    Made made;
    make(&made, "demo.wleaf", PAPER "caution our-stairs:\n  says \"The stairs are wet.\"\n  marks on-every-sheet\nend\n"
         "caution our-attic:\n  says \"The attic is low.\"\nend\n", "batch-sheet", NULL);
    assert_int_equal(made.answer, WATERLEAF_FINE);
    assert_int_equal(count_of(text_of(&made), "The stairs are wet."), 2); /* the parcel's page, and the one after forming */
    assert_int_equal(count_of(text_of(&made), "! CAUTION: The cautions on this sheet are general"), 2);
    has_not(&made, "The attic is low.");
    has_not(&made, "No safety data sheet is on record");
    unmake(&made);
    make(&made, "demo.wleaf", "waterleaf 1\npaper plain:\n  title \"Plain\"\n  mould imperial\n  grammage 100 g/m²\n"
         "  furnish:\n    flax 100 %\n  end\n"
         "  procedure:\n    cook flax with soda-ash, at 18 % on fibre, for 2 h\n    wash flax\n    beat flax at 2.5 %, for 1 h, to 30 °SR\n    blend\n    charge-vat to 1 %\n"
         "    form into posts of 25, surplus to chest\n    press at 700 kPa, for 20 min\n    loft-dry for 3 d\n  end\nend\n"
         "batch \"D-1\":\n  paper plain\n  sheets 30, sure 90 %\nend\n", "batch-sheet", NULL);
    has(&made, "! WARNING: soda-ash: No safety data sheet is on record");
    unmake(&made);
}

/* How a sheet was sized is told as it was done. */
static void labels_tell_how_it_was_sized(void **state)
{
    (void)state;
    static const struct { const char *line, *tells; } sized[] = {
        {"    tub-size with gelatine, at 4 % w/v dry, 43 °C, taking-up 60 % of sheet-as-it-is\n    loft-dry for 3 d\n", "in the tub, with gelatine"},
        {"    brush-size with methyl-cellulose, at 2 % w/v dry, taking-up 60 g/m²\n    loft-dry for 3 d\n", "by brush, with methyl-cellulose"},
    };
    static const char paper[] = PAPER;
    for (size_t i = 0; i < sizeof sized / sizeof sized[0]; i++) {
        char script[sizeof paper + 400];
        const char *at = strstr(paper, "    sort keeping");
        snprintf(script, sizeof script, "%.*s%s%s", (int)(at - paper), paper, sized[i].line, at);
        for (int j = 0; j < 2; j++) {
            Made made;
            make(&made, "demo.wleaf", script, j == 0 ? "labels" : "spec-sheet", "D-1");
            has(&made, sized[i].tells);
            has_not(&made, i == 0 ? "by brush" : "in the tub, with");
            unmake(&made);
        }
    }
}

/* A point stands above the number of its parcel, as above a number that is counted; of other things above their place among those shown. There
 * are eight parcels, of six sheets. */
static void points_stand_above_their_numbers(void **state)
{
    (void)state;
    static const char *const courses[] = {"(p.number as ratio), each p from parcels when p.number > 2 sheets",
                                          "(p.number as ratio), each p from numbers(8 sheets) when p.number > 2 sheets",
                                          "m.opening.length, each m from all(mould) when m is a2 or m is a3 or m is a4"};
    Made made[3];
    for (size_t i = 0; i < 3; i++) {
        char script[4096];
        snprintf(script, sizeof script, "%sdocument slip:\n  picture curves, \"Points\", \"Where they stand.\":\n    course \"one\", %s\n  end\nend\n",
                 PAPER "mill glen:\n  beater old of 200 L\n  chest of 900 L\n  vat of 300 L\n  parcel 6 sheets\nend\n"
                 "batch \"G-1\":\n  paper plain\n  mill glen\n  sheets 30, sure 90 %\nend\n", courses[i]);
        make(&made[i], "demo.wleaf", script, "slip", "G-1");
        assert_int_equal(made[i].answer, WATERLEAF_FINE);
        assert_non_null(strstr(made[i].html.at, "<svg"));
    }
    assert_string_equal(made[0].html.at, made[1].html.at);
    assert_non_null(strstr(made[0].html.at, ">8</text>"));
    assert_non_null(strstr(made[2].html.at, ">3</text>"));
    for (size_t i = 0; i < 3; i++)
        unmake(&made[i]);
}

/* Measured and designed stand apart, and a method stands only beside what was measured. */
static void measured_stands_apart(void **state)
{
    (void)state;
    Made made;
    make(&made, "demo.wleaf", PAPER "batch \"D-2\":\n  paper plain\n  mill dell\n  sheets 30, sure 90 %\n"
         "  measured finished-grammage, [98, 101, 104] g/m², to \"ISO 536, at 23 °C and 50 %\"\n  measured thickness, 210 µm, to \"ISO 534\"\nend\n", "spec-sheet", "D-2");
    assert_int_equal(workshop_messages(made.workshop)->errors, 0);
    has(&made, "101 g/m², mean");
    has(&made, "210 µm, one");
    has(&made, "ISO 536");
    has(&made, "ISO 534");
    unmake(&made);
    make(&made, "demo.wleaf", PAPER "batch \"D-2\":\n  paper plain\n  mill dell\n  sheets 30, sure 90 %\n"
         "  measured thickness, 210 µm, to \"ISO 534\"\nend\n"
         "document slip:\n  item \"thickness is {how-known(thickness)}, grammage {how-known(finished-grammage)}\"\nend\n", "slip", "D-2");
    has(&made, "thickness is measured, grammage designed");
    unmake(&made);
    make(&made, "demo.wleaf", PAPER, "spec-sheet", "D-1");
    has_not(&made, "ISO 536");
    has_not(&made, "mean of");
    unmake(&made);
}

/* ---- every amount of the model ---- */

typedef struct Looking { const char *text; const char *file; unsigned seen; } Looking;

/* TEXT without blanks and line ends, as its words may be set over several lines. */
static char *squeezed(const char *text)
{
    char *out = malloc(strlen(text) + 1), *at = out;
    for (; *text != 0; text++) {
        if (strncmp(text, "\xC2\xA0", 2) == 0) {
            text++;
        } else if (*text != ' ' && *text != '\n' && *text != '\t') {
            *at++ = *text;
        }
    }
    *at = 0;
    return out;
}

static void look_for(Looking *looking, const char *words)
{
    char *wanted = squeezed(words);
    if (strstr(looking->text, wanted) == NULL) {
        fail_msg("%s: not on the sheet: %s", looking->file, words);
    }
    free(wanted);
    looking->seen++;
}

static bool look(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Looking *looking = with;
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        look_for(looking, outcome->weigh[i].material);
        look_for(looking, outcome->weigh[i].weigh_out_of_parcel.shown);
        if (outcome->weigh[i].loads > 1) {
            look_for(looking, outcome->weigh[i].weigh_out_of_load.shown);
        }
    }
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        const StepOutcome *step = &outcome->steps[i];
        for (uint32_t j = 0; j < step->tell_count; j++) {
            look_for(looking, step->tells[j]);
        }
        for (uint32_t j = 0; j < step->caution_count; j++) {
            look_for(looking, step->cautions[j].says);
        }
        for (uint32_t j = 0; j < step->read_count; j++) {
            look_for(looking, step->reads[j].what);
            look_for(looking, step->reads[j].expected == NULL ? "" : step->reads[j].expected);
        }
    }
    for (uint32_t i = 0; i < outcome->accepted_count; i++) {
        look_for(looking, outcome->accepted[i]);
    }
    return true;
}

/* HTML without its tags and with its signs. */
static char *words_of_html(const char *html)
{
    static const char *const signs[][2] = {{"&amp;", "&"}, {"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}};
    char *out = malloc(strlen(html) + 1), *at = out;
    for (bool tag = false; *html != 0; html++) {
        if (*html == '<' || *html == '>') {
            tag = *html == '<';
            continue;
        }
        for (size_t i = 0; !tag && i < 4; i++) {
            if (strncmp(html, signs[i][0], strlen(signs[i][0])) == 0) {
                html += strlen(signs[i][0]) - 1;
                *at++ = signs[i][1][0];
                tag = true;
            }
        }
        if (!tag) {
            *at++ = *html;
        } else if (*html == ';') {
            tag = false;
        }
    }
    *at = 0;
    return out;
}

static void every_amount_is_on_the_sheet(void **state)
{
    (void)state;
    static const char *const examples[] = {"examples/botanical.wleaf", "examples/binders-laid.wleaf", "examples/heath.wleaf", "examples/kozo-tissue.wleaf",
                                           "examples/printing.wleaf", "examples/first.wleaf"};
    for (size_t i = 0; i < sizeof examples / sizeof examples[0]; i++) {
        Made made;
        make(&made, examples[i], NULL, "batch-sheet", NULL);
        assert_int_equal(made.answer, WATERLEAF_FINE);
        char *words = words_of_html(made.html.at), *in_html = squeezed(words), *in_text = squeezed(text_of(&made));
        Looking text = {in_text, examples[i], 0}, html = {in_html, examples[i], 0};
        assert_int_equal(workshop_work_out(made.workshop, NULL, 0, look, &html), WATERLEAF_FINE);
        assert_int_equal(workshop_work_out(made.workshop, NULL, 0, look, &text), WATERLEAF_FINE);
        assert_true(text.seen > 40 && html.seen == text.seen);
        free(words);
        free(in_html);
        free(in_text);
        unmake(&made);
    }
}

/* ---- as agreed ---- */

/* stdlib's mark changes with every word of it. */
static void hide_mark(Text *text, const char *mark)
{
    for (char *at = text->at; (at = strstr(at, mark)) != NULL; at += strlen(mark)) {
        memcpy(at, "MARK-OF-A-STDLIB", 16);
    }
}

static bool is_golden(const char *name, Text *text, const char *mark)
{
    char path[200];
    snprintf(path, sizeof path, "tests/golden/documents/%s", name);
    hide_mark(text, mark);
    bool update = getenv("WATERLEAF_UPDATE") != NULL;
    FILE *file = fopen(path, update ? "wb" : "rb");
    if (file == NULL) {
        return false;
    }
    static char old[1 << 19];
    size_t length = update ? fwrite(text->at, 1, text->length, file) : fread(old, 1, sizeof old, file);
    return fclose(file) == 0 && length == text->length && (update || memcmp(old, text->at, length) == 0);
}

static void documents_are_as_agreed(void **state)
{
    (void)state;
    static const char *const documents[] = {"batch-sheet", "labels", "spec-sheet", "chemical-labels"};
    for (size_t i = 0; i < 4; i++) {
        Made made;
        char name[80];
        make(&made, "examples/botanical.wleaf", NULL, documents[i], "BR-047");
        snprintf(name, sizeof name, "%s.txt", documents[i]);
        assert_true(is_golden(name, &made.text, workshop_stdlib_mark(made.workshop)));
        snprintf(name, sizeof name, "%s.html", documents[i]);
        assert_true(is_golden(name, &made.html, workshop_stdlib_mark(made.workshop)));
        unmake(&made);
    }
}

/* Headings go down by one level at most, as a screen reader needs them. */
static void headings_are_in_order(void **state)
{
    (void)state;
    Made made;
    make(&made, "examples/binders-laid.wleaf", NULL, "batch-sheet", NULL);
    unsigned level = 0, headings = 0;
    for (DocumentWalk walk = {.root = made.document.root}; document_next(&walk);) {
        bool heads = walk.entering && walk.node->level > 0;
        if (heads && walk.node->level > level + 1) {
            fail_msg("level %u behind %u: %s", walk.node->level, level, walk.node->text);
        }
        level = heads ? walk.node->level : level;
        headings += heads;
    }
    assert_true(headings > 10);
    unmake(&made);
}

/* ---- what cannot be made ---- */

static void troubles_are_said(void **state)
{
    (void)state;
    static const struct { const char *script, *document, *says; } troubles[] = {
        {PAPER, "batch-shet", "Did you mean batch-sheet?"},
        {PAPER, "ticket", "There are: "},
        {PAPER "document slip:\n  section one\nend\nsection one:\n  section two\nend\nsection two:\n  text \"a\"\n  section one\nend\n", "slip", "stands within itself"},
        {CLAIMING SHEER "document slip:\n  each c from claims:\n    steps each s from instructions:\n      blank \"by\"\n    end\n  end\nend\n", "slip",
         "lacks its line readings"},
        {PAPER "document slip:\n  each c from all(mould):\n    steps each s from instructions:\n      blank \"by\"\n    end\n  end\nend\n", "slip", "lacks its line readings"},
        {PAPER "document slip:\n  steps each s from instructions:\n    blank \"by\"\n  end\nend\n", "slip", "lacks its line readings"},
        {PAPER "label-stock wide:\n  page 100 mm by 50 mm\n  columns 2 times\n  label 60 mm by 40 mm\nend\ndocument slip:\n  labels on wide:\n    label \"a\":\n      text \"b\"\n    end\n  end\nend\n",
         "slip", "do not lie on its sheet"},
        {PAPER "document slip:\n  mark \"no-such.svg\", \"a mark\"\nend\n", "slip", "cannot be printed"},
        {PAPER "document slip:\n  mark \"../../../../../../etc/passwd.png\", \"a mark\"\nend\n", "slip", "cannot be printed"},
        {PAPER "document slip:\n  mark \"mark.gif\", \"a mark\"\nend\n", "slip", "ends in .svg or .png"},
    };
    for (size_t i = 0; i < sizeof troubles / sizeof troubles[0]; i++) {
        Made made;
        make(&made, "demo.wleaf", troubles[i].script, troubles[i].document, NULL);
        if (made.answer == WATERLEAF_FINE || strstr(workshop_trouble(made.workshop), troubles[i].says) == NULL) {
            fail_msg("%s: says %s", troubles[i].says, workshop_trouble(made.workshop));
        }
        unmake(&made);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_become_what_they_say), cmocka_unit_test(items_tell_their_parts), cmocka_unit_test(items_stand_alone), cmocka_unit_test(a_mill_changes_documents), cmocka_unit_test(each_parcel_has_its_page),
        cmocka_unit_test(labels_are_counted), cmocka_unit_test(cautions_that_stand_on_every_sheet), cmocka_unit_test(labels_tell_how_it_was_sized),
        cmocka_unit_test(points_stand_above_their_numbers),
        cmocka_unit_test(measured_stands_apart), cmocka_unit_test(every_amount_is_on_the_sheet),
        cmocka_unit_test(documents_are_as_agreed), cmocka_unit_test(headings_are_in_order), cmocka_unit_test(troubles_are_said)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
