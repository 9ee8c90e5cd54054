"""The exceptions of velatura. They are plain Python classes, so that they can be pickled and sent between processes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any


class VelaturaError(Exception):
    """Why the work stopped.

    `diagnostics` is a list with one dict per problem. Its keys are those of `velatura --format json`: `severity`, `file`, `place` (None,
    or a dict with `line`, `column`, `text`, `indent` and `width`), `found`, `in`, `expected`, `help`.
    """

    diagnostics: list[dict[str, Any]]

    def __init__(self, message: str = "", diagnostics: Iterable[dict[str, Any]] = ()) -> None:
        super().__init__(message)
        self.diagnostics = list(diagnostics)


class InputError(VelaturaError):
    """A file is wrong. `diagnostics` has every problem of every file."""


class CallError(VelaturaError):
    """The call is wrong: an unknown scheme, a colour that is none, an output folder that holds an input."""


class MachineError(VelaturaError):
    """The machine could not do it: a full disk, too little memory, a lost graphics card."""


class Cancelled(VelaturaError):
    """The work was stopped with `Cancel.stop`. Nothing was written."""
