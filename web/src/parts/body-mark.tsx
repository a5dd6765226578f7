// A verdict on the body: by shape and colour and word. The words are the server's.
import type { BodyVerdict } from "../api/types";

const looks: Record<BodyVerdict, { class: string; shape: string }> = {
  // As long as each other; lower than before; an arm's circle that stops short; a question.
  "same body": { class: "body-same", shape: "M1 4h18v4.5H1zM1 11.5h18V16H1z" },
  "slowed body": { class: "body-slowed", shape: "M6.5 1h7v9H19l-9 9-9-9h5.5z" },
  "slowed arm": { class: "body-arm", shape: "M10 1a9 9 0 1 0 9 9h-4.6A4.4 4.4 0 1 1 10 5.6zM13 1h6v6h-6z" },
  "can't tell": { class: "body-open", shape: "M4.5 7.2C4.5 3.6 7 1 10.2 1s5.6 2.3 5.6 5.3c0 4.2-4 4.3-4 7.2H8.2c0-4.6 3.6-4.9 3.6-7.1 0-1.2-.7-2-1.8-2-1.2 0-1.9 1-1.9 2.8zM8 15.3h4V19H8z" },
};

/** On says of how many reps it speaks where it is not all: "on 2 of 8". */
export function BodyMark({ verdict, on }: { verdict: BodyVerdict; on?: string | undefined }) {
  const look = looks[verdict];
  return (
    <span class={`verdict ${look.class}`}>
      <svg viewBox="0 0 20 20" aria-hidden="true"><path d={look.shape} fill-rule="evenodd" /></svg>
      <span>{verdict.replace("'", "’")}{on && ` ${on}`}</span>
    </span>
  );
}
