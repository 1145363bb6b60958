/* What is drawn holds what it was given: as SVG that a parser reads, and on paper whose pages nothing falls off. */
#include "edge/draw/plot.h"
#include "edge/draw/tank_picture.h"
#include "edge/paper/paper.h"

#include <expat.h>
#include <stdlib.h>
#include <string.h>

#include "edge/say/text.h"
#include "tests/check.h"

static const char HOSTILE[] = "<script>&\"' \xC3\xA9";

/* What a parser of XML met. */
typedef struct seen {
    int readings, titles;
    double right, bottom; /* furthest place of a reading */
    text words;
} seen;

static void on_start(void *ctx, const char *name, const char **attributes)
{
    seen *s = ctx;
    bool reading = false;
    double x = 0.0, y = 0.0;
    s->titles += strcmp(name, "title") == 0;
    for (; *attributes; attributes += 2) {
        if (strcmp(attributes[0], "data-reading") == 0) reading = true, text_addf(&s->words, "%s\n", attributes[1]);
        if (strcmp(attributes[0], "cx") == 0) x = strtod(attributes[1], NULL);
        if (strcmp(attributes[0], "cy") == 0) y = strtod(attributes[1], NULL);
    }
    if (!reading) return;
    s->readings++;
    s->right = fmax(s->right, x);
    s->bottom = fmax(s->bottom, y);
}

static void on_words(void *ctx, const char *words, int n) { text_addn(&((seen *)ctx)->words, words, (size_t)n); }

static seen parse(const text *svg)
{
    seen s = {0};
    XML_Parser p = XML_ParserCreate("UTF-8");
    XML_SetUserData(p, &s);
    XML_SetElementHandler(p, on_start, NULL);
    XML_SetCharacterDataHandler(p, on_words);
    if (XML_Parse(p, svg->s, (int)svg->len, 1) != XML_STATUS_OK) fail_msg("no XML: %s", XML_ErrorString(XML_GetErrorCode(p)));
    XML_ParserFree(p);
    return s;
}

static void say_inches(text *t, double v) { text_addf(t, "%.1f in", v); }

static void a_plot_holds_every_point_inside_its_frame(void **state)
{
    (void)state;
    enum { N = 700, W = 600, H = 300 }; /* more points than one piece of a path */
    static double x[N], y[N], lo[N], hi[N];
    for (int i = 0; i < N; i++) x[i] = 2026.0 + i * 0.03, y[i] = i * 0.01, lo[i] = 0.5 * y[i], hi[i] = 2.0 * y[i];
    plot p = {.id = "bed", .title = HOSTILE, .description = "what it shows", .x_name = "year", .y_name = "depth",
              .series = {{.kind = PLOT_BAND, .name = "bed", .n = N, .x = x, .y = y, .lo = lo, .hi = hi}},
              .series_count = 1, .level = {{6.0, "lower element"}}, .level_count = 1, .y_from_zero = 1, .say_y = say_inches};
    text svg = {0};
    plot_svg(&p, &svg, W, H);
    seen s = parse(&svg);
    CHECK_TRUE(s.readings == N && s.titles == 1, s.readings);
    CHECK_TRUE(s.right <= W && s.bottom <= H, 0);
    CHECK_TRUE(strstr(text_str(&s.words), HOSTILE) != NULL, 1); /* comes back as it went in, and ran nowhere */
    CHECK_TRUE(strstr(text_str(&s.words), "lower element") != NULL, 2);
    CHECK_TRUE(strstr(text_str(&s.words), "2026: 0.0 in (0.0 in to 0.0 in)") != NULL, 3);
    text_free(&s.words);
    text_free(&svg);
}

static void a_plot_without_data_says_so(void **state)
{
    (void)state;
    plot p = {.id = "none", .title = "t", .description = "d", .x_name = "x", .y_name = "y"};
    text svg = {0};
    plot_svg(&p, &svg, 400, 200);
    seen s = parse(&svg);
    CHECK_TRUE(strstr(text_str(&s.words), "nothing to draw") != NULL, 0);
    text_free(&s.words);
    text_free(&svg);
}

static void an_axis_has_round_steps_and_not_too_many(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        double lo = 100.0 * tufa_normal(7, 1, i), hi = lo + pow(10.0, 6.0 * tufa_uniform(7, 2, i) - 3.0);
        double step = plot_step(lo, hi, 6), lead = step / pow(10.0, floor(log10(step * 1.0000001)));
        CHECK_TRUE((hi - lo) / step <= 6.0 + 1e-9, i);
        CHECK_TRUE((hi - lo) / step > 6.0 / 2.5 - 1e-9, i); /* 1, 2, 5, 10 are at most 2.5 times apart */
        CHECK_TRUE(fabs(lead - 1.0) < 1e-6 || fabs(lead - 2.0) < 1e-6 || fabs(lead - 5.0) < 1e-6, i);
    }
}

static void say_metres(text *t, double m) { text_addf(t, "%.2f m", m); }
static void say_kelvin(text *t, double K) { text_addf(t, "%.0f K", K); }

static void a_tank_picture_names_its_parts_and_reads_its_layers(void **state)
{
    (void)state;
    enum { LAYERS = 60 };
    double K[LAYERS];
    for (int i = 0; i < LAYERS; i++) K[i] = 290.0 + i;
    tank_picture p = {.id = "tank", .title = "a tank", .description = "to scale", .height_m = 1.2, .diameter_m = 0.45,
                      .bed_lo_m = 0.02, .bed_mid_m = 0.05, .bed_hi_m = 0.09, .bed_words = "about 2 in",
                      .part = {{PART_ROD, 0.12, "lower element"}, {PART_SENSOR, 0.24, "lower thermostat"},
                               {PART_PORT, 0.05, HOSTILE}, {PART_TUBE, 0.1, "dip tube"}, {PART_BURNER, 0.0, "burner"}},
                      .parts = 5, .layers = LAYERS, .layer_K = K, .cold_K = 285.0, .hot_K = 340.0,
                      .say_height = say_metres, .say_temperature = say_kelvin};
    text svg = {0};
    tank_picture_svg(&p, &svg, 360, 420);
    seen s = parse(&svg);
    CHECK_TRUE(s.readings == LAYERS, s.readings);
    for (int i = 0; i < p.parts; i++) CHECK_TRUE(strstr(text_str(&s.words), p.part[i].name) != NULL, i);
    CHECK_TRUE(strstr(text_str(&s.words), "0.01 m up: 290 K") != NULL, 0);
    text_free(&s.words);
    text_free(&svg);
}

static bool take(void *ctx, const unsigned char *bytes, size_t n)
{
    text_addn(ctx, (const char *)bytes, n);
    return !((text *)ctx)->failed;
}

static const char *cell(void *ctx, size_t row, size_t column)
{
    static char words[64];
    snprintf(words, sizeof words, "row %zu, column %zu of %s", row, column, (const char *)ctx);
    return words;
}

static void draw(void *ctx, draw_canvas *c, double w, double h)
{
    *(int *)ctx += 1;
    draw_box(c, DRAW_SHELL, 0.0, 0.0, w, h);
    c->ops->write(c, DRAW_LABEL, 0.5 * w, 0.5 * h, DRAW_MIDDLE, HOSTILE);
    c->ops->dot(c, DRAW_POINT, 1.0, 1.0, 1.0);
    CHECK_TRUE(c->ops->width(c, DRAW_LABEL, "two words") > c->ops->width(c, DRAW_LABEL, "two"), 0);
}

static int a_sheet(text *pdf, size_t rows)
{
    static const char *const heads[] = {"first", "second"};
    static const double shares[] = {0.3, 0.7};
    char name[] = "a table";
    int pages = 0, drawn = 0;
    paper *p;
    CHECK_OK(paper_begin(PAPER_LETTER, "a sheet", "at the foot", 20783, take, pdf, &p), 0);
    paper_title(p, "A sheet");
    paper_caution(p, "Power off and proved dead", HOSTILE);
    paper_heading(p, "Order of work");
    paper_tick(p, "one thing to do");
    paper_blank(p, "what was found", 2.0);
    paper_table(p, 2, heads, shares, rows, cell, name);
    paper_drawing(p, 120.0, draw, &drawn);
    for (int i = 0; i < 60; i++) paper_para(p, "A paragraph that is long enough to take more than one line of the page and so has to be broken between its words.");
    paper_small(p, "small print");
    CHECK_OK(paper_end(p, &pages), 0);
    CHECK_TRUE(drawn == 1, drawn);
    return pages;
}

static void paper_goes_on_to_the_next_page_and_is_the_same_twice(void **state)
{
    (void)state;
    text once = {0}, again = {0}, longer = {0};
    int pages = a_sheet(&once, 3), more = a_sheet(&longer, 200);
    CHECK_TRUE(pages >= 2 && a_sheet(&again, 3) == pages, pages);
    CHECK_TRUE(more >= pages + 4, more); /* two hundred rows take at least four pages more */
    CHECK_TRUE(once.len > 1000 && memcmp(once.s, "%PDF-", 5) == 0, 0);
    CHECK_TRUE(once.len == again.len && memcmp(once.s, again.s, once.len) == 0, 1);
    text_free(&once);
    text_free(&again);
    text_free(&longer);
}

static bool refuse(void *ctx, const unsigned char *bytes, size_t n) { return (void)ctx, (void)bytes, (void)n, false; }

static void a_sheet_that_cannot_be_written_says_so(void **state)
{
    (void)state;
    paper *p;
    CHECK_OK(paper_begin(PAPER_A4, "t", "f", 20783, refuse, NULL, &p), 0);
    paper_para(p, "words");
    CHECK_CODE(paper_end(p, NULL), TUFA_IO, 0);
}

RUN(cmocka_unit_test(a_plot_holds_every_point_inside_its_frame), cmocka_unit_test(a_plot_without_data_says_so),
    cmocka_unit_test(an_axis_has_round_steps_and_not_too_many),
    cmocka_unit_test(a_tank_picture_names_its_parts_and_reads_its_layers),
    cmocka_unit_test(paper_goes_on_to_the_next_page_and_is_the_same_twice),
    cmocka_unit_test(a_sheet_that_cannot_be_written_says_so))
