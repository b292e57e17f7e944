"""Lays the pairs of a folder of photos with truth.json by OpenCV: place_peer.py FOLDER. See place_peer.sh."""
import json
import sys
import time

import cv2
import numpy as np
from PIL import Image, ImageOps

SIDE = 1600


def read(folder, name):
    """The upright picture in grey, 1600 px, and its spots."""
    full = np.array(ImageOps.exif_transpose(Image.open(f"{folder}/photos/{name}")).convert("L"))
    by = SIDE / max(full.shape)
    grey = cv2.resize(full, None, fx=by, fy=by, interpolation=cv2.INTER_AREA)
    start = time.process_time()
    light = cv2.createCLAHE(2.0, (8, 8)).apply(grey)
    spots, looks = cv2.SIFT_create(6000).detectAndCompute(light, None)
    return grey.shape, spots, looks, time.process_time() - start


def truth_map(photo, shape, face):
    """The true map of a face, mm to px of the small picture, and its flat rectangle in mm; None where it is not shown."""
    for it in photo["faces"]:
        if it["face"] == face:
            by = shape[1] / photo["camera"]["width"]
            left, top, right, bottom = it["flat_rect_mm"]
            mm = np.float64([[left, top], [right, top], [right, bottom], [left, bottom]])
            return np.diag([by, by, 1]) @ np.array(it["H_mm_to_px"]), mm
    return None


def mapped(h, points):
    all = np.c_[points, np.ones(len(points))] @ h.T
    return all[:, :2] / all[:, 2:], all[:, 2]


def laid(a, b, chosen):
    """OpenCV's map from picture to picture, from these spots of the first."""
    if len(chosen) < 10:
        return None
    near = cv2.BFMatcher().knnMatch(a[2][chosen], b[2], k=2)
    good = [(chosen[x.queryIdx], x.trainIdx) for x, y in near if x.distance < 0.8 * y.distance]
    if len(good) < 8:
        return None
    p = np.float32([a[1][i].pt for i, _ in good])
    q = np.float32([b[1][j].pt for _, j in good])
    return cv2.findHomography(p, q, cv2.USAC_MAGSAC, 3.0, maxIters=20000)[0]


def main(folder):
    truth = json.load(open(f"{folder}/truth.json"))
    photos = {it["file"]: it for it in truth["photos"]}
    cache, errors, spent = {}, {"whole picture": [], "face": []}, []
    for pair in truth["pairs"]:
        for name in (pair["a"], pair["b"]):
            cache.setdefault(name, read(folder, name))
        a, b = cache[pair["a"]], cache[pair["b"]]
        into_a = truth_map(photos[pair["a"]], a[0], pair["face"])
        into_b = truth_map(photos[pair["b"]], b[0], pair["face"])
        corners, before = mapped(*into_a)
        if (before <= 0).any():
            continue
        mask = np.zeros(a[0], np.uint8)
        cv2.fillPoly(mask, [np.clip(corners, -30000, 30000).astype(np.int32)], 255)
        ys, xs = np.nonzero(mask)
        at = np.random.RandomState(0).choice(len(xs), 400)
        points = np.float64(np.stack([xs[at], ys[at]], 1)) + 0.5
        there, before = mapped(into_b[0] @ np.linalg.inv(into_a[0]), points)
        inside = (there > 0).all(1) & (there[:, 0] < b[0][1]) & (there[:, 1] < b[0][0]) & (before > 0)
        if inside.sum() < 20:
            continue
        on_face = [i for i, k in enumerate(a[1]) if mask[min(int(k.pt[1]), a[0][0] - 1), min(int(k.pt[0]), a[0][1] - 1)]]
        for way, chosen in (("whole picture", list(range(len(a[1])))), ("face", on_face)):
            start = time.process_time()
            h = laid(a, b, chosen)
            spent.append(time.process_time() - start)
            off = 9999.0
            if h is not None:
                # OpenCV counts from the centre of the first pixel.
                got = mapped(h, points - 0.5)[0] + 0.5
                off = np.linalg.norm(got - there, axis=1)[inside].mean()
            errors[way].append(off)
    for way, all in errors.items():
        all = np.array(all)
        print(f"OpenCV SIFT + MAGSAC, {way}: {len(all)} pairs, {(all < 2).sum()} within 2 px, median {np.median(all):.2f} px, {(all > 50).sum()} off by more than 50 px")
    prepared = np.mean([it[3] for it in cache.values()])
    print(f"{prepared:.2f} s of CPU a picture, {np.mean(spent):.2f} s a pair")


if __name__ == "__main__":
    main(sys.argv[1])
