import assert from "node:assert/strict";
import { act, coloured, editor, go, page, placeOf, shot, status, test, text, until } from "../session.mjs";

test("the file is known as PGN and coloured", async () => {
  await page.locator("#status\\.editor\\.mode").getByText("PGN", { exact: true }).waitFor();
  // A move of the main line, one of a side-line, a comment and the name of a tag.
  await coloured("Qh5", "Bc4", ".*will.pay.*", "White");
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
  await act("Write Qxe5+", "2-remedy");
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
