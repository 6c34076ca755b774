import assert from "node:assert/strict";
import { board, counted, editor, go, open, page, placeOf, run, shot, shows, studio, test, underlined, until } from "../session.mjs";

test("after a reload the board is there again and follows", async () => {
  await open("lessons.pgn");
  const opened = await board();
  await go(...placeOf("Qh5 g6"));
  await shows(opened, "After 2.Qh5");
  await page.reload();
  await page.locator(".monaco-workbench .statusbar").waitFor({ timeout: 60_000 });
  // Which files were shown is not always written down in time: then the author opens the file again.
  await page.locator(".explorer-folders-view").getByText("lessons.pgn").waitFor({ timeout: 60_000 });
  await open("lessons.pgn");
  await editor().waitFor({ timeout: 60_000 });
  const frame = await board();
  await frame.getByRole("gridcell").first().waitFor();
  await go(...placeOf("Bc4 g6"));
  await shows(frame, "After 3.Bc4");
  await shot("40-reloaded");
});

test("the server is started again when the author says so", async () => {
  const starts = async () => {
    await run("gainsay: Show the Server's Log");
    const lines = page.locator(".panel .view-line").filter({ hasText: /Starting.*serve/ });
    // What was looked for before the reload may be in the filter again.
    const filter = page.locator(".panel input[placeholder^='Filter']");
    const told = async () => {
      if ((await filter.count()) === 1 && (await filter.inputValue()) !== "") {
        await filter.fill("");
      }
      return (await lines.count()) > 0;
    };
    await until(told, () => "The log tells of no start.");
    return lines.count();
  };
  const before = await starts();
  await run("gainsay: Restart the Server");
  await until(async () => (await starts()) > before, () => "The log tells of no other start.");
  await page.keyboard.press("Control+j");
  // It answers, too.
  await open("lessons.pgn");
  await page.evaluate(() => navigator.clipboard.writeText("nothing"));
  await go(...placeOf("Qxe5#"));
  await until(
    async () => {
      await run("gainsay: Copy the Position as FEN");
      return (await page.evaluate(() => navigator.clipboard.readText())).startsWith("rnbqkbnr/pppp1p1p/6p1/4Q3/");
    },
    async () => {
      const held = await page.evaluate(() => navigator.clipboard.readText());
      return `The server does not tell the position; the clipboard holds "${held}".`;
    },
  );
});

test("each folder of a workspace has the settings of its own file", async () => {
  const folder = (name) => page.locator(".explorer-folders-view").getByText(name, { exact: true });
  // A window that opens before the server of files is ready shows no folder: then once more.
  let shown = false;
  for (let tries = 0; tries < 3 && !shown; tries += 1) {
    await page.goto(studio.addressOfTwo);
    await page.locator(".titlebar").getByText("two (Workspace)").waitFor({ timeout: 60_000 });
    shown = await folder("second").waitFor({ timeout: 20_000 }).then(() => true, () => false);
  }
  assert.ok(shown, "The window shows no folders.");
  for (const name of ["second", "first"]) {
    const row = page.locator('.explorer-folders-view .monaco-list-row[aria-level="1"]').filter({ hasText: name });
    await until(
      async () => {
        if ((await row.getAttribute("aria-expanded")) === "false") {
          await row.click();
        }
        return (await folder(`${name}.pgn`).count()) === 1;
      },
      () => `The folder ${name} does not open.`,
    );
  }
  await open("first.pgn");
  await underlined("error", 1);
  await open("second.pgn");
  await counted(/no findings/);
  await underlined("error", 0);
  await shot("41-two-folders");
  assert.equal(await editor().locator(".squiggly-info").count(), 0);
});
