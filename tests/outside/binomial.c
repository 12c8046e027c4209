/* How many sheets must be formed, and how sure an order then is, against the binomial distribution of the GNU
 * Scientific Library, which others wrote. */
#include "check.h"
#include "reckoning/solve.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

enum { MOST = 1000000 };

/* The chance that of FORMED sheets, each surviving with SURVIVAL, GOOD or more are left. */
static double chance(double good, double survival, double formed)
{
    return gsl_cdf_binomial_Q((unsigned)good - 1, survival, (unsigned)formed);
}

/* The fewest that are enough: so many are sure enough, and one fewer is not. */
static void try_order(Checks *checks, double good, double survival, double sure)
{
    double formed = solve_sheets_to_form(good, survival, sure, MOST);
    if (!check(checks, formed >= good, "%g good of %g, sure %g: %g to form", good, survival, sure, formed))
        return;
    double enough = chance(good, survival, formed), fewer = formed > good ? chance(good, survival, formed - 1) : 0;
    check(checks, enough >= sure * (1 - 1e-10) && fewer < sure * (1 + 1e-10), "%g good of %g, sure %g: %g formed are %.12g sure, one fewer %.12g",
          good, survival, sure, formed, enough, fewer);
}

static void try_assurance(Checks *checks, double formed, double good, double survival)
{
    double ours = solve_assurance(formed, good, survival), theirs = chance(good, survival, formed);
    check(checks, fabs(ours - theirs) <= 1e-10, "%g good of %g formed that survive with %g: %.15g, and %.15g", good, formed, survival, ours, theirs);
}

static void try_grid(Checks *checks)
{
    static const double survivals[] = {0.3, 0.5, 0.67, 0.6705295, 0.8, 0.9, 0.97, 0.999};
    static const double sures[] = {0.5, 0.8, 0.9, 0.95, 0.99, 0.999};
    for (double good = 1; good <= 2000; good += good < 40 ? 1 : good < 2000 - 97 ? 97 : 2000 - good > 0 ? 2000 - good : 1)
        for (size_t s = 0; s < sizeof survivals / sizeof *survivals; s++) {
            for (size_t a = 0; a < sizeof sures / sizeof *sures; a++)
                try_order(checks, good, survivals[s], sures[a]);
            for (double more = 0; more <= 3; more += 0.25)
                try_assurance(checks, floor(good * (1 + more)), good, survivals[s]);
        }
}

/* The batch that the design follows: 80 good ones of survival 0.6705295. Worked by hand from the formulas. */
static void try_followed(Checks *checks)
{
    static const struct { double sure, formed; } quoted[] = {{0.5, 119}, {0.8, 126}, {0.9, 129}, {0.95, 132}};
    for (size_t i = 0; i < sizeof quoted / sizeof *quoted; i++) {
        double formed = solve_sheets_to_form(80, 0.6705295, quoted[i].sure, MOST);
        check(checks, formed == quoted[i].formed, "80 good ones, sure %g: %g to form, not %g", quoted[i].sure, formed, quoted[i].formed);
    }
    check(checks, fabs(chance(80, 0.6705295, 119) - 0.527) < 0.0005, "119 formed give 80 with %.4f, quoted 0.527", chance(80, 0.6705295, 119));
}

/* How many pieces must be drawn so that, with the assurance told, some of the worst (or best) of all are among them: the
 * tolerance limits without a distribution of S. S. Wilks (1941), as handbooks of statistics print them. From memory.
 * Of each piece the chance to be one of them is what is left of its coverage. */
static void try_wilks(Checks *checks)
{
    static const struct { double among, coverage, sure, drawn; } printed[] = {
        {1, 0.90, 0.90, 22}, {1, 0.90, 0.95, 29}, {1, 0.95, 0.95, 59}, {1, 0.99, 0.95, 299}, {1, 0.99, 0.99, 459},
        {2, 0.95, 0.95, 93}, {3, 0.95, 0.95, 124},
    };
    for (size_t i = 0; i < sizeof printed / sizeof *printed; i++) {
        double drawn = solve_sheets_to_form(printed[i].among, 1 - printed[i].coverage, printed[i].sure, MOST);
        check(checks, drawn == printed[i].drawn, "%g of the outer %g %%, sure %g: %g drawn, printed is %g", printed[i].among,
              100 * (1 - printed[i].coverage), printed[i].sure, drawn, printed[i].drawn);
    }
}

static void try_edges(Checks *checks)
{
    check(checks, solve_sheets_to_form(7, 1, 0.9, MOST) == 7, "none is spoiled: 7 of 7");
    check(checks, solve_sheets_to_form(7, 0, 0.9, MOST) == 0, "all are spoiled: no number is enough");
    check(checks, solve_sheets_to_form(7, -0.5, 0.9, MOST) == 0 && solve_sheets_to_form(7, NAN, 0.9, MOST) == 0, "no such share is left");
    check(checks, solve_sheets_to_form(6.5, 1, 0.9, MOST) == 7, "half a sheet is one");
    check(checks, solve_assurance(5, 0, 0.9) == 1 && solve_assurance(5, -1, 0.9) == 1, "none are wanted: that is sure");
    check(checks, solve_assurance(4, 5, 0.9) == 0, "of 4 there are never 5");
    check(checks, solve_assurance(5, 5, 1) == 1 && solve_assurance(5, 5, 0) == 0, "none is spoiled, or all are");
    check(checks, solve_assurance(5, 0, 0) == 1, "none are wanted: that is sure, though none survive");
    check(checks, solve_assurance(0, 1, 0.9) == 0, "of none there is never 1");
    check(checks, solve_assurance(6, 5, 0) == 0, "all are spoiled, and one more");
    check(checks, solve_assurance(5, 5, 1.25) == 1, "more than all survive: that is sure");
    check(checks, solve_sheets_to_form(1000, 0.5, 0.9, 1500) == 0, "more than there may be");
    check(checks, solve_sheets_to_form(1, 0.1, 0.9, 22) == 22 && solve_sheets_to_form(1, 0.1, 0.9, 21) == 0, "just as many as there may be, and one more");
}

int main(void)
{
    Checks checks = {0};
    try_grid(&checks);
    try_followed(&checks);
    try_wilks(&checks);
    try_edges(&checks);
    return checks_end(&checks, "binomial");
}
