/* All memory: blocks on one chain, so that everything can be given back at
 * once, whatever the code between was doing when it failed.
 *
 * Small blocks come from the C library. From 1 MiB on a block is a mapping of
 * its own: it grows by moving its pages instead of its bytes, and asks for
 * huge pages, because first touching small pages costs more than parsing what
 * is then put on them. */
#include "base/memory.h"

#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

/* Stands in front of every block; its size keeps what follows aligned. */
typedef struct MemoryBlock {
    struct MemoryBlock *before;
    struct MemoryBlock *behind;
    size_t size;   /* as asked for */
    size_t mapped; /* bytes of the mapping, this header among them; 0: from the C library */
} MemoryBlock;

_Static_assert(sizeof(MemoryBlock) % _Alignof(max_align_t) == 0, "blocks would not be aligned");

enum {
    SMALL_PAGE = 4096,
    LARGE_BLOCK = 1 << 20,
    HUGE_PAGE = 2 << 20
};

static MemoryBlock *block_of(void *bytes) { return (MemoryBlock *)bytes - 1; }

static void *bytes_of(MemoryBlock *block) { return block + 1; }

static void link_block(Memory *memory, MemoryBlock *block, size_t size)
{
    block->size = size;
    block->before = NULL;
    block->behind = memory->blocks;
    if (memory->blocks)
        memory->blocks->before = block;
    memory->blocks = block;
    memory->held += size;
    if (memory->held > memory->most_held)
        memory->most_held = memory->held;
}

static void unlink_block(Memory *memory, MemoryBlock *block)
{
    if (block->before)
        block->before->behind = block->behind;
    else
        memory->blocks = block->behind;
    if (block->behind)
        block->behind->before = block->before;
    memory->held -= block->size;
}

static size_t mapping_size(size_t size)
{
    return (size + sizeof(MemoryBlock) + SMALL_PAGE - 1) & ~(size_t)(SMALL_PAGE - 1);
}

/* A fresh mapping that begins where a huge page can begin: more is reserved
 * than is needed, and what stands over on both sides is given back. */
static void *map_aligned(size_t size)
{
    size_t reserved = size < HUGE_PAGE ? size : size + HUGE_PAGE;
    char *start = mmap(NULL, reserved, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    if (start == MAP_FAILED)
        return NULL;
    if (reserved == size)
        return start;
    size_t skipped = (HUGE_PAGE - (uintptr_t)start % HUGE_PAGE) % HUGE_PAGE;
    if (skipped > 0)
        munmap(start, skipped);
    if (skipped < HUGE_PAGE)
        munmap(start + skipped + size, HUGE_PAGE - skipped);
    start += skipped;
    (void)madvise(start, size, MADV_HUGEPAGE);
    return start;
}

/* The same mapping with another size: where it stands if there is room behind
 * it, else its pages are hung in elsewhere. */
static MemoryBlock *remap(MemoryBlock *block, size_t size)
{
    if (size == block->mapped || mremap(block, block->mapped, size, 0) != MAP_FAILED) {
        block->mapped = size;
        return block;
    }
    void *place = map_aligned(size);
    if (!place)
        return NULL;
    MemoryBlock *moved = mremap(block, block->mapped, size, MREMAP_MAYMOVE | MREMAP_FIXED, place);
    if (moved == MAP_FAILED) {
        munmap(place, size);
        return NULL;
    }
    (void)madvise(moved, size, MADV_HUGEPAGE);
    moved->mapped = size;
    return moved;
}

static MemoryBlock *new_block(size_t size, bool zeroed)
{
    MemoryBlock *block;
    size_t mapped = 0;
    if (size >= LARGE_BLOCK) {
        mapped = mapping_size(size);
        block = map_aligned(mapped);
    } else {
        block = zeroed ? calloc(1, sizeof *block + size) : malloc(sizeof *block + size);
    }
    if (block)
        block->mapped = mapped;
    return block;
}

static void free_block(MemoryBlock *block)
{
    if (block->mapped)
        munmap(block, block->mapped);
    else
        free(block);
}

/* Counts the request, and throws when it may not be met. */
static void request(Memory *memory, size_t size, size_t instead_of)
{
    memory->requests++;
    bool fails = memory->fail_at > 0 &&
                 (memory->requests == memory->fail_at || (memory->fail_on && memory->requests > memory->fail_at));
    bool absurd = size > PTRDIFF_MAX - 2 * (size_t)HUGE_PAGE;
    if (fails || absurd || (memory->limit > 0 && memory->held - instead_of + size > memory->limit))
        memory_throw(memory, FAILURE_MEMORY);
}

void *memory_take(Memory *memory, size_t size)
{
    request(memory, size, 0);
    MemoryBlock *block = new_block(size, true);
    if (!block)
        memory_throw(memory, FAILURE_MEMORY);
    link_block(memory, block, size);
    return bytes_of(block);
}

/* A new place for OLD where it changes between small and large; both stand
 * until the bytes are copied. NULL when there is none. */
static MemoryBlock *copied_block(MemoryBlock *old, size_t new_size)
{
    MemoryBlock *block = new_block(new_size, false);
    if (!block)
        return NULL;
    memcpy(bytes_of(block), bytes_of(old), old->size < new_size ? old->size : new_size);
    free_block(old);
    return block;
}

void *memory_resize(Memory *memory, void *old, size_t new_size)
{
    MemoryBlock *block = old ? block_of(old) : NULL;
    size_t old_size = block ? block->size : 0;
    request(memory, new_size, old_size);
    if (block)
        unlink_block(memory, block);
    MemoryBlock *resized;
    if (!block)
        resized = new_block(new_size, false);
    else if (block->mapped && new_size >= LARGE_BLOCK)
        resized = remap(block, mapping_size(new_size));
    else if (!block->mapped && new_size < LARGE_BLOCK)
        resized = realloc(block, sizeof *block + new_size);
    else
        resized = copied_block(block, new_size);
    if (!resized) {
        if (block)
            link_block(memory, block, old_size);
        memory_throw(memory, FAILURE_MEMORY);
    }
    link_block(memory, resized, new_size);
    return bytes_of(resized);
}

void memory_touch(void *bytes, size_t size)
{
#ifdef MADV_POPULATE_WRITE
    uintptr_t first = ((uintptr_t)bytes + SMALL_PAGE - 1) & ~(uintptr_t)(SMALL_PAGE - 1);
    uintptr_t end = ((uintptr_t)bytes + size) & ~(uintptr_t)(SMALL_PAGE - 1);
    if (size >= 4 * SMALL_PAGE && end > first)
        (void)madvise((void *)first, end - first, MADV_POPULATE_WRITE);
#else
    (void)bytes, (void)size;
#endif
}

void memory_return(Memory *memory, void *block)
{
    if (!block)
        return;
    unlink_block(memory, block_of(block));
    free_block(block_of(block));
}

void memory_return_all(Memory *memory)
{
    MemoryBlock *block = memory->blocks;
    while (block) {
        MemoryBlock *behind = block->behind;
        free_block(block);
        block = behind;
    }
    memory->blocks = NULL;
    memory->held = 0;
}

_Noreturn void memory_throw(Memory *memory, Failure failure)
{
    memory->failure = failure;
    if (memory->open_file > 0)
        close(memory->open_file - 1);
    memory->open_file = 0;
    if (!memory->rescue)
        abort();
    longjmp(*memory->rescue, 1);
}
