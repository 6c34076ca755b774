#!/bin/sh
# Runs the settings of editors/neovim in a headless Neovim: a finding comes, its remedy is
# applied, and it goes. Needs nvim, and the command in $GAINSAY or on the path.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$work/data/nvim/site/pack/gainsay/start"
cp -r "$here/../../editors/neovim" "$work/data/nvim/site/pack/gainsay/start/gainsay"
cp "$here/column.pgn" "$work/column.pgn"
XDG_DATA_HOME="$work/data" XDG_CONFIG_HOME="$work/config" XDG_STATE_HOME="$work/state" \
  GAINSAY=${GAINSAY:-gainsay} timeout 60 nvim --headless --clean \
  --cmd "set packpath^=$work/data/nvim/site" --cmd "packloadall" \
  -c "luafile $here/neovim.lua" "$work/column.pgn"
grep -q 'Qxf7# 1-0' "$work/column.pgn"
echo "Neovim: a finding came, was mended and went"
