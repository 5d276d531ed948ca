#include "cli/cli.h"

static void put_line(void *context, const char *sentence)
{
    sg_text_format(context, "%s\n", sentence);
}

static void put_item(void *context, const char *sentence)
{
    sg_json_text(context, NULL, sentence);
}

static int check_file(const struct sg_args *args, struct sg_store *store)
{
    struct sg_error error;
    struct sg_text out = {0};
    struct sg_json json;
    int found;
    if (sg_option(args, "json")) {
        sg_json_start(&json, &out);
        sg_json_array(&json, "findings");
        found = sg_store_check(store, put_item, &json, &error);
        sg_json_end_array(&json);
        sg_json_finish(&json);
    } else {
        found = sg_store_check(store, put_line, &out, &error);
        if (found == 0)
            sg_text_put(&out, "nothing wrong found\n");
    }
    if (found < 0) {
        sg_text_free(&out);
        return sg_cli_fail(&error);
    }
    return sg_cli_put(&out, found == 0 ? SG_OK : SG_NO);
}

static enum sg_status open_store(const struct sg_args *args, struct sg_store **store, struct sg_error *error)
{
    char path[4096];
    const char *whence;
    enum sg_status status = sg_cli_path(args, path, sizeof path, &whence, error);
    return status == SG_OK ? sg_store_open(path, SG_STORE_READ, store, error) : status;
}

int sg_run_check(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_store *store = NULL;
    if (open_store(args, &store, &error) != SG_OK)
        return sg_cli_fail(&error);
    int code = check_file(args, store);
    sg_store_close(store);
    return code;
}

int sg_run_backup(const struct sg_args *args)
{
    struct sg_error error;
    struct sg_store *store = NULL;
    enum sg_status status = open_store(args, &store, &error);
    if (status == SG_OK)
        status = sg_store_backup(store, args->words[0], &error);
    sg_store_close(store);
    return status == SG_OK ? sg_cli_say(SG_OK, "copied to %s", args->words[0]) : sg_cli_fail(&error);
}
