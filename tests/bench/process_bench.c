/* SPDX-License-Identifier: MIT */
/* Whole processes: "metamer match" on the example rig against a program that only loads LittleCMS
 * and parses the same JSON, run in turns. Arguments: METAMER PEER SOURCE. */
#include "support/timing.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <dirent.h>
#include <fcntl.h>
#include <limits.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#define ROUNDS 200

struct figures {
    double seconds[ROUNDS];
    long peak_kib;
};

static void become(char *const *arguments)
{
    int null = open("/dev/null", O_WRONLY);

    if (null >= 0)
        (void)dup2(null, STDOUT_FILENO);
    (void)execv(arguments[0], arguments);
    _exit(127);
}

/* Peak memory comes from a middle process, for it adds up over all children of one parent. */
static long peak_kib(char *const *arguments)
{
    int ends[2];
    long peak = -1;

    if (pipe(ends) != 0)
        return -1;
    pid_t middle = fork();
    if (middle == 0) {
        struct rusage usage;
        pid_t child = fork();
        if (child == 0)
            become(arguments);
        (void)waitpid(child, NULL, 0);
        (void)getrusage(RUSAGE_CHILDREN, &usage);
        (void)!write(ends[1], &usage.ru_maxrss, sizeof usage.ru_maxrss);
        _exit(0);
    }
    (void)waitpid(middle, NULL, 0);
    if (read(ends[0], &peak, sizeof peak) != (ssize_t)sizeof peak)
        peak = -1;
    (void)close(ends[0]);
    (void)close(ends[1]);
    return peak;
}

static double run_once(char *const *arguments)
{
    int status = 0;
    double start = timing_now_s();
    pid_t child = fork();

    if (child == 0)
        become(arguments);
    (void)waitpid(child, &status, 0);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        (void)fprintf(stderr, "%s failed\n", arguments[0]);
        exit(1);
    }
    return timing_now_s() - start;
}

static void summarise(const char *name, struct figures *f)
{
    qsort(f->seconds, ROUNDS, sizeof f->seconds[0], timing_by_value);
    printf("%-28s fastest %6.2f ms, median %6.2f ms, 90 %% %6.2f ms, peak %ld KiB\n", name,
           1e3 * f->seconds[0], 1e3 * f->seconds[ROUNDS / 2], 1e3 * f->seconds[ROUNDS * 9 / 10],
           f->peak_kib);
}

/* The rig and every fixture of the profiles folder, for the peer. */
static size_t list_files(const char *source, char **list, size_t most)
{
    static char path[64][1024];
    size_t count = 0;
    char folder[512];

    (void)snprintf(path[count], sizeof path[0], "%s/examples/hall.json", source);
    list[count] = path[count];
    count++;
    (void)snprintf(folder, sizeof folder, "%s/profiles", source);
    DIR *directory = opendir(folder);
    for (const struct dirent *e = directory != NULL ? readdir(directory) : NULL;
         e != NULL && count < most; e = readdir(directory)) {
        size_t length = strlen(e->d_name);
        if (length < 5 || strcmp(e->d_name + length - 5, ".json") != 0)
            continue;
        (void)snprintf(path[count], sizeof path[0], "%s/%s", folder, e->d_name);
        list[count] = path[count];
        count++;
    }
    if (directory != NULL)
        (void)closedir(directory);
    return count;
}

int main(int argc, char **argv)
{
    static struct figures ours;
    static struct figures peer;
    char *peer_arguments[66] = {NULL};
    char rig[1024];

    if (argc != 4)
        return 2;
    (void)snprintf(rig, sizeof rig, "%s/examples/hall.json", argv[3]);
    char match[] = "match";
    char cct[] = "--cct=3200";
    char *const our_arguments[] = {argv[1], match, rig, cct, NULL};
    peer_arguments[0] = argv[2];
    (void)list_files(argv[3], peer_arguments + 1, 64);
    for (int i = 0; i < 10; i++) {
        (void)run_once(our_arguments);
        (void)run_once(peer_arguments);
    }
    for (int i = 0; i < ROUNDS; i++) {
        ours.seconds[i] = run_once(our_arguments);
        peer.seconds[i] = run_once(peer_arguments);
    }
    /* what the kernel maps ahead differs from run to run: the least is the program's own */
    ours.peak_kib = peer.peak_kib = LONG_MAX;
    for (int i = 0; i < 20; i++) {
        long our_peak = peak_kib(our_arguments);
        long peer_peak = peak_kib(peer_arguments);
        ours.peak_kib = our_peak < ours.peak_kib ? our_peak : ours.peak_kib;
        peer.peak_kib = peer_peak < peer.peak_kib ? peer_peak : peer.peak_kib;
    }
    summarise("metamer match, example rig", &ours);
    summarise("LittleCMS and JSON only", &peer);
    printf("time: %.2f x (fastest), %.2f x (median); wanted at most 1.3\n",
           ours.seconds[0] / peer.seconds[0], ours.seconds[ROUNDS / 2] / peer.seconds[ROUNDS / 2]);
    printf("peak memory: %.2f x; wanted at most 1.5\n",
           (double)ours.peak_kib / (double)peer.peak_kib);
    return 0;
}
