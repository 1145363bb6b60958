/* Documents on paper: every row of documents.def is a command that writes one PDF. */
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "edge/cli/book_args.h"
#include "edge/paper/document.h"

enum { PATH_LONGEST = 4096 };

static const char *option(const void *ctx, const char *name, int i)
{
    for (int id = 0; id < OPTION_COUNT; id++)
        if (strcmp(cli_options[id].name, name) == 0) return cli_opt_at(ctx, (option_id)id, i);
    return NULL;
}

/* A blank form can be had before there is a book. */
static int open_any(cli *c, const document_row *row, bool named, desk *d)
{
    if (row->about != DOCUMENT_OF_ANY_HEATER || named || cli_opt(c, OPT_BOOK) || cli_book_exists(c)) return cli_open(c, false, d);
    *d = (desk){0};
    return cli_today(c, &d->today);
}

static int refuse(cli *c, tufa_code code, const char *path, const char *why)
{
    trouble_note note = {0};
    note_set(&note, code, "--out", path, "", why);
    return cli_fail(c, &note);
}

/* An older PDF gives way, and nothing else: a slip of the pen must not cost somebody his book. */
static bool may_replace(const char *path)
{
    struct stat st;
    char head[5] = "";
    if (stat(path, &st) != 0) return errno == ENOENT;
    if (!S_ISREG(st.st_mode)) return false;
    int fd = open(path, O_RDONLY);
    if (fd < 0) return false;
    ssize_t n = read(fd, head, sizeof head);
    close(fd);
    return st.st_size == 0 || (n == (ssize_t)sizeof head && memcmp(head, "%PDF-", sizeof head) == 0);
}

static bool write_all(int fd, const char *s, size_t n)
{
    while (n > 0) {
        ssize_t k = write(fd, s, n);
        if (k < 0 && errno == EINTR) continue;
        if (k <= 0) return false;
        s += k;
        n -= (size_t)k;
    }
    return true;
}

/* Beside its place first, then in it: there is never half a file. */
static int put_file(cli *c, const char *path, const text *pdf)
{
    char beside[PATH_LONGEST];
    if (!may_replace(path)) return refuse(c, TUFA_REFUSED, path, "something else is there already; nothing was replaced");
    int n = snprintf(beside, sizeof beside, "%s.new-%ld", path, (long)getpid());
    if (n < 0 || n >= PATH_LONGEST) return refuse(c, TUFA_IO, path, "the name is too long");
    int fd = open(beside, O_WRONLY | O_CREAT | O_EXCL, 0666);
    if (fd < 0) return refuse(c, TUFA_IO, path, errno == ENOENT || errno == ENOTDIR ? "the folder is not there" : "the file cannot be made here");
    bool whole = write_all(fd, text_str(pdf), pdf->len) && fsync(fd) == 0;
    whole = close(fd) == 0 && whole;
    if (whole && rename(beside, path) == 0) return 0;
    unlink(beside);
    return refuse(c, TUFA_IO, path, "the file could not be written; nothing is left of it");
}

static int put(cli *c, const document_file *f)
{
    const char *path = cli_opt(c, OPT_OUT);
    text said = {0};
    if (path && strcmp(path, "-") == 0) {
        bool ok = fwrite(text_str(&f->pdf), 1, f->pdf.len, c->out) == f->pdf.len && fflush(c->out) == 0;
        return ok ? 0 : refuse(c, TUFA_IO, "-", "the output could not be written");
    }
    if (!path) path = f->file;
    int code = put_file(c, path, &f->pdf);
    if (code) return code;
    text_addf(&said, "%s: %s, %d page%s of %s.\n", path, f->title, f->pages, f->pages == 1 ? "" : "s", f->size);
    if (f->remark[0]) text_addf(&said, "%s\n", f->remark);
    return cli_finish(c, &said, 0);
}

int cmd_paper(cli *c)
{
    const document_row *row = document_find(c->row->words);
    desk d;
    trouble_note note = {0};
    text name = {0}, near = {0};
    for (int i = 0; i < c->operands; i++) text_addf(&name, "%s%s", i ? " " : "", c->operand[i]);
    if (row->about == DOCUMENT_OF_HEATER && name.len == 0) {
        note_set(&note, TUFA_MISSING, "HEATER", "", "its label or number", "say which heater");
        return cli_fail(c, &note);
    }
    if (row->about == DOCUMENT_OF_BOOK && name.len > 0) {
        note_set(&note, TUFA_UNKNOWN, "word", text_str(&name), "", "this document is about the whole book and takes no name");
        text_free(&name);
        return cli_fail(c, &note);
    }
    int code = open_any(c, row, name.len > 0, &d);
    if (code == 0) {
        document_file f;
        document_ask ask = {.d = &d, .name = text_str(&name), .option = option, .ctx = c, .near = &near};
        if (document_make(row, &ask, &f, &note) == TUFA_OK) {
            code = put(c, &f);
            text_free(&f.pdf);
        } else {
            code = cli_fail(c, &note);
            text_print(&near, c->err);
        }
        if (d.s) desk_close(&d);
    }
    text_free(&near);
    text_free(&name);
    return code;
}
