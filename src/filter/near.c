/* SPDX-License-Identifier: MIT */
/* Nearest filters: by CIEDE2000 to another filter, by u', v' to a wanted colour. */
#include <metamer/filter.h>

#include "base/number.h"

#include <stdlib.h>
#include <string.h>

/* A filter that moves the light less than this in u', v' only dims it; in a pair it is a waste. */
#define NEUTRAL 0.0005
/* Less light than this, as a share, is darkness. */
#define DARK 1e-5

/* Nearer first; of equals the brighter, then the simpler. */
static bool before(const mtm_near_filter *a, const mtm_near_filter *b)
{
    if (mtmi_exceeds(b->distance, a->distance) || mtmi_exceeds(a->distance, b->distance))
        return a->distance < b->distance;
    if (mtmi_exceeds(b->transmittance_y, a->transmittance_y) ||
        mtmi_exceeds(a->transmittance_y, b->transmittance_y))
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
    if (filters == NULL || near == NULL)
        return 0;
    mtm_filtered wanted;
    size_t held = 0;

    if (mtm_filter_over(filter, light, observer, &wanted, NULL) != MTM_OK)
        return 0;
    for (size_t i = 0; i < mtm_filters_count(filters); i++) {
        mtm_filtered made;
        if (strcmp(mtm_filters_at(filters, i)->name, filter->name) == 0 ||
            mtm_filter_over(mtm_filters_at(filters, i), light, observer, &made, NULL) != MTM_OK)
            continue;
        mtm_near_filter one = {i, SIZE_MAX, mtm_lab_ciede2000(wanted.lab, made.lab),
                               made.transmittance_y};
        held = offer(near, held, count, one);
    }
    return held;
}

/* What the search goes by. */
struct search {
    const mtm_filters *filters;
    const mtm_spectrum *light;
    mtm_observer observer;
    mtm_uv wanted, bare;
    double bare_y;
    mtm_near_filter *near;
    size_t held, room;
};

/* Offers what is behind one or two filters; a dark colour has no chromaticity and is passed over.
 */
static void offer_colour(struct search *search, const mtm_spectrum *behind, size_t first,
                         size_t second)
{
    mtm_xyz xyz = mtm_xyz_from_spectrum(behind, search->observer);
    mtm_near_filter one = {first, second, mtm_uv_distance(search->wanted, mtm_uv_from_xyz(xyz)),
                           xyz.y / search->bare_y};

    if (one.transmittance_y > DARK)
        search->held = offer(search->near, search->held, search->room, one);
}

static bool is_neutral(const struct search *search, size_t index)
{
    mtm_spectrum behind = mtm_filter_apply(mtm_filters_at(search->filters, index), search->light);
    mtm_xyz xyz = mtm_xyz_from_spectrum(&behind, search->observer);

    return mtm_uv_distance(search->bare, mtm_uv_from_xyz(xyz)) < NEUTRAL;
}

static void offer_pairs(struct search *search, size_t first, const mtm_spectrum *behind_first)
{
    if (is_neutral(search, first))
        return;
    for (size_t k = first; k < mtm_filters_count(search->filters); k++) {
        mtm_spectrum behind = mtm_filter_apply(mtm_filters_at(search->filters, k), behind_first);
        if (!is_neutral(search, k))
            offer_colour(search, &behind, first, k);
    }
}

size_t mtm_filters_nearest(const mtm_filters *filters, mtm_xy target, const mtm_spectrum *light,
                           mtm_observer observer, bool pairs, mtm_near_filter *near, size_t count)
{
    if (filters == NULL || near == NULL || !mtm_xy_valid(target))
        return 0;
    mtm_xyz bare = mtm_xyz_from_spectrum(light, observer);
    struct search search = {.filters = filters,
                            .light = light,
                            .observer = observer,
                            .wanted = mtm_uv_from_xy(target),
                            .bare = mtm_uv_from_xyz(bare),
                            .bare_y = bare.y,
                            .near = near,
                            .room = count};

    if (!(bare.y > 0))
        return 0;
    for (size_t i = 0; i < mtm_filters_count(filters); i++) {
        mtm_spectrum behind = mtm_filter_apply(mtm_filters_at(filters, i), light);
        if (pairs)
            offer_pairs(&search, i, &behind);
        else
            offer_colour(&search, &behind, i, SIZE_MAX);
    }
    return search.held;
}
