/* Makes one target the fuzzer's: compiled with -DTARGET=fuzz_NAME. */
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length)
{
    TARGET(bytes, length);
    return 0;
}
