"""Turn a linear 16-bit PPM of the renderer into a phone-like JPEG without metadata.

usage: finish.py RENDER.ppm PHOTO.jpg [SEED]
"""
import sys

import numpy as np
from PIL import Image


def read_ppm16(path):
    data = open(path, "rb").read()
    head, pos = [], 0
    while len(head) < 4:  # four words, comment lines between them
        line_end = data.index(b"\n", pos)
        head += data[pos:line_end].split(b"#")[0].split()
        pos = line_end + 1
    assert head[0] == b"P6" and head[3] == b"65535", head
    w, h = int(head[1]), int(head[2])
    return np.frombuffer(data, ">u2", w * h * 3, pos).reshape(h, w, 3) / 65535.0


def main():
    source, target = sys.argv[1:3]
    rng = np.random.default_rng(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    lin = read_ppm16(source) * EXPOSURE
    # A gentle shoulder keeps the window and sunlit paper from going flat white.
    lin = np.where(lin < KNEE, lin, KNEE + (1 - KNEE) * (1 - np.exp(-(lin - KNEE) / (1 - KNEE))))
    # A small lens loses a little light towards the corners.
    h, w, _ = lin.shape
    y, x = np.mgrid[0:h, 0:w]
    r2 = ((x - w / 2) ** 2 + (y - h / 2) ** 2) / ((w / 2) ** 2 + (h / 2) ** 2)
    lin = lin * (1 - 0.14 * r2)[..., None]
    # Sensor noise: shot noise and a floor.
    lin = lin + rng.normal(size=lin.shape) * np.sqrt(2.0e-5 * np.clip(lin, 0, 1) + 1.0e-7)
    lin = np.clip(lin, 0, 1)
    v = np.where(lin <= 0.0031308, 12.92 * lin, 1.055 * lin ** (1 / 2.4) - 0.055)
    Image.fromarray((v * 255 + 0.5).astype(np.uint8)).save(target, quality=QUALITY, subsampling=2, optimize=True)


EXPOSURE = 1.35
KNEE = 0.65
QUALITY = 88

if __name__ == "__main__":
    main()
