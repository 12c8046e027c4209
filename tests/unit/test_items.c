/* What documents are made of, item for item and part for part, at the edges: one load and several, times of all lengths, figures with few and many
 * decimals, what a batch tells and what it does not. Worked by hand: ten sheets of a square metre hold 100 g of fibre each. */
#include "unit.h"

#include "base/text.h"
#include "render/text.h"
#include "waterleaf.h"

#include <string.h>

static const char script[] =
    "waterleaf 1\n"
    "material rag-one:\n  class fibre\n  moisture 0 %\n  shrink 0 %\nend\n"
    "material rag-two:\n  class fibre\n  moisture 0 %\n  shrink 0 %\nend\n"
    "material rag-three:\n  class fibre\n  moisture 0 %\n  shrink 0 %\nend\n"
    "material rag-four:\n  class fibre\n  moisture 0 %\n  shrink 0 %\nend\n"
    "material stain:\n  class other\n  moisture 0 %\n  retention 0 %   practice\nend\n"
    "replace material gelatine:\n  moisture 11 %\nend\n"
    "mould square:\n  opening 1 m by 1 m\nend\n"
    "mill here:\n  scale fine up to 10 kg, showing 1 g\n  post-moved on-rollers\nend\n"
    "fields stream:\n  marks turned\nend\n"
    "step turn:\n  role beating\n  takes what as stream\n  takes over number as ratio\n  sets what is turned\n  gives loads as count = number * 1 times\nend\n"
    "step wait-so:\n  takes for long as duration\n  waits for long\nend\n"
    "step dose:\n  role dosing\n  takes with agent as material\n  takes of part as dose\n  adds agent to stuff, part\nend\n"
    "step make-all:\n  role forming\n  takes over room as length = 2 m   memory\n  makes sheet from stuff, of fibre-per-sheet\n"
    "  sets sheet.length = mould.opening.length\n  sets sheet.width = mould.opening.width\n  sets sheet.moisture = (0 % as moisture)\n"
    "  sets sheet.as-formed = sheet.dry\nend\n"
    "rule our-slow:\n  require 1 > 2, severity warning\n  says \"It is slow.\"\nend\n"
    "claim sheer:\n  needs 1 < 2, else \"never\"\n  wording \"Sheer paper\"\n  because \"of this test\"\n  practice\nend\n"
    "reckon our-plain as mass = 0.123456 kg   shown in g, 4 decimals\n"
    "reckon our-wide as mass = about 123.4567 g, between 100 g..150 g   shown in g, 3 decimals\n"
    "reckon our-fine as mass = about 1.25 g, between 1 g..2 g   shown in g, 2 decimals\n"
    "reckon our-whole as mass = about 5 g, between 3 g..9 g   shown in g, 0 decimals\n"
    "reckon our-balance as mass = (about 7 g, between 6 g..207 g) - 7 g   shown in g, 3 decimals\n"
    "reckon our-debt as mass = 7 g - (about 7 g, between 6 g..207 g)   shown in g, 3 decimals\n"
    "reckon our-one as ratio = 1\n"
    "reckon our-nothing as mass = 0 g\n"
    "reckon our-motto as text = \"a motto\"\n"
    "reckon our-day as date = 2027-03-01 + (about 3 d, between 1 d..40 d)\n"
    "reckon our-silence as text = none\n"
    "paper plain:\n  title \"Plain\"\n  mould square\n  grammage 100 g/m²\n  moisture 0 %\n  claims sheer\n"
    "  accept our-slow, because \"it may be\", signed \"the foreman\", until 2099-12-31\n"
    "  furnish:\n    rag-one 25 %\n    rag-two 30 %\n    rag-three 20 %\n    rag-four 25 %\n  end\n  procedure:\n"
    "    turn rag-one, over 3\n    turn rag-two, over 2\n    turn rag-three, over 1\n    blend\n"
    "    wait-so for 40 min\n    wait-so for 1 h\n    wait-so for 12.5 h\n    wait-so for 48 h\n    wait-so for 72 h\n    wait-so for 0 h\n"
    "    dose with stain, of 10 % on fibre\n    make-all\n  end\nend\n"
    "batch \"B-1\":\n  paper plain\n  mill here\n  sheets 10, sure 97.5 %\n  start 2027-03-01\n  packed 2027-05-02\n  good 8 sheets\n  note \"A note.\"\n"
    "  measured finished-grammage, [98, 101, 104] g/m², to \"our book\"\n  measured thickness, 210 µm, to \"our other book\"\nend\n"
    "batch \"B-2\":\n  paper plain\n  mill here\n  sheets 10\n  retree 3 sheets\nend\n"
    "document slip:\n  title \"Slip\"\n  page \"first\":\n"
    "    item \"{written-for}, {batch-name}, {mill-name}, {paper-name}, {script-name}, {page-name}, {assurance}; {starts-on}; {packed-on}; {good-counted}; {retree-counted}.\"\n"
    "    each w from weighing:\n      item \"w {w.material}, {w.class}, {w.share}, {w.number}, {w.oven-dry}, {w.stored}, {w.weigh-out}, {w.by-load}, {w.loads}, {w.how-often}.\"\n    end\n"
    "    each s from instructions:\n      item \"s {s.number as ratio} {s.name}, {s.role}, {s.time}, {s.begins in h}, {s.ends in h}, {s.how-often}.\"\n    end\n"
    "    each p from proofs:\n      item \"p {p.name}, {p.wording}, {p.because}.\"\n    end\n"
    "    each g from figures when mentions(g.name, \"our\"):\n      item \"g {g.name}: {g.worked-out}; {g.low-to-high}.\"\n    end\n"
    "    each l from acceptances:\n      item \"accepted {l.text}\"\n    end\n"
    "    each l from notes:\n      item \"note {l.text}\"\n    end\n"
    "    each l from replacements:\n      item \"replaced {l.text}\"\n    end\n"
    "    each l from defaults:\n      item \"default {l.text}\"\n    end\n"
    "    each l from unsourced:\n      item \"unsourced {l.text}\"\n    end\n"
    "    item \"of {worked-out(our-plain)}, {worked-out(our-wide)}, {low-to-high(our-wide)}, {worked-out(our-one)}, {worked-out(our-nothing)}, {low-to-high(our-one)}.\"\n"
    "    item \"{how-known(finished-grammage)} {readings-of(finished-grammage)}, {method(finished-grammage)}; {how-known(thickness)} {method(thickness)}; {how-known(our-one)} {readings-of(our-one)} {method(our-one)}.\"\n"
    "  end\nend\n";

static void make_of(const char *stdlib, const char *own, const char *name, Memory *memory, Text *text)
{
    Arena arena;
    Document document;
    uint32_t count;
    arena_open(&arena, memory);
    text_open(text, memory);
    document_open(&document, &arena, "slip");
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = stdlib});
    assert_non_null(workshop);
    assert_int_equal(workshop_read_text(workshop, "items.wleaf", own, strlen(own)), WATERLEAF_FINE);
    WaterleafAnswer answer = workshop_document(workshop, &(WaterleafDocument){.document = "slip", .name = name}, &document, &count);
    for (uint32_t i = 0; i < workshop_messages(workshop)->list.count; i++) {
        print_message("%s %s\n", workshop_messages(workshop)->list.at[i].name, workshop_messages(workshop)->list.at[i].says);
    }
    assert_int_equal(answer, WATERLEAF_FINE);
    render_text(text, &document);
    workshop_close(workshop);
}

static void make(const char *name, Memory *memory, Text *text)
{
    make_of(NULL, script, name, memory, text);
}

/* 250 g in three loads are 83 g each and a gram that one of them takes; the first figure of 123.4567 g is known to four digits at most. */
static const char first[] =
    "================================================================================================\n"
    "- B-1, B-1, here, plain, items.wleaf, first, 97.5 %; 2027-03-01; 2027-05-02; 8 sheets; ____.\n"
    "- w rag-one, fibre, 25 %, 25 %, 250 g, 0 %, 250 g, 1 × 84 g, 2 × 83 g, 3 sheets, by-parcel.\n"
    "- w rag-two, fibre, 30 %, 30 %, 300 g, 0 %, 300 g, 2 × 150 g, 2 sheets, by-parcel.\n"
    "- w rag-three, fibre, 20 %, 20 %, 200 g, 0 %, 200 g, ____, 1 sheets, by-parcel.\n"
    "- w rag-four, fibre, 25 %, 25 %, 250 g, 0 %, 250 g, ____, ____, by-parcel.\n"
    "- w stain, other, 10 % on fibre, ____, 100 g, 0 %, 100 g, ____, ____, by-parcel.\n"
    "- s 1 turn, beating, ____, 0 h, 0 h, by-parcel.\n"
    "- s 2 turn, beating, ____, 0 h, 0 h, by-parcel.\n"
    "- s 3 turn, beating, ____, 0 h, 0 h, by-parcel.\n"
    "- s 4 blend, blending, ____, 0 h, 0 h, by-parcel.\n"
    "- s 5 wait-so, ____, 40 min, 0 h, 0.6667 h, by-parcel.\n"
    "- s 6 wait-so, ____, 1 h, 0.6667 h, 1.667 h, by-parcel.\n"
    "- s 7 wait-so, ____, 12 h 30 min, 1.667 h, 14.17 h, by-parcel.\n"
    "- s 8 wait-so, ____, 2 days, 14.17 h, 62.17 h, by-parcel.\n"
    "- s 9 wait-so, ____, 3 days, 62.17 h, 134.2 h, by-parcel.\n"
    "- s 10 wait-so, ____, ____, 134.2 h, 134.2 h, by-parcel.\n"
    "- s 11 dose, dosing, ____, 134.2 h, 134.2 h, by-parcel.\n"
    "- s 12 make-all, forming, ____, 134.2 h, 134.2 h, by-parcel.\n"
    "- p sheer, Sheer paper, of this test.\n"
    "- g our-plain: 123.4560 g; ____.\n"
    "- g our-wide: 123.5 g; 100.0 to 150.0.\n"
    "- g our-fine: 1.25 g; 1.00 to 2.00.\n"
    "- g our-whole: 5 g; 3 to 9.\n"
    "- g our-balance: 0 g; -1.0 to 200.0.\n"
    "- g our-debt: 0 g; -200.0 to 1.0.\n"
    "- g our-one: 1; ____.\n"
    "- g our-motto: a motto; ____.\n"
    "- g our-day: 2027-03-04; 2027-03-02 to 2027-04-10.\n"
    "- accepted our-slow: it may be; signed the foreman, until 2099-12-31\n"
    "- note A note.\n"
    "- replaced moisture 11 %\n"
    "- default make-all, room: 2 m\n"
    "- unsourced make-all, room: from memory\n"
    "- unsourced stain, retention: common practice\n"
    "- of 123.4560 g, 123.5 g, 100.0 to 150.0, 1, 0 g, ____.\n"
    "- measured 101 g/m², mean of 3, from 98 g/m² to 104 g/m², our book; measured our other book;\n"
    "  designed ____ ____.\n";

static void a_batch_tells_its_items(void **state)
{
    (void)state;
    Memory memory = {0};
    Text text;
    make("B-1", &memory, &text);
    assert_string_equal(text.at, first);
    memory_return_all(&memory);
}

static void what_a_batch_does_not_tell_is_left_open(void **state)
{
    (void)state;
    static const char *const others[][2] = {
        {"B-2", "- B-2, B-2, here, plain, items.wleaf, first, 90 % (common practice: nobody told it); ____; ____;\n  ____; 3 sheets.\n"},
        {"plain", "- Plain, ____, here, plain, items.wleaf, first, 90 % (common practice: nobody told it); ____;\n  ____; ____; ____.\n"},
    };
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        Memory memory = {0};
        Text text;
        make(others[i][0], &memory, &text);
        if (strstr(text.at, others[i][1]) == NULL) {
            fail_msg("not there: %s\nin:\n%.300s", others[i][1], text.at);
        }
        memory_return_all(&memory);
    }
}

/* Where a day is a unit and the hour the base of time, a time is told by what a day is. */
static void a_time_is_told_by_what_a_day_is(void **state)
{
    (void)state;
    static const char hours[] =
        "waterleaf 1\nkind mass shown in kg\nkind length shown in m\nkind count shown in sheets\nkind duration shown in h\n"
        "kind date, levels of duration shown in d\n"
        "unit kg of mass\nunit m of length\nunit sheets of count\nunit h of duration\nunit d = 24 h\n"
        "fields content:\n  has material as material\n  has mass as mass\nend\n"
        "fields material:\n  has class one-of fibre, other = other\nend\nfields stream:\nend\n"
        "fields stuff within stream:\n  gives dry as mass = sum(m.mass, each m from contents)\nend\n"
        "fields sheet:\nend\nfields mould:\nend\nfields mill:\nend\nfields paper:\n  has title as text\nend\n"
        "fields instruction:\n  has name as text\n  has begins as duration\nend\n"
        "step join:\n  joins streams into stuff\n  waits for 1.5 h\nend\nstep form:\n  makes sheet from stuff, of 2 kg\nend\n"
        "material pulp:\n  class fibre\nend\n"
        "paper plain:\n  title \"Plain\"\n  furnish:\n    pulp 100 %\n  end\n  procedure:\n    join\n    form\n  end\nend\n"
        "batch \"P\":\n  paper plain\n  sheets 10 sheets\nend\n"
        "document slip:\n  title \"Slip\"\n  page \"first\":\n    each s from instructions:\n      item \"step {s.name} from {s.begins}\"\n    end\n  end\nend\n";
    Memory memory = {0};
    Text text;
    make_of("tests/unit/bare", hours, NULL, &memory, &text);
    if (strstr(text.at, "- step join from 0 h\n- step form from 1.5 h\n") == NULL) {
        fail_msg("a step begins at another time:\n%s", text.at);
    }
    memory_return_all(&memory);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(a_batch_tells_its_items), cmocka_unit_test(what_a_batch_does_not_tell_is_left_open),
                                       cmocka_unit_test(a_time_is_told_by_what_a_day_is)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
