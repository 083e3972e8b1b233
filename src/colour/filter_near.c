/* SPDX-License-Identifier: MIT */
/* Nearest filters: by CIEDE2000 to another filter, by u', v' to a wanted colour. */
#include <metamer/filter.h>

#include <stdlib.h>

/* Nearer first; of equals the brighter, then the simpler. */
static bool before(const mtm_near_filter *a, const mtm_near_filter *b)
{
    if (a->distance != b->distance)
        return a->distance < b->distance;
    if (a->transmittance_y != b->transmittance_y)
        return a->transmittance_y > b->transmittance_y;
    return a->first < b->first;
}

/* Keeps the nearest room of all offered, in order; returns how many it holds now. */
static size_t offer(mtm_near_filter *near, size_t held, size_t room, mtm_near_filter one)
{
    size_t at = held;

    while (at > 0 && before(&one, &near[at - 1]))
        at--;
    if (at >= room)
        return held;
    size_t last = held < room ? held : room - 1;
    for (size_t i = last; i > at; i--)
        near[i] = near[i - 1];
    near[at] = one;
    return held < room ? held + 1 : room;
}

size_t mtm_filters_like(const mtm_filters *filters, const mtm_filter *filter,
                        const mtm_spectrum *light, mtm_observer observer, mtm_near_filter *near,
                        size_t count)
{
    mtm_filtered wanted;
    size_t held = 0;

    if (mtm_filter_over(filter, light, observer, &wanted, NULL) != MTM_OK)
        return 0;
    for (size_t i = 0; i < mtm_filters_count(filters); i++) {
        mtm_filtered made;
        if (mtm_filter_over(mtm_filters_at(filters, i), light, observer, &made, NULL) != MTM_OK)
            continue;
        mtm_near_filter one = {i, SIZE_MAX, mtm_lab_ciede2000(wanted.lab, made.lab),
                               made.transmittance_y};
        held = offer(near, held, count, one);
    }
    return held;
}

/* Offers one filter over a light; a dark colour has no chromaticity and is passed over. */
static size_t offer_colour(const mtm_filter *filter, const mtm_spectrum *light, mtm_uv wanted,
                           double bare_y, mtm_near_filter one, mtm_observer observer,
                           mtm_near_filter *near, size_t held, size_t room)
{
    mtm_spectrum behind = mtm_filter_apply(filter, light);
    mtm_xyz xyz = mtm_xyz_from_spectrum(&behind, observer);

    one.transmittance_y = xyz.y / bare_y;
    if (!(one.transmittance_y > 1e-5))
        return held;
    one.distance = mtm_uv_distance(wanted, mtm_uv_from_xyz(xyz));
    return offer(near, held, room, one);
}

size_t mtm_filters_nearest(const mtm_filters *filters, mtm_xy target, const mtm_spectrum *light,
                           mtm_observer observer, bool pairs, mtm_near_filter *near, size_t count)
{
    size_t filter_count = mtm_filters_count(filters);
    mtm_uv wanted = mtm_uv_from_xy(target);
    double bare_y = mtm_xyz_from_spectrum(light, observer).y;
    size_t held = 0;

    if (!(bare_y > 0))
        return 0;
    for (size_t i = 0; i < filter_count; i++) {
        const mtm_filter *first = mtm_filters_at(filters, i);
        if (!pairs) {
            held = offer_colour(first, light, wanted, bare_y, (mtm_near_filter){i, SIZE_MAX, 0, 0},
                                observer, near, held, count);
            continue;
        }
        mtm_spectrum behind = mtm_filter_apply(first, light);
        for (size_t k = i; k < filter_count; k++)
            held = offer_colour(mtm_filters_at(filters, k), &behind, wanted, bare_y,
                                (mtm_near_filter){i, k, 0, 0}, observer, near, held, count);
    }
    return held;
}
