/* The QR code, of versions 1 to 10 and level Q, in bytes. The clauses are those of ISO/IEC 18004:2015. */
#include "documents/code.h"

#include <stdlib.h>
#include <string.h>

enum { VERSIONS = 10, MOST_SIDE = 4 * VERSIONS + 17, MOST_CODEWORDS = 346, MOST_CHECKS = 30, MASKS = 8, LEVEL_Q = 3 };

/* Table 9, level Q: blocks, and check codewords in each. */
static const unsigned blocks_of[VERSIONS + 1] = {0, 1, 1, 2, 2, 4, 4, 6, 6, 8, 8};
static const unsigned checks_of[VERSIONS + 1] = {0, 13, 22, 18, 26, 18, 24, 18, 22, 20, 24};
static const unsigned codewords_of[VERSIONS + 1] = {0, 26, 44, 70, 100, 134, 172, 196, 242, 292, MOST_CODEWORDS};

typedef struct Square {
    unsigned version, side;
    unsigned char dark[MOST_SIDE][MOST_SIDE];
    unsigned char fixed[MOST_SIDE][MOST_SIDE]; /* no data stands here, and no mask */
} Square;

/* ---- codewords ---- */

typedef struct Bits {
    unsigned char at[MOST_CODEWORDS];
    unsigned count;
} Bits;

static void put_bits(Bits *bits, unsigned value, unsigned count)
{
    while (count-- > 0) {
        bits->at[bits->count / 8] |= (unsigned char)(((value >> count) & 1) << (7 - bits->count % 8));
        bits->count++;
    }
}

static bool is_plain(const char *text)
{
    for (; *text != 0; text++) {
        if ((unsigned char)*text > 126)
            return false;
    }
    return true;
}

static unsigned data_of(unsigned version) { return codewords_of[version] - blocks_of[version] * checks_of[version]; }

/* Clause 7.4: the mode, how many bytes, the bytes, the end; what is left is filled. Other signs than ASCII are told to
 * be UTF-8 (7.4.2). */
static void put_data(Bits *bits, unsigned version, const char *text, size_t length, bool plain)
{
    if (!plain) {
        put_bits(bits, 7, 4);
        put_bits(bits, 26, 8);
    }
    put_bits(bits, 4, 4);
    put_bits(bits, (unsigned)length, version < 10 ? 8 : 16);
    for (size_t i = 0; i < length; i++)
        put_bits(bits, (unsigned char)text[i], 8);
    unsigned room = 8 * data_of(version);
    put_bits(bits, 0, room - bits->count < 4 ? room - bits->count : 4);
    put_bits(bits, 0, (8 - bits->count % 8) % 8);
    for (unsigned filling = 0xEC; bits->count < room; filling ^= 0xEC ^ 0x11)
        put_bits(bits, filling, 8);
}

/* A product in the field of 256 elements over x^8 + x^4 + x^3 + x^2 + 1. */
static unsigned char product(unsigned one, unsigned other)
{
    unsigned result = 0;
    for (; other > 0; other >>= 1) {
        if ((other & 1) != 0)
            result ^= one;
        one = (one << 1) ^ ((one & 0x80) != 0 ? 0x11D : 0);
    }
    return (unsigned char)result;
}

/* Clause 7.5: what is left of the data over the product of (x - 2^i). */
static void check(const unsigned char *data, unsigned count, unsigned char *checks, unsigned degree)
{
    unsigned char divisor[MOST_CHECKS] = {0};
    divisor[degree - 1] = 1;
    unsigned char root = 1;
    for (unsigned i = 0; i < degree; i++, root = product(root, 2)) {
        for (unsigned j = 0; j < degree; j++) {
            divisor[j] = product(divisor[j], root);
            if (j + 1 < degree)
                divisor[j] ^= divisor[j + 1];
        }
    }
    memset(checks, 0, degree);
    for (unsigned i = 0; i < count; i++) {
        unsigned factor = data[i] ^ checks[0];
        memmove(checks, checks + 1, degree - 1);
        checks[degree - 1] = 0;
        for (unsigned j = 0; j < degree; j++)
            checks[j] ^= product(divisor[j], factor);
    }
}

/* Clause 7.6: the first codeword of every block, the second of every block, …; the last blocks may have one more. */
static void interleave(unsigned version, const unsigned char *data, unsigned char *out)
{
    unsigned blocks = blocks_of[version], degree = checks_of[version], all = data_of(version);
    unsigned small = all / blocks, larger_from = blocks - all % blocks, at = 0;
    unsigned char checks[MOST_CODEWORDS];
    for (unsigned block = 0, start = 0; block < blocks; block++) {
        unsigned size = small + (block >= larger_from);
        check(data + start, size, checks + block * degree, degree);
        start += size;
    }
    for (unsigned i = 0; i <= small; i++) {
        for (unsigned block = 0; block < blocks; block++) {
            if (i < small || block >= larger_from)
                out[at++] = data[block * small + (block > larger_from ? block - larger_from : 0) + i];
        }
    }
    for (unsigned i = 0; i < degree; i++) {
        for (unsigned block = 0; block < blocks; block++)
            out[at++] = checks[block * degree + i];
    }
}

/* ---- what is the same in all of a version ---- */

static void set(Square *square, unsigned row, unsigned column, bool dark)
{
    square->dark[row][column] = dark;
    square->fixed[row][column] = 1;
}

/* A finder pattern and what separates it, or an alignment pattern; REACH from its middle. */
static void put_rings(Square *square, unsigned row, unsigned column, int reach)
{
    for (int down = -reach; down <= reach; down++) {
        for (int right = -reach; right <= reach; right++) {
            int ring = abs(down) > abs(right) ? abs(down) : abs(right);
            int y = (int)row + down, x = (int)column + right;
            if (y >= 0 && x >= 0 && y < (int)square->side && x < (int)square->side)
                set(square, (unsigned)y, (unsigned)x, reach == 2 ? ring != 1 : ring != 2 && ring != 4);
        }
    }
}

/* Annex E. */
static void put_alignment(Square *square)
{
    unsigned places[3] = {6, square->side - 7, square->side - 7}, count = square->version < 2 ? 0 : 2;
    if (square->version >= 7) {
        places[1] = (6 + square->side - 7) / 2;
        count = 3;
    }
    for (unsigned i = 0; i < count; i++) {
        for (unsigned j = 0; j < count; j++) {
            bool finder = (i == 0 && j == 0) || (i == 0 && j == count - 1) || (i == count - 1 && j == 0);
            if (!finder)
                put_rings(square, places[i], places[j], 2);
        }
    }
}

/* The rest of VALUE, with DEGREE noughts behind it, over GENERATOR. */
static unsigned rest_of(unsigned value, unsigned generator, unsigned degree)
{
    unsigned rest = value;
    for (unsigned i = 0; i < degree; i++)
        rest = (rest << 1) ^ ((rest >> (degree - 1)) * generator);
    return rest;
}

/* Clause 7.10. */
static void put_version(Square *square)
{
    unsigned bits = square->version << 12 | rest_of(square->version, 0x1F25, 12);
    for (unsigned i = 0; i < 18 && square->version >= 7; i++) {
        unsigned near = i / 3, far = square->side - 11 + i % 3;
        set(square, near, far, (bits >> i) & 1);
        set(square, far, near, (bits >> i) & 1);
    }
}

/* Clause 7.9: the level and the mask, twice. */
static void put_format(Square *square, unsigned mask)
{
    unsigned value = LEVEL_Q << 3 | mask, bits = (value << 10 | rest_of(value, 0x537, 10)) ^ 0x5412, side = square->side;
    for (unsigned i = 0; i < 15; i++) {
        bool dark = (bits >> i) & 1;
        if (i < 8)
            set(square, i + (i > 5), 8, dark);
        else
            set(square, 8, i == 8 ? 7 : 14 - i, dark);
        if (i < 8)
            set(square, 8, side - 1 - i, dark);
        else
            set(square, side - 15 + i, 8, dark);
    }
    set(square, side - 8, 8, true);
}

static void put_patterns(Square *square)
{
    for (unsigned i = 0; i < square->side; i++) {
        set(square, 6, i, i % 2 == 0);
        set(square, i, 6, i % 2 == 0);
    }
    put_rings(square, 3, 3, 4);
    put_rings(square, 3, square->side - 4, 4);
    put_rings(square, square->side - 4, 3, 4);
    put_alignment(square);
    put_version(square);
    put_format(square, 0);
}

/* ---- the data, and a mask over it ---- */

/* Clause 7.7.3: up and down in pairs of columns, from the right. */
static void put_codewords(Square *square, const unsigned char *codewords, unsigned count)
{
    unsigned bit = 0;
    bool up = true;
    for (int right = (int)square->side - 1; right > 0; right -= 2, up = !up) {
        right -= right == 6;
        for (unsigned i = 0; i < square->side; i++) {
            unsigned row = up ? square->side - 1 - i : i;
            for (unsigned side = 0; side < 2; side++) {
                unsigned column = (unsigned)right - side;
                if (!square->fixed[row][column] && bit < 8 * count) {
                    square->dark[row][column] = (codewords[bit / 8] >> (7 - bit % 8)) & 1;
                    bit++;
                }
            }
        }
    }
}

/* Table 10. */
static bool is_masked(unsigned mask, unsigned row, unsigned column)
{
    switch (mask) {
    case 0: return (row + column) % 2 == 0;
    case 1: return row % 2 == 0;
    case 2: return column % 3 == 0;
    case 3: return (row + column) % 3 == 0;
    case 4: return (row / 2 + column / 3) % 2 == 0;
    case 5: return row * column % 2 + row * column % 3 == 0;
    case 6: return (row * column % 2 + row * column % 3) % 2 == 0;
    default: return ((row + column) % 2 + row * column % 3) % 2 == 0;
    }
}

static void put_mask(Square *square, unsigned mask)
{
    for (unsigned row = 0; row < square->side; row++) {
        for (unsigned column = 0; column < square->side; column++)
            square->dark[row][column] ^= !square->fixed[row][column] && is_masked(mask, row, column);
    }
}

/* Points for one row or column: modules of one shade in a run, and what looks like a finder pattern. */
static unsigned line_points(const Square *square, unsigned number, bool down)
{
    unsigned points = 0, run = 0, seen = 0;
    for (unsigned i = 0; i < square->side; i++) {
        unsigned dark = down ? square->dark[i][number] : square->dark[number][i];
        run = i > 0 && dark == (seen & 1) ? run + 1 : 1;
        seen = (seen << 1 | dark) & 0x7FF;
        points += run == 5 ? 3 : run > 5 ? 1 : 0;
        points += i >= 10 && (seen == 0x05D || seen == 0x5D0) ? 40 : 0;
    }
    return points;
}

/* Clause 7.8.3. */
static unsigned points_of(const Square *square)
{
    unsigned points = 0, dark = 0, side = square->side;
    for (unsigned i = 0; i < side; i++)
        points += line_points(square, i, false) + line_points(square, i, true);
    for (unsigned row = 0; row < side; row++) {
        for (unsigned column = 0; column < side; column++) {
            dark += square->dark[row][column];
            if (row + 1 < side && column + 1 < side) { /* four of one shade */
                const unsigned char *above = &square->dark[row][column], *below = &square->dark[row + 1][column];
                int four = above[0] + above[1] + below[0] + below[1];
                points += four == 0 || four == 4 ? 3 : 0;
            }
        }
    }
    int from_half = abs((int)(100 * dark / (side * side)) - 50);
    return points + 10 * (unsigned)(from_half / 5);
}

static void choose_mask(Square *square)
{
    unsigned best = 0, least = 0;
    for (unsigned mask = 0; mask < MASKS; mask++) {
        put_format(square, mask);
        put_mask(square, mask);
        unsigned points = points_of(square);
        if (mask == 0 || points < least) {
            least = points;
            best = mask;
        }
        put_mask(square, mask); /* twice is not at all */
    }
    put_format(square, best);
    put_mask(square, best);
}

bool code_squares(Code *code, Arena *arena, const char *text)
{
    size_t length = strlen(text);
    bool plain = is_plain(text);
    unsigned version = 1;
    while (version <= VERSIONS && (plain ? 4u : 16u) + (version < 10 ? 8 : 16) + 8 * length > 8 * data_of(version))
        version++;
    if (length == 0 || version > VERSIONS)
        return false;
    Bits bits = {.count = 0};
    put_data(&bits, version, text, length, plain);
    unsigned char codewords[MOST_CODEWORDS];
    interleave(version, bits.at, codewords);
    Square square = {.version = version, .side = 4 * version + 17};
    put_patterns(&square);
    put_codewords(&square, codewords, codewords_of[version]);
    choose_mask(&square);
    *code = (Code){.columns = square.side, .rows = square.side};
    code->dark = arena_take(arena, (size_t)square.side * square.side);
    for (unsigned row = 0; row < square.side; row++)
        memcpy(code->dark + row * square.side, square.dark[row], square.side);
    return true;
}
