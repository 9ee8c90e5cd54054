"""Renders a figure on a graphics card (CuPy, tracer.cu): as matte as in scene.py, but in seconds, for many variants of a figure."""
from dataclasses import dataclass
from pathlib import Path

import cupy
import numpy as np

from brush import load

AIM = np.array([-0.9, 0, 19.3])
STEPS = 1024


@dataclass
class Setup:
    """What may differ from one figure to the next; the defaults are those of the demo's figures."""
    black: float = 0.01161                     # reflectance of the dark primer
    grey: float = 0.20                         # of the first, wide drybrushing
    white: float = 0.80                        # of the last, narrow one
    first: tuple = (0.22, 0.78)                # how raised a place is where the first begins, and where it covers
    last: tuple = (0.50, 1.02)                 # the same for the last
    streaks: float = 1.0                       # strength of the brush marks
    wash: tuple = (-0.04, 0.17, 0.80, 0.09)    # hollow between which it gathers, reflectance without and with all of it
    lamp: tuple = (-120, -150, 165)            # place of the lamp from the middle of the figure, mm
    size: float = 62                           # its side, mm
    fill: tuple = (190, -120, 70)              # place of the weak lamp
    fill_power: float = 0.16
    room: float = 0.06                         # even light from everywhere
    yaw: float = 13                            # how far the figure is turned, degrees
    card: float = 0.5                          # linear light of a card of reflectance 0.5 that faces the lamp
    scale: tuple = (1, 1, 1)                   # proportions of the figure
    twist: float = 0.0                         # turn of the head against the feet, degrees


def turned(v, degrees):
    """Points turned about the upright axis; an angle each, or one for all."""
    a = np.radians(degrees)
    c, s = np.cos(a), np.sin(a)
    return np.stack([c * v[:, 0] - s * v[:, 1], s * v[:, 0] + c * v[:, 1], v[:, 2]], 1).astype(np.float32)


class Tracer:
    def __init__(self, parts, figure, setup):
        self.setup, self.kernel = setup, cupy.RawKernel(Path(__file__).with_name("tracer.cu").read_text(), "render", options=("--std=c++14",))
        made = load(parts, figure)
        self.names = list(made)
        corners, normals, dry, deep, part = [], [], [], [], []
        for k, (v, t, d, w, n) in enumerate(made.values()):
            v = v * np.array(setup.scale, np.float32)
            about = setup.yaw + setup.twist * np.clip((v[:, 2] - 3) / 30, 0, 1)
            v, n = turned(v, about), turned(n / np.array(setup.scale, np.float32), about)
            corners.append(v[t]), normals.append(n[t]), dry.append(d[t]), deep.append(w[t]), part.append(np.full(len(t), k, np.int32))
        self.tree(*(np.concatenate(x) for x in (corners, normals, dry, deep, part)))
        self.lamps, self.room = self.lights()

    def tree(self, corners, normals, dry, deep, part):
        """Triangles along Morton's curve in leaves of four, under a complete binary tree of boxes."""
        middle = corners.mean(1)
        cell = ((middle - middle.min(0)) / (np.ptp(middle, 0).max() + 1e-6) * 1023).astype(np.int64)
        code = np.zeros(len(cell), np.int64)
        for bit in range(10):
            for axis in range(3):
                code |= ((cell[:, axis] >> bit) & 1) << (3 * bit + axis)
        order = np.argsort(code, kind="stable")
        leaves = 1 << int(np.ceil(np.log2(len(order) / 4)))
        pad = leaves * 4 - len(order)
        take = lambda x: np.concatenate([x[order], np.zeros((pad, *x.shape[1:]), x.dtype)])
        corners, normals, dry, deep, part = (take(x) for x in (corners, normals, dry, deep, part))
        lo, hi = corners.min(1), corners.max(1)
        lo[len(order):], hi[len(order):] = 1e8, -1e8
        level = [(lo.reshape(leaves, 4, 3).min(1), hi.reshape(leaves, 4, 3).max(1))]
        while len(level[-1][0]) > 1:
            a, b = level[-1]
            level.append((a.reshape(-1, 2, 3).min(1), b.reshape(-1, 2, 3).max(1)))
        lo, hi = (np.concatenate([x[i] for x in reversed(level)]) for i in (0, 1))
        none = (lo > hi).any(1)
        lo[none], hi[none] = 1e8, 1e8               # leaves without a triangle, where no ray comes
        put = lambda x: cupy.asarray(np.ascontiguousarray(x, np.float32))
        self.leaves = leaves
        self.arrays = [put(x) for x in (lo, hi, corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0],
                                        normals[:, 0], normals[:, 1], normals[:, 2], dry, deep)] + [cupy.asarray(part)]

    def lights(self):
        """Lamps as place, two sides, direction, strength; all light scaled so that the card reads as it should."""
        u, lamps, on_card = self.setup, [], self.setup.room * np.pi
        towards = np.array(u.lamp) / np.linalg.norm(u.lamp)
        for place, size, power in ((u.lamp, u.size, 1.0), (u.fill, 160, u.fill_power)):
            n = -np.array(place, float) / np.linalg.norm(place)
            a = np.cross(n, [0, 0, 1.0])
            a /= np.linalg.norm(a)
            strength = power * 1e5 / np.pi                    # radiance × area
            lamps.append([*(AIM + place), *(a * size), *(np.cross(n, a) * size), *n, strength])
            on_card += strength * max(0, -n @ towards) / np.dot(place, place)
        gain = u.card / 0.5 * np.pi / on_card
        lamps = np.array(lamps, np.float32)
        lamps[:, 12] *= gain
        return lamps, u.room * gain

    def render(self, width, height, samples, looks=None, washed=False, kind=0, blur=0.0, seed=1):
        """Linear RGB; looks: per part a table over the undercoat's grey, which the grey itself replaces where there is none."""
        u = self.setup
        table = np.repeat(np.linspace(0, 1, STEPS, dtype=np.float32)[None, :, None], 3, 2).repeat(len(self.names), 0)
        for name, rows in (looks or {}).items():
            table[self.names.index(name)] = rows
        numbers = [np.cos(np.radians(u.yaw)), np.sin(np.radians(u.yaw)), u.black, u.grey, u.white, *u.first, *u.last, u.streaks, *u.wash]
        b = np.radians(9)
        view = [*(AIM + [0, -330 * np.cos(b), 330 * np.sin(b)]), 1, 0, 0, 0, np.sin(b), np.cos(b), 0, np.cos(b), -np.sin(b), 54.5 / 2 / 330, self.room]
        table, numbers, view, lamps = (cupy.asarray(np.asarray(x, np.float32)) for x in (table, numbers, view, self.lamps))
        out = cupy.zeros((height, width, 3), cupy.float32)
        scene = np.zeros(1, np.dtype([(f"p{i}", np.uint64) for i in range(12)] + [("leaves", np.int32), ("steps", np.int32), ("washed", np.int32), ("", np.int32), ("set", np.uint64)]))
        for i, x in enumerate([*self.arrays, table]):
            scene[f"p{i}"] = x.data.ptr
        scene["leaves"], scene["steps"], scene["washed"], scene["set"] = self.leaves, STEPS, int(washed), numbers.data.ptr
        self.kernel(((width * height + 127) // 128,), (128,), (out, cupy.asarray(scene.view(np.uint8)), lamps, view, np.int32(width), np.int32(height), np.int32(samples), np.float32(blur), np.int32(kind), np.uint32(seed)))
        return cupy.asnumpy(out)
