"""The ordinary method with scipy: python3 baseline.py FILE.wav prints [[frequency, decay rate, amplitude], ...] as JSON.
The same steps and limits as baseline.ts: FFT peaks, envelopes of bands cut out of the FFT, straight lines."""
import json
import sys

import numpy as np
from scipy.fft import ifft, next_fast_len, rfft
from scipy.io import wavfile
from scipy.signal import find_peaks

rate, samples = wavfile.read(sys.argv[1])
x = (samples if samples.ndim == 1 else samples[:, 0]) / 32768
x = x[np.argmax(np.abs(x)):]
size = next_fast_len(len(x))
plain = rfft(x, size)
level = 20 * np.log10(np.abs(rfft(x * np.hanning(2 * len(x))[len(x):], size)) + 1e-15)
floor = max(level.max() - 60, np.median(level) + 15)
peaks, _ = find_peaks(level, height=floor, prominence=6, distance=max(1, int(2 * size / rate)))
a, b, c = level[peaks - 1], level[peaks], level[peaks + 1]
f = (peaks + 0.5 * (a - c) / (a - 2 * b + c)) * rate / size
f = f[f > 20]
reach = np.minimum(10, np.diff(f, prepend=f[:1] - 20, append=f[-1:] + 20) / 2)
modes = []
for i, centre in enumerate(f):
    low, high = int(np.ceil((centre - reach[i]) * size / rate)), int((centre + reach[i + 1]) * size / rate)
    masked = np.zeros(size, complex)
    masked[low:high + 1] = 2 * plain[low:high + 1]
    envelope = np.abs(ifft(masked))[:len(x)]
    db = 20 * np.log10(envelope / envelope.max() + 1e-15)
    first = np.argmax(envelope) + np.argmax(db[np.argmax(envelope):] < -3)
    under = np.flatnonzero(db[first:] < -30)
    t = np.arange(first, first + under[0] if len(under) else len(x)) / rate
    if len(t) > 2:
        slope, start = np.polyfit(t, np.log(envelope[first:first + len(t)]), 1)
        if slope < 0:
            modes.append([centre, -slope, float(np.exp(start))])
json.dump(modes, sys.stdout)
