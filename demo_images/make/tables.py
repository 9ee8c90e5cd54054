"""The schemes as data, and paints.toml, schemes.toml and figure.toml written from them and from the spectra."""
from pathlib import Path

import optics
from optics import CARD_BLACK, CARD_WHITE, hexcode, luminance, over_cards

TINT = (1, 4)


def m(medium=0, **parts):
    mix = {k.replace("_", " "): v for k, v in parts.items()}
    if medium:
        mix["medium"] = medium
    return mix


def c(region, mix, film=1.0, where=None, pooling=None):
    return dict(region=region, mix=mix, film=film, where=where, pooling=pooling)


NOTE = """# Demo data of Velatura. Every value in this file is INVENTED: no real paint, maker or product stands behind it.
"""


def paints(team):
    lines = [NOTE + f"""# Made by make/tables.py: smooth absorption and scatter spectra (400-700 nm, 10 nm) in make/optics.py, a film of
# thickness 1 over each card by Kubelka-Munk with Saunderson's correction, surface reflection excluded, CIE 1931 2 degree
# observer and D65, rounded to 8-bit sRGB codes. {team.NAMES}
format = "velatura-paints/1"

[cards]"""]
    lines += [f'black = "{CARD_BLACK}"', f'white = "{CARD_WHITE}"', 'specular = "excluded"']
    for name in team.PAINTS:
        if name == "medium":
            continue
        black, white = over_cards(team.PAINTS, [({name: 1}, 1.0)])
        lines += ["", "[[paint]]", f'name = "{name}"']
        owned = "false" if name in getattr(team, "UNOWNED", ()) else "true"
        if name in getattr(team, "CHIPS", ()):      # only its colour, and how well it hides
            lines += [f'colour = "{hexcode(white)}"', f"contrast_ratio = {luminance(black) / luminance(white):.2f}", f"owned = {owned}"]
            continue
        lines += [f'over_black = "{hexcode(black)}"', f'over_white = "{hexcode(white)}"', f"owned = {owned}"]
        if name != team.WHITE:
            b, w = (hexcode(v) for v in over_cards(team.PAINTS, [({name: TINT[0], team.WHITE: TINT[1]}, 1.0)]))
            lines += ["", "[[paint.tint]]", f'with = "{team.WHITE}"', f"parts = [{TINT[0]}, {TINT[1]}]", f'over_black = "{b}"', f'over_white = "{w}"']
    return "\n".join(lines) + "\n"


def schemes(team):
    lines = [NOTE + f"""# Ten schemes of one team, written by make/tables.py. {team.TRUTH_NOTE}
format = "velatura-schemes/1\""""]
    for s in team.SCHEMES:
        lines += ["", *([f"# {s['note']}"] if "note" in s else []), "[[scheme]]", f'name = "{s["name"]}"', f'team = "{team.TEAM}"',
                  f'undercoat = "{s.get("undercoat", "as-photographed")}"', f'finish = "{s.get("finish", "matte")}"']
        for k in s["coats"]:
            mix = ", ".join((f'"{n}"' if " " in n else n) + f" = {v}" for n, v in k["mix"].items())
            lines += ["", "[[scheme.coat]]", f'region = "{k["region"]}"', f"mix = {{ {mix} }}", f"film = {k['film']}"]
            if k["where"]:
                lines.append(f'where = "{k["where"]}"')
            if k["pooling"] is not None:
                lines.append(f"pooling = {k['pooling']}")
    return "\n".join(lines) + "\n"


def figure_file(figure, black, white):
    team = figure.team
    points = [f'white = "{hexcode([white] * 3)}"']
    if not team.WASHED:
        points.insert(0, f'black = "{hexcode([black] * 3)}"')
    lines = [NOTE + f"""# The figure is path-traced from a sculpt of our own (make/); its undercoat's values are those put into the scene.
format = "velatura-figure/1"
name = "{team.NAME}"
photo = "{team.PICTURE}.jpg"
mask = "{team.PICTURE}-mask.png"
height_mm = {team.HEIGHT_MM}
count = {team.COUNT}

[undercoat]
kind = "{"white-with-wash" if team.WASHED else "black-to-white"}\""""]
    lines += points + [f'light_photo = "{team.LIGHT_PICTURE}.jpg"']
    for name, entry in figure.regions.items():
        lines += ["", "[[region]]", f'name = "{name}"', f'mask_colour = "{entry[4]}"']
    return "\n".join(lines) + "\n"


def lookup(figure, scheme_name):
    """Per region: painted linear RGB over local grey 0..1."""
    team = figure.team
    s = next(s for s in team.SCHEMES if s["name"] == scheme_name)
    assert all(k["where"] is None and k["pooling"] is None for k in s["coats"]) and s.get("finish", "matte") == "matte"
    return {r: optics.table(team.PAINTS, [(k["mix"], k["film"]) for k in s["coats"] if k["region"] == r]) for r in figure.regions
            if any(k["region"] == r for k in s["coats"])}


def write(figure, folder):
    from scene import BLACK, WHITE
    folder = Path(folder)
    (folder / "paints.toml").write_text(paints(figure.team))
    (folder / "schemes.toml").write_text(schemes(figure.team))
    (folder / "figure.toml").write_text(figure_file(figure, BLACK, WHITE))
