// Light or dark: as the system says, until someone says otherwise.

export type Theme = "light" | "dark";

const name = "tenoff-theme";

export function chosenTheme(): Theme | undefined {
  try {
    const kept = localStorage.getItem(name);
    return kept === "light" || kept === "dark" ? kept : undefined;
  } catch {
    return undefined;
  }
}

export function systemTheme(): Theme {
  return matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
}

export function currentTheme(): Theme {
  return chosenTheme() ?? systemTheme();
}

export function paintTheme(): void {
  document.documentElement.dataset["theme"] = currentTheme();
}

export function chooseTheme(theme: Theme): void {
  try {
    if (theme === systemTheme()) localStorage.removeItem(name);
    else localStorage.setItem(name, theme);
  } catch {
    // Without storage the choice lasts as long as the page.
  }
  document.documentElement.dataset["theme"] = theme;
}

export function followSystem(): void {
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", paintTheme);
}
