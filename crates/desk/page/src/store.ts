// Keeps the project in this browser (IndexedDB), and only here. One tab keeps; a second one knows that it does not.

import { EngineError } from "./protocol";

const KEY = "project";
const PAUSE_MS = 250; // after the last change: keeping is quick, and a page may be closed at any moment

export type Keeping =
  | { state: "kept" }
  /** Another tab has the desk open. */
  | { state: "elsewhere" }
  /** Storage is full or not available. */
  | { state: "refused"; why: string };

function open(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open("velatura-desk", 1);
    request.onupgradeneeded = () => request.result.createObjectStore("files");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("another tab blocks the storage"));
  });
}

async function with_files<T>(mode: IDBTransactionMode, work: (files: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const database = await open();
  try {
    return await new Promise<T>((resolve, reject) => {
      const transaction = database.transaction("files", mode);
      const request = work(transaction.objectStore("files"));
      transaction.oncomplete = () => resolve(request.result);
      transaction.onerror = transaction.onabort = () => reject(transaction.error ?? request.error);
    });
  } finally {
    database.close();
  }
}

/** Resolves when this tab has the desk to itself, or to false if another tab has it. The lock stays until the tab closes. */
function claim(): Promise<boolean> {
  if (!navigator.locks) return Promise.resolve(true); // cannot know
  return new Promise((resolve) => {
    navigator.locks
      .request("velatura-desk", { ifAvailable: true }, (lock) => {
        resolve(lock !== null);
        return lock ? new Promise<void>(() => {}) : undefined;
      })
      .catch(() => resolve(true));
  });
}

export class Keeper {
  #mine = true;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #saving = false;
  #again = false;

  /** `project` gives the bytes to keep, null for an empty desk. */
  constructor(
    private readonly project: () => Promise<Uint8Array | null>,
    private readonly changed: (keeping: Keeping) => void,
  ) {
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "hidden" && this.#timer !== undefined) void this.#save();
    });
  }

  /** The project of the last visit. */
  async restore(): Promise<Uint8Array | null> {
    this.#mine = await claim();
    if (!this.#mine) this.changed({ state: "elsewhere" });
    try {
      return (await with_files<Uint8Array | undefined>("readonly", (files) => files.get(KEY))) ?? null;
    } catch (error) {
      this.#refused(error);
      return null;
    }
  }

  /** Keeps the project soon. */
  touch(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.#save(), PAUSE_MS);
  }

  async #save(): Promise<void> {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    if (this.#saving) {
      this.#again = true;
      return;
    }
    this.#saving = true;
    try {
      const bytes = await this.project();
      if (this.#mine) {
        await with_files("readwrite", (files) => (bytes ? files.put(bytes, KEY) : files.delete(KEY)) as IDBRequest<unknown>);
        this.changed({ state: "kept" });
      }
    } catch (error) {
      if (this.#mine) this.#refused(error);
    }
    this.#saving = false;
    if (this.#again) {
      this.#again = false;
      this.touch();
    }
  }

  #refused(error: unknown): void {
    const full = error instanceof DOMException && error.name === "QuotaExceededError";
    const why = full ? "its storage is full"
      : error instanceof EngineError ? "the engine did not put its files together" : "it does not allow pages to keep data";
    this.changed({ state: "refused", why });
  }
}
