/* SPDX-License-Identifier: MIT */
/* Fuzz: cue text. Any text reads; every remark has a line, a known code and a sentence. What was
 * read is written in lines of at most 80 plain characters, reads back without a warning, and is
 * written again as the same text. */
#include "input.h"

#include <metamer/cue_text.h>

static void check_remarks(const mtm_cue_sheet *sheet)
{
    for (size_t i = 0; i < mtm_cue_sheet_remark_count(sheet); i++) {
        mtm_cue_remark remark = mtm_cue_sheet_remark(sheet, i);
        if (remark.code == NULL || remark.text[0] == '\0')
            abort();
    }
}

static void check_lines(const char *text, size_t length)
{
    size_t column = 0;

    for (size_t i = 0; i < length; i++) {
        if (text[i] == '\r' && i + 1 < length && text[i + 1] == '\n') {
            column = 0;
            i++;
        } else if (text[i] < 0x20 || text[i] > 0x7e || ++column > MTM_CUE_LINE_MAX) {
            abort();
        }
    }
}

static char *write_sheet(const mtm_cue_sheet *sheet, bool as_given, size_t *length)
{
    mtm_cue_write_options options = {.as_given = as_given};
    char *text = NULL;

    if (mtm_cue_text_write(sheet, &options, &text, length, NULL, NULL) != MTM_OK)
        abort();
    check_lines(text, *length);
    return text;
}

static void check_again(const mtm_cue_sheet *sheet, bool as_given)
{
    size_t length = 0;
    size_t other = 0;
    char *first = write_sheet(sheet, as_given, &length);
    mtm_cue_sheet *again = NULL;

    if (mtm_cue_text_read(first, length, NULL, &again, NULL) != MTM_OK ||
        mtm_cue_sheet_remarks_of(again, MTM_CUE_ERROR) != 0 ||
        (!as_given && mtm_cue_sheet_remarks_of(again, MTM_CUE_WARN) != 0))
        abort();
    char *second = write_sheet(again, as_given, &other);
    if (length != other || memcmp(first, second, length) != 0)
        abort();
    mtm_cue_sheet_free(again);
    free(first);
    free(second);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const uint16_t pairs[] = {1, 3, 11};
    mtm_cue_read_options options = {pairs, size % 2 == 0 ? 3 : 0};
    char *text = exact_copy(data, size);
    mtm_cue_sheet *sheet = NULL;

    hold(mtm_cue_text_read(text, size, &options, &sheet, NULL) == MTM_OK);
    free(text);
    check_remarks(sheet);
    check_again(sheet, true);
    check_again(sheet, false);
    mtm_cue_sheet_free(sheet);
    return 0;
}
