/* SPDX-License-Identifier: MIT */
/* Dominant wavelength and purity: where the ray from the white leaves the diagram. */
#include <metamer/dominant.h>

#include "base/error.h"
#include "base/number.h"
#include "colour/check.h"
#include "colour/integrate.h"

#include <math.h>

/* Beyond these ends the locus hardly moves, and turns back in its last digits. */
#define LOCUS_FIRST_NM 380
#define LOCUS_LAST_NM 700
#define LOCUS_COUNT (LOCUS_LAST_NM - LOCUS_FIRST_NM + 1)
/* Closer than this a colour is the white itself: the last printed digit of a chromaticity. */
#define SAME_XY 1e-6
/* What rounding of a chromaticity can put outside the locus. */
#define PURITY_SLACK 0.002

struct exit_point {
    double along; /* from the white, in lengths of the ray; 0 where it meets nothing */
    double wavelength_nm;
    bool purple;
};

static mtm_xy locus_point(const double (*observer)[MTM_SPECTRUM_COUNT], size_t i)
{
    size_t at = LOCUS_FIRST_NM - MTM_SPECTRUM_FIRST_NM + i;

    return mtm_xy_from_xyz((mtm_xyz){observer[0][at], observer[1][at], observer[2][at]});
}

/* A ray through a corner meets both its edges; rounding must not let it slip between them. */
#define AT_CORNER 1e-9

/* white + along * ray = a + part * (b - a); false where the ray misses the edge. */
static bool meets_edge(mtm_xy white, mtm_xy ray, mtm_xy a, mtm_xy b, double *along, double *part)
{
    mtm_xy edge = {b.x - a.x, b.y - a.y};
    mtm_xy offset = {a.x - white.x, a.y - white.y};
    double across = (ray.x * edge.y) - (ray.y * edge.x);

    if (across == 0)
        return false;
    *along = ((offset.x * edge.y) - (offset.y * edge.x)) / across;
    *part = ((offset.x * ray.y) - (offset.y * ray.x)) / across;
    return *along > 0 && *part >= -AT_CORNER && *part <= 1 + AT_CORNER;
}

static struct exit_point leave_diagram(const double (*observer)[MTM_SPECTRUM_COUNT], mtm_xy white,
                                       mtm_xy ray)
{
    struct exit_point found = {0, 0, false};
    double along = 0;
    double part = 0;
    mtm_xy a = locus_point(observer, 0);

    for (size_t i = 1; i < LOCUS_COUNT; i++) {
        mtm_xy b = locus_point(observer, i);

        if (meets_edge(white, ray, a, b, &along, &part) && mtmi_exceeds(along, found.along))
            found = (struct exit_point){along, LOCUS_FIRST_NM + (double)(i - 1) + part, false};
        a = b;
    }
    if (meets_edge(white, ray, a, locus_point(observer, 0), &along, &part) &&
        mtmi_exceeds(along, found.along))
        found = (struct exit_point){along, 0, true};
    return found;
}

mtm_result mtm_dominant_from_xy(mtm_xy xy, mtm_xy white, mtm_observer observer,
                                mtm_dominant *dominant, mtm_error *error)
{
    if (dominant == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the dominant wavelength was given");
    mtm_result result = mtmi_check_observer(observer, error);
    if (result == MTM_OK)
        result = mtmi_check_xy("the colour", xy, error);
    if (result == MTM_OK)
        result = mtmi_check_xy("the white", white, error);
    if (result != MTM_OK)
        return result;

    mtm_xy ray = {xy.x - white.x, xy.y - white.y};
    if (hypot(ray.x, ray.y) < SAME_XY)
        return mtmi_fail(error, MTM_RANGE,
                         "x %.4f, y %.4f is the white itself and has no dominant wavelength", xy.x,
                         xy.y);
    const double(*table)[MTM_SPECTRUM_COUNT] = mtmi_observer_table(observer);
    struct exit_point fore = leave_diagram(table, white, ray);
    struct exit_point back = leave_diagram(table, white, (mtm_xy){-ray.x, -ray.y});
    if (fore.along == 0 || back.along == 0)
        return mtmi_fail(error, MTM_INVALID,
                         "the white x %.4f, y %.4f lies outside the spectrum locus", white.x,
                         white.y);
    *dominant =
        (mtm_dominant){fore.purple ? -back.wavelength_nm : fore.wavelength_nm, 1 / fore.along};
    return MTM_OK;
}

bool mtm_dominant_imaginary(mtm_dominant dominant)
{
    return dominant.purity > 1 + PURITY_SLACK;
}
