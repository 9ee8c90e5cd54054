"""Work releases the interpreter lock, and can be stopped."""

import os
import subprocess
import sys
import threading
import time

import numpy as np
import pytest
import velatura
from conftest import DEMO


class Counting:
    """A thread that counts whenever it gets the interpreter lock. Nothing takes the lock from a thread that does not release it."""

    def __enter__(self):
        self.interval = sys.getswitchinterval()
        sys.setswitchinterval(1000)
        self.count, self.going_on = 0, True
        self.thread = threading.Thread(target=self.go_on)
        self.thread.start()
        return self

    def go_on(self):
        while self.going_on:
            self.count += 1
            time.sleep(0.0005)

    def during(self, work):
        """How far it counts during some work."""
        before = self.count
        work()
        return self.count - before

    def __exit__(self, *_):
        self.going_on = False
        self.thread.join()
        sys.setswitchinterval(self.interval)


def test_other_threads_go_on_during_work(demo, tmp_path):
    session = velatura.Session()
    paints = DEMO / "paints.toml"
    with Counting() as counting:
        assert counting.during(lambda: demo.render_all(["Foglight", "Low Tide"])) > 0
        assert counting.during(lambda: session.load(DEMO / "figure.toml")) > 0
        assert counting.during(lambda: demo.write(tmp_path, sheet_only=True)) > 0
        assert counting.during(lambda: velatura.match_colour(paints, "#5fa8a0", "#e0e0e0")) > 0
        # Must fail: work that holds the lock.
        assert counting.during(lambda: sum(range(20_000_000))) == 0


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_two_loads_run_at_once(small):
    """One load waits in the middle, for paints from a pipe, while another begins and ends."""
    session = velatura.Session()
    pipe = small.with_name("pipe")
    os.mkfifo(pipe)
    writer = os.open(pipe, os.O_RDWR)
    jobs = []
    waiting = threading.Thread(target=lambda: jobs.append(session.load(small, paints=pipe)))
    waiting.start()
    other = threading.Thread(target=lambda: jobs.append(session.load(small)))
    other.start()
    other.join()
    assert waiting.is_alive() and len(jobs) == 1
    os.write(writer, small.with_name("paints.toml").read_bytes())
    os.close(writer)
    waiting.join()
    first, second = jobs
    assert np.array_equal(first.render("Foglight"), second.render("Foglight"))


def test_many_threads_share_a_job(small):
    job = velatura.Session().load(small)
    expected = job.render("Foglight")
    pictures = []
    threads = [
        threading.Thread(target=lambda: pictures.append(job.render("Foglight"))) for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(pictures) == 8 and all(np.array_equal(one, expected) for one in pictures)


def test_cancel_stops_work_and_nothing_is_written(small, tmp_path):
    job = velatura.Session().load(small)
    cancel = velatura.Cancel()
    assert not cancel.is_stopped
    assert job.render("Foglight", cancel=cancel).shape == (64, 96, 3)
    cancel.stop()
    assert cancel.is_stopped
    out = tmp_path / "out"
    paints = small.with_name("paints.toml")
    for work in [
        lambda: job.render("Foglight", cancel=cancel),
        lambda: job.render_all(cancel=cancel),
        lambda: job.write(out, cancel=cancel),
        lambda: velatura.match_colour(paints, "#5fa8a0", "#e0e0e0", cancel=cancel),
    ]:
        with pytest.raises(velatura.Cancelled) as error:
            work()
        assert error.value.diagnostics == []
    assert not any(path.is_file() for path in out.rglob("*"))


def in_process(script, *arguments):
    """What a Python process prints."""
    call = [sys.executable, "-c", script, *map(str, arguments)]
    done = subprocess.run(call, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such signals")
def test_ctrl_c_stops_work(tmp_path):
    """The signal comes once the folder has the first file of a render that takes seconds."""
    script = """
import os, pathlib, signal, sys, threading, time, velatura
job = velatura.Session(backend="cpu").load(sys.argv[1])
out = pathlib.Path(sys.argv[2])
def interrupt():
    while not any(path.is_file() for path in out.rglob("*")):
        time.sleep(0.001)
    os.kill(os.getpid(), signal.SIGINT)
threading.Thread(target=interrupt, daemon=True).start()
try:
    job.write(out)
    print("finished")
except KeyboardInterrupt:
    print("stopped", sorted(str(path) for path in out.rglob("*") if path.is_file()))
"""
    assert in_process(script, DEMO / "figure.toml", tmp_path / "out") == "stopped []"


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_a_forked_process_is_refused_and_does_not_hang(small):
    script = """
import os, sys, warnings, velatura
warnings.simplefilter("ignore", DeprecationWarning)
session = velatura.Session()
session.load(sys.argv[1])
if os.fork() == 0:
    try:
        session.load(sys.argv[1])
    except velatura.MachineError as error:
        print(error.diagnostics[0]["help"], flush=True)
    os._exit(0)
os.wait()
"""
    assert in_process(script, small) == 'use multiprocessing.get_context("spawn")'


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")
def test_a_process_forked_before_any_work_works(small):
    script = """
import os, sys, velatura
if os.fork() == 0:
    print(velatura.Session().load(sys.argv[1]).render("Foglight").shape, flush=True)
    os._exit(0)
os.wait()
"""
    assert in_process(script, small) == "(64, 96, 3)"
