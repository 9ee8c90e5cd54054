// The page's side of the engine: a queue in front of one worker. Commands go first. Pictures that only follow the view (overlay, tiles)
// are made when nothing else waits, so a tap never waits behind ten pictures. If the worker dies, the next one goes on from the last
// kept project.

import { EngineError, type Command, type Engine, type Problem, type PutKind, type TakeKind, type View } from "./protocol";
import { new_worker } from "./place";
import type { Answer, Call } from "./worker";

interface Job { call: Call; args: unknown[]; transfer: Transferable[]; done(value: unknown): void; fail(error: unknown): void }

export interface Listener {
  /** A new view, also one that came from a restart. */
  viewed(view: View): void;
  busy(is: boolean): void;
  /** The engine stopped, at a command or at work that nobody waits for, such as a picture. */
  stopped(why: Problem): void;
  /** Nothing waits: the listener may ask for one picture now. */
  idle(): void;
}

export class EngineClient implements Engine {
  /** What a new worker starts from if this one dies. */
  kept: Uint8Array | null = null;
  #worker: Worker | null = null;
  #waiting: Job[] = [];
  #current: Job | null = null;
  #id = 0;
  #woken = false;
  #answered = false;

  constructor(private readonly listener: Listener) {}

  run(command: Command): Promise<View> { return this.#ask<View>("run", [command]).then((view) => this.#see(view)); }
  put(kind: PutKind, name: string, bytes: Uint8Array): Promise<View> {
    const copy = bytes.slice(); // the copy moves to the worker, the original stays with the caller
    return this.#ask<View>("put", [kind, name, copy], [copy.buffer]).then((view) => this.#see(view));
  }
  photo(): Promise<ImageBitmap> { return this.#ask("photo", []); }
  overlay(fine: boolean): Promise<ImageBitmap | null> { return this.#ask("overlay", [fine]); }
  tile(scheme: number): Promise<ImageBitmap> { return this.#ask("tile", [scheme]); }
  part_at(x: number, y: number): Promise<string | null> { return this.#ask("part_at", [x, y]); }
  colour_at(x: number, y: number): Promise<string> { return this.#ask("colour_at", [x, y]); }
  take(kind: TakeKind, scheme?: number, rival?: number): Promise<{ name: string; type: string; bytes: Uint8Array }> {
    return this.#ask("take", [kind, scheme, rival]);
  }

  /** A new worker without a project. Calls that wait are given up. */
  reset(): void {
    this.#stop();
    this.kept = null;
    const given_up = new EngineError([problem("The desk was started again.", "")]);
    for (const job of [this.#current, ...this.#waiting.splice(0)]) job?.fail(given_up);
    this.#current = null;
  }

  #see(view: View): View {
    this.listener.viewed(view);
    return view;
  }

  #ask<T>(call: Call, args: unknown[], transfer: Transferable[] = []): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      this.#waiting.push({ call, args, transfer, done: (value) => resolve(value as T), fail: reject });
      this.listener.busy(true);
      this.#next();
    });
  }

  #next(): void {
    if (this.#current) return;
    const job = this.#waiting.shift();
    if (!job) return;
    this.#current = job;
    this.#worker ??= this.#start();
    this.#worker.postMessage({ id: ++this.#id, call: job.call, args: job.args }, job.transfer);
  }

  #start(): Worker {
    const worker = new_worker();
    worker.onmessage = ({ data }: MessageEvent<Answer>) => {
      const job = this.#current;
      if (!job || data.id !== this.#id) return;
      if ("died" in data) return this.#died(data.died);
      this.#answered = true;
      if ("ok" in data) job.done(data.ok);
      else job.fail(new EngineError(data.problems));
      this.#current = null;
      this.wake();
    };
    worker.onerror = (event) => this.#died(event.message || "its files did not load");
    return worker;
  }

  /** Goes on with what waits. What follows from an answer runs first: it may ask for more. */
  wake(): void {
    if (this.#woken) return;
    this.#woken = true;
    setTimeout(() => {
      this.#woken = false;
      this.#next();
      if (!this.#current) this.listener.idle();
      if (!this.#current) this.listener.busy(false);
    });
  }

  #stop(): void {
    if (this.#worker) {
      this.#worker.onmessage = this.#worker.onerror = null;
      this.#worker.terminate();
      this.#worker = null;
      this.#answered = false;
    }
  }

  #died(why: string): void {
    const job = this.#current;
    const kept = this.kept;
    const worked = this.#answered; // an engine that never answered would not do so the next time
    this.#stop();
    this.#current = null;
    const help = !worked ? "Load the page again."
      : kept ? "It has started again from the last kept state of the project. Try another way." : "It has started again with an empty desk.";
    const stopped = problem(`The engine stopped while it worked on this (${why}).`, help);
    this.listener.stopped(stopped);
    job?.fail(new EngineError([stopped])); // a command shows it at its own place
    if (worked) this.#waiting.unshift(this.#restart(kept));
    this.wake();
  }

  /** The first job of a new worker, so that page and engine agree again. */
  #restart(kept: Uint8Array | null): Job {
    this.kept = null; // a project that stops the engine is tried once
    const rest = { transfer: [], fail: () => {} };
    return kept
      ? { ...rest, call: "put", args: ["kept", "kept.zip", kept.slice()], done: (view) => { this.kept = kept; this.#see(view as View); } }
      : { ...rest, call: "run", args: [{ do: "look" }], done: (view) => { this.#see(view as View); } };
  }
}

/** A problem that the page itself found. */
export function problem(found: string, help: string): Problem {
  return { severity: "error", file: "", found, help: help || null };
}

/** The problems of whatever was thrown. */
export function problems_of(error: unknown): Problem[] {
  return error instanceof EngineError ? error.problems : [problem(error instanceof Error ? error.message : String(error), "")];
}
