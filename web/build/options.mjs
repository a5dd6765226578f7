// What the page's build and its tests have in common.
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
