"""Where a nearly dry brush leaves paint on the meshes, and where a wash gathers."""
from pathlib import Path

import numpy as np


def catch(v, normal, hollow):
    """How readily a nearly dry brush, stroked downward, leaves paint here; and how much a thin wash gathers."""
    edge = 0.5 - hollow
    up = normal[:, 2]
    dry = 1.2 * edge[0] + 1.5 * edge[1] + 0.9 * edge[2] + 0.55 * edge[3] + 0.06 * up
    deep = 0.9 * (hollow[0] - 0.5) + 0.9 * (hollow[1] - 0.5) + 0.8 * (hollow[2] - 0.5) + 0.15 * (hollow[3] - 0.5)
    return dry.astype(np.float32), deep.astype(np.float32)


def load(folder, figure):
    made, every, size = {}, [], []
    for path in sorted(Path(folder).glob("*.npz")):
        z = np.load(path)
        v, t = z["v"], z["t"]
        e = np.cross(v[t[:, 1]] - v[t[:, 0]], v[t[:, 2]] - v[t[:, 0]])
        n = np.zeros_like(v)
        for k in range(3):
            for a in range(3):
                n[:, a] += np.bincount(t[:, k], e[:, a], len(v)).astype(np.float32)
        area = np.linalg.norm(n, axis=1)
        n /= area[:, None] + 1e-12
        dry, deep = catch(v, n, z["hollow"])
        made[path.stem] = (v, t, dry, deep, n)
        if path.stem in figure.regions:
            seen = z["hollow"][3] < 0.72
            every.append(dry[seen])
            size.append(area[seen])
    # Rank the catch by area, partly within each part and partly over the figure, so that the thresholds below read
    # as shares of the surface: a painter works every part up to its own edges.
    whole = ranks(np.concatenate(every), np.concatenate(size))
    for name, (v, t, d, deep, n) in made.items():
        own = ranks(d, np.ones_like(d))
        made[name] = (v, t, (0.55 * own(d) + 0.45 * whole(d) + figure.team.LIFT.get(name, 0)).astype(np.float32), deep, n)
    return made


def ranks(x, weight):
    order = np.argsort(x)
    share = np.cumsum(weight[order], dtype=np.float64) / weight.sum()
    grid = np.linspace(*np.quantile(x, [0.0005, 0.9995]), 2000)
    table = np.interp(grid, x[order], share)
    return lambda v: np.interp(v, grid, table)
