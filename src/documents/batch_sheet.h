/* The batch sheet: what hangs by the beater and the vat, is written on with a
 * pencil, and is filed. Made of an Outcome; it knows no back end. */
#ifndef WATERLEAF_DOCUMENTS_BATCH_SHEET_H
#define WATERLEAF_DOCUMENTS_BATCH_SHEET_H

#include "documents/document.h"
#include "reckoning/outcome.h"

typedef struct BatchSheet {
    const Outcome *outcome;
    const char *script; /* from which it was worked out */
    const char *stdlib; /* mark of stdlib */
} BatchSheet;

/* Adds the sheet's parts: one for each parcel, one for what all parcels share after forming, one that tells how the numbers
 * came about. */
void batch_sheet_add(Document *document, const BatchSheet *sheet);

#endif
