"""The Lamplighter as signed distances, one function per region (millimetres, z up, front is -y)."""
import numpy as np
from hand import hand
from sdf import (F, along, ball, bell, box, chain, cone, creases, curve, ellipsoid, fold, frame, noise, smax, smin, step, turn)

# Joints. "right" is the figure's right, at the viewer's left (-x).
POLE_FOOT, POLE_TOP = (-9.6, -4.4, 0.0), (-7.4, -3.6, 41.0)
ARM_R = [(-4.1, 0.3, 23.9), (-7.9, 0.5, 18.3), (-8.75, -2.1, 20.2)]
ARM_L = [(4.0, 0.3, 23.9), (7.5, 0.2, 17.6), (5.15, -3.1, 18.5)]
HEAD = dict(c=(-0.25, -1.3, 28.3), yaw=-20, pitch=4, roll=-3)
LANTERN = (-11.65, -3.6, 40.0)
BOOT_L, BOOT_R = dict(c=(2.9, 0.3, 0.0), yaw=20), dict(c=(-2.9, -1.5, 0.0), yaw=-14)


def pole_at(z):
    t = (z - POLE_FOOT[2]) / (POLE_TOP[2] - POLE_FOOT[2])
    return tuple(np.array(POLE_FOOT) + t * (np.array(POLE_TOP) - np.array(POLE_FOOT)))


_z = [0, 4, 8, 12, 15, 17.6, 19.5, 22, 24, 25.6, 27.5]
_ax = curve(_z, [8.0, 7.3, 6.3, 5.3, 4.55, 3.75, 4.3, 4.8, 4.6, 3.3, 2.2])
_ay = curve(_z, [7.0, 6.3, 5.4, 4.6, 4.0, 3.2, 3.6, 3.7, 3.3, 2.7, 2.0])
_cx = curve(_z, [1.3, 0.9, 0.55, 0.4, 0.45, 0.4, 0.2, -0.1, -0.1, -0.1, -0.1])
_cy = curve(_z, [0.9, 0.6, 0.3, 0.1, 0.0, 0.1, 0.0, 0.0, 0.1, 0.1, 0.1])


def trunk(p, grow=0.0):
    """Smooth body under the cloth: distance and angle about the body, 0 at the front, + to the viewer's right."""
    x, y, z = p
    ax, ay = _ax(z) + F(grow), _ay(z) + F(grow)
    u, v = (x - _cx(z)) / ax, (y - _cy(z)) / ay
    return (np.sqrt(u * u + v * v) - 1) * np.minimum(ax, ay), np.arctan2(u, -v)


def hem(t):
    return F(4.3) + F(0.45) * np.sin(2 * t + F(0.6)) + F(0.3) * np.sin(5 * t + 1) + F(0.14) * np.sin(11 * t)


def skirt_folds(t, z):
    down = np.clip((F(17.4) - z) / F(13), 0, 1.2)
    w = t + F(0.13) * np.sin(2 * t + F(1.3)) + F(0.13) * np.sin(3 * t + z * F(0.16)) + F(0.05) * np.sin(t + z * F(0.5)) * (1 + down)
    a = fold(10 * w + F(0.5) * np.sin(z * F(0.33) + 2 * t)) * (F(0.16) + F(0.78) * down ** F(1.0))
    b = fold(17 * w + 2 + F(0.9) * np.sin(z * F(0.4)), 0.15) * (F(0.2) * step(-0.05, 0.12, down) * (1 - F(0.55) * down))
    c = fold(31 * w + z * F(0.25), 0.2) * F(0.09) * bell(z - F(16.3), 1.1)
    return a + b + c


def chest_folds(t, z):
    up = np.clip((z - F(17.6)) / 4, 0, 1)
    blouse = F(0.38) * bell(z - F(19.3) - F(0.3) * np.sin(3 * t), 0.75)
    r = fold(13 * t + F(1.1) * np.sin(2 * t + z) + F(0.6) * z, 0.12) * F(0.28) * bell(up - F(0.25), 0.45)
    return blouse + r


def front_edge(z):
    return F(0.10) + F(0.02) * np.sin(z * F(0.7)) - F(0.008) * (z - 17)


def sleeve(p, j, seed, side):
    a, b, c = j
    d = chain(p, [a, b, c], [1.95, 1.6, 1.55], 0.5)
    h, t, r = along(p, a, b)
    up = fold(F(2.6) * h + F(0.8) * np.sin(t + seed) + F(0.6) * np.sin(2 * t), 0.1) * step(0.3, 4.5, h) * (F(0.13) + F(0.16) * (1 + np.cos(t + F(side))) / 2)
    n1 = step(-0.4, 0.6, -(along(p, b, c)[0]))
    h2, t2, r2 = along(p, b, c)
    low = fold(F(3.3) * h2 + F(1.1) * np.sin(t2 + 2 + seed), 0.1) * (1 - step(2.2, 4.2, h2)) * (F(0.13) + F(0.16) * (1 + np.sin(t2)) / 2)
    d = d - np.where(n1 > 0.5, up, low) * step(0.0, 0.8, np.abs(h2) + F(0.4)) - F(0.05) * noise(p, 1.6, seed) + F(0.15) * creases(p, (0.7, 0.7, 0.7), 74)
    # Turned-back cuff, a wide stiff tube round the wrist, open at the end.
    length = F(np.linalg.norm(np.subtract(c, b)))
    q = h2 - length
    cuff = smax(r2 - (F(1.6) + F(0.10) * q + F(0.06) * np.sin(3 * t2 + seed)), np.abs(q + F(0.15)) - F(0.95), 0.2)
    for row in (-0.88, 0.58):
        cuff = cuff + F(0.07) * bell(q - F(row), 0.06)
    cuff = smin(cuff, np.sqrt(np.square(r2 - F(1.64)) + np.square(q - F(0.78))) - F(0.15), 0.12)
    for k in (-0.55, -0.1, 0.35):   # three cuff buttons on the side that shows
        w, u, v = frame(b, c)
        n = np.cos(F(side)) * u + np.sin(F(side)) * v
        m = np.asarray(b) + w * (length + k) + n * 1.64
        cuff = smin(cuff, ellipsoid(p, m, (0.2, 0.2, 0.2)), 0.03)
    mouth = smax(r2 - F(1.34), -(q - F(0.35)), 0.15)
    d = smin(d, cuff, 0.08)
    return smax(d, -mouth, 0.08)


def coat(p):
    x, y, z = p
    d, t = trunk(p)
    low, e = step(17.8, 17.2, z), front_edge(z)
    smooth_front = 1 - F(0.8) * bell(t - e, 0.13) * step(5.0, 9, z)
    d = d - (skirt_folds(t, z) * low + chest_folds(t, z) * (1 - low)) * smooth_front
    d = d - F(0.06) * noise(p, 1.1, 3) - F(0.018) * noise(p, 4.5, 4)
    d = d + F(0.24) * creases([t * 5 + F(0.12) * z, y * 0, z], (0.8, 1, 0.16), 70, 0.13) * smooth_front * low
    d = d + F(0.13) * creases([x + F(0.5) * z, y, z], (0.6, 0.6, 0.45), 71) * (1 - F(0.8) * low)
    # The right front laps over the left: a raised step with a bound edge and a row of stitches.
    lap = step(e + F(0.012), e - F(0.03), t) * step(-0.75, -0.25, t)
    d = d - F(0.24) * lap * step(11.5, 13.0, z)
    d = d - F(0.09) * bell(t - e + F(0.05), 0.03)
    s = bell(t - e + F(0.13), 0.014) * (F(0.5) + F(0.5) * np.sin(z * 14))
    d = d + F(0.05) * bell(t - e + F(0.13), 0.022) - F(0.07) * s
    # Skirt: hem with a bound edge, hollow inside, open at the front below the thigh.
    zh = hem(t)
    d = d - F(0.10) * bell(z - zh - F(0.35), 0.3) + F(0.11) * bell(z - zh - F(0.95), 0.09)
    d = d + F(0.08) * bell(z - zh - F(1.5), 0.07) - F(0.06) * bell(z - zh - F(1.22), 0.12) * np.sin(t * 110)
    shell = smax(d, zh - z, 0.22)
    shell = smax(shell, -smax(d + F(0.62), z - 13, 0.5), 0.15)
    gap = F(0.06) * (F(12.8) - z) * step(12.8, 10.5, z) + F(0.02)
    opening = smax((np.abs(t - e - F(0.04)) - gap) * _ax(z), z - F(12.6), 0.3)
    opening = smax(opening, -(d + F(2.6)), 0.3)
    d = smax(shell, -opening, 0.22)
    # Buttons, two rows a little apart.
    for k in (15.9, 14.2):
        for s in (-0.30,):
            tt = float(front_edge(np.float32(k))) + s
            rx, ry = float(_ax(k)), float(_ay(k))
            c = (float(_cx(k)) + (rx + 0.42) * np.sin(tt), float(_cy(k)) - (ry + 0.42) * np.cos(tt), k)
            q = turn(p, c, yaw=np.degrees(tt))
            b = ellipsoid(q, (0, 0, 0), (0.42, 0.3, 0.42))
            b = smax(b, -(np.sqrt(q[0] ** 2 + q[2] ** 2 + np.square(q[1] + F(0.36))) - F(0.2)), 0.05)
            d = smin(d, b, 0.05)
    d = smax(d, z - F(25.4), 0.4)
    d = smin(d, sleeve(p, ARM_R, 1.0, 2.2), 0.35)
    d = smin(d, sleeve(p, ARM_L, 2.3, 1.0), 0.35)
    return d


_mz = [19, 20.5, 22, 23.5, 24.8, 26, 27.2]
_mx = curve(_mz, [7.9, 7.6, 7.15, 6.4, 4.6, 3.2, 2.4])
_my = curve(_mz, [5.8, 5.45, 5.05, 4.4, 3.45, 2.9, 2.5])


def mantle(p):
    x, y, z = p
    ax, ay = _mx(z), _my(z)
    u, v = (x + F(0.15)) / ax, (y - F(0.25)) / ay
    t = np.arctan2(u, -v)
    d = (np.sqrt(np.sqrt(u ** 4 + v ** 4 + F(1.35) * u * u * v * v)) - 1) * np.minimum(ax, ay)
    for j in (ARM_R, ARM_L):      # it lies over the shoulders
        s = [j[0][i] + 0.45 * (j[1][i] - j[0][i]) for i in range(3)]
        d = smin(d, cone(p, j[0], s, 2.45, 2.3), 0.7)
    down = np.clip((F(26.2) - z) / 5, 0, 1.2)
    w = t + F(0.25) * np.sin(2 * t + 4) + F(0.18) * np.sin(3 * t + z * F(0.3))
    d = d - fold(11 * w + F(0.4) * z, 0.1) * F(0.5) * down ** F(0.9) - fold(23 * w + 1 + F(0.5) * z, 0.15) * F(0.15) * step(0.05, 0.3, down)
    d = d - F(0.05) * noise(p, 1.3, 5) - F(0.016) * noise(p, 5, 6)
    d = d + F(0.15) * creases([x, y, z], (0.7, 0.7, 0.5), 72)
    zh = F(20.7) - F(0.55) * np.cos(t) - F(0.5) * bell(np.abs(t) - 0, 0.35) + F(0.5) * (1 - np.abs(np.sin(F(6.5) * t))) ** 2
    d = d - F(0.09) * bell(z - zh - F(0.25), 0.2) + F(0.10) * bell(z - zh - F(0.75), 0.08) - F(0.05) * bell(z - zh - F(1.05), 0.1) * np.sin(t * 80)
    d = smax(d, zh - z, 0.18)
    d = smax(d, z - F(26.6), 0.5)
    return smax(d, -smax(d + F(0.75), z - F(23), 0.3), 0.12)


def hood(p):
    q = turn(p, **HEAD)
    x, y, z = q
    d = ellipsoid(q, (0, 0.75, 0.25), (2.85, 3.1, 3.35))
    tail = chain(q, [(0, 2.2, 2.3), (0.1, 4.0, 2.6), (0.35, 5.0, 1.6)], [1.7, 0.75, 0.42])
    d = smin(d, tail, 0.9)
    d = smin(d, ellipsoid(q, (0, 0.6, -2.3), (3.0, 2.9, 1.7)), 0.7)
    # Cloth drawn back from the rim to the tail.
    a = np.arctan2(np.abs(x), z + F(0.8))
    back = step(-1.6, 0.6, y)
    d = d - fold(F(6.3) * a + F(1.0) * np.sin(y * F(0.9) + x) + F(0.9) * y * a, 0.12) * F(0.17) * back * step(0.1, 0.5, a)
    d = d - F(0.09) * fold(F(2.3) * y + F(2.0) * np.cos(a * 2), 0.2) * step(0.2, 1.4, y) * step(1.2, 0.3, a)
    d = d - F(0.05) * noise(q, 1.4, 8) - F(0.014) * noise(q, 6, 9)
    d = d + F(0.13) * creases([x + F(0.3) * y, y, z - F(0.4) * y], (0.8, 0.45, 0.8), 73)
    d = d + F(0.07) * bell(x, 0.06) * step(0.5, 1.5, z)      # the seam over the crown
    d = d - F(0.05) * bell(np.abs(x) - F(0.18), 0.09) * step(0.5, 1.5, z)
    # Opening: a leaning cut, hollow behind it, with a thick rolled rim.
    cut = -(y + F(1.75) + F(0.24) * z - F(0.05) * z * z)
    d = smax(d, cut, 0.12)
    ex, ez = x / F(2.08), (z + F(0.15)) / F(2.62)
    ring = (np.sqrt(ex * ex + ez * ez) - 1) * F(2.2)
    d = smax(d, -smax(ring, y - F(1.4), 0.4), 0.15)
    rim = np.sqrt(np.square(ring - F(0.16)) + np.square(cut + F(0.12))) - F(0.34) - F(0.04) * np.sin(9 * np.arctan2(ex, ez))
    d = smin(d, rim, 0.16)
    stitch = bell(cut + F(0.75), 0.07)
    d = d + F(0.07) * stitch - F(0.09) * bell(cut + F(0.95), 0.07) * np.maximum(np.sin(26 * np.arctan2(x, z)), 0)
    # Rolls of cloth about the neck.
    m = mantle(p)
    for zc, r, tilt, thick, s in ((25.75, 3.05, 0.22, 0.6, 0.0), (24.95, 4.05, 0.26, 0.58, 2.0)):
        xx, yy = p[0] + F(0.15), p[1] - F(0.1)
        t = np.arctan2(xx, -yy)
        rr = np.sqrt(np.square(xx / F(1.12)) + yy * yy) - F(r) - F(0.12) * np.sin(3 * t + s)
        zz = p[2] - F(zc) - F(tilt) * yy - F(0.14) * np.sin(4 * t + s)
        roll = np.sqrt(rr * rr + zz * zz) - F(thick) * (1 + F(0.18) * np.sin(5 * t + s * 2)) - F(0.05) * noise(p, 2, 11)
        m = smin(m, roll, 0.22)
    return smin(d, m, 0.3)


def face(p):
    q = turn(p, **HEAD)
    x, y, z = q
    ax = [np.abs(x), y, z]
    d = ellipsoid(q, (0, 0.2, 0.4), (1.72, 1.95, 2.15))
    d = smin(d, ellipsoid(q, (0, -0.2, -1.15), (1.3, 1.5, 1.35)), 0.5)
    d = smin(d, ellipsoid(q, (0, -1.45, -2.0), (0.55, 0.42, 0.42)), 0.35)
    d = smin(d, ball(ax, (1.0, -1.15, -0.32), 0.52), 0.4)
    d = smin(d, chain(ax, [(0.0, -1.78, 0.62), (0.55, -1.76, 0.82), (1.25, -1.2, 0.62)], [0.2, 0.29, 0.22]), 0.22)
    d = smax(d, -ellipsoid(ax, (0.68, -1.92, 0.22), (0.5, 0.42, 0.30)), 0.22)
    nose = chain(q, [(0, -1.78, 0.5), (0.02, -2.2, 0.0), (0, -2.58, -0.5)], [0.17, 0.2, 0.25], 0.1)
    nose = smin(nose, ball(ax, (0.28, -2.1, -0.6), 0.21), 0.14)
    d = smin(d, nose, 0.17)
    d = smax(d, -ball(ax, (0.15, -2.38, -0.86), 0.1), 0.08)
    eye = ball(ax, (0.67, -1.36, 0.14), 0.39)
    d = smin(d, eye, 0.03)
    for zc, k in ((0.36, 0.085), (-0.07, 0.06)):
        lid = chain(ax, [(0.36, -1.76, zc - 0.1 * np.sign(zc)), (0.67, -1.84, zc + 0.02), (1.0, -1.62, zc - 0.12 * np.sign(zc))], [k, k * 1.15, k])
        d = smin(d, lid, 0.05)
    # Moustacheless mouth: two lips and the crease between them, folds beside the nose.
    d = smin(d, ellipsoid(q, (0, -1.62, -1.25), (0.75, 0.35, 0.5)), 0.3)
    d = smin(d, chain(ax, [(0.0, -1.98, -1.12), (0.5, -1.78, -1.22)], [0.15, 0.08]), 0.09)
    d = smin(d, chain(ax, [(0.0, -1.93, -1.42), (0.42, -1.76, -1.34)], [0.18, 0.09]), 0.1)
    d = smax(d, -chain(ax, [(0.0, -2.12, -1.26), (0.62, -1.8, -1.30)], [0.06, 0.05]), 0.06)
    d = smax(d, -chain(ax, [(0.48, -1.98, -0.62), (0.82, -1.72, -1.25)], [0.07, 0.06]), 0.14)
    d = smax(d, -chain(ax, [(0.15, -2.02, -1.68), (0.4, -1.8, -1.7)], [0.06, 0.05]), 0.14)
    d = smax(d, -chain(ax, [(1.1, -1.45, -0.75), (1.05, -1.2, -1.4)], [0.03, 0.02]), 0.25)
    for k in (0.95, 1.25):
        d = d + F(0.035) * bell(z - F(k) - F(0.12) * np.cos(x * 2.5), 0.06) * step(-1.0, -1.4, y)
    d = d - F(0.012) * noise(q, 6, 12)
    return smin(d, cone(q, (0, 0.5, -1.5), (0, 0.9, -3.4), 1.2, 1.35), 0.3)


def hands(p):
    a = hand(p, pole_at(21.2), POLE_FOOT, POLE_TOP, ARM_R[2], flip=1)
    strap = ((2.3, -4.75, 17.4), (2.9, -4.75, 20.2))
    b = hand(p, (2.55, -4.85, 18.9), strap[0], strap[1], ARM_L[2], r=0.42, flip=-1)
    return np.minimum(a, b)


def belt(p):
    x, y, z = p
    d0, t = trunk(p)
    zc = F(17.55) + F(0.22) * np.sin(t + F(0.3))
    grow = F(0.5) + F(0.03) * np.sin(6 * t)
    d = smax(d0 - grow, np.abs(z - zc) - F(0.82), 0.14)
    d = smax(d, -(d0 + F(0.3)), 0.1)
    d = d + F(0.07) * bell(np.abs(z - zc) - F(0.58), 0.07) - F(0.02) * noise(p, 4, 15)
    for k in np.arange(-5, 6):
        if abs(k) > 1:
            tt = 0.21 * k
            c = (0.4 + 4.3 * np.sin(tt), 0.1 - 3.74 * np.cos(tt), 17.55 + 0.22 * np.sin(tt + 0.3))
            d = smax(d, -ball(p, c, 0.17), 0.05)
    # Buckle, tongue and the strap's hanging end.
    q = turn(p, (0.2, -3.72, 17.62), yaw=-3, roll=0)
    buckle = smax(box(q, (0, 0, 0), (1.35, 0.24, 1.2), 0.2), -box(q, (0.1, 0, 0), (0.82, 0.6, 0.68), 0.15), 0.1)
    buckle = smin(buckle, cone(q, (-1.0, -0.2, 0.02), (1.05, -0.3, -0.02), 0.18, 0.14), 0.05)
    d = np.minimum(d, buckle)
    end = chain(p, [(-0.9, -3.75, 17.2), (-1.35, -4.0, 15.8), (-1.5, -4.45, 14.0), (-1.3, -4.75, 12.6)], [0.3, 0.3, 0.3, 0.3])
    bx = np.interp(z, [12.6, 14.0, 15.8, 17.2], [-1.3, -1.5, -1.35, -0.9]).astype(F)
    by = np.interp(z, [12.6, 14.0, 15.8, 17.2], [-4.95, -4.6, -4.1, -3.75]).astype(F)
    end = smax(np.abs(x - bx) - F(0.55) + F(0.25) * step(12.9, 12.2, z), np.abs(y - by - F(0.03)) - F(0.22), 0.12)
    end = smax(smax(end, F(12.3) - z, 0.1), z - F(17.4), 0.1)
    end = end + F(0.06) * bell(np.abs(x - bx) - F(0.36), 0.06)
    for k in (13.2, 14.1, 15.0):
        end = smax(end, -np.sqrt(np.square(x - bx) + np.square(z - F(k)) + F(0)) + F(0.16), 0.04)
    d = np.minimum(d, end)
    # Pouch at the viewer's left.
    q = turn(p, (-3.75, -2.95, 15.3), yaw=-48, pitch=-7, roll=3)
    bulge = F(0.16) * np.cos(np.clip(q[0] * F(1.1), -1.5, 1.5)) * np.cos(np.clip(q[2] * F(1.0), -1.5, 1.5))
    pouch = box(q, (0, 0, -0.1), (1.35, 0.62, 1.45), 0.35) - bulge - F(0.04) * noise(q, 2.2, 16)
    flap = box(q, (0, -0.28, 0.62), (1.5, 0.62, 0.95 ), 0.22) - bulge
    curved = q[2] - F(0.05) + F(0.38) * np.cos(np.clip(q[0] * 1.1, -1.5, 1.5)) 
    flap = smax(flap, -curved, 0.1)
    flap = flap + F(0.06) * bell(curved - F(0.28), 0.06)
    pouch = smin(pouch, flap, 0.05)
    pouch = np.minimum(pouch, box(q, (0, -0.95, -0.3), (0.26, 0.2, 0.75), 0.1))
    pouch = smin(pouch, ball(q, (0, -1.18, -0.2), 0.26), 0.03)
    d = np.minimum(d, pouch)
    # Strap in the left hand: from the shoulder under the mantle down to the belt, bulging over the grip.
    pts = [(2.6, -3.0, 22.3), (2.45, -4.1, 21.0), (2.6, -4.85, 19.2), (2.4, -4.6, 18.0), (2.2, -3.6, 17.4)]
    strap = chain(p, pts, [0.36] * 5, 0.1)
    d = np.minimum(d, strap)
    # Oil flask at the viewer's right hip.
    q = turn(p, (5.0, -1.5, 15.2), roll=-10)
    r = np.sqrt(q[0] ** 2 + q[1] ** 2)
    flask = ellipsoid(q, (0, 0, -0.6), (1.15, 1.15, 1.35))
    flask = smin(flask, cone(q, (0, 0, 0.5), (0, 0, 1.5), 0.42, 0.38), 0.3)
    flask = smin(flask, np.sqrt(np.square(r - F(0.42)) + np.square(q[2] - F(1.35))) - F(0.17), 0.05)
    flask = np.minimum(flask, np.sqrt(np.square(np.abs(r - F(1.08))) + np.square(q[2] + F(0.6))) - F(0.2))
    return np.minimum(d, flask)


def boot(p, c, yaw):
    q = turn(p, c, yaw=yaw)
    x, y, z = q
    flat = [x, y, 0 * z]
    plan = cone(flat, (0, 0.75, 0), (0.08, -2.05, 0), 1.12, 1.32)
    sole = smax(plan, np.abs(z - F(0.27)) - F(0.30), 0.1)
    heelgap = smax(np.abs(y + F(0.45)) - F(0.55), z - F(0.24), 0.1)
    sole = smax(sole, -heelgap, 0.08)
    sole = sole - F(0.05) * np.maximum(np.sin(np.arctan2(x, y + F(0.6)) * 30), 0) * bell(z - F(0.38), 0.1)
    upper = cone(q, (0.05, -1.85, 0.85), (0, 0.0, 1.45), 1.08, 1.2)
    upper = smin(upper, ellipsoid(q, (0.05, -2.15, 0.95), (1.18, 1.1, 0.78)), 0.2)
    shaft = chain(q, [(0, 0.55, 1.2), (0, 0.45, 3.4), (0, 0.7, 8.6), (0, 1.6, 11.5)], [1.15, 1.2, 1.55, 1.6], 0.3)
    t = np.arctan2(x, -(y - F(0.45)))
    wrinkle = fold(F(4.2) * z + F(1.6) * np.cos(t) + F(0.5) * np.sin(3 * t), 0.12) * F(0.15) * bell(z - F(2.7), 1.3)
    wrinkle = wrinkle + fold(F(3.8) * (y + F(0.4) * z) + np.sin(2 * x), 0.15) * F(0.07) * bell(y + F(0.9), 0.7)
    d = smin(upper, shaft, 0.7) - wrinkle - F(0.03) * noise(p, 2.2, 18) - F(0.012) * noise(p, 6, 19)
    d = smax(d, F(0.5) - z, 0.1)
    cap = bell(y + F(1.55) + F(0.15) * x * x, 0.07) * step(1.9, 1.4, z)
    d = d - F(0.06) * step(-1.5, -1.62, y + F(0.15) * x * x) + F(0.06) * cap
    top = smax(np.sqrt(np.square(x) + np.square(y - F(0.65))) - F(1.85) - F(0.05) * np.sin(4 * t), np.abs(z - F(7.6)) - F(0.8), 0.2)
    d = smin(d, top, 0.08)
    h, a, r = along(q, (0, 0.95, 0.75), (0, -0.9, 2.9))
    strap = smax(smax(d - F(0.2), np.abs(h - F(1.35)) - F(0.34), 0.1), -(d + F(0.3)), 0.1)
    d = np.minimum(d, strap)
    bk = turn(q, (1.28 if c[0] > 0 else -1.28, -0.65, 1.75), pitch=-40)
    frame_ = smax(box(bk, (0, 0, 0), (0.2, 0.48, 0.45), 0.12), -box(bk, (0, 0, 0), (0.6, 0.24, 0.2), 0.06), 0.06)
    d = np.minimum(d, frame_)
    return smin(d, sole, 0.05)


def boots(p):
    return np.minimum(boot(p, **BOOT_L), boot(p, **BOOT_R))


def pole(p):
    h, t, r = along(p, POLE_FOOT, POLE_TOP)
    rad = F(0.6) + F(0.035) * np.sin(h * F(0.8)) + F(0.03) * np.sin(h * F(0.37) + 2 * t)
    knots = sum(F(0.13) * bell(h - F(k), 0.5) * (F(0.5) + F(0.5) * np.cos(t - F(a))) for k, a in ((7.5, 1), (14.2, 3.4), (26.5, 2.1), (31.8, 4.8), (35.2, 1.2)))
    grain = F(0.05) * fold(11 * t + F(1.2) * np.sin(h * F(0.55)) + F(0.8) * np.sin(h * F(1.7) + 2 * t), 0.1)
    d = r - rad - knots - grain
    d = smax(d, np.maximum(-h + F(0.1), h - F(40.6)), 0.1)
    for k in (1.0, 33.6, 39.6):
        f = smax(r - F(0.8), np.abs(h - F(k)) - F(0.75), 0.1)
        f = smin(f, np.sqrt(np.square(r - F(0.78)) + np.square(np.abs(h - F(k)) - F(0.62))) - F(0.16), 0.05)
        d = np.minimum(d, f)
    # Grip binding below the hand, a cord wound about the shaft.
    for lo, hi in ((17.0, 19.3), (23.2, 24.6)):
        cord = r - F(0.68) - F(0.12) * np.abs(np.sin(np.pi * (h * F(2.6) + t / (2 * np.pi))))
        d = smin(d, smax(cord, np.abs(h - F((lo + hi) / 2)) - F((hi - lo) / 2), 0.1), 0.04)
    # Iron crook.
    ox, oz = POLE_TOP[0] - 2.1, 40.6
    a = np.linspace(-0.05, np.pi * 1.02, 12)
    pts = [(ox + 2.1 * np.cos(v), -3.6, oz + 2.1 * np.sin(v)) for v in a] + [(ox - 2.2, -3.6, 40.0), (ox - 2.0, -3.6, 39.5), (ox - 1.5, -3.6, 39.4), (ox - 1.2, -3.6, 39.7)]
    crook = chain(p, pts, list(np.linspace(0.42, 0.25, len(pts))), 0.06)
    d = smin(d, crook, 0.12)
    return smin(d, chain(p, [(POLE_TOP[0], -3.6, 40.5), (POLE_TOP[0] + 0.1, -3.6, 43.6)], [0.42, 0.1]), 0.15)


def hexagon(x, y, r):
    a = np.abs(x), np.abs(y)
    return np.maximum(a[0] * F(0.866025) + a[1] * F(0.5), a[1]) - F(r)


def lantern(p):
    q = turn(p, LANTERN, yaw=12, roll=3)
    x, y, z = q[0], q[1], q[2] + F(7.15)
    q = [x, y, z]
    r, t = np.sqrt(x * x + y * y), np.arctan2(y, x)
    slab = lambda rad, zc, hh, k=0.1: smax(hexagon(x, y, rad), np.abs(z - F(zc)) - F(hh), k)
    d = slab(1.95, 0.15, 0.28)
    d = smin(d, slab(1.6, -0.25, 0.2), 0.1)
    d = smin(d, ball(q, (0, 0, -0.55), 0.32), 0.1)
    d = np.minimum(d, slab(1.72, 0.62, 0.2))
    d = np.minimum(d, slab(1.72, 3.75, 0.2))
    for k in range(6):
        a = np.pi / 6 + k * np.pi / 3
        c, s = 1.72 * np.cos(a + np.pi / 6), 1.72 * np.sin(a + np.pi / 6)
        d = smin(d, cone(q, (c, s, 0.3), (c, s, 4.0), 0.23), 0.06)
    mid = np.abs(hexagon(x, y, 1.62)) - F(0.14)
    d = smin(d, smax(mid, np.abs(z - F(2.2)) - F(0.13), 0.05), 0.05)
    glass = smax(hexagon(x, y, 1.36) - F(0.06) * noise(q, 2, 21), np.abs(z - F(2.1)) - F(1.7), 0.08)
    d = np.minimum(d, glass)
    roof = smax(hexagon(x, y, 2.25) + (z - F(4.0)) * F(1.05), F(3.95) - z, 0.08) * F(0.7)
    roof = roof - F(0.09) * bell(np.abs(np.sin(3 * t)) , 0.14)
    eave = slab(2.3, 4.02, 0.16, 0.1)
    d = np.minimum(d, smin(roof, eave, 0.06))
    d = smin(d, smax(r - F(0.72), np.abs(z - F(5.75)) - F(0.42), 0.1) + F(0.12) * bell(np.sin(4 * t), 0.35) * bell(z - F(5.7), 0.22), 0.08)
    d = smin(d, ellipsoid(q, (0, 0, 6.25), (0.95, 0.95, 0.32)), 0.06)
    ring = np.sqrt(np.square(np.sqrt(x * x + np.square(z - F(6.85))) - F(0.5)) + y * y) - F(0.18)
    d = np.minimum(d, ring)
    for k in (0, 1):
        zz = z - F(7.65)
        link = np.sqrt(np.square(np.sqrt(y * y + zz * zz * F(0.8)) - F(0.38)) + x * x) - F(0.16)
    return np.minimum(d, link) - F(0.012) * noise(p, 4, 22)


REGIONS = {
    # name: function, box, voxel, mask colour
    "coat": (coat, (-11, -9, 3), (10.5, 9.5, 27.5), 0.055, "#e6194b"),
    "hood": (hood, (-9.6, -7.5, 18.5), (9.6, 8, 33.2), 0.05, "#4363d8"),
    "face": (face, (-3.5, -5, 24), (3.5, 2.5, 31.5), 0.035, "#ffe119"),
    "hands": (hands, (-12, -8, 14.5), (7.0, 1, 24.5), 0.04, "#f58231"),
    "belt": (belt, (-6.5, -6.5, 11.5), (7.5, 5, 23), 0.045, "#911eb4"),
    "boots": (boots, (-6, -7.5, -0.1), (6.5, 3.5, 13.5), 0.05, "#3cb44b"),
    "pole": (pole, (-13, -6.2, -0.1), (-6, -2, 45), 0.045, "#42d4f4"),
    "lantern": (lantern, (-15.4, -6.5, 31.4), (-8.2, -0.7, 41.6), 0.04, "#f032e6"),
}
