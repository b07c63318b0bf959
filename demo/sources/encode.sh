#!/bin/sh
# Make the recordings and pack them. Needs flac and Python with numpy and scipy.
# PYTHON and OUT may be set; OUT is the folder for the FLAC files (default: the folder above this one).
set -eu
cd "$(dirname "$0")"
python=${PYTHON:-python3}
out=${OUT:-..}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$python" make_recordings.py "$work"
for wav in "$work"/*.wav; do
  flac -s -f -8 -e -p --no-seektable --no-padding "$wav" -o "$out/$(basename "$wav" .wav).flac"
done
