/* SPDX-License-Identifier: MIT */
/* Choices: their figures as a list, and their lumens by emitter as bars. */
#include "picture/light/choices.h"

#include "base/number.h"
#include "picture/light/stack.h"
#include "picture/mark.h"

#include <math.h>
#include <stdio.h>

#define MARK_WIDTH 14.0
/* Least width of a piece of a bar that gets a name, beyond the name's. */
#define NAME_ROOM 6.0

double mtmi_way_lm_per_w(const mtm_way_view *way)
{
    return way->match.watts > 0 ? way->match.flux_lm / way->match.watts : (double)NAN;
}

bool mtmi_way_is_frugal(const mtm_choices_view *view, size_t index)
{
    return mtmi_exceeds(mtmi_way_lm_per_w(&view->way[index]), mtmi_way_lm_per_w(&view->way[0]));
}

void mtmi_way_mark(mtmi_canvas *c, const mtm_choices_view *view, size_t index, mtmi_point at)
{
    bool frugal = mtmi_way_is_frugal(view, index);

    mtmi_mark_dot(c, at, frugal ? MTMI_SHAPE_SQUARE : MTMI_SHAPE_DISC,
                  mtmi_canvas_series(c, frugal ? 2 : 0));
}

/* The columns of figures. */
static const struct column {
    const char *head;
    const char *widest;
    int decimals;
} columns[] = {{"lm", "00000", 0},
               {"W", "0000.0", 1},
               {"lm/W", "000.0", 1},
               {"Rf", "00.0", 1},
               {"Ra", "00.0", 1}};
#define COLUMN_COUNT (sizeof columns / sizeof columns[0])

static double cell_of(const mtm_way_view *way, size_t column)
{
    const double cells[COLUMN_COUNT] = {way->match.flux_lm, way->match.watts,
                                        mtmi_way_lm_per_w(way), way->rf, way->ra};

    return cells[column];
}

/* The right end of each column. Returns that of the last. */
static double lay_out(mtmi_canvas *c, double x, double end[COLUMN_COUNT])
{
    const mtmi_type type = {.size = MTMI_TYPE_SMALL};
    double at = x + MARK_WIDTH + mtmi_words_extent(c, &type, "0").width;

    for (size_t i = 0; i < COLUMN_COUNT; i++) {
        at += mtmi_words_extent(c, &type, columns[i].widest).width + 10;
        end[i] = at;
    }
    return at;
}

double mtmi_ways_list(mtmi_canvas *c, mtmi_box box, const mtm_choices_view *view)
{
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL), end[COLUMN_COUNT];
    double name = lay_out(c, box.x, end) + 12;
    mtmi_type type = {.bold = true, .align = MTMI_ALIGN_RIGHT};
    char figure[MTMI_FIGURE_ROOM];

    for (size_t k = 0; k < COLUMN_COUNT; k++)
        (void)mtmi_words(c, end[k], box.y, &type, columns[k].head);
    type.bold = false;
    for (size_t i = 0; i < view->count; i++) {
        double y = box.y + (double)(i + 1) * line;
        mtmi_type words = {.width = fmax(20, box.x + box.width - name)};
        mtmi_way_mark(c, view, i, (mtmi_point){box.x + MTMI_DOT_REACH + 1, y + line / 2});
        (void)snprintf(figure, sizeof figure, "%zu", i + 1);
        (void)mtmi_words(c, box.x + MARK_WIDTH, y, &words, figure);
        for (size_t k = 0; k < COLUMN_COUNT; k++) {
            double value = cell_of(&view->way[i], k);
            (void)mtmi_words(c, end[k], y, &type,
                             isfinite(value) ? mtmi_figure(figure, value, columns[k].decimals, NULL)
                                             : "–");
        }
        if (view->way[i].name != NULL && box.x + box.width - name > 3 * line)
            (void)mtmi_words(c, name, y, &words, view->way[i].name);
    }
    return (double)(view->count + 1) * line;
}

/* One way: its emitters from the left, each as long as its lumens. */
static void draw_bar(mtmi_canvas *c, mtmi_box bar, double px_per_lm, const mtm_choices_view *view,
                     size_t index)
{
    const mtm_fixture *fixture = view->unit->fixture;
    const mtm_match *match = &view->way[index].match;
    mtmi_pen rim = {mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.6, MTMI_DASH_NONE};
    const mtmi_type type = {.align = MTMI_ALIGN_MIDDLE};
    double x = bar.x;

    for (size_t k = 0; k < mtm_fixture_emitter_count(fixture); k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(fixture, k);
        double width = px_per_lm * match->level[k] * emitter->flux_lm;
        if (!(width > 0))
            continue;
        mtmi_rectangle(c, (mtmi_box){x, bar.y, width, bar.height});
        mtmi_fill(c, mtmi_emitter_ink(emitter));
        mtmi_rectangle(c, (mtmi_box){x, bar.y, width, bar.height});
        mtmi_stroke(c, rim);
        if (width >= mtmi_words_extent(c, &type, emitter->name).width + NAME_ROOM)
            mtmi_words_middle(c, x + width / 2, bar.y + bar.height / 2, &type, emitter->name);
        x += width;
    }
}

/* All emitters by name, for pieces too short to hold theirs. */
static void write_head(mtmi_canvas *c, mtmi_box box, const mtm_choices_view *view)
{
    const mtmi_type type = {.ink = MTMI_INK_QUIET, .width = box.width};
    mtmi_text words = {0};

    mtmi_text_add(&words, "Lumens of ");
    for (size_t k = 0; k < mtm_fixture_emitter_count(view->unit->fixture); k++)
        mtmi_text_add(&words, "%s%s", k > 0 ? ", " : "",
                      mtm_fixture_emitter(view->unit->fixture, k)->name);
    mtmi_text_add(&words, ", in each way");
    if (words.failed)
        mtmi_canvas_lack_memory(c);
    (void)mtmi_words(c, box.x, box.y, &type, words.data != NULL ? words.data : "");
    mtmi_text_free(&words);
}

void mtmi_ways_bars(mtmi_canvas *c, mtmi_box box, const mtm_choices_view *view)
{
    const mtmi_type number = {.align = MTMI_ALIGN_RIGHT};
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL), most = 0;
    double pitch = fmin(2 * line, (box.height - line - 4) / (double)view->count);
    double left = box.x + MARK_WIDTH + line;

    if (pitch < line)
        return;
    for (size_t i = 0; i < view->count; i++) {
        double sum = 0;
        for (size_t k = 0; k < mtm_fixture_emitter_count(view->unit->fixture); k++)
            sum +=
                view->way[i].match.level[k] * mtm_fixture_emitter(view->unit->fixture, k)->flux_lm;
        most = fmax(most, sum);
    }
    if (!(most > 0))
        return;
    write_head(c, box, view);
    for (size_t i = 0; i < view->count; i++) {
        double y = box.y + line + 4 + (double)i * pitch;
        char figure[24];
        (void)snprintf(figure, sizeof figure, "%zu", i + 1);
        mtmi_words_middle(c, left - 6, y + 0.45 * pitch, &number, figure);
        draw_bar(c, (mtmi_box){left, y, box.x + box.width - left, 0.9 * pitch},
                 (box.x + box.width - left - 1) / most, view, i);
    }
}
