/* Making a document as scripts declare it: `document` and `section` blocks are gone
 * through line by line for a solved run, and become a tree that back ends walk.
 *
 * Nothing here knows what any document is about, nor how one is printed.
 */
#ifndef WATERLEAF_DOCUMENTS_MAKE_H
#define WATERLEAF_DOCUMENTS_MAKE_H

#include "documents/document.h"
#include "reckoning/outcome.h"
#include "reckoning/run.h"

/* Reads the file of that name as a script may name it, into ARENA: its bytes as base64, NULL where it cannot be had; then
 * *TROUBLE says why. */
typedef const char *MakeRead(void *with, const char *name, Arena *arena, const char **trouble);

typedef struct MakeWish {
    uint32_t plan;         /* place in world.plans */
    const char *script;    /* its path, as the user knows it */
    const char *stdlib;    /* its mark */
    uint32_t first_label;  /* the first on the first sheet of label stock that is used, from 1 */
    MakeRead *read;
    void *with;
} MakeWish;

/* Adds the document to DOCUMENT. NULL, or in the run's arena a sentence that says why it could not be made. */
const char *make_document(Run *run, const Outcome *outcome, const MakeWish *wish, Document *document);

#endif
