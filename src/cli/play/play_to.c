/* SPDX-License-Identifier: MIT */
/* Play to: where a stream goes, and as which source, from the options of play. */
#include "cli/play/play_to.h"

#include "cli/args/ip.h"

#include "base/error.h"

#include <stdlib.h>
#include <string.h>

/* NULL stands for multicast. */
static const char *address_of(const char *text)
{
    return strcmp(text, "multicast") == 0 ? NULL : text;
}

/* A number of 1 to 5 digits at *at; 0 if there is none. */
static unsigned long take_number(const char **at)
{
    unsigned long number = 0;

    for (int digits = 0; **at >= '0' && **at <= '9' && digits < 6; digits++)
        number = number * 10 + (unsigned long)(*(*at)++ - '0');
    return number;
}

/* "4=10.0.0.20", "4-7=multicast" */
static mtm_result read_own(const char *text, mtm_sender_own *own, mtm_error *error)
{
    const char *at = text;
    unsigned long first = take_number(&at);
    unsigned long last = first;

    if (*at == '-') {
        at++;
        last = take_number(&at);
    }
    if (first == 0 || last < first || last > MTM_UNIVERSE_MAX || *at != '=' || at[1] == '\0')
        return mtmi_fail(
            error, MTM_PARSE,
            "--to: found \"%.60s\", wanted is an address, multicast, or universes from 1 "
            "to %d with theirs, as in 4=10.0.0.20 and 5-7=multicast",
            text, MTM_UNIVERSE_MAX);
    *own = (mtm_sender_own){(uint16_t)first, (uint16_t)last, address_of(at + 1)};
    return MTM_OK;
}

/* Nothing goes to a network that nobody named. */
static mtm_result read_destinations(const struct args *args, struct play_to *to, mtm_error *error)
{
    mtm_sender_options *options = &to->options;
    size_t count = 0;
    mtm_result result = MTM_OK;

    while (args_nth(args, "to", count) != NULL)
        count++;
    if (count == 0)
        return mtmi_fail(error, MTM_PARSE,
                         "where to? --to multicast sends to every receiver of a universe, "
                         "--to ADDRESS to one, as in --to 127.0.0.1");
    to->own = calloc(count, sizeof *to->own);
    if (to->own == NULL)
        return mtmi_fail_memory(error);
    options->own_only = true;
    for (size_t i = 0; result == MTM_OK && i < count; i++) {
        const char *text = args_nth(args, "to", i);
        if (strchr(text, '=') != NULL) {
            result = read_own(text, &to->own[options->own_count++], error);
        } else if (!options->own_only) {
            result =
                mtmi_fail(error, MTM_PARSE,
                          "--to %.60s: the universes go to another place already; N=%.60s sends "
                          "universe N there",
                          text, text);
        } else {
            options->own_only = false;
            options->to = address_of(text);
        }
    }
    options->own = to->own;
    return result;
}

/* No option is taken and does nothing. */
static mtm_result check_multicast(const struct args *args, const mtm_sender_options *options,
                                  mtm_error *error)
{
    bool multicast = !options->own_only && options->to == NULL;

    for (size_t i = 0; i < options->own_count; i++)
        multicast = multicast || options->own[i].to == NULL;
    if (!multicast && args_has(args, "ip") && !args_has(args, "from-network"))
        return mtmi_fail(error, MTM_PARSE,
                         "--ip goes with --to multicast, and would do nothing "
                         "without: an address says itself which it is");
    if (!multicast && args_has(args, "ttl") && !args_has(args, "sync"))
        return mtmi_fail(error, MTM_PARSE,
                         "--ttl goes with --to multicast or --sync, and would do nothing without");
    return MTM_OK;
}

mtm_result play_to_read(const struct args *args, struct play_to *to, mtm_error *error)
{
    const char *cid = args_text(args, "cid", NULL);
    const struct ip_choice *ip = args_choice(args, "ip");
    mtm_sender_options *options = &to->options;

    *to = (struct play_to){.options = MTM_SENDER_DEFAULTS};
    mtm_result result = read_destinations(args, to, error);
    if (result == MTM_OK)
        result = check_multicast(args, options, error);
    if (result != MTM_OK)
        return result;
    options->ip = ip->ip;
    options->sync_universe = (uint16_t)args_number(args, "sync", 0);
    options->interface = args_text(args, "interface", NULL);
    options->port = (uint16_t)args_number(args, "port", 0);
    options->ttl = (uint8_t)args_number(args, "ttl", 1);
    options->source_name = args_text(args, "source", NULL);
    options->priority = (uint8_t)args_number(args, "priority", MTM_E131_PRIORITY_DEFAULT);
    options->preview = args_has(args, "preview");
    options->patient = args_has(args, "loop");
    options->cid_given = cid != NULL;
    return cid != NULL ? mtm_cid_parse(cid, &options->cid, error) : MTM_OK;
}

void play_to_free(struct play_to *to)
{
    free(to->own);
    *to = (struct play_to){.own = NULL};
}

const struct option_spec play_where_options[] = {
    OPTION_TEXT("to", "[N=]ADDRESS|multicast",
                "the IPv4 or IPv6 address of one receiver, or multicast for all that listen; with "
                "N= or N-M= in front, of these universes alone. Without it nothing is sent",
                .repeats = true),
    OPTION_CHOICE("ip", "NAME", struct ip_choice, ip_choices,
                  "multicast over IPv4 (4, the usual), IPv6 (6), or both"),
    OPTION_WHOLE("sync", "N", 1, MTM_UNIVERSE_MAX,
                 "let all universes change at once: receivers that can wait for a packet to the "
                 "group of universe N, by multicast; the others show data as it comes"),
    OPTION_TEXT("interface", "NAME",
                "interface to send from, by name or address, where there are several"),
    OPTION_WHOLE("port", "N", 1, 65535, "UDP port of one receiver; the usual is 5568"),
    OPTION_WHOLE("ttl", "N", 1, 255, "how many networks far multicast goes; the usual is 1"),
    {0},
};

const struct option_spec play_source_options[] = {
    OPTION_WHOLE("priority", "N", 0, 200,
                 "the highest of several sources wins a universe; the usual is 100"),
    OPTION_TEXT("source", "TEXT", "name that receivers show; the usual is metamer"),
    OPTION_TEXT("cid", "UUID",
                "identity of this sender, for installations that are started again and again; "
                "without it a new one each time"),
    OPTION_FLAG("preview", "mark the data as for visualisers only"),
    {0},
};
