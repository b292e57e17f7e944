#!/usr/bin/env bash
# The pairs of a folder of photos with known truth, laid by a general-purpose library: OpenCV's SIFT, matched by nearest
# neighbours, and a homography by MAGSAC. It is told where the face lies in the first picture, but not its size.
#
#   tests/bench/place_peer.sh FOLDER
#
# OpenCV, numpy and Pillow come from PyPI, once, into target/reference (tests/reference/fetch.sh).
set -euo pipefail

[ $# -eq 1 ] || { echo "usage: $0 FOLDER" >&2; exit 2; }
here=$(cd "$(dirname "$0")" && pwd)
reference=${ASFOUND_REFERENCE:-$here/../../target/reference}
[ -d "$reference/python/cv2" ] || bash "$here/../reference/fetch.sh" "$reference"
PYTHONPATH="$reference/python" "${PYTHON:-python3}" "$here/place_peer.py" "$1"
