/* Where pages cannot be made. */
#include "pages/stop.h"

#include "base/text.h"

#include <stdarg.h>
#include <stdlib.h>

enum { TROUBLE = 2 };

void pages_stop(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_trouble(format, arguments);
    va_end(arguments);
    exit(TROUBLE);
}
