// Photos in a format that the engine does not know but this browser may, such as HEIC and AVIF: they become a PNG.

import type { PutKind } from "./protocol";

/** The engine reduces photos to this edge, so more pixels would be lost anyway. A card needs more. */
const EDGES: Partial<Record<PutKind, number>> = { photo: 1600, "light-photo": 1600, card: 4000 };

/** How the formats begin that the engine reads: JPEG, PNG, TIFF, WebP. */
const KNOWN = ["\xff\xd8", "\x89PNG", "II*\0", "MM\0*", "RIFF"];

/** The bytes as they are, or a PNG of what the browser sees in them. What no one can read goes on as it is: the engine says why. */
export async function readable(kind: PutKind, bytes: Uint8Array): Promise<Uint8Array> {
  const edge = EDGES[kind];
  const start = String.fromCharCode(...bytes.subarray(0, 4));
  if (!edge || KNOWN.some((known) => start.startsWith(known))) return bytes;
  const whole = await createImageBitmap(new Blob([bytes as BlobPart])).catch(() => null);
  if (!whole) return bytes;
  const scale = Math.min(1, edge / Math.max(whole.width, whole.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(whole.width * scale));
  canvas.height = Math.max(1, Math.round(whole.height * scale));
  const context = canvas.getContext("2d");
  if (!context) return bytes;
  context.imageSmoothingQuality = "high";
  context.drawImage(whole, 0, 0, canvas.width, canvas.height);
  whole.close();
  const png = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, "image/png"));
  return png ? new Uint8Array(await png.arrayBuffer()) : bytes;
}
