/* Runs the fuzzer's way in over every file of a folder, under the sanitizers:
 * none may crash. Usage: replay FOLDER */
#include "../folder.h"

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int main(int count, char **arguments)
{
    Checks checks = {0};
    Paths paths = {0};
    folder_add(&paths, count > 1 ? arguments[1] : "tests/fuzz/corpus", "");
    for (size_t i = 0; i < paths.count; i++) {
        size_t length = 0;
        char *bytes = check_read(paths.at[i], &length);
        if (check(&checks, bytes != NULL, "%s cannot be read", paths.at[i]))
            LLVMFuzzerTestOneInput((const uint8_t *)bytes, length);
        free(bytes);
    }
    folder_free(&paths);
    return checks_end(&checks, "replay");
}
