import assert from "node:assert/strict";
import { board, editor, go, page, placeOf, settings, shot, studio, test, until } from "../session.mjs";

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
});
