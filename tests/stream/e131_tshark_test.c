/* SPDX-License-Identifier: MIT */
/* E1.31 data packets as another program reads them: the ACN dissector of tshark. (That of
 * tshark 4.0 shows slots in lines of 20 and stumbles over fewer, so each universe here has 20 or
 * more.) */
#include "support/check.h"

#include <metamer/e131.h>

#include <unistd.h>

static char capture[64];

static void put32_native(FILE *file, uint32_t value)
{
    assert_int_equal(fwrite(&value, sizeof value, 1, file), 1);
}

/* A pcap file of link type 101: bare IP packets. */
static void put_file_head(FILE *file)
{
    put32_native(file, 0xa1b2c3d4);
    put32_native(file, 2 | 4 << 16);
    put32_native(file, 0);
    put32_native(file, 0);
    put32_native(file, 65535);
    put32_native(file, 101);
}

static uint16_t ip_checksum(const uint8_t *head)
{
    uint32_t sum = 0;

    for (size_t i = 0; i < 20; i += 2)
        sum += (uint32_t)head[i] << 8 | head[i + 1];
    while (sum > 0xffff)
        sum = (sum & 0xffff) + (sum >> 16);
    return (uint16_t)~sum;
}

/* IPv4 and UDP (checksum 0: none) around a packet; both ports 5568. */
static void put_packet(FILE *file, const mtm_e131_packet *packet)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    size_t length = 0;
    uint8_t head[28] = {0x45, 0, 0, 0, 0, 0, 0, 0, 1, 17, 0, 0, 127, 0, 0, 1};

    assert_int_equal(mtm_e131_encode(packet, octets, &length, NULL), MTM_OK);
    mtm_e131_group(packet->universe, head + 16);
    head[2] = (uint8_t)((length + 28) >> 8);
    head[3] = (uint8_t)((length + 28) & 255);
    uint16_t sum = ip_checksum(head);
    head[10] = (uint8_t)(sum >> 8);
    head[11] = (uint8_t)(sum & 255);
    head[20] = head[22] = MTM_E131_PORT >> 8;
    head[21] = head[23] = MTM_E131_PORT & 255;
    head[24] = (uint8_t)((length + 8) >> 8);
    head[25] = (uint8_t)((length + 8) & 255);

    put32_native(file, 0);
    put32_native(file, 0);
    put32_native(file, (uint32_t)(length + 28));
    put32_native(file, (uint32_t)(length + 28));
    assert_int_equal(fwrite(head, sizeof head, 1, file), 1);
    assert_int_equal(fwrite(octets, length, 1, file), 1);
}

static void capture_packets(const mtm_e131_packet *packets, size_t count)
{
    FILE *file = fopen(capture, "wb");

    assert_non_null(file);
    put_file_head(file);
    for (size_t i = 0; i < count; i++)
        put_packet(file, &packets[i]);
    assert_int_equal(fclose(file), 0);
}

/* What tshark says of the capture; its absence fails the test. */
static void ask_tshark(const char *fields, char *answer, size_t room)
{
    char command[1024];

    (void)snprintf(command, sizeof command,
                   "tshark -n -r %s -o ip.check_checksum:TRUE --enable-heuristic acn -o "
                   "acn.dmx_enable:TRUE -T fields "
                   "-E separator='|' %s 2>&1",
                   capture, fields);
    FILE *pipe = popen(command, "r"); /* NOLINT(cert-env33-c): a fixed command of our own */
    assert_non_null(pipe);
    size_t used = fread(answer, 1, room - 1, pipe);
    answer[used] = '\0';
    if (pclose(pipe) != 0)
        fail_msg("tshark is needed for this test: %s", answer);
}

static mtm_e131_packet first_packet(void)
{
    mtm_e131_packet packet = {.type = MTM_E131_DATA,
                              .source_name = "hall \xc3\xa9",
                              .priority = 120,
                              .sequence = 200,
                              .universe = 300,
                              .slot_count = 24,
                              .slot = {255, 128, 0, 64, [23] = 9}};

    assert_int_equal(mtm_cid_parse("6f1d3c52-b2a4-497e-9d0b-5a7c11223344", &packet.cid, NULL),
                     MTM_OK);
    return packet;
}

static void test_fields(void **state)
{
    mtm_e131_packet packets[3];
    char answer[4096];
    mtm_e131_packet *last = &packets[2];

    (void)state;
    packets[0] = packets[1] = packets[2] = first_packet();
    packets[1].preview = true;
    packets[1].terminated = true;
    packets[1].sync_universe = 7;
    last->universe = 63999;
    last->slot_count = 512;
    last->priority = 0;
    last->sequence = 0;
    capture_packets(packets, 3);
    ask_tshark("-e ip.dst -e acn.preamble_size -e acn.postamble_size -e acn.packet_identifier "
               "-e acn.protocol_id -e acn.cid -e acn.dmx_vector -e acn.dmx.source_name "
               "-e acn.dmx.priority -e acn.dmx.reserved -e acn.dmx.seq_number "
               "-e acn.dmx.option_p -e acn.dmx.option_s -e acn.dmx.universe -e acn.dmp_vector "
               "-e acn.dmx.start_code -e acn.dmx.first_property_address -e acn.dmx.increment "
               "-e acn.dmx.count -e acn.dmx.start_code2 -e acn.pdu.length -e _ws.malformed",
               answer, sizeof answer);
    CHECK_HOLDS(answer, "239.255.1.44|16|0|ASC-E1.17|4|6f1d3c52-b2a4-497e-9d0b-5a7c11223344|2|"
                        "hall \xc3\xa9|120|0|200|0|0|300|2||0|1|25|0|134,112,35|\n");
    CHECK_HOLDS(answer, "|120|7|200|1|1|300|2||0|1|25|0|134,112,35|\n");
    CHECK_HOLDS(answer, "\n239.255.249.255|16|0|ASC-E1.17|4|");
    CHECK_HOLDS(answer, "|0|0|0|0|0|63999|2||0|1|513|0|622,600,523|\n");
}

static void test_slots(void **state)
{
    mtm_e131_packet packet = first_packet();
    char answer[4096];

    (void)state;
    capture_packets(&packet, 1);
    ask_tshark("-o acn.dmx_display_view:Hex -o acn.dmx_display_zeros:TRUE -e acn.dmx.data", answer,
               sizeof answer);
    CHECK_HOLDS(answer, "001-020: FF 80  0 40  0  0  0  0  0  0 |  0  0");
    CHECK_HOLDS(answer, "020-040:  0  0  0  9");
}

static int make_name(void **state)
{
    (void)state;
    (void)snprintf(capture, sizeof capture, "/tmp/metamer-e131-XXXXXX");
    int descriptor = mkstemp(capture);
    return descriptor >= 0 ? close(descriptor) : -1;
}

static int remove_capture(void **state)
{
    (void)state;
    return unlink(capture);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_fields),
        cmocka_unit_test(test_slots),
    };

    return cmocka_run_group_tests_name("E1.31 through tshark", tests, make_name, remove_capture);
}
