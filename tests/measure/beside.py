#!/usr/bin/env python3
"""The same work by the open Python libraries and by ours, one beside the other, with the ratios.

    cargo build --release -p tonewright
    python3 -m venv v; v/bin/pip install numpy opencv-contrib-python-headless colour-science scikit-image
    v/bin/python tests/measure/beside.py FOLDER [--program target/release/tonewright]

FOLDER holds photos (JPEG or PNG). Work: decoding, finding a 24-patch chart (OpenCV contrib's mcc, on the picture shrunk
to 1500 px, which is where it finds most), ΔE2000 of a picture of 24 megapixels to one colour, and 8-bit sRGB to CIELAB.
Ours of the last two come from `cargo bench -p card --bench pictures`. Medians; a ratio above 1 means that ours is faster.
"""

import argparse
import json
import re
import statistics
import subprocess
import sys
import time
import warnings
from pathlib import Path

warnings.filterwarnings("ignore")
try:
    import colour
    import cv2
    import numpy as np
    import skimage.color
except ImportError as missing:
    sys.exit(f"beside.py: {missing}: pip install numpy opencv-contrib-python-headless colour-science scikit-image")

RUNS = 5
SHRUNK_PX = 1500
ROWS, COLUMNS = 4000, 6000
KINDS = {".jpg", ".jpeg", ".png"}


def median_ms(job, runs=RUNS):
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        job()
        times.append(1e3 * (time.perf_counter() - start))
    return statistics.median(times)


def line(name, ours_ms, theirs):
    print(f"{name:<34} ours {ours_ms:9.1f} ms", end="")
    for library, ms in theirs:
        print(f"   {library} {ms:9.1f} ms, ratio {ms / ours_ms:6.2f}", end="")
    print()


def found_by_mcc(picture):
    shrink = min(1.0, SHRUNK_PX / max(picture.shape[:2]))
    small = cv2.resize(picture, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    detector = cv2.mcc.CCheckerDetector_create()
    detector.setColorChartType(cv2.mcc.MCC24)
    return bool(detector.process(small, 1))


def of_photos(folder, program):
    photos = sorted(path for path in folder.iterdir() if path.suffix.lower() in KINDS)
    if not photos:
        sys.exit(f"beside.py: {folder}: holds no JPEG or PNG: name a folder of photos")
    decode, find, theirs_decode, theirs_find = [], [], [], []
    ours_found = theirs_found = 0
    for path in photos:
        ran = subprocess.run([program, "read", "--json", path], capture_output=True, text=True)
        if ran.returncode not in (0, 1):
            print(f"left out: {ran.stderr.strip()}")
            continue
        reading = json.loads(ran.stdout)
        decode.append(1e3 * reading["seconds"]["decode"])
        find.append(1e3 * reading["seconds"]["find"])
        ours_found += reading["card"] is not None
        start = time.perf_counter()
        picture = cv2.imread(str(path), cv2.IMREAD_COLOR)
        theirs_decode.append(1e3 * (time.perf_counter() - start))
        start = time.perf_counter()
        theirs_found += found_by_mcc(picture)
        theirs_find.append(1e3 * (time.perf_counter() - start))
    print(f"{len(decode)} of {len(photos)} photos of {folder}, medians over photos, one run each")
    line("decode", statistics.median(decode), [("OpenCV", statistics.median(theirs_decode))])
    line("find", statistics.median(find), [("OpenCV mcc", statistics.median(theirs_find))])
    line("find, worst", max(find), [("OpenCV mcc", max(theirs_find))])
    print(f"reported a chart: ours {ours_found}, OpenCV mcc {theirs_found} (right or not: see measure-photos)")


def of_pictures():
    bench = subprocess.run(["cargo", "bench", "-q", "-p", "card", "--bench", "pictures"], capture_output=True, text=True)
    ours = dict(re.findall(r"^(8-bit sRGB to \S.*?) {2,}([\d.]+)", bench.stdout, re.MULTILINE))
    if len(ours) < 2:
        sys.exit(f"beside.py: cargo bench -p card --bench pictures failed: {bench.stderr.strip()[-300:]}")
    rng = np.random.default_rng(7)
    codes = rng.integers(30, 200, (ROWS, COLUMNS, 3), dtype=np.uint8)
    unit = (codes / 255).astype(np.float32)
    lab = cv2.cvtColor(unit, cv2.COLOR_RGB2Lab)
    # The Python libraries need many times the picture's memory in f64: one row in ten, the time taken tenfold.
    tenth = unit[::10]
    to = np.broadcast_to(np.array([52.0, 12.0, 26.0]), tenth.shape)
    print(f"\n{ROWS} × {COLUMNS} pixels, seed 7; scikit-image and colour-science on a tenth of the rows, times ten")
    line(
        "8-bit sRGB to Lab",
        float(ours["8-bit sRGB to Lab"]),
        [
            ("OpenCV f32", median_ms(lambda: cv2.cvtColor(unit, cv2.COLOR_RGB2Lab))),
            ("scikit-image", 10 * median_ms(lambda: skimage.color.rgb2lab(tenth), 3)),
            ("colour-science", 10 * median_ms(lambda: colour.XYZ_to_Lab(colour.sRGB_to_XYZ(tenth)), 3)),
        ],
    )
    part = lab[::10]
    line(
        "8-bit sRGB to ΔE2000 to one colour",
        float(ours["8-bit sRGB to ΔE2000 to one colour"]),
        [
            ("scikit-image", 10 * median_ms(lambda: skimage.color.deltaE_ciede2000(skimage.color.rgb2lab(tenth), to), 3)),
            ("colour-science, from Lab", 10 * median_ms(lambda: colour.delta_E(part, to, method="CIE 2000"), 3)),
        ],
    )


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--program", default="target/release/tonewright")
    arguments = parser.parse_args()
    if not arguments.folder.is_dir():
        sys.exit(f"beside.py: {arguments.folder}: is no folder: name a folder of photos")
    if not Path(arguments.program).is_file():
        sys.exit(f"beside.py: {arguments.program}: is not there: cargo build --release -p tonewright")
    of_photos(arguments.folder, arguments.program)
    of_pictures()


main()
