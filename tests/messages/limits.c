/* Limits of the language: scripts that pass one, too long to be kept as files.
 * Each gets the limit's message; just below the limit it does not. */
#include "../check.h"
#include "base/limits.h"
#include "source/message.h"
#include "waterleaf.h"

static const char above_furnish[] = "waterleaf 1\nmould small:\n  opening 5 in by 7 in\nend\n";
static const char procedure[] = "  procedure:\n    blend\n    form-by-measure\n  end\nend\n";

static void add_times(Page *page, unsigned count, const char *text)
{
    for (unsigned i = 0; i < count; i++)
        page_add(page, text, strlen(text));
}

/* ---- one writer a limit: a script with COUNT of what is limited ---- */

static void write_digits(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\nlet a = ");
    add_times(page, count, "1");
    page_print(page, "\n");
}

static void write_brackets(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\nlet a = ");
    add_times(page, count, "(");
    page_print(page, "1");
    add_times(page, count, ")");
    page_print(page, "\n");
}

static void write_operators(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\nlet a = 1");
    add_times(page, count, " + 1");
    page_print(page, "\n");
}

static void write_line(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\nnote \"");
    add_times(page, count, "a");
    page_print(page, "\"\n");
}

static void write_mistakes(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\n");
    add_times(page, count, "note \"a\" @\n");
}

static void write_blocks(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\n");
    add_times(page, count, "mould small:\n");
    add_times(page, count, "end\n");
}

static void write_names(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\nstep turn:\n");
    for (unsigned i = 0; i < count; i++)
        page_print(page, "  let part-%u as ratio = 1\n", i);
    page_print(page, "end\n");
}

static void write_requirements(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\nrule many:\n");
    for (unsigned i = 0; i < count; i++)
        page_print(page, "  require 1 = 1\n");
    page_print(page, "  says \"One is not one.\"\nend\n");
}

static void write_variants(Page *page, unsigned count)
{
    page_print(page, "%spaper plain:\n  title \"Plain {weight}\"\n  mould small\n  grammage weight\n  vary weight over 100 g/m²", above_furnish);
    for (unsigned i = 1; i < count; i++)
        page_print(page, ", %u.%03u g/m²", 100 + i / 1000, i % 1000);
    page_print(page, "\n  furnish:\n    cotton-linters 100 %%\n  end\n%s", procedure);
}

/* Of a paper of which a batch is made, which has to choose of each. */
static void write_vary_lines(Page *page, unsigned count)
{
    page_print(page, "%spaper plain:\n  title \"Plain\"\n  mould small\n  grammage weight-0\n", above_furnish);
    for (unsigned i = 0; i < count; i++)
        page_print(page, "  vary weight-%u over %u g/m²\n", i, 100 + i);
    page_print(page, "  furnish:\n    cotton-linters 100 %%\n  end\n%sbatch \"P\":\n  paper plain\n  sheets 10\nend\n", procedure);
}

static void write_streams(Page *page, unsigned count)
{
    page_print(page, "%spaper plain:\n  title \"Plain\"\n  mould small\n  grammage 200 g/m²\n  furnish:\n", above_furnish);
    for (unsigned i = 0; i < count; i++)
        page_print(page, "    cotton-linters %u %%, as part-%u\n", i == 0 ? 101 - count : 1, i);
    page_print(page, "  end\n%s", procedure);
}

static void write_materials(Page *page, unsigned count)
{
    page_print(page, "%s", above_furnish);
    for (unsigned i = 1; i < count; i++)
        page_print(page, "material stuff-%u:\n  class filler\nend\n", i);
    page_print(page, "paper plain:\n  title \"Plain\"\n  mould small\n  grammage 200 g/m²\n  furnish:\n    cotton-linters 100 %%\n  end\n"
                     "  procedure:\n    blend\n");
    for (unsigned i = 1; i < count; i++)
        page_print(page, "    add stuff-%u 0.1 %% on fibre\n", i);
    page_print(page, "    form-by-measure\n  end\nend\n");
}

/* The same in two streams, which are joined. */
static void write_materials_of_streams(Page *page, unsigned count)
{
    page_print(page, "%sstep dose:\n  role blending\n  takes what as stream\n  takes with agent as material\n  adds agent to what, 0.1 %% on fibre\nend\n",
               above_furnish);
    for (unsigned i = 1; i < count; i++)
        page_print(page, "material stuff-%u:\n  class filler\nend\n", i);
    page_print(page, "paper plain:\n  title \"Plain\"\n  mould small\n  grammage 200 g/m²\n  furnish:\n    cotton-linters 50 %%\n"
                     "    cotton-linters 50 %%, as rest\n  end\n  procedure:\n");
    for (unsigned i = 1; i < count; i++)
        page_print(page, "    dose %s with stuff-%u\n", i % 2 == 0 ? "rest" : "cotton-linters", i);
    page_print(page, "    blend\n    form-by-measure\n  end\nend\n");
}

static void write_formulas(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\nlet deep-0 = 1\n");
    for (unsigned i = 1; i <= count; i++)
        page_print(page, "let deep-%u = deep-%u + 1\n", i, i - 1);
    page_print(page, "mould small:\n  opening 5 in by 7 in\nend\npaper plain:\n  title \"Plain\"\n  mould small\n  grammage 200 g/m² * deep-%u / %u\n"
                     "  furnish:\n    cotton-linters 100 %%\n  end\n%s", count, count + 1, procedure);
}

static void write_paper_doing(Page *page, const char *step)
{
    page_print(page, "paper plain:\n  title \"Plain\"\n  mould small\n  grammage 200 g/m²\n  furnish:\n    cotton-linters 100 %%\n  end\n"
                     "  procedure:\n    blend\n    %s\n    form-by-measure\n  end\nend\n", step);
}

static void write_taken(Page *page, unsigned count)
{
    page_print(page, "%sstep many:\n", above_furnish);
    for (unsigned i = 0; i < count; i++)
        page_print(page, "  takes word-%u part-%u as count = 1\n", i, i);
    page_print(page, "  tells \"Much.\"\nend\n");
    write_paper_doing(page, "many");
}

static void write_told(Page *page, unsigned count)
{
    page_print(page, "%sstep many:\n", above_furnish);
    for (unsigned i = 0; i < count; i++)
        page_print(page, "  tells \"Much.\"\n");
    page_print(page, "end\n");
    write_paper_doing(page, "many");
}

static void write_steps_within(Page *page, unsigned count)
{
    page_print(page, "%sstep deep-0:\n  tells \"Deep.\"\nend\n", above_furnish);
    for (unsigned i = 1; i < count; i++)
        page_print(page, "step deep-%u:\n  deep-%u\nend\n", i, i - 1);
    page_print(page, "step many:\n  deep-%u\nend\n", count - 1);
    write_paper_doing(page, "many");
}

static void write_each_within(Page *page, unsigned count)
{
    page_print(page, "%sreckon deep as ratio = ", above_furnish);
    for (unsigned i = 0; i < count; i++)
        page_print(page, "sum(");
    page_print(page, "1");
    for (unsigned i = 0; i < count; i++)
        page_print(page, ", each name-%u from numbers(1))", i);
    page_print(page, "\n");
    write_paper_doing(page, "strain");
}

/* Where a procedure's own lines ask, and where a figure does. */
static void write_each_beside(Page *page, unsigned count)
{
    page_print(page, "%stable small-ones of count as ratio:\n  row 1 times  1\nend\nlet many as count = 0 times", above_furnish);
    for (unsigned i = 0; i < count; i++)
        page_print(page, " + count(each name-%u from small-ones)", i);
    page_print(page, "\n");
    write_paper_doing(page, "soak cotton-linters for 1 min * (count(each a from small-ones) + count(each b from small-ones) + count(each c from small-ones) as ratio)");
}

/* Each line doubles what the one before comes to, by asking for it twice. */
static void write_doubled(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\nlet twice-0 = 1\n");
    for (unsigned i = 1; i <= count; i++)
        page_print(page, "let twice-%u = twice-%u + twice-%u\n", i, i - 1, i - 1);
    page_print(page, "mould small:\n  opening 5 in by 7 in\nend\npaper plain:\n  title \"Plain\"\n  mould small\n"
                     "  grammage 200 g/m² * twice-%u / twice-%u\n  furnish:\n    cotton-linters 100 %%\n  end\n%s", count, count, procedure);
}

static void write_together(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\ndocument slip:\n");
    for (unsigned i = 0; i < count; i++)
        page_print(page, "together:\n");
    page_print(page, "text \"a\"\n");
    for (unsigned i = 0; i <= count; i++)
        page_print(page, "end\n");
}

static unsigned kinds_of_stdlib;

static void write_kinds(Page *page, unsigned count)
{
    page_print(page, "waterleaf 1\n");
    for (unsigned i = kinds_of_stdlib; i < count; i++)
        page_print(page, "kind sort-%u\n", i);
}

typedef struct Limit {
    MessageName message;
    void (*write)(Page *page, unsigned count);
    unsigned allowed, too_many;
} Limit;

static const Limit limits[] = {
    {SAY_number_too_long, write_digits, LIMIT_NUMBER_DIGITS, LIMIT_NUMBER_DIGITS + 1},
    {SAY_brackets_too_deep, write_brackets, LIMIT_BRACKETS, LIMIT_BRACKETS + 1},
    {SAY_expression_too_long, write_operators, LIMIT_OPERATORS - 1, LIMIT_OPERATORS + 1},
    {SAY_line_too_long, write_line, LIMIT_LINE_BYTES - 20, LIMIT_LINE_BYTES + 1},
    {SAY_reading_stopped, write_mistakes, LIMIT_SCRIPT_MESSAGES - 1, LIMIT_SCRIPT_MESSAGES + 20},
    {SAY_blocks_too_deep, write_blocks, LIMIT_BLOCKS, LIMIT_BLOCKS + 1},
    {SAY_too_many_kinds, write_kinds, LIMIT_KINDS, LIMIT_KINDS + 1},
    {SAY_too_many_names, write_names, 64, 65},
    {SAY_rule_too_large, write_requirements, 16, 17},
    {SAY_document_too_large, write_together, 12, 13},
    {SAY_too_many_variants, write_variants, 1000, 1001},
    {SAY_too_many_vary_lines, write_vary_lines, LIMIT_VARY_LINES, LIMIT_VARY_LINES + 1},
    {SAY_too_many_streams, write_streams, 16, 17},
    {SAY_too_many_materials, write_materials, 32, 33},
    {SAY_too_many_materials, write_materials_of_streams, 32, 33},
    {SAY_too_deep, write_formulas, 100, 1000},
    {SAY_too_many_names, write_taken, 64, 65},
    {SAY_too_many_names, write_each_within, 64, 65},
    {SAY_too_many_names, write_each_beside, 96, 97},
    {SAY_too_deep, write_told, 256, 257},
    {SAY_too_deep, write_steps_within, 399, 401},
    {SAY_too_much_work, write_doubled, 8, 60},
};

static unsigned times_said(Workshop *workshop, MessageName name)
{
    const Messages *messages = workshop_messages(workshop);
    unsigned count = 0;
    for (uint32_t i = 0; i < messages->list.count; i++)
        count += messages->list.at[i].kind == name;
    return count;
}

static void try_limit(Checks *checks, Workshop *workshop, const Limit *limit, unsigned count, unsigned times)
{
    Page page = {0};
    const char *name = message_kinds[limit->message].name;
    limit->write(&page, count);
    if (check(checks, workshop_clear(workshop) == WATERLEAF_FINE &&
                          workshop_read_text(workshop, "limit.wleaf", page.at, page.length) == WATERLEAF_FINE &&
                          workshop_check(workshop) == WATERLEAF_FINE,
              "%s, %u: %s", name, count, workshop_trouble(workshop))) {
        const Messages *messages = workshop_messages(workshop);
        check(checks, times_said(workshop, limit->message) == times, "%s is said %u times at %u, not %u; first: %s", name,
              times_said(workshop, limit->message), count, times, messages->list.count > 0 ? messages->list.at[0].says : "nothing");
    }
    free(page.at);
}

int main(void)
{
    Checks checks = {0};
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    kinds_of_stdlib = workshop == NULL ? 0 : workshop_world(workshop)->kinds.count;
    if (check(&checks, workshop != NULL, "no workshop"))
        for (size_t i = 0; i < sizeof limits / sizeof *limits; i++) {
            try_limit(&checks, workshop, &limits[i], limits[i].allowed, 0);
            try_limit(&checks, workshop, &limits[i], limits[i].too_many, 1);
        }
    workshop_close(workshop);
    return checks_end(&checks, "limits");
}
