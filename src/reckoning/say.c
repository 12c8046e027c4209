/* Messages while a paper is worked out: at the nearest line of the user's own
 * script, with the place in stdlib as the second. */
#include "reckoning/run.h"

Message *run_say(Run *run, MessageName name, NodeId at, const char *one, const char *other)
{
    World *world = run->world;
    NodeId line = run->call != 0 ? world->calls.at[run->call].line : world->papers.at[run->paper].line;
    /* What a step needs is missing in the procedure, whoever wrote the step. */
    bool asked = name == SAY_missing_step || name == SAY_wrong_order;
    bool of_line = asked || name == SAY_nothing_left || name == SAY_less_than_nothing
        || name == SAY_no_longer_there; /* the next line may ask for the same step rightly */
    bool own = at != 0 && !of_line && !sources_at(&world->sources, world_node(world, at)->start)->library;
    Span span = own ? world_span(world, at) : line_span(world, line);
    bool muted = world->messages->muted;
    world->messages->muted = muted || run->failed; /* what comes behind the first failure follows from it */
    Message *message = message_say(world->messages, name, span, one == NULL ? "" : one, other == NULL ? "" : other, NULL);
    world->messages->muted = muted;
    if (at != 0 && !own) {
        message_also(world->messages, message, world_span(world, at), asked ? "asked for here" : "worked out here");
    }
    return message;
}
