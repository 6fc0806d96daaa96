"""Writes expected.csv: distribution functions and quantiles to 20 digits, with mpmath at 50."""

import csv
from pathlib import Path

import mpmath as mp

mp.mp.dps = 50
HALF = mp.mpf(1) / 2


def normal_cdf(x):
    return mp.erfc(-x / mp.sqrt(2)) / 2


def student_cdf(t, nu):
    tail = mp.betainc(nu / 2, HALF, 0, nu / (nu + t * t), regularized=True) / 2
    return tail if t < 0 else 1 - tail


def chi_squared_cdf(x, nu):
    return mp.gammainc(nu / 2, 0, x / 2, regularized=True)


def chi_squared_tail(x, nu):
    return mp.gammainc(nu / 2, x / 2, mp.inf, regularized=True)


def f_tail(f, one, two):
    return mp.betainc(two / 2, one / 2, 0, two / (two + one * f), regularized=True)


def root(function, low, high):
    """Where a rising function meets zero, by halving a bracket that is widened until it holds it."""
    while function(low) > 0:
        low -= high - low
    while function(high) < 0:
        high += high - low
    for _ in range(110):
        middle = (low + high) / 2
        low, high = (low, middle) if function(middle) > 0 else (middle, high)
    return (low + high) / 2


def rows():
    def number(text):
        return mp.mpf(float(text))  # the binary number that a program is given

    for x in ["-8", "-5", "-3", "-1", "-0.3", "0.5", "1.4", "3"]:
        yield "normal_cdf", x, "", "", normal_cdf(number(x))
    for p in ["1e-12", "0.001", "0.025", "0.3", "0.95", "0.975", "0.99"]:
        yield "normal_quantile", p, "", "", -mp.sqrt(2) * mp.erfinv(1 - 2 * number(p))
    for p in ["0.95", "0.975", "0.0005"]:
        for nu in ["0.7", "1", "2", "3", "4", "5", "9", "10", "16.7", "20", "30", "120", "900", "2500", "20000", "1e7"]:
            yield "student_t_quantile", p, nu, "", root(
                lambda t: student_cdf(t, number(nu)) - number(p), mp.mpf(-2), mp.mpf(2)
            )
    for nu in ["0.5", "1", "2", "4", "8", "9", "10", "35", "100", "1000"]:
        n = number(nu)
        yield "chi_squared_cdf", "5.5", nu, "", chi_squared_cdf(number("5.5"), n)
        yield "chi_squared_tail", "60", nu, "", chi_squared_tail(number("60"), n)
        for p in ["0.025", "0.95", "0.975"]:
            # On the logarithm, since the root may be tiny.
            logarithm = root(lambda y: chi_squared_cdf(mp.exp(y), n) - number(p), mp.mpf(0), mp.log(n + 1))
            yield "chi_squared_quantile", p, nu, "", mp.exp(logarithm)
    for f, one, two in [("4", "1", "10"), ("2", "3", "7"), ("19.3", "5", "2"), ("1.8", "30", "40")]:
        yield "f_tail", f, one, two, f_tail(number(f), number(one), number(two))


with open(Path(__file__).with_name("expected.csv"), "w", newline="", encoding="utf-8") as file:
    out = csv.writer(file, lineterminator="\n")
    out.writerow(["function", "argument", "degrees_of_freedom", "denominator", "computed"])
    for name, argument, nu, denominator, value in rows():
        out.writerow([name, argument, nu, denominator, mp.nstr(value, 20)])
