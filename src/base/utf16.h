/* SPDX-License-Identifier: MIT */
/* UTF-16: text that begins with its mark, as spreadsheets save it, made UTF-8. */
#ifndef METAMER_BASE_UTF16_H
#define METAMER_BASE_UTF16_H

#include <metamer/base.h>

/**
 * Where *text begins with the mark of UTF-16, of either order (RFC 2781), puts *text and *length to
 * the same as UTF-8, without a mark, in *converted, which the caller frees. Other text stays, and
 * *converted is NULL.
 * @return MTM_OK; MTM_PARSE for half a character; MTM_MEMORY
 */
MTM_CHECKED mtm_result mtmi_utf16_convert(const char **text, size_t *length, const char *file,
                                          char **converted, mtm_error *error);

#endif
