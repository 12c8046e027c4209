/* Proof-reading: what was set is read back before it is called written. */
#ifndef WATERLEAF_COMMANDS_PROOF_H
#define WATERLEAF_COMMANDS_PROOF_H

#include "base/memory.h"
#include "documents/document.h"

#include <stdbool.h>
#include <stddef.h>

/* Reads the PDF of LENGTH bytes with the tools of the system: that all words of the document stand in it, that it has the pages that it
 * says, and that its codes say what was encoded. What there is no tool for is passed over. False: *MISSING, from MEMORY, says in a
 * sentence what does not read back. */
bool proof_read(Memory *memory, const Document *document, const char *pdf, size_t length, const char **missing);

#endif
