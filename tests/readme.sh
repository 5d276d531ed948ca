#!/bin/sh
# The screenfuls in the README are what the program really prints and shows. Called with the project's folder and
# the program.
set -u
cd "$1" || exit 1

# The block of text behind a mark.
block() {
    sed -n "/<!-- $1 -->/,/^\`\`\`\$/p" README.md | sed '1,2d;$d'
}

screen=fixtures/screens/typing-80x24.txt
if [ "$(block screen)" != "$(cat "$screen")" ]; then
    echo "README.md shows another screen than $screen:"
    cat "$screen"
    exit 1
fi
shown=$(block example)
lines=$(printf '%s\n' "$shown" | wc -l)
if [ "$lines" -lt 20 ]; then
    echo "README.md shows only $lines lines of the example"
    exit 1
fi
printed=$(TZ=UTC "$2" example 2>/dev/null | head -n "$lines")
if [ "$shown" != "$printed" ]; then
    echo 'README.md shows something else than `sandglass example` prints:'
    printf '%s\n' "$printed"
    exit 1
fi
echo "$lines lines and a screen of README.md are as printed"
