/* A failing disk and a recording disk, put between a program and the C library with LD_PRELOAD.
 *
 * Only files below the folder given to fault_watch() are touched. fault_arm() makes the k-th call of a sort fail,
 * once or from then on; fault_record() writes every change of a watched file to a log, from which a test works out
 * what a power cut could have left (only what was synced is sure to be there).
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

enum { WRITES = 0, SYNCS = 1, UNLINKS = 2 };

static char watched[PATH_MAX];
static int armed_sort = -1, armed_errno, armed_for_good, fired, log_fd = -1;
static long armed_at, seen;

void fault_watch(const char *folder) { snprintf(watched, sizeof watched, "%s", folder); }
void fault_arm(int sort, long at, int for_good, int number) {
    armed_sort = sort; armed_at = at; armed_for_good = for_good; armed_errno = number; seen = 0; fired = 0;
}
int fault_disarm(void) { armed_sort = -1; return fired; }

static ssize_t plain_write(int fd, const void *data, size_t n) {
    ssize_t (*next)(int, const void *, size_t) = dlsym(RTLD_NEXT, "write");
    return next(fd, data, n);
}
void fault_record(int fd) { log_fd = fd; }

static int is_watched(const char *path) { return watched[0] && strncmp(path, watched, strlen(watched)) == 0; }

static int path_of(int fd, char *path) {
    char link[64];
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = readlink(link, path, PATH_MAX - 1);
    if (n < 0) return 0;
    path[n] = 0;
    return is_watched(path);
}

/* Whether this call is the one to fail. */
static int fails(int sort) {
    if (armed_sort != sort) return 0;
    seen++;
    if (seen == armed_at || (armed_for_good && seen > armed_at)) { fired = 1; errno = armed_errno; return 1; }
    return 0;
}

/* One record: sort, path length, path, number, data length, data. */
static void record(char sort, const char *path, int64_t number, const void *data, uint32_t length) {
    if (log_fd < 0) return;
    uint32_t path_length = strlen(path);
    plain_write(log_fd, &sort, 1);
    plain_write(log_fd, &path_length, 4);
    plain_write(log_fd, path, path_length);
    plain_write(log_fd, &number, 8);
    plain_write(log_fd, &length, 4);
    if (length) plain_write(log_fd, data, length);
}
void fault_mark(int64_t number) { record('M', "", number, NULL, 0); }

#define NEXT(name, ...) \
    static name##_t next; \
    if (!next) next = (name##_t)dlsym(RTLD_NEXT, #name);

typedef ssize_t (*write_t)(int, const void *, size_t);
ssize_t write(int fd, const void *data, size_t n) {
    NEXT(write)
    char path[PATH_MAX];
    if (fd > 2 && fd != log_fd && path_of(fd, path)) {
        if (fails(WRITES)) return -1;
        off_t at = lseek(fd, 0, SEEK_CUR);
        ssize_t done = next(fd, data, n);
        if (done > 0) record('W', path, at, data, done);
        return done;
    }
    return next(fd, data, n);
}

#define POSITIONED(name, off_type) \
    typedef ssize_t (*name##_t)(int, const void *, size_t, off_type); \
    ssize_t name(int fd, const void *data, size_t n, off_type at) { \
        NEXT(name) \
        char path[PATH_MAX]; \
        if (!path_of(fd, path)) return next(fd, data, n, at); \
        if (fails(WRITES)) return -1; \
        ssize_t done = next(fd, data, n, at); \
        if (done > 0) record('W', path, at, data, done); \
        return done; \
    }
POSITIONED(pwrite, off_t)
POSITIONED(pwrite64, off64_t)

#define SYNCING(name) \
    typedef int (*name##_t)(int); \
    int name(int fd) { \
        NEXT(name) \
        char path[PATH_MAX]; \
        if (!path_of(fd, path)) return next(fd); \
        if (fails(SYNCS)) return -1; \
        record('S', path, 0, NULL, 0); \
        return log_fd >= 0 ? 0 : next(fd); \
    }
SYNCING(fsync)
SYNCING(fdatasync)

#define CUTTING(name, off_type) \
    typedef int (*name##_t)(int, off_type); \
    int name(int fd, off_type length) { \
        NEXT(name) \
        char path[PATH_MAX]; \
        if (!path_of(fd, path)) return next(fd, length); \
        if (fails(WRITES)) return -1; \
        record('T', path, length, NULL, 0); \
        return next(fd, length); \
    }
CUTTING(ftruncate, off_t)
CUTTING(ftruncate64, off64_t)

typedef int (*unlink_t)(const char *);
int unlink(const char *path) {
    NEXT(unlink)
    if (is_watched(path)) {
        if (fails(UNLINKS)) return -1;
        int done = next(path);
        if (done == 0) record('U', path, 0, NULL, 0);
        return done;
    }
    return next(path);
}

/* A new name for a file: the second path travels as data. */
#define NAMING(name, sort) \
    typedef int (*name##_t)(const char *, const char *); \
    int name(const char *from, const char *to) { \
        NEXT(name) \
        int done = next(from, to); \
        if (done == 0 && is_watched(to)) record(sort, from, 0, to, strlen(to)); \
        return done; \
    }
NAMING(rename, 'R')
NAMING(link, 'L')

#define OPENING(name) \
    typedef int (*name##_t)(const char *, int, ...); \
    int name(const char *path, int flags, ...) { \
        NEXT(name) \
        va_list rest; \
        va_start(rest, flags); \
        int mode = va_arg(rest, int); \
        va_end(rest); \
        int new_file = (flags & O_CREAT) && is_watched(path) && access(path, F_OK) != 0; \
        int fd = next(path, flags, mode); \
        if (fd >= 0 && new_file) record('C', path, 0, NULL, 0); \
        return fd; \
    }
OPENING(open)
OPENING(open64)
