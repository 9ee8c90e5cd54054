// A stroke as it goes to the engine: few points, whole pixels.

export type Point = [number, number];
export interface Stroke { colour: string; radius: number; points: Point[]; erase: boolean }

const MOST = 200;

/** Leaves out points that a straight line replaces within `tolerance`, then evenly so many that at most 200 remain. */
export function simplify(points: Point[], tolerance: number): Point[] {
  const kept = straighten(points, tolerance);
  const few = kept.length <= MOST ? kept
    : Array.from({ length: MOST }, (_, index) => kept[Math.round((index * (kept.length - 1)) / (MOST - 1))]!);
  return few.map(([x, y]) => [Math.round(x), Math.round(y)]);
}

function straighten(points: Point[], tolerance: number): Point[] {
  if (points.length < 3) return points;
  const keep = new Set([0, points.length - 1]);
  const spans: [number, number][] = [[0, points.length - 1]];
  for (let span = spans.pop(); span; span = spans.pop()) {
    const [from, to] = span;
    let farthest = -1;
    let most = tolerance;
    for (let index = from + 1; index < to; index++) {
      const off = distance(points[index]!, points[from]!, points[to]!);
      if (off > most) [most, farthest] = [off, index];
    }
    if (farthest < 0) continue;
    keep.add(farthest);
    spans.push([from, farthest], [farthest, to]);
  }
  return points.filter((_, index) => keep.has(index));
}

/** From a point to the line between two others. */
function distance([x, y]: Point, [ax, ay]: Point, [bx, by]: Point): number {
  const [dx, dy] = [bx - ax, by - ay];
  const length = dx * dx + dy * dy;
  const along = length === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / length));
  return Math.hypot(x - ax - along * dx, y - ay - along * dy);
}
