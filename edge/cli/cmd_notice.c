/* tufa notice text: the owner's own words. */
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/desk/notice.h"

static bool read_all(FILE *f, text *t)
{
    char piece[4096];
    size_t n;
    while ((n = fread(piece, 1, sizeof piece, f)) > 0 && t->len <= NOTICE_LONGEST) text_addn(t, piece, n);
    return !ferror(f) && !t->failed;
}

static int fail(cli *c, tufa_code code, const char *value, const char *allowed, const char *why)
{
    trouble_note note = {0};
    note_set(&note, code, "FILE", value, allowed, why);
    return cli_fail(c, &note);
}

/* 0 with the words of FILE, or an exit code. */
static int words_of(cli *c, text *words)
{
    const char *path = c->operand[0];
    FILE *f = strcmp(path, "-") == 0 ? c->in : fopen(path, "rb");
    if (!f) return fail(c, TUFA_IO, path, "", "the file cannot be opened");
    bool ok = read_all(f, words);
    if (f != c->in) fclose(f);
    if (!ok) return fail(c, TUFA_IO, path, "", "the file cannot be read");
    if (memchr(text_str(words), 0, words->len)) return fail(c, TUFA_PARSE, path, "a text", "this is no text");
    return 0;
}

static int show(cli *c, desk *d)
{
    notice_text n;
    text t = {0};
    tufa_status st = desk_notice_text(d, &n);
    if (st.code != TUFA_OK) return cli_fail_status(c, st);
    text_addf(&t, "%s\n\n", text_str(&n.words));
    text_free(&n.words);
    if (n.own) {
        text_addf(&t, "Your own text (%s, ", n.source);
        say_day(&t, n.day);
        text_add(&t, "); `tufa notice text --usual` goes back to the usual one.\n");
    } else {
        text_add(&t, "This is the usual text. Print it into a file, change it, and `tufa notice text FILE` keeps yours.\n");
    }
    text_add(&t, "Filled in:\n");
    for (size_t i = 0; notice_place_at(i); i++) {
        text_addf(&t, "  {%s}", notice_place_at(i)->name);
        text_pad_to(&t, 14);
        text_addf(&t, "%s\n", notice_place_at(i)->what);
    }
    return cli_finish(c, &t, 0);
}

static int keep(cli *c, desk *d, const char *words)
{
    trouble_note note = {0};
    text t = {0};
    if (desk_notice_keep(d, words, "entered", &note) != TUFA_OK) return cli_fail(c, &note);
    text_add(&t, words[0] ? "Kept as the text of your notices; the one before stays in the book.\n" : "Notices have the usual text again; yours stays in the book.\n");
    return cli_finish(c, &t, 0);
}

int cmd_notice_text(cli *c)
{
    desk d;
    text words = {0};
    bool usual = cli_opt(c, OPT_USUAL) != NULL, given = c->operands > 0;
    if (usual && given) return fail(c, TUFA_CONFLICT, c->operand[0], "", "either a file or --usual");
    if (c->operands > 1) return fail(c, TUFA_UNKNOWN, c->operand[1], "one file", "there is one word too many");
    int code = given ? words_of(c, &words) : 0;
    if (code == 0) code = cli_open(c, usual || given, &d);
    if (code == 0) {
        bool empty = strspn(text_str(&words), " \t\r\n") == words.len;
        if (given && empty) code = fail(c, TUFA_MISSING, c->operand[0], "", "the file is empty; --usual goes back to the usual text");
        else code = usual || given ? keep(c, &d, text_str(&words)) : show(c, &d);
        desk_close(&d);
    }
    text_free(&words);
    return code;
}
