/* Runs golden scripts: what each must get stands in it, on its line.
 *
 *   LINE  #! name, name     this line gets exactly these messages; lines without get none
 *   #= figure = 12.5 g      a figure of the first batch (or variant), to all digits typed
 *   #= figure (of) = 3 kg   of a material or step: see find_quantity; its low, its high, and as a number where it comes from (MARK_…): (of marks)
 *
 *   #= figure (of) = none   it is not there, or not told
 *
 * A file SCRIPT.expect beside it holds further figures, parted by tabs:
 * figure, of what, value, unit, decimals.
 *
 *   golden FOLDER or SCRIPT ...
 */
#include "../folder.h"
#include "waterleaf.h"

#include <ctype.h>
#include <math.h>

/* On which all scripts are judged: 2027-03-01. */
enum { DAY = 20878 };

typedef struct Wanted {
    char figure[64], of[96], unit[64];
    double value;
    int decimals;
    unsigned line;
    bool met, seen, none;
    double found;
} Wanted;

typedef struct Script {
    const char *path;
    char *text;
    Wanted *wanted;
    size_t wanted_count;
    unsigned outcomes;
} Script;

/* ---- units ---- */

/* How long the name of a unit at AT is, up to a power, a product or a quotient. */
static size_t unit_length(const char *at)
{
    size_t length = 0;
    while (at[length] != '\0' && at[length] != '/' && strncmp(at + length, "²", 2) != 0 && strncmp(at + length, "³", 2) != 0 &&
           strncmp(at + length, "·", 2) != 0)
        length++;
    return length;
}

/* Base units in one UNIT, put together of declared ones: "g/m²", "% of sheet"; 0 where one is not known. */
static double factor_of(const World *world, const char *unit)
{
    if (unit[0] == '%')
        return 0.01;
    double factor = 1;
    bool under = false;
    for (const char *at = unit; *at != '\0';) {
        size_t length = unit_length(at);
        Name name = names_find(&world->names, at, length);
        UnitId id = name < world->unit_by_name.count ? world->unit_by_name.at[name] : 0;
        if (name == 0 || id == 0)
            return 0;
        double one = world->units.at[id].factor;
        at += length;
        int power = 1;
        if (strncmp(at, "²", 2) == 0 || strncmp(at, "³", 2) == 0) {
            power = strncmp(at, "²", 2) == 0 ? 2 : 3;
            at += 2;
        }
        factor *= pow(one, under ? -power : power);
        if (*at == '/') {
            under = true;
            at++;
        } else if (strncmp(at, "·", 2) == 0) {
            at += 2;
        }
    }
    return factor;
}

/* ---- figures ---- */

static void want(Script *script, Wanted wanted)
{
    script->wanted = check_resize(script->wanted, (script->wanted_count + 1) * sizeof wanted);
    script->wanted[script->wanted_count++] = wanted;
}

static int decimals_of(const char *number)
{
    const char *point = strchr(number, '.');
    return point == NULL ? 0 : (int)strspn(point + 1, "0123456789");
}

static void copy_word(char *into, size_t room, const char *from, size_t length)
{
    while (length > 0 && isspace((unsigned char)from[length - 1]))
        length--;
    snprintf(into, room, "%.*s", (int)length, from);
}

/* `figure (of) = 12.5 g`, from behind "#=". */
static void want_line(Checks *checks, Script *script, const char *line, size_t length, unsigned number)
{
    char text[512];
    snprintf(text, sizeof text, "%.*s", (int)length, line + strspn(line, " "));
    Wanted wanted = {.line = number};
    char *equal = strstr(text, " = ");
    if (!check(checks, equal != NULL, "%s:%u: not `#= figure = value unit`", script->path, number))
        return;
    char *open = strchr(text, '(');
    if (open != NULL && open < equal) {
        char *close = strchr(open, ')');
        copy_word(wanted.of, sizeof wanted.of, open + 1, close ? (size_t)(close - open - 1) : 0);
        copy_word(wanted.figure, sizeof wanted.figure, text, (size_t)(open - text));
    } else {
        copy_word(wanted.figure, sizeof wanted.figure, text, (size_t)(equal - text));
    }
    char *end;
    wanted.value = strtod(equal + 3, &end);
    wanted.decimals = decimals_of(equal + 3);
    wanted.none = strcmp(equal + 3, "none") == 0;
    if (!wanted.none)
        copy_word(wanted.unit, sizeof wanted.unit, end + strspn(end, " "), strlen(end + strspn(end, " ")));
    want(script, wanted);
}

/* SCRIPT.expect, where there is one. */
static void want_file(Checks *checks, Script *script)
{
    char path[512];
    snprintf(path, sizeof path, "%.*s.expect", (int)(strlen(script->path) - strlen(".wleaf")), script->path);
    char *text = check_read(path, NULL);
    unsigned number = 0;
    for (char *line = text, *next; line != NULL && *line != '\0'; line = next) {
        next = line + strcspn(line, "\n");
        if (*next != '\0')
            *next++ = '\0';
        number++;
        if (line[0] == '#' || line[0] == '\0')
            continue;
        char *part[5] = {line};
        int parts = 1;
        for (char *at = line; *at != '\0' && parts < 5; at++)
            if (*at == '\t') {
                *at = '\0';
                part[parts++] = at + 1;
            }
        if (!check(checks, parts == 5, "%s:%u: not figure, of, value, unit, decimals", path, number))
            continue;
        Wanted wanted = {.value = strtod(part[2], NULL), .decimals = atoi(part[4]), .line = number};
        snprintf(wanted.figure, sizeof wanted.figure, "%s", part[0]);
        snprintf(wanted.of, sizeof wanted.of, "%s", part[1]);
        snprintf(wanted.unit, sizeof wanted.unit, "%s", part[3]);
        want(script, wanted);
    }
    free(text);
}

/* Whether the procedure's line of STEP holds WORD. */
static bool step_names(const World *world, const StepOutcome *step, const char *word)
{
    Span span = world_span(world, step->line);
    const char *line = sources_bytes(&world->sources, span.start);
    size_t length = strlen(word);
    for (const char *end = line + strcspn(line, "\n"), *at = line; at + length <= end; at++)
        if (strncmp(at, word, length) == 0)
            return true;
    return false;
}

/* Of a step: "form", the second such step: "loft-dry 2", the one that works on something: "beat linen-rag". */
static const Quantity *of_step(const World *world, const Outcome *outcome, const char *figure, const char *step, const char *which)
{
    int number = isdigit((unsigned char)which[0]) ? atoi(which) : 0, seen = 0;
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        const StepOutcome *one = &outcome->steps[i];
        if (strcmp(one->step, step) != 0)
            continue;
        if (number > 0 ? ++seen != number : which[0] != '\0' && !step_names(world, one, which))
            continue;
        for (uint32_t f = 0; f < one->figure_count; f++)
            if (strcmp(one->figures[f].name, figure) == 0)
                return &one->figures[f].quantity;
    }
    return NULL;
}

/* Of nothing: of the paper. Of a material, or of a step (of_step). */
static const Quantity *find_quantity(const World *world, const Outcome *outcome, const char *figure, const char *of)
{
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        const NamedQuantity *one = &outcome->figures[i];
        if (strcmp(one->name, figure) == 0 && strcmp(one->of ? one->of : "", of) == 0)
            return &one->quantity;
    }
    char step[96], which[96] = "";
    if (sscanf(of, "%95s %95[^\n]", step, which) < 1)
        return NULL;
    return of_step(world, outcome, figure, step, which);
}

/* Takes the word LAST off the end of TEXT. */
static bool take_last(char *text, const char *last)
{
    size_t length = strlen(text), tail = strlen(last);
    if (length < tail || strcmp(text + length - tail, last) != 0 || (length > tail && text[length - tail - 1] != ' '))
        return false;
    text[length > tail ? length - tail - 1 : 0] = '\0';
    return true;
}

/* What WANTED asks of OUTCOME; false where it asks another batch or nothing there is. */
static bool look_up(const World *world, const Outcome *outcome, unsigned number, const Wanted *wanted, double *found)
{
    char of[96];
    snprintf(of, sizeof of, "%s", wanted->of);
    if (strncmp(of, "batch ", 6) == 0) {
        if (outcome->batch == NULL || strcmp(outcome->batch, of + 6) != 0)
            return false;
        of[0] = '\0';
    } else if (number != 1) {
        return false;
    }
    bool low = take_last(of, "low"), high = take_last(of, "high"), marks = take_last(of, "marks");
    const Quantity *quantity = find_quantity(world, outcome, wanted->figure, of);
    double factor = factor_of(world, wanted->unit);
    if (quantity == NULL || !quantity->told || factor == 0)
        return false;
    *found = marks ? quantity->marks : (low ? quantity->low : high ? quantity->high : quantity->value) / factor;
    return true;
}

static bool compare(void *with, Workshop *workshop, const Outcome *outcome)
{
    Script *script = with;
    script->outcomes++;
    for (size_t i = 0; i < script->wanted_count; i++) {
        Wanted *wanted = &script->wanted[i];
        double found;
        if (wanted->seen || !look_up(workshop_world(workshop), outcome, script->outcomes, wanted, &found))
            continue;
        wanted->seen = true;
        wanted->found = found;
        wanted->met = fabs(found - wanted->value) <= 0.5 * pow(10, -wanted->decimals) * (1 + 1e-9) + 1e-12 * fabs(found);
    }
    return true;
}

/* ---- messages ---- */

/* Behind the last "#!" of the line, up to END; NULL: there is none. */
static const char *asked_begin(const char *line, const char *end)
{
    const char *mark = NULL;
    for (const char *at = line; at + 1 < end; at++)
        if (at[0] == '#' && at[1] == '!')
            mark = at + 2;
    return mark;
}

/* The next name at *AT, which is moved behind it; 0: there is none. */
static size_t asked_next(const char **at, const char *end, const char **name)
{
    while (*at < end && strchr(" ,\r\n", **at) != NULL)
        ++*at;
    *name = *at;
    while (*at < end && strchr(" ,\r\n", **at) == NULL)
        ++*at;
    return (size_t)(*at - *name);
}

/* How often NAME is asked for behind "#!" on the line at TEXT. */
static unsigned asked_for(const char *line, size_t length, const char *name)
{
    unsigned count = 0;
    const char *end = line + length, *at = asked_begin(line, end), *word;
    for (size_t size; at != NULL && (size = asked_next(&at, end, &word)) > 0;)
        count += size == strlen(name) && strncmp(word, name, size) == 0;
    return count;
}

/* How often NAME was said on line NUMBER of the script. */
static unsigned said_on(Workshop *workshop, unsigned number, const char *name)
{
    const Messages *messages = workshop_messages(workshop);
    const World *world = workshop_world(workshop);
    unsigned count = 0;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        uint32_t line = 0, column = 0;
        const Source *source = sources_at(&world->sources, message->at.start);
        if (message->at.start != 0)
            sources_line(&world->sources, message->at.start, &line, &column);
        if (line == number && !source->library && strcmp(message->name, name) == 0)
            count++;
    }
    return count;
}

/* One check a message: what is said is asked for, and what is asked for is said. */
static void hold_messages(Checks *checks, Script *script, Workshop *workshop)
{
    const Messages *messages = workshop_messages(workshop);
    const World *world = workshop_world(workshop);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        const char *name = message->name;
        uint32_t line = 0, column = 0;
        if (message->at.start != 0)
            sources_line(&world->sources, message->at.start, &line, &column);
        const char *text = script->text;
        for (uint32_t n = 1; n < line && *text != '\0'; n++)
            text += strcspn(text, "\n") + (text[strcspn(text, "\n")] != '\0');
        unsigned asked = line == 0 ? 0 : asked_for(text, strcspn(text, "\n"), name);
        check(checks, asked > 0 && said_on(workshop, line, name) == asked, "%s:%u:%u: not asked for: %s [%s]",
              script->path, line, column, message->says, name);
    }
}

/* Reads what the script asks for, and looks at those lines that get nothing. */
static void read_marks(Checks *checks, Script *script, Workshop *workshop)
{
    unsigned number = 1;
    for (const char *line = script->text; *line != '\0'; number++) {
        size_t length = strcspn(line, "\n");
        if (strncmp(line + strspn(line, " "), "#= ", 3) == 0)
            want_line(checks, script, strchr(line, '#') + 3, length - (size_t)(strchr(line, '#') + 3 - line), number);
        const char *end = line + length, *at = asked_begin(line, end), *word;
        for (size_t size; at != NULL && (size = asked_next(&at, end, &word)) > 0;) {
            char name[96];
            copy_word(name, sizeof name, word, size);
            unsigned asked = asked_for(line, length, name), said = said_on(workshop, number, name);
            check(checks, said == asked, "%s:%u: %s is said %u times, not %u", script->path, number, name, said, asked);
        }
        line += length + (line[length] != '\0');
    }
}

static void run(Checks *checks, Workshop *workshop, const char *path)
{
    Script script = {.path = path, .text = check_read(path, NULL)};
    if (!check(checks, script.text != NULL && workshop_clear(workshop) == WATERLEAF_FINE &&
                           workshop_read(workshop, path) == WATERLEAF_FINE && workshop_check(workshop) == WATERLEAF_FINE,
               "%s: cannot be checked: %s", path, workshop_trouble(workshop))) {
        free(script.text);
        return;
    }
    unsigned before = checks->failed;
    read_marks(checks, &script, workshop);
    hold_messages(checks, &script, workshop);
    want_file(checks, &script);
    uint32_t said = workshop_messages(workshop)->list.count;
    if (script.wanted_count > 0)
        check(checks, workshop_work_out(workshop, NULL, 0, compare, &script) == WATERLEAF_FINE, "%s: %s", path, workshop_trouble(workshop));
    check(checks, workshop_messages(workshop)->list.count == said, "%s: more is said where it is worked out than where it is checked", path);
    for (size_t i = 0; i < script.wanted_count; i++) {
        const Wanted *wanted = &script.wanted[i];
        if (wanted->none)
            check(checks, !wanted->seen, "%s: line %u: there is a %s (%s)", path, wanted->line, wanted->figure, wanted->of);
        else if (check(checks, wanted->seen, "%s: line %u: there is no %s (%s) in %s", path, wanted->line, wanted->figure, wanted->of, wanted->unit))
            check(checks, wanted->met, "%s: line %u: %s (%s): %.*f %s, not %.*f", path, wanted->line, wanted->figure, wanted->of,
                  wanted->decimals + 2, wanted->found, wanted->unit, wanted->decimals, wanted->value);
    }
    check(checks, checks->failed == before, "%s is not as it must be", path);
    free(script.wanted);
    free(script.text);
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    Paths paths = {0};
    for (int i = 1; i < count; i++)
        folder_add(&paths, arguments[i], ".wleaf");
    Workshop *workshop = workshop_open(&(WorkshopWish){.day = DAY});
    if (check(&checks, workshop != NULL && paths.count > 0, "no workshop, or no scripts"))
        for (size_t i = 0; i < paths.count; i++)
            run(&checks, workshop, paths.at[i]);
    workshop_close(workshop);
    folder_free(&paths);
    return checks_end(&checks, "golden");
}
