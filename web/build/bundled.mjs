// Prints the folders of the packages that end up in the pages, one a line, below the
// folder of package.json: whose licences have to go with them.
import { build } from "esbuild";
import { common, pages, root } from "./options.mjs";

const folders = new Set();
for (const page of pages) {
  const { metafile } = await build({ ...common, ...page, outdir: root, write: false, metafile: true });
  for (const output of Object.values(metafile.outputs)) {
    for (const [path, { bytesInOutput }] of Object.entries(output.inputs)) {
      const folder = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(path);
      if (folder && bytesInOutput > 0) folders.add(folder[1]);
    }
  }
}
for (const folder of [...folders].sort()) console.log(folder);
