/* SPDX-License-Identifier: MIT */
/* The dimming curves of a fixture: light by code, straight, and down to the first codes. */
#include "picture/light/fixture.h"

#include "base/error.h"
#include "base/text.h"
#include "picture/axes.h"
#include "picture/label.h"
#include "picture/light/stack.h"
#include "picture/mark.h"

#include <math.h>
#include <stdio.h>

#define APART 16.0
/* Points of a curve, and first codes that get a dot. */
#define POINTS 120
#define DOTS 6
/* Of the key: px of line, and most rows. */
#define SAMPLE 28.0
#define KEY_MOST 5
/* Least light that is drawn. */
#define LEAST 1e-16
/* The dimmer and all emitters at most. */
#define CURVES_MAX (MTM_EMITTERS_MAX + 1)

/* One curve and what it is of. */
struct entry {
    const mtm_curve *curve;
    int bits; /* the most of any mode */
    size_t emitters;
    bool dimmer;
    mtmi_text name;
};

struct entries {
    struct entry entry[CURVES_MAX];
    size_t count;
};

static int bits_of(const mtm_fixture *fixture, size_t emitter, bool dimmer)
{
    int most = 0;

    for (size_t i = 0; i < mtm_fixture_mode_count(fixture); i++) {
        const mtm_mode *mode = mtm_fixture_mode(fixture, i);
        if (!dimmer && mode->mixing != NULL)
            continue; /* its bits are those of its own channels */
        int bits = dimmer ? mode->dimmer_bits : mode->emitter_bits[emitter];
        most = bits > most ? bits : most;
    }
    return most;
}

static void add(struct entries *entries, const mtm_curve *curve, int bits, const char *name)
{
    size_t at = 0;

    if (bits == 0)
        return;
    while (at < entries->count &&
           (entries->entry[at].bits != bits || !mtm_curve_equal(entries->entry[at].curve, curve)))
        at++;
    struct entry *entry = &entries->entry[at];
    if (at == entries->count) {
        *entry = (struct entry){.curve = curve, .bits = bits};
        entries->count++;
    }
    if (name == NULL) {
        entry->dimmer = true;
        return;
    }
    mtmi_text_add(&entry->name, "%s%s", entry->emitters > 0 ? ", " : "", name);
    entry->emitters++;
}

static void gather(const mtm_fixture *fixture, struct entries *entries)
{
    size_t count = mtm_fixture_emitter_count(fixture);

    entries->count = 0;
    add(entries, mtm_fixture_dimmer_curve(fixture), bits_of(fixture, 0, true), NULL);
    for (size_t k = 0; k < count; k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
        add(entries, emitter->curve, bits_of(fixture, k, false), emitter->name);
    }
    for (size_t i = 0; i < entries->count; i++) { /* names that say it shortly */
        struct entry *entry = &entries->entry[i];
        bool all = entry->emitters == count && count > 1;
        if (!all && !entry->dimmer)
            continue;
        mtmi_text whole = {0};
        mtmi_text_add(&whole, "%s%s%s", entry->dimmer ? "dimmer" : "",
                      entry->dimmer && entry->emitters > 0 ? ", " : "",
                      entry->emitters == 0       ? ""
                      : all                      ? "all emitters"
                      : entry->name.data != NULL ? entry->name.data
                                                 : "");
        whole.failed = whole.failed || entry->name.failed;
        mtmi_text_free(&entry->name);
        entry->name = whole;
    }
}

static double codes_of(const struct entry *entry)
{
    return (double)((1UL << entry->bits) - 1);
}

static mtmi_pen pen_of(mtmi_canvas *c, size_t index)
{
    return (mtmi_pen){mtmi_canvas_series(c, (unsigned)index), 1.75,
                      (mtmi_dash)(index % MTMI_DASH_COUNT)};
}

static double level_of(const struct entry *entry, double code)
{
    return mtm_curve_level(entry->curve, code / codes_of(entry));
}

/* "dimmer, 16 bits: square" behind a piece of its line; as many as find room. Returns what is left
 * of the box. */
static mtmi_box write_key(mtmi_canvas *c, mtmi_box box, const struct entries *entries)
{
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);
    mtmi_type type = {.width = box.width - SAMPLE - 6};
    size_t rows = 0;

    for (; rows < entries->count && rows < KEY_MOST; rows++) {
        const struct entry *entry = &entries->entry[rows];
        bool more = rows + 1 == KEY_MOST && rows + 1 < entries->count;
        double y = box.y + (double)rows * line;
        mtmi_text words = {0};
        mtmi_rule(c, box.x, y + line / 2, box.x + SAMPLE, y + line / 2, pen_of(c, rows));
        mtmi_text_add(&words, "%s, %d bits: %s%s", entry->name.data != NULL ? entry->name.data : "",
                      entry->bits, mtm_curve_type_name(entry->curve),
                      more ? "; more curves are not named" : "");
        if (words.failed)
            mtmi_canvas_lack_memory(c);
        else
            (void)mtmi_words(c, box.x + SAMPLE + 6, y, &type, words.data);
        mtmi_text_free(&words);
    }
    double height = (double)rows * line + 4;
    return (mtmi_box){box.x, box.y + height, box.width, fmax(1, box.height - height)};
}

/* Light against code, both as shares. */
static void draw_straight(mtmi_canvas *c, mtmi_box box, const struct entries *entries)
{
    const mtmi_axis x = {.from = 0, .to = 100, .name = "Code, % of the highest", .step = 25};
    const mtmi_axis y = {.from = 0, .to = 100, .name = "Light, %", .step = 25};
    const mtmi_plot plot = mtmi_plot_layout(c, box, &x, &y, false);
    mtmi_point point[POINTS + 1];

    mtmi_plot_axes(c, &plot, &x, &y);
    for (size_t i = 0; i < entries->count; i++) {
        for (int k = 0; k <= POINTS; k++) {
            double code = (double)k / POINTS;
            point[k] = mtmi_plot_at(&plot, 100 * code,
                                    100 * mtm_curve_level(entries->entry[i].curve, code));
        }
        mtmi_lay_curve(c, point, POINTS + 1, false);
        mtmi_stroke(c, pen_of(c, i));
    }
}

/* The lowest code that gives light. */
static double first_lit(const struct entry *entry)
{
    double low = 0, high = codes_of(entry); /* dark, lit */

    while (high - low > 1) {
        double middle = floor((low + high) / 2);
        if (level_of(entry, middle) > 0)
            high = middle;
        else
            low = middle;
    }
    return high;
}

static double least_of(const struct entries *entries)
{
    double least = 1;

    for (size_t i = 0; i < entries->count; i++)
        least = fmin(least, level_of(&entries->entry[i], first_lit(&entries->entry[i])));
    return fmax(LEAST, pow(10, floor(log10(least) + 1e-9)));
}

/* One curve from its first code that gives light: these are dots, for nothing lies between. */
static void draw_steps(mtmi_canvas *c, const mtmi_plot *plot, const struct entry *entry,
                       size_t index, mtmi_placer *placer)
{
    double first = first_lit(entry), last = codes_of(entry);
    mtmi_point point[POINTS + 1];

    for (int k = 0; k <= POINTS; k++) {
        double code = round(first * pow(last / first, (double)k / POINTS));
        point[k] = mtmi_plot_at(plot, code, level_of(entry, code));
    }
    mtmi_plot_clip(c, plot);
    mtmi_lay_curve(c, point, POINTS + 1, false);
    mtmi_stroke(c, pen_of(c, index));
    mtmi_unclip(c);
    mtmi_placer_avoid(placer, point, POINTS + 1);
    for (int k = 0; k < DOTS && first + k <= last; k++) {
        mtmi_point at = mtmi_plot_at(plot, first + k, level_of(entry, first + k));
        if (mtmi_plot_holds(plot, at, 0))
            mtmi_mark_dot(c, at, MTMI_SHAPE_DISC, mtmi_canvas_series(c, (unsigned)index));
    }
}

/* "0.0015 %", or of less "2.3 × 10⁻¹⁰". */
static void put_share(double share, char *text, size_t room)
{
    static const char *const raised[] = {"⁰", "¹", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};
    char figure[MTMI_FIGURE_ROOM];
    int power = (int)floor(log10(share) + 1e-9);

    if (power >= -6)
        (void)snprintf(text, room, "%s",
                       mtmi_figure(figure, 100 * share, power < -1 ? -1 - power : 1, "%"));
    else
        (void)snprintf(text, room, "%s × 10⁻%s%s",
                       mtmi_figure(figure, share / pow(10, power), 1, NULL),
                       power <= -10 ? raised[-power / 10 % 10] : "", raised[-power % 10]);
}

static void write_first(mtmi_canvas *c, const mtmi_plot *plot, mtmi_placer *placer,
                        const struct entry *entry)
{
    const mtmi_type type = {.halo = true};
    double first = first_lit(entry), level = level_of(entry, first);
    mtmi_point at = mtmi_plot_at(plot, first, level);
    char share[2 * MTMI_FIGURE_ROOM], words[2 * MTMI_FIGURE_ROOM + 32];

    put_share(level, share, sizeof share);
    (void)snprintf(words, sizeof words, "code %.0f: %s", first, share);
    if (mtmi_plot_holds(plot, at, 0))
        (void)mtmi_label_draw(c, placer, at, MTMI_DOT_REACH, &type, words);
}

static mtm_result draw_logarithmic(mtmi_canvas *c, mtmi_box box, const struct entries *entries,
                                   mtm_error *error)
{
    int bits = 8;

    for (size_t i = 0; i < entries->count; i++)
        bits = entries->entry[i].bits > bits ? entries->entry[i].bits : bits;
    const mtmi_axis x = {.from = 0.7,
                         .to = (double)(1UL << bits),
                         .name = "Code, first to highest",
                         .logarithmic = true};
    const mtmi_axis y = {
        .from = least_of(entries) / 2, .to = 1.5, .name = "Light, share", .logarithmic = true};
    const mtmi_plot plot = mtmi_plot_layout(c, box, &x, &y, false);
    mtmi_placer *placer = mtmi_placer_create(plot.box);

    if (placer == NULL)
        return mtmi_fail_memory(error);
    mtmi_plot_axes(c, &plot, &x, &y);
    for (size_t i = 0; i < entries->count; i++)
        draw_steps(c, &plot, &entries->entry[i], i, placer);
    for (size_t i = 0; i < entries->count; i++)
        write_first(c, &plot, placer, &entries->entry[i]);
    mtmi_placer_free(placer);
    return MTM_OK;
}

mtm_result mtmi_fixture_curves_draw(mtmi_canvas *c, mtmi_box box, const mtmi_fixture_view *view,
                                    mtm_error *error)
{
    double width = fmax(1, (box.width - APART) / 2);
    struct entries entries;
    mtm_result result = MTM_OK;

    gather(view->fixture, &entries);
    for (size_t i = 0; i < entries.count; i++) {
        if (entries.entry[i].name.failed)
            mtmi_canvas_lack_memory(c);
    }
    if (entries.count > 0) {
        mtmi_box in = write_key(c, box, &entries);
        mtmi_box right = {in.x + width + APART, in.y, width, in.height};
        in.width = width;
        draw_straight(c, in, &entries);
        result = draw_logarithmic(c, right, &entries, error);
    }
    for (size_t i = 0; i < entries.count; i++)
        mtmi_text_free(&entries.entry[i].name);
    return result;
}
