/* The fuzzer's way in: any bytes are read as a script, checked, and worked out;
 * nothing is written. `make fuzz` runs it; replay.c runs it over the corpus. */
#include "waterleaf.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

static bool pass_over(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)with;
    (void)workshop;
    return outcome != NULL;
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    static Workshop *workshop; /* opened once: what is left over from one script to the next is tried as well */
    if (workshop == NULL)
        workshop = workshop_open(&(WorkshopWish){.memory_limit = (size_t)1 << 30});
    bool fine = workshop != NULL && workshop_clear(workshop) == WATERLEAF_FINE &&
                workshop_read_text(workshop, "fuzzed.wleaf", (const char *)bytes, length) == WATERLEAF_FINE &&
                workshop_check(workshop) == WATERLEAF_FINE;
    if (fine)
        workshop_work_out(workshop, NULL, 0, pass_over, NULL);
    else if (workshop != NULL) {
        workshop_close(workshop);
        workshop = NULL;
    }
    return 0;
}
