#!/usr/bin/env python3
"""Write the colour arithmetic fixtures in tests/data, and the spectral weights, from the colour-science library.

    python3 tests/fixtures-made-with/colour_reference.py [--out tests/data]

Needs numpy and colour-science (BSD-3-Clause); their versions go into each file's first line.
Deterministic: the same versions write the same bytes.
"""
import argparse
import csv
import pathlib
import warnings

warnings.filterwarnings("ignore")
import colour  # noqa: E402
import numpy as np  # noqa: E402
from colour.colorimetry import (  # noqa: E402
    SpectralShape,
    adjust_tristimulus_weighting_factors_ASTME308,
    tristimulus_weighting_factors_ASTME2022,
)

HERE = pathlib.Path(__file__).resolve().parent
BANDS = np.arange(400, 701, 10)
LIBRARY = f"colour-science {colour.__version__}"
SRGB = colour.RGB_COLOURSPACES["sRGB"]
WHITE_XY = np.array([0.3127, 0.3290])
WHITE = colour.xy_to_XYZ(WHITE_XY)
# From the primaries and the white, unrounded; the standard prints it to four digits.
RGB_TO_XYZ = colour.normalised_primary_matrix(SRGB.primaries, WHITE_XY)
CMFS = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
D65 = colour.SDS_ILLUMINANTS["D65"]

# Sharma, Wu, Dalal 2005, Color Research & Application 30:21, table 1: L1 a1 b1 L2 a2 b2 dE00
SHARMA = """
50.0000 2.6772 -79.7751 50.0000 0.0000 -82.7485 2.0425
50.0000 3.1571 -77.2803 50.0000 0.0000 -82.7485 2.8615
50.0000 2.8361 -74.0200 50.0000 0.0000 -82.7485 3.4412
50.0000 -1.3802 -84.2814 50.0000 0.0000 -82.7485 1.0000
50.0000 -1.1848 -84.8006 50.0000 0.0000 -82.7485 1.0000
50.0000 -0.9009 -85.5211 50.0000 0.0000 -82.7485 1.0000
50.0000 0.0000 0.0000 50.0000 -1.0000 2.0000 2.3669
50.0000 -1.0000 2.0000 50.0000 0.0000 0.0000 2.3669
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0009 7.1792
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0010 7.1792
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0011 7.2195
50.0000 2.4900 -0.0010 50.0000 -2.4900 0.0012 7.2195
50.0000 -0.0010 2.4900 50.0000 0.0009 -2.4900 4.8045
50.0000 -0.0010 2.4900 50.0000 0.0010 -2.4900 4.8045
50.0000 -0.0010 2.4900 50.0000 0.0011 -2.4900 4.7461
50.0000 2.5000 0.0000 50.0000 0.0000 -2.5000 4.3065
50.0000 2.5000 0.0000 73.0000 25.0000 -18.0000 27.1492
50.0000 2.5000 0.0000 61.0000 -5.0000 29.0000 22.8977
50.0000 2.5000 0.0000 56.0000 -27.0000 -3.0000 31.9030
50.0000 2.5000 0.0000 58.0000 24.0000 15.0000 19.4535
50.0000 2.5000 0.0000 50.0000 3.1736 0.5854 1.0000
50.0000 2.5000 0.0000 50.0000 3.2972 0.0000 1.0000
50.0000 2.5000 0.0000 50.0000 1.8634 0.5757 1.0000
50.0000 2.5000 0.0000 50.0000 3.2592 0.3350 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""

CODES = (
    "000000 010101 020202 0a0a0a 0b0b0b 0c0c0c 111111 1c1c1c 202020 333333 404040 555555 666666 777777 "
    "808080 999999 a0a0a0 bbbbbb cccccc e9e9e9 f0f0f0 fefefe ffffff ff0000 00ff00 0000ff ffff00 ff00ff "
    "00ffff 800000 008000 000080 808000 800080 008080 010000 000100 000001 0b0a00 f4f2ee 3a2207 c98318 "
    "b99a6a d9b980 7a5b2c 5fa8a0 e6194b b8a074 e0e0e0 4a0e4e 123456 654321 abcdef fedcba 0f3d2e c0ffee "
    "deface 2b6cb0 d53f8c 9f7a14"
).split()


def astm_weights():
    """10 nm weights of D65 and the 2 degree observer, made for 360-780, the ends folded into 400 and 700."""
    cmfs = CMFS.copy().align(SpectralShape(360, 780, 1))
    light = D65.copy().align(cmfs.shape)
    table = tristimulus_weighting_factors_ASTME2022(cmfs, light, SpectralShape(360, 780, 10))
    return adjust_tristimulus_weighting_factors_ASTME308(
        table, SpectralShape(360, 780, 10), SpectralShape(400, 700, 10)
    ) / 100


def plain_weights():
    """A plain 10 nm sum over 400-700."""
    weights = CMFS[BANDS] * D65[BANDS][:, None]
    return weights / weights[:, 1].sum()


def to_srgb_white(weights):
    """Scale each column so that a flat 1 gives the white of sRGB."""
    return weights * (WHITE / weights.sum(axis=0))


def lab(xyz):
    return colour.XYZ_to_Lab(xyz, WHITE_XY)


def spectra(paints):
    """(name, 31 reflectances) of even greys, ramps, bumps, edges and some measured paints."""
    bands = BANDS.astype(float)
    ramp = (bands - 400) / 300
    yield from ((f"flat {level}", np.full(31, level)) for level in (0.01, 0.04, 0.1, 0.18, 0.4, 0.8, 1.0))
    yield "ramp up", 0.05 + 0.85 * ramp
    yield "ramp down", 0.9 - 0.85 * ramp
    yield "ramp up dark", 0.01 + 0.1 * ramp
    for centre, width in ((430, 20), (450, 40), (480, 15), (520, 30), (550, 60), (580, 15), (620, 30), (680, 25)):
        yield f"bump {centre} width {width}", 0.04 + 0.7 * np.exp(-0.5 * ((bands - centre) / width) ** 2)
    for edge, width in ((470, 8), (500, 4), (540, 12), (590, 6), (630, 10)):
        yield f"edge up {edge}", 0.05 + 0.8 / (1 + np.exp((edge - bands) / width))
    for edge, width in ((480, 8), (560, 12), (600, 5)):
        yield f"edge down {edge}", 0.05 + 0.8 / (1 + np.exp((bands - edge) / width))
    wanted = {
        ("01A", "white_card"), ("01A", "black_card"), ("01A", "over_white"), ("01C", "over_black"), ("03D", "over_white"),
        ("05A", "over_white"), ("05C", "over_black"), ("07D", "over_white"), ("09A", "over_white"), ("09B", "over_black"),
        ("11A", "over_white"), ("11B", "over_black"), ("13B", "over_white"), ("15A", "over_black"), ("15C", "over_white"),
        ("17D", "over_white"), ("17F", "over_white"),
    }
    with open(paints, newline="") as file:
        for row in csv.DictReader(file):
            if (row["id"], row["substrate"]) in wanted:
                name = f"paint {row['id']} {row['substrate']}"
                yield name, np.array([float(row[str(band)]) for band in BANDS]) / 100


def write(path, note, header, rows):
    lines = [f"# {note}", ",".join(header)]
    for row in rows:
        lines.append(",".join(cell if isinstance(cell, str) else f"{cell:.10g}" for cell in row))
    path.write_text("\n".join(lines) + "\n")
    print(f"{path.name}: {len(rows)} rows")


def main():
    arguments = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    arguments.add_argument("--out", type=pathlib.Path, default=HERE.parent / "data")
    arguments.add_argument("--paints", type=pathlib.Path, default=HERE.parent / "data" / "measured-paints" / "paints.csv")
    arguments.add_argument(
        "--weights", type=pathlib.Path, default=HERE.parent.parent / "crates" / "optics" / "data" / "weights.csv"
    )
    given = arguments.parse_args()
    out = given.out

    rows = []
    for code in CODES:
        encoded = np.array([int(code[i:i + 2], 16) for i in (0, 2, 4)]) / 255
        linear = colour.models.eotf_sRGB(encoded)
        xyz = RGB_TO_XYZ @ linear
        rows.append([f"#{code}", *linear, *xyz, *lab(xyz)])
    write(
        out / "srgb_xyz_lab.csv",
        f"source: {LIBRARY}, eotf_sRGB, unrounded matrix from the sRGB primaries and white xy 0.3127 0.3290, XYZ_to_Lab with "
        "that white; licence: CC0; unit: linear 0-1, XYZ with Y of white 1, Lab",
        ["srgb", "r", "g", "b", "x", "y", "z", "lab_l", "lab_a", "lab_b"],
        rows,
    )

    rows = []
    worst = 0.0
    for line in SHARMA.strip().splitlines():
        pair = [float(cell) for cell in line.split()]
        value = float(colour.delta_E(pair[:3], pair[3:6], method="CIE 2000"))
        worst = max(worst, abs(value - pair[6]))
        rows.append(pair)
    assert len(rows) == 34 and worst < 1e-4, worst
    write(
        out / "ciede2000_sharma.csv",
        "source: Sharma, Wu, Dalal 2005, Color Research & Application 30:21, table 1 (published numbers), agrees with "
        f"{LIBRARY} delta_E CIE 2000 to {worst:.1e}; licence: facts, CC0; unit: Lab, CIEDE2000 with kL = kC = kH = 1",
        ["l1", "a1", "b1", "l2", "a2", "b2", "delta_e"],
        rows,
    )

    weights = to_srgb_white(astm_weights())
    plain = to_srgb_white(plain_weights())
    rows = []
    errors = {"folded table weights": 0.0, "plain 10 nm sum": 0.0}
    for name, reflectance in spectra(given.paints):
        sd = colour.SpectralDistribution(reflectance, BANDS)
        xyz = colour.sd_to_XYZ(sd, CMFS, D65, method="ASTM E308") / 100
        rows.append([name, *reflectance, *xyz, *lab(xyz)])
        for key, table in (("folded table weights", weights), ("plain 10 nm sum", plain)):
            errors[key] = max(errors[key], np.linalg.norm(lab(reflectance @ table) - lab(xyz)))
    print("largest Lab distance from the reference:", {key: round(float(value), 4) for key, value in errors.items()})
    write(
        out / "spectra_to_lab.csv",
        f"source: {LIBRARY}, sd_to_XYZ method ASTM E308, D65, CIE 1931 2 degrees, Lab with white xy 0.3127 0.3290; paint rows "
        "from measured-paints; licence: CC0; unit: reflectance 0-1, XYZ with Y of a perfect diffuser 1, Lab",
        ["name", *map(str, BANDS), "x", "y", "z", "lab_l", "lab_a", "lab_b"],
        rows,
    )

    wide = np.arange(380, 781, 10)
    write(
        out / "cie1931_d65_10nm.csv",
        f"source: CIE 1931 2 degree colour matching functions and CIE standard illuminant D65, as tabled in {LIBRARY}; "
        "licence: facts, CC0; unit: nm, matching functions, relative power with 100 at 560 nm",
        ["nm", "x_bar", "y_bar", "z_bar", "d65"],
        [[str(nm), *CMFS[nm], float(D65[nm])] for nm in wide],
    )
    write(
        given.weights,
        f"source: ASTM E2022 10 nm weights for D65 and CIE 1931 2 degrees from {LIBRARY}, ends below 400 and above 700 folded in "
        "(ASTM E308), columns scaled so that a flat 1 gives the white of sRGB; licence: CC0; unit: nm, XYZ per reflectance 0-1",
        ["nm", "x", "y", "z"],
        [[str(nm), *row] for nm, row in zip(BANDS, weights)],
    )


if __name__ == "__main__":
    main()
