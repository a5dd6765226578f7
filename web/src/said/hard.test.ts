// Nothing that a student or a parent reads stands in the code: it is a text of the
// catalogue, which a test of the server holds in every language.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { test } from "node:test";
import type TypeScript from "typescript";

const ts = createRequire(join(process.cwd(), "package.json"))("typescript") as typeof TypeScript;

/** Screens of theirs, and the parts that these show. */
const folders = ["slip", "share", "report"];
const parts = ["parts/verdict.tsx", "parts/delivery-sheet.tsx:DeliveryPicture", "pictures/target.tsx", "pictures/why.tsx", "pictures/why-moving.tsx", "pictures/why-way.tsx", "said/language.tsx", "said/names.ts", "said/failure.ts"];

/** Attributes whose text is read, or read out. */
const read = new Set(["aria-label", "alt", "title", "label", "placeholder", "says"]);

/** What stands in a source for others than readers. */
const units = /\b(mph|km|h|kB|MB|GB)\b/g;

/** The texts in a source that a reader would see: words between tags, in attributes that are
    read, and anything of two words or more that is no name of a class, a file or an address. */
function hardIn(name: string, source: string, within = ""): string[] {
  const found: string[] = [];
  const file = ts.createSourceFile(name, source, ts.ScriptTarget.Latest, true, ts.ScriptKind.TSX);
  const say = (node: TypeScript.Node, text: string) => found.push(`${name}:${file.getLineAndCharacterOfPosition(node.getStart()).line + 1}: ${text.trim()}`);
  const lettered = (text: string) => /\p{L}{2}/u.test(text.replace(units, ""));
  const attributeOf = (node: TypeScript.Node): string | undefined => {
    for (let up: TypeScript.Node | undefined = node.parent; up; up = up.parent) {
      if (ts.isJsxAttribute(up)) return up.name.getText();
      if (ts.isJsxElement(up) || ts.isCallExpression(up)) return undefined;
    }
    return undefined;
  };
  const look = (node: TypeScript.Node): void => {
    if (ts.isImportDeclaration(node) || ts.isTypeNode(node) || ts.isInterfaceDeclaration(node)) return;
    if (ts.isJsxText(node)) {
      if (lettered(node.text)) say(node, node.text);
    } else if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node) || ts.isTemplateHead(node) || ts.isTemplateMiddle(node) || ts.isTemplateTail(node)) {
      const attribute = attributeOf(node);
      const shown = ts.isJsxExpression(node.parent) && ts.isJsxElement(node.parent.parent);
      const words = /\p{L}{2}[.,:;!?’']? +\p{L}/u.test(node.text);
      if (attribute !== undefined ? read.has(attribute) && lettered(node.text) : shown ? lettered(node.text) : words && !isName(node)) say(node, node.text);
    }
    ts.forEachChild(node, look);
  };
  const start = within ? file.statements.find((s) => ts.isFunctionDeclaration(s) && s.name?.text === within) : file;
  assert.ok(start, `${name} has no ${within}`);
  look(start);
  return found;
}

/** Words that the server knows a thing by, and what no reader sees. */
const names = new Set(["in the band", "too firm", "too soft", "same body", "slowed body", "slowed arm", "behind catcher", "behind pitcher", "beside pitcher"]);
const isName = (node: TypeScript.Node & { text: string }): boolean => names.has(node.text) || ts.isCaseClause(node.parent) || (ts.isCallExpression(node.parent) && node.parent.expression.getText() === "matchMedia");

test("no text of theirs stands in the code", () => {
  const src = join(process.cwd(), "src");
  const files = folders.flatMap((folder) => readdirSync(join(src, folder)).filter((f) => /\.tsx?$/.test(f) && !f.endsWith(".test.ts")).map((f) => `${folder}/${f}`));
  assert.ok(files.length > 15);
  const found = [...files, ...parts].flatMap((part) => {
    const [name, within] = part.split(":") as [string, string?];
    return hardIn(name, readFileSync(join(src, name), "utf8"), within);
  });
  assert.deepEqual(found, []);
});

test("a text in the code is found wherever it stands", () => {
  const source = `
    const late = "It goes on by itself.";
    export const A = () => <p title="Save it" class="big button">Hello <b>{say("slip.due")}</b>{ok ? "yes, please" : \`\${n} films left\`}</p>;
    export const B = () => <img alt={\`Rep \${n}\`} src="/a b c" />;
    const verdict = "in the band";
    const C = () => <p>{n} mph, {say("x")}</p>;`;
  assert.deepEqual(hardIn("x.tsx", source).map((line) => line.split(": ")[1]), ["It goes on by itself.", "Save it", "Hello", "yes, please", "films left", "Rep"]);
});
