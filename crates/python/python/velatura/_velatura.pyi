from collections.abc import Sequence
from os import PathLike
from typing import Any, Literal, final, overload

import numpy as np
from numpy.typing import NDArray

__all__ = ["Cancel", "Job", "Session", "__version__", "match_colour", "predict"]

__version__: str

_Path = str | PathLike[str]
_Paths = _Path | Sequence[_Path]

@final
class Cancel:
    """Stops work from another thread: pass it as `cancel=`, then call `stop`."""

    def __new__(cls) -> Cancel: ...
    def stop(self) -> None:
        """Stop the work. It raises Cancelled."""
    @property
    def is_stopped(self) -> bool:
        """Whether `stop` was called."""

@final
class Session:
    """What all jobs share. Build one, and use it from any number of threads."""

    def __new__(
        cls, backend: Literal["auto", "gpu", "cpu"] = "auto", memory: int | None = None
    ) -> Session: ...
    def load(
        self, figure: _Path, paints: _Paths | None = None, schemes: _Path | None = None
    ) -> Job:
        """Read a figure, its paints and its schemes."""

@final
class Job:
    """A figure with its schemes, ready to render."""

    @property
    def name(self) -> str:
        """The figure's name."""
    @property
    def schemes(self) -> list[str]:
        """The names of the schemes, in the order of the file."""
    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the photo in pixels, after its rotation."""
    @property
    def warnings(self) -> list[dict[str, Any]]:
        """What could be better, with the keys of VelaturaError.diagnostics."""
    def render(self, scheme: str, cancel: Cancel | None = None) -> NDArray[np.uint8]:
        """Render one scheme at the photo's size: sRGB, shape (height, width, 3)."""
    def render_all(
        self, only: Sequence[str] | None = None, cancel: Cancel | None = None
    ) -> dict[str, NDArray[np.uint8]]:
        """Render several schemes at once, all of them by default: name to picture."""
    def write(
        self,
        out: _Path,
        only: Sequence[str] | None = None,
        previews: Literal["png", "webp", "jpeg"] | None = "png",
        sheet_only: bool = False,
        columns: int | None = None,
        long_edge: int | None = None,
        cancel: Cancel | None = None,
    ) -> dict[str, Any]:
        """Write sheet, previews, page and report to a folder. Returns the report."""

@overload
def predict(
    paints: _Paths, coats: Sequence[str | tuple[str, float]], over: str
) -> dict[str, Any]: ...
@overload
def predict(
    paints: _Paths, coats: Sequence[str | tuple[str, float]], over: list[str] | tuple[str, ...]
) -> list[dict[str, Any]]: ...
def match_colour(
    paints: _Paths,
    target: str,
    over: str,
    count: int = 5,
    max_paints: int = 3,
    max_parts: int = 10,
    films: Sequence[float] | None = None,
    cancel: Cancel | None = None,
) -> dict[str, Any]:
    """Find the mixes of owned paints that dry closest to a colour."""
