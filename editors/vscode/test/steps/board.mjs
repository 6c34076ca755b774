import assert from "node:assert/strict";
import { existsSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { audit, board, go, page, placeOf, run, settings, shot, shows, studio, test, until } from "../session.mjs";

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
  studio.set({ ...settings, "gainsay.board.side": "black" });
  await until(async () => (await first()) === "h1", () => "The board does not follow the setting.");
  studio.set(settings);
  await until(async () => (await first()) === "a8", () => "The board does not follow the setting back.");
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

test("the board is saved as a picture, and its position", async () => {
  await go(...placeOf("g6 {The"));
  for (const [name, holds] of [
    ["board.svg", /^<svg .*aria-label="After 2\.\.\.g6\. White to move/s],
    ["board.png", /^\x89PNG/],
    ["board.fen", /^rnbqkbnr\/pppp1p1p\/6p1\/4p2Q\/4P3\/8\/PPPP1PPP\/RNB1KBNR w KQkq - 0 3\n$/],
  ]) {
    const target = join(studio.folder, name);
    const written = () => (existsSync(target) ? readFileSync(target, "latin1") : "");
    await run("gainsay: Save the Board to a File");
    const asked = page.locator(".quick-input-widget input[type=text]");
    const holding = async () => asked.inputValue({ timeout: 1000 }).catch(() => "");
    // The dialog reads the folder first and then writes the name it proposes over whatever was typed.
    const proposed = async () => (await holding()).endsWith("/board.svg");
    await until(proposed, async () => `The dialog proposes no name but "${await holding()}".`);
    await asked.fill(target);
    assert.equal(await holding(), target);
    await asked.press("Enter");
    await asked.waitFor({ state: "hidden" });
    await until(() => holds.test(written()), () => `${target} holds ${JSON.stringify(written().slice(0, 200))}.`);
    rmSync(target);
  }
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

test("an independent audit finds nothing that keeps readers out", async () => {
  await audit(await board());
});
