// Small controls that several steps use.

import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { desk } from "./desk";
import type { Problem } from "./protocol";

export function Problems({ problems }: { problems: Problem[] }) {
  return (
    <ul class="problems">
      {problems.map((problem, index) => (
        <li key={index} data-severity={problem.severity}>
          <p>
            <strong>{problem.found}</strong>
            {problem.in && <span> In {problem.in}.</span>}
            {problem.file && <span class="quiet"> {problem.file}{problem.place ? `, line ${problem.place.line}` : ""}</span>}
          </p>
          {problem.place?.text && <pre>{problem.place.text}</pre>}
          {problem.expected && <p>Expected: {problem.expected}</p>}
          {problem.help && <p>{problem.help}</p>}
        </li>
      ))}
    </ul>
  );
}

/** Shows what went wrong at this place of the page, if anything did. */
export function Trouble({ where = "step" }: { where?: string }) {
  const { trouble } = desk.state;
  const here = trouble?.where === where ? trouble.problems : null;
  return (
    <div class="trouble" role="alert">
      {here && <Problems problems={here} />}
      {here && <button type="button" onClick={() => desk.set({ trouble: null })}>Close this message</button>}
    </div>
  );
}

/** A button that opens files. The label covers the real input, which keeps its focus and its name. */
export function FileButton({ label, accept, camera, strong, onFile }: {
  label: string; accept: string; camera?: boolean; strong?: boolean; onFile: (file: File) => void;
}) {
  return (
    <label class={`button file${strong ? " strong" : ""}${camera ? " camera" : ""}`}>
      <input type="file" accept={accept} capture={camera ? "environment" : undefined}
        onChange={(event) => {
          const input = event.currentTarget;
          const file = input.files?.[0];
          input.value = ""; // the same file may be chosen again
          if (file) onFile(file);
        }} />
      <span>{label}</span>
    </label>
  );
}

/** A text that is changed in place: it counts when the painter leaves the field or presses Enter. */
export function NameField({ label, value, onName, hidden, optional }: {
  label: string; value: string; onName: (name: string) => Promise<boolean>; hidden?: boolean; optional?: boolean;
}) {
  const [draft, set_draft] = useState<string | null>(null);
  const finish = async () => {
    const name = draft?.trim();
    if (name !== undefined && (name || optional) && name !== value) await onName(name);
    set_draft(null);
  };
  return (
    <label class="field">
      <span class={hidden ? "unseen" : ""}>{label}</span>
      <input type="text" value={draft ?? value} onInput={(event) => set_draft(event.currentTarget.value)} onBlur={finish}
        onKeyDown={(event) => {
          if (event.key === "Enter") event.currentTarget.blur();
          if (event.key === "Escape") set_draft(null);
        }} />
    </label>
  );
}

/** A number that is typed. It counts when the painter leaves the field; what is no number is forgotten. */
export function NumberField({ label, value, min, max, whole, onNumber }: {
  label: string; value: number; min: number; max: number; whole?: boolean; onNumber: (number: number) => Promise<boolean>;
}) {
  const [draft, set_draft] = useState<string | null>(null);
  const finish = async () => {
    const number = whole ? Math.round(Number(draft)) : Number(draft);
    if (draft && number > 0) await onNumber(number);
    set_draft(null);
  };
  return (
    <label class="field narrow">
      <span>{label}</span>
      <input type="number" min={min} max={max} step={whole ? 1 : "any"} inputMode={whole ? "numeric" : "decimal"} value={draft ?? value}
        onInput={(event) => set_draft(event.currentTarget.value)} onChange={() => void finish()} />
    </label>
  );
}

/** − value +. Shows what was asked for at once; the view confirms it a moment later. */
export function Stepper({ label, value, step, min, max, shown, onValue }: {
  label: string; value: number; step: number; min: number; max: number; shown?: (value: number) => string; onValue: (value: number) => void;
}) {
  const [asked, set_asked] = useState<number | null>(null);
  useEffect(() => set_asked(null), [value]);
  const now = asked ?? value;
  const set = (next: number) => {
    const rounded = Math.round(Math.min(max, Math.max(min, next)) * 100) / 100;
    if (rounded === now) return;
    set_asked(rounded);
    onValue(rounded);
  };
  return (
    <div class="stepper" role="group" aria-label={label}>
      <button type="button" aria-label={`Less: ${label}`} disabled={now <= min} onClick={() => set(now - step)}>−</button>
      <output aria-label={label}>{shown ? shown(now) : now}</output>
      <button type="button" aria-label={`More: ${label}`} disabled={now >= max} onClick={() => set(now + step)}>+</button>
    </div>
  );
}

export function Slider({ label, value, min, max, step, words, onValue, live }: {
  label: string; value: number; min: number; max: number; step: number; words: (value: number) => string;
  onValue: (value: number) => void; live?: boolean;
}) {
  const [drag, set_drag] = useState<number | null>(null);
  const now = drag ?? value;
  return (
    <label class="field slider">
      <span>{label} <em>{words(now)}</em></span>
      <input type="range" min={min} max={max} step={step} value={now} aria-valuetext={words(now)}
        onInput={(event) => {
          const next = Number(event.currentTarget.value);
          set_drag(next);
          if (live) onValue(next);
        }}
        onChange={(event) => {
          onValue(Number(event.currentTarget.value));
          set_drag(null);
        }} />
    </label>
  );
}

/** One colour, or two halves. The words carry the meaning; the colour is for the eye. */
export function Chip({ left, right, size }: { left: string; right?: string | null; size?: "small" | "large" }) {
  return (
    <span class={`chip ${size ?? ""}`} aria-hidden="true">
      <i style={{ backgroundColor: left }} />
      {right && <i style={{ backgroundColor: right }} />}
    </span>
  );
}

export function Choice<T extends string>({ legend, name, options, value, onChoice, pills, children }: {
  legend: string; name: string; options: { value: T; label: string; hint?: string }[]; value: T; onChoice: (value: T) => void;
  pills?: boolean; children?: ComponentChildren;
}) {
  return (
    <fieldset class={pills ? "choice pills" : "choice"}>
      <legend>{legend}</legend>
      <div class="options">
        {options.map((option) => (
          <label key={option.value}>
            <input type="radio" name={name} checked={option.value === value} onChange={() => onChoice(option.value)} />
            <span>{option.label}{option.hint && <small>{option.hint}</small>}</span>
          </label>
        ))}
      </div>
      {children}
    </fieldset>
  );
}
