"""The package as an editor, a reader and a type checker see it."""

import ast
import inspect
import re
from importlib import metadata
from pathlib import Path

import pytest
import velatura
from conftest import ROOT

PACKAGE = Path(velatura.__file__).parent


def test_the_wheel_has_types_and_a_stub_for_every_public_name():
    assert (PACKAGE / "py.typed").is_file()
    assert not PACKAGE.is_relative_to(ROOT / "crates")
    tree = ast.parse((PACKAGE / "_velatura.pyi").read_text())
    named = {node.name: node for node in tree.body if hasattr(node, "name")}
    compiled = [name for name in velatura.__all__ if not hasattr(velatura._errors, name)]
    assert len(compiled) == 6
    for name in compiled:
        if name == "__version__":
            continue
        assert name in named, name
        value = getattr(velatura, name)
        if inspect.isclass(value):
            public = {member for member in vars(value) if not member.startswith("_")}
            stub = {member.name for member in named[name].body if hasattr(member, "name")}
            assert public == stub - {"__new__"}, name


def test_everything_public_has_a_docstring():
    for name in velatura.__all__:
        value = getattr(velatura, name)
        if inspect.isclass(value) or callable(value):
            assert value.__doc__, name
        if inspect.isclass(value) and not issubclass(value, Exception):
            for member, body in vars(value).items():
                assert member.startswith("_") or body.__doc__, f"{name}.{member}"


def test_the_version_is_that_of_the_workspace():
    workspace = (ROOT / "Cargo.toml").read_text()
    [version] = re.findall(r'^version = "(.+)"$', workspace, re.MULTILINE)
    assert velatura.__version__ == version == metadata.version("velatura")


def blocks(document):
    return re.findall(r"^```python\n(.*?)^```$", document.read_text(), re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize(("name", "count"), [("docs/python.md", 7), ("README.md", 1)])
def test_the_examples_run(name, count, tmp_path, monkeypatch, capsys):
    """All blocks of a document, one after the other, in a folder with the demo."""
    examples = blocks(ROOT / name)
    assert len(examples) == count
    (tmp_path / "demo_images").symlink_to(ROOT / "demo_images")
    monkeypatch.chdir(tmp_path)
    names = {"__name__": "__main__"}
    for index, example in enumerate(examples):
        exec(compile(example, f"{name}, block {index + 1}", "exec"), names)
    assert capsys.readouterr().out
    assert (tmp_path / "out" / "sheet.png").is_file()
