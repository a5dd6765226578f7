// Builds the page into public/assets: one script, one style sheet, and the
// little script that sets the theme before the first paint.
//
//   node build/build.mjs [--watch]
import { cp, rm } from "node:fs/promises";
import { join } from "node:path";
import { build, context } from "esbuild";
import { common, root } from "./options.mjs";

const watch = process.argv.includes("--watch");
const out = join(root, "public", "assets");
const browser = { ...common, outdir: out, minify: !watch, sourcemap: watch ? "inline" : false };

const parts = [
  { ...browser, entryPoints: { app: "src/main.tsx" }, format: "esm" },
  { ...browser, entryPoints: { theme: "src/shell/theme-early.ts" }, format: "iife" },
];

await rm(out, { recursive: true, force: true });
if (watch) {
  for (const part of parts) await (await context(part)).watch();
} else {
  for (const part of parts) await build(part);
}
await cp(join(root, "src", "design", "icon.svg"), join(out, "icon.svg"));
