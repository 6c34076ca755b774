#!/bin/sh
# Runs the settings of editors/emacs in a headless Emacs: a finding comes, is mended by
# hand, and goes. Needs emacs with eglot, and the command in $GAINSAY or on the path.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp "$here/column.pgn" "$work/column.pgn"
GAINSAY=${GAINSAY:-gainsay} HOME="$work" timeout 90 emacs --batch \
  ${EGLOT_PATH:+-L "$EGLOT_PATH"} -L "$here/../../editors/emacs" \
  -l "$here/emacs.el" "$work/column.pgn"
echo "Emacs: a finding came, was mended and went"
