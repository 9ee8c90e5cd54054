// Reads colours from a picture in the page.

const HALF = 3; // a square of 7 pixels: small enough for a strip on a card, large enough against noise

export class PixelReader {
  readonly #context: CanvasRenderingContext2D;

  constructor(picture: ImageBitmap) {
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [picture.width, picture.height];
    this.#context = canvas.getContext("2d", { willReadFrequently: true })!;
    this.#context.drawImage(picture, 0, 0);
  }

  /** The median of a small square, in each channel: a speck of dust does not count. */
  colour_at(x: number, y: number): string {
    const { width, height } = this.#context.canvas;
    const left = Math.min(Math.max(0, Math.round(x) - HALF), Math.max(0, width - 1));
    const top = Math.min(Math.max(0, Math.round(y) - HALF), Math.max(0, height - 1));
    const side = 2 * HALF + 1;
    const { data } = this.#context.getImageData(left, top, Math.min(side, width - left), Math.min(side, height - top));
    const channel = (offset: number) => {
      const values = Array.from({ length: data.length / 4 }, (_, index) => data[4 * index + offset]!).sort((a, b) => a - b);
      return values[values.length >> 1]!.toString(16).padStart(2, "0");
    };
    return `#${channel(0)}${channel(1)}${channel(2)}`;
  }
}

/** The photo that the painter chose, upright and small enough to hold. */
export async function picture_of(file: File): Promise<ImageBitmap> {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = 1600 / Math.max(picture.width, picture.height);
  if (scale >= 1) return picture;
  const small = await createImageBitmap(picture, {
    resizeWidth: Math.round(picture.width * scale), resizeHeight: Math.round(picture.height * scale), resizeQuality: "high",
  });
  picture.close();
  return small;
}
