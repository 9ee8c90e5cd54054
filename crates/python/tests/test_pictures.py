"""Pictures and files are those of the command, byte for byte."""

import json

import numpy as np
import pytest
import velatura
from conftest import DEMO, files_in
from PIL import Image


def without_times(report: bytes):
    report = json.loads(report)
    assert report.pop("timings_ms")
    return report


@pytest.fixture(scope="module")
def by_command(tmp_path_factory, command):
    out = tmp_path_factory.mktemp("command")
    command("render", DEMO / "figure.toml", "--out", out)
    return files_in(out)


@pytest.fixture(scope="module")
def by_module(tmp_path_factory, demo):
    out = tmp_path_factory.mktemp("module")
    report = demo.write(out)
    return files_in(out), report


def test_write_writes_the_bytes_of_the_command(by_command, by_module):
    ours, report = by_module
    theirs = dict(by_command)
    assert len(ours) == 13 and ours.keys() == theirs.keys()
    assert json.loads(ours["report.json"]) == report
    # The times of two runs differ, and nothing else does.
    assert without_times(ours.pop("report.json")) == without_times(theirs.pop("report.json"))
    assert [name for name in ours if ours[name] != theirs[name]] == []


def test_arrays_are_the_previews(demo, by_command, tmp_path):
    pictures = demo.render_all()
    assert list(pictures) == demo.schemes and len(pictures) == 10
    width, height = demo.size
    report = json.loads(by_command["report.json"])
    for scheme in report["schemes"]:
        preview = tmp_path / "preview.png"
        preview.write_bytes(by_command[scheme["preview"]])
        picture = pictures[scheme["name"]]
        assert picture.dtype == np.uint8 and picture.shape == (height, width, 3)
        assert picture.flags.c_contiguous and picture.flags.writeable
        assert np.array_equal(picture, np.asarray(Image.open(preview).convert("RGB")))
    # Must fail: another scheme has other pixels.
    assert not np.array_equal(pictures["Foglight"], pictures["Night Bell"])


def test_one_scheme_is_the_same_alone(small):
    job = velatura.Session(backend="cpu", memory=1 << 20).load(small)
    alone = job.render("Foglight")
    both = job.render_all()
    assert list(both) == ["Foglight", "Gull Morning"] == job.schemes
    assert np.array_equal(alone, both["Foglight"])
    assert list(job.render_all(only="Gull Morning")) == ["Gull Morning"]
    # The memory is that of the render, not a copy of it.
    base = alone
    while isinstance(base, np.ndarray):
        base = base.base
    assert type(base).__name__ == "PySliceContainer"


def test_write_has_the_options_of_the_command(small, command, tmp_path):
    job = velatura.Session().load(small)
    calls = [
        ({"sheet_only": True, "only": ["Foglight"]}, ["--sheet-only", "--only", "Foglight"]),
        ({"previews": None, "columns": 1}, ["--previews", "none", "--columns", "1"]),
        ({"previews": "webp", "long_edge": 300}, ["--previews", "webp", "--long-edge", "300"]),
        ({"previews": "jpeg"}, ["--previews", "jpeg"]),
    ]
    for index, (options, arguments) in enumerate(calls):
        ours, theirs = tmp_path / f"ours{index}", tmp_path / f"theirs{index}"
        job.write(ours, **options)
        command("render", small, "--out", theirs, *arguments)
        ours, theirs = files_in(ours), files_in(theirs)
        assert without_times(ours.pop("report.json")) == without_times(theirs.pop("report.json"))
        assert ours == theirs and "sheet.png" in ours, options


def test_a_job_describes_itself(small, demo):
    job = velatura.Session().load(str(small))
    assert (job.name, job.size) == ("Small", (96, 64))
    assert demo.size == (2000, 3000)
    assert "Small" in repr(job) and "96 × 64" in repr(job)
    assert all(warning["severity"] == "warning" for warning in job.warnings)


def test_other_paints_and_schemes_can_be_named(small):
    other = small.with_name("other.toml")
    small.with_name("schemes.toml").rename(other)
    small.with_name("paints.toml").rename(small.with_name("box.toml"))
    session = velatura.Session()
    with pytest.raises(velatura.InputError):
        session.load(small)
    job = session.load(small, paints=small.with_name("box.toml"), schemes=other)
    assert job.schemes == ["Foglight", "Gull Morning"]


def test_plugins_of_a_figure_are_a_warning(small):
    text = small.read_text().replace("height_mm", 'plugins = ["dust.wasm"]\nheight_mm')
    small.write_text(text)
    warnings = velatura.Session().load(small).warnings
    [warning] = [warning for warning in warnings if "plugins" in warning["found"]]
    assert "`plugins`" in warning["in"] and "command" in warning["help"]
