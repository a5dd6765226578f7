// The instants of a delivery as places to go to, in the order in which she comes through them.
export interface Stop {
  name: string;
  /** Where it is is not sure. */
  unsure?: boolean;
  /** The picture stands there. */
  here: boolean;
  title: string;
  /** Missing where nobody knows it. */
  go?: (() => void) | undefined;
}

export function Stops({ label, stops }: { label: string; stops: readonly Stop[] }) {
  return (
    <div class="stops" role="group" aria-label={label}>
      {stops.map(({ name, unsure, here, title, go }) => (
        <button key={name} type="button" class={`stop${here ? " here" : ""}${unsure ? " unsure" : ""}`} disabled={!go} aria-current={here} title={title} onClick={go}>
          {name}{unsure && go && "?"}
        </button>
      ))}
    </div>
  );
}
