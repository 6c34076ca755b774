import assert from "node:assert/strict";
import { audit, board, go, open, page, placeOf, settings, shot, show, shows, studio, test, until } from "../session.mjs";

test("the board shows the positions of EPD lines, in the dark as well", async () => {
  studio.set({ ...settings, "workbench.colorTheme": "Default Dark Modern" });
  await open("exercises.epd");
  await page.locator("#status\\.editor\\.mode").getByText("EPD", { exact: true }).waitFor();
  const frame = await board();
  await frame.getByRole("gridcell", { name: "f6, white knight" }).waitFor({ timeout: 20_000 });
  await until(
    () => frame.evaluate(() => document.body.classList.contains("vscode-dark")),
    () => "The dark theme did not reach the panel.",
  );
  await shot("50-epd-dark");
  await show("lessons.pgn");
  await go(...placeOf("Qh5 g6"));
  await shows(frame, "After 2.Qh5");
  await shot("51-dark");
  await audit(frame);
  await show("exercises.epd");
  studio.set({ ...settings, "workbench.colorTheme": "Default High Contrast" });
  await until(
    () => frame.evaluate(() => document.body.classList.contains("vscode-high-contrast")),
    () => "The theme of high contrast did not reach the panel.",
  );
  const dark = await frame.locator("[data-square=a1] rect.dark").evaluate((node) => getComputedStyle(node).fill);
  assert.equal(dark, "rgb(90, 90, 90)");
  await shot("52-high-contrast");
  await audit(frame);
  studio.set(settings);
  await show("lessons.pgn");
});
