/* What a rule proposes is what would do: the value, written where the message says, clears the message and brings no other.
 * Tried on the failing example of each rule with a `change`, and on the scripts of its limits. Every such rule must propose
 * something on one of them: a `change` that never finds a value is a promise that is not kept.
 *
 *   proposals [NAME] [--stdlib FOLDER]
 */
#include "limits.h"

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

/* Whether the rule proposes something for SCRIPT; what it does propose must do. */
static bool try_script(Checks *checks, Workshop *workshop, const char *name, const char *script, const Usual *usual)
{
    Verdict before, after;
    if (!judge(checks, workshop, name, script, usual, &before))
        return false;
    const Message *message = message_of(workshop, name);
    if (message == NULL || message->needed == NULL)
        return false;
    char needed[128];
    snprintf(needed, sizeof needed, "%s", message->needed);
    if (check(checks, message->edit.start != 0 && message->edit_text != NULL && strcmp(message->edit_text, needed) == 0,
              "%s proposes %s and does not say where it is written", name, needed) &&
        check(checks, !sources_at(&workshop_world(workshop)->sources, message->edit.start)->library, "%s would change stdlib", name)) {
        char *mended = edited(workshop, message, script);
        if (judge(checks, workshop, name, mended, usual, &after))
            check(checks, after.of_rule < before.of_rule && after.other <= before.other,
                  "%s: %s does not do; before there was:%s; and after:%s", name, needed, before.text, after.text);
        free(mended);
    }
    return true;
}

static void try_rule(Checks *checks, Workshop *workshop, Template *template, const RuleExample *rule, const TableRows *limits, const Usual *usual)
{
    char *fails = template_fill(checks, template, rule->name, &rule->fails);
    unsigned proposed = try_script(checks, workshop, rule->name, fails, usual);
    free(fails);
    for (size_t i = 0; i < limits->count; i++)
        for (unsigned number = 0; number < LIMIT_NUMBERS && strcmp(limits->at[i].part[0], rule->name) == 0; number++) {
            LimitSays says = limit_says(checks, &limits->at[i], number);
            if (says == LIMIT_QUIET || says == LIMIT_NOT_ASKED)
                continue;
            char *script = limit_script(checks, template, &limits->at[i], number);
            proposed += try_script(checks, workshop, rule->name, script, usual);
            free(script);
        }
    check(checks, proposed > 0, "%s names a change, and proposes nothing in its failing example or at its limits", rule->name);
}

/* Whatever rules stdlib has, the rounding of proposals is tried with these: a number typed without decimals is proposed without, on the
 * safe side; what is counted comes whole; where the limit itself does not do, the next does. */
static const struct { const char *written, *typed, *rule, *needed; } roundings[] = {
    {"43 °C", "60 °C", "each s from steps(sizing)\n  require s.bath <= 48.5 °C, severity warning\n  change bath of s, within 20 °C..90 °C", "48 °C"},
    {"43 °C", "60.0 °C", "each s from steps(sizing)\n  require s.bath <= 48.5 °C, severity warning\n  change bath of s, within 20 °C..90 °C", "48.5 °C"},
    {"43 °C", "20 °C", "each s from steps(sizing)\n  require s.bath >= 31.5 °C, severity warning\n  change bath of s, within 20 °C..90 °C", "32 °C"},
    {"posts of 25", "posts of 25", "each f from steps(forming)\n  require f.post <= 20.5 sheets, severity warning\n  change post of f, within 1 sheets..52 sheets", "20"},
    {"posts of 25", "posts of 9", "each f from steps(forming)\n  require f.post <= 5.5 sheets, severity warning\n  change post of f, within 1 sheets..52 sheets", "5"},
    {"posts of 25", "posts of 25", "each f from steps(forming)\n  require f.post < 10 sheets, severity warning\n  change post of f, within 1 sheets..52 sheets", "9"},
};

static void try_rounding(Checks *checks, Workshop *workshop, const Template *template)
{
    for (size_t i = 0; i < sizeof roundings / sizeof roundings[0]; i++) {
        Page page = {0};
        size_t length = strlen(roundings[i].written);
        const char *at = strstr(template->text, roundings[i].written);
        if (!check(checks, at != NULL, "example.wleaf has no %s", roundings[i].written))
            return;
        page_add(&page, template->text, (size_t)(at - template->text));
        page_add(&page, roundings[i].typed, strlen(roundings[i].typed));
        page_add(&page, at + length, strlen(at) - length);
        page_print(&page, "\nrule rounding:\n  %s\n  says \"It is {found}.\"\n  mend \"Make it {needed}.\"\nend\n", roundings[i].rule);
        Verdict verdict;
        if (judge(checks, workshop, "rounding", page.at, NULL, &verdict)) {
            const Message *message = message_of(workshop, "rounding");
            if (check(checks, message != NULL && message->needed != NULL, "%s: nothing is proposed:%s", roundings[i].typed, verdict.text))
                check(checks, strcmp(message->needed, roundings[i].needed) == 0, "for %s %s is proposed, not %s", roundings[i].typed,
                      message->needed, roundings[i].needed);
        }
        free(page.at);
    }
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    WorkshopWish wish = {0};
    const char *only = NULL;
    for (int i = 1; i < count; i++) {
        if (strcmp(arguments[i], "--stdlib") == 0 && i + 1 < count)
            wish.stdlib = arguments[++i];
        else
            only = arguments[i];
    }
    TableRows limits = table_read(&checks, "tests/rules/limits.tsv", 6);
    Workshop *workshop = workshop_open(&wish);
    if (check(&checks, workshop != NULL, "no workshop")) {
        Template template;
        RuleExamples rules = rule_examples(workshop);
        if (template_open(&checks, workshop, "tests/rules/example.wleaf", &template)) {
            Usual usual = usual_notes(&checks, workshop, &template);
            try_rounding(&checks, workshop, &template);
            for (size_t i = 0; i < rules.count; i++)
                if (rules.at[i].changes && (only == NULL || strcmp(only, rules.at[i].name) == 0))
                    try_rule(&checks, workshop, &template, &rules.at[i], &limits, &usual);
        }
        template_close(&template);
        rule_examples_free(&rules);
    }
    workshop_close(workshop);
    table_free(&limits);
    return checks_end(&checks, "proposals");
}
