// A whole Visual Studio Code (code-server) with the extension, driven in Chromium as an author would:
// how it is opened, and what the steps in steps/ do with it.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { delimiter, join } from "node:path";
import { after, before, test as nodeTest } from "node:test";
import { chromium } from "playwright-core";
import { install, start, until } from "./studio.mjs";

export { until };

const here = new URL("..", import.meta.url).pathname;
const shots = process.env.GAINSAY_SHOTS ?? join(here, "out/shots");
const fixtures = join(here, "test/fixtures");

function program() {
  const candidates = process.env.GAINSAY
    ? [process.env.GAINSAY]
    : [
        join(here, "../../target/debug/gainsay"),
        join(here, "../../target/release/gainsay"),
        ...(process.env.PATH ?? "").split(delimiter).map((folder) => join(folder, "gainsay")),
      ];
  const found = candidates.find((path) => statSync(path, { throwIfNoEntry: false })?.isFile());
  assert.ok(found, `There is no program gainsay in ${candidates.join(", ")}. Build it, or name it in GAINSAY.`);
  return found;
}

export const settings = {
  "gainsay.path": program(),
  "gainsay.trace.server": "messages",
  "workbench.startupEditor": "none",
  "workbench.tips.enabled": false,
  "workbench.secondarySideBar.defaultVisibility": "hidden",
  "extensions.autoCheckUpdates": false,
  "editor.minimap.enabled": false,
  "files.autoSave": "off",
};

/** The package under test, built anew. */
export const vsix = join(here, "out/gainsay.vsix");

export let studio;
let browser;
export let page;

before(async () => {
  execFileSync(process.execPath, ["scripts/package.mjs"], { cwd: here, stdio: "pipe" });
  install();
  studio = await start({ vsix, settings, from: fixtures });
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: [
      ...["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"],
      ...["--disable-background-networking", "--disable-component-update", "--disable-sync"],
    ],
  });
  const context = await browser.newContext({ viewport: { width: 1360, height: 860 } });
  await context.grantPermissions(["clipboard-read", "clipboard-write"], { origin: new URL(studio.address).origin });
  page = await context.newPage();
  page.setDefaultTimeout(60_000);
  mkdirSync(shots, { recursive: true });
  await page.goto(studio.address);
  await page.locator(".monaco-workbench .statusbar").waitFor({ timeout: 60_000 });
  await page.locator(".explorer-folders-view").getByText("lessons.pgn").dblclick({ timeout: 60_000 });
  await editor().waitFor({ timeout: 60_000 });
});

after(async () => {
  await browser?.close();
  await studio?.stop();
});

/** A step of the session; where it fails, the screen is kept. */
export function test(name, step) {
  nodeTest(name, async () => {
    try {
      await step();
    } catch (error) {
      await page?.screenshot({ path: join(shots, `failed ${name.replace(/\W+/g, "-")}.png`) });
      throw error;
    }
  });
}

export const editor = () => page.locator(".editor-instance .monaco-editor").first();
export const shot = (name) => page.screenshot({ path: join(shots, `${name}.png`) });
export const status = () => page.locator("#gainsay\\.gainsay\\.gainsay\\.counts, [id$='gainsay.counts']").first();

/** The visible text, with the editor's hard blanks made plain. */
export async function text() {
  const lines = await editor().locator(".view-line").all();
  const placed = await Promise.all(
    lines.map(async (line) => [await line.evaluate((node) => parseFloat(node.style.top)), await line.textContent()]),
  );
  return placed
    .sort((one, other) => one[0] - other[0])
    .map(([, words]) => words.replaceAll("\u00a0", " "))
    .join("\n");
}

/** Runs a command by its name. */
export async function run(command) {
  // A busy editor may close the box before the command is chosen: then once more.
  const input = page.locator(".quick-input-widget input[type=text]");
  const row = page.locator(".quick-input-list .monaco-list-row").filter({ hasText: command }).first();
  for (let tries = 1; ; tries += 1) {
    await page.keyboard.press("F1");
    try {
      await input.waitFor({ timeout: 5000 });
      await input.fill(`>${command}`);
      await row.click({ timeout: 5000 });
      return;
    } catch (error) {
      if (tries === 4) {
        throw error;
      }
      await page.keyboard.press("Escape");
    }
  }
}

/** Puts the cursor at a line and a column, counted from 1. */
export async function go(line, column) {
  // A busy editor closes the box before it has read it, or leaves it closed: then once more.
  const there = page.locator("#status\\.editor\\.selection").getByText(`Ln ${line}, Col ${column}`, { exact: true });
  const input = page.locator(".quick-input-widget input[type=text]");
  for (let tries = 0; tries < 5; tries += 1) {
    await page.keyboard.press("Control+1");
    await page.keyboard.press("Control+g");
    if (!(await input.fill(`:${line}:${column}`, { timeout: 3000 }).then(() => true, () => false))) {
      continue;
    }
    await page.keyboard.press("Enter");
    const closed = input.waitFor({ state: "hidden", timeout: 2000 });
    if (await Promise.all([closed, there.waitFor({ timeout: 2000 })]).then(() => true, () => false)) {
      return;
    }
    await page.keyboard.press("Escape");
  }
  throw new Error(`The cursor does not go to line ${line}, column ${column}.`);
}

/** The line and the column of the start of some words in a fixture, counted from 1. */
export function placeOf(words, file = "lessons.pgn") {
  const lines = readFileSync(join(fixtures, file), "utf8").split("\n");
  const line = lines.findIndex((one) => one.includes(words));
  assert.ok(line >= 0, words);
  return [line + 1, lines[line].indexOf(words) + 1];
}

/** The frame of the board panel, which is opened if need be. */
export async function board() {
  if ((await page.locator(".tabs-container .tab").filter({ hasText: /^Board$/ }).count()) === 0) {
    await run("gainsay: Open the Board Beside");
  }
  let found;
  await until(
    async () => {
      for (const frame of page.frames()) {
        if (await frame.locator("#board").count().catch(() => 0)) {
          found = frame;
          return true;
        }
      }
      return false;
    },
    () => "The board panel did not open.",
  );
  return found;
}

export async function shows(frame, heading) {
  await until(
    async () => (await frame.locator("#heading").textContent()) === heading,
    async () => `The board shows "${await frame.locator("#heading").textContent()}", not "${heading}".`,
  );
}

/** Opens a file that the list of files shows. */
export async function open(file) {
  await page.keyboard.press("Control+1");
  await page.locator(".explorer-folders-view").getByText(file, { exact: true }).dblclick();
  await page.locator(".tab.active").filter({ hasText: file }).waitFor();
}

/** Shows a file that is open. */
export async function show(file) {
  await page.locator(".tabs-container .tab").filter({ hasText: file }).click();
  await page.locator(".tab.active").filter({ hasText: file }).waitFor();
}

/** Waits until words that are coloured by themselves in the active editor have as many colours as they are. */
export async function coloured(...words) {
  const colours = async () =>
    Promise.all(
      words.map((word) =>
        editor()
          .locator(".view-line span span")
          .filter({ hasText: new RegExp(`^\\s*${word}\\s*$`) })
          .first()
          .evaluate((node) => getComputedStyle(node).color),
      ),
    );
  await until(
    async () => new Set(await colours()).size === words.length,
    async () => `The colours of ${words.join(", ")} are ${(await colours()).join(", ")}.`,
  );
}

/** Chooses an action where the cursor is, with the keyboard; the screen is kept under a name. */
export async function act(title, name) {
  await page.keyboard.press("Control+.");
  const rows = page.locator(".action-widget .monaco-list-row");
  await rows.filter({ hasText: title }).first().waitFor();
  await shot(name);
  // The first action has the focus; the arrow keys lead to the one that is meant.
  const chosen = page.locator(".action-widget .monaco-list-row.focused").filter({ hasText: title });
  for (let tries = 0; tries < 20 && (await chosen.count()) === 0; tries += 1) {
    await page.keyboard.press("ArrowDown");
  }
  await page.keyboard.press("Enter");
  await rows.first().waitFor({ state: "hidden" });
}

/** Asks an independent library whether the board's page keeps any reader out, and whether it looked at all. */
export async function audit(frame) {
  await frame.evaluate(readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8"));
  const { violations, passes } = await frame.evaluate(() => globalThis.axe.run(document));
  assert.deepEqual(
    violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(" ")}`),
    [],
  );
  const checked = passes.map(({ id }) => id);
  for (const rule of ["aria-required-children", "aria-required-parent", "button-name", "color-contrast", "html-has-lang"]) {
    assert.ok(checked.includes(rule), `The audit did not get to ${rule}: ${checked}`);
  }
}

/** Waits until so many findings of a kind, error or info, are underlined in the active editor. */
export async function underlined(kind, count) {
  const found = editor().locator(`.squiggly-${kind}`);
  await until(
    async () => (await found.count()) === count,
    async () => `${await found.count()} findings of the kind "${kind}" are underlined, not ${count}.`,
  );
}

/** Waits until the item of the status bar says so. */
export async function counted(pattern) {
  await until(
    async () => pattern.test((await status().textContent()) ?? ""),
    async () => `The status bar says "${await status().textContent()}", not ${pattern}.`,
  );
}
