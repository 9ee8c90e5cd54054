"""Errors are exceptions that carry what the command's JSON form says."""

import json
import os
import pickle
import subprocess

import pytest
import velatura

KEYS = ["severity", "file", "place", "found", "in", "expected", "help"]


def test_every_problem_of_every_file_comes_at_once(small):
    schemes = small.with_name("schemes.toml")
    schemes.write_text(schemes.read_text().replace("Oil Amber", "Oil Ambre"))
    paints = small.with_name("paints.toml")
    paints.write_text(paints.read_text().replace("over_white = \"#f4a520\"", "over_wite = 3"))
    with pytest.raises(velatura.InputError) as error:
        velatura.Session().load(small)
    problems = error.value.diagnostics
    assert len(problems) >= 2
    for problem in problems:
        assert list(problem) == KEYS
        assert problem["severity"] == "error"
        assert list(problem["place"]) == ["line", "column", "text", "indent", "width"]
    assert {problem["file"] for problem in problems} == {str(paints), str(schemes)} or str(
        paints
    ) in {problem["file"] for problem in problems}
    assert "over_wite" in str(error.value)


def test_an_error_says_line_and_help_as_the_command_does(small):
    schemes = small.with_name("schemes.toml")
    schemes.write_text(schemes.read_text().replace("Oil Amber", "Oil Ambre"))
    with pytest.raises(velatura.InputError) as error:
        velatura.Session().load(small)
    [problem] = error.value.diagnostics
    assert problem["file"] == str(schemes)
    assert problem["place"]["line"] == 7
    assert problem["help"] == 'did you mean "Oil Amber"?'
    text = str(error.value)
    assert text.startswith(f"error: {schemes}:7:") and text.endswith(problem["help"])
    # The very same dict as from the command.
    program = os.environ["VELATURA_COMMAND"]
    arguments = ["render", small, "--out", small.parent / "out", "--format", "json"]
    done = subprocess.run([program, *map(str, arguments)], capture_output=True, text=True)
    assert done.returncode == 1
    assert [json.loads(line) for line in done.stderr.splitlines()] == [problem]


def test_each_kind_of_error_has_its_class(small, tmp_path):
    session = velatura.Session()
    job = session.load(small)
    with pytest.raises(velatura.CallError) as error:
        job.render("Fogligth")
    [problem] = error.value.diagnostics
    assert problem["help"] == 'did you mean "Foglight"?'
    assert '"Gull Morning"' in problem["expected"]
    with pytest.raises(velatura.CallError, match="no scheme is named"):
        job.render_all(only=[])
    with pytest.raises(velatura.CallError, match='"cuda" is not known'):
        velatura.Session(backend="cuda")
    with pytest.raises(velatura.CallError, match="0 is out of range"):
        velatura.Session(memory=0)
    with pytest.raises(velatura.CallError, match='"gif" is not known'):
        job.write(tmp_path / "out", previews="gif")
    with pytest.raises(velatura.InputError):
        session.load(tmp_path / "none.toml")
    # A file is in the way of the folder.
    (tmp_path / "file").write_text("")
    with pytest.raises((velatura.MachineError, velatura.CallError)) as error:
        job.write(tmp_path / "file" / "out")
    assert error.value.diagnostics
    with pytest.raises(velatura.CallError) as error:
        velatura.predict(small.with_name("paints.toml"), ["Oil Ambre:1"], "808080")
    assert error.value.diagnostics[0]["in"] == 'coat "Oil Ambre:1"'
    with pytest.raises(velatura.CallError) as error:
        velatura.predict(small.with_name("paints.toml"), ["Oil Amber:1"], "808080")
    assert error.value.diagnostics[0]["in"] == "over"
    for kind in [velatura.InputError, velatura.CallError, velatura.MachineError, velatura.Cancelled]:
        assert issubclass(kind, velatura.VelaturaError)
    # Must stay: a wrong type is Python's own error.
    with pytest.raises(TypeError):
        session.load(3)


def test_an_output_never_overwrites_an_input(small):
    photo = small.with_name("photo.png")
    sheet = small.with_name("sheet.png")
    photo.rename(sheet)
    small.write_text(small.read_text().replace("photo.png", "sheet.png"))
    before = sheet.read_bytes()
    with pytest.raises(velatura.CallError) as error:
        velatura.Session().load(small).write(small.parent)
    assert sheet.read_bytes() == before
    assert error.value.diagnostics[0]["help"]


def test_exceptions_travel_between_processes(small):
    with pytest.raises(velatura.CallError) as error:
        velatura.Session().load(small).render("none")
    copy = pickle.loads(pickle.dumps(error.value))
    assert type(copy) is velatura.CallError
    assert str(copy) == str(error.value) and copy.diagnostics == error.value.diagnostics != []
