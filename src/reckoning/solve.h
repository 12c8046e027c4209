/* Working backwards from the order: the fibre in a sheet, the sheets to form,
 * the fibre to charge. Steps run forward only; this turns them round. */
#ifndef WATERLEAF_RECKONING_SOLVE_H
#define WATERLEAF_RECKONING_SOLVE_H

#include "reckoning/run.h"

/* The fewest sheets of which, each surviving with probability SURVIVAL, at least GOOD are
 * left with the assurance SURE: binomial, exact. 0 where more than MOST would be needed. */
double solve_sheets_to_form(double good, double survival, double sure, double most);

/* The probability that of FORMED sheets at least GOOD are left. */
double solve_assurance(double formed, double good, double survival);

/* The same without a word, with the ends of the `about`s as they are set now. */
bool solve_quietly(Run *run);

/* Solves the paper of the run and takes the last walk. False, with messages, where there is no answer. */
bool solve_paper(Run *run);

#endif
