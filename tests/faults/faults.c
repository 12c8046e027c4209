/* The fault loop: a whole piece of work (open, read, check, work out, explain) with its first request for memory failing,
 * then its second, and so on, once with only that request failing and once with all after it as well; and with each
 * reading of a file failing. The answer must say so, and nothing may crash or be left behind (the sanitizers look).
 *
 * The first requests are tried one by one; from there in strides, so that the loop ends in seconds. All of them where
 * WATERLEAF_FULL is set. */
#include "check.h"
#include "waterleaf.h"

enum { ONE_BY_ONE = 200, STRIDES = 150 };

static const char script[] = "examples/heath.wleaf";

typedef struct Counted { unsigned outcomes; double weighed; } Counted;

static bool add_up(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Counted *counted = with;
    counted->outcomes++;
    for (uint32_t i = 0; i < outcome->weigh_count; i++)
        counted->weighed += outcome->weigh[i].weigh_out.value;
    return true;
}

/* All of it; false where some answer was not fine, or something was said. */
static bool work(const WorkshopWish *wish, Counted *counted)
{
    const char *text = "";
    Workshop *workshop = workshop_open(wish);
    bool fine = workshop != NULL && workshop_read(workshop, script) == WATERLEAF_FINE &&
                workshop_check(workshop) == WATERLEAF_FINE && workshop_messages(workshop)->list.count == 0 &&
                workshop_work_out(workshop, NULL, 0, add_up, counted) == WATERLEAF_FINE &&
                workshop_why(workshop, "H-21", "fibre-charge", 2, &text) == WATERLEAF_FINE &&
                workshop_clear(workshop) == WATERLEAF_FINE &&
                workshop_read_text(workshop, "again.wleaf", "waterleaf 1\nlet a = wnidow\n", 27) == WATERLEAF_FINE &&
                workshop_messages(workshop) != NULL && workshop_messages(workshop)->list.count == 1;
    if (workshop != NULL) {
        fine = fine && workshop_trouble(workshop)[0] == '\0';
        workshop_close(workshop);
    }
    return fine;
}

/* How many requests there are: the first of which the failure is never met. */
static uint64_t requests_of_work(void)
{
    uint64_t most = 1;
    while (!work(&(WorkshopWish){.fail_at = most}, &(Counted){0}))
        most *= 2;
    uint64_t least = most / 2;
    while (least + 1 < most) {
        uint64_t middle = least + (most - least) / 2;
        if (work(&(WorkshopWish){.fail_at = middle}, &(Counted){0}))
            most = middle;
        else
            least = middle;
    }
    return least;
}

/* A failure is told by the answer, or what comes out is what always comes out. */
static void try_fault(Checks *checks, const WorkshopWish *wish, const Counted *always, const char *what, uint64_t number)
{
    Counted counted = {0};
    bool fine = work(wish, &counted);
    check(checks, !fine || (counted.outcomes == always->outcomes && counted.weighed == always->weighed),
          "%s %llu fails, and yet all answers are fine and the amounts differ", what, (unsigned long long)number);
}

int main(void)
{
    Checks checks = {0};
    Counted always = {0};
    if (check(&checks, work(&(WorkshopWish){0}, &always) && always.outcomes > 0 && always.weighed > 0, "%s cannot be worked out", script)) {
        uint64_t requests = requests_of_work();
        uint64_t stride = getenv("WATERLEAF_FULL") != NULL && getenv("WATERLEAF_FULL")[0] != '\0' ? 1 : requests / STRIDES + 1;
        printf("faults: %llu requests, strides of %llu\n", (unsigned long long)requests, (unsigned long long)stride);
        for (int on = 0; on < 2; on++)
            for (uint64_t number = 1; number <= requests; number += number < ONE_BY_ONE ? 1 : stride) {
                WorkshopWish wish = {.fail_at = number, .fail_on = on == 1};
                try_fault(&checks, &wish, &always, on == 1 ? "every request from" : "request", number);
            }
        for (uint64_t number = 1; number <= 4; number++)
            try_fault(&checks, &(WorkshopWish){.read_fails_at = number}, &always, "reading", number);
        check(&checks, !work(&(WorkshopWish){.read_fails_at = 1}, &(Counted){0}), "a script that cannot be read was read");
        check(&checks, !work(&(WorkshopWish){.memory_limit = 1 << 20}, &(Counted){0}), "a megabyte was enough");
    }
    return checks_end(&checks, "faults");
}
