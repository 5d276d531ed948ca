#!/bin/sh
# The rooms of the house: which headers each folder may include. Run with the project's folder.
set -u
cd "$1" || exit 1
bad=0
lines=0

# check FOLDER FORBIDDEN...: no include line of the folder may match a forbidden pattern.
check() {
    folder=$1
    shift
    for pattern in "$@"; do
        found=$(grep -rnE "^ *# *include *[<\"]($pattern)" "$folder" --include='*.c' --include='*.h')
        if [ -n "$found" ]; then
            printf '%s may not include %s:\n%s\n' "$folder" "$pattern" "$found"
            bad=1
        fi
    done
    lines=$((lines + $(grep -rcE '^ *# *include' "$folder" --include='*.c' --include='*.h' | awk -F: '{s += $NF} END {print s + 0}')))
}

sqlite='sqlite3[.]h'
curses='(n?curses|ncursesw/.*)[.]h'
csv='csv[.]h'
check include "$sqlite" "$curses" "$csv" 'store/' 'exchange/' 'edit/' 'cli/' 'tui/' 'unistd[.]h' 'time[.]h'
check src/core "$sqlite" "$curses" "$csv" 'store/' 'exchange/' 'edit/' 'cli/' 'tui/' 'unistd[.]h' 'time[.]h' 'locale[.]h'
check src/store "$curses" "$csv" 'exchange/' 'edit/' 'cli/' 'tui/'
check src/exchange "$sqlite" "$curses" 'store/' 'edit/' 'cli/' 'tui/'
check src/edit "$sqlite" "$curses" "$csv" 'cli/' 'tui/'
check src/tui "$sqlite" "$csv" 'cli/'
check src/cli "$sqlite" "$curses" "$csv"

# Two files know the terminal's library; everything else is drawn on the canvas.
users=$(grep -rlE "^ *# *include *[<\"]($curses|term[.]h)" src include --include='*.c' --include='*.h' | sort | tr '\n' ' ')
if [ "$users" != 'src/tui/term.c src/tui/terminfo.c ' ]; then
    printf 'only src/tui/term.c and terminfo.c may include curses.h, not: %s\n' "$users"
    bad=1
fi

if [ "$lines" -lt 100 ]; then
    echo "only $lines include lines were read: the check looks in the wrong place"
    bad=1
fi
[ "$bad" -eq 0 ] && echo "$lines include lines keep to their rooms"
exit "$bad"
