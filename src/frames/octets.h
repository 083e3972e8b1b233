/* SPDX-License-Identifier: MIT */
/* Frames: the compact format's constants, shared by writer and reader; see metamer/frames.h. */
#ifndef METAMER_FRAMES_OCTETS_H
#define METAMER_FRAMES_OCTETS_H

#define MTMI_FRAME_MAGIC "mtmframe"

enum {
    MTMI_FRAME_VERSION = 1,
    MTMI_FRAME_HEAD = 20,    /* octets before the universes */
    MTMI_FRAME_RUN_HEAD = 6, /* octets of a run before its slots */
    MTMI_FRAME_RUN_MAX = 65535,
    MTMI_FRAME_ALL = 'A',
    MTMI_FRAME_CHANGED = 'C',
    MTMI_FRAME_SAME = 'S',
    MTMI_FRAME_END = 'E'
};

#endif
