"""The schemes as data, and paints.toml, schemes.toml and figure.toml written from them and from the spectra."""
from pathlib import Path

import optics
from optics import CARD_BLACK, CARD_WHITE, PAINTS, WHITE, hexcode, over_cards

REGION_ORDER = ("coat", "hood", "face", "hands", "belt", "boots", "pole", "lantern")
TINT = (1, 4)


def m(medium=0, **parts):
    mix = {k.replace("_", " "): v for k, v in parts.items()}
    if medium:
        mix["medium"] = medium
    return mix


def c(region, mix, film=1.0, where=None, pooling=None):
    return dict(region=region, mix=mix, film=film, where=where, pooling=pooling)


SCHEMES = [
    dict(name="Foglight", coats=[
        c("coat", m(1, Deep_Eel=3)), c("hood", m(1, Oil_Amber=3)), c("face", m(1, Skin_Ochre=3)),
        c("hands", m(1, Skin_Ochre=3)), c("belt", m(1, Rust_Bark=3)), c("boots", m(2, Rust_Bark=2, Tar_Violet=1)),
        c("pole", m(2, Rust_Bark=1, Oil_Amber=1)), c("lantern", m(1, Oil_Amber=4), 0.8)]),
    dict(name="Wick & Ember", coats=[
        c("coat", m(1, Oil_Amber=2), 0.7), c("coat", m(1, Lantern_Red=3)), c("hood", m(1, Harbour_Dusk=2, Tar_Violet=1)),
        c("face", m(3, Skin_Ochre=5, Lantern_Red=1)), c("hands", m(3, Skin_Ochre=5, Lantern_Red=1)),
        c("belt", m(1, Oil_Amber=1, Rust_Bark=1)), c("boots", m(1, Harbour_Dusk=2, Rust_Bark=1), 0.8),
        c("pole", m(2, Rust_Bark=3), 0.8), c("lantern", m(1, Reed_Green=2, Oil_Amber=1))]),
    dict(name="Gull Morning", undercoat="white-with-wash", coats=[
        c("coat", m(3, Harbour_Dusk=2), 0.8), c("hood", m(2, Oil_Amber=3)), c("face", m(2, Skin_Ochre=2), 0.8),
        c("hands", m(2, Skin_Ochre=2), 0.8), c("belt", m(1, Lantern_Red=2)), c("boots", m(2, Rust_Bark=1, Oil_Amber=1)),
        c("pole", m(3, Oil_Amber=1, Rust_Bark=1)), c("lantern", m(2, Reed_Green=2))]),
    dict(name="Low Tide", coats=[
        c("coat", m(3, Fog_Grey=2, Reed_Green=2)), c("coat", m(2, Deep_Eel=3), 1.0, "recesses", 0.7),
        c("hood", m(3, Fog_Grey=2, Rust_Bark=1)), c("face", m(2, Skin_Ochre=3, Fog_Grey=1)),
        c("hands", m(2, Skin_Ochre=3, Fog_Grey=1)), c("belt", m(2, Rust_Bark=2, Fog_Grey=1)),
        c("boots", m(1, Tar_Violet=1, Fog_Grey=1)), c("pole", m(2, Fog_Grey=1, Rust_Bark=1)), c("lantern", m(2, Oil_Amber=2, Fog_Grey=1))]),
    dict(name="Night Bell", finish="satin", coats=[
        c("coat", m(1, Harbour_Dusk=4, Tar_Violet=1), 1.3), c("coat", m(6, Fog_Grey=1, Harbour_Dusk=1), 0.5, "raised"),
        c("hood", m(1, Tar_Violet=3), 1.2), c("face", m(2, Skin_Ochre=3, Tar_Violet=1), 0.8),
        c("hands", m(2, Skin_Ochre=3, Tar_Violet=1), 0.8), c("belt", m(1, Tar_Violet=1, Rust_Bark=2)),
        c("boots", m(1, Harbour_Dusk=1, Rust_Bark=2), 1.2), c("pole", m(1, Tar_Violet=1, Rust_Bark=3)), c("lantern", m(1, Oil_Amber=3))]),
    dict(name="Reed Cutter", coats=[
        c("coat", m(2, Reed_Green=3)), c("hood", m(2, Rust_Bark=2, Oil_Amber=1)), c("face", m(3, Skin_Ochre=4, Oil_Amber=1)),
        c("hands", m(3, Skin_Ochre=4, Oil_Amber=1)), c("belt", m(1, Lantern_Red=2, Rust_Bark=1)), c("boots", m(2, Rust_Bark=3)),
        c("pole", m(2, Oil_Amber=2, Reed_Green=1)), c("lantern", m(2, Deep_Eel=2))]),
    dict(name="Plum Weather", coats=[
        c("coat", m(4, Tar_Violet=2, Lantern_Red=1)), c("hood", m(3, Fog_Grey=3, Tar_Violet=1), 0.8), c("face", m(2, Skin_Ochre=3)),
        c("hands", m(1, Rust_Bark=2, Skin_Ochre=2)), c("belt", m(2, Deep_Eel=2)), c("boots", m(1, Tar_Violet=2, Rust_Bark=1)),
        c("pole", m(3, Fog_Grey=2), 0.7), c("lantern", m(1, Oil_Amber=2), 0.9, "upper"), c("lantern", m(2, Lantern_Red=1), 0.6, "recesses", 0.5)]),
    dict(name="Regatta Day", undercoat="plain-white", finish="gloss", coats=[
        c("coat", m(2, Lantern_Red=2)), c("hood", m(2, Harbour_Dusk=2)), c("face", m(3, Skin_Ochre=2)), c("hands", m(3, Skin_Ochre=2)),
        c("belt", m(1, Oil_Amber=3)), c("boots", m(1, Harbour_Dusk=2, Tar_Violet=1)), c("pole", {WHITE: 1, "medium": 2}, 0.6),
        c("lantern", m(1, Oil_Amber=2))]),
    dict(name="Heron Post", undercoat="white-with-wash", coats=[
        c("coat", m(5, Fog_Grey=2, Harbour_Dusk=1), 0.8, None, 0.3), c("hood", m(3, Deep_Eel=2)), c("face", m(2, Rust_Bark=2, Skin_Ochre=1)),
        c("hands", m(2, Rust_Bark=2, Skin_Ochre=1)), c("belt", m(3, Oil_Amber=2)), c("boots", m(3, Deep_Eel=1, Tar_Violet=1)),
        c("lantern", m(2, Lantern_Red=2))]),
    dict(name="Copper Sluice", coats=[
        c("coat", m(1, Oil_Amber=3, Rust_Bark=2)), c("coat", m(5, Lantern_Red=1), 0.6, None, 0.5), c("hood", m(1, Deep_Eel=2, Reed_Green=1)),
        c("face", m(1, Rust_Bark=2, Skin_Ochre=2)), c("hands", m(1, Rust_Bark=2, Skin_Ochre=2)), c("belt", m(2, Tar_Violet=1, Fog_Grey=1)),
        c("boots", m(1, Deep_Eel=1, Rust_Bark=2)), c("pole", m(1, Rust_Bark=2), 0.7), c("lantern", m(2, Deep_Eel=1, Fog_Grey=1))]),
]

NOTE = """# Demo data of Velatura. Every value in this file is INVENTED: no real paint, maker or product stands behind it.
"""


def paints():
    lines = [NOTE + """# Made by make/tables.py: smooth absorption and scatter spectra (400-700 nm, 10 nm) in make/optics.py, a film of
# thickness 1 over each card by Kubelka-Munk with Saunderson's correction, surface reflection excluded, CIE 1931 2 degree
# observer and D65, rounded to 8-bit sRGB codes. Names belong to the Lamplighters' harbour.
format = "velatura-paints/1"

[cards]"""]
    lines += [f'black = "{CARD_BLACK}"', f'white = "{CARD_WHITE}"', 'specular = "excluded"']
    for name in PAINTS:
        if name == "medium":
            continue
        b, w = (hexcode(v) for v in over_cards([({name: 1}, 1.0)]))
        lines += ["", "[[paint]]", f'name = "{name}"', f'over_black = "{b}"', f'over_white = "{w}"', "owned = true"]
        if name != WHITE:
            b, w = (hexcode(v) for v in over_cards([({name: TINT[0], WHITE: TINT[1]}, 1.0)]))
            lines += ["", "[[paint.tint]]", f'with = "{WHITE}"', f"parts = [{TINT[0]}, {TINT[1]}]", f'over_black = "{b}"', f'over_white = "{w}"']
    return "\n".join(lines) + "\n"


def schemes():
    lines = [NOTE + """# Ten schemes of one team, written by make/tables.py. "Foglight", "Wick & Ember" and (over white) "Gull Morning" have a
# path-traced truth in truth/.
format = "velatura-schemes/1\""""]
    for s in SCHEMES:
        lines += ["", "[[scheme]]", f'name = "{s["name"]}"', 'team = "Lamplighters"', f'undercoat = "{s.get("undercoat", "as-photographed")}"',
                  f'finish = "{s.get("finish", "matte")}"']
        for k in s["coats"]:
            mix = ", ".join((f'"{n}"' if " " in n else n) + f" = {v}" for n, v in k["mix"].items())
            lines += ["", "[[scheme.coat]]", f'region = "{k["region"]}"', f"mix = {{ {mix} }}", f"film = {k['film']}"]
            if k["where"]:
                lines.append(f'where = "{k["where"]}"')
            if k["pooling"] is not None:
                lines.append(f"pooling = {k['pooling']}")
    return "\n".join(lines) + "\n"


def figure(regions, black, white):
    lines = [NOTE + f"""# The figure is path-traced from a sculpt of our own (make/); its undercoat's values are those put into the scene.
format = "velatura-figure/1"
name = "Lamplighter with a pole"
photo = "lamplighter.jpg"
mask = "lamplighter-mask.png"
height_mm = 32
count = 12

[undercoat]
kind = "black-to-white"
black = "{hexcode([black] * 3)}"
white = "{hexcode([white] * 3)}"
light_photo = "primed.jpg\""""]
    for name, entry in regions.items():
        lines += ["", "[[region]]", f'name = "{name}"', f'mask_colour = "{entry[4]}"']
    return "\n".join(lines) + "\n"


def lookup(scheme_name):
    """Per region: painted linear RGB over local grey 0..1."""
    s = next(s for s in SCHEMES if s["name"] == scheme_name)
    assert all(k["where"] is None and k["pooling"] is None for k in s["coats"]) and s.get("finish", "matte") == "matte"
    return {r: optics.table([(k["mix"], k["film"]) for k in s["coats"] if k["region"] == r]) for r in REGION_ORDER
            if any(k["region"] == r for k in s["coats"])}


def write(folder):
    from scene import BLACK, WHITE as TOP
    from sculpt import REGIONS
    folder = Path(folder)
    (folder / "paints.toml").write_text(paints())
    (folder / "schemes.toml").write_text(schemes())
    (folder / "figure.toml").write_text(figure(REGIONS, BLACK, TOP))
