// Step 5: the report, the same page that the command writes, with its own controls to compare schemes.

import { useEffect, useRef, useState } from "preact/hooks";
import { FileButton, Trouble } from "./controls";
import { desk } from "./desk";
import { is_whole } from "./place";
import { Missing } from "./schemes_step";

export function CompareStep() {
  const { view } = desk.state;
  const frame = useRef<HTMLIFrameElement>(null);
  const [page, set_page] = useState<string | null>(null);
  const [ready, set_ready] = useState(false);
  const [as_teams, set_as_teams] = useState(false);
  const [ours, theirs] = desk.state.teams;
  const last = (schemes: unknown[]) => schemes.length - 1;
  const known: [number, number] = [Math.min(ours, last(view.schemes)), Math.min(theirs, last(view.rival?.schemes ?? view.schemes))];
  const teams = as_teams ? known : null;
  const possible = view.schemes.length > 0 && view.missing.length === 0;

  useEffect(() => {
    if (!possible) return;
    let current = true;
    set_page(null);
    void desk.do(async () => {
      const { bytes } = teams ? await desk.engine.take("pair", ...teams) : await desk.engine.take("page");
      if (!current) return;
      set_page(new TextDecoder().decode(bytes));
      desk.set({ compared: view.version, said: "The schemes are ready to compare" });
    });
    return () => { current = false; };
  }, [view.version, possible, teams?.[0], teams?.[1], view.rival?.number]);

  // The report goes into a sandbox inside frame.html: see there. The page that is one file allows what the report needs.
  useEffect(() => {
    const inner = frame.current?.contentDocument?.querySelector("iframe");
    if (ready && inner && page !== null) inner.srcdoc = page;
  }, [page, ready]);

  if (!possible) {
    return (
      <section class="plain">
        <h1>Compare</h1>
        <p>There are no pictures to compare yet.</p>
        <Missing />
        {view.schemes.length === 0 && <p><a class="button strong" href="#schemes">Go to Schemes</a></p>}
      </section>
    );
  }
  return (
    <div class="compare">
      <h1 class="unseen">Compare</h1>
      <Trouble />
      {(view.schemes.length > 1 || view.rival) && <Teams teams={teams} onTeams={(teams) => {
        set_as_teams(teams !== null);
        if (teams) desk.set({ teams });
      }} />}
      {page === null && <p class="quiet waiting" role="status">{teams ? "Putting both teams on the table. This takes some seconds…" : "Making the page with all pictures…"}</p>}
      {is_whole
        ? <iframe sandbox="allow-scripts" srcdoc={page ?? ""} title="All schemes, to compare" class={page === null ? "waiting" : ""} />
        : <iframe ref={frame} src="frame.html" title="All schemes, to compare" class={page === null ? "waiting" : ""} onLoad={() => set_ready(true)} />}
    </div>
  );
}

/** All schemes, or two of them as two teams on one table. */
function Teams({ teams, onTeams }: { teams: [number, number] | null; onTeams: (teams: [number, number] | null) => void }) {
  const { schemes, rival } = desk.state.view;
  const own = schemes.map((scheme) => scheme.name);
  const side = (at: 0 | 1, label: string, names: string[]) => teams && (
    <label class="field">
      <span>{label}</span>
      <select value={String(teams[at])} onChange={(event) => {
        const chosen = Number(event.currentTarget.value);
        onTeams(at === 0 ? [chosen, teams[1]] : [teams[0], chosen]);
      }}>
        {names.map((name, index) => <option key={index} value={String(index)}>{name}</option>)}
      </select>
    </label>
  );
  return (
    <div class="row teams">
      <button type="button" aria-pressed={teams === null} onClick={() => onTeams(null)}>All schemes</button>
      <button type="button" aria-pressed={teams !== null} onClick={() => onTeams(teams ?? desk.state.teams)}>Two teams on one table</button>
      {side(0, "Your team", own)}
      {side(1, rival ? `The rivals: ${rival.name}` : "The rivals", rival?.schemes ?? own)}
      {teams && <FileButton label={rival ? "Another rival project" : "Open the rivals' own project"} accept=".zip,application/zip"
        onFile={(file) => void desk.put_file("rival", file)} />}
    </div>
  );
}
