// Names for the places of a card that was photographed.

import { useEffect, useRef, useState } from "preact/hooks";
import { Trouble } from "./controls";
import { desk } from "./desk";

export function CardForm({ card }: { card: { name: string; places: number } }) {
  const [names, set_names] = useState<string[]>([]);
  const form = useRef<HTMLFormElement>(null);
  useEffect(() => form.current?.scrollIntoView(), [card.name]);
  const places = Array.from({ length: card.places }, (_, index) => names[index] ?? "");
  const change = (index: number, name: string) => set_names(places.map((old, each) => (each === index ? name : old)));
  const read = (event: Event) => {
    event.preventDefault();
    void desk.run({ do: "read_card", names: places.map((name) => name.trim()) }, "card");
  };
  return (
    <form ref={form} class="card-form" onSubmit={read}>
      <h2>Which paints are on {card.name}?</h2>
      <p>Write the name of each paint at its number. Leave a place empty if nothing is on it. If this is another photo, undo.</p>
      <Trouble where="card" />
      <ol class="places">
        {places.map((name, index) => (
          <li key={index}>
            <label class="field">
              <span>Place {index + 1}</span>
              <input type="text" value={name} autocomplete="off" onInput={(event) => change(index, event.currentTarget.value)} />
            </label>
          </li>
        ))}
      </ol>
      <button type="submit" class="strong" disabled={places.every((name) => !name.trim())}>Read the card</button>
    </form>
  );
}
