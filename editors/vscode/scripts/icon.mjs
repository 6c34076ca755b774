// Draws media/icon.png from media/icon.svg. The picture is committed; run this after a change of the drawing.
import { readFileSync } from "node:fs";
import { chromium } from "playwright-core";

const folder = new URL("../media/", import.meta.url).pathname;
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
});
const page = await browser.newPage({ viewport: { width: 256, height: 256 } });
await page.setContent(`<style>body{margin:0}svg{display:block}</style>${readFileSync(`${folder}icon.svg`, "utf8")}`);
await page.screenshot({ path: `${folder}icon.png`, omitBackground: true });
await browser.close();
