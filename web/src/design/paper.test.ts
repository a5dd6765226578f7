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

/** How many classes and pseudo-classes, and how many elements, a selector names: what decides between two. */
const weight = (selector: string) => 100 * (selector.match(/[.:[](?!:)/g)?.length ?? 0) + (selector.match(/(^|[\s>+~])[a-z]/g)?.length ?? 0);

/** The rules of a sheet: selector, property, whether it is important, whether it is said of paper. */
function rulesIn(css: string): { selector: string; property: string; important: boolean; print: boolean }[] {
  const print = [...css.matchAll(/@media print \{((?:[^{}]*\{[^{}]*\})*)\s*\}/g)].map((m) => m[1]!);
  const of = (text: string, print: boolean) => [...text.matchAll(/([^{}@;]+)\{([^{}]*)\}/g)].flatMap((m) => m[1]!.split(",").flatMap((selector) =>
    [...m[2]!.matchAll(/([a-z-]+):\s*([^;]+)/g)].map((d) => ({ selector: selector.trim(), property: d[1]!, important: d[2]!.includes("!important"), print }))));
  const rest = print.reduce((left, block) => left.replace(block, ""), css.replace(/\/\*[^]*?\*\//g, ""));
  return [...of(rest, false), ...print.flatMap((block) => of(block, true))];
}

test("what is said of paper wins over what a screen was told to keep", () => {
  const lost = sheets(join(process.cwd(), "src")).flatMap((sheet) => {
    const rules = rulesIn(readFileSync(sheet, "utf8"));
    const last = (selector: string) => selector.split(/[\s>]+/).at(-1);
    return rules.filter((r) => r.print).flatMap((p) =>
      rules.filter((r) => !r.print && r.important && r.property === p.property && last(r.selector) === last(p.selector) && (!p.important || weight(r.selector) > weight(p.selector))).map((r) => `${p.selector} loses ${p.property} to ${r.selector}`));
  });
  assert.deepEqual(lost, []);
  assert.ok(weight(":root .a .b .c") > weight(".a .b .c"));
});
