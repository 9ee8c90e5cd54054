"""The round base: wet mud and water, a cut stump, tussocks, reeds. No region of the mask."""
import numpy as np
from sdf import F, ball, bell, chain, cone, ellipsoid, fold, noise, smax, smin, step

RNG = np.random.default_rng(58)
REEDS = []
for _ in range(38):
    a, r = RNG.uniform(1.75, 2.75), RNG.uniform(8.4, 13.0)
    foot = np.array([r * np.cos(a), r * np.sin(a), -0.5])
    lean = np.array([RNG.uniform(-0.30, 0.12), RNG.uniform(-0.2, 0.2), 0])
    REEDS.append((foot, lean, RNG.uniform(7, 17), RNG.uniform(-1, 1), RNG.random() < 0.3))
BLADES = []
for cx, cy, n in ((8.4, -8.2, 34), (-11.4, -4.6, 26), (11.8, 2.6, 30)):
    for _ in range(n):
        a, out = RNG.uniform(0, 2 * np.pi), RNG.uniform(0.1, 0.9)
        foot = np.array([cx + out * np.cos(a), cy + out * np.sin(a), -0.6])
        away = np.array([np.cos(a), np.sin(a), 0]) * RNG.uniform(0.4, 1.5)
        BLADES.append((foot, away, RNG.uniform(1.4, 3.3)))
STUMP = (-3.2, -4.4)


def ground(p):
    """Mud that falls to a sheet of water in front, viewer's right."""
    x, y, z = p
    mud = F(-0.55) + F(0.30) * noise(p, 0.35, 35) + F(0.16) * noise(p, 1.1, 36) + F(0.06) * noise(p, 3.2, 37)
    pool = np.sqrt(np.square((x - F(2.0)) / F(1.9)) + np.square(y + F(9.0))) - F(3.3) - F(0.8) * noise(p, 0.5, 38)
    mud = mud - F(0.75) * step(0.9, -0.5, pool)
    ripple = F(0.03) * np.sin(F(5.5) * np.sqrt(np.square(x - F(1)) + np.square(y + F(9.0)))) * step(0.2, -1.0, pool)
    return z - np.maximum(mud, F(-0.86) + ripple)


def stump(p):
    x, y, z = p
    r, t = np.sqrt(np.square(x - F(STUMP[0])) + np.square(y - F(STUMP[1]))), np.arctan2(y - F(STUMP[1]), x - F(STUMP[0]))
    rad = F(2.75) + F(0.22) * np.sin(3 * t + 1) + F(0.8) * bell(z + F(0.9), 1.1) * (F(0.6) + F(0.4) * np.sin(5 * t))
    bark = F(0.16) * fold(15 * t + F(0.8) * np.sin(z * F(1.3) + 2 * t) + F(1.2) * noise(p, 0.8, 41), 0.1) + F(0.06) * noise(p, 3, 42)
    rings = F(0.035) * np.sin(r * F(11) + F(0.8) * np.sin(t) + noise(p, 1, 43))
    top = z - F(2.98) + rings - F(0.05) * fold(F(2) * t, 0.05) * bell(r - F(1.6), 0.8)
    d = smax(r - rad - bark, top, 0.16)
    for a, lo in ((2.6, 0.6), (0.9, 1.4)):           # shelf fungus
        c = (STUMP[0] + 2.9 * np.cos(a + np.pi), STUMP[1] + 2.9 * np.sin(a + np.pi), lo)
        d = smin(d, smax(ellipsoid(p, c, (1.05, 1.05, 0.4)), F(lo - 0.12) - z, 0.08), 0.05)
    return d


def base(p):
    x, y, z = p
    r = np.sqrt(x * x + y * y)
    d = smax((r - F(14.6) + F(0.28) * (z + F(0.75))) * F(0.96), np.abs(z + F(2.2)) - F(1.5), 0.25)
    d = np.minimum(d, smax(ground(p), r - F(14.1), 0.3))
    d = smin(d, stump(p), 0.25)
    for cx, cy, cz, s, k in ((-7.2, -9.4, -0.4, 1.0, 1), (-5.6, -10.6, -0.5, 0.7, 2), (6.6, -3.2, -0.3, 0.9, 3), (-9.6, -7.2, -0.4, 0.8, 4), (10.6, -5.6, -0.4, 0.85, 5), (1.4, -5.6, -0.4, 0.55, 6), (-0.4, -11.8, -0.6, 0.6, 7)):
        q = [x - F(cx), y - F(cy), (z - F(cz)) * F(1.4)]
        st = np.sqrt(q[0] ** 2 + q[1] ** 2 + q[2] ** 2) - F(s) - F(0.2) * noise(p, 1.1, 40 + k) - F(0.04) * noise(p, 4, 50 + k)
        d = smin(d, st, 0.08)
    # A mooring post, rotten, with a rope about it, at the back on the viewer's right.
    px, py = 8.6, 7.0
    rr, t = np.sqrt(np.square(x - F(px) - F(0.12) * z) + np.square(y - F(py))), np.arctan2(y - F(py), x - F(px))
    post = rr - F(1.25) - F(0.10) * fold(9 * t + F(0.9) * np.sin(z * F(0.7)) + noise(p, 0.7, 44), 0.1)
    d = smin(d, smax(post, z - F(7.6) - F(1.1) * noise([x, y, z * 0], 0.9, 45), 0.15), 0.2)
    for k in range(3):
        a, b = rr - F(1.5), z - F(5.4) - F(0.62) * k - F(0.12) * np.sin(t + k)
        ang = np.arctan2(b, a)
        d = np.minimum(d, np.sqrt(a * a + b * b) - F(0.32) - F(0.07) * np.sin(2 * ang + 10 * t))
    # A frog at the water, looking out.
    fx, fy, fz = 4.9, -8.6, -0.35
    q = [x - F(fx), y - F(fy), z - F(fz)]
    side = [np.abs(q[0]), q[1], q[2]]
    frog = smin(ellipsoid(q, (0, 0.2, 0.5), (0.75, 1.05, 0.6)), ellipsoid(q, (0, -0.75, 0.75), (0.62, 0.6, 0.42)), 0.25)
    frog = smin(frog, ball(side, (0.36, -0.75, 1.12), 0.22), 0.06)
    frog = smin(frog, chain(side, [(0.75, 0.7, 0.4), (1.15, 0.0, 0.55), (0.9, 0.75, 0.12)], [0.38, 0.28, 0.18]), 0.08)
    frog = smin(frog, chain(side, [(0.5, -0.5, 0.45), (0.75, -0.9, 0.05)], [0.2, 0.14]), 0.08)
    return np.minimum(d, frog)


def stalk(q, foot, lean, tall, bend, head):
    t = np.linspace(0, 1, 6)
    pts = [foot + np.array([0, 0, tall]) * a + lean * tall * a ** 2 + np.array([bend, bend * 0.4, -0.12 * tall * abs(bend)]) * (0 if head else 1.6) * a ** 3 for a in t]
    e = chain(q, pts, [0.22] * 6 if head else list(0.30 * (1 - t) ** 0.6 + 0.07), 0.02)
    if head:
        up = pts[-1] - pts[-2]
        up = up / np.linalg.norm(up)
        e = np.minimum(e, cone(q, pts[-1] - up * 1.9, pts[-1], 0.52, 0.48) - F(0.05) * noise(q, 5, 60))
        e = smin(e, cone(q, pts[-1], pts[-1] + up * 1.1, 0.16, 0.05), 0.1)
    return e


def reeds(p):
    d = np.full_like(p[0], 9.0)
    for foot, lean, tall, bend, head in REEDS:
        near = (np.abs(p[0] - foot[0]) < 7) & (np.abs(p[1] - foot[1]) < 7)
        if near.any():
            q = [v[near] for v in p]
            d[near] = np.minimum(d[near], stalk(q, foot, lean, tall, bend, head))
    for foot, away, tall in BLADES:
        near = (np.abs(p[0] - foot[0]) < 3.4) & (np.abs(p[1] - foot[1]) < 3.4) & (p[2] < 5)
        if near.any():
            q = [v[near] for v in p]
            up = np.array([0, 0, tall])
            e = chain(q, [foot, foot + up * 0.55 + away * 0.25, foot + up * 0.9 + away * 0.8, foot + up + away * 1.25], [0.2, 0.17, 0.12, 0.05], 0.05)
            d[near] = np.minimum(d[near], e)
    return d


PARTS = {"base": (base, (-15.6, -15.6, -4), (15.6, 15.6, 10.5), 0.08), "reeds": (reeds, (-15.6, -13.5, -1), (15.6, 15.6, 18.5), 0.06)}
