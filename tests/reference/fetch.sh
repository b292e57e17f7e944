#!/usr/bin/env bash
# Fetches sample photos and the reference tools, and lets the tools say once what they see in the samples.
#
#   tests/reference/fetch.sh FOLDER
#
# Afterwards FOLDER holds
#   samples/heif/...    photos of phones and cameras, from the source package of pillow-heif
#   samples/pillow/...  pictures of many kinds, from the source package of Pillow
#   python/             Pillow, pillow-heif (libheif), numpy, OpenCV, ImageHash, jsonschema, bagit, icalendar, pyrage, Babel
#   moto/               a server of the S3 type
#   planes.json         what OpenCV says of flat faces before a camera
#   reference.json      what exiftool, Pillow, libheif, OpenCV and ImageHash say of each sample
#   damaged/            samples whose data were overwritten; damaged.json, what libjpeg says of them
# It can be run again: what is there is not fetched twice. The samples are never committed, shipped or shown.
set -euo pipefail

[ $# -eq 1 ] || { echo "usage: $0 FOLDER" >&2; exit 2; }
here=$(cd "$(dirname "$0")" && pwd)
mkdir -p "$1"
folder=$(cd "$1" && pwd)
python=${PYTHON:-python3}

pillow=13.0.0
pillow_heif=1.8.1

if ! command -v exiftool >/dev/null; then
    as_root=
    [ "$(id -u)" -eq 0 ] || as_root=sudo
    $as_root apt-get update -qq
    $as_root apt-get -o DPkg::Lock::Timeout=300 install -y -qq libimage-exiftool-perl
fi

# The samples: only the folders of pictures are unpacked.
if [ ! -d "$folder/samples/heif" ] || [ ! -d "$folder/samples/pillow" ]; then
    fetched=$(mktemp -d)
    trap 'rm -rf "$fetched"' EXIT
    "$python" -m venv "$fetched/venv"
    "$fetched/venv/bin/pip" download -q --no-deps --no-binary pillow-heif,Pillow -d "$fetched" \
        "pillow-heif==$pillow_heif" "Pillow==$pillow"
    rm -rf "$folder/samples"
    mkdir -p "$folder/samples/heif.part" "$folder/samples/pillow.part"
    tar -xzf "$fetched"/pillow_heif-*.tar.gz -C "$folder/samples/heif.part" --strip-components=3 \
        --wildcards '*/tests/images/*'
    tar -xzf "$fetched"/[Pp]illow-*.tar.gz -C "$folder/samples/pillow.part" --strip-components=3 \
        --wildcards '*/Tests/images/*'
    mv "$folder/samples/heif.part" "$folder/samples/heif"
    mv "$folder/samples/pillow.part" "$folder/samples/pillow"
fi

# The tools, apart from the machine's own Python packages; again whenever another one joins.
tools=("Pillow==$pillow" "pillow-heif==$pillow_heif" numpy==2.4.6 opencv-python-headless==5.0.0.93 ImageHash==4.3.2
    jsonschema==4.26.0 bagit==1.9.0 icalendar==6.3.2 pyrage==1.4.0 babel==2.19.0)
if [ "$(cat "$folder/python/complete" 2>/dev/null)" != "${tools[*]}" ]; then
    rm -rf "$folder/python"
    "$python" -m pip install -q --target "$folder/python" "${tools[@]}"
    echo "${tools[*]}" >"$folder/python/complete"
fi

# The server of the S3 type, apart too: what it brings along is much.
moto=("moto[s3]==5.2.5" flask==3.1.3 flask-cors==6.0.5)
if [ "$(cat "$folder/moto/complete" 2>/dev/null)" != "${moto[*]}" ]; then
    rm -rf "$folder/moto"
    "$python" -m pip install -q --target "$folder/moto" "${moto[@]}"
    echo "${moto[*]}" >"$folder/moto/complete"
fi

# The values, again whenever the script that takes them has changed.
stamp=$(sha256sum "$here/values.py" | cut -d' ' -f1)
if [ "$(cat "$folder/values.stamp" 2>/dev/null)" != "$stamp" ]; then
    PYTHONPATH="$folder/python" "$python" "$here/values.py" "$folder/samples" "$folder/reference.json"
    echo "$stamp" >"$folder/values.stamp"
fi
echo "$folder is ready; run: ASFOUND_REFERENCE=$folder cargo test --test it"
