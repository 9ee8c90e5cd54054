// Fingers, pen, mouse and wheel on a board. One finger works, two fingers pan and pinch.

export interface Hands {
  /** Work with one finger: false leaves it to the browser's scrolling. */
  works: () => boolean;
  down(x: number, y: number): void;
  move(x: number, y: number): void;
  up(): void;
  /** The work became something else, a pinch for example. */
  cancel(): void;
  hover(at: [number, number] | null): void;
  pan(dx: number, dy: number): void;
  zoom(factor: number, x: number, y: number): void;
  /** The space key is held, so a drag pans. */
  space: () => boolean;
}

export function attach(board: HTMLElement, hands: Hands): () => void {
  const touching = new Map<number, [number, number]>();
  let doing: "none" | "work" | "pan" | "pinch" = "none";
  let pen: number | null = null;

  const at = (event: { clientX: number; clientY: number }): [number, number] => {
    const box = board.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const pair = () => {
    const [a, b] = [...touching.values()] as [[number, number], [number, number]];
    return { x: (a[0] + b[0]) / 2, y: (a[1] + b[1]) / 2, apart: Math.hypot(a[0] - b[0], a[1] - b[1]) || 1 };
  };

  const down = (event: PointerEvent) => {
    if (!hands.works() || (event.button !== 0 && event.button !== 1)) return;
    if (pen !== null && event.pointerType === "touch") return; // the hand rests on the glass while the pen draws
    if (event.pointerType === "pen") pen = event.pointerId;
    board.setPointerCapture(event.pointerId);
    const [x, y] = at(event);
    touching.set(event.pointerId, [x, y]);
    if (touching.size === 2) {
      if (doing === "work") hands.cancel();
      doing = "pinch";
    } else if (touching.size === 1) {
      doing = event.button === 1 || hands.space() ? "pan" : "work";
      if (doing === "work") hands.down(x, y);
    }
    if (event.button === 1) event.preventDefault();
  };

  const move = (event: PointerEvent) => {
    const before = touching.get(event.pointerId);
    const [x, y] = at(event);
    if (!before) {
      if (event.pointerType !== "touch" && hands.works()) hands.hover([x, y]);
      return;
    }
    if (doing === "pinch" && touching.size === 2) {
      const old = pair();
      touching.set(event.pointerId, [x, y]);
      const now = pair();
      hands.pan(now.x - old.x, now.y - old.y);
      hands.zoom(now.apart / old.apart, now.x, now.y);
      return;
    }
    touching.set(event.pointerId, [x, y]);
    if (doing === "pan") hands.pan(x - before[0], y - before[1]);
    if (doing === "work") {
      const between = event.getCoalescedEvents?.() ?? [];
      for (const step of between.length ? between : [event]) hands.move(...at(step));
    }
  };

  const end = (event: PointerEvent) => {
    if (!touching.delete(event.pointerId)) return;
    if (pen === event.pointerId) pen = null;
    if (doing === "work") event.type === "pointerup" ? hands.up() : hands.cancel();
    // After a pinch nothing draws until all fingers are up.
    doing = touching.size === 0 ? "none" : "pinch";
  };

  const leave = () => hands.hover(null);
  const wheel = (event: WheelEvent) => {
    if (!hands.works()) return;
    event.preventDefault();
    const lines = event.deltaMode === 1 ? 16 : 1;
    hands.zoom(Math.exp(-event.deltaY * lines * 0.0015), ...at(event));
  };

  board.addEventListener("pointerdown", down);
  board.addEventListener("pointermove", move);
  board.addEventListener("pointerup", end);
  board.addEventListener("pointercancel", end);
  board.addEventListener("pointerleave", leave);
  board.addEventListener("wheel", wheel, { passive: false });
  return () => {
    board.removeEventListener("pointerdown", down);
    board.removeEventListener("pointermove", move);
    board.removeEventListener("pointerup", end);
    board.removeEventListener("pointercancel", end);
    board.removeEventListener("pointerleave", leave);
    board.removeEventListener("wheel", wheel);
  };
}
