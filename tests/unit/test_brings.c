/* Which steps a message names where something is missing: those that bring about just that state, mark or thing, and no others; none
 * where they are too many to be a help, or nobody can know. */
#include "cases.h"

#include "waterleaf.h"

#include <stdio.h>
#include <string.h>

/* One step each that has nothing to do with it, or hardly: another word of the same field, the same word of another field, the opposite. Each
 * stands next to one that is sought, as steps lie side by side in the program. */
static const char steps[] =
    "waterleaf 1\n"
    "fields stuff:\n  states mood calm, stirred\n  states haste calm, hurried\n  marks named, called\nend\n"
    "fields sheet:\n  states mood calm, stirred\nend\n"
    "step look:\n  tells \"Look at it.\"\nend\n"
    "step rouse:\n  sets stuff is stirred\nend\n"
    "step soothe:\n  sets stuff is calm\nend\n"
    "step hurry:\n  sets stuff is hurried\nend\n"
    "step crease:\n  sets sheet is stirred\nend\n"
    "step call:\n  sets stuff is called\nend\n"
    "step hush:\n  sets stuff is not called\nend\n"
    "step need-mood:\n  needs stuff is stirred\nend\n"
    "step need-call:\n  needs stuff is called\nend\n"
    "step need-name:\n  needs stuff is named\nend\n"
    "step need-both:\n  needs stuff is stirred and stuff is called\nend\n"
    "step need-neither:\n  needs stuff is not calm\nend\n"
    "step need-water:\n  needs stuff.water > 1000 kg\nend\n"
    "step need-linen:\n  takes what as material\n  needs what is linen-rag\nend\n"
    "step need-dry:\n  needs sheet is dry\nend\n"
    "step lose-from:\n  takes what as stream = none\n  loses 1 %% from what\nend\n"
    "step lose-stuff:\n  loses 1 %% from stuff\nend\n"
    "step lose-sheet:\n  loses 1 %% from sheet\nend\n"
    "%s"
    "paper sketch:\n  title \"Sketch\"\n  mould a3\n  grammage 160 g/m²\n  furnish:\n    cotton-linters 100 %%\n  end\n  procedure:\n%s"
    "    beat cotton-linters at 2.5 %%, for 20 min\n    blend\n%s    charge-vat to 1 %%\n    form into posts of 20, surplus to beater\n%s"
    "    press at 700 kPa, for 15 min\n    loft-dry for 2 d\n  end\nend\n";

static const char more[] = "step rouse-more:\n  sets stuff is stirred\nend\nstep rouse-again:\n  sets stuff is stirred\nend\nstep wake:\n  sets stuff is stirred\nend\n"
                           "step rock:\n  sets stuff is stirred\nend\nstep shake:\n  sets stuff is stirred\nend\n";
static const char too_many[] = "step rouse-more:\n  sets stuff is stirred\nend\nstep rouse-again:\n  sets stuff is stirred\nend\nstep wake:\n  sets stuff is stirred\nend\n"
                               "step rock:\n  sets stuff is stirred\nend\nstep shake:\n  sets stuff is stirred\nend\nstep jolt:\n  sets stuff is stirred\nend\n";

typedef struct Missing { const char *more, *lines[3], *name, *mend; } Missing;

static const Missing missing[] = {
    {"", {"", "    need-mood\n", ""}, "missing-step", "Put the step that is missing in front of it: rouse."},
    {"", {"", "    need-mood\n    rouse\n", ""}, "wrong-order", "Move it, or put what it needs in front of it: rouse."},
    {"", {"", "    need-call\n", ""}, "missing-step", "Put the step that is missing in front of it: call."},
    {"", {"", "    need-name\n", ""}, "missing-step", "Put the step that is missing in front of it."},
    {"", {"", "    need-both\n", ""}, "wrong-order", "Move it, or put what it needs in front of it."},
    {"", {"", "    need-neither\n", ""}, "wrong-order", "Move it, or put what it needs in front of it."},
    {"", {"", "    need-water\n", ""}, "wrong-order", "Move it, or put what it needs in front of it."},
    {"", {"", "    need-linen cotton-linters\n", ""}, "missing-step", "Put the step that is missing in front of it."},
    /* the first of all steps among them */
    {"", {"", "", "    need-dry\n"}, "wrong-order", "Move it, or put what it needs in front of it: loft-dry, board-dry or restrain-dry."},
    {more, {"", "    need-mood\n", ""}, "missing-step",
     "Put the step that is missing in front of it: rouse, rouse-more, rouse-again, wake, rock or shake."},
    {too_many, {"", "    need-mood\n", ""}, "missing-step", "Put the step that is missing in front of it."},
    {"", {"    lose-stuff\n", "", ""}, "not-there", "Put the step that makes it in front: blend."},
    {"", {"", "    lose-sheet\n", ""}, "not-there", "Put the step that makes it in front: form, form-dips or form-by-measure."},
    {"", {"", "    lose-from\n", ""}, "not-there", "Put the step that makes it in front."},
};

static bool show(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)with, (void)workshop, (void)outcome;
    return true;
}

static bool names_them(Workshop *workshop, const void *one)
{
    const Missing *at = one;
    char text[8192];
    int length = snprintf(text, sizeof text, steps, at->more, at->lines[0], at->lines[1], at->lines[2]);
    assert_in_range(length, 1, sizeof text - 1);
    assert_int_equal(workshop_clear(workshop), WATERLEAF_FINE);
    workshop_read_text(workshop, "steps.wleaf", text, (size_t)length);
    workshop_work_out(workshop, NULL, 0, show, NULL);
    const Messages *messages = workshop_messages(workshop);
    bool fine = messages->errors == 1;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        fine = fine && (message->severity != SEVERITY_ERROR || (strcmp(message->name, at->name) == 0 && strcmp(message->mend, at->mend) == 0));
        if (!fine)
            print_error("%s: %s %s\n  not %s: %s\n", message->name, message->says, message->mend, at->name, at->mend);
    }
    return fine;
}

static void what_brings_it_about_is_named(void **state)
{
    (void)state;
    cases_hold(true, names_them, missing);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(what_brings_it_about_is_named)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
