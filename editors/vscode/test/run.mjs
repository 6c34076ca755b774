// The extension in a whole Visual Studio Code (code-server), driven in Chromium as an author would.
//
//   GAINSAY         the program to test with   [default: target/debug/gainsay, or the first on PATH]
//   CHROMIUM        the browser                [default: /usr/bin/chromium, Debian's package chromium]
//   GAINSAY_STUDIO  where code-server is kept  [default: ~/.cache/gainsay-studio/VERSION]
//   GAINSAY_SHOTS   where screenshots go       [default: out/shots]
//
// Needs `npm ci --ignore-scripts` in this package, g++, make and Python to build three native modules of
// code-server on the first run, and the npm registry for that. Nothing else is fetched.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, statSync } from "node:fs";
import { delimiter, join } from "node:path";
import { after, before, test as nodeTest } from "node:test";
import { chromium } from "playwright-core";
import { install, start, until } from "./studio.mjs";

const here = new URL("..", import.meta.url).pathname;
const shots = process.env.GAINSAY_SHOTS ?? join(here, "out/shots");
const fixture = join(here, "test/fixtures/lessons.pgn");
const exercises = join(here, "test/fixtures/exercises.epd");

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

const settings = {
  "gainsay.path": program(),
  "gainsay.trace.server": "messages",
  "workbench.startupEditor": "none",
  "workbench.tips.enabled": false,
  "workbench.secondarySideBar.defaultVisibility": "hidden",
  "extensions.autoCheckUpdates": false,
  "editor.minimap.enabled": false,
  "files.autoSave": "off",
};

let studio;
let browser;
let page;

before(async () => {
  execFileSync(process.execPath, ["scripts/package.mjs"], { cwd: here, stdio: "pipe" });
  install();
  studio = await start({ vsix: join(here, "out/gainsay.vsix"), settings, files: [fixture, exercises] });
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
function test(name, step) {
  nodeTest(name, async () => {
    try {
      await step();
    } catch (error) {
      await page?.screenshot({ path: join(shots, `failed ${name.replace(/\W+/g, "-")}.png`) });
      throw error;
    }
  });
}

const editor = () => page.locator(".editor-instance .monaco-editor").first();
const shot = (name) => page.screenshot({ path: join(shots, `${name}.png`) });
const status = () => page.locator("#gainsay\\.gainsay\\.gainsay\\.counts, [id$='gainsay.counts']").first();

/** The visible text, with the editor's hard blanks made plain. */
async function text() {
  const lines = await editor().locator(".view-line").all();
  const placed = await Promise.all(
    lines.map(async (line) => [await line.evaluate((node) => parseFloat(node.style.top)), await line.textContent()]),
  );
  return placed
    .sort((one, other) => one[0] - other[0])
    .map(([, words]) => words.replaceAll("\u00a0", " "))
    .join("\n");
}

async function run(command) {
  await page.keyboard.press("F1");
  const input = page.locator(".quick-input-widget input[type=text]");
  await input.waitFor();
  await input.fill(`>${command}`);
  await page.locator(".quick-input-list .monaco-list-row").filter({ hasText: command }).first().click();
}

/** Puts the cursor at a line and a column, counted from 1. */
async function go(line, column) {
  await page.keyboard.press("Control+1");
  await page.keyboard.press("Control+g");
  const input = page.locator(".quick-input-widget input[type=text]");
  await input.waitFor();
  await input.fill(`:${line}:${column}`);
  await page.keyboard.press("Enter");
  await input.waitFor({ state: "hidden" });
}

/** The line and the column of the start of some words in the fixture, counted from 1. */
function placeOf(words) {
  const lines = readFileSync(fixture, "utf8").split("\n");
  const line = lines.findIndex((one) => one.includes(words));
  assert.ok(line >= 0, words);
  return [line + 1, lines[line].indexOf(words) + 1];
}

/** The frame of the board panel. */
async function board() {
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

async function shows(frame, heading) {
  await until(
    async () => (await frame.locator("#heading").textContent()) === heading,
    async () => `The board shows "${await frame.locator("#heading").textContent()}", not "${heading}".`,
    20_000,
  );
}

test("the file is known as PGN and coloured", async () => {
  await page.locator("#status\\.editor\\.mode").getByText("PGN", { exact: true }).waitFor();
  const colour = (words) =>
    editor()
      .locator(".view-line span span")
      .filter({ hasText: new RegExp(`^\\s*${words}\\s*$`) })
      .first()
      .evaluate((node) => getComputedStyle(node).color);
  const main = await colour("Qh5");
  const comment = await colour(".*will.pay.*");
  const tag = await colour("White");
  assert.equal(new Set([main, comment, tag]).size, 3, `${main} ${comment} ${tag}`);
});

test("a finding is underlined, its remedy mends it, and undoing brings it back", async () => {
  const squiggles = editor().locator(".squiggly-error");
  await until(
    async () => (await squiggles.count()) > 0,
    async () => `No finding was shown. ${await status().textContent().catch(() => "")}`,
  );
  // The claim that fails is underlined once it is settled.
  await until(async () => (await squiggles.count()) === 2, async () => `${await squiggles.count()} findings are shown.`);
  const before = 2;
  assert.match(await text(), /3\. Qxe5# Qe7/);
  await shot("1-finding");

  const [line, column] = placeOf("Qxe5#");
  await go(line, column + 1);
  await page.keyboard.press("Control+.");
  const remedy = page.locator(".action-widget .monaco-list-row").filter({ hasText: "Write Qxe5+" });
  await remedy.waitFor({ timeout: 20_000 });
  await shot("2-remedy");
  // The first action has the focus; the arrow keys lead to the one that is meant.
  const chosen = page.locator(".action-widget .monaco-list-row.focused");
  for (let tries = 0; tries < 20 && !(await chosen.textContent())?.includes("Write Qxe5+"); tries += 1) {
    await page.keyboard.press("ArrowDown");
  }
  await page.keyboard.press("Enter");
  await until(
    async () => (await squiggles.count()) === before - 1,
    async () => `After the remedy there are ${await squiggles.count()} findings, before there were ${before}.`,
  );
  assert.match(await text(), /3\. Qxe5\+ Qe7/);
  await shot("3-mended");

  await page.keyboard.press("Control+z");
  await until(
    async () => (await squiggles.count()) === before,
    () => "Undoing did not bring the finding back.",
  );
  assert.match(await text(), /3\. Qxe5# Qe7/);
});

test("the status bar counts findings and claims", async () => {
  // Three claims of the fixture hold, and one fails: no mate in one in the last exercise.
  await until(
    async () => /2 findings, 4 claims$/.test((await status().textContent()) ?? ""),
    async () => `The status bar says "${await status().textContent()}".`,
  );
  const label = await status().locator("a").getAttribute("aria-label");
  assert.match(label ?? "", /Findings: 2 errors, 0 warnings, 0 notes\.\s+Claims: 3 hold, 1 fail, 0 unsettled\./);
});

test("the board follows the cursor", async () => {
  await run("gainsay: Open the Board Beside");
  const frame = await board();
  await go(...placeOf("Qh5 g6"));
  await shows(frame, "After 2.Qh5");
  await frame.getByRole("gridcell", { name: "h5, white queen, last move" }).waitFor();
  assert.match((await frame.locator("#state").textContent()) ?? "", /^Black to move\b(?!, in check)/);
  await shot("4-board");

  await go(...placeOf("Bc4 g6"));
  await shows(frame, "After 3.Bc4");
  await frame.getByRole("gridcell", { name: "c6, black knight" }).waitFor();

  await go(...placeOf("Qxe5#"));
  await frame.getByRole("gridcell", { name: "e8, black king, in check" }).waitFor();
  assert.match((await frame.locator("#state").textContent()) ?? "", /^Black to move, in check/);
  assert.match((await frame.locator("#fen").textContent()) ?? "", /^rnbqkbnr\/pppp1p1p\/6p1\/4Q3\/4P3\/8\/PPPP1PPP\/RNB1KBNR b KQkq - 0 3$/);
  await shot("5-check");

  await go(...placeOf("Ra8# 1-0"));
  await frame.getByRole("gridcell", { name: "a8, white rook, last move" }).waitFor();
  assert.equal(await frame.locator("#white").textContent(), "king g1, rook a8");
});

test("the board is walked with the keyboard, stepped and turned", async () => {
  const frame = await board();
  await go(...placeOf("Qh5 g6"));
  await shows(frame, "After 2.Qh5");
  const here = () => frame.evaluate(() => document.activeElement?.getAttribute("aria-label") ?? "");
  await frame.locator("[data-square=e4]").focus();
  assert.equal(await here(), "e4, white pawn");
  await page.keyboard.press("ArrowUp");
  assert.equal(await here(), "e5, black pawn");
  await page.keyboard.press("End");
  await page.keyboard.press("PageDown");
  await page.keyboard.press("ArrowRight");
  assert.equal(await here(), "h1, white rook");
  await shot("6-keyboard");

  await page.keyboard.press("n");
  await shows(frame, "After 2...g6");
  assert.equal(await here(), "h1, white rook", "the focus must stay where it was");
  await page.keyboard.press("p");
  await shows(frame, "After 2.Qh5");
  await frame.getByRole("button", { name: "Next move" }).click();
  await shows(frame, "After 2...g6");

  const first = () => frame.locator("[role=gridcell]").first().getAttribute("data-square");
  assert.equal(await first(), "a8");
  await frame.getByRole("button", { name: "Flip" }).click();
  await until(async () => (await first()) === "h1", () => "The board did not turn.");
  await shot("7-flipped");
  await frame.getByRole("button", { name: "Flip" }).click();
  await until(async () => (await first()) === "a8", () => "The board did not turn back.");
});

test("the position is copied as FEN and as SVG", async () => {
  const frame = await board();
  const fen = await frame.locator("#fen").textContent();
  const clipboard = () => page.evaluate(() => navigator.clipboard.readText());
  await go(...placeOf("g6 {The"));
  await run("gainsay: Copy the Position as FEN");
  await until(async () => (await clipboard()) === fen, async () => `The clipboard holds ${await clipboard()}, not ${fen}.`);
  await run("gainsay: Copy the Board as SVG");
  await until(async () => (await clipboard()).startsWith("<svg "), async () => `The clipboard holds ${await clipboard()}.`);
  assert.match(await clipboard(), /aria-label="After 2\.\.\.g6\. White to move/);
});

test("the panel can run no foreign script and reach no other place", async () => {
  const frame = await board();
  const blocked = await frame.evaluate(async () => {
    const directives = [];
    document.addEventListener("securitypolicyviolation", (event) => directives.push(event.effectiveDirective));
    const script = document.createElement("script");
    script.textContent = "window.foreign = true";
    document.body.append(script);
    const picture = document.createElement("img");
    picture.src = "https://example.org/picture.png";
    document.body.append(picture);
    const fetched = await fetch("https://example.org/").then(() => true, () => false);
    document.body.setAttribute("style", "color: red");
    await new Promise((resolve) => setTimeout(resolve, 200));
    script.remove();
    picture.remove();
    return { directives, fetched, foreign: window.foreign === true };
  });
  assert.equal(blocked.foreign, false);
  assert.equal(blocked.fetched, false);
  for (const kind of ["script-src", "img-src", "connect-src", "style-src"]) {
    assert.ok(blocked.directives.some((directive) => directive.startsWith(kind)), `${kind}: ${blocked.directives}`);
  }
});

test("the board shows the positions of EPD lines, in the dark as well", async () => {
  studio.set({ ...settings, "workbench.colorTheme": "Default Dark Modern" });
  await page.keyboard.press("Control+1");
  await page.locator(".explorer-folders-view").getByText("exercises.epd").dblclick();
  await page.locator("#status\\.editor\\.mode").getByText("EPD", { exact: true }).waitFor();
  const frame = await board();
  await frame.getByRole("gridcell", { name: "f6, white knight" }).waitFor({ timeout: 20_000 });
  await shot("8-epd-dark");
  studio.set({ ...settings, "workbench.colorTheme": "Default High Contrast" });
  await until(
    () => frame.evaluate(() => document.body.classList.contains("vscode-high-contrast")),
    () => "The theme of high contrast did not reach the panel.",
  );
  const dark = await frame.locator("[data-square=a1] rect.dark").evaluate((node) => getComputedStyle(node).fill);
  assert.equal(dark, "rgb(90, 90, 90)");
  await shot("9-high-contrast");
  studio.set(settings);
  await page.locator(".tabs-container .tab").filter({ hasText: "lessons.pgn" }).click();
});

test("a program that is not there is told, and the right one is started again", async () => {
  studio.set({ ...settings, "gainsay.path": "/no/such/gainsay" });
  const notice = page.locator(".notification-toast").filter({ hasText: "There is no file /no/such/gainsay" });
  await notice.waitFor({ timeout: 30_000 });
  await shot("10-missing");
  const frame = await board();
  await until(
    async () => (await frame.locator("#state").textContent()) === "The server does not run.",
    async () => `The board says "${await frame.locator("#state").textContent()}".`,
  );
  assert.equal(await editor().locator(".squiggly-error").count(), 0);

  studio.set(settings);
  await go(...placeOf("Qxe5#"));
  await until(
    async () => (await editor().locator(".squiggly-error").count()) > 0,
    () => "The findings did not come back.",
  );
  assert.ok(existsSync(join(shots, "10-missing.png")));
});
