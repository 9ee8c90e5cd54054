// A folder of this machine, if `velatura desk FIGURE.toml` serves the page: the project comes from it and goes back into it.

import { problem } from "./engine";
import { EngineError, type Problem } from "./protocol";

/** The folder's name; null if the page comes from elsewhere. */
export const folder: string | null = document.documentElement.dataset.folder ?? null;

export async function project_of_folder(): Promise<Uint8Array> {
  const answer = await asked("./project.zip", {});
  return new Uint8Array(await answer.arrayBuffer());
}

/** Writes what a project changes. Gives the names of the files that were written. */
export async function save_into_folder(project: Uint8Array): Promise<string[]> {
  const answer = await asked("./save", { method: "POST", body: project as BodyInit });
  return ((await answer.json()) as { written: string[] }).written;
}

async function asked(address: string, options: RequestInit): Promise<Response> {
  const answer = await fetch(address, options).catch(() => {
    throw new EngineError([problem("The command that serves this page has ended.", "Save the project as a file, and start `velatura desk` again.")]);
  });
  if (answer.ok) return answer;
  if (answer.headers.get("content-type") !== "application/json") throw new EngineError([problem(await answer.text(), "")]);
  throw new EngineError(((await answer.json()) as { problems: Problem[] }).problems);
}
