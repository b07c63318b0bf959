"""What the sound bench is compared with: the same job in numpy and scipy, written plainly and in large arrays.

    python3 benches/reference/sound.py FILE.wav

FILE is a 16-bit mono WAV. Prints three numbers: seconds for reading it and summing its squares, seconds for the whole job
(A, C and Z levels, F and S levels, percentiles, third octaves every 125 ms and over the whole from order-4 Butterworth
band-passes that are decimated by octaves, octaves, the history, modulation of 4 s windows), and the LAeq in dBFS, so that
it can be seen that the two measure the same thing.
"""
import sys
import time

import numpy as np
from scipy import signal
from scipy.io import wavfile

POLES = 20.598997, 107.65265, 737.86223, 12194.217


def read(path):
    rate, samples = wavfile.read(path)
    return rate, samples.astype(np.float64) / 32768.0


def weighting(rate, kind):
    """The analogue weighting through the bilinear transform, 0 dB at 1 kHz."""
    f1, f2, f3, f4 = (2 * np.pi * f for f in POLES)
    zeros, poles = ([0, 0, 0, 0], [-f1, -f1, -f2, -f3, -f4, -f4]) if kind == "A" else ([0, 0], [-f1, -f1, -f4, -f4])
    z, p, k = signal.bilinear_zpk(zeros, poles, 1.0, rate)
    sos = signal.zpk2sos(z, p, k)
    _, h = signal.sosfreqz(sos, [1000.0], fs=rate)
    sos[0, :3] /= abs(h[0])
    return sos


def follow(power, rate, constant):
    share = 1 - np.exp(-1 / (rate * constant))
    return signal.lfilter([share], [1, share - 1], power)


def blocks(power, rate, seconds):
    """The mean of every so many seconds."""
    edges = np.round(np.arange(int(len(power) / rate / seconds) + 1) * rate * seconds).astype(int)
    sums = np.add.reduceat(power, edges[:-1])
    return sums / np.diff(edges)


def thirds(samples, rate):
    """Every third of 125 ms and the whole: bands of one octave at one rate, then half the rate."""
    histories, wholes = {}, {}
    x, fs = samples, float(rate)
    places = list(range(12, -17, -1))
    while places:
        while places:
            mid = 1000 * 10 ** (places[0] / 10)
            low, high = mid * 10**-0.05, mid * 10**0.05
            if high > 0.98 * rate / 2:
                places.pop(0)
                continue
            if high < 0.33 * fs / 2:
                break
            sos = signal.butter(4, [low, high], "bandpass", fs=fs, output="sos")
            y = signal.sosfilt(sos, x)
            y *= y
            histories[places[0]] = blocks(y, fs, 0.125)
            wholes[places[0]] = y.mean()
            places.pop(0)
        if places:
            x, fs = signal.resample_poly(x, 1, 2), fs / 2
    return histories, wholes


def octaves(samples, rate):
    found = {}
    x, fs = samples, float(rate)
    for place in range(9, -16, -3):
        mid = 1000 * 10 ** (place / 10)
        low, high = mid * 10**-0.15, mid * 10**0.15
        if high > 0.98 * rate / 2:
            continue
        while high < 0.33 * fs / 2:
            x, fs = signal.resample_poly(x, 1, 2), fs / 2
        found[place] = np.mean(signal.sosfilt(signal.butter(4, [low, high], "bandpass", fs=fs, output="sos"), x) ** 2)
    return found


def fluctuating(means):
    """The share of 4 s windows, every second, that fluctuate like speech."""
    count = hits = 0
    window = np.hanning(400)
    for start in range(0, len(means) - 399, 100):
        part = means[start : start + 400]
        spectrum = np.abs(np.fft.rfft((part - part.mean()) * window)) ** 2
        hz = np.arange(len(spectrum)) * 0.25
        speech = spectrum[(hz >= 2) & (hz <= 8)].sum()
        total = spectrum[(hz >= 0.25) & (hz <= 20)].sum()
        depth = np.sqrt(4 * speech / (400 * np.sum(window**2))) / max(part.mean(), 1e-30)
        count += 1
        hits += depth >= 0.5 and speech >= 0.4 * total
    return hits / max(count, 1)


def job(path):
    rate, samples = read(path)
    samples = samples - samples.mean()
    a = signal.sosfilt(weighting(rate, "A"), samples) ** 2
    c = signal.sosfilt(weighting(rate, "C"), samples) ** 2
    fast = follow(a, rate, 0.125)
    slow = follow(a, rate, 1.0)
    steps = 10 * np.log10(fast[rate // 100 - 1 :: rate // 100][50:] + 1e-30)
    np.percentile(steps, [10, 50, 90])
    _ = fast.max(), slow.max(), c.mean(), np.mean(samples**2)
    blocks(a, rate, 0.125)
    fluctuating(blocks(a, rate, 0.01))
    thirds(samples, rate)
    octaves(samples, rate)
    return 10 * np.log10(a.mean())


def plain(path):
    _, samples = read(path)
    return np.dot(samples, samples)


def timed(work, times):
    best = float("inf")
    value = None
    for _ in range(times):
        start = time.perf_counter()
        value = work()
        best = min(best, time.perf_counter() - start)
    return best, value


path = sys.argv[1]
plain_s, _ = timed(lambda: plain(path), 3)
whole_s, laeq_db = timed(lambda: job(path), 2)
print(plain_s, whole_s, laeq_db)
