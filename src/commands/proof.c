/* Reading back what was set: its words, its pages, its codes. */
#include "commands/proof.h"

#include "base/program.h"
#include "base/text.h"
#include "documents/code.h"
#include "render/words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_CODES = 200, PAGES_LOOKED_AT = 12 };

/* A hyphen counts as one, since a long word is parted with one at the end of a line. */
static bool is_blank(const char *at, size_t *length)
{
    /* no-break blank, soft hyphen, blank without width, hyphen */
    static const char *const wide[] = {"\xC2\xA0", "\xC2\xAD", "\xE2\x80\x8B", "\xE2\x80\x90", "-"};
    *length = 1;
    for (size_t i = 0; i < sizeof wide / sizeof wide[0]; i++) {
        if (strncmp(at, wide[i], strlen(wide[i])) == 0) {
            *length = strlen(wide[i]);
            return true;
        }
    }
    return *at == ' ' || *at == '\n' || *at == '\t' || *at == '\r' || *at == '\f';
}

/* Without blanks and hyphens, as words may stand on several lines: behind what stands in OUT. */
static void squeeze_on(Text *out, const char *from, size_t length)
{
    for (size_t i = 0, size; i < length; i += size) {
        if (!is_blank(from + i, &size)) {
            text_add(out, from + i, size);
        }
    }
}

static void squeeze(Text *out, const char *from, size_t length)
{
    text_clear(out);
    squeeze_on(out, from, length);
    text_char(out, 0);
}

static size_t line_length(const char *at) { return strcspn(at, "\n"); }

static const char *behind_line(const char *at)
{
    at += line_length(at);
    return *at == '\n' ? at + 1 : at;
}

/* Whether the line is what stands in small letters at the foot of some part. */
static bool is_small_foot(const Document *document, const char *line)
{
    for (const DocumentNode *part = document->root->first; part != NULL; part = part->next) {
        size_t length = part->form == DOCUMENT_PART && part->hint != NULL ? strlen(part->hint) : 0;
        if (length > 0 && line_length(line) > 0 && strncmp(line, part->hint, line_length(line) < length ? line_length(line) : length) == 0) {
            return true;
        }
    }
    return false;
}

/* All pages one behind the other, without their feet: what goes over a page's end is read on. The feet come first in what is read. */
static void squeeze_pages(Text *out, Text *feet, const Document *document, char *seen, size_t length)
{
    seen[length] = 0;
    text_clear(out);
    for (char *page = seen; *page != 0;) {
        size_t size = strcspn(page, "\f");
        char *next = page[size] == '\f' ? page + size + 1 : page + size;
        page[size] = 0;
        const char *at = page;
        if (strncmp(page, "page ", 5) == 0) {
            squeeze_on(feet, page, line_length(page));
            text_char(feet, '\n');
            at = behind_line(behind_line(page));
            at = is_small_foot(document, at) ? behind_line(at) : at;
        }
        squeeze_on(out, at, strlen(at));
        page = next;
    }
    text_char(out, 0);
    text_char(feet, 0);
}

/* What is written from right to left, or put together from several signs, comes out of a PDF in another order. */
static bool reads_back(const char *text)
{
    for (const unsigned char *at = (const unsigned char *)text; *at != 0; at++) {
        if ((*at >= 0xD6 && *at <= 0xDF) || *at == 0xE0 || *at == 0xCC || *at == 0xCD || *at >= 0xF0) {
            return false;
        }
    }
    return true;
}

typedef struct Proof {
    Memory *memory;
    Text seen, feet, wanted, clean;
    const char *missing;
} Proof;

static void look_for(Proof *proof, const char *words)
{
    if (words == NULL || proof->missing != NULL || !reads_back(words)) {
        return;
    }
    text_clear(&proof->clean);
    words_clean(&proof->clean, words);
    squeeze(&proof->wanted, proof->clean.at == NULL ? "" : proof->clean.at, proof->clean.length);
    if (strstr(proof->seen.at, proof->wanted.at) == NULL) {
        Text said;
        text_open(&said, proof->memory);
        text_print(&said, "these words are not on its pages: %.200s", words);
        proof->missing = said.at;
    }
}

static void read_words(Proof *proof, const Document *document)
{
    for (DocumentWalk walk = {.root = document->root}; document_next(&walk);) {
        const DocumentNode *node = walk.node;
        if (!walk.entering) {
            continue;
        }
        switch (node->form) {
        case DOCUMENT_HEADING: case DOCUMENT_PARAGRAPH: case DOCUMENT_NOTE: case DOCUMENT_ITEM: case DOCUMENT_CELL: case DOCUMENT_SHAPE:
        case DOCUMENT_HOLD:
            look_for(proof, node->text);
            break;
        case DOCUMENT_PAIR: case DOCUMENT_FIELD: case DOCUMENT_TICK: case DOCUMENT_CAUTION:
            look_for(proof, node->text);
            look_for(proof, node->form == DOCUMENT_CAUTION || node->form == DOCUMENT_TICK ? node->hint : node->label);
            break;
        default:
            break;
        }
    }
}

static bool ask(Proof *proof, char *const *words, const char *input, size_t length, char **output, size_t *output_length)
{
    return program_ask(proof->memory, words, input, length, output, output_length) == PROGRAM_FINE;
}

/* How many pages a reader finds; 0: there is no tool. */
static unsigned page_count(Proof *proof, const char *pdf, size_t length)
{
    char tool[] = "pdfinfo", from[] = "-", *words[] = {tool, from, NULL}, *told;
    size_t told_length;
    if (!ask(proof, words, pdf, length, &told, &told_length)) {
        return 0;
    }
    told[told_length] = 0;
    const char *pages = strstr(told, "Pages:");
    return pages == NULL ? 0 : (unsigned)strtoul(pages + 6, NULL, 10);
}

/* Each page with a foot tells how many there are. */
static void read_pages(Proof *proof, unsigned pages, bool has_parts)
{
    char foot[64];
    snprintf(foot, sizeof foot, "page%uof%u", pages, pages);
    if (proof->missing == NULL && has_parts && strstr(proof->feet.at, foot) == NULL) {
        proof->missing = "its last page does not say which page of how many it is";
    }
}

typedef struct Codes { const char *texts[MOST_CODES]; uint32_t count; } Codes;

static void note_code(Codes *codes, const char *text)
{
    for (uint32_t i = 0; i < codes->count; i++) {
        if (strcmp(codes->texts[i], text) == 0) {
            return;
        }
    }
    if (codes->count < MOST_CODES) {
        codes->texts[codes->count++] = text;
    }
}

/* A page as a picture, and what a scanner reads on it; false where there is no tool. */
static bool scan(Proof *proof, const char *pdf, size_t length, unsigned page, Text *scanned)
{
    char number[16];
    snprintf(number, sizeof number, "%u", page);
    char set[] = "pdftoppm", as[] = "-png", grey[] = "-gray", fine[] = "-r", dots[] = "200", first[] = "-f", last[] = "-l", from[] = "-";
    char *picture_words[] = {set, as, grey, fine, dots, first, number, last, number, from, NULL};
    char scanner[] = "zbarimg", quiet[] = "-q", raw[] = "--raw", input[] = "PNG:-", *scan_words[] = {scanner, quiet, raw, input, NULL};
    char *picture, *read;
    size_t picture_length, read_length;
    if (!ask(proof, picture_words, pdf, length, &picture, &picture_length)) {
        return false;
    }
    ProgramAnswer answer = program_ask(proof->memory, scan_words, picture, picture_length, &read, &read_length);
    memory_return(proof->memory, picture);
    if (answer == PROGRAM_FINE) {
        text_add(scanned, read, read_length);
        memory_return(proof->memory, read);
    }
    return answer == PROGRAM_FINE || answer == PROGRAM_REFUSED; /* refused: nothing was found on it */
}

static bool has_line(const char *lines, const char *line)
{
    size_t length = strlen(line);
    for (const char *at = lines; (at = strstr(at, line)) != NULL; at++) {
        if ((at == lines || at[-1] == '\n') && (at[length] == '\n' || at[length] == 0)) {
            return true;
        }
    }
    return false;
}

static void read_codes(Proof *proof, const Document *document, const char *pdf, size_t length, unsigned pages)
{
    Codes codes = {.count = 0};
    for (DocumentWalk walk = {.root = document->root}; document_next(&walk);) {
        Code code;
        const DocumentNode *node = walk.node;
        bool made = node->form == DOCUMENT_CODE && ((node->marks & DOCUMENT_BARS) != 0 ? code_bars(&code, document->arena, node->text)
                                                                                       : code_squares(&code, document->arena, node->text));
        if (made) {
            note_code(&codes, node->text);
        }
    }
    Text scanned;
    text_open(&scanned, proof->memory);
    uint32_t found = 0;
    unsigned page = 1;
    for (; found < codes.count && page <= pages && page <= PAGES_LOOKED_AT; page++) {
        if (!scan(proof, pdf, length, page, &scanned)) {
            return;
        }
        while (found < codes.count && has_line(scanned.at == NULL ? "" : scanned.at, codes.texts[found])) {
            found++;
        }
    }
    if (found < codes.count && page > pages && proof->missing == NULL) {
        Text said;
        text_open(&said, proof->memory);
        text_print(&said, "no device reads this code on its pages: %.200s", codes.texts[found]);
        proof->missing = said.at;
    }
}

bool proof_read(Memory *memory, const Document *document, const char *pdf, size_t length, const char **missing)
{
    Proof proof = {.memory = memory};
    char tool[] = "pdftotext", order[] = "-raw", from[] = "-", to[] = "-", *words[] = {tool, order, from, to, NULL}, *seen;
    size_t seen_length;
    *missing = NULL;
    text_open(&proof.seen, memory);
    text_open(&proof.feet, memory);
    text_open(&proof.wanted, memory);
    text_open(&proof.clean, memory);
    if (!ask(&proof, words, pdf, length, &seen, &seen_length)) {
        return true;
    }
    squeeze_pages(&proof.seen, &proof.feet, document, seen, seen_length);
    memory_return(memory, seen);
    read_words(&proof, document);
    unsigned pages = page_count(&proof, pdf, length);
    if (pages > 0) {
        read_pages(&proof, pages, document->root->last != NULL && document->root->last->form == DOCUMENT_PART);
        read_codes(&proof, document, pdf, length, pages);
    }
    *missing = proof.missing;
    return proof.missing == NULL;
}
