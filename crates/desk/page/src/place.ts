// Where the page's own files are: next to the page or, in the build that is one file, inside it.

/** What the page that is one file has inside: texts, and bytes in base64. */
interface Inside { worker: string; engine: string; demo: string }

const inside = read_inside();

/** Whether the page has everything inside it. It may then come from a disk, where nothing can be fetched. */
export const is_whole = inside !== null;

function read_inside(): Inside | null {
  const element = document.getElementById("inside");
  return element ? (JSON.parse(element.textContent ?? "") as Inside) : null;
}

function bytes_of_base64(text: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
}

/** A new worker with its engine. */
export function new_worker(): Worker {
  if (!inside) return new Worker(new URL("./worker.js", import.meta.url), { type: "module" });
  const address = URL.createObjectURL(new Blob([inside.worker], { type: "text/javascript" }));
  const worker = new Worker(address);
  const engine = bytes_of_base64(inside.engine);
  worker.postMessage({ engine }, [engine.buffer]);
  return worker;
}

/** The demo figure as a project. */
export async function demo_project(): Promise<Uint8Array> {
  if (inside) return bytes_of_base64(inside.demo);
  const answer = await fetch("./demo.zip");
  if (!answer.ok) throw new Error(`demo.zip: ${answer.status}`);
  return new Uint8Array(await answer.arrayBuffer());
}
