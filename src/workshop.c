/* The stages in order: read, declare, work out, show. Here, and nowhere else,
 * failure is caught. */
#include "workshop_parts.h"

#include "meaning/declare.h"
#include "reckoning/result.h"
#include "reckoning/solve.h"
#include "reckoning/variant.h"
#include "reckoning/what_if.h"
#include "reckoning/why.h"

#include "base/files.h"
#include "base/limits.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_MEMORY_GIB = 8 };

/* Whatever fails in a stage ends here. What is asked while an outcome is shown is a part of the stage that shows it: it ends there, too. */
WaterleafAnswer workshop_guarded(Workshop *workshop, Stage *stage, void *with)
{
    if (workshop->broken) {
        return WATERLEAF_FAILED;
    }
    if (workshop->memory.rescue != NULL) {
        return stage(workshop, with);
    }
    workshop->trouble = "";
    workshop->fresh = false;
    workshop->memory.rescue = &workshop->rescue;
    if (setjmp(workshop->rescue) != 0) {
        workshop->broken = true;
        workshop->memory.rescue = NULL;
        switch (workshop->memory.failure) {
        case FAILURE_MEMORY:
            workshop->trouble = "There is not enough memory for this.";
            break;
        case FAILURE_WRITE:
            workshop->trouble = "What was worked out could not be written.";
            break;
        default:
            workshop->trouble = "A limit was passed.";
        }
        return WATERLEAF_FAILED;
    }
    WaterleafAnswer answer = stage(workshop, with);
    workshop->memory.rescue = NULL;
    return answer;
}

void workshop_say_trouble(Workshop *workshop, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(workshop->trouble_text, sizeof workshop->trouble_text, format, arguments);
    va_end(arguments);
    workshop->trouble = workshop->trouble_text;
}

static void note_library(Workshop *workshop)
{
    workshop->library_sources = workshop->world.sources.list.count;
    workshop->library_papers = workshop->world.papers.count;
    workshop->library_batches = workshop->world.batches.count;
}

static WaterleafAnswer open_stage(Workshop *workshop, void *with)
{
    const WorkshopWish *wish = with;
    arena_open(&workshop->scratch, &workshop->memory);
    messages_open(&workshop->messages, &workshop->memory);
    world_open(&workshop->world, &workshop->memory, &workshop->scratch, &workshop->messages);
    text_open(&workshop->why, &workshop->memory);
    text_open(&workshop->start_read, &workshop->memory);
    workshop_stdlib(workshop, wish == NULL ? NULL : wish->stdlib);
    image_mark(workshop->image, workshop->mark);
    note_library(workshop);
    workshop->fresh = (wish == NULL || wish->stdlib == NULL) && *workshop->trouble == 0;
    return *workshop->trouble != 0 ? WATERLEAF_NO_FILE : WATERLEAF_FINE;
}

Workshop *workshop_open(const WorkshopWish *wish)
{
    Workshop *workshop = calloc(1, sizeof *workshop);
    if (workshop == NULL) {
        return NULL;
    }
    workshop->trouble = "";
    workshop->memory.limit = (size_t)MOST_MEMORY_GIB << 30;
    if (wish != NULL) {
        workshop->memory.fail_at = wish->fail_at;
        workshop->memory.fail_on = wish->fail_on;
        workshop->memory.read_fails_at = wish->read_fails_at;
        workshop->memory.write_fails_at = wish->write_fails_at;
        workshop->judge.day = wish->day;
        workshop->unjudged = wish->unjudged;
        workshop->at_hand = wish->at_hand;
        workshop->at_hand_with = wish->with;
        workshop->memory.limit = wish->memory_limit != 0 ? wish->memory_limit : workshop->memory.limit;
    }
    if (workshop_guarded(workshop, open_stage, (void *)wish) == WATERLEAF_FAILED) {
        workshop_close(workshop);
        return NULL;
    }
    return workshop;
}

void workshop_close(Workshop *workshop)
{
    if (workshop != NULL) {
        memory_return_all(&workshop->memory);
        free(workshop);
    }
}

static WaterleafAnswer clear_stage(Workshop *workshop, void *with)
{
    (void)with;
    image_read(&workshop->world, workshop->image, workshop->image_length);
    messages_close(&workshop->messages);
    messages_open(&workshop->messages, &workshop->memory);
    arena_reset(&workshop->scratch);
    workshop->loaded.count = workshop->way.count = 0;
    workshop->root = NULL;
    if (workshop->run_open) {
        run_close(&workshop->run);
        judge_close(&workshop->judge);
        workshop->run_open = false;
    }
    note_library(workshop);
    return WATERLEAF_FINE;
}

/* Most who clear a workshop have just opened it: putting stdlib into it a second time would be felt at start-up. */
WaterleafAnswer workshop_clear(Workshop *workshop)
{
    if (workshop->fresh) {
        return WATERLEAF_FINE;
    }
    return workshop_guarded(workshop, clear_stage, NULL);
}

typedef struct ToRead { const char *path; const char *text; size_t length; int how_far; } ToRead;

static WaterleafAnswer read_stage(Workshop *workshop, void *with)
{
    const ToRead *reading = with;
    uint32_t source, first = workshop->world.tree.scripts.count;
    workshop->messages.reading = true;
    if (reading->text != NULL) {
        workshop_load_text(workshop, reading->path, reading->text, reading->length, &source);
    } else {
        WaterleafAnswer answer = workshop_load(workshop, reading->path, &source);
        if (answer != WATERLEAF_FINE) {
            return answer;
        }
    }
    if (reading->how_far > 1) {
        declare_scripts(&workshop->world, first);
    }
    workshop->messages.reading = false;
    return WATERLEAF_FINE;
}

WaterleafAnswer workshop_read(Workshop *workshop, const char *path)
{
    ToRead reading = {.path = path, .how_far = 2};
    return workshop_guarded(workshop, read_stage, &reading);
}

WaterleafAnswer workshop_read_text(Workshop *workshop, const char *name, const char *text, size_t length)
{
    ToRead reading = {.path = name, .text = text, .length = length, .how_far = 2};
    return workshop_guarded(workshop, read_stage, &reading);
}

static WaterleafAnswer tokens_stage(Workshop *workshop, void *with)
{
    const ToRead *reading = with;
    char *bytes;
    size_t length;
    World *world = &workshop->world;
    uint32_t front = world->sources.texts.count;
    if (files_read_behind(&workshop->memory, reading->path, front, (size_t)1 << 30, &bytes, &length) != FILE_FINE) {
        workshop_say_trouble(workshop, "%s cannot be read.", reading->path);
        return WATERLEAF_NO_FILE;
    }
    Name path = names_of(&world->names, world->memory, reading->path);
    uint32_t source = sources_adopt(&world->sources, world->memory, path, bytes, length);
    ParseWorld parsing = {world->memory, &world->names, &world->sources, &world->tree, world->messages};
    parse_count_tokens(&parsing, source);
    return WATERLEAF_FINE;
}

WaterleafAnswer workshop_read_only(Workshop *workshop, const char *path, int how_far)
{
    ToRead reading = {.path = path, .how_far = how_far};
    return workshop_guarded(workshop, how_far == 0 ? tokens_stage : read_stage, &reading);
}

static Run *the_run(Workshop *workshop)
{
    if (!workshop->run_open) {
        uint64_t walks = workshop->run.walks;
        run_open(&workshop->run, &workshop->world, &workshop->memory);
        workshop->run.walks = walks;
        judge_open(&workshop->judge, &workshop->world, &workshop->memory, workshop->judge.day);
        workshop->run_open = true;
    }
    return &workshop->run;
}

/* ---- working out ---- */

static bool paper_fit(const World *world, uint32_t paper)
{
    return paper != 0 && !world->papers.at[paper].unfit;
}

/* Solves the run's paper and judges it. SHOWN: afterwards it stands solved at its usual values. */
static bool solve_here(Workshop *workshop, bool shown)
{
    workshop->variants++;
    bool solved = solve_paper(&workshop->run) && !workshop->run.failed;
    if (solved) {
        variant_judge(&workshop->run);
        if (!workshop->unjudged) {
            judge_paper(&workshop->judge, &workshop->run, shown);
        }
    }
    return solved;
}

/* The titles are names of their own, given back with the paper: among the world's they would pile up with the variants. */
static void check_titles(Workshop *workshop, uint32_t paper, uint32_t count)
{
    Run *run = &workshop->run;
    World *world = &workshop->world;
    Names titles;
    names_open(&titles, world->memory);
    for (uint32_t i = 0; i < count; i++) {
        variant_begin(run, paper, i);
        const char *title = variant_title(run);
        if (names_find(&titles, title, strlen(title)) != 0) {
            message_say(world->messages, SAY_title_twice, line_span(world, world->papers.at[paper].line), title, NULL);
            break;
        }
        names_of(&titles, world->memory, title);
    }
    names_close(&titles, world->memory);
}

typedef struct Patience { bool (*goes_on)(void *with); void *with; } Patience;

static bool still_wanted(const Patience *patience) { return patience->goes_on == NULL || patience->goes_on(patience->with); }

/* Errors anywhere outside a paper, in what all papers rest on, keep papers from being walked only where
 * they touch them; so a paper is walked when the script as a whole has no error. */
static WaterleafAnswer check_stage(Workshop *workshop, void *with)
{
    const Patience *patience = with;
    World *world = &workshop->world;
    if (workshop->messages.errors > 0) {
        return WATERLEAF_FINE;
    }
    Run *run = the_run(workshop);
    run->judging = true;
    /* batches first: of two messages at one place the first is kept, and theirs has the numbers that will be worked with */
    for (uint32_t batch = workshop->library_batches; batch < world->batches.count; batch++) {
        if (!still_wanted(patience)) {
            return WATERLEAF_STOPPED;
        }
        if (!world->batches.at[batch].unfit && paper_fit(world, world->batches.at[batch].paper)
            && variant_begin_batch(run, batch)) {
            solve_here(workshop, false);
        }
    }
    for (uint32_t paper = workshop->library_papers; paper < world->papers.count; paper++) {
        uint32_t count = paper_fit(world, paper) ? variant_count(world, paper) : 0;
        if (count > 1) {
            check_titles(workshop, paper, count);
        }
        for (uint32_t i = 0; i < count; i++) {
            if (!still_wanted(patience)) {
                return WATERLEAF_STOPPED;
            }
            variant_begin(run, paper, i);
            solve_here(workshop, false);
            if (run->evaluations > LIMIT_EVALUATIONS) {
                break; /* the other variants would take as long */
            }
        }
    }
    run->judging = false;
    return WATERLEAF_FINE;
}

WaterleafAnswer workshop_check_while(Workshop *workshop, bool (*goes_on)(void *with), void *with)
{
    Patience patience = {goes_on, with};
    return workshop_guarded(workshop, check_stage, &patience);
}

WaterleafAnswer workshop_check(Workshop *workshop) { return workshop_check_while(workshop, NULL, NULL); }

/* ---- what can be worked out, by number and by name ---- */

typedef struct Work { uint32_t batch, paper, variant; } Work;

static uint32_t work_count(Workshop *workshop)
{
    World *world = &workshop->world;
    uint32_t count = 0;
    for (uint32_t batch = workshop->library_batches; batch < world->batches.count; batch++) {
        count += !world->batches.at[batch].unfit && world->batches.at[batch].paper != 0;
    }
    for (uint32_t paper = workshop->library_papers; paper < world->papers.count; paper++) {
        count += variant_count(world, paper);
    }
    return count;
}

static Work work_at(Workshop *workshop, uint32_t number)
{
    World *world = &workshop->world;
    for (uint32_t batch = workshop->library_batches; batch < world->batches.count; batch++) {
        if (!world->batches.at[batch].unfit && world->batches.at[batch].paper != 0 && number-- == 0) {
            return (Work){batch, world->batches.at[batch].paper, 0};
        }
    }
    for (uint32_t paper = workshop->library_papers; paper < world->papers.count; paper++) {
        uint32_t count = variant_count(world, paper);
        if (number < count) {
            return (Work){0, paper, number};
        }
        number -= count;
    }
    return (Work){0, 0, 0};
}

static bool begin_work(Workshop *workshop, Work work)
{
    Run *run = the_run(workshop);
    if (work.batch != 0) {
        return variant_begin_batch(run, work.batch);
    }
    variant_begin(run, work.paper, work.variant);
    return true;
}

typedef struct Numbered { uint32_t number; WaterleafWork *work; uint32_t count; } Numbered;

static WaterleafAnswer count_stage(Workshop *workshop, void *with)
{
    ((Numbered *)with)->count = work_count(workshop);
    return WATERLEAF_FINE;
}

uint32_t workshop_work_count(Workshop *workshop)
{
    Numbered numbered = {0};
    workshop_guarded(workshop, count_stage, &numbered);
    return numbered.count;
}

static WaterleafAnswer work_stage(Workshop *workshop, void *with)
{
    Numbered *numbered = with;
    World *world = &workshop->world;
    Work work = work_at(workshop, numbered->number);
    if (work.paper == 0 || !begin_work(workshop, work)) {
        return WATERLEAF_NO_NAME;
    }
    *numbered->work = (WaterleafWork){
        .batch = work.batch == 0 ? NULL : world_word(world, world->batches.at[work.batch].name),
        .paper = world_word(world, world->things.at[world->papers.at[work.paper].thing].name),
        .title = variant_title(&workshop->run)};
    return WATERLEAF_FINE;
}

WaterleafAnswer workshop_work(Workshop *workshop, uint32_t number, WaterleafWork *work)
{
    Numbered numbered = {.number = number, .work = work};
    return workshop_guarded(workshop, work_stage, &numbered);
}

/* Titles and choices are compared without blanks and in one spelling of units, and capitals count as small letters. */
static bool same_spelling(const char *one, const char *other)
{
    for (;;) {
        while (*one == ' ' || *one == '\t') {
            one++;
        }
        while (*other == ' ' || *other == '\t') {
            other++;
        }
        if (strncmp(one, "²", 2) == 0 && *other == '2') {
            one += 2, other++;
        } else if (strncmp(other, "²", 2) == 0 && *one == '2') {
            other += 2, one++;
        } else if (strncmp(one, "°", 2) == 0 && strncmp(other, "°", 2) != 0) {
            one += 2;
        } else if (*one == 0 || *other == 0) {
            return *one == *other;
        } else if ((*one | 32) == (*other | 32)) {
            one++, other++;
        } else {
            return false;
        }
    }
}

/* "botanical weight=300 finish=rough" */
static bool named_by_choices(Workshop *workshop, const char *name, const char *paper)
{
    Run *run = &workshop->run;
    size_t length = strlen(paper);
    if (strncmp(name, paper, length) != 0 || (name[length] != ' ' && name[length] != 0)) {
        return false;
    }
    const char *at = name + length;
    while (*at != 0) {
        while (*at == ' ') {
            at++;
        }
        size_t word = strcspn(at, "= "), value = at[word] == '=' ? strcspn(at + word + 1, " ") : 0;
        if (word == 0) {
            break;
        }
        if (value == 0) {
            return false;
        }
        const char *key = arena_copy(&workshop->scratch, at, word), *wanted = arena_copy(&workshop->scratch, at + word + 1, value);
        bool fits = false;
        const Paper *of = &workshop->world.papers.at[run->paper];
        for (uint32_t i = 0; i < of->vary_count; i++) {
            if (strcmp(world_text(&workshop->world, workshop->world.varies.at[of->vary + i].name), key) == 0) {
                const char *choice = variant_choice_text(run, i);
                const char *number = arena_copy(&workshop->scratch, choice, strcspn(choice, " "));
                fits = same_spelling(choice, wanted) || same_spelling(number, wanted);
            }
        }
        if (!fits) {
            return false;
        }
        at += word + 1 + value;
    }
    return true;
}

static bool is_called(Workshop *workshop, Work work, const char *name)
{
    World *world = &workshop->world;
    if (work.batch != 0) {
        return strcmp(world_text(world, world->batches.at[work.batch].name), name) == 0;
    }
    const char *paper = world_word(world, world->things.at[world->papers.at[work.paper].thing].name);
    return strcmp(paper, name) == 0 || same_spelling(variant_title(&workshop->run), name)
        || named_by_choices(workshop, name, paper);
}

typedef struct Wanted {
    const char *name;
    double sheets;
    bool what_if;
    WaterleafShow *show;
    void *with;
    const char *figure;
    unsigned depth;
    const char **text;
} Wanted;

/* The numbers of the works that are called NAME; batches alone where no name is given and there are any. */
static uint32_t find_works(Workshop *workshop, const char *name, uint32_t *numbers, uint32_t most)
{
    uint32_t count = work_count(workshop), found = 0;
    bool only_batches = name == NULL && count > 0 && work_at(workshop, 0).batch != 0;
    for (uint32_t i = 0; i < count && found < most; i++) {
        Work work = work_at(workshop, i);
        bool fits = name == NULL && (!only_batches || work.batch != 0);
        if (name != NULL) {
            fits = begin_work(workshop, work) && is_called(workshop, work, name);
        }
        if (fits) {
            numbers[found++] = i;
            if (name != NULL && work.batch != 0) {
                break;
            }
        }
    }
    return found;
}

static WaterleafAnswer no_such_name(Workshop *workshop, const char *name)
{
    if (name == NULL) {
        workshop_say_trouble(workshop, "There is no paper and no batch in this script that can be worked out.");
        return WATERLEAF_NO_NAME;
    }
    TextNearest search = {.to = name};
    for (uint32_t i = 0, count = work_count(workshop); i < count; i++) {
        Work work = work_at(workshop, i);
        const World *world = &workshop->world;
        Name known = work.batch != 0 ? world->batches.at[work.batch].name : world->things.at[world->papers.at[work.paper].thing].name;
        text_nearest(&search, world_text(world, known));
    }
    workshop_say_trouble(workshop, "There is no batch, paper or variant called %.200s in this script.%s%.200s%s", name,
                         search.nearest == NULL ? "" : " Did you mean ", search.nearest == NULL ? "" : search.nearest,
                         search.nearest == NULL ? "" : "?");
    return WATERLEAF_NO_NAME;
}

static WaterleafAnswer work_out_stage(Workshop *workshop, void *with)
{
    const Wanted *wanted = with;
    uint32_t *numbers = arena_take(&workshop->scratch, 4000 * sizeof *numbers);
    if (workshop->messages.errors > 0) {
        return WATERLEAF_FINE;
    }
    uint32_t count = find_works(workshop, wanted->name, numbers, 4000);
    if (count == 0) {
        return no_such_name(workshop, wanted->name);
    }
    for (uint32_t i = 0; i < count; i++) {
        if (!begin_work(workshop, work_at(workshop, numbers[i]))) {
            continue;
        }
        variant_order(&workshop->run, wanted->sheets);
        if (!solve_here(workshop, true)) {
            continue;
        }
        Outcome *outcome = result_make(&workshop->run, true);
        judge_finish(&workshop->judge, &workshop->run, outcome);
        if (wanted->what_if) {
            what_if_add(&workshop->run, outcome);
        }
        if (!wanted->show(wanted->with, workshop, outcome)) {
            break;
        }
    }
    return WATERLEAF_FINE;
}

WaterleafAnswer workshop_work_out(Workshop *workshop, const char *name, double sheets, WaterleafShow *show, void *with)
{
    Wanted wanted = {.name = name, .sheets = sheets, .show = show, .with = with};
    return workshop_guarded(workshop, work_out_stage, &wanted);
}

WaterleafAnswer workshop_what_if(Workshop *workshop, const char *name, double sheets, WaterleafShow *show, void *with)
{
    Wanted wanted = {.name = name, .sheets = sheets, .what_if = true, .show = show, .with = with};
    return workshop_guarded(workshop, work_out_stage, &wanted);
}

static WaterleafAnswer no_such_figure(Workshop *workshop, const char *name)
{
    const World *world = &workshop->world;
    const char *not_here = why_not_here(&workshop->run, name);
    if (not_here != NULL) {
        workshop_say_trouble(workshop, "%.400s", not_here);
        return WATERLEAF_NO_NAME;
    }
    TextNearest search = {.to = name};
    for (uint32_t i = 1; i < world->figures.count; i++) {
        text_nearest(&search, world_text(world, world->figures.at[i].name));
    }
    for (uint32_t i = 0; i < world->given.count; i++) {
        text_nearest(&search, world_text(world, world->given.at[i]));
    }
    if (search.nearest != NULL && strcmp(search.nearest, name) == 0) {
        workshop_say_trouble(workshop, "No step of this procedure gives %.200s. Ask for a figure that one of its steps gives, or for one of the paper.", name);
        return WATERLEAF_NO_NAME;
    }
    workshop_say_trouble(workshop, "There is no figure called %.200s here.%s%.200s%s", name,
                         search.nearest == NULL ? "" : " Did you mean ", search.nearest == NULL ? "" : search.nearest,
                         search.nearest == NULL ? "" : "?");
    return WATERLEAF_NO_NAME;
}

static WaterleafAnswer held_up(Workshop *workshop)
{
    workshop_say_trouble(workshop, "This cannot be worked out, as the script has errors. Mend what the messages say first.");
    return WATERLEAF_ERRORS;
}

static WaterleafAnswer why_stage(Workshop *workshop, void *with)
{
    const Wanted *wanted = with;
    uint32_t number;
    if (workshop->messages.errors > 0) {
        return held_up(workshop);
    }
    if (find_works(workshop, wanted->name, &number, 1) == 0) {
        return no_such_name(workshop, wanted->name);
    }
    if (!begin_work(workshop, work_at(workshop, number)) || !solve_here(workshop, true)) {
        return held_up(workshop);
    }
    text_clear(&workshop->why);
    workshop->why_parts = why_figure(&workshop->run, wanted->figure, wanted->depth);
    if (workshop->why_parts == NULL) {
        return no_such_figure(workshop, wanted->figure);
    }
    why_text(&workshop->world, workshop->why_parts, &workshop->why);
    *wanted->text = workshop->why.at;
    return WATERLEAF_FINE;
}

WaterleafAnswer workshop_why(Workshop *workshop, const char *name, const char *figure, unsigned depth, const char **text)
{
    *text = "";
    workshop->why_parts = NULL;
    Wanted wanted = {.name = name, .figure = figure, .depth = depth, .text = text};
    return workshop_guarded(workshop, why_stage, &wanted);
}

const WhyPart *workshop_why_parts(const Workshop *workshop) { return workshop->why_parts; }

static WaterleafAnswer sort_stage(Workshop *workshop, void *with)
{
    (void)with;
    messages_sort(&workshop->messages, &workshop->world.sources);
    return WATERLEAF_FINE;
}

const Messages *workshop_messages(Workshop *workshop)
{
    const char *trouble = workshop->trouble;
    workshop_guarded(workshop, sort_stage, NULL);
    workshop->trouble = trouble;
    return &workshop->messages;
}

/* Paths are kept as the user wrote them; the root is a real path. What lies below the root begins with as much of the
 * user's path as leads to it. */
const char *workshop_path(const Workshop *workshop, const char *path)
{
    const char *prefix = workshop->root_prefix;
    size_t length = prefix == NULL ? 0 : strlen(prefix);
    return length > 0 && strncmp(path, prefix, length) == 0 ? path + length : path;
}

const World *workshop_world(const Workshop *workshop) { return &workshop->world; }
const char *workshop_stdlib_mark(const Workshop *workshop) { return workshop->mark; }
bool workshop_failed(const Workshop *workshop) { return workshop->broken; }

const char *workshop_trouble(const Workshop *workshop) { return workshop->trouble; }
uint64_t workshop_walks(const Workshop *workshop) { return workshop->run.walks; }
uint64_t workshop_variants(const Workshop *workshop) { return workshop->variants; }
size_t workshop_most_held(const Workshop *workshop) { return workshop->memory.most_held; }
