/* What comes of a solved paper: its head, what is weighed out, figures from low to high, what its steps tell, the lists behind it, what was
 * measured. Of an invented mill; each number is worked out beside the script from what the script tells. */
#include "unit.h"

#include "base/text.h"
#include "meaning/line.h"
#include "waterleaf.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef void Telling(Text *out, const Outcome *outcome);
typedef struct Seen { Text *out; Telling *tell; } Seen;

static bool see(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Seen *seen = with;
    seen->tell(seen->out, outcome);
    return true;
}

/* What TELL makes of the works called NAME of SCRIPT is WANTED. */
static void comes_to(const char *stdlib, const char *script, const char *name, Telling *tell, const char *wanted)
{
    Memory memory = {0};
    Text out;
    text_open(&out, &memory);
    Seen seen = {&out, tell};
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = stdlib, .unjudged = true});
    assert_non_null(workshop);
    assert_int_equal(workshop_read_text(workshop, "result.wleaf", script, strlen(script)), WATERLEAF_FINE);
    WaterleafAnswer answer = workshop_work_out(workshop, name, 0, see, &seen);
    const Messages *messages = workshop_messages(workshop);
    if (messages->list.count > 0)
        fail_msg("%s %s", messages->list.at[0].says, messages->list.at[0].mend);
    assert_int_equal(answer, WATERLEAF_FINE);
    const char *found = out.at == NULL ? "" : out.at;
    if (strcmp(found, wanted) != 0)
        fprintf(stderr, "%s", found); /* longer than what the next line shows */
    assert_string_equal(found, wanted);
    workshop_close(workshop);
    memory_return_all(&memory);
}

/* ---- what is weighed out ---- */

/* A sheet of a square metre and 110 g/m², without water, holds 100 g of fibre, 5 g of filler that all stays in it, and 5 g that is dusted on. Ten
 * of them take 750 g of the one fibre and 250 g of the other, which lies in the store with a fifth of water: 312.5 g. The mills form five at a time. */
#define BILL \
    "waterleaf 1\nmaterial plain-fibre:\n  class fibre\n  moisture 0 %\nend\nmaterial other-fibre:\n  class fibre\n  moisture 20 %   practice\nend\n" \
    "material white-filler:\n  class filler\n  retention 100 %\n  moisture 0 %\nend\nmaterial fine-dust:\n  class filler\n  moisture 0 %\nend\n" \
    "material rinse:\n  class hardener\n  solids 40 %\nend\n" \
    "mould square:\n  opening 1 m by 1 m\nend\n" \
    "step our-beat:\n  role beating\n  takes what as stream\n  takes for times as count\n  gives strokes as ratio = 3\n  gives loads as count = times\n  sets what is wet, beaten\nend\n" \
    "step our-filling:\n  takes with what as material\n  adds what to stuff, 5 % on fibre\nend\n" \
    "step our-dusting:\n  takes with what as material\n  adds what to sheet, 5 g\nend\n" \
    "step our-rinsing:\n  takes with what as material\n  uses what, 30 g\nend\n" \
    "paper plain:\n  title \"Plain\"\n  mould square\n  grammage 110 g/m²\n  moisture 0 %\n  furnish:\n    plain-fibre 75 %, as long\n    other-fibre 25 %, as short\n  end\n" \
    "  procedure:\n    our-beat long for 7\n    our-beat short for 1\n    blend\n    our-filling with white-filler\n" \
    "    form-by-measure losing 0 %\n    our-dusting with fine-dust\n    our-rinsing with rinse\n  end\nend\n" \
    /* its long stuff is of what is short in the other */ \
    "paper later:\n  title \"Later\"\n  mould square\n  grammage 110 g/m²\n  moisture 0 %\n  furnish:\n    other-fibre 100 %, as long\n  end\n" \
    "  procedure:\n    our-beat long for 2\n    blend\n    form-by-measure losing 0 %\n  end\nend\n"
#define MILL(name, scale) "mill " name ":\n  vat of 100 L\n  parcel 5 sheets\n" scale "end\nbatch \"of " name "\":\n  paper plain\n  mill " name "\n  sheets 10\nend\n"

static void tell_bill(Text *out, const Outcome *outcome)
{
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        const WeighLine *line = &outcome->weigh[i];
        text_print(out, "%s, %s%s, %s: %s of %s at %s%s, %s; ", line->material, line->class, line->is_fibre ? " of the furnish" : "", line->by_parcel ? "by parcel" : "once",
                   line->dry.shown, line->weigh_out.shown, line->moisture.shown, line->moisture.marks == MARK_PRACTICE ? " by practice" : "", line->share.shown);
        if (line->share.marks != 0)
            text_print(out, "share from %u; ", line->share.marks);
        text_print(out, "%s of %s to %.12g g, %.12g of %s, %.12g of %s\n", line->dry_of_parcel.shown, line->weigh_out_of_parcel.shown, line->scale_step * 1000,
                   line->loads, line->weigh_out_of_load.shown, line->heavier_loads, line->weigh_out_of_heavier.shown);
    }
}

static void amounts_are_weighed_on_the_scale(void **state)
{
    (void)state;
    comes_to(NULL, BILL MILL("fifths", "  scale fine up to 1 kg, showing 0.2 g\n"), NULL, tell_bill,
             /* 375 g are 1875 steps: seven loads of 267, and six of them one more; 156.25 g are 781 steps and a bit */
             "plain-fibre, fibre of the furnish, by parcel: 750.000 g of 750.000 g at 0 %, 75 %; 375.0 g of 375.0 g to 0.2 g, 7 of 53.4 g, 6 of 53.6 g\n"
             "other-fibre, fibre of the furnish, by parcel: 250.000 g of 312.500 g at 20 % by practice, 25 %; 125.0 g of 156.2 g to 0.2 g, 1 of 156.2 g, 0 of not told\n"
             "white-filler, filler, by parcel: 50.000 g of 50.000 g at 0 %, 5 % on fibre; 25.0 g of 25.0 g to 0.2 g, 0 of 25.0 g, 0 of not told\n"
             "fine-dust, filler, once: 50.000 g of 50.000 g at 0 %, not told; 50.0 g of 50.0 g to 0.2 g, 0 of 50.0 g, 0 of not told\n"
             "rinse, hardener, once: 30.000 g of 75.000 g at 60 %, not told; 30.0 g of 75.0 g to 0.2 g, 0 of 75.0 g, 0 of not told\n");
}

static void tell_loads(Text *out, const Outcome *outcome)
{
    for (uint32_t i = 0; i < 2; i++) {
        const WeighLine *line = &outcome->weigh[i];
        text_print(out, "%s for %.0f: %s to %.9g g, %s and %.0f of %s\n", line->weigh_out_of_parcel.shown, line->loads, line->dry_of_parcel.shown, line->scale_step * 1000,
                   line->weigh_out_of_load.shown, line->heavier_loads, line->weigh_out_of_heavier.shown);
        if (i == 1 && line->scale_step == 0 && fabs(line->weigh_out_of_load.value - line->weigh_out_of_parcel.value) > 1e-15)
            text_print(out, "a load that is all of it is not as heavy\n");
    }
}

static void loads_add_up_to_what_is_weighed(void **state)
{
    (void)state;
    /* no scale: to a milligram; 375 000 of them are seven times 53 571, and three */
    comes_to(NULL, BILL MILL("bare", ""), NULL, tell_loads, "375.000 g for 7: 375.000 g to 0 g, 53.571 g and 3 of 53.572 g\n156.250 g for 1: 125.000 g to 0 g, 156.250 g and 0 of not told\n");
    /* 1500 quarters are seven times 214, and two; 625 of them are 156.25 g */
    comes_to(NULL, BILL MILL("quarters", "  scale fine up to 1 kg, showing 0.25 g\n"), NULL, tell_loads,
             "375.00 g for 7: 375.00 g to 0.25 g, 53.50 g and 2 of 53.75 g\n156.25 g for 1: 125.00 g to 0.25 g, 156.25 g and 0 of not told\n");
    /* 75 fives are seven times ten, and five; 31 and a quarter are 31 */
    comes_to(NULL, BILL MILL("fives", "  scale coarse up to 1 kg, showing 5 g\n"), NULL, tell_loads,
             "375 g for 7: 375 g to 5 g, 50 g and 5 of 55 g\n155 g for 1: 125 g to 5 g, 155 g and 0 of not told\n");
    /* 53 sevens are 371; seven of them to each, and four more; 22 are 154 */
    comes_to(NULL, BILL MILL("sevens", "  scale coarse up to 1 kg, showing 7 g\n"), NULL, tell_loads,
             "378 g for 7: 375 g to 7 g, 49 g and 5 of 56 g\n154 g for 1: 125 g to 7 g, 154 g and 0 of not told\n");
    /* twelve decimals at the most; 1 125 000 are seven times 160 714, and two */
    comes_to(NULL, BILL MILL("thirds", "  scale fine up to 1 kg, showing 0.001 g / 3\n"), NULL, tell_loads,
             "375.000000000000 g for 7: 375.000000000000 g to 0.000333333333 g, 53.571333333333 g and 2 of 53.571666666667 g\n"
             "156.250000000000 g for 1: 125.000000000000 g to 0.000333333333 g, 156.250000000000 g and 0 of not told\n");
    /* figures of the writer's own that are the same for all: a third of a kilogram is told as 166.667 g for a parcel, 166 667 mg are seven times 23 809, and four; halves are 750, seven times 107, and one */
    comes_to(NULL, BILL "replace reckon weigh-out as mass = 1 kg / 3\n" MILL("bare", ""), NULL, tell_loads,
             "166.667 g for 7: 375.000 g to 0 g, 23.809 g and 4 of 23.810 g\n166.667 g for 1: 125.000 g to 0 g, 166.667 g and 0 of not told\n");
    comes_to(NULL, BILL "replace reckon scale-step as mass = 0.5 g\n" MILL("bare", ""), NULL, tell_loads,
             "375.0 g for 7: 375.0 g to 0.5 g, 53.5 g and 1 of 54.0 g\n156.5 g for 1: 125.0 g to 0.5 g, 156.5 g and 0 of not told\n");
}

/* ---- figures ---- */

static void tell_figures(Text *out, const Outcome *outcome)
{
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        const NamedQuantity *figure = &outcome->figures[i];
        const Quantity *quantity = &figure->quantity;
        if (strncmp(figure->name, "our-", 4) == 0)
            text_print(out, "%s%s%s%s%s: %s%s%s, %.6g from %.6g to %.6g, %.6g from %.6g to %.6g, %u\n", figure->name + 4, figure->of == NULL ? "" : " of ",
                       figure->of == NULL ? "" : figure->set, figure->of == NULL ? "" : " ", figure->of == NULL ? "" : figure->of, quantity->shown,
                       quantity->has_band ? ": " : "", quantity->has_band ? quantity->band_shown : "", quantity->value, quantity->low, quantity->high,
                       quantity->in_unit, quantity->low_in_unit, quantity->high_in_unit, quantity->marks);
    }
}

static void figures_lie_between_their_ends(void **state)
{
    (void)state;
    comes_to(NULL, BILL
             "unit depth = -2 m\n"
             /* ten metres to a metre: half a metre more would read otherwise, a little less would not */
             "let our-loose as ratio = about 2.5, between 2.4..2.6   practice\n"
             "reckon our-alike as length = about 10 m, between 9.6 m..10.4 m   shown in m, 0 decimals\n"
             "reckon our-higher as length = about 10 m, between 9.75 m..10.5 m   shown in m, 0 decimals\n"
             "reckon our-lower as length = about 10 m, between 9.5 m..10.25 m   shown in m, 0 decimals\n"
             "reckon our-open as ratio = about 10, between 9.9951..10.0049\n"
             "reckon our-tight as ratio = about 10, between 9.994..10.004\n"
             "reckon our-sunk as length = about 10 m, between 8 m..14 m   shown in depth, 1 decimal\n"
             "reckon our-mass as mass = about 4 g, between 3 g..6 g\n"
             "reckon our-day as date = 2027-03-01 + (about 3 d, between 1 d..40 d)\n"
             "reckon our-endless as ratio = (about 2, between 1..3) * exp(1000)\n"
             "reckon our-none as mass = none\nreckon our-at-times as mass = choose((about 2, between 1..3) > 2.5, 3 g, none)\n"
             "reckon our-word as text = \"a word\"\nreckon our-rounded as ratio = round-up(our-loose)\n"
             "reckon our-streams(each s from streams) as dry-mass = s.dry\nreckon our-parcels(each p from parcels) as count = p.number\n"
             "reckon our-bill(each m from bill when m.material.class is hardener) as mass = m.mass\n" MILL("bare", ""), NULL, tell_figures,
             "alike: 10 m, 10 from 10 to 10, 10 from 10 to 10, 0\n"
             "higher: 10 m: 10 to 11, 10 from 9.75 to 10.5, 10 from 9.75 to 10.5, 0\n"
             "lower: 10 m: 10 to 10, 10 from 9.5 to 10.25, 10 from 9.5 to 10.25, 0\n"
             "open: 10, 10 from 10 to 10, 10 from 10 to 10, 0\n"
             "tight: 10: 9.994 to 10, 10 from 9.994 to 10.004, 10 from 9.994 to 10.004, 0\n"
             "sunk: -5.0 depth: -7.0 to -4.0, 10 from 8 to 14, -5 from -7 to -4, 0\n"
             "mass: 4 g: 3 to 6, 0.004 from 0.003 to 0.006, 4 from 3 to 6, 0\n"
             "day: 2027-03-04: 2027-03-02 to 2027-04-10, 1.80412e+09 from 1.80395e+09 to 1.80732e+09, 20881 from 20879 to 20918, 0\n"
             "endless: infinite, inf from inf to inf, inf from inf to inf, 0\n"
             "none: not told, 0 from 0 to 0, 0 from 0 to 0, 0\n"
             "at-times: not told, 0 from 0 to 0, 0 from 0 to 0, 0\n"
             "word: a word, 0 from 0 to 0, 0 from 0 to 0, 0\n"
             "rounded: 3, 3 from 3 to 3, 3 from 3 to 3, 2\n"
             "streams of stream long: 375 g, 0.375 from 0.375 to 0.375, 375 from 375 to 375, 0\n"
             "streams of stream short: 125 g, 0.125 from 0.125 to 0.125, 125 from 125 to 125, 0\n"
             "parcels of parcel parcel 1: 1 sheets, 1 from 1 to 1, 1 from 1 to 1, 0\n"
             "parcels of parcel parcel 2: 2 sheets, 2 from 2 to 2, 2 from 2 to 2, 0\n"
             "bill of material rinse: 30 g, 0.03 from 0.03 to 0.03, 30 from 30 to 30, 0\n");
}

/* ---- what the head, the steps and the lists tell ---- */

static void tell_all(Text *out, const Outcome *outcome)
{
    text_print(out, "%s, %s, %s, %s, %s: %.0f of %.0f in %.0f of %.0f, sure %.0f %%%s\n", outcome->paper, outcome->title, outcome->batch == NULL ? "no batch" : outcome->batch,
               outcome->mill == NULL ? "no mill" : outcome->mill, outcome->start == NULL ? "some day" : outcome->start, outcome->sheets_good, outcome->sheets_formed,
               outcome->parcels, outcome->sheets_of_parcel, outcome->sure * 100, outcome->sure_is_practice ? " by practice" : "");
    for (uint32_t i = 0; i < outcome->choice_count; i++)
        text_print(out, "choice %s %s\n", outcome->choices[i].name, outcome->choices[i].value);
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        const StepOutcome *step = &outcome->steps[i];
        text_print(out, "step %u %s (%s), %s, from %.6g h to %.6g h\n", step->number, step->step, step->role, step->of_parcel ? "by parcel" : "once", step->begins, step->ends);
        for (uint32_t j = 0; j < step->figure_count && strncmp(step->step, "our-", 4) == 0; j++)
            text_print(out, "  %s %s\n", step->figures[j].name, step->figures[j].quantity.shown);
        for (uint32_t j = 0; j < step->caution_count; j++)
            if (strncmp(step->cautions[j].name, "our-", 4) == 0)
                text_print(out, "  %s! %s: %s, %s\n", step->cautions[j].name, step->cautions[j].signal, step->cautions[j].says, step->cautions[j].wear == NULL ? "nothing" : step->cautions[j].wear);
    }
    for (uint32_t i = 0; i < outcome->weigh_count; i++)
        text_print(out, "%s in %.0f loads%s\n", outcome->weigh[i].material, outcome->weigh[i].loads, outcome->weigh[i].is_fibre ? " of the furnish" : "");
    for (uint32_t i = 0; i < outcome->fact_count; i++)
        text_print(out, "fact %s: %s\n", outcome->facts[i].name, outcome->facts[i].text);
    for (uint32_t i = 0; i < outcome->note_count; i++)
        text_print(out, "note %s\n", outcome->notes[i]);
    for (uint32_t i = 0; i < outcome->default_count; i++)
        if (strncmp(outcome->defaults[i], "our-", 4) == 0)
            text_print(out, "default %s\n", outcome->defaults[i]);
    for (uint32_t i = 0; i < outcome->practice_count; i++)
        if (strncmp(outcome->by_practice[i], "our-", 4) == 0)
            text_print(out, "practice %s\n", outcome->by_practice[i]);
    for (uint32_t i = 0; i < outcome->replaced_count; i++)
        text_print(out, "replaced %s\n", outcome->replaced[i]);
    for (uint32_t i = 0; i < outcome->general_count; i++)
        if (strncmp(outcome->general[i].name, "our-", 4) == 0)
            text_print(out, "always %s: %s\n", outcome->general[i].name, outcome->general[i].says);
    for (uint32_t i = 0; i < outcome->measured_count; i++) {
        const Measured *measured = &outcome->measured[i];
        text_print(out, "measured %s: %s, by %s; %u, spread %.6g\n", measured->name, measured->shown, measured->method, measured->count, measured->spread);
    }
}

#define TOLD \
    "waterleaf 1\nmould square:\n  opening 1 m by 1 m\nend\n" \
    "material our-fibre:\n  class fibre\n  moisture 0 %\n  shrink 0 %   practice\n  cost 3   memory\n  coarseness 0.2 mg/m   source \"a book\"\nend\n" \
    "fields material:\n  has cost as ratio = 1\nend\n" \
    "caution our-stairs:\n  says \"The stairs are wet.\"\n  marks on-every-sheet\nend\n" \
    "caution our-attic:\n  signal warning\n  says \"The attic is low.\"\n  wear \"a cap\"\nend\n" \
    "step our-rest:\n  role finishing\n  takes for time as duration = 90 min   practice\n  takes over part as share = 2.0 %   memory\n  takes at heat as temperature = 20 °C   source \"a book\"\n" \
    "  takes with mood as text = \"good\"   practice\n  takes to other as mass = none\n  gives rested as duration = time * 2   shown in min, 1 decimal\n" \
    "  waits for time\n  cautions our-attic\n  cautions our-stairs\nend\n" \
    "material our-soap:\n  class hardener\n  solids 50 %\nend\nstep our-soaping:\n  takes with what as material\n  uses what, 10 g\nend\n" \
    "step our-start:\n  role finishing\n  takes for time as duration = 5 min\nend\nfields target-weight:\n  has ours as text = \"no part of the line\"\nend\n" \
    "replace reckon crowding as ratio = 12\n" \
    "paper plain:\n  title \"Plain {weight}\"\n  vary weight over 100 g/m², 200 g/m²\n  vary finish over rough, smooth\n  mould square\n  grammage weight\n  moisture 0 %\n  surface finish\n  edges \"cut\"\n" \
    "  furnish:\n    our-fibre 100 %\n  end\n  procedure:\n    our-start\n    blend\n    form-by-measure losing 0 %\n    our-rest\n    our-rest for 30 min\n    our-rest over 1 %, at 25 °C\n    our-soaping with our-soap\n  end\n" \
    "  note \"Of {weight}.\"\n  note \"Of {weight}.\"\n  note \"Last.\"\nend\n" \
    "paper later:\n  title \"Later\"\n  note \"Of another paper.\"\n  mould square\n  grammage 100 g/m²\n  furnish:\n    our-soap 100 %\n  end\n" /* of the other it is no fibre */ \
    "  procedure:\n    blend\n    form-by-measure losing 0 %\n  end\nend\n" \
    "mill dell:\n  parcel 4 sheets\nend\n"

static void all_is_told(void **state)
{
    (void)state;
    comes_to(NULL, TOLD "batch \"B-1\":\n  paper plain, with weight 200 g/m², finish smooth\n  mill dell\n  sheets 12, sure 95 %\n  start 2027-03-01\n  note \"Good {sheets-good as ratio}.\"\n"
             "  measured finished-grammage, [198, 202, 206] g/m², to \"weighing\"\n  measured thickness, 0.25 mm, to \"a gauge\"\n  measured pounds-per-ream, [4, 6] lb, to \"two\"\nend\n"
             "batch \"B-2\":\n  paper plain, with weight 100 g/m², finish rough\n  sheets 3\n  measured finished-grammage, 99 g/m², to \"weighing\"\nend\n", "B-1", tell_all,
             "plain, Plain 200 g/m², B-1, dell, 2027-03-01: 12 of 12 in 3 of 4, sure 95 %\n"
             "choice weight 200 g/m²\n"
             "choice finish smooth\n"
             "step 1 our-start (finishing), by parcel, from 0 h to 0 h\n"
             "step 2 blend (blending), by parcel, from 0 h to 0 h\n"
             "step 3 form-by-measure (forming), by parcel, from 0 h to 0 h\n"
             "step 4 our-rest (finishing), once, from 0 h to 1.5 h\n"
             "  rested 180.0 min\n"
             "  our-attic! warning: The attic is low., a cap\n"
             "  our-stairs! caution: The stairs are wet., nothing\n"
             "step 5 our-rest (finishing), once, from 1.5 h to 2 h\n"
             "  rested 60.0 min\n"
             "  our-attic! warning: The attic is low., a cap\n"
             "  our-stairs! caution: The stairs are wet., nothing\n"
             "step 6 our-rest (finishing), once, from 2 h to 3.5 h\n"
             "  rested 180.0 min\n"
             "  our-attic! warning: The attic is low., a cap\n"
             "  our-stairs! caution: The stairs are wet., nothing\n"
             "step 7 our-soaping (), once, from 3.5 h to 3.5 h\n"
             "our-fibre in 0 loads of the furnish\n"
             "our-soap in 0 loads\n"
             "fact purpose: other\n"
             "fact mould: square\n"
             "fact grammage: 200 g/m², mean 5 %, sheets 10 %\n"
             "fact moisture: 0 %\n"
             "fact surface: smooth\n"
             "fact to-test: \n"
             "fact edges: cut\n"
             "note Of 200 g/m².\n"
             "note Last.\n"
             "note Good 12.\n"
             "default our-start, time: 5 min\n"
             "default our-rest, time: 90 min\n"
             "default our-rest, part: 2.0 %\n"
             "default our-rest, heat: 20 °C\n"
             "practice our-rest, time: common practice\n"
             "practice our-rest, part: from memory\n"
             "practice our-fibre, cost: from memory\n"
             "practice our-fibre, shrink: common practice\n"
             "replaced replace reckon crowding as ratio = 12\n"
             "always our-stairs: The stairs are wet.\n"
             "measured finished-grammage: 202 g/m², mean of 3, from 198 g/m² to 206 g/m², by weighing; 3, spread 0.004\n"
             "measured thickness: 250 µm, one reading, by a gauge; 1, spread nan\n"
             "measured pounds-per-ream: 5 lb, mean of 2, from 4 lb to 6 lb, by two; 2, spread 0.641476\n");
    comes_to(NULL, TOLD, "plain weight=100 finish=rough", tell_all,
             "plain, Plain 100 g/m², no batch, dell, some day: 1 of 1 in 1 of 1, sure 90 % by practice\n"
             "choice weight 100 g/m²\n"
             "choice finish rough\n"
             "step 1 our-start (finishing), by parcel, from 0 h to 0 h\n"
             "step 2 blend (blending), by parcel, from 0 h to 0 h\n"
             "step 3 form-by-measure (forming), by parcel, from 0 h to 0 h\n"
             "step 4 our-rest (finishing), once, from 0 h to 1.5 h\n"
             "  rested 180.0 min\n"
             "  our-attic! warning: The attic is low., a cap\n"
             "  our-stairs! caution: The stairs are wet., nothing\n"
             "step 5 our-rest (finishing), once, from 1.5 h to 2 h\n"
             "  rested 60.0 min\n"
             "  our-attic! warning: The attic is low., a cap\n"
             "  our-stairs! caution: The stairs are wet., nothing\n"
             "step 6 our-rest (finishing), once, from 2 h to 3.5 h\n"
             "  rested 180.0 min\n"
             "  our-attic! warning: The attic is low., a cap\n"
             "  our-stairs! caution: The stairs are wet., nothing\n"
             "step 7 our-soaping (), once, from 3.5 h to 3.5 h\n"
             "our-fibre in 0 loads of the furnish\n"
             "our-soap in 0 loads\n"
             "fact purpose: other\n"
             "fact mould: square\n"
             "fact grammage: 100 g/m², mean 5 %, sheets 10 %\n"
             "fact moisture: 0 %\n"
             "fact surface: rough\n"
             "fact to-test: \n"
             "fact edges: cut\n"
             "note Of 100 g/m².\n"
             "note Last.\n"
             "default our-start, time: 5 min\n"
             "default our-rest, time: 90 min\n"
             "default our-rest, part: 2.0 %\n"
             "default our-rest, heat: 20 °C\n"
             "practice our-rest, time: common practice\n"
             "practice our-rest, part: from memory\n"
             "practice our-fibre, cost: from memory\n"
             "practice our-fibre, shrink: common practice\n"
             "replaced replace reckon crowding as ratio = 12\n"
             "always our-stairs: The stairs are wet.\n");
}

/* ---- on no stdlib ---- */

/* Ten sheets of 2 kg of fibre; they are weighed out twice as heavy, as nobody tells the decimals all seven loads are alike. */
#define BARE(times, materials, more) \
    "waterleaf 1\nkind mass shown in kg\nkind length shown in m\nkind count shown in sheets\n" times "unit m of length\n" \
    "unit sheets of count\nfields content:\n  has material as material\n  has mass as mass\nend\nfields bill-item:\n  has material as material\n  has mass as mass\nend\n" \
    "fields material:\n" materials "end\nfields stream:\nend\nfields stuff within stream:\n  gives dry as mass = sum(m.mass, each m from contents)\nend\n" \
    "fields sheet:\nend\nfields mould:\nend\nfields mill:\nend\nfields paper:\n  has title as text\nend\nfields caution:\n  has says as text = none\nend\ncaution our-pit:\nend\n" \
    "step join:\n  joins streams into stuff\nend\nstep our-rest:\n  takes what as stream\n  gives loads as count = 7 sheets\n  waits for 90 min\n  cautions our-pit\nend\n" \
    "step form:\n  makes sheet from stuff, of 2 kg\nend\nmaterial pulp:\nend\n" more \
    "paper plain:\n  title \"Plain\"\n  furnish:\n    pulp 100 %\n  end\n  procedure:\n    our-rest pulp\n    join\n    form\n  end\nend\nbatch \"P\":\n  paper plain\n  sheets 10 sheets\nend\n"

static void tell_bare(Text *out, const Outcome *outcome)
{
    tell_bill(out, outcome);
    for (uint32_t i = 0; i < outcome->step_count; i++)
        text_print(out, "%s %s %.6g h to %.6g h, %u cautions\n", outcome->steps[i].step, outcome->steps[i].role, outcome->steps[i].begins, outcome->steps[i].ends, outcome->steps[i].caution_count);
    const Caution *pit = &outcome->steps[0].cautions[0];
    text_print(out, "%s, %s, %s!%s %s%s; %u always\n", outcome->mill == NULL ? "no mill" : outcome->mill, outcome->batch, pit->name, pit->signal == NULL ? "" : pit->signal, pit->says, pit->wear == NULL ? "" : pit->wear, outcome->general_count);
}

static void little_is_told_of_little(void **state)
{
    (void)state;
#define SECONDS "unit kg of mass\n" CLOCK
#define CLOCK "kind time shown in s\nunit s of time\nunit min = 60 s\n"
#define MINUTES "unit kg of mass\nkind time shown in min\nkind date, levels of time shown in d\nunit min of time\nunit d = 1440 min\n" /* what a day is in them tells the calendar */
#define SOLVED "reckon weight as mass = sum(m.mass, each m from contents(sheet))\nsolve part as mass, so-that weight = 2 kg\n"
#define STEPS "our-rest  0 h to 1.5 h, 1 cautions\njoin  1.5 h to 1.5 h, 0 cautions\nform  1.5 h to 1.5 h, 0 cautions\nno mill, P, our-pit! ; 0 always\n"
    comes_to("tests/unit/bare", BARE(SECONDS, "", SOLVED "reckon weigh-out(each m from bill) as mass = m.mass * 2\n"), NULL, tell_bare,
             "pulp,  of the furnish, by parcel: 20.000 kg of 40 kg at 50 %, 100 %; 20.000 kg of 40 kg to 0 g, 7 of 5.714 kg, 0 of not told\n" STEPS);
    comes_to("tests/unit/bare", BARE(MINUTES, "", SOLVED "reckon weigh-out(each m from bill) as mass = m.mass * 2\n"), NULL, tell_bare,
             "pulp,  of the furnish, by parcel: 20.000 kg of 40 kg at 50 %, 100 %; 20.000 kg of 40 kg to 0 g, 7 of 5.714 kg, 0 of not told\n" STEPS);
    /* to a kilogram: forty are seven times five, and five */
    comes_to("tests/unit/bare", BARE(SECONDS, "", SOLVED "reckon weigh-out(each m from bill) as mass = m.mass * 2   shown in kg, 0 decimals\n"), NULL, tell_bare,
             "pulp,  of the furnish, by parcel: 20.000 kg of 40 kg at 50 %, 100 %; 20.000 kg of 40 kg to 0 g, 7 of 5 kg, 5 of 6 kg\n" STEPS);
    /* a scale, but nothing to weigh on it: it shows halves of a kilogram, whatever the first figure is shown in */
    comes_to("tests/unit/bare", BARE(CLOCK "unit kg of mass\nunit g = 0.001 kg\n", "",
             "reckon weight as mass = sum(m.mass, each m from contents(sheet))   shown in g, 0 decimals\nsolve part as mass, so-that weight = 2 kg\n"
             "reckon scale-step(each m from bill) as mass = 0.5 kg\n"), NULL, tell_bare,
             "pulp,  of the furnish, by parcel: 20.000 kg of not told at not told, 100 %; 20.0 kg of not told to 500 g, 7 of not told, 0 of not told\n" STEPS);
    /* nor is anything told of how it is weighed, or it is none */
    comes_to("tests/unit/bare", BARE(SECONDS, "  has class one-of fibre, other = fibre\n", SOLVED), NULL, tell_bare,
             "pulp, fibre of the furnish, by parcel: 20.000 kg of not told at not told, 100 %; 20.000 kg of not told to 0 g, 7 of not told, 0 of not told\n" STEPS);
    comes_to("tests/unit/bare", BARE(SECONDS, "", SOLVED "reckon weigh-out(each m from bill) as mass = none\n"), NULL, tell_bare,
             "pulp,  of the furnish, by parcel: 20.000 kg of not told at not told, 100 %; 20.000 kg of not told to 0 g, 7 of not told, 0 of not told\n" STEPS);
    comes_to("tests/unit/bare", BARE(SECONDS, "", SOLVED "reckon weigh-out(each m from bill) as mass = 0 kg\n"), NULL, tell_bare,
             "pulp,  of the furnish, by parcel: 20.000 kg of 0 kg at not told, 100 %; 20.000 kg of 0 kg to 0 g, 7 of 0 kg, 0 of not told\n" STEPS);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(amounts_are_weighed_on_the_scale),
        cmocka_unit_test(loads_add_up_to_what_is_weighed),
        cmocka_unit_test(figures_lie_between_their_ends),
        cmocka_unit_test(all_is_told),
        cmocka_unit_test(little_is_told_of_little),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
