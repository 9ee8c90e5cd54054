// Which step a warning of the view belongs to.

import type { Problem, View } from "./protocol";

type Topic = "photo" | "parts" | "paints" | "schemes";

function topic({ file }: Problem): Topic {
  if (/scheme/i.test(file)) return "schemes";
  if (/paint|card/i.test(file)) return "paints";
  return /mask|stroke/i.test(file) ? "parts" : "photo";
}

export function hints_for(wanted: Topic, view: View): Problem[] {
  return view.problems.filter((problem) => topic(problem) === wanted);
}
