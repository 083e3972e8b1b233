/* SPDX-License-Identifier: MIT */
/* Stack: a spectrum on a plot, what each emitter gives of it one upon the other. */
#include "picture/light/stack.h"

#include "base/error.h"
#include "picture/label.h"

#include <metamer/rgb.h>

#include <math.h>
#include <string.h>

#define COUNT (MTMI_STACK_LAST_NM - MTMI_STACK_FIRST_NM + 1)
#define FIRST (MTMI_STACK_FIRST_NM - MTM_SPECTRUM_FIRST_NM)
/* How much a fill covers, and its lightest value. */
#define COVER 0.5
#define LIGHTEST 0.88
/* Px that a line may be off. */
#define OFF_PX 0.15
/* Emitters below this share of the highest value get no name: nothing of them shows. */
#define SHOWN_SHARE 0.004

double mtmi_axis_top(double peak)
{
    double step = mtmi_round_step(peak, 4);

    return step * ceil(1.06 * peak / step);
}

double mtmi_stack_peak(const mtm_spectrum *spectrum)
{
    double peak = 0;

    for (int i = 0; i < COUNT; i++)
        peak = fmax(peak, spectrum->value[FIRST + i]);
    return peak;
}

mtmi_ink mtmi_emitter_ink(const mtm_emitter *emitter)
{
    const mtm_rgb_space *srgb = mtm_rgb_space_at(0);
    mtm_rgb rgb = mtm_rgb_brightest(srgb, mtm_xy_from_xyz(emitter->xyz[MTM_OBSERVER_2]));
    double least = fmin(0, fmin(rgb.r, fmin(rgb.g, rgb.b)));
    double most = fmax(rgb.r, fmax(rgb.g, rgb.b)) - least;

    if (!(most > 0))
        return (mtmi_ink){0.5, 0.5, 0.5, COVER};
    double scale = LIGHTEST / most; /* a white is to show on paper too */
    return (mtmi_ink){scale * (rgb.r - least), scale * (rgb.g - least), scale * (rgb.b - least),
                      COVER};
}

/* True if all points between two lie on their line, but for what shows. */
static bool straight(const mtmi_point *point, size_t from, size_t to)
{
    double x = point[to].x - point[from].x, y = point[to].y - point[from].y;
    double length = hypot(x, y);

    if (length == 0)
        return true;
    for (size_t i = from + 1; i < to; i++) {
        double off = (x * (point[i].y - point[from].y) - y * (point[i].x - point[from].x)) / length;
        if (!(fabs(off) <= OFF_PX))
            return false;
    }
    return true;
}

void mtmi_lay_curve(mtmi_canvas *c, const mtmi_point *point, size_t count, bool goes_on)
{
    size_t last = 0;

    if (count == 0)
        return;
    (goes_on ? mtmi_line : mtmi_move)(c, point[0].x, point[0].y);
    for (size_t i = 1; i < count; i++) {
        if (i + 1 < count && straight(point, last, i + 1))
            continue;
        mtmi_line(c, point[i].x, point[i].y);
        last = i;
    }
}

/* A curve on the plot: values by wavelength. */
struct curve {
    double value[COUNT];
    mtmi_point point[COUNT];
};

static void set_points(const mtmi_plot *plot, struct curve *curve)
{
    for (int i = 0; i < COUNT; i++)
        curve->point[i] = mtmi_plot_at(plot, MTMI_STACK_FIRST_NM + i, curve->value[i]);
}

/* One part between two curves. */
static void fill_between(mtmi_canvas *c, const struct curve *below, const struct curve *above,
                         mtmi_ink ink)
{
    mtmi_point back[COUNT];

    for (int i = 0; i < COUNT; i++)
        back[i] = below->point[COUNT - 1 - i];
    mtmi_lay_curve(c, above->point, COUNT, false);
    mtmi_lay_curve(c, back, COUNT, true);
    mtmi_close(c);
    mtmi_fill(c, ink);
    mtmi_lay_curve(c, above->point, COUNT, false);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.6, MTMI_DASH_NONE});
}

/* Where a part is named. */
struct name {
    const char *text;
    mtmi_point top;  /* where it is highest */
    double middle_y; /* of it there */
    double room;     /* px along, about there, in which it is as high as a line of type */
};

static struct name name_part(const char *text, const struct curve *below, const struct curve *above,
                             int at, double line)
{
    int from = at, to = at;

    while (from > 0 && below->point[from].y - above->point[from].y >= line)
        from--;
    while (to + 1 < COUNT && below->point[to].y - above->point[to].y >= line)
        to++;
    double near =
        fmin(above->point[at].x - above->point[from].x, above->point[to].x - above->point[at].x);
    return (struct name){text, above->point[at], (above->point[at].y + below->point[at].y) / 2,
                         2 * near};
}

/* The parts as names; returns their number. */
static size_t draw_parts(mtmi_canvas *c, const mtmi_plot *plot, const mtmi_stack *stack,
                         struct curve *below, struct curve *above,
                         struct name name[MTM_EMITTERS_MAX])
{
    size_t count = 0, parts = mtm_fixture_emitter_count(stack->fixture);
    double line = mtmi_line_height(c, MTMI_TYPE_SMALL);

    memset(below->value, 0, sizeof below->value);
    set_points(plot, below);
    for (size_t k = 0; k < parts; k++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(stack->fixture, k);
        double most = 0;
        int at = 0;
        if (!(stack->level[k] > 0))
            continue;
        for (int i = 0; i < COUNT; i++) {
            double part = stack->scale * stack->level[k] * emitter->spectrum->value[FIRST + i];
            above->value[i] = below->value[i] + part;
            if (part > most) {
                most = part;
                at = i;
            }
        }
        set_points(plot, above);
        fill_between(c, below, above, mtmi_emitter_ink(emitter));
        if (most > SHOWN_SHARE * stack->top)
            name[count++] = name_part(emitter->name, below, above, at, line);
        struct curve *taken = below;
        below = above;
        above = taken;
    }
    return count;
}

/* Names on their parts where there is room, else led to them. */
static void write_names(mtmi_canvas *c, mtmi_placer *placer, const struct name *name, size_t count)
{
    const mtmi_type type = {.size = MTMI_TYPE_SMALL};
    const mtmi_type halo = {.size = MTMI_TYPE_SMALL, .halo = true};
    bool written[MTM_EMITTERS_MAX] = {false};

    for (size_t i = 0; i < count; i++) {
        const mtmi_point middle = {name[i].top.x, name[i].middle_y};
        written[i] = name[i].room >= mtmi_words_extent(c, &type, name[i].text).width &&
                     mtmi_label_draw_at(c, placer, middle, true, &type, name[i].text);
    }
    for (size_t i = 0; i < count; i++) {
        if (!written[i])
            (void)mtmi_label_draw(c, placer, name[i].top, 1, &halo, name[i].text);
    }
}

/* What the spectrum stands beside. */
static void draw_reference(mtmi_canvas *c, const mtmi_plot *plot, mtmi_placer *placer,
                           const mtmi_stack *stack, struct curve *curve)
{
    for (int i = 0; i < COUNT; i++)
        curve->value[i] = stack->reference_scale * stack->reference->value[FIRST + i];
    set_points(plot, curve);
    mtmi_lay_curve(c, curve->point, COUNT, false);
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 1.5, MTMI_DASH_LONG});
    mtmi_placer_avoid(placer, curve->point, COUNT);
}

mtm_result mtmi_stack_draw(mtmi_canvas *c, mtmi_box box, const mtmi_stack *stack, mtm_error *error)
{
    const mtmi_axis x = {.from = MTMI_STACK_FIRST_NM,
                         .to = MTMI_STACK_LAST_NM,
                         .name = "Wavelength, nm",
                         .step = box.width < 30 * mtmi_line_height(c, MTMI_TYPE_SMALL) ? 100 : 50};
    const mtmi_axis y = {.from = 0, .to = stack->top, .name = stack->axis};
    const mtmi_plot plot = mtmi_plot_layout(c, box, &x, &y, false);
    mtmi_placer *placer = mtmi_placer_create(plot.box);
    struct curve first, second;
    struct name name[MTM_EMITTERS_MAX];
    size_t names = 0;

    if (placer == NULL)
        return mtmi_fail_memory(error);
    mtmi_plot_axes(c, &plot, &x, &y);
    mtmi_plot_clip(c, &plot);
    if (stack->fixture != NULL) {
        names = draw_parts(c, &plot, stack, &first, &second, name);
    } else {
        memset(first.value, 0, sizeof first.value);
        for (int i = 0; i < COUNT; i++)
            second.value[i] = stack->scale * stack->sum->value[FIRST + i];
        set_points(&plot, &first);
        set_points(&plot, &second);
        fill_between(c, &first, &second,
                     mtmi_ink_covering(mtmi_canvas_ink(c, MTMI_INK_QUIET), 0.35));
    }
    if (stack->reference != NULL)
        draw_reference(c, &plot, placer, stack, &first);
    write_names(c, placer, name, names);
    mtmi_unclip(c);
    mtmi_placer_free(placer);
    return MTM_OK;
}
