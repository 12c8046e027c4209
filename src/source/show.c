/* Messages as text for people. What a script says is shown in a message, and a
 * script may hold anything: no byte of it that could steer a terminal gets out,
 * and no line of it is shown longer than a screen is wide. */
#include "source/show.h"

#include <string.h>

enum {
    TAB = 4,
    WINDOW = 100,       /* columns of a line that are shown */
    BEFORE_MARK = 30    /* of these, how many in front of a mark that would not fit */
};

static void put_words(Text *out, const char *words) { text_add_visible(out, words, strlen(words)); }

static void put_many(Text *out, char c, size_t count)
{
    for (size_t i = 0; i < count; i++)
        text_char(out, c);
}

static const char *severity_word(Severity severity)
{
    return severity == SEVERITY_ERROR ? "error" : severity == SEVERITY_WARNING ? "warning" : "note";
}

static void put_sentences(Text *out, const Message *message, ShowHow how)
{
    text_print(out, how.colour ? "\033[1m%s\033[0m: " : "%s: ", severity_word(message->severity));
    put_words(out, message->says);
    if (message->mend[0] != '\0') {
        text_char(out, ' ');
        put_words(out, message->mend);
    }
}

static void put_path(Text *out, const Sources *sources, const Names *names, uint32_t place)
{
    put_words(out, names_text(names, sources_at(sources, place)->path));
}

static void show_one_line(Text *out, const Sources *sources, const Names *names, const Message *message, ShowHow how)
{
    if (message->at.start != 0) {
        uint32_t line, column;
        sources_line(sources, message->at.start, &line, &column);
        put_path(out, sources, names, message->at.start);
        text_print(out, ":%u:%u: ", line, column);
    }
    put_sentences(out, message, how);
    text_print(out, " [%s]\n", message->name);
}

/* A line of a script, and the part of it that is marked, in bytes from its
 * beginning. */
typedef struct Line {
    const char *text;
    size_t length;
    size_t mark, mark_end;
} Line;

static Line line_of(const Sources *sources, Span span)
{
    const Source *source = sources_at(sources, span.start);
    const char *text = sources_text(sources, source);
    size_t byte = span.start - source->base;
    if (byte > source->length)
        byte = source->length;
    const char *newline = byte > 0 ? memrchr(text, '\n', byte) : NULL;
    size_t start = newline ? (size_t)(newline - text) + 1 : 0;
    if (start == 0 && source->length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
        start = 3;
    newline = memchr(text + byte, '\n', source->length - byte);
    size_t end = newline ? (size_t)(newline - text) : source->length;
    if (end > start && text[end - 1] == '\r')
        end--;
    Line line = {.text = text + start, .length = end > start ? end - start : 0};
    line.mark = byte > start ? byte - start : 0;
    if (line.mark > line.length)
        line.mark = line.length;
    size_t marked = span.end > span.start ? span.end - span.start : 0;
    line.mark_end = marked < line.length - line.mark ? line.mark + marked : line.length;
    return line;
}

/* One character of a line as it is printed. */
typedef struct Cell {
    size_t at, taken; /* bytes */
    size_t column, width;
    uint32_t code_point;
} Cell;

/* Goes on to the next one; begins with a Cell that is all zero. */
static bool next_cell(const Line *line, Cell *cell)
{
    cell->at += cell->taken;
    cell->column += cell->width;
    if (cell->at >= line->length)
        return false;
    cell->code_point = utf8_decode(line->text + cell->at, line->length - cell->at, &cell->taken);
    if (cell->code_point == '\t')
        cell->width = TAB - cell->column % TAB;
    else
        cell->width = utf8_hidden(cell->code_point) ? 1 : (size_t)utf8_width(cell->code_point);
    return true;
}

/* The columns where the mark begins and ends (at least one wide), and those of
 * the whole line. */
typedef struct Columns {
    size_t mark, mark_end, all;
} Columns;

static Columns columns_of(const Line *line)
{
    Columns columns = {SIZE_MAX, 0, 0};
    Cell cell = {0};
    while (next_cell(line, &cell)) {
        bool marked = cell.at + cell.taken > line->mark && cell.at < line->mark_end;
        if (columns.mark == SIZE_MAX && cell.at + cell.taken > line->mark)
            columns.mark = cell.column;
        if (marked)
            columns.mark_end = cell.column + cell.width;
    }
    columns.all = cell.column;
    if (columns.mark == SIZE_MAX)
        columns.mark = columns.all;
    if (columns.mark > 0 && columns.mark_end > 0 && columns.mark_end <= columns.mark)
        columns.mark = columns.mark_end - 1; /* only signs that stand on the letter before them */
    if (columns.mark_end <= columns.mark)
        columns.mark_end = columns.mark + 1;
    return columns;
}

/* Columns FROM to TO of the line. What is cut in two at an edge becomes blanks,
 * so that what follows stands where it should. */
static void put_window(Text *out, const Line *line, size_t from, size_t to)
{
    Cell cell = {0};
    while (next_cell(line, &cell) && cell.column < to) {
        size_t end = cell.column + cell.width;
        if (cell.width == 0 ? cell.column <= from && from > 0 : end <= from)
            continue;
        bool whole = cell.column >= from && end <= to;
        if (whole && cell.code_point != '\t')
            text_add_visible(out, line->text + cell.at, cell.taken);
        else
            put_many(out, ' ', (end < to ? end : to) - (cell.column > from ? cell.column : from));
    }
}

static unsigned digits_of(uint32_t number)
{
    unsigned digits = 1;
    for (; number >= 10; number /= 10)
        digits++;
    return digits;
}

static void put_marked_line(Text *out, const Sources *sources, Span span, uint32_t number, unsigned gutter)
{
    Line line = line_of(sources, span);
    Columns columns = columns_of(&line);
    size_t from = 0;
    if (columns.all > WINDOW && columns.mark_end > WINDOW)
        from = columns.mark > BEFORE_MARK ? columns.mark - BEFORE_MARK : 0;
    size_t to = from + WINDOW;
    const char *cut_before = from > 0 ? "..." : "";
    text_print(out, "  %*u | %s", (int)gutter, number, cut_before);
    put_window(out, &line, from, to);
    if (columns.all > to)
        text_put(out, "...");
    while (out->at[out->length - 1] == ' ')
        out->at[--out->length] = '\0';
    size_t mark_end = columns.mark_end < to ? columns.mark_end : to;
    text_print(out, "\n  %*s | %*s", (int)gutter, "", (int)strlen(cut_before), "");
    put_many(out, ' ', columns.mark - from);
    put_many(out, '^', mark_end > columns.mark ? mark_end - columns.mark : 1);
    text_char(out, '\n');
}

static void put_first_place(Text *out, const Sources *sources, const Names *names, const Message *message, unsigned gutter)
{
    const char *name = message->name;
    if (message->at.start == 0) {
        text_print(out, "  [%s]\n", name);
        return;
    }
    uint32_t line, column;
    sources_line(sources, message->at.start, &line, &column);
    text_put(out, "  in ");
    put_path(out, sources, names, message->at.start);
    text_print(out, ", line %u, column %u   [%s]\n", line, column, name);
    put_marked_line(out, sources, message->at, line, gutter);
}

static void put_other_place(Text *out, const Sources *sources, const Names *names, const MessagePlace *other, unsigned gutter)
{
    uint32_t line, column;
    sources_line(sources, other->at.start, &line, &column);
    text_put(out, "  and in ");
    put_path(out, sources, names, other->at.start);
    text_print(out, ", line %u", line);
    if (other->says && other->says[0] != '\0') {
        text_put(out, ": ");
        put_words(out, other->says);
    }
    text_char(out, '\n');
    put_marked_line(out, sources, other->at, line, gutter);
}

static void put_amount(Text *out, const char *label, const char *amount)
{
    if (!amount)
        return;
    text_print(out, "  %-8s  ", label);
    put_words(out, amount);
    text_char(out, '\n');
}

/* How wide the line numbers of all places are. */
static unsigned gutter_of(const Sources *sources, const Message *message)
{
    unsigned gutter = 1;
    for (uint32_t i = 0; i <= message->other_count; i++) {
        uint32_t line, column, place = i == 0 ? message->at.start : message->others[i - 1].at.start;
        sources_line(sources, place, &line, &column);
        if (place != 0 && digits_of(line) > gutter)
            gutter = digits_of(line);
    }
    return gutter;
}

void show_message(Text *out, const Sources *sources, const Names *names, const Message *message, ShowHow how)
{
    if (how.one_line) {
        show_one_line(out, sources, names, message, how);
        return;
    }
    unsigned gutter = gutter_of(sources, message);
    put_sentences(out, message, how);
    text_char(out, '\n');
    put_first_place(out, sources, names, message, gutter);
    for (uint32_t i = 0; i < message->other_count; i++)
        put_other_place(out, sources, names, &message->others[i], gutter);
    if (message->compares) {
        put_amount(out, "expected", message->limit);
        put_amount(out, "found", message->found);
        put_amount(out, "difference", message->needed);
        return;
    }
    put_amount(out, "found", message->found);
    put_amount(out, "wanted", message->limit);
    put_amount(out, "would do", message->needed);
    put_amount(out, "source", message->source);
}
