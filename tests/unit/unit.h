/* What all unit tests share: cmocka with the headers it wants, and the fault
 * loop. A piece of work is run with its first request for memory failing, then
 * its second, and so on until it goes through; once with only that request
 * failing, once with all after it as well. */
#ifndef WATERLEAF_UNIT_H
#define WATERLEAF_UNIT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/memory.h"

typedef void UnitWork(Memory *memory);

/* Whether WORK went through. cmocka's own checks jump as well, so none may
 * stand in WORK. */
static inline bool unit_goes_through(Memory *memory, UnitWork *work)
{
    jmp_buf rescue;
    memory->rescue = &rescue;
    if (setjmp(rescue) != 0)
        return false;
    work(memory);
    return true;
}

/* How many requests the work made when it went through. */
static inline uint64_t unit_fault_loop(UnitWork *work)
{
    uint64_t requests = 0;
    for (int persistent = 0; persistent < 2; persistent++) {
        bool through = false;
        for (uint64_t number = 1; !through; number++) {
            assert_true(number < 10000);
            Memory memory = {.fail_at = number, .fail_on = persistent == 1};
            through = unit_goes_through(&memory, work);
            assert_true(through || memory.failure == FAILURE_MEMORY);
            assert_int_equal(through, memory.requests < number);
            requests = memory.requests;
            memory_return_all(&memory);
            assert_int_equal(memory.held, 0);
            assert_null(memory.blocks);
        }
    }
    return requests;
}

#endif
