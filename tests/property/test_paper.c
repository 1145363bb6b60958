/* Branches printed for a call lead where the call itself would lead; a document is whole or not at all. */
#include "tests/check.h"

#include <string.h>

#include "edge/desk/branches.h"
#include "edge/paper/document.h"
#include "edge/paper/parts.h"

/* A call about a sound-looking heater of the usual size, with one complaint. */
static void call_about(desk_finder *f, call_view *v, tufa_tank_fuel fuel, const char *complaint)
{
    *v = (call_view){.plate = tufa_fault_heater_default(fuel)};
    int i = tufa_fault_complaint_find(complaint);
    CHECK_TRUE(i >= 0, 0);
    v->call.complaint[i] = 1;
    CHECK_OK(desk_fault(f, &v->plate, &v->call, &v->answer), 0);
}

static bool within(const tufa_outcome *o, const tufa_reading *r)
{
    return o->category >= 0 ? r->category == o->category : r->category < 0 && r->value >= o->lo && r->value <= o->hi;
}

static void check_branches(desk_finder *f, call_view *v, uint64_t at)
{
    branch b[BRANCHES_MOST];
    int n = 0;
    CHECK_OK(desk_branches(f, v, b, &n), at);
    tufa_call call = v->call;
    int test = v->answer.next.test;
    CHECK_TRUE((n > 0) == (test >= 0), at);
    for (int k = 0; k < n; k++) {
        CHECK_TRUE(b[k].next.test == test, at);
        for (int o = 0; o < b[k].next.outcomes; o++) {
            tufa_call told = call;
            tufa_fault_answer after;
            CHECK_TRUE(within(&b[k].next.outcome[o], &b[k].end[o].read), at);
            CHECK_OK(tufa_fault_reading_check(&v->plate, &b[k].end[o].read), at);
            told.reading[told.readings++] = b[k].end[o].read;
            CHECK_OK(desk_fault(f, &v->plate, &told, &after), at);
            CHECK_TRUE(after.next.test == b[k].end[o].test, at);
            if (after.faults) CHECK_TRUE(after.odds[0].fault == b[k].end[o].likely.fault, at);
            CHECK_TRUE((after.stop.id != NULL) == (b[k].end[o].stop.id != NULL), at);
        }
        if (b[k].onward < 0) {
            CHECK_TRUE(k == n - 1, at);
            break;
        }
        test = b[k].end[b[k].onward].test;
        call.reading[call.readings++] = b[k].end[b[k].onward].read;
    }
}

static void each_branch_leads_where_the_call_would_lead(void **state)
{
    static const struct {
        tufa_tank_fuel fuel;
        const char *complaint;
    } CALLS[] = {{TUFA_TANK_ELECTRIC, "no_hot"}, {TUFA_TANK_ELECTRIC, "runs_out"}, {TUFA_TANK_ELECTRIC, "trips"}, {TUFA_TANK_GAS, "runs_out"}, {TUFA_TANK_GAS, "no_hot"}};
    (void)state;
    desk_finder f = {0};
    call_view *v = malloc(sizeof *v);
    CHECK_TRUE(v != NULL, 0);
    for (uint64_t i = 0; i < sizeof CALLS / sizeof CALLS[0]; i++) {
        call_about(&f, v, CALLS[i].fuel, CALLS[i].complaint);
        check_branches(&f, v, i);
    }
    desk_finder_free(&f);
    free(v);
}

static void a_stop_that_is_the_whole_answer_has_no_branches(void **state)
{
    (void)state;
    desk_finder f = {0};
    branch b[BRANCHES_MOST];
    int n = -1;
    call_view *v = malloc(sizeof *v);
    CHECK_TRUE(v != NULL, 0);
    call_about(&f, v, TUFA_TANK_GAS, "gas_smell");
    CHECK_TRUE(v->answer.stop.silent, 0);
    CHECK_OK(desk_branches(&f, v, b, &n), 0);
    CHECK_TRUE(n == 0, 0);
    desk_finder_free(&f);
    free(v);
}

static void no_sentence_of_the_tables_keeps_an_id(void **state)
{
    (void)state;
    for (size_t i = 0; i < tufa_fault_repair_count(); i++) {
        const tufa_repair *r = tufa_fault_repair_at(i);
        text t = {0};
        say_without_ids(&t, r->verify);
        text_add(&t, " ");
        say_without_ids(&t, r->steps);
        for (size_t k = 0; k < tufa_fault_test_count(); k++) {
            const char *id = tufa_fault_test_at(k)->id;
            if (strchr(id, '_')) CHECK_TRUE(strstr(text_str(&t), id) == NULL, i);
        }
        text_free(&t);
    }
    text t = {0};
    say_without_ids(&t, "under 5 (meter_rest_W), dial_C stays, a_b (c) d_");
    CHECK_TRUE(strncmp(text_str(&t), "under 5, ", 9) == 0, 0);
    CHECK_TRUE(strstr(text_str(&t), "stays, a_b (c) d_") != NULL, 0);
    text_free(&t);
}

static void every_document_has_its_words(void **state)
{
    (void)state;
    const document_row *row;
    const document_option_row *o;
    for (size_t i = 0; (row = document_at(i)) != NULL; i++) {
        CHECK_TRUE(row->word[0] && row->title[0] && row->what[0] && row->make, i);
        CHECK_TRUE(document_find(row->word) == row, i);
        size_t asked = 0, known = 0;
        for (const char *s = row->asks; *s; s += strcspn(s, " "), s += strspn(s, " ")) asked++;
        for (size_t k = 0; (o = document_option_at(k)) != NULL; k++) known += document_asks(row, o->name);
        CHECK_TRUE(asked == known, i); /* what it asks for has a label on the page */
    }
    CHECK_TRUE(document_find("no such paper") == NULL, 0);
}

/* Without a book a blank form comes all the same; what needs a book says so and writes nothing. */
static void a_blank_card_needs_no_book(void **state)
{
    (void)state;
    desk none = {.today = 20783};
    document_ask ask = {.d = &none, .name = ""};
    document_file f, again;
    trouble_note note = {0};
    CHECK_TRUE(document_make(document_find("card"), &ask, &f, &note) == TUFA_OK, 0);
    CHECK_TRUE(f.pages == 1 && f.pdf.len > 1000 && memcmp(f.pdf.s, "%PDF-", 5) == 0, 0);
    CHECK_TRUE(document_make(document_find("card"), &ask, &again, &note) == TUFA_OK, 0);
    CHECK_TRUE(f.pdf.len == again.pdf.len && memcmp(f.pdf.s, again.pdf.s, f.pdf.len) == 0, 0);
    text_free(&f.pdf);
    text_free(&again.pdf);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_branch_leads_where_the_call_would_lead), cmocka_unit_test(a_stop_that_is_the_whole_answer_has_no_branches),
        cmocka_unit_test(no_sentence_of_the_tables_keeps_an_id), cmocka_unit_test(every_document_has_its_words),
        cmocka_unit_test(a_blank_card_needs_no_book)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
