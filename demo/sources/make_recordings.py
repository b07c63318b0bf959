"""Make the invented recordings of the demo: nobody was recorded, every sound is computed.

usage: make_recordings.py OUT_FOLDER

Writes room-before.wav, room-after.wav, voice.wav and voice-after.wav (mono, 16 bit) and prints what
each holds. Fixed seeds: the same numpy and scipy write the same bytes. Needs numpy and scipy.

Levels are sound pressure levels at the child's chair; the phone of the demo reads
dB SPL = dBFS + 100, where 0 dBFS is an RMS of 1.0.
"""
import hashlib
import sys
import wave
from pathlib import Path

import numpy as np
from scipy.signal import butter, fftconvolve, lfilter, sosfilt

FS = 24000  # the 8 kHz octave is still whole, and the files stay small
OFFSET_DB = 100.0
SEED = 20261005


# ---- levels: A-weighting in the frequency domain, so nothing is lost near half the sample rate ----


def a_gain(f):
    """Amplitude of the A-weighting, poles of IEC 61672-1 (from memory), 1 at 1 kHz."""
    f2 = np.square(f)
    g = 12194.217**2 * f2**2
    g = g / ((f2 + 20.598997**2) * np.sqrt((f2 + 107.65265**2) * (f2 + 737.86223**2)) * (f2 + 12194.217**2))
    return g * 10 ** (2.000 / 20)


def a_weighted(x):
    return np.fft.irfft(np.fft.rfft(x) * a_gain(np.fft.rfftfreq(len(x), 1 / FS)), len(x))


def laeq(x):
    return 10 * np.log10(np.mean(a_weighted(x) ** 2)) + OFFSET_DB


def fast_levels(x):
    """F-weighted A level every 10 ms, the first half second dropped."""
    k = 1 - np.exp(-1 / (FS * 0.125))
    energy = lfilter([k], [1, k - 1], a_weighted(x) ** 2)
    return 10 * np.log10(energy[FS // 2 :: FS // 100] + 1e-20) + OFFSET_DB


def at_level(x, db):
    """The sound scaled to an LAeq of `db` at the chair."""
    return x * 10 ** ((db - laeq(x)) / 20)


# ---- building stones ----


def shaped_noise(rng, n, slope_db, low, high):
    """Noise with a slope in dB per octave about 1 kHz, between two soft corner frequencies."""
    f = np.fft.rfftfreq(n, 1 / FS)
    f[0] = 1.0
    g = (f / 1000) ** (slope_db / 6.0206) / np.sqrt((1 + (low / f) ** 6) * (1 + (f / high) ** 6))
    return np.fft.irfft(np.fft.rfft(rng.standard_normal(n)) * g, n)


def wobble(rng, n, seconds, depth):
    """A slow random swell around 1."""
    knots = rng.standard_normal(int(n / FS / seconds) + 4)
    x = np.arange(n) / FS / seconds
    i = x.astype(int)
    u = (1 - np.cos(np.pi * (x - i))) / 2
    return np.exp(depth * (knots[i] * (1 - u) + knots[i + 1] * u))


def band(x, low, high, order=2):
    return sosfilt(butter(order, [low, high], "bandpass", fs=FS, output="sos"), x)


def in_room(rng, x, t60, direct):
    """The sound with the reverberation of a furnished room."""
    n = int(t60 * FS)
    tail = rng.standard_normal(n) * 10 ** (-3 * np.arange(n) / n)
    tail = lfilter([1], [1, -0.55], tail)
    tail /= np.sqrt(np.sum(tail**2))
    tail[: int(0.004 * FS)] = 0
    return direct * x + fftconvolve(x, tail)[: len(x)]


# ---- speech-like sound: syllables of nobody's language, from pulses, noise and four resonances ----

VOWELS = {  # rough resonances of vowels in Hz; common practice, no source
    "a": (750, 1250, 2550), "e": (480, 1900, 2550), "i": (300, 2250, 3000),
    "o": (450, 850, 2500), "u": (320, 800, 2350), "y": (520, 1450, 2450),
}
ONSETS = ["", "m", "n", "l", "b", "d", "t", "k", "s", "f", "h", "r"]


def talk(rng, seconds, pitch_hz, tract, rate, rest):
    """`rate` syllables a second in phrases with pauses of about `rest` seconds; `tract` stretches the resonances."""
    n = int(seconds * FS)
    voiced, noise = np.zeros(n), np.zeros(n)
    step = FS // 200
    frames = n // step + 2
    formants = np.tile(np.array([500.0, 1500.0, 2500.0]), (frames, 1))
    pitch = np.full(frames, float(pitch_hz))
    loud, hiss, hiss_hz = np.zeros(frames), np.zeros(frames), np.full(frames, 3000.0)
    t = 0.25 + 0.2 * rng.random()
    while t < seconds - 1.2:
        count = int(rng.integers(5, 13))
        rise = 1.12 + 0.10 * rng.random()
        for s in range(count):
            if t > seconds - 0.6:
                break
            length = (1 / rate) * rng.uniform(0.75, 1.3) * (1.35 if s == count - 1 else 1.0)
            onset = ONSETS[int(rng.integers(len(ONSETS)))]
            target = np.array(VOWELS["aeiouy"[int(rng.integers(6))]]) * tract
            stress = 1.0 if rng.random() < 0.45 else rng.uniform(0.45, 0.75)
            a, b = int(t * 200), int((t + length) * 200)
            head = max(2, int(0.32 * (b - a)))
            p = s / max(count - 1, 1)
            for i in range(a, min(b, frames)):
                u = (i - a) / max(b - a, 1)
                v = (i - a) / head
                formants[i] = target if v > 1 else formants[a - 1] + (target - formants[a - 1]) * (1 - np.cos(np.pi * v)) / 2
                pitch[i] = pitch_hz * (rise - 0.24 * p) * (1 + 0.05 * stress * np.sin(np.pi * u))
                body = np.sin(np.pi * min(max((u - 0.18) / 0.80, 0.0), 1.0)) ** 0.7
                if onset in ("m", "n", "l", "r") and v < 1:
                    loud[i] = max(0.30 * stress, body * stress)
                elif onset in ("b", "d", "t", "k") and v < 0.75:
                    loud[i] = 0.0
                    hiss[i] = 0.5 * stress if v > 0.60 else 0.0
                    hiss_hz[i] = {"b": 900, "d": 3200, "t": 4200, "k": 2000}[onset]
                elif onset in ("s", "f", "h") and v < 0.9:
                    loud[i] = 0.0
                    hiss[i] = stress * {"s": 0.45, "f": 0.16, "h": 0.12}[onset] * np.sin(np.pi * v / 0.9)
                    hiss_hz[i] = {"s": 6200, "f": 4200, "h": 1500}[onset]
                else:
                    loud[i] = body * stress
            t += length
        t += rest * rng.uniform(0.6, 1.6)
    at = np.arange(n) / step
    phase = np.cumsum(np.interp(at, np.arange(frames), pitch) * (1 + 0.008 * wobble(rng, n, 0.02, 0.5))) / FS
    # A glottal pulse: a smooth opening and a quick close, once a period, with a breath of noise.
    x = phase % 1.0
    source = np.where(x < 0.6, np.sin(np.pi * x / 0.6) ** 2 * (0.4 + x), 0.0)
    source = np.diff(source, prepend=0.0) + 0.004 * rng.standard_normal(n)
    voiced = source * np.interp(at, np.arange(frames), loud)
    noise = rng.standard_normal(n) * np.interp(at, np.arange(frames), hiss)
    states = [np.zeros(2) for _ in range(5)]
    out = np.zeros(n)
    for i in range(n // step):
        piece = voiced[i * step : (i + 1) * step]
        centres = [*formants[i], 3500.0 * tract]
        for j, (hz, width) in enumerate(zip(centres, (80.0, 100.0, 140.0, 220.0), strict=True)):
            r = np.exp(-np.pi * width / FS)
            c1, c2 = 2 * r * np.cos(2 * np.pi * hz / FS), -r * r
            piece, states[j] = lfilter([1 - c1 - c2], [1, -c1, -c2], piece, zi=states[j])
        r = np.exp(-np.pi * 1800.0 / FS)
        c1, c2 = 2 * r * np.cos(2 * np.pi * hiss_hz[i] / FS), -r * r
        fizz, states[4] = lfilter([1 - r], [1, -c1, -c2], noise[i * step : (i + 1) * step], zi=states[4])
        out[i * step : (i + 1) * step] = piece + 0.25 * fizz
    return out


# ---- what sounds in the room ----


def room_tone(rng, n, db):
    return at_level(shaped_noise(rng, n, -6.5, 30, 6500) * wobble(rng, n, 4, 0.05), db)


def washing_machine(rng, n, db):
    """Motor hum at 50 Hz and its multiples, a drum that turns 54 times a minute, laundry that falls twice a turn."""
    t = np.arange(n) / FS
    hum = np.zeros(n)
    for k, a in [(1, 0.9), (2, 1.0), (3, 0.25), (4, 0.45), (6, 0.30), (8, 0.16), (12, 0.10), (16, 0.05)]:
        hum += a * np.sin(2 * np.pi * 50 * k * t + rng.random() * 6.28) * wobble(rng, n, 0.7, 0.12)
    turn = (54 / 60) * t + 0.02 * np.cumsum(wobble(rng, n, 1.5, 0.3) - 1) / FS
    swish = np.exp(3.0 * (np.cos(2 * np.pi * turn) - 1)) + 0.7 * np.exp(4.0 * (np.cos(2 * np.pi * 2 * turn + 1.1) - 1))
    water = band(rng.standard_normal(n), 180, 1600) * swish
    thud = band(rng.standard_normal(n), 60, 180) * np.exp(14.0 * (np.cos(2 * np.pi * 2 * turn + 0.6) - 1))
    belt = band(rng.standard_normal(n), 900, 3500, 1)
    # Once in the minute it rests for two seconds before the drum turns the other way.
    runs = np.interp(t, [0, 38.0, 39.2, 41.2, 42.4, 60], [1, 1, 0, 0, 1, 1])
    parts = 0.40 * hum / np.std(hum) + 0.75 * water / np.std(water) + 0.9 * thud / np.std(thud) + 0.32 * belt / np.std(belt)
    return at_level(parts * runs, db)


def radio(rng, n, db):
    talker = talk(rng, n / FS, 118.0, 1.0, 4.9, 0.45)
    return at_level(in_room(rng, band(talker, 220, 4200), 0.45, 0.5), db)


def knocks(rng, n, times):
    """Wooden building blocks on a table: a few damped modes each."""
    out = np.zeros(n)
    t = np.arange(int(0.25 * FS)) / FS
    for at, strength in times:
        hit = np.zeros(len(t))
        for hz, a, tau in [(640, 1.0, 0.016), (1180, 0.8, 0.011), (2150, 0.6, 0.008), (3700, 0.35, 0.005)]:
            hit += a * np.sin(2 * np.pi * hz * rng.uniform(0.95, 1.05) * t) * np.exp(-t / tau)
        hit += 0.5 * rng.standard_normal(len(t)) * np.exp(-t / 0.002)
        i = int(at * FS)
        out[i : i + len(t)] += strength * hit
    out = in_room(rng, out, 0.45, 0.9)
    # Scaled so that the hardest knock reads about 69 dB on the F weighting.
    return out * 10 ** ((69.0 - np.max(fast_levels(out))) / 20)


def traffic(rng, n, db):
    t = np.arange(n) / FS
    swell = 0.35 + sum(a * np.exp(-0.5 * ((t - c) / w) ** 2) for c, w, a in [(9, 3.0, 0.9), (27, 4.0, 0.6), (46, 3.5, 1.0)])
    return at_level(shaped_noise(rng, n, -6, 40, 700) * swell, db)


def fridge(rng, n, db):
    t = np.arange(n) / FS
    hum = sum(a * np.sin(2 * np.pi * 50 * k * t + rng.random() * 6.28) for k, a in [(1, 0.8), (2, 1.0), (4, 0.35), (5, 0.08), (6, 0.16), (8, 0.07)])
    return at_level(hum * wobble(rng, n, 3, 0.05) + 0.25 * band(rng.standard_normal(n), 150, 900, 1), db)


def adult(rng, n, db):
    """An adult at the chair: slow, clear phrases, as one speaks to a young child."""
    return at_level(in_room(rng, talk(rng, n / FS, 196.0, 1.14, 3.9, 0.5), 0.45, 1.6), db)


def main():
    out = Path(sys.argv[1])
    streams = [np.random.default_rng(s) for s in np.random.SeedSequence(SEED).spawn(4)]
    minute, short = 60 * FS, 20 * FS

    def busy(rng, n):
        return room_tone(rng, n, 34.0) + washing_machine(rng, n, 51.5) + radio(rng, n, 51.0)

    def calm(rng, n):
        return room_tone(rng, n, 33.0) + traffic(rng, n, 31.0) + fridge(rng, n, 31.0)

    files = {
        "room-before": busy(streams[0], minute) + knocks(streams[0], minute, [(13.4, 0.8), (34.1, 1.0), (34.5, 0.55)]),
        "room-after": calm(streams[1], minute),
        "voice": busy(streams[2], short) + adult(streams[2], short, 60.0),
        "voice-after": calm(streams[3], short) + adult(streams[3], short, 58.0),
    }
    for name, x in files.items():
        fade = int(0.02 * FS)
        x[:fade] *= np.linspace(0, 1, fade)
        x[-fade:] *= np.linspace(1, 0, fade)
        pcm = np.round(x * 32767).astype("<i2")
        with wave.open(str(out / f"{name}.wav"), "wb") as w:
            w.setnchannels(1)
            w.setsampwidth(2)
            w.setframerate(FS)
            w.writeframes(pcm.tobytes())
        back = pcm / 32768.0
        fast = fast_levels(back)
        la10, la90 = np.percentile(fast, [90, 10])
        print(
            f"{name}: {len(x) / FS:.0f} s, LAeq {laeq(back):.1f} dB, LAFmax {fast.max():.1f}, LA10 {la10:.1f}, LA90 {la90:.1f}, "
            f"peak {20 * np.log10(np.max(np.abs(back))):.1f} dBFS, sha256 {hashlib.sha256(pcm.tobytes()).hexdigest()[:16]}"
        )


if __name__ == "__main__":
    main()
