// A day that need not be chosen. Some browsers show today in an empty field, so that
// the words above it say that there is none.
interface Props {
  label: string;
  /** What is said while no day is chosen. */
  none: string;
  value: string;
  disabled?: boolean;
  onInput: (day: string) => void;
}

export function DayField({ label, none, value, disabled = false, onInput }: Props) {
  return (
    <label class="field">
      <span>{label}{value === "" && `: ${none}`}</span>
      <input class={`input${value === "" ? " no-day" : ""}`} type="date" value={value} disabled={disabled} onInput={(e) => onInput(e.currentTarget.value)} />
    </label>
  );
}
