"""Meshes every part of a figure and measures, at each vertex, how a brush would meet it. Usage: build.py FIGURE PARTS [coarse]."""
import sys
import time
from pathlib import Path

import numpy as np
from scipy.ndimage import gaussian_filter, map_coordinates

import sdf
from figures import figure

GRID, LO, HI = 0.11, (-16.2, -16.2, -4.4), (16.2, 16.2, 44.6)


def one(part, coarse):
    f, lo, hi, voxel = part
    v, t = sdf.mesh(f, lo, hi, voxel * coarse)
    g, glo = sdf.sample(f, np.array(LO) + np.floor((np.array(lo) - LO) / GRID) * GRID, hi, GRID)
    return v, t, np.clip(0.5 - g / GRID, 0, 1).astype(np.float16), glo


def main(name, folder, coarse=1.0):
    parts = figure(name).parts
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    start = time.time()
    shape = np.ceil((np.array(HI) - LO) / GRID).astype(int)
    solid = np.zeros(shape, np.float32)
    found = {}
    for name, part in parts.items():
        v, t, occ, glo = one(part, coarse)
        i = np.round((glo - LO) / GRID).astype(int)
        a, b = np.maximum(i, 0), np.minimum(i + occ.shape, shape)
        inside = occ[tuple(slice(a[k] - i[k], b[k] - i[k]) for k in range(3))]
        view = solid[tuple(slice(a[k], b[k]) for k in range(3))]
        np.maximum(view, inside, out=view)
        found[name] = (v, t)
        print(name, len(v), f"{time.time() - start:.0f}s", flush=True)
    at = {n: ((v - np.array(LO)) / GRID - 0.0).T.astype(np.float32) for n, (v, t) in found.items()}
    # Solid share of a ball about the vertex, at four sizes: 0.5 on a flat, less on an edge, more in a recess.
    hollow = {n: [] for n in found}
    for sigma in (0.14, 0.32, 0.8, 2.2):
        if sigma < 0.5:
            field, zoom = gaussian_filter(solid, sigma / GRID, truncate=3), 1
        else:
            zoom = 2 if sigma < 1.5 else 4
            n = [s // zoom * zoom for s in shape]
            small = solid[:n[0], :n[1], :n[2]].reshape(n[0] // zoom, zoom, n[1] // zoom, zoom, n[2] // zoom, zoom).mean((1, 3, 5))
            field = gaussian_filter(small, sigma / GRID / zoom, truncate=3)
        for n in found:
            hollow[n].append(map_coordinates(field, (at[n] - (zoom - 1) / 2) / zoom, order=1, mode="nearest"))
        print("scale", sigma, f"{time.time() - start:.0f}s", flush=True)
    for n, (v, t) in found.items():
        np.savez(folder / f"{n}.npz", v=v, t=t, hollow=np.array(hollow[n], np.float32))


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], float(sys.argv[3]) if len(sys.argv) > 3 else 1.0)
