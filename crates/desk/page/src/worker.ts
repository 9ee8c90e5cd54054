// The worker that runs the engine. It answers one message after another; the page's side is engine.ts.

import type { Problem } from "./protocol";

/** What the page asks: a call of the engine and its arguments. */
export interface Question { id: number; call: Call; args: unknown[] }
export type Call = "run" | "put" | "photo" | "overlay" | "tile" | "part_at" | "colour_at" | "take";
/** "died": the engine panicked or could not start. Its memory is not to be trusted any more. */
export type Answer = { id: number; ok: unknown } | { id: number; problems: Problem[] } | { id: number; died: string };

interface WasmPixels { readonly width: number; readonly height: number; rgba(): Uint8Array; free(): void }
interface WasmTaken { readonly name: string; readonly type: string; bytes(): Uint8Array; free(): void }
interface WasmDesk {
  run(json: string): string;
  put(kind: string, name: string, bytes: Uint8Array): string;
  photo(): WasmPixels;
  overlay(fine: boolean): WasmPixels | undefined;
  tile(scheme: number): WasmPixels;
  part_at(x: number, y: number): string | undefined;
  colour_at(x: number, y: number): string;
  take(kind: string, scheme?: number, rival?: number): WasmTaken;
}
interface WasmModule { default(from: { module_or_path: URL | ArrayBuffer }): Promise<unknown>; Desk: new () => WasmDesk }

const scope = self as unknown as {
  postMessage(answer: Answer, transfer: Transferable[]): void;
  onmessage: ((event: MessageEvent<Question>) => void) | null;
  /** In the page that is one file, the engine's script is part of this one, and its module comes with the first message. */
  velatura_engine?: WasmModule;
};

// The engine is built separately, so its address is only known when the page runs.
const address_of = (file: string) => new URL(file, import.meta.url);

async function start(): Promise<WasmDesk> {
  const inside = scope.velatura_engine;
  if (inside) {
    const module_or_path = await new Promise<ArrayBuffer>((resolve) => {
      scope.onmessage = ({ data }) => resolve((data as unknown as { engine: Uint8Array<ArrayBuffer> }).engine.buffer);
    });
    listen();
    await inside.default({ module_or_path });
    return new inside.Desk();
  }
  listen();
  const engine = (await import(address_of("./engine.js").href)) as WasmModule;
  await engine.default({ module_or_path: address_of("./engine_bg.wasm") });
  return new engine.Desk();
}

const desk = start();
desk.catch(() => {}); // every question reports it

async function picture(pixels: WasmPixels): Promise<ImageBitmap> {
  const rgba = new Uint8ClampedArray(pixels.rgba());
  const image = new ImageData(rgba, pixels.width, pixels.height);
  pixels.free();
  return createImageBitmap(image);
}

function taken(file: WasmTaken): { name: string; type: string; bytes: Uint8Array } {
  const copy = { name: file.name, type: file.type, bytes: file.bytes() };
  file.free();
  return copy;
}

async function answer(desk: WasmDesk, { call, args }: Question): Promise<unknown> {
  switch (call) {
    case "run": return JSON.parse(desk.run(JSON.stringify(args[0])));
    case "put": return JSON.parse(desk.put(args[0] as string, args[1] as string, args[2] as Uint8Array));
    case "photo": return picture(desk.photo());
    case "overlay": {
      const pixels = desk.overlay(args[0] as boolean);
      return pixels ? picture(pixels) : null;
    }
    case "tile": return picture(desk.tile(args[0] as number));
    case "part_at": return desk.part_at(args[0] as number, args[1] as number) ?? null;
    case "colour_at": return desk.colour_at(args[0] as number, args[1] as number);
    case "take": return taken(desk.take(args[0] as string, args[1] as number | undefined, args[2] as number | undefined));
  }
}

/** The engine throws its problems as a JSON list. Anything else is a panic. */
function problems_of(error: unknown): Problem[] | null {
  const text = typeof error === "string" ? error : null;
  if (text === null) return null;
  try {
    const list: unknown = JSON.parse(text);
    return Array.isArray(list) ? (list as Problem[]) : null;
  } catch {
    return null;
  }
}

function transfers(value: unknown): Transferable[] {
  if (value instanceof ImageBitmap) return [value];
  const bytes = (value as { bytes?: unknown } | null)?.bytes;
  return bytes instanceof Uint8Array ? [bytes.buffer as ArrayBuffer] : [];
}

function listen(): void {
  scope.onmessage = async ({ data }) => {
    const { id } = data;
    try {
      const ok = await answer(await desk, data);
      scope.postMessage({ id, ok }, transfers(ok));
    } catch (error) {
      const problems = problems_of(error);
      scope.postMessage(problems ? { id, problems } : { id, died: String(error) }, []);
    }
  };
}
