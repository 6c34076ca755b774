import assert from "node:assert/strict";
import { board, coloured, counted, editor, go, open, page, placeOf, run, settings, shot, shows, status, studio, test, text, underlined, until } from "../session.mjs";

const button = () => page.locator(".editor-actions").getByRole("button", { name: "Open the Board Beside" });

test("Markdown with a block of chess is checked, and the board follows in it", async () => {
  await open("chapter.md");
  await page.locator("#status\\.editor\\.mode").getByText("Markdown", { exact: true }).waitFor();
  await underlined("info", 1);
  await counted(/1 finding, 1 claim$/);
  assert.equal(await button().count(), 1, "The button for the board is missing.");
  const frame = await board();
  await go(...placeOf("Nf6 4.", "chapter.md"));
  await shows(frame, "After 3...Nf6");
  await run("gainsay: Go to the Previous Move");
  await shows(frame, "After 3.Qh5");
  await run("gainsay: Go to the Previous Move");
  await shows(frame, "After 2...Nc6");
  await shot("20-chapter");
});

test("moves in the block are coloured as in a game, those of the prose are not", async () => {
  await coloured("Qh5", "d3", ".*The.queen.came.*");
});

test("Markdown without chess is left alone until a block of chess is written", async () => {
  await open("minutes.md");
  await until(async () => !(await status().isVisible()), () => "The counts are shown for a file without chess.");
  await until(async () => (await button().count()) === 0, () => "The button for the board is shown for a file without chess.");
  await go(3, 1);
  await page.keyboard.press("Control+End");
  await page.keyboard.insertText("\n```pgn\n1. e4 e5 2. Ke3 *\n```\n");
  await underlined("error", 1);
  await counted(/1 finding/);
  await button().waitFor();
  await run("File: Revert File");
  await underlined("error", 0);
  await until(async () => !(await status().isVisible()), () => "The counts are still shown.");
});

test("plain text is checked when all manuscripts are, and none of them when none is to be", async () => {
  await open("notes.txt");
  await until(async () => /2\. Ke3/.test(await text()), () => "The notes are not shown.");
  await underlined("error", 0);
  studio.set({ ...settings, "gainsay.manuscripts": "all" });
  await underlined("error", 1);
  await go(3, 4);
  await shows(await board(), "After 1.e4");
  await shot("21-notes");
  studio.set({ ...settings, "gainsay.manuscripts": "none" });
  await underlined("error", 0);
  await open("chapter.md");
  await until(async () => !(await status().isVisible()), () => "The counts are shown though manuscripts are not checked.");
  assert.equal(await editor().locator(".squiggly-info").count(), 0);
  studio.set(settings);
  await underlined("info", 1);
});
