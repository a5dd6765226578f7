// Bundles every src/**/*.test.ts on its own and hands the bundles to node's test
// runner: TypeScript tests that run on Node 18 without a loader.
//
//   node build/test.mjs [name-part ...]
import { spawn } from "node:child_process";
import { rm } from "node:fs/promises";
import { join, relative } from "node:path";
import { build } from "esbuild";
import { common, filesUnder, root } from "./options.mjs";

const wanted = process.argv.slice(2);
const tests = (await filesUnder(join(root, "src"))).filter((path) => path.endsWith(".test.ts")).filter(
  (path) => wanted.length === 0 || wanted.some((part) => path.includes(part)),
);
if (tests.length === 0) {
  console.error("No test matches", wanted.join(" "));
  process.exit(1);
}

const out = join(root, ".test");
await rm(out, { recursive: true, force: true });
await build({
  ...common,
  entryPoints: tests,
  outdir: out,
  outbase: join(root, "src"),
  outExtension: { ".js": ".mjs" },
  external: ["tus-js-client"], // what it brings for Node is no module
  platform: "node",
  target: ["node18"],
  format: "esm",
  sourcemap: "inline",
});
const bundles = tests.map((path) => join(out, relative(join(root, "src"), path).replace(/\.ts$/, ".mjs")));
const run = spawn(process.execPath, ["--enable-source-maps", "--test", ...bundles], { stdio: "inherit" });
run.on("exit", (code) => process.exit(code ?? 1));
