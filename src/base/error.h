/* SPDX-License-Identifier: MIT */
/* Errors: writing the sentence, once, where the fact is known. */
#ifndef METAMER_BASE_ERROR_H
#define METAMER_BASE_ERROR_H

#include <metamer/base.h>

/** Writes the sentence (if error is not NULL) and returns result. */
mtm_result mtmi_fail(mtm_error *error, mtm_result result, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/** The standard sentence for exhausted memory. */
mtm_result mtmi_fail_memory(mtm_error *error);

/** Puts "prefix: " before a sentence already written. */
void mtmi_error_prefix(mtm_error *error, const char *prefix);

#endif
