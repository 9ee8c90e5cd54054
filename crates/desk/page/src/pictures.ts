// The pictures that follow the view: photo, overlay, tiles. One is made at a time, when no command waits, and only for the step that
// shows it; so a picture always fits the newest view.

import type { EngineClient } from "./engine";
import type { View } from "./protocol";
import type { Route } from "./steps";

export class Pictures {
  photo: ImageBitmap | null = null;
  overlay: ImageBitmap | null = null;
  /** The numbers that the view gave what is shown. */
  #photo_of: number | null = null;
  #overlay_of: number | null = null;
  #fine_of: number | null = null;
  /** By the number that the view gives a tile. */
  #tiles = new Map<number, ImageBitmap>();
  /** What each place of the grid showed last: it stays until its new tile is ready. */
  #shown: (ImageBitmap | undefined)[] = [];
  #failed = new Set<string>();
  #seen_for = "";

  /** `ready` is called with each new picture. */
  constructor(private readonly ready: () => void) {}

  /** The picture of a scheme, and whether it shows the scheme as it is now. */
  tile(view: View, scheme: number): { picture: ImageBitmap | null; fresh: boolean } {
    const number = view.schemes[scheme]?.tile ?? null;
    const tile = number === null ? undefined : this.#tiles.get(number);
    if (tile) this.#shown[scheme] = tile;
    return { picture: tile ?? this.#shown[scheme] ?? null, fresh: tile !== undefined };
  }

  /** A picture that failed gets another try, once per command of the painter: the next engine may have the memory for it. */
  try_again(): void {
    if (this.#failed.size === 0) return;
    this.#failed.clear();
    this.#photo_of = this.#overlay_of = this.#fine_of = null;
  }

  forget(): void {
    this.photo = this.overlay = null;
    this.#photo_of = this.#overlay_of = this.#fine_of = null;
    this.#tiles.clear();
    this.#shown = [];
    this.#failed.clear();
  }

  /** Asks for the next picture that the step needs, if there is one. */
  next(engine: EngineClient, view: View, route: Route): void {
    const { photo, overlay } = view;
    if (!photo) {
      this.photo = this.overlay = null;
      this.#photo_of = this.#overlay_of = this.#fine_of = null;
    } else if (photo.number !== this.#photo_of) {
      this.#photo_of = photo.number;
      this.#ask(`photo ${photo.number}`, () => engine.photo(), (picture) => { this.photo = picture; });
      return;
    }
    if (overlay === null) {
      this.overlay = null;
      this.#overlay_of = this.#fine_of = null;
    } else if (route.step === "parts" && overlay !== this.#overlay_of) {
      this.#overlay_of = overlay;
      this.#ask(`overlay ${overlay}`, () => engine.overlay(false), (picture) => { this.overlay = picture; });
      return;
    } else if (route.step === "parts" && overlay !== this.#fine_of) {
      this.#fine_of = overlay;
      this.#ask(`fine overlay ${overlay}`, () => engine.overlay(true), (picture) => {
        if (this.#overlay_of === overlay) this.overlay = picture;
        // How much of the figure each part covers is known only now.
        engine.run({ do: "look" }).catch(() => {});
      });
      return;
    }
    if (route.step === "schemes") this.#next_tile(engine, view, route.scheme);
  }

  #next_tile(engine: EngineClient, view: View, open: number | null): void {
    this.#drop_old(view);
    const order = view.schemes.map((_, index) => index);
    if (open !== null && open < order.length) order.unshift(open);
    for (const index of order) {
      const number = view.schemes[index]?.tile ?? null;
      if (number === null || this.#tiles.has(number) || this.#failed.has(`tile ${number}`)) continue;
      this.#ask(`tile ${number}`, () => engine.tile(index), (picture) => { this.#tiles.set(number, picture); });
      return;
    }
    // What the eye sees is only known once the tile is made: fetch the view again, once per set of tiles.
    const set = view.schemes.map((scheme) => scheme.tile).join(" ");
    const unseen = view.schemes.some((scheme) => scheme.tile !== null && scheme.chips.some((chip) => chip.seen === null));
    if (unseen && set !== this.#seen_for) {
      this.#seen_for = set;
      engine.run({ do: "look" }).catch(() => {});
    }
  }

  /** Undo soon brings back the last few tiles, so some old ones stay. */
  #drop_old(view: View): void {
    const current = new Set(view.schemes.map((scheme) => scheme.tile));
    const old = [...this.#tiles.keys()].filter((number) => !current.has(number));
    for (const number of old.slice(0, Math.max(0, old.length - 6))) this.#tiles.delete(number);
    this.#shown.length = Math.min(this.#shown.length, view.schemes.length);
  }

  #ask<T>(what: string, make: () => Promise<T>, keep: (picture: T) => void): void {
    if (this.#failed.has(what)) return;
    make().then(keep, () => this.#failed.add(what)).then(this.ready);
  }
}
