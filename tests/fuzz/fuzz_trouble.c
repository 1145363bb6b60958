/* Whatever a person typed is quoted in a message without harm. */
#include <stdlib.h>
#include <string.h>

#include "edge/say/trouble.h"

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    char *s = malloc(size + 1);
    if (!s) return 0;
    memcpy(s, data, size);
    s[size] = 0;
    trouble_note n = {0};
    note_set(&n, TUFA_PARSE, s, s, s, s);
    text t = {0};
    say_trouble(&t, &n);
    const char *const names[] = {"setpoint", "volume", "anode"};
    nearest_name(s, names, 3);
    text_add_wrapped(&t, s, 40, 4);
    text_free(&t);
    free(s);
    return 0;
}
