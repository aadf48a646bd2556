"""Writes the HEIC and JPEG XL files of this folder and, beside each, how its standard's reference library decodes it.

The picture is ours: 4 x 3 flat blocks of 16 x 16 pixels, in the codes below, top row first.
    apt-get install libjxl-tools; pip install numpy pillow pillow-heif; python3 make.py
"""

import struct
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pillow_heif
from PIL import Image

BLOCKS = [
    [(200, 60, 50), (60, 160, 70), (50, 70, 170), (230, 220, 60)],
    [(150, 110, 75), (110, 75, 45), (205, 170, 125), (60, 40, 30)],
    [(240, 240, 240), (160, 160, 160), (80, 80, 80), (20, 20, 20)],
]
HERE = Path(__file__).parent


def picture(scale=1, dtype=np.uint8):
    return np.kron(np.array(BLOCKS), np.ones((16, 16, 1))).astype(dtype) * dtype(scale)


def profile_p3():
    """A profile of P3 primaries (SMPTE EG 432-1), white D65 and the sRGB curve (IEC 61966-2-1), by ICC.1:2022."""
    def xyz(x, y):
        return np.array([x / y, 1, (1 - x - y) / y])

    primaries = np.array([xyz(0.680, 0.320), xyz(0.265, 0.690), xyz(0.150, 0.060)]).T
    white, d50 = xyz(0.3127, 0.3290), np.array([0.9642, 1, 0.8249])
    bradford = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
    adapt = np.linalg.inv(bradford) @ np.diag((bradford @ d50) / (bradford @ white)) @ bradford
    colorants = adapt @ primaries @ np.diag(np.linalg.solve(primaries, white))

    def fixed(*values):
        return b"".join(struct.pack(">i", round(value * 65536)) for value in values)

    text = "Blocks P3".encode("utf-16-be")
    described = b"mluc" + bytes(4) + struct.pack(">II", 1, 12) + b"enUS" + struct.pack(">II", len(text), 28) + text
    curve = b"para" + bytes(4) + struct.pack(">HH", 3, 0) + fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    tags = [(b"desc", described), (b"wtpt", b"XYZ " + bytes(4) + fixed(*d50))]
    tags += [(name, b"XYZ " + bytes(4) + fixed(*column)) for name, column in zip((b"rXYZ", b"gXYZ", b"bXYZ"), colorants.T)]
    tags += [(name, curve) for name in (b"rTRC", b"gTRC", b"bTRC")]
    table, data = struct.pack(">I", len(tags)), b""
    for name, body in tags:
        table += name + struct.pack(">II", 132 + 12 * len(tags) + len(data), len(body))
        data += body + bytes(-len(body) % 4)
    head = struct.pack(">I", 128 + len(table) + len(data)) + bytes(4) + struct.pack(">I", 0x04300000)
    head += b"mntrRGB XYZ " + bytes(12) + b"acsp" + bytes(28) + fixed(*d50) + bytes(48)
    return head + table + data


def decoded(name):
    """The reference library's decode, upright, as a PNG."""
    shown = HERE / f"{name}.png"
    if name.endswith(".heic"):
        heif = pillow_heif.open_heif(HERE / name, convert_hdr_to_8bit=True)
        picture = Image.frombytes(heif.mode, heif.size, bytes(heif.data), "raw", heif.mode, heif.stride)
        picture.convert("RGB").save(shown)
    else:
        run("djxl", HERE / name, shown, "--bits_per_sample=8")


def run(*command):
    subprocess.run([str(part) for part in command], check=True, capture_output=True)


def main():
    pillow_heif.register_heif_opener()
    plain = Image.fromarray(picture())
    p3 = profile_p3()
    turned = Image.Exif()
    turned[0x0112] = 6

    plain.save(HERE / "blocks.heic", quality=95, chroma="420")
    # The matrix is left unspecified (2), as in files that carry an ICC profile alone.
    plain.save(HERE / "p3.heic", quality=95, chroma="444", icc_profile=p3, save_nclx_profile=False)
    plain.save(HERE / "turned.heic", quality=95, chroma="444", exif=turned.tobytes())
    ten = pillow_heif.from_bytes("RGB;16", (64, 48), picture(257, np.uint16).tobytes())
    ten.save(HERE / "ten-bit.heic", quality=95, chroma=444)

    with TemporaryDirectory() as folder:
        png, jpeg = Path(folder) / "plain.png", Path(folder) / "turned.jpg"
        plain.save(png)
        plain.save(jpeg, quality=95, exif=turned.tobytes())
        run("cjxl", "-d", "0", png, HERE / "blocks.jxl")
        run("cjxl", "-d", "0.5", png, HERE / "lossy.jxl")
        run("cjxl", jpeg, HERE / "turned-jpeg.jxl")
        plain.save(png, icc_profile=p3)
        run("cjxl", "-d", "0", png, HERE / "p3.jxl")
    for name in sorted(path.name for path in HERE.iterdir() if path.suffix in (".heic", ".jxl")):
        decoded(name)
        print(name, (HERE / name).stat().st_size)


main()
