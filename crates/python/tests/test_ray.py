"""The example that renders many figures with Ray: same bytes as one after the other, and a killed worker loses nothing."""

import json
import os
import signal
import sys
import threading
import time
from pathlib import Path

import psutil
import pytest
import ray
import velatura
from conftest import ROOT, files_in, write_small

sys.path.insert(0, str(ROOT / "crates" / "python" / "examples"))
import ray_many  # noqa: E402

FIGURES = 12


@pytest.fixture(scope="module", autouse=True)
def workers():
    """Two local workers that find the example."""
    folder = str(Path(ray_many.__file__).parent)
    ray.init(num_cpus=2, include_dashboard=False, runtime_env={"env_vars": {"PYTHONPATH": folder}})
    yield
    ray.shutdown()


@pytest.fixture
def army(tmp_path):
    """Many small figures, some in deeper folders."""
    for index in range(FIGURES):
        folder = tmp_path / "army" / f"team-{index % 3}" / f"figure-{index}"
        folder.mkdir(parents=True)
        write_small(folder)
    return tmp_path / "army"


def without_times(files):
    """Without what differs from run to run."""
    for path, content in files.items():
        if path.endswith("report.json"):
            report = json.loads(content)
            assert report.pop("timings_ms")
            files[path] = report
    return files


def one_after_the_other(army, out):
    for figure in sorted(army.rglob("figure.toml")):
        velatura.Session().load(figure).write(out / figure.parent.relative_to(army))
    return without_times(files_in(out))


def test_two_workers_write_the_bytes_of_a_single_run_and_then_have_nothing_to_do(army, tmp_path):
    single = one_after_the_other(army, tmp_path / "single")
    assert len(single) >= 4 * FIGURES
    assert ray_many.render_all(army, tmp_path / "ray", processors=1) == {}
    assert without_times(files_in(tmp_path / "ray")) == single
    written = {path: path.stat().st_mtime_ns for path in (tmp_path / "ray").rglob("*.png")}
    assert ray_many.render_all(army, tmp_path / "ray", processors=1) == {}
    assert all(path.stat().st_mtime_ns == time_ns for path, time_ns in written.items())


def kill_workers(killed, stop):
    """Kills three workers while they render."""
    while len(killed) < 3 and not stop.is_set():
        for process in psutil.process_iter(["name", "cmdline"]):
            line = " ".join(process.info["cmdline"] or [process.info["name"] or ""])
            if line.startswith("ray::render") and process.pid not in killed:
                try:
                    os.kill(process.pid, signal.SIGKILL)
                except ProcessLookupError:
                    continue
                killed.append(process.pid)
                break
        time.sleep(0.05)


def test_a_killed_worker_loses_nothing(army, tmp_path):
    single = one_after_the_other(army, tmp_path / "single")
    killed, stop = [], threading.Event()
    killer = threading.Thread(target=kill_workers, args=(killed, stop))
    killer.start()
    try:
        failed = ray_many.render_all(army, tmp_path / "ray", processors=1)
    finally:
        stop.set()
        killer.join()
    assert killed, "no worker was killed, so this proves nothing"
    assert failed == {}
    assert without_times(files_in(tmp_path / "ray")) == single


def test_a_figure_with_a_mistake_fails_alone(army, tmp_path):
    broken = army / "team-1" / "figure-1" / "figure.toml"
    broken.write_text(broken.read_text().replace("photo.png", "lost.png"))
    failed = ray_many.render_all(army, tmp_path / "ray", processors=1)
    assert list(failed) == [str(broken)]
    assert "lost.png" in failed[str(broken)]
    assert len(list((tmp_path / "ray").rglob("report.json"))) == FIGURES - 1
