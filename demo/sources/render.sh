#!/bin/sh
# Render the demo photos. Needs POV-Ray 3.7 and Python with numpy and Pillow.
#   sh render.sh                     all four, full size: some six minutes of processor time each
#   sh render.sh after-1 before-2    only these
#   DRAFT=1 sh render.sh             small and quick
# PYTHON and OUT may be set; OUT is the folder for the JPEGs (default: the folder above this one).
set -eu
cd "$(dirname "$0")"
python=${PYTHON:-python3}
out=${OUT:-..}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
size="+W1600 +H1200 +A0.25 +AM2 +R2"; fine=1
if [ -n "${DRAFT:-}" ]; then size="+W800 +H600 +A0.3"; fine=0; fi
[ $# -gt 0 ] || set -- before-1 before-2 after-1 after-2
for photo in "$@"; do
  view=${photo#*-}
  case $photo in after-*) after=1 ;; *) after=0 ;; esac
  nice povray +Iscene.pov +O"$work/r.ppm" +FP16 File_Gamma=1.0 $size -D +WT2 \
    Declare=View="$view" Declare=After=$after Declare=Fine=$fine 2>"$work/log" || { tail -20 "$work/log" >&2; exit 1; }
  "$python" finish.py "$work/r.ppm" "$out/photo-$photo.jpg" "$((after * 2 + view))"
  echo "photo-$photo.jpg"
done
