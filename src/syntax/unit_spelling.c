/* The one spelling of a unit. Worked out once for each way of typing it. */
#include "syntax/unit_spelling.h"

#include "base/text.h"
#include "syntax/scan.h"

#include <string.h>

typedef struct Part {
    const char *at;
    size_t length;
} Part;

static bool part_is(Part part, const char *text)
{
    return part.length == strlen(text) && memcmp(part.at, text, part.length) == 0;
}

static bool skip(Part *part, const char *text)
{
    size_t length = strlen(text);
    if (part->length < length || memcmp(part->at, text, length) != 0)
        return false;
    part->at += length;
    part->length -= length;
    return true;
}

static const char *const raised_digits[10] = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};

static void put_raised(Text *out, Part digits)
{
    for (size_t i = 0; i < digits.length; i++) {
        char c = digits.at[i];
        if (c == '-')
            text_put(out, "⁻");
        else if (c >= '0' && c <= '9')
            text_put(out, raised_digits[c - '0']);
        else
            text_char(out, c); /* raised already */
    }
}

/* Cuts the exponent off: behind ^, or a single 2 or 3 behind letters alone. */
static Part cut_exponent(Part *atom)
{
    const char *caret = memchr(atom->at, '^', atom->length);
    if (caret) {
        Part exponent = {caret + 1, (size_t)(atom->at + atom->length - caret - 1)};
        atom->length = (size_t)(caret - atom->at);
        return exponent;
    }
    size_t last = atom->length - 1;
    bool plain = atom->length > 1 && (atom->at[last] == '2' || atom->at[last] == '3');
    for (size_t i = 0; plain && i < last; i++)
        plain = atom->at[i] != '-' && !(atom->at[i] >= '0' && atom->at[i] <= '9');
    if (!plain)
        return (Part){0};
    atom->length = last;
    return (Part){atom->at + last, 1};
}

/* Whether `u` in front of it is typed for micro. */
static bool takes_micro(Part base)
{
    static const char *const bases[] = {"m", "g", "l", "L", "mol", "s", "S", "M", "N", "Pa", "A", "V"};
    for (size_t i = 0; i < sizeof bases / sizeof *bases; i++)
        if (part_is(base, bases[i]))
            return true;
    return false;
}

static void put_degrees(Text *out, Part atom)
{
    text_put(out, "°");
    text_add(out, atom.at, atom.length);
}

/* º is a letter, too, behind which others may stand than behind a degree. */
static bool begins_name(Part part)
{
    const unsigned char *at = (const unsigned char *)part.at;
    return part.length > 0 && scan_name(at) != at;
}

static void put_word(Text *out, Part atom)
{
    Part rest = atom;
    bool scale = (skip(&rest, "deg") || skip(&rest, "Deg")) && (part_is(rest, "C") || part_is(rest, "F"));
    if (scale) {
        put_degrees(out, rest);
        return;
    }
    rest = atom;
    if (part_is(atom, "℃") || part_is(atom, "℉"))
        text_put(out, part_is(atom, "℃") ? "°C" : "°F");
    else if (part_is(atom, "SR"))
        text_put(out, "°SR");
    else if ((skip(&rest, "º") || skip(&rest, "˚")) && begins_name(rest))
        put_degrees(out, rest);
    else if (skip(&rest, "μ") || (skip(&rest, "u") && takes_micro(rest))) {
        text_put(out, "µ");
        text_add(out, rest.at, rest.length);
    } else
        text_add(out, atom.at, atom.length);
}

static void put_atom(Text *out, Part atom)
{
    if (atom.length == 0)
        return;
    Part exponent = cut_exponent(&atom);
    put_word(out, atom);
    put_raised(out, exponent);
}

/* Blanks of every sort, control signs, and the brackets. */
static bool parts_words(uint32_t point)
{
    static const struct { uint32_t first, last; } parting[] = {{0, ' '}, {'(', ')'}, {0xA0, 0xA0}, {0x1680, 0x1680}, {0x2000, 0x200B},
                                                               {0x202F, 0x202F}, {0x205F, 0x205F}, {0x3000, 0x3000}, {0xFEFF, 0xFEFF}};
    for (size_t i = 0; i < sizeof parting / sizeof *parting; i++)
        if (point >= parting[i].first && point <= parting[i].last)
            return true;
    return false;
}

/* % with its basis: single blanks, no brackets. */
static void put_share(Text *out, Part share)
{
    text_char(out, '%');
    bool blank = true;
    size_t taken;
    for (size_t i = 1; i < share.length; i += taken) {
        uint32_t point = utf8_decode(share.at + i, share.length - i, &taken);
        if (parts_words(point)) {
            blank = true;
            continue;
        }
        if (blank)
            text_char(out, ' ');
        text_add(out, share.at + i, taken);
        blank = false;
    }
}

static size_t separator_length(const char *at, size_t left)
{
    if (*at == '/' || *at == '*')
        return 1;
    if (left >= 2 && memcmp(at, "·", 2) == 0)
        return 2;
    return left >= 3 && memcmp(at, "⋅", 3) == 0 ? 3 : 0;
}

static void put_unit(Text *out, Part unit)
{
    Part atom = {unit.at, 0};
    for (const char *at = unit.at; at < unit.at + unit.length;) {
        size_t length = separator_length(at, (size_t)(unit.at + unit.length - at));
        if (length == 0) {
            at++;
            atom.length++;
            continue;
        }
        put_atom(out, atom);
        text_put(out, *at == '/' ? "/" : "·");
        at += length;
        atom = (Part){at, 0};
    }
    put_atom(out, atom);
}

static bool has_basis(Part unit)
{
    return unit.length > 1 && unit.at[0] == '%' && unit.at[1] != '/' && unit.at[1] != '*' &&
           separator_length(unit.at + 1, unit.length - 1) == 0;
}

Name unit_spelling(UnitSpellings *spellings, Names *names, Memory *memory, const char *text, size_t length)
{
    Name typed = names_intern(names, memory, text, length);
    while (spellings->of.count <= typed)
        list_push(memory, &spellings->of, 0);
    if (spellings->of.at[typed] != 0)
        return spellings->of.at[typed];
    Text out;
    text_open(&out, memory);
    Part unit = {text, length};
    if (has_basis(unit))
        put_share(&out, unit);
    else
        put_unit(&out, unit);
    Name name = names_intern(names, memory, out.at, out.length);
    text_close(&out);
    spellings->of.at[typed] = name;
    return name;
}
