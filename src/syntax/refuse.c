/* What the lexer refuses because it has two readings, or none. */
#include "syntax/refuse.h"

#include "syntax/scan.h"

#include <string.h>

static void say(Lexer *lexer, MessageName kind, Span at, const char *two, const char *three)
{
    mistakes_say(lexer->mistakes, kind, at, lexer_quote(lexer, at), two, three, NULL);
}

static Arena *words(Lexer *lexer)
{
    return &lexer->mistakes->words;
}

/* The text without its commas, WITH in their place. */
static const char *without_commas(Lexer *lexer, Span at, const char *with)
{
    const char *text = lexer_quote(lexer, at);
    char *out = arena_take(words(lexer), strlen(text) * 3 + 1), *to = out;
    for (; *text; text++) {
        if (*text != ',')
            *to++ = *text;
        else
            to = strcpy(to, with) + strlen(with);
    }
    return out;
}

void refuse_comma(Lexer *lexer, Span at)
{
    bool listed = lexer->bracket_count > 0;
    say(lexer, SAY_comma_in_number, at, without_commas(lexer, at, listed ? ", " : ""), without_commas(lexer, at, "."));
}

void refuse_dash(Lexer *lexer, Span at)
{
    const char *text = lexer_quote(lexer, at);
    size_t first = strspn(text, "0123456789._"), last = strlen(text);
    while (last > 0 && strchr("0123456789._", text[last - 1]))
        last--;
    say(lexer, SAY_minus_unclear, at, arena_print(words(lexer), "%.*s - %s", (int)first, text, text + last),
        arena_print(words(lexer), "%.*s..%s for all from the one to the other", (int)first, text, text + last));
}

static bool leap_year(unsigned year)
{
    return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

static bool is_day(unsigned year, unsigned month, unsigned day)
{
    static const unsigned lengths[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    return year > 0 && month >= 1 && month <= 12 && day >= 1 && day <= lengths[month - 1] + (month == 2 && leap_year(year));
}

/* Reads three numbers parted by one sign each. */
static void read_three(const char *text, unsigned numbers[3])
{
    for (int i = 0; i < 3; i++) {
        numbers[i] = 0;
        for (; *text >= '0' && *text <= '9'; text++)
            numbers[i] = numbers[i] * 10 + (unsigned)(*text - '0');
        text += *text != '\0';
    }
}

void refuse_day(Lexer *lexer, Span at)
{
    unsigned n[3];
    read_three(lexer_quote(lexer, at), n);
    bool year_first = n[0] > 31;
    unsigned year = year_first ? n[0] : n[2], one = year_first ? n[2] : n[0], other = n[1];
    if (year < 100)
        year += 2000;
    const char *first = NULL, *second = NULL;
    if (is_day(year, other, one))
        first = arena_print(words(lexer), "%04u-%02u-%02u", year, other, one);
    if (is_day(year, one, other) && one != other)
        second = arena_print(words(lexer), "%04u-%02u-%02u", year, one, other);
    const char *all = first && second ? arena_print(words(lexer), "%s or %s", first, second)
                      : first         ? first
                      : second        ? second
                                      : "the day as in 2027-03-01";
    say(lexer, SAY_date_unclear, at, all, NULL);
}

void refuse_point(Lexer *lexer, Span at)
{
    const char *mended = arena_print(words(lexer), "0%s", lexer_quote(lexer, at));
    Message *message = mistakes_say(lexer->mistakes, SAY_number_form, at, lexer_quote(lexer, at), mended, NULL, NULL);
    mistakes_edit(lexer->mistakes, message, at, mended);
}

static bool is_digit(const char *text)
{
    return *text >= '0' && *text <= '9';
}

static bool is_name(Lexer *lexer, Span at)
{
    const unsigned char *start = lexer_at(lexer, at.start);
    return at.end > at.start && scan_name(start) == lexer_at(lexer, at.end);
}

void refuse_minus(Lexer *lexer, Span before, Span minus, Span behind)
{
    const char *behind_text = lexer_quote(lexer, behind);
    if (before.start == before.end) {
        Span all = {minus.start, behind.end > minus.end ? behind.end : minus.end};
        say(lexer, SAY_minus_unclear, all, arena_print(words(lexer), "0 - %s", behind_text),
            is_digit(behind_text) ? arena_print(words(lexer), "-%s for a number below nothing", behind_text)
                                  : "a number right behind the sign for one below nothing");
        return;
    }
    Span all = {before.start, behind.end > minus.end ? behind.end : minus.end};
    const char *before_text = lexer_quote(lexer, before);
    const char *subtract = arena_print(words(lexer), "%s - %s", before_text, behind_text);
    const char *other = is_digit(behind_text) ? arena_print(words(lexer), "%s, -%s for one behind the other", before_text, behind_text)
                        : is_name(lexer, before) && is_name(lexer, behind)
                            ? arena_print(words(lexer), "%s-%s for one name", before_text, behind_text)
                            : arena_print(words(lexer), "%s, 0 - %s for one behind the other", before_text, behind_text);
    say(lexer, SAY_minus_unclear, all, subtract, other);
}

/* Days from 1970-01-01, by counting years that begin in March. */
static int32_t days_of(unsigned year, unsigned month, unsigned day)
{
    int32_t from_march = (int32_t)(month + 9) % 12, years = (int32_t)year - (month <= 2);
    return years * 365 + years / 4 - years / 100 + years / 400 + (153 * from_march + 2) / 5 + (int32_t)day - 719469;
}

bool refuse_or_read_date(Lexer *lexer, Span at, uint32_t *days)
{
    unsigned n[3];
    read_three((const char *)lexer_at(lexer, at.start), n);
    if (!is_day(n[0], n[1], n[2])) {
        say(lexer, SAY_no_such_day, at, NULL, NULL);
        return false;
    }
    *days = (uint32_t)days_of(n[0], n[1], n[2]);
    return true;
}

bool refuse_or_read_clock(Lexer *lexer, Span at, uint32_t *minutes)
{
    unsigned n[3];
    read_three((const char *)lexer_at(lexer, at.start), n);
    if (n[0] > 23 || n[1] > 59) {
        say(lexer, SAY_no_such_time, at, NULL, NULL);
        return false;
    }
    *minutes = n[0] * 60 + n[1];
    return true;
}
