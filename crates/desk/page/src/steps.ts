// The six steps, their order, and the address of each (#photo, #schemes/3), so that Back works.

import type { View } from "./protocol";

export const STEPS = ["photo", "parts", "paints", "schemes", "compare", "take"] as const;
export type Step = (typeof STEPS)[number];

export const STEP_NAMES: Record<Step, string> = {
  photo: "Photo",
  parts: "Parts",
  paints: "Paints",
  schemes: "Schemes",
  compare: "Compare",
  take: "Take away",
};

/** Where the painter is. `scheme`: the index of the scheme on the desk, if one is. */
export interface Route { step: Step; scheme: number | null }

export function route_of(hash: string): Route {
  const [name, number] = hash.replace(/^#/, "").split("/");
  const step = STEPS.find((step) => step === name) ?? "photo";
  const scheme = step === "schemes" && number && /^\d+$/.test(number) ? Number(number) - 1 : null;
  return { step, scheme };
}

export function address({ step, scheme }: Route): string {
  return scheme === null ? `#${step}` : `#${step}/${scheme + 1}`;
}

/** What the painter has done so far. `compared`, `taken`: the version of the project that was compared or taken away. */
export function is_done(step: Step, view: View, compared: number | null, taken: number | null): boolean {
  switch (step) {
    case "photo": return view.photo !== null;
    case "parts": return view.parts.length > 0 && view.mask !== "none" && !view.missing.includes("parts");
    case "paints": return view.paints.length > 0 && !view.missing.includes("paints");
    case "schemes": return view.schemes.length > 0 && !view.missing.includes("schemes");
    case "compare": return view.schemes.length > 0 && compared === view.version;
    case "take": return view.photo !== null && taken === view.version;
  }
}
