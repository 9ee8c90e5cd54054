// Step 4: all schemes side by side, or one of them on the desk.

import { Chip, FileButton, Problems, Trouble } from "./controls";
import { desk } from "./desk";
import { hints_for } from "./hints";
import { Propose } from "./propose";
import { SchemeDesk } from "./scheme_desk";
import { STEP_NAMES } from "./steps";
import { Tile } from "./tile";
import { count } from "./words";

export function SchemesStep() {
  const { view, route } = desk.state;
  if (route.scheme !== null && view.schemes[route.scheme]) return <SchemeDesk index={route.scheme} />;
  return (
    <div class="wall">
      <div class="wall-head">
        <h1>Schemes</h1>
        <Trouble />
        <Missing />
        <Propose />
        {hints_for("schemes", view).length > 0 && <Problems problems={hints_for("schemes", view)} />}
      </div>
      {view.schemes.length > 0 && (
        <ul class="tiles" aria-label={count(view.schemes.length, "scheme")}>
          {view.schemes.map((scheme, index) => (
            <li key={index} data-scheme={index}>
              <a href={`#schemes/${index + 1}`}>
                <Tile scheme={index} most={640} />
                <span class="tile-name">{scheme.name}</span>
                <span class="tile-chips">
                  {scheme.chips.map((chip) => <Chip key={chip.part} left={chip.seen ?? chip.dried} right={chip.dried} size="small" />)}
                </span>
              </a>
            </li>
          ))}
        </ul>
      )}
      <div class="wall-foot row">
        <button type="button" onClick={() => void desk.run({ do: "add_scheme" }).then((well) => {
          if (well) desk.go("schemes", desk.state.view.schemes.length - 1);
        })}>Add a scheme</button>
        <FileButton label="Open a schemes file" accept=".toml,application/toml,text/plain" onFile={(file) => void desk.put_file("schemes", file)} />
        {view.schemes.length > 0 && <a class="button strong" href="#compare">Go on to Compare</a>}
      </div>
    </div>
  );
}

/** What stands between now and pictures. */
export function Missing() {
  const missing = desk.state.view.missing.filter((step) => step !== "schemes");
  if (missing.length === 0) return null;
  return (
    <p class="note">
      For pictures the desk still needs{" "}
      {missing.map((step, index) => (
        <span key={step}>{index > 0 && (index === missing.length - 1 ? " and " : ", ")}<a href={`#${step}`}>{STEP_NAMES[step].toLowerCase()}</a></span>
      ))}.
    </p>
  );
}
