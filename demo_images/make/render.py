"""Renders every picture of a figure. Usage: render.py FIGURE PARTS OUT [quality [names,…]]; quality 1 is the published one."""
import sys
import time
from pathlib import Path

import numpy as np
from PIL import Image

import tables
from camera import photo, picture, slug
from figures import figure
from optics import decode, encode
from scene import BLACK, STEPS, WHITE, Stage


def truth_file(team, scheme):
    """Where a scheme's truth lies; its name says so where the undercoat is not the photographed one."""
    washed = team.TRUTHS[scheme]
    return slug(scheme) + ("" if washed == team.WASHED else "-over-white" if washed else "-over-black")


def main(name, parts, out, quality=1.0, only=None):
    fig, out = figure(name), Path(out)
    team, regions, (W, H), SHARE = fig.team, fig.regions, fig.team.SIZE, fig.team.SHARE
    (out / "truth").mkdir(parents=True, exist_ok=True)
    raw = Path(parts) / "raw"
    raw.mkdir(exist_ok=True)
    tables.write(fig, out)
    stage, start = Stage(parts, fig), time.time()
    names = list(stage.tables)
    spp, fine = max(4, int(26 * quality)), max(8, int(200 * quality))

    def shot(name, width, height, samples, **kw):
        look = {k: kw.pop(k) for k in ("tables", "washed", "flat") if k in kw}
        if only and name not in only:
            return np.load(raw / f"{name}.npy") if (raw / f"{name}.npy").exists() else None
        stage.look(look.get("tables"), look.get("washed", team.WASHED), look.get("flat", False))
        x = stage.render(raw / "shot.exr", width, height, samples, **kw)
        np.save(raw / f"{name}.npy", x)
        print(name, f"{time.time() - start:.0f}s, {x.min():.5f}..{x.max():.4f}", flush=True)
        return x

    # Mask: one sample at each pixel's middle, no light, no blending.
    paint = {n: np.tile(decode(regions[n][4]) if n in regions else np.zeros(3), (STEPS, 1)) for n in names}
    x = shot("mask", W, H, 1, tables=paint, flat=True, denoise=False, filter_px=0.01)
    colours = np.array([[0, 0, 0]] + [[int(e[4][i:i + 2], 16) for i in (1, 3, 5)] for e in regions.values()], np.uint8)
    code = (encode(x) * 255 + 0.5).astype(int)
    index = np.abs(code[..., None, :] - colours.astype(int)).sum(-1).argmin(-1).astype(np.uint8)
    palette = list(colours.ravel())
    im = Image.fromarray(index, "P")
    im.putpalette([int(v) for v in palette])
    im.save(out / f"{team.PICTURE}-mask.png", optimize=True)
    blocks = index.reshape(H // SHARE, SHARE, W // SHARE, SHARE)
    low, high = blocks.min((1, 3)), blocks.max((1, 3))
    im = Image.fromarray(np.where(low == high, low, 0).astype(np.uint8), "P")
    im.putpalette([int(v) for v in palette])
    im.save(out / "truth" / "mask.png", optimize=True)

    size = (W // SHARE, H // SHARE)
    primer = {n: np.full((STEPS, 3), WHITE if team.WASHED else BLACK) for n in names}
    other = "black-to-white-bare" if team.WASHED else "white-with-wash-bare"
    todo = [("bare", {}), (other, dict(washed=not team.WASHED))]
    todo += [(truth_file(team, n), dict(tables=tables.lookup(fig, n), washed=washed)) for n, washed in team.TRUTHS.items()]
    # Albedo alone, for measuring only.
    shot("grey", *size, 256, flat=True, denoise=False, washed=False)
    shot("grey-washed", *size, 256, flat=True, denoise=False, washed=True)
    for name, look in todo:
        x = shot(name, *size, fine, **look)
        if x is not None:
            picture(x, out / "truth" / f"{name}.png")
    for name, seed, look in ((team.PICTURE, team.SEED, {}), (team.LIGHT_PICTURE, team.SEED + 1, dict(tables=primer))):
        x = shot(name, W, H, spp, filter_px=1.2, **look)
        if x is not None:
            photo(x, out / f"{name}.jpg", seed, team.TURNED)


if __name__ == "__main__":
    main(*sys.argv[1:4], float(sys.argv[4]) if len(sys.argv) > 4 else 1.0, sys.argv[5].split(",") if len(sys.argv) > 5 else None)
