"""Models of mixtures that were tried beside the one in crates/optics, on the same folds: prints the figures that the docs of
mixture.rs give for what was not kept.

    python3 tests/fixtures-made-with/mixture_trials.py

Needs numpy; reads tests/data/measured-paints and learn_prior.py. Deterministic; about a minute. Written apart from the Rust.
Each of seven series in turn, under a prior learned without it: its pure paint, zinc white, and one tint of the two are
fitted, the other mixtures with white predicted. The departure is always allowed here.
"""
import csv

import numpy as np

import learn_prior as lp

np.seterr(all="ignore")
ROOT = lp.HERE.parent.parent
COLOUR = lp.Colour(np.loadtxt(ROOT / "crates/optics/data/weights.csv", delimiter=",", skiprows=2)[:, 1:])
PATH = lp.HERE.parent / "data/measured-paints/paints.csv"
SAMPLES = {sample["id"]: sample for sample in lp.load(PATH)}
for row in csv.DictReader(open(PATH, newline="")):
    parts = dict(zip(row["components"].split("-"), map(float, row["parts"].split("-"))))
    SAMPLES[row["id"]]["share"] = {name: part / sum(parts.values()) for name, part in parts.items() if part > 0}
SERIES = ("01", "03", "05", "09", "11", "13", "15")
WHITE, WHITE_DRAWDOWN = "ZincWhite", "07A"
NOT_AS_TINTS = {"13F", "15B"}
N = 2 * lp.N
DEVIATION, DOUBT = (0.001, 0.005), 3.0
FADE = 0.01
# theta: the paint, white, their deficits, ln strength of the paint, departure, deficit of the tint
PAINT, PALE, DEFICITS, STRENGTH, DEPARTURE, TINT_DEFICIT = 0, N, 2 * N, 2 * N + 2, 2 * N + 3, 3 * N + 3


def departure_covariance(film):
    covariance = lp.rough((0.3, 100.0), (0.1, 100.0))
    return covariance + film * np.ones((N, N))


def prior_of(series):
    mean, covariance = lp.learn([s for s in SAMPLES.values() if s["series"] != series])
    variance, factors = lp.compact(covariance)
    return mean, factors @ factors.T + np.diag(variance)


def field_model(sample, codes):
    """Residuals of a sample's two fields and their derivatives by ln K, ln S and the deficit."""
    if codes:
        return lp.code_model(COLOUR, [(COLOUR.codes(sample[name]), COLOUR.codes(sample[card])) for name, card in lp.FIELDS])
    plain = lp.spectrum_model(sample, DEVIATION)

    def model(theta):
        residual, jacobian = plain(theta[:N])
        return residual, np.column_stack([jacobian, np.zeros(len(residual))])

    return model


def plain_sum(theta, share):
    """ln K, ln S of the sum, its derivatives by the paint's own, by white's, and by ln strength."""
    strong = share * np.exp(theta[STRENGTH])
    q = strong / (strong + 1 - share)
    one, other = q * np.exp(theta[PAINT:PAINT + N]), (1 - q) * np.exp(theta[PALE:PALE + N])
    part = one / (one + other)
    return np.log(one + other), part, 1 - part, part - q


def fit(series, tint, codes, prior, joint=False, departure_mean=None, strength_mean=0.0):
    samples = [SAMPLES[series + "A"], SAMPLES[WHITE_DRAWDOWN]]
    share = next(value for name, value in SAMPLES[tint]["share"].items() if name != WHITE)
    models = [field_model(sample, codes) for sample in samples]
    tint_model = field_model(SAMPLES[tint], codes)
    size = TINT_DEFICIT + 1
    mean, covariance = np.zeros(size), np.zeros((size, size))
    for at in (PAINT, PALE):
        mean[at:at + N] = prior[0]
        covariance[at:at + N, at:at + N] = prior[1]
    for at in (DEFICITS, DEFICITS + 1, TINT_DEFICIT):
        covariance[at, at] = lp.DEFICIT_DEVIATION**2
    mean[STRENGTH], covariance[STRENGTH, STRENGTH] = strength_mean, 1.0
    covariance[DEPARTURE:DEPARTURE + N, DEPARTURE:DEPARTURE + N] = departure_covariance(0.09)
    if departure_mean is not None:
        mean[DEPARTURE:DEPARTURE + N] = departure_mean
    if not joint:
        alone = np.zeros((N + 1, N + 1))
        alone[:N, :N], alone[N, N] = prior[1], lp.DEFICIT_DEVIATION**2
        theta = lp.most_likely(np.append(prior[0], 0.0), alone, models[1])[0]
        mean[PALE:PALE + N] = theta[:N]
        covariance[PALE:PALE + N, PALE:PALE + N] = 1e-12 * np.eye(N)

    def model(theta):
        residuals, rows = [], []
        for at, deficit, one in ((PAINT, DEFICITS, models[0]), (PALE, DEFICITS + 1, models[1])):
            residual, slope = one(np.append(theta[at:at + N], theta[deficit]))
            jacobian = np.zeros((len(residual), size))
            jacobian[:, at:at + N], jacobian[:, deficit] = slope[:, :N], slope[:, N]
            residuals.append(residual)
            rows.append(jacobian)
        total, by_paint, by_white, by_strength = plain_sum(theta, share)
        residual, slope = tint_model(np.append(total + theta[DEPARTURE:DEPARTURE + N], theta[TINT_DEFICIT]))
        jacobian = np.zeros((len(residual), size))
        jacobian[:, PAINT:PAINT + N] = slope[:, :N] * by_paint
        jacobian[:, PALE:PALE + N] = slope[:, :N] * by_white
        jacobian[:, STRENGTH] = slope[:, :N] @ by_strength
        jacobian[:, DEPARTURE:DEPARTURE + N], jacobian[:, TINT_DEFICIT] = slope[:, :N], slope[:, N]
        residuals.append(residual / DOUBT)
        rows.append(jacobian / DOUBT)
        return np.concatenate(residuals), np.vstack(rows)

    lp.STEPS = 100
    return lp.most_likely(mean, covariance, model)[0]


def with_white(series):
    return [i for i, s in SAMPLES.items() if s["series"] == series and WHITE in s["share"] and len(s["share"]) == 2]


def run(title, priors, carry=lambda share, tint_share: 1.0, means=None, **options):
    cells = []
    for codes in (False, True):
        errors = []
        for series in SERIES:
            for tint in with_white(series):
                if tint in NOT_AS_TINTS:
                    continue
                extra = means(series, codes) if means else {}
                theta = fit(series, tint, codes, priors[series], **extra, **options)
                for target in with_white(series):
                    if target == tint:
                        continue
                    white, tint_white = SAMPLES[target]["share"][WHITE], SAMPLES[tint]["share"][WHITE]
                    fade = min(1.0, min(white, 1 - white) / FADE)
                    departure = theta[DEPARTURE:DEPARTURE + N] * fade * carry(white, tint_white)
                    total = plain_sum(theta, 1 - white)[0] + departure
                    for name, card in lp.FIELDS:
                        shown = lp.seen(total, lp.inside(SAMPLES[target][card]))
                        errors.append(lp.delta_e(COLOUR.lab(shown), COLOUR.lab(SAMPLES[target][name])))
        cells.append(f"{np.median(errors):.2f} / {np.mean(errors):.2f}")
    print(f"{title:62} spectra {cells[0]}, codes {cells[1]}", flush=True)


def main():
    priors = {series: prior_of(series) for series in SERIES}

    def ln_ratio(white):
        return np.log(white / (1 - white))

    run("kept: departure carried whole", priors)
    run("the white fitted again with each tint", priors, joint=True)
    run("departure dies away with ln ratio, over 4", priors, lambda a, b: np.exp(-abs(ln_ratio(a) - ln_ratio(b)) / 4))
    run("departure follows the root of the product of shares", priors, lambda a, b: min(3, np.sqrt(a * (1 - a) / (b * (1 - b)))))
    found = {}
    for codes in (False, True):
        for series in SERIES:
            for tint in with_white(series):
                if tint not in NOT_AS_TINTS:
                    found[codes, series, tint] = fit(series, tint, codes, priors[series])

    def others(series, codes):
        return np.array([theta for (some, other, _), theta in found.items() if some == codes and other != series])

    run("prior mean of departures: the other series' mean", priors,
        means=lambda series, codes: {"departure_mean": others(series, codes)[:, DEPARTURE:DEPARTURE + N].mean(axis=0)})
    run("prior mean of ln strength: the other series' mean", priors,
        means=lambda series, codes: {"strength_mean": others(series, codes)[:, STRENGTH].mean()})


if __name__ == "__main__":
    main()
