/* SPDX-License-Identifier: MIT */
/* Inputs: files that a report rests on, and the files that they name. */
#include "report/model.h"

#include "base/file.h"
#include "base/folder.h"
#include "base/grow.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Keys of all formats under which a file may be named. */
static const char *const naming[] = {"rig",    "fixture", "spectrum", "calibration",
                                     "filter", "over",    NULL};

struct inputs {
    char **path; /* owned, each file once */
    size_t count, room;
    bool failed;
};

/* Takes the path over. */
static void add_path(struct inputs *inputs, char *path)
{
    for (size_t i = 0; path != NULL && i < inputs->count; i++) {
        if (strcmp(inputs->path[i], path) == 0 || mtmi_file_same(inputs->path[i], path)) {
            free(path);
            return;
        }
    }
    char **grown = path != NULL ? mtmi_grown((void *)inputs->path, inputs->count, &inputs->room,
                                             sizeof *inputs->path)
                                : NULL;
    if (grown == NULL) {
        inputs->failed = true;
        free(path);
        return;
    }
    inputs->path = grown;
    inputs->path[inputs->count++] = path;
}

static bool names_file(const cJSON *item)
{
    for (size_t i = 0; item->string != NULL && naming[i] != NULL; i++) {
        if (strcmp(item->string, naming[i]) == 0)
            return true;
    }
    return false;
}

/* Adds the files that a tree names; cJSON bounds its depth. */
static void follow(struct inputs *inputs, const char *folder, const cJSON *tree, const char **last)
{
    const cJSON *item;

    cJSON_ArrayForEach(item, tree)
    {
        if (!cJSON_IsString(item)) {
            follow(inputs, folder, item, last);
            continue;
        }
        char *path = NULL;
        if (!names_file(item) || (*last != NULL && strcmp(*last, item->valuestring) == 0))
            continue;
        *last = item->valuestring; /* units in a row name one fixture */
        if (mtmi_find_file(folder, item->valuestring, &path, NULL) == MTM_OK)
            add_path(inputs, path);
    }
}

static void follow_file(struct inputs *inputs, const char *path)
{
    char *text = NULL;
    size_t length = 0;
    const char *last = NULL;

    if (mtmi_file_read(path, MTMI_RIG_FILE_LIMIT, &text, &length, NULL) != MTM_OK)
        return;
    if (text[strspn(text, " \t\r\n")] == '{') {
        char *folder = mtmi_path_directory(path);
        cJSON *tree = cJSON_ParseWithLength(text, length);
        if (folder != NULL && tree != NULL)
            follow(inputs, folder, tree, &last);
        cJSON_Delete(tree);
        free(folder);
    }
    free(text);
}

static void add_row(mtm_report *report, const char *path)
{
    char sum[MTM_SHA256_ROOM] = "", size[24] = "";
    size_t bytes = 0;
    mtm_error error = {""};
    bool good = mtm_file_sha256(path, sum, &bytes, &error) == MTM_OK;

    if (good)
        (void)snprintf(size, sizeof size, "%zu", bytes);
    mtm_report_add_row(report, (const char *const[]){path, size, good ? sum : error.text});
}

void mtm_report_add_files(mtm_report *report, const char *const *path, size_t count)
{
    static const mtm_report_column columns[] = {
        {"File", false}, {"Bytes", true}, {"SHA-256", false}};
    struct inputs inputs = {.count = 0};

    if (report == NULL)
        return;
    for (size_t i = 0; path != NULL && i < count; i++)
        add_path(&inputs, path[i] != NULL ? strdup(path[i]) : NULL);
    for (size_t i = 0; i < inputs.count && !inputs.failed; i++)
        follow_file(&inputs, inputs.path[i]); /* what it adds is followed in its turn */
    mtm_report_add_table(report, columns, 3, 1);
    for (size_t i = 0; i < inputs.count; i++) {
        add_row(report, inputs.path[i]);
        free(inputs.path[i]);
    }
    free((void *)inputs.path);
    report->failed = report->failed || inputs.failed;
}
