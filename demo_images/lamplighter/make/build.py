"""Meshes every part and measures, at each vertex, how a brush would meet it. Writes parts.npz files."""
import sys
import time
from pathlib import Path

import numpy as np
from scipy.ndimage import gaussian_filter, map_coordinates

import base
import sculpt
import sdf

GRID, LO, HI = 0.11, (-16.2, -16.2, -4.4), (16.2, 16.2, 44.6)


def parts():
    out = {k: v[:4] for k, v in sculpt.REGIONS.items()}
    out.update(base.PARTS)
    return out


def one(name, coarse):
    f, lo, hi, voxel = parts()[name]
    v, t = sdf.mesh(f, lo, hi, voxel * coarse)
    g, glo = sdf.sample(f, np.array(LO) + np.floor((np.array(lo) - LO) / GRID) * GRID, hi, GRID)
    return name, v, t, np.clip(0.5 - g / GRID, 0, 1).astype(np.float16), glo


def main(folder, coarse=1.0):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    start = time.time()
    shape = np.ceil((np.array(HI) - LO) / GRID).astype(int)
    solid = np.zeros(shape, np.float32)
    found = {}
    for name in parts():
        _, v, t, occ, glo = one(name, coarse)
        i = np.round((glo - LO) / GRID).astype(int)
        a, b = np.maximum(i, 0), np.minimum(i + occ.shape, shape)
        part = occ[tuple(slice(a[k] - i[k], b[k] - i[k]) for k in range(3))]
        view = solid[tuple(slice(a[k], b[k]) for k in range(3))]
        np.maximum(view, part, out=view)
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
    main(sys.argv[1], float(sys.argv[2]) if len(sys.argv) > 2 else 1.0)
