/* What a rule proposes is what would do: every rule with a `change` names a value for its failing example; that value,
 * written where the message says, clears the message and brings no other.
 *
 *   proposals [--stdlib FOLDER]
 */
#include "example.h"

/* The first message called NAME of the script that was read last; NULL: it was not said. */
static const Message *message_of(Workshop *workshop, const char *name)
{
    const Messages *messages = workshop_messages(workshop);
    for (uint32_t i = 0; i < messages->list.count; i++)
        if (strcmp(messages->list.at[i].name, name) == 0)
            return &messages->list.at[i];
    return NULL;
}

/* SCRIPT, with the edit of MESSAGE made; from malloc. */
static char *edited(Workshop *workshop, const Message *message, const char *script)
{
    const Source *source = sources_at(&workshop_world(workshop)->sources, message->edit.start);
    size_t start = message->edit.start - source->base, end = message->edit.end - source->base;
    Page page = {0};
    page_add(&page, script, start);
    page_add(&page, message->edit_text, strlen(message->edit_text));
    page_add(&page, script + end, strlen(script) - end);
    return page.at;
}

static void try_proposal(Checks *checks, Workshop *workshop, Template *template, const RuleExample *rule, const Usual *usual)
{
    const char *name = rule->name;
    Verdict before, after;
    char *fails = template_fill(checks, template, name, &rule->fails);
    if (judge(checks, workshop, name, fails, usual, &before)) {
        const Message *message = message_of(workshop, name);
        if (check(checks, message != NULL, "%s is not said where it fails:%s", name, before.text) &&
            check(checks, message->needed != NULL && message->edit.start != 0 && message->edit_text != NULL,
                  "%s names a change and proposes none where it fails:%s", name, before.text) &&
            check(checks, !sources_at(&workshop_world(workshop)->sources, message->edit.start)->library,
                  "%s would change stdlib", name)) {
            char needed[128];
            snprintf(needed, sizeof needed, "%s", message->needed);
            check(checks, strcmp(message->needed, message->edit_text) == 0 && strstr(message->mend, message->needed) != NULL,
                  "%s says \"%s\", and would write %s for %s", name, message->mend, message->edit_text, message->needed);
            char *mended = edited(workshop, message, fails);
            if (judge(checks, workshop, name, mended, usual, &after))
                check(checks, after.of_rule < before.of_rule && after.other <= before.other && (before.of_rule > 1 || after.of_rule == 0),
                      "%s: %s does not do; then there is:%s", name, needed, after.text);
            free(mended);
        }
    }
    free(fails);
}

/* Whatever rules stdlib has, the rounding of proposals is tried with this one. */
static const char own_rule[] =
    "\nrule bath-at-most:\n"
    "  each     s from steps(sizing)\n"
    "  require  s.bath <= 48.5 °C, severity warning\n"
    "  change   bath of s, within 20 °C..90 °C\n"
    "  says     \"The bath is {found}, and {limit} is the most.\"\n"
    "  mend     \"Cool it to {needed}.\"\n"
    "end\n";

/* The number typed without decimals is proposed without, on the safe side. */
static void try_rounding(Checks *checks, Workshop *workshop, const Template *template)
{
    static const struct { const char *typed, *needed; } baths[] = {{"60 °C", "48 °C"}, {"60.0 °C", "48.5 °C"}};
    for (size_t i = 0; i < sizeof baths / sizeof baths[0]; i++) {
        Page page = {0};
        const char *bath = strstr(template->text, "43 °C");
        if (!check(checks, bath != NULL, "example.wleaf has no bath of 43 °C"))
            return;
        page_add(&page, template->text, (size_t)(bath - template->text));
        page_add(&page, baths[i].typed, strlen(baths[i].typed));
        page_add(&page, bath + strlen("43 °C"), strlen(bath) - strlen("43 °C"));
        page_add(&page, own_rule, strlen(own_rule));
        Verdict verdict;
        if (judge(checks, workshop, "bath-at-most", page.at, NULL, &verdict)) {
            const Message *message = message_of(workshop, "bath-at-most");
            if (check(checks, message != NULL && message->needed != NULL, "%s: nothing is proposed:%s", baths[i].typed, verdict.text))
                check(checks, strcmp(message->needed, baths[i].needed) == 0, "for %s %s is proposed, not %s", baths[i].typed,
                      message->needed, baths[i].needed);
        }
        free(page.at);
    }
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    WorkshopWish wish = {.stdlib = count > 2 && strcmp(arguments[1], "--stdlib") == 0 ? arguments[2] : NULL};
    Workshop *workshop = workshop_open(&wish);
    if (check(&checks, workshop != NULL, "no workshop")) {
        Template template;
        RuleExamples rules = rule_examples(workshop);
        if (template_open(&checks, workshop, "tests/rules/example.wleaf", &template)) {
            Usual usual = usual_notes(&checks, workshop, &template);
            try_rounding(&checks, workshop, &template);
            for (size_t i = 0; i < rules.count; i++)
                if (rules.at[i].changes)
                    try_proposal(&checks, workshop, &template, &rules.at[i], &usual);
        }
        template_close(&template);
        rule_examples_free(&rules);
    }
    workshop_close(workshop);
    return checks_end(&checks, "proposals");
}
