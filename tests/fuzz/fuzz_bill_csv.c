/* Whatever is given as bills, daily temperatures or interval readings in CSV is read or refused; what is read goes through the
 * whole answer, words and JSON. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "edge/desk/bill_words.h"

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

static void ask(FILE *f, FILE *temps)
{
    bill_home home = {0};
    bill_ask how = {.home = &home, .temps = temps, .temps_name = "temps"};
    bill_answer a;
    trouble_note note = {0};
    if (!desk_bill(f, "input", &how, &a, &note)) return;
    text t = {0};
    say_bill(&t, &a, &home);
    json_decref(bill_json(&a, &home));
    text_free(&t);
    bill_free(&a);
}

/* The input is a table, or two of them divided by a line with a single dot: bills, then temperatures. */
int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    char *s = malloc(size + 1);
    if (!s || size == 0) {
        free(s);
        return 0;
    }
    memcpy(s, data, size);
    s[size] = 0;
    char *cut = strstr(s, "\n.\n");
    size_t first = cut ? (size_t)(cut - s) + 1 : size, second = cut ? size - first - 2 : 0;
    FILE *f = fmemopen(s, first, "rb"), *temps = second ? fmemopen(s + first + 2, second, "rb") : NULL;
    if (f) ask(f, temps);
    if (f) fclose(f);
    if (temps) fclose(temps);
    free(s);
    return 0;
}
