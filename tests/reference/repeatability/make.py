"""Writes sem_intervals.csv: differences between two markings (made up, whole ms) with SciPy's figures.

Run in a virtual environment outside the repository: pip install scipy; python make.py > sem_intervals.csv
"""

import datetime
import random

import numpy
import scipy
from scipy import stats

random.seed(8)
print("# source: SciPy", scipy.__version__, "scipy.stats.chi2.ppf and t.interval, NumPy", numpy.__version__, "std(ddof=1)")
print("# made by: tests/reference/repeatability/make.py with a fixed seed")
print("# date:", datetime.date.today().isoformat())
print("# columns: n, sem_ms, sem_low_ms, sem_high_ms, mdc_ms, shift_ms, shift_low_ms, shift_high_ms, then the n differences in ms")
for n in [6, 7, 8, 10, 12, 20, 40, 90]:
    differences = numpy.array([round(random.gauss(3, 11)) for _ in range(n)])
    shift, deviation = differences.mean(), differences.std(ddof=1)
    sem = deviation / numpy.sqrt(2)
    low, high = (sem * numpy.sqrt((n - 1) / stats.chi2.ppf(share, n - 1)) for share in (0.975, 0.025))
    shift_low, shift_high = stats.t.interval(0.95, n - 1, loc=shift, scale=deviation / numpy.sqrt(n))
    figures = [sem, low, high, 1.96 * numpy.sqrt(2) * sem, shift, shift_low, shift_high]
    print(n, *(repr(float(figure)) for figure in figures), *differences, sep=",")
