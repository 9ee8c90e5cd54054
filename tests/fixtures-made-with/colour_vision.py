#!/usr/bin/env python3
"""Write the Machado matrices that the optics room ships, and colours seen by other eyes as two other libraries compute them.

    python3 tests/fixtures-made-with/colour_vision.py

Needs numpy, colour-science (BSD-3-Clause), colorspacious (MIT) and daltonlens (MIT); their versions go into the files'
first lines. Deterministic: the same versions write the same bytes.
"""
import importlib.metadata
import pathlib
import warnings

warnings.filterwarnings("ignore")
import colorspacious  # noqa: E402
import colour  # noqa: E402
import daltonlens.convert  # noqa: E402
import daltonlens.simulate as simulate  # noqa: E402
import numpy as np  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
VERSION = {name: importlib.metadata.version(name) for name in ("colour-science", "colorspacious", "daltonlens")}
ANOMALY = {"protan": "Protanomaly", "deutan": "Deuteranomaly", "tritan": "Tritanomaly"}
CODES = "ffffff 808080 000000 ff0000 00ff00 0000ff c98318 3a2207 5fa8a0 2b6cb0 d53f8c 4a0e4e 9f7a14 0f3d2e b0413e 4f7942".split()
SEVERITIES = (0.0, 0.25, 0.6, 0.95, 1.0)


def write(path, note, header, rows):
    lines = [f"# {note}", ",".join(header)]
    lines += [",".join(cell if isinstance(cell, str) else f"{cell + 0.0:.10g}" for cell in row) for row in rows]
    path.write_text("\n".join(lines) + "\n")
    print(f"{path.name}: {len(rows)} rows")


def machado_matrices():
    tables = colour.blindness.CVD_MATRICES_MACHADO2010
    for deficiency, name in ANOMALY.items():
        for severity in sorted(tables[name]):
            yield [deficiency, f"{severity:.1f}", *np.asarray(tables[name][severity]).ravel()]


def seen_by_machado(linear, deficiency, severity):
    """By colorspacious, which interpolates between the published severities by itself."""
    space = {"name": "sRGB1+CVD", "cvd_type": ANOMALY[deficiency].lower(), "severity": severity * 100}
    # Its way through encoded sRGB is undone: what is compared is the matrix on linear light.
    encoded = colorspacious.cspace_convert(linear, "sRGB1-linear", "sRGB1")
    return colorspacious.cspace_convert(encoded, space, "sRGB1-linear")


def seen_by_vienot(linear, deficiency):
    """By DaltonLens, which projects on the plane through black, blue and yellow in the paper's own cone space."""
    way = simulate.Simulator_Vienot1999(daltonlens.convert.LMSModel_Vienot1999_SmithPokorny75())
    kind = {"protan": simulate.Deficiency.PROTAN, "deutan": simulate.Deficiency.DEUTAN}[deficiency]
    return way._simulate_cvd_linear_rgb(linear.reshape(1, 1, 3), kind, 1.0).reshape(3)


def main():
    write(
        ROOT / "crates/optics/data/machado2009.csv",
        "source: Machado, Oliveira, Fernandes 2009, IEEE Transactions on Visualization and Computer Graphics 15:1291, the "
        f"authors' table of matrices as tabled in colour-science {VERSION['colour-science']}; licence: facts, CC0; unit: "
        "linear RGB to linear RGB, row-major",
        ["deficiency", "severity", *(f"m{row}{column}" for row in range(3) for column in range(3))],
        list(machado_matrices()),
    )
    rows = []
    for code in CODES:
        linear = colour.models.eotf_sRGB(np.array([int(code[i:i + 2], 16) for i in (0, 2, 4)]) / 255)
        for deficiency in ANOMALY:
            for severity in SEVERITIES:
                rows.append(["machado", deficiency, f"{severity}", f"#{code}", *seen_by_machado(linear, deficiency, severity)])
        for deficiency in ("protan", "deutan"):
            rows.append(["vienot", deficiency, "1.0", f"#{code}", *seen_by_vienot(linear, deficiency)])
    write(
        ROOT / "tests/data/colour_vision.csv",
        f"source: machado: colorspacious {VERSION['colorspacious']}; vienot: daltonlens {VERSION['daltonlens']} with the cone "
        "space of Vienot, Brettel, Mollon 1999; licence: CC0; unit: linear sRGB 0-1, not clipped",
        ["model", "deficiency", "severity", "srgb", "r", "g", "b"],
        rows,
    )


if __name__ == "__main__":
    main()
