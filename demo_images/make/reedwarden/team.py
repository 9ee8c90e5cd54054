"""The Reedwardens: undercoat, invented paints, ten schemes."""
from optics import complete, hill, slope
from tables import c, m

NAME, TEAM, PICTURE, LIGHT_PICTURE = "Reedwarden with an eel spear", "Reedwardens", "reedwarden", "primed"
SIZE, SHARE, TURNED, SEED = (1080, 1620), 3, False, 21      # photo, pixels of it per pixel of the truth, stored upright
HEIGHT_MM, COUNT = 32, 10
WASHED = True                                 # photographed white with a dark wash
LIFT = {"skin": 0.10, "beard": 0.08}
WASH = (-0.06, 0.15, 0.80, 0.08)              # hollow between which it gathers, reflectance without and with all of it
TRUTHS = {"Newt & Iris": True, "Sedge Light": True, "Black Water": False}     # scheme: over the washed undercoat?
NAMES = "Names belong to the Reedwardens' fen."
TRUTH_NOTE = """"Newt & Iris", "Sedge Light" and (over black) "Black
# Water" have a path-traced truth in truth/."""

WHITE = "Bone Ash"
# Per unit film (film 1 = the drawdown): absorption K, scatter S.
PAINTS = {
    "Rush Straw": (0.030 + slope(487, 18, 0.80) + hill(520, 22, 0.06), 0.10 + slope(545, -45, 0.16)),
    "Sedge Green": (0.055 + slope(478, 16, 0.85) + slope(622, -20, 0.34), 0.11 + hill(560, 60, 0.12)),
    "Moss Pelt": (0.10 + slope(482, 18, 0.95) + slope(606, -20, 0.80) + hill(665, 30, 0.30), 0.10 + hill(540, 50, 0.10)),
    "River Clay": (0.085 + slope(562, 24, 0.92) + hill(480, 50, 0.20), 0.20 + slope(582, -35, 0.22)),
    "Newt Belly": (0.030 + slope(549, 13, 1.00) + hill(505, 40, 0.22), 0.07 + slope(575, -25, 0.16)),
    "Loosestrife": (0.045 + hill(540, 36, 0.80) + hill(508, 25, 0.25) + slope(432, 16, 0.10), 0.05 + slope(605, -30, 0.06) + slope(455, 30, 0.06)),
    "Flag Iris": (0.060 + hill(578, 44, 0.78, 52) + hill(540, 34, 0.34) + slope(415, 14, 0.14), 0.06 + slope(480, 35, 0.09)),
    "Kingfisher": (0.075 + slope(604, -22, 0.52) + hill(598, 34, 0.22) + slope(422, 14, 0.14), 0.08 + hill(490, 50, 0.08)),
    "Otter Brown": (0.19 + slope(572, 44, 1.05), 0.16 + slope(605, -45, 0.16)),
    "Peat": (0.75 + slope(565, 60, 0.70), 0.06 + slope(600, -60, 0.02)),
    "Heron Slate": (0.34 + slope(565, -60, 0.14), 0.62 + slope(525, 60, 0.12)),
    "Hazel Flesh": (0.050 + slope(515, 32, 0.48) + hill(555, 26, 0.14), 0.36 + slope(545, -50, 0.25)),
    WHITE: (0.006 + slope(420, 10, 0.18) + slope(475, 40, 0.02), 5.6 + slope(520, 110, 0.9)),
}
PAINTS = complete(PAINTS)
CHIPS = ("Loosestrife",)          # known from a chip only
UNOWNED = ("Kingfisher",)

SCHEMES = [
    dict(name="Newt & Iris", note="Nearly the opposite of the Lamplighters' \"Foglight\": orange where that is teal, blue violet where that is amber.", coats=[
        c("cape", m(1, Newt_Belly=3, River_Clay=1)), c("hood", m(1, Flag_Iris=3)), c("skin", m(2, Hazel_Flesh=3)), c("beard", m(4, Bone_Ash=1, Heron_Slate=1)),
        c("tunic", m(2, River_Clay=3)), c("sash", m(2, Flag_Iris=3), 0.8), c("waders", m(2, Moss_Pelt=2, Otter_Brown=1)),
        c("spear", m(2, Heron_Slate=2, Flag_Iris=1)), c("basket", m(3, Rush_Straw=2, Otter_Brown=1))]),
    dict(name="Sedge Light", coats=[
        c("cape", m(2, Rush_Straw=3)), c("hood", m(3, Rush_Straw=2, Sedge_Green=1)), c("skin", m(3, Hazel_Flesh=4, River_Clay=1)), c("beard", m(3, Otter_Brown=1, Rush_Straw=1)),
        c("tunic", m(2, Moss_Pelt=2)), c("sash", m(1, Newt_Belly=2), 0.8), c("waders", m(2, Otter_Brown=2)),
        c("spear", m(3, Otter_Brown=1, Rush_Straw=1)), c("basket", m(2, River_Clay=2))]),
    dict(name="Black Water", undercoat="black-to-white", coats=[
        c("cape", m(1, Moss_Pelt=3)), c("hood", m(1, Sedge_Green=3)), c("skin", m(1, Hazel_Flesh=3)), c("beard", m(2, Heron_Slate=2)),
        c("tunic", m(1, Flag_Iris=3)), c("sash", m(1, River_Clay=3)), c("waders", m(1, Otter_Brown=2, Peat=1)),
        c("spear", m(1, Rush_Straw=2, Otter_Brown=1)), c("basket", m(1, Newt_Belly=2, Rush_Straw=1))]),
    dict(name="Mayfly Hatch", note="Each part in three steps: its colour, a wash into the recesses, the lightened mix on what is raised.", coats=[
        c("cape", m(2, Sedge_Green=3)), c("cape", m(5, Moss_Pelt=3, Otter_Brown=1), 0.9, "recesses", 0.9), c("cape", m(2, Sedge_Green=1, Bone_Ash=1), 0.5, "raised"),
        c("hood", m(2, Rush_Straw=3)), c("hood", m(5, Otter_Brown=2), 0.9, "recesses", 0.9), c("hood", m(2, Rush_Straw=1, Bone_Ash=1), 0.5, "raised"),
        c("skin", m(2, Hazel_Flesh=3)), c("skin", m(5, River_Clay=2), 0.7, "recesses", 0.8), c("skin", m(2, Hazel_Flesh=1, Bone_Ash=1), 0.4, "raised"),
        c("beard", m(3, River_Clay=2, Newt_Belly=1)), c("beard", m(2, Newt_Belly=1, Bone_Ash=1), 0.4, "raised"),
        c("tunic", m(2, Loosestrife=2)), c("tunic", m(5, Flag_Iris=2), 0.9, "recesses", 0.9), c("tunic", m(2, Loosestrife=1, Bone_Ash=1), 0.5, "raised"),
        c("sash", m(2, Rush_Straw=3)), c("waders", m(2, Otter_Brown=3)), c("waders", m(3, Otter_Brown=1, Bone_Ash=1), 0.4, "raised"),
        c("spear", m(3, Heron_Slate=2)), c("basket", m(3, Rush_Straw=1, Otter_Brown=1)), c("basket", m(4, Peat=1), 0.7, "recesses", 0.9)]),
    dict(name="Loosestrife Bank", coats=[
        c("cape", m(3, Loosestrife=2, Flag_Iris=1)), c("cape", m(3, Loosestrife=1, Bone_Ash=1), 0.5, "raised"), c("hood", m(2, Sedge_Green=2)),
        c("skin", m(2, Hazel_Flesh=3)), c("beard", m(5, Bone_Ash=1)), c("tunic", m(2, Moss_Pelt=3)), c("tunic", m(5, Peat=1), 0.8, "recesses", 0.8),
        c("sash", m(2, Rush_Straw=3)), c("waders", m(2, Heron_Slate=2, Flag_Iris=1)), c("spear", m(2, Otter_Brown=2)), c("basket", m(2, Sedge_Green=1, Rush_Straw=2))]),
    dict(name="Heron Stand", finish="satin", coats=[
        c("cape", m(3, Heron_Slate=3)), c("cape", m(5, Flag_Iris=2, Peat=1), 0.9, "recesses", 0.8), c("cape", m(3, Heron_Slate=1, Bone_Ash=2), 0.5, "raised"),
        c("hood", m(3, Heron_Slate=2, Flag_Iris=1)), c("skin", m(2, Hazel_Flesh=3)), c("beard", m(2, Peat=1, Otter_Brown=1)),
        c("tunic", m(4, Bone_Ash=1, Heron_Slate=1)), c("sash", m(1, Newt_Belly=3)), c("waders", m(2, Peat=1, Otter_Brown=1)),
        c("spear", m(2, Rush_Straw=1, Otter_Brown=1)), c("basket", m(2, Newt_Belly=1, Rush_Straw=1))]),
    dict(name="Dry Summer", coats=[
        c("cape", m(3, Rush_Straw=2, Otter_Brown=1), 1.0, None, 0.3), c("cape", m(2, Rush_Straw=1, Bone_Ash=2), 0.5, "raised"), c("hood", m(2, Rush_Straw=2, River_Clay=1)),
        c("skin", m(2, Hazel_Flesh=2, River_Clay=1)), c("beard", m(2, Otter_Brown=1, Heron_Slate=1)), c("tunic", m(2, River_Clay=3)), c("tunic", m(5, Otter_Brown=2), 0.8, "recesses", 0.8),
        c("sash", m(2, Moss_Pelt=2)), c("waders", m(2, Otter_Brown=2, River_Clay=1)), c("spear", m(2, Peat=1, Heron_Slate=1)), c("basket", m(3, Rush_Straw=2))]),
    dict(name="Kingfisher Dive", note="Kingfisher is a paint not yet owned: what would it be worth?", finish="gloss", coats=[
        c("cape", m(2, Kingfisher=3)), c("cape", m(5, Flag_Iris=3), 0.9, "recesses", 0.8), c("cape", m(2, Kingfisher=1, Bone_Ash=1), 0.5, "raised"),
        c("hood", m(2, Kingfisher=2, Flag_Iris=1)), c("skin", m(2, Hazel_Flesh=3)), c("beard", m(2, Newt_Belly=2)), c("tunic", m(1, Newt_Belly=2)),
        c("tunic", m(5, River_Clay=2), 0.8, "recesses", 0.8), c("sash", m(6, Bone_Ash=1)), c("waders", m(2, Heron_Slate=2, Flag_Iris=1)),
        c("spear", m(2, Otter_Brown=2)), c("basket", m(2, Rush_Straw=2))]),
    dict(name="First Frost", undercoat="plain-white", coats=[
        c("cape", m(6, Bone_Ash=1, Heron_Slate=1)), c("cape", m(5, Flag_Iris=2), 0.8, "recesses", 0.9), c("hood", m(4, Flag_Iris=1, Heron_Slate=1)),
        c("skin", m(3, Hazel_Flesh=3, Heron_Slate=1)), c("beard", m(5, Bone_Ash=1)), c("tunic", m(4, Flag_Iris=2)), c("tunic", m(3, Flag_Iris=1, Bone_Ash=2), 0.5, "raised"),
        c("sash", m(3, Loosestrife=2)), c("waders", m(3, Heron_Slate=3)), c("spear", m(4, Otter_Brown=1, Heron_Slate=1)), c("basket", m(4, Otter_Brown=1, Rush_Straw=1))]),
    dict(name="Moss & Bone", coats=[
        c("cape", m(1, Moss_Pelt=3, Otter_Brown=1)), c("cape", m(2, Sedge_Green=1, Bone_Ash=1), 0.5, "raised"), c("hood", m(4, Bone_Ash=1, Rush_Straw=1), 1.0, "upper"),
        c("hood", m(5, Otter_Brown=2), 0.9, "recesses", 0.8), c("skin", m(2, Hazel_Flesh=3)), c("beard", m(4, Bone_Ash=1, Rush_Straw=1)), c("tunic", m(3, Bone_Ash=1, Rush_Straw=1)),
        c("tunic", m(5, Otter_Brown=2), 0.8, "recesses", 0.8), c("sash", m(2, Moss_Pelt=2)), c("waders", m(2, Peat=1, Moss_Pelt=1)), c("spear", m(2, Otter_Brown=2)), c("basket", m(3, Otter_Brown=1, Rush_Straw=2))]),
]
