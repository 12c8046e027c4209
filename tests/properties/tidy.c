/* tidy: the one form of every script of the project. Tidied twice it stays as it is; the tree and the comments are the same; what
 * is worked out is the same; and however blanks, blank lines and indentation stood before, the same comes out. What the form is
 * stands in tests/tidy: given.wleaf becomes tidied.wleaf. */
#include "check.h"

#include "base/files.h"
#include "waterleaf.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { EDITS = 20, MOST_FILES = 1000 };

static uint64_t state = 88172645463325252u;

static unsigned roll(unsigned most)
{
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return (unsigned)(state >> 33) % most;
}

/* TEXT in its one form, or NULL where it cannot be read whole. */
static char *tidied(Workshop *workshop, const char *text, size_t length)
{
    Memory memory = {0};
    Text out;
    text_open(&out, &memory);
    WaterleafAnswer answer = workshop_tidy(workshop, "tidied.wleaf", text, length, &out);
    char *copy = answer != WATERLEAF_FINE ? NULL : strdup(out.at == NULL ? "" : out.at);
    memory_return_all(&memory);
    return copy;
}

/* ---- the same tree ---- */

/* All that is in the tree but its places, written down. */
static void write_tree(FILE *out, const World *world, NodeId id)
{
    for (; id != 0; id = world_node(world, id)->next) {
        const Node *node = world_node(world, id);
        bool number = node->form == NODE_NUMBER || node->form == NODE_QUANTITY;
        bool named = node->form != NODE_DATE && node->form != NODE_CLOCK && !number;
        fprintf(out, "(%u %u ", node->form, node->extra);
        if (number) {
            fprintf(out, "%.17g", world->tree.numbers.at[node->value]);
        } else if (named) {
            fputs(world_text(world, node->value), out);
        } else {
            fprintf(out, "%u", node->value);
        }
        write_tree(out, world, node->first);
        fprintf(out, ")");
    }
}

static char *tree_of(Workshop *workshop, const char *text)
{
    char *written = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&written, &size);
    workshop_clear(workshop);
    uint32_t before = workshop_world(workshop)->tree.comments.count;
    workshop_read_text(workshop, "tree.wleaf", text, strlen(text));
    const World *world = workshop_world(workshop);
    write_tree(out, world, world->tree.scripts.at[world->tree.scripts.count - 1]);
    for (uint32_t i = before; i < world->tree.comments.count; i++) {
        Span comment = world->tree.comments.at[i];
        size_t length = comment.end - comment.start;
        const char *at = sources_bytes(&world->sources, comment.start);
        while (length > 0 && (at[length - 1] == ' ' || at[length - 1] == '\r')) {
            length--;
        }
        fprintf(out, "\n%.*s", (int)length, at);
    }
    fclose(out);
    return written;
}

/* ---- blanks, put in and taken away ---- */

/* In texts there are values in braces, and in these texts again: OPEN holds what is open. */
static void follow_quotes(const char *text, const char *at, char open[32], unsigned *count)
{
    char top = *count > 0 ? open[*count - 1] : 0;
    bool doubled = at[1] == *at || (at > text && at[-1] == *at), escaped = at > text && at[-1] == '\\';
    if (*at == '"' && !escaped && *count < 31) {
        if (top == '"') {
            --*count;
        } else {
            open[(*count)++] = '"';
        }
    } else if (*at == '{' && top == '"' && !doubled && *count < 31) {
        open[(*count)++] = '{';
    } else if (*at == '}' && top == '{') {
        --*count;
    }
}

/* Other blanks, blank lines and indentation; what stands in texts and comments stays. */
static char *shaken(const char *text)
{
    char *out = malloc(strlen(text) * 8 + 100), *to = out;
    bool comment = false, line_begins = true;
    char open[32];
    unsigned quoted = 0;
    for (const char *at = text; *at != 0; at++) {
        if (line_begins) {
            while (*at == ' ') {
                at++;
            }
            for (unsigned i = roll(9); i > 0 && *at != '\n'; i--) {
                *to++ = ' ';
            }
            line_begins = false;
        }
        if (*at == 0) {
            break;
        }
        if (*at == '\n') {
            for (unsigned i = comment ? 0 : roll(3); i > 0; i--) {
                *to++ = ' ';
            }
            *to++ = '\n';
            if (at[1] == '\n') {
                for (unsigned i = roll(3); i > 0; i--) {
                    *to++ = '\n';
                }
            }
            quoted = 0;
            comment = false;
            line_begins = true;
            continue;
        }
        if (!comment) {
            follow_quotes(text, at, open, &quoted);
        }
        comment = comment || (*at == '#' && !quoted);
        *to++ = *at;
        if (*at == ' ' && !quoted && !comment) {
            while (at[1] == ' ') {
                at++;
            }
            for (unsigned i = roll(3); i > 0; i--) {
                *to++ = ' ';
            }
        }
    }
    *to = 0;
    return out;
}

/* ---- what is worked out ---- */

static bool add_amounts(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    FILE *out = with;
    fprintf(out, "%s %.0f\n", outcome->title, outcome->sheets_formed);
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        fprintf(out, "%s %.12g\n", outcome->weigh[i].material, outcome->weigh[i].weigh_out.value);
    }
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        for (uint32_t j = 0; j < outcome->steps[i].tell_count; j++) {
            fprintf(out, "%s\n", outcome->steps[i].tells[j]);
        }
    }
    return true;
}

static char *amounts_of(Workshop *workshop, const char *path, const char *text)
{
    char *written = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&written, &size);
    workshop_clear(workshop);
    if (workshop_read_text(workshop, path, text, strlen(text)) == WATERLEAF_FINE) {
        workshop_work_out(workshop, NULL, 0, add_amounts, out);
    }
    fclose(out);
    return written;
}

/* ---- each script ---- */

static void try_script(Checks *checks, Workshop *workshop, const char *path, const char *text)
{
    char *once = tidied(workshop, text, strlen(text));
    if (once == NULL) {
        return; /* one with mistakes, for other tests */
    }
    char *twice = tidied(workshop, once, strlen(once));
    check(checks, twice != NULL && strcmp(once, twice) == 0, "%s: tidied twice it is another", path);
    char *before = tree_of(workshop, text), *behind = tree_of(workshop, once);
    check(checks, strcmp(before, behind) == 0, "%s: tidied it is read otherwise", path);
    for (int i = 0; i < EDITS; i++) {
        char *other = shaken(text), *again = tidied(workshop, other, strlen(other));
        if (!check(checks, again != NULL && strcmp(again, once) == 0, "%s: with other blanks another form comes out", path)) {
            size_t same = 0;
            while (again != NULL && again[same] == once[same]) {
                same++;
            }
            printf("  at: %.60s\n  not: %.60s\n", again == NULL ? "unreadable" : again + same, once + same);
        }
        free(other);
        free(again);
    }
    if (strncmp(path, "examples/", 9) == 0 && strchr(path + 9, '/') == NULL) {
        char *amounts = amounts_of(workshop, path, text), *tidy_amounts = amounts_of(workshop, path, once);
        check(checks, *amounts != 0 && strcmp(amounts, tidy_amounts) == 0, "%s: tidied other amounts come out", path);
        check(checks, strcmp(once, text) == 0, "%s is not tidy: waterleaf tidy examples", path);
        free(amounts);
        free(tidy_amounts);
    }
    free(before);
    free(behind);
    free(once);
    free(twice);
}

static void try_folder(Checks *checks, Workshop *workshop, Memory *memory, const char *folder)
{
    char *paths;
    if (!check(checks, files_below(memory, folder, ".wleaf", MOST_FILES, &paths) == FILE_FINE, "%s cannot be read", folder)) {
        return;
    }
    for (const char *path = paths; *path != 0; path += strlen(path) + 1) {
        char *text = check_read(path, NULL);
        if (check(checks, text != NULL, "%s cannot be read", path)) {
            try_script(checks, workshop, path, text);
        }
        free(text);
    }
}

/* Text that is no script yet, and is not lost. */
static void try_odd(Checks *checks, Workshop *workshop)
{
    static const struct { const char *text, *form; } odd[] = {
        {"", ""}, {"\n\n", ""}, {"# only\n\n\n# comments  ", "# only\n\n# comments\n"}, {"waterleaf 1", "waterleaf 1\n"},
        {"\xEF\xBB\xBFwaterleaf 1\r\nlet a = 1\r\n", "waterleaf 1\nlet a = 1\n"}, {"let a = \xE2\x80\x9Cx\xE2\x80\x9D\n", "let a = \"x\"\n"},
        {"let a = 3 \xC3\x97 4 \xE2\x89\xA5 2\n", "let a = 3 * 4 >= 2\n"}, {"let a = 1..2\nlet b = a .. c\n", "let  a  = 1..2\nlet  b  = a .. c\n"},
        {"material a :\n\n\n  class   fibre\n\nend\n\n", "material a:\n\n  class fibre\n\nend\n"},
        {"note \"a {x,1 decimal} {{ b\"\n", "note \"a {x, 1 decimal} {{ b\"\n"}};
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++) {
        char *form = tidied(workshop, odd[i].text, strlen(odd[i].text));
        check(checks, form != NULL && strcmp(form, odd[i].form) == 0, "odd %zu becomes %s", i, form == NULL ? "nothing" : form);
        free(form);
    }
    static const char *const wrong[] = {"let a = (1\n", "paper p:\n", "let a = 1,500\n", "end\n"};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        char *form = tidied(workshop, wrong[i], strlen(wrong[i]));
        check(checks, form == NULL, "what cannot be read is tidied: %s", wrong[i]);
        free(form);
    }
}

int main(void)
{
    Checks checks = {0};
    Memory memory = {0};
    WorkshopWish wish = {0};
    Workshop *workshop = workshop_open(&wish);
    static const char *const folders[] = {"examples", "stdlib", "tests/golden", "tests/messages", "tests/rules"};
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        try_folder(&checks, workshop, &memory, folders[i]);
    }
    char *given = check_read("tests/tidy/given.wleaf", NULL), *wanted = check_read("tests/tidy/tidied.wleaf", NULL);
    char *form = given == NULL ? NULL : tidied(workshop, given, strlen(given));
    check(&checks, form != NULL && wanted != NULL && strcmp(form, wanted) == 0, "tests/tidy/given.wleaf becomes\n%s", form == NULL ? "nothing" : form);
    free(given);
    free(wanted);
    free(form);
    try_odd(&checks, workshop);
    workshop_close(workshop);
    memory_return_all(&memory);
    return checks_end(&checks, "properties/tidy");
}
