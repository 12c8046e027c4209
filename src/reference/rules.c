/* Rules and claims: what each asks, says and rests on, with both of its examples. */
#include "reference/chapters.h"

#include "meaning/line.h"

/* The lines of LINE's block, one below the other. */
static const char *block_of(const Reference *reference, NodeId line)
{
    const World *world = reference->world;
    NodeId block = line == 0 ? 0 : line_block(world, line);
    Text text;
    text_open(&text, reference->memory);
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        line_put_whole(world, at, "", &text);
    }
    return text.at == NULL ? "" : text.at;
}

/* What stands in an entry by itself, and not among the lines. */
static bool is_told_apart(Name head)
{
    return head == KNOWN_because || head == KNOWN_source || head == KNOWN_practice || head == KNOWN_memory || head == KNOWN_fails || head == KNOWN_mended;
}

static const char *lines_of(const Reference *reference, const Rule *rule)
{
    const World *world = reference->world;
    NodeId block = line_block(world, rule->line);
    Text text;
    text_open(&text, reference->memory);
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        if (!is_told_apart(line_head(world, at))) {
            line_put_whole(world, at, "", &text);
        }
    }
    return text.at == NULL ? "" : text.at;
}

static void put_rule(Reference *reference, const Rule *rule)
{
    Book *book = &reference->book;
    part_section(reference, rule->line);
    book_entry(book, rule->claim != 0 ? "claim" : "rule", part_name(reference, rule->name), rule->claim != 0 ? "claim" : "rule");
    part_comment(reference, rule->line);
    book_lines(book, NULL, lines_of(reference, rule));
    const char *because = part_text(reference, rule->because), *source = part_text(reference, rule->source);
    if (because != NULL) {
        book_pair(book, "Because", because);
    }
    if (source != NULL) {
        book_pair(book, "Source", source);
    }
    if ((rule->marks & MARK_PRACTICE) != 0) {
        book_pair(book, "Limit", "common practice");
    }
    if ((rule->marks & MARK_MEMORY) != 0) {
        book_pair(book, "Limit", "from memory: look it up before you rely on it");
    }
    if (rule->fails != 0) {
        book_lines(book, "This gets it", block_of(reference, rule->fails));
    }
    if (rule->mended != 0) {
        book_lines(book, "This does not", block_of(reference, rule->mended));
    }
}

void chapter_rules(Reference *reference)
{
    static const Chapter chapter = {"rules", "Rules and claims", "waterleaf-rules", "rules and claims: what each asks and what it rests on"};
    const World *world = reference->world;
    book_chapter(&reference->book, &chapter);
    for (uint32_t id = 1; id < world->rules.count; id++) {
        put_rule(reference, &world->rules.at[id]);
    }
}
