/* What a step tells: its sentences as they read and as their lines have them, the values in them, its readings with their windows, and
 * what it was given. The steps are of this script alone; what they must tell is written down by hand. */
#include "unit.h"

#include "base/text.h"
#include "reckoning/outcome.h"
#include "waterleaf.h"

#include <stdio.h>
#include <string.h>

static const char script[] =
    "waterleaf 1\n"
    "material plain-fibre:\n  class fibre\n  moisture 0 %\nend\n"
    "material stain:\n  class other\n  moisture 0 %\nend\n"
    "mould square:\n  opening 1 m by 1 m\nend\n"
    "mill here:\n  vat of 100 L\n  pot of 10 L\n  post-moved on-rollers\nend\n"
    "fields stream:\n  marks warmed\nend\n"
    /* All kinds of arguments, the thing on which it works first. */
    "step warm:\n  role beating\n  takes what as stream\n  takes at heat as temperature\n  takes in place as vessel\n  takes with agent as material\n"
    "  takes how way one-of slowly, quickly = slowly\n  takes noting note as text = none\n  takes over other as material = none\n  takes of part as ratio = 2\n"
    "  sets what is warmed\n"
    "  tells \"Warm {what} in {place} to {heat}, {note}.\"\n"
    "  tells \"\"\n"
    "  tells choose(part > 1,\n\t \"Stir {part + 1, 1 decimal} times.\", \"Do not stir.\")\n"
    "  tells \"Add {1 g..3 g} of {agent}, {part * 20 g in kg, 2 decimals}, {(part / 8 as share) in %, 1 decimal}, {part as share}.\"\n"
    "  reads \"bath of {place}\", expecting heat\n"
    "  reads \"room\", expecting 18 °C..22 °C, signed\n"
    "  reads \"colour\", expecting \"blue\"\n"
    "  reads \"a drop, weighed\", expecting part * 0.0123456 g\n"
    "  reads \"what else\"\n"
    "end\n"
    /* A vessel first; a number first; a word first; what is left out first; nothing at all. */
    "step fill:\n  role beating\n  takes in place as vessel\n  takes with agent as material\nend\n"
    "step wait:\n  role beating\n  takes for long as duration\n  takes with agent as material\nend\n"
    "step turn:\n  role beating\n  takes how way one-of slowly, quickly\nend\n"
    "step look:\n  role beating\n  takes at what as stream = none\n  takes with agent as material\n  tells \"Look.\"\nend\n"
    "step idle:\n  role beating\nend\n"
    "paper plain:\n  title \"Plain\"\n  mould square\n  grammage 100 g/m²\n  moisture 0 %\n  furnish:\n    plain-fibre 100 %\n  end\n  procedure:\n"
    "    warm plain-fibre, at 41 °C ± 2 K, in pot, with stain, noting \"by hand\"\n"
    "    fill in vat, with stain\n    wait for 1 h, with stain\n    turn how quickly\n    look with stain\n    idle\n"
    "    blend\n    form-by-measure losing 0 %\n  end\nend\n"
    "batch \"T\":\n  paper plain\n  mill here\n  sheets 10\nend\n";

/* A warmth is told in kelvins, from 39 °C to 43 °C; grams in kilograms. */
static const char must[] =
    "1 warm plain-fibre\n"
    "  Warm plain-fibre in the pot to 41 °C, by hand. / Warm {what} in {place} to {heat}, {note}.\n"
    "   / \n"
    "  Stir 3.0 times. / choose(part>1,\"Stir{part+1,1decimal}times.\",\"Donotstir.\")\n"
    "  Add 1 to 3 g of stain, 0.04 kg, 25.0 %, 200 %. / Add {1g..3g} of {agent}, {part*20g}, {part/8}, {part}.\n"
    "  in sentence 0 what: plain-fibre\n"
    "  in sentence 0 place: the pot\n"
    "  in sentence 0 heat: 41 °C, from 312.15 to 316.15\n"
    "  in sentence 0 note: by hand\n"
    "  in sentence 2 part+1: 3.0\n"
    "  in sentence 3 1g..3g: 1 to 3 g, from 0.001 to 0.003\n"
    "  in sentence 3 agent: stain\n"
    "  in sentence 3 part*20g: 0.04 kg\n"
    "  in sentence 3 part/8: 25.0 %\n"
    "  in sentence 3 part: 200 %\n"
    "  place: the pot\n"
    "  agent: stain\n"
    "  way: slowly\n"
    "  note: by hand\n"
    "  reads bath of the pot (bath of {place}), 39 to 43 °C: 41 °C, from 312.15 to 316.15\n"
    "  reads room (room), signed, 18 to 22 °C: 18 to 22 °C, from 291.15 to 295.15\n"
    "  reads colour (colour), blue: not told, not told\n"
    "  reads a drop, weighed (a drop, weighed), 0.02469 g: 0.02469 g\n"
    "  reads what else (what else), nothing: not told, not told\n"
    "2 fill \n"
    "  place: the vat\n"
    "  agent: stain\n"
    "3 wait \n"
    "  agent: stain\n"
    "4 turn quickly\n"
    "5 look \n"
    "  Look. / Look.\n"
    "  agent: stain\n"
    "6 idle \n";

static void put_quantity(Text *text, const Quantity *quantity)
{
    text_print(text, "%s", quantity->shown);
    if (quantity->has_band) {
        text_print(text, ", from %.5g to %.5g", quantity->low, quantity->high);
    }
    if (!quantity->told) {
        text_put(text, ", not told");
    }
}

static void put_step(Text *text, const StepOutcome *step)
{
    text_print(text, "%u %s %s\n", step->number, step->step, step->object);
    for (uint32_t i = 0; i < step->tell_count; i++) {
        text_print(text, "  %s / %s\n", step->tells[i], step->written[i]);
    }
    for (uint32_t i = 0; i < step->value_count; i++) {
        text_print(text, "  in sentence %u %s: ", step->values[i].sentence, step->values[i].name);
        put_quantity(text, &step->values[i].quantity);
        text_put(text, "\n");
    }
    for (uint32_t i = 0; i < step->choice_count; i++) {
        text_print(text, "  %s: %s\n", step->choices[i].name, step->choices[i].text);
    }
    for (uint32_t i = 0; i < step->read_count; i++) {
        const Reading *reading = &step->reads[i];
        text_print(text, "  reads %s (%s)%s, %s: ", reading->what, reading->written, reading->is_signed ? ", signed" : "",
                   reading->expected == NULL ? "nothing" : reading->expected);
        put_quantity(text, &reading->window);
        text_put(text, "\n");
    }
}

static bool take_down(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    for (uint32_t i = 0; i < outcome->step_count && i < 6; i++) {
        put_step(with, &outcome->steps[i]);
    }
    return true;
}

static void steps_tell_what_they_were_given(void **state)
{
    (void)state;
    Memory memory = {0};
    Text text;
    text_open(&text, &memory);
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    assert_non_null(workshop);
    assert_int_equal(workshop_read_text(workshop, "told.wleaf", script, strlen(script)), WATERLEAF_FINE);
    assert_int_equal(workshop_work_out(workshop, NULL, 0, take_down, &text), WATERLEAF_FINE);
    for (uint32_t i = 0; i < workshop_messages(workshop)->list.count; i++) {
        print_message("%s\n", workshop_messages(workshop)->list.at[i].says);
    }
    assert_int_equal(workshop_messages(workshop)->errors, 0);
    assert_string_equal(text.at, must);
    workshop_close(workshop);
    memory_return_all(&memory);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(steps_tell_what_they_were_given)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
