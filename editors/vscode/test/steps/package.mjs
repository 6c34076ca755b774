import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { test as nodeTest } from "node:test";
import { vsix } from "../session.mjs";

/** One file of the package as text. */
const read = (name) => execFileSync("unzip", ["-p", vsix, name], { encoding: "utf8" });

nodeTest("the package holds what the extension needs, and nothing else", () => {
  const names = execFileSync("unzip", ["-Z1", vsix], { encoding: "utf8" }).trim().split("\n").sort();
  assert.deepEqual(names, [
    "[Content_Types].xml",
    "extension.vsixmanifest",
    "extension/LICENSE.txt",
    "extension/changelog.md",
    "extension/dist/board.js",
    "extension/dist/extension.js",
    "extension/gainsay.schema.json",
    "extension/language-configuration/epd.json",
    "extension/language-configuration/pgn.json",
    "extension/media/board.css",
    "extension/media/icon.png",
    "extension/package.json",
    "extension/readme.md",
    "extension/snippets/pgn.json",
    "extension/syntaxes/epd.tmLanguage.json",
    "extension/syntaxes/markdown.tmLanguage.json",
    "extension/syntaxes/pgn.tmLanguage.json",
  ]);
});

nodeTest("the package tells its version, licence and icon, and its changes", () => {
  const { version, license, icon, main } = JSON.parse(read("extension/package.json"));
  assert.equal(license, "GPL-3.0-or-later");
  assert.match(read("extension/LICENSE.txt"), /GNU GENERAL PUBLIC LICENSE/);
  assert.match(read("extension/changelog.md"), new RegExp(`^## ${version.replaceAll(".", "\\.")}$`, "m"));
  assert.equal(icon, "media/icon.png");
  assert.equal(main, "./dist/extension.js");
  const manifest = read("extension.vsixmanifest");
  for (const asset of ["Icons.Default", "Content.License", "Content.Changelog", "Content.Details"]) {
    assert.ok(manifest.includes(asset), `The manifest names no ${asset}.`);
  }
});

nodeTest("every file that the extension contributes is in the package", () => {
  const { contributes } = JSON.parse(read("extension/package.json"));
  const paths = [
    ...contributes.languages.map((language) => language.configuration),
    ...contributes.grammars.map((grammar) => grammar.path),
    ...contributes.snippets.map((snippet) => snippet.path),
  ];
  assert.equal(paths.length, 6);
  for (const path of paths) {
    assert.doesNotThrow(() => JSON.parse(read(`extension/${path.slice(2)}`)), path);
  }
});
