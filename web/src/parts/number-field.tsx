// A field for a number typed by hand: plain text with the number pad, what was
// typed is kept, and it is read when the field is left or Enter is pressed.
import { useId, useLayoutEffect, useState } from "preact/hooks";

interface Props<T> {
  label: string;
  /** The value as text, as it is now. */
  value: string;
  /** Reads the text: the value, or a sentence that says what is wrong. */
  read: (text: string) => T | { problem: string };
  onCommit: (value: T) => void;
  decimal?: boolean;
  class?: string;
}

export function NumberField<T>({ label, value, read, onCommit, decimal, class: extra = "" }: Props<T>) {
  const [text, setText] = useState(value);
  const [problem, setProblem] = useState("");
  const id = useId();
  useLayoutEffect(() => {
    setText(value);
    setProblem("");
  }, [value]);
  const commit = () => {
    if (text === value) return setProblem("");
    const got = read(text);
    if (typeof got === "object" && got !== null && "problem" in got) return setProblem(got.problem);
    setProblem("");
    onCommit(got as T);
  };
  return (
    <label class={`field ${extra}`}>
      <span>{label}</span>
      <input
        class="input"
        type="text"
        inputMode={decimal ? "decimal" : "numeric"}
        autocomplete="off"
        value={text}
        aria-invalid={problem !== ""}
        aria-describedby={problem ? id : undefined}
        onInput={(event) => setText(event.currentTarget.value)}
        onBlur={commit}
        onKeyDown={(event) => {
          if (event.key === "Enter") commit();
          if (event.key === "Escape") setText(value);
        }}
      />
      {problem && <span id={id} class="problem" role="alert">{problem}</span>}
    </label>
  );
}
