/* SPDX-License-Identifier: MIT */
/* Hint: the fill of a chromaticity diagram: where colours lie, pale enough to draw on. */
#include "picture/hint.h"

#include "colour/screen.h"

#include <metamer/rgb.h>

#include <math.h>
#include <stdlib.h>

/* Pixels along one side; smooth, and no more than a few kB in SVG. */
#define SIDE 64
/* Share of the colour in its mixture with paper (of light); the rest is the ground. */
#define SHARE_LIGHT 0.42
#define SHARE_PRINT 0.34
#define SHARE_DARK 0.09

/* XYZ of a colour that sRGB shows, the largest of its parts 1: a chromaticity outside is moved to
 * white along a straight line, so that its dominant wavelength stays. */
static mtm_xyz shown_colour(mtm_xy xy)
{
    const mtm_rgb_space *srgb = mtm_rgb_space_at(0);
    mtm_rgb rgb = mtm_rgb_brightest(srgb, xy);
    double r = srgb->to_light(rgb.r), g = srgb->to_light(rgb.g), b = srgb->to_light(rgb.b);
    double least = fmin(r, fmin(g, b));

    if (least < 0) { /* white added until the least is 0; then the largest is 1 again */
        double most = fmax(r, fmax(g, b)) - least;
        r = (r - least) / most;
        g = (g - least) / most;
        b = (b - least) / most;
    }
    rgb = (mtm_rgb){srgb->from_light(r), srgb->from_light(g), srgb->from_light(b)};
    return mtm_rgb_to_xyz(srgb, rgb);
}

static void mix_ground(mtmi_canvas *c, mtm_xyz *xyz)
{
    mtmi_theme theme = mtmi_canvas_theme(c);
    mtmi_ink paper = mtmi_canvas_ink(c, MTMI_INK_PAPER);
    double share = theme == MTMI_THEME_DARK    ? SHARE_DARK
                   : theme == MTMI_THEME_PRINT ? SHARE_PRINT
                                               : SHARE_LIGHT;
    mtm_xyz ground = mtm_rgb_to_xyz(mtm_rgb_space_at(0), (mtm_rgb){paper.r, paper.g, paper.b});

    xyz->x = share * xyz->x + (1 - share) * ground.x;
    xyz->y = share * xyz->y + (1 - share) * ground.y;
    xyz->z = share * xyz->z + (1 - share) * ground.z;
}

/* Colours of the pixels' middles. */
static void fill_xyz(mtmi_canvas *c, const mtmi_plane *plane, mtm_xyz *xyz)
{
    for (int row = 0; row < SIDE; row++) {
        for (int column = 0; column < SIDE; column++) {
            const mtmi_axis *x = &plane->x, *y = &plane->y;
            double a = x->from + (column + 0.5) / SIDE * (x->to - x->from);
            double b = y->to - (row + 0.5) / SIDE * (y->to - y->from);
            mtm_xy xy = {a, b};
            if (plane->diagram == MTM_DIAGRAM_UV)
                xy = mtm_xy_from_uv((mtm_uv){a, fmax(b, 0.005)});
            xy.y = fmax(xy.y, 0.002); /* outside the spectrum, which is cut off */
            mtm_xyz colour = shown_colour(xy);
            mix_ground(c, &colour);
            xyz[row * SIDE + column] = colour;
        }
    }
}

static bool to_screen(mtm_xyz *xyz, uint32_t *pixel)
{
    uint8_t(*rgb)[3] = malloc(sizeof(uint8_t[3]) * SIDE * SIDE);
    bool done = rgb != NULL && mtmi_screen_from_xyz(xyz, (size_t)SIDE * SIDE, rgb);

    for (int i = 0; done && i < SIDE * SIDE; i++)
        pixel[i] = 0xff000000U | (uint32_t)rgb[i][0] << 16 | (uint32_t)rgb[i][1] << 8 | rgb[i][2];
    free(rgb);
    return done;
}

void mtmi_hint_draw(mtmi_canvas *c, const mtmi_plane *plane, const mtmi_point *locus, size_t count)
{
    size_t pixels = (size_t)SIDE * SIDE;
    mtm_xyz *xyz = malloc(pixels * sizeof *xyz);
    uint32_t *pixel = malloc(pixels * sizeof *pixel);

    if (xyz != NULL)
        fill_xyz(c, plane, xyz);
    if (xyz == NULL || pixel == NULL || !to_screen(xyz, pixel)) {
        mtmi_canvas_lack_memory(c);
    } else {
        mtmi_plot_clip(c, &plane->plot);
        mtmi_lay_points(c, locus, count, true);
        mtmi_clip(c);
        mtmi_image(c, plane->plot.box, pixel, SIDE, SIDE);
        mtmi_unclip(c);
        mtmi_unclip(c);
    }
    free(xyz);
    free(pixel);
}
