/* Noting what really happens: clocks, pieces, readings, the end of a shift. */
#include "cli/recording.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- when ---- */

static enum sg_status read_at(struct recording *r)
{
    const char *text = sg_option(r->args, "at");
    r->at = r->now = sg_cli_now();
    r->typed_at = text != NULL;
    return text ? sg_cli_moment(text, r->now, &r->at, &r->error) : SG_OK;
}

/* ---- values ---- */

static enum sg_status read_field(struct recording *r, const char *field, const char *text,
                                 struct sg_value *out)
{
    struct sg_typed typed;
    sg_field_read(sg_field_find(SG_KIND_RECORD, field), sg_desk_shop(r->desk), text, &typed);
    if (typed.state != SG_PARSE_WHOLE || typed.value.none)
        return sg_fail(&r->error, SG_BAD_DATA, "\"%.60s\": %.300s", text,
                       typed.text[0] ? typed.text : "a value is needed");
    *out = typed.value;
    return SG_OK;
}

/* A whole number; false where the word is none. */
static bool read_whole(const char *text, int32_t *out)
{
    char *end;
    long value = strtol(text, &end, 10);
    if (end == text || *end != '\0' || value > INT32_MAX || value < -INT32_MAX)
        return false;
    *out = (int32_t)value;
    return true;
}

/* All words from there on as one text. */
static enum sg_status join(struct recording *r, int from, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (int i = from; i < r->n_words; i++) {
        int n = snprintf(out + used, size - used, "%s%s", i > from ? " " : "", r->words[i]);
        if (n < 0 || used + (size_t)n >= size)
            return sg_fail(&r->error, SG_BAD_DATA, "a reason or note has at most %d characters", SG_TEXT_MAX);
        used += (size_t)n;
    }
    return SG_OK;
}

/* ---- acts ---- */

static enum sg_status start(struct recording *r, enum sg_phase phase)
{
    int32_t sheets = 1;
    const char *typed = sg_option(r->args, "sheets");
    if (typed && !read_whole(typed, &sheets))
        return sg_fail(&r->error, SG_USAGE, "--sheets \"%.40s\" is no whole number", typed);
    const struct sg_start start = {.phase = phase,
                                   .place = r->words[0],
                                   .sheets = sheets,
                                   .cut_only = sg_option(r->args, "cut-only") != NULL,
                                   .note = sg_option(r->args, "reason")};
    return sg_desk_start(r->desk, &start, r->at, &r->noted, &r->error);
}

static enum sg_status start_cut(struct recording *r)
{
    return start(r, SG_PHASE_CUT);
}

static enum sg_status start_load(struct recording *r)
{
    return start(r, SG_PHASE_LOAD);
}

static enum sg_status start_check(struct recording *r)
{
    return start(r, SG_PHASE_CHECK);
}

/* A record with the words from `from` on, or --reason, as its reason. */
static enum sg_status plain(struct recording *r, struct sg_record *record, int from)
{
    char reason[SG_TEXT_MAX * 4 + 1];
    const char *option = sg_option(r->args, "reason");
    enum sg_status status = join(r, from, reason, sizeof reason);
    record->at = r->at;
    record->reason = option ? option : reason;
    return status == SG_OK ? sg_desk_record(r->desk, record, &r->noted, &r->error) : status;
}

static enum sg_status note_what(struct recording *r, enum sg_record_what what)
{
    struct sg_record record = sg_fresh_record;
    record.what = what;
    return plain(r, &record, 0);
}

static enum sg_status stop(struct recording *r)
{
    return note_what(r, SG_RECORD_STOP);
}

static enum sg_status pause_it(struct recording *r)
{
    return note_what(r, SG_RECORD_PAUSE);
}

static enum sg_status resume(struct recording *r)
{
    return note_what(r, SG_RECORD_RESUME);
}

static enum sg_status note(struct recording *r)
{
    return note_what(r, SG_RECORD_NOTE);
}

static enum sg_status level(struct recording *r)
{
    struct sg_record record = sg_fresh_record;
    struct sg_value mass = {.none = true};
    enum sg_status status = read_field(r, "mass", r->words[0], &mass);
    if (status != SG_OK)
        return status;
    record.what = SG_RECORD_LEVEL;
    record.mass = mass.number[0];
    return plain(r, &record, 1);
}

static enum sg_status weigh(struct recording *r)
{
    struct sg_record record = sg_fresh_record;
    struct sg_value feed = {.none = true};
    enum sg_status status = read_field(r, "feed", r->words[1], &feed);
    if (status == SG_OK && !(feed.number[0] > 0))
        status = sg_fail(&r->error, SG_BAD_DATA, "a weighed feed is above 0");
    if (status != SG_OK)
        return status;
    record.what = SG_RECORD_WEIGH;
    record.place = r->words[0];
    record.feed = feed.number[0];
    return plain(r, &record, 2);
}

static enum sg_status change(struct recording *r, enum sg_record_what what)
{
    struct sg_record record = sg_fresh_record;
    record.what = what;
    record.place = r->words[0];
    return plain(r, &record, 1);
}

static enum sg_status change_tube(struct recording *r)
{
    return change(r, SG_RECORD_TUBE);
}

static enum sg_status change_orifice(struct recording *r)
{
    return change(r, SG_RECORD_ORIFICE);
}

static enum sg_status service(struct recording *r)
{
    return change(r, SG_RECORD_SERVICE);
}

static enum sg_status fill(struct recording *r)
{
    int32_t bags = SG_UNKNOWN;
    struct sg_value mass = {.number = {(double)NAN}};
    enum sg_status status = SG_OK;
    if (!read_whole(r->words[0], &bags))
        status = read_field(r, "mass", r->words[0], &mass);
    else if (bags < 1)
        status = sg_fail(&r->error, SG_BAD_DATA, "a fill is 1 bag or more, or a mass above 0");
    return status == SG_OK ? sg_desk_fill(r->desk, bags, mass.number[0], r->at, &r->noted, &r->error)
                           : status;
}

static enum sg_status count(struct recording *r, bool scrap)
{
    struct sg_counting counting = {.scrap = scrap, .all = true, .reason = sg_option(r->args, "reason")};
    int used = 0;
    if (r->n_words > 0 && read_whole(r->words[0], &counting.count)) {
        counting.all = false;
        used = 1;
    }
    if (counting.all && r->n_words > 0 && strcmp(r->words[0], "all") == 0)
        used = 1;
    if (scrap && used == 0)
        return sg_fail(&r->error, SG_USAGE, "how many pieces? usage: sandglass record scrap N|all [PART]");
    if (r->n_words - used > 1)
        return sg_fail(&r->error, SG_USAGE, "\"%.60s\" is no whole number of pieces, nor `all`", r->words[0]);
    counting.part = r->n_words > used ? r->words[used] : NULL;
    return sg_desk_count(r->desk, &counting, r->at, &r->noted, &r->error);
}

static enum sg_status done(struct recording *r)
{
    return count(r, false);
}

static enum sg_status scrap(struct recording *r)
{
    return count(r, true);
}

/* What stays in a shift that was closed, and how it gets out of it. */
static void say_left(struct recording *r, int32_t shift)
{
    struct sg_now now = {0};
    struct sg_error error;
    const struct sg_shop *shop = sg_desk_shop(r->desk);
    const char *id = shop->shifts[shift].id;
    if (sg_now_make(&now, shop, r->at, shift, &error) == SG_OK && now.plan->totals.pieces > 0) {
        struct sg_text left = {0};
        sg_left_words(&left, &now.rest.shop, now.plan);
        sg_cli_say(SG_OK, "%s in shift %s: `sandglass record close %s --move SHIFT` moves what is left",
                   left.data ? left.data : "pieces are left", id, id);
        sg_text_free(&left);
    }
    sg_now_free(&now);
}

static enum sg_status close_shift(struct recording *r)
{
    int32_t shift, to = SG_UNKNOWN;
    const char *move = sg_option(r->args, "move");
    enum sg_status status = sg_cli_shift(sg_desk_shop(r->desk), r->words[0], &shift, &r->error);
    if (status == SG_OK && move)
        status = sg_cli_shift(sg_desk_shop(r->desk), move, &to, &r->error);
    if (status == SG_OK)
        status = sg_desk_close_shift(r->desk, shift, to, r->at, &r->noted, &r->error);
    if (status == SG_OK && !move)
        say_left(r, shift);
    return status;
}

/* ---- the table of acts ---- */

static const struct act {
    const char *name, *usage;
    int min_words, max_words; /* max -1: any number */
    enum sg_status (*run)(struct recording *r);
} acts[] = {
    {"start", "start PLACE [--sheets N] [--cut-only]", 1, 1, start_cut},
    {"load", "load PLACE [--sheets N]", 1, 1, start_load},
    {"check", "check PLACE", 1, 1, start_check},
    {"stop", "stop [WHY]", 0, -1, stop},
    {"pause", "pause WHY", 1, -1, pause_it},
    {"resume", "resume", 0, 0, resume},
    {"done", "done [N|all] [PART]", 0, 2, done},
    {"scrap", "scrap N|all [PART] [--reason WHY]", 1, 2, scrap},
    {"fill", "fill BAGS|MASS", 1, 1, fill},
    {"level", "level MASS", 1, 1, level},
    {"weigh", "weigh HEAD FEED", 2, 2, weigh},
    {"tube", "tube HEAD [WHY]", 1, -1, change_tube},
    {"orifice", "orifice HEAD [WHY]", 1, -1, change_orifice},
    {"service", "service CHORE", 1, 1, service},
    {"note", "note TEXT", 1, -1, note},
    {"close", "close SHIFT [--move SHIFT]", 1, 1, close_shift},
    {"list", "list [SHIFT]", 0, 1, NULL},
    {"hand-over", "hand-over [SHIFT]", 0, 1, NULL},
};

static const struct act *find_act(const char *name)
{
    for (size_t i = 0; i < sizeof acts / sizeof *acts; i++)
        if (strcmp(acts[i].name, name) == 0)
            return &acts[i];
    return NULL;
}

static int run_act(struct recording *r, const struct act *act)
{
    struct sg_text before = {0};
    if (!act->run)
        return sg_record_look(r, strcmp(act->name, "hand-over") == 0);
    if (r->typed_at && sg_note_moment(sg_desk_shop(r->desk), r->at, r->now, &r->error) != SG_OK)
        return sg_cli_fail(&r->error);
    sg_remarks_before(r, &before);
    int code = act->run(r) == SG_OK ? sg_record_told(r, &before) : sg_cli_fail(&r->error);
    sg_text_free(&before);
    return code;
}

int sg_run_record(const struct sg_args *args)
{
    struct recording r = {.args = args, .words = args->words + 1, .n_words = args->n_words - 1};
    const struct act *act = find_act(args->words[0]);
    if (!act)
        return sg_cli_say(SG_USAGE, "\"%.60s\" is nothing to record; usage: sandglass record %s",
                          args->words[0], args->command->words);
    if (r.n_words < act->min_words || (act->max_words >= 0 && r.n_words > act->max_words))
        return sg_cli_say(SG_USAGE, "usage: sandglass record %s [--at TIME]", act->usage);
    if (read_at(&r) != SG_OK)
        return sg_cli_fail(&r.error);
    if (sg_cli_open(args, act->run ? SG_STORE_WRITE : SG_STORE_READ, &r.desk, &r.error) != SG_OK)
        return sg_cli_fail(&r.error);
    int code = run_act(&r, act);
    sg_desk_close(r.desk);
    return code;
}
