/* The passphrase of a desk that others may reach: its Argon2id hash lies beside the book, so that a copy of the book does
 * not carry it. */
#ifndef EDGE_WEB_PASSPHRASE_H
#define EDGE_WEB_PASSPHRASE_H

#include "edge/say/text.h"
#include "tufa/base.h"

enum { PASSPHRASE_HASH = 128 };

void passphrase_path(const char *book, text *path); /* "house.book.passphrase" */
/* Replaces the one before; the file is for its owner alone. RANGE when it is too short. */
TUFA_MUST_CHECK tufa_status passphrase_set(const char *book, const char *passphrase);
/* MISSING when none was set. */
TUFA_MUST_CHECK tufa_status passphrase_hash_of(const char *book, char hash[PASSPHRASE_HASH]);
/* Overwrites what was typed. */
void passphrase_forget(char *s, size_t n);

#endif
