/* What comes of working a paper out: the numbers and sentences that are shown,
 * printed and explained. Made once, after the last walk; nothing in it is
 * worked out again by whoever shows it.
 *
 * Everything stands in the arena of the run and is gone with it. Numbers are in
 * base units of their kind; `shown` is what a person reads.
 */
#ifndef WATERLEAF_RECKONING_OUTCOME_H
#define WATERLEAF_RECKONING_OUTCOME_H

#include "meaning/world.h"

/* A value that is shown. */
typedef struct Quantity {
    Type type;
    bool told;          /* false: not told; nothing else holds then but `shown`, which is "not told" */
    double value;       /* in base units */
    bool has_band;      /* some `about` moves it by more than its shown decimals */
    double low, high;   /* in base units; equal to value where there is no band */
    UnitId unit;        /* in which it is shown; 0: plain */
    double in_unit, low_in_unit, high_in_unit;
    uint32_t marks;     /* MARK_… of meaning/line.h: where its inputs come from */
    const char *shown;  /* "0.607 mol/kg" */
    const char *band_shown; /* "0.470 to 0.742"; NULL without a band */
} Quantity;

typedef struct NamedQuantity {
    const char *name;
    const char *of;     /* figures of each thing of a set: its name ("linen-rag"); NULL: of the paper or step */
    const char *set;    /* "material", "stream", "parcel"; NULL with `of` */
    Quantity quantity;
    NodeId line;        /* where it is declared */
} NamedQuantity;

/* A material as it is weighed out for the whole batch. */
typedef struct WeighLine {
    const char *material;
    ThingId thing;
    const char *class;
    bool is_fibre;      /* it came with the furnish */
    bool by_parcel;     /* weighed for each parcel; else once for all */
    Quantity share;     /* as it was dosed or furnished: 75 %, 5 % on fibre; not told where it is neither */
    Quantity moisture;  /* as stored: 1 − dry ÷ weigh_out, whether its moisture or its solids were told */
    Quantity dry;       /* oven-dry, active; whole batch */
    Quantity weigh_out; /* whole batch */
    Quantity dry_of_parcel, weigh_out_of_parcel; /* to weigh: rounded to what the mill's scale shows, where it is known */
    double scale_step;  /* the finest that the mill's scale for it shows; 0: no scale is known */
    double loads;       /* of its beating, in one parcel; 0: it is not beaten by loads */
    Quantity weigh_out_of_load; /* rounded likewise, so that the loads add up to weigh_out_of_parcel as it is shown */
    double heavier_loads; /* so many of them take one step of the scale more: */
    Quantity weigh_out_of_heavier;
} WeighLine;

typedef struct Reading {
    const char *what;     /* "bath temperature" */
    const char *expected; /* "41 °C to 45 °C"; NULL: nothing is expected */
    bool is_signed;       /* a hold point: work stops until somebody signs */
    const char *written;  /* WHAT as the step's line has it, its values left open */
    Quantity window;      /* what is expected, from low to high; not told where it is no number */
} Reading;

/* A value that stands in a sentence of a step. */
typedef struct ToldValue {
    uint32_t sentence;    /* its place in tells */
    const char *name;     /* as the sentence's line has it: "load-water" */
    Quantity quantity;    /* shown as it stands there; with a band where it is a range */
} ToldValue;

/* A thing or word that a step was given: a vessel, a material, "surplus to: beater". */
typedef struct StepChoice { const char *name; const char *text; } StepChoice;

typedef struct Caution {
    const char *name;
    const char *signal;   /* word of its `signal` attribute, NULL: none */
    const char *says;
    const char *wear;     /* NULL: nothing told */
} Caution;

typedef struct StepOutcome {
    uint32_t number;      /* from 1 */
    const char *step;     /* "tub-size" */
    const char *role;     /* "" where it has none */
    NodeId line;          /* of the procedure */
    bool of_parcel;       /* done for each parcel; behind the sheets' forming, once for all */
    const char **tells;   uint32_t tell_count;
    const char **written; /* beside it: the sentences as the step's lines have them, their values left open */
    ToldValue *values;    uint32_t value_count;   /* in its sentences */
    const char *object;   /* on what it works, where that is its first argument: "linen-rag"; else "" */
    StepChoice *choices;  uint32_t choice_count;
    Reading *reads;       uint32_t read_count;
    Caution *cautions;    uint32_t caution_count;
    NamedQuantity *figures; uint32_t figure_count;
    double begins, ends;  /* hours from the start, waiting included */
    bool last_of_wait;
} StepOutcome;

typedef struct ClaimOutcome {
    const char *name;     /* "undyed" */
    const char *wording;  /* what may be printed; NULL: it is refused */
    const char *missing;  /* what is missing; NULL where nothing is */
    const char *because;  /* why such a claim is asked for what it needs; NULL: not told */
} ClaimOutcome;

/* What was measured on the sheets of the batch, for one figure. */
typedef struct Measured {
    const char *name;     /* of the figure */
    double mean, low, high, spread; /* in base units; spread: standard deviation, NaN of one reading */
    uint32_t count;
    const char *shown;    /* "301.2 g/m², mean of 5, 298.0 to 304.1" */
    const char *method;   /* "ISO 536, at 23 °C and 50 %" */
} Measured;

typedef struct ChoiceMade { const char *name; const char *value; } ChoiceMade;

typedef struct Fact { const char *name; const char *text; } Fact;

/* By which share of itself a figure moves: where a number is in truth a tenth more, and a tenth less. NaN: it moves by less than
 * can be measured either way, or there is no such paper. */
typedef struct Moves { double more, less; } Moves;

/* A number that is typed, and what it moves while the hands do all else as they did. */
typedef struct WhatIf {
    NodeId number;
    const char *typed;    /* "4 % w/v dry" */
    const char *line;     /* the line in which it stands, without its block */
    Moves *moves;         /* beside Outcome.sensitive */
    double most;          /* the largest of them, without its sign */
} WhatIf;

typedef struct Outcome {
    const char *paper;    /* its word: "botanical" */
    const char *title;
    ChoiceMade *choices;  uint32_t choice_count;
    const char *batch;    /* NULL: none */
    const char *mill;     /* NULL: without equipment */
    const char *start;    /* "2027-03-01"; NULL: none */
    double sheets_good, sheets_formed, parcels, sheets_of_parcel;
    double sure;          /* as a share */
    bool sure_is_practice; /* nobody told it: 90 % */
    NamedQuantity *figures; uint32_t figure_count;  /* of the paper and batch, then those of each thing */
    Fact *facts;          uint32_t fact_count;      /* what the paper tells of itself: mould, grammage, surface … */
    WeighLine *weigh;     uint32_t weigh_count;
    StepOutcome *steps;   uint32_t step_count;
    ClaimOutcome *claims; uint32_t claim_count;     /* that the paper asks for, as they were judged */
    Measured *measured;   uint32_t measured_count;
    const char **accepted; uint32_t accepted_count; /* "formation-cloudy: wanted for this line; signed the vat foreman, until 2027-12-31" */
    const char **notes;   uint32_t note_count;
    const char **replaced; uint32_t replaced_count; /* lines by which the script changes stdlib */
    const char **defaults; uint32_t default_count;  /* "tub-size, at a bath of 43 °C": taken from stdlib */
    const char **by_practice; uint32_t practice_count; /* inputs that are practice or memory: "MATERIAL: retention, practice" */
    Caution *general;     uint32_t general_count;
    const char **sensitive; uint32_t sensitive_count; /* the values of which it was asked what moves them, as they are written; NULL: it was not */
    WhatIf *what_if;      uint32_t what_if_count;     /* the largest first */
} Outcome;

#endif
