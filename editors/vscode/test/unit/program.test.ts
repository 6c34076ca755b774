import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { homedir } from "node:os";
import { delimiter, join } from "node:path";
import { test } from "node:test";
import { findProgram, type Surroundings } from "../../src/program";
import { forServer } from "../../src/settings";
import { statusDetail, statusText } from "../../src/status";

function around(files: readonly string[], more: Partial<Surroundings>): Surroundings {
  return { configured: "", folder: undefined, path: "", windows: false, isFile: (path) => files.includes(path), ...more };
}

test("takes the first program on PATH", () => {
  const path = ["", "/none", "/one", "/two"].join(delimiter);
  const files = [join("/one", "gainsay"), join("/two", "gainsay")];
  assert.deepEqual(findProgram(around(files, { path })), { program: join("/one", "gainsay") });
  assert.deepEqual(findProgram(around([join("/one", "gainsay.exe")], { path, windows: true })), {
    program: join("/one", "gainsay.exe"),
  });
});

test("the setting goes before PATH, and knows the home and the workspace", () => {
  const files = [join("/one", "gainsay"), join(homedir(), "bin/g"), join("/work", "target/g")];
  const find = (configured: string, folder?: string): unknown => findProgram(around(files, { configured, folder, path: "/one" }));
  assert.deepEqual(find("~/bin/g"), { program: join(homedir(), "bin/g") });
  assert.deepEqual(find("${workspaceFolder}/target/g", "/work"), { program: "/work/target/g" });
  assert.deepEqual(find("target/g", "/work"), { program: join("/work", "target/g") });
});

test("says what it looked for in vain, and does not fall back on another program", () => {
  const files = [join("/one", "gainsay")];
  assert.match(JSON.stringify(findProgram(around(files, { configured: "/no/such", path: "/one" }))), /no file \/no\/such.*gainsay\.path/);
  assert.match(JSON.stringify(findProgram(around([], { path: "/one" }))), /not on PATH/);
});

test("the server is told neither the extension's own settings nor those left alone", () => {
  assert.deepEqual(
    forServer({
      path: "/x",
      board: { side: "white" },
      trace: { server: "off" },
      nodes: null,
      claims: false,
      hints: { verdicts: null, numbers: false },
      rules: { "illegal-move": "warning" },
      language: null,
    }),
    { claims: false, hints: { numbers: false }, rules: { "illegal-move": "warning" } },
  );
  assert.deepEqual(forServer({ hints: { verdicts: null, numbers: null } }), {});
  assert.equal(forServer(null), null);
});

test("what the author leaves alone is not set, so that the settings file holds", () => {
  const manifest = JSON.parse(readFileSync("package.json", "utf8"));
  const own = ["gainsay.path", "gainsay.board.side", "gainsay.trace.server"];
  const settings = Object.entries<{ default: unknown }>(manifest.contributes.configuration.properties);
  const told = settings.filter(([name]) => !own.includes(name));
  assert.ok(told.length > 5);
  for (const [name, setting] of told) {
    assert.equal(setting.default, null, name);
  }
});

test("the status bar counts", () => {
  const none = { errors: 0, warnings: 0, notes: 0, claims: undefined };
  assert.equal(statusText(none), "$(check) no findings");
  assert.equal(
    statusText({ errors: 1, warnings: 0, notes: 0, claims: { holds: 2, fails: 1, unsettled: 0 } }),
    "$(warning) 1 finding, 3 claims",
  );
  assert.equal(
    statusText({ ...none, claims: { holds: 2, fails: 0, unsettled: 0 }, settling: true }),
    "$(check) no findings, 2 claims, settling",
  );
  assert.equal(
    statusDetail({ errors: 1, warnings: 2, notes: 0, claims: { holds: 2, fails: 1, unsettled: 0 } }),
    "Findings: 1 error, 2 warnings, 0 notes.\nClaims: 2 hold, 1 fail, 0 unsettled.",
  );
});
