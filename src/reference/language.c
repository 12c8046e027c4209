/* The language: its form, as grammar/README.md tells it; its grammar; and each reserved word and sign. */
#include "reference/chapters.h"

#include <stdio.h>
#include <string.h>

typedef struct Word { const char *kind, *spelling; } Word;

static const Word words[] = {
#define WORD(kind, spelling) {#kind, spelling},
#include "grammar/words.def"
};
static const Word heads[] = {
#define HEAD(kind, spelling) {#kind, spelling},
#include "grammar/words.def"
};
static const Word signs[] = {
#define SIGN(kind, spelling) {#kind, spelling},
#include "grammar/words.def"
};

/* What a word or sign of each kind does. */
static const Word meanings[] = {
    {"PREPOSITION", "A preposition: what stands behind it belongs to it."},
    {"FROM", "A preposition; and in `each NAME from SET` it names the set that is gone through."},
    {"NARROW", "In brackets and braces it says of which kind a value is: `(x as moisture)`. Elsewhere it is a preposition."},
    {"CONVERT", "In brackets, in braces and behind `shown` it says in which unit: `{x in lb}`. Behind a number it is inches; elsewhere a preposition."},
    {"ABOUT", "The value behind it is not well known: `about 65 %`."},
    {"BETWEEN", "Behind `about` and a comma it tells the range: `about 65 %, between 50 %..80 %`."},
    {"BY", "Two lengths make a size: `400 mm by 500 mm`."},
    {"ABSENT", "Nothing: a value that is not told. `x is none` asks whether it is not."},
    {"EACH", "Goes through a set, and gives each of it a name: `each m from bill`."},
    {"WHEN", "The condition under which a line holds; at the start of a line with `:`, one for a block."},
    {"IS", "Asks whether something is a word, a state or a mark: `sheet is dry`. With `not`: whether it is not."},
    {"NOT", "Turns a yes into a no."},
    {"AND", "Both must hold."},
    {"OR", "One of both must hold."},
    {"ELSE", "What is said where the condition in front does not hold."},
    {"SHOWN", "In which unit a value is shown: `shown in g`."},
    {"ORIGIN", "Where the value in front comes from."},
    {"PLUS", "Adds."}, {"MINUS", "Subtracts, with blanks on both sides; right in front of a digit it is the number’s sign."},
    {"TIMES", "Multiplies."}, {"OVER", "Divides; within a unit, over."}, {"POWER", "To the power."},
    {"EQUAL", "Compares; the first one of some lines gives a value its name, as in `let a = 1`."}, {"UNEQUAL", "Is not the same."},
    {"LESS", "Is less."}, {"LESS_EQUAL", "Is less or the same."}, {"MORE", "Is more."}, {"MORE_EQUAL", "Is more or the same."},
    {"RANGE", "From the one to the other."}, {"TOLERANCE", "An aim, and how far it may be missed on both sides."},
    {"DOT", "A part of a thing: `sheet.moisture`."}, {"COMMA", "Parts arguments; a line that ends in one goes on in the next."},
    {"COLON", "Opens a block, which `end` closes."}, {"ROUND_OPEN", "Opens a bracket."}, {"ROUND_CLOSE", "Closes a bracket."},
    {"SQUARE_OPEN", "Opens a list."}, {"SQUARE_CLOSE", "Closes a list."},
    {"BINDS", "Begins a line whose first `=` gives what stands behind it its name."}, {"UNIT", "Begins a line that declares a unit."},
    {"END", "Closes a block."},
};

static void put_meaning(Reference *reference, const char *kind)
{
    for (size_t i = 0; i < sizeof meanings / sizeof meanings[0]; i++) {
        if (strcmp(meanings[i].kind, kind) == 0) {
            book_paragraph(&reference->book, meanings[i].spelling);
            return;
        }
    }
    fprintf(stderr, "Nothing is told here of words of the kind %s.\n", kind);
    reference->book.unwritten = true;
}

/* The steps that have an argument behind this word. */
static void put_steps_with(Reference *reference, const char *word)
{
    const World *world = reference->world;
    Text text;
    text_open(&text, reference->memory);
    for (uint32_t id = 1; id < world->steps.count; id++) {
        const Shape *shape = &world->shapes.at[world->steps.at[id].shape];
        for (FieldId field = shape->first; field != 0; field = world->fields.at[field].next) {
            const Field *takes = &world->fields.at[field];
            if (takes->sort == FIELD_TAKES && takes->phrase_count == 1 && strcmp(part_name(reference, world->words.at[takes->phrase]), word) == 0) {
                text_put(&text, text.length > 0 ? ", " : "");
                book_link(&text, "step", part_name(reference, shape->name));
                break;
            }
        }
    }
    if (text.length > 0) {
        book_pair(&reference->book, "Steps that take it", text.at);
    }
}

static void put_words(Reference *reference, const char *title, const char *group, const Word *list, size_t count)
{
    book_section(&reference->book, title);
    for (size_t i = 0; i < count; i++) {
        book_entry(&reference->book, group, list[i].spelling, NULL);
        put_meaning(reference, list[i].kind);
        if (strcmp(group, "word") == 0) {
            put_steps_with(reference, list[i].spelling);
        }
    }
}

void chapter_language(Reference *reference)
{
    static const Chapter chapter = {"language", "The language", "waterleaf-language", "the form of scripts, the grammar, reserved words and signs"};
    book_chapter(&reference->book, &chapter);
    readme_put(reference, "grammar", "Limits"); /* what stands behind it is for who changes the program */
    book_section(&reference->book, "The grammar of a line");
    book_paragraph(&reference->book, "What may stand behind the first word of a line, as the program itself reads it.");
    const char *grammar = part_read(reference, reference->grammar);
    book_lines(&reference->book, NULL, grammar == NULL ? "" : grammar);
    reference->book.unwritten = reference->book.unwritten || grammar == NULL;
    put_words(reference, "Reserved words", "word", words, sizeof words / sizeof words[0]);
    put_words(reference, "Words at the start of a line", "head", heads, sizeof heads / sizeof heads[0]);
    put_words(reference, "Signs", "sign", signs, sizeof signs / sizeof signs[0]);
}
