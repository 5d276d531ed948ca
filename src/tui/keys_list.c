/* The table of actions for people: as text, as a manual page, as JSON. */
#include "tui/tui.h"

#include "tui/action.h"
#include "tui/inside.h"

#include <stdio.h>
#include <string.h>

/* The screens of an action in words: "Shift, Job", or "all". */
static void where_words(const struct sg_action *action, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    if ((action->where & SG_ON_ALL) == SG_ON_ALL) {
        snprintf(out, size, "all");
        return;
    }
    for (int i = 0; i < SG_SCREENS && used < size; i++)
        if (action->where & (1u << i))
            used += (size_t)snprintf(out + used, size - used, "%s%s", used ? ", " : "", sg_screens[i]->name);
    if (!used && action->where)
        snprintf(out, size, "while typing");
}

void sg_keys_text(struct sg_text *out)
{
    for (int group = 0; group < SG_GROUPS; group++) {
        sg_text_format(out, "%s%s\n", group ? "\n" : "", sg_group_word((enum sg_action_group)group));
        for (const struct sg_action *action = sg_actions; action->name; action++) {
            char where[200];
            if (action->group != (enum sg_action_group)group)
                continue;
            where_words(action, where, sizeof where);
            sg_text_format(out, "  %-20s %-18s %s (%s)\n", action->keys[0] ? action->keys : ":", action->name,
                           action->help, where);
        }
    }
}

/* ---- the manual page ---- */

static const char page_head[] = ".\\\" Made by `sandglass keys --manual`: change src/tui/actions.c instead.\n"
                                ".Dd November 25, 2026\n"
                                ".Dt SANDGLASS-KEYS 7\n"
                                ".Os\n"
                                ".Sh NAME\n"
                                ".Nm sandglass-keys\n"
                                ".Nd keys of the screens of sandglass\n"
                                ".Sh DESCRIPTION\n"
                                "Arrows and letters are enough for everything.\n"
                                "Two letters in a row are two keys, one after the other.\n"
                                "Each action has a name, which\n"
                                ".Ql \\&:\n"
                                "takes; those without a key are reached by it alone.\n"
                                "Where an action works on some screens only, they stand in brackets.\n";

/* A text in mdoc: nothing of it is a macro, a delimiter or an escape. */
static void put_mdoc(struct sg_text *out, const char *text)
{
    sg_text_put(out, "\\&");
    for (; *text; text++) {
        if (*text == '\\')
            sg_text_put(out, "\\e");
        else if (*text == '"')
            sg_text_put(out, "\\(dq");
        else if (*text == '^')
            sg_text_put(out, "\\(ha");
        else if (*text == ' ')
            sg_text_put(out, " \\&");
        else
            sg_text_add(out, text, 1);
    }
}

static void put_action(struct sg_text *out, const struct sg_action *action)
{
    char where[200];
    where_words(action, where, sizeof where);
    sg_text_put(out, ".It Sy ");
    put_mdoc(out, action->keys[0] ? action->keys : ":");
    sg_text_put(out, "\n");
    put_mdoc(out, action->help);
    sg_text_put(out, "\n.Pq Ql ");
    put_mdoc(out, action->name);
    if (strcmp(where, "all") != 0 && strcmp(where, "while typing") != 0)
        sg_text_format(out, " ; %s", where);
    sg_text_put(out, "\n");
}

void sg_keys_manual(struct sg_text *out)
{
    sg_text_put(out, page_head);
    for (int group = 0; group < SG_GROUPS; group++) {
        sg_text_format(out, ".Ss %s\n.Bl -tag -width Ds\n", sg_group_word((enum sg_action_group)group));
        for (const struct sg_action *action = sg_actions; action->name; action++)
            if (action->group == (enum sg_action_group)group)
                put_action(out, action);
        sg_text_put(out, ".El\n");
    }
    sg_text_put(out, ".Sh SEE ALSO\n.Xr sandglass 1 ,\n.Xr sandglass-formats 5\n");
}

void sg_keys_json(struct sg_text *out)
{
    struct sg_json json;
    sg_json_start(&json, out);
    sg_json_array(&json, "keys");
    for (const struct sg_action *action = sg_actions; action->name; action++) {
        char where[200];
        where_words(action, where, sizeof where);
        sg_json_object(&json, NULL);
        sg_json_text(&json, "name", action->name);
        sg_json_text(&json, "keys", action->keys);
        sg_json_text(&json, "where", where);
        sg_json_text(&json, "group", sg_group_word(action->group));
        sg_json_text(&json, "help", action->help);
        sg_json_end_object(&json);
    }
    sg_json_end_array(&json);
    sg_json_finish(&json);
}
