"""Render a folder of figures on a Ray cluster, or on the processors of this machine.

    python ray_many.py army out --processors 2

Every figure is a task of its own. If a worker dies, Ray starts its task again on another one. All results of a figure appear at
once and `report.json` last, so whatever has a report newer than its files is complete: a second call renders only the rest.

On a cluster, `army` and `out` must be on a disk that all machines share.
"""

import argparse
import sys
from pathlib import Path

import ray
import velatura


def is_current(figure: Path, out: Path) -> bool:
    """Whether the results are newer than every file in the figure's folder."""
    report = out / "report.json"
    if not report.is_file():
        return False
    newest = max(path.stat().st_mtime_ns for path in figure.parent.iterdir() if path.is_file())
    return report.stat().st_mtime_ns > newest


@ray.remote(max_retries=3)
def render(figure: str, out: str, options: dict) -> str | None:
    """Renders one figure. Returns why it could not be rendered, if it could not."""
    try:
        velatura.Session().load(figure).write(out, **options)
    except velatura.VelaturaError as error:
        # A mistake in a file stays a mistake: do not try again.
        return str(error)
    return None


def render_all(army: Path, out: Path, processors: int = 2, **options) -> dict[str, str]:
    """Renders every figure below `army`. Returns the figures that failed, each with its reason."""
    figures = sorted(army.rglob("figure.toml"))
    if not figures:
        raise SystemExit(f"{army}: there is no figure.toml in this folder")
    waiting = {}
    for figure in figures:
        own = out / figure.parent.relative_to(army)
        if not is_current(figure, own):
            task = render.options(num_cpus=processors)
            waiting[task.remote(str(figure), str(own), options)] = str(figure)
    failed = {}
    while waiting:
        [done], _ = ray.wait(list(waiting), num_returns=1)
        figure = waiting.pop(done)
        try:
            why = ray.get(done)
        except ray.exceptions.RayError as error:
            why = f"its worker died again and again: {error}"
        print(f"{'failed' if why else 'rendered':<9} {figure}", flush=True)
        if why:
            failed[figure] = why
    return failed


def main() -> None:
    """Reads the command line."""
    parser = argparse.ArgumentParser(description="Render a folder of figures with Ray")
    parser.add_argument("army", type=Path, help="Folder with a figure.toml in each of its folders")
    parser.add_argument("out", type=Path, help="Folder for the results")
    parser.add_argument("--processors", type=int, default=2, help="Processors that one figure reserves, at most those of one machine")
    parser.add_argument("--previews", choices=["png", "webp", "jpeg", "none"], default="png", help="File format of the previews")
    call = parser.parse_args()
    ray.init()
    most = max((int(node["Resources"].get("CPU", 0)) for node in ray.nodes()), default=0)
    if call.processors > most:
        raise SystemExit(f"--processors {call.processors}: no machine of this cluster has more than {most}")
    previews = None if call.previews == "none" else call.previews
    failed = render_all(call.army, call.out, call.processors, previews=previews)
    for figure, why in failed.items():
        print(f"{figure}: {why}", file=sys.stderr)
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
