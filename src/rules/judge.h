/* Rules and claims, judged on a solved paper. The rules themselves are declared
 * in scripts: nothing here knows what any of them is about.
 */
#ifndef WATERLEAF_RULES_JUDGE_H
#define WATERLEAF_RULES_JUDGE_H

#include "reckoning/outcome.h"
#include "reckoning/run.h"

/* Which end of each `about` raises what is judged, found once and kept for the variants that are walked alike. */
typedef struct Ends {
    uint64_t key;        /* of the paper, its lines that are done, and what is judged; 0: nothing is kept */
    uint32_t about_count, item_count;
    uint32_t *abouts;    /* places in run.about_ends */
    int8_t *raising;     /* [about][item]: the end that raises its margin, 0: neither */
    uint8_t *walked;     /* [about]: it moves what is walked, too, and not only figures */
} Ends;

typedef struct ClaimJudged { ThingId claim; const char *wording, *missing, *because; } ClaimJudged;

typedef struct Judge {
    World *world;
    Memory *memory;
    int32_t day;         /* on which it is judged, days since 1970; 0: no day is given, and nothing is past */
    Ends ends;
    Run trial;           /* on which proposals are tried */
    bool trial_open;
    LIST(const char *) accepted; /* of the paper at hand, in its run's arena */
    LIST(ClaimJudged) claims;
} Judge;

void judge_open(Judge *judge, World *world, Memory *memory, int32_t day);
void judge_close(Judge *judge);

/* Judges all rules, and the claims that the paper asks for, on RUN, which is solved; what is wrong is said. Afterwards the run is solved at its usual
 * values where SOLVED asks for that; else it may stand at an end. */
void judge_paper(Judge *judge, Run *run, bool solved);

/* Puts what was judged last into OUTCOME: claims with their wordings, and what was accepted. */
void judge_finish(Judge *judge, Run *run, Outcome *outcome);

#endif
