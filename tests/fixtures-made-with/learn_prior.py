#!/usr/bin/env python3
"""Learn what paints are like: mean and covariance of ln K and ln S per wavelength band, from measured paints.

    python3 tests/fixtures-made-with/learn_prior.py --out prior.csv      # learn from all series of paints.csv
    python3 tests/fixtures-made-with/learn_prior.py --evaluate           # leave one series out, print the errors
    python3 tests/fixtures-made-with/learn_prior.py --leave-one-out --out tests/data/held_out_priors.csv
                                                                         # one prior per series, learned without it

Needs numpy. Deterministic. K and S are per unit of film (1 = as the sample was brushed), 31 bands, 400-700 nm.

Method. Each sample's ln K and ln S are fitted to its two measured spectra (finite Kubelka-Munk film over its own cards,
Saunderson's surface correction) under a Gaussian prior, which gives a mean and a covariance per sample; the prior is then
set to the mean and covariance of all samples, their own uncertainty included, and the fits are repeated (expectation
maximisation, here with the covariance widened, because a dozen pigments are not all there are).
"""
import argparse
import csv
import pathlib

import numpy as np

HERE = pathlib.Path(__file__).resolve().parent
BANDS = np.arange(400, 701, 10)
N = len(BANDS)
K1, K2 = 0.04, 0.60
FILL = (1 - K1) * (1 - K2)
FIELDS = (("over_black", "black_card"), ("over_white", "white_card"))

# Expectation maximisation.
ROUNDS = 4  # rounds of fitting before the last averaging
WIDEN = 2.0  # factor on the learned covariance
ROUGH = {"k": (0.10, 60.0), "s": (0.05, 120.0)}  # variance and length in nm of what no sample shows
FILM_VARIANCE = 1.0  # variance of ln film, added to every entry alike
FACTORS = 9  # columns kept, besides the film
# Observation.
SPECTRUM_DEVIATION = (0.001, 0.005)  # fixed part, part of the value
CODE_DEVIATION = 0.29  # of a code, in codes: rounding
DEFICIT_DEVIATION = 0.002  # how far the darkest bands may read below K1
DEFICIT_REACH = 0.002  # up to how much above K1 a band counts as darkest
# Search.
STEPS = 60
LONGEST_STEP = 3.0
SMALL_GAIN = 1e-7
SAME = np.ones(2 * N)


class Colour:
    """Reflectance to linear sRGB, XYZ, Lab, codes."""

    def __init__(self, weights):
        self.xyz = weights
        self.white = weights.sum(axis=0)
        primaries = np.array([[x / y, 1, (1 - x - y) / y] for x, y in ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))]).T
        matrix = primaries * np.linalg.solve(primaries, self.white)
        self.rgb = weights @ np.linalg.inv(matrix).T
        differences = np.diff(np.eye(N), axis=0)
        system = np.zeros((N + 3, N + 3))
        system[:N, :N] = differences.T @ differences
        system[:N, N:] = self.rgb
        system[N:, :N] = self.rgb.T
        self.smoothest = np.linalg.solve(system, np.eye(N + 3)[:, N:])[:N]

    def lab(self, reflectance):
        ratio = (reflectance @ self.xyz) / self.white
        f = np.where(ratio > 216 / 24389, np.cbrt(ratio), (24389 / 27 * ratio + 16) / 116)
        return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])

    def codes(self, reflectance):
        linear = np.clip(reflectance @ self.rgb, 0, 1)
        encoded = np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055)
        return np.round(encoded * 255)

    def spectrum(self, codes):
        """The smoothest reflectance that has these codes."""
        return np.clip(self.smoothest @ decode(codes), 0.0005, 1.0)


def decode(codes):
    encoded = codes / 255
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)


def linear_per_code(codes):
    encoded = codes / 255
    return np.where(encoded <= 0.04045, 1 / 12.92, 2.4 / 1.055 * ((encoded + 0.055) / 1.055) ** 1.4) / 255


def delta_e(one, two):
    """CIEDE2000."""
    (l1, a1, b1), (l2, a2, b2) = one, two
    chroma = (np.hypot(a1, b1) + np.hypot(a2, b2)) / 2
    stretch = 1.5 - 0.5 * np.sqrt(chroma**7 / (chroma**7 + 25.0**7))
    c1, c2 = np.hypot(a1 * stretch, b1), np.hypot(a2 * stretch, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1 * stretch)) % 360, np.degrees(np.arctan2(b2, a2 * stretch)) % 360
    grey = c1 * c2 == 0
    turn = 0.0 if grey else (h2 - h1 + 180) % 360 - 180
    hue = h1 + h2 if grey else (h1 + h2) / 2 if abs(h1 - h2) <= 180 else ((h1 + h2 + 360) / 2) % 360
    dh = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn / 2))
    lightness, c = (l1 + l2) / 2, (c1 + c2) / 2
    cosines = [np.cos(np.radians(n * hue + shift)) for n, shift in ((1, -30), (2, 0), (3, 6), (4, -63))]
    t = 1 + np.dot([-0.17, 0.24, 0.32, -0.20], cosines)
    sl = 1 + 0.015 * (lightness - 50) ** 2 / np.sqrt(20 + (lightness - 50) ** 2)
    sc, sh = 1 + 0.045 * c, 1 + 0.015 * c * t
    rotation = -np.sin(np.radians(60 * np.exp(-(((hue - 275) / 25) ** 2)))) * 2 * np.sqrt(c**7 / (c**7 + 25.0**7))
    x, y, z = (l2 - l1) / sl, (c2 - c1) / sc, dh / sh
    return float(np.sqrt(x * x + y * y + z * z + rotation * y * z))


def inside(measured):
    over = np.maximum(measured - K1, 0)
    return np.clip(over / (FILL + K2 * over), 0, 0.9999)


def outside(inner):
    return K1 + FILL * inner / (1 - K2 * inner)


def film(k, s, card, thickness=1.0):
    """Reflectance, inside the surface, of a film over a card (Kubelka 1948)."""
    root = np.sqrt(k * (k + 2 * s))
    e = np.exp(-2 * root * thickness)
    g = np.where(root * thickness > 1e-8, (1 - e) / np.maximum(root, 1e-300), 2 * thickness)
    return (((1 + e) - (s + k) * g) * card + s * g) / ((1 + e) + (s + k) * g - s * g * card)


def seen(theta, card, thickness=1.0):
    return outside(film(np.exp(theta[:N]), np.exp(theta[N:2 * N]), card, thickness))


def slopes(theta, card, step=1e-4):
    """Measured reflectance and its derivatives by ln K and ln S."""
    k, s = np.zeros(2 * N), np.zeros(2 * N)
    k[:N] = step
    s[N:] = step
    theta = theta[:2 * N]
    by_k = (seen(theta + k, card) - seen(theta - k, card)) / (2 * step)
    by_s = (seen(theta + s, card) - seen(theta - s, card)) / (2 * step)
    return seen(theta, card), by_k, by_s


def spectrum_model(sample, deviations=SPECTRUM_DEVIATION):
    """Whitened residuals of the two measured spectra."""
    diagonal = np.arange(N)

    def model(theta):
        residual, jacobian = np.empty(2 * N), np.zeros((2 * N, 2 * N))
        for row, (name, card) in zip((0, N), FIELDS):
            measured = np.maximum(sample[name], K1 + 0.0003)
            deviation = deviations[0] + deviations[1] * measured
            at, by_k, by_s = slopes(theta, inside(sample[card]))
            residual[row:row + N] = (at - measured) / deviation
            jacobian[row + diagonal, diagonal] = by_k / deviation
            jacobian[row + diagonal, N + diagonal] = by_s / deviation
        return residual, jacobian

    return model


def code_model(colour, fields):
    """Whitened residuals of codes; `fields` are (codes of the film, codes of its card). The last unknown is the deficit:
    by how much bands with nothing but the surface's reflection read below K1, because gloss differs."""
    fields = [(codes, inside(colour.spectrum(card))) for codes, card in fields]

    def model(theta):
        residual, jacobian = np.zeros(3 * len(fields)), np.zeros((3 * len(fields), 2 * N + 1))
        for index, (codes, card) in enumerate(fields):
            at, by_k, by_s = slopes(theta, card)
            dark = np.exp(-(at - K1) / DEFICIT_REACH)
            gain = 1 + theta[-1] * dark / DEFICIT_REACH
            deviation = CODE_DEVIATION * linear_per_code(codes)
            off = ((at - theta[-1] * dark) @ colour.rgb - decode(codes)) / deviation
            by = np.vstack([(gain * by_k)[:, None] * colour.rgb, (gain * by_s)[:, None] * colour.rgb, -dark @ colour.rgb])
            # A code at the end of its range was clipped: beyond it, anything fits.
            kept = ~(((codes <= 0) & (off < 0)) | ((codes >= 255) & (off > 0)))
            residual[3 * index:3 * index + 3] = off * kept
            jacobian[3 * index:3 * index + 3] = (by / deviation).T * kept[:, None]
        return residual, jacobian

    return model


def most_likely(mean, covariance, model):
    """theta = mean + covariance u, by linearising and solving in the space of the observations, with backtracking.
    Returns theta and its covariance."""
    u, theta = np.zeros(len(mean)), mean.copy()
    residual, jacobian = model(theta)
    cost = 0.5 * residual @ residual
    for _ in range(STEPS):
        information = jacobian @ covariance @ jacobian.T + np.eye(len(residual))
        step = jacobian.T @ np.linalg.solve(information, jacobian @ (theta - mean) - residual) - u
        share = min(1.0, LONGEST_STEP / max(np.abs(covariance @ step).max(), 1e-300))
        while True:
            next_u = u + share * step
            next_theta = mean + covariance @ next_u
            next_residual, next_jacobian = model(next_theta)
            next_cost = 0.5 * next_residual @ next_residual + 0.5 * next_u @ (next_theta - mean)
            if next_cost <= cost or share < 1e-4:
                break
            share *= 0.5
        if next_cost > cost:
            break
        gain = cost - next_cost
        u, theta, residual, jacobian, cost = next_u, next_theta, next_residual, next_jacobian, next_cost
        if gain < SMALL_GAIN * (1 + cost):
            break
    spread = covariance @ jacobian.T
    information = jacobian @ spread + np.eye(len(residual))
    return theta, covariance - spread @ np.linalg.solve(information, spread.T)


def kernel(variance, length):
    """Matern 3/2 covariance between bands."""
    distance = np.sqrt(3) * np.abs(BANDS[:, None] - BANDS[None, :]) / length
    return variance * (1 + distance) * np.exp(-distance)


def rough(k, s):
    covariance = np.zeros((2 * N, 2 * N))
    covariance[:N, :N] = kernel(*k)
    covariance[N:, N:] = kernel(*s)
    return covariance


def learn(samples):
    """Mean and covariance (the film's own direction left out)."""
    mean = np.concatenate([np.full(N, -1.0), np.zeros(N)])
    covariance = rough((4.0, 100.0), (2.0, 200.0))
    film_direction = np.outer(SAME, SAME)
    widened = covariance + 4 * film_direction
    for _ in range(ROUNDS + 1):
        fits = [most_likely(mean, widened, spectrum_model(sample)) for sample in samples]
        thetas = np.array([theta for theta, _ in fits])
        mean = thetas.mean(axis=0)
        off = thetas - mean
        covariance = WIDEN * (off.T @ off / len(fits) + np.mean([spread for _, spread in fits], axis=0))
        covariance += rough(ROUGH["k"], ROUGH["s"])
        widened = covariance + FILM_VARIANCE * film_direction
    return mean, covariance


def compact(covariance, count=FACTORS):
    """The covariance as `count` shared factors and a variance per entry of what they leave; the film is the last factor."""
    values, vectors = np.linalg.eigh(covariance)
    factors = (vectors * np.sqrt(np.maximum(values, 0)))[:, ::-1][:, :count]
    factors *= np.sign(factors[np.abs(factors).argmax(axis=0), np.arange(count)])
    variance = np.maximum(np.diag(covariance) - (factors**2).sum(axis=1), 1e-6)
    factors = np.column_stack([factors, np.sqrt(FILM_VARIANCE) * SAME])
    return np.vectorize(lambda x: float(f"{x:.6g}"))(variance), np.vectorize(lambda x: float(f"{x:.6g}"))(factors)


def fit_codes(colour, mean, covariance, fields):
    """ln K, ln S from codes: `fields` are (codes of the film, codes of its card)."""
    wider = np.zeros((2 * N + 1, 2 * N + 1))
    wider[:-1, :-1] = covariance
    wider[-1, -1] = DEFICIT_DEVIATION**2
    return most_likely(np.append(mean, 0.0), wider, code_model(colour, fields))[0]


def exact(sample):
    """ln K, ln S whose film shows the two measured spectra as near as can be, each band on its own; the wide prior decides
    only what the spectra leave open."""
    mean = np.concatenate([np.full(N, -1.0), np.zeros(N)])
    return most_likely(mean, 16 * np.eye(2 * N), spectrum_model(sample, (1e-4, 3e-4)))[0]


def load(path):
    samples = {}
    with open(path, newline="") as file:
        for row in csv.DictReader(file):
            sample = samples.setdefault(row["id"], {"id": row["id"], "series": row["series"]})
            sample[row["substrate"]] = np.array([float(row[str(band)]) for band in BANDS]) / 100
    return list(samples.values())


def evaluate(colour, samples):
    """Leave one series out: fit its see-through samples' codes, compare over greys with the fit of their spectra."""
    errors = {0.5: [], 1.0: [], 2.0: []}
    for series in sorted({sample["series"] for sample in samples}):
        def luminance(sample, name):
            return (sample[name] @ colour.xyz)[1]
        kept = [s for s in samples if s["series"] == series and luminance(s, "over_black") < 0.93 * luminance(s, "over_white")]
        if not kept:
            continue
        mean, covariance = learn([sample for sample in samples if sample["series"] != series])
        variance, factors = compact(covariance)
        covariance = factors @ factors.T + np.diag(variance)
        for sample in kept:
            codes = [(colour.codes(sample[film_name]), colour.codes(sample[card])) for film_name, card in FIELDS]
            truth, guess = exact(sample), fit_codes(colour, mean, covariance, codes)
            line = []
            for thickness, all_errors in errors.items():
                here = []
                for grey in (0.04, 0.05, 0.1, 0.2, 0.4, 0.6, 0.8):
                    card = inside(np.full(N, grey))
                    here.append(delta_e(*(colour.lab(seen(theta, card, thickness)) for theta in (truth, guess))))
                all_errors += here
                line.append(f"{np.mean(here):.2f}")
            print(f"{sample['id']}: mean dE at film 0.5, 1, 2: {' '.join(line)}")
    for thickness, values in errors.items():
        print(f"film {thickness}: mean {np.mean(values):.3f}, 95th percentile {np.percentile(values, 95):.3f}, max {np.max(values):.2f}")


SOURCE = (
    "# source: learned by tests/fixtures-made-with/learn_prior.py from tests/data/measured-paints (Geldof et al. 2018, doi "
    "10.1186/s40494-018-0181-6); licence: CC0; unit: ln of K and S per unit of film (1 = the drawdown)"
)
HEADER = "quantity,nm,mean,variance," + ",".join(f"f{i + 1}" for i in range(FACTORS + 1))


def table(samples):
    """The prior of these samples, a row per entry."""
    mean, covariance = learn(samples)
    variance, factors = compact(covariance)
    rows = []
    for index in range(2 * N):
        cells = [mean[index], variance[index], *factors[index]]
        rows.append(f"{'ks'[index // N]},{BANDS[index % N]}," + ",".join(f"{cell:.6g}" for cell in cells))
    return rows


def main():
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--paints", type=pathlib.Path, default=HERE.parent / "data" / "measured-paints" / "paints.csv")
    arguments.add_argument(
        "--weights", type=pathlib.Path, default=HERE.parent.parent / "crates" / "optics" / "data" / "weights.csv"
    )
    arguments.add_argument("--out", type=pathlib.Path, default=pathlib.Path("prior.csv"))
    arguments.add_argument("--evaluate", action="store_true", help="print leave-one-series-out errors, write nothing")
    arguments.add_argument("--leave-one-out", action="store_true", help="a prior per series, learned from the others")
    given = arguments.parse_args()
    samples = load(given.paints)
    colour = Colour(np.loadtxt(given.weights, delimiter=",", skiprows=2)[:, 1:])
    if given.evaluate:
        evaluate(colour, samples)
        return
    if given.leave_one_out:
        lines = [SOURCE.replace("learned", "each learned without the series in the first column"), "left_out," + HEADER]
        for series in sorted({sample["series"] for sample in samples}):
            rows = table([sample for sample in samples if sample["series"] != series])
            lines += [f"{series},{row}" for row in rows]
    else:
        lines = [SOURCE, HEADER, *table(samples)]
    given.out.write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
