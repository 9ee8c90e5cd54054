// Words for what the engine names.

import type { Material, Place, UndercoatKind } from "./protocol";

export const UNDERCOATS: { kind: UndercoatKind; name: string; hint: string }[] = [
  { kind: "black-to-white", name: "Black to white", hint: "Primed black, then drybrushed in greys up to white edges." },
  { kind: "white-with-wash", name: "White with a wash", hint: "Primed white, then a dark wash that ran into the recesses." },
  { kind: "plain", name: "Plain primer", hint: "One primer all over, no drybrushing." },
];

/** The undercoat that a scheme shows, whatever the photo has. */
export const SCHEME_UNDERCOATS = [
  { value: "as-photographed", label: "as in the photo" },
  { value: "black-to-white", label: "black to white" },
  { value: "white-with-wash", label: "white with a wash" },
  { value: "plain-white", label: "plain white" },
];

export const PLACES: { place: Place; name: string }[] = [
  { place: "all", name: "all over" },
  { place: "recesses", name: "recesses" },
  { place: "raised", name: "raised parts" },
  { place: "upper", name: "all but the recesses" },
  { place: "edges", name: "edges" },
];

export const MATERIALS: Material[] =
  ["skin", "hair", "cloth", "leather", "wood", "metal", "bone", "stone", "plant", "glow"];

export const OPACITIES = ["transparent", "semi-transparent", "semi-opaque", "opaque"];
export const FINISHES = ["matte", "satin", "gloss"];
export const MEDIUM = "medium";

export function count(n: number, one: string, many = `${one}s`): string {
  return `${n} ${n === 1 ? one : many}`;
}

export function percent(share: number): string {
  return share > 0 && share < 0.01 ? "under 1 %" : `${Math.round(share * 100)} %`;
}

export function mix_text(mix: { paint: string; parts: number }[]): string {
  return mix.map(({ paint, parts }) => `${parts} ${paint}`).join(" : ");
}

export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
