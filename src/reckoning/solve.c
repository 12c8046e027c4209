/* The solves. */
#include "reckoning/solve.h"

#include "reckoning/flow.h"

#include <math.h>

enum { SHEETS_MOST = 1000000 };

/* The chance of at least GOOD of n grows with n by p times the chance of exactly GOOD - 1: from one n to the next two
 * multiplications. Both are carried with a common power of e, as the first ones may be smaller than a double. */
typedef struct Chance { double n, at_least, one_short, scale; } Chance;

static Chance chance_of_all(double good, double survival)
{
    Chance chance = {.n = good, .at_least = 1, .scale = good * log(survival)};
    chance.one_short = good * (1 - survival) / survival;
    return chance;
}

static void one_more(Chance *chance, double good, double survival)
{
    chance->at_least += survival * chance->one_short;
    chance->n += 1;
    chance->one_short *= chance->n / (chance->n - good + 1) * (1 - survival);
    if (chance->at_least > 1e200) {
        chance->at_least *= 1e-200;
        chance->one_short *= 1e-200;
        chance->scale += 200 * log(10);
    }
}

static double chance_now(const Chance *chance)
{
    return exp(chance->scale + log(chance->at_least));
}

double solve_assurance(double formed, double good, double survival)
{
    if (good <= 0 || formed < good) {
        return good <= 0 ? 1 : 0;
    }
    if (survival >= 1 || survival <= 0) {
        return survival >= 1 ? 1 : 0;
    }
    Chance chance = chance_of_all(good, survival);
    while (chance.n + 0.5 < formed) {
        one_more(&chance, good, survival);
    }
    return chance_now(&chance);
}

double solve_sheets_to_form(double good, double survival, double sure, double most)
{
    if (survival <= 0 || survival != survival) {
        return 0;
    }
    good = run_round_up(good);
    if (survival >= 1) {
        return good;
    }
    Chance chance = chance_of_all(good, survival);
    double aim = log(sure);
    while (chance.scale + log(chance.at_least) < aim - 1e-13) {
        if (chance.n >= most) {
            return 0;
        }
        one_more(&chance, good, survival);
    }
    return chance.n;
}

/* The same without whole sheets: the chance goes in a straight line from one number of sheets to the next. It only tells
 * which way the number moves. */
static double sheets_unrounded(double good, double survival, double sure)
{
    double formed = solve_sheets_to_form(good, survival, sure, SHEETS_MOST);
    double before = solve_assurance(formed - 1, good, survival), at = solve_assurance(formed, good, survival);
    return formed - 1 + (sure - before) / (at - before); /* formed is the first that is sure enough: at > before, and before < sure */
}

static Value solved_value(Run *run)
{
    return run_figure(run, run->world->solved_figure);
}

static Value aim_value(Run *run)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    return run_value(run, &frame, run->world->solve_aim);
}

/* Whether some step of this variant forms sheets of the unknown. */
static bool seeks_unknown(Run *run)
{
    World *world = run->world;
    const Paper *paper = &world->papers.at[run->paper];
    for (uint32_t i = 0; i < paper->call_count; i++) {
        const Call *call = &world->calls.at[paper->calls + i];
        const Step *step = &world->steps.at[call->step];
        for (uint32_t j = 0; j < step->count; j++) {
            const Effect *effect = &world->effects.at[step->first + j];
            if (effect->sort == EFFECT_MAKES && effect->detail != 0 && flow_is_done(run, paper->calls + i)) {
                return true;
            }
        }
    }
    return false;
}

static void trial(Run *run)
{
    flow_walk(run, false);
}

static const char *grammage_text(Run *run, double value)
{
    const Figure *figure = &run->world->figures.at[run->world->solved_figure];
    return run_number_text(run, value, figure->type, figure->shown, figure->decimals);
}

/* The line of the paper in which the aim is told; 0: none. */
static NodeId aim_line(const World *world, const Paper *paper)
{
    for (uint32_t i = world->things.at[paper->thing].first; i != 0; i = world->values.at[i].next) {
        Name told = world->fields.at[world->values.at[i].field].name;
        for (NodeId node = world->solve_aim; world_node(world, node)->form == NODE_DOT; node = world_node(world, node)->first) {
            if (world_node(world, node)->value == told) {
                return world->values.at[i].line;
            }
        }
    }
    return 0;
}

static void say_no_answer(Run *run, double without, double aim)
{
    const Paper *paper = &run->world->papers.at[run->paper];
    run->call = 0;
    Message *message = message_say(run->world->messages, SAY_no_answer, line_span(run->world, paper->line),
                                   world_word(run->world, run->world->figures.at[run->world->solved_figure].name),
                                   grammage_text(run, aim), grammage_text(run, without), NULL);
    NodeId line = aim_line(run->world, paper);
    if (line != 0) {
        message_also(run->world->messages, message, line_span(run->world, line), "the aim is told here");
    }
}

/* Where no number comes out, the last walk may know why, at the line: whether it said so. If it does not, what else it would say
 * follows from the guess. */
static bool walk_tells_why(Run *run)
{
    Messages *messages = run->world->messages;
    bool muted = messages->muted;
    messages->muted = true;
    flow_walk(run, true);
    messages->muted = muted;
    if (run->failed) {
        flow_walk(run, true);
    }
    return run->failed;
}

/* Two walks, then the line through the last two points: where the figure grows with the fibre in equal steps,
 * as it does in plain papers, the third walk proves it. */
static bool solve_unknown(Run *run)
{
    Value aim = aim_value(run), found = solved_value(run);
    if (!run_told(aim) || !run_told(found) || found.number <= 0) {
        if (!walk_tells_why(run)) {
            run_say(run, SAY_solved_figure_not_told, run->world->solve_line,
                    world_word(run->world, run->world->figures.at[run->world->solved_figure].name), NULL);
        }
        return false;
    }
    double before = run->unknown, at_before = found.number;
    double guess = before * aim.number / at_before, most = 4 * guess;
    for (int round = 0; round < 60; round++) {
        run->unknown = guess;
        trial(run);
        double at = solved_value(run).number;
        if (fabs(at - aim.number) <= 1e-13 * aim.number) {
            return true;
        }
        double next = guess + (aim.number - at) * (guess - before) / (at - at_before);
        if (round > 2 && fabs(next - guess) <= 1e-15 * guess) {
            return true;
        }
        before = guess;
        at_before = at;
        if (!(next > 0) || next > most) {
            run->unknown = guess * 1e-9;
            trial(run);
            say_no_answer(run, solved_value(run).number, aim.number);
            return false;
        }
        guess = next;
    }
    say_no_answer(run, at_before, aim.number);
    return false;
}

/* The measure that would make the aim, by the line through the last two trials; 0: none. */
static double measure_for(Run *run, double aim, double found)
{
    double before = 1, at_before = found, times = aim / found;
    for (int round = 0; round < 20 && times > 0; round++) {
        run->measured_times = times;
        trial(run);
        double at = solved_value(run).number;
        if (fabs(at - aim) <= 1e-12 * aim) {
            return times * run->measured;
        }
        double next = times + (aim - at) * (times - before) / (at - at_before);
        before = times;
        at_before = at;
        times = next;
    }
    return 0;
}

/* Where the forming step measures the fibre in, nothing is solved: the aim is only looked at. */
static void judge_measured(Run *run)
{
    World *world = run->world;
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    Value aim = aim_value(run), found = solved_value(run);
    Value within = run_value(run, &frame, line_behind(world, world->solve_line, KNOWN_within));
    double allowed = run_told(within) ? within.number : 0;
    if (!run_told(aim) || !run_told(found) || !(found.number > 0)
        || fabs(found.number - aim.number) <= (allowed + 1e-12) * aim.number) {
        return;
    }
    double would_do = measure_for(run, aim.number, found.number);
    run->measured_times = 1;
    flow_walk(run, true);
    bool own = !sources_at(&world->sources, world_node(world, run->measured_at)->start)->library;
    Message *message = message_say(world->messages, SAY_grammage_not_met,
                                   own ? world_span(world, run->measured_at) : line_span(world, world->calls.at[run->measured_call].line),
                                   world_word(world, world->figures.at[world->solved_figure].name), grammage_text(run, found.number),
                                   grammage_text(run, aim.number), NULL);
    if (would_do > 0) {
        const Figure *unknown = &world->figures.at[world->unknown];
        const char *text = run_number_text(run, would_do, unknown->type, unknown->shown, unknown->decimals);
        message->needed = arena_copy(&world->messages->words, text, strlen(text));
    }
}

static double parcel_limit(Run *run)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    Value most = run->world->parcels_at_most == 0 ? run_absent(0) : run_value(run, &frame, run->world->parcels_at_most);
    return run_told(most) && most.number >= 1 ? most.number : 0;
}

/* From the survival of a formed sheet to the sheets to form, in equal parcels. */
static bool solve_count(Run *run)
{
    double survival = run->left / run->formed;
    double formed = solve_sheets_to_form(run->sheets_good, survival, run->sure, SHEETS_MOST);
    if (formed == 0) {
        run_say(run, SAY_too_few_survive, 0, run_number_text(run, survival * 100, TYPE(TYPE_NUMBER, KIND_ONE), 0, -1), NULL);
        return false;
    }
    double most = parcel_limit(run);
    if (run->even != EVEN_NOTHING) {
        run->sheets_formed = sheets_unrounded(run->sheets_good, survival, run->sure);
        run->parcels = most > 0 && run->sheets_formed > most ? run->sheets_formed / most : 1;
        return true;
    }
    run->parcels = most > 0 ? run_round_up(formed / most) : 1;
    run->sheets_formed = run->parcels * run_round_up(formed / run->parcels);
    return true;
}

/* Fibre that the stuff of a walk would give to sheets, at a charge. */
typedef struct Point { double charge, fibre; } Point;

static Point point_now(const Run *run)
{
    return (Point){run->fibre_charge, run->formable * run->unknown};
}

/* The charge of which exactly the sheets of a parcel can be formed. Doses and losses are shares, so the fibre for them grows
 * with the charge in equal steps: the first walk, and one at twice its charge, tell the charge. The last walk proves it;
 * should it not, it is the next of the points. */
static bool solve_charge(Run *run, Point before)
{
    double wanted = run->sheets_formed / run->parcels;
    for (int round = 0; round < 8; round++) {
        Point now = point_now(run);
        double slope = (now.fibre - before.fibre) / (now.charge - before.charge);
        double charge = now.charge + (wanted * run->unknown - now.fibre) / slope;
        if (!(charge > 0) || !(slope > 0)) {
            break;
        }
        before = now;
        run->fibre_charge = charge;
        flow_walk(run, true);
        if (run->failed || fabs(run->formable - wanted) <= 1e-11 * wanted) {
            return true;
        }
    }
    if (!walk_tells_why(run)) {
        run_say(run, SAY_charge_not_found, 0, NULL, NULL);
    }
    return false;
}

static bool shares_are_whole(Run *run)
{
    double sum = 0;
    for (uint32_t i = 0; i < run->stream_count; i++) {
        sum += run->stream_share[i];
    }
    if (fabs(sum - 1) <= 1e-9) {
        return true;
    }
    const Paper *paper = &run->world->papers.at[run->paper];
    Span span = line_span(run->world, run->world->furnish.at[paper->furnish].line);
    span.end = line_span(run->world, run->world->furnish.at[paper->furnish + paper->furnish_count - 1].line).end;
    int decimals = fabs(sum - 1) < 0.001 ? run_decimals(100 * fabs(sum - 1), 2) : -1; /* it is not 100 %, and does not read so */
    message_say(run->world->messages, SAY_furnish_not_whole, span,
                run_number_text(run, sum, TYPE(TYPE_NUMBER, KIND_ONE), unit_of(run->world, KNOWN_percent), decimals), NULL);
    return false;
}

static void first_guesses(Run *run)
{
    run->sheets_formed = run->sheets_good;
    run->parcels = 1;
    run->unknown = 0.1;
    run->measured_at = 0;
    run->measured_times = 1;
    run->fibre_charge = run->sheets_good * run->unknown * 2 + 20;
    for (uint32_t i = 0; i < RUN_STREAMS; i++) {
        run->stream_gain[i] = 1;
    }
}

static bool gains_are_one(const Run *run)
{
    for (uint32_t i = 0; i < run->stream_count; i++) {
        if (fabs(run->stream_gain[i] - 1) > 1e-15) {
            return false;
        }
    }
    return true;
}

bool solve_paper(Run *run)
{
    first_guesses(run);
    bool seeks = run->world->unknown != 0 && run->world->solved_figure != 0 && seeks_unknown(run);
    trial(run);
    for (int tries = 0; run->sheet_made && !run->failed && !(run->formable > 0) && tries < 6; tries++) {
        run->fibre_charge *= 16; /* what is held back was more than the guess */
        trial(run);
    }
    if (run->failed || !run->sheet_made || !shares_are_whole(run)) {
        flow_walk(run, true); /* says what is wrong, at its place */
        return false;
    }
    if (!solve_count(run)) {
        return false;
    }
    Point first = point_now(run);
    bool whole = gains_are_one(run);
    run->fibre_charge *= whole ? 2 : 1;
    if (seeks ? !solve_unknown(run) : (trial(run), false)) {
        return false;
    }
    if (!whole) { /* the first walk did not know yet what its streams lose */
        first = point_now(run);
        run->fibre_charge *= 2;
        trial(run);
    }
    if (!solve_charge(run, first)) {
        return false;
    }
    if (!run->failed && !seeks && run->world->solved_figure != 0) {
        judge_measured(run);
    }
    if (run->world->steps_ask_bill && !run->judging) {
        flow_walk(run, true);
    }
    return !run->failed;
}

bool solve_quietly(Run *run)
{
    Messages *messages = run->world->messages;
    bool muted = messages->muted, failed = run->failed;
    messages->muted = true;
    run->generation++;
    run->evaluations = 0;
    run->failed = false;
    bool solved = solve_paper(run);
    messages->muted = muted;
    run->failed = failed;
    run->evaluations = 0;
    return solved;
}
