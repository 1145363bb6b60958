#include "edge/store/place.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "core/base/status.h"

static tufa_status errno_trouble(void)
{
    const char *why = "the file cannot be made here";
    switch (errno) {
    case EEXIST: why = "there is something here already; nothing was replaced"; break;
    case ENOENT: case ENOTDIR: why = "the folder is not there"; break;
    case EACCES: case EPERM: case EROFS: why = "the folder may not be written"; break;
    case ENOSPC: case EDQUOT: case EFBIG: why = "the disk is full"; break;
    case ENAMETOOLONG: why = "the name is too long"; break;
    default: break;
    }
    return trouble(errno == EEXIST ? TUFA_REFUSED : TUFA_STORE, "book", why);
}

tufa_status place_claim(const char *path, char beside[PLACE_LONGEST])
{
    struct stat there;
    if (lstat(path, &there) == 0) {
        errno = EEXIST;
        return errno_trouble();
    }
    for (int i = 0; i < 100; i++) { /* a name left by a program that was killed is passed over */
        int n = snprintf(beside, PLACE_LONGEST, "%s.new-%ld-%d", path, (long)getpid(), i);
        if (n < 0 || n >= PLACE_LONGEST) {
            errno = ENAMETOOLONG;
            return errno_trouble();
        }
        int fd = open(beside, O_RDWR | O_CREAT | O_EXCL, 0666);
        if (fd >= 0) {
            close(fd);
            return OK;
        }
        if (errno != EEXIST) break;
    }
    return errno_trouble();
}

static void sync_path(const char *path)
{
    int fd = open(path, O_RDONLY);
    if (fd < 0) return;
    fsync(fd);
    close(fd);
}

static void folder_of(const char *path, char folder[PLACE_LONGEST])
{
    snprintf(folder, PLACE_LONGEST, "%s", path);
    char *slash = strrchr(folder, '/');
    if (slash) slash[slash == folder ? 1 : 0] = 0;
    else snprintf(folder, PLACE_LONGEST, ".");
}

static void sync_folder_of(const char *path)
{
    char folder[PLACE_LONGEST];
    folder_of(path, folder);
    sync_path(folder);
}

bool place_may_be_written(const char *path)
{
    char folder[PLACE_LONGEST];
    folder_of(path, folder);
    return access(folder, W_OK) == 0;
}

static void remove_with(const char *path, const char *suffix)
{
    char name[PLACE_LONGEST + 8];
    snprintf(name, sizeof name, "%s%s", path, suffix);
    unlink(name);
}

/* A link never replaces anything; file systems without links get a look and a rename. */
static bool put_in_place(const char *beside, const char *path)
{
    struct stat there;
    if (link(beside, path) == 0) return true;
    if (errno != EPERM && errno != EOPNOTSUPP && errno != ENOSYS) return false;
    if (lstat(path, &there) == 0) {
        errno = EEXIST;
        return false;
    }
    return rename(beside, path) == 0;
}

tufa_status place_settle(tufa_status st, const char *beside, const char *path)
{
    if (st.code == TUFA_OK) {
        sync_path(beside);
        if (!put_in_place(beside, path)) st = errno_trouble();
    }
    static const char *const SUFFIXES[] = {"", "-wal", "-shm", "-journal"};
    for (size_t i = 0; i < sizeof SUFFIXES / sizeof SUFFIXES[0]; i++) remove_with(beside, SUFFIXES[i]);
    if (st.code == TUFA_OK) sync_folder_of(path);
    return st;
}

bool place_has_open_changes(const char *path)
{
    char log[PLACE_LONGEST];
    struct stat st;
    int n = snprintf(log, sizeof log, "%s-wal", path);
    return n > 0 && n < PLACE_LONGEST && stat(log, &st) == 0 && st.st_size > 0;
}
