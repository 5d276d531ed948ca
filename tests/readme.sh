#!/bin/sh
# The screenful in the README is what the program really prints. Called with the project's folder and the program.
set -u
cd "$1" || exit 1
shown=$(sed -n '/<!-- example -->/,/^```$/p' README.md | sed '1,2d;$d')
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
echo "$lines lines of README.md are as printed"
