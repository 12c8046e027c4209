/* Waterleaf as a library: open a workshop, let it read scripts, ask it, and
 * close it. The commands, the fuzzers and the tests use this and nothing else.
 *
 * No function here fails by crashing or by ending the program: when memory or a
 * file fails, or a limit is passed, the answer says so (WATERLEAF_FAILED), a message
 * is among the messages where there is one, and the workshop can only be closed.
 */
#ifndef WATERLEAF_H
#define WATERLEAF_H

#include "base/text.h"
#include "documents/document.h"
#include "meaning/world.h"
#include "reckoning/outcome.h"
#include "reckoning/why.h"

typedef struct Workshop Workshop;

typedef enum WaterleafAnswer {
    WATERLEAF_FINE,     /* errors in scripts are among the messages */
    WATERLEAF_NO_FILE,  /* a file could not be read; workshop_trouble says why */
    WATERLEAF_NO_NAME,  /* no paper, batch, variant or figure is called so; workshop_trouble says it */
    WATERLEAF_ERRORS,   /* what was asked for cannot be had, as scripts have errors: they are among the messages */
    WATERLEAF_NO_DOCUMENT, /* the document could not be made; workshop_trouble says why */
    WATERLEAF_STOPPED,  /* whoever asked did not want to wait any longer; the messages are not all there */
    WATERLEAF_FAILED    /* memory, a limit, a write */
} WaterleafAnswer;

typedef struct WorkshopWish {
    const char *stdlib;    /* a folder to read stdlib from; NULL: the one built in */
    uint64_t fail_at;      /* for the fault loop: the request for memory that fails; 0: none */
    bool fail_on;
    uint64_t read_fails_at, write_fails_at;
    size_t memory_limit;   /* bytes; 0: 8 GiB */
    /* Scripts that are used are asked for here first, by their real path: their bytes, or NULL where they stand on the disk alone. */
    const char *(*at_hand)(void *with, const char *path, size_t *length);
    void *with;
    bool unjudged;         /* amounts only: rules and claims are passed over, for tests of recipes that nobody would make */
    int32_t day;           /* on which is judged what is accepted until a day: days since 1970-01-01; 0: none, and nothing is past */
} WorkshopWish;

/* A new workshop, with stdlib in it; NULL where memory fails at once. */
Workshop *workshop_open(const WorkshopWish *wish);
void workshop_close(Workshop *workshop);

/* Forgets the scripts that were read, but not stdlib: ready for the next script. */
WaterleafAnswer workshop_clear(Workshop *workshop);

/* Reads the script at PATH ("-": standard input) and all that it uses, and checks names and kinds. */
WaterleafAnswer workshop_read(Workshop *workshop, const char *path);

/* The same for a text at hand, as if it stood in a file called NAME. */
WaterleafAnswer workshop_read_text(Workshop *workshop, const char *name, const char *text, size_t length);

/* Only the tokens, only the tree, or names and kinds too, but no paper is worked out: for measuring.
 * HOW FAR: 0 tokens, 1 tree, 2 names and kinds. */
WaterleafAnswer workshop_read_only(Workshop *workshop, const char *path, int how_far);

/* Works out every batch, and every variant of every paper of the script that was read, and judges
 * what the writers expect. Nothing is kept but messages. */
WaterleafAnswer workshop_check(Workshop *workshop);

/* The same, but before each of them GOES_ON is asked; where it gives false the answer is WATERLEAF_STOPPED. */
WaterleafAnswer workshop_check_while(Workshop *workshop, bool (*goes_on)(void *with), void *with);

/* The one form of a script, added to OUT, which is open. Of a text that cannot be read whole the answer is WATERLEAF_ERRORS, with the messages,
 * and OUT stays as it is. Forgets what was read before; NAME is what the messages call it. */
WaterleafAnswer workshop_tidy(Workshop *workshop, const char *name, const char *text, size_t length, Text *out);

/* What can be worked out in the script that was read: a batch, or a variant of a paper. */
typedef struct WaterleafWork {
    const char *batch;     /* NULL: a variant without a batch */
    const char *paper;
    const char *title;
} WaterleafWork;

/* How many there are (batches first, then variants), and the one of that number. */
uint32_t workshop_work_count(Workshop *workshop);
WaterleafAnswer workshop_work(Workshop *workshop, uint32_t number, WaterleafWork *work);

/* Works out the one called NAME: a batch, a paper's word (all its variants), a title with units in either spelling, or
 * "botanical weight=300 finish=rough"; NULL: all batches, or where there are none all variants. SHEETS > 0: in place of what the
 * batch tells. Each outcome is handed to SHOW in turn and is gone afterwards; SHOW gives false to stop. Papers with errors are not handed over. */
typedef bool WaterleafShow(void *with, Workshop *workshop, const Outcome *outcome);
WaterleafAnswer workshop_work_out(Workshop *workshop, const char *name, double sheets, WaterleafShow *show, void *with);

typedef struct WaterleafDocument {
    const char *document;  /* as it is declared: "batch-sheet" */
    const char *name;      /* of what, as for workshop_work_out */
    double sheets;
    uint32_t first_label;  /* the first label on the first sheet of label stock that is used, from 1; 0: the first */
} WaterleafDocument;

/* Makes a document of each work that is called so, all in DOCUMENT, which was opened; *COUNT: of how many. */
WaterleafAnswer workshop_document(Workshop *workshop, const WaterleafDocument *wish, Document *document, uint32_t *count);

/* The same as workshop_work_out, and each outcome tells also what every number that is typed moves when it is a tenth more or less: Outcome.what_if. */
WaterleafAnswer workshop_what_if(Workshop *workshop, const char *name, double sheets, WaterleafShow *show, void *with);

/* How the figure FIGURE of NAME came about, as text for people, unfolded to DEPTH (0: all the way): *TEXT, which
 * belongs to the workshop and lasts until the next call. Where nothing can be worked out, because a script has errors or
 * working it out finds some, the answer is WATERLEAF_ERRORS; with any answer but WATERLEAF_FINE *TEXT is "". */
WaterleafAnswer workshop_why(Workshop *workshop, const char *name, const char *figure, unsigned depth, const char **text);

/* The same as parts within parts, good until the workshop is asked for something else; NULL: the last call explained nothing. */
const WhyPart *workshop_why_parts(const Workshop *workshop);

/* All that was said so far, sorted; and the world with it. */
const Messages *workshop_messages(Workshop *workshop);
const World *workshop_world(const Workshop *workshop);

/* PATH relative to the root of the script that was read, where it lies below it. */
const char *workshop_path(const Workshop *workshop, const char *path);

/* A mark of what stdlib says: 16 hexadecimal digits. */
const char *workshop_stdlib_mark(const Workshop *workshop);

/* The script to start with that stdlib/start calls NAME (source/template.h says how it asks); NULL: there is none. */
const char *workshop_start_text(const Workshop *workshop, const char *name);

/* Whether it failed, and can only be closed. */
bool workshop_failed(const Workshop *workshop);

/* What went wrong in the last call, in a sentence; "" where nothing did. */
const char *workshop_trouble(const Workshop *workshop);

/* Figures for measuring: walks taken so far, bytes held at the most. */
uint64_t workshop_walks(const Workshop *workshop);
uint64_t workshop_variants(const Workshop *workshop);
size_t workshop_most_held(const Workshop *workshop);

#endif
