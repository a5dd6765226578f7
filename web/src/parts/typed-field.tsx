// A field for text typed by hand. What was typed is kept as it was typed and is
// read when the field is left or Enter is pressed; a value that changes elsewhere
// meanwhile is not written over it.
import type { ComponentChildren } from "preact";
import { useId, useLayoutEffect, useRef, useState } from "preact/hooks";

interface Props<T> {
  label: ComponentChildren;
  /** The value as text, as it is now. */
  value: string;
  /** Reads the text: the value, or what is wrong with it in a sentence. */
  read: (text: string) => T | { problem: string };
  onCommit: (value: T) => void;
  id?: string;
  class?: string;
  /** Which keys a phone offers. */
  keys?: "decimal" | "numeric" | "text";
  rows?: number;
  maxLength?: number;
  placeholder?: string;
  list?: string;
  /** Said below the field of what is being typed. */
  below?: (text: string) => ComponentChildren;
}

export function TypedField<T>({ label, value, read, onCommit, class: extra = "", keys = "text", rows, below, ...rest }: Props<T>) {
  const [text, setText] = useState(value);
  const [problem, setProblem] = useState("");
  const seen = useRef(value);
  const busy = useRef(false);
  const about = useId();
  useLayoutEffect(() => {
    if (busy.current) return;
    setText(value);
    setProblem("");
  }, [value]);

  const commit = () => {
    if (text === seen.current) return setProblem("");
    const got = read(text);
    if (typeof got === "object" && got !== null && "problem" in got) return setProblem(got.problem);
    setProblem("");
    seen.current = text;
    onCommit(got as T);
  };
  const common = {
    ...rest,
    class: "input",
    autocomplete: "off" as const,
    value: text,
    "aria-invalid": problem !== "",
    "aria-describedby": problem ? about : undefined,
    onFocus: () => {
      busy.current = true;
      seen.current = value;
    },
    onInput: (event: { currentTarget: { value: string } }) => setText(event.currentTarget.value),
    onBlur: () => {
      busy.current = false;
      if (text === seen.current) setText(value);
      commit();
    },
    onKeyDown: (event: KeyboardEvent) => {
      if (event.key === "Enter" && !event.shiftKey) commit();
      if (event.key !== "Escape") return;
      seen.current = text; // so that leaving the field keeps nothing
      setText(value);
    },
  };
  return (
    <label class={`field ${extra}`}>
      <span>{label}</span>
      {rows ? <textarea {...common} rows={rows} /> : <input {...common} type="text" inputMode={keys} />}
      {below?.(text)}
      {problem && <span id={about} class="problem" role="alert">{problem}</span>}
    </label>
  );
}
