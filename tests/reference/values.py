"""Writes down what the reference tools see in each sample.

values.py SAMPLES OUT.json

For each file, by its path below SAMPLES:
  exif     facts of the Exif block as exiftool reads them; absent facts are absent
  picture  the upright picture as Pillow (libheif for HEIF) decodes it: width, height, the same on white,
           in sRGB where a HEIF has a profile, averaged to 32 x 32 RGB; sharpness by OpenCV; look by ImageHash
  error    why Pillow could not, in place of picture
"""

import json
import re
import subprocess
import sys
import warnings
from io import BytesIO
from pathlib import Path

import cv2
import imagehash
import numpy
import pillow_heif
from PIL import Image, ImageCms, ImageOps

warnings.simplefilter("ignore")
pillow_heif.register_heif_opener(thumbnails=False)
Image.MAX_IMAGE_PIXELS = None

ENDINGS = {".jpg", ".jpeg", ".mpo", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif", ".hif"}
TOO_MANY = 120_000_000
TAGS = """
IFD0:Orientation IFD0:Make IFD0:Model ExifIFD:FocalLengthIn35mmFormat ExifIFD:SerialNumber
ExifIFD:DateTimeOriginal ExifIFD:SubSecTimeOriginal ExifIFD:OffsetTimeOriginal
ExifIFD:CreateDate ExifIFD:SubSecTimeDigitized ExifIFD:OffsetTimeDigitized
GPS:GPSLatitude GPS:GPSLatitudeRef GPS:GPSLongitude GPS:GPSLongitudeRef
""".split()


def exif_facts(root):
    command = ["exiftool", "-q", "-q", "-j", "-n", "-G1", "-r", *[f"-{tag}" for tag in TAGS]]
    for ending in sorted(ENDINGS):
        command += ["-ext", ending[1:]]
    said = subprocess.run([*command, str(root)], stdout=subprocess.PIPE, check=False).stdout
    return {entry.pop("SourceFile"): facts(entry) for entry in json.loads(said)}


def facts(entry):
    def text(tag):
        return str(entry.get(tag, "")).strip(" \0")

    def moment(date, fraction, offset):
        if not re.fullmatch(r"\d{4}:\d\d:\d\d \d\d:\d\d:\d\d", text(date)):
            return None
        day, time = text(date).split(" ")
        if day.startswith("0000") or day[5:7] == "00":
            return None
        digits = re.sub(r"\D", "", text(fraction)).rstrip("0")
        zone = text(offset) if re.fullmatch(r"[+-]\d\d:\d\d", text(offset)) else ""
        return f"{day.replace(':', '-')}T{time}{'.' + digits if digits else ''}{zone}"

    def angle(tag, negative):
        value, side = entry.get(f"GPS:{tag}"), text(f"GPS:{tag}Ref")
        if not isinstance(value, (int, float)) or not side:
            return None
        return -value if side == negative else value

    taken = moment("ExifIFD:DateTimeOriginal", "ExifIFD:SubSecTimeOriginal", "ExifIFD:OffsetTimeOriginal")
    stored = moment("ExifIFD:CreateDate", "ExifIFD:SubSecTimeDigitized", "ExifIFD:OffsetTimeDigitized")
    place = [angle("GPSLatitude", "S"), angle("GPSLongitude", "W")]
    focal = entry.get("ExifIFD:FocalLengthIn35mmFormat")
    found = {
        "time": taken or stored,
        "orientation": entry.get("IFD0:Orientation"),
        "make": text("IFD0:Make") or None,
        "model": text("IFD0:Model") or None,
        "serial": text("ExifIFD:SerialNumber") or None,
        "focal_35mm": focal or None,
        "place": None if None in place else place,
    }
    return {name: value for name, value in found.items() if value is not None}


def on_white(picture):
    if picture.mode.startswith("I;16") or picture.mode == "I":
        # Pillow clips deep greys; keep their upper byte.
        deep = numpy.asarray(picture).astype(numpy.uint32)
        return Image.fromarray((deep // 257).clip(0, 255).astype(numpy.uint8)).convert("RGB")
    if picture.mode in ("RGBA", "LA", "PA", "RGBa", "La") or "transparency" in picture.info:
        picture = picture.convert("RGBA")
        paper = Image.new("RGBA", picture.size, "white")
        return Image.alpha_composite(paper, picture).convert("RGB")
    return picture.convert("RGB")


def to_srgb(picture, profile):
    try:
        source = ImageCms.ImageCmsProfile(BytesIO(profile))
        return ImageCms.profileToProfile(picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError):
        return picture


def fit(size, side):
    long = max(size)
    return size if long <= side else tuple(max(1, round(it * side / long)) for it in size)


def picture_values(path):
    with Image.open(path) as opened:
        if opened.width * opened.height > TOO_MANY:
            return {"stored": [opened.width, opened.height]}
        heif, profile = opened.format == "HEIF", opened.info.get("icc_profile")
        # pillow-heif has turned the picture and set Exif Orientation to 1.
        upright = ImageOps.exif_transpose(opened)
        rgb = on_white(upright)
    if heif and profile:
        rgb = to_srgb(rgb, profile)
    # Exact averages of areas.
    small = cv2.resize(numpy.asarray(rgb).astype(numpy.float32), (32, 32), interpolation=cv2.INTER_AREA)
    # Previews are made by area averages (OpenCV's INTER_AREA); what is measured on them is scaled by Lanczos.
    size = fit(rgb.size, 1600)
    area = cv2.resize(numpy.asarray(rgb), size, interpolation=cv2.INTER_AREA)
    preview = Image.fromarray(area).convert("L")
    working = preview.resize(fit(preview.size, 1024), Image.Resampling.LANCZOS)
    edges = cv2.Laplacian(numpy.asarray(working), cv2.CV_64F, ksize=1, borderType=cv2.BORDER_REFLECT_101)
    return {
        "width": rgb.width,
        "height": rgb.height,
        "small": small.flatten().round(1).tolist(),
        "sharpness": float(edges.var()),
        "look": str(imagehash.dhash(rgb)),
    }


def main():
    root, out = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
    exif = exif_facts(root)
    values = {}
    for path in sorted(root.rglob("*")):
        if path.suffix.lower() not in ENDINGS or not path.is_file():
            continue
        value = {"exif": exif.get(str(path), {})}
        try:
            value["picture"] = picture_values(path)
        except Exception as why:  # noqa: BLE001  whatever Pillow says is the value
            value["error"] = f"{type(why).__name__}: {why}"
        values[path.relative_to(root).as_posix()] = value
    out.write_text(json.dumps(values, indent=None, sort_keys=True))
    print(f"{len(values)} samples")


main()
