"""Writes band-history.csv: every third octave of pink-48k.wav in every 125 ms, by scipy at the full rate.

    python3 band_history.py > band-history.csv        (numpy 2.4, scipy 1.17)

Order-4 Butterworth band-passes in second-order sections, 64-bit, at 48 kHz without any decimation; base-ten edges; the
recording's mean taken out; filters from rest; the mean square of each whole 125 ms.
"""
import os

import numpy as np
import scipy
from scipy import signal
from scipy.io import wavfile

here = os.path.dirname(os.path.abspath(__file__))
rate, samples = wavfile.read(os.path.join(here, "pink-48k.wav"))
samples = samples / 32768.0
samples -= samples.mean()
step = rate // 8
columns = []
for place in range(-16, 13):
    mid = 1000 * 10 ** (place / 10)
    sos = signal.butter(4, [mid * 10**-0.05, mid * 10**0.05], "bandpass", fs=rate, output="sos")
    power = signal.sosfilt(sos, samples) ** 2
    power = power[: len(power) // step * step].reshape(-1, step).mean(axis=1)
    columns.append(10 * np.log10(power))
print(f"# Third octaves, 25 Hz to 16 kHz, of pink-48k.wav in every 125 ms, dBFS. band_history.py, numpy {np.__version__}, scipy {scipy.__version__}")
print(",".join(f"x{place}" for place in range(-16, 13)))
for row in np.array(columns).T:
    print(",".join(f"{value:.3f}" for value in row))
