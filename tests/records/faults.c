/* Stands between a program and the C library: at the N-th call that changes something below a folder the program is
   killed, or the call fails as on a full or a failing disk. Put there with LD_PRELOAD by tests/records/faults.py. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

enum { KILL = -1, KILL_IN_THE_MIDDLE = -2 };

static char folder[4096];
static long due_at, seen;
static int action;

void fault_arm(const char *below, long number, int what) {
    snprintf(folder, sizeof folder, "%s", below);
    due_at = number;
    seen = 0;
    action = what;
}

long fault_seen(void) { return seen; }

static int of_interest(const char *path) {
    return due_at > 0 && path != NULL && strncmp(path, folder, strlen(folder)) == 0;
}

static int file_of_interest(int file) {
    char link[64], path[4096];
    ssize_t length;
    if (due_at <= 0) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    length = readlink(link, path, sizeof path - 1);
    if (length < 0) return 0;
    path[length] = '\0';
    return of_interest(path);
}

/* Whether this call fails. A disk that is full stays so for all that needs room; an error of the disk comes once. */
static int fails(int interesting, int needs_room) {
    if (!interesting) return 0;
    seen++;
    if (seen == due_at && action == KILL) kill(getpid(), SIGKILL);
    if (action <= 0) return 0;
    if (action == ENOSPC ? (seen >= due_at && needs_room) : seen == due_at) {
        errno = action;
        return 1;
    }
    return 0;
}

static int in_the_middle(void) { return due_at > 0 && seen == due_at && action == KILL_IN_THE_MIDDLE; }

#define NEXT(name) __typeof__(&name) next = (__typeof__(&name))dlsym(RTLD_NEXT, #name)

ssize_t write(int file, const void *bytes, size_t count) {
    NEXT(write);
    if (fails(file_of_interest(file), 1)) return -1;
    if (in_the_middle()) {
        next(file, bytes, count / 2);
        kill(getpid(), SIGKILL);
    }
    return next(file, bytes, count);
}

ssize_t pwrite64(int file, const void *bytes, size_t count, off64_t at) {
    NEXT(pwrite64);
    if (fails(file_of_interest(file), 1)) return -1;
    if (in_the_middle()) {
        next(file, bytes, count / 2, at);
        kill(getpid(), SIGKILL);
    }
    return next(file, bytes, count, at);
}

ssize_t pwrite(int file, const void *bytes, size_t count, off_t at) { return pwrite64(file, bytes, count, at); }

int fsync(int file) {
    NEXT(fsync);
    return fails(file_of_interest(file), 0) ? -1 : next(file);
}

int fdatasync(int file) {
    NEXT(fdatasync);
    return fails(file_of_interest(file), 0) ? -1 : next(file);
}

int ftruncate64(int file, off64_t size) {
    NEXT(ftruncate64);
    return fails(file_of_interest(file), 1) ? -1 : next(file, size);
}

int ftruncate(int file, off_t size) { return ftruncate64(file, size); }

int rename(const char *from, const char *to) {
    NEXT(rename);
    return fails(of_interest(to), 0) ? -1 : next(from, to);
}

int link(const char *from, const char *to) {
    NEXT(link);
    return fails(of_interest(to), 1) ? -1 : next(from, to);
}

int linkat(int from_folder, const char *from, int to_folder, const char *to, int flags) {
    NEXT(linkat);
    return fails(of_interest(to), 1) ? -1 : next(from_folder, from, to_folder, to, flags);
}

int unlink(const char *path) {
    NEXT(unlink);
    return fails(of_interest(path), 0) ? -1 : next(path);
}

int mkdir(const char *path, mode_t mode) {
    NEXT(mkdir);
    return fails(of_interest(path), 1) ? -1 : next(path, mode);
}

int rmdir(const char *path) {
    NEXT(rmdir);
    return fails(of_interest(path), 0) ? -1 : next(path);
}

int unlinkat(int in_folder, const char *path, int flags) {
    NEXT(unlinkat);
    int interesting = path[0] == '/' ? of_interest(path) : file_of_interest(in_folder);
    return fails(interesting, 0) ? -1 : next(in_folder, path, flags);
}

int chmod(const char *path, mode_t mode) {
    NEXT(chmod);
    return fails(of_interest(path), 0) ? -1 : next(path, mode);
}

int open64(const char *path, int flags, ...) {
    NEXT(open64);
    va_list more;
    mode_t mode;
    va_start(more, flags);
    mode = va_arg(more, mode_t);
    va_end(more);
    if ((flags & O_CREAT) && access(path, F_OK) != 0 && fails(of_interest(path), 1)) return -1;
    return next(path, flags, mode);
}

int open(const char *path, int flags, ...) {
    va_list more;
    mode_t mode;
    va_start(more, flags);
    mode = va_arg(more, mode_t);
    va_end(more);
    return open64(path, flags, mode);
}
