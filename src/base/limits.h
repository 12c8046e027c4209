/* All limits of the language, in one place. Passing one is a message like any
 * other. The language reference lists them from here. */
#ifndef WATERLEAF_BASE_LIMITS_H
#define WATERLEAF_BASE_LIMITS_H

enum {
    LIMIT_SOURCE_BYTES = 256 * 1024 * 1024,
    LIMIT_LINE_BYTES = 1024 * 1024, /* of a line with all that goes on behind its commas */
    LIMIT_NUMBER_DIGITS = 1000,
    LIMIT_BRACKETS = 100,       /* ( [ { inside each other */
    LIMIT_OPERATORS = 300,      /* in one argument: the depth of its tree */
    LIMIT_KINDS = 4000,         /* stdlib's among them; each has 16 bits at the most */
    LIMIT_BLOCKS = 64,          /* inside each other */
    LIMIT_VARY_LINES = 16,      /* in one paper */
    LIMIT_EVALUATIONS = 2000000, /* sums and steps in working one variant out, all walks together */
    LIMIT_SCRIPT_MESSAGES = 100 /* of reading one script */
};

#endif
