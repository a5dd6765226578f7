// Folders of the page depend one way: each may import from itself and from those that
// stand before it here. Tests may look anywhere.
//
//   node build/folders.mjs
import { readFile } from "node:fs/promises";
import { dirname, join, normalize, relative } from "node:path";
import { filesUnder, root } from "./options.mjs";

const order = [
  "api", "words", "player", // what is known, how it is said, how a frame is shown
  "said", "shell", "parts", "pictures", "links", "drawing", // what several screens show
  "intake", "fence", "homework", "workouts", "accounts", "reps", "side-by-side",
  "film-room", "again", "bullpen", "pitcher", "levels", "report", "home",
  "share", "slip", "field", // pages of their own
  ".", // puts them together
];

const src = join(root, "src");
const folderOf = (path) => (path.includes("/") ? path.slice(0, path.indexOf("/")) : ".");
// Styles and words that are no code are not asked about.
const imports = /(?:\bfrom|\bimport)\s*\(?\s*"(\.[^"]*)"/g;

const files = (await filesUnder(src)).map((path) => relative(src, path)).filter((path) => /\.tsx?$/.test(path) && !/(\.test|\/testing|\.d)\.ts$/.test(path));
const faults = [];
let arrows = 0;
for (const path of files) {
  const from = folderOf(path);
  if (!order.includes(from)) faults.push(`${path}: say in build/folders.mjs where the folder ${from} stands`);
  for (const [, to] of (await readFile(join(src, path), "utf8")).matchAll(imports)) {
    const target = relative(src, normalize(join(src, dirname(path), to)));
    if (target.startsWith("..") || target.endsWith(".css") || folderOf(target) === from) continue;
    arrows++;
    if (order.indexOf(folderOf(target)) > order.indexOf(from)) faults.push(`${path} imports ${target}: ${from} stands before ${folderOf(target)}`);
  }
}
if (arrows < 100) faults.push(`only ${arrows} imports were found: are they written otherwise now?`);
if (faults.length > 0) {
  console.error(faults.join("\n"));
  process.exit(1);
}
