/* What pages are made of: every explanation names things that are there, a search finds what fits and nothing else, what is
 * kept comes back whole and only for its state of the book, and nothing that was typed becomes markup. */
#include "edge/desk/clean_desk.h"
#include "edge/desk/drawings.h"
#include "edge/desk/explain.h"
#include "edge/desk/roll.h"
#include "edge/desk/row.h"
#include "edge/web/html.h"
#include "edge/web/keep.h"
#include "edge/web/passphrase.h"
#include "tests/check.h"
#include "tests/folder.h"

#include <string.h>

enum { TODAY = 20782 }; /* 2026-11-25 */

static void new_book(desk *d)
{
    store *s;
    assert_int_equal(store_create(path, &s).code, TUFA_OK);
    store_close(s);
    assert_int_equal(desk_open(path, true, TODAY, d).code, TUFA_OK);
}

static void put_heater(desk *d, const char *house, const char *fuel, const char *place)
{
    trouble_note note = {0};
    row_cell cells[] = {{"house", house}, {"fuel", fuel}, {"installed", "2014"}, {"place", place}};
    assert_int_equal(desk_row_take(d, "heaters", cells, sizeof cells / sizeof cells[0], "a test", &note), TUFA_OK);
}

static void every_explanation_names_what_is_there(void **state)
{
    (void)state;
    desk d;
    new_book(&d);
    for (size_t i = 0; explain_at(i); i++) {
        const explain_row *r = explain_at(i);
        explain_input in[EXPLAIN_INPUTS];
        size_t n = 0, sources = 0;
        assert_ptr_equal(explain_find(r->key), r);
        assert_int_equal(explain_inputs(&d, r, NULL, in, &n).code, TUFA_OK);
        assert_true(n > 0);
        const char *at = r->sources, *word;
        for (size_t len; (len = explain_word(&at, &word)) > 0; sources++) assert_non_null(explain_source(word, len));
        assert_true(sources > 0);
    }
    assert_null(explain_find("nothing"));
    desk_close(&d);
}

static void explanations_of_a_heater_tell_its_own_values(void **state)
{
    (void)state;
    desk d;
    trouble_note note = {0};
    new_book(&d);
    put_heater(&d, "Elm 4", "electric", "cellar");
    ahead_answer *a = malloc(sizeof *a);
    assert_non_null(a);
    assert_int_equal(desk_ahead(&d, "Elm 4", a, NULL, &note), TUFA_OK);
    explain_input in[EXPLAIN_INPUTS];
    size_t n = 0;
    assert_int_equal(explain_inputs(&d, explain_find("bed"), a, in, &n).code, TUFA_OK);
    assert_non_null(strstr(in[0].value, "2014")); /* when it was put in */
    assert_non_null(strstr(in[0].from, "a test"));
    bool assumed = false; /* its volume was not said */
    for (size_t i = 0; i < n; i++) assumed = assumed || (strstr(in[i].what, "volume") && strstr(in[i].from, "assumed") && strstr(in[i].value, "50 gal"));
    assert_true(assumed);
    ahead_free(a);
    free(a);
    desk_close(&d);
}

/* ---- one bed for all questions, and that of the book as it is ---- */

static ahead_answer *ahead_of(desk *d, const char *name)
{
    trouble_note note = {0};
    ahead_answer *a = malloc(sizeof *a);
    assert_non_null(a);
    assert_int_equal(desk_ahead(d, name, a, NULL, &note), TUFA_OK);
    return a;
}

static void drop_ahead(ahead_answer *a)
{
    ahead_free(a);
    free(a);
}

/* To the last bit: it is the same look, continued less far. */
static void same_bed(desk *d, const char *name)
{
    clean_heater h;
    trouble_note note = {0};
    ahead_answer *a = ahead_of(d, name);
    assert_int_equal(desk_clean_heater(d, name, &h, &note), TUFA_OK);
    const tufa_band *kg = &a->ahead.now_kg;
    const double got[] = {h.tank.bed_kg.lo, h.tank.bed_kg.mid, h.tank.bed_kg.hi, h.tank.volume_m3.mid, h.setpoint_K.mid};
    const double want[] = {kg->p10, kg->p50, kg->p90, a->ahead.heater.field[TUFA_HEATER_VOLUME].mid, a->ahead.heater.field[TUFA_HEATER_SETPOINT].mid};
    assert_memory_equal(got, want, sizeof got);
    assert_string_equal(h.label, a->c.heater.label);
    drop_ahead(a);
}

static void the_methods_are_asked_of_the_bed_that_lies_ahead(void **state)
{
    (void)state;
    desk d;
    trouble_note note = {0};
    new_book(&d);
    put_heater(&d, "Elm 4", "electric", "cellar");
    put_heater(&d, "Oak 2", "gas", "hall");
    same_bed(&d, "#1");
    same_bed(&d, "#2");
    row_cell found[] = {{"heater", "Elm 4"}, {"day", "2024-03-01"}, {"dry_weight_lb", "3"}};
    assert_int_equal(desk_row_take(&d, "findings", found, sizeof found / sizeof found[0], "a test", &note), TUFA_OK);
    same_bed(&d, "#1");
    desk_close(&d);
}

static void what_stays_with_an_open_book_goes_when_the_book_changes(void **state)
{
    (void)state;
    desk d, fresh;
    trouble_note note = {0};
    new_book(&d);
    row_cell water[] = {{"water", "the well"}, {"kind", "well"}, {"said_on", "2025-03-01"}, {"ca_mg_l", "40"}, {"alkalinity_mg_l_caco3", "120"}, {"ph", "7.4"}};
    row_cell house[] = {{"house", "Elm 4"}, {"water", "the well"}};
    assert_int_equal(desk_row_take(&d, "waters", water, sizeof water / sizeof water[0], "a test", &note), TUFA_OK);
    assert_int_equal(desk_row_take(&d, "houses", house, sizeof house / sizeof house[0], "a test", &note), TUFA_OK);
    put_heater(&d, "Elm 4", "electric", "cellar");
    ahead_answer *before = ahead_of(&d, "#1"), *again = ahead_of(&d, "#1");
    assert_memory_equal(&again->ahead.now_kg, &before->ahead.now_kg, sizeof before->ahead.now_kg);
    row_cell harder[] = {{"water", "the well"}, {"said_on", "2026-03-01"}, {"ca_mg_l", "140"}, {"alkalinity_mg_l_caco3", "320"}, {"ph", "7.4"}};
    assert_int_equal(desk_row_take(&d, "waters", harder, sizeof harder / sizeof harder[0], "a test", &note), TUFA_OK);
    ahead_answer *after = ahead_of(&d, "#1");
    assert_int_equal(desk_open(path, false, TODAY, &fresh).code, TUFA_OK);
    ahead_answer *anew = ahead_of(&fresh, "#1");
    assert_true(after->ahead.now_kg.p50 > before->ahead.now_kg.p50);
    assert_memory_equal(&after->ahead.now_kg, &anew->ahead.now_kg, sizeof anew->ahead.now_kg);
    assert_memory_equal(&again->ahead.now_kg, &before->ahead.now_kg, sizeof before->ahead.now_kg); /* who holds the old water still has it */
    assert_true(again->c.water->draws == YEAR_DRAWS && again->c.water->ccpp_mg_L[0] == before->c.water->ccpp_mg_L[0]);
    drop_ahead(before);
    drop_ahead(again);
    drop_ahead(after);
    drop_ahead(anew);
    desk_close(&fresh);
    desk_close(&d);
}

static void a_search_finds_what_fits_and_nothing_else(void **state)
{
    (void)state;
    desk d;
    roll r;
    new_book(&d);
    put_heater(&d, "Elm Street 4", "electric", "cellar");
    put_heater(&d, "Elm Street 12", "gas", "closet");
    put_heater(&d, "Oak Lane 7", "gas", "cellar");
    assert_int_equal(desk_roll(&d, "", &r).code, TUFA_OK);
    assert_int_equal(r.houses, 3);
    assert_string_equal(r.house[0].label, "Elm Street 4"); /* "4" before "12" */
    assert_string_equal(r.house[1].label, "Elm Street 12");
    roll_free(&r);
    assert_int_equal(desk_roll(&d, "  ELM gas ", &r).code, TUFA_OK);
    assert_int_equal(r.heaters, 1);
    assert_string_equal(r.heater[r.house[0].first].label, "Elm Street 12");
    assert_int_equal(r.all_heaters, 3);
    roll_free(&r);
    assert_int_equal(desk_roll(&d, "cellar", &r).code, TUFA_OK);
    assert_int_equal(r.houses, 2);
    roll_free(&r);
    assert_int_equal(desk_roll(&d, "elm cellar oak", &r).code, TUFA_OK);
    assert_int_equal(r.houses, 0);
    roll_free(&r);
    desk_close(&d);
}

static void a_day_of_a_tank_ends_as_it_began(void **state)
{
    (void)state;
    desk d;
    trouble_note note = {0};
    new_book(&d);
    put_heater(&d, "Elm 4", "electric", "cellar");
    ahead_answer *a = malloc(sizeof *a);
    heater_hours *h = malloc(sizeof *h);
    assert_true(a && h);
    assert_int_equal(desk_ahead(&d, "Elm 4", a, NULL, &note), TUFA_OK);
    assert_int_equal(desk_heater_hours(a, h).code, TUFA_OK);
    double drawn = 0.0;
    for (int k = 1; k <= DAY_HOURS; k++) {
        drawn += h->drawn_m3[k];
        assert_true(h->on_share[k] >= 0.0 && h->on_share[k] <= 2.0);
        for (int i = 1; i < h->layers; i++) assert_true(h->K[k][i] >= h->K[k][i - 1] - 0.5); /* warm above cold */
    }
    assert_true(fabs(drawn - 1e-3 * a->ahead.litres_day.p50) < 0.05 * 1e-3 * a->ahead.litres_day.p50);
    for (int i = 0; i < h->layers; i++) assert_true(fabs(h->K[DAY_HOURS][i] - h->K[0][i]) < 3.0);
    ahead_free(a);
    free(a);
    free(h);
    desk_close(&d);
}

static void put(keep *k, const char *key, int64_t version, const text *inside, int code)
{
    keep_put(k, key, &(keep_page){.version = version, .day = TODAY, .code = code, .title = key, .inside = inside});
}

static bool is_kept(keep *k, const char *key)
{
    text title = {0}, inside = {0};
    int code;
    bool there = keep_get(k, key, &title, &inside, &code);
    text_free(&title);
    text_free(&inside);
    return there;
}

static void comes_back(keep *k, const char *key, const text *inside, int code)
{
    text title = {0}, again = {0};
    int got;
    assert_true(keep_get(k, key, &title, &again, &got));
    assert_int_equal(got, code);
    assert_string_equal(text_str(&title), key);
    assert_int_equal(again.len, inside->len);
    assert_string_equal(text_str(&again), text_str(inside));
    text_free(&title);
    text_free(&again);
}

static void what_is_kept_comes_back_whole_and_only_for_its_state(void **state)
{
    (void)state;
    keep *k = keep_new();
    text page = {0}, other = {0}, nothing = {0};
    for (int i = 0; i < 20000; i++) text_addf(&page, "row %d of the page; ", i);
    for (int i = 0; i < 20000; i += 3) text_addf(&other, "row %d of another; ", i);
    keep_state(k, 7, TODAY);
    put(k, "/heater&id=3", 7, &page, 200);
    put(k, "/heater&id=4", 7, &other, 200); /* packed by what it shares with the first */
    put(k, "/heater&id=5", 7, &nothing, 200);
    put(k, "/whatif", 7, &other, 422);
    put(k, "/late", 6, &page, 200);
    comes_back(k, "/heater&id=3", &page, 200);
    comes_back(k, "/heater&id=4", &other, 200);
    comes_back(k, "/heater&id=5", &nothing, 200);
    comes_back(k, "/whatif", &other, 422);
    assert_false(is_kept(k, "/late")); /* written for another state */
    assert_false(is_kept(k, "/heater&id=6"));
    keep_state(k, 8, TODAY);
    assert_false(is_kept(k, "/heater&id=3"));
    put(k, "/heater&id=3", 8, &other, 200); /* by the first one of a state that is over */
    comes_back(k, "/heater&id=3", &other, 200);
    page.len = 200; /* small ones, many */
    page.s[page.len] = 0;
    bool full = false;
    for (int i = 0; i < 13000; i++) { /* more than there is room for: the newest is there, and what is there is right */
        char key[32];
        snprintf(key, sizeof key, "/small&id=%d", i);
        put(k, key, 8, &page, 200);
        comes_back(k, key, &page, 200);
        full = full || !keep_room(k);
    }
    assert_true(full);
    assert_false(is_kept(k, "/heater&id=3"));
    text_free(&page);
    text_free(&other);
    keep_free(k);
}

static void nothing_typed_becomes_markup(void **state)
{
    (void)state;
    text t = {0};
    put_html(&t, "<script>alert('1')</script> & \"so\"\x01");
    assert_string_equal(text_str(&t), "&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt; &amp; &quot;so&quot;");
    text_clear(&t);
    put_query(&t, "a b&c=\"\xC3\xA9");
    assert_string_equal(text_str(&t), "a%20b%26c%3D%22%C3%A9");
    text_free(&t);
}

static void days_are_said_by_the_setting_and_written_the_same(void **state)
{
    (void)state;
    text t = {0};
    say_days_us(true);
    say_day(&t, TODAY);
    text_add(&t, " ");
    write_day(&t, TODAY);
    say_days_us(false);
    text_add(&t, " ");
    say_day(&t, TODAY);
    assert_string_equal(text_str(&t), "11/25/2026 2026-11-25 2026-11-25");
    text_free(&t);
}

static void a_passphrase_is_kept_as_its_hash(void **state)
{
    (void)state;
    char hash[PASSPHRASE_HASH] = "";
    assert_int_equal(passphrase_hash_of(path, hash).code, TUFA_MISSING);
    assert_int_equal(passphrase_set(path, "too short").code, TUFA_RANGE);
    assert_int_equal(passphrase_hash_of(path, hash).code, TUFA_MISSING);
    assert_int_equal(passphrase_set(path, "four words are good").code, TUFA_OK);
    assert_int_equal(passphrase_hash_of(path, hash).code, TUFA_OK);
    assert_int_equal(strncmp(hash, "$argon2id$", 10), 0);
    assert_null(strstr(hash, "four"));
    assert_int_equal(passphrase_set("/nowhere/at/all.book", "four words are good").code, TUFA_IO);
}

#define IN_FOLDER(test) cmocka_unit_test_setup_teardown(test, make_folder, remove_folder)

int main(void)
{
    const struct CMUnitTest tests[] = {
        IN_FOLDER(every_explanation_names_what_is_there),
        IN_FOLDER(explanations_of_a_heater_tell_its_own_values),
        IN_FOLDER(a_search_finds_what_fits_and_nothing_else),
        IN_FOLDER(a_day_of_a_tank_ends_as_it_began),
        IN_FOLDER(the_methods_are_asked_of_the_bed_that_lies_ahead),
        IN_FOLDER(what_stays_with_an_open_book_goes_when_the_book_changes),
        cmocka_unit_test(what_is_kept_comes_back_whole_and_only_for_its_state),
        cmocka_unit_test(nothing_typed_becomes_markup),
        cmocka_unit_test(days_are_said_by_the_setting_and_written_the_same),
        IN_FOLDER(a_passphrase_is_kept_as_its_hash),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
