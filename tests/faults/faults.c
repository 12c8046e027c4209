/* The fault loop: a whole piece of work (open, read, check, work out, explain, forget, read again) with its first request
 * for memory failing, then its second, and so on, once with only that request failing and once with all after it as well;
 * the same with stdlib read from its folder; with each reading of a file failing; and with too little memory. Each answer
 * must say so or be fine, and nothing may crash, be left behind or stay open (the sanitizers look, too).
 *
 * The same, in fewer strides, with every golden script and example.
 *
 * The first requests are tried one by one, from there in strides, and the loop is shared by two processes, so that it ends in
 * seconds; in shorter strides where WATERLEAF_FULL is set. Each request of each command, without the sanitizers: programs.c. */
#include "folder.h"
#include "waterleaf.h"

#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

/* How many are tried, in the usual tier and in the long one. */
typedef struct Tier { uint64_t one_by_one, strides, strides_of_folder, reading_stride, strides_of_each; } Tier;
static const Tier usual = {200, 30, 5, 11, 2}, full = {2000, 900, 100, 1, 40};

static const Tier *tier(void) { return getenv("WATERLEAF_FULL") != NULL && getenv("WATERLEAF_FULL")[0] != '\0' ? &full : &usual; }

static const char script[] = "examples/heath.wleaf", batch[] = "H-21";
static const char wrong[] = "waterleaf 1\nlet a = wnidow\n";

/* What came of one piece of work: the amounts, and of its answers the worst and what was wrong with them. */
typedef struct Came {
    unsigned outcomes;
    double weighed;
    bool failed, no_file; /* some answer said so */
    bool said;            /* a message did: a file that the script uses could not be read */
    const char *fault;    /* what an answer said that it must not; NULL: nothing */
} Came;

static bool add_up(void *with, Workshop *workshop, const Outcome *outcome)
{
    Came *came = with;
    came->outcomes += workshop_messages(workshop)->errors == 0; /* as the commands do; what is asked here must not end that all that fails is caught */
    for (uint32_t i = 0; i < outcome->weigh_count; i++)
        came->weighed += outcome->weigh[i].weigh_out.value;
    return true;
}

/* Takes one answer; false where the work ends here. A workshop that failed must say why, and must go on saying that it did. */
static bool goes_on(Came *came, Workshop *workshop, const char *what, WaterleafAnswer answer)
{
    bool says = workshop_trouble(workshop)[0] != '\0';
    if (answer == WATERLEAF_FINE) {
        came->fault = says ? what : came->fault;
        return true;
    }
    came->failed = came->failed || answer == WATERLEAF_FAILED;
    came->no_file = came->no_file || answer == WATERLEAF_NO_FILE;
    if (!says || (answer != WATERLEAF_FAILED && answer != WATERLEAF_NO_FILE))
        came->fault = what;
    if (answer == WATERLEAF_FAILED
        && (workshop_clear(workshop) != WATERLEAF_FAILED || workshop_read(workshop, script) != WATERLEAF_FAILED || workshop_work_count(workshop) != 0))
        came->fault = "after a failure";
    return false;
}

/* A batch sheet; its own memory does not fail. */
static bool make_document(Workshop *workshop, Came *came)
{
    Memory memory = {0};
    Arena arena;
    Document document;
    uint32_t count = 0;
    arena_open(&arena, &memory);
    document_open(&document, &arena, "");
    bool fine = goes_on(came, workshop, "making a document",
                        workshop_document(workshop, &(WaterleafDocument){.document = "batch-sheet", .name = batch}, &document, &count));
    if (fine && (count != 1 || document.root->first == NULL))
        came->fault = "a document without anything in it";
    memory_return_all(&memory);
    return fine;
}

static void use(Workshop *workshop, Came *came)
{
    const char *text = "";
    if (!goes_on(came, workshop, "reading", workshop_read(workshop, script)) || !goes_on(came, workshop, "checking", workshop_check(workshop)))
        return;
    if (workshop_messages(workshop)->list.count != 0) {
        came->said = workshop_messages(workshop)->errors == 1;
        came->fault = came->said ? NULL : "more than one message";
        return;
    }
    if (!goes_on(came, workshop, "working out", workshop_work_out(workshop, NULL, 0, add_up, came))
        || !goes_on(came, workshop, "explaining", workshop_why(workshop, batch, "fibre-charge", 2, &text)))
        return;
    if (strstr(text, "fibre-charge") == NULL)
        came->fault = "an explanation of something else";
    if (!make_document(workshop, came))
        return;
    if (!goes_on(came, workshop, "forgetting", workshop_clear(workshop))
        || !goes_on(came, workshop, "reading a text", workshop_read_text(workshop, "again.wleaf", wrong, strlen(wrong))))
        return;
    if (workshop_messages(workshop)->list.count != 1)
        came->fault = "not the one message of a script with one mistake";
}

static Came work(const WorkshopWish *wish)
{
    Came came = {0};
    Workshop *workshop = workshop_open(wish);
    if (workshop == NULL)
        came.failed = true;
    else if (workshop_trouble(workshop)[0] != '\0')
        came.no_file = true; /* stdlib could not be read, and it says so */
    else
        use(workshop, &came);
    workshop_close(workshop);
    return came;
}

static bool is_fine(const Came *came) { return !came->failed && !came->no_file && !came->said && came->fault == NULL; }

/* How many requests there are, and at most a few more: the first of which the failure is never met. */
static uint64_t requests_of_work(WorkshopWish wish)
{
    uint64_t least = 0, most = 1 << 12;
    for (wish.fail_at = most;; wish.fail_at = most *= 4) {
        Came came = work(&wish);
        if (is_fine(&came))
            break;
        least = most;
    }
    while (most - least > most / 64) {
        wish.fail_at = least + (most - least) / 2;
        Came came = work(&wish);
        if (is_fine(&came))
            most = wish.fail_at;
        else
            least = wish.fail_at;
    }
    return most;
}

/* A failure is told by the answer, or what comes out is what always comes out. */
static void try_fault(Checks *checks, const WorkshopWish *wish, const Came *always, const char *what, uint64_t number)
{
    Came came = work(wish);
    check(checks, came.fault == NULL, "%s %llu fails: %s", what, (unsigned long long)number, came.fault != NULL ? came.fault : "");
    check(checks, came.failed || came.no_file || came.said || (came.outcomes == always->outcomes && came.weighed == always->weighed),
          "%s %llu fails, and yet all answers are fine and the amounts differ", what, (unsigned long long)number);
    check(checks, (!came.no_file && !came.said) || wish->read_fails_at > 0, "%s %llu fails, and it is said that a file could not be read", what,
          (unsigned long long)number);
}

/* ---- every golden script ---- */

/* Nothing is known of it but what comes without a fault: its amounts, and how many messages. */
typedef struct Told {
    Came came;
    unsigned messages;
    WaterleafAnswer answer;
} Told;

static Told work_at(const char *path, WorkshopWish wish)
{
    Told told = {.answer = WATERLEAF_FAILED};
    wish.day = 20878;
    Workshop *workshop = workshop_open(&wish);
    if (workshop != NULL && workshop_trouble(workshop)[0] == '\0') {
        told.answer = workshop_read(workshop, path);
        told.answer = told.answer == WATERLEAF_FINE ? workshop_check(workshop) : told.answer;
        told.answer = told.answer == WATERLEAF_FINE ? workshop_work_out(workshop, NULL, 0, add_up, &told.came) : told.answer;
        told.messages = told.answer == WATERLEAF_FAILED ? 0 : workshop_messages(workshop)->list.count;
        if (told.answer == WATERLEAF_FAILED && (!workshop_failed(workshop) || workshop_trouble(workshop)[0] == '\0'))
            told.came.fault = "it fails, and does not say so";
    }
    workshop_close(workshop);
    return told;
}

static void try_script(Checks *checks, const char *path, unsigned nth)
{
    Told always = work_at(path, (WorkshopWish){0});
    uint64_t requests = 256;
    if (!check(checks, always.answer != WATERLEAF_FAILED, "%s fails without a fault", path))
        return;
    /* How many there are: until a later one is never met. */
    while (work_at(path, (WorkshopWish){.fail_at = requests, .fail_on = true}).answer == WATERLEAF_FAILED)
        requests *= 3;
    uint64_t stride = requests / tier()->strides_of_each + 1;
    for (uint64_t number = 1 + nth * 37 % stride; number < requests; number += stride) {
        WorkshopWish wish = {.fail_at = number, .fail_on = number / stride % 2 == 1};
        Told told = work_at(path, wish);
        check(checks, told.came.fault == NULL && (told.answer == WATERLEAF_FAILED || (told.answer == always.answer && told.messages == always.messages
              && told.came.outcomes == always.came.outcomes && told.came.weighed == always.came.weighed)),
              "%s, request %llu fails%s: %s", path, (unsigned long long)number, wish.fail_on ? " and all behind it" : "",
              told.came.fault != NULL ? told.came.fault : "all answers are fine, and something else comes");
    }
    for (uint64_t number = 1; number <= 6; number += tier() == &full ? 1 : 3) {
        Told told = work_at(path, (WorkshopWish){.read_fails_at = number});
        bool said = told.answer != WATERLEAF_FINE || told.messages > 0;
        check(checks, told.came.fault == NULL && (told.came.weighed == always.came.weighed || said), "%s, reading %llu fails, and nothing is said", path, (unsigned long long)number);
    }
}

static void try_scripts(Checks *checks)
{
    Paths paths = {0};
    folder_add(&paths, "tests/golden/flow", ".wleaf");
    folder_add(&paths, "tests/golden/language", ".wleaf");
    folder_add(&paths, "examples", ".wleaf");
    check(checks, paths.count > 20, "there are hardly any golden scripts");
    for (size_t i = 0; i < paths.count; i++)
        try_script(checks, paths.at[i], (unsigned)i);
    folder_free(&paths);
}

static void try_requests(Checks *checks, const Came *always, WorkshopWish wish, uint64_t one_by_one, uint64_t strides)
{
    uint64_t requests = requests_of_work(wish), stride = requests / strides + 1;
    printf("faults: %llu requests, strides of %llu\n", (unsigned long long)requests, (unsigned long long)stride);
    for (int on = 0; on < 2; on++)
        for (uint64_t number = 1; number <= requests; number += number < one_by_one ? 1 : stride) {
            wish.fail_at = number;
            wish.fail_on = on == 1;
            try_fault(checks, &wish, always, on == 1 ? "every request from" : "request", number);
        }
}

/* Readings of files, until there are no more: the answer may not be fine, as each file is needed. */
static void try_readings(Checks *checks, const Came *always, const char *stdlib, uint64_t at_least)
{
    for (uint64_t number = 1;; number += number < at_least ? 1 : tier()->reading_stride) {
        WorkshopWish wish = {.stdlib = stdlib, .read_fails_at = number};
        Came came = work(&wish);
        if (is_fine(&came)) {
            check(checks, number > at_least, "reading %llu failed, and nothing was said", (unsigned long long)number);
            return;
        }
        try_fault(checks, &wish, always, "reading", number);
    }
}

static void try_limits(Checks *checks, const Came *always)
{
    for (size_t limit = 1 << 10; limit <= (size_t)64 << 20; limit *= 2) {
        Came came = work(&(WorkshopWish){.memory_limit = limit});
        check(checks, came.fault == NULL && (came.failed || came.weighed == always->weighed), "of %zu bytes: %s", limit, came.fault != NULL ? came.fault : "other amounts");
        check(checks, came.failed || limit > 1 << 20, "a megabyte was enough");
    }
}

static void try_image(Checks *checks, const Came *always)
{
    try_requests(checks, always, (WorkshopWish){0}, tier()->one_by_one, tier()->strides);
    try_readings(checks, always, NULL, 2);
    try_limits(checks, always);
}

static void try_folder(Checks *checks, const Came *always)
{
    try_requests(checks, always, (WorkshopWish){.stdlib = "stdlib"}, 0, tier()->strides_of_folder);
    try_readings(checks, always, "stdlib", 20);
    try_scripts(checks);
}

/* One part, after which no file may be open that was not before. */
static void try_part(Checks *checks, const Came *always, void (*part)(Checks *, const Came *))
{
    int first_free = dup(0);
    close(first_free);
    part(checks, always);
    int now_free = dup(0);
    close(now_free);
    check(checks, now_free == first_free, "files were left open");
}

int main(void)
{
    Checks checks = {0};
    Came always = work(&(WorkshopWish){0});
    if (!check(&checks, is_fine(&always) && always.outcomes > 0 && always.weighed > 0, "%s cannot be worked out: %s", script,
               always.fault != NULL ? always.fault : "nothing comes of it"))
        return checks_end(&checks, "faults");
    Checks *others = mmap(NULL, sizeof *others, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    pid_t other = others == MAP_FAILED ? -1 : fork();
    if (other == 0) {
        try_part(others, &always, try_folder);
        exit(0); /* not before the sanitizers have looked for what was left */
    }
    try_part(&checks, &always, try_image);
    int status = 0;
    if (check(&checks, other > 0 && waitpid(other, &status, 0) == other && status == 0, "the other half did not come to its end")) {
        checks.passed += others->passed;
        checks.failed += others->failed;
    }
    return checks_end(&checks, "faults");
}
