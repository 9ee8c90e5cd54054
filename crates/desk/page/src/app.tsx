// The frame around the six steps: the row of steps, undo and redo, messages, and the window that accepts files.

import { useEffect, useRef, useState } from "preact/hooks";
import { CompareStep } from "./compare_step";
import { desk } from "./desk";
import { PaintsStep } from "./paints_step";
import { PartsStep } from "./parts_step";
import { PhotoStep } from "./photo_step";
import { SchemesStep } from "./schemes_step";
import { is_done, STEP_NAMES, STEPS, type Step } from "./steps";
import { TakeStep } from "./take_step";

const SHOWN: Record<Step, () => preact.JSX.Element> = {
  photo: PhotoStep, parts: PartsStep, paints: PaintsStep, schemes: SchemesStep, compare: CompareStep, take: TakeStep,
};

export function App() {
  const { view, route, ready, said, working } = desk.state;
  const over = useDrops();
  useUndoKeys();
  const main = useFocusOnArrival(`${route.step} ${route.scheme ?? ""}`);
  const Shown = SHOWN[route.step];
  return (
    <div class={`desk at-${route.step}`}>
      <header class="top">
        <a class="skip" href="#work" onClick={(event) => { event.preventDefault(); main.current?.focus(); }}>Skip to the step</a>
        <p class="brand"><img src="icon.svg" alt="" width="32" height="32" /> Velatura</p>
        <Steps />
        <History />
      </header>
      <main ref={main} id="work" tabIndex={-1} data-step={route.step} aria-busy={!ready}>
        <KeepingNote />
        {ready || view.version > 0 ? <Shown /> : <Starting />}
      </main>
      <Said text={said} />
      <div class={working ? "work on" : "work"} aria-hidden="true" />
      {over && <p class="drop">Drop it here: photo, mask, paints, schemes or project</p>}
    </div>
  );
}

function Starting() {
  const { trouble } = desk.state;
  return (
    <section class="plain">
      <h1>Velatura</h1>
      {trouble ? <p role="alert">The engine did not start. {trouble.problems[0]?.found} Your browser may be too old, or it blocks WebAssembly.</p>
        : <p>Getting the desk ready…</p>}
    </section>
  );
}

function Steps() {
  const { view, route, compared, taken } = desk.state;
  return (
    <nav class="steps" aria-label="Steps">
      <ol>
        {STEPS.map((step) => {
          const done = is_done(step, view, compared, taken);
          return (
            <li key={step}>
              <a href={`#${step}`} aria-current={step === route.step ? "step" : undefined} data-done={done ? "1" : "0"}>
                <span class="step-name">{STEP_NAMES[step]}</span>
                <span class="mark" aria-hidden="true">{done ? "✓" : "·"}</span>
                <span class="unseen">{done ? ", done" : ", not done"}</span>
              </a>
            </li>
          );
        })}
      </ol>
    </nav>
  );
}

function History() {
  const { view } = desk.state;
  const one = (word: "Undo" | "Redo", can: boolean, what: string | null) => (
    <button type="button" disabled={!can} title={can && what ? `${word}: ${what}` : undefined}
      onClick={() => void desk.run({ do: word === "Undo" ? "undo" : "redo" })}>
      <span>{word}{can && what && ":"}</span>
      {can && what && <small>{what}</small>}
    </button>
  );
  return (
    <div class="history" role="group" aria-label="Changes">
      {one("Undo", view.can_undo, view.undo)}
      {one("Redo", view.can_redo, view.redo)}
    </div>
  );
}

/** What happened last: read aloud, and shown for a moment. */
function Said({ text }: { text: string }) {
  const [shown, set_shown] = useState("");
  useEffect(() => {
    set_shown(text);
    const timer = setTimeout(() => set_shown(""), 4000);
    return () => clearTimeout(timer);
  }, [text]);
  return (
    <>
      <p class="unseen" role="status" aria-live="polite">{text}</p>
      {/* A stroke is seen on the photo. */}
      {shown && !/^(stroke|eraser)/.test(shown) && <p class="said" aria-hidden="true">{shown}</p>}
    </>
  );
}

function KeepingNote() {
  const { keeping } = desk.state;
  if (keeping.state === "kept") return null;
  return (
    <p class="note" role="status">
      {keeping.state === "elsewhere"
        ? "Another tab has the desk open. This tab does not keep its changes. Close the other tab and load this page again, or save the project as a file in "
        : `This browser does not keep the project: ${keeping.why}. Before you close the page, save it as a file in `}
      <a href="#take">Take away</a>.
    </p>
  );
}

/** True while files are held over the window. */
function useDrops(): boolean {
  const [over, set_over] = useState(false);
  useEffect(() => {
    const has_files = (event: DragEvent) => event.dataTransfer?.types.includes("Files") ?? false;
    const drag = (event: DragEvent) => {
      if (!has_files(event)) return;
      event.preventDefault();
      set_over(true);
    };
    const leave = (event: DragEvent) => { if (event.relatedTarget === null) set_over(false); };
    const drop = (event: DragEvent) => {
      set_over(false);
      if (!has_files(event)) return;
      event.preventDefault();
      void desk.drop([...(event.dataTransfer?.files ?? [])]);
    };
    window.addEventListener("dragover", drag);
    window.addEventListener("dragleave", leave);
    window.addEventListener("drop", drop);
    return () => {
      window.removeEventListener("dragover", drag);
      window.removeEventListener("dragleave", leave);
      window.removeEventListener("drop", drop);
    };
  }, []);
  return over;
}

function useUndoKeys(): void {
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (!(event.ctrlKey || event.metaKey) || event.altKey || event.key.toLowerCase() !== "z") return;
      const target = event.target as HTMLElement;
      // In a text field the keys undo the typing.
      if (target.matches("textarea, input:not([type]), input[type=text], input[type=number]")) return;
      event.preventDefault();
      const { view } = desk.state;
      if (event.shiftKey ? view.can_redo : view.can_undo) void desk.run({ do: event.shiftKey ? "redo" : "undo" });
    };
    window.addEventListener("keydown", press);
    return () => window.removeEventListener("keydown", press);
  }, []);
}

/** Another step or scheme is like another page: reading starts at its top. */
function useFocusOnArrival(place: string) {
  const main = useRef<HTMLElement>(null);
  const first = useRef(true);
  useEffect(() => {
    if (!first.current) {
      main.current?.focus({ preventScroll: true });
      window.scrollTo(0, 0);
    }
    first.current = false;
  }, [place]);
  return main;
}
