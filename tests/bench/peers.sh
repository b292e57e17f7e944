#!/usr/bin/env bash
# The same job by general-purpose tools, each called once or twice for the whole folder: digests, Exif, pictures of
# 1600 and 320 pixels, a copy that is safely on disk. No sharpness, no look, no book: less than an import does.
#
#   tests/bench/peers.sh FOLDER OUT
#
# SMALL_FROM=originals makes the small pictures from the photos; the default, the faster way, is from the middle ones.
# Nothing is installed here. On Debian: apt-get install libvips-tools libimage-exiftool-perl
set -euo pipefail

[ $# -eq 2 ] || { echo "usage: $0 FOLDER OUT" >&2; exit 2; }
for tool in vipsthumbnail exiftool sha256sum xargs sync; do
    command -v "$tool" >/dev/null || {
        echo "\`$tool\` is missing; on Debian: apt-get install libvips-tools libimage-exiftool-perl coreutils findutils" >&2
        exit 3
    }
done
folder=$(cd "$1" && pwd)
mkdir -p "$2/originals" "$2/middle" "$2/small"
out=$(cd "$2" && pwd)
# One thread a process and two processes: threads inside a picture cost more than they bring.
export VIPS_CONCURRENCY=1

photos() { find "$1" -maxdepth 1 -type f -name '*.jpg' -print0 | sort -z; }

photos "$folder" | xargs -0 sha256sum >"$out/digests.txt"
exiftool -json -q -ext jpg "$folder" >"$out/exif.json"
photos "$folder" | xargs -0 -P 2 -n 20 vipsthumbnail --size 1600x1600 -o "$out/middle/%s.jpg[Q=82,strip]"
if [ "${SMALL_FROM:-middle}" = originals ]; then from=$folder; else from=$out/middle; fi
photos "$from" | xargs -0 -P 2 -n 20 vipsthumbnail --size 320x320 -o "$out/small/%s.jpg[Q=80,strip]"
cp "$folder"/*.jpg "$out/originals/"
sync "$out"/originals/*.jpg
