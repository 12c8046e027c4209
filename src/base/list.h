/* Growing lists of one type, without pointers to their items: an item is known
 * by its 32-bit place. That lets the whole of a checked library be written to
 * a file as it stands in memory, and mapped again (see source/image.h).
 *
 *     typedef LIST(Node) NodeList;
 *     uint32_t place = list_add(memory, &nodes);   zeroed item at nodes.at[place]
 *
 * Never nodes.at[list_add(...)]: C may look at nodes.at before it grows.
 *
 * Place 0 of most lists is a blank, so that 0 can mean "none".
 */
#ifndef WATERLEAF_BASE_LIST_H
#define WATERLEAF_BASE_LIST_H

#include "base/memory.h"
#include <string.h>

/* `room` is 0 for a list that stands in read-only memory: its first growth copies it. */
#define LIST(Type)      \
    struct {            \
        Type *at;       \
        uint32_t count; \
        uint32_t room;  \
    }

/* The same for any item type; list_grow works on this. Seen through it, a list
 * of any type may change, which the attribute tells the compiler. */
typedef struct __attribute__((may_alias)) AnyList {
    void *at;
    uint32_t count;
    uint32_t room;
} AnyList;

/* Room for MORE further items of SIZE bytes; the new room is not cleared.
 * Throws FAILURE_MEMORY when the count would pass 2^32 - 2. */
void list_grow(Memory *memory, AnyList *list, size_t size, uint32_t more);

/* Adds one zeroed item and gives its place. In the header so that the size is
 * known where it is called: trees are built with this. */
static inline uint32_t list_add_any(Memory *memory, AnyList *list, size_t size)
{
    if (list->room <= list->count)
        list_grow(memory, list, size, 1);
    memset((char *)list->at + list->count * size, 0, size);
    return list->count++;
}

#define list_add(memory, list) list_add_any((memory), (AnyList *)(void *)(list), sizeof *(list)->at)

static inline void list_reserve_any(Memory *memory, AnyList *list, size_t size, uint32_t more)
{
    if ((int64_t)list->room - list->count < more)
        list_grow(memory, list, size, more);
}

#define list_reserve(memory, list, more) list_reserve_any((memory), (AnyList *)(void *)(list), sizeof *(list)->at, (more))

/* Adds ITEM, which is worked out once room was made, and so must not itself add
 * to LIST. A statement; evaluates LIST more than once. */
#define list_push(memory, list, ...)                       \
    do {                                                   \
        list_reserve((memory), (list), 1);                 \
        (list)->at[(list)->count++] = (__VA_ARGS__);       \
    } while (0)

#endif
