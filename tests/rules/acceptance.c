/* What a paper accepts holds to the end of its day, and is told in what comes out; without a day nothing is past; of two
 * papers the one that did not accept is told. */
#include "../check.h"
#include "waterleaf.h"

enum { DAY = 20878 }; /* 2027-03-01 */

static const char script[] =
    "waterleaf 1\n"
    "rule heavy:\n"
    "  require  paper.grammage.aim < 100 g/m², severity warning\n"
    "  says     \"It is heavy: {found}.\"\n"
    "end\n"
    "paper %s:\n"
    "  title     \"%s\"\n"
    "  mould     a4\n"
    "  grammage  120 g/m²\n"
    "  %s\n"
    "  furnish:\n"
    "    cotton-linters  100 %%\n"
    "  end\n"
    "  procedure:\n"
    "    beat        cotton-linters at 2.5 %%, for 20 min\n"
    "    blend\n"
    "    charge-vat  to 1 %%\n"
    "    form        into posts of 20, surplus to beater\n"
    "    press       at 700 kPa, for 15 min\n"
    "    loft-dry    for 2 d\n"
    "  end\n"
    "end\n";

static const char accepting[] = "accept heavy, because \"a card\", signed \"the vat foreman\", until 2027-03-01";

typedef struct Told { unsigned count; char text[256]; } Told;

static bool take_accepted(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Told *told = with;
    told->count += outcome->accepted_count;
    if (outcome->accepted_count > 0)
        snprintf(told->text, sizeof told->text, "%s", outcome->accepted[0]);
    return true;
}

static unsigned said(Workshop *workshop, const char *name)
{
    const Messages *messages = workshop_messages(workshop);
    unsigned count = 0;
    for (uint32_t i = 0; i < messages->list.count; i++)
        count += strcmp(messages->list.at[i].name, name) == 0;
    return count;
}

static void on_day(Checks *checks, int32_t day, unsigned past)
{
    Workshop *workshop = workshop_open(&(WorkshopWish){.day = day});
    char text[2048];
    Told told = {0};
    snprintf(text, sizeof text, script, "card", "Card", accepting);
    if (check(checks, workshop != NULL && workshop_read_text(workshop, "card.wleaf", text, strlen(text)) == WATERLEAF_FINE &&
                          workshop_check(workshop) == WATERLEAF_FINE, "day %d: cannot be checked", day)) {
        check(checks, said(workshop, "accept-past") == past && workshop_messages(workshop)->list.count == past,
              "day %d: accept-past is said %u times of %u", day, said(workshop, "accept-past"), workshop_messages(workshop)->list.count);
        if (past == 0 && check(checks, workshop_work_out(workshop, NULL, 0, take_accepted, &told) == WATERLEAF_FINE, "day %d: %s", day,
                               workshop_trouble(workshop)))
            check(checks, told.count == 1 && strcmp(told.text, "heavy: a card; signed the vat foreman, until 2027-03-01") == 0,
                  "day %d: accepted is told %u times: %s", day, told.count, told.text);
    }
    workshop_close(workshop);
}

/* The card accepts, the poster does not. */
static void of_two_papers(Checks *checks)
{
    Workshop *workshop = workshop_open(&(WorkshopWish){.day = DAY});
    char text[4096];
    int length = snprintf(text, sizeof text, script, "card", "Card", accepting);
    char other[2048];
    snprintf(other, sizeof other, script, "poster", "Poster", "purpose other");
    snprintf(text + length, sizeof text - (size_t)length, "%s", strstr(other, "paper poster"));
    if (check(checks, workshop != NULL && workshop_read_text(workshop, "two.wleaf", text, strlen(text)) == WATERLEAF_FINE &&
                          workshop_check(workshop) == WATERLEAF_FINE, "two papers: cannot be checked")) {
        const Messages *messages = workshop_messages(workshop);
        bool one = messages->list.count == 1 && strcmp(messages->list.at[0].name, "heavy") == 0;
        uint32_t line = 0, column = 0;
        if (one)
            sources_line(&workshop_world(workshop)->sources, messages->list.at[0].at.start, &line, &column);
        check(checks, one && line == 23, "two papers: %u messages, the first on line %u", messages->list.count, line);
    }
    workshop_close(workshop);
}

/* What is accepted wherever it is wrong is told once, each rule by itself. */
static void in_many_places(Checks *checks)
{
    Workshop *workshop = workshop_open(&(WorkshopWish){.day = DAY});
    char one[2048], text[3000];
    Told told = {0};
    snprintf(one, sizeof one, script, "card", "Card", accepting);
    const char *behind = strstr(one, "  require"), *grammage = strstr(one, "  accept");
    snprintf(text, sizeof text, "%.*s  each s from steps\n%.*s  accept soft, because \"a card\", signed \"the vat foreman\", until 2027-03-01\n%s"
             "rule soft:\n  require paper.grammage.aim < 110 g/m², severity note\n  says \"It is soft.\"\nend\n",
             (int)(behind - one), one, (int)(grammage - behind), behind, grammage);
    if (check(checks, workshop != NULL && workshop_read_text(workshop, "steps.wleaf", text, strlen(text)) == WATERLEAF_FINE &&
                          workshop_work_out(workshop, NULL, 0, take_accepted, &told) == WATERLEAF_FINE, "many places: cannot be worked out"))
        check(checks, told.count == 2 && workshop_messages(workshop)->list.count == 0, "many places: accepted is told %u times, and %u messages",
              told.count, workshop_messages(workshop)->list.count);
    workshop_close(workshop);
}

int main(void)
{
    Checks checks = {0};
    on_day(&checks, 0, 0);
    on_day(&checks, DAY - 1, 0);
    on_day(&checks, DAY, 0);
    on_day(&checks, DAY + 1, 1);
    of_two_papers(&checks);
    in_many_places(&checks);
    return checks_end(&checks, "acceptance");
}
