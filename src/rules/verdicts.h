/* What the files of this folder share: the combinations of what a rule's `each`
 * lines bind, and how each of its requirements came out.
 */
#ifndef WATERLEAF_RULES_VERDICTS_H
#define WATERLEAF_RULES_VERDICTS_H

#include "rules/judge.h"

/* How a requirement came out for one combination. */
typedef struct Verdict {
    uint32_t requirement; /* place in world.requirements */
    bool asked;           /* its condition holds */
    bool told, holds;
    bool compares;        /* one number against another: there is a margin */
    double margin;        /* how far it is from failing, in base units; below 0: it fails */
    const char *found, *limit; /* where it fails and compares */
} Verdict;

typedef struct Combination {
    uint32_t rule;
    Value *slots;        /* of its frame */
    Verdict *verdicts;   /* one for each requirement */
    uint32_t count;
} Combination;

typedef struct Verdicts {
    Judge *judge;
    Run *run;
    bool keeps_all;      /* those that hold, too: how far they are from failing is asked for */
    LIST(Combination) combinations; /* those that fail, and those that are judged at an end */
} Verdicts;

/* Judges RULE at the values that hold now; adds its combinations. */
void verdicts_add_rule(Verdicts *verdicts, uint32_t rule);
/* Judges all rules, and the claims that are asked for. */
void verdicts_add_all(Verdicts *verdicts);
/* Judges one requirement of a combination anew, at the values that hold now. */
void verdicts_measure(Verdicts *verdicts, const Combination *combination, Verdict *verdict, bool words);
/* All lets of the rule, for its sentences. */
void verdicts_work_out(Run *run, const Combination *combination);
void verdicts_close(Verdicts *verdicts);

/* The first requirement that fails; NULL: none. Of a claim what is not told fails, too. */
const Verdict *verdicts_failing(const World *world, const Combination *combination);

/* ---- ends.c ---- */

/* Judges what is to be judged at worst or at best at those ends. ENDS is used where it fits, else filled anew. True: the run
 * now stands at an end. */
bool ends_judge(Verdicts *verdicts, Ends *ends);
void ends_forget(Ends *ends, Memory *memory);

/* ---- places.c ---- */

/* Whether the paper asks for the claim. */
bool places_claim_is_asked(Run *run, ThingId claim);
/* Where the thing that VALUE names was written; {0, 0}: nowhere in the user's scripts. */
Span places_of(Run *run, Value value, Type type);
/* Where the combination is to be marked: PLACES in order, with what they say; how many. */
uint32_t places_of_combination(Run *run, const Combination *combination, MessagePlace places[MESSAGE_PLACES]);
/* The number in the user's own script that a change of the rule would move: its node, 0: there is none. *REF: of what it is. */
NodeId places_of_change(Run *run, const Combination *combination, uint32_t *ref);

/* ---- proposals.c ---- */

typedef struct Proposal { NodeId literal; const char *text, *now; uint32_t ref; } Proposal;

/* The value of the rule's `change` that would do for all variants of the paper. False: there is none; then only literal, now
 * and ref are told. */
bool proposals_find(Verdicts *verdicts, const Combination *combination, const Verdict *verdict, Proposal *proposal);

#endif
