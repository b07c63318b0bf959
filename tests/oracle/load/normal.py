"""Makes normal.csv: quantiles of the standard normal distribution at exact f64 probabilities.

x solves p = erfc(-x/sqrt(2))/2, found by mpmath with 50 digits (so not by the algorithm under test).
Run: python3 normal.py > normal.csv
"""

import mpmath

mpmath.mp.dps = 50
ps = [2.0**-n for n in (53, 50, 45, 40, 36, 33, 30, 25, 20, 15, 12, 10, 8, 7, 6, 5, 4)]
ps += [0.075, 0.0751, 0.0749, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.45, 0.49, 0.499999, 0.5]
ps += [1.0 - p for p in ps] + [0.6 + k / 37 for k in range(14)] + [0.025, 0.05, 0.95, 0.975]

print("# Quantiles of the standard normal distribution; p is the exact value of that f64.")
print(f"# Made by normal.py with mpmath {mpmath.__version__}, 50 digits, root of p = erfc(-x/sqrt 2)/2.")
print("p,x")
for p in sorted(set(ps)):
    exact = mpmath.mpf(p)
    start = mpmath.mpf(0) if p == 0.5 else mpmath.sqrt(2) * mpmath.erfinv(2 * exact - 1)
    x = mpmath.findroot(lambda x: mpmath.erfc(-x / mpmath.sqrt(2)) / 2 - exact, start, tol=1e-90)
    assert abs(mpmath.ncdf(x) / exact - 1) < mpmath.mpf(10) ** -35
    print(f"{p!r},{mpmath.nstr(x, 25)}")
