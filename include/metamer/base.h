/* SPDX-License-Identifier: MIT */
/* Base: results, errors, version. */
#ifndef METAMER_BASE_H
#define METAMER_BASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
#define MTM_BEGIN extern "C" { /**< opens what C++ is to take as C */
#define MTM_END }              /**< closes it */
#else
#define MTM_BEGIN /**< opens what C++ is to take as C */
#define MTM_END   /**< closes it */
#endif

/** Marks what the library exports. */
#define MTM_API __attribute__((visibility("default")))
/** Marks a function whose result must not be ignored. */
#define MTM_CHECKED __attribute__((warn_unused_result))

MTM_BEGIN

/**
 * Result of every function that can fail.
 *
 * Every public function refuses what its comment does not allow: NULL where it does not say that it
 * may be NULL (mtm_error always may), a number that is not finite or out of its range, an index
 * that is not below its count, a value that an enumeration has not. Those that return mtm_result
 * give MTM_INVALID and a sentence. Of the others, those that return something give nothing: NULL,
 * 0, false, a zeroed struct, NAN for a double; those that write into the caller's memory leave it
 * as it was; formulas of numbers alone give 0, a number that is not finite, or what their comment
 * says. Pointers are else taken as given: to objects that live, with as many places as are asked
 * for.
 *
 * Some results are shared by many functions, whose comments then point here. What reads a file
 * gives MTM_NOT_FOUND where the file, or one that it names, does not exist; MTM_PARSE where
 * something in it is malformed or not allowed; MTM_LIMIT where it is too large (16 MB, a rig 64
 * MB); MTM_UNSUPPORTED for a spectrum in XML where libxml2 is not there; MTM_IO; MTM_MEMORY. What
 * reads text in memory gives the same, MTM_NOT_FOUND and MTM_IO for the files that the text names.
 * What writes a file gives MTM_IO where the disk refuses or a file of that name is read-only, which
 * then stays; MTM_MEMORY.
 *
 * Threads: the library has no state of its own, so that calls on different objects never meet.
 * What a handle allows stands at its type: one that is immutable may be used by many threads at
 * once; one that serves one thread at a time may move from thread to thread between calls. To free
 * an object, or to change it, while another thread is in a call with it is never allowed. Plain
 * values are the caller's.
 */
typedef enum mtm_result {
    MTM_OK = 0,      /**< done */
    MTM_INVALID,     /**< a wrong call: NULL, NaN or a value outside the documented range */
    MTM_RANGE,       /**< the question has no answer here (a CCT far from the locus, say) */
    MTM_PARSE,       /**< a file or text is malformed, or says something not allowed */
    MTM_LIMIT,       /**< larger than a stated limit */
    MTM_NOT_FOUND,   /**< a named file, unit, fixture or colour does not exist */
    MTM_UNSUPPORTED, /**< cannot be computed from what is known, or not in this build */
    MTM_IO,          /**< the system failed: disk, network */
    MTM_MEMORY       /**< out of memory */
} mtm_result;

/** One sentence for the user: what was found, where, what is allowed. Plain, caller-owned. */
typedef struct mtm_error {
    char text[512]; /**< NUL-terminated UTF-8; written only on failure */
} mtm_error;

/** Version of the linked library, "major.minor.patch"; static storage. It is MTM_VERSION
 *  (metamer/version.h) where the program was built with the headers of that very release. */
MTM_API const char *mtm_version(void);

MTM_END
#endif
