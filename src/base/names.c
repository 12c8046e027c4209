/* Names as numbers, by a hash table with open addressing. Nothing is ever taken
 * out, so that a name's number is its place in the list of entries. The lexer
 * comes here for every word it reads. */
#include "base/names.h"

#include <string.h>

enum { FIRST_BUCKETS = 256 };

static inline uint64_t eight_bytes(const char *at)
{
    uint64_t word;
    memcpy(&word, at, sizeof word);
    return word;
}

static inline uint32_t four_bytes(const char *at)
{
    uint32_t word;
    memcpy(&word, at, sizeof word);
    return word;
}

static inline uint64_t mix(uint64_t hash, uint64_t word)
{
    hash = (hash ^ word) * UINT64_C(0x9E3779B97F4A7C15);
    return hash ^ (hash >> 29);
}

/* Takes eight bytes at a time; the last ones overlap those before them rather
 * than being taken one by one. Nothing outside the text is read. */
static inline uint32_t hash_of(const char *text, size_t length)
{
    uint64_t hash = length * UINT64_C(0xC2B2AE3D27D4EB4F);
    if (length >= 8) {
        const char *last = text + length - 8;
        for (; text < last; text += 8)
            hash = mix(hash, eight_bytes(text));
        hash = mix(hash, eight_bytes(last));
    } else if (length >= 4) {
        hash = mix(hash, (uint64_t)four_bytes(text) << 32 | four_bytes(text + length - 4));
    } else if (length > 0) {
        const unsigned char *byte = (const unsigned char *)text;
        hash = mix(hash, (uint64_t)byte[0] << 16 | (uint64_t)byte[length / 2] << 8 | byte[length - 1]);
    }
    hash = mix(hash, hash >> 32);
    return (uint32_t)(hash >> 32);
}

/* The bucket that holds the text, or the free one where it would go. */
static inline uint32_t bucket_of(const Names *names, const char *text, size_t length, uint32_t hash)
{
    uint32_t mask = names->buckets.count - 1;
    for (uint32_t bucket = hash & mask;; bucket = (bucket + 1) & mask) {
        Name name = names->buckets.at[bucket];
        if (name == 0)
            return bucket;
        const NameEntry *entry = &names->entries.at[name];
        if (entry->hash == hash && entry->length == length && memcmp(names->text.at + entry->start, text, length) == 0)
            return bucket;
    }
}

static void set_buckets(Names *names, Memory *memory, uint32_t count)
{
    names->buckets.count = 0;
    list_reserve(memory, &names->buckets, count);
    memset(names->buckets.at, 0, count * sizeof *names->buckets.at);
    names->buckets.count = count;
    for (Name name = 1; name < names->entries.count; name++) {
        uint32_t bucket = names->entries.at[name].hash & (count - 1);
        while (names->buckets.at[bucket] != 0)
            bucket = (bucket + 1) & (count - 1);
        names->buckets.at[bucket] = name;
    }
}

void names_open(Names *names, Memory *memory)
{
    *names = (Names){0};
    list_add(memory, &names->text);
    list_add(memory, &names->entries);
    set_buckets(names, memory, FIRST_BUCKETS);
}

void names_close(Names *names, Memory *memory)
{
    memory_return(memory, names->text.at);
    memory_return(memory, names->entries.at);
    memory_return(memory, names->buckets.at);
    *names = (Names){0};
}

/* Copies the text in behind the others. It may itself be part of a name, and so
 * move while room is made. */
static uint32_t add_text(Names *names, Memory *memory, const char *text, size_t length)
{
    if (length >= UINT32_MAX - 1)
        memory_throw(memory, FAILURE_MEMORY);
    uintptr_t inside = (uintptr_t)text - (uintptr_t)names->text.at;
    bool is_inside = inside < names->text.count;
    list_reserve(memory, &names->text, (uint32_t)length + 1);
    if (is_inside)
        text = names->text.at + inside;
    uint32_t start = names->text.count;
    memcpy(names->text.at + start, text, length);
    names->text.at[start + length] = '\0';
    names->text.count += (uint32_t)length + 1;
    return start;
}

/* Every step that can throw comes before the first that changes what is found. */
static Name add_name(Names *names, Memory *memory, const char *text, size_t length, uint32_t hash)
{
    uint32_t start = add_text(names, memory, text, length);
    list_reserve(memory, &names->entries, 1);
    if (names->buckets.room == 0)
        list_grow(memory, (AnyList *)(void *)&names->buckets, sizeof *names->buckets.at, 0);
    Name name = names->entries.count++;
    names->entries.at[name] = (NameEntry){start, (uint32_t)length, hash};
    if (name > names->buckets.count / 2)
        set_buckets(names, memory, names->buckets.count * 2);
    else
        names->buckets.at[bucket_of(names, names->text.at + start, length, hash)] = name;
    return name;
}

Name names_intern(Names *names, Memory *memory, const char *text, size_t length)
{
    uint32_t hash = hash_of(text, length);
    Name name = names->buckets.at[bucket_of(names, text, length, hash)];
    return name != 0 ? name : add_name(names, memory, text, length, hash);
}

Name names_of(Names *names, Memory *memory, const char *text)
{
    return names_intern(names, memory, text, strlen(text));
}

Name names_find(const Names *names, const char *text, size_t length)
{
    return names->buckets.at[bucket_of(names, text, length, hash_of(text, length))];
}

const char *names_text(const Names *names, Name name)
{
    return names->text.at + names->entries.at[name].start;
}
