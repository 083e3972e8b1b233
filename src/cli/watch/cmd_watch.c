/* SPDX-License-Identifier: MIT */
/* metamer watch: shows what is sent to the units. */
#include "cli/args/ip.h"
#include "cli/args/rig.h"
#include "cli/out/stop.h"
#include "cli/watch/watch.h"

#include "base/error.h"

#include <stdlib.h>
#include <string.h>

#define NS_OF_SECOND UINT64_C(1000000000)
/* Redraws of a terminal, and lines of a pipe, unless --every says otherwise. */
#define LIVE_S 0.2
#define PIPE_S 1.0
/* --once: as long as it takes to count packets, and at most until a source would be given up. */
#define ONCE_MIN_S 1.05
#define ONCE_MAX_S 3.5

static mtm_result fail_range(const char *text, mtm_error *error)
{
    return mtmi_fail(error, MTM_PARSE,
                     "--universes: found \"%.60s\", wanted are numbers from 1 to %d as in 1-4,7",
                     text, MTM_UNIVERSE_MAX);
}

/* A universe number at *at; 0 if there is none. */
static unsigned long take_universe(const char **at)
{
    unsigned long number = 0;

    for (int digits = 0; **at >= '0' && **at <= '9' && digits < 6; digits++)
        number = number * 10 + (unsigned long)(*(*at)++ - '0');
    return number <= MTM_UNIVERSE_MAX ? number : 0;
}

/* "1-4,7" */
static mtm_result add_list(mtm_receiver *receiver, const char *text, mtm_error *error)
{
    for (const char *at = text;; at++) {
        unsigned long first = take_universe(&at);
        unsigned long last = first;
        if (first != 0 && *at == '-') {
            at++;
            last = take_universe(&at);
        }
        if (first == 0 || last < first || (*at != ',' && *at != '\0'))
            return fail_range(text, error);
        for (unsigned long u = first; u <= last; u++) {
            mtm_result result = mtm_receiver_add(receiver, (uint16_t)u, error);
            if (result != MTM_OK)
                return result;
        }
        if (*at == '\0')
            return MTM_OK;
    }
}

static int by_number(const void *left, const void *right)
{
    unsigned a = *(const uint16_t *)left;
    unsigned b = *(const uint16_t *)right;

    return (a > b) - (a < b);
}

/* The universes of a rig, each once, rising. */
static mtm_result add_of_rig(mtm_receiver *receiver, const mtm_rig *rig, mtm_error *error)
{
    size_t count = mtm_rig_unit_count(rig);
    uint16_t *number = calloc(count + 1, sizeof *number);
    mtm_result result = MTM_OK;

    if (number == NULL)
        return mtmi_fail_memory(error);
    for (size_t i = 0; i < count; i++)
        number[i] = (uint16_t)mtm_rig_unit(rig, i)->universe;
    qsort(number, count, sizeof *number, by_number);
    for (size_t i = 0; result == MTM_OK && i < count; i++) {
        if (number[i] != 0 && (i == 0 || number[i] != number[i - 1]))
            result = mtm_receiver_add(receiver, number[i], error);
    }
    free(number);
    return result;
}

static mtm_result open_watch(const struct args *args, struct watch *watch, mtm_error *error)
{
    mtm_receiver_options from = {.interface = args_text(args, "interface", NULL),
                                 .address = args_text(args, "listen", NULL),
                                 .ip = ((const struct ip_choice *)args_choice(args, "ip"))->ip,
                                 .port = (uint16_t)args_number(args, "port", 0),
                                 .preview = args_has(args, "preview")};
    const char *universes = args_text(args, "universes", NULL);
    mtm_result result = MTM_OK;

    if (args->word_count > 0)
        result = mtm_rig_load(args->words[0], &watch->rig, error);
    else if (args_has(args, "units"))
        result =
            mtmi_fail(error, MTM_PARSE, "--units goes with a RIG, and would do nothing without");
    if (result == MTM_OK && watch->rig != NULL)
        result = rig_restrict_from_args(args, watch->rig, error);
    if (result == MTM_OK)
        result = mtm_receiver_create(&from, &watch->receiver, error);
    if (result == MTM_OK && universes != NULL)
        result = add_list(watch->receiver, universes, error);
    else if (result == MTM_OK && watch->rig != NULL)
        result = add_of_rig(watch->receiver, watch->rig, error);
    if (result == MTM_OK)
        result = watch_prepare(watch, error);
    return result;
}

static bool all_heard(const struct watch *watch)
{
    for (size_t u = 0; u < mtm_receiver_universe_count(watch->receiver); u++) {
        if (watch_winner(mtm_receiver_universe(watch->receiver, u)) == NULL)
            return false;
    }
    return true;
}

/* Receives until time_ns, or until told to stop. */
static mtm_result receive_until(struct watch *watch, uint64_t time_ns, mtm_error *error)
{
    mtm_result result = MTM_OK;

    for (uint64_t now_ns = mtm_stream_now_ns();
         result == MTM_OK && now_ns < time_ns && *stop_flag() == 0; now_ns = mtm_stream_now_ns()) {
        uint64_t left_ms = (time_ns - now_ns) / 1000000 + 1;
        result =
            mtm_receiver_wait(watch->receiver, left_ms < 200 ? (int)left_ms : 200, NULL, error);
    }
    return result;
}

static bool is_over(const struct args *args, const struct watch *watch)
{
    if (*stop_flag() != 0)
        return true;
    if (args_has(args, "seconds") && watch->seconds >= args_number(args, "seconds", 0))
        return true;
    return args_has(args, "once") &&
           (watch->seconds >= ONCE_MAX_S || (watch->seconds >= ONCE_MIN_S && all_heard(watch)));
}

/* Draws at each step; --once only at the end. */
static mtm_result follow(const struct args *args, struct watch *watch, struct screen *screen,
                         const struct watch_writer *writer, mtm_error *error)
{
    bool once = args_has(args, "once");
    double every_s = args_number(args, "every", screen->live ? LIVE_S : PIPE_S);
    uint64_t step_ns = (uint64_t)((once ? 0.05 : every_s) * (double)NS_OF_SECOND);
    uint64_t end_ns =
        watch->start_ns + (uint64_t)(args_number(args, "seconds", 1e9) * (double)NS_OF_SECOND);
    uint64_t next_ns = watch->start_ns;
    mtm_result result = MTM_OK;
    bool first = true;

    while (result == MTM_OK) {
        next_ns = next_ns + step_ns < end_ns ? next_ns + step_ns : end_ns;
        result = receive_until(watch, next_ns, error);
        if (result != MTM_OK)
            break;
        watch_update(watch, mtm_stream_now_ns());
        bool over = is_over(args, watch);
        if (!once || over) {
            result = writer->write(watch, screen, first, error);
            first = false;
        }
        if (over || ferror(screen->out))
            break;
    }
    return result;
}

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct watch watch = {0};
    struct stop stop;
    const struct watch_writer *writer = args_choice(args, "format");

    mtm_result result = open_watch(args, &watch, error);
    if (result == MTM_OK) {
        bool table = strcmp(writer->name, "table") == 0;
        stop_begin(&stop);
        struct screen screen = screen_open(to->out, table && !args_has(args, "once"));
        bool was_live = screen.live;
        result = follow(args, &watch, &screen, writer, error);
        screen_close(&screen);
        if (result == MTM_OK && was_live) /* leave the last picture where the terminal goes on */
            result = writer->write(&watch, &screen, true, error);
        stop_end(&stop);
    }
    if (result == MTM_OK && args_has(args, "once") && !all_heard(&watch))
        to->status = EXIT_MISSED;
    watch_close(&watch);
    return result;
}

static const struct option_spec where_options[] = {
    OPTION_SOME_UNITS,
    OPTION_TEXT("universes", "1-4,7", "which to watch; those of the rig by default"),
    OPTION_TEXT("interface", "NAME",
                "interface to take multicast from, by name or address, where there are several",
                .against = "listen"),
    OPTION_CHOICE("ip", "NAME", struct ip_choice, ip_choices,
                  "multicast over IPv4 (4, the usual), IPv6 (6), or both", .against = "listen"),
    OPTION_TEXT("listen", "ADDRESS",
                "take only what is sent to this address of this machine, no multicast"),
    OPTION_WHOLE("port", "N", 1, 65535, "UDP port; the usual is 5568"),
    OPTION_FLAG("preview", "take data that is marked as for visualisers only, too"),
    {0},
};

static const struct option_spec when_options[] = {
    OPTION_NUMBER("seconds", "N", 0.1, 1e7, "stop after so many seconds"),
    OPTION_NUMBER("every", "N", 0.02, 3600,
                  "seconds from one picture to the next; 0.2 on a terminal, 1 in a pipe",
                  .against = "once"),
    OPTION_FLAG("once",
                "write one picture when every universe has been heard; exit with 1 if one stays "
                "silent for 3.5 s"),
    OPTION_CHOICE("format", "NAME", struct watch_writer, watch_writers, "how it is written"),
    {0},
};

static const struct option_group groups[] = {{.title = "What to watch", .options = where_options},
                                             {.title = "When and how", .options = when_options},
                                             {0}};

static const char *const examples[] = {
    "metamer watch examples/hall.json",
    "metamer watch --universes 1-4 --once --format json",
    NULL,
};

const struct command cmd_watch = {
    .name = "watch",
    .summary = "show what is sent to the lights over E1.31, decoded by the rig",
    .usage = "[RIG]",
    .details =
        "Listens to universes and shows what they carry: for the units of a rig the codes, the "
        "colour and the light that they give; without a rig, the slots. On a terminal the table is "
        "drawn again and again, with swatches where the terminal shows 24-bit colours; in a pipe a "
        "new one is written each second.\n\n"
        "For each universe it tells which source counts, how many packets come each second, and "
        "how many were lost, came out of order or were repeated. Of several sources the highest "
        "priority counts as a whole. Where two have the same, that with the lowest CID counts, and "
        "the table says so; levels are not merged. Eight sources of a universe are kept. Data "
        "that is synchronized is shown when its synchronization packet comes.\n\n"
        "Only listens: nothing is sent, but for the groups of multicast that it joins.",
    .examples = examples,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
