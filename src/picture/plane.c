/* SPDX-License-Identifier: MIT */
/* Plane: where colours lie in a chromaticity diagram. */
#include "picture/plane.h"

#include "base/error.h"
#include "data/tables.h"

#include <math.h>
#include <string.h>

/* All of the spectrum, with room for its figures. */
static const struct extent {
    double x0, x1, y0, y1;
    const char *x, *y;
} extents[] = {
    [MTM_DIAGRAM_UV] = {-0.09, 0.68, -0.03, 0.65, "u'", "v'"},
    [MTM_DIAGRAM_XY] = {-0.10, 0.84, -0.04, 0.90, "x", "y"},
};

mtmi_point mtmi_plane_coordinates(mtm_diagram diagram, mtm_xy xy)
{
    if (diagram == MTM_DIAGRAM_XY)
        return (mtmi_point){xy.x, xy.y};
    mtm_uv uv = mtm_uv_from_xy(xy);
    return (mtmi_point){uv.u, uv.v};
}

mtmi_point mtmi_plane_at(const mtmi_plane *plane, mtm_xy xy)
{
    mtmi_point at = mtmi_plane_coordinates(plane->diagram, xy);

    return mtmi_plot_at(&plane->plot, at.x, at.y);
}

static mtm_result open_plane(mtmi_canvas *c, mtmi_box box, mtmi_plane *plane, mtm_error *error)
{
    const struct extent *extent = &extents[plane->diagram];

    plane->x.name = extent->x;
    plane->y.name = extent->y;
    plane->plot = mtmi_plot_layout(c, box, &plane->x, &plane->y, true);
    plane->placer = mtmi_placer_create(plane->plot.box);
    return plane->placer != NULL ? MTM_OK : mtmi_fail_memory(error);
}

mtm_result mtmi_plane_open(mtmi_canvas *c, mtmi_box box, mtm_diagram diagram, mtm_observer observer,
                           mtmi_plane *plane, mtm_error *error)
{
    const struct extent *extent = &extents[diagram];

    *plane = (mtmi_plane){.diagram = diagram,
                          .observer = observer,
                          .x = {.from = extent->x0, .to = extent->x1, .step = 0.1},
                          .y = {.from = extent->y0, .to = extent->y1, .step = 0.1}};
    return open_plane(c, box, plane, error);
}

mtm_result mtmi_plane_open_near(mtmi_canvas *c, mtmi_box box, mtm_diagram diagram,
                                mtm_observer observer, mtm_xy middle, double half,
                                mtmi_plane *plane, mtm_error *error)
{
    mtmi_point at = mtmi_plane_coordinates(diagram, middle);

    *plane = (mtmi_plane){.diagram = diagram,
                          .observer = observer,
                          .enlarged = true,
                          .x = {.from = at.x - half, .to = at.x + half},
                          .y = {.from = at.y - half, .to = at.y + half}};
    return open_plane(c, box, plane, error);
}

void mtmi_plane_close(mtmi_plane *plane)
{
    mtmi_placer_free(plane->placer);
    plane->placer = NULL;
}

void mtmi_plane_lay_circle(mtmi_canvas *c, const mtmi_plane *plane, mtm_xy middle, double radius_uv)
{
    enum { CORNERS = 72 };
    mtm_uv uv = mtm_uv_from_xy(middle);
    mtmi_point point[CORNERS];

    for (int i = 0; i < CORNERS; i++) {
        double angle = 2 * 3.14159265358979323846 * i / CORNERS;
        mtm_uv rim = {uv.u + radius_uv * cos(angle), uv.v + radius_uv * sin(angle)};
        point[i] = mtmi_plane_at(plane, mtm_xy_from_uv(rim));
    }
    mtmi_lay_points(c, point, CORNERS, true);
}

void mtmi_plane_draw_frame(mtmi_canvas *c, const mtmi_plane *whole, const mtmi_plane *near)
{
    mtmi_point a = mtmi_plot_at(&whole->plot, near->x.from, near->y.to);
    mtmi_point b = mtmi_plot_at(&whole->plot, near->x.to, near->y.from);

    mtmi_plot_clip(c, &whole->plot);
    mtmi_rectangle(c, (mtmi_box){a.x, a.y, b.x - a.x, b.y - a.y});
    mtmi_stroke(c, (mtmi_pen){mtmi_canvas_ink(c, MTMI_INK_TEXT), 0.75, MTMI_DASH_NONE});
    mtmi_unclip(c);
}

void mtmi_spectrum_locus(mtm_observer observer, mtm_xy point[MTMI_SPECTRUM_LOCUS_COUNT])
{
    const double(*table)[471] =
        observer == MTM_OBSERVER_10 ? mtmi_table_observer_10 : mtmi_table_observer_2;

    for (int i = 0; i < MTMI_SPECTRUM_LOCUS_COUNT; i++) {
        int row = i + MTMI_SPECTRUM_LOCUS_FIRST_NM - 360;
        point[i] = mtm_xy_from_xyz((mtm_xyz){table[0][row], table[1][row], table[2][row]});
    }
}

void mtmi_plane_add_sources(mtmi_text *text, mtm_diagram diagram, mtm_observer observer)
{
    mtmi_text_add(text,
                  "CIE %s for the %s observer (ISO/CIE 11664-1); Planckian locus with c₂ = "
                  "1.4388 × 10⁻² m K (CIE 015:2018), daylight locus dashed (ISO/CIE 11664-2). The "
                  "fill hints at where colours lie; no screen and no print can show most of them.",
                  diagram == MTM_DIAGRAM_XY ? "1931 x, y" : "1976 u', v'",
                  observer == MTM_OBSERVER_10 ? "10°" : "2°");
}
