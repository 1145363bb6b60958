/* Cases of `tufa clean` and `tufa prove`, and words of a relation, from any bytes. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "edge/desk/clean_desk.h"
#include "edge/import/clean_case.h"
#include "edge/import/proof_case.h"

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

static void relation(const unsigned char *data, size_t size)
{
    char *word = malloc(size + 1);
    if (!word || size == 0) {
        free(word);
        return;
    }
    const char *words[1] = {word};
    memcpy(word, data, size);
    word[size] = 0;
    text out = {0};
    trouble_note note = {0};
    (void)!desk_clean_relation(tufa_relation_at(data[0] % tufa_relation_count())->name, words, 1, &out, &note);
    text_free(&out);
    free(word);
}

static void one(json_case *c)
{
    clean_case given;
    proof_case proof;
    tufa_clean_answer answer;
    tufa_proof proved;
    if (clean_case_read(c, NULL, &given)) (void)!desk_clean(&given.tank, 3, 1, &answer).code;
    *c->note = (trouble_note){0};
    if (!proof_case_read(c, &proof)) return;
    tufa_arena scratch = {.size = tufa_clean_prove_bytes()};
    scratch.base = malloc(scratch.size);
    if (scratch.base) (void)!tufa_clean_prove(&proof.in, &scratch, &proved).code;
    free(scratch.base);
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    relation(data, size);
    FILE *f = size ? fmemopen((void *)(size_t)data, size, "rb") : NULL;
    if (!f) return 0;
    json_cases cases;
    json_case c;
    trouble_note note;
    json_cases_open(&cases, f, "fuzz");
    for (int i = 0; i < 8; i++) {
        json_case_result r = json_cases_next(&cases, &c, &note);
        if (r == JSON_CASE_GIVEN) one(&c);
        if (r == JSON_CASE_END || r == JSON_CASE_BROKEN) break;
    }
    json_cases_close(&cases);
    fclose(f);
    return 0;
}
