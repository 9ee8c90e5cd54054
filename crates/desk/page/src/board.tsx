// A picture to work on: take a colour from it, or draw strokes on it. Fingers, pen, mouse and keys do the same things.

import { useEffect, useRef, useState } from "preact/hooks";
import { draw, type Scene } from "./board_draw";
import { attach } from "./gestures";
import { PixelReader } from "./pixels";
import { simplify, type Point, type Stroke } from "./strokes";
import { fit, pan, to_picture, zoom, type Viewport } from "./viewport";

export type BoardMode =
  | { kind: "show" }
  /** Takes a place, with a loupe. */
  | { kind: "take"; onTake: (x: number, y: number, colour: string) => void }
  | { kind: "draw"; colour: string; radius: number; erase: boolean; onStroke: (stroke: Stroke) => void };

interface Props {
  picture: ImageBitmap | null;
  overlay?: ImageBitmap | null;
  strokes?: Stroke[];
  mode: BoardMode;
  /** What the picture shows. */
  label: string;
}

/** What changes with every move of a finger; none of it needs a new page. */
interface Hand {
  view: Viewport | null;
  line: Point[] | null;
  /** Board pixels. */
  hover: Point | null;
  finger: boolean;
  crosshair: Point | null;
  pen_down: boolean;
  space: boolean;
  panned: boolean;
  /** Where and when the finger came down. */
  began: Point | null;
  since: number;
}

export function Board(props: Props) {
  const box = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const latest = useRef(props);
  latest.current = props;
  const [pen_down, set_pen_down] = useState(false);
  const work = useRef<Work | null>(null);

  useEffect(() => {
    const made = new Work(box.current!, canvas.current!, () => latest.current, set_pen_down);
    work.current = made;
    return () => made.end();
  }, []);
  useEffect(() => work.current?.renew(), [props.picture]);
  useEffect(() => work.current?.draw_soon());

  const { mode, label } = props;
  const works = mode.kind !== "show";
  const keys = mode.kind === "take"
    ? "Arrow keys move the crosshair, Shift moves it finely, Enter takes the colour, plus and minus zoom."
    : "Arrow keys move the crosshair, Shift moves it finely, Space puts the pen down and lifts it, Escape drops the line, plus and minus zoom.";
  return (
    <div class="board-frame">
      <div ref={box} class="board" data-mode={mode.kind} data-pen={pen_down ? "down" : "up"}
        {...(works ? { tabIndex: 0, role: "application", "aria-label": mode.kind === "take" ? "Take a colour from the picture" : "Draw on the picture",
          "aria-description": keys } : {})}>
        <canvas ref={canvas} role="img" aria-label={label} />
      </div>
      {works && (
        <div class="board-tools" role="group" aria-label="Zoom">
          <button type="button" aria-label="Zoom out" onClick={() => work.current?.zoom_middle(1 / 1.5)}>−</button>
          <button type="button" aria-label="Fit the whole picture" onClick={() => work.current?.fit_whole()}>Fit</button>
          <button type="button" aria-label="Zoom in" onClick={() => work.current?.zoom_middle(1.5)}>+</button>
        </div>
      )}
      {works && <p class="keys-help">{keys}</p>}
    </div>
  );
}

class Work {
  readonly #hand: Hand = { view: null, line: null, hover: null, finger: false, crosshair: null, pen_down: false, space: false, panned: false, began: null, since: 0 };
  readonly #end: (() => void)[] = [];
  #reader: PixelReader | null = null;
  #drawing = 0;

  constructor(
    private readonly box: HTMLElement,
    private readonly canvas: HTMLCanvasElement,
    private readonly props: () => Props,
    private readonly pen: (down: boolean) => void,
  ) {
    const size = new ResizeObserver(() => {
      this.#hand.view = null;
      this.draw_soon();
    });
    size.observe(box);
    const listen = <K extends keyof HTMLElementEventMap>(type: K, to: (event: HTMLElementEventMap[K]) => void) => {
      box.addEventListener(type, to);
      this.#end.push(() => box.removeEventListener(type, to));
    };
    listen("keydown", (event) => this.#key(event));
    listen("keyup", (event) => this.#key_up(event));
    listen("blur", () => this.#rest());
    listen("pointerdown", (event) => {
      this.#hand.finger = event.pointerType === "touch";
      this.#hand.since = performance.now();
    });
    this.#end.push(() => size.disconnect(), attach(box, {
      works: () => this.props().mode.kind !== "show",
      down: (x, y) => this.#down(x, y),
      move: (x, y) => this.#move(x, y),
      up: () => this.#up(),
      cancel: () => this.#cancel(),
      hover: (at) => {
        this.#hand.hover = at;
        this.#hand.finger = false;
        this.draw_soon();
      },
      pan: (dx, dy) => {
        this.#hand.panned = true;
        this.#look((view, picture) => pan(view, dx, dy, this.#board(), picture));
      },
      zoom: (factor, x, y) => this.#look((view, picture) => zoom(view, factor, x, y, this.#board(), picture)),
      space: () => this.#hand.space,
    }));
  }

  end(): void {
    cancelAnimationFrame(this.#drawing);
    for (const end of this.#end) end();
  }

  /** Another picture: shown whole. */
  renew(): void {
    this.#reader = null;
    this.#hand.view = null;
    this.#hand.crosshair = null;
    this.draw_soon();
  }

  zoom_middle(factor: number): void {
    const { width, height } = this.#board();
    this.#look((view, picture) => zoom(view, factor, width / 2, height / 2, this.#board(), picture));
  }

  fit_whole(): void {
    this.#hand.view = null;
    this.draw_soon();
  }

  draw_soon(): void {
    cancelAnimationFrame(this.#drawing);
    this.#drawing = requestAnimationFrame(() => this.#draw());
  }

  #board() { return { width: this.box.clientWidth, height: this.box.clientHeight }; }

  #look(change: (view: Viewport, picture: ImageBitmap) => Viewport): void {
    const { picture } = this.props();
    if (!picture || !this.#hand.view) return;
    this.#hand.view = change(this.#hand.view, picture);
    this.draw_soon();
  }

  /** The place in the picture, inside it. */
  #place(x: number, y: number): Point | null {
    const { picture } = this.props();
    if (!picture || !this.#hand.view) return null;
    const [px, py] = to_picture(this.#hand.view, x, y);
    return [Math.min(picture.width - 1, Math.max(0, px)), Math.min(picture.height - 1, Math.max(0, py))];
  }

  #colour(x: number, y: number): string | null {
    const { picture } = this.props();
    const place = this.#place(x, y);
    if (!picture || !place) return null;
    this.#reader ??= new PixelReader(picture);
    return this.#reader.colour_at(...place);
  }

  #down(x: number, y: number): void {
    this.#hand.crosshair = null;
    this.#hand.hover = this.#hand.began = [x, y];
    const place = this.#place(x, y);
    if (this.props().mode.kind === "draw" && place) this.#hand.line = [place];
    this.draw_soon();
  }

  #move(x: number, y: number): void {
    this.#hand.hover = [x, y];
    const place = this.#place(x, y);
    if (this.#hand.line && place) this.#hand.line.push(place);
    this.draw_soon();
  }

  #up(): void {
    const { hover, finger } = this.#hand;
    if (this.props().mode.kind === "take" && hover && !this.#strayed()) this.#take(...hover);
    this.#finish_line();
    if (finger) this.#hand.hover = null;
    this.draw_soon();
  }

  /** A finger that went far was not a tap. With the loupe a painter still moves to the right place: that is slow. */
  #strayed(): boolean {
    const { hover, began, finger, since } = this.#hand;
    if (!finger || !hover || !began) return false;
    return Math.hypot(hover[0] - began[0], hover[1] - began[1]) > 12 && performance.now() - since < 500;
  }

  #take(x: number, y: number): void {
    const { mode } = this.props();
    const place = this.#place(x, y);
    const colour = this.#colour(x, y);
    if (mode.kind === "take" && place && colour) mode.onTake(Math.round(place[0]), Math.round(place[1]), colour);
  }

  #finish_line(): void {
    const { mode } = this.props();
    const { line, view } = this.#hand;
    this.#hand.line = null;
    if (mode.kind !== "draw" || !line || !view) return;
    const { colour, radius, erase } = mode;
    mode.onStroke({ colour, radius, erase, points: simplify(line, Math.max(0.5, 0.75 / view.scale)) });
  }

  #cancel(): void {
    this.#hand.line = null;
    this.#hand.hover = null;
    this.draw_soon();
  }

  #key(event: KeyboardEvent): void {
    const { mode, picture } = this.props();
    if (mode.kind === "show" || !picture || event.ctrlKey || event.metaKey || event.altKey) return;
    const arrows: Record<string, Point> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const arrow = arrows[event.key];
    if (arrow) this.#step(arrow, event.shiftKey ? 1 : 10);
    else if (event.key === "+" || event.key === "=") this.#zoom_here(1.25);
    else if (event.key === "-") this.#zoom_here(1 / 1.25);
    else if (event.key === "0") this.fit_whole();
    else if (event.key === "Enter" && mode.kind === "take") this.#take(...this.#cross());
    else if (event.key === "Escape" && this.#hand.pen_down) this.#set_pen(false, true);
    else if (event.key === " ") {
      if (!event.repeat) [this.#hand.space, this.#hand.panned] = [true, false];
    } else return;
    event.preventDefault();
    this.draw_soon();
  }

  #key_up(event: KeyboardEvent): void {
    if (event.key !== " " || !this.#hand.space) return;
    this.#hand.space = false;
    // Space that held the picture for a drag is no pen.
    if (this.#hand.panned) return;
    const { mode } = this.props();
    if (mode.kind === "draw") this.#set_pen(!this.#hand.pen_down, false);
    if (mode.kind === "take") this.#take(...this.#cross());
    this.draw_soon();
  }

  #set_pen(down: boolean, drop: boolean): void {
    this.#hand.pen_down = down;
    this.pen(down);
    if (down) {
      const place = this.#place(...this.#cross());
      this.#hand.line = place ? [place] : null;
    } else if (drop) this.#hand.line = null;
    else this.#finish_line();
  }

  /** Leaving the board lifts the pen: the line counts. */
  #rest(): void {
    if (this.#hand.pen_down) this.#set_pen(false, false);
    this.#hand.space = false;
    this.#hand.crosshair = null;
    this.draw_soon();
  }

  #cross(): Point {
    const { width, height } = this.#board();
    return (this.#hand.crosshair ??= [width / 2, height / 2]);
  }

  #step([dx, dy]: Point, far: number): void {
    const { width, height } = this.#board();
    const [x, y] = this.#cross();
    const next: Point = [x + dx * far, y + dy * far];
    this.#hand.hover = null;
    this.#hand.crosshair = [Math.min(width, Math.max(0, next[0])), Math.min(height, Math.max(0, next[1]))];
    // At the border the picture moves instead.
    const [px, py] = [this.#hand.crosshair[0] - next[0], this.#hand.crosshair[1] - next[1]];
    if (px || py) this.#look((view, picture) => pan(view, px, py, this.#board(), picture));
    const place = this.#place(...this.#hand.crosshair);
    if (this.#hand.line && place) this.#hand.line.push(place);
  }

  #zoom_here(factor: number): void {
    const [x, y] = this.#cross();
    this.#look((view, picture) => zoom(view, factor, x, y, this.#board(), picture));
  }

  #draw(): void {
    const { picture, overlay, strokes, mode } = this.props();
    const { canvas } = this;
    const board = this.#board();
    const ratio = window.devicePixelRatio || 1;
    const [width, height] = [Math.round(board.width * ratio), Math.round(board.height * ratio)];
    if (canvas.width !== width || canvas.height !== height) [canvas.width, canvas.height] = [width, height];
    const context = canvas.getContext("2d");
    if (!context || width === 0 || height === 0) return;
    if (picture) this.#hand.view ??= fit(board, picture);
    const { view, line, hover, crosshair, finger } = this.#hand;
    const scene: Scene = {
      view: view ?? { scale: 1, x: 0, y: 0 }, board, picture, overlay: overlay ?? null, strokes: [...(strokes ?? [])],
      crosshair, brush: null, loupe: null,
    };
    const at = crosshair ?? hover;
    if (mode.kind === "draw") {
      const { colour, radius, erase } = mode;
      if (line) scene.strokes.push({ colour, radius, erase, points: line });
      if (at) scene.brush = { at, radius };
    }
    if (mode.kind === "take" && at) scene.loupe = { at, colour: this.#colour(...at), finger };
    draw(context, scene, ratio);
  }
}
