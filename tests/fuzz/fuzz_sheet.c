/* A CSV lab sheet: read, each row told of, filled and heated. Whatever the bytes, there is an answer or a message. */
#include <stdlib.h>
#include <string.h>

#include "edge/desk/water_answer.h"
#include "edge/import/csv.h"
#include "edge/import/sheet.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void one_row(const csv *t, size_t row)
{
    sheet_rec sheet = {0};
    for (size_t j = 0; j < t->columns && sheet.n < SHEET_CELLS; j++) {
        const char *cell = csv_at(t, row, j);
        if (!*cell || strlen(cell) >= STORE_CELL || strlen(t->header[j]) >= STORE_CELL) continue;
        strcpy(sheet.cells[sheet.n].column, t->header[j]);
        strcpy(sheet.cells[sheet.n++].cell, cell);
    }
    tufa_water_known known;
    trouble_note note = {0};
    text remarks = {0};
    if (sheet_known(&sheet, &known, &remarks, &note) != TUFA_OK) {
        if (!note.why[0] && !note.allowed[0]) abort(); /* a refusal without a reason */
    } else {
        tufa_water_filled f;
        tufa_water_brief b;
        if (tufa_water_fill(&known, &f).code == TUFA_OK &&
            tufa_water_brief_at(&f.middle, TUFA_CONSTANTS_2025, 333.15, &b).code == TUFA_OK && !(b.ccpp_mol_kgw == b.ccpp_mol_kgw))
            abort();
    }
    text_free(&remarks);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    csv t;
    trouble_note note = {0};
    if (!csv_parse((const char *)data, size, "sheet", &t, &note)) {
        if (!note.why[0]) abort();
        return 0;
    }
    for (size_t i = 0; i < t.rows && i < 4; i++) one_row(&t, i);
    csv_free(&t);
    return 0;
}
