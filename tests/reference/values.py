"""Writes down what the reference tools see in each sample.

values.py SAMPLES OUT.json

For each file, by its path below SAMPLES:
  exif     facts of the Exif block as exiftool reads them; absent facts are absent
  picture  the upright picture as Pillow (libheif for HEIF) decodes it: width, height, the same on white,
           in sRGB where it has a profile, averaged to 32 x 32 RGB; sharpness by OpenCV; look by ImageHash
  error    why Pillow could not, in place of picture
  warned   of a JPEG: whether libjpeg, as OpenCV holds it, warned of its data

Beside OUT.json: damaged/NNN.jpg, samples whose coded data were overwritten in the middle, and damaged.json, which tells of
each whether libjpeg warned.
"""

import json
import os
import random
import re
import struct
import subprocess
import sys
import warnings
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryFile

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


def of_light(profile):
    """Whether a profile is of an RGB picture: for the others the pixels above are no longer the profile's."""
    return profile[16:20] == b"RGB "


# Colorants as the profiles of these spaces state them, adapted to D50 (ICC.1, annex E), and their curves: Adobe RGB
# (1998) has a gamma of 563/256, Display P3 the curve of sRGB. From memory; what is compared is the same for both sides.
SPACES = {
    "adobe_rgb": (
        [(0.60974, 0.31111, 0.01947), (0.20528, 0.62567, 0.06087), (0.14919, 0.06322, 0.74457)],
        b"curv" + struct.pack(">III", 0, 1, 0x02330000)[:10] + b"\0\0",
    ),
    "display_p3": (
        [(0.51512, 0.24119, -0.00105), (0.29198, 0.69225, 0.04189), (0.15710, 0.06657, 0.78407)],
        b"para" + struct.pack(">IHH5i", 0, 3, 0, *(round(it * 65536) for it in
                              (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045))),
    ),
}


def matrix_profile(colorants, curve):
    """The bytes of an ICC profile (ICC.1:2001, version 2 header; parametric curves as in version 4)."""
    def xyz(values):
        return b"XYZ \0\0\0\0" + struct.pack(">3i", *(round(it * 65536) for it in values))

    tags = [(b"wtpt", xyz((0.9642, 1.0, 0.8249)))]
    tags += [(name, xyz(values)) for name, values in zip((b"rXYZ", b"gXYZ", b"bXYZ"), colorants)]
    tags += [(name, curve) for name in (b"rTRC", b"gTRC", b"bTRC")]
    tags += [(b"cprt", b"text\0\0\0\0none\0\0\0\0"), (b"desc", b"desc" + bytes(8) + bytes(80))]
    table, data, at = b"", b"", 128 + 4 + 12 * len(tags)
    for name, body in tags:
        body += bytes(-len(body) % 4)
        table += name + struct.pack(">II", at + len(data), len(body))
        data += body
    version = 0x04000000 if curve.startswith(b"para") else 0x02100000
    head = struct.pack(">I4sI4s4s4s", at + len(data), bytes(4), version, b"mntr", b"RGB ", b"XYZ ")
    head += bytes(12) + b"acsp" + bytes(28) + struct.pack(">3i", *(round(it * 65536) for it in (0.9642, 1.0, 0.8249)))
    return head + bytes(128 - len(head)) + struct.pack(">I", len(tags)) + table + data


def libjpeg_warns(path):
    """Whether libjpeg says anything of a file's data while decoding it."""
    with TemporaryFile() as said:
        screen = os.dup(2)
        os.dup2(said.fileno(), 2)
        try:
            cv2.imread(str(path))
        finally:
            os.dup2(screen, 2)
            os.close(screen)
        said.seek(0)
        return bool(re.search(rb"orrupt|remature|nvalid|nconsistent", said.read()))


def make_damaged(root, out):
    """Sixty-four JPEGs with one to 4096 bytes overwritten somewhere in their data."""
    folder = out.parent / "damaged"
    folder.mkdir(exist_ok=True)
    sound = sorted(it for it in root.rglob("*.jp*g") if it.stat().st_size > 8000 and not libjpeg_warns(it))
    dice, warned = random.Random(64), {}
    for n in range(64):
        data = bytearray(dice.choice(sound).read_bytes())
        scan = data.rfind(b"\xff\xda")
        at = dice.randrange(scan + 100, len(data) - 20)
        for place in range(at, min(at + dice.choice([1, 1, 4, 16, 512, 4096]), len(data) - 2)):
            data[place] = dice.choice([dice.randrange(256), data[place] ^ 1 << dice.randrange(8), 0])
        path = folder / f"{n:03}.jpg"
        path.write_bytes(data)
        warned[path.name] = libjpeg_warns(path)
    (out.parent / "damaged.json").write_text(json.dumps(warned, sort_keys=True))


def make_wide(root):
    """The same photo in every coding, once in each of two wide colour spaces."""
    folder = root / "colour"
    folder.mkdir(exist_ok=True)
    with Image.open(root / "pillow" / "hopper.jpg") as opened:
        photo = opened.convert("RGB").resize((512, 512), Image.Resampling.BICUBIC)
    for name, (colorants, curve) in SPACES.items():
        profile = matrix_profile(colorants, curve)
        save = {"icc_profile": profile}
        photo.save(folder / f"{name}.jpg", quality=95, subsampling=0, **save)
        photo.save(folder / f"{name}.png", **save)
        photo.save(folder / f"{name}.webp", lossless=True, **save)
        photo.save(folder / f"{name}.tif", **save)
        photo.save(folder / f"{name}.heic", quality=95, chroma=444, **save)


def make_planes(out):
    """Faces before a camera as OpenCV sees them: corners of a rectangle, the pose by solvePnP (IPPE), points beside the face."""
    chance = numpy.random.default_rng(1)
    planes = []
    while len(planes) < 40:
        width, height = chance.uniform(200, 1200, 2)
        focal, centre = chance.uniform(900, 1700), [800.0, 600.0]
        camera = numpy.array([[focal, 0, centre[0]], [0, focal, centre[1]], [0, 0, 1.0]])
        turn, away = chance.uniform(-0.9, 0.9, 3), numpy.array([*chance.uniform(-150, 150, 2), chance.uniform(1400, 2500)])
        w, h = width / 2, height / 2
        corners = numpy.array([[-w, -h, 0], [w, -h, 0], [w, h, 0], [-w, h, 0]])
        seen = cv2.projectPoints(corners, turn, away, camera, None)[0].reshape(-1, 2)
        found, turn, away = cv2.solvePnP(corners, seen, camera, None, flags=cv2.SOLVEPNP_IPPE)
        flat = cv2.getPerspectiveTransform(corners[:, :2].astype(numpy.float32), seen.astype(numpy.float32))
        points = chance.uniform(-1, 1, (5, 3)) * [w, h, 150]
        at = cv2.projectPoints(points, turn, away, camera, None)[0].reshape(-1, 2)
        on_face = cv2.perspectiveTransform(points[None, :, :2], flat)[0]
        if found and cv2.Rodrigues(turn)[0][:, 2] @ away.ravel() > 300:
            planes.append({"size": [width, height], "focal": focal, "corners": seen.tolist(), "points": points.tolist(),
                           "at": at.tolist(), "on_face": on_face.tolist()})
    (out.parent / "planes.json").write_text(json.dumps(planes))


def fit(size, side):
    long = max(size)
    return size if long <= side else tuple(max(1, round(it * side / long)) for it in size)


def picture_values(path):
    with Image.open(path) as opened:
        if opened.width * opened.height > TOO_MANY:
            return {"stored": [opened.width, opened.height]}
        profile = opened.info.get("icc_profile")
        # pillow-heif has turned the picture and set Exif Orientation to 1.
        upright = ImageOps.exif_transpose(opened)
        rgb = on_white(upright)
    if profile and of_light(profile):
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
    make_wide(root)
    make_damaged(root, out)
    make_planes(out)
    exif = exif_facts(root)
    values = {}
    for path in sorted(root.rglob("*")):
        if path.suffix.lower() not in ENDINGS or not path.is_file():
            continue
        value = {"exif": exif.get(str(path), {})}
        if path.suffix.lower() in {".jpg", ".jpeg"}:
            value["warned"] = libjpeg_warns(path)
        try:
            value["picture"] = picture_values(path)
        except Exception as why:  # noqa: BLE001  whatever Pillow says is the value
            value["error"] = f"{type(why).__name__}: {why}"
        values[path.relative_to(root).as_posix()] = value
    out.write_text(json.dumps(values, indent=None, sort_keys=True))
    print(f"{len(values)} samples")


main()
