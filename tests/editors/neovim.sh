#!/bin/sh
# Follows the page editors/neovim/README.md to the letter in a home of its own, and works in
# a headless Neovim as neovim.lua says. Needs nvim (or another in $GAINSAY_NEOVIM), and the command
# in $GAINSAY or on the path.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
. "$here/home.inc"

follow editors/neovim/README.md
mkdir -p "$HOME/.config/nvim"
fenced lua editors/neovim/README.md >"$HOME/.config/nvim/init.lua"
cp "$here/column.pgn" "$here/chapter.md" "$here/exercises.epd" "$HOME"
cd "$HOME"
timeout 60 "${GAINSAY_NEOVIM:-nvim}" --headless -c "luafile $here/neovim.lua" column.pgn
grep -q 'Qxf7# 1-0' column.pgn
echo "Neovim: the page was followed; a finding came, was mended and went"
