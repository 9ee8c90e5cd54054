// Which piece of a picture a board shows, and how large.

export interface Viewport {
  /** Screen pixels per pixel of the picture. */
  scale: number;
  /** Where the picture's corner is on the board. */
  x: number;
  y: number;
}

export interface Size { width: number; height: number }

export function fit(board: Size, picture: Size, margin = 0): Viewport {
  const scale = Math.min((board.width - 2 * margin) / picture.width, (board.height - 2 * margin) / picture.height);
  return {
    scale: Math.max(scale, 0.01),
    x: (board.width - picture.width * scale) / 2,
    y: (board.height - picture.height * scale) / 2,
  };
}

/** Zooms so that the place under the finger stays there; not smaller than the whole picture, not larger than 16 pixels per pixel. */
export function zoom(view: Viewport, factor: number, x: number, y: number, board: Size, picture: Size): Viewport {
  const least = fit(board, picture).scale;
  const scale = Math.min(16, Math.max(least, view.scale * factor));
  const by = scale / view.scale;
  return keep_in({ scale, x: x - (x - view.x) * by, y: y - (y - view.y) * by }, board, picture);
}

export function pan(view: Viewport, dx: number, dy: number, board: Size, picture: Size): Viewport {
  return keep_in({ ...view, x: view.x + dx, y: view.y + dy }, board, picture);
}

/** The picture cannot leave the board; if it is smaller, it stays in the middle. */
function keep_in(view: Viewport, board: Size, picture: Size): Viewport {
  const along = (at: number, board: number, picture: number) =>
    picture <= board ? (board - picture) / 2 : Math.min(0, Math.max(board - picture, at));
  return {
    scale: view.scale,
    x: along(view.x, board.width, picture.width * view.scale),
    y: along(view.y, board.height, picture.height * view.scale),
  };
}

export function to_picture(view: Viewport, x: number, y: number): [number, number] {
  return [(x - view.x) / view.scale, (y - view.y) / view.scale];
}
