/* SPDX-License-Identifier: MIT */
/* Reading filters: what single files and libraries share. */
#ifndef METAMER_FILTER_READ_H
#define METAMER_FILTER_READ_H

#include <metamer/colour.h>
#include <metamer/filter.h>
#include <metamer/spectrum_file.h>

/** A filter from a curve of a set, checked. No file in the sentence. */
MTM_CHECKED mtm_result mtmi_filter_from_set(const mtm_spectrum_set *set, size_t index,
                                            mtm_filter *filter, mtm_error *error);

/** mtm_filters_find; a file is looked for in base_dir (may be NULL), then among the profiles. */
MTM_CHECKED mtm_result mtmi_filters_find(const mtm_filters *filters, const char *text,
                                         const char *base_dir, mtm_filter *filter,
                                         mtm_error *error);

/** True if a path ends in .json. */
bool mtmi_is_filter_json(const char *path);

/** What must hold of a filter and the light before it: finite values, an observer that exists. */
MTM_CHECKED mtm_result mtmi_filter_check(const mtm_filter *filter, const mtm_spectrum *light,
                                         mtm_observer observer, mtm_error *error);

#endif
