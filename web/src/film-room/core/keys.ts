// The film room's keys: one table that both obeys them and explains them.
import { keyCaps } from "../../words/key";
import type { Instant } from "./change";

export type Action =
  | { do: "step"; frames: number }
  | { do: "ends"; to: "first" | "last" }
  | { do: "play" }
  | { do: "speed"; by: -1 | 1 }
  | { do: "loop" }
  | { do: "rep"; by: -1 | 1 }
  | { do: "film"; by: -1 | 1 }
  | { do: "proposal"; by: -1 | 1 }
  | { do: "throwOut" }
  | { do: "isRep" }
  | { do: "mark" }
  | { do: "instant"; instant: Instant }
  | { do: "look"; by: -1 | 1 }
  | { do: "find" }
  | { do: "accept"; of: "rep" | "film" }
  | { do: "reading" }
  | { do: "call"; call: "strike" | "ball" }
  | { do: "warmUp" }
  | { do: "field"; field: "note" | "drill" }
  | { do: "delete" }
  | { do: "undo" }
  | { do: "redo" }
  | { do: "column" }
  | { do: "clips" }
  | { do: "watch" }
  | { do: "zoom"; by: -1 | 1 }
  | { do: "pan"; dx: -1 | 0 | 1; dy: -1 | 0 | 1 }
  | { do: "whole" }
  | { do: "loupe" }
  | { do: "line"; by: -1 | 1 }
  | { do: "wholeLine" }
  | { do: "traces" }
  | { do: "listen" }
  | { do: "about" }
  | { do: "draw" }
  | { do: "joints" }
  | { do: "shift"; by: -1 | 1 }
  | { do: "reply" }
  | { do: "help" };

/** A pressed key, as much of a browser's event as matters. */
export interface Press {
  key: string;
  shiftKey?: boolean;
  ctrlKey?: boolean;
  metaKey?: boolean;
  altKey?: boolean;
}

interface Binding {
  /** "Shift+ArrowLeft", "Ctrl+z", "m". Ctrl is also the Command key. */
  keys: string[];
  action: Action;
  says: string;
  /** A held key may repeat it. */
  repeats?: boolean;
}

export interface KeyGroup {
  title: string;
  bindings: Binding[];
}

/** Every key of the picture, in the order the help shows them. */
export const keyGroups: readonly KeyGroup[] = [
  {
    title: "Find the frame",
    bindings: [
      { keys: ["ArrowRight"], action: { do: "step", frames: 1 }, says: "one frame on", repeats: true },
      { keys: ["ArrowLeft"], action: { do: "step", frames: -1 }, says: "one frame back", repeats: true },
      { keys: ["Shift+ArrowRight"], action: { do: "step", frames: 10 }, says: "ten frames on", repeats: true },
      { keys: ["Shift+ArrowLeft"], action: { do: "step", frames: -10 }, says: "ten frames back", repeats: true },
      { keys: ["Home"], action: { do: "ends", to: "first" }, says: "first frame" },
      { keys: ["End"], action: { do: "ends", to: "last" }, says: "last frame" },
      { keys: ["Space"], action: { do: "play" }, says: "play, stop" },
      { keys: ["s"], action: { do: "speed", by: -1 }, says: "play slower" },
      { keys: ["f"], action: { do: "speed", by: 1 }, says: "play faster" },
      { keys: ["l"], action: { do: "loop" }, says: "loop around the release" },
    ],
  },
  {
    title: "Look closer",
    bindings: [
      { keys: ["+", "="], action: { do: "zoom", by: 1 }, says: "picture closer, at the pointer or at her", repeats: true },
      { keys: ["-"], action: { do: "zoom", by: -1 }, says: "picture wider", repeats: true },
      { keys: ["Ctrl+ArrowLeft"], action: { do: "pan", dx: -1, dy: 0 }, says: "picture, or loupe, to the left", repeats: true },
      { keys: ["Ctrl+ArrowRight"], action: { do: "pan", dx: 1, dy: 0 }, says: "to the right", repeats: true },
      { keys: ["Ctrl+ArrowUp"], action: { do: "pan", dx: 0, dy: -1 }, says: "up", repeats: true },
      { keys: ["Ctrl+ArrowDown"], action: { do: "pan", dx: 0, dy: 1 }, says: "down", repeats: true },
      { keys: ["0"], action: { do: "whole" }, says: "the whole picture" },
      { keys: ["q"], action: { do: "loupe" }, says: "loupe, where the pointer is" },
      { keys: ["z"], action: { do: "line", by: 1 }, says: "line of reps closer", repeats: true },
      { keys: ["Shift+z"], action: { do: "line", by: -1 }, says: "line of reps wider", repeats: true },
      { keys: ["9"], action: { do: "wholeLine" }, says: "the whole film on the line of reps" },
      { keys: ["8"], action: { do: "traces" }, says: "motion and sound under the line of reps, or not" },
    ],
  },
  {
    title: "Go to",
    bindings: [
      { keys: ["ArrowDown"], action: { do: "rep", by: 1 }, says: "next rep", repeats: true },
      { keys: ["ArrowUp"], action: { do: "rep", by: -1 }, says: "rep before", repeats: true },
      { keys: ["n"], action: { do: "proposal", by: 1 }, says: "next proposed rep" },
      { keys: ["p"], action: { do: "proposal", by: -1 }, says: "proposed rep before" },
      { keys: ["y"], action: { do: "isRep" }, says: "yes: the frame on show is its release; on to the next" },
      { keys: ["x"], action: { do: "throwOut" }, says: "no rep: throw this proposal out, or take it back" },
      { keys: ["PageDown"], action: { do: "film", by: 1 }, says: "next film" },
      { keys: ["PageUp"], action: { do: "film", by: -1 }, says: "film before" },
    ],
  },
  {
    title: "Log a rep",
    bindings: [
      { keys: ["m"], action: { do: "mark" }, says: "the ball leaves the hand: new rep" },
      { keys: ["Enter"], action: { do: "reading" }, says: "reading of the chosen rep" },
      { keys: ["h"], action: { do: "listen" }, says: "hear the two seconds after its pop, and type what is read aloud" },
      { keys: ["k"], action: { do: "call", call: "strike" }, says: "strike" },
      { keys: ["b"], action: { do: "call", call: "ball" }, says: "ball" },
      { keys: ["w"], action: { do: "warmUp" }, says: "warm-up, or not" },
      { keys: ["d"], action: { do: "field", field: "drill" }, says: "drill" },
      { keys: ["t"], action: { do: "field", field: "note" }, says: "note" },
      { keys: ["Delete", "Backspace"], action: { do: "delete" }, says: "delete the chosen rep" },
      { keys: ["u", "Ctrl+z"], action: { do: "undo" }, says: "undo" },
      { keys: ["Shift+u", "Ctrl+y", "Ctrl+Shift+z"], action: { do: "redo" }, says: "redo" },
    ],
  },
  {
    title: "Mark instants of the chosen rep",
    bindings: [
      { keys: ["1"], action: { do: "instant", instant: "drive" }, says: "drive: the stride foot leaves" },
      { keys: ["2"], action: { do: "instant", instant: "plant" }, says: "plant: the front foot lands" },
      { keys: ["3"], action: { do: "instant", instant: "top" }, says: "top: the hand passes 12 o’clock" },
      { keys: ["4"], action: { do: "instant", instant: "release" }, says: "release: move it to this frame" },
      { keys: ["j"], action: { do: "look", by: 1 }, says: "go to its next instant, marked or found" },
      { keys: ["Shift+j"], action: { do: "look", by: -1 }, says: "go to the instant before" },
      { keys: ["i"], action: { do: "find" }, says: "find the instants in the other reps" },
      { keys: ["a"], action: { do: "accept", of: "rep" }, says: "accept what was found on this rep" },
      { keys: ["Shift+a"], action: { do: "accept", of: "film" }, says: "accept all that was found on this film" },
    ],
  },
  {
    title: "The whole bullpen",
    bindings: [
      { keys: ["o"], action: { do: "draw" }, says: "draw on this frame" },
      { keys: ["Shift+o"], action: { do: "joints" }, says: "her joints over the picture, or not" },
      { keys: ["."], action: { do: "shift", by: 1 }, says: "homework: one was left out before the chosen rep" },
      { keys: [","], action: { do: "shift", by: -1 }, says: "homework: the chosen rep repeats the one before" },
      { keys: ["e"], action: { do: "reply" }, says: "homework: write the reply" },
      { keys: ["r"], action: { do: "column" }, says: "type or paste many readings" },
      { keys: ["c"], action: { do: "clips" }, says: "make all clips" },
      { keys: ["v"], action: { do: "watch" }, says: "watch the chosen rep’s clip" },
      { keys: ["g"], action: { do: "about" }, says: "films and gun: seen from, slow motion, where the gun stood" },
      { keys: ["?"], action: { do: "help" }, says: "these keys" },
    ],
  },
];

/** The keys of the reading field, for the help. */
export const entryKeys: readonly { keys: string[]; says: string }[] = [
  { keys: ["0 … 9"], says: "what the gun showed; comma and point are the same" },
  { keys: ["a letter"], says: "the pitch" },
  { keys: ["Enter"], says: "confirm, back to the picture" },
  { keys: ["Space"], says: "while readings are heard: play it again" },
  { keys: ["Escape"], says: "back to the picture, nothing changed" },
];

const table = new Map<string, Binding>();
for (const group of keyGroups) for (const b of group.bindings) for (const key of b.keys) table.set(key, b);

/** What a key means while the picture has the keyboard; undefined: nothing. */
export function actionOf(press: Press, held = false): Action | undefined {
  if (press.altKey) return undefined;
  const binding = table.get(nameOf(press));
  return binding && (!held || binding.repeats) ? binding.action : undefined;
}

function nameOf(press: Press): string {
  const key = press.key === " " ? "Space" : press.key;
  const letter = key.length === 1 && key.toLowerCase() !== key.toUpperCase();
  const ctrl = press.ctrlKey || press.metaKey ? "Ctrl+" : "";
  // Shift is part of a sign such as "?" or "+" already; it says something only
  // with letters and named keys.
  const shift = press.shiftKey && (letter || key.length > 1) ? "Shift+" : "";
  return ctrl + shift + (letter ? key.toLowerCase() : key);
}

/** The key to show on a button for an action; undefined if it has none. */
export function keyFor(action: Action): string | undefined {
  for (const [name, binding] of table) {
    if (JSON.stringify(binding.action) === JSON.stringify(action)) return keyCaps(name).join(" ");
  }
  return undefined;
}
