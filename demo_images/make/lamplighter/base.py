"""The round base: worn jetty planks, a coil of rope, reeds. No region of the mask."""
import numpy as np
from sdf import F, ball, bell, box, chain, cone, fold, noise, smax, smin, step

RNG = np.random.default_rng(41)
REEDS = []
for _ in range(34):
    a, r = RNG.uniform(0.25, 1.35), RNG.uniform(8.2, 13.0)
    foot = np.array([r * np.cos(a), r * np.sin(a), -0.4])
    lean = np.array([RNG.uniform(-0.15, 0.34), RNG.uniform(-0.25, 0.2), 0])
    REEDS.append((foot, lean, RNG.uniform(6, 15.5), RNG.uniform(-1, 1), RNG.random() < 0.3))


def planks(p):
    x, y, z = p
    c, s = F(np.cos(0.22)), F(np.sin(0.22))
    u, v = c * x + s * y, -s * x + c * y          # v across the planks
    n = np.floor((v + F(1.2)) / F(3.3))
    m = np.abs(v + F(1.2) - (n + F(0.5)) * F(3.3))
    tall = F(0.16) * np.sin(n * F(7.1) + 1) + F(0.035) * np.sin(n * 3 + 2) * u * F(0.4)
    shift = n * F(13.7)
    q = [u * F(0.22) + shift, v, z * 0]
    grain = fold(v * F(8) + F(2.6) * noise(q, 1.0, 31) + F(1.0) * np.sin(u * F(0.25) + shift), 0.15) * F(0.055)
    knot = bell(np.sqrt(np.square(u - F(4) * np.sin(n * 5)) * F(0.5) + np.square(v + F(1.2) - (n + F(0.5)) * F(3.3) - F(0.3))), 0.55)
    grain = grain + F(0.05) * knot * np.sin(9 * np.sqrt(np.square(u - F(4) * np.sin(n * 5)) * F(0.5) + np.square(v + F(1.2) - (n + F(0.5)) * F(3.3) - F(0.3))))
    top = z - tall - grain - F(0.03) * noise(p, 2.5, 32)
    ends = F(13.6) + F(0.5) * np.sin(n * 11.3) + F(0.15) * noise([u * 0, v * 4, z], 1, 33)
    gap = m - F(1.52) - F(0.05) * noise([u, n, z], 0.9, 34)
    d = smax(top, gap, 0.16)
    d = smax(d, np.sqrt(u * u + v * v) - ends, 0.2)
    split = np.abs(v + F(1.2) - (n + F(0.5)) * F(3.3) - F(0.5) * np.sin(n * 4) - F(0.12) * np.sin(u * F(1.3))) - F(0.10) * step(4.5, 10, np.abs(u + F(3) * np.sin(n * 2)))
    d = smax(d, -smax(split, -z - F(0.35), 0.1), 0.06)
    for uu in (-8.3, 8.6):
        w = n + F(0.5)
        for o in (-0.9, 0.9):
            nail = np.sqrt(np.square(u - F(uu) - F(0.3) * np.sin(n * 3)) + np.square(v + F(1.2) - w * F(3.3) - F(o)) + np.square((z - tall - F(0.02)) * F(1.8))) - F(0.3)
            d = smin(d, np.maximum(nail, np.sqrt(u * u + v * v) - F(12.9)), 0.04)
    return smax(d, -z - F(0.75), 0.1)


def base(p):
    x, y, z = p
    r = np.sqrt(x * x + y * y)
    d = smax((r - F(14.6) + F(0.28) * (z + F(0.75))) * F(0.96), np.abs(z + F(2.2)) - F(1.5), 0.25)
    mud = z + F(0.72) - F(0.22) * noise(p, 0.5, 35) - F(0.1) * noise(p, 1.7, 36)
    d = np.minimum(d, smax(mud, r - F(14.1), 0.3))
    pl = planks(p)
    d = np.minimum(d, pl)
    # Bank of earth and cobbles at the back, viewer's right.
    e = F(0.55) * noise(p, 0.45, 38) + F(0.15) * noise(p, 2.0, 39)
    bank = np.sqrt(np.square(x - F(8.6)) + np.square(y - F(8.2)) + np.square((z + F(1.6)) * F(2.2))) - F(5.2) - e
    d = smin(d, smax(bank, r - F(14.2), 0.4), 0.25)
    for cx, cy, cz, s, k in ((5.2, 4.6, 0.2, 0.9, 1), (6.9, 3.5, 0.1, 0.75, 2), (9.2, 3.4, 0.2, 1.0, 3), (11.3, 3.3, 0.1, 0.8, 4), (3.9, 6.4, 0.1, 0.8, 5), (8.0, 2.2, 0.1, 0.5, 6), (12.6, 1.9, 0.0, 0.6, 7)):
        q = [x - F(cx), y - F(cy), (z - F(cz)) * F(1.35)]
        st = np.sqrt(q[0] ** 2 + q[1] ** 2 + q[2] ** 2) - F(s) - F(0.22) * noise(p, 1.1, 40 + k) - F(0.05) * noise(p, 4, 50 + k)
        d = smin(d, st, 0.08)
    # Coil of rope in front, viewer's right.
    cx, cy = 8.6, -6.2
    q = np.sqrt(np.square(x - F(cx)) + np.square(y - F(cy)))
    t = np.arctan2(y - F(cy), x - F(cx))
    for rr, zz, s in ((2.25, 0.5, 0), (2.0, 1.12, 1), (2.2, 1.72, 2), (1.25, 0.45, 3)):
        a, b = q - F(rr) - F(0.12) * np.sin(2 * t + s), z - F(zz) - F(0.1) * np.sin(t + 2 * s)
        ang = np.arctan2(b, a)
        rope = np.sqrt(a * a + b * b) - F(0.34) - F(0.075) * fold(3 * ang + t * F(round(rr * 8)), 0.1)
        d = np.minimum(d, rope)
    end = chain(p, [(cx + 1.9, cy + 0.9, 1.7), (cx + 2.4, cy - 0.6, 1.0), (cx + 1.9, cy - 2.6, 0.4), (cx - 0.4, cy - 3.6, 0.42), (cx - 2.2, cy - 3.0, 0.4)], [0.34] * 5, 0.1)
    end = end - F(0.05) * np.sin(x * 6 + y * 8 + z * 5)
    return np.minimum(d, end)


def reeds(p):
    d = np.full_like(p[0], 9.0)
    for foot, lean, tall, bend, head in REEDS:
        near = (np.abs(p[0] - foot[0]) < 7) & (np.abs(p[1] - foot[1]) < 7)
        if not near.any():
            continue
        q = [v[near] for v in p]
        t = np.linspace(0, 1, 6)
        pts = [foot + np.array([0, 0, tall]) * a + lean * tall * a ** 2 + np.array([bend, bend * 0.4, -0.12 * tall * abs(bend)]) * (0 if head else 1.6) * a ** 3 for a in t]
        rad = [0.22] * 6 if head else list(0.30 * (1 - t) ** 0.6 + 0.07)
        e = chain(q, pts, rad, 0.02)
        if head:
            up = pts[-1] - pts[-2]
            up = up / np.linalg.norm(up)
            e = np.minimum(e, cone(q, pts[-1] - up * 1.9, pts[-1], 0.52, 0.48) - F(0.05) * noise(q, 5, 60))
            e = smin(e, cone(q, pts[-1], pts[-1] + up * 1.1, 0.16, 0.05), 0.1)
        d[near] = np.minimum(d[near], e)
    return d


PARTS = {"base": (base, (-15.6, -15.6, -4), (15.6, 15.6, 3.5), 0.06), "reeds": (reeds, (-1, -1, -1), (15.6, 15.6, 18), 0.055)}
