"""What the tests share: the demo figure, a tiny figure, and the command to compare with."""

import os
import subprocess
from pathlib import Path

import numpy as np
import pytest
import velatura
from PIL import Image

ROOT = Path(__file__).resolve().parents[3]
DEMO = ROOT / "demo_images" / "lamplighter"

# Invented values.
FIGURE = """format = "velatura-figure/1"
name = "Small"
photo = "photo.png"
mask = "mask.png"
height_mm = 32

[undercoat]
kind = "black-to-white"

[[region]]
name = "coat"
mask_colour = "#e6194b"
"""

PAINTS = """format = "velatura-paints/1"

[cards]
black = "#1c1c1c"
white = "#f0f0f0"

[[paint]]
name = "Oil Amber"
over_black = "#4d3718"
over_white = "#f4a520"

[[paint]]
name = "Gull White"
over_black = "#d8dad8"
over_white = "#f0f1ec"
"""

SCHEMES = """format = "velatura-schemes/1"

[[scheme]]
name = "Foglight"
[[scheme.coat]]
region = "coat"
mix = { "Oil Amber" = 3, medium = 7 }

[[scheme]]
name = "Gull Morning"
[[scheme.coat]]
region = "coat"
mix = { "Gull White" = 1, medium = 2 }
"""


def write_small(folder: Path) -> Path:
    """Writes a figure of 96 × 64 pixels, and returns the path of its figure file."""
    ramp = np.tile(np.linspace(30, 225, 96), (64, 1))
    Image.fromarray(np.repeat(ramp[..., None], 3, axis=2).astype(np.uint8)).save(folder / "photo.png")
    mask = np.zeros((64, 96, 3), np.uint8)
    mask[8:56, 8:88] = (0xE6, 0x19, 0x4B)
    Image.fromarray(mask).save(folder / "mask.png")
    for name, text in [("figure", FIGURE), ("paints", PAINTS), ("schemes", SCHEMES)]:
        (folder / f"{name}.toml").write_text(text)
    return folder / "figure.toml"


def files_in(folder: Path) -> dict[str, bytes]:
    """Every file below a folder with its bytes, by relative path."""
    paths = [path for path in folder.rglob("*") if path.is_file()]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths}


@pytest.fixture
def small(tmp_path):
    """The path of a tiny figure's file."""
    folder = tmp_path / "small"
    folder.mkdir()
    return write_small(folder)


@pytest.fixture(scope="session")
def demo():
    """The demo figure, loaded once."""
    return velatura.Session().load(DEMO / "figure.toml")


@pytest.fixture(scope="session")
def command():
    """Runs the command and returns its standard output."""
    program = os.environ["VELATURA_COMMAND"]

    def run(*arguments):
        arguments = [program, *map(str, arguments)]
        done = subprocess.run(arguments, capture_output=True, text=True, cwd=ROOT)
        assert done.returncode == 0, done.stderr
        return done.stdout

    return run
