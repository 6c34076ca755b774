// Builds the extension and packs it into out/gainsay.vsix.
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync } from "node:fs";

const here = new URL("..", import.meta.url).pathname;
const run = (file, ...args) => execFileSync(process.execPath, [file, ...args], { cwd: here, stdio: "inherit" });

run("esbuild.mjs");
copyFileSync(`${here}../../LICENSE`, `${here}LICENSE`);
mkdirSync(`${here}out`, { recursive: true });
run(
  "node_modules/@vscode/vsce/vsce",
  "package",
  "--no-dependencies",
  "--allow-missing-repository",
  "--out",
  "out/gainsay.vsix",
);
