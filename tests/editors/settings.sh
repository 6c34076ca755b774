#!/bin/sh
# See settings.py. Needs Python 3.11, and the command in $GAINSAY.
set -eu
python3 "$(dirname "$0")/settings.py"
