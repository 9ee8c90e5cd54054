"""Cloth of reeds: strands side by side in ragged tiers, cords that hold them (millimetres)."""
import numpy as np
from sdf import F, bell, curve, fold, noise, smax, smin, step


def chance(i, seed):
    """A number 0..1 that belongs to strand i."""
    return ((np.sin(i * F(12.9898) + F(seed * 7.233)) * F(43758.547)) % 1).astype(F)


def strands(t, n, wander, seed):
    """About the angle t: the strand's number and how far it stands out, 0..1 in units of its own roundness."""
    phase = (t / F(2 * np.pi) + F(0.5)) * F(n) + wander
    i = np.floor(phase)
    f = phase - i - F(0.5)
    return i, np.sqrt(np.maximum(1 - 4 * f * f, 0)), chance(i, seed)


def cord(d, z, level, t, turns, thick):
    """A twisted cord lying on the surface d at a level."""
    h = z - level
    a = np.arctan2(d, h)
    return np.sqrt(d * d + h * h) - F(thick) - F(0.16 * thick) * np.sin(2 * a + turns * t)


class Tier:
    """One ring of thatch: half widths along z, open in front by an angle to each side."""

    def __init__(self, levels, ax, ay, cx=0.0, cy=0.0, n=100, hem=10.0, ragged=1.6, seed=1, rows=(), thick=0.9):
        self.ax, self.ay = curve(levels, ax), curve(levels, ay)
        self.cx, self.cy = cx, cy
        self.top = levels[-1]
        self.n, self.hem, self.ragged, self.seed, self.rows, self.thick = n, hem, ragged, seed, rows, thick

    def smooth(self, p):
        ax, ay = self.ax(p[2]), self.ay(p[2])
        u, v = (p[0] - F(self.cx)) / ax, (p[1] - F(self.cy)) / ay
        return (np.sqrt(u * u + v * v) - 1) * np.minimum(ax, ay) * F(0.93), np.arctan2(u, -v)

    def __call__(self, p, opening, lift=None):
        """opening(z): half angle left open in front; lift(t): how much higher the hem hangs there."""
        z = p[2]
        d, t = self.smooth(p)
        up = np.clip((z - F(self.hem)) / F(self.top - self.hem), 0, 1)
        wander = F(0.55) * noise([t * 4, z * F(0.22), d * 0], 1.0, self.seed) + F(0.25) * noise([t * 14, z * F(0.5), d * 0], 1.0, self.seed + 1)
        i, out, luck = strands(t, self.n, wander, self.seed)
        bundle = np.floor(i / 5)
        shag = (F(0.24) * out + F(0.30) * luck) * (1 - F(0.45) * up)
        clump = F(0.35) * fold(F(self.n / 9) * t + F(1.2) * np.sin(3 * t + self.seed), 0.12) * (1 - up) ** F(0.8)
        loose = step(0.75, 1.0, luck) * (1 - step(0.0, 0.45, up)) * F(0.28)
        for row in self.rows:      # drawn in where a cord runs
            shag = shag - F(0.32) * bell(z - F(row), 0.45)
        skin = d - shag - clump - loose
        low = F(self.hem) + F(self.ragged) * (F(0.6) * chance(i, self.seed + 9) + F(0.4) * chance(bundle, self.seed + 4))
        if lift is not None:
            low = low + lift(t)
        shell = smax(skin, (low - z) * F(0.8), 0.12)
        shell = smax(shell, -(d + F(self.thick) + F(0.20) * out + F(0.15) * luck), 0.1)
        shell = smax(shell, z - F(self.top), 0.3)
        gap = (opening(z) - np.abs(t)) * np.minimum(self.ax(z), self.ay(z))
        # The cut edge shows reeds lying on each other.
        gap = gap + F(0.30) * (1 - np.abs(np.sin(d * F(6.5) + F(0.8) * noise([z * 0, z * F(0.4), d], 1.0, self.seed))))
        shell = smax(shell, gap, 0.25)
        for k, row in enumerate(self.rows):
            level = F(row) + F(0.15) * np.sin(4 * t + k)
            rope = cord(d - F(0.12) - F(0.5) * clump, z, level, t, 70, 0.24)
            shell = smin(shell, smax(rope, gap - F(0.1), 0.1), 0.04)
        return shell
