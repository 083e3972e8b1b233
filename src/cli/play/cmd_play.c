/* SPDX-License-Identifier: MIT */
/* metamer play: sends a show or frames over E1.31, each frame at its time. */
#include "cli/out/json.h"
#include "cli/out/stop.h"
#include "cli/out/writer.h"
#include "cli/play/by_hand.h"
#include "cli/play/play_network.h"
#include "cli/play/play_source.h"
#include "cli/play/play_to.h"
#include "cli/show_notes.h"

#include "base/error.h"

#include <metamer/player.h>

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Only a rig tells what is light and what is pan: a show has one, frames need one. */
static mtm_result find_rig(const struct args *args, struct play_source *play, mtm_error *error)
{
    const char *path = args_text(args, "rig", NULL);
    bool blackout = args_has(args, "blackout");

    if (path != NULL && play->show != NULL)
        return mtmi_fail(error, MTM_PARSE, "--rig is for frames: a show names its own rig");
    if (path == NULL && play->show == NULL && blackout)
        return mtmi_fail(error, MTM_PARSE,
                         "--blackout: frames do not say which slots are light and which are pan or "
                         "shutter; --rig FILE names the rig that they are for");
    return path != NULL ? mtm_rig_load(path, &play->rig, error) : MTM_OK;
}

static void read_player(const struct args *args, const struct play_source *play,
                        mtm_player_options *options)
{
    bool hold = args_has(args, "hold");
    bool blackout = args_has(args, "blackout");

    options->end = hold ? MTM_PLAYER_HOLD : blackout ? MTM_PLAYER_BLACKOUT : MTM_PLAYER_RELEASE;
    options->rig = play->show != NULL ? mtm_show_rig(play->show) : play->rig;
    options->meant = play->meant;
    options->any_rate = args_has(args, "any-rate");
    options->realtime = args_has(args, "realtime");
    options->stop = stop_flag();
    double frames = args_number(args, "seconds", 0) * play->source.layout.rate_hz;
    options->frames_most = frames > 0 && frames < 1 ? 1 : (uint64_t)frames;
}

static void show_progress(void *context, const mtm_player_report *so_far)
{
    FILE *err = context;

    (void)fprintf(err,
                  "\r%.0f s: %llu frames sent, %llu dropped, %llu refused by the network\033[K",
                  so_far->seconds, (unsigned long long)so_far->sent,
                  (unsigned long long)so_far->dropped, (unsigned long long)so_far->refused);
    (void)fflush(err);
}

/* What is told at the end. */
struct played {
    mtm_player_report report;
    mtm_sender_counts counts;
};

static void print_table(const void *data, FILE *out)
{
    const struct played *played = data;
    const mtm_player_report *report = &played->report;

    (void)fprintf(out, "%llu frames in %.1f s; dropped because too late: %llu\n",
                  (unsigned long long)report->sent, report->seconds,
                  (unsigned long long)report->dropped);
    (void)fprintf(out, "%llu packets; refused by the network: %llu\n",
                  (unsigned long long)played->counts.packets,
                  (unsigned long long)played->counts.refused);
    if (played->counts.sync > 0)
        (void)fprintf(out, "%llu synchronization packets\n",
                      (unsigned long long)played->counts.sync);
    if (report->network_note[0] != '\0')
        (void)fprintf(out, "last refusal: %s\n", report->network_note);
    (void)fprintf(out,
                  "last packet of a frame late by %.2f ms (median), %.2f ms (99 of 100), %.2f ms "
                  "(most)\n",
                  report->late_p50_ms, report->late_p99_ms, report->late_max_ms);
    (void)fprintf(out, "processor: %.1f %%%s\n", 100 * report->cpu_share,
                  report->realtime ? ", at a real-time priority" : "");
}

static void add_count(cJSON *root, const char *key, uint64_t count)
{
    json_add_number(root, key, (double)count, 0);
}

static cJSON *print_json(const void *data)
{
    const struct played *played = data;
    const mtm_player_report *report = &played->report;
    cJSON *root = cJSON_CreateObject();

    add_count(root, "frames_sent", report->sent);
    add_count(root, "frames_dropped", report->dropped);
    json_add_number(root, "seconds", report->seconds, 3);
    add_count(root, "packets_sent", played->counts.packets);
    add_count(root, "packets_refused", played->counts.refused);
    add_count(root, "sync_sent", played->counts.sync);
    json_add_number(root, "late_p50_ms", report->late_p50_ms, 3);
    json_add_number(root, "late_p99_ms", report->late_p99_ms, 3);
    json_add_number(root, "late_max_ms", report->late_max_ms, 3);
    json_add_number(root, "cpu_share", report->cpu_share, 4);
    json_add_bool(root, "realtime", report->realtime);
    json_add_bool(root, "stopped", report->stopped);
    return root;
}

/* A loop that is stopped is over: there is nothing left to hold for. */
static mtm_result check_end(const struct args *args, mtm_error *error)
{
    if (args_has(args, "loop") && args_has(args, "hold") && !args_has(args, "seconds"))
        return mtmi_fail(error, MTM_PARSE,
                         "--hold keeps the last frame alive at the end, and --loop has none unless "
                         "--seconds says when");
    return MTM_OK;
}

/* Opens what is to be played, and says on err what is to be known before anything is sent. */
static mtm_result make_ready(const struct args *args, bool by_hand, struct play_source *play,
                             FILE *err, mtm_error *error)
{
    mtm_result result = play_source_open(args, by_hand, play, error);

    if (result == MTM_OK)
        result = play_name_overloads(args, play, "play", err, error);
    if (result == MTM_OK && play->show != NULL)
        result = show_note_goals(play->show, play->meant, "metamer play: ", err, error);
    if (result == MTM_OK)
        result = find_rig(args, play, error);
    return result;
}

/* Plays by itself; on a terminal a line tells how far it is. */
static mtm_result run_alone(const struct play_source *play, mtm_sender *sender,
                            mtm_player_options *options, mtm_player_report *report, FILE *err,
                            mtm_error *error)
{
    bool live = isatty(fileno(err)) == 1;

    if (live) {
        options->progress = show_progress;
        options->progress_context = err;
    }
    mtm_result result = mtm_player_run(sender, &play->source, options, report, error);
    if (live)
        (void)fprintf(err, "\r\033[K");
    return result;
}

static mtm_result run_by_hand(const struct args *args, const struct play_source *play,
                              const char *notes, mtm_sender *sender, mtm_player_options options,
                              mtm_player_report *report, FILE *err, mtm_error *error)
{
    struct by_hand hand = {.show = play->show,
                           .fader = play->fader,
                           .inner = &play->source,
                           .to = args_text(args, "to", ""),
                           .notes = notes};
    mtm_frame_source source = by_hand_source(&hand);

    options.quiet = &hand.quiet;
    options.progress = by_hand_progress;
    options.progress_context = &hand;
    mtm_result result = by_hand_begin(&hand, err, error);
    if (result != MTM_OK)
        return result;
    result = mtm_player_run(sender, &source, &options, report, error);
    by_hand_end(&hand);
    return result;
}

/* What was said before is said twice where a screen hides it: there too. */
static mtm_result play(const struct args *args, struct play_source *play, mtm_sender **sender,
                       mtm_player_report *report, FILE *err, mtm_error *error)
{
    bool by_hand = !args_has(args, "loop") && !args_has(args, "unattended") &&
                   strcmp(args->words[0], "-") != 0 && keys_usable(err);
    struct play_to to;
    mtm_player_options options = {0};
    char *notes = NULL;
    size_t size = 0;
    FILE *said = open_memstream(&notes, &size);

    if (said == NULL)
        return mtmi_fail_memory(error);
    to = (struct play_to){.own = NULL};
    mtm_result result = check_end(args, error);
    if (result == MTM_OK)
        result = play_to_read(args, &to, error);
    if (result == MTM_OK)
        result = make_ready(args, by_hand, play, said, error);
    if (result == MTM_OK)
        read_player(args, play, &options);
    if (result == MTM_OK)
        result = mtm_sender_create(&to.options, sender, error);
    if (result == MTM_OK && args_has(args, "from-network"))
        result = play_from_network(args, play, said, error);
    if (result == MTM_OK)
        play_say_cautions(args, play, said);
    bool told = fclose(said) == 0;
    if (told)
        (void)fputs(notes, err);
    (void)fflush(err);
    if (result == MTM_OK && !told)
        result = mtmi_fail_memory(error);
    if (result == MTM_OK && play->by_hand)
        result = run_by_hand(args, play, notes, *sender, options, report, err, error);
    else if (result == MTM_OK)
        result = run_alone(play, *sender, &options, report, err, error);
    free(notes);
    play_to_free(&to);
    return result;
}

/* A stream of which nothing arrived is a failure of the system, not a success. */
static mtm_result check_sent(const mtm_player_report *report, mtm_sender_counts counts,
                             mtm_error *error)
{
    if (report->sent > 0 && counts.packets == 0)
        return mtmi_fail(error, MTM_IO, "%s (%llu packets, and none was sent)",
                         report->network_note, (unsigned long long)counts.refused);
    return MTM_OK;
}

static const struct writer writers[] = {WRITER_TABLE(print_table), WRITER_JSON(print_json), {0}};

static mtm_result run(const struct args *args, struct outlet *to, mtm_error *error)
{
    struct play_source source = {0};
    mtm_sender *sender = NULL;
    struct played played = {0};
    struct stop stop;

    stop_begin(&stop);
    mtm_result result = play(args, &source, &sender, &played.report, to->err, error);
    stop_end(&stop);
    if (played.report.realtime_note[0] != '\0')
        (void)fprintf(to->err, "metamer play: %s\n", played.report.realtime_note);
    if (result == MTM_OK) {
        played.counts = mtm_sender_count(sender);
        result = check_sent(&played.report, played.counts, error);
    }
    if (result == MTM_OK)
        result = write_report(args, &played, to->out, error);
    mtm_sender_free(sender);
    play_source_close(&source);
    return result;
}

static const struct option_spec begin_options[] = {
    OPTION_FLAG("from-network",
                "begin from what another source sends to the units of the show now, instead of "
                "the look of --from; it must still be sending",
                .against = "from"),
    OPTION_TEXT("listen", "ADDRESS",
                "take that from what is sent to this address of this machine, and not from "
                "multicast",
                .with = "from-network"),
    {0},
};

static const struct option_spec time_options[] = {
    OPTION_FLAG("loop",
                "begin again at the end until stopped, and wait for a network that is away"),
    OPTION_NUMBER("seconds", "N", 0.001, 1e7, "stop after so many seconds"),
    OPTION_FLAG("hold", "at the end, keep the last frame alive until stopped",
                .against = "blackout"),
    OPTION_FLAG("blackout",
                "at the end, also when stopped, send all light at 0; slots of another use stay"),
    OPTION_TEXT("rig", "FILE",
                "for frames with --blackout: the rig, which tells the slots that are light",
                .with = "blackout"),
    OPTION_FLAG("unattended", "on a terminal, play a show as without one: no keys and no screen"),
    OPTION_FLAG("realtime",
                "ask the system for a real-time priority, so that frames are on time on a busy "
                "machine"),
    {0},
};

static const struct option_spec report_options[] = {
    OPTION_FORMAT(writers, "how the report at the end is written"),
    {0},
};

static const struct option_group groups[] = {
    {.title = "Where to", .options = play_where_options},
    {.title = "As which source", .options = play_source_options},
    {.title = "Of a show", .options = play_show_options},
    {.title = "", .options = begin_options},
    {.title = "What is sent", .options = play_slot_options},
    {.title = "When", .options = time_options},
    {.title = "The report", .options = report_options},
    {0},
};

static const char *const examples[] = {
    "metamer play examples/evening.json --to 127.0.0.1 --cue 2",
    "metamer play examples/waiting.json --to multicast --loop --blackout --realtime",
    "metamer play look.frames --to 10.0.0.20 --hold",
    "metamer play examples/evening.json --to multicast --to 2=10.0.0.21 --sync 2",
    "metamer play look.frames --to 10.0.0.20 --blackout --rig hall.json",
    NULL,
};

const struct command cmd_play = {
    .name = "play",
    .summary = "send a show to the lights over the network (E1.31, sACN)",
    .usage = "SHOW|FRAMES",
    .details =
        "SHOW is a show file (JSON): a cue runs, and those that follow it by themselves; with "
        "--loop all cues run in order, each after its follow time, and begin again. FRAMES is a "
        "file of frames in the compact format, or - for standard input. Each frame is sent at its "
        "own time; one that comes too late is dropped, not queued. When the frames "
        "end, or Ctrl-C or a terminate signal comes, the stream is ended so that receivers know. "
        "What lights do then is the receivers' affair, unless --blackout or --hold says it.\n\n"
        "On a terminal a show waits for its first cue and is played by hand: the screen lists the "
        "cues, what stands, what runs and the time left. g or the space bar starts the next cue "
        "(and goes on where it is paused or released), b goes back to the cue before in that "
        "cue's times, p pauses (nothing moves, no time passes), h holds (no cue follows by "
        "itself), r releases (the stream is ended, so that another source counts; g or r begins "
        "again from what stood), q twice ends. After the last cue its look stays until then. "
        "With --loop or --unattended, in a pipe and in the background it plays by itself, and ends "
        "when the frames do. The terminal is put back on any end but a kill that no program can "
        "see.\n\n"
        "--from-network listens until each universe of the show was heard, 3 s at most, and "
        "takes over what the winning source sends: fades begin there, and slots of no unit stay. "
        "Units of a silent universe begin dark. Of two sources the one of the higher --priority "
        "counts, so take over with a higher one, and then end the other.\n\n"
        "With --units a show is played by the chosen units alone: only their universes are sent, "
        "as "
        "far as their slots go, and --blackout puts out no others. But a universe comes from one "
        "source as a whole: slots of other units that lie among theirs are sent too, dark, or as "
        "they were heard with --from-network.\n\n"
        "A network that goes away does not end the stream; it is seen again when it comes back.\n\n"
        "Cues of a show that would overload a port, a supply or a circuit are named before "
        "anything "
        "is sent.\n\n"
        "Caution: light that comes on or goes out unexpectedly can blind or startle people, or "
        "leave them in the dark: clear stage and ladders first. Flashing light, "
        "at about 3 to 60 flashes a second most of all, can bring on seizures in photosensitive "
        "people: warn the audience, and follow local codes. Whoever looks after safety must be "
        "able to stop the light by other means than this program.",
    .examples = examples,
    .words_least = 1,
    .words_most = 1,
    .groups = groups,
    .run = run,
};
