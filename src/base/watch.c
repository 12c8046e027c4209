/* Folders are watched by the kernel: nothing is looked at in vain. */
#include "base/watch.h"

#include <poll.h>
#include <signal.h>
#include <sys/inotify.h>
#include <sys/signalfd.h>
#include <unistd.h>

enum { QUIET = 60 }; /* milliseconds: an editor writes a file in several goes */

bool watch_open(Watch *watch)
{
    sigset_t set;
    sigemptyset(&set);
    sigaddset(&set, SIGINT);
    sigaddset(&set, SIGTERM);
    sigaddset(&set, SIGHUP);
    watch->changes = inotify_init1(IN_CLOEXEC | IN_NONBLOCK);
    watch->signals = sigprocmask(SIG_BLOCK, &set, NULL) == 0 ? signalfd(-1, &set, SFD_CLOEXEC) : -1;
    return watch->changes >= 0 && watch->signals >= 0;
}

void watch_folder(Watch *watch, const char *folder)
{
    (void)inotify_add_watch(watch->changes, folder, IN_CLOSE_WRITE | IN_MOVED_TO | IN_MOVED_FROM | IN_DELETE | IN_CREATE);
}

bool watch_wait(Watch *watch)
{
    struct pollfd both[] = {{.fd = watch->changes, .events = POLLIN}, {.fd = watch->signals, .events = POLLIN}};
    int wait = -1;
    for (;;) {
        int ready = poll(both, 2, wait);
        if (ready == 0) {
            return true;
        }
        if (ready > 0 && both[1].revents != 0) {
            return false;
        }
        char bytes[8192];
        while (ready > 0 && read(watch->changes, bytes, sizeof bytes) > 0) {
            wait = QUIET;
        }
    }
}

void watch_close(Watch *watch)
{
    close(watch->changes);
    close(watch->signals);
}
