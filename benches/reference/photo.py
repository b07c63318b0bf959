"""The photo measures in plain numpy and scipy, and the decoding alone, timed: the yardstick of `cargo bench --bench photo`.

python3 photo.py FILE    prints three numbers: seconds to decode (Pillow), seconds for the whole measure, the busyness.
Medians of five. Definitions as in src/photo; made with numpy 2.4, scipy 1.17, Pillow 13.
"""

import sys
import time

import numpy as np
from PIL import Image
from scipy import ndimage

LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
SRGB_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


def decoded(path):
    """The samples, 0 to 255."""
    return np.asarray(Image.open(path).convert("RGB"))


def shrunk(picture, rows):
    """Exact area mean along the first axis."""
    height = picture.shape[0]
    edges = np.arange(rows + 1) * height / rows
    sums = np.concatenate([np.zeros((1,) + picture.shape[1:]), np.cumsum(picture, 0)])
    whole = np.minimum(edges.astype(int), height - 1)
    parts = (edges - whole).reshape(-1, *[1] * (picture.ndim - 1)) * picture[whole]
    return np.diff(sums[whole] + parts, axis=0) / (height / rows)


def working(samples):
    """The working picture in linear light, at most 512 pixels long."""
    encoded = samples / 255.0
    linear = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    height, width = linear.shape[:2]
    scale = min(1.0, 512 / max(width, height))
    rows, columns = int(height * scale + 0.5), int(width * scale + 0.5)
    return shrunk(shrunk(linear, rows).transpose(1, 0, 2), columns).transpose(1, 0, 2)


def lab(linear):
    """Neutral light, middle exposure, CIE Lab."""
    lights = (linear**6).mean((0, 1)) ** (1 / 6)
    balanced = linear * np.clip(lights.mean() / lights, 1 / 1.6, 1.6)
    exposed = np.clip(balanced * np.clip(0.5 / np.percentile(balanced @ LUMINANCE, 90), 0.25, 4), 0, 1)
    ratios = (exposed @ SRGB_TO_XYZ.T) / SRGB_TO_XYZ.sum(1)
    f = np.where(ratios > (6 / 29) ** 3, np.cbrt(ratios), ratios / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], -1)


def blurred(planes, sigma):
    return ndimage.gaussian_filter(planes, (sigma, sigma, 0), mode="reflect", truncate=4)


def variability(planes):
    """Mean over the pixels of the largest local spread of three levels."""
    level, best = planes - [50, 0, 0], None
    rows, columns = np.mgrid[0 : planes.shape[0], 0 : planes.shape[1]]
    for step in range(3):
        spread = np.sqrt(np.maximum(0, blurred(level * level, 4) - blurred(level, 4) ** 2).sum(-1))
        held = spread[np.minimum(rows >> step, spread.shape[0] - 1), np.minimum(columns >> step, spread.shape[1] - 1)]
        best = held if best is None else np.maximum(best, held)
        even = level[: level.shape[0] // 2 * 2, : level.shape[1] // 2 * 2]
        level = (even[0::2, 0::2] + even[1::2, 0::2] + even[0::2, 1::2] + even[1::2, 1::2]) / 4
    return best.mean()


def regions(smooth):
    """Connected regions of one colour cell that are large enough."""
    cells = np.clip(smooth[..., 0] // 20, 0, 4) * 10000 + (smooth[..., 1] + 10) // 20 * 100 + (smooth[..., 2] + 10) // 20
    cells, found = cells.astype(int), 0
    for cell in np.unique(cells):
        labels, _ = ndimage.label(cells == cell)
        found += (np.bincount(labels.ravel())[1:] * 5000 >= cells.size).sum()
    return found


def busyness(path):
    planes = lab(working(decoded(path)))
    smooth = blurred(planes, 1)
    slopes = np.gradient(smooth, axis=(0, 1))
    edges = (np.sqrt((slopes[0] ** 2 + slopes[1] ** 2).sum(-1)) >= 3).mean()
    strong = (np.hypot(planes[..., 1], planes[..., 2]) >= 40).mean()
    score = lambda value, k: 100 * (1 - np.exp(-value / k))
    clutter = (score(edges, 0.24) + score(variability(planes), 16) + score(regions(smooth), 170)) / 3
    return 0.75 * clutter + 0.25 * score(strong, 0.12)


def median_seconds(work):
    spent = []
    for _ in range(5):
        start = time.perf_counter()
        work()
        spent.append(time.perf_counter() - start)
    return sorted(spent)[2]


if __name__ == "__main__":
    file = sys.argv[1]
    print(median_seconds(lambda: decoded(file)), median_seconds(lambda: busyness(file)), busyness(file))
