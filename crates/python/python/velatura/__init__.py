"""Previews paint schemes for small figures that you paint by hand.

    import velatura

    job = velatura.Session().load("figure.toml")
    picture = job.render("Foglight")        # numpy uint8, (height, width, 3), sRGB
    report = job.write("out")               # the files that `velatura render` writes

Errors are exceptions below VelaturaError. Work releases the interpreter lock, so other threads go on.
"""

from ._errors import CallError, Cancelled, InputError, MachineError, VelaturaError
from ._velatura import Cancel, Job, Session, __version__, match_colour, predict

__all__ = [
    "CallError",
    "Cancel",
    "Cancelled",
    "InputError",
    "Job",
    "MachineError",
    "Session",
    "VelaturaError",
    "__version__",
    "match_colour",
    "predict",
]
