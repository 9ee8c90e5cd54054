// Draws a board: picture, overlay, strokes, crosshair, loupe.

import type { Point, Stroke } from "./strokes";
import type { Size, Viewport } from "./viewport";

export interface Scene {
  view: Viewport;
  board: Size;
  picture: ImageBitmap | null;
  overlay: ImageBitmap | null;
  strokes: Stroke[];
  /** Board pixels. */
  crosshair: Point | null;
  /** The brush under the mouse: board pixels and the radius in picture pixels. */
  brush: { at: Point; radius: number } | null;
  loupe: { at: Point; colour: string | null; finger: boolean } | null;
}

export const OVERLAY_STRENGTH = 0.5;
const LOUPE_RADIUS = 56;
const LOUPE_TIMES = 5;

export function draw(context: CanvasRenderingContext2D, scene: Scene, pixel_ratio: number): void {
  const { board, view } = scene;
  context.setTransform(pixel_ratio, 0, 0, pixel_ratio, 0, 0);
  context.clearRect(0, 0, board.width, board.height);
  if (!scene.picture) return;
  draw_picture(context, scene, view);
  for (const stroke of scene.strokes) draw_stroke(context, stroke, view);
  if (scene.brush) ring(context, scene.brush.at, Math.max(2, scene.brush.radius * view.scale));
  if (scene.crosshair) draw_crosshair(context, scene.crosshair, scene.brush ? scene.brush.radius * view.scale : 0);
  if (scene.loupe) draw_loupe(context, scene, scene.loupe);
}

function draw_picture(context: CanvasRenderingContext2D, { picture, overlay }: Scene, view: Viewport): void {
  if (!picture) return;
  const box = [view.x, view.y, picture.width * view.scale, picture.height * view.scale] as const;
  context.imageSmoothingEnabled = view.scale < 4; // very near, single pixels help to judge a border
  context.imageSmoothingQuality = "high";
  context.drawImage(picture, ...box);
  if (!overlay) return;
  context.globalAlpha = OVERLAY_STRENGTH;
  context.drawImage(overlay, ...box);
  context.globalAlpha = 1;
}

function draw_stroke(context: CanvasRenderingContext2D, { colour, radius, points, erase }: Stroke, view: Viewport): void {
  const first = points[0];
  if (!first) return;
  const path = new Path2D();
  path.moveTo(view.x + first[0] * view.scale, view.y + first[1] * view.scale);
  for (const [x, y] of points) path.lineTo(view.x + x * view.scale + 0.01, view.y + y * view.scale);
  context.lineCap = context.lineJoin = "round";
  const width = Math.max(2, 2 * radius * view.scale);
  if (erase) {
    context.globalAlpha = 0.45;
    context.strokeStyle = "#fff";
    context.lineWidth = width;
    context.stroke(path);
    context.globalAlpha = 1;
    return;
  }
  context.strokeStyle = "#fff"; // a rim, so that black shows on black
  context.lineWidth = width + 2;
  context.stroke(path);
  context.strokeStyle = colour;
  context.lineWidth = width;
  context.stroke(path);
}

/** Black in white, so that it shows on every grey. */
function twice(context: CanvasRenderingContext2D, path: Path2D): void {
  context.strokeStyle = "#fff";
  context.lineWidth = 3;
  context.stroke(path);
  context.strokeStyle = "#000";
  context.lineWidth = 1.25;
  context.stroke(path);
}

function ring(context: CanvasRenderingContext2D, [x, y]: Point, radius: number): void {
  const path = new Path2D();
  path.arc(x, y, radius, 0, 2 * Math.PI);
  twice(context, path);
}

function draw_crosshair(context: CanvasRenderingContext2D, [x, y]: Point, radius: number): void {
  const gap = Math.max(5, radius);
  const path = new Path2D();
  for (const [dx, dy] of [[1, 0], [-1, 0], [0, 1], [0, -1]] as const) {
    path.moveTo(x + dx * gap, y + dy * gap);
    path.lineTo(x + dx * (gap + 16), y + dy * (gap + 16));
  }
  twice(context, path);
  if (radius > 0) ring(context, [x, y], Math.max(2, radius));
}

/** A magnified circle, away from the finger and always on the board. */
function draw_loupe(context: CanvasRenderingContext2D, scene: Scene, { at: [x, y], colour, finger }: NonNullable<Scene["loupe"]>): void {
  const away = LOUPE_RADIUS + (finger ? 56 : 28);
  const edge = LOUPE_RADIUS + 8;
  const above = y - away >= edge;
  const cx = Math.min(scene.board.width - edge, Math.max(edge, above ? x : x + (x < scene.board.width / 2 ? away : -away)));
  const cy = above ? y - away : Math.max(edge, y);
  const disc = new Path2D();
  disc.arc(cx, cy, LOUPE_RADIUS, 0, 2 * Math.PI);
  context.save();
  context.clip(disc);
  context.fillStyle = "#a0a0a0";
  context.fill(disc);
  const scale = scene.view.scale * LOUPE_TIMES;
  const near: Viewport = { scale, x: cx - (x - scene.view.x) * LOUPE_TIMES, y: cy - (y - scene.view.y) * LOUPE_TIMES };
  draw_picture(context, { ...scene, overlay: null }, near);
  context.restore();
  if (colour) {
    context.strokeStyle = colour;
    context.lineWidth = 10;
    context.stroke(disc);
  }
  ring(context, [cx, cy], LOUPE_RADIUS + 5);
  ring(context, [cx, cy], 4);
}
