/* SPDX-License-Identifier: MIT */
/* The least that any program of this kind does: loads LittleCMS and parses the JSON files named. */
#include <cjson/cJSON.h>
#include <lcms2.h>

#include <stdio.h>
#include <stdlib.h>

static int parse(const char *path)
{
    FILE *file = fopen(path, "rb");
    char *text = malloc(1 << 20);
    size_t length = file != NULL && text != NULL ? fread(text, 1, (1 << 20) - 1, file) : 0;
    int good = 0;

    if (file != NULL)
        (void)fclose(file);
    if (length > 0) {
        text[length] = '\0';
        cJSON *root = cJSON_Parse(text);
        good = root != NULL;
        cJSON_Delete(root);
    }
    free(text);
    return good;
}

int main(int argc, char **argv)
{
    cmsContext context = cmsCreateContext(NULL, NULL);
    int good = context != NULL;

    for (int i = 1; i < argc; i++)
        good = parse(argv[i]) && good;
    cmsDeleteContext(context);
    return good ? 0 : 1;
}
