"""Signed distance building blocks and a block-sparse mesher (millimetres, z up, front is -y)."""
import numpy as np
from skimage.measure import marching_cubes

F = np.float32


def vec(*v):
    return np.array(v, F)


def smin(a, b, k):
    h = np.clip(0.5 + 0.5 * (b - a) / k, 0, 1)
    return b + (a - b) * h - k * h * (1 - h)


def smax(a, b, k):
    return -smin(-a, -b, k)


def step(a, b, x):
    t = np.clip((x - a) / (b - a), 0, 1)
    return t * t * (3 - 2 * t)


def bell(x, w):
    return np.exp(-np.square(x / w))


def curve(xs, ys):
    """A smooth 1-D profile as a fast table lookup."""
    from scipy.interpolate import PchipInterpolator
    grid = np.linspace(xs[0], xs[-1], 800)
    table = PchipInterpolator(xs, ys)(grid)
    return lambda x: np.interp(x, grid, table).astype(F)


def cone(p, a, b, ra, rb=None):
    """A capsule whose radius runs from ra to rb; also gives the place along it, 0..1."""
    rb = ra if rb is None else rb
    a, b = np.asarray(a, F), np.asarray(b, F)
    ba = b - a
    q = [p[i] - a[i] for i in range(3)]
    h = np.clip((q[0] * ba[0] + q[1] * ba[1] + q[2] * ba[2]) / np.dot(ba, ba), 0, 1)
    d = np.sqrt(sum(np.square(q[i] - ba[i] * h) for i in range(3)))
    return d - (ra + (rb - ra) * h)


def chain(p, points, radii, k=0.05):
    d = None
    for a, b, ra, rb in zip(points, points[1:], radii, radii[1:]):
        e = cone(p, a, b, ra, rb)
        d = e if d is None else smin(d, e, k)
    return d


def ball(p, c, r):
    return np.sqrt(sum(np.square(p[i] - F(c[i])) for i in range(3))) - F(r)


def ellipsoid(p, c, r):
    q = [(p[i] - F(c[i])) for i in range(3)]
    k0 = np.sqrt(sum(np.square(q[i] / F(r[i])) for i in range(3)))
    k1 = np.sqrt(sum(np.square(q[i] / F(r[i] ** 2)) for i in range(3))) + F(1e-6)
    return k0 * (k0 - 1) / k1


def box(p, c, half, r=0.05):
    q = [np.abs(p[i] - F(c[i])) - F(half[i] - r) for i in range(3)]
    out = np.sqrt(sum(np.square(np.maximum(v, 0)) for v in q))
    return out + np.minimum(np.maximum(np.maximum(q[0], q[1]), q[2]), 0) - F(r)


def turn(p, c, yaw=0.0, pitch=0.0, roll=0.0):
    """Points in the frame of a part at c, turned by degrees: yaw about z, pitch about x, roll about y."""
    cy, sy, cp, sp, cr, sr = [f(np.radians(v)) for v in (yaw, pitch, roll) for f in (np.cos, np.sin)]
    rz = np.array([[cy, -sy, 0], [sy, cy, 0], [0, 0, 1]])
    rx = np.array([[1, 0, 0], [0, cp, -sp], [0, sp, cp]])
    ry = np.array([[cr, 0, sr], [0, 1, 0], [-sr, 0, cr]])
    m = (rz @ rx @ ry).T.astype(F)
    q = [p[i] - F(c[i]) for i in range(3)]
    return [m[i, 0] * q[0] + m[i, 1] * q[1] + m[i, 2] * q[2] for i in range(3)]


def frame(a, b):
    """Unit axis a->b and two units across it."""
    w = np.asarray(b, float) - np.asarray(a, float)
    w /= np.linalg.norm(w)
    u = np.cross(w, [0, 0, 1] if abs(w[2]) < 0.9 else [1, 0, 0])
    u /= np.linalg.norm(u)
    return w.astype(F), u.astype(F), np.cross(w, u).astype(F)


def along(p, a, b):
    """Cylinder coordinates about the line a->b: distance along, angle, radius."""
    w, u, v = frame(a, b)
    q = [p[i] - F(a[i]) for i in range(3)]
    h, x, y = [q[0] * e[0] + q[1] * e[1] + q[2] * e[2] for e in (w, u, v)]
    return h, np.arctan2(y, x), np.sqrt(x * x + y * y)


def fold(phase, sharp=0.06):
    """Cloth fold across its phase: broad rounded ridge, narrow valley; about -1..1."""
    s = np.sin(phase / 2)
    return 2 * np.sqrt(s * s + F(sharp * sharp)) - F(1.15)


_table = np.random.default_rng(7).standard_normal((48, 48, 48)).astype(F) * F(0.5)


def noise(p, scale, seed=0):
    """Smooth value noise, about -1..1."""
    out = F(0)
    base, frac = [], []
    for i in range(3):
        s = scale[i] if np.ndim(scale) else scale
        v = p[i] * F(s) + F(17.3 * seed + 5.1 * i)
        b = np.floor(v)
        f = v - b
        base.append(b.astype(np.int32))
        frac.append((f * f * (3 - 2 * f)).astype(F))
    for dx in (0, 1):
        wx = frac[0] if dx else 1 - frac[0]
        for dy in (0, 1):
            wy = frac[1] if dy else 1 - frac[1]
            for dz in (0, 1):
                wz = frac[2] if dz else 1 - frac[2]
                out = out + _table[(base[0] + dx) % 48, (base[1] + dy) % 48, (base[2] + dz) % 48] * wx * wy * wz
    return out


def creases(p, scale, seed, width=0.1):
    """Thin valleys wandering along stretched noise, as cloth keeps them."""
    n = noise(p, scale, seed)
    return bell(n - F(0.12), width) * step(-0.5, 0.4, noise(p, 0.35, seed + 50))


def sample(f, lo, hi, voxel, block=16):
    """f on a regular grid, evaluated finely only in blocks that the surface may cross."""
    lo, hi = np.asarray(lo, float), np.asarray(hi, float)
    n = (np.ceil((hi - lo) / voxel / block).astype(int)) * block
    half = voxel * block / 2
    ax = [(lo[i] + half + np.arange(n[i] // block) * 2 * half).astype(F) for i in range(3)]
    mid = f([a.ravel() for a in np.meshgrid(*ax, indexing="ij")]).reshape([len(a) for a in ax])
    grid = np.repeat(np.repeat(np.repeat(mid, block, 0), block, 1), block, 2)
    near = np.argwhere(np.abs(mid) < half * np.sqrt(3) * 1.5 + 0.45)
    off = np.arange(block) * voxel
    for start in range(0, len(near), 64):
        part = near[start:start + 64]
        o = [lo[i] + part[:, i] * block * voxel for i in range(3)]
        p = [(o[0][:, None, None, None] + off[None, :, None, None]), (o[1][:, None, None, None] + off[None, None, :, None]),
             (o[2][:, None, None, None] + off[None, None, None, :])]
        p = [np.broadcast_to(v, (len(part), block, block, block)).astype(F).ravel() for v in p]
        d = f(p).reshape(-1, block, block, block)
        for (i, j, k), v in zip(part * block, d):
            grid[i:i + block, j:j + block, k:k + block] = v
    return grid, lo


def mesh(f, lo, hi, voxel):
    grid, lo = sample(f, lo, hi, voxel)
    grid = np.pad(grid, 1, constant_values=1.0)
    verts, faces, _, _ = marching_cubes(grid, 0.0)
    return ((verts - 1) * voxel + lo).astype(F), faces[:, ::-1].astype(np.int32)
