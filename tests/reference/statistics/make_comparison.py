"""Writes comparison.json: two-sample and paired tests, intervals, effect sizes, Holm and sample sizes.

Run in a virtual environment outside the repository: pip install scipy statsmodels; python make_comparison.py > comparison.json
"""

import datetime
import json
import math
import random

import numpy
import scipy
import statsmodels
from scipy import special, stats
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.power import TTestIndPower

random.seed(20261125)


def correction(degrees_of_freedom):
    """Hedges 1981, exact."""
    half = degrees_of_freedom / 2
    return math.exp(special.gammaln(half) - special.gammaln(half - 0.5)) / math.sqrt(half)


def size_of_difference(before, after, axis):
    return numpy.abs(numpy.mean(after, axis=axis) - numpy.mean(before, axis=axis))


def two_samples(name, before, after):
    before, after = numpy.array(before), numpy.array(after)
    welch = stats.ttest_ind(after, before, equal_var=False)
    interval = welch.confidence_interval(0.95)
    permuted = stats.permutation_test(
        (before, after), size_of_difference, alternative="greater", n_resamples=numpy.inf, vectorized=True
    )
    n, m = len(before), len(after)
    pooled = ((n - 1) * before.var(ddof=1) + (m - 1) * after.var(ddof=1)) / (n + m - 2)
    return {
        "name": name,
        "before": before.tolist(),
        "after": after.tolist(),
        "difference": float(after.mean() - before.mean()),
        "t": float(welch.statistic),
        "degrees_of_freedom": float(welch.df),
        "p": float(welch.pvalue),
        "interval": [float(interval.low), float(interval.high)],
        "permutation_p": float(permuted.pvalue),
        "hedges_g": float((after.mean() - before.mean()) / math.sqrt(pooled) * correction(n + m - 2)),
    }


def paired(name, before, after):
    before, after = numpy.array(before), numpy.array(after)
    differences = after - before
    t = stats.ttest_rel(after, before)
    interval = t.confidence_interval(0.95)
    permuted = stats.permutation_test(
        (before, after),
        size_of_difference,
        permutation_type="samples",
        alternative="greater",
        n_resamples=numpy.inf,
        vectorized=True,
    )
    return {
        "name": name,
        "before": before.tolist(),
        "after": after.tolist(),
        "difference": float(differences.mean()),
        "sd": float(differences.std(ddof=1)),
        "t": float(t.statistic),
        "degrees_of_freedom": float(t.df),
        "p": float(t.pvalue),
        "interval": [float(interval.low), float(interval.high)],
        "permutation_p": float(permuted.pvalue),
        "hedges_g": float(differences.mean() / differences.std(ddof=1) * correction(len(differences) - 1)),
    }


def gaps(n, mean, sd, frame=None):
    """Made-up gaps, s, whole frames where asked for."""
    values = [random.gauss(mean, sd) for _ in range(n)]
    return [round(value / frame) * frame if frame else round(value, 4) for value in values]


# de Lucas et al. 2000, J Sci Med Sport 3:1-8, table 3: swimming speed, m/s, of twelve swimmers.
WETSUIT = [1.57, 1.47, 1.42, 1.35, 1.22, 1.75, 1.64, 1.57, 1.56, 1.53, 1.49, 1.51]
SWIMSUIT = [1.49, 1.37, 1.35, 1.27, 1.12, 1.64, 1.59, 1.52, 1.50, 1.45, 1.44, 1.41]

out = {
    "source": f"SciPy {scipy.__version__} (ttest_ind, ttest_rel, permutation_test, wilcoxon), NumPy {numpy.__version__}, "
    f"statsmodels {statsmodels.__version__} (multipletests holm, TTestIndPower)",
    "made_by": "tests/reference/statistics/make_comparison.py with a fixed seed",
    "date": datetime.date.today().isoformat(),
    "two_samples": [
        two_samples("three against three", gaps(3, 0.15, 0.03), gaps(3, 0.11, 0.03)),
        two_samples("four against six", gaps(4, 0.15, 0.03), gaps(6, 0.11, 0.03)),
        two_samples("eight each", gaps(8, 0.15, 0.03), gaps(8, 0.11, 0.03)),
        two_samples("eight each, no change", gaps(8, 0.15, 0.03), gaps(8, 0.15, 0.03)),
        two_samples("whole frames at 30 frames/s, with ties", gaps(8, 0.15, 0.03, 1 / 30), gaps(8, 0.12, 0.03, 1 / 30)),
        two_samples("spreads that differ", gaps(5, 0.15, 0.005), gaps(10, 0.13, 0.06)),
        two_samples("nine against ten, 92378 arrangements", gaps(9, 0.15, 0.03), gaps(10, 0.13, 0.03)),
        two_samples("the published pairs as if unpaired", SWIMSUIT[:9], WETSUIT[:9]),
    ],
    "unpaired_contrast": dict(
        zip(("t", "p"), map(float, stats.ttest_ind(WETSUIT, SWIMSUIT, equal_var=False)))
    ),
    # Rank test of the published pairs: W and p, where every swimmer was faster in the wetsuit.
    "wilcoxon": dict(zip(("w", "p"), map(float, stats.wilcoxon(WETSUIT, SWIMSUIT, method="exact")))),
    "paired": [
        paired("de Lucas et al. 2000, wetsuit against swimsuit", SWIMSUIT, WETSUIT),
        paired("five pairs", gaps(5, 0.15, 0.03), gaps(5, 0.12, 0.03)),
        paired("sixteen pairs, 65536 arrangements", gaps(16, 0.15, 0.03), gaps(16, 0.14, 0.03)),
    ],
    "holm": [],
    "sample_sizes": [],
}
for count in [1, 2, 5, 12, 45]:
    p = [round(random.random() ** 3, 6) for _ in range(count)]
    if count > 4:
        p[3] = p[1]
    out["holm"].append({"p": p, "p_holm": multipletests(p, method="holm")[1].tolist()})
for effect in [0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 3.0]:
    for questions in [1, 5, 45]:
        n = TTestIndPower().solve_power(effect_size=effect, alpha=0.05 / questions, power=0.8, ratio=1.0)
        out["sample_sizes"].append({"effect": effect, "questions": questions, "n": float(numpy.atleast_1d(n)[0])})
print(json.dumps(out, indent=1))
