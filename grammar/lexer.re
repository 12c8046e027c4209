/* What the bytes of a script are, one small automaton for each place where they
 * mean something else: the start of a line, its middle, a unit, a text.
 *
 * Nothing here has a state. Each function gets a place and gives back what
 * begins there and where it ends; src/syntax/lexer.c decides what that means
 * where it stands. The bytes end in NUL, at which every automaton stops.
 * The reserved words and signs come from words.def.
 */
#include "syntax/scan.h"

#include "parser.h"
#include "syntax/token.h"

typedef const unsigned char *Place;

/*!re2c
    re2c:define:YYCTYPE    = "unsigned char";
    re2c:define:YYCURSOR   = cursor;
    re2c:define:YYMARKER   = marker;
    re2c:yyfill:enable     = 0;
    re2c:sentinel          = 0;
    re2c:encoding:utf8     = 1;
    re2c:encoding-policy   = fail;
*/
/*!include:re2c "unicode_categories.re" */
/*!re2c
    nul       = "\x00";
    newline   = "\r\n" | "\n" | "\r";
    blank     = [ \t\u00A0\u1680\u2000-\u200B\u202F\u205F\u3000\uFEFF];

    // Control signs, and those that turn the direction of writing unseen, belong in no script.
    unfit     = [\x01-\x08\x0B\x0C\x0E-\x1F\x7F\u202A-\u202E\u2066-\u2069\uFFFE\uFFFF];

    digit     = [0-9];
    letter    = L;
    name      = letter (letter | M | Nd)* ("-" (letter | Nd) (letter | M | Nd)*)*;

    digits    = digit ("_"? digit)*;
    number    = digits ("." digits)?;
    day       = digit{4} "-" digit{2} "-" digit{2};
    clock     = digit{1,2} ":" digit{2};
    dash      = "-" | "\u2010" | "\u2011" | "\u2012" | "\u2013" | "\u2014" | "\u2212";
    slashed   = digit{1,4} "/" digit{1,2} "/" digit{1,4};
    dotted    = digit{1,4} "." digit{1,2} "." digit{1,4};
    dashed    = digit{1,4} "-" digit{1,2} "-" digit{1,4};

    quote     = ["\u201C\u201D\u201E\u201F];

    // Units: letters with their exponents, parted by / and ·
    degree    = [\u00B0\u00BA\u02DA];
    raised    = [\u00B2\u00B3\u00B9\u2070\u2074-\u2079\u207B];
    atom      = (degree? name | [\u2103\u2109] | Sc) (raised+ | "^" ("-"? digit+ | raised+))?;
    share     = [%\u2030];
    unit      = (atom | share) (("/" | "*" | "\u00B7" | "\u22C5") atom)*;
*/

unsigned scan_token(Place cursor, Place *start, Place *end)
{
    Place marker;
again:
    *start = cursor;
    /*!re2c
    blank+          { goto again; }
    !include "words.re";
    name            { *end = cursor; return SCAN_NAME; }

    number          { *end = cursor; return TOKEN_NUMBER; }
    day             { *end = cursor; return TOKEN_DATE; }
    clock           { *end = cursor; return TOKEN_CLOCK; }
    number ("," number)+
                    { *end = cursor; return SCAN_COMMA_NUMBER; }
    number dash number
                    { *end = cursor; return SCAN_DASH_NUMBER; }
    slashed | dotted | dashed
                    { *end = cursor; return SCAN_UNCLEAR_DAY; }
    "." digits      { *end = cursor; return SCAN_POINT_NUMBER; }

    quote           { *end = cursor; return SCAN_QUOTE; }
    "}"             { *end = cursor; return SCAN_BRACE_CLOSE; }
    "#"             { *end = cursor; return SCAN_COMMENT; }
    newline         { *end = cursor; return SCAN_NEWLINE; }
    nul             { *end = cursor; return SCAN_NUL; }
    degree | share | [\u2103\u2109] | Sc
                    { *end = cursor; return SCAN_UNIT_SIGN; }
    unfit           { *end = cursor; return SCAN_UNFIT; }
    [^\x00]         { *end = cursor; return SCAN_STRANGE; }
    *               { *end = cursor; return SCAN_UNFIT; }
    */
}

unsigned scan_head(Place cursor, Place *end)
{
    Place marker;
    /*!re2c
    !include "heads.re";
    name            { *end = cursor; return SCAN_HEAD; }
    nul             { return SCAN_NUL; }
    [^\x00]         { return SCAN_STRANGE; }
    *               { return SCAN_STRANGE; }
    */
}

Place scan_name(Place cursor)
{
    Place start = cursor, marker;
    /*!re2c
    name            { return cursor; }
    nul             { return start; }
    [^\x00]         { return start; }
    *               { return start; }
    */
}

Place scan_unit(Place cursor)
{
    Place start = cursor, marker;
    /*!re2c
    unit            { return cursor; }
    nul             { return start; }
    [^\x00]         { return start; }
    *               { return start; }
    */
}

Place scan_blanks(Place cursor)
{
    Place start = cursor, marker;
    /*!re2c
    blank+          { return cursor; }
    nul             { return start; }
    [^\x00]         { return start; }
    *               { return start; }
    */
}

unsigned scan_text(Place cursor, Place *end)
{
    Place marker;
    /*!re2c
    plain = [^\x00-\x08\x0A-\x1F\x7F"\\{}\u201C\u201D\u201E\u201F\u202A-\u202E\u2066-\u2069\uFFFE\uFFFF];

    plain+          { *end = cursor; return SCAN_PLAIN; }
    ["]             { *end = cursor; return SCAN_QUOTE; }
    [\u201C\u201D\u201E\u201F]
                    { *end = cursor; return SCAN_CURLY_QUOTE; }
    "{"             { *end = cursor; return SCAN_BRACE_OPEN; }
    "{{" | "}}" | "\\\\" | "\\" ["]
                    { *end = cursor; return SCAN_ESCAPE; }
    "}" | "\\"      { *end = cursor; return SCAN_PLAIN; }
    newline | nul   { *end = cursor; return SCAN_NEWLINE; }
    unfit           { *end = cursor; return SCAN_UNFIT; }
    *               { *end = cursor; return SCAN_UNFIT; }
    */
}

unsigned scan_comment(Place cursor, Place *end)
{
    Place marker;
    /*!re2c
    said = [^\x00-\x08\x0A-\x1F\x7F\u202A-\u202E\u2066-\u2069\uFFFE\uFFFF];

    said+           { *end = cursor; return SCAN_PLAIN; }
    newline | nul   { *end = cursor; return SCAN_NEWLINE; }
    unfit           { *end = cursor; return SCAN_UNFIT; }
    *               { *end = cursor; return SCAN_UNFIT; }
    */
}
