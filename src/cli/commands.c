/* The table of commands and the table of options. */
#include "cli/cli.h"

#include <string.h>

const struct sg_command sg_commands[] = {
    {"open", "", "f color ascii plain mouse read-only", 0, 0,
     "open the screens; `sandglass` alone does the same", sg_run_open},
    {"example", "[FILE]", "json color ascii plain mouse read-only", 0, 1,
     "make the invented example shop (a temporary file if none is named) and open the screens on it; without "
     "a "
     "terminal show its plan",
     sg_run_example},
    {"new", "FILE", "units", 1, 1,
     "make a shop file with the starter library and no jobs; never over an "
     "existing file",
     sg_run_new},
    {"add", "KIND WHERE-OR-NAME [NAME] [FIELD=VALUE ...]", "f json", 2, -1,
     "add a shift, head, material, chore, job (add job 2601), stock (add stock "
     "2601) or part (add part "
     "2601/1 A)",
     sg_run_add},
    {"set", "TARGET FIELD=VALUE ...", "f dry-run list json", 1, -1,
     "set fields of a job, stock or part by its key, or of shift:A, "
     "machine:main, head:NAME, material:NAME",
     sg_run_set},
    {"copy", "KEY TO", "f", 2, 2,
     "copy a job to a new key, a stock to a job, a part to a stock, head:a to "
     "head:b",
     sg_run_copy},
    {"move", "KEY TO", "f", 2, 2, "move a job to shift:ID, a stock to a job, a part to a stock", sg_run_move},
    {"remove", "KEY", "f", 1, 1, "remove a row with what belongs to it; undo brings it back", sg_run_remove},
    {"undo", "", "f json", 0, 0, "take back your last step, unless a later one built on it", sg_run_undo},
    {"redo", "", "f json", 0, 0, "do again what you took back last", sg_run_redo},
    {"history", "", "f limit json", 0, 0, "what was changed, by whom and when, the latest first",
     sg_run_history},
    {"repeat", "JOB NEW", "f shift json", 2, 2,
     "copy a job that was cut, with the speed, hands-on times and scrap that its clocks say", sg_run_repeat},
    {"scrap", "JOB/STOCK SHEET | JOB/STOCK/PART PIECES", "f json", 2, 2,
     "a sheet or pieces were spoilt: they are cut again, and undo takes it back", sg_run_scrap},
    {"record",
     "start PLACE | load PLACE | check PLACE | stop | pause WHY | resume | done [N|all] [PART] | scrap N|all "
     "[PART] "
     "| "
     "fill BAGS|MASS | level MASS | weigh HEAD FEED | tube HEAD | orifice HEAD | service CHORE | note TEXT | "
     "close SHIFT | list [SHIFT] | hand-over [SHIFT]",
     "f at sheets cut-only reason move json", 1, -1,
     "note what really happens, and see what is left timed from now; undo takes each back", sg_run_record},
    {"studies", "[use speed|thickness|pierce|feed|all [MATERIAL]]", "f dry-run json", 0, 3,
     "took against planned, the numbers that the shop's own clocks tell, and using them", sg_run_studies},
    {"try", "set TARGET FIELD=VALUE ...", "f json", 3, -1,
     "what a change would do to the plan: before, after, change; writes "
     "nothing",
     sg_run_try},
    {"what-if", "[NAME [set TARGET FIELD=VALUE ... | keep | drop]]", "f json", 0, -1,
     "named copies of the plan: list, compare, change, put into the plan, drop", sg_run_what_if},
    {"suggest", "[SHIFT]", "f json", 0, 1,
     "the cheapest changes that end a shift earlier, each tried; exit 1 if "
     "none does",
     sg_run_suggest},
    {"plan", "[SHIFT]", "f all now at csv json", 0, 1,
     "the plan of a shift: when it ends, refills, times, garnet, cautions", sg_run_plan},
    {"events", "[SHIFT]", "f now at csv json", 0, 1,
     "everything that needs a person: loads, refills, changes, checks, chores, "
     "with time and place",
     sg_run_events},
    {"hopper", "[SHIFT]", "f now at csv json", 0, 1, "the hopper's level over the shift, with its refills",
     sg_run_levels},
    {"ask",
     "ends | refill | lasts | alone FROM TO | done-by TIME [JOB] | fits "
     "JOB/STOCK/PART before TIME",
     "f shift now at json", 1, -1, "one question, one sentence; exit 0 is yes, 1 is no", sg_run_ask},
    {"why", "KEY FIELD", "f json", 2, 2,
     "where a number comes from: formula, inputs, how far to trust it, where "
     "each is set",
     sg_run_why},
    {"import", "JOB[/STOCK] FILE.csv|FOLDER", "f replace map good-only bad dry-run encoding separator json",
     2, 2,
     "bring a parts list in (- is standard input): into a stock, or into the "
     "job's stocks by material and "
     "thickness",
     sg_run_import},
    {"sheet", "JOB", "f csv text json for-spreadsheet units out", 1, 1,
     "the job sheet for the floor and the office", sg_run_sheet},
    {"quote", "JOB", "f sets customer units text csv json", 1, 1,
     "the price of a job with its split, by part and by quantity; exit 1 where something of it is not known",
     sg_run_quote},
    {"sweep", "JOB[/STOCK] FIELD=FROM..TO:STEP | orifice=ORIFICE/TUBE,.. | head",
     "f tube-ratio units text csv json", 2, 2,
     "time, garnet, wear and cost of a job along pressure, garnet, edge, orifice or head, what bounds each, "
     "the "
     "cheapest and the quickest; exit 1 where none is allowed",
     sg_run_sweep},
    {"speed", "",
     "f material machinability thickness stack edge head pressure low-pressure "
     "orifice tube garnet "
     "discharge pierce top-feed heads units json",
     0, 0, "traverse, pierce, water and garnet of one setup without a job", sg_run_speed},
    {"outline", "FILE ...", "f unit tolerance on off layer units json", 1, -1,
     "measure drawings (DXF) and part programs: cut length, pierces, corners, box, area, what is wrong with "
     "them",
     sg_run_outline},
    {"layout", "PARTS.csv", "sheet gap margin no-rotate effort units map encoding json", 1, 1,
     "how many sheets a parts list takes (columns part, length, width, quantity; - is standard input), and "
     "where each piece lies",
     sg_run_layout},
    {"check", "", "f json", 0, 0, "look the shop file over; exit 1 if anything is wrong", sg_run_check},
    {"backup", "FILE", "f", 1, 1, "a checked copy of the shop file; never over an existing file",
     sg_run_backup},
    {"convert", "VALUE UNIT", "json", 2, 2, "a number, fraction or sum in another unit", sg_run_convert},
    {"fields", "[KIND]", "f json", 0, 1, "what can be set, with unit, range and meaning", sg_run_fields},
    {"keys", "", "manual json", 0, 0, "every key of the screens, with what it does and where", sg_run_keys},
    {"commands", "", "json", 0, 0, "every command in a line", sg_run_commands},
    {"paths", "", "f json", 0, 0, "which shop file is taken, and why", sg_run_paths},
    {"help", "[COMMAND]", "", 0, 1, "this, or one command in full", sg_run_help},
    {NULL, NULL, NULL, 0, 0, NULL, NULL},
};

const struct sg_option sg_options[] = {
    {"f", "FILE",
     "the shop file; else $SANDGLASS_FILE, else "
     "$XDG_DATA_HOME/sandglass/shop.db"},
    {"json", NULL, "one JSON object, SI units"},
    {"csv", NULL, "CSV, one value a cell"},
    {"all", NULL, "every shift that is not closed, in order of their starts"},
    {"shift", "SHIFT", "the shift that is asked about; else the first that is not closed"},
    {"text", NULL, "text (the default)"},
    {"units", "us|metric", "units of bare numbers and of what is shown"},
    {"tube-ratio", "N", "tube over orifice along a range of orifices; else as it is on each head"},
    {"sets", "N,..", "prices for so many sets of the job's parts (of one part, pieces), such as 1,10,100"},
    {"customer", NULL, "only what a customer is told: no rates, no split, no note"},
    {"now", NULL, "of what is left from now on, by the log, instead of the plan as it was made"},
    {"at", "TIME", "when it was, or what now is: 11:43 (today), or \"2026-12-01 11:43\"; now if not given"},
    {"sheets", "N", "so many sheets in one clock; 1 if not given"},
    {"cut-only", NULL, "the clock runs only while the jet cuts along, not through pierces and rapids"},
    {"reason", "TEXT", "why"},
    {"move", "SHIFT", "jobs that are not done go there, with what is left of them"},
    {"dry-run", NULL, "show what would be, write nothing"},
    {"list", NULL, "name the fields with unit, range and meaning"},
    {"replace", NULL, "a part that exists takes what the list says"},
    {"map", "HEADER=COLUMN,..", "which column of the file is which of ours; HEADER= leaves one out"},
    {"good-only", NULL, "take the good rows, leave the bad ones out (exit 1)"},
    {"bad", "OUT.csv", "write the rows that were not taken there, with a reason"},
    {"encoding", "NAME",
     "utf-8, utf-16, utf-16le, utf-16be, windows-1252 or latin-1; else found "
     "out"},
    {"separator", "CHAR", "comma, semicolon or tab; else found out"},
    {"for-spreadsheet", NULL, "CSV with byte order mark, semicolons and decimal commas"},
    {"out", "FILE", "write there, whole or not at all, instead of to standard output"},
    {"material", "NAME", "a material of the library"},
    {"machinability", "N", "machinability number instead of a material"},
    {"thickness", "LENGTH", "thickness of one sheet"},
    {"stack", "N", "sheets cut at once"},
    {"edge", "Q", "1 to 5 or its word; 2.5 is allowed"},
    {"head", "abrasive|water", "kind of head; else the material's"},
    {"pressure", "PRESSURE", "at the orifice"},
    {"low-pressure", "PRESSURE", "of a low-pressure pierce"},
    {"orifice", "LENGTH", "bore of the orifice"},
    {"tube", "LENGTH", "bore of the mixing tube"},
    {"garnet", "FEED", "garnet feed"},
    {"discharge", "CD", "discharge coefficient of the orifice"},
    {"pierce", "WAY", "still, moving, low or drilled"},
    {"top-feed", "FEED", "fastest cutting feed of the machine"},
    {"heads", "N", "heads that cut together"},
    {"sheet", "LENGTHxWIDTH", "size of a sheet"},
    {"gap", "LENGTH", "between finished edges, exactly as given; 0 if not given"},
    {"margin", "LENGTH", "from the sheet's edges to the pieces; 0 if not given"},
    {"no-rotate", NULL, "no piece is turned"},
    {"effort", "N", "counted steps of the search for fewer sheets; 10000 if not given, 0 for none"},
    {"limit", "N", "at most so many rows; 0 for all"},
    {"color", "auto|always|never", "auto: where the terminal has any and NO_COLOR is not set"},
    {"ascii", NULL, "draw with ASCII characters only"},
    {"plain", NULL, "lines of text instead of a picture, for a screen reader"},
    {"mouse", NULL, "a click goes to a row, a second one opens it"},
    {"read-only", NULL, "look and try, keep nothing"},
    {"manual", NULL, "as a section of the manual page"},
    {"unit", "mm|in", "of a drawing that does not say, and before a header that does"},
    {"tolerance", "LENGTH", "units of the drawing within which two ends are one; else 0.0001"},
    {"on", "WORD", "of a part program: the jet goes on, such as M03"},
    {"off", "WORD", "of a part program: the jet goes off, such as M05"},
    {"layer", "NAME,..", "only these layers of a drawing; -NAME,.. all but these"},
    {"help", NULL, "say how the command is used"},
    {NULL, NULL, NULL},
};

const struct sg_command *sg_command_find(const char *name)
{
    for (const struct sg_command *command = sg_commands; command->name; command++)
        if (strcmp(command->name, name) == 0)
            return command;
    return NULL;
}
