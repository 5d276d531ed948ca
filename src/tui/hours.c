#include "tui/hours.h"

#include "sandglass/ask.h"

#include <stdio.h>
#include <string.h>

enum {
    TELL = 120,
    LABEL = 15,
    LONGEST_BAR = 40,
    LEAST_ENTRY = 16, /* columns of what somebody is needed for */
    BETWEEN = 2,
    ACROSS = 8 /* columns of entries */
};

/* ---- an event in words ---- */

enum { RANKS = 7 }; /* 0, what waits, leaves a short list last */

static const struct {
    const char *word, *one, *many;
    int rank;
} kinds[SG_EVENTS] = {
    [SG_EVENT_HEAD_CHANGE] = {"change head", "head change", "head changes", 2},
    [SG_EVENT_TUBE_CHANGE] = {"change tube", "tube change", "tube changes", 2},
    [SG_EVENT_ORIFICE_CHANGE] = {"change orifice", "orifice change", "orifice changes", 2},
    [SG_EVENT_LOAD] = {"load", "load", "loads", 3},
    [SG_EVENT_REFILL] = {"refill", "refill", "refills", 1},
    [SG_EVENT_CUT] = {"cut", "cut", "cuts", RANKS - 1},
    [SG_EVENT_FIRST_CHECK] = {"first check", "first check", "first checks", 6},
    [SG_EVENT_INDEX_MOVE] = {"index move", "index move", "index moves", 4},
    [SG_EVENT_CHORE] = {"", "own chore", "own chores", 5},
    [SG_EVENT_OUT_OF_GARNET] = {"stops at the low line", "stop", "stops", 1},
};

/* The job, with the stock where it has several, and of a load which sheet of how many. */
static void where_of(const struct sg_look *look, const struct sg_event *event, char *out, size_t size)
{
    const struct sg_batch *batch = &look->plan->batches[event->batch];
    const struct sg_job *job = &look->shop->jobs[batch->job];
    const struct sg_stock *stock = &look->shop->stocks[batch->stock];
    const struct sg_plan_stock *planned = &look->plan->stocks[batch->stock - look->plan->first_stock];
    int64_t loads = planned->sheets == SG_UNKNOWN ? 0 : planned->sheets / stock->stack;
    char number[24] = "", sheet[64] = "";
    if (job->n_stocks > 1)
        snprintf(number, sizeof number, "/%d", stock->number);
    if (event->kind == SG_EVENT_LOAD && loads > 1)
        snprintf(sheet, sizeof sheet, " %d/%lld", sg_event_sheet(look->plan, event), (long long)loads);
    snprintf(out, size, " %s%s%s", job->id, number, sheet);
}

bool sg_event_waits(const struct sg_event *event)
{
    return sg_ask_calls(event) && event->at > event->asked + 1;
}

const char *sg_bags_wanting(const struct sg_look *look)
{
    return look->shop->machine.bag <= 0    ? "no garnet"
           : look->plan->run.bags_left > 0 ? "too few bags"
                                           : "no bags";
}

void sg_event_told(const struct sg_look *look, const struct sg_event *event, char *out, size_t size)
{
    char where[300] = "";
    bool chore = event->kind == SG_EVENT_CHORE;
    int when = chore ? look->shop->chores[event->chore].when : SG_CHORE_JOB;
    if (event->kind == SG_EVENT_REFILL && event->bags > 0)
        snprintf(where, sizeof where, " %d bag%s", event->bags, event->bags == 1 ? "" : "s");
    else if (event->kind == SG_EVENT_OUT_OF_GARNET)
        snprintf(where, sizeof where, ", %s", sg_bags_wanting(look));
    else if (event->kind != SG_EVENT_REFILL && when != SG_CHORE_SHIFT_START && when != SG_CHORE_SHIFT_END)
        where_of(look, event, where, sizeof where);
    snprintf(out, size, "%s%s", chore ? look->shop->chores[event->chore].name : kinds[event->kind].word,
             where);
}

/* ---- where the hours go ---- */

enum { PARTS = 5 };

static const char *const parts[PARTS] = {"cutting", "piercing", "rapid", "hands on", "waiting"};

struct hours {
    char total[24], shown[PARTS][24];
    int64_t minutes[PARTS], most; /* 0 where not known */
};

/* Whole minutes whose sum is `total`: what is cut off goes to the largest remainders. */
static void share_minutes(const double *seconds, int64_t total, int64_t *minutes)
{
    double rest[PARTS];
    for (int i = 0; i < PARTS; i++) {
        minutes[i] = (int64_t)floor(seconds[i] / 60);
        rest[i] = seconds[i] / 60 - (double)minutes[i];
        total -= minutes[i];
    }
    for (int given = 0; given < PARTS && total > 0; given++, total--) {
        int largest = 0;
        for (int i = 1; i < PARTS; i++)
            largest = rest[i] > rest[largest] ? i : largest;
        minutes[largest]++;
        rest[largest] = -1;
    }
}

static void find_hours(const struct sg_plan *plan, struct hours *out)
{
    const struct sg_plan_totals *t = &plan->totals;
    const double seconds[PARTS] = {t->cut, t->pierce, t->rapid, t->hands_on, t->waiting};
    bool ends = sg_known(t->elapsed) && t->elapsed < 1e15;
    memset(out, 0, sizeof *out);
    sg_hours_format(t->elapsed, out->total, sizeof out->total);
    if (ends)
        share_minutes(seconds, (int64_t)floor(t->elapsed / 60 + 0.5), out->minutes);
    for (int i = 0; i < PARTS; i++) {
        int64_t m = out->minutes[i];
        if (ends)
            snprintf(out->shown[i], sizeof out->shown[i], "%lld:%02d", (long long)(m / 60), (int)(m % 60));
        else
            sg_hours_format(seconds[i], out->shown[i], sizeof out->shown[i]);
        if (!ends && seconds[i] < 1e15)
            m = out->minutes[i] = (int64_t)floor(seconds[i] / 60 + 0.5);
        out->most = m > out->most ? m : out->most;
    }
}

static void draw_hours_in_a_row(struct sg_canvas *canvas, struct sg_area area, const struct hours *hours)
{
    int at = sg_canvas_format(canvas, area.row, area.column, area.columns, SG_ROLE_LABEL, "Where %s goes",
                              hours->total);
    for (int i = 0; i < PARTS && at < area.columns; i++)
        at += sg_canvas_format(canvas, area.row, area.column + at, area.columns - at, SG_ROLE_RESULT,
                               "   %s %s", parts[i], hours->shown[i]);
}

/* What the hours of a shift without an end are: cuts, pierces and rapid moves are of all of it, what people
 * do goes as far as the run. */
static const char *without_end(const struct sg_plan *plan)
{
    return plan->closed_day      ? "Closed day: hours of the cuts alone"
           : plan->unknown       ? "Hours as far as they are known"
           : !plan->run.finished ? "Hours of all, hands on till it stops"
                                 : "Hours: no end is known";
}

void sg_hours_draw(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look)
{
    struct hours hours;
    if (area.rows < 1 || area.columns < 1)
        return;
    find_hours(look->plan, &hours);
    if (area.rows <= PARTS) {
        draw_hours_in_a_row(canvas, area, &hours);
        return;
    }
    if (sg_known(look->plan->totals.elapsed))
        sg_canvas_format(canvas, area.row, area.column, area.columns, SG_ROLE_LABEL, "Where the %s goes",
                         hours.total);
    else
        sg_canvas_put(canvas, area.row, area.column, area.columns, SG_ROLE_LABEL, without_end(look->plan));
    int longest = area.columns - LABEL - 2 < LONGEST_BAR ? area.columns - LABEL - 2 : LONGEST_BAR;
    for (int i = 0; i < PARTS; i++) {
        int row = area.row + 1 + i;
        double bar = hours.most > 0 ? (double)hours.minutes[i] * longest / (double)hours.most : 0;
        int width = hours.minutes[i] > 0 && bar < 1 ? 1 : (int)(bar + 0.5);
        sg_canvas_format(canvas, row, area.column, area.columns, SG_ROLE_RESULT, "%-8s %6s", parts[i],
                         hours.shown[i]);
        if (longest > 0)
            sg_canvas_fill(canvas, row, area.column + LABEL + 2, width, SG_ROLE_FULL, "#");
    }
}

/* ---- what people are needed for ---- */

struct people {
    int32_t total, of[SG_EVENTS], ranked[RANKS];
};

/* Whether the event that one counts to is shown: all of a better rank are, of the last one the first few. */
struct room {
    int rank;
    int32_t left;
};

static int rank_of(const struct sg_event *event)
{
    return sg_event_waits(event) ? 0 : kinds[event->kind].rank;
}

/* "12:30 load 2603 2/2"; where the machine waited, from when on: "12:10 waits, 12:30 load 2603 2/2". */
static void entry_of(const struct sg_look *look, const struct sg_event *event, char *out, size_t size)
{
    char asked[40], at[40], told[TELL];
    sg_look_clock(look, event->asked, asked, sizeof asked);
    sg_look_clock(look, event->at, at, sizeof at);
    sg_event_told(look, event, told, sizeof told);
    bool waits = sg_event_waits(event);
    snprintf(out, size, "%s%s%s %s", waits ? asked : "", waits ? " waits, " : "", at, told);
}

static struct people count_people(const struct sg_look *look)
{
    struct people people = {0};
    for (const struct sg_event *e = sg_ask_next_call(look->plan, NULL); e;
         e = sg_ask_next_call(look->plan, e)) {
        people.total++;
        people.of[e->kind]++;
        people.ranked[rank_of(e)]++;
    }
    return people;
}

static struct room share_room(const struct people *people, int32_t places)
{
    struct room room = {0, places};
    while (room.rank < RANKS - 1 && people->ranked[room.rank] <= room.left)
        room.left -= people->ranked[room.rank++];
    return room;
}

static bool has_room(struct room *room, const struct sg_event *event)
{
    int rank = rank_of(event);
    return rank < room->rank || (rank == room->rank && room->left-- > 0);
}

/* "and 4 first checks, 1 other load". */
static void draw_rest(struct sg_canvas *canvas, struct sg_area area, const struct people *people,
                      const int32_t *shown)
{
    char words[400];
    size_t n = (size_t)snprintf(words, sizeof words, "and");
    for (int i = SG_EVENTS - 1, some = 0; i >= 0; i--) {
        int32_t rest = people->of[i] - shown[i];
        if (rest > 0 && n < sizeof words)
            n += (size_t)snprintf(words + n, sizeof words - n, "%s %d%s %s", some++ > 0 ? "," : "", rest,
                                  shown[i] > 0 ? " other" : "", rest == 1 ? kinds[i].one : kinds[i].many);
    }
    sg_canvas_field(canvas, area.row + area.rows - 1, area.column, area.columns, false, SG_ROLE_LABEL, words);
}

/* Entries in columns, each as wide as its widest. */
struct columns {
    int down, across, width[ACROSS];
    struct room room;
};

/* Lay out so many columns; false where they are wider than there is room. */
static bool lay_out(struct columns *out, int across, struct sg_area area, const struct sg_look *look,
                    const struct people *people)
{
    int down = area.rows - 1, total = 0;
    down -= people->total > down * across ? 1 : 0;
    *out = (struct columns){.down = down, .across = across, .room = share_room(people, down * across)};
    struct room room = out->room;
    int n = 0;
    for (const struct sg_event *e = sg_ask_next_call(look->plan, NULL); e && n < down * across;
         e = sg_ask_next_call(look->plan, e)) {
        char entry[TELL + 90];
        if (!has_room(&room, e))
            continue;
        entry_of(look, e, entry, sizeof entry);
        int columns = sg_text_columns(entry), *width = &out->width[n++ / down];
        *width = columns > *width ? columns : *width;
    }
    for (int i = 0; i < across; i++)
        total += out->width[i] > 0 ? out->width[i] + BETWEEN : 0;
    return total - BETWEEN <= area.columns;
}

static void draw_entries(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look,
                         const struct people *people)
{
    struct columns columns;
    int across = (area.columns + BETWEEN) / (LEAST_ENTRY + BETWEEN);
    across = across < 1 ? 1 : across > ACROSS ? ACROSS : across;
    while (!lay_out(&columns, across, area, look, people) && across > 1)
        across--;
    int32_t shown[SG_EVENTS] = {0}, n = 0;
    int column = 0;
    for (const struct sg_event *e = sg_ask_next_call(look->plan, NULL);
         e && n < columns.down * columns.across; e = sg_ask_next_call(look->plan, e)) {
        char entry[TELL + 90];
        if (!has_room(&columns.room, e))
            continue;
        column += n > 0 && n % columns.down == 0 ? columns.width[n / columns.down - 1] + BETWEEN : 0;
        entry_of(look, e, entry, sizeof entry);
        sg_canvas_field(canvas, area.row + 1 + n % columns.down, area.column + column, area.columns - column,
                        false, SG_ROLE_RESULT, entry);
        shown[e->kind]++;
        n++;
    }
    if (n < people->total)
        draw_rest(canvas, area, people, shown);
}

void sg_people_draw(struct sg_canvas *canvas, struct sg_area area, const struct sg_look *look)
{
    if (area.rows < 1 || area.columns < 1)
        return;
    struct people people = count_people(look);
    if (people.total == 0)
        sg_canvas_put(canvas, area.row, area.column, area.columns, SG_ROLE_LABEL, "Nobody is needed.");
    else
        sg_canvas_format(canvas, area.row, area.column, area.columns, SG_ROLE_LABEL,
                         "People needed (%d time%s)", people.total, people.total == 1 ? "" : "s");
    if (people.total > 0 && area.rows > 1)
        draw_entries(canvas, area, look, &people);
}
