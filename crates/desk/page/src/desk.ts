// The state of the desk and everything a painter can do to it. The project itself is in the engine; here are its last view and what
// only the page knows: where the painter is, what is in hand, what went wrong.

import { EngineClient, problem, problems_of } from "./engine";
import { bytes_of, download, kind_of } from "./files";
import { folder, project_of_folder, save_into_folder } from "./folder";
import { readable } from "./foreign_photo";
import { Pictures } from "./pictures";
import type { Command, Problem, PutKind, TakeKind, View } from "./protocol";
import { address, route_of, type Route, type Step } from "./steps";
import { Keeper, type Keeping } from "./store";

/** What the pointer does on the Parts step. */
export type Tool = { part: string } | "background" | "eraser";

export interface State {
  view: View;
  ready: boolean;
  working: boolean;
  route: Route;
  tool: Tool;
  /** The part whose coats are on the desk. */
  part: string | null;
  /** What went wrong last, and the place on the page where it is shown. */
  trouble: { where: string; problems: Problem[] } | null;
  /** Read aloud: what happened last. */
  said: string;
  keeping: Keeping;
  /** The schemes of the two teams that are compared. */
  teams: [number, number];
  compared: number | null;
  taken: number | null;
  /** The version that the folder has, if the project came from one. */
  in_folder: number | null;
}

const EMPTY: View = {
  version: 0, name: "", undercoat: { kind: "black-to-white", black: null, white: null }, height_mm: 32, count: 1, photo: null,
  light_photo: null, parts: [], mask: "none", overlay: null, strokes: 0, paints: [], schemes: [], missing: ["photo", "parts", "paints", "schemes"],
  problems: [], card: null, rival: null, can_undo: false, can_redo: false, undo: null, redo: null, said: "",
};

export class Desk {
  state: State = {
    view: EMPTY, ready: false, working: true, route: route_of(location.hash), tool: "background", part: null, trouble: null, said: "",
    keeping: { state: "kept" }, teams: [0, 1], compared: null, taken: null, in_folder: null,
  };
  readonly pictures = new Pictures(() => this.#changed());
  readonly engine = new EngineClient({
    viewed: (view) => this.#viewed(view),
    busy: (is) => {
      document.documentElement.dataset.busy = is ? "1" : "0";
      if (is !== this.state.working) this.set({ working: is });
    },
    stopped: (why) => this.fail(why),
    idle: () => this.pictures.next(this.engine, this.state.view, this.state.route),
  });
  readonly #keeper = new Keeper(() => this.#project(), (keeping) => this.set({ keeping }));
  /** The version that the browser has. */
  #kept_version = 0;
  #listener: () => void = () => {};

  on_change(listener: () => void): void { this.#listener = listener; }

  set(patch: Partial<State>): void {
    this.state = { ...this.state, ...patch };
    this.#changed();
  }

  async start(): Promise<void> {
    window.addEventListener("hashchange", () => this.#arrived());
    // What a browser kept may be of another folder, and older than the files.
    const kept = folder === null ? await this.#keeper.restore() : null;
    if (!(await this.do(() => this.engine.run({ do: "look" })))) return; // the page says so, see app.tsx
    if (folder !== null) await this.#open_folder();
    if (kept && (await this.put("kept", "desk.zip", kept))) {
      this.#kept_version = this.state.view.version;
      this.engine.kept = kept;
    }
    this.set({ ready: true });
    document.documentElement.dataset.ready = "1";
  }

  async #open_folder(): Promise<void> {
    await this.do(async () => {
      const project = await project_of_folder();
      await this.engine.put("kept", "folder.zip", project);
      this.engine.kept = project;
    });
    this.#saved();
    window.addEventListener("beforeunload", (event) => {
      if (this.state.view.version !== this.state.in_folder) event.preventDefault();
    });
  }

  /** Writes the changes into the folder that the project came from. */
  save_into_folder(): Promise<boolean> {
    return this.do(async () => {
      const { bytes } = await this.engine.take("project");
      const written = await save_into_folder(bytes);
      this.#saved();
      this.set({ said: written.length === 0 ? "Nothing was changed" : `Saved ${written.join(", ")}` });
    }, "folder");
  }

  #saved(): void { this.set({ in_folder: this.state.view.version, taken: this.state.view.version }); }

  /** Runs a command. Problems are shown at `where`. True if it went well. */
  run(command: Command, where?: string): Promise<boolean> {
    this.pictures.try_again();
    return this.do(() => this.engine.run(command), where);
  }

  put(kind: PutKind, name: string, bytes: Uint8Array, where?: string): Promise<boolean> {
    return this.do(() => this.engine.put(kind, name, bytes), where);
  }

  async put_file(kind: PutKind, file: File, where?: string): Promise<boolean> {
    this.set({ said: `Opening ${file.name}` });
    return this.put(kind, file.name, await readable(kind, await bytes_of(file)), where);
  }

  /** Files that were dropped anywhere on the page. */
  async drop(files: File[]): Promise<void> {
    for (const file of files) {
      const kind = await kind_of(file, this.state.route.step, this.state.view);
      if (kind) await this.put_file(kind, file);
      else this.fail(problem(`${file.name} is not a file that the desk can use.`,
        "Drop a photo, a mask, a paints or schemes file (.toml) or a project (.zip)."));
    }
  }

  async take(kind: TakeKind, scheme?: number, where?: string): Promise<void> {
    await this.do(async () => {
      const file = await this.engine.take(kind, scheme);
      download(file.name, file.type, file.bytes);
      this.set({ taken: this.state.view.version, said: `Saved ${file.name}` });
    }, where);
  }

  /** Anything that may end in problems. */
  async do(work: () => Promise<unknown>, where = "step"): Promise<boolean> {
    try {
      await work();
      if (this.state.trouble) this.set({ trouble: null });
      return true;
    } catch (error) {
      this.set({ trouble: { where, problems: problems_of(error) } });
      return false;
    }
  }

  fail(...problems: Problem[]): void { this.set({ trouble: { where: "step", problems } }); }

  go(step: Step, scheme: number | null = null): void {
    const hash = address({ step, scheme });
    if (hash !== location.hash) location.hash = hash;
  }

  /** An empty desk. Nothing of the old project stays in this browser. */
  async start_again(): Promise<void> {
    this.engine.reset();
    this.pictures.forget();
    this.set({ view: EMPTY, part: null, tool: "background", trouble: null, teams: [0, 1], compared: null, taken: null });
    await this.do(() => this.engine.run({ do: "look" }));
    this.#kept_version = -1;
    this.#keeper.touch();
    this.go("photo");
  }

  #arrived(): void {
    const route = route_of(location.hash);
    const moved = route.step !== this.state.route.step;
    this.set({ route, trouble: moved ? null : this.state.trouble });
    this.engine.wake(); // the step may show other pictures
  }

  #viewed(view: View): void {
    const { state } = this;
    const names = view.parts.map((part) => part.name);
    const part = state.part !== null && names.includes(state.part) ? state.part : names[0] ?? null;
    const held = typeof state.tool === "object" ? state.tool.part : null;
    const tool = held !== null && !names.includes(held) ? (names[0] === undefined ? "background" : { part: names[0] }) : state.tool;
    this.set({ view, part, tool, said: view.said || state.said });
    if (state.ready && folder === null && view.version !== this.#kept_version) this.#keeper.touch();
  }

  async #project(): Promise<Uint8Array | null> {
    const { version } = this.state.view;
    const empty = !this.state.view.photo && this.state.view.paints.length === 0 && this.state.view.parts.length === 0;
    const bytes = empty ? null : (await this.engine.take("draft")).bytes;
    this.engine.kept = bytes;
    this.#kept_version = version;
    return bytes;
  }

  #changed(): void { this.#listener(); }
}

export const desk = new Desk();
