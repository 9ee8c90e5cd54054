"""Renders figures that differ from the demo's in pose, proportions, lamp, primer, exposure and brush, to choose and judge constants on.

Usage: variants.py PARTS OUT [names,…]; PARTS holds one folder of meshes per sculpt (build.py). Per variant: a photo of
720×1080 with noise, one of the primer alone, the mask, the three TOML files, and truth at half that size: pictures as 8-bit
sRGB, the undercoat's reflectance as numbers. All of it is invented. Needs a graphics card (tracer.py)."""
import sys
import time
from pathlib import Path

import numpy as np
from PIL import Image

import optics
import tables
from camera import photo, picture, slug
from figures import figure
from optics import K1, decode
from tracer import STEPS, Setup, Tracer

SIZE, SHARE = (720, 1080), 2
# Schemes that are painted in the scene: over the drybrushed undercoat, and over the washed one.
PAINTED = {"lamplighter": (("Foglight", "Wick & Ember"), ("Gull Morning",)), "reedwarden": (("Black Water", "Newt & Iris"), ("Sedge Light",))}
# Sculpt, whether reflectances include the surface's own 4 %, and what differs.
VARIANTS = {
    "quay": ("lamplighter", False, dict(yaw=-22)),
    "sluice": ("reedwarden", False, dict(yaw=8, wash=(-0.03, 0.12, 0.80, 0.12))),
    "lowsun": ("lamplighter", False, dict(yaw=35, lamp=(170, -130, 60), size=15, fill=(-190, -120, 90), fill_power=0.08, room=0.03, black=0.03, card=0.35,
                                          scale=(1.15, 1.15, 0.9), wash=(-0.08, 0.10, 0.80, 0.20))),
    "overcast": ("reedwarden", True, dict(yaw=-25, lamp=(-30, -90, 210), size=150, fill_power=0.3, black=0.050, grey=0.24, white=0.84, card=0.6,
                                          first=(-0.1, 0.5), last=(0.3, 0.85), wash=(0.0, 0.16, 0.84, 0.10))),
    "harbour": ("lamplighter", False, dict(lamp=(-210, -80, 90), size=30, twist=25, black=0.02, white=0.75, card=0.45, first=(0.3, 0.9), last=(0.65, 1.2),
                                           wash=(-0.02, 0.25, 0.75, 0.06))),
    "flash": ("reedwarden", False, dict(yaw=30, lamp=(60, -220, 60), size=90, room=0.15, card=0.25, scale=(0.88, 0.88, 1.05), streaks=1.6, wash=(-0.10, 0.08, 0.80, 0.15))),
    "back": ("lamplighter", True, dict(yaw=188, lamp=(110, -150, 150), fill=(-190, -120, 70), black=0.050, grey=0.20, white=0.84, card=0.55, wash=(-0.05, 0.20, 0.84, 0.15))),
    "night": ("reedwarden", False, dict(yaw=165, lamp=(-140, -120, 140), size=20, fill_power=0.05, room=0.02, twist=-15, black=0.015, first=(0.1, 0.7), last=(0.4, 1.0),
                                        wash=(0.02, 0.20, 0.80, 0.25))),
    "cellar": ("lamplighter", False, dict(yaw=70, lamp=(-90, -120, 220), size=25, room=0.1, black=0.012, card=0.7, first=(0.0, 0.6), last=(0.4, 0.9), wash=(-0.05, 0.22, 0.80, 0.30))),
    "marsh": ("reedwarden", True, dict(yaw=-60, lamp=(200, -60, 120), size=40, fill=(-190, -120, 70), black=0.045, grey=0.24, white=0.80, card=0.4,
                                       first=(0.3, 0.85), last=(0.6, 1.1), wash=(-0.04, 0.30, 0.80, 0.10))),
    "pier": ("lamplighter", False, dict(yaw=5, lamp=(-150, -150, 80), size=120, fill_power=0.8, room=0.1, twist=-20, wash=(0.03, 0.15, 0.80, 0.08))),
    "eel": ("reedwarden", False, dict(yaw=-100, lamp=(-80, -200, 120), scale=(1.1, 1.1, 0.95), streaks=0.5, wash=(-0.08, 0.20, 0.80, 0.12))),
}


def painted(fig, scheme, included):
    """Per region: painted linear RGB over local grey, both with or without the surface's own reflection."""
    look = tables.lookup(fig, scheme)
    if not included:
        return look
    grey = np.linspace(0, 1, STEPS)
    inner = np.clip(grey - K1, 0, None)
    return {r: K1 + np.stack([np.interp(inner, grey, t[:, k]) for k in range(3)], 1) for r, t in look.items()}


def main(parts, out, only=None):
    for name, (sculpt, included, differs) in VARIANTS.items():
        if only and name not in only:
            continue
        one(name, sculpt, included, Setup(**differs), Path(parts) / sculpt, Path(out) / name)


def one(name, sculpt, included, setup, parts, out):
    start, fig = time.time(), figure(sculpt)
    truth, small = out / "truth", (SIZE[0] // SHARE, SIZE[1] // SHARE)
    truth.mkdir(parents=True, exist_ok=True)
    stage = Tracer(parts, fig, setup)

    index = np.rint(stage.render(*SIZE, 1, kind=2)[..., 0]).astype(int)
    colours = np.array([[0, 0, 0]] + [decode_code(fig.regions[n][4]) if n in fig.regions else [0, 0, 0] for n in stage.names], np.uint8)
    Image.fromarray(colours[index]).save(out / "mask.png", optimize=True)
    primer = {n: np.full((STEPS, 3), setup.black) for n in stage.names}
    photo(stage.render(*SIZE, 128, blur=0.5), out / "photo.jpg", 31, False)
    photo(stage.render(*SIZE, 128, looks=primer, blur=0.5), out / "primed.jpg", 32, False)
    for washed, end in ((False, ""), (True, "-washed")):
        np.save(truth / f"grey{end}.npy", stage.render(*small, 128, washed=washed, kind=1)[..., 0].astype(np.float16))
        picture(stage.render(*small, 512, washed=washed), truth / f"bare{end}.png")
        for scheme in PAINTED[sculpt][washed]:
            picture(stage.render(*small, 512, looks=painted(fig, scheme, included), washed=washed), truth / f"{slug(scheme)}.png")
    files(fig, sculpt, included, setup, out)
    print(name, f"{time.time() - start:.0f}s", flush=True)


def decode_code(code):
    return [int(code[i:i + 2], 16) for i in (1, 3, 5)]


def files(fig, sculpt, included, setup, out):
    """figure.toml without anything that only the scene knows; schemes.toml with the painted schemes alone."""
    regions = "".join(f'\n[[region]]\nname = "{n}"\nmask_colour = "{e[4]}"\n' for n, e in fig.regions.items())
    (out / "figure.toml").write_text(f'format = "velatura-figure/1"\nname = "{out.name}"\nphoto = "photo.jpg"\nmask = "mask.png"\n\n[undercoat]\nkind = "black-to-white"\n{regions}')
    text = tables.paints(fig.team)
    if included:
        text = with_surface(text)
    (out / "paints.toml").write_text(text)
    over_black, over_white = PAINTED[sculpt]
    chosen = [dict(s, undercoat="white-with-wash" if s["name"] in over_white else "as-photographed") for s in fig.team.SCHEMES if s["name"] in over_black + over_white]

    class Some:
        TEAM, TRUTH_NOTE, SCHEMES = fig.team.TEAM, "", chosen
    (out / "schemes.toml").write_text(tables.schemes(Some))


def with_surface(text):
    """Every code of a paints.toml as an instrument shows it that includes the surface's own reflection."""
    lines = []
    for line in text.splitlines():
        key, _, value = line.partition(" = ")
        if value.startswith('"#'):
            value = '"' + optics.hexcode(decode(value.strip('"')) + K1) + '"'
        lines.append(f"{key} = {value}" if value else line)
    return "\n".join(lines).replace('"excluded"', '"included"') + "\n"


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], sys.argv[3].split(",") if len(sys.argv) > 3 else None)
