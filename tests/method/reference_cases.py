#!/usr/bin/env python3
"""Random cases computed by SciPy and statsmodels, for the methods to agree with.

    python3 tests/method/reference_cases.py cases.csv

The seed is fixed: every run makes the same cases.
"""
import sys

import numpy as np
import scipy
import scipy.optimize
import scipy.stats
import statsmodels
import statsmodels.api as sm
from statsmodels.stats.anova import anova_lm
from statsmodels.stats.inter_rater import cohens_kappa, fleiss_kappa, to_table

random = np.random.default_rng(20250401)
rows = []


def add(kind, numbers, expected, tolerance, sizes=()):
    def text(values):
        return " ".join(repr(float(v)) for v in np.ravel(values))

    rows.append(f"{kind} {len(rows) + 1},{kind},{text(sizes)},{text(numbers)},{text(expected)},{tolerance}")


def distributions():
    for _ in range(8):
        t, df = random.uniform(-6, 6), random.uniform(1, 60)
        add("student", [t, df], [scipy.stats.t.cdf(t, df), 2 * scipy.stats.t.sf(abs(t), df)], 1e-11)
        p, df = random.uniform(0.001, 0.999), random.uniform(1, 200)
        add("student_quantile", [p, df], scipy.stats.t.ppf(p, df), 1e-9)
        f, a, b = random.uniform(0, 8), random.integers(1, 30), random.integers(1, 90)
        add("fisher", [f, a, b], scipy.stats.f.sf(f, a, b), 1e-11)
        p = random.uniform(0.0001, 0.9999)
        add("normal_quantile", [p], scipy.stats.norm.ppf(p), 1e-12)


def gauges():
    for _ in range(8):
        readings, reference = random.normal(10, 0.1, random.integers(4, 20)), 10.02
        found = scipy.stats.ttest_1samp(readings, reference)
        interval = scipy.stats.t.interval(0.95, len(readings) - 1, readings.mean(), scipy.stats.sem(readings))
        add("bias", readings, [found.statistic, found.pvalue, interval[0] - reference, interval[1] - reference], 1e-9, [reference])
        x = random.uniform(1, 12, random.integers(5, 30))
        y = x + 0.01 + 0.02 * x + random.normal(0, 0.05, len(x))
        fit = sm.OLS(y - x, sm.add_constant(x)).fit()
        add("linearity", [x, y], [*fit.params, *fit.bse, *fit.pvalues, np.sqrt(fit.scale), fit.rsquared], 1e-8)
    for _ in range(8):
        size = [int(random.integers(2, 4)), int(random.integers(3, 11)), int(random.integers(2, 4))]
        who, part = random.normal(0, 0.2, size[0]), random.normal(0, 1, size[1])
        values = random.normal(0, 0.3, size) + who[:, None, None] + part[None, :, None]
        data = {"y": values.ravel(), "o": np.repeat(np.arange(size[0]), size[1] * size[2]),
                "p": np.tile(np.repeat(np.arange(size[1]), size[2]), size[0])}
        table = anova_lm(sm.OLS.from_formula("y ~ C(o) * C(p)", data).fit())
        add("variance", values, [*table["sum_sq"], table["F"]["C(o):C(p)"], table["PR(>F)"]["C(o):C(p)"]], 1e-8, size)


def agreement():
    for _ in range(6):
        n = random.integers(20, 80)
        first = random.integers(0, 3, n)
        second = np.where(random.random(n) < 0.7, first, random.integers(0, 3, n))
        found = cohens_kappa(to_table(np.column_stack([first, second]), bins=3)[0])
        add("cohen", [first, second], [found.kappa, found.std_kappa], 1e-10)
        counts = random.multinomial(6, [0.5, 0.3, 0.2], random.integers(5, 30))
        add("fleiss", counts, fleiss_kappa(counts), 1e-10)


def outliers_and_lots():
    for _ in range(6):
        x = random.normal(5, 2, random.integers(5, 40))
        n, level = len(x), random.uniform(0.01, 0.2)
        t = scipy.stats.t.isf(level / (2 * n), n - 2)
        critical = (n - 1) / np.sqrt(n) * np.sqrt(t * t / (n - 2 + t * t))
        add("grubbs", x, [np.max(abs(x - x.mean())) / x.std(ddof=1), critical], 1e-9, [level])
        lots, c = random.normal(70, 3, random.integers(5, 20)), random.uniform(0.6, 0.999)
        reach = scipy.stats.t.ppf((1 + c) / 2, len(lots) - 1) * lots.std(ddof=1) * np.sqrt(1 + 1 / len(lots))
        add("lots", lots, [lots.mean() - reach, lots.mean() + reach], 1e-9, [c])


def fits_and_zones():
    for _ in range(5):
        x = np.array([45, 63, 90, 125, 180, 250.0])
        share = np.clip(1 - np.exp(-(x / random.uniform(80, 150)) ** random.uniform(1, 3)) + random.normal(0, 0.01, 6), 0.01, 0.99)
        found, _ = scipy.optimize.curve_fit(lambda x, d, n: np.exp(-((x / d) ** n)), x, 1 - share, p0=[100, 1.5], xtol=1e-14, ftol=1e-14, gtol=1e-14)
        add("rosin_rammler", [x, 100 * share], found, 1e-5)
        xyz = np.column_stack([random.uniform(0, 120, 40), random.uniform(0, 60, 40), random.normal(0, 0.02, 40)])
        side = np.column_stack([xyz[:, 0], xyz[:, 1], np.ones(40)])
        above = np.column_stack([side, np.ones(40)])
        below = np.column_stack([-side, np.ones(40)])
        found = scipy.optimize.linprog([0, 0, 0, 1], A_ub=-np.vstack([above, below]), b_ub=-np.concatenate([xyz[:, 2], -xyz[:, 2]]), bounds=[(None, None)] * 4, method="highs")
        add("zone", xyz, 2 * found.fun, 1e-8)


def main():
    for make in (distributions, gauges, agreement, outliers_and_lots, fits_and_zones):
        make()
    with open(sys.argv[1], "w", encoding="utf-8") as out:
        out.write(f"# source: SciPy {scipy.__version__} and statsmodels {statsmodels.__version__}, random cases of a fixed seed\n")
        out.write("id,kind,sizes,numbers,expected,tolerance\n")
        out.write("\n".join(rows) + "\n")
    print(len(rows), "cases")


main()
