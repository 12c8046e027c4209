/* Decimal numbers in and out. Nothing here depends on the locale: the C library
 * is only ever given digits and an exponent, and what it prints is taken apart
 * digit by digit. */
#include "base/decimal.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    EXACT_DIGITS = 15,    /* any so many digits are a whole double exactly */
    EXACT_POWER = 22,     /* and so is this power of ten */
    TELLING_DIGITS = 800, /* no tie between two doubles is longer; of further digits only counts whether all are 0 */
    SHOWN_DIGITS = 15,    /* of a double, these survive going there and back */
    MOST_DIGITS = 17,
    LEAST_PLAIN = -9,     /* powers of ten between which no exponent is written */
    MOST_PLAIN = 15
};

static double power_of_ten(unsigned power)
{
    static const double powers[EXACT_POWER + 1] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                                   1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
    return powers[power];
}

/* The digits that were read, without zeros in front. */
typedef struct Digits {
    char at[TELLING_DIGITS + 40]; /* and room for an exponent */
    size_t count;
    size_t left_out; /* digits for which there was no room ... */
    bool rest;       /* ... and one of them is not 0 */
    unsigned decimals; /* limits.h lets no number have as many as an unsigned holds */
} Digits;

static bool is_digit(char c)
{
    return (unsigned char)(c - '0') < 10;
}

static void add_digit(Digits *digits, char digit)
{
    if (digits->count == 0 && digit == '0')
        return;
    if (digits->count < TELLING_DIGITS) {
        digits->at[digits->count++] = digit;
    } else {
        digits->left_out++;
        digits->rest = digits->rest || digit != '0';
    }
}

static void read_digits(Digits *digits, const char *text, size_t length)
{
    bool behind_point = false;
    for (size_t i = 0; i < length; i++) {
        char c = text[i];
        if (c == '.') {
            behind_point = true;
        } else if (is_digit(c)) {
            digits->decimals += behind_point;
            add_digit(digits, c);
        }
    }
}

/* The C library rounds correctly whatever it is given. Digits and exponent hold
 * no point, and a point is all that a locale could change. */
static double long_value(Digits *digits)
{
    long long exponent = (long long)digits->left_out - (long long)digits->decimals;
    if (digits->rest) {
        digits->at[digits->count++] = '1';
        exponent--;
    }
    snprintf(digits->at + digits->count, sizeof digits->at - digits->count, "e%lld", exponent);
    return strtod(digits->at, NULL);
}

double decimal_read(const char *text, size_t length, unsigned *decimals)
{
    Digits digits;
    digits.count = digits.left_out = 0;
    digits.decimals = 0;
    digits.rest = false;
    read_digits(&digits, text, length);
    *decimals = digits.decimals;
    if (digits.count == 0)
        return 0.0;
    if (digits.count > EXACT_DIGITS || digits.decimals > EXACT_POWER)
        return long_value(&digits);
    /* Two exact numbers, divided once: rounded once. */
    uint64_t whole = 0;
    for (size_t i = 0; i < digits.count; i++)
        whole = whole * 10 + (uint64_t)(digits.at[i] - '0');
    return (double)whole / power_of_ten(digits.decimals);
}

/* A number as it is printed: 0.DIGITS times ten to the POWER. */
typedef struct Printed {
    bool negative;
    char digits[MOST_DIGITS + 1];
    int count;
    int power;
} Printed;

static Printed printed(double value, int count)
{
    char text[64];
    snprintf(text, sizeof text, "%.*e", count - 1, value);
    Printed number = {.negative = text[0] == '-'};
    const char *at = text;
    for (; *at != 'e'; at++)
        if (is_digit(*at))
            number.digits[number.count++] = *at;
    number.power = value == 0.0 ? 1 : (int)strtol(at + 1, NULL, 10) + 1;
    return number;
}

/* Keeps so many digits, rounded half away from zero; none or fewer may be kept,
 * and then one is left if it was rounded up to. */
static void round_to(Printed *number, int kept)
{
    if (kept >= number->count)
        return;
    bool up = kept >= 0 && number->digits[kept] >= '5';
    number->count = kept > 0 ? kept : 0;
    int last = number->count - 1;
    for (; up && last >= 0 && number->digits[last] == '9'; last--)
        number->digits[last] = '0';
    if (up && last >= 0)
        number->digits[last]++;
    if (up && last < 0) {
        memmove(number->digits + 1, number->digits, (size_t)number->count);
        number->digits[0] = '1';
        number->count++;
        number->power++;
    }
    if (number->count == 0)
        number->power = 1;
}

static bool is_zero(const Printed *number)
{
    for (int i = 0; i < number->count; i++)
        if (number->digits[i] != '0')
            return false;
    return true;
}

/* The digit that counts ten to the PLACE; those not there are 0. */
static char digit_at(const Printed *number, int place)
{
    int i = number->power - 1 - place;
    return i >= 0 && i < number->count ? number->digits[i] : '0';
}

static void put_plain(Text *out, const Printed *number, int decimals)
{
    if (number->negative && !is_zero(number))
        text_char(out, '-');
    for (int place = number->power > 1 ? number->power - 1 : 0; place >= 0; place--)
        text_char(out, digit_at(number, place));
    if (decimals > 0)
        text_char(out, '.');
    for (int place = -1; place >= -decimals; place--)
        text_char(out, digit_at(number, place));
}

static bool put_unending(Text *out, double value)
{
    if (isfinite(value))
        return false;
    text_put(out, isnan(value) ? "no number" : value < 0 ? "-infinite" : "infinite");
    return true;
}

void decimal_put(Text *out, double value, unsigned decimals)
{
    if (put_unending(out, value))
        return;
    int behind = decimals < SHOWN_DIGITS ? (int)decimals : SHOWN_DIGITS;
    Printed number = printed(value, SHOWN_DIGITS);
    round_to(&number, number.power + behind);
    put_plain(out, &number, behind);
}

void decimal_put_digits(Text *out, double value, unsigned digits)
{
    if (put_unending(out, value))
        return;
    int wanted = digits < 1 ? 1 : digits > MOST_DIGITS ? MOST_DIGITS : (int)digits;
    Printed number = printed(value, wanted > SHOWN_DIGITS ? wanted : SHOWN_DIGITS);
    round_to(&number, wanted);
    while (number.count > 1 && number.digits[number.count - 1] == '0')
        number.count--;
    int exponent = number.power - 1;
    bool plain = exponent >= LEAST_PLAIN && (exponent < MOST_PLAIN || (exponent == MOST_PLAIN && number.count == 1));
    int behind = number.count - number.power;
    if (plain) {
        put_plain(out, &number, behind > 0 ? behind : 0);
        return;
    }
    number.power = 1;
    put_plain(out, &number, number.count - 1);
    text_print(out, "e%d", exponent);
}
