"""What a film of an invented paint does over grey: two-constant Kubelka-Munk, finite film, Saunderson.

Written on its own, apart from the program it tests. Reflectances exclude the surface's own reflection.
Usage: optics.py FIGURE, which prints its paints' codes."""
import sys

import colour
import numpy as np

BANDS = np.arange(400, 701, 10)
K1, K2 = 0.04, 0.60


def hill(centre, width, high=1.0, right=None):
    w = np.where(BANDS < centre, width, right or width)
    return high * np.exp(-0.5 * ((BANDS - centre) / w) ** 2)


def slope(centre, width, high=1.0):
    """high at short wavelengths, falling to 0 past centre; a negative width turns it round."""
    return high / (1 + np.exp((BANDS - centre) / width))


CARD_BLACK, CARD_WHITE = "#1c1c1c", "#f0f0f0"


def decode(code):
    c = np.array([int(code[i:i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def encode(linear):
    x = np.clip(linear, 0, 1)
    return np.where(x <= 0.0031308, 12.92 * x, 1.055 * x ** (1 / 2.4) - 0.055)


def hexcode(linear):
    return "#" + "".join(f"{int(v):02x}" for v in np.floor(encode(linear) * 255 + 0.5))


def inside(r):
    return r / ((1 - K1) * (1 - K2) + K2 * r)


def outside(r):
    return (1 - K1) * (1 - K2) * r / (1 - K2 * r)


def film(rg, k, s, x):
    """Internal reflectance of a film of thickness x over an internal reflectance rg."""
    root = np.sqrt(k * (k + 2 * s))
    thin = root * x < 1e-6
    safe = np.where(s < 1e-9, 1e-9, s)
    a = (safe + k) / safe
    b = np.sqrt(np.maximum(a * a - 1, 1e-18))
    coth = 1 / np.tanh(np.clip(b * safe * x, 1e-9, 300))
    r = (1 - rg * (a - b * coth)) / (a - rg + b * coth)
    clear = rg * np.exp(-2 * k * x)                       # no scatter: light goes through twice
    white = (rg + s * x * (1 - rg)) / (1 + s * x * (1 - rg))   # no absorption
    r = np.where(s < 1e-6, clear, r)
    return np.where(thin, np.where(s < 1e-6, clear, white), r)


def complete(paints):
    """Paints as given, absorption kept above nothing, with the clear medium."""
    full = {n: (np.clip(k, 0.004, None), s) for n, (k, s) in paints.items()}
    full["medium"] = (np.zeros(BANDS.size), np.zeros(BANDS.size))
    return full


def mixture(paints, mix):
    total = sum(mix.values())
    return tuple(sum(paints[n][i] * v for n, v in mix.items()) / total for i in (0, 1))


def coated(paints, grey, coats):
    """Spectral reflectance of coats [(mix, film), ...], lowest first, over flat greys: array (..., bands)."""
    r = inside(np.repeat(np.atleast_1d(np.asarray(grey, float))[:, None], BANDS.size, 1))
    for mix, x in coats:
        r = film(r, *mixture(paints, mix), x)
    return outside(r)


def _weights():
    shape = colour.SpectralShape(400, 700, 10)
    cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    lamp = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
    w = cmfs.values * lamp.values[:, None]
    w /= w[:, 1].sum()
    to_rgb = colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB
    rgb = w @ to_rgb.T
    return rgb / rgb.sum(0)           # a flat spectrum of 1 is exactly (1, 1, 1)


WEIGHTS = _weights()


def linear_rgb(spectrum):
    return np.asarray(spectrum) @ WEIGHTS


def table(paints, coats, steps=1024):
    return np.clip(linear_rgb(coated(paints, np.linspace(0, 1, steps), coats)), 0, None)


def luminance(rgb):
    return rgb @ np.array([0.2126, 0.7152, 0.0722])


def over_cards(paints, coats):
    return [linear_rgb(coated(paints, decode(c)[0], coats))[0] for c in (CARD_BLACK, CARD_WHITE)]


if __name__ == "__main__":
    from figures import figure
    team = figure(sys.argv[1]).team
    for name in team.PAINTS:
        b, w = over_cards(team.PAINTS, [({name: 1}, 1.0)])
        tb, tw = over_cards(team.PAINTS, [({name: 1, team.WHITE: 4}, 1.0)])
        print(f"{name:14s} {hexcode(b)} {hexcode(w)}  CR {luminance(b) / luminance(w):.2f}  tint {hexcode(tb)} {hexcode(tw)}", w.min().round(4))
