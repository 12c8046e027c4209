/* Every rule and claim of stdlib: with the lines of its `fails:` in example.wleaf it speaks, and nothing else does; with
 * those of its `mended:` it does not, and there is no error. What a rule says is two sentences that can be read aloud, what is
 * wrong and what to do, each of 25 words at most. How the lines are put in: example.h.
 *
 *   examples [NAME ...] [--show] [--stdlib FOLDER]
 *
 * --show prints both scripts and what was said of them, for those who write rules; --stdlib reads stdlib from a folder
 * in place of the one built in, so that nothing need be built after a rule was changed.
 */
#include "example.h"

enum { MOST_WORDS = 25 };

typedef struct Wishes { const char *names[64]; unsigned count; bool show; } Wishes;

static bool wanted(const Wishes *wishes, const char *name)
{
    for (unsigned i = 0; i < wishes->count; i++)
        if (strcmp(wishes->names[i], name) == 0)
            return true;
    return wishes->count == 0;
}

static void show(Workshop *workshop, const char *which, const char *name, const char *script)
{
    printf("---- %s of %s\n%s---- what is said\n", which, name, script);
    show_said(workshop);
    printf("\n");
}

/* TEXT begins large, ends with a full stop, has no braces left and not too many words. */
static void try_sentence(Checks *checks, const char *name, const char *text)
{
    size_t length = strlen(text);
    unsigned words = 0;
    for (const char *at = text; *at != '\0'; at += strcspn(at, " "), at += strspn(at, " "))
        words++;
    check(checks, length > 1 && (text[length - 1] == '.' || text[length - 1] == '?'), "%s: no sentence: \"%s\"", name, text);
    check(checks, length > 1 && strpbrk(text, "{}") == NULL, "%s: a brace in \"%s\"", name, text);
    check(checks, words <= MOST_WORDS, "%s: %u words in \"%s\"", name, words, text);
}

/* What the rule said of the script that was read last. */
static void try_words(Checks *checks, Workshop *workshop, const RuleExample *rule)
{
    const Messages *messages = workshop_messages(workshop);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        if (strcmp(message->name, rule->name) != 0)
            continue;
        check(checks, message->source != NULL && *message->source != '\0', "%s tells no source, not even practice", rule->name);
        try_sentence(checks, rule->name, message->mend);
        if (!rule->claim)
            try_sentence(checks, rule->name, message->says);
    }
}

static void try_rule(Checks *checks, Workshop *workshop, Template *template, const RuleExample *rule, const Usual *usual, bool shown)
{
    const char *name = rule->name;
    Verdict verdict;
    check(checks, rule->has_fails && rule->fails.count > 0, "%s has no `fails:` with lines", name);
    check(checks, rule->has_mended, "%s has no `mended:`", name);
    if (!rule->has_fails || !rule->has_mended)
        return;
    char *fails = template_fill(checks, template, name, &rule->fails);
    if (judge(checks, workshop, name, fails, usual, &verdict)) {
        check(checks, verdict.of_rule > 0, "%s is not said where it fails; said is:%s", name, verdict.text);
        check(checks, verdict.other == 0, "%s: where it fails something else is said:%s", name, verdict.text);
        try_words(checks, workshop, rule);
    }
    if (shown)
        show(workshop, "fails:", name, fails);
    char *mended = template_fill(checks, template, name, &rule->mended);
    if (judge(checks, workshop, name, mended, usual, &verdict))
        check(checks, verdict.of_rule == 0 && verdict.errors == 0, "%s: where it is mended there is:%s", name, verdict.text);
    if (shown)
        show(workshop, "mended:", name, mended);
    free(fails);
    free(mended);
}

static void try_all(Checks *checks, Workshop *workshop, const Wishes *wishes)
{
    Template template;
    RuleExamples rules = rule_examples(workshop);
    unsigned tried = 0;
    if (template_open(checks, workshop, "tests/rules/example.wleaf", &template)) {
        Usual usual = usual_notes(checks, workshop, &template);
        for (size_t i = 0; i < rules.count; i++) {
            if (!wanted(wishes, rules.at[i].name))
                continue;
            try_rule(checks, workshop, &template, &rules.at[i], &usual, wishes->show);
            tried++;
        }
    }
    check(checks, tried > 0, "no rule is called so, or stdlib has none");
    template_close(&template);
    rule_examples_free(&rules);
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    Wishes wishes = {0};
    WorkshopWish wish = {0};
    for (int i = 1; i < count; i++) {
        if (strcmp(arguments[i], "--show") == 0)
            wishes.show = true;
        else if (strcmp(arguments[i], "--stdlib") == 0 && i + 1 < count)
            wish.stdlib = arguments[++i];
        else if (wishes.count < 64)
            wishes.names[wishes.count++] = arguments[i];
    }
    Workshop *workshop = workshop_open(&wish);
    if (check(&checks, workshop != NULL, "no workshop"))
        try_all(&checks, workshop, &wishes);
    workshop_close(workshop);
    return checks_end(&checks, "examples");
}
