/* SPDX-License-Identifier: MIT */
/* Demand lines: which ports, supplies and circuits a picture of a demand has room for. */
#ifndef METAMER_PICTURE_DEMAND_LINES_H
#define METAMER_PICTURE_DEMAND_LINES_H

#include <metamer/demand_picture.h>

#include <stdint.h>

/** One port, supply or circuit. */
typedef struct mtmi_demand_line {
    size_t row;      /**< of the demands */
    size_t fullest;  /**< case in which most of the rating is used */
    int64_t fulness; /**< millionths of the rating then; those over come before all others */
    bool over;       /**< in any case */
} mtmi_demand_line;

/** All of one type, those that are drawn at the front. */
typedef struct mtmi_demand_section {
    mtm_demand_type type;
    mtmi_demand_line *line;
    size_t count, shown;
    double share; /**< of a rating that may be used */
} mtmi_demand_section;

/** Sections in the order of mtm_demand_type. */
typedef struct mtmi_demand_lines {
    const mtm_demand_view *of;
    mtmi_demand_line *line;
    mtmi_demand_section section[MTM_DEMAND_CIRCUIT + 1];
    size_t over; /**< lines that are over */
    double most; /**< the largest part of a rating */
} mtmi_demand_lines;

/** Gathers all lines. mtmi_demand_lines_free it. MTM_OK, MTM_MEMORY. */
MTM_CHECKED mtm_result mtmi_demand_lines_gather(const mtm_demand_view *of, mtmi_demand_lines *lines,
                                                mtm_error *error);
void mtmi_demand_lines_free(mtmi_demand_lines *lines);

/** Shows so many lines of all sections at most, one for what is left out among them; where they do
 *  not fit, the fullest, and each section as many as the others. */
void mtmi_demand_lines_fit(mtmi_demand_lines *lines, size_t most);
/** Leaves out the section of the most lines, where not even its heading fits. */
void mtmi_demand_lines_drop_longest(mtmi_demand_lines *lines);
/** Lines that mtmi_demand_lines_fit shows, headings apart. */
size_t mtmi_demand_lines_shown(const mtmi_demand_lines *lines);
/** The row of a line in its fullest case. */
const mtm_demand_row *mtmi_demand_line_row(const mtmi_demand_lines *lines,
                                           const mtmi_demand_line *line, size_t of_case);
/** "hall/3", "hall", "C1". */
void mtmi_demand_line_name(const mtm_rig *rig, const mtm_demand_row *row, char *text, size_t room);

#endif
