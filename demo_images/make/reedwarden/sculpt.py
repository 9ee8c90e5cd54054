"""The Reedwarden as signed distances, one function per region (millimetres, z up, front is -y)."""
import numpy as np
from hand import hand
from reedwarden.thatch import Tier, chance, cord, strands
from scipy.interpolate import make_interp_spline
from sdf import F, along, ball, bell, box, chain, cone, creases, curve, ellipsoid, fold, noise, smax, smin, step, turn

# Joints. "right" is the figure's right, at the viewer's left (-x).
SPEAR_FOOT, SPEAR_TOP = (9.9, -4.6, 0.0), (10.9, -3.2, 36.4)
ARM_L = [(3.9, 0.3, 22.2), (8.4, 0.9, 17.7), (10.0, -1.9, 19.3)]
ARM_R = [(-3.9, 0.3, 22.2), (-8.1, 0.3, 18.2), (-8.5, -2.6, 15.7)]
HEAD = dict(c=(0.1, -1.3, 27.6), yaw=3, pitch=4, roll=2)
GRIP_R = (-8.8, -3.5, 14.0)                       # on the basket's handle
FOOT_L, FOOT_R = (3.3, 0.4, 0.0), (-3.2, -3.2, 3.0)
KNEE_R = (-3.7, -3.6, 8.9)


def spear_at(z):
    t = (z - SPEAR_FOOT[2]) / (SPEAR_TOP[2] - SPEAR_FOOT[2])
    return tuple(np.array(SPEAR_FOOT) + t * (np.array(SPEAR_TOP) - np.array(SPEAR_FOOT)))


# Cape of thatch: a mantle over the shoulders, two tiers behind it.
MANTLE = Tier([17.0, 19, 21, 23, 24.6, 25.8], [8.9, 8.4, 7.7, 6.4, 4.7, 3.4], [6.3, 6.0, 5.5, 4.8, 3.9, 3.2], cy=0.2, n=92, hem=17.9, ragged=1.7, seed=1, rows=(23.6, 21.2))
MIDDLE = Tier([9, 12, 15, 18, 21, 23], [9.9, 9.3, 8.5, 7.5, 6.2, 5.0], [7.6, 7.2, 6.6, 5.8, 5.0, 4.2], cy=1.3, n=96, hem=10.9, ragged=2.2, seed=2, rows=(16.0,))
LOWER = Tier([2, 5, 8, 11, 14, 16], [10.4, 10.0, 9.4, 8.7, 8.0, 7.4], [8.4, 8.0, 7.5, 6.9, 6.2, 5.6], cy=1.3, n=104, hem=3.6, ragged=2.6, seed=3, rows=(9.3,))


def cape(p):
    z = p[2]
    d = MANTLE(p, lambda z: F(0.02) + F(0.05) * np.clip(F(24.5) - z, 0, 9), lambda t: F(1.6) * bell(t, 0.9) + F(0.3) * np.sin(3 * t))
    d = np.minimum(d, MIDDLE(p, lambda z: F(1.62) + 0 * z))
    return np.minimum(d, LOWER(p, lambda z: F(1.68) + 0 * z))


_hz = [-4.0, -3.0, -1.5, 0, 1.4, 2.5, 3.15, 3.6, 4.1, 4.8]
_hr = curve(_hz, [3.75, 3.5, 3.35, 3.25, 2.85, 2.05, 1.4, 1.06, 1.1, 1.2])
_luck = np.random.default_rng(17)
TUFT = [(a, _luck.uniform(0.25, 0.95), _luck.uniform(0.7, 2.2), _luck.uniform(2.4, 4.6), _luck.uniform(-0.5, 0.5)) for a in _luck.uniform(-np.pi, np.pi, 64)]


def hood(p):
    """A sheaf drawn over the head: reeds run up to a binding above the crown and stand out beyond it."""
    q = turn(p, **HEAD)
    x, y, z = q
    back = F(0.55) + F(0.035) * np.square(np.clip(z - F(1.5), 0, 6))
    yy = y - back
    r, a = np.sqrt(x * x + yy * yy), np.arctan2(x, -yy)
    d0 = (r - _hr(np.clip(z, -4.0, 4.8))) * F(0.84)
    wander = F(0.5) * noise([a * 4, z * F(0.3), x * 0], 1.0, 21)
    i, out, luck = strands(a, 54, wander, 11)
    bound = bell(z - F(3.62), 0.55)
    skin = d0 - (F(0.17) * out + F(0.2) * luck) * (1 - F(0.75) * bound) - F(0.14) * fold(9 * a + F(0.8) * np.sin(2 * a + z), 0.12) * (1 - bound)
    d = smax(skin, z - F(4.5), 0.2)
    low = F(-3.4) + F(0.7) * luck + F(0.7) * step(0.5, -1.5, y)
    d = smax(d, (low - z) * F(0.8), 0.1)
    d = smax(d, -smax(d0 + F(0.55), z - F(2.6), 0.2), 0.1)
    if (z > 3).any():      # the reeds' upper ends
        top = z > 3
        u = [v[top] for v in q]
        tuft = d[top]
        for angle, root, flare, tall, bend in TUFT:
            c, e = np.sin(angle), -np.cos(angle)
            pts = [(root * c, 0.7 + root * e, 3.6), ((root + 0.45 * flare) * c, 0.95 + (root + 0.45 * flare) * e, 3.6 + 0.55 * tall), ((root + flare) * c + bend, 1.2 + (root + flare) * e, 3.6 + tall)]
            tuft = np.minimum(tuft, chain(u, pts, [0.24, 0.23, 0.08], 0.05))
        d[top] = tuft
    # Binding over the crown, three turns and a knot with two ends.
    for k, level in enumerate((3.28, 3.64, 4.0)):
        d = smin(d, cord(d0 - F(0.10), z, F(level) + F(0.05) * np.sin(a + k), a, 20, 0.25), 0.04)
    knot = smin(ball(q, (0.35, -0.75, 3.6), 0.42), chain(q, [(0.35, -0.8, 3.5), (0.8, -1.75, 2.9), (0.95, -2.35, 1.9)], [0.2, 0.19, 0.2]), 0.1)
    d = smin(d, smin(knot, chain(q, [(0.3, -0.8, 3.5), (0.1, -1.9, 2.85), (0.05, -2.55, 2.0)], [0.2, 0.19, 0.2]), 0.1), 0.05)
    # Opening with a plaited rim.
    cut = -(y + F(1.55) + F(0.20) * z - F(0.05) * z * z)
    d = smax(d, cut, 0.12)
    ex, ez = x / F(2.5), (z + F(0.6)) / F(2.75)
    ring = (np.sqrt(ex * ex + ez * ez) - 1) * F(2.5)
    d = smax(d, -smax(ring, y - F(1.5), 0.4), 0.15)
    about = np.arctan2(ex, ez)
    wide, deep = ring - F(0.12), cut + F(0.15)
    turnings = np.arctan2(deep, wide)
    rim = np.sqrt(wide * wide + deep * deep) - F(0.36) - F(0.09) * np.sin(2 * turnings + 22 * about)
    return smin(d, smax(rim, F(-2.9) - z, 0.2), 0.06)


def head(p):
    """An old, round face: big nose, heavy cheeks, deep folds."""
    q = turn(p, **HEAD)
    x, y, z = q
    ax = [np.abs(x), y, z]
    d = ellipsoid(q, (0, 0.25, 0.3), (2.15, 2.05, 2.2))
    d = smin(d, ball(ax, (1.15, -1.1, -0.5), 0.80), 0.45)
    d = smin(d, ellipsoid(q, (0, -0.5, -1.4), (1.4, 1.4, 1.1)), 0.5)
    d = smin(d, chain(ax, [(0.0, -1.80, 0.72), (0.6, -1.82, 0.86), (1.35, -1.25, 0.55)], [0.22, 0.3, 0.24]), 0.22)
    d = smax(d, -ellipsoid(ax, (0.72, -1.98, 0.26), (0.52, 0.36, 0.26)), 0.2)
    nose = chain(q, [(0, -1.8, 0.5), (0.0, -2.3, 0.05), (0, -2.65, -0.42)], [0.2, 0.26, 0.42], 0.12)
    nose = smin(nose, ball(ax, (0.40, -2.25, -0.5), 0.29), 0.12)
    d = smin(d, nose, 0.16)
    d = smax(d, -ball(ax, (0.2, -2.5, -0.86), 0.12), 0.08)
    d = smin(d, ball(ax, (0.70, -1.44, 0.17), 0.40), 0.03)
    for zc, k in ((0.37, 0.10), (-0.06, 0.09)):
        lid = chain(ax, [(0.34, -1.80, zc - 0.12 * np.sign(zc)), (0.70, -1.90, zc), (1.10, -1.66, zc - 0.16 * np.sign(zc))], [k, k * 1.2, k])
        d = smin(d, lid, 0.05)
    d = smax(d, -chain(ax, [(0.35, -1.95, -0.22), (0.75, -2.0, -0.34), (1.15, -1.7, -0.22)], [0.05, 0.06, 0.04]), 0.12)   # bags under the eyes
    d = smax(d, -chain(ax, [(0.55, -2.05, -0.5), (0.92, -1.85, -1.15)], [0.07, 0.06]), 0.14)
    for k in (1.15, 1.45):
        d = d + F(0.05) * bell(z - F(k) - F(0.10) * np.cos(x * 2.2), 0.06) * step(-1.0, -1.4, y)
    d = d - F(0.012) * noise(q, 6, 12)
    return smin(d, cone(q, (0, 0.5, -1.5), (0, 0.9, -3.2), 1.3, 1.4), 0.3)


def skin(p):
    a = hand(p, spear_at(20.4), SPEAR_FOOT, SPEAR_TOP, ARM_L[2], flip=-1)
    x0, y0, z0 = GRIP_R
    b = hand(p, GRIP_R, (x0 + 1, y0 - 0.15, z0), (x0 - 1, y0 + 0.15, z0), ARM_R[2], r=0.36, flip=-1)
    return np.minimum(np.minimum(a, b), head(p))


def beard(p):
    q = turn(p, **HEAD)
    x, y, z = q
    ax = [np.abs(x), y, z]
    # A broad mass from ear to ear that runs down to a bound end.
    d = chain(ax, [(1.95, -0.7, -0.2), (1.6, -1.45, -1.4), (1.0, -1.95, -2.5)], [0.5, 0.8, 1.0], 0.5)
    d = smin(d, ellipsoid(q, (0, -1.9, -2.3), (1.5, 0.8, 1.2)), 0.5)
    d = smin(d, chain(ax, [(0.6, -2.2, -2.8), (0.5, -2.95, -4.4), (0.26, -3.75, -6.0), (0.12, -4.1, -7.5)], [1.3, 1.15, 0.66, 0.16], 0.35), 0.35)
    strand = x * (1 - F(0.07) * (z + F(2.5))) + F(0.16) * np.sin(z * F(1.5) + np.sign(x)) + F(0.10) * noise(q, 1.1, 24)
    d = d - F(0.10) * fold(F(8.5) * strand, 0.1) - F(0.05) * fold(F(17) * strand + F(0.8) * np.sin(z * F(1.1)), 0.12)
    for level in (-5.75, -6.15):
        ring = np.sqrt(np.square(np.sqrt(x * x + np.square(y + F(3.72))) - F(0.78)) + np.square(z - F(level))) - F(0.2)
        d = smin(d, ring, 0.04)
    # Moustache over an open-cut mouth, eyebrows.
    m = chain(ax, [(0.08, -2.35, -1.0), (0.6, -2.45, -1.2), (1.2, -2.2, -1.6), (1.75, -1.75, -1.75)], [0.26, 0.38, 0.32, 0.12], 0.12)
    m = m - F(0.06) * fold(F(9) * (z + F(0.75) * ax[0]), 0.12)
    d = smax(d, -ellipsoid(q, (0, -2.5, -1.52), (0.45, 0.35, 0.16)), 0.1)
    d = np.minimum(d, m)
    brow = chain(ax, [(0.26, -2.04, 0.70), (0.75, -2.06, 0.98), (1.35, -1.58, 0.84)], [0.17, 0.26, 0.12], 0.1)
    brow = brow - F(0.05) * fold(F(11) * (x + F(0.5) * z * np.sign(x)), 0.12)
    return np.minimum(d, brow) - F(0.01) * noise(q, 6, 22)


_z = [8, 10, 12, 14, 16, 18, 20, 22, 24, 25.6]
_ax = curve(_z, [6.1, 5.7, 5.3, 4.9, 4.55, 4.6, 4.9, 4.9, 4.4, 3.2])
_ay = curve(_z, [5.2, 4.9, 4.6, 4.3, 3.95, 3.9, 3.9, 3.7, 3.2, 2.6])


def trunk(p):
    x, y, z = p
    ax, ay = _ax(z), _ay(z)
    u, v = x / ax, (y - F(0.1)) / ay
    return (np.sqrt(u * u + v * v) - 1) * np.minimum(ax, ay), np.arctan2(u, -v)


def sleeve(p, j, seed):
    a, b, c = j
    d = chain(p, [a, b, c], [1.7, 1.55, 1.25], 0.5)
    h, t, _ = along(p, a, b)
    h2, t2, r2 = along(p, b, c)
    low = step(-0.4, 0.6, -h2) < 0.5
    length = F(np.linalg.norm(np.subtract(c, b)))
    up = fold(F(2.7) * h + F(0.9) * np.sin(t + seed) + F(0.6) * np.sin(2 * t), 0.1) * F(0.24) * step(0.3, 4, h)
    fore = fold(F(2.9) * h2 + F(1.1) * np.sin(t2 + seed), 0.1) * F(0.2) * (1 - step(0.6, 1.4, h2))
    # The forearm is wound with a strip of cloth.
    wound = F(0.17) * np.abs(np.sin(F(3.1) * h2 + t2 / 2 + F(0.5) * np.sin(2 * t2))) ** F(0.7) * step(0.8, 1.3, h2)
    d = d - np.where(low, fore + wound, up) - F(0.03) * noise(p, 2.0, 3) + F(0.12) * creases(p, (0.7, 0.7, 0.7), 75)
    return smax(d, h2 - length - F(0.35), 0.25)


def tunic(p):
    x, y, z = p
    d, t = trunk(p)
    down = np.clip((F(16) - z) / 7, 0, 1.2)
    w = t + F(0.16) * np.sin(2 * t + 1) + F(0.1) * np.sin(3 * t + z * F(0.2))
    d = d - fold(11 * w + F(0.5) * np.sin(z * F(0.4) + 2 * t), 0.08) * (F(0.12) + F(0.62) * down)
    d = d - fold(19 * w + 2, 0.15) * F(0.2) * step(-0.05, 0.15, down) * (1 - F(0.5) * down)
    d = d - F(0.35) * bell(z - F(18.6) - F(0.25) * np.sin(3 * t), 0.8) - fold(12 * t + F(0.7) * z + np.sin(2 * t + z), 0.12) * F(0.2) * bell(z - F(19.4), 1.6)
    # The raised knee lifts the skirt.
    knee = cone(p, (-2.3, -0.6, 12.6), (KNEE_R[0] + 0.1, KNEE_R[1] - 0.2, KNEE_R[2] + 0.9), 2.5, 2.35)
    knee = knee - F(0.28) * fold(F(2.3) * (x + F(0.25) * z) + F(0.5) * np.sin(z), 0.12)
    d = smin(d, knee, 1.4)
    d = d - F(0.05) * noise(p, 1.2, 3) - F(0.016) * noise(p, 4.5, 4) + F(0.15) * creases([x + F(0.4) * z, y, z], (0.6, 0.6, 0.35), 71)
    # Front slit, hem with a zigzag band.
    zh = F(8.5) + F(0.3) * np.sin(2 * t + F(0.6)) + F(0.25) * np.sin(5 * t + 1) - F(0.35) * bell(x + 4, 2.4)
    band = z - zh
    zig = np.abs(((t * F(7.5)) % 1) - F(0.5)) * F(1.3)
    d = d - F(0.10) * bell(band - F(0.28), 0.28) + F(0.10) * bell(band - F(0.66), 0.07) + F(0.10) * bell(band - F(2.0), 0.07)
    d = d - F(0.16) * bell(band - F(1.0) - zig, 0.13)
    shell = smax(d, zh - z, 0.18)
    shell = smax(shell, -smax(d + F(0.6), z - F(12.2), 0.4), 0.12)
    slit = smax((np.abs(t - F(0.22)) - F(0.02) - F(0.055) * np.clip(F(12.3) - z, 0, 9)) * 4, z - F(12.4), 0.25)
    shell = smax(shell, -smax(slit, -(d + F(2.4)), 0.3), 0.2)
    shell = smax(shell, z - F(25.2), 0.4)
    # Lacing down the breast.
    for k, level in enumerate((21.9, 20.9, 19.9)):
        for s in (-1, 1):
            m = (0.25 - s * 0.5, -4.0 + 0.05 * k, level - 0.3)
            e = (0.25 + s * 0.5, -4.0 + 0.05 * k, level + 0.35)
            shell = smin(shell, cone(p, m, e, 0.15), 0.04)
    shell = smin(shell, sleeve(p, ARM_L, 1.0), 0.35)
    return smin(shell, sleeve(p, ARM_R, 2.3), 0.35)


def sash(p):
    x, y, z = p
    d0, t = trunk(p)
    zc = F(16.55) + F(0.35) * np.sin(t + F(0.5))
    h = z - zc
    wraps = F(0.16) * fold(F(5.2) * h + F(0.6) * np.sin(2 * t) + F(0.5) * np.sin(5 * t), 0.1)
    d = smax(d0 - F(0.62) - wraps - F(0.04) * noise(p, 2.2, 15), np.abs(h) - F(1.35) - F(0.12) * np.sin(4 * t), 0.3)
    d = smax(d, -(d0 + F(0.3)), 0.1)
    # Knot and two hanging ends, fringed.
    knot = smin(ellipsoid(p, (1.9, -4.55, 16.4), (0.95, 0.65, 0.85)), ellipsoid(p, (1.2, -4.6, 16.9), (0.55, 0.5, 0.55)), 0.2)
    knot = knot - F(0.10) * fold(F(4) * (x + z) + np.sin(3 * z), 0.12)
    d = smin(d, knot, 0.12)
    for xs, ys, zs, wide, s in (([1.7, 1.45, 1.0, 0.75], [-4.6, -5.0, -5.6, -6.0], [16.2, 14.2, 11.6, 9.4], 0.85, 0.0), ([2.2, 2.75, 3.3, 3.5], [-4.5, -4.75, -5.1, -5.4], [16.2, 14.6, 12.6, 11.0], 0.75, 1.5)):
        bx, by = (np.interp(z, zs[::-1], v[::-1]).astype(F) for v in (xs, ys))
        f = np.clip((F(16.2) - z) / F(6), 0, 1.2)
        half = F(wide) * (F(0.55) + F(0.5) * f)
        ripple = F(0.22) * np.sin(F(3.4) * (x - bx) + s + F(0.3) * z) * f
        end = smax(np.abs(x - bx) - half, np.abs(y - by - ripple) - F(0.2), 0.12)
        fringe = F(zs[-1]) + F(0.5) * np.abs(np.sin((x - bx) * F(9)))
        cut = step(zs[-1] + 1.1, zs[-1] + 0.9, z)
        end = end + F(0.14) * np.abs(np.sin((x - bx) * F(9))) * cut + F(0.06) * bell(z - F(zs[-1] + 1.15), 0.1)
        d = smin(d, smax(smax(end, fringe - z, 0.06), z - F(16.5), 0.1), 0.08)
    # Shoulder strap of the basket's side, and a sheathed knife at the viewer's right.
    q = turn(p, (4.9, -2.7, 14.9), yaw=28, roll=-14)
    sheath = chain(q, [(0, 0, 1.2), (0.05, -0.1, -1.0), (0.5, -0.1, -3.0)], [0.62, 0.55, 0.28], 0.1)
    sheath = smax(sheath, np.abs(q[1]) - F(0.42), 0.15)
    for level in (0.9, -1.3):
        sheath = sheath - F(0.09) * bell(q[2] - F(level), 0.16)
    grip = chain(q, [(0, 0, 1.5), (-0.05, 0, 3.0)], [0.36, 0.42]) - F(0.06) * np.sin(q[2] * F(13))
    d = np.minimum(d, smin(sheath, smin(grip, ball(q, (-0.05, 0, 3.25), 0.5), 0.08), 0.05))
    # Clasp that holds the cape: a carved fish.
    q = turn(p, (0.2, -6.15, 20.2), yaw=0, pitch=-10, roll=8)
    fish = ellipsoid(q, (0.25, 0, 0), (1.55, 0.45, 0.85))
    tail = smax(ellipsoid(q, (-1.75, 0, 0), (0.75, 0.24, 1.0)), -ball(q, (-2.75, 0, 0), 0.7), 0.06)
    fish = smin(smin(fish, tail, 0.15), ellipsoid(q, (0.1, 0.05, 0.85), (0.7, 0.16, 0.4)), 0.1)
    scales = np.abs(np.sin(q[0] * F(6.5))) * step(0.75, 0.6, q[0]) * step(-1.1, -0.9, q[0])
    fish = fish + F(0.06) * scales + F(0.08) * bell(q[0] - F(0.95) + F(0.5) * q[2] * q[2], 0.06)
    fish = smax(fish, -ball(q, (1.3, -0.40, 0.18), 0.17), 0.04)
    return np.minimum(d, fish)


def boot(p, ankle, yaw, hip, knee, seed, flip):
    """Thigh-high: sole, foot, wrinkled shaft, turned-down top."""
    q = turn(p, ankle, yaw=yaw)
    x, y, z = q
    plan = cone([x, y, 0 * z], (0, 0.7, 0), (0.1 * flip, -2.2, 0), 1.15, 1.42)
    sole = smax(plan, np.abs(z - F(0.3)) - F(0.33), 0.1)
    sole = smax(sole, -smax(np.abs(y + F(0.45)) - F(0.5), z - F(0.24), 0.1), 0.08)
    sole = sole + F(0.07) * bell(z - F(0.33), 0.07)
    foot = cone(q, (0.05, -1.75, 0.95), (0, 0.1, 1.45), 1.12, 1.25)
    foot = smin(foot, ellipsoid(q, (0.08 * flip, -2.2, 1.05), (1.3, 1.25, 0.95)), 0.25)
    cap = step(-1.35, -1.5, y + F(0.12) * x * x)
    foot = foot - F(0.08) * cap
    top = np.array(ankle) + np.array([0, 0.35, 1.9])
    leg = chain(p, [tuple(top), tuple((np.array(top) * 0.45 + np.array(knee) * 0.55)), knee, hip], [1.32, 1.62, 1.85, 2.2], 0.5)
    h, t, r = along(p, tuple(top), knee)
    slack = fold(F(3.0) * h + F(1.7) * np.cos(t + seed) + F(0.6) * np.sin(3 * t), 0.1) * (F(0.30) * bell(h - F(0.5), 1.3) + F(0.13))
    leg = leg - slack - F(0.05) * noise(p, 1.6, 18) + F(0.14) * creases(p, (0.6, 0.6, 0.9), 76)
    d = smin(foot, leg, 0.7) - F(0.012) * noise(p, 6, 19)
    d = smax(d, F(ankle[2] + 0.45) - p[2], 0.1)
    # Strap under the knee with a toggle.
    length = F(np.linalg.norm(np.subtract(knee, top)))
    strap = smax(r - F(2.0) - F(0.03) * np.sin(4 * t), np.abs(h - length + F(1.55)) - F(0.38), 0.1)
    strap = smax(strap, -(leg + F(0.4)), 0.1)
    strap = strap + F(0.07) * bell(np.abs(h - length + F(1.55)) - F(0.24), 0.06)
    d = np.minimum(d, strap)
    w = np.array(top) + (np.array(knee) - np.array(top)) * float(1 - 1.55 / length)
    toggle = cone(p, (w[0] + 0.55 * flip - 0.75, w[1] - 2.0, w[2]), (w[0] + 0.55 * flip + 0.75, w[1] - 2.0, w[2]), 0.27)
    d = smin(d, toggle, 0.05)
    if flip > 0:       # a patch sewn on
        patch = turn(p, (w[0] - 0.3, w[1] - 1.6, w[2] - 2.1), roll=9)
        square = np.maximum(np.abs(patch[0]) - F(0.8), np.abs(patch[2]) - F(0.75))
        d = d - F(0.12) * step(0.08, -0.08, square) * step(0.5, -0.5, patch[1]) + F(0.09) * bell(square + F(0.16), 0.06) * np.maximum(np.sin((patch[0] + patch[2]) * F(14)), 0)
    return smin(d, sole, 0.05)


def waders(p):
    a = boot(p, FOOT_L, 24, (2.5, 0.2, 13.2), (3.3, -0.5, 7.4), 1.0, 1)
    b = boot(p, FOOT_R, -12, (-2.2, 0.2, 13.0), KNEE_R, 2.0, -1)
    return np.minimum(a, b)


def spear(p):
    h, t, r = along(p, SPEAR_FOOT, SPEAR_TOP)
    rad = F(0.58) + F(0.03) * np.sin(h * F(0.6) + t)
    knots = sum(F(0.16) * bell(h - F(k), 0.4) * (F(0.5) + F(0.5) * np.cos(t - F(a))) for k, a in ((5.5, 1), (11.0, 3.4), (15.4, 5.9), (25.3, 0.4), (29.5, 5.5)))
    grain = F(0.04) * fold(7 * t + F(1.0) * np.sin(h * F(0.5)) + F(0.7) * np.sin(h * F(1.4) + t), 0.1)
    d = r - rad - knots - grain
    d = smax(d, np.maximum(-h + F(0.1), h - F(37.0)), 0.1)
    d = smin(d, cone([r, h - F(0.3), 0 * h], (0, -0.1, 0), (0, 1.6, 0), 0.55, 0.82), 0.1)     # shod foot
    for lo, hi in ((16.9, 18.6), (22.4, 24.4)):
        strip = r - F(0.64) - F(0.13) * np.abs(np.sin(np.pi * (h * F(1.9) + t / (2 * np.pi)))) ** F(0.7)
        d = smin(d, smax(strip, np.abs(h - F((lo + hi) / 2)) - F((hi - lo) / 2), 0.04), 0.04)
    # Head: a socket, a cross-piece and five flat barbed tines.
    q = turn(p, (SPEAR_TOP[0], SPEAR_TOP[1], SPEAR_TOP[2]), yaw=-6, roll=1.6, pitch=-2.2)
    x, y, z = q
    rr, tt = np.sqrt(x * x + y * y), np.arctan2(y, x)
    socket = smax(rr - F(0.98) + F(0.13) * z * F(0.5), np.abs(z + F(0.7)) - F(1.5), 0.1)
    for level in (-2.05, -1.55, 0.55):
        socket = smin(socket, np.sqrt(np.square(rr - F(0.95) + F(0.06) * z) + np.square(z - F(level))) - F(0.19), 0.05)
    bar = smin(box(q, (0, 0, 1.15), (2.35, 0.48, 0.42), 0.2), ellipsoid(q, (0, 0, 0.9), (1.15, 0.6, 0.75)), 0.2)
    d = np.minimum(d, smin(socket, bar, 0.15))
    for k in (-2, -1, 0, 1, 2):
        s = np.sign(k) if k else 1
        x0, x1, x2, tip = 0.95 * k, 1.32 * k, 1.22 * k, 7.0 - 0.42 * abs(k)
        pts = [(x0, 0, 1.0), (x1, 0, 3.0), (x1 * 1.04, 0, 4.8), (x2, 0, tip)]
        flat = [x, y * F(1.5), z]
        tine = chain(flat, pts, [0.36, 0.36, 0.37, 0.05], 0.08)
        for side in ((-1, 1) if k == 0 else (-s,)):
            barb = chain(flat, [(x2 + 0.04 * side, 0, tip - 0.6), (x2 + 0.62 * side, 0, tip - 1.75)], [0.16, 0.05])
            tine = smin(tine, barb, 0.06)
        d = smin(d, tine, 0.06)
        d = smin(d, ball(q, (x0, -0.46, 1.15), 0.2), 0.03)                                # rivet
    return d - F(0.01) * noise(p, 5, 22)


_bz = [-11, -10.4, -8.6, -6.4, -4.6, -3.5, -2.9]
_br = curve(_bz, [2.0, 2.35, 3.15, 3.3, 2.7, 2.45, 2.75])


def basket(p):
    q = turn(p, GRIP_R, yaw=8, roll=-3, pitch=3)
    x, y, z = q
    r, t = np.sqrt(x * x + y * y), np.arctan2(y, x)
    d0 = (r - _br(np.clip(z, -11, -2.9))) * F(0.92)
    pitch = F(0.56)
    row = np.floor(z / pitch)
    across = np.sin(13 * t + np.pi * row)
    fill = np.sqrt(np.maximum(1 - np.square(2 * (z / pitch - row) - 1), 0))
    weave = F(0.20) * across * fill + F(0.13) * fill
    d = smax(d0 - weave, np.maximum(F(-10.7) - z, z + F(3.1)), 0.15)
    d = smax(d, -smax(d0 + F(0.6), F(-9.8) - z, 0.2), 0.1)
    for level, thick in ((-3.05, 0.34), (-10.5, 0.34)):
        wide, high = d0 - F(0.05), z - F(level)
        a = np.arctan2(high, wide)
        d = smin(d, np.sqrt(wide * wide + high * high) - F(thick) - F(0.07) * np.sin(2 * a + 18 * t), 0.06)
    # Handle: two canes twisted, over the top and down both sides.
    ring = np.sqrt(np.square(x / F(0.92)) + np.square((z + F(3.1)) / F(1.12)))
    wide = ring - F(2.76)
    a, s = np.arctan2(y, wide), np.arctan2(z + F(3.1), x)
    hoop = np.sqrt(wide * wide + y * y) - F(0.30) - F(0.08) * np.sin(2 * a + 16 * s)
    d = smin(d, smax(hoop, F(-4.2) - z, 0.1), 0.06)
    # An eel hangs over the rim, tail down.
    at = np.linspace(0, 1, 22)
    knots = np.array([(0.9, 0.9, -4.6), (0.7, -0.6, -2.6), (0.75, -2.6, -2.35), (1.0, -3.55, -3.7), (0.55, -3.85, -5.4), (-0.15, -4.0, -7.0), (0.3, -3.9, -8.5), (1.1, -3.6, -9.6)])
    path = make_interp_spline(np.linspace(0, 1, len(knots)), knots)(at)
    eel = chain(q, [tuple(v) for v in path], list(0.62 * (1 - at ** 3) ** 0.8 + 0.06), 0.25)
    fin = chain(q, [tuple(v + (0, -0.5, 0.1)) for v in path[9:]], list(0.22 * (1 - at[9:] ** 4) + 0.05), 0.1)
    eel = smin(eel, fin, 0.12)
    return np.minimum(d, eel) - F(0.01) * noise(p, 4, 23)


REGIONS = {
    # name: function, box, voxel, mask colour
    "cape": (cape, (-11.6, -8, 2.6), (11.6, 10.8, 27), 0.055, "#808000"),
    "hood": (hood, (-5.2, -6.0, 22.5), (5.2, 5.5, 37.2), 0.045, "#ffe119"),
    "skin": (skin, (-12, -7, 11.5), (13.4, 2.5, 31), 0.04, "#f58231"),
    "beard": (beard, (-3.6, -7.5, 18.5), (4, 2, 30), 0.035, "#fabed4"),
    "tunic": (tunic, (-11, -8, 7), (12, 6, 26), 0.05, "#4363d8"),
    "sash": (sash, (-6.5, -7.5, 8.5), (7, 5.5, 25), 0.045, "#e6194b"),
    "waders": (waders, (-7, -8.6, -0.1), (7.5, 4, 15), 0.05, "#3cb44b"),
    "spear": (spear, (8.0, -6.5, -0.1), (14.6, -0.6, 45), 0.045, "#42d4f4"),
    "basket": (basket, (-13.4, -8.3, 2.6), (-4.4, 0.8, 14.8), 0.045, "#911eb4"),
}
