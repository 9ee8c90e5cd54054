"""How far simple previews lie from the path-traced truth. Usage: measure.py FIGURE OUT RAW (RAW: render.py's raw folder, may be left out)."""
import sys
from pathlib import Path

import colour
import numpy as np
from PIL import Image, ImageOps

import tables
from figures import figure
from optics import CARD_WHITE, coated, decode, encode, linear_rgb
from render import truth_file
from scene import BLACK, WHITE


def lin(path):
    x = np.asarray(ImageOps.exif_transpose(Image.open(path)).convert("RGB")).astype(float) / 255
    return np.where(x <= 0.04045, x / 12.92, ((x + 0.055) / 1.055) ** 2.4)


def small(x, share):
    return x.reshape(x.shape[0] // share, share, x.shape[1] // share, share, 3).mean((1, 3))


def error(a, b):
    a, b = (np.floor(encode(v) * 255 + 0.5) / 255 for v in (a, b))
    dec = lambda x: np.where(x <= 0.04045, x / 12.92, ((x + 0.055) / 1.055) ** 2.4)
    m = colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ
    white = np.array([0.3127, 0.3290])
    la, lb = (colour.XYZ_to_Lab(dec(v) @ m.T, white) for v in (a, b))
    return colour.delta_E(la, lb, method="CIE 2000")


def main(name, out, raw=None):
    fig, out = figure(name), Path(out)
    team, primer = fig.team, WHITE if fig.team.WASHED else BLACK
    mask = np.asarray(Image.open(out / "truth/mask.png").convert("RGB")).astype(int)
    where = {n: np.abs(mask - np.array([int(e[4][i:i + 2], 16) for i in (1, 3, 5)])).max(-1) == 0 for n, e in fig.regions.items()}
    photo, primed = (small(lin(out / f"{p}.jpg"), team.SHARE) for p in (team.PICTURE, team.LIGHT_PICTURE))
    bare = lin(out / "truth/bare.png")
    full = lin(out / f"{team.PICTURE}.jpg")
    any_ = np.any(list(where.values()), 0)
    print("pixels", {n: int(w.sum()) for n, w in where.items()})
    print(f"photo averaged against bare truth: {error(photo, bare)[any_].mean():.2f}; brightest photo code {encode(full).max() * 255:.0f}")
    for name, washed in team.TRUTHS.items():
        truth = lin(out / f"truth/{truth_file(team, name)}.png")
        look = tables.lookup(fig, name)
        kinds = {"multiply": photo.copy()}
        if raw:
            under = bare if washed == team.WASHED else lin(out / f"truth/{'white-with-wash' if washed else 'black-to-white'}-bare.png")
            grey = np.load(Path(raw) / ("grey-washed.npy" if washed else "grey.npy"))
            light = under / np.maximum(grey, 1e-4)
            kinds["everything known"] = under.copy()
            if washed == team.WASHED:
                lit = primed / primer
                kinds["light photo, right paint"] = photo.copy()
        s = next(s for s in team.SCHEMES if s["name"] == name)
        coated_ = np.zeros_like(any_)
        for r, table in look.items():
            w = where[r]
            coated_ |= w
            over = decode(CARD_WHITE)[:1]
            white = linear_rgb(coated(team.PAINTS, over, [(k["mix"], k["film"]) for k in s["coats"] if k["region"] == r]))[0]
            kinds["multiply"][w] = photo[w] * white
            at = np.linspace(0, 1, len(table))
            apply = lambda g: np.stack([np.interp(g, at, table[:, i]) for i in range(3)], -1)
            if raw:
                kinds["everything known"][w] = apply(grey[w][:, 0]) * light[w]
                if washed == team.WASHED:
                    l = np.maximum(lit[w].mean(-1), 1e-3)
                    kinds["light photo, right paint"][w] = apply(np.clip(photo[w].mean(-1) / l, 0, 1)) * l[:, None]
        for kind, x in kinds.items():
            e = error(x, truth)[coated_]
            print(f"{name:14s} {kind:26s} mean {e.mean():6.2f}  p95 {np.quantile(e, 0.95):6.2f}   "
                  + " ".join(f"{r} {error(x, truth)[where[r]].mean():.1f}" for r in look))
    if raw:
        g = np.load(Path(raw) / "grey.npy")[..., 0][any_]
        print("local grey, deciles:", np.quantile(g, np.linspace(0, 1, 11)).round(3))
        g = np.load(Path(raw) / "grey-washed.npy")[..., 0][any_]
        print("washed grey, deciles:", np.quantile(g, np.linspace(0, 1, 11)).round(3))


if __name__ == "__main__":
    main(*sys.argv[1:])
