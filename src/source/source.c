/* The scripts that were read. Their bytes stand one behind the other just as
 * their places do, so that a place is where its byte stands in `texts`. */
#include "source/source.h"

#include "base/text.h"

#include <string.h>

enum {
    SPARE = 8,
    ADOPT_LENGTH = 65536 /* a shorter text is copied sooner than the others are moved */
};

void sources_open(Sources *sources, Memory *memory)
{
    *sources = (Sources){0};
    list_add(memory, &sources->list);
    list_reserve(memory, &sources->texts, SPARE);
    memset(sources->texts.at, 0, SPARE);
    sources->texts.count = SPARE;
}

uint32_t sources_add(Sources *sources, Memory *memory, Name path, const char *bytes, size_t length, bool library)
{
    if (length > UINT32_MAX - 2 * SPARE)
        memory_throw(memory, FAILURE_MEMORY);
    list_reserve(memory, &sources->texts, (uint32_t)length + SPARE);
    list_reserve(memory, &sources->list, 1);
    uint32_t place = sources->texts.count;
    if (length > 0)
        memcpy(sources->texts.at + place, bytes, length);
    memset(sources->texts.at + place + length, 0, SPARE);
    sources->texts.count += (uint32_t)length + SPARE;
    list_push(memory, &sources->list,
              (Source){.path = path, .base = place, .length = (uint32_t)length, .text = place, .library = library});
    return sources->list.count - 1;
}

uint32_t sources_adopt(Sources *sources, Memory *memory, Name path, char *block, size_t length)
{
    uint32_t place = sources->texts.count;
    if (length < ADOPT_LENGTH) {
        uint32_t source = sources_add(sources, memory, path, block + place, length, false);
        memory_return(memory, block);
        return source;
    }
    if (length > UINT32_MAX - 2 * SPARE - place)
        memory_throw(memory, FAILURE_MEMORY);
    list_reserve(memory, &sources->list, 1);
    memcpy(block, sources->texts.at, place);
    if (sources->texts.room > 0)
        memory_return(memory, sources->texts.at);
    sources->texts.at = block;
    sources->texts.count = sources->texts.room = place + (uint32_t)length + SPARE;
    list_push(memory, &sources->list, (Source){.path = path, .base = place, .length = (uint32_t)length, .text = place});
    return sources->list.count - 1;
}

/* The last one that does not begin behind PLACE: the blank begins at 0. */
const Source *sources_at(const Sources *sources, uint32_t place)
{
    uint32_t first = 0;
    uint32_t behind = sources->list.count;
    while (behind - first > 1) {
        uint32_t middle = first + (behind - first) / 2;
        if (sources->list.at[middle].base <= place)
            first = middle;
        else
            behind = middle;
    }
    return &sources->list.at[first];
}

const char *sources_text(const Sources *sources, const Source *source) { return sources->texts.at + source->text; }

const char *sources_bytes(const Sources *sources, uint32_t place) { return sources->texts.at + place; }

/* The line that holds byte AT of TEXT begins here. */
static size_t line_start(const char *text, size_t at)
{
    const char *newline = at > 0 ? memrchr(text, '\n', at) : NULL;
    return newline ? (size_t)(newline - text) + 1 : 0;
}

static size_t byte_of(const Source *source, uint32_t place)
{
    uint32_t byte = place - source->base;
    return byte < source->length ? byte : source->length;
}

void sources_line(const Sources *sources, uint32_t place, uint32_t *line, uint32_t *column)
{
    const Source *source = sources_at(sources, place);
    const char *text = sources_text(sources, source);
    size_t byte = byte_of(source, place);
    uint32_t lines = 1;
    size_t start = 0;
    for (const char *newline; (newline = memchr(text + start, '\n', byte - start)) != NULL; lines++)
        start = (size_t)(newline - text) + 1;
    if (start == 0 && byte >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
        start = 3; /* a byte-order mark is no character of the line */
    *line = lines;
    *column = (uint32_t)utf8_count(text + start, byte - start) + 1;
}

/* Where the comment on the line from START to END begins, behind its "#";
 * SIZE_MAX when the line is none. */
static size_t comment_start(const char *text, size_t start, size_t end)
{
    while (start < end && (text[start] == ' ' || text[start] == '\t'))
        start++;
    return start < end && text[start] == '#' ? start + 1 : SIZE_MAX;
}

static void add_comment(Text *out, const char *text, size_t start, size_t end)
{
    if (start < end && text[start] == ' ')
        start++;
    while (end > start && (text[end - 1] == ' ' || text[end - 1] == '\t' || text[end - 1] == '\r'))
        end--;
    text_add(out, text + start, end - start);
}

void sources_comment_above(const Sources *sources, uint32_t place, struct Text *out)
{
    const Source *source = sources_at(sources, place);
    const char *text = sources_text(sources, source);
    size_t last = line_start(text, byte_of(source, place));
    size_t first = last;
    while (first > 0) {
        size_t above = line_start(text, first - 1);
        if (comment_start(text, above, first - 1) == SIZE_MAX)
            break;
        first = above;
    }
    for (size_t line = first; line < last;) {
        size_t end = (size_t)((const char *)memchr(text + line, '\n', last - line) - text);
        if (line > first)
            text_char(out, '\n');
        add_comment(out, text, comment_start(text, line, end), end);
        line = end + 1;
    }
}
