#!/bin/sh
# Follows the page editors/emacs/README.md to the letter in a home of its own, and works in a
# headless Emacs as emacs.el says. Needs emacs with eglot, and the command in $GAINSAY or on
# the path.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
. "$here/home.inc"

follow editors/emacs/README.md
fenced elisp editors/emacs/README.md >"$HOME/.emacs.d/init.el"
cp "$here/column.pgn" "$here/chapter.md" "$here/exercises.epd" "$HOME"
cd "$HOME"
# An Emacs without a terminal reads neither packages nor init.el by itself.
timeout 90 emacs --batch --funcall package-initialize --load "$HOME/.emacs.d/init.el" \
    --load "$here/emacs.el"
grep -q 'Qxf7# 1-0' column.pgn
echo "Emacs: the page was followed; a finding came, was mended and went"
