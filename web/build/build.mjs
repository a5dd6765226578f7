// Builds the pages into public/assets: the instructor's, the student's, that of a shared
// result and the field's, each one script and one style sheet, the workers, and the little script that
// sets the theme before the first paint.
//
//   node build/build.mjs [--watch]
import { cp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { brotliCompressSync, gzipSync } from "node:zlib";
import { build, context } from "esbuild";
import { common, pages, root } from "./options.mjs";

const watch = process.argv.includes("--watch");
const out = join(root, "public", "assets");
const browser = { ...common, outdir: out, minify: !watch, sourcemap: watch ? "inline" : false };
const parts = pages.map((page) => ({ ...browser, ...page }));

await rm(out, { recursive: true, force: true });
if (watch) {
  for (const part of parts) await (await context(part)).watch();
} else {
  for (const part of parts) await build(part);
}
await cp(join(root, "src", "design", "icon.svg"), join(out, "icon.svg"));

// What is sent is packed once, here, and not with every request.
if (!watch) {
  for (const name of await readdir(out)) {
    const plain = await readFile(join(out, name));
    await writeFile(join(out, `${name}.br`), brotliCompressSync(plain)); // its best by default
    await writeFile(join(out, `${name}.gz`), gzipSync(plain, { level: 9 }));
  }
}
