"""Writes mean_sd_t_interval.csv: cycle durations (made up, s) with SciPy's mean, SD and 95 % t interval.

Run in a virtual environment outside the repository: pip install scipy; python make.py > mean_sd_t_interval.csv
"""

import datetime
import random

import numpy
import scipy
from scipy import stats

random.seed(20261125)
print("# source: SciPy", scipy.__version__, "scipy.stats.t.interval, NumPy", numpy.__version__, "mean and std(ddof=1)")
print("# made by: tests/reference/statistics/make.py with a fixed seed")
print("# date:", datetime.date.today().isoformat())
print("# columns: n, mean_s, sd_s, low_s, high_s, then the n durations in ms")
for n in [2, 3, 4, 5, 8, 10, 12, 20, 31, 60, 121]:
    milliseconds = [round(random.gauss(1450, 40)) for _ in range(n)]
    seconds = numpy.array(milliseconds) / 1000
    mean, sd = seconds.mean(), seconds.std(ddof=1)
    low, high = stats.t.interval(0.95, n - 1, loc=mean, scale=sd / numpy.sqrt(n))
    print(n, repr(float(mean)), repr(float(sd)), repr(float(low)), repr(float(high)), *milliseconds, sep=",")
