// What the browser keeps of the project, read past the page.

import { unzip } from "./zip.mjs";

/** Runs in the page: the kept archive in base64, or "" if there is none. */
async function read_kept() {
  const database = await new Promise((resolve, reject) => {
    const request = indexedDB.open("velatura-desk");
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
  try {
    if (!database.objectStoreNames.contains("files")) return "";
    const bytes = await new Promise((resolve, reject) => {
      const request = database.transaction("files").objectStore("files").get("project");
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    let letters = "";
    for (const byte of bytes ?? []) letters += String.fromCharCode(byte);
    return btoa(letters);
  } finally {
    database.close();
  }
}

/** Waits until the browser keeps this project: all its files but a mask that follows from the strokes. */
export async function until_kept(painter, project) {
  const wanted = unzip(Buffer.from(project));
  if (wanted.has("strokes.png")) wanted.delete("mask.png");
  for (let before = null; ;) {
    const kept = await (await painter.page.waitForFunction(
      `(${read_kept})().then((kept) => kept !== "" && kept !== ${JSON.stringify(before)} && kept)`, { polling: 100 },
    ).catch((error) => {
      throw new Error(`The browser does not keep the project as the page saves it: ${error.message}`);
    })).jsonValue();
    const files = unzip(Buffer.from(kept, "base64"));
    if ([...wanted].every(([name, bytes]) => files.get(name)?.equals(bytes))) return;
    before = kept;
  }
}

/** The project as the page saves it, when the browser keeps the same. */
export async function saved_and_kept(painter, downloads) {
  await painter.step("take");
  await painter.press("Save the project");
  const { bytes } = await downloads.next();
  await until_kept(painter, bytes);
  return bytes;
}
