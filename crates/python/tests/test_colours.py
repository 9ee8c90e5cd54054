"""Predicted and matched colours are the JSON of the command."""

import json

import pytest
import velatura
from conftest import DEMO

PAINTS = DEMO / "paints.toml"


def test_predict_is_that_of_the_command(command):
    overs = ["#808080", "#e0e0e0"]
    coats = [("Oil Amber:3,medium:7", 1.0), ("Lantern Red:1,medium:4", 0.5)]
    arguments = ["--film", "1", "--film", "0.5", "--format", "json"]
    for coat, _ in coats:
        arguments += ["--coat", coat]
    for over in overs:
        arguments += ["--over", over]
    theirs = json.loads(command("predict", "--paints", PAINTS, *arguments))["results"]
    assert velatura.predict(PAINTS, coats=coats, over=overs) == theirs
    one = velatura.predict(str(PAINTS), coats=coats, over="#808080")
    assert one == theirs[0]
    expected = ["over", "srgb", "lab", "xyz", "luminance", "in_gamut", "basis", "estimated_error"]
    assert list(one) == expected
    # Must fail: another film gives another colour.
    thick = velatura.predict(PAINTS, coats=["Oil Amber:3,medium:7", coats[1]], over="#e0e0e0")
    assert thick == theirs[1]
    thick = velatura.predict(PAINTS, coats=[(coats[0][0], 2.0), coats[1]], over="#e0e0e0")
    assert thick["lab"] != theirs[1]["lab"]


def test_match_is_that_of_the_command(command):
    arguments = ["--target", "#5fa8a0", "--over", "#e0e0e0", "--count", "3", "--max-paints", "2"]
    arguments += ["--film", "1", "--format", "json"]
    theirs = json.loads(command("match", "--paints", PAINTS, *arguments))
    options = {"count": 3, "max_paints": 2, "films": [1.0]}
    ours = velatura.match_colour(PAINTS, "#5fa8a0", "#e0e0e0", **options)
    assert ours == theirs and len(ours["matches"]) == 3
    # The name of a paint is a target, too, and the paint is left out of its own mixes.
    named = velatura.match_colour(PAINTS, target="Skin Ochre", over="#b0b0b0", max_paints=2)
    assert all("Skin Ochre" not in match["mix"] for match in named["matches"])


def test_a_bad_film_or_number_is_refused():
    with pytest.raises(velatura.CallError, match="a film of -1"):
        velatura.predict(PAINTS, coats=[("Oil Amber:1", -1.0)], over="#808080")
    with pytest.raises(velatura.CallError, match="a film of NaN"):
        velatura.predict(PAINTS, coats=[("Oil Amber:1", float("nan"))], over="#808080")
    for wrong in [{"count": 0}, {"max_paints": 7}, {"max_parts": 101}, {"films": [0.0]}]:
        with pytest.raises(velatura.CallError) as error:
            velatura.match_colour(PAINTS, "#5fa8a0", "#e0e0e0", **wrong)
        [problem] = error.value.diagnostics
        assert problem["in"] == next(iter(wrong)) and problem["expected"]


def test_warnings_of_a_paints_file_are_python_warnings(small):
    paints = small.with_name("paints.toml")
    # A film that leaves the white card as it is cannot darken the black one.
    odd = '\n[[paint]]\nname = "Old Rope"\nover_black = "#101010"\nover_white = "#f0f0f0"\n'
    paints.write_text(paints.read_text() + odd)
    with pytest.warns(UserWarning) as warned:
        velatura.predict(paints, coats=["Old Rope:1"], over="#808080")
    assert any("Old Rope" in str(warning.message) for warning in warned)
