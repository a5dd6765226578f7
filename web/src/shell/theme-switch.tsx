import { useState } from "preact/hooks";
import { chooseTheme, currentTheme } from "./theme";

/** Light or dark, by hand. */
export function ThemeSwitch() {
  const [theme, setTheme] = useState(currentTheme());
  const other = theme === "dark" ? "light" : "dark";
  return (
    <button
      type="button"
      class="theme-switch"
      aria-label={`Switch to ${other}`}
      title={`Switch to ${other}`}
      onClick={() => {
        chooseTheme(other);
        setTheme(other);
      }}
    >
      <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true">
        <circle cx="12" cy="12" r="9" fill="none" stroke="currentColor" stroke-width="2.5" />
        <path d="M12 3a9 9 0 0 1 0 18z" fill="currentColor" />
      </svg>
    </button>
  );
}
