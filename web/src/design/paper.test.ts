import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";

/** Every style sheet below a folder. */
const sheets = (folder: string): string[] => readdirSync(folder, { withFileTypes: true }).flatMap((e) =>
  e.isDirectory() ? sheets(join(folder, e.name)) : e.name.endsWith(".css") ? [join(folder, e.name)] : []);

/** What stands in a sheet outside of @media screen. */
function beyondScreens(css: string): string {
  let out = "";
  for (let at = 0; at < css.length; ) {
    const next = css.indexOf("@media screen", at);
    if (next < 0) return out + css.slice(at);
    out += css.slice(at, next);
    let depth = 0;
    for (at = css.indexOf("{", next); at < css.length; at++) {
      if (css[at] === "{") depth++;
      if (css[at] === "}" && --depth === 0) break;
    }
    at++;
  }
  return out;
}

test("paper is light, whatever the screen is: what is dark is said of screens only", () => {
  const all = sheets(join(process.cwd(), "src"));
  assert.ok(all.length > 15);
  assert.ok(all.some((sheet) => readFileSync(sheet, "utf8").includes('data-theme="dark"')));
  assert.deepEqual(all.filter((sheet) => /data-theme="dark"|prefers-color-scheme/.test(beyondScreens(readFileSync(sheet, "utf8")))), []);
  assert.equal(beyondScreens("a {} @media screen { b { c } } d {}").replace(/\s+/g, " "), "a {} d {}");
});
