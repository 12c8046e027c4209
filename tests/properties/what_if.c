/* What moves a figure: the order is by size, nothing is told that is less than can be measured, a number that does nothing is
 * not told, a linear effect is what a sum on paper gives, and afterwards all numbers are what they were. */
#include "../folder.h"
#include "amounts.h"

/* What was told of the numbers of the last paper. */
typedef struct Told { char typed[64], line[160]; double more[8], less[8], most; } Told;
typedef struct Tolds { Told at[256]; size_t count, figures, papers; char figure[8][64]; double chalk, dry, reserve, grammage; } Tolds;

static void take_masses(Tolds *tolds, const Outcome *outcome)
{
    tolds->chalk = tolds->dry = 0;
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        const NamedQuantity *figure = &outcome->figures[i];
        if (strcmp(figure->name, "in-a-sheet") != 0)
            continue;
        tolds->dry += figure->quantity.value;
        if (strcmp(figure->of, "chalk") == 0)
            tolds->chalk = figure->quantity.value;
    }
}

static bool take(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Tolds *tolds = with;
    tolds->papers++;
    tolds->count = 0;
    tolds->figures = outcome->sensitive_count < 8 ? outcome->sensitive_count : 8;
    for (size_t j = 0; j < tolds->figures; j++)
        snprintf(tolds->figure[j], sizeof tolds->figure[j], "%s", outcome->sensitive[j]);
    for (uint32_t i = 0; i < outcome->what_if_count && i < 256; i++) {
        Told *told = &tolds->at[tolds->count++];
        snprintf(told->typed, sizeof told->typed, "%s", outcome->what_if[i].typed);
        snprintf(told->line, sizeof told->line, "%s", outcome->what_if[i].line);
        told->most = outcome->what_if[i].most;
        for (size_t j = 0; j < tolds->figures; j++) {
            told->more[j] = outcome->what_if[i].moves[j].more;
            told->less[j] = outcome->what_if[i].moves[j].less;
        }
    }
    take_masses(tolds, outcome);
    return true;
}

static const Told *find(const Tolds *tolds, const char *typed)
{
    for (size_t i = 0; i < tolds->count; i++)
        if (strcmp(tolds->at[i].typed, typed) == 0)
            return &tolds->at[i];
    return NULL;
}

static size_t figure_called(const Tolds *tolds, const char *name)
{
    for (size_t j = 0; j < tolds->figures; j++)
        if (strcmp(tolds->figure[j], name) == 0)
            return j;
    return 0;
}

/* As stdlib's lines have it. */
static double least_of(const char *figure)
{
    return strcmp(figure, "alkaline-reserve") == 0 ? 0.03 : strcmp(figure, "thickness") == 0 ? 0.02 : 0.01;
}

/* The larger of both ways; of nothing told, -1. */
static double size_of(double more, double less)
{
    double size = fmax(fabs(more), fabs(less));
    return size == size ? size : -1;
}

/* The largest first, each of them measurable in some figure, and in each figure either measurable or not told. */
static void hold_order(Checks *checks, const char *path, const Tolds *tolds)
{
    for (size_t i = 0; i < tolds->count; i++) {
        double most = -1;
        for (size_t j = 0; j < tolds->figures; j++) {
            double size = size_of(tolds->at[i].more[j], tolds->at[i].less[j]);
            check(checks, size == -1 || size >= least_of(tolds->figure[j]), "%s: %s moves %s by %g: that is too little to tell", path,
                  tolds->at[i].typed, tolds->figure[j], size);
            most = fmax(most, size);
        }
        check(checks, most > 0 && fabs(most - tolds->at[i].most) < 1e-15, "%s: %s: the most is %g, not %g", path, tolds->at[i].typed, most, tolds->at[i].most);
        check(checks, i == 0 || tolds->at[i - 1].most >= tolds->at[i].most * (1 - 1e-9), "%s: %s stands in front of %s", path,
              tolds->at[i - (i > 0)].typed, tolds->at[i].typed);
    }
}

/* A script's papers one by one, by WORK_OUT. */
typedef WaterleafAnswer WorkOut(Workshop *workshop, const char *name, double sheets, WaterleafShow *show, void *with);

static void each_work(Checks *checks, Workshop *workshop, const char *path, WorkOut *work_out, WaterleafShow *show, void *with)
{
    uint32_t works = workshop_work_count(workshop);
    for (uint32_t i = 0; i < works; i++) {
        WaterleafWork work;
        char name[256];
        workshop_work(workshop, i, &work);
        snprintf(name, sizeof name, "%s", work.batch != NULL ? work.batch : work.title);
        check(checks, work_out(workshop, name, 0, show, with) == WATERLEAF_FINE, "%s: %s: %s", path, name, workshop_trouble(workshop));
    }
}

typedef struct Ordering { Checks *checks; const char *path; Tolds *tolds; } Ordering;

static bool take_in_order(void *with, Workshop *workshop, const Outcome *outcome)
{
    Ordering *ordering = with;
    take(ordering->tolds, workshop, outcome);
    hold_order(ordering->checks, ordering->path, ordering->tolds);
    return true;
}

/* In each example: the order; what is worked out behind it is what was worked out before, and nothing more was said. */
static void try_script(Checks *checks, Workshop *workshop, const char *path)
{
    Amounts before = {0}, after = {0};
    Tolds *tolds = check_resize(NULL, sizeof *tolds);
    *tolds = (Tolds){.papers = 0};
    Ordering ordering = {checks, path, tolds};
    if (check(checks, workshop_clear(workshop) == WATERLEAF_FINE && workshop_read(workshop, path) == WATERLEAF_FINE, "%s: %s", path,
              workshop_trouble(workshop))) {
        uint32_t works = workshop_work_count(workshop);
        each_work(checks, workshop, path, workshop_work_out, amounts_of, &before);
        uint32_t said = workshop_messages(workshop)->list.count;
        each_work(checks, workshop, path, workshop_what_if, take_in_order, &ordering);
        each_work(checks, workshop, path, workshop_work_out, amounts_of, &after);
        check(checks, tolds->papers >= works, "%s: %zu papers of %u", path, tolds->papers, works);
        if (works > 0) /* a mill alone has none */
            amounts_compare(checks, path, &before, &after, 0);
        check(checks, workshop_messages(workshop)->list.count == said, "%s: something was said", path);
    }
    amounts_clear(&before);
    amounts_clear(&after);
    free(tolds);
}

static const char sketch[] =
    "waterleaf 1\nlet idle = 7 kg\nmould small:\n  opening 400 mm by 500 mm\nend\npaper sketch:\n  title \"Sketch\"\n  mould small\n"
    "  vary weight over 111 g/m², 160 g/m²\n  grammage weight\n"
    "  furnish:\n    cotton-linters 100 %%\n  end\n  procedure:\n    beat cotton-linters at 2.5 %%, for 21 min\n    blend\n"
    "    add chalk %g %% on fibre\n    form-by-measure losing 0 %%\n    press at 710 kPa, spoiling %g %%\n    loft-dry for 17 d, spoiling 0 %%\n"
    "    mature for 13 d when weight < 120 g/m²\n  end\nend\n";

/* One paper by hand: the chalk C that is in a sheet of the dry mass D. A tenth more of its dose makes 1.1 C in D + 0.1 C. */
static void try_by_hand(Checks *checks, Workshop *workshop, double dose, double spoilt)
{
    Page page = {0};
    char typed[40];
    page_print(&page, sketch, dose, spoilt);
    Tolds *tolds = check_resize(NULL, sizeof *tolds);
    *tolds = (Tolds){.papers = 0};
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read_text(workshop, "sketch.wleaf", page.at, page.length) == WATERLEAF_FINE
        && workshop_what_if(workshop, "sketch weight=160", 0, take, tolds) == WATERLEAF_FINE;
    const Messages *messages = workshop_messages(workshop);
    if (check(checks, fine && tolds->papers == 1 && tolds->chalk > 0, "the sketch: %s", messages->list.count > 0 ? messages->list.at[0].says : workshop_trouble(workshop))) {
        size_t reserve = figure_called(tolds, "alkaline-reserve"), grammage = figure_called(tolds, "finished-grammage"), left = figure_called(tolds, "count.sheets");
        snprintf(typed, sizeof typed, "%g %% on fibre", dose);
        const Told *chalk = find(tolds, typed);
        double c = tolds->chalk, d = tolds->dry;
        if (check(checks, chalk != NULL, "the dose of %g %% is not told", dose)) {
            check(checks, fabs(chalk->more[reserve] - (1.1 * d / (d + 0.1 * c) - 1)) < 1e-9, "a tenth more chalk: %.12g, not %.12g", chalk->more[reserve],
                  1.1 * d / (d + 0.1 * c) - 1);
            check(checks, fabs(chalk->less[reserve] - (0.9 * d / (d - 0.1 * c) - 1)) < 1e-9, "a tenth less chalk: %.12g", chalk->less[reserve]);
            bool heavy = 0.1 * c / d >= 0.01; /* the sheet weighs that much more */
            check(checks, heavy ? fabs(chalk->more[grammage] - 0.1 * c / d) < 1e-9 : chalk->more[grammage] != chalk->more[grammage],
                  "a tenth more of %g %% chalk moves the grammage by %.12g, not by %.12g", dose, chalk->more[grammage], 0.1 * c / d);
            check(checks, !heavy || fabs(chalk->more[grammage] + chalk->less[grammage]) < 1e-9, "the grammage is not moved alike both ways");
        }
        snprintf(typed, sizeof typed, "%g %%", spoilt);
        const Told *spoiling = find(tolds, typed);
        bool many = 0.1 * spoilt / (100 - spoilt) >= 0.01;
        if (check(checks, (spoiling != NULL) == many, "what is spoiled is told where it is little, or not where it is much") && many)
            check(checks, fabs(spoiling->more[left] + 0.1 * spoilt / (100 - spoilt)) < 1e-9, "a tenth more spoiled: %.12g", spoiling->more[left]);
        const Told *opening = find(tolds, "400 mm");
        if (check(checks, opening != NULL, "the opening is not told"))
            check(checks, fabs(opening->more[grammage] - (1 / 1.1 - 1)) < 1e-9, "a wider mould: %.12g", opening->more[grammage]);
        static const char *const idle[] = {"7 kg", "21 min", "17 d", "13 d", "111 g/m²", "120 g/m²", "160 g/m²"};
        for (size_t i = 0; i < sizeof idle / sizeof *idle; i++)
            check(checks, find(tolds, idle[i]) == NULL, "%s moves nothing, and is told", idle[i]);
        hold_order(checks, "sketch", tolds);
    }
    free(tolds);
    free(page.at);
}

/* A number of a vary line counts where it is this variant's, and there alone. */
static void try_variants(Checks *checks, Workshop *workshop)
{
    static const char text[] =
        "waterleaf 1\nmould small:\n  opening 400 mm by 500 mm\nend\npaper doses:\n  title \"Doses {dose}\"\n  mould small\n"
        "  vary dose over 4 % on fibre, 6 % on fibre\n  grammage 160 g/m²\n  furnish:\n    cotton-linters 100 %\n  end\n  procedure:\n"
        "    beat cotton-linters at 2.5 %, for 21 min\n    blend\n    add chalk dose\n    form-by-measure\n    press at 710 kPa\n    loft-dry for 17 d\n  end\nend\n";
    Tolds *tolds = check_resize(NULL, sizeof *tolds);
    *tolds = (Tolds){.papers = 0};
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read_text(workshop, "doses.wleaf", text, strlen(text)) == WATERLEAF_FINE;
    check(checks, fine && workshop_what_if(workshop, "doses dose=4", 0, take, tolds) == WATERLEAF_FINE && tolds->papers == 1, "doses: %s", workshop_trouble(workshop));
    check(checks, find(tolds, "4 % on fibre") != NULL && find(tolds, "6 % on fibre") == NULL, "the dose of the first variant is not what is told");
    check(checks, workshop_what_if(workshop, "doses dose=6", 0, take, tolds) == WATERLEAF_FINE && tolds->papers == 2, "doses: %s", workshop_trouble(workshop));
    check(checks, find(tolds, "6 % on fibre") != NULL && find(tolds, "4 % on fibre") == NULL, "the dose of the second variant is not what is told");
    free(tolds);
}

/* Memory that fails is told, wherever it does. */
static void try_faults(Checks *checks)
{
    Page page = {0};
    page_print(&page, sketch, 5.0, 2.0);
    Tolds *tolds = check_resize(NULL, sizeof *tolds);
    for (uint64_t number = 1, failed = 0;; number += 1 + number / 12) {
        *tolds = (Tolds){.papers = 0};
        Workshop *workshop = workshop_open(&(WorkshopWish){.fail_at = number});
        WaterleafAnswer answer = workshop == NULL ? WATERLEAF_FAILED : workshop_read_text(workshop, "sketch.wleaf", page.at, page.length);
        if (answer == WATERLEAF_FINE)
            answer = workshop_what_if(workshop, "sketch", 0, take, tolds);
        check(checks, answer == WATERLEAF_FAILED || (answer == WATERLEAF_FINE && tolds->papers == 2), "request %llu fails, and the answer is %d",
              (unsigned long long)number, (int)answer);
        workshop_close(workshop);
        failed += answer == WATERLEAF_FAILED;
        if (answer != WATERLEAF_FAILED) {
            check(checks, failed > 20, "only %llu requests failed", (unsigned long long)failed);
            break;
        }
    }
    free(tolds);
    free(page.at);
}

int main(void)
{
    Checks checks = {0};
    Paths paths = {0};
    folder_add(&paths, "examples", ".wleaf");
    folder_add(&paths, "tests/golden/flow", ".wleaf");
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    if (check(&checks, workshop != NULL && paths.count > 0, "no workshop, or no scripts")) {
        for (size_t i = 0; i < paths.count; i++)
            try_script(&checks, workshop, paths.at[i]);
        try_by_hand(&checks, workshop, 5, 8);
        try_by_hand(&checks, workshop, 10, 16);
        try_by_hand(&checks, workshop, 20, 32);
        try_variants(&checks, workshop);
        try_faults(&checks);
    }
    workshop_close(workshop);
    folder_free(&paths);
    return checks_end(&checks, "what-if");
}
