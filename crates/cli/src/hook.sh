#!/bin/sh
# Made by "gainsay hook". Checks the games, positions and manuscripts of a commit as they are
# staged, and keeps the commit back where something does not hold. To have it in a repository:
#   gainsay hook >.git/hooks/pre-commit && chmod +x .git/hooks/pre-commit
# A commit that is to pass all the same: git commit --no-verify
set -eu

if ! command -v gainsay >/dev/null; then
    echo "gainsay is not on the path: install it, or commit with --no-verify" >&2
    exit 1
fi

# Beside the repository's own files, so that settings above the repository hold too.
folder=$(mktemp -d "$(git rev-parse --absolute-git-dir)/gainsay.XXXXXX")
trap 'rm -rf "$folder"' EXIT

# What is staged may be another text than that of the working tree.
git diff --cached --name-only --diff-filter=ACMR -z -- \
    ':(icase)*.pgn' ':(icase)*.epd' ':(icase)*.fen' ':(icase)*.md' >"$folder/names"
[ -s "$folder/names" ] || exit 0
git checkout-index -z --stdin --prefix="$folder/tree/" <"$folder/names"
# The settings, and lists of known findings that they may name.
git ls-files -z -- gainsay.toml '*/gainsay.toml' '*.jsonl' |
    git checkout-index -z --stdin --prefix="$folder/tree/"

cd "$folder/tree"
xargs -0 gainsay check --only-wanted -- <"$folder/names"
