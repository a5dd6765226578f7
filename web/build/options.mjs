// What the page's build, its tests and its licence notes have in common.
import { readdir } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** The folder of package.json. */
export const root = fileURLToPath(new URL("..", import.meta.url));

/** esbuild's settings for everything that runs in a browser or in a test. */
export const common = {
  absWorkingDir: root,
  bundle: true,
  jsx: "automatic",
  jsxImportSource: "preact",
  logLevel: "warning",
  target: ["es2022"],
};

/** What is bundled for a browser. */
export const pages = [
  { entryPoints: { app: "src/main.tsx" }, format: "esm" },
  { entryPoints: { slip: "src/slip/main.tsx" }, format: "esm" },
  { entryPoints: { share: "src/share/main.tsx" }, format: "esm" },
  { entryPoints: { field: "src/field/main.tsx" }, format: "esm" },
  { entryPoints: { "field-worker": "src/field/worker.ts" }, format: "iife" },
  { entryPoints: { events: "src/api/events-worker.ts" }, format: "iife" },
  { entryPoints: { theme: "src/shell/theme-early.ts" }, format: "iife" },
];

/** Every file under a folder, whole paths. */
export async function filesUnder(folder) {
  const found = [];
  for (const entry of await readdir(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) found.push(...(await filesUnder(path)));
    else found.push(path);
  }
  return found;
}
