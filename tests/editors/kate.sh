#!/bin/sh
# Follows the page editors/kate/README.md to the letter in a home of its own, and works in
# Kate with the keyboard, on a screen that nobody sees. Needs kate, xvfb, xdotool and
# dbus-run-session, and the command in $GAINSAY or on the path.
set -eu
# All that is started shares a bus, so that Kate finds the one that runs already.
test -n "${1:-}" || exec dbus-run-session -- sh "$0" inside
here=$(cd "$(dirname "$0")" && pwd)
. "$here/home.inc"

fail() {
    echo "kate.sh: $1" >&2
    tail -n 20 "$HOME/kate.log" "$HOME/told" >&2 || true
    exit 1
}

# Waits until the command after the first word, which says what for, succeeds.
wait_for() {
    what=$1
    shift
    tries=150
    until "$@" >/dev/null 2>&1; do
        tries=$((tries - 1))
        test $tries -gt 0 || fail "waited in vain for $what"
        sleep 0.2
    done
}

# The server's words are kept, to see what Kate was told.
rm "$HOME/bin/gainsay"
cat >"$HOME/bin/gainsay" <<END
#!/bin/sh
"$GAINSAY" "\$@" | tee -a "$HOME/told"
END
chmod +x "$HOME/bin/gainsay"
follow editors/kate/README.md
cp "$here/column.pgn" "$here/chapter.md" "$here/exercises.epd" "$HOME"
cd "$HOME"

XDG_RUNTIME_DIR="$HOME/run"
export XDG_RUNTIME_DIR
mkdir -m 700 "$XDG_RUNTIME_DIR"
Xvfb -displayfd 3 -screen 0 1200x800x24 3>"$HOME/display" 2>/dev/null &
screen=$!
trap 'kill $screen 2>/dev/null; rm -rf "$HOME"' EXIT
wait_for "the screen" test -s "$HOME/display"
DISPLAY=:$(cat "$HOME/display")
export DISPLAY

focus() {
    xdotool search --onlyvisible --name "$1" windowfocus --sync
}
told() {
    grep -q "$1" "$HOME/told"
}

kate --new --line 9 --column 68 column.pgn >"$HOME/kate.log" 2>&1 &
wait_for "the question whether the command may be started" focus '^LSP server start requested'
xdotool key Return
wait_for "the finding" told '"code":"missing-mate-sign"'

wait_for "the window" focus '^column.pgn'
xdotool key alt+Return
wait_for "the remedies" told '"kind":"quickfix","title":"Write Qxf7#"'
# The menu comes up when the answer has.
sleep 1
xdotool key Down Return
wait_for "the finding to go" told '"diagnostics":\[\],"uri":"file://[^"]*/column.pgn"'
xdotool key ctrl+s
wait_for "the remedy in the file" grep -q 'Qxf7# 1-0' column.pgn

# The other kinds of file, in the same Kate.
kate exercises.epd >>"$HOME/kate.log" 2>&1
wait_for "the positions" told '"code":"false-mate".*"uri":"file://[^"]*/exercises.epd"'
kate chapter.md >>"$HOME/kate.log" 2>&1
wait_for "the manuscript" told '"code":"missing-mate-sign".*"uri":"file://[^"]*/chapter.md"'
echo "Kate: the page was followed; a finding came, was mended and went"
