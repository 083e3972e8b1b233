/* SPDX-License-Identifier: MIT */
/* E1.31 packets: octet by octet against the tables of ANSI E1.31-2018 (octet numbers and constants
 * as read in public transcriptions of the standard), and what a receiver refuses. */
#include "support/check.h"

#include <metamer/e131.h>
#include <metamer/frames.h>

static mtm_e131_packet bench_packet(void)
{
    mtm_e131_packet packet = {.type = MTM_E131_DATA,
                              .source_name = "bench",
                              .priority = 100,
                              .sequence = 1,
                              .universe = 7,
                              .slot_count = 4,
                              .slot = {255, 128, 0, 64}};

    assert_int_equal(mtm_cid_parse("6f1d3c52-b2a4-497e-9d0b-5a7c11223344", &packet.cid, NULL),
                     MTM_OK);
    return packet;
}

/* Table 4-1 filled in by hand: 130 octets. */
static size_t bench_octets(uint8_t *octets)
{
    static const uint8_t head[] = {0x00, 0x10, 0x00, 0x00, 0x41, 0x53, 0x43, 0x2d, 0x45, 0x31,
                                   0x2e, 0x31, 0x37, 0x00, 0x00, 0x00, 0x70, 0x72, 0x00, 0x00,
                                   0x00, 0x04, 0x6f, 0x1d, 0x3c, 0x52, 0xb2, 0xa4, 0x49, 0x7e,
                                   0x9d, 0x0b, 0x5a, 0x7c, 0x11, 0x22, 0x33, 0x44, 0x70, 0x5c,
                                   0x00, 0x00, 0x00, 0x02, 0x62, 0x65, 0x6e, 0x63, 0x68};
    static const uint8_t tail[] = {0x64, 0x00, 0x00, 0x01, 0x00, 0x00, 0x07, 0x70,
                                   0x0f, 0x02, 0xa1, 0x00, 0x00, 0x00, 0x01, 0x00,
                                   0x05, 0x00, 0xff, 0x80, 0x00, 0x40};

    memset(octets, 0, 130);
    memcpy(octets, head, sizeof head);
    memcpy(octets + 108, tail, sizeof tail);
    return 130;
}

static void test_data_octets(void **state)
{
    uint8_t wanted[MTM_E131_PACKET_MAX];
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_e131_packet packet = bench_packet();
    size_t length = 0;

    (void)state;
    assert_int_equal(mtm_e131_encode(&packet, octets, &length, NULL), MTM_OK);
    assert_int_equal(length, bench_octets(wanted));
    assert_memory_equal(octets, wanted, length);
}

static void test_data_read(void **state)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_e131_packet wanted = bench_packet();
    mtm_e131_packet packet;
    size_t length = bench_octets(octets);

    (void)state;
    assert_int_equal(mtm_e131_decode(octets, length, &packet, NULL), MTM_OK);
    assert_memory_equal(&packet, &wanted, sizeof packet);
}

/* Flags and lengths by slot count, table 4-1: total, root, framing, DMP, property count. */
static const struct size_row {
    const char *name;
    uint16_t slots;
    size_t total;
    uint8_t root[2], framing[2], dmp[2], count[2];
} size_rows[] = {
    {"1 slot", 1, 127, {0x70, 0x6f}, {0x70, 0x59}, {0x70, 0x0c}, {0, 2}},
    {"24 slots", 24, 150, {0x70, 0x86}, {0x70, 0x70}, {0x70, 0x23}, {0, 0x19}},
    {"128 slots", 128, 254, {0x70, 0xee}, {0x70, 0xd8}, {0x70, 0x8b}, {0, 0x81}},
    {"511 slots", 511, 637, {0x72, 0x6d}, {0x72, 0x57}, {0x72, 0x0a}, {2, 0}},
    {"512 slots", 512, 638, {0x72, 0x6e}, {0x72, 0x58}, {0x72, 0x0b}, {2, 1}},
};

static void test_sizes(void **state)
{
    const struct size_row *row = *state;
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_e131_packet packet = bench_packet();
    size_t length = 0;

    packet.slot_count = row->slots;
    assert_int_equal(mtm_e131_encode(&packet, octets, &length, NULL), MTM_OK);
    assert_int_equal(length, row->total);
    assert_memory_equal(octets + 16, row->root, 2);
    assert_memory_equal(octets + 38, row->framing, 2);
    assert_memory_equal(octets + 115, row->dmp, 2);
    assert_memory_equal(octets + 123, row->count, 2);
}

/* Clause 6.2.6: bit 7 preview, bit 6 terminated, bit 5 force synchronization. */
static void test_options(void **state)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_e131_packet packet = bench_packet();
    size_t length = 0;

    (void)state;
    for (unsigned bits = 0; bits < 8; bits++) {
        mtm_e131_packet read;
        packet.preview = (bits & 4) != 0;
        packet.terminated = (bits & 2) != 0;
        packet.force_sync = (bits & 1) != 0;
        assert_int_equal(mtm_e131_encode(&packet, octets, &length, NULL), MTM_OK);
        assert_int_equal(octets[112], bits << 5);
        octets[112] |= 0x1f; /* reserved bits are ignored */
        assert_int_equal(mtm_e131_decode(octets, length, &read, NULL), MTM_OK);
        assert_int_equal(read.preview, packet.preview);
        assert_int_equal(read.terminated, packet.terminated);
        assert_int_equal(read.force_sync, packet.force_sync);
    }
}

/* Table 4-2: 49 octets, root length 0x7021, framing 0x700b. */
static void test_sync(void **state)
{
    static const uint8_t tail[] = {0x70, 0x0b, 0, 0, 0, 1, 9, 0x1f, 0x40, 0, 0};
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_e131_packet read;
    mtm_e131_packet packet = {
        .type = MTM_E131_SYNC, .sequence = 9, .sync_universe = 8000, .cid = bench_packet().cid};
    size_t length = 0;

    (void)state;
    assert_int_equal(mtm_e131_encode(&packet, octets, &length, NULL), MTM_OK);
    assert_int_equal(length, 49);
    assert_memory_equal(octets + 16, "\x70\x21\0\0\0\x08", 6);
    assert_memory_equal(octets + 38, tail, sizeof tail);
    assert_int_equal(mtm_e131_decode(octets, length, &read, NULL), MTM_OK);
    assert_memory_equal(&read, &packet, sizeof read);
    packet.sync_universe = 0;
    assert_int_equal(mtm_e131_encode(&packet, octets, &length, NULL), MTM_INVALID);
}

/* Table 4-3: lengths for lists of 0 and of 512. */
static void test_discovery(void **state)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_e131_packet read;
    mtm_e131_packet packet = {
        .type = MTM_E131_DISCOVERY, .source_name = "hall", .last_page = 3, .page = 2};
    size_t length = 0;

    (void)state;
    assert_int_equal(mtm_e131_encode(&packet, octets, &length, NULL), MTM_OK);
    assert_int_equal(length, 120);
    assert_memory_equal(octets + 16, "\x70\x68\0\0\0\x08", 6);
    assert_memory_equal(octets + 38, "\x70\x52\0\0\0\x02hall\0", 11);
    assert_memory_equal(octets + 112, "\x70\x08\0\0\0\x01\x02\x03", 8);
    packet.listed_count = 512;
    for (size_t i = 0; i < 512; i++)
        packet.listed[i] = (uint16_t)(100 + i);
    assert_int_equal(mtm_e131_encode(&packet, octets, &length, NULL), MTM_OK);
    assert_int_equal(length, MTM_E131_PACKET_MAX);
    assert_memory_equal(octets + 16, "\x74\x68", 2);
    assert_memory_equal(octets + 38, "\x74\x52", 2);
    assert_memory_equal(octets + 112, "\x74\x08", 2);
    assert_memory_equal(octets + 120, "\0\x64\0\x65", 4);
    assert_int_equal(mtm_e131_decode(octets, length, &read, NULL), MTM_OK);
    assert_memory_equal(&read, &packet, sizeof read);
}

/* A packet that is right but for one octet. */
static const struct refuse_row {
    const char *name;
    size_t at;
    uint8_t value;
    mtm_result result;
    const char *part;
} refuse_rows[] = {
    {"preamble size", 1, 0x11, MTM_PARSE, "preamble"},
    {"post-amble size", 3, 1, MTM_PARSE, "preamble"},
    {"packet identifier", 4, 'a', MTM_PARSE, "identifier"},
    {"root flags", 16, 0x60, MTM_PARSE, "root layer"},
    {"root length too long", 17, 0x73, MTM_PARSE, "root layer"},
    {"root length too short", 17, 0x10, MTM_PARSE, "root layer"},
    {"root vector", 21, 5, MTM_UNSUPPORTED, "root vector 5"},
    {"framing length", 39, 0x5d, MTM_PARSE, "framing layer"},
    {"framing flags", 38, 0x50, MTM_PARSE, "flags 0x5"},
    {"framing vector", 43, 3, MTM_UNSUPPORTED, "framing vector 3"},
    {"priority", 108, 201, MTM_PARSE, "0 to 200"},
    {"synchronization universe", 109, 0xff, MTM_PARSE, "synchronization universe"},
    {"universe 0", 114, 0, MTM_PARSE, "universe 0"},
    {"universe 64007", 113, 0xfa, MTM_PARSE, "universe 64007"},
    {"DMP length", 116, 0x10, MTM_PARSE, "DMP layer"},
    {"DMP vector", 117, 3, MTM_PARSE, "DMP vector"},
    {"DMP type", 118, 0xa2, MTM_PARSE, "0xa1"},
    {"first property", 120, 1, MTM_PARSE, "first property 1"},
    {"increment", 122, 2, MTM_PARSE, "increment 2"},
    {"property count 0", 124, 0, MTM_PARSE, "property count 0"},
    {"property count beyond 513", 123, 3, MTM_PARSE, "1 to 513"},
    {"more slots stated than there", 124, 6, MTM_PARSE, "5 slots stated, 4 there"},
};

static void test_refused(void **state)
{
    const struct refuse_row *row = *state;
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_e131_packet packet = {.universe = 4711};
    mtm_error error = {""};
    size_t length = bench_octets(octets);

    octets[row->at] = row->value;
    assert_int_equal(mtm_e131_decode(octets, length, &packet, &error), row->result);
    CHECK_HOLDS(error.text, row->part);
    assert_int_equal(packet.universe, 4711);
}

/* Every shorter piece is refused, and none is read beyond its end (the sanitizers see to that). */
static void test_cut_short(void **state)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    size_t length = bench_octets(octets);

    (void)state;
    for (size_t i = 0; i < length; i++) {
        uint8_t *piece = malloc(i + 1);
        mtm_e131_packet packet;
        assert_non_null(piece);
        memcpy(piece, octets, i);
        assert_int_not_equal(mtm_e131_decode(piece, i, &packet, NULL), MTM_OK);
        free(piece);
    }
}

static void test_lenient(void **state)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_e131_packet packet;
    size_t length = bench_octets(octets);

    (void)state;
    octets[length] = 0xaa; /* padding after the packet */
    assert_int_equal(mtm_e131_decode(octets, length + 1, &packet, NULL), MTM_OK);
    memset(octets + 44, 'x', 64); /* a name without its NUL */
    assert_int_equal(mtm_e131_decode(octets, length, &packet, NULL), MTM_OK);
    assert_int_equal(strlen(packet.source_name), 63);
    octets[44] = 0xff; /* not UTF-8 */
    assert_int_equal(mtm_e131_decode(octets, length, &packet, NULL), MTM_OK);
    assert_int_equal(packet.source_name[0], '?');
}

static void expect_not_written(const mtm_e131_packet *packet, const char *part)
{
    uint8_t octets[MTM_E131_PACKET_MAX];
    mtm_error error = {""};
    size_t length = 7;

    assert_int_equal(mtm_e131_encode(packet, octets, &length, &error), MTM_INVALID);
    CHECK_HOLDS(error.text, part);
    assert_int_equal(length, 7);
}

static void test_not_written(void **state)
{
    mtm_e131_packet packet = bench_packet();

    (void)state;
    packet.universe = 0;
    expect_not_written(&packet, "universe 0");
    packet.universe = 64000;
    expect_not_written(&packet, "universe 64000");
    packet = bench_packet();
    packet.priority = 201;
    expect_not_written(&packet, "priority 201");
    packet = bench_packet();
    packet.sync_universe = 64000;
    expect_not_written(&packet, "0 to 63999");
    packet = bench_packet();
    packet.slot_count = 513;
    expect_not_written(&packet, "at most 512");
    packet = bench_packet();
    memset(packet.source_name, 'x', sizeof packet.source_name);
    expect_not_written(&packet, "63 octets");
    packet = bench_packet();
    packet.source_name[0] = (char)0xc0;
    expect_not_written(&packet, "UTF-8");
    packet = (mtm_e131_packet){.type = MTM_E131_DISCOVERY, .listed_count = 2, .listed = {5, 5}};
    expect_not_written(&packet, "must rise");
    packet.listed_count = 513;
    expect_not_written(&packet, "at most 512");
    packet = (mtm_e131_packet){.type = MTM_E131_DISCOVERY, .page = 1};
    expect_not_written(&packet, "page 1");
    packet = (mtm_e131_packet){.type = (mtm_e131_type)9};
    expect_not_written(&packet, "kind");
}

/* Clause 6.7.2: discard if -20 < new - last <= 0 as a signed octet. */
static void test_sequence(void **state)
{
    (void)state;
    assert_true(mtm_e131_in_order(0, 1));
    assert_true(mtm_e131_in_order(255, 0));
    assert_true(mtm_e131_in_order(5, 132));
    assert_false(mtm_e131_in_order(7, 7));
    assert_false(mtm_e131_in_order(7, 6));
    assert_false(mtm_e131_in_order(10, 247)); /* 19 behind */
    assert_true(mtm_e131_in_order(10, 246));  /* 20 behind: began anew */
}

/* Clause 9.3.1: universe 1, 300, 63999, and the discovery universe. */
static void test_group(void **state)
{
    static const struct {
        uint16_t universe;
        uint8_t address[4];
    } rows[] = {{1, {239, 255, 0, 1}},
                {300, {239, 255, 1, 44}},
                {63999, {239, 255, 249, 255}},
                {MTM_E131_DISCOVERY_UNIVERSE, {239, 255, 250, 214}}};

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        uint8_t address[4];
        mtm_e131_group(rows[i].universe, address);
        assert_memory_equal(address, rows[i].address, 4);
    }
}

static void test_name(void **state)
{
    char name[MTM_E131_NAME_ROOM] = "before";
    char text[80];

    (void)state;
    assert_false(mtm_e131_set_name(name, ""));
    assert_false(mtm_e131_set_name(name, "a\xed\xa0\x80")); /* a surrogate is no character */
    assert_false(mtm_e131_set_name(name, "a\xc3"));
    assert_string_equal(name, "before");
    memset(text, 'x', 62);
    memcpy(text + 62, "\xc3\xa9", 3); /* two octets that would end at the 64th */
    assert_true(mtm_e131_set_name(name, text));
    assert_int_equal(strlen(name), 62);
}

static void test_cid(void **state)
{
    mtm_cid cid = {{0}};
    mtm_cid other;
    char text[MTM_CID_ROOM];
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_cid_parse("6F1D3C52-b2a4-497e-9d0b-5a7c11223344", &cid, NULL), MTM_OK);
    mtm_cid_print(cid, text);
    assert_string_equal(text, "6f1d3c52-b2a4-497e-9d0b-5a7c11223344");
    assert_int_equal(mtm_cid_parse("6f1d3c52b2a4", &cid, &error), MTM_PARSE);
    CHECK_HOLDS(error.text, "is not a CID");
    assert_int_equal(mtm_cid_parse("6f1d3c52-b2a4-497e-9d0b-5a7c112233445", &cid, &error),
                     MTM_PARSE);
    assert_int_equal(mtm_cid_parse("", &cid, &error), MTM_PARSE);
    /* RFC 4122, clause 4.4 */
    assert_int_equal(mtm_cid_random(&cid, NULL), MTM_OK);
    assert_int_equal(mtm_cid_random(&other, NULL), MTM_OK);
    assert_int_equal(cid.octet[6] >> 4, 4);
    assert_int_equal(cid.octet[8] >> 6, 2);
    assert_memory_not_equal(&cid, &other, sizeof cid);
}

/* ANSI E1.11 transmitter timing: 92 + 12 + 44 us a slot with the START code, at least 1204 us;
 * rates computed from that and printed to one decimal. */
static void test_refresh(void **state)
{
    (void)state;
    CHECK_NEAR("0 slots", mtm_e111_max_refresh_hz(0), 830.6, 0.05);
    CHECK_NEAR("24 slots", mtm_e111_max_refresh_hz(24), 830.6, 0.05);
    CHECK_NEAR("25 slots", mtm_e111_packet_us(25), 1248, 0);
    CHECK_NEAR("128 slots", mtm_e111_max_refresh_hz(128), 173.0, 0.05);
    CHECK_NEAR("256 slots", mtm_e111_max_refresh_hz(256), 87.6, 0.05);
    CHECK_NEAR("512 slots", mtm_e111_max_refresh_hz(512), 44.1, 0.05);
    CHECK_NEAR("512 slots", mtm_e111_packet_us(512), 22676, 0);
    CHECK_NEAR("beyond", mtm_e111_packet_us(9999), 22676, 0);
}

int main(void)
{
    static const struct CMUnitTest single[] = {
        cmocka_unit_test(test_data_octets), cmocka_unit_test(test_data_read),
        cmocka_unit_test(test_options),     cmocka_unit_test(test_sync),
        cmocka_unit_test(test_discovery),   cmocka_unit_test(test_cut_short),
        cmocka_unit_test(test_lenient),     cmocka_unit_test(test_not_written),
        cmocka_unit_test(test_sequence),    cmocka_unit_test(test_group),
        cmocka_unit_test(test_name),        cmocka_unit_test(test_cid),
        cmocka_unit_test(test_refresh),
    };
    struct CMUnitTest tests[COUNT(size_rows) + COUNT(refuse_rows) + COUNT(single)];

    ROW_TESTS(tests, size_rows, test_sizes);
    ROW_TESTS(tests + COUNT(size_rows), refuse_rows, test_refused);
    memcpy(tests + COUNT(size_rows) + COUNT(refuse_rows), single, sizeof single);
    return cmocka_run_group_tests_name("E1.31 packets", tests, NULL, NULL);
}
