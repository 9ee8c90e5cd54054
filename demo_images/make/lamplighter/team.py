"""The Lamplighters: undercoat, invented paints, ten schemes."""
from optics import complete, hill, slope
from tables import c, m

NAME, TEAM, PICTURE, LIGHT_PICTURE = "Lamplighter with a pole", "Lamplighters", "lamplighter", "primed"
SIZE, SHARE, TURNED, SEED = (2000, 3000), 4, True, 11     # photo, pixels of it per pixel of the truth, stored a quarter turn round
HEIGHT_MM, COUNT = 32, 12
WASHED = False                                # photographed black-to-white
LIFT = {"face": 0.12, "boots": 0.05}          # brushed up a little more than the rest
WASH = (-0.012, 0.19, 0.80, 0.10)             # hollow between which it gathers, reflectance without and with all of it
TRUTHS = {"Foglight": False, "Wick & Ember": False, "Gull Morning": True}     # scheme: over the washed undercoat?
NAMES = "Names belong to the Lamplighters' harbour."
TRUTH_NOTE = """"Foglight", "Wick & Ember" and (over white) "Gull Morning" have a
# path-traced truth in truth/."""

WHITE = "Gull White"
# Per unit film (film 1 = the drawdown): absorption K, scatter S.
PAINTS = {
    "Oil Amber": (0.035 + slope(500, 17, 1.05) + hill(532, 26, 0.13), 0.06 + slope(560, -45, 0.12)),
    "Lantern Red": (0.04 + slope(580, 11, 0.80) + hill(540, 30, 0.42) - slope(440, 18, 0.08), 0.05 + slope(590, -20, 0.13)),
    "Deep Eel": (0.07 + slope(628, -24, 0.50) + hill(585, 30, 0.32) + slope(425, 16, 0.30), 0.05 + hill(500, 60, 0.05)),
    "Reed Green": (0.08 + slope(472, 18, 0.85) + slope(630, -20, 0.55) + hill(665, 30, 0.3), 0.12 + hill(545, 55, 0.12)),
    "Harbour Dusk": (0.06 + hill(592, 46, 0.75, 62) + hill(535, 30, 0.28) + slope(415, 14, 0.2), 0.08 + slope(490, 40, 0.10)),
    "Tar Violet": (0.16 + hill(552, 46, 1.25) + hill(602, 30, 0.40) + slope(430, 25, 0.22), 0.03 + slope(470, 40, 0.04)),
    "Rust Bark": (0.16 + slope(560, 38, 1.45) + hill(470, 60, 0.30), 0.17 + slope(590, -40, 0.24)),
    "Skin Ochre": (0.045 + slope(520, 34, 0.52) + hill(555, 28, 0.12), 0.34 + slope(540, -50, 0.26)),
    "Fog Grey": (0.27 + slope(470, 60, 0.03) + slope(620, -40, 0.05), 1.0 + slope(520, 80, 0.12)),
    WHITE: (0.004 + slope(415, 9, 0.20), 6.2 + slope(520, 110, 1.2)),
}
PAINTS = complete(PAINTS)

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
