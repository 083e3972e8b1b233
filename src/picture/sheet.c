/* SPDX-License-Identifier: MIT */
/* Sheet: title, meaning and sources about the body of a picture. */
#include "picture/make.h"

#include <math.h>

/* Around everything, and between the words and the body. */
#define MARGIN_WIDE 24.0
#define MARGIN 16.0
#define GAP 8.0
/* Most of a page's height that words above, and below, take. */
#define LINES_TITLE 2
#define LINES_SUBTITLE 3
#define LINES_SOURCES 4

/* The quiet line: sources, date, version. */
static void add_sources(mtmi_text *text, const mtmi_captions *captions,
                        const mtm_picture_options *options)
{
    if (captions->sources != NULL)
        mtmi_text_add(text, "%s ", captions->sources);
    if (options->date != NULL)
        mtmi_text_add(text, "%s. ", options->date);
    mtmi_text_add(text, "metamer %s.", mtm_version());
}

mtmi_box mtmi_sheet_draw(mtmi_canvas *c, mtmi_box box, const mtmi_captions *captions,
                         const mtm_picture_options *options)
{
    double margin = box.width < 700 ? MARGIN : MARGIN_WIDE;
    mtmi_box in = {box.x + margin, box.y + margin, box.width - 2 * margin, box.height - 2 * margin};
    mtmi_type title = {
        .size = MTMI_TYPE_TITLE, .bold = true, .width = in.width, .lines = LINES_TITLE};
    mtmi_type subtitle = {.size = MTMI_TYPE_BODY, .width = in.width, .lines = LINES_SUBTITLE};
    mtmi_type quiet = {
        .size = MTMI_TYPE_SMALL, .ink = MTMI_INK_QUIET, .width = in.width, .lines = LINES_SOURCES};
    mtmi_text sources = {0};
    double used = 0;

    mtmi_tag_begin(c, "H1");
    used += mtmi_words(c, in.x, in.y, &title, captions->title).height;
    mtmi_tag_end(c, "H1");
    if (captions->subtitle != NULL && captions->subtitle[0] != '\0') {
        mtmi_tag_begin(c, "P");
        used += GAP / 2;
        used += mtmi_words(c, in.x, in.y + used, &subtitle, captions->subtitle).height;
        mtmi_tag_end(c, "P");
    }
    used += GAP;
    add_sources(&sources, captions, options);
    const char *line = sources.data != NULL ? sources.data : "";
    double below = mtmi_words_extent(c, &quiet, line).height;
    mtmi_tag_begin(c, "P");
    (void)mtmi_words(c, in.x, in.y + in.height - below, &quiet, line);
    mtmi_tag_end(c, "P");
    if (sources.failed)
        mtmi_canvas_lack_memory(c);
    mtmi_text_free(&sources);
    return (mtmi_box){in.x, in.y + used, in.width, fmax(1, in.height - used - below - GAP)};
}

mtmi_parts mtmi_parts_of(mtmi_box box)
{
    const double apart = 16;
    const double share = 0.62; /* of the large part */

    if (box.height > box.width) {
        double large = fmin(box.width * 0.88, (box.height - apart) * share);
        return (mtmi_parts){
            {box.x, box.y, box.width, large},
            {box.x, box.y + large + apart, box.width, fmax(1, box.height - large - apart)}};
    }
    double large = fmin(box.height * 1.1, (box.width - apart) * share);
    return (mtmi_parts){
        {box.x, box.y, large, box.height},
        {box.x + large + apart, box.y, fmax(1, box.width - large - apart), box.height}};
}
