/* The form of manual pages: mdoc. */
#include "reference/forms.h"

#include <string.h>

void manual_head(Text *manual, const Chapter *chapter)
{
    text_put(manual, ".\\\" Made from what the program knows.\n.Dd $Mdocdate$\n.Dt ");
    for (const char *at = chapter->manual == NULL ? "" : chapter->manual; *at != 0; at++) {
        text_char(manual, *at >= 'a' && *at <= 'z' ? (char)(*at - 'a' + 'A') : *at);
    }
    text_print(manual, " 7\n.Os\n.Sh NAME\n.Nm %s\n.Nd %s\n.Sh DESCRIPTION\n", chapter->manual == NULL ? "" : chapter->manual, chapter->summary);
}

void manual_foot(Text *manual)
{
    text_put(manual, ".Sh SEE ALSO\n.Xr waterleaf 1\n"
                     ".Sh CAVEATS\nThat no rule speaks against a step is no clearance of it.\n"
                     "The supplier's safety data sheet, local codes and licensed practice come first.\n");
}

static bool ends_with(const Text *manual, const char *words)
{
    size_t length = strlen(words);
    return manual->length >= length && strcmp(manual->at + manual->length - length, words) == 0;
}

void manual_begin(Text *manual)
{
    const char *line = manual->at + manual->length;
    while (line > manual->at + 1 && line[-2] != '\n') {
        line--;
    }
    if (line > manual->at) {
        line--;
    }
    bool begun = ends_with(manual, ".Pp\n") || strncmp(line, ".It", 3) == 0 || strncmp(line, ".Ss", 3) == 0 || strncmp(line, ".Sh", 3) == 0;
    text_put(manual, begun ? "" : ".Pp\n");
}

static void put_sign(Text *manual, char sign)
{
    switch (sign) {
    case '\\': text_put(manual, "\\e"); break;
    case '-': text_put(manual, "\\-"); break;
    case '\x01': text_put(manual, "?"); break; /* the example of bytes that are no text */
    default: text_char(manual, sign);
    }
}

void manual_words(Text *manual, const char *words)
{
    for (; *words != 0; words++) {
        if (*words == '"') {
            text_put(manual, "\\(dq");
        } else {
            put_sign(manual, *words);
        }
    }
}

/* No line of text begins as one of macros does. */
static void guard_head(Text *manual, const char *text)
{
    text_put(manual, *text == '.' || *text == '\'' ? "\\&" : "");
}

/* Whether a sentence ends at this sign, at which a line may end: "…weighed. Then", but not "R. J. Miller". */
static bool sentence_ends(const char *text, const char *sign)
{
    bool initial = sign > text && sign[-1] >= 'A' && sign[-1] <= 'Z' && (sign - 1 == text || sign[-2] == ' ');
    return strchr(".?!", *sign) != NULL && !initial;
}

/* TEXT with its `code` strong and its links as their words; SENTENCES: each on a line of its own; QUOTED: within quotes. */
static void put_text(Text *manual, const char *text, bool sentences, bool quoted)
{
    const char *start = text;
    bool code = false, inside = false;
    for (; *text != 0; text++) {
        const char *link = *text == '[' && !code ? strstr(text, "](#") : NULL;
        if (link != NULL && memchr(text + 1, '[', (size_t)(link - text - 1)) == NULL) {
            inside = true;
        } else if (inside && strncmp(text, "](#", 3) == 0) {
            text = strchr(text, ')');
            inside = false;
        } else if (*text == '`') {
            code = !code;
            text_put(manual, code ? "\\fB" : "\\fP");
        } else if (*text == '"' && quoted) {
            text_put(manual, "\\(dq");
        } else if (*text == '\n') {
            text_put(manual, text[1] == 0 ? "" : " ");
        } else {
            put_sign(manual, *text);
            bool ends = sentences && sentence_ends(start, text);
            if (ends && (text[1] == ')' || text[1] == '"') && (text[2] == ' ' || text[2] == '\n') && text[3] != 0) {
                put_sign(manual, *++text);
            }
            if (ends && (text[1] == ' ' || text[1] == '\n') && text[2] != 0) {
                text_char(manual, '\n');
                text++;
                guard_head(manual, text + 1);
            }
        }
    }
    text_put(manual, code ? "\\fP" : "");
}

void manual_text(Text *manual, const char *text)
{
    guard_head(manual, text);
    put_text(manual, text, true, false);
    text_char(manual, '\n');
}

void manual_argument(Text *manual, const char *text)
{
    text_put(manual, "\"\\&"); /* so that no unit is taken for a macro, as Pa */
    put_text(manual, text, false, true);
    text_char(manual, '"');
}

void manual_part(Text *manual, const char *text, bool first)
{
    if (first) {
        guard_head(manual, text);
    }
    put_text(manual, text, true, false);
}

void manual_lines(Text *manual, const char *lines)
{
    text_put(manual, ".Bd -literal -offset indent\n");
    bool begins = true;
    for (const char *at = lines; *at != 0; at++) {
        if (begins) {
            guard_head(manual, at);
        }
        put_sign(manual, *at);
        begins = *at == '\n';
    }
    text_put(manual, begins ? ".Ed\n" : "\n.Ed\n");
}
