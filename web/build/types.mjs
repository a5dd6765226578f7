// Writes src/api/schema.d.ts from the API's OpenAPI document.
//
//   node build/types.mjs [FILE]     or OPENAPI=FILE
//
// Without either, the document is asked of the server's own code.
import { execFileSync } from "node:child_process";
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import openapiTS, { astToString } from "openapi-typescript";
import { root } from "./options.mjs";

const from = process.argv[2] ?? process.env.OPENAPI;
const text = from
  ? await readFile(from, "utf8")
  : execFileSync("go", ["run", "./cmd/tenoff", "openapi"], {
      cwd: join(root, ".."),
      encoding: "utf8",
      maxBuffer: 64 << 20,
    });

const types = astToString(await openapiTS(text, { alphabetize: true }));
await writeFile(join(root, "src", "api", "schema.d.ts"), `// Generated from the API's description; do not edit.\n${types}`);
