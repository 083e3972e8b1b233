/* SPDX-License-Identifier: MIT */
/* E1.31: what each source says that it sends (universe discovery). */
#include "stream/e131_lists.h"

#include <stdlib.h>
#include <string.h>

/* Clause 12: a universe that stopped is gone from the list by the end of the second interval. */
#define KEEP_NS (UINT64_C(2) * MTM_E131_DISCOVERY_INTERVAL_MS * UINT64_C(1000000))

typedef struct numbers {
    uint16_t *value;
    size_t count;
} numbers;

struct mtmi_list {
    mtm_cid cid;
    char name[MTM_E131_NAME_ROOM];
    uint64_t last_ns;
    numbers whole;  /* the last complete list */
    numbers coming; /* pages so far */
    unsigned next_page;
};

static mtmi_list *find_or_add(mtmi_lists *lists, const mtm_cid *cid)
{
    for (size_t i = 0; i < lists->count; i++) {
        if (memcmp(lists->list[i]->cid.octet, cid->octet, sizeof cid->octet) == 0)
            return lists->list[i];
    }
    if (lists->count == MTM_STREAM_LISTS_MAX)
        return NULL;
    mtmi_list *made = calloc(1, sizeof *made);
    if (made == NULL)
        return NULL;
    made->cid = *cid;
    lists->list[lists->count++] = made;
    return made;
}

static void list_free(mtmi_list *list)
{
    free(list->whole.value);
    free(list->coming.value);
    free(list);
}

/* The universes of all pages rise, so a page that does not go on from the last is of another list.
 */
static bool append(numbers *to, const mtm_e131_packet *packet)
{
    if (packet->listed_count == 0)
        return true;
    if (to->count > 0 && packet->listed[0] <= to->value[to->count - 1])
        return false;
    size_t count = to->count + packet->listed_count;
    uint16_t *value = realloc(to->value, count * sizeof *value);
    if (value == NULL)
        return false;
    memcpy(value + to->count, packet->listed, packet->listed_count * sizeof *value);
    to->value = value;
    to->count = count;
    return true;
}

void mtmi_lists_take(mtmi_lists *lists, const mtm_e131_packet *packet, uint64_t now_ns)
{
    mtmi_list *list = find_or_add(lists, &packet->cid);

    if (list == NULL)
        return;
    memcpy(list->name, packet->source_name, sizeof list->name);
    list->last_ns = now_ns;
    if (packet->page == 0) {
        list->coming.count = 0;
        list->next_page = 0;
    }
    if (packet->page != list->next_page || !append(&list->coming, packet)) {
        list->next_page = UINT16_MAX; /* a page is missing: wait for the next list */
        return;
    }
    list->next_page++;
    if (packet->page == packet->last_page) {
        numbers old = list->whole;
        list->whole = list->coming;
        list->coming = old;
        list->next_page = UINT16_MAX;
    }
}

void mtmi_lists_settle(mtmi_lists *lists, uint64_t now_ns)
{
    size_t kept = 0;

    for (size_t i = 0; i < lists->count; i++) {
        mtmi_list *each = lists->list[i];
        if (now_ns > each->last_ns && now_ns - each->last_ns > KEEP_NS)
            list_free(each);
        else
            lists->list[kept++] = each;
    }
    lists->count = kept;
}

mtm_discovered mtmi_lists_at(const mtmi_lists *lists, size_t index)
{
    const mtmi_list *list = lists->list[index];
    mtm_discovered found = {.cid = list->cid,
                            .last_ns = list->last_ns,
                            .universe_count = list->whole.count,
                            .universe = list->whole.value};

    memcpy(found.name, list->name, sizeof found.name);
    return found;
}

void mtmi_lists_free(mtmi_lists *lists)
{
    for (size_t i = 0; i < lists->count; i++)
        list_free(lists->list[i]);
    lists->count = 0;
}
