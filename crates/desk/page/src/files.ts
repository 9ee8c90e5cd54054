// Files in and out: what a dropped file is, and how one goes to the painter's disk.

import type { PutKind, View } from "./protocol";
import type { Step } from "./steps";

export async function bytes_of(file: File): Promise<Uint8Array> {
  return new Uint8Array(await file.arrayBuffer());
}

/** What a file that was dropped anywhere is. An image means what the step asks for; null: not known. */
export async function kind_of(file: File, step: Step, view: View): Promise<PutKind | null> {
  const name = file.name.toLowerCase();
  if (name.endsWith(".zip")) return "project";
  if (name.endsWith(".toml")) return toml_kind(name, await file.slice(0, 4000).text());
  if (!file.type.startsWith("image/") && !/\.(jpe?g|png|tiff?|webp|hei[cf])$/.test(name)) return null;
  if (!view.photo) return "photo";
  if (step === "parts") return "mask";
  if (step === "paints") return "card";
  return "photo";
}

function toml_kind(name: string, text: string): PutKind | null {
  const format = /^\s*format\s*=\s*"velatura-(paints|schemes)\//m.exec(text)?.[1];
  if (format) return format as PutKind;
  if (name.includes("scheme")) return "schemes";
  return name.includes("paint") ? "paints" : null;
}

export function download(name: string, type: string, bytes: Uint8Array): void {
  const url = URL.createObjectURL(new Blob([bytes as BlobPart], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000); // some browsers read the file later
}
