/* SPDX-License-Identifier: MIT */
/* Picture: what was computed, drawn: SVG, PNG or PDF, in memory or in a file. */
#include <metamer/picture.h>

#include "base/error.h"
#include "base/file.h"
#include "picture/make.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* Of a picture whose width is not said. */
#define WIDTH_PX 1000.0
#define WIDTH_PT 842.0 /* A4 across */
#define HEIGHT_PT 595.0
/* Below this, pictures are laid out upright. */
#define NARROW_PX 700.0

struct mtm_picture {
    mtmi_text bytes;
};

static const mtm_picture_form_info forms[] = {
    {MTM_PICTURE_SVG, "svg", "lines that are sharp at every size"},
    {MTM_PICTURE_PNG, "png", "pixels"},
    {MTM_PICTURE_PDF, "pdf", "a page for print"},
};
#define FORM_COUNT (sizeof forms / sizeof forms[0])

const mtm_picture_form_info *mtm_picture_form_at(size_t index)
{
    return index < FORM_COUNT ? &forms[index] : NULL;
}

mtm_result mtm_picture_form_from_path(const char *path, mtm_picture_form *form, mtm_error *error)
{
    if (path == NULL || form == NULL)
        return mtmi_fail(error, MTM_INVALID, "no path, or no place for the form, was given");
    for (size_t i = 0; i < FORM_COUNT; i++) {
        if (strcasecmp(mtmi_path_ending(path), forms[i].name) == 0) {
            *form = forms[i].form;
            return MTM_OK;
        }
    }
    return mtmi_fail(error, MTM_INVALID,
                     "%.200s: the ending says what a picture is written as; allowed are .svg, .png "
                     "and .pdf",
                     path);
}

static mtm_result check_size(const char *what, double size, mtm_error *error)
{
    if (size == 0 || (size >= MTM_PICTURE_SIZE_MIN && size <= MTM_PICTURE_SIZE_MAX))
        return MTM_OK;
    return mtmi_fail(error, MTM_INVALID, "a picture's %s is %.0f to %.0f, not %g", what,
                     MTM_PICTURE_SIZE_MIN, MTM_PICTURE_SIZE_MAX, size);
}

mtm_result mtmi_picture_check(const mtm_picture_options *options, mtm_error *error)
{
    if (options == NULL)
        return MTM_OK;
    if ((unsigned)options->form >= FORM_COUNT)
        return mtmi_fail(error, MTM_INVALID, "there is no such form of a picture: %d",
                         (int)options->form);
    if ((unsigned)options->diagram > MTM_DIAGRAM_XY)
        return mtmi_fail(error, MTM_INVALID, "there is no such diagram: %d", (int)options->diagram);
    mtm_result result = check_size("width", options->width, error);
    return result == MTM_OK ? check_size("height", options->height, error) : result;
}

/* A date that PDF can hold: 2026-11-26, perhaps with a time behind. */
static bool is_iso_date(const char *date)
{
    static const char shape[] = "0000-00-00";

    for (size_t i = 0; shape[i] != '\0'; i++) {
        bool digit = date[i] >= '0' && date[i] <= '9';
        if (shape[i] == '0' ? !digit : date[i] != '-')
            return false;
    }
    return true;
}

const char *mtmi_picture_date(const char *date)
{
    return date != NULL && is_iso_date(date) ? date : NULL;
}

/* The three forms in the words of the canvas. */
static mtmi_canvas_form canvas_form(mtm_picture_form form)
{
    static const mtmi_canvas_form same[FORM_COUNT] = {MTMI_CANVAS_SVG, MTMI_CANVAS_PNG,
                                                      MTMI_CANVAS_PDF};
    return same[form];
}

static void choose_size(const mtmi_picture_kind *kind, const mtm_picture_options *options,
                        mtmi_canvas_request *request)
{
    bool print = options->form == MTM_PICTURE_PDF;

    request->width = options->width > 0 ? options->width : print ? WIDTH_PT : WIDTH_PX;
    bool narrow = request->width < (print ? NARROW_PX * 0.6 : NARROW_PX);
    double height = request->width * (narrow ? kind->narrow_share : kind->height_share);
    if (print && options->width == 0)
        height = HEIGHT_PT;
    request->height = options->height > 0
                          ? options->height
                          : fmin(MTM_PICTURE_SIZE_MAX, fmax(MTM_PICTURE_SIZE_MIN, round(height)));
}

mtm_result mtmi_picture_make(const mtmi_picture_kind *kind, const void *subject,
                             const mtmi_captions *captions, const mtm_picture_options *options,
                             mtm_picture **out, mtm_error *error)
{
    static const mtm_picture_options usual = {.form = MTM_PICTURE_SVG};
    const mtm_picture_options *how = options != NULL ? options : &usual;
    mtmi_captions words = *captions;
    mtmi_canvas *canvas = NULL;
    mtm_result result = mtmi_picture_check(options, error);

    if (result != MTM_OK)
        return result;
    words.title = how->title != NULL ? how->title : captions->title;
    words.subtitle = how->subtitle != NULL ? how->subtitle : captions->subtitle;
    if (how->place != NULL) {
        *out = NULL;
        mtmi_box body = mtmi_sheet_draw(how->place->canvas, how->place->box, &words, how);
        return kind->draw(how->place->canvas, body, subject, how, error);
    }
    mtmi_canvas_request request = {
        .form = canvas_form(how->form),
        .dark = how->dark,
        .title = words.title,
        .about = words.subtitle,
        .date = mtmi_picture_date(how->date),
    };
    choose_size(kind, how, &request);
    mtm_picture *picture = calloc(1, sizeof *picture);
    if (picture == NULL)
        return mtmi_fail_memory(error);
    result = mtmi_canvas_create(&request, &canvas, error);
    if (result == MTM_OK) {
        mtmi_box body = mtmi_sheet_draw(canvas, mtmi_canvas_page(canvas), &words, how);
        result = kind->draw(canvas, body, subject, how, error);
    }
    if (result == MTM_OK)
        result = mtmi_canvas_finish(canvas, &picture->bytes, error);
    mtmi_canvas_free(canvas);
    if (result != MTM_OK) {
        mtm_picture_free(picture);
        return result;
    }
    *out = picture;
    return MTM_OK;
}

mtm_result mtmi_picture_make_said(const mtmi_picture_kind *kind, const void *subject,
                                  mtmi_text *const words[3], const mtm_picture_options *options,
                                  mtm_picture **out, mtm_error *error)
{
    const mtmi_captions captions = {words[0]->data, words[1]->data, words[2]->data};
    mtm_result result = words[0]->failed || words[1]->failed || words[2]->failed
                            ? mtmi_fail_memory(error)
                            : mtmi_picture_make(kind, subject, &captions, options, out, error);

    for (int i = 0; i < 3; i++)
        mtmi_text_free(words[i]);
    return result;
}

const void *mtm_picture_bytes(const mtm_picture *picture, size_t *count)
{
    if (picture == NULL || count == NULL)
        return NULL;
    *count = picture->bytes.length;
    return picture->bytes.data;
}

mtm_result mtm_picture_save(const mtm_picture *picture, const char *path, mtm_error *error)
{
    if (picture == NULL || path == NULL)
        return mtmi_fail(error, MTM_INVALID, "no picture, or no path, was given");
    return mtmi_file_write(path, picture->bytes.data, picture->bytes.length, error);
}

void mtm_picture_free(mtm_picture *picture)
{
    if (picture == NULL)
        return;
    mtmi_text_free(&picture->bytes);
    free(picture);
}
