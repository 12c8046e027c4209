/* Blocks, arenas and lists: what they hold stays, and nothing stays behind. */
#include "unit.h"

#include "base/arena.h"
#include "base/list.h"

#include <string.h>

static bool all_equal(const void *bytes, unsigned char value, size_t size)
{
    const unsigned char *byte = bytes;
    for (size_t i = 0; i < size; i++)
        if (byte[i] != value)
            return false;
    return true;
}

static void blocks_are_zero_and_aligned(void **state)
{
    (void)state;
    static const size_t sizes[] = {0, 1, 7, 4096, (1 << 20) - 1, 1 << 20, (2 << 20) + 5, 5 << 20};
    Memory memory = {0};
    size_t held = 0;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        void *block = memory_take(&memory, sizes[i]);
        assert_int_equal((uintptr_t)block % _Alignof(max_align_t), 0);
        assert_true(all_equal(block, 0, sizes[i]));
        memset(block, 0xA5, sizes[i]);
        held += sizes[i];
        assert_int_equal(memory.held, held);
    }
    memory_return_all(&memory);
    assert_int_equal(memory.held, 0);
    assert_int_equal(memory.most_held, held);
}

static void resizing_keeps_what_is_there(void **state)
{
    (void)state;
    static const size_t sizes[] = {1, 100, (1 << 20) + 1, 3 << 20, 40 << 20, 9 << 20, (1 << 20) - 7, 50, 2 << 20, 0};
    Memory memory = {0};
    unsigned char *block = NULL;
    size_t before = 0;
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        void *neighbour = memory_take(&memory, 1 << 20);
        block = memory_resize(&memory, block, sizes[i]);
        size_t kept = before < sizes[i] ? before : sizes[i];
        assert_true(all_equal(block, 0x5A, kept));
        memset(block, 0x5A, sizes[i]);
        before = sizes[i];
        memory_return(&memory, neighbour);
        assert_int_equal(memory.held, sizes[i]);
    }
    memory_return(&memory, block);
    memory_return(&memory, NULL);
    assert_int_equal(memory.held, 0);
    assert_null(memory.blocks);
}

static void take_thousand(Memory *memory) { memory_return(memory, memory_take(memory, 1000)); }

static void grow_to_thousand(Memory *memory)
{
    void *block = memory_take(memory, 600);
    memory_return(memory, memory_resize(memory, block, 1000));
}

static void take_absurd(Memory *memory) { memory_return(memory, memory_take(memory, SIZE_MAX - 8)); }

static void limit_is_kept(void **state)
{
    (void)state;
    Memory enough = {.limit = 1000};
    assert_true(unit_goes_through(&enough, take_thousand));
    assert_true(unit_goes_through(&enough, grow_to_thousand));
    Memory short_by_one = {.limit = 999};
    assert_false(unit_goes_through(&short_by_one, take_thousand));
    assert_int_equal(short_by_one.failure, FAILURE_MEMORY);
    assert_false(unit_goes_through(&short_by_one, grow_to_thousand));
    assert_int_equal(short_by_one.held, 600); /* the old block stands */
    memory_return_all(&short_by_one);
    Memory none = {0};
    assert_false(unit_goes_through(&none, take_absurd));
    assert_int_equal(none.held, 0);
}

static void throw_limit(Memory *memory) { memory_throw(memory, FAILURE_LIMIT); }

static void throw_tells_why(void **state)
{
    (void)state;
    Memory memory = {0};
    assert_false(unit_goes_through(&memory, throw_limit));
    assert_int_equal(memory.failure, FAILURE_LIMIT);
}

static void arena_gives_zeroed_bytes_again_and_again(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    size_t held = 0;
    for (int round = 0; round < 3; round++) {
        for (size_t size = 0; size < 3000; size += 7) {
            char *bytes = arena_take(&arena, size);
            assert_int_equal((uintptr_t)bytes % 8, 0);
            assert_true(all_equal(bytes, 0, size));
            memset(bytes, 0xEE, size);
        }
        arena_take(&arena, 6 << 20);
        assert_true(round == 0 || memory.held == held); /* the chunks are used again */
        held = memory.held;
        arena_reset(&arena);
    }
    arena_close(&arena);
    assert_int_equal(memory.held, 0);
}

static void arena_goes_back_to_a_mark(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    ArenaMark empty = arena_mark(&arena);
    char *kept = arena_copy(&arena, "kept", 4);
    ArenaMark mark = arena_mark(&arena);
    char *first = arena_take(&arena, 16);
    for (int i = 0; i < 1000; i++)
        arena_take(&arena, 100);
    arena_back_to(&arena, mark);
    assert_ptr_equal(arena_take(&arena, 16), first);
    assert_string_equal(kept, "kept");
    arena_back_to(&arena, empty);
    assert_ptr_equal(arena_copy(&arena, "", 0), kept);
    assert_string_equal(kept, "");
    arena_close(&arena);
    assert_int_equal(memory.held, 0);
}

static void arena_prints(void **state)
{
    (void)state;
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    assert_string_equal(arena_print(&arena, "%d sheets of %s", 40, "laid"), "40 sheets of laid");
    const char *wide = arena_print(&arena, "%9000d", 1);
    assert_int_equal(strlen(wide), 9000);
    arena_close(&arena);
}

typedef LIST(uint64_t) Numbers;

static void lists_grow(void **state)
{
    (void)state;
    Memory memory = {0};
    Numbers numbers = {0};
    for (uint32_t i = 0; i < 300000; i++) {
        if (i % 3 != 0) {
            list_push(&memory, &numbers, i);
            continue;
        }
        uint32_t place = list_add(&memory, &numbers);
        assert_int_equal(place, i);
        numbers.at[place] += i;
    }
    assert_int_equal(numbers.count, 300000);
    for (uint32_t i = 0; i < 300000; i++)
        assert_int_equal(numbers.at[i], i);
    assert_true(numbers.room < 2 * 300000 + 8);
    list_reserve(&memory, &numbers, 1000000);
    assert_true(numbers.room - numbers.count >= 1000000);
    memory_return(&memory, numbers.at);
    assert_int_equal(memory.held, 0);
}

static void lists_in_read_only_memory_are_copied(void **state)
{
    (void)state;
    static const uint64_t fixed[] = {3, 1, 4};
    Memory memory = {0};
    Numbers numbers = {.at = (uint64_t *)(uintptr_t)fixed, .count = 3};
    list_push(&memory, &numbers, 1);
    assert_ptr_not_equal(numbers.at, fixed);
    assert_int_equal(numbers.count, 4);
    assert_memory_equal(numbers.at, fixed, sizeof fixed);
    assert_int_equal(numbers.at[3], 1);
    memory_return_all(&memory);
}

static void reserve_too_much(Memory *memory)
{
    Numbers numbers = {0};
    list_add(memory, &numbers);
    list_grow(memory, (AnyList *)(void *)&numbers, sizeof *numbers.at, UINT32_MAX - 1);
}

static void lists_have_an_end(void **state)
{
    (void)state;
    Memory memory = {0};
    assert_false(unit_goes_through(&memory, reserve_too_much));
    assert_int_equal(memory.failure, FAILURE_MEMORY);
    memory_return_all(&memory);
}

static void use_all(Memory *memory)
{
    Arena arena;
    arena_open(&arena, memory);
    Numbers numbers = {0};
    char *block = NULL;
    for (uint32_t i = 0; i < 40; i++) {
        arena_print(&arena, "%*u", (int)(i * 100), i);
        list_push(memory, &numbers, i);
        block = memory_resize(memory, block, (size_t)i << 16);
    }
    arena_close(&arena);
}

static void faults_leave_nothing_behind(void **state)
{
    (void)state;
    assert_true(unit_fault_loop(use_all) > 40);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(blocks_are_zero_and_aligned),
        cmocka_unit_test(resizing_keeps_what_is_there),
        cmocka_unit_test(limit_is_kept),
        cmocka_unit_test(throw_tells_why),
        cmocka_unit_test(arena_gives_zeroed_bytes_again_and_again),
        cmocka_unit_test(arena_goes_back_to_a_mark),
        cmocka_unit_test(arena_prints),
        cmocka_unit_test(lists_grow),
        cmocka_unit_test(lists_in_read_only_memory_are_copied),
        cmocka_unit_test(lists_have_an_end),
        cmocka_unit_test(faults_leave_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
