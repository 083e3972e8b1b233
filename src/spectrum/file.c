/* SPDX-License-Identifier: MIT */
/* Spectrum files: which reader a text is for, and sets of one. */
#include "spectrum/set.h"

#include "base/error.h"
#include "base/file.h"
#include "base/utf16.h"
#include "spectrum/cgats_amend.h"

#include <stdlib.h>
#include <string.h>

static mtm_result check_text(const char *text, size_t length, const char *file, mtm_error *error)
{
    const char *nul = memchr(text, '\0', length);
    if (nul != NULL)
        return mtmi_fail(error, MTM_PARSE, "%s: byte %zu is 0, so this is no text", file,
                         (size_t)(nul - text) + 1);
    return MTM_OK;
}

typedef mtm_result (*reader)(const mtmi_source *source, mtm_spectrum_set *set, mtm_error *error);

static reader find_reader(const char *text)
{
    if (text[strspn(text, " \t\r\n")] == '<')
        return mtmi_spectrum_read_tm27;
    return mtmi_is_cgats(text) ? mtmi_spectrum_read_cgats : mtmi_spectrum_read_csv;
}

static mtm_result read_set(const mtmi_source *source, mtm_spectrum_set **out, mtm_error *error)
{
    mtm_spectrum_set *set = mtmi_spectrum_set_create();

    if (set == NULL)
        return mtmi_fail_memory(error);
    mtm_result result = find_reader(source->text)(source, set, error);
    if (result != MTM_OK) {
        mtm_spectrum_set_free(set);
        return result;
    }
    *out = set;
    return MTM_OK;
}

/* Readers want a NUL behind the text. */
static mtm_result read_copy(const char *text, size_t length, const char *file, mtm_ends ends,
                            mtm_spectrum_set **out, mtm_error *error)
{
    static const char mark[] = "\xef\xbb\xbf"; /* of UTF-8; spreadsheets write it */
    size_t skip = length >= 3 && memcmp(text, mark, 3) == 0 ? 3 : 0;
    char *copy = malloc(length - skip + 1);

    if (copy == NULL)
        return mtmi_fail_memory(error);
    memcpy(copy, text + skip, length - skip);
    copy[length - skip] = '\0';
    const mtmi_source source = {file, copy, length - skip, ends};
    mtm_result result = read_set(&source, out, error);
    free(copy);
    return result;
}

mtm_result mtm_spectrum_set_parse(const char *text, size_t length, const char *name_for_errors,
                                  mtm_ends ends, mtm_spectrum_set **out, mtm_error *error)
{
    char *converted = NULL;

    if (text == NULL || name_for_errors == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no text, name or place for the spectra was given");
    if ((unsigned)ends > MTM_ENDS_HOLD)
        return mtmi_fail(error, MTM_INVALID, "there is no such way to end a spectrum: %d",
                         (int)ends);
    mtm_result result = mtmi_utf16_convert(&text, &length, name_for_errors, &converted, error);
    if (result == MTM_OK)
        result = check_text(text, length, name_for_errors, error);
    if (result == MTM_OK)
        result = read_copy(text, length, name_for_errors, ends, out, error);
    free(converted);
    return result;
}

mtm_result mtm_spectrum_set_load(const char *path, mtm_ends ends, mtm_spectrum_set **out,
                                 mtm_error *error)
{
    char *text = NULL;
    size_t length = 0;

    if (path == NULL || out == NULL)
        return mtmi_fail(error, MTM_INVALID, "no path or place for the spectra was given");
    mtm_result result = mtmi_file_read(path, MTMI_FILE_LIMIT, &text, &length, error);
    if (result != MTM_OK)
        return result;
    result = mtm_spectrum_set_parse(text, length, path, ends, out, error);
    free(text);
    return result;
}

mtm_result mtm_spectrum_load(const char *path, mtm_ends ends, mtm_spectrum *spectrum,
                             mtm_error *error)
{
    mtm_spectrum_set *set = NULL;

    if (spectrum == NULL)
        return mtmi_fail(error, MTM_INVALID, "no place for the spectrum was given");
    mtm_result result = mtm_spectrum_set_load(path, ends, &set, error);
    if (result != MTM_OK)
        return result;
    size_t count = mtm_spectrum_set_count(set);
    if (count == 1)
        *spectrum = *mtm_spectrum_set_at(set, 0);
    else
        result =
            mtmi_fail(error, MTM_PARSE, "%s: %zu spectra (%s, %s, ...) where one is wanted", path,
                      count, mtm_spectrum_set_name(set, 0), mtm_spectrum_set_name(set, 1));
    mtm_spectrum_set_free(set);
    return result;
}
