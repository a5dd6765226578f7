// A number and its unit stay on one line: the space between them becomes one that no
// line breaks at, wherever the page says them, be it in our words or in the server's.
import { options, type ComponentChild, type ComponentChildren, type VNode } from "preact";

const noBreak = "\u00a0";
const unit = "(?:%|mph|km/h|ms|s|ft|kB|MB|GB)(?![\\w])";
const between = new RegExp(`(\\d) (?=${unit})`, "g");
const leading = new RegExp(`^ (?=${unit})`);

/** The text with no break between a number and its unit. */
export function glue(text: string): string {
  return text.replace(between, `$1${noBreak}`).replace(/± (?=\d)/g, `±${noBreak}`);
}

/** Glues what every element shows from now on; a choice's text is its value and stays as it is. */
export function glueAll(): void {
  const before = options.vnode;
  options.vnode = (node) => {
    if (node.type !== "option" && node.type !== "textarea") glueChildren(node);
    before?.(node);
  };
}

function glueChildren(node: VNode): void {
  const props = node.props as { children?: ComponentChildren };
  const children = props.children;
  if (typeof children === "string") props.children = glue(children);
  if (Array.isArray(children)) props.children = children.map((child: ComponentChild, i) => (typeof child === "string" ? glueAt(children, i, child) : child));
}

function glueAt(children: readonly ComponentChild[], i: number, child: string): string {
  const text = glue(child);
  // The number may stand before the text, in an element of its own: <b>44</b> mph.
  return text.startsWith(" ") && /\d$/.test(lastOf(children[i - 1])) && leading.test(run(children, i)) ? noBreak + text.slice(1) : text;
}

/** The text from one child on, up to the next element. */
function run(children: readonly ComponentChild[], from: number): string {
  let text = "";
  for (const child of children.slice(from)) {
    if (typeof child !== "string" && typeof child !== "number") break;
    text += child;
  }
  return text;
}

/** What something shows last. */
function lastOf(child: ComponentChildren): string {
  if (typeof child === "string" || typeof child === "number") return String(child);
  if (Array.isArray(child)) return lastOf(child.at(-1));
  return child && typeof child === "object" && "props" in child ? lastOf((child.props as { children?: ComponentChildren }).children) : "";
}
