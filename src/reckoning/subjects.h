/* What a procedure works on: streams, the stuff, a sheet; beginning, joining,
 * losing, making. */
#ifndef WATERLEAF_RECKONING_SUBJECTS_H
#define WATERLEAF_RECKONING_SUBJECTS_H

#include "reckoning/run.h"

/* Empties all subjects; called at the beginning of a walk. */
void subjects_reset(Run *run);

/* Stream NUMBER begins with MASS of its material, oven-dry. */
void subjects_begin_stream(Run *run, uint32_t number, double mass);

/* The content of MATERIAL, made if there is none; NULL when the subject holds too many. */
Content *subjects_content(Run *run, uint32_t subject, ThingId material);

/* What the unknown's kind asks of SUBJECT: its fibre. */
double subjects_fibre(Run *run, uint32_t subject);

/* Multiplies contents and all attributes that are shared out. */
void subjects_scale(Run *run, uint32_t subject, double by);

/* Streams that have not joined yet become stuff; ONLY: just that subject (0: all). */
void subjects_join(Run *run, uint32_t only);

/* One sheet of FIBRE from the stuff. */
void subjects_make_sheet(Run *run, double fibre);

/* What the procedure calls SUBJECT: `stuff`, `sheet`, or the stream's own name. */
Name subjects_name(const Run *run, uint32_t subject);

/* Whether a field's values add up and are shared out: masses and volumes. */
bool subjects_adds_up(Run *run, FieldId field);

/* A gain (+) or loss (-) of MASS of MATERIAL (0: water), of one parcel or one sheet, noted for the whole batch. */
void subjects_note(Run *run, ThingId material, double mass, Name way, bool of_sheet);

/* The same for what a subject holds beside its materials, as its water: TIMES all of it (a share that leaves is
 * negative). At the forming, what passes to the sheet is left out. */
void subjects_note_held(Run *run, uint32_t subject, double times, Name way, bool forming);

/* Whether the attribute is a mass that adds up. */
bool subjects_is_mass(Run *run, FieldId field);

#endif
