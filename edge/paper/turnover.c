/* The sheet between two households. */
#include "edge/paper/sheet.h"

tufa_code document_turnover(const document_ask *ask, paper *p, trouble_note *note)
{
    ahead_answer a;
    tufa_code code = desk_ahead(ask->d, ask->name, &a, ask->near, note);
    if (code != TUFA_OK) return code;
    paper_type(p, 10.5, 9.0);
    code = sheet_of_visit(ask, p, &a, "turnover", NULL, note);
    ahead_free(&a);
    return code;
}
