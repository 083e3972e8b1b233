/* SPDX-License-Identifier: MIT */
/* JSON: values with their path, so that every error says where. Parsing is cJSON's. */
#ifndef METAMER_BASE_JSON_H
#define METAMER_BASE_JSON_H

#include <metamer/base.h>

#include <cjson/cJSON.h>

/** Most keys of one object; tables of names state fewer. */
#define MTMI_JSON_KEYS_MAX 5000
/** Most values of a text, so that a small file cannot fill the memory. */
#define MTMI_JSON_VALUES_MAX 2000000
/** Most bytes of a string. */
#define MTMI_JSON_STRING_MAX 400

/** A value and the way to it. Lives on the stack; parent must outlive it. */
typedef struct mtmi_node {
    const cJSON *item;
    const char *file;               /**< for errors */
    const struct mtmi_node *parent; /**< NULL for the root */
    const char *key;                /**< NULL for an array element */
    size_t index;                   /**< in an array */
} mtmi_node;

/**
 * Parses text (length bytes, no NUL needed), refuses too many values and repeated keys, and checks
 * that the root is an object whose "metamer" is format ("rig/1"). The caller deletes *root with
 * cJSON_Delete.
 */
MTM_CHECKED mtm_result mtmi_json_open(const char *text, size_t length, const char *file,
                                      const char *format, cJSON **root, mtm_error *error);

/** The root as a node. */
mtmi_node mtmi_json_root(const cJSON *root, const char *file);

/** MTM_PARSE and "file: path: sentence". */
mtm_result mtmi_json_fail(const mtmi_node *node, mtm_error *error, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/** "file: path: sentence" of a failure below, which keeps its result; what is invalid is what the
 *  file holds: MTM_PARSE. */
mtm_result mtmi_json_fail_as(const mtmi_node *node, mtm_result result, const mtm_error *inner,
                             mtm_error *error);

/** node must be an object with only these keys (NULL-terminated); names the nearest otherwise. */
MTM_CHECKED mtm_result mtmi_json_keys(const mtmi_node *node, const char *const *allowed,
                                      mtm_error *error);

/** The child named key; false if there is none. */
bool mtmi_json_child(const mtmi_node *parent, const char *key, mtmi_node *child);

/** Walks an array or object: for (bool more = mtmi_json_first(&list, &child); more;
 *  more = mtmi_json_next(&child)) */
bool mtmi_json_first(const mtmi_node *parent, mtmi_node *child);
bool mtmi_json_next(mtmi_node *child);

/** A node's own value as a finite number in [least, most]. */
MTM_CHECKED mtm_result mtmi_json_as_number(const mtmi_node *node, double least, double most,
                                           double *value, mtm_error *error);
/** A node's own value as a whole number in [least, most]. */
MTM_CHECKED mtm_result mtmi_json_as_integer(const mtmi_node *node, int least, int most, int *value,
                                            mtm_error *error);
/** A node's own value as a string: not empty, no control characters. Borrowed from the tree. */
MTM_CHECKED mtm_result mtmi_json_as_string(const mtmi_node *node, const char **value,
                                           mtm_error *error);

/** The same for a child that must exist. */
MTM_CHECKED mtm_result mtmi_json_number(const mtmi_node *parent, const char *key, double least,
                                        double most, double *value, mtm_error *error);
MTM_CHECKED mtm_result mtmi_json_integer(const mtmi_node *parent, const char *key, int least,
                                         int most, int *value, mtm_error *error);
MTM_CHECKED mtm_result mtmi_json_string(const mtmi_node *parent, const char *key,
                                        const char **value, mtm_error *error);
/** The same for a child that may be missing: *value then stays as it is. */
MTM_CHECKED mtm_result mtmi_json_optional_string(const mtmi_node *parent, const char *key,
                                                 const char **value, mtm_error *error);
MTM_CHECKED mtm_result mtmi_json_optional_number(const mtmi_node *parent, const char *key,
                                                 double least, double most, double *value,
                                                 mtm_error *error);
MTM_CHECKED mtm_result mtmi_json_optional_integer(const mtmi_node *parent, const char *key,
                                                  int least, int most, int *value,
                                                  mtm_error *error);
/** true or false. */
MTM_CHECKED mtm_result mtmi_json_optional_bool(const mtmi_node *parent, const char *key,
                                               bool *value, mtm_error *error);
/** A child that must be an array of least..most elements. */
MTM_CHECKED mtm_result mtmi_json_array(const mtmi_node *parent, const char *key, size_t least,
                                       size_t most, mtmi_node *array, size_t *count,
                                       mtm_error *error);

/** Every element of an array as a number in [least, most]; value has a place for each. */
MTM_CHECKED mtm_result mtmi_json_as_numbers(const mtmi_node *array, double least, double most,
                                            double *value, mtm_error *error);
/** A child that must be an array of exactly count numbers in [least, most]. */
MTM_CHECKED mtm_result mtmi_json_numbers(const mtmi_node *parent, const char *key, size_t count,
                                         double least, double most, double *value,
                                         mtm_error *error);

/** "a number", "text", ...: what a value is, for errors. */
const char *mtmi_json_type(const cJSON *item);

#endif
