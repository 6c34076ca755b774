import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { act, counted, editor, go, open, page, placeOf, run, settings, shot, show, status, studio, test, text, underlined, until } from "../session.mjs";

const lens = (words) => editor().locator(".codelens-decoration").filter({ hasText: words });
const hints = (words) => editor().locator(".view-line").getByText(words, { exact: false });

test("a claim that the budget leaves open is settled with ten times as much from the lens", async () => {
  studio.set({ ...settings, "gainsay.nodes": 100_000 });
  await open("exercise.pgn");
  await hints("? unsettled").first().waitFor();
  await underlined("error", 0);
  await shot("30-unsettled");
  await lens("unsettled").first().locator("a").filter({ hasText: /ten times/i }).click();
  await hints("fails").first().waitFor();
  await underlined("error", 1);
  await counted(/1 finding, 1 claim$/);
  await shot("31-settled");
});

test("the moves that show what is true are written beside the game", async () => {
  await go(...placeOf("mates in four", "exercise.pgn"));
  await act(/Insert .* as a side-line/, "32-side-line-offered");
  await until(async () => /1\.\s+Re1\+\s+\(1\.\s+R\S+/.test(await text()), async () => `No move was written:\n${await text()}`);
  await shot("33-side-line");
  await run("File: Revert File");
  studio.set(settings);
});

test("pointing at a move shows the board, at a claim its verdict", async () => {
  await show("lessons.pgn");
  const hover = page.locator(".monaco-hover:visible");
  const point = async (words) => {
    await page.mouse.move(5, 5);
    await editor().locator(".view-line span span").filter({ hasText: words }).first().hover();
    await hover.first().waitFor();
  };
  await point(/^Qxh8$/);
  await until(async () => (await hover.locator("img").count()) > 0, () => "The hover shows no picture of the board.");
  assert.match(await hover.locator("img").first().getAttribute("src"), /^data:image\/svg/);
  await until(
    async () => (await hover.locator("img").first().evaluate((picture) => picture.naturalWidth)) > 0,
    () => "The picture of the board cannot be drawn.",
  );
  // It fades in.
  await page.waitForTimeout(400);
  await shot("34-hover-move");
  await page.keyboard.press("Escape");
  await point(/^mates.in.one$/);
  await until(async () => /hold|fail/.test((await hover.textContent()) ?? ""), async () => `The hover says "${await hover.textContent()}".`);
  await page.waitForTimeout(400);
  await shot("35-hover-claim");
  await page.keyboard.press("Escape");
  await page.mouse.move(5, 5);
});

test("verdicts behind claims can be left out", async () => {
  await hints("✗ fails").first().waitFor();
  studio.set({ ...settings, "gainsay.hints.verdicts": false });
  await until(async () => (await hints("✗ fails").count()) === 0, () => "The verdicts are still shown.");
  studio.set(settings);
  await hints("✗ fails").first().waitFor();
});

test("settling is stopped when the author says so", async () => {
  // Exercises that are all different and cannot be settled: seconds each, so that none of the
  // machines this runs on is done with them before the item of the status bar was read.
  // Of two works the editor shows the one that began last: that must not be the check of the
  // files that are not open.
  studio.set({ ...settings, "gainsay.nodes": 20_000_000, "gainsay.closedFiles": "off" });
  const exercises = 60;
  const games = Array.from({ length: exercises }, (_, at) =>
    [
      `[Event "Orchard Club, exercise"]\n[Site "Fenwick"]\n[Date "1931.06.01"]\n[Round "${at + 1}"]`,
      '[White "Hobart, Ida"]\n[Black "Quill, Tomas"]\n[Result "*"]\n[SetUp "1"]',
      `[FEN "r1bqk2r/pppp1ppp/2n2n2/2b1p3/2B1P3/2N2N2/PPPP1PPP/R1BQK2R w KQkq - ${at} 5"]`,
      "",
      "{White mates in six.} 1. O-O *\n",
    ].join("\n"),
  );
  writeFileSync(join(studio.folder, "many.pgn"), games.join("\n"));
  await open("many.pgn");
  await counted(/settling$/);
  const progress = page.locator(".statusbar").getByText(/Settling claims/);
  await progress.first().waitFor();
  await shot("36-settling");
  const stop = page.locator("[id$='gainsay.stop'] a");
  await stop.click();
  await page.locator(".statusbar").getByText("Settling was stopped").waitFor();
  await stop.waitFor({ state: "hidden" });
  await until(async () => (await progress.count()) === 0, () => "The progress is still shown.");
  await until(
    async () => !/settling/.test((await status().textContent()) ?? ""),
    async () => `The status bar says "${await status().textContent()}".`,
  );
  const label = await status().locator("a").getAttribute("aria-label");
  const settled = /Claims: (\d+) holds?, (\d+) fails?, (\d+) unsettled/.exec(label ?? "");
  assert.ok(settled !== null && Number(settled[1]) + Number(settled[2]) + Number(settled[3]) < exercises, label);
  await page.keyboard.press("Control+F4");
  studio.set(settings);
  await show("lessons.pgn");
});

test("files that are not open have their findings in the list of problems", async () => {
  const file = join(studio.folder, "shelved.pgn");
  writeFileSync(file, '[Event "Orchard Club"]\n\n1. e4 e5 2. Ke3 *\n');
  await run("Problems: Focus on Problems View");
  // The list shows what fits into it; the filter brings the file up.
  const filter = page.locator(".panel input[placeholder^='Filter']");
  await filter.fill("shelved.pgn");
  const rows = page.locator(".markers-panel .monaco-list-row");
  await rows.filter({ hasText: "2.Ke3" }).first().waitFor({ timeout: 30_000 });
  await shot("38-shelved");
  assert.equal(await page.locator(".tabs-container .tab").filter({ hasText: "shelved.pgn" }).count(), 0);
  writeFileSync(file, '[Event "Orchard Club"]\n\n1. e4 e5 *\n');
  await until(
    async () => (await rows.filter({ hasText: "2.Ke3" }).count()) === 0,
    () => "The finding of the file that was mended is still shown.",
  );
  await filter.fill("");
  await page.keyboard.press("Control+j");
  await show("lessons.pgn");
});

test("legal moves are offered while a move is typed, and no others", async () => {
  await show("exercise.pgn");
  const [line, column] = placeOf("Re1+ *", "exercise.pgn");
  await go(line, column + "Re1+ ".length);
  await page.keyboard.type("K");
  const offered = page.locator(".suggest-widget .monaco-list-row");
  await offered.first().waitFor();
  await shot("37-moves");
  const names = (await offered.allTextContents()).map((row) => /K[a-h][1-8]/.exec(row)?.[0]).sort();
  // In check from e1: the squares beside the king that neither rook nor the pawn on g4 covers.
  assert.deepEqual(names, ["Kd4", "Kd5", "Kd6", "Kf4", "Kf6"]);
  await page.keyboard.press("Escape");
  await run("File: Revert File");
  await show("lessons.pgn");
});
