"""Makes twin.csv: a second, plain implementation of a load, its doubt and a comparison, for one room.

Written from the description (docs and the heads of src/load), sharing no code with the tool: its own ChaCha with
8 rounds, Python's statistics.NormalDist for the normal quantile, math.exp and math.log, and first moves by trying
every subset. Run: python3 twin.py > twin.csv.
"""

import hashlib
import itertools
import math
import statistics
import struct

NORMAL = statistics.NormalDist()
DRAWS, SEED = 4000, 1
CHANNEL_SD = ITEM_SD = 0.30


def chacha8(key: bytes, counter: int) -> list[int]:
    """One block of 16 words: djb's layout, 64-bit counter, stream 0, 8 rounds."""
    start = list(struct.unpack("<4I", b"expand 32-byte k")) + list(struct.unpack("<8I", key))
    start += [counter & 0xFFFFFFFF, counter >> 32, 0, 0]
    x = start[:]

    def quarter(a, b, c, d):
        for first, second, third, turn in ((a, b, d, 16), (c, d, b, 12), (a, b, d, 8), (c, d, b, 7)):
            x[first] = (x[first] + x[second]) & 0xFFFFFFFF
            mixed = x[third] ^ x[first]
            x[third] = ((mixed << turn) | (mixed >> (32 - turn))) & 0xFFFFFFFF

    for _ in range(4):
        for column in range(4):
            quarter(column, column + 4, column + 8, column + 12)
        for a, b, c, d in ((0, 5, 10, 15), (1, 6, 11, 12), (2, 7, 8, 13), (3, 4, 9, 14)):
            quarter(a, b, c, d)
    return [(a + b) & 0xFFFFFFFF for a, b in zip(x, start)]


def uniforms(purpose, *names):
    text = f"stillroom.doubt/1\n{SEED}\n{purpose}\n" + "".join(f"{len(n.encode())} {n}\n" for n in names)
    key = hashlib.sha256(text.encode()).digest()
    out, counter = [], 0
    while len(out) < DRAWS:
        words = chacha8(key, counter)
        counter += 1
        for low, high in zip(words[0::2], words[1::2]):
            out.append((((high << 32 | low) >> 12) + 0.5) / 2**52)
    return out[:DRAWS]


def normals(purpose, *names):
    return [NORMAL.inv_cdf(u) for u in uniforms(purpose, *names)]


# id: (channel, pooled, pull law of the answer, full alone percent, minutes)
def count(n, alone, half):
    return -math.log(1 - alone / 100 * (1 - 2 ** (-n / half)))


def share(percent):
    return -math.log(1 - percent / 100)


ITEMS = {
    "toys": ("seen", True, count(9, 30, 6), 30, 4.0),
    "papers": ("seen", True, count(4, 20, 8), 20, 2.5),
    "window": ("seen", False, share(15), 15, 1.0),
    "mobile": ("seen", False, share(18), 18, 3.0),
    "fridge": ("heard", True, share(8), 8, 2.0),
    "road": ("heard", True, share(6), 20, 1.5),
    "doorbell": ("heard", False, count(2, 25, 3), 25, 0.5),
    "brother": ("company", False, share(35), 35, 10.0),
}
AFTER = dict(ITEMS, toys=("seen", True, count(2, 30, 6), 30, 4.0), window=("seen", False, 0.0, 15, 1.0))
UNSEEN = {"posters": ("seen", True, 22), "pet": ("company", False, 28)}
PHOTOS = {"a.jpg": (62.5, 1.0), "b.jpg": (40.0, 2.0)}
AFTER_PHOTOS = {"a.jpg": (35.0, 1.0)}
LAEQ, SPEECH, LEVEL_SD, CALIBRATION = 44.0, 0.3, 1.5, "meter"
AFTER_LAEQ = 43.0
S = {"seen": 1.2, "heard": 1.0, "company": 0.8}
HEARD = list(zip([35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0], [0.0, 0.05, 0.11, 0.19, 0.29, 0.42, 0.58, 0.80]))


def heard(level):
    if level <= 35.0:
        return 0.0
    for (x0, y0), (x1, y1) in zip(HEARD, HEARD[1:]):
        if level <= x1 or x1 == 70.0:
            return y0 + (y1 - y0) * (level - x0) / (x1 - x0)


def photo(busyness):
    return -math.log(1 - 0.30 * min(max(busyness, 0.0), 100.0) / 100)


def parts(items, pulls, measured):
    """Each item's part of U; both measured estimates are there in this room."""
    out = {}
    for name, (channel, pooled, *_) in items.items():
        part = pulls[name]
        if pooled:
            together = sum(pulls[other] for other, row in items.items() if row[0] == channel and row[1])
            part = 0.5 * pulls[name] + 0.5 * measured[channel] * pulls[name] / together
        out[name] = S[channel] * part
    return out


def load(total):
    return 100 * (1 - math.exp(-total))


def percentile(values, p):
    values = sorted(values)
    place = (len(values) - 1) * p
    low = math.floor(place)
    return values[low] + (values[min(low + 1, len(values) - 1)] - values[low]) * (place - low)


def found(items, photos, laeq):
    measured = {
        "seen": sum(photo(b) for b, _ in photos.values()) / len(photos),
        "heard": heard(laeq + 10 * SPEECH),
    }
    return parts(items, {name: row[2] for name, row in items.items()}, measured), measured


def draws(items, photos, laeq, audit, answer_sd):
    channel = {name: normals("channel", name) for name in S}
    item = {name: normals("item", name) for name in items}
    answer = {name: normals("answer", audit, name) for name in items}
    busy = {name: normals("busyness", audit, name, "0") for name in photos}
    of_photo, of_recording = normals("measured", "photo"), normals("measured", "recording")
    level = normals("level", CALIBRATION)
    for k in range(DRAWS):
        pulls = {
            name: row[2] * math.exp(CHANNEL_SD * channel[row[0]][k] + ITEM_SD * item[name][k] + answer_sd * answer[name][k])
            for name, row in items.items()
        }
        seen = sum(photo(b + sd * busy[name][k]) for name, (b, sd) in photos.items()) / len(photos)
        measured = {
            "seen": seen * math.exp(CHANNEL_SD * channel["seen"][k] + ITEM_SD * of_photo[k]),
            "heard": heard(laeq + LEVEL_SD * level[k] + 10 * SPEECH)
            * math.exp(CHANNEL_SD * channel["heard"][k] + ITEM_SD * of_recording[k]),
        }
        yield parts(items, pulls, measured)


def audit():
    now, measured = found(ITEMS, PHOTOS, LAEQ)
    total = sum(now.values())
    print(f"photo,{measured['seen']!r}\nrecording,{measured['heard']!r}\npull,{total!r}\nload,{load(total)!r}")
    unseen = {name: uniforms("unseen", "audit", name) for name in UNSEEN}
    lows, highs, wins = [], [], dict.fromkeys(ITEMS, 0)
    for k, drawn in enumerate(draws(ITEMS, PHOTOS, LAEQ, "audit", 0.10)):
        sum_of = sum(drawn.values())
        more = sum(
            unseen[name][k] * share(alone) * S[channel] * (0.5 if pooled else 1.0)
            for name, (channel, pooled, alone) in UNSEEN.items()
        )
        lows.append(sum_of)
        highs.append(sum_of + more)
        wins[max(drawn, key=drawn.get)] += 1
    print(f"load_low,{load(percentile(lows, 0.05))!r}\nload_high,{load(percentile(highs, 0.95))!r}")
    for name in ITEMS:
        print(f"part {name},{now[name]!r}\nshare {name},{now[name] / total!r}\nchance {name},{wins[name] / DRAWS!r}")
    best = max(
        (sum(now[name] for name in chosen), -size, chosen)
        for size in range(len(ITEMS) + 1)
        for chosen in itertools.combinations(ITEMS, size)
        if sum(int(ITEMS[name][4] * 10) for name in chosen) <= 60
    )
    print(f"load_after 6 minutes,{load(total - best[0])!r}")


def comparison(title, answer_sd):
    before, _ = found(ITEMS, PHOTOS, LAEQ)
    after, _ = found(AFTER, AFTER_PHOTOS, AFTER_LAEQ)
    pairs = zip(
        draws(ITEMS, PHOTOS, LAEQ, "before", answer_sd), draws(AFTER, AFTER_PHOTOS, AFTER_LAEQ, "after", answer_sd)
    )
    gaps = [load(sum(b.values())) - load(sum(a.values())) for a, b in pairs]
    difference = load(sum(after.values())) - load(sum(before.values()))
    print(f"{title} difference,{difference!r}")
    print(f"{title} low,{percentile(gaps, 0.025)!r}\n{title} high,{percentile(gaps, 0.975)!r}")


print("# A load, its doubt and two comparisons, computed by twin.py (Python's own mathematics).")
print("name,value")
audit()
comparison("compare", 0.10)
comparison("compare-other", 0.20)
