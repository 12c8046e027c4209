/* The order of lines that are free in it changes nothing: declarations of a script and of stdlib, lines of a material, a mould, a batch,
 * of a paper, of its furnish, and those of a mill that are of different words. */
#include "../folder.h"
#include "amounts.h"

#include <sys/stat.h>

enum { ROUNDS = 6, ROUNDS_OF_STDLIB = 3, MOST_CHUNKS = 512 };

static const char shuffled[] = "build/tests/shuffled";

/* Some lines that stay together: a line with its block, and the comments above it. */
typedef struct Chunk { const char *at; size_t length; } Chunk;

typedef struct Chunks { Chunk at[MOST_CHUNKS]; size_t count; } Chunks;

static size_t line_length(const char *line) { return strcspn(line, "\n") + (line[strcspn(line, "\n")] == '\n'); }

static const char *first_word(const char *line) { return line + strspn(line, " \t"); }

static bool is_word(const char *at, const char *word)
{
    size_t length = strlen(word);
    return strncmp(at, word, length) == 0 && strchr(" :\t\n", at[length]) != NULL;
}

/* The last sign of the line that is no blank or comment; a quote sign keeps comments out of it. */
static char last_sign(const char *line)
{
    char last = '\0';
    bool quoted = false;
    for (size_t i = 0; i < line_length(line); i++) {
        quoted = quoted != (line[i] == '"');
        if (line[i] == '#' && !quoted)
            break;
        if (line[i] != ' ' && line[i] != '\n')
            last = line[i];
    }
    return last;
}

/* The lines of TEXT up to END in chunks. */
static Chunks chunks_of(const char *text, const char *end)
{
    Chunks chunks = {.count = 0};
    const char *begins = text;
    int depth = 0;
    for (const char *line = text; line < end; line += line_length(line)) {
        const char *word = first_word(line);
        char last = last_sign(line);
        depth += last == ':';
        depth -= is_word(word, "end");
        bool whole = depth == 0 && last != ',' && last != '\0';
        if (whole && chunks.count < MOST_CHUNKS) {
            chunks.at[chunks.count++] = (Chunk){begins, (size_t)(line + line_length(line) - begins)};
            begins = line + line_length(line);
        }
    }
    if (begins < end && chunks.count < MOST_CHUNKS)
        chunks.at[chunks.count++] = (Chunk){begins, (size_t)(end - begins)};
    return chunks;
}

/* The line of the chunk that is no comment. */
static const char *head_of(const Chunk *chunk)
{
    const char *line = chunk->at;
    while (line < chunk->at + chunk->length && last_sign(line) == '\0')
        line += line_length(line);
    return first_word(line);
}

/* Of a mill the first thing of each word is the one that steps use: two of a word stay in their order. */
static bool same_head(const Chunk *one, const Chunk *other)
{
    const char *mine = head_of(one), *theirs = head_of(other);
    size_t length = strcspn(mine, " :\n");
    return length == strcspn(theirs, " :\n") && strncmp(mine, theirs, length) == 0;
}

static void shuffle(Dice *dice, Chunks *chunks, size_t first, bool keep_same)
{
    for (size_t i = chunks->count; i > first + 1; i--) {
        size_t j = first + dice_below(dice, (unsigned)(i - first));
        bool stays = false;
        for (size_t k = j; keep_same && k < i; k++)
            for (size_t l = k + 1; l < i; l++)
                stays = stays || same_head(&chunks->at[k], &chunks->at[l]);
        if (!stays) {
            Chunk moved = chunks->at[i - 1];
            chunks->at[i - 1] = chunks->at[j];
            chunks->at[j] = moved;
        }
    }
}

static bool free_inside(const char *head)
{
    static const char *const heads[] = {"material", "mould", "paper", "batch", "mill", "furnish", "water"};
    for (size_t i = 0; i < sizeof heads / sizeof *heads; i++)
        if (is_word(head, heads[i]))
            return true;
    return false;
}

static void write_shuffled(Dice *dice, Page *page, const char *text, const char *end, bool top, bool mill);

static void write_chunk(Dice *dice, Page *page, const Chunk *chunk)
{
    const char *head = head_of(chunk), *inside = head + line_length(head), *end = chunk->at + chunk->length, *last = end;
    if (!free_inside(head) || last_sign(head) != ':') {
        page_add(page, chunk->at, chunk->length);
        return;
    }
    while (last > inside && last[-1] == '\n' && !is_word(first_word(last), "end")) {
        last--;
        while (last > inside && last[-1] != '\n')
            last--;
    }
    page_add(page, chunk->at, (size_t)(inside - chunk->at));
    write_shuffled(dice, page, inside, last, false, is_word(head, "mill"));
    page_add(page, last, (size_t)(end - last));
}

/* `waterleaf` and `use` stay in front. */
static void write_shuffled(Dice *dice, Page *page, const char *text, const char *end, bool top, bool mill)
{
    Chunks chunks = chunks_of(text, end);
    size_t first = 0;
    while (top && first < chunks.count && (is_word(head_of(&chunks.at[first]), "waterleaf") || is_word(head_of(&chunks.at[first]), "use")))
        first++;
    shuffle(dice, &chunks, first, mill);
    for (size_t i = 0; i < chunks.count; i++)
        write_chunk(dice, page, &chunks.at[i]);
}

/* Writes stdlib in a folder of its own, its declarations and the lines of its materials and moulds in another order. */
static void write_stdlib(Checks *checks, Dice *dice)
{
    Paths paths = {0};
    size_t moved = 0;
    folder_add(&paths, "stdlib", ".wleaf");
    for (size_t i = 0; i < paths.count; i++) {
        char target[512];
        snprintf(target, sizeof target, "%s/%s", shuffled, paths.at[i]);
        for (char *slash = strchr(target, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
            *slash = '\0';
            mkdir(target, 0777);
            *slash = '/';
        }
        char *text = check_read(paths.at[i], NULL);
        Page page = {0};
        if (text != NULL)
            write_shuffled(dice, &page, text, text + strlen(text), true, false);
        FILE *file = fopen(target, "wb");
        bool fine = file != NULL && text != NULL && page.length == strlen(text) && fwrite(page.at, 1, page.length, file) == page.length;
        fine = file != NULL && fclose(file) == 0 && fine;
        moved += check(checks, fine, "%s cannot be written in another order", paths.at[i]) && strcmp(text, page.at) != 0;
        free(page.at);
        free(text);
    }
    check(checks, moved > paths.count / 2, "of stdlib's files only %zu are in another order", moved);
    folder_free(&paths);
}

/* All scripts with stdlib in the order in which it is written, and with the other. */
static void try_stdlib(Checks *checks, Dice *dice, Workshop *plain, const Paths *paths)
{
    char folder[512];
    write_stdlib(checks, dice);
    snprintf(folder, sizeof folder, "%s/stdlib", shuffled);
    Workshop *other = workshop_open(&(WorkshopWish){.stdlib = folder});
    bool fine = check(checks, other != NULL && workshop_trouble(other)[0] == '\0', "no workshop with stdlib in another order: %s",
                      other != NULL ? workshop_trouble(other) : "");
    for (size_t i = 0; fine && i < paths->count; i++) {
        char *text = strstr(paths->at[i], "/mills/") != NULL ? NULL : check_read(paths->at[i], NULL);
        Amounts before = {0}, after = {0};
        if (text != NULL && amounts_of_text(checks, plain, paths->at[i], text, strlen(text), &before)
            && amounts_of_text(checks, other, paths->at[i], text, strlen(text), &after))
            amounts_compare(checks, paths->at[i], &before, &after, 1e-11);
        amounts_clear(&before);
        amounts_clear(&after);
        free(text);
    }
    workshop_close(other);
}

static void try_script(Checks *checks, Dice *dice, Workshop *workshop, const char *path)
{
    char *text = check_read(path, NULL);
    Amounts before = {0};
    if (check(checks, text != NULL, "%s cannot be read", path) && amounts_of_text(checks, workshop, path, text, strlen(text), &before)) {
        unsigned moved = 0;
        for (int i = 0; i < ROUNDS; i++) {
            Page page = {0};
            Amounts after = {0};
            write_shuffled(dice, &page, text, text + strlen(text), true, false);
            moved += page.length != strlen(text) || strcmp(page.at, text) != 0;
            check(checks, page.length == strlen(text), "%s: lines were lost in shuffling", path);
            if (amounts_of_text(checks, workshop, path, page.at, page.length, &after))
                amounts_compare(checks, path, &before, &after, 1e-11);
            amounts_clear(&after);
            free(page.at);
        }
        check(checks, moved > ROUNDS / 2, "%s: nothing was moved", path);
    }
    amounts_clear(&before);
    free(text);
}

int main(void)
{
    Checks checks = {0};
    Dice dice = dice_seeded("order", 4);
    Paths paths = {0};
    folder_add(&paths, "examples", ".wleaf");
    folder_add(&paths, "tests/golden/flow", ".wleaf");
    folder_add(&paths, "tests/golden/language", "own-things.wleaf");
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    if (check(&checks, workshop != NULL, "no workshop"))
        for (size_t i = 0; i < paths.count; i++)
            if (strstr(paths.at[i], "/mills/") == NULL)
                try_script(&checks, &dice, workshop, paths.at[i]);
    for (int i = 0; workshop != NULL && i < ROUNDS_OF_STDLIB; i++)
        try_stdlib(&checks, &dice, workshop, &paths);
    workshop_close(workshop);
    folder_free(&paths);
    return checks_end(&checks, "order");
}
