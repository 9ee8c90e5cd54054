// A scheme on the figure.

import { useEffect, useRef } from "preact/hooks";
import { desk } from "./desk";

export function Tile({ scheme, most, onPlace }: {
  scheme: number;
  /** The most pixels along the longer edge: ten tiles at full size are too much for the memory of a phone. */
  most?: number;
  /** A tap, in pixels of the tile. */
  onPlace?: (x: number, y: number) => void;
}) {
  const { view } = desk.state;
  const canvas = useRef<HTMLCanvasElement>(null);
  const { picture, fresh } = desk.pictures.tile(view, scheme);
  const name = view.schemes[scheme]?.name ?? "";
  useEffect(() => {
    const to = canvas.current;
    if (!to || !picture) return;
    const scale = Math.min(1, (most ?? Infinity) / Math.max(picture.width, picture.height));
    [to.width, to.height] = [Math.round(picture.width * scale), Math.round(picture.height * scale)];
    const context = to.getContext("2d");
    if (!context) return;
    context.imageSmoothingQuality = "high";
    context.drawImage(picture, 0, 0, to.width, to.height);
  }, [picture, most]);
  // Before there is a tile, its place has the shape of the other tiles or of the photo.
  const like = picture ?? view.schemes.map((_, index) => desk.pictures.tile(view, index).picture).find(Boolean) ?? view.photo;
  return (
    <canvas ref={canvas} class={`tile${fresh ? "" : " stale"}${picture ? "" : " empty"}`} role="img" data-fresh={fresh ? "1" : "0"}
      aria-label={picture ? `The figure in the scheme ${name}` : `The picture of ${name} is not ready`}
      style={like ? { aspectRatio: `${like.width} / ${like.height}` } : undefined}
      onClick={onPlace && ((event) => {
        if (!picture) return;
        const box = event.currentTarget.getBoundingClientRect();
        const scale = picture.width / box.width;
        onPlace(Math.floor((event.clientX - box.left) * scale), Math.floor((event.clientY - box.top) * scale));
      })} />
  );
}
