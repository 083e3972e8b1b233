/* SPDX-License-Identifier: MIT */
/* Layouts of any blocks and any feeds. Where there is an answer, no two blocks overlap, none runs
 * over the end of a universe, what was fixed is where it was, no port and no supply is over its
 * rating, and no report claims more than its bound; where there is none, the sentence is there and
 * nothing has changed. */
#include "input.h"

#include "plan/layout_address.h"
#include "plan/layout_port.h"

enum { COUNT_MAX = 24, SUPPLIES = 3 };

static const uint8_t *data_at;
static size_t data_left;

static int draw(int least, int most)
{
    unsigned value = 0;

    for (int i = 0; i < 2 && data_left > 0; i++, data_left--)
        value = value << 8 | *data_at++;
    return least + (int)(value % (unsigned)(most - least + 1));
}

static void check_blocks(const mtmi_block *was, const mtmi_block *blocks, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        hold(blocks[i].universe >= 1 && blocks[i].universe <= MTM_UNIVERSE_MAX);
        hold(blocks[i].address >= 1 && blocks[i].address + blocks[i].slots - 1 <= 512);
        hold(was[i].universe == 0 || was[i].universe == blocks[i].universe);
        hold(was[i].address == 0 || was[i].address == blocks[i].address);
        for (size_t k = 0; k < i; k++)
            hold(blocks[i].universe != blocks[k].universe ||
                 blocks[i].address + blocks[i].slots <= blocks[k].address ||
                 blocks[k].address + blocks[k].slots <= blocks[i].address);
    }
}

static void try_addresses(void)
{
    mtmi_block was[COUNT_MAX] = {0};
    mtmi_block blocks[COUNT_MAX];
    mtm_address_report report = {0};
    mtm_error error = {""};
    size_t count = (size_t)draw(0, COUNT_MAX);
    int first = draw(1, 63999);

    for (size_t i = 0; i < count; i++) {
        int kind = draw(0, 7);
        was[i] = (mtmi_block){.name = "unit",
                              .slots = draw(kind == 7 ? -2 : 1, kind == 7 ? 514 : 200),
                              .group = kind == 6 ? MTMI_GROUP_NONE : (uint32_t)draw(0, 3)};
        if (kind >= 1 && kind <= 2)
            was[i].universe = draw(1, 4);
        if (kind == 1)
            was[i].address = draw(1, 512);
    }
    memcpy(blocks, was, sizeof blocks);
    if (mtmi_address_blocks(blocks, count, first, &report, &error) != MTM_OK) {
        hold(error.text[0] != '\0');
        hold(memcmp(blocks, was, sizeof blocks) == 0);
        return;
    }
    check_blocks(was, blocks, count);
    hold(report.universes >= report.universes_least);
    hold(report.universes_proven == (report.universes == report.universes_least));
}

static void check_feeds(const mtmi_feed *was, const mtmi_feed *feeds, size_t count,
                        const mtm_supply *supplies)
{
    for (int s = 0; s < SUPPLIES; s++) {
        double all = 0;
        for (int p = 1; p <= supplies[s].ports; p++) {
            double port = 0;
            int units = 0;
            for (size_t i = 0; i < count; i++) {
                bool there = feeds[i].supply == s && feeds[i].port == p;
                port += there ? feeds[i].watts : 0;
                units += there;
            }
            hold(port <= supplies[s].port_w * (1 + 1e-8));
            hold(supplies[s].port_units == 0 || units <= supplies[s].port_units);
            all += port;
        }
        hold(all <= supplies[s].total_w * (1 + 1e-8));
    }
    for (size_t i = 0; i < count; i++) {
        hold(feeds[i].supply >= 0 && feeds[i].supply < SUPPLIES);
        hold(feeds[i].port >= 1 && feeds[i].port <= supplies[feeds[i].supply].ports);
        hold(was[i].supply < 0 || was[i].supply == feeds[i].supply);
        hold(was[i].port == 0 || was[i].port == feeds[i].port);
    }
}

static void try_ports(void)
{
    mtmi_feed was[COUNT_MAX] = {{0}};
    mtmi_feed feeds[COUNT_MAX];
    mtm_supply supplies[SUPPLIES] = {{0}};
    mtm_port_report report = {0};
    mtm_error error = {""};
    size_t count = (size_t)draw(1, COUNT_MAX);

    for (int s = 0; s < SUPPLIES; s++)
        supplies[s] = (mtm_supply){.name = "supply",
                                   .ports = draw(1, 6),
                                   .port_units = draw(0, 3),
                                   .port_w = draw(1, 400) / 2.0,
                                   .total_w = draw(1, 1500) / 2.0,
                                   .circuit = -1};
    for (size_t i = 0; i < count; i++) {
        was[i] = (mtmi_feed){"unit", draw(0, 120) / 2.0, draw(-1, SUPPLIES), 0};
        was[i].supply = was[i].supply == SUPPLIES ? -1 : was[i].supply;
        if (was[i].supply >= 0 && draw(0, 1) == 1)
            was[i].port = draw(1, 7);
    }
    memcpy(feeds, was, sizeof feeds);
    if (mtmi_port_feeds(feeds, count, supplies, SUPPLIES, &report, &error) != MTM_OK) {
        hold(error.text[0] != '\0');
        for (size_t i = 0; i < count; i++)
            hold(feeds[i].supply == was[i].supply && feeds[i].port == was[i].port);
        return;
    }
    check_feeds(was, feeds, count, supplies);
    hold(report.supplies >= report.supplies_least);
    hold(report.peak >= report.peak_least * (1 - 1e-8) && report.peak <= 1 + 1e-8);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    uint8_t *copy = exact_copy(data, size);

    data_at = copy;
    data_left = size;
    if (draw(0, 1) == 0)
        try_addresses();
    else
        try_ports();
    free(copy);
    return 0;
}
