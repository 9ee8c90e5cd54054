// Step 6: files to keep, to send and to paint from; and the way to begin again.

import { useRef, useState } from "preact/hooks";
import { FileButton, Trouble } from "./controls";
import { desk } from "./desk";
import { folder } from "./folder";
import type { TakeKind } from "./protocol";
import { Missing } from "./schemes_step";

export function TakeStep() {
  const { view } = desk.state;
  const pictures = view.schemes.length > 0 && view.missing.length === 0;
  return (
    <div class="page">
      <h1>Take away</h1>
      <Trouble />
      <Missing />
      {folder !== null && <Folder name={folder} />}
      <section>
        <h2>Bench cards</h2>
        <p>Press a scheme for its card, one page to paint from: numbered parts, coats in order, drops, and the colour that each coat dries to.</p>
        <Trouble where="card-pdf" />
        {pictures
          ? <ul class="bench-cards">
              {view.schemes.map((scheme, index) => (
                <li key={index}><Take kind="card-pdf" scheme={index} label={scheme.name} can /></li>
              ))}
            </ul>
          : <p class="quiet">There is no scheme to paint from yet.</p>}
      </section>
      <div class="cards">
        <div class="card">
          <h2>The sheet</h2>
          <p>All schemes in one picture, to print or to send.</p>
          <Take kind="sheet" label="Save sheet.png" can={pictures} />
        </div>
        <div class="card">
          <h2>The page</h2>
          <p>One file for any browser: pictures, mixes, painting order and warnings.</p>
          <Take kind="page" label="Save the page" can={pictures} />
        </div>
        <div class="card">
          <h2>The project</h2>
          <p>Photo, parts, paints and schemes in one file. Open it here again, or on another device.</p>
          <Take kind="project" label="Save the project" can={view.photo !== null || view.paints.length > 0} />
        </div>
      </div>
      <section>
        <h2>A blank drawdown card</h2>
        <p>Print it at 100 %, brush each paint over its black and its white, let it dry, and photograph it in even light. The step Paints
          reads the colours from that photo.</p>
        <Take kind="drawdown-card" label="Save the blank drawdown card" can />
      </section>
      <section>
        <h2>Another project</h2>
        <p>The photo never leaves this device, and the page sends nothing anywhere. The desk works on a copy of the photo of at most 1600
          pixels. {folder === null ? "This browser keeps one project until you start again." : "Your photos in the folder stay as they are."}</p>
        <div class="row">
          <FileButton label="Open a project" accept=".zip,application/zip" onFile={(file) => void desk.put_file("project", file, "open")} />
          <StartAgain />
        </div>
        <Trouble where="open" />
      </section>
    </div>
  );
}

/** The folder that the figure came from. */
function Folder({ name }: { name: string }) {
  const { view, in_folder } = desk.state;
  const [saving, set_saving] = useState(false);
  const same = view.version === in_folder;
  const save = async () => {
    set_saving(true);
    await desk.save_into_folder();
    set_saving(false);
  };
  return (
    <section>
      <h2>The folder</h2>
      <p>{same ? <>The folder <code>{name}</code> has everything as you see it here.</>
        : <>You made changes that the folder <code>{name}</code> does not have yet.</>}</p>
      <Trouble where="folder" />
      <button type="button" class={same ? "" : "strong"} disabled={same || saving} onClick={() => void save()}>Save into the folder</button>
    </section>
  );
}

/** A button that makes a file and saves it. */
export function Take({ kind, label, can, scheme }: { kind: TakeKind; label: string; can: boolean; scheme?: number }) {
  const [making, set_making] = useState(false);
  const take = async () => {
    set_making(true);
    await desk.take(kind, scheme, kind === "card-pdf" ? kind : undefined);
    set_making(false);
  };
  return (
    <button type="button" disabled={!can || making} data-take={kind} onClick={() => void take()}>
      <span>{label}</span>
      {making ? <small>making…</small> : kind === "card-pdf" && <small>PDF</small>}
    </button>
  );
}

function StartAgain() {
  const dialog = useRef<HTMLDialogElement>(null);
  return (
    <>
      <button type="button" onClick={() => dialog.current?.showModal()}>Start again</button>
      <dialog ref={dialog} aria-labelledby="start-again">
        <h2 id="start-again">Clear the desk?</h2>
        <p>This removes the project from this browser. Undo does not bring it back. Save the project first if you may want it again.</p>
        <form method="dialog" class="row">
          <button type="submit">Keep working</button>
          <button type="button" class="strong" onClick={() => {
            dialog.current?.close();
            void desk.start_again();
          }}>Clear the desk</button>
        </form>
      </dialog>
    </>
  );
}
