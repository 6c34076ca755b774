// Bundles the extension (Node) and the panel's script (browser); with --tests, the unit tests too.
import { build } from "esbuild";
import { readdirSync, rmSync } from "node:fs";

const here = new URL(".", import.meta.url).pathname;
const shared = {
  absWorkingDir: here,
  bundle: true,
  legalComments: "eof",
  logLevel: "warning",
};

rmSync(`${here}dist`, { recursive: true, force: true });
await build({
  ...shared,
  entryPoints: ["src/extension.ts"],
  outfile: "dist/extension.js",
  platform: "node",
  format: "cjs",
  target: "node20",
  external: ["vscode"],
  minify: true,
});
await build({
  ...shared,
  entryPoints: ["src/webview/board.ts"],
  outfile: "dist/board.js",
  platform: "browser",
  format: "iife",
  target: "es2022",
  minify: true,
});

if (process.argv.includes("--tests")) {
  rmSync(`${here}out/test`, { recursive: true, force: true });
  await build({
    ...shared,
    entryPoints: readdirSync(`${here}test/unit`)
      .filter((name) => name.endsWith(".test.ts"))
      .map((name) => `test/unit/${name}`),
    outdir: "out/test",
    outExtension: { ".js": ".mjs" },
    platform: "node",
    format: "esm",
    target: "node20",
    packages: "external",
    sourcemap: "inline",
  });
}
