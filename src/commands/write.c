/* write: documents, as text, or as pages to read or to print. */
#include "commands/command.h"

#include "base/files.h"
#include "base/program.h"
#include "commands/proof.h"
#include "documents/document.h"
#include "render/html.h"
#include "render/mark.h"
#include "render/pages.h"
#include "render/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* The forms there are, by the word behind --as; the same words stand in options.def. */
typedef struct Form {
    const char *word, *ending;
    bool of_pages;                                                           /* by the other program */
    void (*render)(Text *out, const Document *document, const char *page);   /* by this one */
    int (*put)(const Options *options, Memory *memory, const Text *bytes);
} Form;

static void make_text(Text *out, const Document *document, const char *page)
{
    (void)page;
    render_text(out, document);
}

static int put_one(const Options *options, Memory *memory, const Text *bytes)
{
    (void)memory;
    return command_put(options, bytes, true);
}

static int put_pictures(const Options *options, Memory *memory, const Text *bytes);

static const Form forms[] = {
    {"text", ".txt", false, make_text, put_one},
    {"html", ".html", false, render_html, put_one},
    {"pdf", ".pdf", true, NULL, put_one},
    {"svg", ".svg", true, NULL, put_pictures},
};
enum { FORMS = sizeof forms / sizeof forms[0] };

/* What is asked for by name, or else by the ending of the file; text where neither is told. NULL, with a sentence, where the ending is
 * of something else: who writes sheet.docx does not want a text of that name. */
static const Form *form_of(const Options *options)
{
    const char *name = options->out == NULL || strrchr(options->out, '/') == NULL ? options->out : strrchr(options->out, '/') + 1;
    const char *ending = name == NULL || *name == 0 ? NULL : strrchr(name + 1, '.'); /* a dot in front only hides a file */
    for (size_t i = 0; i < FORMS; i++) {
        if (options->as != NULL ? strcmp(options->as, forms[i].word) == 0 : ending != NULL && strcasecmp(ending, forms[i].ending) == 0) {
            return &forms[i];
        }
    }
    if (ending == NULL) {
        return &forms[0];
    }
    char listed[128] = "";
    for (size_t i = 0; i < FORMS; i++) {
        command_add_word(listed, sizeof listed, i, FORMS, forms[i].ending, strlen(forms[i].ending));
    }
    command_trouble("No document ends in %.60s; give the file an ending of %s, or name the form with --as.", ending, listed);
    return NULL;
}

typedef struct Writing {
    const Options *options;
    Memory *memory;
    Arena arena;
    Document document;
    Program pages;       /* which sets pages, and makes ready while the document is made */
    const Form *form;
    uint32_t count;
} Writing;

/* The pages are set by the other program: it is started first, since it is large, and given the document when that is there. */
static int start_pages(Writing *writing)
{
    writing->pages = (Program){0, -1, -1};
    if (!writing->form->of_pages) {
        return COMMAND_FINE;
    }
    char *program = program_beside(writing->memory, "waterleaf-pages");
    if (program == NULL) {
        return command_trouble("waterleaf-pages, which sets pages, is not where waterleaf is. Build it beside it with make, or ask for --as html.");
    }
    switch (program_start(&writing->pages, program)) {
    case PROGRAM_FINE: return COMMAND_FINE;
    case PROGRAM_MISSING: return command_trouble("%s could not be started. Build it anew with make, or ask for --as html.", program);
    default: return command_trouble("%s cannot be started: there is not enough memory for it.", program);
    }
}

/* *BYTES is what it made of the document. */
static int set_pages(Writing *writing, char **bytes, size_t *length)
{
    Text document;
    text_open(&document, writing->memory);
    render_pages(&document, &writing->document, writing->options->page, writing->form->word, getenv("SOURCE_DATE_EPOCH"));
    switch (program_finish(writing->memory, &writing->pages, document.at, document.length, bytes, length)) {
    case PROGRAM_FINE: return COMMAND_FINE;
    case PROGRAM_REFUSED: return COMMAND_TROUBLE; /* it said why */
    case PROGRAM_MISSING: return command_trouble("waterleaf-pages could not be started. Build it anew with make, or ask for --as html.");
    default: return command_trouble("waterleaf-pages came to no end, or there is not enough memory for it. Nothing was written.");
    }
}

/* One picture a page: where there are several, their numbers stand before the ending of the name. */
static int put_pictures(const Options *options, Memory *memory, const Text *whole)
{
    const char *bytes = whole->at;
    const char *ending = options->out == NULL ? NULL : strrchr(options->out, '.');
    size_t stem = ending == NULL || strchr(ending, '/') != NULL ? (options->out == NULL ? 0 : strlen(options->out)) : (size_t)(ending - options->out);
    Text name;
    text_open(&name, memory);
    const char *end = bytes + whole->length;
    for (unsigned page = 1; bytes < end; page++) {
        char *behind = NULL;
        size_t size = strncmp(bytes, "svg ", 4) == 0 ? strtoul(bytes + 4, &behind, 10) : 0;
        if (behind == NULL || *behind != '\n' || size > (size_t)(end - behind - 1)) {
            return command_trouble("waterleaf-pages is of another version than waterleaf. Build both with make.");
        }
        const char *picture = behind + 1;
        bytes = picture + size;
        Options one = *options;
        bool alone = page == 1 && bytes == end;
        if (options->out == NULL && !alone) {
            return command_trouble("A picture holds one page, and this has several. Name a file with -o, and each gets its number.");
        }
        if (!alone) {
            text_clear(&name);
            text_add(&name, options->out, stem);
            text_print(&name, "-%u%s", page, options->out + stem);
            one.out = name.at;
        }
        int answer = command_put(&one, &(Text){.memory = memory, .at = (char *)(uintptr_t)picture, .length = size}, true);
        if (answer != COMMAND_FINE) {
            return answer;
        }
    }
    text_close(&name);
    return COMMAND_FINE;
}

/* Marks are looked at whatever the form: HTML would show their words alone. */
static int look_at_marks(const Writing *writing)
{
    MarkTrouble trouble;
    for (DocumentWalk walk = {.root = writing->document.root}; document_next(&walk);) {
        if (walk.node->form == DOCUMENT_IMAGE && !mark_sound(writing->memory, walk.node, &trouble)) {
            return command_trouble("The mark \xE2\x80\x9C%.200s\xE2\x80\x9D cannot be drawn: %s. %s", walk.node->text, trouble.what, trouble.mend);
        }
    }
    return COMMAND_FINE;
}

static int put(Writing *writing)
{
    const Options *options = writing->options;
    Text text;
    text_open(&text, writing->memory);
    if (!writing->form->of_pages) {
        writing->form->render(&text, &writing->document, options->page);
    } else if (set_pages(writing, &text.at, &text.length) != COMMAND_FINE) {
        return COMMAND_TROUBLE;
    }
    const char *missing;
    if (strcmp(writing->form->word, "pdf") == 0 && !options->unproofed
        && !proof_read(writing->memory, &writing->document, text.at, text.length, &missing)) {
        return command_trouble("The pages were set, but do not read back as they should: %s. Nothing was written; --unproofed writes it all the same.", missing);
    }
    return writing->form->put(options, writing->memory, &text);
}

int command_write(const Options *options, int count, char **words)
{
    if (count < 2 || count > 3) {
        return command_trouble("write takes a DOCUMENT, as batch-sheet or labels, a FILE and, where the script has more than one, a NAME.");
    }
    Memory *memory = options->memory;
    Writing writing = {.options = options, .memory = memory, .form = form_of(options)};
    Workshop *workshop = writing.form == NULL ? NULL : command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    arena_open(&writing.arena, memory);
    document_open(&writing.document, &writing.arena, words[0]);
    if (start_pages(&writing) != COMMAND_FINE) {
        workshop_close(workshop);
        return COMMAND_TROUBLE;
    }
    WaterleafDocument wish = {.document = words[0], .name = count > 2 ? words[2] : NULL, .sheets = options->sheets,
                              .first_label = (uint32_t)options->first_label};
    WaterleafAnswer answer = workshop_read(workshop, words[1]);
    if (answer == WATERLEAF_FINE) {
        answer = workshop_document(workshop, &wish, &writing.document, &writing.count);
    }
    int end = answer != WATERLEAF_FINE ? command_trouble("%s", workshop_trouble(workshop))
                                       : command_end(options, workshop_messages(workshop));
    if (command_show_messages(options, workshop, false) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    /* where there is an error nothing is written: half a batch sheet would be worked from */
    if (end == COMMAND_FINE && writing.count > 0) {
        end = writing.document.root->first != NULL ? look_at_marks(&writing)
            : command_trouble("There is nothing to print in %s here.", words[0]);
        end = end == COMMAND_FINE ? put(&writing) : end;
        if (end == COMMAND_FINE && options->depends != NULL) {
            Text scripts;
            text_open(&scripts, memory);
            depends_add(&scripts, workshop);
            end = depends_write(options, &scripts);
        }
    }
    program_give_up(&writing.pages);
    workshop_close(workshop);
    return end;
}
