/* The cheapest changes for a late shift. */
#include "cli/shown.h"
#include "edit/suggest.h"

#include <string.h>

/* A word as a shell takes it: in quotes where a character may mean something to it. */
static void put_word(struct sg_text *out, const char *word)
{
    if (word[strspn(word, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./:=+-")] == '\0') {
        sg_text_put(out, word);
        return;
    }
    sg_text_put(out, "'");
    for (; *word; word++)
        if (*word == '\'')
            sg_text_put(out, "'\\''");
        else
            sg_text_add(out, word, 1);
    sg_text_put(out, "'");
}

static void put_command(struct sg_text *out, const struct sg_suggestion *suggestion)
{
    for (int i = 0; i < suggestion->n_edits; i++) {
        sg_text_put(out, i ? " && sandglass set " : "sandglass set ");
        put_word(out, suggestion->edits[i].key);
        sg_text_put(out, " ");
        put_word(out, suggestion->edits[i].assignment);
    }
}

static void put_json(struct sg_text *out, const struct sg_shop *shop, int32_t shift,
                     const struct sg_suggestion *found, int n, int tried)
{
    struct sg_json json;
    double epoch = shop->shifts[shift].calendar.epoch;
    sg_json_start(&json, out);
    sg_json_text(&json, "shift", shop->shifts[shift].id);
    sg_json_whole(&json, "tried", tried);
    sg_json_array(&json, "changes");
    for (int i = 0; i < n; i++) {
        char at[64];
        sg_iso_format(epoch + found[i].ends, at, sizeof at);
        sg_json_object(&json, NULL);
        sg_json_text(&json, "words", found[i].words);
        sg_json_number(&json, "saving_s", found[i].saving);
        sg_json_text(&json, "ends_at", at);
        sg_json_number(&json, "over_s", found[i].over);
        sg_json_whole(&json, "refills", found[i].refills);
        sg_json_whole(&json, "late", found[i].n_late);
        sg_json_array(&json, "late_jobs");
        for (int k = 0; k < found[i].n_late && k < SG_SUGGESTED_LATE; k++)
            sg_json_text(&json, NULL, shop->jobs[found[i].late[k]].id);
        sg_json_end_array(&json);
        sg_json_array(&json, "set");
        for (int k = 0; k < found[i].n_edits; k++) {
            sg_json_object(&json, NULL);
            sg_json_text(&json, "target", found[i].edits[k].key);
            sg_json_text(&json, "assignment", found[i].edits[k].assignment);
            sg_json_end_object(&json);
        }
        sg_json_end_array(&json);
        sg_json_end_object(&json);
    }
    sg_json_end_array(&json);
    sg_json_finish(&json);
}

static void put_text(struct sg_text *out, const struct sg_shop *shop, int32_t shift,
                     const struct sg_suggestion *found, int n, int tried)
{
    double epoch = shop->shifts[shift].calendar.epoch;
    double close = shop->shifts[shift].calendar.close_s;
    sg_text_format(out, "Shift %s: %d change%s tried, %s%d end%s it earlier%s\n", shop->shifts[shift].id,
                   tried, tried == 1 ? "" : "s", n == SG_SUGGESTIONS ? "these " : "", n, n == 1 ? "s" : "",
                   n > 1 ? ", the best first" : "");
    for (int i = 0; i < n; i++) {
        char at[16], saving[32], over[32];
        sg_clock_format(epoch + found[i].ends, at, sizeof at);
        sg_duration_format(found[i].saving, saving, sizeof saving);
        sg_over_format(epoch + close, epoch + found[i].ends, over, sizeof over);
        sg_text_format(out, "%2d  %s: ends %s", i + 1, found[i].words, at);
        if (isfinite(found[i].saving))
            sg_text_format(out, ", %s earlier", saving);
        sg_text_format(out, ", %s%s%s%s\n      ", found[i].over > 0 ? over : "in time",
                       found[i].over > 0 ? " over" : "", found[i].n_late > 0 ? ", late: " : "",
                       found[i].late_jobs);
        put_command(out, &found[i]);
        sg_text_put(out, "\n");
    }
}

static int suggest(const struct sg_args *args, struct sg_desk *desk, struct sg_draft *draft)
{
    struct sg_suggestion found[SG_SUGGESTIONS];
    struct sg_error error;
    const struct sg_shop *shop = sg_desk_shop(desk);
    int32_t shift = sg_plan_default_shift(shop);
    int tried = 0;
    if (args->n_words > 0) {
        const char *name = args->words[0] + (strncmp(args->words[0], "shift:", 6) == 0 ? 6 : 0);
        shift = sg_find_shift(shop, name);
        if (shift == SG_UNKNOWN)
            return sg_cli_say(SG_BAD_DATA, "no shift \"%.60s\"; the first is %s", name,
                              shop->n_shifts ? shop->shifts[0].id : "not made yet");
    }
    int n = sg_suggest(draft, shift, found, &tried, &error);
    if (n < 0)
        return sg_cli_fail(&error);
    struct sg_text out = {0};
    const struct sg_shown shown = {.args = args, .desk = desk, .shop = shop, .how = "`sandglass plan --now`"};
    sg_shown_say(&shown, shift, NULL);
    if (sg_option(args, "json"))
        put_json(&out, shop, shift, found, n, tried);
    else
        put_text(&out, shop, shift, found, n, tried);
    return sg_cli_put(&out, n > 0 ? SG_OK : SG_NO);
}

int sg_run_suggest(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_desk *desk;
    struct sg_draft *draft;
    if (sg_cli_open(args, SG_STORE_READ, &desk, &error) != SG_OK)
        return sg_cli_fail(&error);
    int code = SG_OK;
    if (sg_draft_new(desk, &draft, &error) == SG_OK) {
        code = suggest(args, desk, draft);
        sg_draft_free(draft);
    } else {
        code = sg_cli_fail(&error);
    }
    sg_desk_close(desk);
    return code;
}
