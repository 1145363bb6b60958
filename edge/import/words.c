#include "edge/import/words.h"

#include <ctype.h>
#include <string.h>

static const struct {
    const char *sign, *plain;
} SIGNS[] = {
    {"\xE2\x80\x93", "-"}, {"\xE2\x80\x94", "-"}, {"\xE2\x88\x92", "-"}, {"\xC2\xB1", "+-"},      {"\xE2\x89\x88", "~"},
    {"\xE2\x80\x99", "'"}, {"\xC2\xA0", " "},     {"\xC2\xBD", " 1/2"},  {"\xC2\xBC", " 1/4"},    {"\xC2\xBE", " 3/4"},
    {"\xE2\x80\xA6", ".."}, {"\t", " "},          {"\n", " "},           {"\r", " "},
};

static const char *plain_sign(const char *s, size_t *used)
{
    for (size_t i = 0; i < sizeof SIGNS / sizeof SIGNS[0]; i++) {
        *used = strlen(SIGNS[i].sign);
        if (strncmp(s, SIGNS[i].sign, *used) == 0) return SIGNS[i].plain;
    }
    *used = 1;
    return NULL;
}

bool words_plain(const char *s, char out[WORDS_LONGEST + 1])
{
    size_t n = 0, used;
    for (; *s; s += used) {
        const char one[] = {(char)tolower((unsigned char)*s), 0}, *plain = plain_sign(s, &used);
        for (const char *p = plain ? plain : one; *p; p++) {
            if (*p == ' ' && (n == 0 || out[n - 1] == ' ')) continue;
            if (n == WORDS_LONGEST) return false;
            out[n++] = *p;
        }
    }
    while (n && out[n - 1] == ' ') n--;
    out[n] = 0;
    return true;
}

void words_trimmed(const char *s, size_t n, char out[WORDS_LONGEST + 1])
{
    while (n && *s == ' ') s++, n--;
    while (n && s[n - 1] == ' ') n--;
    if (n > WORDS_LONGEST) n = WORDS_LONGEST;
    memmove(out, s, n);
    out[n] = 0;
}

bool words_unknown(const char *plain)
{
    static const char *const WORDS[] = {"",        "?",         "??",       "???",       "-",        "--",      "n/a",     "na",
                                        "unknown", "not known", "unsure",   "not sure",  "no idea",  "idk",     "dunno",   "don't know",
                                        "dont know", "do not know", "i don't know", "i dont know", "i do not know"};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        if (strcmp(plain, WORDS[i]) == 0) return true;
    return false;
}

static const struct {
    const char *words;
    words_mood mood;
} BEFORE[] = {
    {"between ", WORDS_BETWEEN}, {"from ", WORDS_PLAIN},       {"about ", WORDS_ABOUT},     {"around ", WORDS_ABOUT},
    {"roughly ", WORDS_ABOUT},   {"approximately ", WORDS_ABOUT}, {"approx. ", WORDS_ABOUT}, {"approx ", WORDS_ABOUT},
    {"circa ", WORDS_ABOUT},     {"ca. ", WORDS_ABOUT},        {"ca ", WORDS_ABOUT},        {"some ", WORDS_ABOUT},
    {"maybe ", WORDS_ABOUT},     {"~", WORDS_ABOUT},           {">=", WORDS_OVER},          {">", WORDS_OVER},
    {"over ", WORDS_OVER},       {"more than ", WORDS_OVER},   {"at least ", WORDS_OVER},   {"above ", WORDS_OVER},
    {"<=", WORDS_UNDER},         {"<", WORDS_UNDER},           {"under ", WORDS_UNDER},     {"less than ", WORDS_UNDER},
    {"at most ", WORDS_UNDER},   {"below ", WORDS_UNDER},      {"up to ", WORDS_UNDER},
}, BEHIND[] = {
    {"ish", WORDS_ABOUT}, {" or so", WORDS_ABOUT}, {" or thereabouts", WORDS_ABOUT}, {" roughly", WORDS_ABOUT}, {" approx", WORDS_ABOUT},
};

words_mood words_take_mood(char plain[WORDS_LONGEST + 1])
{
    size_t n = strlen(plain);
    for (size_t i = 0; i < sizeof BEFORE / sizeof BEFORE[0]; i++) {
        size_t len = strlen(BEFORE[i].words);
        if (strncmp(plain, BEFORE[i].words, len) != 0) continue;
        words_trimmed(plain + len, n - len, plain);
        words_mood inner = WORDS_PLAIN; /* "about between 8 and 12" */
        if (BEFORE[i].mood == WORDS_ABOUT && strncmp(plain, "between ", 8) == 0) {
            words_trimmed(plain + 8, strlen(plain + 8), plain);
            inner = WORDS_BETWEEN;
        }
        return inner ? inner : BEFORE[i].mood;
    }
    for (size_t i = 0; i < sizeof BEHIND / sizeof BEHIND[0]; i++) {
        size_t len = strlen(BEHIND[i].words);
        if (n <= len || strcmp(plain + n - len, BEHIND[i].words) != 0) continue;
        words_trimmed(plain, n - len, plain);
        return BEHIND[i].mood;
    }
    return WORDS_PLAIN;
}
