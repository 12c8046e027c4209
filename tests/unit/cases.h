/* A table of cases that one workshop is asked of, one after another: all are tried, and each that is wrong tells of itself. */
#ifndef WATERLEAF_UNIT_CASES_H
#define WATERLEAF_UNIT_CASES_H

#include "unit.h"

#include "waterleaf.h"

/* Whether what the workshop makes of one CASE is as it must be; else it prints what was wrong. */
typedef bool CaseHolds(Workshop *workshop, const void *one);

static inline void cases_hold_all(bool unjudged, CaseHolds *holds, const void *cases, size_t count, size_t size)
{
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = unjudged});
    assert_non_null(workshop);
    bool fine = true;
    for (size_t i = 0; i < count; i++)
        fine = holds(workshop, (const char *)cases + i * size) && fine;
    workshop_close(workshop);
    assert_true(fine);
}

#define cases_hold(unjudged, holds, cases) cases_hold_all((unjudged), (holds), (cases), sizeof (cases) / sizeof *(cases), sizeof *(cases))

#endif
