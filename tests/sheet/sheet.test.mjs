// Proof sheets in Chromium: the boards are those of the positions that `gainsay check` tells of, the
// keys step, nothing is fetched, and everything can be read without script, in print and by ear.
//
//   GAINSAY        the program to test with  [default: target/debug/gainsay]
//   CHROMIUM       the browser               [default: /usr/bin/chromium, Debian's package chromium]
//   GAINSAY_SHOTS  where screenshots go      [default: none are made]
//
// Takes its packages from editors/vscode (`npm ci --ignore-scripts` there).
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";

const root = new URL("../..", import.meta.url).pathname;
const require = createRequire(join(root, "editors/vscode/package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const gainsay = process.env.GAINSAY ?? join(root, "target/debug/gainsay");
const shots = process.env.GAINSAY_SHOTS;

/** Books with names for their sheets. The last one tries to do harm. */
const books = {
  "2-league": join(root, "fixtures/column/2-league.pgn"),
  "5-exercises": join(root, "fixtures/column/5-exercises.pgn"),
  chapter: join(root, "fixtures/manuscript/chapter.md"),
};
const harm = `[Event "<script>window.hurt = 1</script>"]
[White "</style><img src=x onerror=window.hurt=1>"]
[Black "Lind"]
[Result "*"]

1. e4 {"><script>window.hurt=1</script> Black mates in one. <img src="https://example.org/x.png">} e5
2. Ke3 {White castled & the rook on a1</p></article><script>window.hurt=1</script> is pinned.} *
`;

let folder;
let browser;
/** What `gainsay check` tells of each book. */
const told = {};

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "gainsay-sheet-"));
  books.harm = join(folder, "harm.pgn");
  writeFileSync(books.harm, harm);
  const options = ["--no-cache", ...Object.values(books)];
  execFileSync(gainsay, ["sheet", "--out", join(folder, "out"), ...options]);
  for (const [name, book] of Object.entries(books)) {
    let json;
    try {
      json = execFileSync(gainsay, ["check", "--format", "json", "--no-cache", book]);
    } catch (error) {
      json = error.stdout;
    }
    told[name] = JSON.parse(json).files[0];
  }
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: [
      ...["--no-sandbox", "--disable-gpu", "--no-first-run"],
      ...["--disable-background-networking", "--disable-component-update", "--disable-sync"],
    ],
  });
});

after(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

async function open(name, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1100, height: 1000 }, ...options });
  const page = await context.newPage();
  const asked = [];
  const wrong = [];
  page.on("request", (request) => asked.push(request.url()));
  page.on("pageerror", (error) => wrong.push(error.message));
  const url = pathToFileURL(join(folder, "out", `${name}.html`)).href;
  await page.goto(url);
  return { page, asked, wrong, url, close: () => context.close() };
}

const shot = async (page, name) => {
  if (shots) {
    mkdirSync(shots, { recursive: true });
    await page.screenshot({ path: join(shots, `${name}.png`) });
  }
};

/** The pieces of a FEN by their squares. */
function ofFen(fen) {
  const found = {};
  fen.split(" ")[0].split("/").forEach((rank, row) => {
    let file = 0;
    for (const sign of rank) {
      if (/\d/.test(sign)) {
        file += Number(sign);
      } else {
        found["abcdefgh"[file] + (8 - row)] = sign;
        file += 1;
      }
    }
  });
  return found;
}

/** Sorted, so that two are equal if they hold the same. */
const flat = (pieces) => JSON.stringify(Object.entries(pieces).sort());

/** What each item of a page shows, told from what is drawn. */
const items = (page) =>
  page.evaluate(() => {
    const drawn = (svg) => {
      const pieces = {};
      const marks = {};
      for (const use of svg.querySelectorAll("use")) {
        const id = use.getAttribute("href").slice(1);
        const square =
          "abcdefgh"[Number(use.getAttribute("x")) / 100] + (8 - Number(use.getAttribute("y")) / 100);
        if (/^[kqrbnp]$/i.test(id)) {
          if (square in pieces) throw new Error(`two pieces on ${square}`);
          pieces[square] = id;
        } else if (id === "mm" || id === "nn") {
          (marks[id] ??= []).push(square);
        }
      }
      return { pieces, marks, label: svg.getAttribute("aria-label") };
    };
    return [...document.querySelectorAll(".item")].map((item) => {
      const svg = item.querySelector(".board svg");
      return {
        state: item.dataset.state,
        kind: item.dataset.kind,
        line: Number(item.querySelector(".place").textContent.split(":").at(-1)),
        words: item.querySelector("u").textContent,
        text: item.textContent,
        board: svg && drawn(svg),
        lines: [...item.querySelectorAll(".line")].map((line) =>
          [...line.querySelectorAll("button")].map((button) => ({ ...button.dataset, told: button.textContent.trim() })),
        ),
      };
    });
  });

/** A move, by its squares, made on pieces; a promoted piece is taken from what is there afterwards. */
function made(pieces, move, afterwards) {
  const [from, to] = [move.slice(0, 2), move.slice(2)];
  const next = { ...pieces };
  let piece = next[from];
  assert.ok(piece, `nothing on ${from}`);
  delete next[from];
  if (/p/i.test(piece)) {
    if (from[0] !== to[0] && !(to in next)) delete next[to[0] + from[1]];
    if (/[18]/.test(to[1])) piece = afterwards[to];
  }
  if (/k/i.test(piece) && Math.abs(from.charCodeAt(0) - to.charCodeAt(0)) > 1) {
    const [rook, beside] = to[0] === "g" ? ["h", "f"] : ["a", "d"];
    next[beside + to[1]] = next[rook + to[1]];
    delete next[rook + to[1]];
  }
  next[to] = piece;
  return next;
}

test("every claim and finding is there, and each board is that of its position", async () => {
  for (const name of Object.keys(books)) {
    const { page, close } = await open(name);
    const shown = await items(page);
    const { claims, findings } = told[name];
    const said = (kind, verdict, words) => `${kind} ${verdict} ${words.split(/\s+/).filter(Boolean).join(" ")}`;
    assert.deepEqual(
      shown.filter(({ state }) => ["holds", "fails", "unsettled"].includes(state)).map((item) => said(item.kind, item.state, item.words)).sort(),
      claims.map((claim) => said(claim.kind, claim.verdict, claim.text)).sort(),
    );
    for (const finding of findings.filter(({ severity }) => severity !== "hint")) {
      assert.ok(shown.some((item) => item.text.includes(finding.message)), `${name}: ${finding.message}`);
    }
    const sides = { w: "White to move.", b: "Black to move." };
    const known = new Set(
      [...claims, ...findings]
        .filter(({ position }) => position)
        .map(({ position }) => flat(ofFen(position)) + sides[position.split(" ")[1]]),
    );
    let boards = 0;
    for (const item of shown.filter(({ board }) => board)) {
      boards += 1;
      const pieces = flat(item.board.pieces);
      const [state] = item.board.label.match(/[A-Z][a-z ]+\.$/);
      const ended = ["Checkmate.", "Stalemate."].includes(state);
      const turns = ended ? Object.values(sides) : [state];
      assert.ok(turns.some((turn) => known.has(pieces + turn)), `${name}:${item.line}: ${item.board.label}`);
    }
    assert.ok(boards >= claims.length / 2, `${boards} boards of ${claims.length} claims`);
    await close();
  }
});

test("the summary counts what the check counts, and the strip leads to what is wrong", async () => {
  const { page, close } = await open("2-league");
  const foot = (caption) => page.locator("table", { hasText: caption }).locator("tfoot td").allTextContents();
  const { claims, findings } = told["2-league"];
  const count = (all, key, value) => String(all.filter((one) => one[key] === value).length);
  assert.deepEqual(
    await foot("Claims by kind and verdict"),
    ["fails", "unsettled", "holds"].map((verdict) => count(claims, "verdict", verdict)),
  );
  const links = page.locator(".strip a");
  assert.ok((await links.count()) > 3);
  for (const link of await links.all()) {
    const target = page.locator(await link.getAttribute("href"));
    assert.match(await target.getAttribute("data-state"), /^(fails|error|warning|unsettled)$/);
    const line = (await target.locator(".place").first().textContent()).split(":").at(-1);
    assert.match(await link.getAttribute("aria-label"), new RegExp(`^Lines? ${line}\\b`));
  }
  assert.ok(findings.length > 0);
  const headings = await page.locator("h3").allTextContents();
  assert.ok(headings.includes("Game 1: Lund, Viggo \u2013 Kriek, Oda"), headings.join("; "));
  await close();
});

test("the squares that words name are marked", async () => {
  const { page, close } = await open("2-league");
  const item = (await items(page)).find(({ words }) => words === "the rook on h8");
  assert.deepEqual(item.board.marks, { nn: ["h8"], mm: ["g4", "h5"] });
  assert.equal(item.board.pieces.h8, "r");
  await close();
});

test("each board says which position it is, and how it ended", async () => {
  const captions = async (name) => {
    const { page, close } = await open(name);
    const found = await page.locator(".board figcaption").allTextContents();
    await close();
    return found;
  };
  const league = await captions("2-league");
  assert.ok(league.includes("After 11...Qh4, if White passes: Black to move"), `${league}`);
  assert.ok((await captions("5-exercises")).includes("After 2.Ra8#: checkmate"));
});

test("each step of each line is what its move makes of the one before", async () => {
  let steps = 0;
  for (const name of Object.keys(books)) {
    const { page, close } = await open(name);
    const starts = new Set();
    const lines = told[name].claims.flatMap(({ outcome }) => outcome.evidence ?? []).map(({ line }) => line);
    for (const line of lines.filter(Boolean)) {
      starts.add(flat(ofFen(line.start)));
    }
    for (const item of await items(page)) {
      for (const line of item.lines) {
        line.forEach((step, at) => {
          const pieces = ofFen(step.p);
          if (at > 0) {
            assert.equal(flat(made(ofFen(line[at - 1].p), step.m, pieces)), flat(pieces), `${name}:${item.line} ${step.told}`);
          } else {
            const before = [...starts].map((start) => Object.fromEntries(JSON.parse(start)));
            if (item.board) before.push(item.board.pieces);
            const fits = (start) => step.m.slice(0, 2) in start && flat(made(start, step.m, pieces)) === flat(pieces);
            assert.ok(before.some(fits), `${name}:${item.line} ${step.told} starts from nowhere`);
          }
          steps += 1;
        });
      }
    }
    await close();
  }
  assert.ok(steps > 50, `${steps} steps`);
});

test("the keys step through the moves, and go to what is wrong", async () => {
  const { page, wrong, close } = await open("2-league");
  const id = await page.locator(".item:has(.board):has(.line button:nth-of-type(3))").first().getAttribute("id");
  const item = page.locator(`#${id}`);
  const board = item.locator(".board");
  if (await item.locator("details").count()) await item.locator("summary").click();
  const order = await page.locator(".item").evaluateAll((nodes) => nodes.map((node) => node.id));
  const pieces = async () => (await items(page))[order.indexOf(id)];
  const first = await pieces();
  await board.focus();
  for (const step of first.lines[0]) {
    await page.keyboard.press("ArrowRight");
    const now = await pieces();
    assert.equal(flat(now.board.pieces), flat(ofFen(step.p)));
    assert.deepEqual(now.board.marks.mm, [step.m.slice(0, 2), step.m.slice(2)]);
    assert.match(now.board.label, new RegExp(`^After ${step.told.replace(/[.+#]/g, "\\$&")}\\. White: `));
  }
  await shot(page, "stepped");
  await page.keyboard.press("Home");
  assert.deepEqual((await pieces()).board, first.board);
  await page.keyboard.press("End");
  assert.equal(flat((await pieces()).board.pieces), flat(ofFen(first.lines[0].at(-1).p)));
  await page.keyboard.press("ArrowLeft");
  assert.equal(flat((await pieces()).board.pieces), flat(ofFen(first.lines[0].at(-2).p)));

  await page.reload();
  const bad = await page.locator(".item.bad").evaluateAll((nodes) => nodes.map(({ id }) => id));
  const here = () => page.evaluate(() => document.activeElement.id);
  for (const id of bad) {
    await page.keyboard.press("n");
    assert.equal(await here(), id);
  }
  await page.keyboard.press("n");
  assert.equal(await here(), bad.at(-1), "behind the last there is none");
  await page.keyboard.press("p");
  assert.equal(await here(), bad.at(-2));
  assert.deepEqual(wrong, []);
  await close();
});

test("filters hide by verdict and by kind", async () => {
  const { page, close } = await open("2-league");
  const visible = () => page.locator(".item").evaluateAll((nodes) => nodes.filter((node) => node.checkVisibility()).map(({ dataset }) => ({ ...dataset })));
  const all = await visible();
  await page.getByRole("checkbox", { name: "Holds" }).uncheck();
  const left = await visible();
  assert.deepEqual(left, all.filter(({ state }) => state !== "holds"));
  await page.getByText("Kinds", { exact: true }).click();
  await page.getByRole("button", { name: "None" }).click();
  assert.deepEqual(await visible(), []);
  await page.getByRole("checkbox", { name: /^threat \(/ }).check();
  assert.deepEqual(await visible(), left.filter(({ kind }) => kind === "threat"));
  await close();
});

test("an independent audit finds nothing that keeps readers out", async () => {
  for (const name of [...Object.keys(books), "index"]) {
    const { page, close } = await open(name);
    await page.evaluate(() => document.querySelectorAll("details").forEach((part) => (part.open = true)));
    await page.addStyleTag({ content: ".item{content-visibility:visible!important}" });
    await page.evaluate(axe);
    const { violations, passes } = await page.evaluate(() => globalThis.axe.run(document));
    assert.deepEqual(
      violations.map(({ id, nodes }) => `${name}: ${id}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 300)).join(" ")}`),
      [],
    );
    const checked = passes.map(({ id }) => id);
    const rules = ["color-contrast", "html-has-lang", "heading-order", "document-title"];
    for (const rule of name === "index" ? rules : [...rules, "svg-img-alt", "label", "button-name"]) {
      assert.ok(checked.includes(rule), `The audit did not get to ${rule}: ${checked}`);
    }
    await close();
  }
});

test("nothing is cut in a narrow window", async () => {
  for (const name of [...Object.keys(books), "index"]) {
    const { page, close } = await open(name, { viewport: { width: 420, height: 800 } });
    const width = await page.evaluate(() => document.documentElement.scrollWidth);
    await shot(page, `narrow-${name}`);
    assert.ok(width <= 420, `${name} is ${width} wide`);
    await close();
  }
});

test("without script everything can be read, and the boards are drawn", async () => {
  for (const name of Object.keys(books)) {
    const [plain, scripted] = [await open(name, { javaScriptEnabled: false }), await open(name)];
    // What a browser without script shows is told by its own tools, since no script runs in it.
    const count = (page, selector) => page.locator(selector).count();
    assert.equal(await count(plain.page, ".item .board use"), await count(scripted.page, ".item .board use"));
    assert.equal(await plain.page.locator(".filters").isVisible(), false);
    assert.equal(await scripted.page.locator(".filters").isVisible(), true);
    for (const item of await plain.page.locator(".item").all()) {
      assert.ok(await item.locator("blockquote").isVisible());
      if (await item.locator("> .board").count()) assert.ok(await item.locator("> .board svg").isVisible());
    }
    await Promise.all([plain.close(), scripted.close()]);
  }
});

test("nothing is fetched, and nothing that stands in a book acts", async () => {
  for (const name of [...Object.keys(books), "index"]) {
    const { page, asked, wrong, url, close } = await open(name);
    await page.waitForTimeout(200);
    assert.deepEqual(asked, [url]);
    assert.deepEqual(wrong, []);
    assert.equal(await page.evaluate(() => window.hurt), undefined);
    assert.equal(await page.locator("img, iframe, link, script[src]").count(), 0);
    assert.equal(await page.locator("script").count(), name === "index" ? 0 : 1);
    await close();
  }
});

test("print shows everything", async () => {
  for (const javaScriptEnabled of [true, false]) {
    const { page, close } = await open("2-league", { javaScriptEnabled });
    await page.emulateMedia({ media: "print" });
    for (const part of ["blockquote", ".board svg", ".line", ".message", ".unread li", "table", ".strip"]) {
      const all = await page.locator(part).all();
      assert.ok(all.length > 0, part);
      for (const one of all) {
        const box = await one.boundingBox();
        assert.ok(box && box.width > 20 && box.height > 8, `${part} is not printed: ${await one.textContent()}`);
      }
    }
    assert.equal(await page.locator(".filters").isVisible(), false);
    const pdf = await page.pdf({ preferCSSPageSize: true });
    const pages = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
    assert.ok(pages > 3, `${pages} pages`);
    if (shots) mkdirSync(shots, { recursive: true });
    if (shots) writeFileSync(join(shots, `sheet-${javaScriptEnabled}.pdf`), pdf);
    await close();
  }
});
