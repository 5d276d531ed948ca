/* What was used: garnet in the hopper, jet hours on heads, hours of service. */
#include "actual_inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- one clock ---- */

static bool is_cut(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    return actual->clocks[clock].happened && shop->clocks[clock].phase == SG_PHASE_CUT;
}

static bool takes_garnet(const struct sg_shop *shop, const struct sg_actual *actual, int32_t clock)
{
    return is_cut(shop, actual, clock) && shop->clocks[clock].head_kind == SG_HEAD_ABRASIVE;
}

/* Of all that it ran, what came after a moment. */
static double share_from(const struct sg_actual *actual, int32_t clock, int64_t from)
{
    double net = sg_actual_net(&actual->clocks[clock]);
    if (!(net > 0)) /* pieces may be counted to it all the same */
        return actual->clocks[clock].from >= from ? 1 : 0;
    return sg_actual_net_from(actual, clock, from) / net;
}

/* s of jet of one head in all that it ran. Where its plan is not known the jet is taken to be on all the
 * time. */
static double jet_of(const struct sg_clock *clock, const struct sg_actual_clock *actual)
{
    double net = sg_actual_net(actual), planned = sg_clock_planned(clock);
    double cut = clock->planned_cut + clock->planned_corner + clock->planned_acceleration;
    if (!(planned > 0))
        return net;
    if (clock->cut_only)
        return net + clock->planned_pierce * fmin(1, net / planned);
    return net * (cut + clock->planned_pierce) / planned;
}

/* kg that a clock took, by each way to reckon it. */
struct taken {
    double planned, by_time, weighed; /* weighed: NaN without a weighing */
};

/* Of a clock that was not planned: as the head was set, for as long as it ran. */
static struct taken taken_unplanned(const struct sg_clock *clock, const struct sg_actual_clock *actual,
                                    double feed)
{
    double minutes = sg_actual_net(actual) / 60, set = clock->garnet * clock->heads / 1000 * minutes;
    return (struct taken){.planned = set, .by_time = set, .weighed = feed * clock->heads / 1000 * minutes};
}

/* Of a cut of the log. */
static struct taken taken_by(const struct sg_shop *shop, const struct sg_actual *log, int32_t index,
                             double feed)
{
    const struct sg_clock *clock = &shop->clocks[index];
    const struct sg_actual_clock *actual = &log->clocks[index];
    double before = sg_actual_before(shop, log, index); /* s of its plan that others have cut */
    int64_t left = sg_actual_pieces_left(shop, log, index);
    double planned = sg_clock_planned(clock), done = sg_actual_net(actual) / planned;
    if (!(planned > 0) || !sg_known(clock->planned_garnet))
        return taken_unplanned(clock, actual, feed);
    double gone = before / planned, scale = fmin(1, done + gone);
    if (actual->good > 0 && clock->pieces > 0) { /* a sheet that was spoilt may have been hardly begun */
        double pieces = sg_clock_scale(clock, actual);
        if (actual->good + actual->scrapped + left == clock->pieces) /* no more than lay there of any part */
            scale = left == 0 && !actual->running ? pieces : fmax(pieces, scale);
    }
    return (struct taken){.planned = clock->planned_garnet * fmax(0, scale - gone),
                          .by_time = clock->planned_garnet * done,
                          .weighed = feed * clock->heads / 1000 * (jet_of(clock, actual) / 60)};
}

/* ---- the hopper ---- */

/* From where it is carried forward: a record, or the machine's field. */
struct base {
    int64_t at;
    int32_t record; /* what is behind it counts; SG_UNKNOWN: the field, all from then on */
};

static struct base find_base(const struct sg_shop *shop, struct sg_actual *actual)
{
    struct sg_actual_hopper *hopper = &actual->hopper;
    const struct sg_machine *machine = &shop->machine;
    struct base base = {actual->since, actual->since_record};
    bool read = machine->hopper_read != SG_NO_MOMENT && machine->hopper_read <= actual->now;
    hopper->level = machine->hopper_level;
    hopper->since = read ? machine->hopper_read : SG_NO_MOMENT;
    hopper->trust = read ? SG_LEVEL_READ : SG_LEVEL_TYPED;
    if (read && machine->hopper_read > base.at)
        base = (struct base){machine->hopper_read, SG_UNKNOWN};
    for (int32_t i = 0; i < shop->n_records && shop->records[i].at <= actual->now; i++) {
        const struct sg_record *record = &shop->records[i];
        if (record->what != SG_RECORD_LEVEL || record->at < base.at || i <= base.record ||
            !sg_known(record->mass))
            continue;
        base = (struct base){record->at, i};
        hopper->level = record->mass;
        hopper->since = record->at;
        hopper->trust = SG_LEVEL_READ;
    }
    return base;
}

static double filled_by(const struct sg_shop *shop, const struct sg_record *record)
{
    if (record->what != SG_RECORD_FILL)
        return 0;
    if (sg_known(record->mass))
        return record->mass;
    return record->count == SG_UNKNOWN ? 0 : record->count * shop->machine.bag;
}

int32_t sg_bags_for(const struct sg_shop *shop, double mass)
{
    double bags = ceil(mass / shop->machine.bag - 1e-9); /* what is typed in lb is a bag and no hair more */
    return bags < 1e6 ? (int32_t)bags : 1000000;
}

int32_t sg_bags_left(const struct sg_shop *shop, const struct sg_actual *actual)
{
    int64_t left = (int64_t)shop->machine.bags_in_stock - actual->hopper.bags;
    return left > 0 ? (int32_t)left : 0;
}

/* Bags that a fill takes out of the stock of bags: a mass opens whole ones. */
static int32_t bags_of(const struct sg_shop *shop, const struct sg_record *record)
{
    if (record->what != SG_RECORD_FILL || !(shop->machine.bag > 0))
        return 0;
    if (record->count != SG_UNKNOWN)
        return record->count;
    return sg_known(record->mass) ? sg_bags_for(shop, record->mass) : 0;
}

static void add_fills(const struct sg_shop *shop, struct sg_actual *actual, struct base base)
{
    for (int32_t i = 0; i < shop->n_records && shop->records[i].at <= actual->now; i++) {
        const struct sg_record *record = &shop->records[i];
        if (record->at >= base.at && i > base.record)
            actual->hopper.filled += filled_by(shop, record);
        if (record->at >= actual->since && i > actual->since_record)
            actual->hopper.bags += bags_of(shop, record);
    }
}

/* The last feed that was weighed of a head by the time a clock ended, g/min. */
static double weighed_feed(const struct sg_shop *shop, const struct sg_clock *clock, int64_t by)
{
    double feed = (double)NAN;
    for (int32_t i = 0; i < shop->n_records && shop->records[i].at <= by; i++)
        if (shop->records[i].what == SG_RECORD_WEIGH && strcmp(shop->records[i].place, clock->head) == 0)
            feed = shop->records[i].feed;
    return feed;
}

static void take_garnet(const struct sg_shop *shop, struct sg_actual *actual, struct base base)
{
    struct sg_actual_hopper *hopper = &actual->hopper;
    double most = 0, least = 0;
    for (int32_t i = 0; i < shop->n_clocks; i++) {
        const struct sg_actual_clock *clock = &actual->clocks[i];
        double share = takes_garnet(shop, actual, i) ? share_from(actual, i, base.at) : 0;
        if (!(share > 0))
            continue;
        struct taken t = taken_by(shop, actual, i, weighed_feed(shop, &shop->clocks[i], clock->until));
        if (!sg_known(t.planned)) {
            most = (double)INFINITY; /* nobody knows */
            continue;
        }
        double other = sg_known(t.weighed) ? t.weighed : t.by_time;
        hopper->taken += share * t.planned;
        most += share * fmax(t.planned, fmax(t.by_time, other));
        least += share * fmin(t.planned, fmin(t.by_time, other));
    }
    hopper->low = hopper->level + hopper->filled - most;
    hopper->high = hopper->level + hopper->filled - least;
    hopper->level += hopper->filled - hopper->taken;
    if (hopper->taken > 0 || hopper->filled > 0 || isinf(most))
        hopper->trust = SG_LEVEL_CARRIED;
}

static double within(double level, double most)
{
    return fmin(fmax(level, 0), most);
}

static void carry_level(const struct sg_shop *shop, struct sg_actual *actual)
{
    struct sg_actual_hopper *hopper = &actual->hopper;
    double capacity = shop->machine.hopper, slack = capacity * 1e-9;
    struct base base = find_base(shop, actual);
    add_fills(shop, actual, base);
    take_garnet(shop, actual, base);
    if (hopper->level > capacity + slack)
        sg_actual_say(actual, SG_ODD_OVERFULL, actual->now)->amount = hopper->level - capacity;
    if (hopper->level < -slack)
        sg_actual_say(actual, SG_ODD_EMPTY, actual->now)->amount = -hopper->level;
    hopper->level = within(hopper->level, capacity);
    hopper->low = within(hopper->low, capacity);
    hopper->high = within(hopper->high, capacity);
}

/* ---- readings around a clock ---- */

struct reading {
    int64_t at;
    double level;
    double filled; /* kg of all fills before it */
};

/* Readings in order of time. How many. */
static int32_t find_readings(const struct sg_shop *shop, const struct sg_actual *actual,
                             struct reading *readings)
{
    const struct sg_machine *machine = &shop->machine;
    int64_t field = machine->hopper_read;
    double filled = 0;
    int32_t n = 0;
    for (int32_t i = 0; i <= shop->n_records; i++) {
        bool end = i == shop->n_records || shop->records[i].at > actual->now;
        if (field != SG_NO_MOMENT && field <= actual->now && (end || shop->records[i].at >= field)) {
            readings[n++] = (struct reading){field, machine->hopper_level, filled};
            field = SG_NO_MOMENT;
        }
        if (end)
            break;
        filled += filled_by(shop, &shop->records[i]);
        if (shop->records[i].what == SG_RECORD_LEVEL && sg_known(shop->records[i].mass))
            readings[n++] = (struct reading){shop->records[i].at, shop->records[i].mass, filled};
    }
    return n;
}

/* How many readings lie at or before a moment. */
static int32_t readings_by(const struct reading *readings, int32_t n, int64_t at)
{
    int32_t low = 0;
    while (low < n) {
        int32_t middle = low + (n - low) / 2;
        if (readings[middle].at <= at)
            low = middle + 1;
        else
            n = middle;
    }
    return low;
}

/* What a clock used, where it alone cut between two readings; before is the cut that ended last before it,
 * next the one that starts after it, SG_UNKNOWN for none. */
static double used_by(const struct sg_actual *actual, const struct reading *readings, int32_t n,
                      int32_t clock, int32_t before, int32_t next)
{
    const struct sg_actual_clock *c = &actual->clocks[clock];
    int32_t first = readings_by(readings, n, c->from) - 1;
    int32_t last = readings_by(readings, n, c->until - 1);
    if (c->running || first < 0 || last >= n || last <= first)
        return (double)NAN;
    if (before != SG_UNKNOWN && actual->clocks[before].until > readings[first].at)
        return (double)NAN;
    if (next != SG_UNKNOWN && actual->clocks[next].from < readings[last].at)
        return (double)NAN;
    double used =
        readings[first].level - readings[last].level + readings[last].filled - readings[first].filled;
    return used > 0 ? used : (double)NAN;
}

static bool read_used(const struct sg_shop *shop, struct sg_arena *arena, struct sg_actual *actual)
{
    struct reading *readings = sg_arena_take(arena, ((size_t)shop->n_records + 1) * sizeof *readings);
    if (!readings)
        return false;
    int32_t n = find_readings(shop, actual, readings);
    int32_t before = SG_UNKNOWN, next;
    for (int32_t i = 0; i < shop->n_clocks; i = next) {
        for (next = i + 1; next < shop->n_clocks && !takes_garnet(shop, actual, next); next++)
            ;
        if (!takes_garnet(shop, actual, i))
            continue;
        int32_t after = next < shop->n_clocks ? next : SG_UNKNOWN;
        actual->clocks[i].garnet_used = used_by(actual, readings, n, i, before, after);
        before = i;
    }
    return true;
}

/* ---- hours ---- */

/* s of the clocks of cuts from a moment on: of jet of a head (NULL: of any), or of all that they ran. */
static double hours_from(const struct sg_shop *shop, const struct sg_actual *actual, const char *head,
                         bool jet, int64_t from)
{
    double seconds = 0;
    for (int32_t i = 0; i < shop->n_clocks; i++) {
        const struct sg_clock *clock = &shop->clocks[i];
        if (!is_cut(shop, actual, i) || (head && strcmp(clock->head, head) != 0))
            continue;
        double all = jet ? jet_of(clock, &actual->clocks[i]) : sg_actual_net(&actual->clocks[i]);
        seconds += share_from(actual, i, from) * all;
    }
    return seconds;
}

/* The last record of that kind about a row since the log's start, SG_UNKNOWN for none. */
static int32_t last_of(const struct sg_shop *shop, const struct sg_actual *actual, int32_t what,
                       const char *place)
{
    int32_t found = SG_UNKNOWN;
    for (int32_t i = 0; i < shop->n_records && shop->records[i].at <= actual->now; i++)
        if (shop->records[i].what == what && shop->records[i].at >= actual->since &&
            i > actual->since_record && strcmp(shop->records[i].place, place) == 0)
            found = i;
    return found;
}

static double head_hours(const struct sg_shop *shop, const struct sg_actual *actual, int32_t head,
                         int32_t what, double before, bool *changed)
{
    const char *name = shop->heads[head].name;
    int32_t change = last_of(shop, actual, what, name);
    *changed = change != SG_UNKNOWN;
    int64_t from = *changed ? shop->records[change].at : actual->since;
    return (*changed ? 0 : before) + hours_from(shop, actual, name, true, from);
}

static void count_service(const struct sg_shop *shop, struct sg_actual *actual, int32_t index)
{
    const struct sg_chore *chore = &shop->chores[index];
    int32_t done = last_of(shop, actual, SG_RECORD_SERVICE, chore->name);
    int64_t from = done == SG_UNKNOWN ? actual->since : shop->records[done].at;
    bool jet = chore->counts == SG_COUNTS_PUMP;
    actual->chores[index] =
        (done == SG_UNKNOWN ? chore->hours : 0) + hours_from(shop, actual, NULL, jet, from);
    actual->chore_days[index] = done == SG_UNKNOWN ? chore->last : (int32_t)(from / SG_DAY_S);
}

static double garnet_since(const struct sg_shop *shop, const struct sg_actual *actual)
{
    double kg = 0;
    for (int32_t i = 0; i < shop->n_clocks; i++) {
        double share = takes_garnet(shop, actual, i) ? share_from(actual, i, actual->since) : 0;
        if (!(share > 0))
            continue;
        struct taken t = taken_by(shop, actual, i, (double)NAN);
        kg += sg_known(t.planned) ? share * t.planned : 0;
    }
    return kg;
}

bool sg_actual_used(const struct sg_shop *shop, struct sg_arena *arena, struct sg_actual *actual)
{
    carry_level(shop, actual);
    for (int32_t i = 0; i < shop->n_heads; i++) {
        const struct sg_head *head = &shop->heads[i];
        struct sg_actual_head *out = &actual->heads[i];
        out->tube = head_hours(shop, actual, i, SG_RECORD_TUBE, head->tube_hours, &out->tube_changed);
        out->orifice =
            head_hours(shop, actual, i, SG_RECORD_ORIFICE, head->orifice_hours, &out->orifice_changed);
    }
    for (int32_t i = 0; i < shop->n_chores; i++)
        count_service(shop, actual, i);
    actual->jet = hours_from(shop, actual, NULL, true, actual->since);
    actual->sludge = shop->machine.sludge + garnet_since(shop, actual);
    return read_used(shop, arena, actual);
}
