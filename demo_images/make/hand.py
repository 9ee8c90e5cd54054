"""A fist about a shaft, for every figure (millimetres)."""
import numpy as np
from sdf import F, ball, bell, chain, cone, ellipsoid, frame, noise, smin, step


def hand(p, centre, axis_a, axis_b, wrist, r=0.62, flip=1):
    """A fist about the axis a->b with its middle at centre, coming from wrist."""
    w, _, _ = frame(axis_a, axis_b)
    back = np.subtract(wrist, centre)
    back = back - w * np.dot(back, w)
    back /= np.linalg.norm(back)
    side = np.cross(w, back) * flip
    q0 = [p[i] - F(centre[i]) for i in range(3)]
    a, b, c = [q0[0] * F(e[0]) + q0[1] * F(e[1]) + q0[2] * F(e[2]) for e in (w, back, side)]
    q = [a, b, c]          # along the grip, towards the wrist, across the back of the hand
    k = r + 0.38
    d = smin(cone(q, (-0.75, 1.3, 0.55), (0.85, 1.3, 0.5), 0.68, 0.72), cone(q, (-0.8, 0.25, k), (0.9, 0.25, k), 0.5, 0.52), 0.45)
    d = smin(d, cone(q, (0, 1.3, 0.5), (0.0, 3.0, 0.45), 1.0, 1.12), 0.4)
    for n, (u, rad) in enumerate(((1.22, 0.42), (0.42, 0.46), (-0.40, 0.45), (-1.15, 0.38))):
        tip = k * (0.98 - 0.03 * n)
        pts = [(u * 0.95, 0.45, k + 0.06), (u, -0.62 * k, tip * 0.92), (u * 1.02, -1.08 * k, 0.05), (u * 1.0, -0.72 * k, -0.8 * k), (u * 0.97, 0.05, -0.98 * k)]
        f = chain(q, pts, [rad * 1.05, rad * 1.08, rad, rad * 0.95, rad * 0.86], 0.1)
        f = smin(f, ball(q, (u * 0.96, 0.2, k + 0.2), rad * 0.88), 0.15)
        f = f + F(0.07) * bell(b + F(0.62 * k), 0.07) * step(0.2, 0.6, c) + F(0.06) * bell(c - F(0.15), 0.07) * step(-0.4 * k, -0.8 * k, b)
        d = smin(d, f, 0.07)
    thumb = chain(q, [(0.9, 1.25, 0.1), (1.55, 0.55, -0.55), (1.35, -0.35, -k - 0.1), (0.95, -0.95, -k * 0.75)], [0.55, 0.48, 0.42, 0.34], 0.12)
    d = smin(d, thumb, 0.09)
    nail = ellipsoid(q, (0.92, -1.0, -k * 0.78 - 0.22), (0.2, 0.22, 0.1))
    d = smin(d, nail, 0.02)
    return d - F(0.012) * noise(p, 5, 14)
