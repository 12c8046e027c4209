/* How lists grow: by doubling, so that adding stays cheap at any length. */
#include "base/list.h"

enum { FIRST_ROOM = 8, STRESS_BYTES = 32768 };

static const uint32_t MOST_ITEMS = UINT32_MAX - 1;

void list_grow(Memory *memory, AnyList *list, size_t size, uint32_t more)
{
    uint64_t needed = (uint64_t)list->count + more;
    if (needed > MOST_ITEMS || needed > PTRDIFF_MAX / size)
        memory_throw(memory, FAILURE_MEMORY);
    uint64_t room = (uint64_t)list->count * 2;
    if (room < FIRST_ROOM)
        room = FIRST_ROOM;
    if (room < needed)
        room = needed;
    if (room > MOST_ITEMS)
        room = MOST_ITEMS;
#ifdef WATERLEAF_STRESS
    /* In the tests short lists move whenever they grow, so that a pointer kept too long is found. */
    if (needed * size < STRESS_BYTES)
        room = needed;
#endif
    bool read_only = list->room == 0;
    char *at = memory_resize(memory, read_only ? NULL : list->at, (size_t)room * size);
    if (read_only && list->count > 0)
        memcpy(at, list->at, list->count * size);
    list->at = at;
    list->room = (uint32_t)room;
}
