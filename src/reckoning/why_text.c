/* The working in words: one value a line or three, two blanks deeper a level, to be
 * read aloud. */
#include "reckoning/why.h"

#include "meaning/line.h"

#include <string.h>

enum { COLUMNS = 110 };

const char *why_end_word(WhyEnd end)
{
    switch (end) {
    case WHY_MADE: return "made";
    case WHY_TYPED: return "typed";
    case WHY_DEFAULT: return "default";
    case WHY_ROW: return "row";
    case WHY_SOLVED: return "solved";
    case WHY_ORDERED: return "ordered";
    case WHY_ANSWER: return "answer";
    case WHY_NOTHING: return "nothing";
    case WHY_NOT_TOLD: return "not-told";
    case WHY_ABOVE: return "above";
    case WHY_DEEPER: return "deeper";
    }
    return "made";
}

/* Whether a line may be broken at BYTES[I], which is not its first: at a blank, but not between a number and its unit, nor in
 * "line 21", nor behind an operator. */
static bool may_break(const char *bytes, size_t i)
{
    char before = bytes[i - 1], behind = bytes[i + 1];
    bool unit = before >= '0' && before <= '9' && strchr("*/+-=(", behind) == NULL;
    bool number = before >= 'a' && before <= 'z' && behind >= '0' && behind <= '9';
    bool operator = strchr("*/+-=", before) != NULL && (i == 1 || bytes[i - 2] == ' ');
    return bytes[i] == ' ' && !unit && !number && !operator;
}

/* In front of a place in brackets, of a factor, behind a comma: better than elsewhere. */
static bool is_good_break(const char *bytes, size_t i)
{
    /* the path and the line stay together */
    return bytes[i + 1] == '*' || bytes[i + 1] == '+' || bytes[i + 1] == '(' || bytes[i - 1] == ':'
        || (bytes[i - 1] == ',' && strncmp(bytes + i, " line ", 6) != 0);
}

/* LINE, broken where it is too long; what goes on stands deeper. */
static void put_line(Text *out, unsigned level, const char *line)
{
    size_t length = strlen(line), from = 0;
    unsigned blanks = 2 * level;
    for (;;) {
        size_t end = from, last = 0, good = 0, columns = blanks;
        while (end < length) {
            size_t taken;
            columns += (size_t)utf8_width(utf8_decode(line + end, length - end, &taken));
            if ((columns <= COLUMNS + 1 || last == 0) && end > from && may_break(line, end)) {
                last = end;
                good = is_good_break(line, end) && columns > COLUMNS * 2 / 3 ? end : good;
            }
            end += taken;
        }
        last = good != 0 ? good : last;
        for (unsigned i = 0; i < blanks; i++) {
            text_char(out, ' ');
        }
        if (columns <= COLUMNS || last == 0) {
            text_add(out, line + from, length - from);
            text_char(out, '\n');
            return;
        }
        text_add(out, line + from, last - from);
        text_char(out, '\n');
        from = last + 1;
        blanks = 2 * level + 4;
    }
}

static void put_marks(Text *out, uint32_t marks)
{
    text_put(out, (marks & MARK_PRACTICE) != 0 ? "; common practice" : "");
    text_put(out, (marks & MARK_MEMORY) != 0 ? "; from memory" : "");
    text_put(out, (marks & MARK_SUPPLIER) != 0 ? "; told by the supplier" : "");
    text_put(out, (marks & MARK_MEASURED) != 0 ? "; measured" : "");
}

/* " (stdlib/steps/vat.wleaf, line 21; source: …; common practice)" */
static void put_place(const World *world, Text *out, const WhyPart *part)
{
    if (part->place == 0) {
        return;
    }
    uint32_t line, column;
    const Source *source = sources_at(&world->sources, part->place);
    sources_line(&world->sources, part->place, &line, &column);
    text_print(out, " (%s, line %u", world_text(world, source->path), line);
    if (part->source != NULL) {
        text_print(out, "; source: %s", part->source);
    }
    put_marks(out, part->marks);
    text_put(out, ")");
}

static void put_head(const World *world, Text *line, const WhyPart *part)
{
    bool above = part->end == WHY_ABOVE;
    bool answer = part->end == WHY_ANSWER;
    text_print(line, answer ? "%s: %s" : "%s is %s", part->figure, part->shown);
    if (above && part->with_numbers != NULL) {
        text_print(line, " = %s", part->with_numbers);
    }
    if (part->says != NULL && !above) {
        text_print(line, part->end == WHY_NOT_TOLD ? ": %s" : ", %s", part->says);
    }
    text_put(line, above ? ", as above" : "");
    if (part->formula == NULL && !above) {
        put_place(world, line, part);
    }
    bool more = part->first != NULL || (part->formula != NULL && !above);
    text_put(line, more ? ":" : ".");
}

static void put_part(const World *world, Text *out, const WhyPart *part, unsigned level)
{
    Text line;
    text_open(&line, out->memory);
    put_head(world, &line, part);
    put_line(out, level, line.at);
    bool above = part->end == WHY_ABOVE;
    if (part->formula != NULL && !above) {
        text_clear(&line);
        text_print(&line, "= %s", part->formula);
        put_place(world, &line, part);
        put_line(out, level + 1, line.at);
    }
    if (part->with_numbers != NULL && !above) {
        text_clear(&line);
        text_print(&line, "= %s", part->with_numbers);
        put_line(out, level + 1, line.at);
    }
    text_close(&line);
    for (const WhyPart *inner = part->first; inner != NULL; inner = inner->next) {
        put_part(world, out, inner, level + 1);
    }
}

void why_text(const World *world, const WhyPart *parts, Text *out)
{
    for (const WhyPart *part = parts; part != NULL; part = part->next) {
        put_part(world, out, part, 0);
    }
}
