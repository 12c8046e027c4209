/* Rules that are wrong are noticed. Each comparison, limit and condition of every rule and claim of stdlib is changed, one
 * at a time, in a copy of stdlib:
 *
 *   turned     the comparison says the opposite: >= becomes <, is becomes is not
 *   raised     the number on its right is a tenth more
 *   dropped    the condition behind a `when` is no longer asked
 *   negated    the condition is asked the other way round
 *
 * and of the scripts of the other tests (the rule's own examples, its limits, its faults; then the examples of all other
 * rules, and the example scripts) at least one must come out otherwise than it must. What survives is a failure, but for
 * changes that change nothing, which equivalent.tsv lists with the reason; one of those that is noticed is a failure, too.
 *
 *   mutants [NAME ...]      only those rules; else, without WATERLEAF_FULL, a sample drawn by the seed
 */
#include "../folder.h"
#include "faults.h"
#include "limits.h"

#include <sys/stat.h>
#include <unistd.h>

enum { SAMPLE = 30, MOST_NAMES = 64 };

typedef enum Change { TURNED, RAISED, DROPPED, NEGATED } Change;

static const char *const change_names[] = {"turned", "raised", "dropped", "negated"};

/* A stretch of a file of stdlib, and what stands there instead. */
typedef struct Mutant { size_t rule; Change change; unsigned line; char *path; size_t start, end; char *text; } Mutant;

typedef struct Mutants { Mutant *at; size_t count; } Mutants;

typedef struct Bench {
    Checks *checks;
    Template template;
    RuleExamples rules;
    TableRows faults, limits, equivalent;
    Usual usual;
    char **fails, **mended;       /* the scripts of each rule's examples */
    Paths scripts;
    char folder[64];              /* the copy of stdlib */
} Bench;

/* ---- what is changed ---- */

static void mutant_add(Mutants *mutants, const World *world, size_t rule, Change change, Span span, const char *text)
{
    const Source *source = sources_at(&world->sources, span.start);
    uint32_t line, column;
    sources_line(&world->sources, span.start, &line, &column);
    const char *path = world_text(world, source->path);
    mutants->at = check_resize(mutants->at, (mutants->count + 1) * sizeof *mutants->at);
    mutants->at[mutants->count++] = (Mutant){rule, change, line, check_copy(path, strlen(path)), span.start - source->base,
                                             span.end - source->base, check_copy(text, strlen(text))};
}

static const char *opposite(uint16_t operator)
{
    switch ((Operator)operator) {
    case OPERATOR_EQUAL: return " <> ";
    case OPERATOR_UNEQUAL: return " = ";
    case OPERATOR_LESS: return " >= ";
    case OPERATOR_LESS_EQUAL: return " > ";
    case OPERATOR_MORE: return " <= ";
    case OPERATOR_MORE_EQUAL: return " < ";
    case OPERATOR_IS: return " is not ";
    case OPERATOR_IS_NOT: return " is ";
    default: return NULL;
    }
}

/* The number at NODE, written a tenth larger; nothing where it is none, or 0. */
static void raise_number(Mutants *mutants, const World *world, size_t rule, NodeId node)
{
    NodeForm form = (NodeForm)world_node(world, node)->form;
    if (form != NODE_QUANTITY && form != NODE_NUMBER)
        return;
    Span span = world_span(world, node);
    const char *at = sources_bytes(&world->sources, span.start);
    char digits[64], text[64];
    size_t length = 0, taken = 0;
    for (; length < sizeof digits - 1 && (isdigit((unsigned char)at[taken]) || at[taken] == '.' || at[taken] == '_'); taken++)
        if (at[taken] != '_')
            digits[length++] = at[taken];
    digits[length] = '\0';
    double value = strtod(digits, NULL);
    if (value == 0)
        return;
    snprintf(text, sizeof text, "%.10g", value * 1.1);
    mutant_add(mutants, world, rule, RAISED, (Span){span.start, span.start + (uint32_t)taken}, text);
}

/* Each comparison in a condition, those joined by and, or and not with it. */
static void turn(Mutants *mutants, const World *world, size_t rule, NodeId condition)
{
    const Node *node = world_node(world, condition);
    if (node->form == NODE_NOT)
        turn(mutants, world, rule, node->first);
    if (node->form != NODE_BINARY)
        return;
    NodeId left = node->first, right = world_node(world, left)->next;
    if (node->extra == OPERATOR_AND || node->extra == OPERATOR_OR) {
        turn(mutants, world, rule, left);
        turn(mutants, world, rule, right);
    } else if (opposite(node->extra) != NULL) {
        /* A bracket may stand between a side and its end: the sign is looked for. */
        const char *from = sources_bytes(&world->sources, world_node(world, left)->end);
        size_t room = world_node(world, right)->start - world_node(world, left)->end, begin = 0, end = room;
        while (begin < room && (from[begin] == ' ' || from[begin] == ')'))
            begin++;
        while (end > begin && (from[end - 1] == ' ' || from[end - 1] == '('))
            end--;
        uint32_t base = world_node(world, left)->end;
        mutant_add(mutants, world, rule, TURNED, (Span){base + (uint32_t)begin, base + (uint32_t)end}, opposite(node->extra));
        raise_number(mutants, world, rule, right);
    }
}

/* The comparisons within what chooses a severity. */
static void turn_within(Mutants *mutants, const World *world, size_t rule, NodeId severity)
{
    for (NodeId part = severity == 0 ? 0 : world_node(world, severity)->first; part != 0; part = world_node(world, part)->next)
        if (world_node(world, part)->form == NODE_BINARY)
            turn(mutants, world, rule, part);
}

static void drop_and_negate(Mutants *mutants, const World *world, size_t rule, NodeId condition)
{
    if (condition == 0)
        return;
    Span span = world_span(world, condition);
    const char *at = sources_bytes(&world->sources, span.start);
    uint32_t back = 0;
    while (back + 4 < span.start && strncmp(at - back, "when", 4) != 0)
        back++;
    const char *end = sources_bytes(&world->sources, span.end); /* brackets are no part of what stands in them */
    uint32_t behind = (uint32_t)strcspn(end, "#\n");
    Page text = {0};
    mutant_add(mutants, world, rule, DROPPED, (Span){span.start - back, span.end + behind}, "");
    page_print(&text, "when not (");
    page_add(&text, at - back + 4, back - 4 + (span.end - span.start) + behind);
    page_print(&text, ")");
    mutant_add(mutants, world, rule, NEGATED, (Span){span.start - back, span.end + behind}, text.at);
    free(text.at);
}

static Mutants find_mutants(Workshop *workshop)
{
    Mutants mutants = {0};
    const World *world = workshop_world(workshop);
    for (uint32_t i = 1; i < world->rules.count; i++) {
        const Rule *rule = &world->rules.at[i];
        for (uint32_t e = rule->each; e < rule->each + rule->each_count; e++)
            drop_and_negate(&mutants, world, i - 1, world->eachs.at[e].when);
        for (uint32_t r = rule->require; r < rule->require + rule->require_count; r++) {
            turn(&mutants, world, i - 1, world->requirements.at[r].condition);
            drop_and_negate(&mutants, world, i - 1, world->requirements.at[r].when);
            turn_within(&mutants, world, i - 1, world->requirements.at[r].severity);
        }
    }
    return mutants;
}

/* ---- the copy of stdlib ---- */

static void write_file(Checks *checks, const char *path, const char *text, size_t length)
{
    FILE *file = fopen(path, "wb");
    check(checks, file != NULL && fwrite(text, 1, length, file) == length && fclose(file) == 0, "%s cannot be written", path);
}

static void make_folders(char *path)
{
    for (char *slash = strchr(path + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(path, 0777);
        *slash = '/';
    }
}

static bool copy_stdlib(Bench *bench)
{
    Paths paths = {0};
    snprintf(bench->folder, sizeof bench->folder, "build/tests/rules/mutant-%ld", (long)getpid());
    folder_add(&paths, "stdlib", ".wleaf");
    for (size_t i = 0; i < paths.count; i++) {
        char path[512];
        size_t length;
        char *text = check_read(paths.at[i], &length);
        snprintf(path, sizeof path, "%s/%s", bench->folder, paths.at[i]);
        make_folders(path);
        if (text != NULL)
            write_file(bench->checks, path, text, length);
        free(text);
    }
    bool any = paths.count > 0;
    folder_free(&paths);
    return any;
}

static void remove_copy(const Bench *bench)
{
    char *start = check_copy(bench->folder, strlen(bench->folder));
    FTS *walk = fts_open((char *[]){start, NULL}, FTS_PHYSICAL | FTS_NOCHDIR, NULL);
    for (FTSENT *entry; walk != NULL && (entry = fts_read(walk)) != NULL;)
        if (entry->fts_info == FTS_F || entry->fts_info == FTS_DP)
            remove(entry->fts_path);
    if (walk != NULL)
        fts_close(walk);
    free(start);
}

/* ---- whether it is noticed ---- */

/* Whether TEXT comes out otherwise: SPEAKS tells whether rule NAME must speak there, QUIET that nothing else may. */
static bool otherwise(Bench *bench, Workshop *workshop, const char *name, const char *text, bool speaks, bool quiet)
{
    Verdict verdict;
    if (text == NULL || !judge(bench->checks, workshop, name, text, &bench->usual, &verdict))
        return false;
    return (verdict.of_rule > 0) != speaks || (quiet && verdict.other > 0);
}

static bool own_notice(Bench *bench, Workshop *workshop, size_t rule)
{
    const char *name = bench->rules.at[rule].name;
    bool noticed = otherwise(bench, workshop, name, bench->fails[rule], true, true)
        || otherwise(bench, workshop, name, bench->mended[rule], false, false);
    for (size_t i = 0; i < bench->limits.count && !noticed; i++)
        for (unsigned number = 0; number < LIMIT_NUMBERS && strcmp(bench->limits.at[i].part[0], name) == 0 && !noticed; number++) {
            LimitSays says = limit_says(bench->checks, &bench->limits.at[i], number);
            Verdict verdict;
            char *script = limit_script(bench->checks, &bench->template, &bench->limits.at[i], number);
            noticed = judge(bench->checks, workshop, name, script, NULL, &verdict) && !limit_met(says, &verdict);
            free(script);
        }
    for (size_t i = 0; i < bench->faults.count && !noticed; i++)
        if (strcmp(bench->faults.at[i].part[3], name) == 0) {
            char *script = fault_plant(bench->checks, &bench->faults.at[i]);
            noticed = otherwise(bench, workshop, name, script, true, false);
            free(script);
        }
    return noticed;
}

static bool others_notice(Bench *bench, Workshop *workshop, size_t rule)
{
    const char *name = bench->rules.at[rule].name;
    Verdict verdict;
    bool noticed = otherwise(bench, workshop, name, bench->template.text, word_among(name, bench->usual.names), false);
    for (size_t i = 0; i < bench->scripts.count && !noticed; i++) {
        char *script = fault_script(bench->checks, bench->scripts.at[i]);
        noticed = otherwise(bench, workshop, name, script, false, false);
        free(script);
    }
    for (size_t i = 0; i < bench->rules.count && !noticed && !word_among(name, bench->usual.names); i++)
        if (i != rule && bench->fails[i] != NULL && judge(bench->checks, workshop, name, bench->fails[i], NULL, &verdict))
            noticed = verdict.of_rule > 0;
    return noticed;
}

/* Whether equivalent.tsv has the change: rule, change, the words changed, why. */
static bool is_equivalent(const Bench *bench, const char *name, const Mutant *mutant, const char *words)
{
    for (size_t i = 0; i < bench->equivalent.count; i++) {
        char *const *part = bench->equivalent.at[i].part;
        if (strcmp(part[0], name) == 0 && strcmp(part[1], change_names[mutant->change]) == 0 && strcmp(part[2], words) == 0)
            return true;
    }
    return false;
}

static void try_mutant(Bench *bench, const Mutant *mutant)
{
    char path[512];
    size_t length = 0;
    const char *name = bench->rules.at[mutant->rule].name;
    char *text = check_read(mutant->path, &length);
    if (!check(bench->checks, text != NULL, "there is no %s", mutant->path))
        return;
    Page page = {0};
    page_add(&page, text, mutant->start);
    page_add(&page, mutant->text, strlen(mutant->text));
    page_add(&page, text + mutant->end, length - mutant->end);
    snprintf(path, sizeof path, "%s/%s", bench->folder, mutant->path);
    write_file(bench->checks, path, page.at, page.length);
    snprintf(path, sizeof path, "%s/stdlib", bench->folder);
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = path});
    if (check(bench->checks, workshop != NULL && *workshop_trouble(workshop) == '\0' && workshop_messages(workshop)->errors == 0,
              "%s: stdlib cannot be read where its line %u in %s is %s: %s", name, mutant->line, mutant->path, change_names[mutant->change],
              workshop == NULL ? "" : workshop_trouble(workshop))) {
        char *words = check_copy(text + mutant->start, mutant->end - mutant->start);
        bool noticed = own_notice(bench, workshop, mutant->rule) || others_notice(bench, workshop, mutant->rule);
        bool same = is_equivalent(bench, name, mutant, words);
        check(bench->checks, noticed != same, "%s, %s:%u: %s that \"%s\" is %s%s", name, mutant->path, mutant->line,
              noticed ? "it is noticed" : "nothing notices", words, change_names[mutant->change], same ? ", which equivalent.tsv says changes nothing" : "");
        free(words);
    }
    workshop_close(workshop);
    snprintf(path, sizeof path, "%s/%s", bench->folder, mutant->path);
    write_file(bench->checks, path, text, length);
    free(page.at);
    free(text);
}

/* ---- the whole ---- */

static void bench_open(Bench *bench, Workshop *workshop)
{
    bench->rules = rule_examples(workshop);
    bench->faults = table_read(bench->checks, "tests/rules/faults.tsv", 4);
    bench->limits = table_read(bench->checks, "tests/rules/limits.tsv", 6);
    bench->equivalent = table_read(bench->checks, "tests/rules/equivalent.tsv", 4);
    template_open(bench->checks, workshop, "tests/rules/example.wleaf", &bench->template);
    bench->usual = usual_notes(bench->checks, workshop, &bench->template);
    folder_add(&bench->scripts, "examples", ".wleaf");
    bench->fails = check_resize(NULL, (bench->rules.count + 1) * sizeof *bench->fails);
    bench->mended = check_resize(NULL, (bench->rules.count + 1) * sizeof *bench->mended);
    for (size_t i = 0; i < bench->rules.count; i++) {
        const RuleExample *rule = &bench->rules.at[i];
        bench->fails[i] = rule->has_fails ? template_fill(bench->checks, &bench->template, rule->name, &rule->fails) : NULL;
        bench->mended[i] = rule->has_mended ? template_fill(bench->checks, &bench->template, rule->name, &rule->mended) : NULL;
    }
}

static void bench_close(Bench *bench)
{
    for (size_t i = 0; i < bench->rules.count; i++) {
        free(bench->fails[i]);
        free(bench->mended[i]);
    }
    free(bench->fails);
    free(bench->mended);
    folder_free(&bench->scripts);
    table_free(&bench->faults);
    table_free(&bench->limits);
    table_free(&bench->equivalent);
    template_close(&bench->template);
    rule_examples_free(&bench->rules);
    remove_copy(bench);
}

static bool named(char **names, int count, const char *name)
{
    for (int i = 0; i < count; i++)
        if (strcmp(names[i], name) == 0)
            return true;
    return count == 0;
}

static void try_mutants(Bench *bench, Workshop *workshop, char **names, int count)
{
    const char *full = getenv("WATERLEAF_FULL");
    bool all = count > 0 || (full != NULL && *full != '\0');
    Dice dice = dice_seeded("mutants", 20270301);
    workshop_clear(workshop);
    Mutants mutants = find_mutants(workshop);
    unsigned tried = 0;
    for (size_t i = 0; i < mutants.count; i++) {
        bool chosen = all || dice_below(&dice, (unsigned)mutants.count) < SAMPLE;
        if (chosen && named(names, count, bench->rules.at[mutants.at[i].rule].name)) {
            try_mutant(bench, &mutants.at[i]);
            tried++;
        }
        free(mutants.at[i].path);
        free(mutants.at[i].text);
    }
    printf("mutants: %u of %zu were tried\n", tried, mutants.count);
    check(bench->checks, tried > 0, "no mutant was tried");
    free(mutants.at);
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    Bench bench = {.checks = &checks};
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = "stdlib"});
    if (check(&checks, workshop != NULL && copy_stdlib(&bench), "no workshop, or no stdlib")) {
        bench_open(&bench, workshop);
        try_mutants(&bench, workshop, arguments + 1, count - 1);
        bench_close(&bench);
    }
    workshop_close(workshop);
    return checks_end(&checks, "mutants");
}
