/* SPDX-License-Identifier: MIT */
/* Linked cues: that the chain keeps its promise, and that there is none with fewer cues. */
#include "support/trial.h"

#include "cue_text/linked.h"

#include <metamer/cue_export.h>

static const struct trial_unit units[] = {
    {"batten", "five-colour-batten.json", "16-bit", 1, 1},
    {"strip", "three-colour-strip.json", "8-bit", 1, 61},
    {"wash", "five-colour-wash.json", "16-bit", 1, 31},
};

static mtm_rig *rig;

/* A warm look, then a cool one by the cue given, then another number. */
static mtm_show *make_show(const char *cue)
{
    return trial_show(rig,
                      "'cues': [{'number': 1, 'up_s': 0, 'set': [{'group': 'all', "
                      "'colour': {'cct_k': 2700}, 'output': 0.8}]}, {'number': 2, %s}, "
                      "{'number': 2.3, 'up_s': 0, 'set': [{'unit': 'strip', 'output': 0.5}]}]",
                      cue);
}

static mtm_fader *make_fader(const mtm_show *show)
{
    mtm_fader *fader = NULL;

    assert_int_equal(mtm_fader_create(show, NULL, &fader, NULL), MTM_OK);
    return fader;
}

#define COOL "'set': [{'group': 'all', 'colour': {'xy': [0.24, 0.22]}, 'output': 0.15}]"

static const struct row {
    const char *name, *cue;
    double tolerance;
} rows[] = {
    {"light, coarse", "'up_s': 0.9, " COOL, 6},
    {"light", "'up_s': 0.9, " COOL, 2},
    {"light, fine", "'up_s': 0.9, " COOL, 1.2},
    {"oklab", "'up_s': 0.9, 'path': 'oklab', " COOL, 1.5},
    {"round, linear", "'up_s': 1, 'curve': 'linear', 'path': 'oklab-round', " COOL, 1.5},
    {"up and down",
     "'up_s': 0.4, 'down_s': 1, 'set': [{'unit': 'batten', 'output': 1}, {'unit': 'wash', "
     "'output': 0.1}]",
     1},
};

/* The fewest by trying every set of moments in between. */
static size_t fewest(mtmi_links *links)
{
    size_t inner = links->moments - 2;
    size_t best = SIZE_MAX;

    for (unsigned set = 0; set < 1u << inner; set++) {
        size_t from = 0;
        size_t count = 0;
        bool good = true;

        for (size_t to = 1; to < links->moments && good; to++) {
            if (to + 1 < links->moments && (set >> (to - 1) & 1) == 0)
                continue;
            good = mtmi_links_join(links, from, to);
            from = to;
            count++;
        }
        if (good && count < best)
            best = count;
    }
    return best;
}

static void test_fewest(void **state)
{
    const struct row *row = *state;
    mtm_show *show = make_show(row->cue);
    mtm_fader *fader = make_fader(show);
    mtmi_links links = {0};
    mtm_linked *linked = NULL;
    mtm_error error = {""};

    if (mtm_linked_create(fader, 1, row->tolerance, NULL, NULL, &linked, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(mtm_fader_set_before(fader, 1, NULL), MTM_OK);
    assert_int_equal(mtm_fader_go(fader, 1, NULL), MTM_OK);
    assert_int_equal(mtmi_links_create(fader, row->tolerance, &links, NULL), MTM_OK);
    assert_true(links.moments >= 9 && links.moments <= 12);
    assert_int_equal(mtm_linked_count(linked), fewest(&links));
    assert_true(mtm_linked_error(linked) <= row->tolerance);
    mtmi_links_free(&links);
    mtm_linked_free(linked);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

/* Light of slots that go straight from one set of codes to another, by the fixture's own curves. */
static mtm_xyz straight(const mtm_unit *unit, const mtm_codes *a, const mtm_codes *b, double part)
{
    const mtm_mode *mode = unit->mode;
    double dimmer = 1;
    mtm_xyz sum = {0, 0, 0};

    if (mode->dimmer_bits > 0)
        dimmer = mtm_curve_level(mtm_fixture_dimmer_curve(unit->fixture),
                                 (a->dimmer + part * ((double)b->dimmer - a->dimmer)) /
                                     ((1 << mode->dimmer_bits) - 1));
    for (size_t i = 0; i < mtm_fixture_emitter_count(unit->fixture); i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(unit->fixture, i);
        double code = (a->emitter[i] + part * ((double)b->emitter[i] - a->emitter[i])) /
                      ((1 << mode->emitter_bits[i]) - 1);
        double level = dimmer * mtm_curve_level(emitter->curve, code);

        sum.x += level * emitter->xyz[0].x;
        sum.y += level * emitter->xyz[0].y;
        sum.z += level * emitter->xyz[0].z;
    }
    return sum;
}

static mtm_xyz light_of(const mtm_unit *unit, const double *level, double *full_y)
{
    mtm_xyz sum = {0, 0, 0};

    *full_y = 0;
    for (size_t i = 0; i < mtm_fixture_emitter_count(unit->fixture); i++) {
        const mtm_emitter *emitter = mtm_fixture_emitter(unit->fixture, i);

        sum.x += level[i] * emitter->xyz[0].x;
        sum.y += level[i] * emitter->xyz[0].y;
        sum.z += level[i] * emitter->xyz[0].z;
        *full_y += emitter->xyz[0].y;
    }
    return sum;
}

/* The chain as a console would run it beside the fade itself, at every frame: samples lie two
 * frames apart, so a little more than the tolerance may show between them. */
static void test_chain_keeps_to_the_way(void **state)
{
    mtm_show *show = make_show("'up_s': 4, 'path': 'cam16', " COOL);
    mtm_fader *fader = make_fader(show);
    mtm_linked *linked = NULL;
    mtm_codes last[3];
    size_t link = 0;
    double began_s = 0;

    (void)state;
    assert_int_equal(mtm_linked_create(fader, 1, 1.2, NULL, NULL, &linked, NULL), MTM_OK);
    assert_true(mtm_linked_count(linked) > 1);
    for (size_t unit = 0; unit < 3; unit++) {
        mtm_fader_state now;
        mtm_fader_unit(fader, unit, &now);
        last[unit] = now.codes;
    }
    assert_int_equal(mtm_fader_go(fader, 1, NULL), MTM_OK);
    for (int frame = 1; frame <= 160; frame++) {
        double time_s = frame / 40.0;

        assert_int_equal(mtm_fader_step(fader, NULL), MTM_OK);
        while (time_s > began_s + mtm_linked_time_s(linked, link) + 1e-9) {
            began_s += mtm_linked_time_s(linked, link);
            for (size_t unit = 0; unit < 3; unit++)
                last[unit] = mtm_linked_codes(linked, link, unit);
            link++;
        }
        for (size_t unit = 0; unit < 3; unit++) {
            const mtm_unit *of = mtm_rig_unit(rig, unit);
            mtm_codes next = mtm_linked_codes(linked, link, unit);
            mtm_fader_state now;
            double y = 0;

            mtm_fader_unit(fader, unit, &now);
            mtm_xyz exact = light_of(of, now.level, &y);
            mtm_xyz run = straight(of, &last[unit], &next,
                                   (time_s - began_s) / mtm_linked_time_s(linked, link));
            const mtm_xyz white = {0.95047 * y, y, 1.08883 * y};
            double off =
                mtm_lab_ciede2000(mtm_lab_from_xyz(exact, white), mtm_lab_from_xyz(run, white));
            if (!(off <= 1.2 * 1.05))
                fail_msg("unit %zu at %.3f s: off by %.3f", unit, time_s, off);
        }
    }
    assert_int_equal(link + 1, mtm_linked_count(linked));
    mtm_linked_free(linked);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

static bool refuse(void *context, double part)
{
    (void)part;
    return --*(int *)context > 0;
}

static void test_stopped(void **state)
{
    mtm_show *show = make_show("'up_s': 4, " COOL);
    mtm_fader *fader = make_fader(show);
    mtm_linked *linked = NULL;
    int calls = 5;

    (void)state;
    assert_int_equal(mtm_linked_create(fader, 1, 1.2, refuse, &calls, &linked, NULL), MTM_LIMIT);
    assert_int_equal(calls, 0);
    assert_null(linked);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

/* What is straight in slots already needs no links. */
static void test_slots_need_one(void **state)
{
    mtm_show *show = make_show("'up_s': 30, 'path': 'slots', " COOL);
    mtm_fader *fader = make_fader(show);
    mtm_linked *linked = NULL;

    (void)state;
    assert_int_equal(mtm_linked_create(fader, 1, 1.5, NULL, NULL, &linked, NULL), MTM_OK);
    assert_int_equal(mtm_linked_count(linked), 1);
    CHECK_NEAR("time", mtm_linked_time_s(linked, 0), 30, 1e-9);
    mtm_linked_free(linked);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

/* In 8 bits the strip's last codes before dark are 3.5 apart in L*: no chain can do better. */
static void test_refusals(void **state)
{
    mtm_show *show = make_show("'up_s': 5, 'set': [{'unit': 'strip', 'output': 0}]");
    mtm_fader *fader = make_fader(show);
    mtm_linked *linked = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_linked_create(fader, 1, 0.5, NULL, NULL, &linked, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "no chain of cues keeps within 0.5");
    CHECK_HOLDS(error.text, "the unit \"strip\"");
    assert_int_equal(mtm_linked_create(fader, 1, 0, NULL, NULL, &linked, &error), MTM_INVALID);
    assert_int_equal(mtm_linked_create(fader, 9, 1, NULL, NULL, &linked, &error), MTM_INVALID);
    assert_int_equal(mtm_linked_create(NULL, 1, 1, NULL, NULL, &linked, &error), MTM_INVALID);
    assert_null(linked);
    mtm_linked_free(NULL);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

/* The sentence names the unit that is off, not one that moves after it in the rig. */
static void test_unit_named(void **state)
{
    mtm_show *show = make_show(
        "'up_s': 5, 'set': [{'unit': 'strip', 'output': 0}, {'unit': 'wash', 'output': 0.8}]");
    mtm_fader *fader = make_fader(show);
    mtm_linked *linked = NULL;
    mtm_error error = {""};

    (void)state;
    assert_int_equal(mtm_linked_create(fader, 1, 0.5, NULL, NULL, &linked, &error), MTM_RANGE);
    CHECK_HOLDS(error.text, "the unit \"strip\"");
    assert_null(linked);
    mtm_fader_free(fader);
    mtm_show_free(show);
}

struct told {
    size_t count;
    char text[400];
};

static void hear(void *context, const char *sentence)
{
    struct told *told = context;

    told->count++;
    (void)snprintf(told->text, sizeof told->text, "%s", sentence);
}

static mtm_result export_linked(const char *cue, double tolerance, mtm_cue_sheet **sheet,
                                struct told *told, mtm_error *error)
{
    const mtm_cue_export_options options = {
        .linked_tolerance = tolerance, .remark = hear, .remark_context = told};
    mtm_show *show = make_show(cue);
    mtm_result result = mtm_cue_sheet_from_show(show, &options, sheet, error);

    mtm_show_free(show);
    return result;
}

/* In the sheet the links have tenths, follow each other, and take the cue's own follow time. */
static void test_export(void **state)
{
    mtm_cue_sheet *sheet = NULL;
    struct told told = {0};
    mtm_error error = {""};

    (void)state;
    if (export_linked("'up_s': 2, 'delay_s': 1, 'follow_s': 9, " COOL, 4, &sheet, &told, &error) !=
        MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(told.count, 0);
    size_t count = mtm_cue_sheet_count(sheet);
    assert_true(count > 3 && count < 6); /* cues 1 and 2.3, and two or three of the chain */
    double sum_s = 0;
    for (size_t i = 1; i + 1 < count; i++) {
        const mtm_cue_entry *cue = mtm_cue_sheet_at(sheet, i);

        assert_int_equal(cue->number_tenths, 20 + i - 1);
        assert_true(cue->has_follow);
        CHECK_NEAR("wait", cue->part[0].up_wait_s, i == 1 ? 1 : 0, 0);
        CHECK_NEAR("both ways", cue->part[0].up_s, cue->part[0].down_s, 0);
        sum_s += cue->follow_s;
    }
    CHECK_NEAR("follow of all", sum_s, 9, 1e-9);
    mtm_cue_sheet_free(sheet);
}

/* What cannot be linked is written as one cue with its own times, and the others are linked. */
static const struct plain_row {
    const char *name; /* how the second of three cues begins */
    double tolerance;
    const char *part; /* of the remark */
} plain_rows[] = {
    {"'up_s': 2, " COOL, 0.8, "only 3 numbers are free before cue 2.3"},
    {"'up_s': 2, 'follow_s': 0.1, " COOL, 4, "cue 2 is followed after 0.1 s, amid its fade"},
    {"'up_s': 2, 'set': [{'unit': 'strip', 'output': 0}]", 0.5,
     "cue 2: no chain of cues keeps within 0.5"},
};

static void test_plain(void **state)
{
    const struct plain_row *row = *state;
    mtm_cue_sheet *sheet = NULL;
    struct told told = {0};
    mtm_error error = {""};

    if (export_linked(row->name, row->tolerance, &sheet, &told, &error) != MTM_OK)
        fail_msg("%s", error.text);
    assert_int_equal(told.count, 1);
    CHECK_HOLDS(told.text, row->part);
    size_t at = 0;
    while (mtm_cue_sheet_at(sheet, at)->number_tenths < 20)
        at++;
    CHECK_NEAR("number", mtm_cue_sheet_at(sheet, at)->number_tenths, 20, 0);
    CHECK_NEAR("up", mtm_cue_sheet_at(sheet, at)->part[0].up_s, 2, 0);
    CHECK_NEAR("the next", mtm_cue_sheet_at(sheet, at + 1)->number_tenths, 23, 0);
    mtm_cue_sheet_free(sheet);
}

int main(void)
{
    struct CMUnitTest row_tests[COUNT(rows)];
    struct CMUnitTest plain_tests[COUNT(plain_rows)];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_chain_keeps_to_the_way),
        cmocka_unit_test(test_slots_need_one),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_stopped),
        cmocka_unit_test(test_unit_named),
        cmocka_unit_test(test_export),
    };

    rig = trial_rig(units, COUNT(units));
    ROW_TESTS(row_tests, rows, test_fewest);
    int failed = cmocka_run_group_tests_name("fewest linked cues", row_tests, NULL, NULL);
    ROW_TESTS(plain_tests, plain_rows, test_plain);
    failed += cmocka_run_group_tests_name("cues left plain", plain_tests, NULL, NULL);
    failed += cmocka_run_group_tests_name("linked cues", tests, NULL, NULL);
    mtm_rig_free(rig);
    return failed;
}
