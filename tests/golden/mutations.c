/* One slip of the hand, one message: of every example any one word, number,
 * `end` or `:` is deleted, doubled or misspelt, and what is said is counted.
 *
 * Of the scripts that then are wrong (some message comes), 95 in 100 must get
 * exactly one, none more than three, and it must stand on the line changed or
 * the next one; for an `end` or a `:`, on its block's first or last line.
 *
 *   mutations [--every N] [--list] FOLDER or SCRIPT ...
 */
#include "../folder.h"
#include "waterleaf.h"

#include <ctype.h>

enum { MOST_LINES = 4096, MOST_MESSAGES = 3, ONE_OF_HUNDRED = 95, PLACED_OF_HUNDRED = 95 };

typedef enum Sort { SORT_WORD, SORT_NUMBER, SORT_END, SORT_COLON } Sort;
typedef enum Slip { SLIP_DELETED, SLIP_DOUBLED, SLIP_MISSPELT, SLIPS } Slip;

static const char *const slip_names[] = {"deleted", "doubled", "misspelt"};

typedef struct Part { size_t start, length; unsigned line; Sort sort; } Part;

typedef struct Parts { Part *at; size_t count; } Parts;

typedef struct Tally {
    unsigned mutants, wrong, one, placed, most;
    bool list;
    unsigned every;
    unsigned next;                /* of all mutants so far, which one comes next */
    unsigned block_first[MOST_LINES], block_last[MOST_LINES]; /* of the block that a line opens or closes */
} Tally;

/* ---- the parts of a script ---- */

static bool in_word(unsigned char c) { return isalnum(c) || c >= 0x80 || c == '-' || c == '_'; }

static void part_add(Parts *parts, const char *text, size_t start, size_t length, unsigned line)
{
    const char *at = text + start;
    Sort sort = isdigit((unsigned char)*at)                    ? SORT_NUMBER
                : *at == ':'                                   ? SORT_COLON
                : length == 3 && strncmp(at, "end", 3) == 0    ? SORT_END
                                                               : SORT_WORD;
    parts->at = check_resize(parts->at, (parts->count + 1) * sizeof *parts->at);
    parts->at[parts->count++] = (Part){start, length, line, sort};
}

/* Words, numbers, colons; not what stands in comments, nor in texts outside their braces. A unit is one word. */
static Parts find_parts(const char *text)
{
    Parts parts = {0};
    unsigned line = 1;
    bool quoted = false, braced = false;
    for (size_t i = 0; text[i] != '\0';) {
        unsigned char c = (unsigned char)text[i];
        if (c == '\n') {
            line++;
            quoted = braced = false;
        }
        if (c == '"')
            quoted = !quoted;
        if (quoted && (c == '{' || c == '}'))
            braced = c == '{';
        if (c == '#' && !quoted) {
            i += strcspn(text + i, "\n");
            continue;
        }
        bool outside = !quoted || braced;
        size_t length = 0;
        if (outside && isdigit(c)) {
            while (isdigit((unsigned char)text[i + length]) || text[i + length] == '_' || text[i + length] == '-' ||
                   (text[i + length] == '.' && isdigit((unsigned char)text[i + length + 1])))
                length++;
        } else if (outside && (isalpha(c) || c >= 0xC2) && strncmp(text + i, "±", 2) != 0) {
            while (in_word((unsigned char)text[i + length]) || (text[i + length] == '/' && isalpha((unsigned char)text[i + length + 1])))
                length++;
        } else if (outside && c == ':' && text[i + 1] == '\n') {
            length = 1;
        }
        if (length > 0)
            part_add(&parts, text, i, length, line);
        i += length > 0 ? length : 1;
    }
    return parts;
}

/* The first and last line of each block, at both. */
static void find_blocks(Tally *tally, const Parts *parts)
{
    unsigned open[64], depth = 0;
    memset(tally->block_first, 0, sizeof tally->block_first);
    memset(tally->block_last, 0, sizeof tally->block_last);
    for (size_t i = 0; i < parts->count; i++) {
        const Part *part = &parts->at[i];
        if (part->sort == SORT_COLON && depth < 64)
            open[depth++] = part->line;
        if (part->sort != SORT_END || depth == 0)
            continue;
        unsigned first = open[--depth];
        tally->block_first[first] = tally->block_first[part->line] = first;
        tally->block_last[first] = tally->block_last[part->line] = part->line;
    }
}

/* ---- a mutant ---- */

static void misspell(Page *page, const char *word, size_t length, Sort sort)
{
    char slipped[256];
    if (sort == SORT_COLON) {
        page_add(page, ";", 1);
        return;
    }
    if (length >= sizeof slipped || sort == SORT_NUMBER) { /* a letter in place of a digit */
        page_add(page, word, length - 1);
        page_add(page, "o", 1);
        return;
    }
    memcpy(slipped, word, length);
    for (size_t i = length / 2; i > 0; i--) { /* two neighbours change places */
        unsigned char one = (unsigned char)word[i - 1], other = (unsigned char)word[i];
        if (i < length && one != other && isalpha(one) && isalpha(other)) {
            slipped[i - 1] = (char)other;
            slipped[i] = (char)one;
            page_add(page, slipped, length);
            return;
        }
    }
    page_add(page, word, length); /* or a letter too many */
    page_add(page, "q", 1);
}

static Page mutant_of(const char *text, const Part *part, Slip slip)
{
    Page page = {0};
    page_add(&page, text, part->start);
    const char *word = text + part->start;
    if (slip == SLIP_DOUBLED) {
        page_add(&page, word, part->length);
        page_add(&page, part->sort == SORT_COLON ? "" : " ", part->sort != SORT_COLON);
        page_add(&page, word, part->length);
    } else if (slip == SLIP_MISSPELT) {
        misspell(&page, word, part->length, part->sort);
    }
    page_add(&page, word + part->length, strlen(word + part->length));
    return page;
}

static bool line_fits(const Tally *tally, const Part *part, unsigned line)
{
    if (line == part->line || line == part->line + 1)
        return true;
    if (part->sort != SORT_END && part->sort != SORT_COLON)
        return false;
    unsigned first = tally->block_first[part->line], last = tally->block_last[part->line];
    return line == first || line == last || line + 1 == last; /* the `end` itself may be gone */
}

/* Whether a message, or what it says beside itself, stands where the slip is. */
static bool is_placed(const Tally *tally, Workshop *workshop, const Message *message, const Part *part)
{
    const Sources *sources = &workshop_world(workshop)->sources;
    uint32_t places[] = {message->at.start, message->others[0].at.start};
    for (size_t i = 0; i < 2; i++) {
        uint32_t line = 0, column = 0;
        if (places[i] != 0)
            sources_line(sources, places[i], &line, &column);
        if (line_fits(tally, part, line))
            return true;
    }
    return false;
}

static void show(Workshop *workshop, const char *path, const char *text, const Part *part, Slip slip, const char *why)
{
    printf("  %s:%u: %.*s %s: %s\n", path, part->line, (int)part->length, text + part->start, slip_names[slip], why);
    const Messages *messages = workshop_messages(workshop);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        uint32_t line = 0, column = 0;
        if (message->at.start != 0)
            sources_line(&workshop_world(workshop)->sources, message->at.start, &line, &column);
        printf("      line %u: %s [%s]\n", line, message->says, message->name);
    }
}

static void try_mutant(Checks *checks, Tally *tally, Workshop *workshop, const char *path, const char *text, const Part *part, Slip slip)
{
    Page page = mutant_of(text, part, slip);
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read_text(workshop, path, page.at, page.length) == WATERLEAF_FINE &&
                workshop_check(workshop) == WATERLEAF_FINE;
    tally->mutants++;
    if (check(checks, fine, "%s:%u: %.*s %s: %s", path, part->line, (int)part->length, text + part->start, slip_names[slip],
              workshop_trouble(workshop))) {
        const Messages *messages = workshop_messages(workshop);
        unsigned said = messages->list.count;
        bool placed = true;
        for (uint32_t i = 0; i < said; i++)
            placed = placed && is_placed(tally, workshop, &messages->list.at[i], part);
        tally->wrong += said > 0;
        tally->one += said == 1;
        tally->placed += said > 0 && placed;
        tally->most = said > tally->most ? said : tally->most;
        check(checks, said <= MOST_MESSAGES, "%s:%u: %.*s %s: %u messages", path, part->line, (int)part->length, text + part->start,
              slip_names[slip], said);
        if (tally->list && said > 0 && (said > 1 || !placed))
            show(workshop, path, text, part, slip, said > 1 ? "more than one" : "elsewhere");
    }
    free(page.at);
}

static void try_script(Checks *checks, Tally *tally, Workshop *workshop, const char *path)
{
    char *text = check_read(path, NULL);
    if (!check(checks, text != NULL, "%s: cannot be read", path))
        return;
    Parts parts = find_parts(text);
    find_blocks(tally, &parts);
    for (size_t i = 0; i < parts.count; i++)
        for (Slip slip = 0; slip < SLIPS; slip++)
            if (tally->next++ % tally->every == 0)
                try_mutant(checks, tally, workshop, path, text, &parts.at[i], slip);
    free(parts.at);
    free(text);
}

int main(int count, char **arguments)
{
    static Tally tally = {.every = 1};
    Checks checks = {.most_shown = 20};
    Paths paths = {0};
    for (int i = 1; i < count; i++) {
        if (strcmp(arguments[i], "--list") == 0)
            tally.list = true;
        else if (strcmp(arguments[i], "--every") == 0 && i + 1 < count)
            tally.every = (unsigned)atoi(arguments[++i]);
        else
            folder_add(&paths, arguments[i], ".wleaf");
    }
    if (tally.every == 0)
        tally.every = 1;
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    if (check(&checks, workshop != NULL && paths.count > 0, "no workshop, or no scripts"))
        for (size_t i = 0; i < paths.count; i++)
            try_script(&checks, &tally, workshop, paths.at[i]);
    workshop_close(workshop);
    folder_free(&paths);
    double wrong = tally.wrong > 0 ? tally.wrong : 1;
    printf("mutations: %u tried, %u wrong; one message: %.2f %%; most: %u; in their place: %.2f %%\n", tally.mutants, tally.wrong,
           100 * tally.one / wrong, tally.most, 100 * tally.placed / wrong);
    check(&checks, tally.wrong > 0 && 100 * tally.one >= ONE_OF_HUNDRED * wrong, "fewer than %d of 100 get one message", ONE_OF_HUNDRED);
    check(&checks, 100 * tally.placed >= PLACED_OF_HUNDRED * wrong, "fewer than %d of 100 stand in their place", PLACED_OF_HUNDRED);
    return checks_end(&checks, "mutations");
}
