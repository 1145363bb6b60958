#include "edge/web/passphrase.h"

#include <errno.h>
#include <fcntl.h>
#include <sodium.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "core/base/status.h"
#include "edge/web/site.h"

void passphrase_forget(char *s, size_t n) { sodium_memzero(s, n); }

void passphrase_path(const char *book, text *path) { text_addf(path, "%s.passphrase", book); }

/* Written whole under another name first, so that a full disk leaves the one before. */
static tufa_status write_hash(const char *path, const char *hash)
{
    text new_path = {0};
    text_addf(&new_path, "%s.new", path);
    unlink(text_str(&new_path));
    int fd = open(text_str(&new_path), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    size_t n = strlen(hash);
    bool whole = fd >= 0 && write(fd, hash, n) == (ssize_t)n && write(fd, "\n", 1) == 1 && fsync(fd) == 0;
    if (fd >= 0) whole = close(fd) == 0 && whole;
    whole = whole && rename(text_str(&new_path), path) == 0;
    if (!whole) unlink(text_str(&new_path));
    text_free(&new_path);
    return whole ? OK : trouble(TUFA_IO, "passphrase", "it cannot be kept beside the book; may the folder be written?");
}

tufa_status passphrase_set(const char *book, const char *passphrase)
{
    char hash[PASSPHRASE_HASH];
    text path = {0};
    RETURN_IF(site_hash_passphrase(passphrase, hash));
    passphrase_path(book, &path);
    tufa_status st = write_hash(text_str(&path), hash);
    text_free(&path);
    return st;
}

tufa_status passphrase_hash_of(const char *book, char hash[PASSPHRASE_HASH])
{
    text path = {0};
    passphrase_path(book, &path);
    FILE *f = fopen(text_str(&path), "r");
    text_free(&path);
    if (!f) return trouble(errno == ENOENT ? TUFA_MISSING : TUFA_IO, "passphrase", "none is set; `tufa desk passphrase` sets one");
    bool read = fgets(hash, PASSPHRASE_HASH, f) != NULL;
    fclose(f);
    if (!read) return trouble(TUFA_IO, "passphrase", "its file cannot be read; set it anew with `tufa desk passphrase`");
    hash[strcspn(hash, "\n")] = 0;
    return OK;
}
