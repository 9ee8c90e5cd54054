// What proposals may do with a part.

import { Trouble } from "./controls";
import { desk } from "./desk";
import type { CoatView, Command } from "./protocol";
import { mix_text } from "./words";

export function InProposals({ scheme, part, coats }: { scheme: number; part: string; coats: CoatView[] }) {
  const { view } = desk.state;
  const described = view.parts.find(({ name }) => name === part);
  if (!described) return null;
  const others = view.parts.filter(({ name }) => name !== part);
  const { keep, natural, same_as } = described;
  const material = described.is ?? described.guess;
  const run = (command: Command) => void desk.run(command, "proposals");
  const kept = keep.length > 0;
  return (
    <details class="in-proposals">
      <summary>What proposals may change here</summary>
      <label class="check">
        <input type="checkbox" checked={kept} disabled={!kept && coats.length !== 1}
          onChange={(event) => run({ do: "keep", part, scheme: event.currentTarget.checked ? scheme : null })} />
        <span>{kept ? `Always the mix ${mix_text(keep)}` : "Always the mix it has here"}</span>
      </label>
      {!kept && coats.length !== 1 && <p class="quiet">Proposals give a part one mix. To keep one, leave one coat on {part}.</p>}
      {kept && coats.length === 1 && mix_text(coats[0]!.mix) !== mix_text(keep) && (
        <div class="row"><button type="button" onClick={() => run({ do: "keep", part, scheme })}>Keep the mix it has here instead</button></div>
      )}
      {!kept && (
        <>
          <label class="field">
            <span>Colour</span>
            <select value={same_as ?? ""} onChange={(event) => run({ do: "same_as", part, other: event.currentTarget.value || null })}>
              <option value="">chosen for itself</option>
              {others.map(({ name }) => <option key={name} value={name}>the same as {name}</option>)}
            </select>
          </label>
          {material && (
            <label class="check">
              <input type="checkbox" checked={natural} onChange={(event) => run({ do: "natural", part, natural: event.currentTarget.checked })} />
              <span>Natural colours of {material}</span>
            </label>
          )}
        </>
      )}
      <Trouble where="proposals" />
    </details>
  );
}
