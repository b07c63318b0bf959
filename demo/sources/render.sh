#!/bin/sh
# Render the four demo photos. Needs POV-Ray 3.7 and Python with numpy and Pillow.
#   sh render.sh            all four, full size
#   sh render.sh draft      small and quick, into the same temporary folder
# PYTHON and OUT may be set; OUT is the folder for the JPEGs (default: the folder above this one).
set -eu
cd "$(dirname "$0")"
python=${PYTHON:-python3}
out=${OUT:-..}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
size="+W1600 +H1200 +A0.25 +AM2 +R2"; fine=1
if [ "${1:-}" = draft ]; then size="+W800 +H600 +A0.3"; fine=0; fi
for after in 0 1; do
  for view in 1 2; do
    name=$([ "$after" = 1 ] && echo after || echo before)
    nice povray +Iscene.pov +O"$work/r.ppm" +FP16 File_Gamma=1.0 $size -D +WT2 \
      Declare=View=$view Declare=After=$after Declare=Fine=$fine 2>"$work/log" || { tail -20 "$work/log" >&2; exit 1; }
    "$python" finish.py "$work/r.ppm" "$out/photo-$name-$view.jpg" "$((after * 2 + view))"
    echo "photo-$name-$view.jpg"
  done
done
